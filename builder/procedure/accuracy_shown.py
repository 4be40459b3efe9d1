"""A function's accuracy table as the lines of its picture."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

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
            lines += _of_row(view, on, row, low, high)
    return lines


def _of_row(view: MeterFunction, on: RangeTable, row: AccuracyRow, low: Fraction,
            high: Fraction) -> Iterator[AccuracyLine]:
    """A line for each piece of a row at its lowest frequency, one up and one down where they
    differ."""
    hertz = row.frequency[0] if row.frequency else None
    for piece in on.pieces[row]:
        first, last = piece.values
        start = low if first is None else max(low, first)
        end = high if last is None else min(high, last)
        for line in dict.fromkeys((piece.above, piece.below)):
            here = line.at_frequency(hertz)
            if 0 < start < end and piece.covers(start, hertz) and here.at(start) > 0:
                yield AccuracyLine(
                    range=exact_text.quantity(view.names[on]), low=float(start), high=float(end),
                    slope=float(here.slope), offset=float(here.offset),
                    holds=_holds(view, on, row))


def _holds(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> str:
    return exact_text.frequencies(row.frequency, row.frequency_without) if row.frequency else ""


def picture(view: MeterFunction) -> str:
    """As inline SVG; "" for a function without a line."""
    unit = view.unit.without_prefix if view.models and not view.unit.is_temperature else None
    if not view.models:
        return ""
    return accuracy_picture(view.title, lines_of(view), (unit or view.unit).shown)
