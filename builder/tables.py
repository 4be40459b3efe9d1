"""From a meter's file to the table that the computation sees. Only for files that `check` found right."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.table import Function, InputLimits, Range, Row
from builder.model.meter import Function as MeterFunction
from builder.model.meter import Meter, Range as MeterRange


def highest_reading(given: MeterRange) -> Fraction:
    """The range's name less one count, unless the file says otherwise."""
    return given.highest_reading.value if given.highest_reading else given.range.value - given.resolution.value


def position(function: MeterFunction, given: MeterRange) -> tuple:
    return tuple(given.jacks or function.jacks or ()), given.dial or function.dial


def lowest_specified(given: MeterRange) -> Fraction | None:
    if given.lowest is None:
        return None
    if given.lowest.amount is not None:
        return given.lowest.amount.value
    return given.range.value * given.lowest.percent_of_range / 100


def range_table(function: MeterFunction, given: MeterRange) -> Range:
    kind = function.kind
    return Range(
        full_scale=given.range.value,
        resolution=given.resolution.value,
        base=given.base.value if given.base else given.range.value,
        highest=highest_reading(given),
        rows=tuple(
            Row(accuracy=row.within.of(kind.dimension, given.range.unit),
                frequency=row.frequency.band if row.frequency else None,
                values=row.values.band if row.values else None, by_sign=kind.dimension == "[temperature]")
            for row in given.accuracy),
        lowest=lowest_specified(given),
        up=given.up_range.value if given.up_range else None,
        down=given.down_range.value if given.down_range else None,
        position=position(function, given),
    )


def input_limits(meter: Meter, function: MeterFunction) -> InputLimits:
    """What the function's input bears: its own figures, and for voltages at least the meter's rating."""
    given = function.input
    highest = given.highest.value if given and given.highest else None
    if function.kind.dimension == "[voltage]" or (function.kind.needs_level and function.signal == "voltage"):
        rated = meter.rated.between_terminals.value
        highest = min(highest, rated) if highest is not None else rated
    return InputLimits(highest, given.peak.value if given and given.peak else None,
                       given.volt_hertz.value if given and given.volt_hertz else None)


def in_order(function: MeterFunction) -> list[tuple[int, MeterRange]]:
    """The ranges, lowest first, each with its position in the file."""
    return sorted(enumerate(function.ranges), key=lambda pair: pair[1].range.value)


def function_table(meter: Meter, function: MeterFunction) -> Function:
    return Function(
        ranges=tuple(range_table(function, given) for _, given in in_order(function)),
        shows_minus=function.kind.shows_minus,
        has_zero=function.kind.has_zero,
        is_ac=function.kind.is_ac,
        autoranging=function.ranging != "manual",
        limits=input_limits(meter, function),
    )
