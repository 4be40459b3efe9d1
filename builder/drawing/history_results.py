"""Pictures of errors over the years, of a meter and of each of its points, as SVG that needs no
colour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from builder.compute.statistics.trend import (PROBABILITY, DatedError, Fit, fitted, predicted,
                                              segments)
from builder.drawing.results import (ADJUSTED, EACH, FOUND, LEFT, SMALL, WIDTH, Plot, beyond,
                                     one_line, percent_said, within)
from builder.drawing.signs import MOST, reach
from builder.drawing.svg import usual_width
from builder.numbers.exact_text import NARROW, minus

_PARTS = 24  # of the band, whose edges are curves


@dataclass(frozen=True, slots=True)
class HistoryPoint:
    """An error of one point on a day, with U; as left if `left`."""

    day: date
    error: float
    expanded: float | None = None
    left: bool = False


@dataclass(frozen=True, slots=True)
class HistorySeries:
    """The history of one point: what it is called, its readings and the days on which the meter was
    adjusted. `resolution` is a count in percent of the tolerance; the drift is drawn as far as
    `until` (the last reading, if none is given)."""

    name: str
    readings: Sequence[HistoryPoint]
    adjusted: Sequence[date] = ()
    resolution: float = 0.0
    until: date | None = None


@dataclass(frozen=True, slots=True)
class MeterDay:
    """The errors of all points of a meter on a day, as left if `left`."""

    day: date
    errors: Sequence[float]
    left: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axes:
    """Where a day and an error stand in a picture that is `right` wide."""

    left: float
    right: float
    top: float
    bottom: float
    start: float
    end: float

    def x(self, day: float) -> float:
        return self.left + (self.right - self.left) * (day - self.start) / (self.end - self.start)

    def y(self, percent: float) -> float:
        return self.top + (self.bottom - self.top) * (MOST - within(percent)) / (2 * MOST)


def history_picture(series: HistorySeries, *, probability: float = PROBABILITY) -> str:
    """The errors of one point over the years, small and without words but the years: among those of
    other points, under its name. With the days of adjustment, and the drift since the last with its
    prediction interval where there are readings enough for a line."""
    if not series.readings:
        return ""
    readings = sorted(series.readings, key=lambda r: (r.day, r.left))
    axes = _axes([*(r.day for r in readings), *series.adjusted,
                  *([series.until] if series.until else [])],
                 left=2, right=SMALL - 2, top=5, bottom=65)
    counted = segments(points=[DatedError(r.day.toordinal(), r.error, r.left) for r in readings],
                       adjusted_at=[d.toordinal() for d in series.adjusted])[-1]
    fit = fitted(points=counted, resolution=series.resolution,
                 expanded=max(r.expanded or 0.0 for r in readings))
    drift = fit if isinstance(fit, Fit) else None
    to = Plot()
    _tolerance(to, axes)
    if drift:
        until = max(drift.last, series.until.toordinal() if series.until else 0)
        _drift(to, drift, until, axes, probability)
    _dated(to, axes, series.adjusted, most=3)
    for r in readings:
        _along(to, r, axes.x(r.day.toordinal()), axes)
    return to.done(SMALL, axes.bottom + 17, _spoken(series, readings, drift))


def meter_picture(name: str, days: Sequence[MeterDay], adjusted: Sequence[date] = ()) -> str:
    """All errors of a meter over the years: a short line each, and the largest of each day as a
    sign. What was found stands left of what was left on the same day."""
    days = [one for one in days if one.errors]
    if not days:
        return ""
    axes = _axes([*(one.day for one in days), *adjusted], left=42, right=WIDTH - 8, top=24,
                 bottom=174)
    to = Plot()
    to.legend([FOUND] * any(not one.left for one in days) + [LEFT] * any(one.left for one in days)
              + [EACH] + [ADJUSTED] * bool(adjusted), 11)
    _tolerance(to, axes)
    for percent in (-50, 50):
        to.line(axes.left, axes.y(percent), axes.right, axes.y(percent), "grid")
    for percent in (-100, 0, 100):
        to.words(axes.left - 5, axes.y(percent) + 3.5, minus(str(percent)) + NARROW + "%", "end")
    _dated(to, axes, adjusted, most=7)
    for verified in days:
        x = axes.x(verified.day.toordinal()) + (4 if verified.left else -4)
        for error in verified.errors:
            if not beyond(error):
                to.each(x, axes.y(error))
        largest = HistoryPoint(verified.day, _largest(verified.errors), left=verified.left)
        _along(to, largest, x, axes)
    return to.done(WIDTH, axes.bottom + 22, _all_spoken(name, days))


def _largest(errors: Sequence[float]) -> float:
    """An overload is larger than any number."""
    return max(errors, key=lambda error: math.inf if math.isnan(error) else abs(error))


def _axes(days: Sequence[date], *, left: float, right: float, top: float, bottom: float) -> _Axes:
    first, last = min(days).toordinal(), max(days).toordinal()
    margin = max(20.0, (last - first) * 0.04)
    return _Axes(left=left, right=right, top=top, bottom=bottom, start=first - margin,
                 end=last + margin)


def _tolerance(to: Plot, axes: _Axes) -> None:
    to.tolerance(axes.left, axes.y(100), axes.right - axes.left, axes.y(-100) - axes.y(100))
    to.expected(axes.left, axes.y(0), axes.right, axes.y(0))


def _dated(to: Plot, axes: _Axes, adjusted: Sequence[date], *, most: int) -> None:
    """The days with at most so many names, and the adjustments."""
    for tick, label in _ticks(axes.start, axes.end, most):
        half = usual_width(label) / 2
        to.line(axes.x(tick), axes.bottom, axes.x(tick), axes.bottom + 3, "tick")
        to.words(min(max(axes.x(tick), half), axes.right + 2 - half), axes.bottom + 13, label,
                 "middle")
    to.line(axes.left, axes.bottom, axes.right, axes.bottom, "tick")
    for day in sorted(set(adjusted)):
        to.line(axes.x(day.toordinal()), axes.top, axes.x(day.toordinal()), axes.bottom, "break")


def _along(to: Plot, r: HistoryPoint, x: float, axes: _Axes) -> None:
    """A reading at its day: sign and whiskers, or an arrow at the edge."""
    y = axes.y
    if beyond(r.error):
        side = -1 if r.error < 0 else 1
        edge = y(side * MOST)
        right = x > (axes.left + axes.right) / 2
        to.pointing(x, edge, side > 0, r.left)
        to.words(x + (-6 if right else 6), edge + (8 if side > 0 else -3), percent_said(r.error),
                 "end" if right else "start", "over")
        return
    for side in (-1, 1) if r.expanded else ():
        reached = r.error + side * r.expanded
        start, end = y(r.error) - side * reach(r.left), y(reached)
        if (start - end) * side > 0:
            cap = () if beyond(reached) else ("M", x - 2.5, end, "h5")
            to.path("M", x, start, "V", end, *cap, kind="sure")
    to.reading(x, y(r.error), r.error, r.left)


def _drift(to: Plot, fit: Fit, until: float, axes: _Axes, probability: float) -> None:
    """The line as far as it is within the picture, and its prediction interval cut off at the
    picture's edges."""
    x, y = axes.x, axes.y
    days = [fit.first + (until - fit.first) * n / _PARTS for n in range(_PARTS + 1)]
    edges = [predicted(fit=fit, x=day, probability=probability) for day in days]
    upper = [(x(day), y(high)) for day, (_, high) in zip(days, edges, strict=True)]
    lower = [(x(day), y(low)) for day, (low, _) in zip(days, edges, strict=True)]
    to.curve([*upper, *reversed(lower)], "Z", "band")
    ends = sorted([fit.first, until] if fit.slope == 0 else
                  [min(max(fit.centre + (limit - fit.level) / fit.slope, fit.first), until)
                   for limit in (-MOST, MOST)])
    if fit.slope or abs(fit.level) <= MOST:
        a, b = ends
        to.line(x(a), y(fit.at(a)), x(b), y(fit.at(b)), "drift")


