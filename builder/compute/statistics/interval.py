"""When to verify next: suggestions by the history, after two of the methods that ILAC-G24:2022 /
OIML D 10 names, the automatic adjustment ("staircase") and the control chart.

Only the names of the methods are taken from there; every number below is a choice of this project.
A suggestion is for the owner of the meter to decide on: ISO/IEC 17025:2017, 7.8.4.3 (from memory)
lets no report recommend an interval unless the customer agreed to it. Statistics, so floats; errors
are in percent of the tolerance. No sentences: a code and its numbers. """

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from builder.compute.statistics.student import student
from builder.compute.statistics.trend import (ENOUGH, PROBABILITY, DatedError, NoFit, fitted,
                                              predicted, segments, stays_within)

DAYS_A_MONTH = 365.2425 / 12
STAIRCASE, CONTROL_CHART = "staircase", "control chart"
LENGTHEN, KEEP, SHORTEN = "lengthen", "keep", "shorten"
LEAST, MOST, SPAN = "least", "most", "span"
OUTLYING = 0.0027      # of normal errors beyond three standard deviations


@dataclass(frozen=True, slots=True)
class Bounds:
    """No suggestion is shorter or longer, in months (choice of this project)."""

    least: int = 3
    most: int = 36


@dataclass(frozen=True, slots=True)
class Steps:
    """The steps of the staircase (choice of this project): longer by `longer` after `in_a_row`
    reports whose errors as found were all under `good` percent of tolerance, shorter by `shorter`
    after an error beyond 100 %. A report counts as good only if it came after `served` of the
    interval: what was right after a week says nothing about a year."""

    good: float = 50.0
    in_a_row: int = 2
    longer: float = 0.25
    shorter: float = 0.30
    served: float = 0.9


@dataclass(frozen=True, slots=True)
class Finding:
    """A report: its largest error as found, in percent of tolerance without a sign (∞ where a point
    could not be read), and the days since the verification before it (None, if not known, counts as
    the whole interval)."""

    worst: float
    days: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """The interval suggested, in months. `code` says why, `facts` are its numbers; `bound` says
    what held it back: the least or the most that is allowed, or the span of the readings."""

    method: str
    action: str
    months: int
    current: int
    code: str
    bound: str | None = None
    facts: Mapping[str, float] = field(default_factory=dict)


def _suggest(method: str, months: int, current: int, code: str, bounds: Bounds,
             facts: Mapping[str, float], bound: str | None = None) -> Suggestion:
    held = min(max(months, bounds.least), bounds.most)
    if held != months:
        bound = LEAST if held > months else MOST
    action = KEEP if held == current else LENGTHEN if held > current else SHORTEN
    return Suggestion(method=method, action=action, months=held, current=current, code=code,
                      bound=bound, facts=facts)


# ---------------------------------------------------------------- staircase

NO_REPORT, BEYOND, GOOD_IN_A_ROW, NOT_YET = ("no report", "beyond tolerance", "good in a row",
                                             "not good in a row")


def staircase(*, reports: Sequence[Finding], current: int, steps: Steps = Steps(),
              bounds: Bounds = Bounds()) -> Suggestion:
    """The next interval from the last reports, oldest first (automatic adjustment of ILAC-G24:2022
    / OIML D 10; the steps are a choice of this project): rounded down to whole months, but by one
    month at least."""
    if not reports:
        return _suggest(STAIRCASE, current, current, NO_REPORT, bounds, {})
    last = reports[-1].worst
    if not last <= 100:
        months = min(current - 1, math.floor(current * (1 - steps.shorter) + 1e-9))
        return _suggest(STAIRCASE, months, current, BEYOND, bounds,
                        {"worst": last, "share": steps.shorter})
    row = 0
    for report in reversed(reports):
        served = report.days is None or report.days >= steps.served * current * DAYS_A_MONTH
        if not (report.worst < steps.good and served):
            break
        row += 1
    facts: dict[str, float] = {"worst": last, "good": steps.good, "row": row,
                               "needed": steps.in_a_row}
    if row < steps.in_a_row:
        return _suggest(STAIRCASE, current, current, NOT_YET, bounds, facts)
    months = max(current + 1, math.floor(current * (1 + steps.longer) + 1e-9))
    return _suggest(STAIRCASE, months, current, GOOD_IN_A_ROW, bounds,
                    {"share": steps.longer, **facts})


# ---------------------------------------------------------------- control chart

WITHIN, WARNING, ACTION = "within", "warning", "action"
ALREADY, JUMPED, UNTIL, NEVER = ("beyond already", "last beyond the chart", "within until",
                                 "never leaves")


@dataclass(frozen=True, slots=True)
class Chart:
    """Mean and standard deviation of n errors, and the lines at two and three standard deviations
    on both sides."""

    n: int
    mean: float
    deviation: float

    def lines(self, times: float) -> tuple[float, float]:
        return self.mean - times * self.deviation, self.mean + times * self.deviation

    @property
    def action(self) -> tuple[float, float]:
        return self.lines(3)

    def place(self, value: float) -> str:
        """Where a new value lies: within, beyond the warning lines, beyond the action lines."""
        off = abs(value - self.mean)
        return (WITHIN if off <= 2 * self.deviation else WARNING if off <= 3 * self.deviation
                else ACTION)


