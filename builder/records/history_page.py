"""A meter's history as its page says it: texts and pictures. What is computed, is computed in
`history` and in `compute/`."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builder.compute.exact import dates
from builder.compute.statistics.trend import ENOUGH, Fit
from builder.drawing.history_results import (HistoryPoint, HistorySeries, MeterDay,
                                             history_picture, meter_picture)
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW
from builder.records.history import Course, History, PointError, Verification
from builder.records.interval_words import review_lines, share_text, signed_percent
from builder.records.judged_record import JudgedReading
from builder.records.report_lines import quantity
from builder.records.shared_words import looked_at, shared_lines

COLUMNS = 8     # verifications in the table; earlier ones are in the pictures
MOST_PICTURES = 24
A_YEAR = 365.2425     # days
AHEAD = 10      # years; farther ahead no line through a few readings says anything


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryRow:
    """A verification in the list."""

    day: date
    state: str
    verdict: str
    worst: str
    at: str
    report: str


@dataclass(frozen=True, slots=True)
class Cell:
    text: str
    beyond: bool


@dataclass(frozen=True, slots=True)
class ErrorTable:
    """A point in the table of errors; `cells` go with `Page.columns`."""

    point: str
    cells: tuple[Cell, ...]
    drift: str


@dataclass(frozen=True, slots=True)
class Drifting:
    point: str
    a_year: str
    reach: str


@dataclass(frozen=True, slots=True)
class Picture:
    """Of one point: its function, its name, its last error, and the drawing."""

    function: str
    point: str
    last: Cell
    drawn: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    history: History
    rows: tuple[HistoryRow, ...]               # the latest first
    columns: tuple[tuple[date, bool], ...]      # day, and whether as left
    has_lines: bool
    earlier: int                        # verifications that the table leaves out
    functions: tuple[tuple[str, tuple[ErrorTable, ...]], ...]
    shared: tuple[str, ...]             # what points have in common
    looked_at: str                      # how that was looked for; "" where nothing could be
    drift: str
    drifting: tuple[Drifting, ...]
    picture: str                        # of all points
    pictures: tuple[Picture, ...]       # of single ones, the largest last error first
    reviews: tuple[tuple[str, tuple[str, ...]], ...]


def page(history: History, due: date | None) -> Page:
    """The page of a history; `due` is the day that the pictures' lines are drawn up to."""
    done = history.verifications
    columns = tuple((one.day, one.left) for one in done[-COLUMNS:])
    names = _names(history)
    functions: dict[str, list[ErrorTable]] = {}
    for course in history.courses:
        functions.setdefault(exact_text.capital(course.point.function), []).append(
            _errors(course, names[course.point.id], columns))
    return Page(history=history, rows=tuple(_row(one) for one in reversed(done)), columns=columns,
                has_lines=any(isinstance(one.fit, Fit) for one in history.courses),
                earlier=len(done) - len(columns),
                functions=tuple((name, tuple(rows)) for name, rows in functions.items()),
                shared=tuple(shared_lines(history.shared)),
                looked_at=looked_at(history.shared) if history.shared else "",
                drift=_drift(history), drifting=tuple(_drifting(history, names)),
                picture=_picture(history), pictures=tuple(_pictures(history, names, due)),
                reviews=tuple((one.title, tuple(review_lines(
                    one, _called(one.shortest, names) if one.shortest else "")))
                              for one in history.reviews))


def _row(verification: Verification) -> HistoryRow:
    record, worst = verification.record, verification.worst
    return HistoryRow(day=verification.day, state=record.head.state or "state not recorded",
                      verdict=verification.stated.statement,
                      worst=signed_percent(worst.percent) if worst else "–",
                      at=_where(worst) if worst else "", report=record.id)


def _where(one: JudgedReading) -> str:
    return f"{exact_text.capital(one.point.function)}, {point_text(one.point)}"


def point_text(point) -> str:
    """What is applied and on which range, the same on every sheet."""
    applied = ", ".join(quantity(text) for text in (point.apply.text, point.frequency, point.level)
                        if text)
    return (
        f"{applied}{f', {point.wave} wave' if point.wave else ''} on {quantity(point.range.text)}")


def _names(history: History) -> dict[str, str]:
    """Of each point by its id; where two read alike (once more after the currents), their steps
    tell them apart."""
    points = [course.point for course in history.courses]
    alike = Counter((point.function, point_text(point)) for point in points)
    return {point.id: point_text(point)
            + (f" (step {point.step})" if alike[point.function, point_text(point)] > 1 else "")
            for point in points}


