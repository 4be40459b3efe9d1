"""Whether the points of one function of a meter move together, and how sure that is: what they
share is the meter's reference.

It is looked for by one number a record, its *gain*, since the signs of points that were read within
an hour aren't independent; and as many are looked at, by Holm's correction. What is tested, and
how, is a choice of this project. Errors are relative: shares of the value, as 0.00007. Statistics,
so floats. """

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from builder.compute.statistics.student import outside
from builder.compute.statistics.trend import DatedError, Fit, fitted

LEAST_POINTS, LEAST_RANGES = 3, 2   # fewer say nothing about what is shared


def holm(chances: Sequence[float]) -> tuple[float, ...]:
    """Each chance as it counts among all of them: the smallest times n, the next times n − 1 …,
    never smaller than one before it (Holm 1979, from memory). Whoever says what is under α says
    one thing too much with a probability of α at most, however the tests hang together."""
    order = sorted(range(len(chances)), key=lambda n: chances[n])
    counted, least = [0.0] * len(chances), 0.0
    for rank, n in enumerate(order):
        least = max(least, min(1.0, chances[n] * (len(chances) - rank)))
        counted[n] = least
    return tuple(counted)


# ---------------------------------------------------------------- points of one meter

@dataclass(frozen=True, slots=True, kw_only=True)
class PointSeries:
    """The relative errors of one point by day. `allowed` is the tolerance and `rounding` a count,
    both as shares of the value: a point is worth the more, the less it may be off."""

    range: str
    errors: Mapping[float, float]
    allowed: float
    rounding: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedDrift:
    """A drift of all points together: its slope and the slope's standard uncertainty, as shares of
    the value a day, and the chance of one as steep where nothing drifts, left out whichever range
    makes it largest. `jump` is the last gain less the mean of those before, with its chance."""

    points: int
    ranges: int
    records: int
    slope: float
    u_slope: float
    chance: float
    jump: float
    jump_chance: float


def gain(*, points: Collection[PointSeries], day: float) -> float:
    """The weighted mean of a day's errors, Σ w·e/Σ w with w = 1/allowed²: the weights are fixed by
    the specification before anything is read, so that it is a linear form of the errors."""
    return (math.fsum(one.errors[day] / one.allowed ** 2 for one in points)
            / math.fsum(1 / one.allowed ** 2 for one in points))


def _gains(points: Collection[PointSeries], days: Sequence[float]) -> list[DatedError]:
    return [DatedError(day, gain(points=points, day=day)) for day in days]


def _rounding(points: Collection[PointSeries]) -> float:
    """The count of a display that would round a gain as much as its points' counts do."""
    weights = math.fsum(1 / one.allowed ** 2 for one in points)
    return math.sqrt(math.fsum((one.rounding / one.allowed ** 2) ** 2 for one in points)) / weights


def shared_drift(points: Sequence[PointSeries]) -> SharedDrift | None:
    """Of points that were all read on each of their days: the line through the gains, and the
    probability of a |slope|/u(slope) as large by Student's distribution with n − 2 degrees of
    freedom (exact mathematics for normal gains). It is worked out again without each range: where
    the drift is a single range's, one of these shows none, and the largest counts (an
    intersection–union test, so its chance is no larger than stated). None where there are too few
    points, ranges or days. """
    ranges = {one.range for one in points}
    if len(points) < LEAST_POINTS or len(ranges) < LEAST_RANGES:
        return None
    days = sorted(set.intersection(*(set(one.errors) for one in points)))
    whole = fitted(points=_gains(points, days), resolution=_rounding(points))
    if not isinstance(whole, Fit):
        return None
    chance, (jump, jump_chance) = _slope_chance(whole), _jump(points, days)
    for left_out in ranges:
        others = [one for one in points if one.range != left_out]
        fit = fitted(points=_gains(others, days), resolution=_rounding(others))
        assert isinstance(fit, Fit)     # the days are the same
        chance = max(chance, _slope_chance(fit) if fit.slope * whole.slope > 0 else 1.0)
        without, without_chance = _jump(others, days)
        jump_chance = max(jump_chance, without_chance if without * jump > 0 else 1.0)
    return SharedDrift(points=len(points), ranges=len(ranges), records=len(days), slope=whole.slope,
                       u_slope=whole.u_slope, chance=chance, jump=jump, jump_chance=jump_chance)


def _slope_chance(fit: Fit) -> float:
    if fit.u_slope == 0:
        return 0.0 if fit.slope else 1.0
    return outside(t=abs(fit.slope) / fit.u_slope, degrees=fit.degrees)


def _jump(points: Collection[PointSeries], days: Sequence[float]) -> tuple[float, float]:
    """The last gain less the mean of the n before it, and the chance of one as far: |x − x̄| over
    s·√(1 + 1/n), n − 1 degrees of freedom (exact mathematics for normal gains)."""
    *before, last = [one.y for one in _gains(points, days)]
    n = len(before)
    mean = math.fsum(before) / n
    spread = max(math.sqrt(math.fsum((y - mean) ** 2 for y in before) / (n - 1)),
                 _rounding(points) / math.sqrt(12))
    if spread == 0:
        return last - mean, 0.0 if last != mean else 1.0
    return last - mean, outside(t=abs(last - mean) / (spread * math.sqrt(1 + 1 / n)), degrees=n - 1)
