"""Values for the bench on the page, on and beside every edge of every range."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from builder.practice import simulated_bench
from builder.procedure.meter_function import MeterFunction


def functions(shop) -> Iterator[tuple[simulated_bench.BenchMeter, MeterFunction]]:
    for bench in simulated_bench.meters(shop):
        for one in bench.functions:
            yield bench, one.view


def values(view: MeterFunction, draw: random.Random,
           count: int) -> Iterator[tuple[int, Fraction, Fraction | None]]:
    """(place of the range, value, frequency), drawn finer than the display and at its edges."""
    for place, on in enumerate(view.table.ranges):
        for n in range(count):
            fine = on.resolution / 1000
            value = draw.choice([
                on.highest * draw.randint(0, 1100) / 1000,
                on.resolution * draw.randint(0, int(on.highest / on.resolution)),
                on.resolution * draw.randint(0, int(on.highest / on.resolution))
                + on.resolution / 2,
                fine * draw.randint(0, int(on.highest / fine)),
                on.highest, on.highest + on.resolution / 2, Fraction(0)])
            if view.table.shows_minus and n % 3 == 0:
                value = -value
            bands = [row.frequency for row in on.rows if row.frequency is not None]
            hertz = draw.choice([end for band in bands for end in band]) if bands else None
            yield place, value, hertz
