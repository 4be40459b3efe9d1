"""Accuracy tables for the tests of `builder.compute`, in a few letters, and random ones."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction as F

from builder.compute.exact.accuracy_table import AccuracyRow, FunctionTable, RangeTable
from builder.compute.exact.pieces import PerDegree, Surroundings
from builder.compute.exact.tolerance import Accuracy


def acc(reading="0", counts="0", of_range="0", fixed="0") -> Accuracy:
    return Accuracy(F(reading), F(counts), F(of_range), F(fixed))


def row(accuracy: Accuracy, frequency=None, values=None) -> AccuracyRow:
    def band(pair):
        return tuple(map(F, pair)) if pair else None
    return AccuracyRow(accuracy=accuracy, frequency=band(frequency), values=band(values))


def range_(full, resolution, *rows: AccuracyRow | Accuracy, base=None, highest=None, lowest=None,
           up=None, down=None, position=("V",)) -> RangeTable:
    full, resolution = F(full), F(resolution)

    def given(value, otherwise=None):
        return otherwise if value is None else F(value)
    return RangeTable(full_scale=full, resolution=resolution, base=given(base, full),
                      highest=given(highest, full - resolution),
                      rows=tuple(r if isinstance(r, AccuracyRow) else AccuracyRow(accuracy=r)
                                 for r in rows),
                      lowest=given(lowest), up=given(up), down=given(down), position=position)


def dc(*ranges: RangeTable, **more) -> FunctionTable:
    return FunctionTable(ranges=ranges, **({"shows_minus": True, "has_zero": True} | more))


def ac(*ranges: RangeTable, **more) -> FunctionTable:
    return FunctionTable(ranges=ranges,
                         **({"shows_minus": False, "has_zero": False, "is_ac": True} | more))


def warm(function: FunctionTable, growth: F, degrees: F = F(1)) -> FunctionTable:
    """The same table where the accuracy has grown, by a coefficient for so many degrees."""
    return replace(function, ranges=tuple(warm_range(on, growth, degrees)
                                          for on in function.ranges))


def warm_range(on: RangeTable, growth: F, degrees: F = F(1)) -> RangeTable:
    coefficient = PerDegree((growth - 1) / degrees)
    return replace(on, surroundings=Surroundings(above=degrees),
                   rows=tuple(replace(row, when_warmer=coefficient) for row in on.rows))


DECADE = dc(
    range_("0.6", "0.0001", acc("0.5", "3")),
    range_("6", "0.001", acc("0.4", "2")),
    range_("60", "0.01", acc("0.4", "2")),
    range_("600", "0.1", acc("0.5", "2")),
)


def random_function(rng: random.Random) -> FunctionTable:
    """A hostile table with few counts, so that every reading can be walked: gaps and overlaps
    between rows, large and tiny accuracies, limits on half counts, ranges with their own highest,
    lowest, up-range and down-range readings."""
    is_ac = rng.random() < 0.4
    counts = rng.choice((10, 20, 40, 60, 100))
    full = F(rng.choice(("1", "0.6", "2")))
    ranges: list[RangeTable] = []
    wanted = rng.randint(1, 3)
    for at in range(wanted):
        r = full / counts
        highest = full - r + r * rng.choice((0, 0, 0, 1, 2))
        up = highest - r * rng.randint(0, 3) if at + 1 < wanted and rng.random() < 0.25 else None
        down = None
        if ranges and rng.random() < 0.3:
            down = ranges[-1].highest * rng.choice((F(1), F(9, 10), F(4, 5)))
        lowest = (full * rng.choice((5, 10)) / 100 if rng.random() < (0.6 if is_ac else 0.1)
                  else None)
        ranges.append(RangeTable(full_scale=full, resolution=r, base=full * rng.choice((1, 1, 2)),
                                 highest=highest,
                                 rows=_random_rows(rng, is_ac, full), lowest=lowest, up=up,
                                 down=down, position=("V",)))
        full *= rng.choice((10, 10, 2, 5))
    minus = not is_ac and rng.random() < 0.7
    return FunctionTable(ranges=tuple(ranges), shows_minus=minus, has_zero=not is_ac, is_ac=is_ac,
                         autoranging=rng.random() < 0.8)


def _random_rows(rng: random.Random, is_ac: bool, full: F) -> tuple[AccuracyRow, ...]:
    def accuracy() -> Accuracy:
        return Accuracy(
            percent_of_reading=rng.choice((F(0), F(1, 2), F("1.2"), F(5), F(10), F("0.005"))),
            counts=rng.choice((F(0), F(1), F(2), F(3), F(1, 2), F(5, 2), F("0.1"))),
            percent_of_range=rng.choice((F(0), F(0), F("0.1"), F(1))),
            fixed=full * rng.choice((F(0), F(0), F(0), F(1, 1000), F(1, 30))))
    bands = [None]
    if is_ac:
        bands = rng.choice(([(40, 400)], [(40, 400), (400, 1000)], [(40, 400), (300, 1000)],
                            [(40, 400), (1000, 2000)]))
        bands = [tuple(map(F, b)) for b in bands]
    rows = []
    for band in bands:
        if rng.random() < 0.25:
            part = full * rng.choice((F(1, 2), F(1, 3), F(1, 10)))
            rows.append(AccuracyRow(accuracy=accuracy(), frequency=band,
                                    values=(F(0), part)))
            rows.append(AccuracyRow(accuracy=accuracy(), frequency=band, values=
                                    (part * rng.choice((1, 1, F(11, 10))), full * F(11, 10))))
        else:
            rows.append(AccuracyRow(accuracy=accuracy(), frequency=band))
    return tuple(rows)


FREQUENCIES = tuple(map(F, (10, 40, 350, 400, 401, 700, 1000, 1500, 2000, 3000)))


def random_point(rng: random.Random, function: FunctionTable) -> tuple[F, F | None]:
    """A value near something that matters: a grid point, half a count, an edge; and a frequency."""
    on = rng.choice(function.ranges)
    r = on.resolution
    at = rng.choice((on.highest, on.highest, on.full_scale / 2, on.full_scale / 10, F(0),
                     on.lowest or r, on.up or on.highest,
                     on.down or on.highest, rng.randint(0, int(on.full_scale / r)) * r))
    x = at + r * rng.choice((F(0), F(0), F(1), F(-1), F(1, 2), F(-1, 2), F(1, 3), F(-3), F(5)))
    if rng.random() < (0.3 if function.shows_minus else 0.03):
        x = -x
    return x, (rng.choice(FREQUENCIES) if function.is_ac else None)
