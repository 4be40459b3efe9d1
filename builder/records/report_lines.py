"""A point of a record as a line of its report: numbers → text, in the unit of the display."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.drawing.reading_band import band_picture, reading_band
from builder.formats.functions import KINDS
from builder.formats.sheet_data import PointData
from builder.numbers import exact_text, statistics_text, units
from builder.numbers.exact_text import NARROW, minus
from builder.records.judged_record import JudgedReading
from builder.records.reading_words import why
from builder.records.state_words import AFTER_WORK, NO_GROUND, OUTCOMES
from builder.records.typed import OVERLOAD, shown_unit
from builder.records.verdict import Verdict, uncertainty_at

_OF_TWO_WIRES = {kind.dimension for kind in KINDS.values() if kind.zero_with}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportLine:
    """A judged reading as the texts of its line in a report, numbers in the unit of `reading`; the
    end of an applied value's way."""

    step: str
    applied: str
    at: str
    range: str
    limits: str
    tolerance: str
    reading: str
    # what the display showed where the leads are taken off, or the reading of the reference meter
    beside: str
    remarks: tuple[str, ...]
    error: str
    band: str       # its picture, HTML; "" where nothing is judged
    percent: str
    expanded: str
    k: str
    outcome: str
    fails: bool
    live: bool
    before: ReportLine | None = None    # the same point as found


# ---------------------------------------------------------------- numbers

def quantity(text: str) -> str:
    """A quantity of the data as a reader expects it."""
    number, _, unit = text.rpartition(" ")
    return f"{minus(number)}{NARROW}{shown_unit(unit)}" if number else text


def _number(text: str) -> str:
    return minus(text.rpartition(" ")[0] or text)


def _decimals(text: str) -> int:
    return len(text.split(" ")[0].partition(".")[2])


def named_steps(steps: Sequence[str]) -> str:
    """'step 1.2' or 'steps 1.2, 1.3', as they stand in a sentence."""
    return f"step{'' if len(steps) == 1 else 's'} {', '.join(steps)}"


def rounded(value: Fraction, decimals: int) -> str:
    """Half away from zero: for showing only."""
    scaled = math.floor(abs(value) * 10 ** decimals + Fraction(1, 2))
    return minus(units.decimal_text(Fraction(-scaled if value < 0 else scaled, 10 ** decimals),
                                    decimals))


def exact_or_rounded(value: Fraction, decimals: int) -> str:
    """All decimals of an exact value where they are few, and at least so many; the mean of three
    readings may have no end."""
    near = Fraction(10 ** (decimals + 3))
    return (minus(units.decimal_text(value, decimals)) if (value * near).denominator == 1
            else rounded(value, decimals + 1))


def expanded_of(point: PointData, verdict: Verdict | None) -> tuple[str, str]:
    """U and k of a point: from its budget, or with the spread of its repeated readings."""
    if verdict is not None and verdict.sure is not None:
        return statistics_text.expanded(verdict.sure.expanded), f"{verdict.sure.k:.2f}"
    own = uncertainty_at(point, verdict.expected if verdict else None)
    if own is None:
        return "", ""
    return _number(own.U.text), minus(units.decimal_text(own.k, 2))


# ---------------------------------------------------------------- a point

def line_of(reading: JudgedReading, before: JudgedReading | None = None,
            earlier: bool = False, has_ground: bool = True) -> ReportLine:
    """The point, and below it the same point as found, where there is such a reading. Without
    ground a reading is printed, and called neither a pass nor a fail."""
    p, verdict = reading.point, reading.verdict
    zero = p.kind == "zero"
    measured = verdict is not None and verdict.error is not None and not zero
    expanded, k = expanded_of(p, verdict) if measured else ("", "")
    places = max(p.decimals, _decimals(expanded) if expanded else 0)
    applied = "leads alone" if zero else quantity(p.apply.text)
    conditions = ", ".join(quantity(one) for one in (p.frequency, p.level) if one)
    if p.wave:
        conditions = ", ".join(filter(None, (conditions, f"{p.wave} wave")))
    if p.expected and not p.is_observation:
        how = "certified" if p.kind == "artifact" and not _may_hold_leads(p) else "gives"
        conditions = ", ".join(filter(None, (conditions, f"{how} {quantity(p.expected.text)}")))
    return ReportLine(
        step=p.step, applied=applied, at=conditions,
        range=quantity(p.range.text) + (" by hand" if p.range_forced else ""),
        limits=_limits(p, verdict), tolerance=tolerance_of(p, verdict),
        reading=_reading(reading), beside=_beside(reading), remarks=_remarks(reading, earlier),
        error=rounded(verdict.error, places) if measured else "",
        band=_band(reading) if verdict and not zero and has_ground else "",
        percent=minus(verdict.percent) if measured else "", expanded=expanded, k=k,
        outcome=(AFTER_WORK if reading.after_work and not reading.outcome
                 else OUTCOMES[reading.outcome] if has_ground or not reading.outcome
                 or p.is_observation else NO_GROUND),
        fails=has_ground and reading.has_failed, live=bool(p.hazard),
        before=line_of(before, earlier=True) if before is not None and before.tries else None)


def _may_hold_leads(p: PointData) -> bool:
    """Whether half of the most that leads may add can be part of the expected value: where they
    are not taken off a value that two wires carry."""
    return p.correction is None and units.unit(p.unit).dimension in _OF_TWO_WIRES


