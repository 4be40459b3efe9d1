"""A standard's file: what it can put out, how sure that is, and until when its certificate
holds."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from builder.files.problems import Wrong
from builder.formats.accuracy import AccuracyField, AccuracyText
from builder.formats.corrections import Corrections, CorrectionsField
from builder.formats.bench import Reads
from builder.formats.fields import (Amount, Confirmed, Date, Names, PositiveAmount, Slug,
                                    SpanText, Strict, Text, exact, not_empty, one_of)
from builder.formats.meter import KindName
from builder.formats.stated import (STATED_HINT, ByTimes, DriftField, PerDegreeField, Stated,
                                    StatedField)
from builder.numbers import units


def _turns(text: str) -> int:
    number = units.plain_number(text, "a number of turns")
    if number.denominator != 1 or not 1 <= number <= 10_000:
        raise Wrong(f"'{text}' is no number of turns", "a whole number, such as '50'")
    return int(number)


STATED = Field(None, description="How these uncertainties are stated, if not as the standard's "
               "others.")
DRIFT = Field(None, description="Drift over the interval, taken as plain limits; 'included' where "
              "the uncertainty holds to its end, or 'none, because …'.")


class OutputRow(Strict):
    values: SpanText = Field(
        description="From the lowest to the highest value, such as '0 V to 2 V'.")
    frequency: SpanText | None = Field(None, description="Such as '40 Hz to 1 kHz'.")
    level: SpanText | None = Field(None,
                                   description="For frequency and duty cycle: the signal levels, "
                                   "such as '0.1 V to 10 V'.")
    drives: PositiveAmount | None = Field(None,
                                          description="The highest current of a voltage, or the "
                                          "highest voltage of a current, such as '50 mA' or '4 V'.")
    within: AccuracyField | None = Field(None,
                                         description="The uncertainty, such as '50 ppm + 20 uV'.")
    within_since: ByTimes | None = Field(
        None, description="By time since calibration: '{90 days: 20 ppm + 5 uV, 1 year: 40 ppm + 8 "
        "uV}'.")
    drift: DriftField | None = DRIFT
    calibration: AccuracyField | None = Field(None,
                                              description="The calibration's own uncertainty (k = "
                                              "2), where the accuracy is relative to it.")
    confirmed: Confirmed = None
    stated: ClassVar[None] = None    # as its output's, or as the standard's

    def uncertainty(self, age: int | None) -> AccuracyText | None:
        """What holds `age` days after calibration: of several, that of the shortest interval that
        covers it, or of the longest where no age is known; None past the longest."""
        if self.within is not None:
            return self.within
        ordered = sorted(self.within_since or [], key=lambda one: one.since.days)
        if age is None:
            return ordered[-1].within
        return next((one.within for one in ordered if age <= one.since.days), None)


TERMINALS = Field(description="High side first, such as [HI, LO].")
ZeroField = Annotated[Literal["leads", "its zero setting", "none"], Field(
    description="What a two-wire reading is less: that of the 'leads' alone; that of the standard "
    "at 'its zero setting', where the values "
    "are differences from it; or 'none', where the standard compensates for the leads or its "
    "values include them.")]


class Offer(Strict):
    """What a standard puts out, holds or reads."""

    terminals: Names = TERMINALS
    stated: StatedField | None = STATED
    zero: ZeroField = "leads"

    def stated_of(self, row) -> Stated | None:
        """How the uncertainty of one of its rows is stated, if not as the standard's others."""
        return row.stated or self.stated

    def drift_of(self, row) -> AccuracyText | None:
        """What one of its rows may drift over the interval, beside its uncertainty."""
        return row.drift.within if row.drift else None


class Output(Offer):
    output: KindName = Field(description="What it puts out.")
    wave: Literal["sine", "square",
                  "triangle"] = Field("sine", description="For AC: its waveform; values are r.m.s.")
    output_resistance: PositiveAmount | None = Field(
        None, description="Of a voltage, such as '50 ohm', where it matters.")
    rows: list[OutputRow] = Field(description="'- {values: 0 V to 20 V, within: 50 ppm + 20 uV}'.")
    corrections: CorrectionsField = None

    @property
    def what(self) -> str:
        return self.output


METHOD = Field(None, description="How it is measured, where that decides the value (a "
               "capacitance), such as '1 kHz' or 'charged by a steady current'.")
OTHER_METHOD = Field(None, description="How far a meter of another method may be off for that "
                     "alone, as plain limits, such as '0.5 %'.")


class CertifiedValue(Strict):
    """One value of a box, as its certificate has it."""

    nominal: PositiveAmount = Field(description="As it is marked, such as '100 ohm'.")
    certified: PositiveAmount = Field(
        description="As the certificate states it, such as '100.0023 ohm'.")
    within: AccuracyField = Field(
        description="The certificate's uncertainty, such as '20 ppm' or '0.5 mohm'.")
    stated: StatedField | None = STATED
    drift: DriftField | None = DRIFT
    other_method: AccuracyField | None = OTHER_METHOD
    confirmed: Confirmed = None
    calibration: ClassVar[None] = None   # a certificate's uncertainty is that of its calibration

    def uncertainty(self, age: int | None) -> AccuracyText:
        return self.within


