"""Drift: a straight line through the errors of one point over time, and when it comes to a limit.

Statistics, so floats. x is a day (a count of days from any origin), y an error in any one unit,
such as percent of the tolerance. A line is a picture of the past: nothing says that a meter goes on
drifting along it. """

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from builder.compute.statistics.student import student

ENOUGH = 5             # readings; through fewer no line is drawn (choice of this project)
PROBABILITY = 0.95     # of a prediction interval, two-sided (choice of this project)

TOO_FEW, ONE_DAY, NO_NUMBER = "too few readings", "all on one day", "a reading without a number"


@dataclass(frozen=True, slots=True)
class DatedError:
    """An error y on day x; `left` for as left, that is after whatever was done that day."""

    x: float
    y: float
    left: bool = False


@dataclass(frozen=True, slots=True)
class NoFit:
    """Why there is no line: one of the codes above, and how many readings there are."""

    code: str
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """y = level + slope·(x − centre), with `centre` the mean of the x, so that nothing cancels far
    from x = 0.

    `spread` is the residual standard deviation as computed, `residual` the one that is used (see
    `fitted`); `squares` is Σ(x − centre)²; `first` and `last` are the smallest and the largest x.
    `expanded` is U of the readings, which widens what is foretold. """

    n: int
    centre: float
    level: float
    slope: float
    squares: float
    spread: float
    residual: float
    first: float
    last: float
    expanded: float = 0.0

    @property
    def degrees(self) -> int:
        return self.n - 2

    @property
    def intercept(self) -> float:
        """The line at x = 0."""
        return self.level - self.slope * self.centre

    @property
    def u_slope(self) -> float:
        """s/√Σ(x − x̄)² (JCGM 100:2008, H.3.2, from memory)."""
        return self.residual / math.sqrt(self.squares)

    @property
    def u_intercept(self) -> float:
        """The standard uncertainty of the line at x = 0."""
        return self.u_line(0.0)

    def u_line(self, x: float) -> float:
        """s·√(1/n + (x − x̄)²/Σ(x − x̄)²): of the line itself at x (JCGM 100:2008, H.3.4, from
        memory)."""
        return self.residual * math.sqrt(1 / self.n + (x - self.centre) ** 2 / self.squares)

    def at(self, x: float) -> float:
        """The line at x."""
        return self.level + self.slope * (x - self.centre)


def segments(*, points: Sequence[DatedError],
             adjusted_at: Sequence[float]) -> tuple[tuple[DatedError, ...], ...]:
    """The readings between adjustments, in the order of time: one segment more than there are days
    of adjustment, and only the last one says how the meter drifts now. What was found on the day of
    an adjustment ends its segment, what was left begins the next. As left without an adjustment
    repeats as found, so it is left out where both are there. """
    days = sorted(set(adjusted_at))
    days_as_found = {p.x for p in points if not p.left}
    parts: list[list[DatedError]] = [[] for _ in range(len(days) + 1)]
    for p in sorted(points, key=lambda p: (p.x, p.left)):
        if p.left and p.x in days_as_found and p.x not in days:
            continue
        parts[sum(1 for day in days if day < p.x or day == p.x and p.left)].append(p)
    return tuple(map(tuple, parts))


def fitted(*, points: Sequence[DatedError], resolution: float = 0.0,
           expanded: float = 0.0) -> Fit | NoFit:
    """The line of least squares (JCGM 100:2008, H.3, from memory): slope = Σ(x − x̄)(y − ȳ)/Σ(x −
    x̄)², through (x̄, ȳ); s² = Σ residual²/(n − 2).

    Errors of rounded readings can lie on a line by chance of rounding, so s counts as r/√12 at
    least, the standard deviation of rounding to r (GUM F.2.2.1, from memory; as a floor a choice of
    this project). `resolution` is r, in the unit of y, and `expanded` the largest U of the readings
    (see `half_width`). """
    n = len(points)
    if n < ENOUGH:
        return NoFit(TOO_FEW, n)
    if not all(math.isfinite(p.x) and math.isfinite(p.y) for p in points):
        return NoFit(NO_NUMBER, n)
    x0, y0 = points[0].x, points[0].y      # equal values leave exact zeros
    mean_x, mean_y = (math.fsum(values) / n
                      for values in ((p.x - x0 for p in points), (p.y - y0 for p in points)))
    dx = [(p.x - x0) - mean_x for p in points]
    dy = [(p.y - y0) - mean_y for p in points]
    squares = math.fsum(d * d for d in dx)
    if squares == 0:
        return NoFit(ONE_DAY, n)
    slope = math.fsum(a * b for a, b in zip(dx, dy, strict=True)) / squares
    spread = math.sqrt(math.fsum((b - slope * a) ** 2 for a, b in zip(dx, dy, strict=True))
                       / (n - 2))
    return Fit(n=n, centre=x0 + mean_x, level=y0 + mean_y, slope=slope, squares=squares,
               spread=spread,
               residual=max(spread, resolution / math.sqrt(12)),
               first=min(p.x for p in points), last=max(p.x for p in points), expanded=expanded)


