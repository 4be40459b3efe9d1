"""What became of a reading, by the limits and the accuracy that a record carries itself.

The same rules as on the phone, builder/assets/rules.js: a reading that the one accepts, the other accepts. Numbers are
exact, in the unit of the display.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Sequence

from builder import units, wording
from builder.compute import repeated
from builder.compute.budget import Uncertainty
from builder.compute.decision import exact, guard_band
from builder.model.carried import Figure, Limits, Point
from builder.model.plan import rule_of
from builder.problems import Wrong

PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN, INCOMPLETE = (
    "pass", "conditional pass", "conditional fail", "fail", "written down", "incomplete")
DONE = (PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN)
FAILED = (CONDITIONAL_FAIL, FAIL)
UNDECIDED = "can’t be verified with this standard under this rule"
OVERLOAD = "OL"
UNIT_HINT = "write the number alone: the unit is that of the sheet"

_NUMBER = re.compile(r"([+\-−–]?)\s*([0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3})+|[0-9]*)(?:([.,])([0-9]*))?\s*(.*)", re.S)
_OVER = re.compile(r"[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)", re.I | re.S)
_UNIT = re.compile(r"([pnumkg]?)(v|a|ohms?|f|s|hz)", re.I)
_WORDS = re.compile(r"(pico|nano|micro|milli|kilo|mega?|giga)(?=[a-z])", re.I)
_BASES = {"v": "V", "a": "A", "ohm": "Ohm", "ohms": "Ohm", "f": "F", "s": "S", "hz": "Hz"}
_ALONE = {"%": "%", "percent": "%", "degc": "degC", "°c": "degC", "℃": "degC", "degf": "degF", "°f": "degF", "℉": "degF"}


# ---------------------------------------------------------------- what people type

@dataclass(frozen=True, slots=True)
class Reading:
    """`value` is None for overload; `decimals` are as they were typed."""

    value: Fraction | None
    text: str


def _unit_of(typed: str) -> tuple[str, str] | None:
    """Base and spelling of a unit, as the phone takes it: capitals matter only where they tell milli from mega."""
    text = re.sub("[\u00b5\u03bc]", "u", typed)
    text = re.sub("[\u03a9\u2126]", "ohm", text)

    def letter(match: re.Match) -> str:
        word = match[0].lower()
        return "M" if word.startswith("meg") else "u" if word == "micro" else word[0]
    text = _WORDS.sub(letter, text, count=1) if _WORDS.match(text) else text
    alone = _ALONE.get(re.sub(r"^(deg|°) ", r"\1", text.lower()))
    if alone:
        return alone, alone
    found = _UNIT.fullmatch(text)
    if not found:
        return None
    prefix = found[1] if found[1] in ("m", "M") else found[1].lower().replace("g", "G")
    base = _BASES[found[2].lower()]
    return base, prefix + base


def shown_unit(text: str) -> str:
    """A unit of the data files as a reader expects it."""
    text = text.replace("deg", "°").replace("Ohm", "Ω")
    return "µ" + text[1:] if text.startswith("u") and len(text) > 1 else text


def _wrong_unit(rest: str, unit: str) -> str:
    if not rest or (unit.startswith("deg") and rest in ("°", unit[3])):
        return ""
    found, own, name = _unit_of(rest), _unit_of(unit), shown_unit(unit)
    if found is None:
        return f"“{rest[:20]}” is no unit known here: this reading is in {name}"
    if own is not None and found[1] == own[1]:
        return ""
    if own is not None and found[0] == own[0]:
        return f"the sheet is in {name}, not in {shown_unit(found[1])}: if the display showed {shown_unit(found[1])}, it was on another range"
    return f"this reading is in {name}, not in {shown_unit(found[1])}"


def parse(typed: str, *, unit: str, decimals: int | None = None, resolution: Fraction | None = None) -> Reading | None:
    """A typed reading; None where nothing was typed. Fewer digits than the display shows are completed by zeros; with more
    the meter was on another range, and the limits don't hold there. Raises `Wrong`."""
    text = typed.strip()
    if not text:
        return None
    over = _OVER.fullmatch(text)
    if over:
        if wrong := _wrong_unit(over[1].strip(), unit):
            raise Wrong(wrong, UNIT_HINT)
        return Reading(None, OVERLOAD)
    sign, before, mark, after, rest = _NUMBER.fullmatch(text).groups()
    after = after or ""
    if not before and not after:
        raise Wrong(f"“{text[:30]}” is no number", "a reading, OL for overload, or '-' for a step that was not done")
    if re.match(r"[0-9.,'’]", rest) or (decimals is None and mark == "," and re.fullmatch(r"[1-9][0-9]{0,2}", before) and len(after) == 3):
        raise Wrong(f"“{text[:30]}” can be read in two ways", "write a point before decimals, and nothing between thousands")
    digits = re.sub(r"[^0-9]", "", before) + after
    if len(digits) > 18:
        raise Wrong("more digits than any display shows", "a digit is mistyped")
    if wrong := _wrong_unit(rest.strip(), unit):
        raise Wrong(wrong, UNIT_HINT)
    value = Fraction(int(digits), 10 ** len(after)) * (-1 if sign and sign != "+" else 1)
    if decimals is not None and len(after) > decimals:
        shows = {0: "no decimals", 1: "one decimal"}.get(decimals, f"{decimals} decimals")
        raise Wrong(f"“{text[:30]}” has {len(after)} decimals, and the display shows {shows} on this range", "with more it was on another range, where these limits don't hold; or a digit is mistyped")
    if resolution is not None and (value / resolution).denominator != 1:
        raise Wrong(f"“{text[:30]}” can't be shown: the display counts in steps of {wording.number(resolution)}{wording.NARROW}{shown_unit(unit)} on this range", "read the sheet again: a digit is mistyped")
    return Reading(value, f"{units.decimal_text(value, len(after) if decimals is None else decimals)} {unit}")


