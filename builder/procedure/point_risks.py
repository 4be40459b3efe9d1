"""The risks of a point's verdict, for the counts that its sheet really accepts: what the displays
at the point round, and where the cells of the accepted counts lie.

The error of a meter is meant in two senses. Before rounding, as EA-4/02 S9 takes the measurand: the
display's rounding is part of the measurement. As it is shown, which is the usual sense of a data
sheet with counts: a meter is within its tolerance that would show an accepted count if exactly the
planned value were applied. The prior is of errors before rounding in both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.compared import band
from builder.compute.exact.display import AcceptedCounts
from builder.compute.statistics import risk, rounding
from builder.compute.statistics.budget import Component
from builder.compute.statistics.decision import exact
from builder.procedure.planned_points import PlannedPoint, difference_step, moved, zero_key
from builder.procedure.supplies import REFERENCE

Span = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Risks:
    """How often a verdict at a point is wrong. `specific`: at the last accepted reading; the others
    for the plan's share of meters in tolerance, None where it states none. `out_passed`: the share
    of the meters that are out which passes."""

    specific: float
    false_accept: float | None = None
    false_reject: float | None = None
    out_passed: float | None = None
    shown_accept: float | None = None
    shown_reject: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edges:
    """Limits of the error before rounding, in the function's unit: which errors are shown within
    the tolerance, which are accepted, and the half-width that blurs the second in either sense."""

    within: Span
    accepted: Span
    blur: float = 0.0
    shown_blur: float = 0.0
    shown_spread: float = 0.0   # u of what a shown error has beside the one before rounding


def ends_of(point: PlannedPoint) -> tuple[PlannedPoint, ...]:
    """A compared point at both ends of where its reference reading may lie, as far as its range
    goes; the lower first."""
    ends = band(planned=point.judged.applied, full_scale=point.range.full_scale)
    return tuple(moved(point, end) for end in ends if abs(end) <= point.range.highest)


def worst(risks: Sequence[Risks]) -> Risks:
    """Each risk at its largest."""
    def largest(name: str) -> float | None:
        return max((getattr(one, name) for one in risks if getattr(one, name) is not None),
                   default=None)
    return Risks(**{name: largest(name) for name in Risks.__dataclass_fields__})


def risks_at(*, point: PlannedPoint, components: Sequence[Component], accept: AcceptedCounts,
             guard: float, share: Fraction | None) -> Risks:
    """The risks for a point's accepted counts; at a compared point for the differences that its
    guard band leaves there. The prior lies in the middle of the tolerance."""
    below, above = float(point.judged.sides.below), float(point.judged.sides.above)
    half_span = (below + above) / 2
    inside, edges = (_compared(point, guard) if point.supply.method == REFERENCE
                     else _counted(point, accept))
    specific = risk.specific_at_limit(components=components, tolerance=half_span, guard=inside)
    if share is None or half_span <= 0:
        return Risks(specific=specific)
    u = math.sqrt(sum(one.contribution ** 2 for one in components if not one.rounding))
    u0, mean = risk.prior_of_share(share=float(share), tolerance=half_span), (above - below) / 2
    accepted, rejected = risk.global_risks(tolerance=(-below, above), acceptance=edges.accepted,
                                           u0=u0, u=u, mean=mean, blur=edges.blur)
    shown_accept, shown_reject = risk.global_risks(
        tolerance=edges.within, acceptance=edges.accepted, u0=math.hypot(u0, edges.shown_spread),
        u=u, mean=mean, blur=edges.shown_blur)
    return Risks(specific=specific, false_accept=accepted, false_reject=rejected,
                 out_passed=accepted / float(1 - share),
                 shown_accept=shown_accept, shown_reject=shown_reject)


def _counted(point: PlannedPoint, accept: AcceptedCounts) -> tuple[float, _Edges]:
    """How far the last accepted count lies inside the tolerance, at the end where that is least,
    and where the cells of the counts lie: round the value that is applied. What is taken off brings
    a rounding of its own; a relative reading stands in the counts of its own range, a difference by
    hand in all digits of both."""
    step, x, sides = point.range.resolution, point.judged.applied, point.judged.sides

    def span(counts: AcceptedCounts, grid: Fraction) -> Span:
        return rounding.cells(lowest=counts.low * step - x, highest=counts.high * step - x,
                              step=grid,
                              hides_below=counts.low == 0 and point.shows_all_below_as_zero)
    grid, blur = step, 0.0
    if point.correction:
        other = zero_key(point)[1].resolution
        grid, blur = (rounding.of_difference(own=step, other=other)
                      if point.correction == "subtract" else (step, float(other) / 2))
    return (float(min(sides.above + x - accept.high * step, sides.below - x + accept.low * step)),
            _Edges(within=span(point.judged.accepted, step), accepted=span(accept, grid),
                   blur=blur, shown_blur=blur))


def _compared(point: PlannedPoint, guard: float) -> tuple[float, _Edges]:
    """How far the largest accepted difference from the reference reading lies inside the tolerance,
    and its cells; the value itself lies anywhere on both grids. Where the tolerance follows the
    reference reading, what is allowed lies anywhere between two digits before it is cut off. An
    error as shown has the meter's rounding in it."""
    own, other = point.range.resolution, point.rows[0].resolution.value
    cut = difference_step(point)
    step, blur = rounding.of_difference(own=own, other=other)
    shown_blur = math.sqrt(other * other - step * step) / 2
    allowed = point.judged.tolerance - exact(value=guard)
    if point.judged.line.slope:
        widest = allowed - cut / 2      # between nothing and all of a digit is cut off
        blur, shown_blur = (math.hypot(half, float(cut) / 2) for half in (blur, shown_blur))
    else:
        widest = allowed = math.floor(allowed / cut) * cut
    tolerance = float(point.judged.tolerance)
    return float(point.judged.tolerance - allowed), _Edges(
        within=(-tolerance, tolerance), blur=blur, shown_blur=shown_blur,
        accepted=rounding.cells(lowest=-widest, highest=widest, step=step),
        shown_spread=float(own) / math.sqrt(12))
