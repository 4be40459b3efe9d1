"""The ambient band of a sheet, and how much a meter's accuracy has grown for it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from collections.abc import Iterable
from fractions import Fraction

from builder.compute.exact.pieces import Surroundings
from builder.compute.exact.tolerance import ZERO, degrees_beyond, growth
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.formats.meter import FunctionEntry, Meter
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.numbers.units import Quantity
from builder.procedure.meter_function import coefficients_of
from builder.procedure.sentences import Sentence, sentence


@dataclass(frozen=True, slots=True)
class AmbientBand:
    """The band that the limits hold for, and how far it lies beyond the meter's own."""

    ambient: Span
    surroundings: Surroundings

    def beside(self, reference: Span) -> Surroundings:
        """How far the band lies beyond a reference band."""
        below, above = degrees_beyond(ambient=self.ambient.band, reference=reference.band)
        return replace(self.surroundings, below=below, above=above,
                       colder=self.ambient.low.value < reference.low.value,
                       warmer=self.ambient.high.value > reference.high.value)


def common(spans: Iterable[Span]) -> Span | None:
    """What several spans have in common; None for none."""
    listed = list(spans)
    low, high = (max((one.low for one in listed), key=_value, default=None),
                 min((one.high for one in listed), key=_value, default=None))
    return None if low is None or high is None or low.value > high.value else Span(low, high)


def _value(quantity: Quantity) -> Fraction:
    return quantity.value


def _used(plan: Plan, meter: Meter) -> list[FunctionEntry]:
    """The functions that the plan has points of."""
    named = {points.function for points in plan.points}
    return [function for function in meter.functions if function.title in named]


def humidity(plan: Plan, meter: Meter) -> Span | None:
    """The humidity that all limits of the sheet hold for: the plan's, or what its functions have in
    common."""
    if plan.humidity is not None:
        return plan.humidity
    own = [function.humidity for function in _used(plan, meter) if function.humidity]
    general = meter.specification.humidity
    return common([*own, *([general] if general else [])])


def _reference(plan: Plan, meter: Meter) -> Span | None:
    """The band in which the accuracy of each function of the plan holds as it stands."""
    return common([meter.specification.holds,
                   *(function.holds for function in _used(plan, meter) if function.holds)])


def goes_beyond(plan: Plan, meter: Meter) -> bool:
    """Whether a part of the plan's ambient lies outside the band that the accuracy holds for."""
    return any(_beyond(plan, meter.specification.holds))


def problems(document: Document, plan: Plan, meter: Meter) -> list[Problem]:
    reference = meter.specification.holds
    if _reference(plan, meter) is None and plan.ambient is None:
        return [document.problem(("points",), "ambient",
                                 "its functions' accuracies hold at no common temperature",
                                 "write 'ambient: …', or a plan for each", of_key=True)]
    if humidity(plan, meter) is None and (meter.specification.humidity or any(
            function.humidity for function in _used(plan, meter))):
        return [document.problem(("points",), "ambient",
                                 "its functions' accuracies hold at no common humidity",
                                 "write a plan for each", of_key=True)]
    for function in _used(plan, meter):
        if plan.humidity and function.humidity and (
                common([plan.humidity, function.humidity]) != plan.humidity):
            return [document.problem(
                ("humidity",), "ambient", f"{plan.humidity} goes beyond {function.humidity}, for "
                f"which the accuracy of '{function.title}' holds", "stay inside")]
    if plan.ambient is None:
        return []
    if plan.ambient.low.unit != reference.low.unit:
        return [document.problem(("ambient",), "unit",
                                 f"the meter's file is in {reference.low.unit.shown}",
                                 "write the ambient in the same degrees")]
    for function in _used(plan, meter):
        if function.holds and not _has_coefficients(plan, meter, [function]):
            return [document.problem(
                ("ambient",), "ambient",
                f"{plan.ambient} goes beyond {function.holds}, at which the accuracy of "
                f"'{function.title}' holds, and it has no temperature coefficient for that",
                "stay inside, or write a plan of its own for that function")]
    if goes_beyond(plan, meter) and not _has_coefficients(plan, meter, _used(plan, meter)):
        return [document.problem(
            ("ambient",), "ambient",
            f"{plan.ambient} goes beyond {reference}, and the meter's file has no temperature "
            "coefficient for that",
            "stay inside, or write 'temperature_coefficient' under 'specification' if the data "
            "sheet gives one")]
    return []


def _beyond(plan: Plan, reference: Span) -> tuple[bool, bool]:
    """Whether a part of the plan's ambient is colder than the reference band, and warmer."""
    low, high = reference.band
    return (plan.ambient is not None and plan.ambient.low.value < low,
            plan.ambient is not None and plan.ambient.high.value > high)


def _has_coefficients(plan: Plan, meter: Meter, functions: Iterable[FunctionEntry]) -> bool:
    """Whether some row of some function has what the ambient needs; a point whose row has none is
    refused by itself."""
    def needed(function: FunctionEntry) -> set[str]:
        colder, warmer = _beyond(plan, function.holds or meter.specification.holds)
        return {side for side, is_needed in (("below", colder), ("above", warmer)) if is_needed}

    return any(needed(function) <= coefficients_of(meter, function, row).keys()
               for function in functions for given in function.ranges for row in given.accuracy)


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
    damp = humidity(plan, meter)
    band = AmbientBand(plan.ambient or _reference(plan, meter) or reference,
                       Surroundings(humidity=damp.low.value if damp else ZERO))
    return band if plan.ambient is None else replace(band, surroundings=band.beside(reference))
