"""A function's accuracy table as the lines of its picture."""

from __future__ import annotations

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.points import siblings
from builder.drawing.accuracy_lines import AccuracyLine, accuracy_picture
from builder.numbers import exact_text
from builder.procedure.meter_function import MeterFunction

_LEAST = 100   # of the lowest range: how far down its line is drawn where nothing states an end


def lines_of(view: MeterFunction) -> list[AccuracyLine]:
    """A line for each row on each range, from where the next lower range ends to its own highest
    reading; a row for values below zero alone has none."""
    lines = []
    for on in view.table.ranges:
        below = [one.highest for one in siblings(view.table, on) if one.highest < on.highest]
        start = max([*below, on.lowest or 0, on.highest / _LEAST if not below else 0])
        for row in on.rows:
            low, high = start, on.highest
            if row.values:
                low, high = max(row.values[0], on.highest / _LEAST), min(high, row.values[1])
            line = on.line(row)
            if 0 < low < high and line.at(low) > 0:
                lines.append(AccuracyLine(
                    range=exact_text.quantity(view.names[on]), low=float(low), high=float(high),
                    slope=float(line.slope), offset=float(line.offset),
                    holds=_holds(view, on, row)))
    return lines


def _holds(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> str:
    return exact_text.frequencies(row.frequency) if row.frequency else ""


def picture(view: MeterFunction) -> str:
    """As inline SVG; "" for a function without a line."""
    unit = view.unit.without_prefix if view.models and not view.unit.is_temperature else None
    if not view.models:
        return ""
    return accuracy_picture(view.title, lines_of(view), (unit or view.unit).shown)
