"""What people type as a reading, as the phone takes it: a number, its unit, overload. Exact, in the
unit of the display."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from builder.files.problems import Wrong
from builder.formats.sheet_data import Figure, PointData
from builder.numbers import exact_text, units

OVERLOAD = "OL"
UNIT_HINT = "write the number alone: the unit is that of the sheet"

_NUMBER = re.compile(
    r"([+\-−–]?)\s*([0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3})+|[0-9]*)(?:([.,])([0-9]*))?\s*(.*)",
    re.S)
_OVER = re.compile(r"[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)", re.I | re.S)
_UNIT = re.compile(r"([pnumkg]?)(v|a|ohms?|f|s|hz)", re.I)
_WORDS = re.compile(r"(pico|nano|micro|milli|kilo|mega?|giga)(?=[a-z])", re.I)
_BASES = {"v": "V", "a": "A", "ohm": "Ohm", "ohms": "Ohm", "f": "F", "s": "S", "hz": "Hz"}
_ALONE = {"%": "%", "percent": "%", "degc": "degC", "°c": "degC", "℃": "degC", "degf": "degF",
          "°f": "degF", "℉": "degF"}


# ---------------------------------------------------------------- what people type

@dataclass(frozen=True, slots=True)
class TypedReading:
    """`value` is None for overload; `decimals` are as they were typed."""

    value: Fraction | None
    text: str


def _unit_of(typed: str) -> tuple[str, str] | None:
    """Base and spelling of a unit, as the phone takes it: capitals matter only where they tell
    milli from mega."""
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
        return (
            f"the sheet is in {name}, not in {shown_unit(found[1])}: if the display showed "
            f"{shown_unit(found[1])}, it was on another range")
    return f"this reading is in {name}, not in {shown_unit(found[1])}"


def parse(typed: str, *, unit: str, decimals: int | None = None,
          resolution: Fraction | None = None) -> TypedReading | None:
    """A typed reading; None where nothing was typed. Fewer digits than the display shows are
    completed by zeros; with more the meter was on another range, and the limits don't hold there.
    Raises `Wrong`."""
    text = typed.strip()
    if not text:
        return None
    over = _OVER.fullmatch(text)
    if over:
        if wrong := _wrong_unit(over[1].strip(), unit):
            raise Wrong(wrong, UNIT_HINT)
        return TypedReading(None, OVERLOAD)
    sign, before, mark, after, rest = _NUMBER.fullmatch(text).groups()
    after = after or ""
    if not before and not after:
        raise Wrong(f"“{text[:30]}” is no number",
                    "a reading, OL for overload, or '-' for a step that was not done")
    if re.match(r"[0-9.,'’]",
                rest) or (decimals is None and mark == ","
                          and re.fullmatch(r"[1-9][0-9]{0,2}", before) and len(after) == 3):
        raise Wrong(f"“{text[:30]}” can be read in two ways",
                    "write a point before decimals, and nothing between thousands")
    digits = re.sub(r"[^0-9]", "", before) + after
    if len(digits) > 18:
        raise Wrong("more digits than any display shows", "a digit is mistyped")
    if wrong := _wrong_unit(rest.strip(), unit):
        raise Wrong(wrong, UNIT_HINT)
    value = Fraction(int(digits), 10 ** len(after)) * (-1 if sign and sign != "+" else 1)
    if decimals is not None and len(after) > decimals:
        shows = {0: "no decimals", 1: "one decimal"}.get(decimals, f"{decimals} decimals")
        raise Wrong(
            f"“{text[:30]}” has {len(after)} decimals, and the display shows {shows} on this range",
            "with more it was on another range, where these limits don't hold; or a digit is "
            "mistyped")
    if resolution is not None and (value / resolution).denominator != 1:
        raise Wrong(
            f"“{text[:30]}” can't be shown: the display counts in steps of "
            f"{exact_text.number(resolution)}{exact_text.NARROW}{shown_unit(unit)} on this range",
            "read the sheet again: a digit is mistyped")
    return (((TypedReading(value,
                           f"{units.decimal_text(value, len(after) if decimals is None else decimals)} {unit}"))))


def display(point: PointData) -> dict:
    """What `parse` must know of a point's display. An observation often shows something else than
    its range does."""
    if point.find == "bandwidth":
        return {"unit": "Hz"}
    if point.find == "sensitivity" and point.level:
        return {"unit": point.level.split(" ")[-1]}
    if point.is_observation:
        return {"unit": point.unit}
    return {"unit": point.unit, "decimals": point.decimals, "resolution": point.resolution.number}


def places(figure: Figure) -> int:
    return len(figure.text.split(" ")[0].partition(".")[2])
