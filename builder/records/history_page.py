"""A meter's history as its page says it: texts and pictures. What is computed, is computed in
`history` and in `compute/`."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import date

from builder.compute.exact import dates
from builder.compute.statistics import interval, trend
from builder.compute.statistics.interval import Suggestion
from builder.compute.statistics.trend import ENOUGH, Fit
from builder.drawing.history_results import HistoryPoint, HistorySeries, history_picture
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW, minus
from builder.records.history import Course, History, PointError, Review, Verification
from builder.records.judged_record import JudgedReading
from builder.records.report_lines import quantity

COLUMNS = 8     # verifications in the table; earlier ones are in the pictures
MOST_PICTURES = 24
A_YEAR = 365.2425


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    history: History
    rows: tuple[HistoryRow, ...]               # the latest first
    columns: tuple[tuple[date, bool], ...]      # day, and whether as left
    has_lines: bool
    earlier: int                        # verifications that the table leaves out
    functions: tuple[tuple[str, tuple[ErrorTable, ...]], ...]
    drift: str
    drifting: tuple[Drifting, ...]
    pictures: tuple[str, ...]
    reviews: tuple[tuple[str, tuple[str, ...]], ...]


def page(history: History, due: date | None) -> Page:
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
                drift=_drift(history),
                drifting=tuple(_drifting(history, names)),
                pictures=tuple(_pictures(history, names, due)),
                reviews=tuple((one.title, tuple(_review_lines(one, names)))
                              for one in history.reviews))


def _row(verification: Verification) -> HistoryRow:
    record, worst = verification.record, verification.worst
    return HistoryRow(day=verification.day, state=record.head.state or "state not recorded",
                      verdict=verification.whole.state,
                      worst=_percent(worst.percent) if worst else "–",
                      at=_where(worst) if worst else "", report=record.id)


def _percent(value: float, decimals: int = 0) -> str:
    if not math.isfinite(value):
        return "OL"
    text = f"{value:+.{decimals}f}"
    return minus(text if float(text) else text[1:]) + NARROW + "%"


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
    drift = _percent(fit.slope * A_YEAR, 1) if course.reach else "–"
    return ErrorTable(name, cells, drift)


def _called(course: Course, names: dict[str, str]) -> str:
    return f"{exact_text.capital(course.point.function)}, {names[course.point.id]}"


def _cell(error: PointError | None) -> Cell:
    if error is None:
        return Cell("", False)
    return Cell(_percent(error.percent).removesuffix(NARROW + "%"), not abs(error.percent) <= 100)


AHEAD = 10      # years; farther ahead no line through a few readings says anything


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
        "laid through them. "
        f"A drift is named where it is told apart from none at {_share()}; of twenty points that "
        "don’t drift, one seems to by chance. If a point goes on as it did, a single reading may "
        "come to its limit "
        f"in the months given: there the edges of the {_share()} prediction interval cross it.")


def _share() -> str:
    return f"{trend.PROBABILITY * 100:.4g}{NARROW}%"


def _drifting(history: History, names: dict[str, str]):
    """The points with a drift, the soonest at its limit first."""
    for course in sorted((one for one in history.courses if one.reach),
                         key=lambda one: one.reach.earliest):
        yield Drifting(_called(course, names), _percent(course.fit.slope * A_YEAR, 1),
                       _range(course))


def _pictures(history: History, names: dict[str, str], due: date | None):
    """Of each function the point with the largest last error, and every point that drifts or was
    beyond its tolerance."""
    largest: dict[str, Course] = {}
    for course in history.courses:
        held = largest.get(course.point.function)
        if held is None or abs(course.errors[-1].percent) > abs(held.errors[-1].percent):
            largest[course.point.function] = course
    chosen = [one for one in history.courses
              if one.reach or one.was_beyond or one in largest.values()]
    for course in chosen[:MOST_PICTURES]:
        until = due if isinstance(course.fit, Fit) else None
        errors = tuple(HistoryPoint(e.day, e.percent, e.expanded, e.left) for e in course.errors)
        yield history_picture(HistorySeries(_called(course, names), errors, history.adjusted,
                                            course.resolution, until))


# ---------------------------------------------------------------- the interval

def _review_lines(review: Review, names: dict[str, str]):
    yield f"Staircase: {_staircase(review.staircase)}"
    if review.chart is None:
        yield (
            f"Control chart: no point has the {ENOUGH} errors since the last adjustment that a "
            "line takes.")
    else:
        yield f"Control chart: {_chart(review.chart, _called(review.shortest, names))}"
        yield (
            f"Of {review.of} points {review.drawn} have a line, and the one with the shortest "
            "interval is taken; with many points that is also the one that chance was hardest on.")


def _months(n: int) -> str:
    return f"{n} month{'s' * (n != 1)}"


def _outcome(suggestion: Suggestion) -> str:
    held = {interval.LEAST: ", the shortest that is ever suggested",
            interval.MOST: ", the longest that is ever suggested",
            interval.SPAN: ", since nothing is foretold farther ahead than the errors reach back",
            None: ""}[suggestion.bound]
    if suggestion.action == interval.KEEP:
        return f"keep {_months(suggestion.months)}{held}."
    return (f"{suggestion.action} from {_months(suggestion.current)} to "
            f"{_months(suggestion.months)}{held}.")


def _staircase(suggestion: Suggestion) -> str:
    facts = suggestion.facts
    if suggestion.code == interval.NO_REPORT:
        return f"there is no report of a state as found; {_outcome(suggestion)}"
    if suggestion.code == interval.BEYOND:
        worst = (f"error as found was {facts['worst']:.0f}{NARROW}% of the tolerance"
                 if math.isfinite(facts["worst"]) else "reading as found was an overload")
        return f"the largest {worst}, beyond it; {_outcome(suggestion)}"
    row, needed = int(facts["row"]), int(facts["needed"])
    good = (
        f"under {facts['good']:.0f}{NARROW}% of the tolerance at every point, each after the whole "
        "interval")
    if suggestion.code == interval.GOOD_IN_A_ROW:
        return f"the last {row} reports as found were {good}; {_outcome(suggestion)}"
    return (
        f"it asks for {needed} reports in a row that are {good}; "
        f"{'there is none' if not row else f'there is {row}'}; {_outcome(suggestion)}")


def _chart(suggestion: Suggestion, point: str) -> str:
    facts, where = suggestion.facts, f"at {point},"
    share = _share()
    if suggestion.code == interval.ALREADY:
        return (
            f"{where} a reading on the day of the last one would lie from "
            f"{_percent(facts['from'])} to {_percent(facts['to'])} of the tolerance ({share}), "
            f"not wholly within it; {_outcome(suggestion)}")
    if suggestion.code == interval.JUMPED:
        return (
            f"{where} the last error, {_percent(facts['last'])}, is farther from the mean of those "
            f"before, {_percent(facts['mean'])}, than chance explains: "
            "something else than drift happened, so the interval isn’t lengthened; "
            f"{_outcome(suggestion)}")
    if suggestion.code == interval.NEVER:
        return (
            f"{where} as at all the others, the {share} prediction interval doesn’t leave the "
            f"tolerance; {_outcome(suggestion)}")
    return (
        f"{where} the {share} prediction interval stays within the tolerance for "
        f"{facts['days']:.0f} days after the last reading; {_outcome(suggestion)}")
