"""Pictures of the errors of one point over the years, as SVG that needs no colour."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from builder.compute.statistics.trend import (PROBABILITY, DatedError, Fit, fitted, predicted,
                                              segments)
from builder.drawing.results import (ADJUSTED, BAND, FOUND, LEFT, MOST, WIDTH, Plot, beyond,
                                     one_line, percent_said, reach, within)
from builder.numbers.exact_text import NARROW, minus

_TOP, _BOTTOM, _AXIS, _RIGHT = 40.0, 190.0, 42.0, WIDTH - 8.0
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


def history_picture(series: HistorySeries, *, probability: float = PROBABILITY) -> str:
    """The errors of one point over the years, with the days of adjustment, and the drift since the
    last with its prediction interval where there are readings enough for a line."""
    if not series.readings:
        return ""
    readings = sorted(series.readings, key=lambda r: (r.day, r.left))
    days = [*(r.day for r in readings), *series.adjusted, *([series.until] if series.until else [])]
    first, last = min(days).toordinal(), max(days).toordinal()
    margin = max(20.0, (last - first) * 0.04)
    start, end = first - margin, last + margin

    def x(day: float) -> float:
        return _AXIS + (_RIGHT - _AXIS) * (day - start) / (end - start)

    def y(percent: float) -> float:
        return _TOP + (_BOTTOM - _TOP) * (MOST - within(percent)) / (2 * MOST)

    counted = segments(points=[DatedError(r.day.toordinal(), r.error, r.left) for r in readings],
                       adjusted_at=[d.toordinal() for d in series.adjusted])[-1]
    fit = fitted(points=counted, resolution=series.resolution,
                 expanded=max(r.expanded or 0.0 for r in readings))
    drift = fit if isinstance(fit, Fit) else None
    signs = ([FOUND] * any(not r.left for r in readings) + [LEFT] * any(r.left for r in readings)
             + [ADJUSTED] * bool(series.adjusted) + [BAND] * bool(drift))
    to = Plot(series.name, "", signs, 27, f"drift, {probability * 100:.4g}{NARROW}%")
    for percent in (-100, -50, 0, 50, 100):
        if abs(percent) < 100:
            to.line(_AXIS, y(percent), _RIGHT, y(percent), "grid")
        if percent % 100 == 0:
            to.words(_AXIS - 5, y(percent) + 3.5, minus(str(percent)) + NARROW + "%", "end")
    for tick, label in _ticks(start, end):
        to.line(x(tick), _BOTTOM, x(tick), _BOTTOM + 4, "tick")
        to.words(x(tick), _BOTTOM + 15, label, "middle")
    if drift:
        until = max(drift.last, series.until.toordinal() if series.until else 0)
        _drift(to, drift, until, x, y, probability)
    to.box(_AXIS, y(100), _RIGHT - _AXIS, y(-100) - y(100), "frame")
    to.line(_AXIS, _BOTTOM, _RIGHT, _BOTTOM, "tick")
    for day in sorted(set(series.adjusted)):
        to.line(x(day.toordinal()), _TOP, x(day.toordinal()), _BOTTOM, "break")
    for r in readings:
        _along(to, r, x(r.day.toordinal()), y)
    return to.done(_BOTTOM + 22, _spoken(series, readings, drift))


def _along(to: Plot, r: HistoryPoint, x: float, y: Callable[[float], float]) -> None:
    """A reading at its day: sign and whiskers, or an arrow at the edge."""
    if beyond(r.error):
        side = -1 if r.error < 0 else 1
        edge = y(side * MOST)
        right = x > (_AXIS + _RIGHT) / 2
        to.arrow(x, edge, 0, -side, r.left)
        to.words(x + (-6 if right else 6), edge + (8 if side > 0 else -3), percent_said(r.error),
                 "end" if right else "start", "over")
        return
    for side in (-1, 1) if r.expanded else ():
        reached = r.error + side * r.expanded
        start, end = y(r.error) - side * reach(r.left), y(reached)
        if (start - end) * side > 0:
            cap = () if beyond(reached) else ("M", x - 2.5, end, "h5")
            to.path("M", x, start, "V", end, *cap, kind="whisker")
    to.sign(x, y(r.error), r.left)


def _drift(to: Plot, fit: Fit, until: float, x: Callable[[float], float],
           y: Callable[[float], float], probability: float) -> None:
    """The line as far as it is within the picture, and its prediction interval cut off at the
    picture's edges."""
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


def _ticks(start: float, end: float) -> list[tuple[int, str]]:
    """Days with their names: 1 January of a year, or the first of a month; at most seven."""
    first = date.fromordinal(max(1, math.ceil(start)))
    last = date.fromordinal(min(date.max.toordinal(), math.floor(end)))
    months = [(first.year * 12 + first.month - 1), (last.year * 12 + last.month - 1)]
    for step in (1, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12000):
        days = [date(m // 12, m % 12 + 1, 1)
                for m in range(-(-months[0] // step) * step, months[1] + 1, step) if 12 <= m]
        days = [day for day in days if first <= day <= last]
        if len(days) <= (7 if step >= 12 else 5):
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