def display(point: Point) -> dict:
    """What `parse` must know of a point's display. An observation often shows something else than its range does."""
    if point.find == "bandwidth":
        return {"unit": "Hz"}
    if point.find == "sensitivity" and point.level:
        return {"unit": point.level.split(" ")[-1]}
    if point.is_observation:
        return {"unit": point.unit}
    return {"unit": point.unit, "decimals": point.decimals, "resolution": point.resolution.number}


def places(figure: Figure) -> int:
    return len(figure.text.split(" ")[0].partition(".")[2])


# ---------------------------------------------------------------- the verdict on a point

@dataclass(frozen=True, slots=True)
class Verdict:
    """Values are in the point's unit; `value` is what was judged, less the leads where they are taken off, and None for
    overload. `beyond` says that the error is larger than the tolerance itself, whatever the decision rule."""

    outcome: str
    value: Fraction | None = None
    overload: bool = False
    expected: Fraction | None = None
    error: Fraction | None = None
    counts: Fraction | None = None
    tolerance: Fraction | None = None
    percent: str = ""
    beyond: bool = False
    reason: str = ""
    readings: tuple[str, ...] = ()
    reference: str = ""
    sure: Uncertainty | None = None     # of repeated readings; else the point's own holds


def percent_text(error: Fraction, tolerance: Fraction) -> str:
    """One decimal, half away from zero: for showing only, nothing is decided by it."""
    tenths = math.floor(abs(error) / tolerance * 1000 + Fraction(1, 2))
    return units.decimal_text(Fraction(-tenths if error < 0 else tenths, 10), 1)