def chart(*, errors: Sequence[float], resolution: float = 0.0) -> Chart | None:
    """x̄ and s = √(Σ(x − x̄)²/(n − 1)) (JCGM 100:2008, 4.2.1 and 4.2.2, from memory), s at least
    that of rounding, r/√12; None under two errors."""
    n = len(errors)
    if n < 2:
        return None
    mean = errors[0] + math.fsum(e - errors[0] for e in errors) / n
    spread = math.sqrt(math.fsum((e - mean) ** 2 for e in errors) / (n - 1))
    return Chart(n, mean, max(spread, resolution / math.sqrt(12)))


def outlying(*, before: Chart, value: float, among: int) -> bool:
    """Whether a new error is farther from the mean of n others than chance explains: |x − x̄| >
    t·s·√(1 + 1/n) with n − 1 degrees of freedom (exact mathematics for normal errors), at the
    probability that three standard deviations have. Where the errors of many points are looked at,
    `among` says of how many, so that one in the whole is as rare (Bonferroni)."""
    t = student(degrees=before.n - 1, probability=1 - OUTLYING / among)
    return abs(value - before.mean) > t * before.deviation * math.sqrt(1 + 1 / before.n)


def control_chart(*, readings: Sequence[DatedError], adjusted_at: Sequence[float] = (),
                  current: int, resolution: float = 0.0,
                  expanded: float = 0.0, probability: float = PROBABILITY,
                  bounds: Bounds = Bounds(), among: int = 1) -> Suggestion:
    """The longest interval, from the last reading of one point, in which the prediction interval of
    its drift stays within the tolerance (control chart of ILAC-G24:2022 / OIML D 10; how it is
    computed is a choice of this project).

    Only readings after the last adjustment count, and they lengthen the interval no farther ahead
    than they reach back. The last one is judged by the chart of those before it: if it lies farther
    out than chance explains (see `outlying`; `among` points are looked at) something else than
    drift happened, and the interval isn't lengthened. x in days; a month is a twelfth of 365.2425
    days, rounded down. `expanded` is the largest U of the readings, which the prediction takes in.
    """
    counted = segments(points=readings, adjusted_at=adjusted_at)[-1]
    fit = fitted(points=counted, resolution=resolution, expanded=expanded)
    if isinstance(fit, NoFit):
        return _suggest(CONTROL_CHART, current, current, fit.code, bounds,
                        {"n": fit.n, "needed": ENOUGH})
    before = chart(errors=[p.y for p in counted[:-1]], resolution=resolution)
    assert before is not None    # a line has at least five readings
    low, high = predicted(fit=fit, x=fit.last, probability=probability)
    facts: dict[str, float] = {
        "n": fit.n, "slope": fit.slope * 365.2425, "residual": fit.residual, "from": low,
        "to": high, "probability": probability, "mean": before.mean,
        "deviation": before.deviation}
    until = stays_within(fit=fit, limits=(-100.0, 100.0), probability=probability)
    if until is None:
        return _suggest(CONTROL_CHART, bounds.least, current, ALREADY, bounds, facts)
    days = until - fit.last
    if days != math.inf:
        facts["days"] = days
    code, bound = UNTIL if days != math.inf else NEVER, None
    months = math.floor(min(days, 1e6) / DAYS_A_MONTH + 1e-9)
    if months > current:
        span = math.floor((fit.last - fit.first) / DAYS_A_MONTH + 1e-9)
        if outlying(before=before, value=counted[-1].y, among=among):
            return _suggest(CONTROL_CHART, current, current, JUMPED, bounds,
                            {"last": counted[-1].y, **facts})
        if span < min(months, bounds.most):
            months, bound = max(span, current), SPAN
    return _suggest(CONTROL_CHART, months, current, code, bounds, facts, bound)


# ---------------------------------------------------------------- one conclusion

SHORTEST, STAIRCASE_ALONE, ONE_METHOD, SHARED = (
    "the shorter of the two", "the staircase alone", "longer by one method alone", "a shared drift")


@dataclass(frozen=True, slots=True)
class Conclusion:
    """The interval that comes of both methods, in months, and a code of what decided."""

    action: str
    months: int
    current: int
    code: str


def conclusion(*, staircase: Suggestion, chart: Suggestion | None,
               shared_drift: bool = False) -> Conclusion:
    """The cautious one (choice of this project): the shorter of what both methods suggest. A longer
    interval takes both, each with readings enough, and no drift that points of a function share."""
    months, current = staircase.months, staircase.current
    code = SHORTEST if chart is not None else STAIRCASE_ALONE
    if chart is not None:
        months = min(months, chart.months)
    if months > current and (chart is None or shared_drift):
        months, code = current, SHARED if shared_drift else ONE_METHOD
    action = KEEP if months == current else LENGTHEN if months > current else SHORTEN
    return Conclusion(action, months, current, code)
