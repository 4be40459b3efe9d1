"""Which rows of a standard's table hold for a value."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.formats.fields import Span
from builder.formats.standard import OutputRow
from builder.numbers.units import Quantity, Unit, celsius


def covering(rows: Sequence[OutputRow], applied: Fraction, hertz: Fraction | None,
             level: Quantity | None, scale: Unit | None = None) -> tuple[OutputRow, ...]:
    """Those that hold for a value at a frequency and a level. A row is of sizes, for both
    polarities; of temperatures, which are in the degrees of `scale`, it is meant with the sign and
    compared in degC."""
    def holds(row: OutputRow) -> bool:
        if scale is None:
            return within(row.values, abs(applied))
        low, high = row.values.celsius
        return low <= celsius(applied, scale) <= high

    return tuple(row for row in rows
                 if holds(row)
                 and (hertz is None or row.frequency is None or within(row.frequency, hertz))
                 and (row.level is None
                      or (level is not None and row.level.high.dimension == level.dimension
                          and within(row.level, level.value))))


def met_on_the_way(rows: Sequence[OutputRow], low: Fraction,
                   high: Fraction) -> tuple[OutputRow, ...]:
    """The rows, which are of sizes, that a source meets from `low` to `high`; none where it can't
    put out all between."""
    reached, top = max(low, -high, Fraction(0)), max(high, -low)
    met = tuple(row for row in rows if row.values.band[0] <= top and row.values.band[1] >= reached)
    for start, end in sorted(row.values.band for row in met):
        if start > reached:
            return ()
        reached = max(reached, end)
    return met if reached >= top else ()


def within(span: Span, value: Fraction) -> bool:
    return span.band[0] <= value <= span.band[1]