def _errors(course: Course, name: str, columns: tuple[tuple[date, bool], ...]) -> ErrorTable:
    by_day = {(one.day, one.left): one for one in course.errors}
    cells = tuple(_cell(by_day.get(column)) for column in columns)
    fit = course.fit
    if not isinstance(fit, Fit):
        return ErrorTable(name, cells, "")
    drift = signed_percent(fit.slope * A_YEAR, 1) if course.reach else "–"
    return ErrorTable(name, cells, drift)


def _called(course: Course, names: dict[str, str]) -> str:
    return f"{exact_text.capital(course.point.function)}, {names[course.point.id]}"


def _cell(error: PointError | None) -> Cell:
    if error is None:
        return Cell("", False)
    return Cell(signed_percent(error.percent).removesuffix(NARROW + "%"),
                not abs(error.percent) <= 100)


# ---------------------------------------------------------------- drift

def _drift(history: History) -> str:
    drawn = [one for one in history.courses if isinstance(one.fit, Fit)]
    most = max((one.fit.n for one in history.courses), default=0)
    if not drawn:
        return (
            "No line is drawn yet: at each point "
            f"{'there is one error' if most == 1 else f'there are {most} errors at most'}"
            f"{' since the last adjustment' if history.adjusted else ''}, and a line takes "
            f"{ENOUGH}. Over fewer, errors that are rounded to whole counts of the display say "
            "nothing about drift.")
    return (
        f"At {len(drawn)} of {len(history.courses)} points there are {ENOUGH} errors or "
        f"more{' since the last adjustment' if history.adjusted else ''}, and a straight line is "
        "laid through them. A drift is named where it is told apart from none at "
        f"{share_text()}; of twenty points that don’t drift, one seems to by chance. If a point "
        "goes on as it did, a single reading may come to its limit in the months given: there the "
        f"edges of the {share_text()} prediction interval cross it.")


def _drifting(history: History, names: dict[str, str]):
    """The points with a drift, the soonest at its limit first."""
    for course in sorted((one for one in history.courses if one.reach),
                         key=lambda one: one.reach.earliest):
        yield Drifting(_called(course, names), signed_percent(course.fit.slope * A_YEAR, 1),
                       _range(course))


def _range(course: Course) -> str:
    """When a limit may be reached, in months, since days would claim more than the line can say;
    nothing beyond `AHEAD`."""
    end = course.fit.last + AHEAD * A_YEAR
    from_, to = course.reach.days
    if from_ > end:
        return f"not in {AHEAD} years"
    first = _month(from_)
    return (f"{first} or later" if to is None or to > course.fit.last + 2 * AHEAD * A_YEAR
            else f"{first} to {_month(to)}")


def _month(ordinal: int) -> str:
    day = dates.day_of(ordinal=ordinal)
    return f"{day.year:04}-{day.month:02}"


def _picture(history: History) -> str:
    """All points of the meter, on every day on which it was verified."""
    days: dict[tuple[date, bool], list[float]] = {}
    for course in history.courses:
        for error in course.errors:
            days.setdefault((error.day, error.left), []).append(error.percent)
    return meter_picture(f"{history.meter_name}, serial no. {history.serial}",
                         [MeterDay(day, errors, left) for (day, left), errors
                          in sorted(days.items())], history.adjusted)


def _pictures(history: History, names: dict[str, str], due: date | None) -> Iterator[Picture]:
    """Of each function the point with the largest last error, and every point that drifts or was
    beyond its tolerance; the worst first."""
    largest: dict[str, Course] = {}
    for course in sorted(history.courses, key=_last, reverse=True):
        largest.setdefault(course.point.function, course)
    chosen = [one for one in history.courses
              if one.reach or one.was_beyond or one in largest.values()]
    for course in sorted(chosen, key=_last, reverse=True)[:MOST_PICTURES]:
        until = due if isinstance(course.fit, Fit) else None
        errors = tuple(HistoryPoint(e.day, e.percent, e.expanded, e.left) for e in course.errors)
        yield Picture(exact_text.capital(course.point.function), names[course.point.id],
                      Cell(signed_percent(course.errors[-1].percent), _last(course) > 100),
                      history_picture(HistorySeries(_called(course, names), errors,
                                                    history.adjusted, course.resolution, until)))


def _last(course: Course) -> float:
    """The size of its last error; an overload is larger than any number."""
    error = abs(course.errors[-1].percent)
    return math.inf if math.isnan(error) else error
