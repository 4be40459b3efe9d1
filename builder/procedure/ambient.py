"""The ambient band of a sheet, and how much a meter's accuracy has grown for it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.tolerance import ONE, ZERO, degrees_beyond, growth
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.formats.meter import Meter
from builder.formats.plan import Plan


@dataclass(frozen=True, slots=True)
class AmbientBand:
    """The band that the limits hold for, the factor on the accuracy, and the degrees that it stands
    for."""

    ambient: Span
    growth: Fraction
    degrees: Fraction


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


def conditions(plan: Plan, meter: Meter) -> AmbientBand:
    """For a plan without `problems`."""
    if not goes_beyond(plan, meter):
        return AmbientBand(plan.ambient or meter.specification.holds, ONE, ZERO)
    degrees = degrees_beyond(ambient=plan.ambient.band, reference=meter.specification.holds.band)
    coefficient = meter.specification.temperature_coefficient.fraction
    return AmbientBand(plan.ambient, growth(coefficient=coefficient, degrees=degrees), degrees)
