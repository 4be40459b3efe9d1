"""What stands beside a meter or a plan while its text is written: the limits that come of it, and
the pictures of the accuracy table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.points import JudgedPoint
from builder.files.problems import Wrong
from builder.numbers import exact_text
from builder.procedure.accuracy_shown import picture
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure
from builder.shop import quick_answer
from builder.shop.contents import Shop

_SHARES = (Fraction(9, 10), Fraction(1, 2), Fraction(1, 10))   # of a range, tried in this order


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsLine:
    """One line of the table: the acceptance limits of a value, or why it has none."""

    function: str
    range: str      # behind its step, of a plan
    apply: str
    limits: str


def lines(shop: Shop, kind: str, name: str) -> list[LimitsLine]:
    """The points of a plan, or a value for each row of a meter's table; none with errors."""
    if kind == "plan" and name in shop.procedures:
        return list(_of_plan(shop.procedures[name]))
    return [line for view in shop.functions.get(name, {}).values() for line in _of_function(view)
            ] if kind == "meter" else []


def pictures(shop: Shop, kind: str, name: str) -> list[tuple[str, str]]:
    """Of each function of the meter, or of the meter that a plan names, with its title."""
    plan = shop.plans.get(name) if kind == "plan" else None
    views = shop.functions.get(plan.meter if plan else name, {}) if kind != "standard" else {}
    return [(title, drawn) for title, view in views.items() if (drawn := picture(view))]


def _of_plan(procedure: Procedure) -> Iterator[LimitsLine]:
    for group in procedure.groups:
        for point in group.points:
            low, high, unit = point.accept_from, point.accept_to, point.unit
            yield LimitsLine(function=point.planned.function.title,
                             range=f"{point.step}, {point.range}",
                             apply=f"{point.apply}, {point.at}" if point.at else point.apply,
                             limits=f"{low} to {high}{exact_text.NARROW}{unit}" if low
                             else "observed")


def _of_function(view: MeterFunction) -> Iterator[LimitsLine]:
    for on in view.table.ranges:
        unit, shown = view.names[on].unit, exact_text.quantity(view.names[on])
        places = exact_text.decimals(on.resolution, unit)
        for row in on.rows:
            judged = _judged(view, on, row)
            if judged is None:
                yield LimitsLine(function=view.title, range=shown, apply="", limits="none found")
                continue
            low, high = (exact_text.number(exact_text.in_unit(counts * on.resolution, unit), places)
                         for counts in (judged.accepted.low, judged.accepted.high))
            apply = exact_text.amount(judged.applied, unit, places)
            if judged.frequency:
                apply += f", {exact_text.frequency(judged.frequency)}"
            yield LimitsLine(function=view.title, range=shown, apply=apply,
                             limits=f"{low} to {high}{exact_text.NARROW}{unit.shown}")


def _judged(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> JudgedPoint | None:
    """A value, at a frequency, that this very row gives the limits of."""
    unit, (low, high) = view.names[on].unit, row.frequency or (None, None)
    top = min(on.highest, row.values[1]) if row.values else view.names[on].value
    for hertz in (low, high, (low + high) / 2) if low is not None and high else (low,):
        for share in _SHARES:
            try:
                judged, _ = quick_answer.judge(
                    view, exact_text.plain_quantity(top * share, unit), None if hertz is None else
                    exact_text.frequency(hertz, plain=True) if hertz else "DC", str(view.names[on]))
            except Wrong:
                continue
            if judged.row is row:
                return judged
    return None
