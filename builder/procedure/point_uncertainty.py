"""How sure a planned point is, whether its standard is good enough, and the limits that the
decision rule leaves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from builder.compute.exact.compared import AT_ZERO, HIGHEST, LOWEST, starts
from builder.compute.exact.display import AcceptedCounts, accepted
from builder.compute.statistics import budget, decision
from builder.compute.statistics.budget import Component, Uncertainty
from builder.formats.plan import Plan
from builder.procedure.budget_of_point import components_of
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_risks import Risks, ends_of, risks_at, worst
from builder.procedure.supplies import REFERENCE


@dataclass(frozen=True, slots=True, kw_only=True)
class AtReference:
    """How sure a compared point is where the size of the reference reading is short of `below`, and
    of no step before this one; and the guard band there."""

    below: Fraction
    components: tuple[Component, ...]
    uncertainty: Uncertainty
    guard: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PointUncertainty:
    """What `assess` adds to a planned point's tolerance: its uncertainty, the guard band, the
    limits that are left and the risks, in the function's unit without a prefix; it goes into the
    sheet's row."""

    components: tuple[Component, ...]
    uncertainty: Uncertainty
    standard_accuracy: float          # as its file states it
    tur: float                        # half of the tolerance's span / U95 of the whole measurement
    accuracy_ratio: float             # half of that span / the standard's stated accuracy
    guard: float                      # w
    accept: AcceptedCounts | None           # None where the rule leaves no reading to accept
    # with four outcomes: the readings that fail only conditionally, at most
    conditional: AcceptedCounts | None
    risks: Risks | None               # None where there is no reading to accept
    at_reference: tuple[AtReference, ...] = ()  # of a compared point, the lowest first

    def guard_at(self, reference: Fraction) -> float:
        """w for a reference reading; that of the planned value where the point isn't compared."""
        return next((one.guard for one in self.at_reference if abs(reference) < one.below),
                    self.guard)


def assess(point: PlannedPoint, plan: Plan) -> PointUncertainty | None:
    """None for observations and for points that the standard can't produce."""
    if point.judged is None or not point.rows:
        return None
    judged, step = point.judged, point.range.resolution
    components, stated = components_of(point, plan)
    sure = budget.combine(components=components, probability=float(plan.coverage))
    tolerance, half_span = float(judged.tolerance), float(judged.sides.half_span)
    guard = decision.guard_band(rule=plan.decision_rule, tolerance=tolerance,
                                expanded=sure.expanded)
    accept = _accept(point, guard)
    outer = None
    if plan.outcomes == "four" and accept is not None and point.supply.method != REFERENCE:
        beyond = decision.exact(value=guard)
        outer = accepted(low=judged.low - beyond, high=judged.high + beyond, resolution=step,
                         shows_minus=point.signed)
        top = int(point.range.highest / step)  # beyond it the display shows overload
        outer = replace(outer, low=max(outer.low, -top), high=min(outer.high, top))
    steps = _at_references(point, plan) if point.supply.method == REFERENCE else ()
    return PointUncertainty(
        components=components, uncertainty=sure, standard_accuracy=stated,
        tur=half_span / sure.expanded,  # never 0: half a count of the display is in it
        accuracy_ratio=half_span / stated if stated else float("inf"), guard=guard, accept=accept,
        conditional=outer,
        risks=None if accept is None else _risks(point, plan, accept, components, guard, steps),
        at_reference=steps)


def _risks(point: PlannedPoint, plan: Plan, accept: AcceptedCounts,
           components: tuple[Component, ...], guard: float,
           steps: tuple[AtReference, ...]) -> Risks:
    """Of a compared point the largest of three: where it was planned, and at both ends of where its
    reference reading may lie, as far as the guard band leaves something there."""
    places = [(point, components, guard)]
    if steps:
        places += [(place, components_of(place, plan)[0], step.guard)
                   for place, step in zip(ends_of(point), (steps[0], steps[-1]), strict=False)]
    return worst([risks_at(point=place, components=lines, accept=accept, guard=width,
                           share=plan.in_tolerance)
                  for place, lines, width in places if width <= float(place.judged.tolerance)])


def _at_references(point: PlannedPoint, plan: Plan) -> tuple[AtReference, ...]:
    """For all that a reference reading may be, in the steps of the sheet's table: U and the guard
    band at that end of each step where they are larger. A tolerance that is the same everywhere
    takes one step."""
    line, size = point.judged.line, abs(point.applied)
    if size == 0:
        edges = [Fraction(0), point.range.full_scale * AT_ZERO]
    else:
        between = (starts(size=size, resolution=point.range.resolution)[1:] if line.slope else [])
        edges = sorted({size * LOWEST, *between, size * HIGHEST})
    ends = [_at_reading(point, plan, x) for x in edges]
    return tuple(replace(max(low, high, key=lambda end: end.uncertainty.expanded),
                         below=high.below, guard=max(low.guard, high.guard))
                 for low, high in pairwise(ends))


def _at_reading(point: PlannedPoint, plan: Plan, size: Fraction) -> AtReference:
    """As if a reference reading of this size had been planned."""
    there = replace(point, applied=size if point.applied >= 0 else -size)
    components, _ = components_of(there, plan)
    sure = budget.combine(components=components, probability=float(plan.coverage))
    guard = decision.guard_band(rule=plan.decision_rule, expanded=sure.expanded,
                                tolerance=float(point.judged.line.at(size)))
    return AtReference(below=size, components=components, uncertainty=sure, guard=guard)


def _accept(point: PlannedPoint, guard: float) -> AcceptedCounts | None:
    judged = point.judged
    if guard == 0:
        return judged.accepted
    if guard >= float(judged.tolerance):
        return None
    inside = decision.exact(value=guard)
    if inside > judged.tolerance:
        return None
    found = accepted(low=judged.low + inside, high=judged.high - inside,
                     resolution=point.range.resolution, shows_minus=point.signed)
    return None if found.is_empty else found
