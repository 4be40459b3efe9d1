"""A meter's file: its accuracy table, as its data sheet has it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from builder.compute.exact.resistance_thermometer import TYPES as PLATINUM
from builder.compute.exact.thermocouple import TYPES as THERMOCOUPLES
from builder.files import yaml_text
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats import written_out
from builder.formats.additions import AdditionEntry
from builder.formats.fields import (Confirmed, Counts, Names, OneOrMore, PositiveAmount, Slug,
                                    SpanText, Strict, Text, YesNo, one_of)
from builder.formats.functions import KINDS
from builder.formats.meter_head import Fuse, OtherFunction, Rated, Specification
from builder.formats.meter_texts import CoefficientsField, CrestFactor, LowestField
from builder.formats.row_entry import AccuracyRows
from builder.formats.stated import Duration

KindName = Annotated[str, one_of(KINDS)]


def _required_at_the_head(schema: dict) -> None:
    """What a meter must have depends on whether it is like another one: the schema of the whole
    file says it, and no part of it for itself."""
    schema.pop("required", None)


class RangeEntry(Strict):
    model_config = ConfigDict(json_schema_extra=_required_at_the_head)

    range: PositiveAmount = Field(
        description="The range's name, such as '600 mV'; the display shows this unit.")
    resolution: PositiveAmount = Field(description="The value of one count, such as '0.1 mV'.")
    accuracy: AccuracyRows = Field(
        description="'0.5 % + 3 counts', or rows by frequency or by part of the range; if not that "
        "of the function.")
    display: Counts | None = Field(None, description="If this range counts differently from the "
                                   "function's display.")
    additions: list[AdditionEntry] = Field(
        default_factory=list, description="What is added to each row of this range, and where.")
    base: PositiveAmount | None = Field(None,
                                        description="What 'percent of range' is taken of, if not "
                                        "the range's name.")
    highest_reading: PositiveAmount | None = Field(
        None, description="If not one count less than the range's name.")
    up_range: PositiveAmount | None = Field(None,
                                            description="The reading at which an autoranging meter "
                                            "goes to the next higher range.")
    down_range: PositiveAmount | None = Field(None,
                                              description="The reading at which an autoranging "
                                              "meter goes to the next lower range.")
    lowest: LowestField | None = Field(
        None, description="The lowest specified value, such as '5 % of range' or '30 mV'; of a "
        "temperature the lower end, with its sign: '-200 degC'.")
    jacks: Names | None = Field(None,
                                            description="The jacks of this range, if not those of "
                                            "the function.")
    dial: Text | None = Field(None,
                              description="The dial position of this range, if not that of the "
                              "function.")
    burden: PositiveAmount | None = Field(None,
                                          description="For a current: the voltage across the meter "
                                          "at the range's name, such as '0.3 V'.")
    on_at_most: PositiveAmount | None = Field(None,
                                              description="How long the input may stay on, such as "
                                              "'30 s'.")
    off_at_least: PositiveAmount | None = Field(None,
                                                description="How long it rests after that, such as "
                                                "'600 s'.")
    confirmed: Confirmed = None

    @model_validator(mode="after")
    def _parts_as_values(self) -> RangeEntry:
        if self.accuracy:
            base = self.base or self.range
            self.__dict__["accuracy"] = [row.on(base) for row in self.accuracy]
        return self


class InputEntry(Strict):
    highest: PositiveAmount | None = Field(None,
                                           description="The highest input of this function, such "
                                           "as '600 V' or '10 A'.")
    peak: PositiveAmount | None = Field(None, description="The highest peak, such as '850 V'.")
    volt_hertz: PositiveAmount | None = Field(None,
                                              description="The highest product of voltage and "
                                              "frequency, such as '10000000 V Hz'.")


class FunctionEntry(Strict):
    model_config = ConfigDict(json_schema_extra=_required_at_the_head)

    function: KindName = Field(description="What is measured.")
    name: Text | None = Field(None,
                              description="A name of its own, where a meter has the same function "
                              "twice (DC millivolts).")
    dial: Text | None = Field(None, description="The dial position.")
    jacks: Names | None = Field(None,
                                            description="The jacks to use, the one for the "
                                            "source's high side first; not for a clamp.")
    clamp: YesNo = Field(False, description="'yes' for a current, or the frequency of one, "
                         "that the meter's jaw measures.")
    keys: Text | None = Field(None, description="What to press after turning the dial.")
    display: Counts | None = Field(None,
                                   description="If this function counts differently from the "
                                   "meter's display.")
    holds: SpanText | None = Field(None, description="The reference temperatures, if not those of "
                                   "'specification'.")
    humidity: SpanText | None = Field(None, description="The relative humidity that it holds for, "
                                      "if not that of 'specification'.")
    ranging: Literal["automatic", "manual", "automatic only"] = Field(
        "automatic", description="'automatic only' where no range can be selected by hand.")
    input: InputEntry | None = Field(None,
                                     description="What this function's input bears, if less than "
                                     "'rated'.")
    low_impedance: YesNo = Field(False,
                                 description="'yes' for a voltage function with a low input "
                                 "resistance.")
    input_resistance: PositiveAmount | None = Field(
        None, description="Of a voltage function, such as '10 Mohm': what it loads a source with.")
    relative: Text | None = Field(None,
                                  description="What to press so that a reading is shown relative "
                                  "to another, such as 'press REL'.")
    after_zeroing: YesNo = Field(
        False, description="'yes' where the data sheet states the accuracy of a two-wire function "
        "after zeroing, that is less the reading of the leads alone.")
    relative_ranging: Literal["held", "free"] = Field(
        "held", description="Whether relative readings hold the range that they began on, as most "
        "meters do, or leave it 'free' to change by itself.")
    charges_to: PositiveAmount | None = Field(
        None, description="For a capacitance: the highest voltage that the meter puts on the "
        "capacitor, such as '3 V'.")
    beeps_below: PositiveAmount | None = Field(
        None, description="For continuity: below which resistance the beeper sounds, such as '30 "
        "ohm'.")
    silent_above: PositiveAmount | None = Field(
        None, description="For continuity: above which resistance it is silent, if the data sheet "
        "leaves a gap, such as '50 ohm'.")
    thermocouple: Annotated[str, one_of(THERMOCOUPLES)] | None = Field(
        None, description="For a temperature: the type of its thermocouple, such as K.")
    resistance_thermometer: Annotated[str, one_of(PLATINUM)] | None = Field(
        None, description="For a temperature: the type of its platinum thermometer in two-wire "
        "connection, such as Pt100.")
    signal: Literal["voltage", "current"] = Field(
        "voltage", description="Of what a frequency or a duty cycle is measured.")
    sensitivity: PositiveAmount | None = Field(None,
                                               description="For a frequency: the lowest level that "
                                               "still counts, such as '0.5 V'.")
    method: Text | None = Field(None,
                                description="How it measures, where that decides the value (a "
                                "capacitance), such as 'charged by DC'.")
    responds: Literal["true r.m.s.",
                      "mean"] | None = Field(None, description="For AC: what the reading follows.")
    crest_factor: CrestFactor | None = Field(
        None, description="For AC: the highest crest factor that it bears at full scale, such as "
        "3.")
    accuracy: AccuracyRows | None = Field(
        None, description="Of each range that has none of its own.")
    lowest: LowestField | None = Field(
        None, description="Of each range that has none of its own, such as '5 % of range'.")
    additions: list[AdditionEntry] = Field(
        default_factory=list, description="What is added on each range, and where, such as "
        "'{add: 10 counts, values: 0 to 5 % of range}'.")
    temperature_coefficient: CoefficientsField | None = Field(
        None, description="Of this function, if not that of the meter.")
    ranges: list[RangeEntry] = Field(default_factory=list, description="In any order.")
    without: OneOrMore[Text] | None = Field(
        None, description="Ranges of the meter that this one is like, which this one hasn't.")
    confirmed: Confirmed = None

    @property
    def kind(self):
        return KINDS[self.function]

    @property
    def times(self) -> list[Duration]:
        """Since adjustment, for which its rows state an accuracy each, the shortest first."""
        stated = {one.since.days: one.since for on in self.ranges for row in on.accuracy
                  for one in row.times}
        return [stated[days] for days in sorted(stated)]

    @property
    def level_dimension(self) -> str:
        """Of the signal whose frequency or duty cycle is measured."""
        return f"[{self.signal}]"

    @property
    def sensor(self) -> str:
        """Of a temperature: what measures it, such as 'type K' or 'Pt100'; "" where the file names
        nothing."""
        return (f"type {self.thermocouple}" if self.thermocouple
                else self.resistance_thermometer or "")

    @property
    def title(self) -> str:
        return self.name or self.function


_HEAD = ["maker", "display", "specification", "rated", "functions"]
_OF_A_FUNCTION = {
    "required": ["function"], "anyOf": [{"required": ["jacks"]}, {"required": ["clamp"]}],
    "properties": {"ranges": {"items": {"required": ["range", "resolution"]}}},
    "if": {"not": {"required": ["accuracy"]}},
    "then": {"properties": {"ranges": {"items": {"required": ["accuracy"]}}}}}


def _whole_or_like(schema: dict) -> None:
    schema.update({
        "required": ["meter", "name"], "if": {"not": {"required": ["like"]}},
        "then": {"required": _HEAD, "properties": {"functions": {"items": _OF_A_FUNCTION}}}})


class Meter(Strict):
    STAND_INS = {"meter": "x", "name": "x", "maker": "x", "display": "1000000000 counts",
                 "functions": [],
                 "specification": {"source": "x", "holds": "18 to 28 degC"},
                 "rated": {"between_terminals": "1000000 V", "confirmed": "x"}}

    model_config = ConfigDict(json_schema_extra=_whole_or_like)

    meter: Slug = Field(description="The file's name without '.yaml'.")
    like: Slug | None = Field(None, description="The meter whose table this one has but for what "
                              "stands here, such as 'dunlin-60'.")
    without: OneOrMore[Text] | None = Field(
        None, description="Functions of the meter that this one is like, which this one hasn't.")
    name: Text = Field(description="As it stands on the meter.")
    maker: Text = Field(description="Who makes it.")
    note: Text | None = Field(None, description="Printed with the meter's table.")
    display: Counts = Field(description="How far the display counts, such as '6000 counts'.")
    specification: Specification = Field(
        description="Where the table was read and what it holds for, such as '{source: data sheet, "
        "issue 3, holds: 18 to 28 degC}'.")
    rated: Rated = Field(
        description="What the meter bears, such as '{between_terminals: 600 V, CAT III: 600 V}'.")
    jacks: list[Text] = Field(default_factory=list,
                              description="All jacks as they stand on the meter, from left to "
                              "right, for the drawings.")
    fuses: list[Fuse] = Field(default_factory=list,
                              description="Its fuses; printed at their check.")
    battery: Text | None = Field(None, description="Its cells, such as '2 × 1.5 V AA'; printed at "
                                 "the check of the battery.")
    auto_power_off: Text | None = Field(
        None, description="How it is kept from switching itself off, such as 'hold HOLD while you "
        "switch on'; a step of the sheet.")
    functions: list[FunctionEntry] = Field(
        description="What it measures, each with its ranges: '- function: DC voltage'.")
    other_functions: list[OtherFunction] = Field(
        default_factory=list, description="What it does that has no function here: named on its "
        "sheets and reports as not tested, such as '- {name: inrush, because: no accuracy table}'.")

    @classmethod
    def written_out(cls, document: Document) -> Document:
        return written_out.each_range(document)

    @classmethod
    def beside_another(cls, document: Document, path: Path) -> tuple[Document, list[Problem]]:
        folder = document.file.rpartition("/")[0]

        def find(name: str) -> tuple[Document | None, list[Problem]]:
            other = path.with_name(f"{name}.yaml")
            shown = f"{folder}/{other.name}" if folder else other.name
            return yaml_text.read(other, shown) if other.is_file() else (None, [])

        return written_out.like_another(document, find)

    @classmethod
    def beside(cls, path: Path, content: bytes | None) -> list[bytes]:
        return written_out.beside(path, content)

    @property
    def times(self) -> list[Duration]:
        """Since adjustment, as of its functions."""
        stated = {one.days: one for function in self.functions for one in function.times}
        return [stated[days] for days in sorted(stated)]

    def since(self, time: Duration) -> Meter:
        """With the accuracies for that time since adjustment alone, wherever there are several."""
        return self.model_copy(update={"functions": [
            one.model_copy(update={"ranges": [on.model_copy(update={"accuracy": [
                row.since(time.days) for row in on.accuracy]}) for on in one.ranges]})
            for one in self.functions]})

    @property
    def others(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.other_functions)

    @property
    def has_current_jacks(self) -> bool:
        """Whether a current goes through jacks, and so through fuses, and not through a jaw
        alone."""
        return any(f.kind.dimension == "[current]" and not f.clamp
                   and (f.jacks or any(on.jacks for on in f.ranges)) for f in self.functions)
