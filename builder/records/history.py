"""The records of one meter, by its serial number → its history: the errors at each point over the
years, how they drift, and which interval that suggests. Reports are judged elsewhere; nothing here
changes a verdict. """

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import partial

from builder.compute.exact import dates
from builder.compute.statistics import interval, trend
from builder.compute.statistics.interval import (Bounds, Conclusion, Finding, Steps, Suggestion)
from builder.compute.statistics.trend import DatedError, Fit, NoFit, Reach
from builder.formats.sheet_data import PointData
from builder.records import departures, shared_causes
from builder.records.judged_record import JudgedReading, Record
from builder.records.record_statement import RecordStatement, record_statement
from builder.records.shared_causes import SharedFunction

USUAL = Steps()     # of the staircase, where the shop sets none
LIMITS = (-100.0, 100.0)    # the tolerance, in percent of itself


@dataclass(frozen=True, slots=True)
class PointError:
    """At one point on a day, in percent of the tolerance that it was judged by (∞ for an
    overload)."""

    day: date
    percent: float
    expanded: float | None
    left: bool


@dataclass(frozen=True, slots=True)
class Course:
    """The errors of one point, oldest first, and the line through those since the last adjustment.
    `point` is as the last record has it; `resolution` is a count in percent of the tolerance."""

    point: PointData
    errors: tuple[PointError, ...]
    resolution: float
    fit: Fit | NoFit
    reach: Reach | None     # only where the drift is told apart from none

    @property
    def found(self) -> tuple[PointError, ...]:
        return tuple(one for one in self.errors if not one.left)

    @property
    def was_beyond(self) -> bool:
        return any(not abs(one.percent) <= 100 for one in self.errors)


@dataclass(frozen=True, slots=True)
class Verification:
    """A record with what it shows as a whole, and its largest error."""

    record: Record
    stated: RecordStatement
    worst: JudgedReading | None

    @property
    def left(self) -> bool:
        return self.record.head.state == "as left"

    @property
    def day(self) -> date:
        return self.record.head.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """What two methods suggest for the interval of one procedure, and what comes of both.
    `shortest` is the point that the control chart rests on, the one that asks for the shortest
    interval; `drawn` of `of` points have readings enough for a line."""

    procedure: str
    title: str
    months: int
    staircase: Suggestion
    chart: Suggestion | None
    concluded: Conclusion
    shortest: Course | None
    drawn: int
    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    meter: str
    meter_name: str
    serial: str
    id: str
    verifications: tuple[Verification, ...]     # oldest first
    adjusted: tuple[date, ...]
    courses: tuple[Course, ...]
    shared: tuple[SharedFunction, ...]
    reviews: tuple[Review, ...]

    @property
    def last(self) -> Verification:
        return self.verifications[-1]

    @property
    def causes(self) -> tuple[SharedFunction, ...]:
        """The functions whose points move together."""
        return tuple(one for one in self.shared if one.drifts or one.jumped)

    @property
    def whole(self) -> History:
        return self

    @property
    def last_errors(self) -> dict[str, list[str | float]]:
        """Of each point the day of its last reading, and the error in percent of the tolerance, to
        one decimal; an overload has none."""
        return {course.point.id: [str(last.day), round(last.percent, 1)]
                for course in self.courses for last in course.errors[-1:]
                if math.isfinite(last.percent)}


# Of the records of a meter, and a text of all else that its history is made from.
Keep = Callable[[list[Record], str, Callable[[], History]], History]


def histories(records: Mapping[str, Record],
              intervals: Mapping[str, str | None],
              steps: Steps = USUAL, keep: Keep | None = None) -> dict[tuple[str, str], History]:
    """One for each serial number that a record names, in the order of meter and serial. `intervals`
    are those agreed to in today's plans; for a plan that is no more, that of its last record
    counts. `steps` are the shop's of the staircase. `keep` gives what is asked of it from an
    earlier build, or as it is made."""
    by_meter: dict[tuple[str, str], list[Record]] = {}
    for record in records.values():
        by_meter.setdefault(record.same_meter, []).append(record)
    names: set[str] = set()
    made = {}
    for key in sorted(by_meter):
        own, name = by_meter[key], history_id(key, names)
        of_plans = {one: agreed(one, own[-1], intervals) if one in intervals else None
                    for one in dict.fromkeys(record.head.procedure for record in own)}
        compute = partial(_history, key, own, intervals, name, steps)
        made[key] = keep(own, repr((key, name, of_plans, [one in intervals for one in of_plans],
                                    steps)), compute) if keep else compute()
    return made


def history_id(key: tuple[str, str], taken: set[str]) -> str:
    """A name for the page: readable, and another one for each serial number, whatever is in it."""
    meter, serial = key
    plain = re.sub(r"[^a-z0-9]+", "-", serial.lower()).strip("-")
    name = f"{meter}-{plain}" if plain and len(plain) <= 40 else ""
    if not name or name in taken or plain != serial.lower():
        told_apart = hashlib.sha256(serial.encode("utf-8", "surrogatepass")).hexdigest()[:6]
        name = f"{meter}-{plain[:40]}-{told_apart}".replace("--", "-")
    taken.add(name)
    return name


def _order(record: Record) -> tuple:
    return record.head.date, record.head.state == "as left", record.id


