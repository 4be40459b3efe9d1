"""From a meter's file to the table that the computation sees. Only for files that `check` found
right."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from builder.compute.exact import resistance_thermometer, thermocouple
from builder.compute.exact.accuracy_table import (AccuracyRow, FunctionTable, InputLimits,
                                                  RangeTable, TemperatureSpan)
from builder.compute.exact.order import INPUTS
from builder.compute.exact.pieces import AT_REFERENCE, Addition, Per, PerDegree, Surroundings
from builder.compute.exact.tolerance import ONE, ZERO, Accuracy
from builder.formats import meter as model
from builder.formats.additions import AdditionEntry
from builder.formats.fields import Span
from builder.formats.functions import FunctionKind
from builder.formats.meter import FunctionEntry, Meter, RangeEntry
from builder.formats.meter_texts import Coefficient
from builder.formats.row_entry import RowEntry
from builder.formats.row_parts import Ends, RowPart
from builder.numbers import exact_text
from builder.numbers.units import ABSOLUTE_ZERO, Quantity, Unit, of_celsius


def highest_reading(given: RangeEntry) -> Fraction:
    """The range's name less one count, unless the file says otherwise."""
    return (given.highest_reading.value if given.highest_reading
            else given.range.value - given.resolution.value)


def position(function: FunctionEntry, given: RangeEntry) -> tuple:
    return tuple(given.jacks or function.jacks or ()), given.dial or function.dial


def lowest_specified(given: RangeEntry) -> Fraction | None:
    if given.lowest is None:
        return None
    if given.lowest.amount is not None:
        return given.lowest.amount.value
    return (given.base or given.range).value * given.lowest.percent_of_range / 100


def part_of(part: RowPart | None, kind: FunctionKind, highest: Fraction) -> Ends | None:
    """The part of a range that a row holds for, from its least to its highest reading where the
    data sheet names no end."""
    if part is None:
        return None
    return part.ends(-highest if kind.dimension == "[temperature]" else ZERO, highest)


def range_table(meter: Meter, function: FunctionEntry, given: RangeEntry,
                surroundings: Surroundings = AT_REFERENCE) -> RangeTable:
    return RangeTable(
        full_scale=given.range.value,
        resolution=given.resolution.value,
        base=given.base.value if given.base else given.range.value,
        highest=highest_reading(given),
        rows=tuple(accuracy_row(meter, function, given, row, frequency) for row in given.accuracy
                   for frequency in (row.frequency.parts if row.frequency else (None,))),
        lowest=lowest_specified(given),
        up=given.up_range.value if given.up_range else None,
        down=given.down_range.value if given.down_range else None,
        position=position(function, given),
        surroundings=surroundings,
    )


def accuracy_row(meter: Meter, function: FunctionEntry, given: RangeEntry, row: RowEntry,
                 frequency: RowPart | None) -> AccuracyRow:
    """A row at one part of its frequencies with all that holds for it: the additions of its
    function and range, and the narrowest temperature coefficient."""
    dimension, unit = function.kind.dimension, given.range.unit
    above, *below = (side.of(dimension, unit) for side in row.sides)
    coefficients = coefficients_of(meter, function, row)
    per_degree = {side: PerDegree(one.fraction, one.terms.of(dimension, unit) if one.terms
                                  else Accuracy()) for side, one in coefficients.items()}
    return AccuracyRow(
        accuracy=above, below=below[0] if below else None,
        frequency=frequency.ends(ZERO, ZERO) if frequency else None,
        frequency_without=frequency.excluded_frequencies if frequency else (),
        values=part_of(row.values, function.kind, highest_reading(given)),
        values_without=row.values.excluded if row.values else (),
        by_sign=dimension == "[temperature]",
        additions=tuple(_addition(one, dimension, given)
                        for one in (*function.additions, *given.additions, *row.additions)),
        when_colder=per_degree.get("below"), when_warmer=per_degree.get("above"),
        typical=row.typical is not None)


def coefficients_of(meter: Meter, function: FunctionEntry,
                    row: RowEntry) -> dict[str, Coefficient]:
    """Of a row, else of its function, else of the meter: by the side of the reference band."""
    stated = (row.temperature_coefficient or function.temperature_coefficient
              or meter.specification.temperature_coefficient)
    return stated.both if stated else {}


def _addition(given: AdditionEntry, dimension: str, on: RangeEntry) -> Addition:
    per = given.add.per and Per(
        of_frequency=given.add.per.dimension != dimension, size=Quantity(ONE, given.add.per).value,
        start=given.above.value if given.above else ZERO)
    return Addition(accuracy=given.add.terms.of(dimension, on.range.unit),
                    values=given.values.of((on.base or on.range).value) if given.values else None,
                    crest_factor=given.crest_factor, humidity=given.humidity, per=per)


