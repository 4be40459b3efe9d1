"""The checks of standards between their calibrations: which chart each reading stands on, what
alarms stand, when the next reading is due, and which records rest on the standard since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from builder.compute.statistics.individuals import ReadingsChart, alarms, charted
from builder.formats.check_between import CheckBetween, CheckReading
from builder.formats.fields import as_day
from builder.formats.standard import Standard
from builder.records.judged_record import Record

ALARM, OVERDUE, NO_CHART, IN_CONTROL, ENDED = STATES = (
    "alarm", "overdue", "no chart yet", "in control", "ended")
NOT_ALLOWED = "beyond what is allowed"      # a rule of the shop's own, beside those of the chart


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartedReading:
    """A reading in the unit of its check's value. `rules` are those that it breaks; `settled` says
    that something was written as done about them."""

    day: date
    value: float
    entry: CheckReading
    rules: tuple[str, ...]
    settled: bool
    of_first: bool          # of those that make the limits

    @property
    def is_void(self) -> bool:
        return bool(self.entry.because)

    @property
    def alarms(self) -> bool:
        return bool(self.rules) and not self.settled


@dataclass(frozen=True, slots=True)
class ChartSeries:
    """The readings of one chart, oldest first; no chart while there are too few."""

    chart: ReadingsChart | None
    readings: tuple[ChartedReading, ...]
    anew: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardCheck:
    check: CheckBetween
    standard: Standard
    series: tuple[ChartSeries, ...]     # oldest first
    state: str
    due: date | None
    since: tuple[Record, ...]           # that used the standard since the last reading in control
    good_until: date | None             # that reading's day, where an alarm stands

    @property
    def current(self) -> ChartSeries:
        return self.series[-1]

    @property
    def last(self) -> ChartedReading:
        return self.current.readings[-1]

    @property
    def alarmed(self) -> tuple[ChartedReading, ...]:
        return tuple(one for one in self.current.readings if one.alarms)


def in_unit(check: CheckBetween, value: Fraction) -> Fraction:
    """What `Quantity.value` gives, in the unit of the check's own value."""
    unit = check.value.unit
    return value if unit.has_no_prefix else value / unit.scale


def standard_check(check: CheckBetween, standard: Standard, records: Iterable[Record],
                   as_of: date | None) -> StandardCheck:
    """A check with everything that follows from its readings up to a day."""
    readings = sorted(((as_day(day), entry) for day, entry in check.readings.items()),
                      key=lambda one: one[0])
    parts: list[list[tuple[date, CheckReading]]] = [[]]
    for day, entry in readings:
        if entry.anew and parts[-1]:
            parts.append([])
        parts[-1].append((day, entry))
    series = tuple(_series(check, part) for part in parts)
    current = series[-1]
    due = None if check.ended else current.readings[-1].day + timedelta(days=check.every)
    first_alarm = next((one for one in current.readings if one.alarms), None)
    state = (ENDED if check.ended else ALARM if first_alarm else
             OVERDUE if as_of and due and due < as_of else
             IN_CONTROL if current.chart else NO_CHART)
    good = max((one.day for part in series for one in part.readings if first_alarm
                and one.day < first_alarm.day and not one.rules and not one.is_void), default=None)
    since = tuple(sorted((record for record in records if first_alarm and any(
        used.standard == check.standard for used in record.standards)
        and (good is None or record.head.date > good)), key=lambda one: (one.head.date, one.id)))
    return StandardCheck(check=check, standard=standard, series=series, state=state, due=due,
                         since=since, good_until=good)


def _series(check: CheckBetween, part: list[tuple[date, CheckReading]]) -> ChartSeries:
    values = [float(in_unit(check, entry.reading.value)) for _, entry in part]
    counted = [n for n, (_, entry) in enumerate(part) if not entry.because]
    first = counted[:check.first]
    chart = None
    if len(first) == check.first:
        chart = charted(first=[values[n] for n in first], resolution=_resolution(check, part))
    broken: dict[int, tuple[str, ...]] = {}
    if chart is not None:
        told = alarms(chart=chart, readings=[values[n] for n in counted])
        broken = {n: rules for n, rules in zip(counted, told, strict=True) if n not in first}
        if check.allowed is not None:
            most = float(in_unit(check, check.allowed.value))
            for n in counted:
                if abs(values[n] - chart.mean) > most:
                    broken[n] = (NOT_ALLOWED, *broken.get(n, ()))
    last_done = max((n for n, (_, entry) in enumerate(part) if entry.done), default=-1)
    return ChartSeries(chart, tuple(
        ChartedReading(day=day, value=values[n], entry=entry, rules=broken.get(n, ()),
                       settled=n <= last_done, of_first=n in first)
        for n, (day, entry) in enumerate(part)), part[0][1].anew)


def _resolution(check: CheckBetween, part: list[tuple[date, CheckReading]]) -> float:
    """A digit of the finest reading: what is rounded to it can't be known better."""
    steps = []
    for _, entry in part:
        number, places = entry.reading.number, 0
        while (number * 10 ** places).denominator != 1 and places < 18:
            places += 1
        scale = entry.reading.value / number if number else Fraction(1)
        steps.append(in_unit(check, scale / 10 ** places))
    return float(min(steps))


def checks_of(checks: Mapping[str, CheckBetween], standards: Mapping[str, Standard],
              records: Iterable[Record], as_of: date | None) -> tuple[StandardCheck, ...]:
    """All of a shop's, the gravest first."""
    own = list(records)
    made = [standard_check(one, standards[one.standard], own, as_of) for one in checks.values()
            if one.standard in standards]
    return tuple(sorted(made, key=lambda one: (STATES.index(one.state), one.due or date.max,
                                               one.check.check)))
