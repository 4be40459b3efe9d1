"""The data of a sheet: what stands beside its page and in its page, what a script judges by and
what a record carries and is judged by.

A record's data was written by a builder, perhaps an older one, and has been through a phone and
through hands: so it is checked like a file that someone typed.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from typing import Literal

from pydantic import Field, StrictBool, StrictInt, StrictStr, model_validator

from builder.compute.exact.display import accepted
from builder.compute.exact.tolerance import Tolerance
from builder.files import hashed
from builder.files.problems import Wrong
from builder.formats.data_fields import Amount, Data, Day, Hash, Number, Since, Slug
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE, rule_of
from builder.formats.group_data import CheckData, GroupData
from builder.formats.reference_data import ReferenceData, UncertaintyData
from builder.numbers import units


class AccuracyData(Data):
    percent_of_reading: Number
    counts: Number
    percent_of_range: Number
    fixed: Amount


class SideData(Data):
    """The tolerance of one limit: slope * |applied| + offset."""

    slope: Number
    offset: Amount
    tolerance: Amount


class LimitsData(Data):
    low: Amount
    high: Amount
    low_counts: StrictInt
    high_counts: StrictInt


class PointData(Data):
    """A row of the sheet as its data has it, exact and in the unit of the display: what a record
    carries, and what readings are judged by."""

    id: StrictStr = Field(description="From function, range, value, frequency and method; stays "
                          "when other points are added.")
    group: StrictStr
    step: StrictStr
    kind: Literal["source", "artifact", "reference", "thermocouple", "coil", "ohms", "leads",
                  "zero", "observation"] = Field(
        description="What applies the value: a source, a certified value, whatever a reference "
        "meter reads beside, millivolts or ohms for a temperature, N turns in the jaw, known "
        "leads alone; 'zero' is the reading of the leads alone that is taken off.")
    function: StrictStr
    range: Amount
    range_forced: StrictBool = Field(
        False, description="The range is selected by hand on an autoranging meter.")
    resolution: Amount = Field(description="The value of one count.")
    highest: Amount | None = Field(None, description="The range's highest reading.")
    unit: StrictStr
    decimals: StrictInt = Field(json_schema_extra={"minimum": 0})
    apply: Amount
    frequency: StrictStr | None = None
    level: StrictStr | None = Field(None, description="Of the signal, for frequency and duty "
                                    "cycle.")
    jacks: tuple[StrictStr, ...] = ()
    hazard: StrictStr | None = None
    observe: StrictStr | None = Field(None, description="Why an observation has no limits, or what "
                                      "to look for.")
    find: StrictStr | None = None
    wave: StrictStr | None = None
    expected: Amount | None = Field(
        None, description="What stands at the input, where it isn't the value applied: a certified "
        "value, or what the source's resistance leaves. The limits stand around it.")
    leads: Amount | None = Field(None, description="Of 'expected' what known leads add.")
    source_setting: StrictStr | None = Field(None, description="A coil's current, or ohms.")
    correction: Literal["subtract", "relative"] | None = Field(
        None, description="How the leads are taken off; the limits are for the reading less that "
        "of 'zero', or for the relative reading.")
    zero: StrictStr | None = Field(None, description="The id of the point of the leads alone.")
    before: tuple[StrictStr, ...] = Field(
        (), description="Steps to tick between the row above and this one; '____' is a line to "
        "write on.")
    before_steps: tuple[StrictStr, ...] = Field(
        (), description="What each of these asks for, as a code: 'source-standby', 'range-select'.")
    pause: Amount | None = Field(
        None, description="For how long the output must be off before this row, as one of its "
        "steps says, or one that opens the group.")
    on_at_most: Amount | None = Field(
        None, description="For how long the output may be on, from the step that switches it on "
        "to the one that switches it off.")
    accuracy: AccuracyData | None = None
    slope: Number | None = Field(None, description="tolerance = slope * |applied| + offset, "
                                 "additions and temperature included; null with 'below' and "
                                 "'above'.")
    offset: Amount | None = None
    tolerance: Amount | None = None
    below: SideData | None = Field(None, description="Of the lower limit, where the accuracy "
                                   "differs down and up.")
    above: SideData | None = Field(None, description="Of the upper limit, likewise.")
    accept: LimitsData | None = Field(
        None, description="Both ends are accepted; inside tolerance_limits by the guard band. Null "
        "for an observation, and where the rule leaves no reading to accept.")
    tolerance_limits: LimitsData | None = Field(
        None, description="The readings within the tolerance.")
    reference: ReferenceData | None = Field(
        None, description="Accepted where |reading - reference| is at most slope * |reference| + "
        "offset less the guard_band here, cut off to 'step'.")
    standards: tuple[StrictStr, ...] = Field((), description="Those that the value comes from.")
    uncertainty: UncertaintyData | None = None
    tur: StrictStr | None = Field(None, description="Tolerance divided by U of the whole "
                                  "measurement.")
    guard_band: Amount | None = None
    conditional: LimitsData | None = Field(
        None, description="With four outcomes: readings beyond tolerance_limits but within these "
        "fail conditionally.")

    @model_validator(mode="after")
    def _fits_together(self) -> PointData:
        if not 0 <= self.decimals <= 18 or self.resolution.number <= 0:
            raise Wrong("a display has a resolution above zero and at most 18 decimals")
        units.unit(self.unit)
        if len(self.before) != len(self.before_steps):
            raise Wrong("a point has as many codes as steps before it")
        if ((self.slope is None) != (self.offset is None) or (self.slope or 0) < 0
                or (self.offset is not None and self.offset.number < 0)):
            raise Wrong("'slope' and 'offset' go together, and neither is below zero")
        sides = [one for one in (self.below, self.above) if one is not None]
        if len(sides) == 1 or (sides and self.slope is not None):
            raise Wrong("'below' and 'above' go together, in place of 'slope' and 'offset'")
        if (self.kind == "reference") != (self.reference is not None) or (
                self.kind == "reference" and self.slope is None):
            raise Wrong(
                "a point beside a reference meter, and no other, has a 'reference' and a 'slope'")
        own = [self.range, self.resolution, self.highest, self.apply, self.expected, self.offset]
        own += [one for side in sides for one in (side.offset, side.tolerance)]
        own += [one for band in (self.accept, self.tolerance_limits, self.conditional) if band
                for one in (band.low, band.high)]
        if self.reference:
            own += [self.reference.resolution, self.reference.step, self.reference.guard_band,
                    self.reference.apart]
            own += [one for at in self.reference.at for one in (at.below, at.guard_band)]
        if odd := next((one for one in own if one is not None and one.unit != self.unit), None):
            raise Wrong(f"'{odd.text[:40]}' is not in the point's unit, {self.unit[:10]}")
        if self.reference and self.reference.step.number <= 0:
            raise Wrong("the finest step of a comparison is above zero")
        self._has_its_own_limits()
        return self

    def _has_its_own_limits(self) -> None:
        """A reading is judged by counts and the report prints numbers, so a digit that was changed
        in either must not go unseen: limits are their counts, tolerance limits are those of slope
        and offset, and a guard band lies inside."""
        step = self.resolution.number
        for band in (self.accept, self.tolerance_limits, self.conditional):
            if band and (band.low.number != band.low_counts * step
                         or band.high.number != band.high_counts * step):
                raise Wrong("a limit and its counts differ")
        value, limits = (self.expected or self.apply).number, self.tolerance_limits
        sides = self.tolerance_at(value)
        if sides and (sides.below < 0 or sides.above < 0):
            raise Wrong("a tolerance is not below zero")
        if limits and sides:
            found = accepted(low=value - sides.below, high=value + sides.above, resolution=step,
                             shows_minus=limits.low_counts < 0)
            if (found.low, found.high) != (limits.low_counts, limits.high_counts):
                raise Wrong("the limits are not those of 'slope' and 'offset'")
        for inner, outer in ((self.accept, self.tolerance_limits),
                             (self.tolerance_limits, self.conditional)):
            if inner and outer and not (outer.low_counts <= inner.low_counts
                                        and inner.high_counts <= outer.high_counts):
                raise Wrong("limits lie outside those that they are a part of")

    @property
    def is_observation(self) -> bool:
        return self.kind == "observation"

    def tolerance_at(self, expected: Fraction) -> Tolerance | None:
        """Down and up, at what stands at the input, in the point's unit; None without limits."""
        if self.slope is not None and self.offset is not None:
            even = self.slope * abs(expected) + self.offset.number
            return Tolerance(even, even)
        if self.below is None or self.above is None:
            return None
        return Tolerance(*(side.slope * abs(expected) + side.offset.number
                           for side in (self.below, self.above)))


