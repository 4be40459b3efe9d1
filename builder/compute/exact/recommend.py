"""Which points to try on a function (choice of this project, in the spirit of EURAMET cg-15, which
gives points as shares of full scale): zero, a low, a middle and a high point on the lowest range;
one high point, about 90 % of full scale, on the others; both polarities for DC; the lowest and the
highest frequency of each AC row; just below the ceiling of a frequency counter. Where a box has
certain values only, those that lie nearest to these."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Callable, Iterable, Iterator, Mapping, Sequence

from builder.compute.exact.accuracy_table import AccuracyRow, FunctionTable, RangeTable
from builder.compute.exact.points import JudgedPoint, Refused, judge
from builder.compute.exact.tolerance import ONE

# raises Refused where the value can't be applied
Allowed = Callable[[Fraction, "Fraction | None"], None]

HIGH = [Fraction(n, 100) for n in (90, 80, 70, 60, 50, 40, 30, 20)]
MIDDLE = [Fraction(n, 100) for n in (50, 45, 55, 40, 60)]
LOW = [Fraction(n, 100) for n in (10, 15, 20, 25)]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A value to apply and its frequency (Hz; None without one), in the function's unit, and the
    range that it is meant for."""

    applied: Fraction
    frequency: Fraction | None
    range: RangeTable


@dataclass(frozen=True, slots=True)
class Missing:
    """A row, or one end of its frequencies, for which no point was found, and why the most wanted
    was refused."""

    range: RangeTable
    row: AccuracyRow
    frequency: Fraction | None
    refused: Refused


def recommended(*, function: FunctionTable, allowed: Allowed,
                frequencies: Sequence[Fraction | None] = (None,), is_counter: bool = False,
                force: bool = False, growth: Fraction = ONE,
                certified: Mapping[Fraction, Fraction] | None = None,
                signed: bool = False) -> tuple[list[Wanted], list[Missing]]:
    """Recommended points for every range of a function. `allowed` says whether the standard and the
    meter's input can take a value; where they can't, a smaller share of the range is tried.

    `frequencies` are those at which a duty cycle is applied; an AC function has its own in its
    rows. `certified` are the nominal values of a box with the certified ones; `signed` as for
    `judge`. A function whose leads are taken off has its zero in that, so none is recommended. """
    points: list[Wanted] = []
    missing: list[Missing] = []

    def tried(on: RangeTable, values: Iterable[Fraction],
              hertz: Fraction | None) -> tuple[Fraction, JudgedPoint]:
        first: Refused | None = None
        for value in values:
            try:
                allowed(value, hertz)
                real = value if certified is None else certified[value]
                return value, judge(function=function, applied=real, frequency=hertz, wanted=on,
                                    force=force, growth=growth, signed=signed)
            except Refused as refused:
                first = first or refused
        raise first or Refused("value-outside", on=on)

    for at, on in enumerate(function.ranges):
        rows_done: set[AccuracyRow] = set()
        failed: dict[Fraction | None, Refused] = {}

        def add(values: Iterable[Fraction], hertz: Fraction | None) -> Fraction | None:
            try:
                value, found = tried(on, values if certified is None
                                     else _of_box(on, certified, values), hertz)
            except Refused as refused:
                failed[hertz] = refused
                return None
            rows_done.add(found.row)
            wanted = Wanted(value, hertz, on)
            if wanted not in points:
                points.append(wanted)
            return value

        edges = sorted({edge for row in on.rows if row.frequency for edge in row.frequency})
        main = edges[0] if function.is_ac and edges else frequencies[0]
        if at == 0:
            if function.has_zero and not signed:
                add([Fraction(0)], main)
            for shares in (LOW, MIDDLE):  # at the first frequency that can be applied
                next((1 for hertz in (edges if function.is_ac else [main])
                      if add(_shares(on, shares), hertz) is not None), None)
        for hertz in edges if function.is_ac else frequencies:
            high = add(_shares(on, HIGH), hertz)
            if high and function.shows_minus and not function.is_ac:
                add([-high], hertz)
        if is_counter and on is function.ranges[-1]:
            add(_just_below(on), main)
        for row in on.rows:
            choices = ([row.frequency[1], (row.frequency[0] + row.frequency[1]) / 2]
                       if function.is_ac else frequencies)
            for hertz in choices:
                if row not in rows_done:
                    add(_inside(on, row), hertz)
            if row not in rows_done:
                missing.append(Missing(on, row, choices[0],
                                       failed.get(choices[0]) or Refused("tighter-row", on=on)))
            elif function.is_ac:
                missing += [Missing(on, row, hertz, failed[hertz]) for hertz in row.frequency
                            if hertz in failed]
    return points, missing


def _of_box(on: RangeTable, certified: Mapping[Fraction, Fraction],
            values: Iterable[Fraction]) -> list[Fraction]:
    """The box's values on this range, the nearest to the most wanted one first."""
    wanted = next(iter(values))
    return sorted((v for v in certified if v <= on.highest), key=lambda v: (abs(v - wanted), v))


def _shares(on: RangeTable, shares: Iterable[Fraction]) -> Iterator[Fraction]:
    return (_on_grid(on, on.full_scale * share) for share in shares)


def _inside(on: RangeTable, row: AccuracyRow) -> Iterator[Fraction]:
    low, high = row.values or (on.lowest or on.resolution, on.highest)
    return (_on_grid(on, low + (high - low) * share) for share in (*HIGH, *LOW))


def _on_grid(on: RangeTable, value: Fraction) -> Fraction:
    return int(value / on.resolution) * on.resolution


def _just_below(on: RangeTable) -> list[Fraction]:
    """The highest values whose whole tolerance still shows, at three figures of the range."""
    step = on.full_scale / 1000
    steps = int(on.highest / step)
    return [_on_grid(on, (steps - k) * step) for k in range(1, 100)]
