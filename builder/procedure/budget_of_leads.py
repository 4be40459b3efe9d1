"""The lines of a budget that come from the leads of two-wire readings, and how a line is made from
what a standard's file states."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.statistics import budget
from builder.compute.statistics.budget import Component
from builder.formats.plan import Plan
from builder.formats.stated import K_2, PLAIN
from builder.numbers import exact_text
from builder.numbers.units import Unit
from builder.procedure.bench_leads import warmed
from builder.procedure.planned_points import PlannedPoint, zero_key


def stated_line(name: str, value: float, stated, sensitivity: float = 1.0) -> Component:
    if stated.divisor is None:
        return budget.rectangular(name=name, half_width=value, sensitivity=sensitivity)
    return budget.normal(name=name, value=value, divisor=float(stated.divisor),
                         sensitivity=sensitivity, degrees=stated.degrees)


def accuracy_at(text, *, setting: Fraction, dimension: str, unit: Unit, row,
                to: Unit | None = None) -> float:
    """A standard's accuracy at a value, in the unit without prefix, or in the degrees `to`; 0 where
    none holds any more."""
    if text is None:
        return 0.0
    accuracy = text.of(dimension, unit)
    value = abs(setting) * accuracy.percent_of_reading / 100 + accuracy.fixed
    if accuracy.percent_of_range:
        value += row.range.value * accuracy.percent_of_range / 100
    if accuracy.counts:
        value += row.resolution.value * accuracy.counts
    if to is not None:
        value *= unit.scale / to.scale
    return float(value)


def unit_of_row(row) -> Unit:
    """Of a source's row, or of a part's value."""
    return row.values.high.unit if hasattr(row, "values") else row.certified.unit


def of_known_leads(point: PlannedPoint, plan: Plan) -> list[Component]:
    """How far leads may be off what they are known as: by what they were read or certified with,
    plugged again, and as warm as the bench may be. For what is applied beside them this is an
    uncertainty of its own: of leads together there is nothing else."""
    known = point.supply.known
    if known is None:
        return []
    by, row, own, name = known.standard, known.row, known.output, f"leads, {known.standard.name}"
    parts = [("accuracy", row.uncertainty(by.age(plan.as_of)), own.stated_of(row) or by.stated),
             ("calibration", row.calibration, K_2), ("drift", own.drift_of(row), PLAIN)]
    lines = [stated_line(f"{name}, its {what}", accuracy_at(
        text, setting=known.value, dimension="[resistance]", unit=unit_of_row(row), row=row), how)
        for what, text, how in parts if text is not None]
    if hasattr(row, "resolution"):
        lines.append(budget.rectangular(name=f"{name}, its resolution",
                                        half_width=float(row.resolution.value) / 2))
    return [*lines,
            budget.rectangular(name="leads, plugged again",
                               half_width=float(plan.leads.repeats.value)),
            budget.rectangular(name="leads, as warm as the bench may be", half_width=float(
                warmed(plan.leads, point.ambient.celsius)))]


def of_leads(point: PlannedPoint, plan: Plan) -> list[Component]:
    """The reading of the leads that is taken off, or the leads that are left in: what their half,
    by which the expected value moves, may be off."""
    if point.correction:
        _, known = plan.leads.added_to(point.function.kind.dimension)
        on = zero_key(point)[1]
        lines = [budget.rectangular(name="reading of the leads alone, half a count",
                                    half_width=float(on.resolution) / 2, sensitivity=-1.0,
                                    rounding=True),
                 budget.rectangular(name="leads, plugged again", half_width=float(known.value))]
        if point.other_zero:
            name = exact_text.quantity(point.function.names[on])
            lines.append(budget.rectangular(name=f"the meter’s own zero on the {name} range",
                                            half_width=float(point.other_zero), sensitivity=-1.0))
        return lines
    if point.leads:
        return [budget.rectangular(
            name="leads, left in the reading, about half of their most" if point.supply.beside
            else "leads, left in the reading",
            half_width=float(max(point.leads - point.supply.beside, point.supply.beside)))]
    return []