def _ticks(start: float, end: float, most: int) -> list[tuple[int, str]]:
    """Days with their names: 1 January of a year, or the first of a month, which takes more room;
    at most so many."""
    first = date.fromordinal(max(1, math.ceil(start)))
    last = date.fromordinal(min(date.max.toordinal(), math.floor(end)))
    months = [(first.year * 12 + first.month - 1), (last.year * 12 + last.month - 1)]
    for step in (1, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12000):
        days = [date(m // 12, m % 12 + 1, 1)
                for m in range(-(-months[0] // step) * step, months[1] + 1, step) if 12 <= m]
        days = [day for day in days if first <= day <= last]
        if len(days) <= (most if step >= 12 else most - 2):
            break
    return [(day.toordinal(), f"{day.year}" if step >= 12 else f"{day.year}-{day.month:02}")
            for day in days]


def _spoken(series: HistorySeries, readings: Sequence[HistoryPoint], fit: Fit | None) -> str:
    shown = [r for r in readings if not r.left] or list(readings)
    period = f"from {shown[0].day} to {shown[-1].day}" if len(shown) > 1 else f"on {shown[0].day}"
    failed = sum(not abs(r.error) <= 100 for r in shown)
    sentences = [
        f"{one_line(series.name)}, {len(shown)} error{'s' * (len(shown) != 1)} "
        f"{'as left' if shown[0].left else 'as found'} {period} "
        f"in percent of the tolerance, the last {percent_said(shown[-1].error)}; "
        f"{failed or 'none'} beyond the tolerance."]
    if series.adjusted:
        days = ", ".join(str(day) for day in sorted(set(series.adjusted)))
        sentences.append(f"Adjusted on {days}.")
    if fit:
        sentences.append(f"Drift {minus(f'{fit.slope * 365.2425:+.1f}')}{NARROW}% a year.")
    return " ".join(sentences)


def _all_spoken(name: str, days: Sequence[MeterDay]) -> str:
    lines = [f"{one.day} {'as left' if one.left else 'as found'} "
             f"{percent_said(_largest(one.errors))}" for one in days]
    return (f"{one_line(name)}, all errors in percent of the tolerance. The largest of each day: "
            f"{', '.join(lines)}.")
