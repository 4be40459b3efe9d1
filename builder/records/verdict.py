"""What became of a reading, by the limits and the accuracy that a record carries itself.

The same rules as on the phone, pages/assets/verdict.js: a reading that the one accepts, the other
accepts. Numbers are exact, in the unit of the display. """

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact.compared import is_near
from builder.compute.exact.tolerance import Tolerance
from builder.compute.statistics import repeated
from builder.compute.statistics.budget import Uncertainty
from builder.compute.statistics.decision import exact, guard_band
from builder.formats.decision_rule import rule_of
from builder.formats.outcomes import (CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, INCOMPLETE, PASS,
                                      WRITTEN)
from builder.formats.reference_data import UncertaintyData
from builder.formats.sheet_data import LimitsData, PointData
from builder.numbers import exact_text, units
from builder.records.typed import (TypedReading, display, flickering, places, refuse,
                                   shown_unit)

NO_READING, NO_REFERENCE, ONE_REFERENCE, MOVED, NO_LEADS, UNDECIDED = (
    "no-reading", "no-reference", "one-reference", "reference-moved", "no-leads", "undecided")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Values are in the point's unit; `value` is what was judged, less the leads where they are
    taken off, and None for overload; of a reading that flickered it is the extreme farther from
    the middle of the limits, and `steady_error` the error of the middle of both. `tolerance` is
    that of the side on which the error lies, of `sides`. `beyond` says
    that the error is larger than the tolerance itself, whatever the decision rule; `reason` is the
    code of why nothing was decided, worded by `reading_words.why`."""

    outcome: str
    value: Fraction | None = None
    overload: bool = False
    expected: Fraction | None = None
    error: Fraction | None = None
    steady_error: Fraction | None = None
    counts: Fraction | None = None
    sides: Tolerance | None = None
    tolerance: Fraction | None = None
    percent: str = ""
    beyond: bool = False
    reason: str = ""
    readings: tuple[str, ...] = ()
    reference: str = ""
    sure: Uncertainty | None = None     # of repeated readings; else the point's own holds


def verdict(point: PointData, typed: str | Sequence[str], *, zero: str = "",
            zero_point: PointData | None = None, reference: str = "", rule: str = "") -> Verdict:
    """Judges a reading, or the mean of several at the same point. `reference` is what the reference
    meter read, or what it read before and after, a semicolon between. `zero` is the reading of the
    leads alone, at `zero_point`. Raises `Wrong` for what no display can have shown."""
    texts = [typed] if isinstance(typed, str) else list(typed)
    read = [flickering(one, **display(point)) for one in texts]
    if not texts or not all(read):
        return Verdict(outcome=INCOMPLETE, reason=NO_READING)
    shown = tuple(_text(one) for one in read)
    overload = any(one.value is None for extremes in read for one in extremes)
    middles = [] if overload else [_middle(extremes) for extremes in read]
    if point.is_observation:
        return Verdict(outcome=WRITTEN,
                       value=None if overload else repeated.mean(readings=middles),
                       overload=overload, readings=shown)

    expected, read_beside = (point.expected or point.apply).number, ""
    if point.kind == "reference":
        beside = _references(point, reference, expected)
        if isinstance(beside, str):
            return Verdict(outcome=INCOMPLETE, reason=beside, readings=shown)
        expected, read_beside = beside
    sides = point.tolerance_at(expected)
    guard = _guard(point, expected)
    undecided = ((guard is None or sides.smaller < guard) if point.kind == "reference"
                 else point.accept is None)
    known = {"expected": expected, "sides": sides, "readings": shown, "reference": read_beside}
    if overload:
        return Verdict(outcome=WRITTEN if undecided else FAIL, overload=True,
                       tolerance=sides.outward(expected) if sides else None,
                       beyond=sides is not None,
                       reason=UNDECIDED if undecided else "", **known)
    off = Fraction(0)
    if point.correction == "subtract" and point.kind != "zero":
        leads = flickering(zero, **display(zero_point))
        if not leads:
            return Verdict(outcome=INCOMPLETE, reason=NO_LEADS, readings=shown)
        if any(one.value is None for one in leads):
            raise refuse("leads-overload")
        off = _middle(leads) * units.unit(zero_point.unit).scale / units.unit(point.unit).scale
    centre = _centre(point, expected) + off
    value = repeated.mean(readings=[
        max((one.value for one in extremes), key=lambda x: (abs(x - centre), x))
        for extremes in read]) - off
    error = value - expected
    tolerance = None if sides is None else sides.of_error(error)
    steady = (repeated.mean(readings=middles) - off - expected
              if any(len(extremes) > 1 for extremes in read) else None)
    measured = Verdict(outcome=WRITTEN, value=value, error=error, steady_error=steady,
                       counts=error / point.resolution.number, tolerance=tolerance,
                       percent=exact_text.percent_of(error, tolerance) if tolerance else "",
                       beyond=tolerance is not None and abs(error) > tolerance, **known)
    own = uncertainty_at(point, expected)
    if len(read) > 1 and own and own.normal:
        measured = replace(measured, sure=_sure(own, middles))
    if undecided:
        return replace(measured, reason=UNDECIDED)
    return replace(measured, outcome=_outcome(point, measured, guard, rule))


def _references(point: PointData, typed: str, planned: Fraction) -> tuple[Fraction, str] | str:
    """What the reference meter read, and its text; of two readings, before and after, the mean. A
    reason where one is missing. Raises `Wrong`."""
    wanted = 2 if point.reference.twice else 1
    read = [flickering(one, unit=point.unit, decimals=places(point.reference.resolution),
                       resolution=point.reference.resolution.number) for one in typed.split(";")]
    if not any(read):
        return NO_REFERENCE
    if len(read) > wanted:
        raise refuse("too-many-references", text=typed.strip()[:30])
    if not all(read) or len(read) < wanted:
        return ONE_REFERENCE
    if any(one.value is None for extremes in read for one in extremes):
        raise refuse("no-reference")
    middles = [_middle(extremes) for extremes in read]
    added = point.reference.correction.number if point.reference.correction else Fraction(0)
    if not all(is_near(reference=one + more, planned=planned, full_scale=point.range.number)
               for one in middles for more in (0, added)):
        about = exact_text.number(planned) + exact_text.NARROW + shown_unit(point.unit)
        raise refuse("reference-far", about=about)
    if point.reference.apart and max(middles) - min(middles) > point.reference.apart.number:
        return MOVED
    *firsts, last = (_text(extremes) for extremes in read)
    return (repeated.mean(readings=middles) + added,
            "; ".join([*(one.rpartition(" ")[0] for one in firsts), last]))


def _text(extremes: Sequence[TypedReading]) -> str:
    """As it was typed, with the unit once."""
    *firsts, last = (one.text for one in extremes)
    return "/".join([*(one.split(" ")[0] for one in firsts), last])


def _middle(extremes: Sequence[TypedReading]) -> Fraction:
    return sum((one.value for one in extremes), Fraction(0)) / len(extremes)


def _centre(point: PointData, expected: Fraction) -> Fraction:
    """The middle of the limits: what lies farther from it is the worse of two readings."""
    limits = point.accept or point.tolerance_limits
    if limits is None or point.kind == "reference":
        return expected
    return Fraction(limits.low_counts + limits.high_counts, 2) * point.resolution.number


def _outcome(point: PointData, measured: Verdict, guard: Fraction | None, rule: str) -> str:
    value, error, tolerance = measured.value, measured.error, measured.tolerance
    step = point.resolution.number

    def within(limits: LimitsData | None) -> bool:
        return limits is not None and limits.low_counts * step <= value <= limits.high_counts * step

    if guard is not None:
        finest = point.reference.step.number

        def near(room: Fraction) -> bool:
            return abs(error) <= math.floor(room / finest) * finest  # cut off, never rounded up
        zones = [near(tolerance - guard), near(tolerance), near(tolerance + guard)]
    else:
        zones = [within(point.accept), within(point.tolerance_limits), within(point.conditional)]
    if measured.sure is not None and tolerance is not None and rule:
        # Repeated readings are known less well than the sheet expected: a guard band that rests on
        # U grows with it.
        smaller = float(measured.sides.smaller)
        grown = guard_band(rule=rule_of(rule), tolerance=smaller,
                           expanded=measured.sure.expanded)
        zones[0] = (zones[0] and grown < smaller
                    and abs(error) <= tolerance - exact(value=grown) if grown else zones[0])
        zones[2] = zones[2] or (grown != math.inf and abs(error) <= tolerance + exact(value=grown))
    if zones[0]:
        return PASS
    if point.conditional and zones[1]:
        return CONDITIONAL_PASS
    if point.conditional and zones[2]:
        return CONDITIONAL_FAIL
    return FAIL


def uncertainty_at(point: PointData, expected: Fraction | None) -> UncertaintyData | None:
    """That of the reference reading where a point is compared; else the point's."""
    at = point.reference.holds_at(expected) if point.reference and expected is not None else None
    return at.uncertainty if at else point.uncertainty


def _guard(point: PointData, expected: Fraction) -> Fraction | None:
    """The exact guard band of a compared point at its reference reading."""
    if point.reference is None:
        return None
    band = (point.reference.holds_at(expected) or point.reference).guard_band
    return band.number if band else None


def _sure(own: UncertaintyData, readings: list[Fraction]) -> Uncertainty:
    return repeated.with_readings(
        rectangles=[float(one.number) for one in own.rectangles], normal=float(own.normal.number),
        degrees=float(own.degrees), readings=readings,
        probability=float(own.probability.removesuffix("%")) / 100)
