"""The bench as plans and standards describe it: leads, a thermocouple input's junction, what reads
the ambient, how readings repeat."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated

from pydantic import Field

from builder.compute.exact.leads import OHMS_PER_METRE
from builder.files.problems import Wrong
from builder.formats.accuracy import AccuracyField
from builder.formats.fields import PositiveAmount, Slug, Strict, Text, exact
from builder.numbers import units
from builder.numbers.units import Quantity


def _conductor(text: str) -> Fraction:
    match = re.fullmatch(r"([0-9.]+)\s*mm(?:2|²)", text)
    size = units.plain_number(match[1], "a cross-section") if match else None
    if size not in OHMS_PER_METRE:
        raise Wrong(f"'{text}' is not a cross-section known here",
                    "one of: "
                    + ", ".join(f"{units.decimal_text(one)} mm2" for one in OHMS_PER_METRE))
    return size


Conductor = Annotated[Fraction, *exact(_conductor,
                                       enum=["0.75 mm2", "1.0 mm2", "1.5 mm2", "2.5 mm2"])]


class KnownBy(Strict):
    """How the resistance of the leads is known without the meter under test."""

    standard: Slug = Field(description="Which of the plan's standards knows them: the reference "
                           "meter that read them, or an artifact whose only value they are.")
    value: PositiveAmount | None = Field(
        None, description="What the reference meter read of both leads, plugged together, such as "
        "'83.4 mohm'; of an artifact the certified value counts.")


class Leads(Strict):
    """The two leads of two-wire readings."""

    length: PositiveAmount = Field(description="Of one lead, such as '1 m'.")
    conductor: Conductor = Field(description="Its cross-section.")
    contacts: PositiveAmount = Field(
        description="What plugs and contacts add at most, such as '60 mohm'.")
    repeats: PositiveAmount = Field(
        description="How far the reading of the leads may differ when they are plugged again, such "
        "as '10 mohm'.")
    known: KnownBy | None = Field(
        None, description="For resistances whose accuracy isn't one after zeroing: the limits "
        "stand higher by the known leads, and 0 ohm, with the leads together, is a point.")
    stray: PositiveAmount | None = Field(None,
                                         description="The capacitance between the leads, at most, "
                                         "such as '100 pF'; needed for capacitances.")
    stray_repeats: PositiveAmount | None = Field(
        None, description="How far it may differ when the leads lie otherwise, such as '5 pF'.")
    inductance: PositiveAmount | None = Field(
        None, description="Of both leads in a loop, at most, such as '2 uH'; needed for "
        "inductances.")
    inductance_repeats: PositiveAmount | None = Field(
        None, description="How far it may differ when the leads lie otherwise, such as '0.5 uH'.")

    def added_to(self, dimension: str) -> tuple[Quantity | None, Quantity | None]:
        """What the leads add at most to a reading of this dimension, and how far that may differ;
        the first is None of a resistance, which their length and their cross-section make."""
        return {"[capacitance]": (self.stray, self.stray_repeats),
                "[inductance]": (self.inductance, self.inductance_repeats)}.get(
                    dimension, (None, self.repeats))


class Junction(Strict):
    """How the temperature of a thermocouple input's own junction is known."""

    measured: Text = Field(description="How, such as 'thermometer bound to the V jack'.")
    within: PositiveAmount = Field(
        description="How sure that is, such as '0.3 degC', as plain limits.")
    standard: Slug | None = Field(None, description="Which thermometer of the plan's standards "
                                  "reads it.")


READ = AMBIENT, HUMIDITY, JUNCTION = "ambient", "humidity", "junction"


class Reads(Strict):
    """What a thermometer or a hygrometer reads at the bench, and within how much."""

    ambient: PositiveAmount | None = Field(None, description="The temperature at the meter, such "
                                           "as '0.4 degC'.")
    humidity: PositiveAmount | None = Field(None, description="Such as '3 %'.")
    junction: PositiveAmount | None = Field(None, description="The temperature of a thermocouple "
                                            "input's own junction, such as '0.2 degC'.")

    @property
    def named(self) -> dict[str, Quantity]:
        """What it reads, by the name that a sheet's data has for it."""
        return {name: one for name in READ if (one := getattr(self, name)) is not None}


def _whole(text: str) -> int:
    number = units.plain_number(text, "a whole number")
    if number.denominator != 1 or not 1 <= number <= 10**6:
        raise Wrong(f"'{text}' is no whole number above zero", "such as '10'")
    return int(number)


Whole = Annotated[int, *exact(_whole, type=["integer", "string"])]


class Repeatability(Strict):
    """How readings of a function repeat, known from other readings than the record's own."""

    function: Text = Field(description="A function of the meter, by its name.")
    range: PositiveAmount | None = Field(None, description="Only on this range.")
    s: AccuracyField = Field(description="The standard deviation of a single reading, such as "
                             "'0.4 counts', '20 uV' or '0.02 %'.")
    readings: Whole | None = Field(None, description="From how many readings of one point; or "
                                   "'degrees_of_freedom', where several series are pooled.")
    degrees_of_freedom: Whole | None = Field(None, description="Of all the series together.")
    source: Text = Field(description="Where it is from, such as 'five meters at 540 mV, 2026'.")

    @property
    def degrees(self) -> int:
        """n − 1 of one series (GUM 4.2.6), or those of the pool."""
        return self.degrees_of_freedom or (self.readings or 2) - 1
