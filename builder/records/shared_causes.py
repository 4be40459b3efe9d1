"""The records of one meter → which of its functions have points that drift together, or that all
moved since the last time, and whether that is sure. What is tested stands in
`compute/statistics/shared`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from builder.compute.statistics.shared import PointSeries, SharedDrift, holm, shared_drift
from builder.numbers import units
from builder.records.judged_record import JudgedReading, Record

FALSE_ALARM = 0.01      # at most, over all functions of a meter (choice of this project)


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedFunction:
    """A function of a meter whose points were looked at together. The chances are those among all
    that were looked at."""

    function: str
    found: SharedDrift
    drift_chance: float
    jump_chance: float

    @property
    def drifts(self) -> bool:
        return self.drift_chance <= FALSE_ALARM

    @property
    def jumped(self) -> bool:
        return self.jump_chance <= FALSE_ALARM and not self.drifts


@dataclass(frozen=True, slots=True)
class RelativeError:
    """An error, a tolerance and a count of the display as shares of the value; in the order of
    records, which a day has once as found and once as left."""

    error: float
    allowed: float
    rounding: float


def relative(reading: JudgedReading) -> RelativeError | None:
    """None where nothing was read, at zero, and for temperatures, whose zero is no zero."""
    result, point = reading.verdict, reading.point
    if (result is None or result.error is None or not result.expected or not result.tolerance
            or units.unit(point.unit).is_temperature):
        return None
    error = result.error if result.steady_error is None else result.steady_error
    value = result.expected
    return RelativeError(float(error / value), float(result.tolerance / abs(value)),
                         float(point.resolution.number / abs(value)))


def of_meter(records: Sequence[Record], adjusted: Iterable[date]) -> tuple[SharedFunction, ...]:
    """By function, since the last adjustment; the surest first. Each is looked at for a drift and
    for a jump of the last record."""
    looked = [(name, looked_at) for name, points in _by_function(
        _since(records, max(adjusted, default=date.min))).items()
        if (looked_at := shared_drift(_whole(points)))]
    chances = holm([chance for _, one in looked for chance in (one.chance, one.jump_chance)])
    made = [SharedFunction(function=name, found=one, drift_chance=chances[2 * n],
                           jump_chance=chances[2 * n + 1])
            for n, (name, one) in enumerate(looked)]
    return tuple(sorted(made, key=lambda one: min(one.drift_chance, one.jump_chance)))


def _since(records: Sequence[Record], day: date) -> list[Record]:
    """As found after the last adjustment, and what that left."""
    return [one for one in records if (
        one.head.date == day if one.head.state == "as left" else one.head.date > day)]


def _by_function(records: Sequence[Record]) -> dict[str, dict[str, PointSeries]]:
    points: dict[str, dict[str, PointSeries]] = defaultdict(dict)
    for record in records:
        for reading in record.judged:
            if (share := relative(reading)) is None:
                continue
            own, id = points[reading.point.function], reading.point.id
            before = own[id].errors if id in own else {}
            own[id] = PointSeries(range=reading.point.range.text, allowed=share.allowed,
                                  errors={**before, record.head.date.toordinal(): share.error},
                                  rounding=share.rounding)
    return points


def _whole(points: dict[str, PointSeries]) -> list[PointSeries]:
    """The points that were read on each day of those on which most were: what was called off
    midway, or touched a few points alone, is left aside."""
    read: dict[float, int] = defaultdict(int)
    for point in points.values():
        for day in point.errors:
            read[day] += 1
    days = {day for day, n in read.items() if 2 * n >= max(read.values())}
    return [PointSeries(range=one.range, allowed=one.allowed, rounding=one.rounding,
                        errors={day: one.errors[day] for day in days})
            for one in points.values() if days <= set(one.errors)]