class StandardData(Data):
    standard: StrictStr
    name: StrictStr
    description: StrictStr = ""
    certificate: StrictStr
    due: Day
    calibrated: Day | None = None
    issuer: StrictStr | None = Field(None, description="Of the certificate.")
    accreditation: StrictStr | None = None
    reads: tuple[StrictStr, ...] = Field((), description="What it reads at the bench: 'ambient', "
                                         "'humidity', 'junction'.")


class LeftOutData(Data):
    function: StrictStr = Field(description="Empty where a check is left out.")
    range: StrictStr
    row: StrictStr
    because: StrictStr
    check: StrictStr | None = Field(None, description="A check that would stop everything.")
    tried_to: Amount | None = Field(None, description="This is why the range is tried no farther.")


# What may be renewed while the sheet is the same; each certificate stands in the report itself.
_RENEWED = {"title", "interval_agreed", "rule_agreed", "standards"}


class SheetData(Data):
    """data/procedures/<id>.json: one computed procedure. Quantities are "<number> <unit>" with
    exact decimals. Readers ignore fields that they don't know; 'format' rises only when a field
    changes its meaning."""

    format: Literal[1]
    procedure: Slug
    revision: Hash = Field(description="A hash over the numbers of the sheet, its order, "
                           "the codes of its steps and cautions, and what the shop wrote.")
    title: StrictStr
    meter: StrictStr
    meter_name: StrictStr
    maker: StrictStr = ""
    specification: StrictStr = Field("", description="Where the meter's accuracy is from.")
    holds: StrictStr = Field(description="The ambient temperatures that the limits hold for.")
    ambient_unit: StrictStr
    humidity: StrictStr | None = None
    verified_against: Since | None = Field(None, description="The criterion: since adjustment.")
    interval_agreed: StrictStr | None = Field(None, description="As the meter's owner agreed to.")
    rule_agreed: StrictStr | None = Field(None, description="With whom the decision rule was "
                                          "agreed, and when.")
    standards: tuple[StandardData, ...]
    groups: tuple[GroupData, ...]
    decision_rule: StrictStr
    outcomes: Literal[2, 4]
    rule_in_words: StrictStr
    points: tuple[PointData, ...]
    checks: tuple[CheckData, ...]
    left_out: tuple[LeftOutData, ...] = Field((), description="What the procedure doesn't test.")

    @model_validator(mode="after")
    def _is_whole(self) -> SheetData:
        rule_of(self.decision_rule)
        points, groups = {p.id: p for p in self.points}, {g.group for g in self.groups}
        placed: tuple[PointData | CheckData, ...] = (*self.points, *self.checks)
        steps = [one.step for one in placed]
        if len(points) != len(self.points) or len(set(steps)) != len(steps) or len(groups) != len(
                self.groups):
            raise Wrong("a point, a step or a group stands twice")
        if any(one.group not in groups for one in placed):
            raise Wrong("a step belongs to a group that isn't there")
        if self.decision_rule == SIMPLE_ACCEPTANCE and any(
                p.accept and p.tolerance_limits and p.accept != p.tolerance_limits
                for p in self.points):
            raise Wrong("under simple acceptance the limits are those of the tolerance")
        for point in self.points:
            zero = points.get(point.zero or "")
            if point.correction == "subtract" and point.kind != "zero" and (
                    zero is None or zero.kind != "zero"):
                raise Wrong(f"the reading of the leads for {point.id[:60]} isn't there")
            if zero is not None and units.unit(zero.unit).dimension != units.unit(
                    point.unit).dimension:
                raise Wrong(f"the leads of {point.id[:60]} are read in another kind of unit")
        return self

    def point(self, id: str) -> PointData | None:
        return next((one for one in self.points if one.id == id), None)

    @cached_property
    def judges(self) -> str:
        """All that readings are judged by, in the one form that hashes are made over."""
        return hashed.canonical(self.model_dump(mode="json", exclude_defaults=True,
                                                exclude=_RENEWED))
