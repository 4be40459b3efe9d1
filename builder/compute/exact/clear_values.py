"""The nearest values that can be judged, for the hint of a refusal."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

from builder.compute.exact.accuracy_table import FunctionTable, RangeTable
from builder.compute.exact.points import Refused, judge, siblings
from builder.compute.exact.tolerance import ZERO, ToleranceLine


def clear_values(*, function: FunctionTable, on: RangeTable, near: Fraction,
                 frequency: Fraction | None, signed: bool = False,
                 beside: Fraction = ZERO) -> list[Fraction]:
    """The nearest values below and above `near`, in whole counts of the range, that `judge` gives
    limits for on that range without forcing it.

    Every rule changes its answer where some line crosses some reading, so the nearest clear value
    lies within a count of such a crossing; `judge` is asked about each. """
    sign, step = (-1 if near < 0 else 1), on.resolution

    def clear(counts: int) -> bool:
        try:
            judge(function=function, applied=sign * counts * step, frequency=frequency, wanted=on,
                  signed=signed, beside=beside)
        except Refused:
            return False
        return True

    about = {int(x / step) + k for x in (abs(near), *_crossings(function, on, frequency, beside))
             if x >= 0 for k in (-1, 0, 1, 2)}
    counts = sorted(c for c in about if 0 < c * step <= on.highest)
    below = next((c for c in reversed(counts) if c * step < abs(near) and clear(c)), None)
    above = next((c for c in counts if c * step > abs(near) and clear(c)), None)
    return [sign * c * step for c in (below, above) if c is not None]


def _crossings(function: FunctionTable, on: RangeTable, frequency: Fraction | None,
               beside: Fraction) -> list[Fraction]:
    """Sizes of the applied value at which a rule of this module may change its answer for this
    range."""
    ranges = siblings(function, on)
    place = ranges.index(on)
    ends = (function.span.low, function.span.high) if function.span else ()
    sizes = [abs(x) for x in (on.resolution, on.highest, on.lowest, on.up, on.down, *ends)
             if x is not None]
    sizes += [abs(edge) for row in on.rows if row.values for edge in row.values]
    sizes += [abs(edge) for pieces in on.pieces.values() for piece in pieces
              for edge in piece.values if edge is not None]
    rising = [on.highest, on.up]                        # x + T reaches it
    lines = _lines(on, frequency)
    sizes += [(a.offset - b.offset) / (b.slope - a.slope)
              for a, b in combinations(lines, 2) if a.slope != b.slope]
    for line in lines:
        sizes += [(top - beside - line.offset) / (1 + line.slope) for top in rising
                  if top is not None]
        if line.slope < 1:                              # x − T reaches 0 or the down-range reading
            sizes += [(low + line.offset) / (1 - line.slope) for low in (ZERO, on.down)
                      if low is not None]
    for below in ranges[:place]:
        sizes += [x for x in (below.highest, below.up) if x is not None]
        sizes += [(below.highest + line.offset) / (1 - line.slope)
                  for line in _lines(below, frequency) if line.slope < 1]
    for above in ranges[place + 1:place + 2]:
        if above.down is not None:
            sizes += [(above.down - beside - line.offset) / (1 + line.slope)
                      for line in _lines(above, frequency)]
    return sizes


def _lines(on: RangeTable, frequency: Fraction | None) -> list[ToleranceLine]:
    """Both sides of every piece at a frequency, each once."""
    lines = dict.fromkeys(
        line.at_frequency(frequency) for row in on.rows for piece in on.pieces[row]
        if piece.covers_frequency(frequency) for line in (piece.above, piece.below))
    return [line for line in lines if line.slope >= 0]