def verdict(point: Point, typed: str | Sequence[str], *, zero: str = "", zero_point: Point | None = None, reference: str = "", rule: str = "") -> Verdict:
    """Judges a reading, or the mean of several at the same point. `zero` is the reading of the leads alone, at `zero_point`.
    Raises `Wrong` for what no display can have shown."""
    texts = [typed] if isinstance(typed, str) else list(typed)
    read = [parse(one, **display(point)) for one in texts]
    if not texts or any(one is None for one in read):
        return Verdict(INCOMPLETE, reason="no reading")
    shown = tuple(one.text for one in read)
    overload = any(one.value is None for one in read)
    if point.is_observation:
        return Verdict(WRITTEN, None if overload else repeated.mean(readings=[one.value for one in read]), overload, readings=shown)

    expected, other = (point.expected or point.apply).number, None
    if point.kind == "reference":
        other = parse(reference, unit=point.unit, decimals=places(point.reference.resolution), resolution=point.reference.resolution.number)
        if other is None:
            return Verdict(INCOMPLETE, reason="no reference reading", readings=shown)
        if other.value is None:
            raise Wrong("the reference meter showed overload, so there is nothing to compare with", "'-' for a step that was not done")
        _near(point, other.value, expected)
        expected = other.value
    tolerance = point.slope * abs(expected) + point.offset.number if point.slope is not None else None
    guard = point.reference.guard_band.number if point.kind == "reference" and point.reference.guard_band else None
    undecided = (guard is None or tolerance < guard) if point.kind == "reference" else point.accept is None
    known = {"expected": expected, "tolerance": tolerance, "readings": shown, "reference": other.text if other else ""}
    if overload:
        return Verdict(WRITTEN if undecided else FAIL, overload=True, beyond=tolerance is not None, reason=UNDECIDED if undecided else "", **known)
    value = repeated.mean(readings=[one.value for one in read])
    if point.correction == "subtract" and point.kind != "zero":
        leads = parse(zero, **display(zero_point))
        if leads is None:
            return Verdict(INCOMPLETE, reason="leads not read", readings=shown)
        if leads.value is None:
            raise Wrong("the leads alone showed overload", "they are taken off this reading: read them again")
        value -= leads.value * units.unit(zero_point.unit).scale / units.unit(point.unit).scale
    error = value - expected
    found = Verdict(WRITTEN, value, error=error, counts=error / point.resolution.number,
                    percent=percent_text(error, tolerance) if tolerance else "", beyond=tolerance is not None and abs(error) > tolerance, **known)
    if len(read) > 1 and point.uncertainty and point.uncertainty.normal:
        found = replace(found, sure=_sure(point, [one.value for one in read]))
    if undecided:
        return replace(found, reason=UNDECIDED)
    return replace(found, outcome=_outcome(point, found, guard, rule))


def _near(point: Point, read: Fraction, about: Fraction) -> None:
    """The row of the accuracy table was chosen for about the planned value; the sheet's own table ends there too."""
    same, size = (-read if about < 0 else read), abs(about)
    if not (Fraction(4, 5) * size <= same < Fraction(5, 4) * size if size else abs(same) <= point.range.number / 100):
        raise Wrong(f"the limits hold for a reference reading of about {wording.number(about)}{wording.NARROW}{shown_unit(point.unit)}", "'-' for a step that was not done as the sheet says")


def _outcome(point: Point, found: Verdict, guard: Fraction | None, rule: str) -> str:
    value, error, tolerance, step = found.value, found.error, found.tolerance, point.resolution.number

    def within(limits: Limits | None) -> bool:
        return limits is not None and limits.low_counts * step <= value <= limits.high_counts * step

    if guard is not None:
        finest = point.reference.step.number

        def near(room: Fraction) -> bool:
            return abs(error) <= math.floor(room / finest) * finest  # cut off, never rounded up
        zones = [near(tolerance - guard), near(tolerance), near(tolerance + guard)]
    else:
        zones = [within(point.accept), within(point.tolerance_limits), within(point.conditional)]
    if found.sure is not None and tolerance is not None and rule:
        # Repeated readings are known less well than the sheet expected: a guard band that rests on U grows with it.
        grown = guard_band(rule=rule_of(rule), tolerance=float(tolerance), expanded=found.sure.expanded)
        zones[0] = zones[0] and grown < float(tolerance) and abs(error) <= tolerance - exact(value=grown) if grown else zones[0]
        zones[2] = zones[2] or (grown != math.inf and abs(error) <= tolerance + exact(value=grown))
    if zones[0]:
        return PASS
    if point.conditional and zones[1]:
        return CONDITIONAL_PASS
    if point.conditional and zones[2]:
        return CONDITIONAL_FAIL
    return FAIL


def _sure(point: Point, readings: list[Fraction]) -> Uncertainty:
    own = point.uncertainty
    return repeated.with_readings(
        rectangles=[float(one.number) for one in own.rectangles], normal=float(own.normal.number),
        degrees=math.inf if own.degrees == "inf" else float(own.degrees), readings=readings,
        probability=float(own.probability.rstrip(" %\u00a0")) / 100)
