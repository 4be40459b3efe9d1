"""The data of a procedure as a record carries it, or as it stands beside one: what a record is
judged by.

It was written by a builder, perhaps an older one, and has been through a phone and through hands:
so it is checked like a file that someone typed. Fields that aren't known here are passed over, and
so are missing ones that came later. """

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import (BaseModel, ConfigDict, PlainValidator, StrictBool, StrictInt, StrictStr,
                      ValidationError, model_validator)

from builder.compute.exact.display import accepted
from builder.files.problems import Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.decision_rule import rule_of
from builder.numbers import units

_NUMBER = re.compile(r"-?[0-9]{1,40}(?:\.[0-9]{1,40})?")


@dataclass(frozen=True, slots=True)
class Figure:
    """An exact number with the unit that stands behind it, as "-0.540 V"."""

    number: Fraction
    unit: str
    text: str


def _number(value: Any) -> Fraction:
    if not isinstance(value, str) or not _NUMBER.fullmatch(value):
        raise Wrong(f"'{str(value)[:40]}' is not an exact number")
    return Fraction(value)


def _figure(value: Any) -> Figure:
    number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    if not unit:
        raise Wrong(f"'{str(value)[:40]}' is not a number with a unit")
    return Figure(_number(number), unit, value)


Number = Annotated[Fraction, PlainValidator(_number)]
Amount = Annotated[Figure, PlainValidator(_figure)]


class _Data(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True, arbitrary_types_allowed=True)


class LimitsData(_Data):
    low: Amount
    high: Amount
    low_counts: StrictInt
    high_counts: StrictInt


class ReferenceData(_Data):
    standard: StrictStr
    on: StrictStr
    resolution: Amount
    step: Amount
    guard_band: Amount | None = None


class UncertaintyData(_Data):
    U: Amount
    k: Number
    u: Amount
    probability: StrictStr
    degrees: StrictStr = "inf"
    rectangles: tuple[Amount, ...] = ()
    normal: Amount | None = None

    @model_validator(mode="after")
    def _are_numbers(self) -> "UncertaintyData":
        if not re.fullmatch(r"[0-9]{1,2}(\.[0-9]+)?\s*%",
                            self.probability) or not re.fullmatch(
                                    r"inf|[0-9]+(\.[0-9]+)?(e[+-]?[0-9]{1,3})?", self.degrees):
            raise Wrong("an uncertainty has a probability in percent and degrees of freedom")
        if float(self.degrees) <= 0 or float(self.probability.rstrip("% \u00a0")) < 1:
            raise Wrong("a probability and degrees of freedom are above zero")
        return self


class PointData(_Data):
    """A row of the sheet as its data has it, exact and in the unit of the display: what a record
    carries, and what readings are judged by."""

    id: StrictStr
    group: StrictStr
    step: StrictStr
    kind: Literal["source", "artifact", "reference", "thermocouple", "coil", "zero", "observation"]
    function: StrictStr
    range: Amount
    range_forced: StrictBool = False
    resolution: Amount
    highest: Amount | None = None
    unit: StrictStr
    decimals: StrictInt
    apply: Amount
    frequency: StrictStr | None = None
    level: StrictStr | None = None
    hazard: StrictStr | None = None
    observe: StrictStr | None = None
    find: StrictStr | None = None
    wave: StrictStr | None = None
    expected: Amount | None = None
    source_setting: StrictStr | None = None
    correction: Literal["subtract", "relative"] | None = None
    zero: StrictStr | None = None
    reference: ReferenceData | None = None
    slope: Number | None = None
    offset: Amount | None = None
    accept: LimitsData | None = None
    tolerance_limits: LimitsData | None = None
    conditional: LimitsData | None = None
    uncertainty: UncertaintyData | None = None
    tur: StrictStr | None = None

    @model_validator(mode="after")
    def _fits_together(self) -> "PointData":
        if not 0 <= self.decimals <= 18 or self.resolution.number <= 0:
            raise Wrong("a display has a resolution above zero and at most 18 decimals")
        units.unit(self.unit)
        if (self.slope is None) != (self.offset is None) or (
                self.slope is not None and (self.slope < 0 or self.offset.number < 0)):
            raise Wrong("'slope' and 'offset' go together, and neither is below zero")
        if (self.kind == "reference") != (self.reference is not None) or (
                self.kind == "reference" and self.slope is None):
            raise Wrong(
                "a point beside a reference meter, and no other, has a 'reference' and a 'slope'")
        own = [self.range, self.resolution, self.highest, self.apply, self.expected, self.offset]
        own += [one for band in (self.accept, self.tolerance_limits, self.conditional) if band
                for one in (band.low, band.high)]
        own += ([self.reference.resolution, self.reference.step, self.reference.guard_band]
                if self.reference else [])
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
        if self.tolerance_limits and self.slope is not None:
            value, limits = (self.expected or self.apply).number, self.tolerance_limits
            found = accepted(applied=value, tolerance=self.slope * abs(value) + self.offset.number,
                             resolution=step, shows_minus=limits.low_counts < 0)
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