def _band(reading: JudgedReading) -> str:
    """Where the error lies in the tolerance, with ±U, and the acceptance limits where a guard band
    draws them in."""
    p, verdict, percent = reading.point, reading.verdict, reading.percent
    if percent is None:
        return ""
    guard = ()
    if p.accept and p.tolerance_limits and p.accept != p.tolerance_limits:
        ends = ((p.accept.low, p.tolerance_limits.low, -100),
                (p.accept.high, p.tolerance_limits.high, 100))
        guard = tuple(side * float((verdict.expected - inner.number)
                                   / (verdict.expected - outer.number))
                      for inner, outer, side in ends if verdict.expected != outer.number)
    return band_picture(reading_band(percent=percent, expanded=reading.expanded, guard=guard))


def _limits(p: PointData, verdict: Verdict | None) -> str:
    if p.is_observation:
        return ""
    if p.kind == "reference":
        if (verdict is None or verdict.tolerance is None or verdict.expected is None
            or p.reference.guard_band is None):
            return ""
        room = verdict.tolerance - p.reference.guard_band.number
        step = p.reference.step.number
        return (f"differs by ≤ {exact_text.number(math.floor(room / step) * step)}" if room >= 0
                else "none left")
    if p.accept is None:
        return "none left"
    outer = (f" ({_number(p.tolerance_limits.low.text)} to {_number(p.tolerance_limits.high.text)})"
             if p.conditional and p.tolerance_limits else "")
    return f"{_number(p.accept.low.text)} to {_number(p.accept.high.text)}{outer}"


def tolerance_of(p: PointData, verdict: Verdict | None) -> str:
    """The number, and where it differs up and down both with their signs."""
    sides = (verdict.sides if verdict is not None and verdict.sides is not None
             else p.tolerance_at((p.expected or p.apply).number))
    if sides is None:
        return ""
    bare = units.Unit(shown="", ascii="", base="", dimension="[ratio]", scale=Fraction(1))
    above, below = (exact_text.tolerance(one, bare, p.decimals)
                    for one in (sides.above, sides.below))
    return above if sides.is_even else f"+{above} −{below}"


def _reading(reading: JudgedReading) -> str:
    verdict, p = reading.verdict, reading.point
    if verdict is None:
        return "–"
    if verdict.overload:
        return OVERLOAD
    if len(verdict.readings) > 1:
        decimals = max(p.decimals, _decimals(expanded_of(p, verdict)[0] or "0"))
        unit = shown_unit(verdict.readings[0].rpartition(" ")[2])
        return f"{rounded(verdict.value, decimals)}{NARROW}{unit}"
    if p.correction == "subtract" and p.kind != "zero" and verdict.value is not None:
        return f"{exact_or_rounded(verdict.value, p.decimals)}{NARROW}{shown_unit(p.unit)}"
    return quantity(verdict.readings[0])


def _beside(reading: JudgedReading) -> str:
    verdict = reading.verdict
    if verdict is None or verdict.overload:
        return ""
    if verdict.reference:
        return f"ref. {quantity(verdict.reference)}{_added(reading.point, verdict)}"
    return (f"shown {_number(verdict.readings[0])}" if reading.point.correction == "subtract"
            and reading.point.kind != "zero" and len(verdict.readings) == 1 else "")


def _added(p: PointData, verdict: Verdict) -> str:
    """What its certificate adds to a reference reading, and what comes of it."""
    added = p.reference.correction
    if added is None:
        return ""
    sign, places = "−" if added.number < 0 else "+", _decimals(p.reference.resolution.text)
    return (f" {sign} {units.decimal_text(abs(added.number), places)} = "
            f"{exact_or_rounded(verdict.expected, p.decimals)}{NARROW}{shown_unit(p.unit)}")


def _remarks(reading: JudgedReading, earlier: bool) -> tuple[str, ...]:
    """What stands small below a reading: how it was come by, other tries, why nothing was
    decided."""
    remarks, verdict, p = [], reading.verdict, reading.point
    later = [f"read {AFTER_WORK}: {', '.join(map(quantity, judged.readings))}"
             + (f", void, {attempt.cause}" if attempt.cause else "")
             for attempt, judged in (reading.after_work.tries if reading.after_work else ())
             if judged.readings]
    if verdict is None:
        return (*later, *([reading.note] if reading.note else ()))
    if len(verdict.readings) > 1:
        remarks.append(
            f"mean of {len(verdict.readings)}: " + ", ".join(map(_number, verdict.readings)))
        if verdict.sure is not None:
            remarks.append(
                f"with u = {statistics_text.figures(verdict.sure.u, 3)}, ν = "
                f"{'∞' if verdict.sure.degrees == math.inf else f'{verdict.sure.degrees:.0f}'}")
    elif verdict.steady_error is not None:
        remarks.append(f"flickered: {exact_or_rounded(verdict.value, p.decimals)}{NARROW}"
                       f"{shown_unit(p.unit)} counts, farther from the middle of the limits")
    if p.is_observation and p.observe and not earlier:
        remarks.append(p.observe)
    for other, judged in reading.tries[:reading.as_found]:
        if judged is not verdict and judged.readings:
            which = [attempt for attempt, _ in reading.tries].index(other) + 1
            remarks.append(
                f"reading {which}: {', '.join(map(quantity, judged.readings))}, "
                + (f"void, {other.cause}" if other.cause else OUTCOMES[judged.outcome]))
    remarks += later
    if verdict.reason:
        remarks.append(why(verdict.reason))
    if reading.note:
        remarks.append(reading.note)
    return tuple(remarks)