def _history(key: tuple[str, str], records: list[Record], intervals: Mapping[str, str | None],
             name: str, steps: Steps) -> History:
    records = sorted(records, key=_order)
    as_found, _ = departures.pairs({one.id: one for one in records})
    done = tuple(Verification(one, record_statement(one, as_found.get(one.id)), worst_of(one))
                 for one in records)
    adjusted = tuple(sorted({one.head.date for one in records
                             if one.head.state == "as left" and one.head.adjusted}))
    courses = tuple(_courses(records, adjusted))
    shared = shared_causes.of_meter(records, adjusted)
    reviews = []
    for procedure in dict.fromkeys(one.head.procedure for one in reversed(records)):
        own = [one for one in done if one.record.head.procedure == procedure]
        months = months_of(agreed(procedure, own[-1].record, intervals))
        if months and months >= Bounds().least:
            points = {one.point.id for one in own[-1].record.judged}
            reviews.append(_review(
                procedure, own, months, [one for one in courses if one.point.id in points],
                adjusted, steps, any(one.drifts for one in shared)))
    return History(meter=key[0], meter_name=records[-1].carried.meter_name, serial=key[1], id=name,
                   verifications=done, adjusted=adjusted, courses=courses,
                   shared=shared, reviews=tuple(reviews))


def worst_of(record: Record) -> JudgedReading | None:
    """The point with the largest error in percent of its tolerance."""
    known = [one for one in record.judged if one.percent is not None]
    return max(known, key=lambda one: abs(one.percent), default=None)


# ---------------------------------------------------------------- drift

def _courses(records: list[Record], adjusted: tuple[date, ...]) -> Iterable[Course]:
    """In the order of the last record's steps; points that it doesn't have any more come after
    them."""
    points: dict[str, PointData] = {}
    errors: dict[str, list[PointError]] = {}
    tolerances: dict[str, Fraction] = {}
    for record in records:
        for reading in record.judged:
            percent = reading.steady_percent
            if percent is not None:
                errors.setdefault(reading.point.id, []).append(
                    PointError(record.head.date, percent, reading.expanded,
                               record.head.state == "as left"))
                tolerances[reading.point.id] = reading.verdict.tolerance
    for record in reversed(records):
        for reading in record.judged:
            if reading.point.id in errors:
                points.setdefault(reading.point.id, reading.point)
    for id, point in points.items():
        resolution = float(point.resolution.number / tolerances[id] * 100)
        counted = trend.segments(points=as_readings(errors[id]),
                                 adjusted_at=[day.toordinal() for day in adjusted])[-1]
        fit = trend.fitted(points=counted, resolution=resolution,
                           expanded=largest_uncertainty(errors[id]))
        drifts = isinstance(fit, Fit) and trend.significant(fit=fit)
        yield Course(point, tuple(errors[id]), resolution, fit,
                     trend.when_reached(fit=fit, limits=LIMITS) if drifts else None)


def largest_uncertainty(errors: Iterable[PointError]) -> float:
    """U in percent of the tolerance, none where it isn't known."""
    return max((one.expanded or 0.0 for one in errors), default=0.0)


def as_readings(errors: Iterable[PointError]) -> list[DatedError]:
    return [DatedError(one.day.toordinal(), one.percent, one.left) for one in errors]


# ---------------------------------------------------------------- intervals

def agreed(procedure: str, last: Record, intervals: Mapping[str, str | None]) -> str | None:
    """The interval of a procedure, as today's plan has it, else as the meter's last record carries
    it."""
    return intervals[procedure] if procedure in intervals else last.carried.interval_agreed


def _parsed(text: str | None) -> tuple[int, str] | None:
    match = re.fullmatch(r"(\d{1,3}) (day|week|month|year)s?", text or "")
    return (int(match[1]), match[2]) if match and int(match[1]) else None


def months_of(text: str | None) -> int | None:
    """An agreed interval in whole months, one at least; None without one."""
    if not (parsed := _parsed(text)):
        return None
    number, unit = parsed
    return max(1, round(number * {"day": 1 / interval.DAYS_A_MONTH,
                                  "week": 7 / interval.DAYS_A_MONTH, "month": 1, "year": 12}[unit]))


def due_after(day: date, text: str | None) -> date | None:
    """The last day of an agreed interval that began on a day; None without one, and beyond the
    calendar's end."""
    if not (parsed := _parsed(text)):
        return None
    number, unit = parsed
    if unit in ("day", "week"):
        return dates.day_of(ordinal=day.toordinal() + number * {"day": 1, "week": 7}[unit])
    months = number * {"month": 1, "year": 12}[unit]
    return (dates.next_due(reported=day, months=months)
            if day.year + months // 12 + 1 < date.max.year else None)


def _review(procedure: str, done: list[Verification], months: int, courses: list[Course],
            adjusted: tuple[date, ...], steps: Steps, shared_drift: bool) -> Review:
    reports, before = [], None
    for verification in done:
        if not verification.left and verification.worst is not None:
            reports.append(Finding(abs(verification.worst.percent),
                                   None if before is None else (verification.day - before).days))
        before = verification.day
    days = [day.toordinal() for day in adjusted]
    drawn = [one for one in courses if isinstance(one.fit, Fit)]
    charts = [
        (interval.control_chart(readings=as_readings(one.errors), adjusted_at=days, current=months,
                                resolution=one.resolution, among=len(drawn),
                                expanded=largest_uncertainty(one.errors)), one)
        for one in drawn]
    chart, shortest = min(
        charts, key=lambda pair: (pair[0].months, pair[0].facts.get("days", float("inf"))),
        default=(None, None))
    staircase = interval.staircase(reports=reports, current=months, steps=steps)
    return Review(procedure=procedure, title=done[-1].record.carried.title, months=months,
                  staircase=staircase, chart=chart, shortest=shortest, drawn=len(charts),
                  of=len(courses), concluded=interval.conclusion(
                      staircase=staircase, chart=chart, shared_drift=shared_drift))
