"""Lines through errors over time: against scipy, by brute force along the days, and by
properties."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from builder.compute.statistics.trend import (ENOUGH, NO_NUMBER, ONE_DAY, TOO_FEW, DatedError, Fit,
                                              NoFit, fitted, half_width, predicted, segments,
                                              significant, stays_within, when_reached)

LIMITS = (-100.0, 100.0)
YEARLY = [DatedError(739_000 + 365 * n, y) for n,
          y in enumerate((4.0, 13.0, 18.0, 31.0, 37.0, 52.0))]


def line(ys, xs=None, **more) -> Fit:
    fit = fitted(points=[DatedError(x, y)
                         for x, y in zip(xs or range(len(ys)), ys, strict=True)], **more)
    assert isinstance(fit, Fit)
    return fit


histories = st.lists(st.tuples(st.integers(0, 4000), st.floats(-200, 200)), min_size=ENOUGH,
                     max_size=12, unique_by=lambda pair: pair[0])
probabilities = st.sampled_from([0.68, 0.9, 0.95, 0.9545, 0.99])


@given(histories)
def test_line_as_scipy_has_it(pairs):
    """Slope, intercept and their standard errors agree with scipy.stats.linregress."""
    xs, ys = zip(*pairs, strict=True)
    fit, other = line(ys, xs), stats.linregress(xs, ys)
    scale = max(map(abs, ys)) + 1e-300
    assert fit.slope == pytest.approx(other.slope, rel=1e-7, abs=1e-10 * scale)
    assert fit.intercept == pytest.approx(other.intercept, rel=1e-7, abs=1e-7 * scale)
    assert fit.u_slope == pytest.approx(other.stderr, rel=1e-6, abs=1e-9 * scale)
    assert fit.u_intercept == pytest.approx(other.intercept_stderr, rel=1e-6, abs=1e-6 * scale)
    assert (fit.n, fit.degrees, fit.first, fit.last) == (len(xs), len(xs) - 2, min(xs), max(xs))


@given(histories, st.integers(-5000, 9000), probabilities)
def test_prediction_interval(pairs, x, probability):
    """Its half-width is t by scipy times √(s² + u²(line)), with the variance of the line from the
    covariance of slope and intercept about x = 0."""
    xs, ys = zip(*pairs, strict=True)
    fit, n = line(ys, xs), len(xs)
    mean, squares = math.fsum(xs) / n, math.fsum(a * a for a in xs) - math.fsum(xs) ** 2 / n
    variance = fit.residual ** 2 * (1 + math.fsum(a * a for a in xs) / n / squares - 2 * x * mean
                                    / squares + x * x / squares)
    expected = stats.t.ppf((1 + probability) / 2, n - 2) * math.sqrt(variance)
    assert half_width(fit=fit, x=x,
                      probability=probability) == pytest.approx(expected, rel=1e-6, abs=1e-12)
    low, high = predicted(fit=fit, x=x, probability=probability)
    assert (low + high) / 2 == pytest.approx(fit.at(x), rel=1e-9, abs=1e-9)


def test_prediction_interval_holds_what_it_says():
    """Of 4000 seeded histories of five readings with normal scatter the sixth lies within its 95 %
    interval 95 % of the time."""
    import random
    chance, held = random.Random(1), 0
    for _ in range(4000):
        ys = [3 * x + chance.gauss(0, 5) for x in range(6)]
        low, high = predicted(fit=line(ys[:5]), x=5)
        held += low <= ys[5] <= high
    assert held / 4000 == pytest.approx(0.95, abs=0.011)  # three standard deviations


def test_the_uncertainty_of_the_readings_widens_what_is_foretold():
    """√(half-width² + U²), and nothing else: 3 and 4 give 5; the slope is told apart as before."""
    narrow = line([1.0, 4.0, 2.0, 7.0, 5.0])
    half = half_width(fit=narrow, x=9)
    wide = line([1.0, 4.0, 2.0, 7.0, 5.0], expanded=half * 4 / 3)
    assert half_width(fit=wide, x=9) == pytest.approx(half * 5 / 3)
    assert significant(fit=wide) == significant(fit=narrow)
    assert (wide.slope, wide.residual) == (narrow.slope, narrow.residual)


# ---------------------------------------------------------------- no line

@pytest.mark.parametrize("points, code", [
    ([], TOO_FEW), (YEARLY[:ENOUGH - 1], TOO_FEW), ([DatedError(1, y) for y in range(7)], ONE_DAY),
    ([*YEARLY, DatedError(1, math.inf)], NO_NUMBER),
    ([*YEARLY, DatedError(1, math.nan)], NO_NUMBER),
])
def test_no_line(points, code):
    """Under five readings, on one day only, or with one that is no number there is a reason in
    place of a line."""
    fit = fitted(points=points)
    assert fit == NoFit(code, len(points))
    assert when_reached(fit=fit, limits=LIMITS) is fit


def test_enough():
    assert isinstance(fitted(points=YEARLY[:ENOUGH]), Fit)


# ---------------------------------------------------------------- rounding

@given(histories, st.sampled_from([1.0, 2.5, 10.0]))
def test_residuals_never_under_those_of_rounding(pairs, resolution):
    """Readings rounded to a count have r/√12 as their residual standard deviation at least, and the
    spread itself where it is more."""
    xs, ys = zip(*pairs, strict=True)
    rounded = [round(y / resolution) * resolution for y in ys]
    fit = line(rounded, xs, resolution=resolution)
    assert fit.residual == max(fit.spread,
                               resolution / math.sqrt(12)) and fit.spread == line(
                                   rounded, xs).residual


def test_readings_that_show_no_change():
    """Five equal readings have no drift and no spread but that of rounding, and reach no limit."""
    fit = line([12.3] * 5, range(0, 1825, 365), resolution=4.0)
    assert (fit.slope, fit.spread,
            fit.level) == (0.0, 0.0, 12.3) and fit.residual == pytest.approx(4 / math.sqrt(12))
    assert when_reached(fit=fit, limits=LIMITS) is None and not significant(fit=fit)
    assert fit.last < stays_within(fit=fit, limits=LIMITS) < math.inf


def test_perfect_line():
    """With no residual at all the limit is reached on one day."""
    fit = line([0.0, 10.0, 20.0, 30.0, 40.0])
    reach = when_reached(fit=fit, limits=LIMITS)
    assert reach.limit == 100 and (reach.earliest, reach.line,
                                   reach.latest) == pytest.approx((10, 10, 10))
    assert stays_within(fit=fit, limits=LIMITS) == pytest.approx(10)
    assert stays_within(fit=line([7.0] * 5), limits=LIMITS) == math.inf


# ---------------------------------------------------------------- when a limit is reached

def test_drift_up_and_down():
    """A steady drift reaches the limit on its side some years ahead, the same for its mirror
    image."""
    up = when_reached(fit=fitted(points=YEARLY), limits=LIMITS)
    down = when_reached(fit=fitted(points=[DatedError(p.x, -p.y) for p in YEARLY]), limits=LIMITS)
    assert (up.limit, down.limit) == (100, -100)
    assert (down.earliest, down.line,
            down.latest) == pytest.approx((up.earliest, up.line, up.latest))
    last = YEARLY[-1].x
    assert last < up.earliest < up.line < up.latest
    assert 4 < (up.line - last) / 365 < 6
    assert up.days == (math.floor(up.earliest), math.ceil(up.latest))


@pytest.mark.thorough
@given(histories, probabilities, st.sampled_from([0.0, 20.0]))
def test_when_reached_by_brute_force(pairs, probability, expanded):
    """Walked along the days, the edges of the prediction interval and the line cross the limit
    where it was computed."""
    xs, ys = zip(*pairs, strict=True)
    fit = line(ys, xs, resolution=1.0, expanded=expanded)
    assume(abs(fit.slope) > 1e-6)
    reach = when_reached(fit=fit, limits=LIMITS, probability=probability)
    side = 1 if fit.slope > 0 else -1

    def first(towards: int) -> int | None:
        for step in range(0, 40_000, 5):
            x = fit.last + step
            if side * fit.at(x) + towards * half_width(
                    fit=fit, x=x, probability=probability) >= 100:
                return step
        return None
    assert reach.limit == side * 100 and fit.last <= reach.earliest <= reach.line
    for towards, at in ((1, reach.earliest), (0, reach.line), (-1, reach.latest)):
        walked = first(towards)
        if walked is None:
            assert at is None or at >= fit.last + 39_000
        else:
            assert at is not None and walked - 5.001 <= at - fit.last <= walked + 0.001
    assert reach.latest is None or reach.latest >= reach.line


@given(histories, probabilities)
def test_a_sure_slope_ends_somewhere(pairs, probability):
    """A slope that is told apart from none gives a latest day; one that isn't gives none, unless
    the limit is reached already."""
    xs, ys = zip(*pairs, strict=True)
    fit = line(ys, xs, resolution=1.0)
    assume(fit.slope != 0
           and abs(abs(fit.slope) / fit.u_slope
                   - stats.t.ppf((1 + probability) / 2, fit.degrees)) > 1e-6)
    reach = when_reached(fit=fit, limits=LIMITS, probability=probability)
    if significant(fit=fit, probability=probability):
        assert reach.latest is not None
    elif reach.line > fit.last + 1e-6:
        assert reach.latest is None


@given(histories, probabilities, st.sampled_from([0.0, 20.0]))
def test_stays_within_by_brute_force(pairs, probability, expanded):
    """Walked along the days, the prediction interval leaves the limits where it was computed."""
    xs, ys = zip(*pairs, strict=True)
    fit = line(ys, xs, resolution=1.0, expanded=expanded)
    until = stays_within(fit=fit, limits=LIMITS, probability=probability)

    def within(x: float) -> bool:
        low, high = predicted(fit=fit, x=x, probability=probability)
        return -100 <= low and high <= 100
    assert (until is None) == (not within(fit.last))
    if until is not None:
        walked = next((step for step in range(0, 40_000, 5) if not within(fit.last + step)), None)
        if walked is None:
            assert until >= fit.last + 39_000
        else:
            assert walked - 5.001 <= until - fit.last <= walked + 0.001


def test_from_a_later_day():
    """Nothing is reached before the day from which it is asked."""
    fit = fitted(points=YEARLY)
    late = fit.last + 9000
    reach = when_reached(fit=fit, limits=LIMITS, after=late)
    assert reach.earliest == reach.line == reach.latest == pytest.approx(late)
    assert stays_within(fit=fit, limits=LIMITS, after=late) is None


# ---------------------------------------------------------------- adjustments

def test_found_before_and_left_after():
    """On the day of an adjustment as found ends a segment and as left begins the next."""
    found, left, later = DatedError(10, 80), DatedError(10, 2, left=True), DatedError(20, 5)
    assert segments(points=[later, left, found], adjusted_at=[10]) == ((found,), (left, later))


def test_left_without_adjustment_repeats():
    """As left beside as found counts only where there was an adjustment; alone it counts."""
    found, left = DatedError(10, 80), DatedError(10, 80, left=True)
    assert segments(points=[found, left], adjusted_at=[]) == ((found,),)
    assert segments(points=[left], adjusted_at=[]) == ((left,),)


def test_nothing_since_the_last_adjustment():
    assert segments(points=[DatedError(1, 2)], adjusted_at=[5, 3]) == ((DatedError(1, 2),), (), ())


@given(st.lists(st.builds(DatedError, st.integers(0, 30), st.floats(-9, 9), st.booleans()),
                max_size=20), st.lists(st.integers(0, 30), max_size=4))
def test_segments_lie_between_adjustments(points, adjusted_at):
    """Every reading as found is in one segment, in the order of time, and none lies across an
    adjustment."""
    parts, days = segments(points=points, adjusted_at=adjusted_at), sorted(set(adjusted_at))
    assert len(parts) == len(days) + 1
    assert sorted((p.x, p.y) for part in parts for p in part
                  if not p.left) == sorted((p.x, p.y) for p in points if not p.left)
    for part, start, end in zip(parts, [-math.inf, *days], [*days, math.inf], strict=True):
        assert all(start <= p.x <= end and (p.x > start or p.left) and (p.x < end or not p.left)
                   for p in part)
        assert [p.x for p in part] == sorted(p.x for p in part)


@pytest.mark.parametrize("probability", [0.8, 0.95])
@pytest.mark.parametrize("ys, top",
                         [((148, 152, 149, 153, 150, 152), True),
                          ((140, 160, 138, 161, 141, 160), True),
                          ((105, 130, 95, 131, 99, 128), False)])
@pytest.mark.parametrize("side", [1, -1])
def test_a_far_edge_with_a_top_by_walking(ys, top, side, probability):
    """A weak slope far beyond its limit, asked about from long before the readings: the far edge
    comes up to the limit, or its top stays short of it."""
    fit = line([side * y for y in ys], [1000 + 100 * n for n in range(6)])
    early = fit.first - 20_000.0
    reach = when_reached(fit=fit, limits=LIMITS, after=early, probability=probability)
    assert not significant(fit=fit, probability=probability)

    def far(x: float) -> float:
        return (abs(fit.at(x)) - half_width(fit=fit, x=x, probability=probability)
                if side * fit.at(x) > 0 else -math.inf)
    walked = next((x for x in range(int(reach.line), int(fit.last) + 30_000) if far(x) >= 100),
                  None)
    assert (walked is not None) == top == (reach.latest is not None)
    if top:
        assert walked - 1.001 <= reach.latest <= walked + 1e-6


def test_a_year_before_the_readings_the_limit_is_reached_on_the_line():
    """Asked about from the readings on, what lies beyond already is reached at once, by line and
    both edges."""
    fit = line((148, 152, 149, 153, 150, 152))
    reach = when_reached(fit=fit, limits=LIMITS)
    assert (reach.earliest, reach.line, reach.latest) == (fit.last, fit.last, fit.last)


def test_a_line_through_five_is_the_same_wherever_it_begins():
    """Readings whose first value is far from the others: equal values leave exact zeros."""
    assert line((7.3, 7.3, 7.3, 7.3, 7.3)).slope == 0 and line(
        (7.3, 7.3, 7.3, 7.3, 7.3)).residual == 0
