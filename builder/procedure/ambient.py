"""The ambient band of a sheet, and how much a meter's accuracy has grown for it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.pieces import AT_REFERENCE, Surroundings
from builder.compute.exact.tolerance import degrees_beyond, growth
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.procedure.sentences import Sentence, sentence


@dataclass(frozen=True, slots=True)
class AmbientBand:
    """The band that the limits hold for, and how far it lies beyond the meter's own."""

    ambient: Span
    surroundings: Surroundings


def goes_beyond(plan: Plan, meter: Meter) -> bool:
    """Whether a part of the plan's ambient lies outside the band that the accuracy holds for."""
    low, high = meter.specification.holds.band
    return (plan.ambient is not None
            and (plan.ambient.low.value < low or plan.ambient.high.value > high))


def problems(document: Document, plan: Plan, meter: Meter) -> list[Problem]:
    reference = meter.specification.holds
    if plan.ambient is None:
        return []
    if plan.ambient.low.unit != reference.low.unit:
        return [document.problem(("ambient",), "unit",
                                 f"the meter's file is in {reference.low.unit.shown}",
                                 "write the ambient in the same degrees")]
    if goes_beyond(plan, meter) and meter.specification.temperature_coefficient is None:
        return [document.problem(
            ("ambient",), "ambient",
            f"{plan.ambient} goes beyond {reference}, and the meter's file has no temperature "
            "coefficient",
            "stay inside, or write 'temperature_coefficient' under 'specification' if the data "
            "sheet gives one")]
    return []


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
    reference, coefficient = shown_span(meter.specification.holds), (
        meter.specification.temperature_coefficient)
    degrees = holds.surroundings.degrees
    if degrees and coefficient:
        return sentence("growth", ambient=shown_span(holds.ambient), reference=reference,
                        times=exact_text.number(growth(coefficient=coefficient.fraction,
                                                       degrees=degrees)),
                        degrees=exact_text.number(degrees))
    return sentence("growth-inside", reference=reference) if goes_beyond(plan, meter) else None


def conditions(plan: Plan, meter: Meter) -> AmbientBand:
    """For a plan without `problems`."""
    reference = meter.specification.holds
    if plan.ambient is None:
        return AmbientBand(reference, AT_REFERENCE)
    below, above = degrees_beyond(ambient=plan.ambient.band, reference=reference.band)
    return AmbientBand(plan.ambient, Surroundings(below=below, above=above))
