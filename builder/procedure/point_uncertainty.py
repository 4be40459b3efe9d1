"""How sure a planned point is, whether its standard is good enough, and the limits that the
decision rule leaves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact.display import AcceptedCounts, accepted
from builder.compute.statistics import budget, decision, risk
from builder.compute.statistics.budget import Component, Uncertainty
from builder.formats.plan import Plan
from builder.procedure.budget_of_point import components_of
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.supplies import REFERENCE


@dataclass(frozen=True, slots=True, kw_only=True)
class PointUncertainty:
    """What `assess` adds to a planned point's tolerance: its uncertainty, the guard band, the
    limits that are left and the risks, in the function's unit without a prefix; it goes into the
    sheet's row."""

    components: tuple[Component, ...]
    uncertainty: Uncertainty
    standard_accuracy: float          # as its file states it
    tur: float                        # tolerance / U95 of the whole measurement
    accuracy_ratio: float             # tolerance / the standard's stated accuracy
    guard: float                      # w
    accept: AcceptedCounts | None           # None where the rule leaves no reading to accept
    # with four outcomes: the readings that fail only conditionally, at most
    conditional: AcceptedCounts | None
    specific: float                   # risk for a reading at the acceptance limit
    false_accept: float | None        # global, for the plan's share of meters in tolerance
    false_reject: float | None


def assess(point: PlannedPoint, plan: Plan) -> PointUncertainty | None:
    """None for observations and for points that the standard can't produce."""
    if point.judged is None or not point.rows:
        return None
    judged, step = point.judged, point.range.resolution
    components, stated = components_of(point, plan)
    sure = budget.combine(components=components, probability=float(plan.coverage))
    tolerance = float(judged.tolerance)
    rule = plan.decision_rule
    guard = decision.guard_band(rule=rule, tolerance=tolerance, expanded=sure.expanded)
    accept = _accept(point, guard)
    outer = None
    if plan.outcomes == "four" and accept is not None and point.supply.method != REFERENCE:
        outer = accepted(applied=judged.applied,
                         tolerance=judged.tolerance + decision.exact(value=guard), resolution=step,
                         shows_minus=point.signed)
        top = int(point.range.highest / step)  # beyond it the display shows overload
        outer = replace(outer, low=max(outer.low, -top), high=min(outer.high, top))
    false_accept = false_reject = None
    if plan.in_tolerance is not None and accept is not None and tolerance > 0:
        inside = tolerance - guard  # above 0, since there is a reading to accept
        u0 = risk.prior_of_share(share=float(plan.in_tolerance), tolerance=tolerance)
        false_accept, false_reject = risk.global_risks(
            tolerance=(-tolerance, tolerance), acceptance=(-inside, inside), u0=u0, u=sure.u)
    return PointUncertainty(
        components=components, uncertainty=sure, standard_accuracy=stated,
        tur=tolerance / sure.expanded,  # never 0: half a count of the display is in it
        accuracy_ratio=tolerance / stated if stated else float("inf"), guard=guard, accept=accept,
        conditional=outer,
        specific=risk.specific_at_limit(components=components, guard=min(guard, tolerance),
                                        tolerance=tolerance),
        false_accept=false_accept, false_reject=false_reject)


def _accept(point: PlannedPoint, guard: float) -> AcceptedCounts | None:
    judged = point.judged
    if guard == 0:
        return judged.accepted
    inside = (judged.tolerance - decision.exact(value=guard) if guard < float(judged.tolerance)
              else Fraction(-1))
    if inside < 0:
        return None
    found = accepted(applied=judged.applied, tolerance=inside, resolution=point.range.resolution,
                     shows_minus=point.signed)
    return None if found.is_empty else found
