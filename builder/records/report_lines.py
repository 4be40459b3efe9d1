"""A point of a record as a line of its report: numbers → text, in the unit of the display."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.formats.sheet_data import PointData
from builder.numbers import exact_text, statistics_text, units
from builder.numbers.exact_text import NARROW, minus
from builder.records.judged_record import JudgedReading
from builder.records.typed import OVERLOAD, shown_unit
from builder.records.verdict import CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, PASS, WRITTEN, Verdict

OUTCOMES = {PASS: "pass", CONDITIONAL_PASS: "conditional pass",
            CONDITIONAL_FAIL: "conditional fail", FAIL: "FAIL", WRITTEN: "written down",
            "": "not done"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportLine:
    """One point as a line of the results; numbers are in the unit of `reading`."""

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
    counts: str
    percent: str
    expanded: str
    k: str
    outcome: str
    fails: bool
    live: bool
    before: "ReportLine | None" = None    # the same point as found


# ---------------------------------------------------------------- numbers

def quantity(text: str) -> str:
    """A quantity of the data as a reader expects it."""
    number, _, unit = text.rpartition(" ")
    return f"{minus(number)}{NARROW}{shown_unit(unit)}" if number else text


def _number(text: str) -> str:
    return minus(text.rpartition(" ")[0] or text)


def _decimals(text: str) -> int:
    return len(text.split(" ")[0].partition(".")[2])


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


def expanded_of(point: PointData, found: Verdict | None) -> tuple[str, str]:
    """U and k of a point: from its budget, or with the spread of its repeated readings."""
    if found is not None and found.sure is not None:
        return statistics_text.expanded(found.sure.expanded), f"{found.sure.k:.2f}"
    if point.uncertainty is None:
        return "", ""
    return _number(point.uncertainty.U.text), minus(units.decimal_text(point.uncertainty.k, 2))


# ---------------------------------------------------------------- a point

def line_of(one: JudgedReading, before: JudgedReading | None = None,
            earlier: bool = False) -> ReportLine:
    """The point, and below it the same point as found, where there is such a reading."""
    p, found = one.point, one.verdict
    expanded, k = (expanded_of(p, found) if found and found.error is not None and p.kind != "zero"
                   else ("", ""))
    measured = found is not None and found.error is not None and p.kind != "zero"
    places = max(p.decimals, _decimals(expanded) if expanded else 0)
    zero = p.kind == "zero"
    applied = "leads alone" if zero else quantity(p.apply.text)
    at = ", ".join(quantity(one) for one in (p.frequency, p.level) if one)
    if p.wave:
        at = ", ".join(filter(None, (at, f"{p.wave} wave")))
    if p.expected and not p.is_observation:
        at = ", ".join(filter(None,
                              (at,
                               f"{'certified' if p.kind == 'artifact' else 'gives'} "
                               f"{quantity(p.expected.text)}")))
    return ReportLine(
        step=p.step, applied=applied, at=at,
        range=quantity(p.range.text) + (" by hand" if p.range_forced else ""),
        limits=_limits(p, found), tolerance=tolerance_of(p, found),
        reading=_reading(one), beside=_beside(one), remarks=_remarks(one, earlier),
        error=rounded(found.error, places) if measured else "",
        counts=exact_or_rounded(found.counts, 0) if measured else "",
        percent=minus(found.percent) if measured else "", expanded=expanded, k=k,
        outcome=OUTCOMES[one.outcome], fails=one.has_failed, live=bool(p.hazard),
        before=line_of(before, earlier=True) if before is not None and before.tries else None)


def _limits(p: PointData, found: Verdict | None) -> str:
    if p.is_observation:
        return ""
    if p.kind == "reference":
        if (found is None or found.tolerance is None or found.expected is None
            or p.reference.guard_band is None):
            return ""
        room = found.tolerance - p.reference.guard_band.number
        step = p.reference.step.number
        return (f"differs by ≤ {exact_text.number(math.floor(room / step) * step)}" if room >= 0
                else "none left")
    if p.accept is None:
        return "none left"
    outer = (f" ({_number(p.tolerance_limits.low.text)} to {_number(p.tolerance_limits.high.text)})"
             if p.conditional and p.tolerance_limits else "")
    return f"{_number(p.accept.low.text)} to {_number(p.accept.high.text)}{outer}"


def tolerance_of(p: PointData, found: Verdict | None) -> str:
    if p.slope is None:
        return ""
    value = (found.tolerance if found is not None and found.tolerance is not None
             else p.slope * abs((p.expected or p.apply).number) + p.offset.number)
    return exact_text.tolerance(value,
                                units.Unit(shown="", ascii="", base="", dimension="[ratio]",
                                           scale=Fraction(1)), p.decimals)


def _reading(one: JudgedReading) -> str:
    found = one.verdict
    if found is None:
        return "–"
    if found.overload:
        return OVERLOAD
    if len(found.readings) > 1:
        decimals = max(one.point.decimals, _decimals(expanded_of(one.point, found)[0] or "0"))
        return (((
            f"{rounded(found.value, decimals)}{NARROW}{shown_unit(found.readings[0].rpartition(' ')[2])}")))
    if one.point.correction == "subtract" and one.point.kind != "zero" and found.value is not None:
        return (((
            f"{exact_or_rounded(found.value, one.point.decimals)}{NARROW}{shown_unit(one.point.unit)}")))
    return quantity(found.readings[0])


def _beside(one: JudgedReading) -> str:
    found = one.verdict
    if found is None or found.overload:
        return ""
    if found.reference:
        return f"ref. {quantity(found.reference)}"
    return (f"shown {_number(found.readings[0])}" if one.point.correction == "subtract"
            and one.point.kind != "zero" and len(found.readings) == 1 else "")


def _remarks(one: JudgedReading, earlier: bool) -> tuple[str, ...]:
    """What stands small below a reading: how it was come by, other tries, why nothing was
    decided."""
    said, found, p = [], one.verdict, one.point
    if found is None:
        return (one.note,) if one.note else ()
    if len(found.readings) > 1:
        said.append(f"mean of {len(found.readings)}: " + ", ".join(map(_number, found.readings)))
        if found.sure is not None:
            said.append(
                f"with u = {statistics_text.figures(found.sure.u, 3)}, ν = "
                f"{'∞' if found.sure.degrees == math.inf else f'{found.sure.degrees:.0f}'}")
    if p.is_observation and p.observe and not earlier:
        said.append(p.observe)
    for other, judged in one.tries:
        if judged is not found and judged.readings:
            nth = "first try" if other is one.tries[0][0] else "second try"
            said.append(
                f"{nth} {', '.join(map(quantity, judged.readings))}: "
                f"{OUTCOMES.get(judged.outcome, judged.outcome)}")
    if found.reason:
        said.append(found.reason)
    if one.note:
        said.append(one.note)
    return tuple(said)