class Artifact(Offer):
    artifact: KindName = Field(description="What its values are of: resistance, capacitance …")
    drift: DriftField | None = Field(None, description="Of each of its values over the interval, "
                                     "if a value says nothing else.")
    temperature_coefficient: PerDegreeField | None = Field(
        None, description="How far its values may move with their own temperature, where the "
        "uncertainties leave that out, such as '5 ppm per degC'.")
    certified_at: Amount | None = Field(
        None, description="The temperature of the certificate, such as '23 degC', with a "
        "'temperature_coefficient'.")
    method: Text | None = METHOD
    other_method: AccuracyField | None = OTHER_METHOD
    values: Annotated[list[CertifiedValue], AfterValidator(not_empty)] = Field(
        description="'- {nominal: 100 ohm, certified: 100.003 ohm, within: 5 mohm}'.")

    @property
    def what(self) -> str:
        return self.artifact

    @property
    def certified_celsius(self) -> Fraction | None:
        given = self.certified_at
        return units.celsius(given.number, given.unit) if given else None

    def drift_of(self, row) -> AccuracyText | None:
        given = row.drift or self.drift
        return given.within if given else None


class MeasureRow(OutputRow):
    """What a reference meter reads on one range, and how surely."""

    range: PositiveAmount | None = Field(None,
                                         description="The range's name, where its accuracy is "
                                         "percent of range.")
    resolution: PositiveAmount = Field(description="The value of its last digit, such as '1 uV'.")


class Measure(Offer):
    measures: KindName = Field(description="What it reads.")
    method: Text | None = METHOD
    rows: list[MeasureRow] = Field(
        description="'- {values: 0 V to 10 V, within: 20 ppm, resolution: 1 uV}'.")
    corrections: CorrectionsField = None

    @property
    def what(self) -> str:
        return self.measures


class Coil(Strict):
    """N turns through the jaw of a clamp-on meter."""

    turns: Annotated[int, *exact(_turns, type=["integer", "string"])] = Field(
        description="How often the conductor passes through the jaw.")
    terminals: Names = TERMINALS
    highest: PositiveAmount = Field(description="The highest current in its wire, such as '20 A'.")
    within: AccuracyField = Field(
        description="Turns, position in the jaw and return conductor together, such as '0.5 %'.")
    drift: DriftField | None = DRIFT
    corrections: CorrectionsField = None
    frequency: SpanText | None = Field(None,
                                       description="The frequencies that it may be used at, such "
                                       "as '40 Hz to 400 Hz'.")
    on_at_most: PositiveAmount | None = Field(None,
                                              description="How long a high current may stay on, "
                                              "such as '60 s'.")
    off_at_least: PositiveAmount | None = Field(None,
                                                description="How long it cools after that, such as "
                                                "'300 s'.")


HOLDS = {"source": "outputs", "artifact": "artifacts", "reference meter": "measures",
         "coil": "coil", "thermometer": "reads"}


class Standard(Strict):
    STAND_INS = {"standard": "x", "name": "x", "kind": "source", "description": "x", "maker": "x",
                 "certificate": "x",
                 "due": "2199-12-31", "stated": "k = 2", "outputs": []}

    standard: Slug = Field(description="The file's name without '.yaml'.")
    name: Text = Field(description="As the shop calls it.")
    kind: Annotated[str, one_of(HOLDS)] = Field(
        description="A source has 'outputs', an artifact has 'artifacts' with certified values, a "
        "reference meter has 'measures', a coil has 'coil'; a thermometer, which may be a "
        "hygrometer too, has 'reads'.")
    description: Text = Field(description="What it is, in a few words.")
    maker: Text = Field(description="Who makes it.")
    note: Text | None = Field(None, description="Shown on its page.")
    certificate: Text = Field(description="The certificate's number.")
    issuer: Text | None = Field(None, description="Who issued the certificate.")
    accreditation: Text | None = Field(
        None, description="The issuer's accreditation for it, by body and number; or 'none'.")
    calibrated: Date | None = Field(None,
                                    description="When it was calibrated. A report needs it, and so "
                                    "do uncertainties that go by the time since.")
    due: Date = Field(description="Not to be used after this date.")
    stated: StatedField = Field(description="How the uncertainties in 'rows' are stated: "
                                + STATED_HINT + ".")
    accuracy: Literal["absolute", "relative to its calibration"] = Field(
        "absolute",
        description="Whether the uncertainties include that of the calibration; if not, rows have "
        "'calibration'.")
    holds: SpanText | None = Field(None,
                                   description="The temperatures that they hold for, such as '18 "
                                   "to 28 degC'.")
    interval: Text | None = Field(None,
                                  description="The time since calibration that they hold for.")
    outputs: list[Output] = Field(default_factory=list, description="What a source puts out.")
    artifacts: list[Artifact] = Field(default_factory=list,
                                      description="The values that a box holds.")
    measures: list[Measure] = Field(default_factory=list,
                                    description="What a reference meter reads.")
    coil: Coil | None = Field(None, description="The turns of a coil for clamp-on meters.")
    reads: Annotated[Reads, BeforeValidator(not_empty)] | None = Field(
        None, description="What it reads at the bench, such as '{ambient: 0.4 degC, humidity: "
        "3 %}'.")

    @property
    def offers(self) -> list:
        """What it puts out, holds or reads."""
        return [*self.outputs, *self.artifacts, *self.measures]

    @property
    def certificates(self) -> list[tuple[str, Corrections]]:
        """What its certificate says at points, and of what."""
        offers = [*((one.what, one.corrections) for one in self.outputs),
                  *((one.what, one.corrections) for one in self.measures)]
        if self.coil:
            offers.append(("the current in the jaw", self.coil.corrections))
        return [(what, corrections) for what, corrections in offers if corrections]

    @property
    def moves_limits(self) -> bool:
        """Whether limits stand around what its certificate says, and not around what is set."""
        return bool(self.artifacts) or any(
            corrections.use == "applied" for _, corrections in self.certificates)

    def age(self, as_of: date | None) -> int | None:
        """Days since calibration."""
        return (as_of - self.calibrated).days if as_of and self.calibrated else None
