"""What stands beside a group's points: allowances for a reference reading."""

from __future__ import annotations

import math
from fractions import Fraction

from builder.compute.statistics.decision import exact
from builder.numbers import exact_text
from builder.numbers.units import Unit
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sheet import Aside, SheetPoint
from builder.procedure.supplies import REFERENCE


def _read_unit(p: PlannedPoint, unit: Unit) -> str:
    """What is written down."""
    if p.find == "bandwidth":
        return "Hz"
    if p.find == "sensitivity":
        return p.level.unit.shown
    return unit.shown


def allowance(p: PlannedPoint, sure: PointUncertainty | None,
              reference: Fraction | None = None) -> Fraction | None:
    """How far a meter may read from a reference reading `at`, to the finest digit that either
    shows, inward; None where the guard band leaves nothing."""
    j = p.judged
    if sure and sure.guard == math.inf:
        return None
    inside = j.line.at(j.applied if reference is None
                       else reference) - (exact(value=sure.guard) if sure and sure.guard else 0)
    step = min(p.range.resolution, p.rows[0].resolution.value)
    return math.floor(inside / step) * step if inside >= 0 else None


def _tolerance(p: PlannedPoint, sure: PointUncertainty | None, unit: Unit, places: int) -> str:
    if p.judged is None:
        return ""
    if p.supply.method == REFERENCE:
        if p.judged.line.slope and p.applied:
            return "table"
        found = allowance(p, sure)
        return exact_text.number(exact_text.in_unit(found, unit)) if found is not None else ""
    return exact_text.tolerance(p.judged.tolerance, unit, places)


def _allowances(points: tuple[SheetPoint, ...]) -> Aside | None:
    """How far the meter may read from the reference reading: for each reading from the one in the
    head up to the next."""
    shares = [Fraction(n, 100) for n in range(80, 125, 5)]
    rows = []
    for point in points:
        p = point.planned
        if p.judged is None or not p.judged.line.slope or not p.applied:
            continue
        unit = p.function.names[p.range].unit
        step = min(p.range.resolution, p.rows[0].resolution.value)
        froms = [math.ceil(abs(p.applied) * share / p.range.resolution) * p.range.resolution
                 for share in shares]
        allowed = [allowance(p, point.sure, at) for at in froms]
        if all(one is None for one in allowed):
            continue
        places = exact_text.decimals(step, unit)
        rows.append((point.step, f"reference from, {unit.shown}",
                     *(exact_text.number(exact_text.in_unit(one, unit),
                                         exact_text.decimals(p.range.resolution, unit))
                       for one in froms)))
        rows.append(("", "difference at most, ±",
                     *(exact_text.number(exact_text.in_unit(one, unit), places) if one is not None
                       else "none" for one in allowed)))
    if not rows:
        return None
    return Aside(
        "What the meter may differ from the reference reading: find the last column whose reading "
        "isn’t above it. "
        "Outside the table the points don’t hold.", (), tuple(rows))