def half_width(*, fit: Fit, x: float, probability: float = PROBABILITY) -> float:
    """t·s·√(1 + 1/n + (x − x̄)²/Σ(x − x̄)²) with n − 2 degrees of freedom: half of the interval in
    which the next single reading at x lies with the probability, if it goes on as it did (exact
    mathematics for normal residuals; NBS Handbook 91, 5-4.1, second hand). Where the readings have
    an uncertainty, √(that² + U²): what all of them were off by together shows in no residual. U has
    the display's rounding in it as s has, so that rounding counts twice (a cautious choice of this
    project)."""
    own = student(degrees=fit.degrees,
                  probability=probability) * math.hypot(fit.residual, fit.u_line(x))
    return math.hypot(own, fit.expanded)


def predicted(*, fit: Fit, x: float, probability: float = PROBABILITY) -> tuple[float, float]:
    """The prediction interval at x, from and to."""
    middle, half = fit.at(x), half_width(fit=fit, x=x, probability=probability)
    return middle - half, middle + half


def significant(*, fit: Fit, probability: float = PROBABILITY) -> bool:
    """Whether the slope is told apart from none: |slope| > t·u(slope)."""
    return abs(fit.slope) > student(degrees=fit.degrees, probability=probability) * fit.u_slope


@dataclass(frozen=True, slots=True)
class Reach:
    """When a limit is reached: by the near edge of the prediction interval, by the line, by its far
    edge. None if the far edge never gets there, as with a slope that isn't told apart from none."""

    limit: float
    earliest: float
    line: float
    latest: float | None

    @property
    def days(self) -> tuple[int, int | None]:
        """Earliest and latest as whole days, rounded away from each other."""
        return math.floor(self.earliest), None if self.latest is None else math.ceil(self.latest)


def when_reached(*, fit: Fit | NoFit, limits: tuple[float, float], after: float | None = None,
                 probability: float = PROBABILITY) -> Reach | NoFit | None:
    """When a drifting error reaches the limit on the side to which it drifts, not before `after`
    (the last reading, unless another day is given). None if it doesn't drift at all; the reason if
    there is no line."""
    if isinstance(fit, NoFit):
        return fit
    if fit.slope == 0:
        return None
    start = (fit.last if after is None else after) - fit.centre
    up = fit.slope > 0
    slope, room = abs(fit.slope), limits[1] - fit.level if up else fit.level - limits[0]
    near = _Edge(fit, slope, probability)
    line = max(start, room / slope)
    earliest = min(line, _first(near, room, start, line))
    latest = _far(fit, slope, room, line, probability)
    return Reach(limits[1] if up else limits[0], fit.centre + earliest, fit.centre + line,
                 None if latest is None else fit.centre + latest)


def stays_within(*, fit: Fit, limits: tuple[float, float], after: float | None = None,
                 probability: float = PROBABILITY) -> float | None:
    """Until which x the whole prediction interval lies within both limits, from `after` on (the
    last reading, unless another day is given): ∞ if it never leaves them, None if it isn't within
    them even then."""
    start = (fit.last if after is None else after) - fit.centre
    until = math.inf
    for slope, room in ((fit.slope, limits[1] - fit.level), (-fit.slope, fit.level - limits[0])):
        edge = _Edge(fit, slope, probability)
        if edge(start) > room:
            return None
        growth = slope + edge.widening      # the slope to which this edge tends
        if growth > 0:
            until = min(until, _first(edge, room, start, max(start, room / growth)))
    return fit.centre + until


@dataclass(frozen=True, slots=True)
class _Edge:
    """The upper edge of the prediction interval above the level, over d = x − x̄, for a slope: it
    bends upwards, and the half-width grows by `widening` for each d in the end. `sign` −1 is the
    lower edge."""

    fit: Fit
    slope: float
    probability: float
    sign: int = 1

    @property
    def widening(self) -> float:
        return student(degrees=self.fit.degrees, probability=self.probability) * self.fit.u_slope

    def __call__(self, d: float) -> float:
        return self.slope * d + self.sign * half_width(
            fit=self.fit, x=self.fit.centre + d, probability=self.probability)


def _first(edge: Callable[[float], float], room: float, low: float, high: float) -> float:
    """Where an edge that is under `room` at low and not at high reaches it, by halving; low if it
    is there already."""
    if edge(low) >= room:
        return low
    for _ in range(200):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        if edge(middle) < room:
            low = middle
        else:
            high = middle
    return high


def _far(fit: Fit, slope: float, room: float, line: float, probability: float) -> float | None:
    """Where the far edge reaches the limit, after the line did: slope·d − half-width = room. It
    bends downwards; with a slope up to its widening it has a top, and may never get there."""
    edge = _Edge(fit, slope, probability, -1)
    growth, base = slope - edge.widening, half_width(fit=fit, x=fit.centre, probability=probability)
    if growth > 0:
        # since the half-width is at most base + widening·|d|
        high = max(line, 0.0, (room + base) / growth)
    else:
        # The half-width is √(base² + (widening·d)²), so at the top slope = widening²·d over it.
        steep = edge.widening ** 2 - slope ** 2
        high = (max(line, slope * base / (edge.widening * math.sqrt(steep))) if steep > 0
                else math.inf)
        if high == math.inf or edge(high) < room:
            return None
    return _first(edge, room, line, high)
