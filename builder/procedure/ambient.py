"""The ambient band of a sheet, and how much a meter's accuracy has grown for it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.pieces import Surroundings
from builder.compute.exact.tolerance import ZERO, degrees_beyond, growth
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.procedure.meter_function import coefficients_of
from builder.procedure.sentences import Sentence, sentence


@dataclass(frozen=True, slots=True)
class AmbientBand:
    """The band that the limits hold for, and how far it lies beyond the meter's own."""

    ambient: Span
    surroundings: Surroundings


def goes_beyond(plan: Plan, meter: Meter) -> bool:
    """Whether a part of the plan's ambient lies outside the band that the accuracy holds for."""
    return any(_beyond(plan, meter))


def problems(document: Document, plan: Plan, meter: Meter) -> list[Problem]:
    reference = meter.specification.holds
    if plan.ambient is None:
        return []
    if plan.ambient.low.unit != reference.low.unit:
        return [document.problem(("ambient",), "unit",
                                 f"the meter's file is in {reference.low.unit.shown}",
                                 "write the ambient in the same degrees")]
    if goes_beyond(plan, meter) and not _has_coefficients(plan, meter):
        return [document.problem(
            ("ambient",), "ambient",
            f"{plan.ambient} goes beyond {reference}, and the meter's file has no temperature "
            "coefficient for that",
            "stay inside, or write 'temperature_coefficient' under 'specification' if the data "
            "sheet gives one")]
    return []


def _beyond(plan: Plan, meter: Meter) -> tuple[bool, bool]:
    """Whether a part of the plan's ambient is colder than the reference band, and warmer."""
    low, high = meter.specification.holds.band
    return (plan.ambient is not None and plan.ambient.low.value < low,
            plan.ambient is not None and plan.ambient.high.value > high)


def _has_coefficients(plan: Plan, meter: Meter) -> bool:
    """Whether some row of some planned function has what the ambient needs; a point whose row has
    none is refused by itself."""
    colder, warmer = _beyond(plan, meter)
    needed = {side for side, is_needed in (("below", colder), ("above", warmer)) if is_needed}
    planned = {point.function for point in plan.points}
    return any(needed <= coefficients_of(meter, function, row).keys()
               for function in meter.functions if function.title in planned
               for given in function.ranges for row in given.accuracy)


def shown_span(span: Span) -> str:
    return exact_text.band(span.band, span.high.unit)


def junctions(ambient: Span) -> tuple[Fraction, Fraction]:
    """The junction temperatures that a table of millivolts goes over, in whole degC: those of a
    workshop, or the sheet's own band where it is wider."""
    low, high = ambient.celsius
    return min(_WORKSHOP[0],
               Fraction(math.floor(low))), max(_WORKSHOP[1], Fraction(math.ceil(high)))


_WORKSHOP = (Fraction(18), Fraction(28))


def growth_said(holds: AmbientBand, plan: Plan, meter: Meter) -> Sentence | None:
    """What the sheet says of limits outside the meter's own band, None inside it."""
    reference, degrees = shown_span(meter.specification.holds), holds.surroundings.degrees
    known = {"ambient": shown_span(holds.ambient), "reference": reference,
             "degrees": exact_text.number(degrees)}
    if degrees and (fraction := _one_for_all(holds.surroundings, meter)) is not None:
        return sentence("growth", times=exact_text.number(growth(coefficient=fraction,
                                                                 degrees=degrees)), **known)
    if degrees:
        return sentence("growth-by-rows", **known)
    return sentence("growth-inside", reference=reference) if goes_beyond(plan, meter) else None


def _one_for_all(surroundings: Surroundings, meter: Meter) -> Fraction | None:
    """The fraction of the accuracy, if it is the same for all that the meter measures."""
    stated = meter.specification.temperature_coefficient
    side = stated and stated.both.get("below" if surroundings.below else "above")
    others = any(one.temperature_coefficient for function in meter.functions
                 for one in (function, *(row for given in function.ranges
                                         for row in given.accuracy)))
    return side.fraction if side and side.terms is None and not others else None


def conditions(plan: Plan, meter: Meter) -> AmbientBand:
    """For a plan without `problems`."""
    reference = meter.specification.holds
    humidity = plan.humidity or meter.specification.humidity
    lowest = humidity.low.value if humidity else ZERO
    if plan.ambient is None:
        return AmbientBand(reference, Surroundings(humidity=lowest))
    below, above = degrees_beyond(ambient=plan.ambient.band, reference=reference.band)
    colder, warmer = _beyond(plan, meter)
    return AmbientBand(plan.ambient, Surroundings(below=below, above=above, colder=colder,
                                                  warmer=warmer, humidity=lowest))
