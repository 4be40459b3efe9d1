"""How far each range is tried, and why one is tried to under half of it (the half is a choice of
this project)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.files.problems import WARNING, Problem
from builder.files.yaml_text import Document
from builder.formats.plan import LeftOut, Plan
from builder.numbers import exact_text
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planned_points import PlannedPoint

Key = tuple[str, Fraction]      # a function's title and the full scale of its range
Farthest = dict[Key, PlannedPoint]


def farthest(points: Iterable[PlannedPoint]) -> Farthest:
    """By range the point with limits that is farthest from zero; none for a range without one."""
    return {(point.function.title, point.range.full_scale): point
            for point in sorted((one for one in points if one.judged),
                                key=lambda one: abs(one.applied))}


def is_under_half(point: PlannedPoint) -> bool:
    return abs(point.applied) * 2 < point.range.full_scale


def is_the_rest(left: LeftOut, on: RangeTable, points: Farthest) -> bool:
    """Whether an entry leaves out all that is above the farthest point of a range."""
    if left.values is None or left.frequency is not None:
        return False
    point = points.get((left.function, on.full_scale))
    low, high = left.values.ends(Fraction(0), on.highest)
    return (point is not None and abs(point.applied) <= low < high
            and high in (on.full_scale, on.highest))


def reason(plan: Plan, point: PlannedPoint) -> LeftOut | None:
    """What the plan says of the values of a range that it tries to under half."""
    return next((left for left in plan.left_out
                 if is_under_half(point) and left.values and left.range is not None
                 and left.function == point.function.title
                 and left.range.value == point.range.full_scale), None)


def value(point: PlannedPoint) -> str:
    """What is applied there, as a reader has it."""
    return exact_text.amount(abs(point.applied), _unit(point),
                             exact_text.decimals(point.range.resolution, _unit(point)))


def words(plan: Plan, points: Iterable[PlannedPoint]) -> str:
    """'tried to 90.0 A' for the points of an accuracy row, with the plan's reason where that is
    under half of the range; "" for none."""
    for point in farthest(points).values():
        left = reason(plan, point)
        return f"tried to {value(point)}" + (f": {left.because.rstrip('.')}" if left else "")
    return ""


def problems(document: Document, plan: Plan, points: Farthest) -> Iterator[Problem]:
    """A warning for each range that is tried to under half without a reason."""
    for (title, _), point in points.items():
        if is_under_half(point) and reason(plan, point) is None:
            name = point.function.names[point.range]
            start = exact_text.plain_quantity(abs(point.applied), name.unit)
            yield document.problem(
                _place(plan, point.function, point.range), "under-half",
                f"the {exact_text.quantity(name)} range of '{title}' is tried to {value(point)}, "
                "under half of it",
                f"add a higher point, or the reason: '- {{function: {title}, range: {name}, "
                f"values: {start} to {name}, because: …}}' under 'left_out'", severity=WARNING)


def _place(plan: Plan, function: MeterFunction, on: RangeTable) -> tuple:
    """The entry that names the range, or else the first of the function."""
    of_range = {function.range(given.force_range or given.range): i
                for i, given in reversed(list(enumerate(plan.points)))
                if given.function == function.title}
    return ("points", of_range[on] if on in of_range else of_range[None], "apply")


def _unit(point: PlannedPoint):
    return point.function.names[point.range].unit
