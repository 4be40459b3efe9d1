"""A meter's tables as data beside the pages: enough for anyone to compute the limits of any
value."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.accuracy_table import InputLimits, RangeTable
from builder.compute.exact.tolerance import Accuracy, ToleranceLine
from builder.numbers import exact_text
from builder.numbers.units import Unit, decimal_text, plain_unit

FORMAT = 1  # rises only when a field changes its meaning


def accuracy_data(accuracy: Accuracy, unit: Unit) -> dict:
    return {"percent_of_reading": decimal_text(accuracy.percent_of_reading),
            "counts": decimal_text(accuracy.counts),
            "percent_of_range": decimal_text(accuracy.percent_of_range),
            "fixed": exact_text.plain_quantity(accuracy.fixed, unit)}


def line_data(line: ToleranceLine, unit: Unit) -> dict:
    """T = slope·|x| + offset, exact, temperature factor included."""
    return {"slope": decimal_text(line.slope),
            "offset": exact_text.plain_quantity(line.offset, unit)}


def meter_data(meter, functions: dict) -> dict:
    """`data/meters/<id>.json`: the accuracy table as straight lines, at the reference
    temperature."""
    return {
        "format": FORMAT, "meter": meter.meter, "name": meter.name, "maker": meter.maker,
        "holds": str(meter.specification.holds), "source": meter.specification.source,
        "functions": [_function(view) for view in functions.values()],
    }


def _function(view) -> dict:
    return {"function": view.title, "kind": view.kind.name, "shows_minus": view.kind.shows_minus,
            "has_zero": view.kind.has_zero,
            "needs_frequency": view.kind.needs_frequency, "autoranging": view.table.autoranging,
            "is_ac": view.kind.is_ac, "needs_level": view.kind.needs_level,
            "zero_with": view.kind.zero_with or None,
            "input": _input(view, view.table.limits),
            "ranges": [_range(view, on) for on in view.table.ranges]}


def _input(view, limits: InputLimits) -> dict:
    """What the input bears: of the value itself, or of the level where that is set apart."""
    unit = plain_unit(view.given.level_dimension if view.kind.needs_level
                      else view.kind.dimension).ascii

    def shown(value: Fraction | None, unit: str) -> str | None:
        return f"{decimal_text(value)} {unit}" if value is not None else None

    return {"highest": shown(limits.highest, unit), "peak": shown(limits.peak, unit),
            "volt_hertz": shown(limits.volt_hertz, "V Hz")}


def _range(view, on: RangeTable) -> dict:
    unit = view.names[on].unit

    def shown(value: Fraction | None) -> str | None:
        return exact_text.plain_quantity(value, unit) if value is not None else None

    return {
        "range": shown(on.full_scale), "resolution": shown(on.resolution), "unit": unit.ascii,
        "decimals": exact_text.decimals(on.resolution, unit), "highest_reading": shown(on.highest),
        "base": shown(on.base),
        "lowest": shown(on.lowest), "up_range": shown(on.up), "down_range": shown(on.down),
        "jacks": list(view.jacks(on)), "dial": view.dial(on),
        "rows": [{"frequency": [exact_text.frequency(f, plain=True) for f in row.frequency]
                  if row.frequency else None,
                  "values": [shown(v) for v in row.values] if row.values else None,
                  "by_sign": row.by_sign,
                  "accuracy": accuracy_data(row.accuracy, unit), **line_data(on.line(row), unit)}
                 for row in on.rows],
    }
