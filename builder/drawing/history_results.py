"""Pictures of the errors of one point over the years, as SVG."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import Iterator, Sequence

from builder.compute.statistics.trend import (PROBABILITY, DatedError, Fit, fitted, predicted,
                                              segments)
from builder.drawing.record_results import (_ADJUSTED, _AXIS, _BAND, _BOTTOM, _FOUND, _LEFT, _MOST,
                                            _RIGHT, _TOP, _WIDTH, _arrow, _box, _legend, _line, _n,
                                            _one_line, _reach, _said, _sign, _text, _title)
from builder.numbers.exact_text import NARROW, minus

# ---------------------------------------------------------------- a history

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
    days = [r.day
            for r in readings] + list(series.adjusted) + ([series.until] if series.until else [])
    first, last = min(days).toordinal(), max(days).toordinal()
    margin = max(20.0, (last - first) * 0.04)
    start, end = first - margin, last + margin

    def x(day: float) -> float:
        return _AXIS + (_RIGHT - _AXIS) * (day - start) / (end - start)

    def y(percent: float) -> float:
        return _TOP + (_BOTTOM - _TOP) * (_MOST - max(-_MOST, min(_MOST, percent))) / (2 * _MOST)

    counted = segments(points=[DatedError(r.day.toordinal(), r.error, r.left) for r in readings],
                       adjusted_at=[d.toordinal() for d in series.adjusted])[-1]
    fit = fitted(points=counted, resolution=series.resolution)
    drawn = isinstance(fit, Fit)
    out = [_title(series.name),
           _legend([_FOUND] * any(not r.left for r in readings) + [_LEFT] * any(
               r.left for r in readings) + [_ADJUSTED] * bool(series.adjusted)
                   + [_BAND] * drawn, 27, f"drift, {probability * 100:.4g}{NARROW}%")]
    for percent in (-100, -50, 0, 50, 100):
        if abs(percent) < 100:
            out.append(_line("grid", _AXIS, y(percent), _RIGHT, y(percent)))
        if percent % 100 == 0:
            out.append(_text(_AXIS - 5, y(percent) + 3.5, minus(str(percent)) + NARROW + "%",
                             "end"))
    for tick, label in _ticks(start, end):
        out.append(_line("tick", x(tick), _BOTTOM, x(tick),
                         _BOTTOM + 4) + _text(x(tick), _BOTTOM + 15, label, "middle"))
    if drawn:
        out += _drift(fit, max(fit.last, series.until.toordinal() if series.until else 0), x, y,
                      probability)
    out.append(_box("frame", _AXIS, y(100), _RIGHT,
                    y(-100)) + _line("tick", _AXIS, _BOTTOM, _RIGHT, _BOTTOM))
    for day in sorted(set(series.adjusted)):
        at = x(day.toordinal())
        out.append(_line("break", at, _TOP, at, _BOTTOM))
    for r in readings:
        out += _along(r, x(r.day.toordinal()), y)
    return (f'<svg class="plot" viewBox="0 0 {_WIDTH} {_n(_BOTTOM + 22)}" role="img" '
            f'aria-label="{escape(_history_spoken(series, readings, fit if drawn else None))}">'
            + "".join(out) + "</svg>")


def _along(r: HistoryPoint, x: float, y) -> Iterator[str]:
    """A reading at its day: sign and whiskers, or an arrow at the edge."""
    if math.isnan(r.error) or abs(r.error) > _MOST:
        side = -1 if r.error < 0 else 1
        edge = y(side * _MOST)
        right = x > (_AXIS + _RIGHT) / 2
        yield _arrow(x, edge, 0, -side, r.left)
        yield _text(x + (-6 if right else 6), edge + (8 if side > 0 else -3), _said(r.error),
                    "end" if right else "start", "over")
        return
    middle = y(r.error)
    if r.expanded:
        for side in (-1, 1):
            end, start = y(r.error + side * r.expanded), middle - side * _reach(r.left)
            if (start - end) * side > 0:
                cap = (f"M{_n(x - 2.5)} {_n(end)}h5" if abs(r.error + side * r.expanded) <= _MOST
                       else "")
                yield f'<path class="whisker" d="M{_n(x)} {_n(start)}V{_n(end)}{cap}"/>'
    yield _sign(x, middle, r.left)


_PARTS = 24  # of the band, whose edges are curves


def _drift(fit: Fit, until: float, x, y, probability: float) -> Iterator[str]:
    """The line as far as it is within the picture, and its prediction interval cut off at the
    picture's edges."""
    days = [fit.first + (until - fit.first) * n / _PARTS for n in range(_PARTS + 1)]
    edges = [predicted(fit=fit, x=day, probability=probability) for day in days]
    upper = [f"{_n(x(day))} {_n(y(high))}" for day, (_, high) in zip(days, edges)]
    lower = [f"{_n(x(day))} {_n(y(low))}" for day, (low, _) in zip(days, edges)]
    yield f'<path class="band" d="M{"L".join(upper)}L{"L".join(reversed(lower))}Z"/>'
    ends = sorted([fit.first, until] if fit.slope == 0 else
                  [min(max(fit.centre + (limit - fit.level) / fit.slope, fit.first), until)
                   for limit in (-_MOST, _MOST)])
    if fit.slope or abs(fit.level) <= _MOST:
        a, b = ends
        yield _line("drift", x(a), y(fit.at(a)), x(b), y(fit.at(b)))


def _ticks(start: float, end: float) -> list[tuple[int, str]]:
    """Days with their names: 1 January of a year, or the first of a month; at most seven."""
    first, last = date.fromordinal(max(1, math.ceil(start))), date.fromordinal(
        min(date.max.toordinal(), math.floor(end)))
    months = [(first.year * 12 + first.month - 1), (last.year * 12 + last.month - 1)]
    for step in (1, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12000):
        found = [date(m // 12, m % 12 + 1, 1)
                 for m in range(-(-months[0] // step) * step, months[1] + 1, step) if 12 <= m]
        found = [day for day in found if first <= day <= last]
        if len(found) <= (7 if step >= 12 else 5):
            break
    return [(day.toordinal(), f"{day.year}" if step >= 12 else f"{day.year}-{day.month:02}")
            for day in found]


def _history_spoken(series: HistorySeries, readings: Sequence[HistoryPoint],
                    fit: Fit | None) -> str:
    found = [r for r in readings if not r.left] or list(readings)
    period = f"from {found[0].day} to {found[-1].day}" if len(found) > 1 else f"on {found[0].day}"
    beyond = sum(not abs(r.error) <= 100 for r in found)
    said = [
        f"{_one_line(series.name)}, {len(found)} error{'s' * (len(found) != 1)} "
        f"{'as left' if found[0].left else 'as found'} {period} "
        f"in percent of the tolerance, the last {_said(found[-1].error)}; {beyond or 'none'} "
        "beyond the tolerance."]
    if series.adjusted:
        said.append(f"Adjusted on {', '.join(str(day) for day in sorted(set(series.adjusted)))}.")
    if fit:
        said.append(f"Drift {minus(f'{fit.slope * 365.2425:+.1f}')}{NARROW}% a year.")
    return " ".join(said)
