"""How sure a planned point is, whether its standard is good enough, and the limits that the decision rule leaves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute import budget, decision, risk
from builder.compute.budget import Component, Uncertainty
from builder.compute.display import Accepted, accepted
from builder.model.plan import Plan
from builder.model.standard import OutputRow
from builder.planning import Planned
from builder.units import Unit


@dataclass(frozen=True, slots=True)
class Sure:
    """Everything about a point beyond its tolerance. Values in the function's unit without a prefix."""

    components: tuple[Component, ...]
    uncertainty: Uncertainty
    standard_accuracy: float          # as its file states it
    tur: float                        # tolerance / U95 of the whole measurement
    accuracy_ratio: float             # tolerance / the standard's stated accuracy
    guard: float                      # w
    accept: Accepted | None           # None where the rule leaves no reading to accept
    conditional: Accepted | None      # with four outcomes: the readings that fail only conditionally, at most
    specific: float                   # risk for a reading at the acceptance limit
    false_accept: float | None        # global, for the plan's share of meters in tolerance
    false_reject: float | None


def assess(point: Planned, plan: Plan) -> Sure | None:
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
    if plan.outcomes == "four" and accept is not None:
        outer = accepted(applied=judged.applied, tolerance=judged.tolerance + decision.exact(value=guard), resolution=step,
                         shows_minus=point.function.kind.shows_minus)
        top = int(point.range.highest / step)  # beyond it the display shows overload
        outer = replace(outer, low=max(outer.low, -top), high=min(outer.high, top))
    inside = max(0.0, tolerance - guard)
    false_accept = false_reject = None
    if plan.in_tolerance is not None and accept is not None and tolerance > 0 and sure.u > 0:
        u0 = risk.prior_of_share(share=float(plan.in_tolerance), tolerance=tolerance)
        false_accept, false_reject = risk.global_risks(
            tolerance=(-tolerance, tolerance), acceptance=(-inside, inside), u0=u0, u=sure.u)
    return Sure(
        components=components, uncertainty=sure, standard_accuracy=stated,
        tur=tolerance / sure.expanded if sure.expanded else float("inf"),
        accuracy_ratio=tolerance / stated if stated else float("inf"), guard=guard, accept=accept, conditional=outer,
        specific=risk.specific_at_limit(components=components, guard=min(guard, tolerance), tolerance=tolerance),
        false_accept=false_accept, false_reject=false_reject)


def _accept(point: Planned, guard: float) -> Accepted | None:
    judged = point.judged
    if guard == 0:
        return judged.accepted
    inside = judged.tolerance - decision.exact(value=guard) if guard < float(judged.tolerance) else Fraction(-1)
    if inside < 0:
        return None
    found = accepted(applied=judged.applied, tolerance=inside, resolution=point.range.resolution,
                     shows_minus=point.function.kind.shows_minus)
    return None if found.is_empty else found


def components_of(point: Planned, plan: Plan) -> tuple[tuple[Component, ...], float]:
    """The budget's lines, and the standard's stated accuracy. Where two rows of a standard meet, its range isn't
    known, so the larger one counts."""
    standard, output = point.standard, point.output
    unit = point.function.names[point.range].unit
    age = standard.age(plan.as_of)

    def of_row(row: OutputRow) -> list[Component]:
        lines = [_stated(f"{standard.name}, its accuracy", _at(row.uncertainty(age), unit, point), output.stated or standard.stated)]
        if row.calibration is not None:
            lines.append(budget.normal(name=f"{standard.name}, its calibration", value=_at(row.calibration, unit, point), divisor=2.0))
        if row.drift is not None:
            lines.append(budget.rectangular(name=f"{standard.name}, its drift", half_width=_at(row.drift, unit, point)))
        return lines

    lines = max(map(of_row, point.rows), key=lambda lines: sum(one.contribution ** 2 for one in lines))
    stated = lines[0].value
    lines.append(budget.rectangular(name="resolution of the display, half a count", half_width=float(point.range.resolution) / 2))
    return tuple(lines), stated


def _stated(name: str, value: float, stated) -> Component:
    if stated.divisor is None:
        return budget.rectangular(name=name, half_width=value)
    return budget.normal(name=name, value=value, divisor=float(stated.divisor))


def _at(text, unit: Unit, point: Planned) -> float:
    """A standard's accuracy at the applied value, in the unit without prefix; 0 where none holds any more."""
    if text is None:
        return 0.0
    accuracy = text.of(point.function.kind.dimension, unit)
    return float(abs(point.applied) * accuracy.percent_of_reading / 100 + accuracy.fixed)