def input_limits(meter: Meter, function: FunctionEntry) -> InputLimits:
    """What the function's input bears: its own figures, and for voltages at least the meter's
    rating."""
    given = function.input
    highest = given.highest.value if given and given.highest else None
    if function.kind.dimension == "[voltage]" or (
            function.kind.needs_level and function.signal == "voltage"):
        rated = meter.rated.between_terminals.value
        highest = min(highest, rated) if highest is not None else rated
    return InputLimits(highest, given.peak.value if given and given.peak else None,
                       given.volt_hertz.value if given and given.volt_hertz else None)


def temperature_span(function: FunctionEntry) -> TemperatureSpan | None:
    """Of a temperature: what its sensor is defined for, in the function's own degrees."""
    if function.kind.dimension != "[temperature]" or not function.ranges:
        return None
    unit, sensor = function.ranges[0].range.unit, function.sensor
    if not sensor:
        return TemperatureSpan(sensor="", low=of_celsius(ABSOLUTE_ZERO, unit), high=None)
    ends = (thermocouple.measured(kind=function.thermocouple) if function.thermocouple
            else resistance_thermometer.SPAN)
    low, high = (of_celsius(end, unit) for end in ends)
    return TemperatureSpan(sensor=sensor, low=low, high=high)


def in_order(function: FunctionEntry) -> list[tuple[int, RangeEntry]]:
    """The ranges, lowest first, each with its position in the file."""
    return sorted(enumerate(function.ranges), key=lambda pair: pair[1].range.value)


def function_table(meter: Meter, function: FunctionEntry,
                   surroundings: Surroundings = AT_REFERENCE) -> FunctionTable:
    return FunctionTable(
        ranges=tuple(range_table(meter, function, given, surroundings)
                     for _, given in in_order(function)),
        shows_minus=function.kind.shows_minus,
        has_zero=function.kind.has_zero,
        is_ac=function.kind.is_ac,
        autoranging=function.ranging != "manual",
        limits=input_limits(meter, function),
        span=temperature_span(function),
    )


class MeterFunction:
    """A function of a meter, with its table in some surroundings and the shown names of its
    ranges."""

    def __init__(self, meter: model.Meter, given: model.FunctionEntry,
                 surroundings: Surroundings = AT_REFERENCE):
        self.meter = meter
        self.given = given
        self.title = given.title
        self.kind: FunctionKind = given.kind
        self.code = exact_text.slug(given.name) if given.name else given.kind.code
        self.surroundings = surroundings
        self.models = [r for _, r in in_order(given)]

    @cached_property
    def table(self) -> FunctionTable:
        """Worked out when it is first asked for: a build asks only for what changed."""
        return function_table(self.meter, self.given, self.surroundings)

    @cached_property
    def model_of(self) -> dict[RangeTable, model.RangeEntry]:
        return dict(zip(self.table.ranges, self.models, strict=True))

    @cached_property
    def names(self) -> dict[RangeTable, Quantity]:
        return {on: given.range for on, given in self.model_of.items()}

    def under(self, surroundings: Surroundings) -> MeterFunction:
        """The same function in other surroundings, with rows of its own."""
        return (self if surroundings == self.surroundings
                else MeterFunction(self.meter, self.given, surroundings))

    @cached_property
    def unit(self) -> Unit:
        return self.models[0].range.unit

    @property
    def stage(self) -> str:
        """The part of the order of work that its points belong to: nothing warms a resistance
        thermometer's input."""
        return INPUTS if self.given.resistance_thermometer else self.kind.stage

    @property
    def scale(self) -> Unit | None:
        """The degrees that a temperature is in."""
        return self.unit if self.table.span is not None else None

    @property
    def holds(self) -> Span:
        """The reference temperatures of its accuracy."""
        return self.given.holds or self.meter.specification.holds

    @property
    def since(self) -> str:
        """The time since adjustment that its accuracy is for, of several the longest; "" where the
        file states none."""
        return self.given.times[-1].text if self.given.times else ""

    @property
    def humidity(self) -> Span | None:
        return self.given.humidity or self.meter.specification.humidity

    @property
    def has_dc(self) -> bool:
        """Whether a row of an AC+DC function is one of steady values."""
        return any(row.frequency == (0, 0) for on in self.table.ranges for row in on.rows)

    def range(self, name: Quantity | None) -> RangeTable | None:
        if name is None:
            return None
        return next((t for t, q in self.names.items() if q.value == name.value), None)

    def same_range(self, other: MeterFunction, on: RangeTable) -> RangeTable:
        """The range that is `on` of this function in other surroundings."""
        return self.table.ranges[other.table.ranges.index(on)]

    def jacks(self, on: RangeTable) -> tuple[str, ...]:
        return on.position[0]

    def dial(self, on: RangeTable) -> str | None:
        return on.position[1]
