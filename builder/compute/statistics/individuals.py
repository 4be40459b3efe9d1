"""A control chart of single readings: limits from a first series, and the run rules that call an
alarm.

Individuals chart by the moving range: NIST/SEMATECH e-Handbook 6.3.2.2 (from memory); ISO 7870-2
has the same (from memory). Run rules: Western Electric, Statistical Quality Control Handbook 1956
(from memory): one reading beyond three σ; two of three in a row beyond two σ on one side; eight in
a row on one side of the mean. Statistics, so floats. """

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

# The mean range of two normal values in standard deviations, d2 as the handbook has it; it is 2/√π.
MEAN_RANGE = 1.128
BEYOND, TWO_OF_THREE, EIGHT = RULES = ("beyond three sigma", "two of three beyond two sigma",
                                       "eight on one side")


@dataclass(frozen=True, slots=True)
class ReadingsChart:
    """The mean of the first readings and σ by their moving ranges."""

    n: int
    mean: float
    sigma: float

    def line(self, times: float) -> float:
        return self.mean + times * self.sigma


def charted(*, first: Sequence[float], resolution: float = 0.0) -> ReadingsChart | None:
    """x̄ and σ = (mean of |xᵢ − xᵢ₋₁|)/1.128 of the first series, σ at least that of rounding,
    r/√12 (a choice of this project); None under two readings."""
    n = len(first)
    if n < 2:
        return None
    mean = first[0] + math.fsum(x - first[0] for x in first) / n
    ranges = [abs(b - a) for a, b in zip(first, first[1:], strict=False)]
    sigma = math.fsum(ranges) / (n - 1) / MEAN_RANGE
    return ReadingsChart(n, mean, max(sigma, resolution / math.sqrt(12)))


def alarms(*, chart: ReadingsChart, readings: Sequence[float]) -> list[tuple[str, ...]]:
    """The rules that each reading breaks, by itself or as the last of a run. Beyond a line is
    farther than it, so that a reading on it breaks nothing; one on the mean ends a run."""
    off = [x - chart.mean for x in readings]
    told = []
    for n, value in enumerate(off):
        side = (value > 0) - (value < 0)
        broken = []
        if abs(value) > 3 * chart.sigma:
            broken.append(BEYOND)
        if side and value * side > 2 * chart.sigma and sum(
                x * side > 2 * chart.sigma for x in off[max(0, n - 2):n + 1]) >= 2:
            broken.append(TWO_OF_THREE)
        if side and n >= 7 and all(x * side > 0 for x in off[n - 7:n + 1]):
            broken.append(EIGHT)
        told.append(tuple(broken))
    return told
