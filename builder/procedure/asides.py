"""The small tables beside a group's points: what a meter may differ from a reference reading, and
what to apply in place of a thermocouple or a resistance thermometer."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

from builder.compute.exact import resistance_thermometer as rt
from builder.compute.exact import thermocouple
from builder.compute.exact.compared import starts
from builder.compute.statistics.decision import exact
from builder.numbers import exact_text
from builder.numbers.units import celsius, decimals_of
from builder.procedure.planned_points import PlannedPoint, difference_step
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import sentence
from builder.procedure.sheet import Aside, SheetPoint


def allowance(p: PlannedPoint, sure: PointUncertainty | None,
              reference: Fraction | None = None) -> Fraction | None:
    """How far a meter may read from a reference reading (the planned one unless `reference` is
    given), to one digit beyond the meter's display, or to the reference's last digit where that is
    coarser, inward; None where the guard band leaves nothing."""
    beside = p.judged.applied if reference is None else reference
    guard = sure.guard_at(beside) if sure else 0.0
    if guard == math.inf:
        return None
    inside = p.judged.line.at(beside) - exact(value=guard)
    step = difference_step(p)
    return math.floor(inside / step) * step if inside >= 0 else None


def allowances(points: tuple[SheetPoint, ...]) -> Aside | None:
    """How far the meter may read from the reference reading: for each reading from the one in the
    head up to the next."""
    rows = []
    for point in points:
        p = point.planned
        if p.judged is None or not p.judged.line.slope or not p.applied:
            continue
        unit = p.function.names[p.range].unit
        froms = starts(size=abs(p.applied), resolution=p.range.resolution)
        allowed = [allowance(p, point.sure, at) for at in froms]
        if all(one is None for one in allowed):
            continue
        places = exact_text.decimals(difference_step(p), unit)
        rows.append((point.step, sentence("aside-from", unit=unit.shown),
                     *(exact_text.number(exact_text.in_unit(one, unit),
                                         exact_text.decimals(p.range.resolution, unit))
                       for one in froms)))
        rows.append(("", sentence("aside-at-most"),
                     *(exact_text.number(exact_text.in_unit(one, unit), places) if one is not None
                       else sentence("aside-none") for one in allowed)))
    if not rows:
        return None
    summed = any(point.planned.supply.added for point in points)
    return Aside(sentence("aside-difference-summed" if summed else "aside-difference"), (),
                 tuple(rows))


def millivolts(points: tuple[SheetPoint, ...], temperatures: tuple[Fraction, Fraction]) -> Aside:
    """What to apply at each temperature of the meter's own junction between two in °C: E(T) −
    E(T_junction) in mV (ITS-90)."""
    low, high = temperatures
    every = math.ceil((high - low) / 12)
    junctions = [min(low + n * every, high) for n in range(math.ceil((high - low) / every) + 1)]
    rows, function = [], points[0].planned.function
    kind = function.given.thermocouple
    for point in points:
        at = celsius(point.planned.applied, function.unit)
        volts = [thermocouple.to_apply(kind=kind, celsius=at, junction=one) for one in junctions]
        rows.append((point.step, point.apply, *(exact_text.number(v * 1000, 3) for v in volts)))
    # Between two columns the junction's own voltage is a straight line, to some hundredths of a
    # microvolt.
    own = [thermocouple.emf(kind=kind, celsius=one) for one in junctions]
    tenths = [(b - a) / (y - x) / 10
              for (a, b), (x, y) in zip(pairwise(own), pairwise(junctions), strict=True)]
    tenth = f"0.1{exact_text.NARROW}°C"
    rows.append(("", sentence("aside-per-tenth", tenth=tenth),
                 *(exact_text.number(round(one * 10**8) / Fraction(10**5), 5)
                   for one in [*tenths, tenths[-1]])))
    return Aside(
        sentence("aside-millivolts", kind=kind, tenth=tenth),
        (sentence("aside-step"), sentence("aside-apply"),
         *(f"{exact_text.number(one)}{exact_text.NARROW}°C" for one in junctions)), tuple(rows))


def ohms(points: tuple[SheetPoint, ...]) -> Aside:
    """What a box is set to in place of a resistance thermometer: R(t) less what is allowed for the
    leads; of a part, which temperature its certified value and the leads stand for."""
    function, supply = points[0].planned.function, points[0].planned.supply
    kind = function.given.resistance_thermometer
    places = decimals_of(rt.step(kind=kind))
    rows = []
    for point in points:
        p = point.planned
        ideal = rt.resistance(kind=kind, celsius=celsius(p.applied, function.unit))
        if p.supply.is_part:
            shown = (exact_text.number(p.supply.sets), _ohms(p.supply.beside, places + 1),
                     exact_text.number(p.supply.expected))
        else:
            shown = (_ohms(ideal, places + 1), _ohms(p.supply.beside, places + 1),
                     exact_text.number(p.supply.sets, places))
        rows.append((point.step, point.apply, *shown))
    caption = (sentence("aside-ohms", kind=kind,
                        most=f"{_ohms(2 * supply.beside, places)}{exact_text.NARROW}Ω")
               if supply.beside else sentence("aside-ohms-plain", kind=kind))
    head = ((sentence("aside-certified"), sentence("aside-beside"),
             sentence("aside-stands-for", unit=function.unit.shown)) if supply.is_part
            else (sentence("aside-ideal", kind=kind), sentence("aside-beside"),
                  sentence("aside-set")))
    return Aside(caption, (sentence("aside-step"), sentence("aside-apply"), *head), tuple(rows))


def _ohms(value: Fraction, places: int) -> str:
    return exact_text.number(round(value, places), places)