class CheckData(_Data):
    group: StrictStr
    step: StrictStr
    check: StrictStr
    good: StrictStr = ""
    write: StrictStr | None = None
    unit: StrictStr | None = None
    covers: StrictStr | None = None


class GroupData(_Data):
    group: StrictStr
    title: StrictStr
    hazard: StrictStr | None = None
    near_zero: StrictStr | None = None


class StandardData(_Data):
    standard: StrictStr
    name: StrictStr
    description: StrictStr = ""
    certificate: StrictStr
    due: StrictStr


class LeftOutData(_Data):
    function: StrictStr
    range: StrictStr
    row: StrictStr
    because: StrictStr


class SheetData(_Data):
    format: Literal[1]
    procedure: StrictStr
    revision: StrictStr
    title: StrictStr
    meter: StrictStr
    meter_name: StrictStr
    maker: StrictStr = ""
    specification: StrictStr = ""
    holds: StrictStr
    ambient_unit: StrictStr
    humidity: StrictStr | None = None
    interval_agreed: StrictStr | None = None
    standards: tuple[StandardData, ...]
    groups: tuple[GroupData, ...]
    decision_rule: StrictStr
    outcomes: Literal[2, 4]
    rule_in_words: StrictStr
    points: tuple[PointData, ...]
    checks: tuple[CheckData, ...]
    left_out: tuple[LeftOutData, ...] = ()

    @model_validator(mode="after")
    def _is_whole(self) -> "SheetData":
        rule_of(self.decision_rule)
        points, groups = {p.id: p for p in self.points}, {g.group for g in self.groups}
        steps = [one.step for one in (*self.points, *self.checks)]
        if len(points) != len(self.points) or len(set(steps)) != len(steps) or len(groups) != len(
                self.groups):
            raise Wrong("a point, a step or a group stands twice")
        if any(one.group not in groups for one in (*self.points, *self.checks)):
            raise Wrong("a step belongs to a group that isn't there")
        if self.decision_rule == "simple acceptance" and any(
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


def sheet_data(raw: Any, document: Document,
               path: tuple = ()) -> tuple[SheetData | None, list[Problem]]:
    """The data at `path` of a document, or the problem with it."""
    try:
        return SheetData.model_validate(raw), []
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        at = tuple(step for step in first["loc"]
                   if isinstance(step, int) or re.fullmatch(r"\w+", str(step)))
        where = ".".join(map(str, at)) or "the data"
        wrong = first.get("ctx", {}).get("error")
        said = (wrong.sentence if isinstance(wrong, Wrong) else "it is missing"
                if first["type"] == "missing"
                else "it isn't what stands there in a procedure's data")
        if at == ("format",) and first["type"] == "literal_error":
            said = "this builder reads format 1"
        return None, [document.problem((*path, *at), "judged-by",
                                       f"this is not the data of a procedure: {where}: {said}",
                                       "'python3 -m builder blank PROCEDURE' writes it; a phone's "
                                       "record carries it inside; never edit it by hand")]
