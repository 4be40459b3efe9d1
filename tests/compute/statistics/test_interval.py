"""Suggested intervals: cases by hand, and properties. The numbers are choices of this project, so
these are regression tests."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from builder.compute.statistics.interval import (
    ACTION, ALREADY, BEYOND, CONTROL_CHART, DAYS_A_MONTH, GOOD_IN_A_ROW, JUMPED, KEEP, LEAST,
    LENGTHEN, MOST, NEVER, NO_REPORT, NOT_YET, ONE_METHOD, SHARED, SHORTEN, SHORTEST, SPAN,
    STAIRCASE, STAIRCASE_ALONE, UNTIL, WARNING, WITHIN, Bounds, Chart, Conclusion, Finding, Steps,
    Suggestion, chart, conclusion, control_chart, outlying, staircase)
from builder.compute.statistics.trend import TOO_FEW, DatedError, fitted, predicted

YEAR = 365.2425


def found(*worst, days=None):
    return [Finding(one, days) for one in worst]


# ---------------------------------------------------------------- staircase

@pytest.mark.parametrize("worst, current, months, action, code, bound", [
    ((), 12, 12, KEEP, NO_REPORT, None),
    ((30,), 12, 12, KEEP, NOT_YET, None),
    ((30, 40), 12, 15, LENGTHEN, GOOD_IN_A_ROW, None),
    ((30, 50), 12, 12, KEEP, NOT_YET, None),            # under, not at
    ((60, 40), 12, 12, KEEP, NOT_YET, None),
    ((101, 20, 30), 12, 15, LENGTHEN, GOOD_IN_A_ROW, None),
    ((20, 30, 100), 12, 12, KEEP, NOT_YET, None),       # at its tolerance it is within
    ((20, 30, 100.5), 12, 8, SHORTEN, BEYOND, None),    # 8.4
    ((20, math.inf), 12, 8, SHORTEN, BEYOND, None),
    ((20, 30), 3, 4, LENGTHEN, GOOD_IN_A_ROW, None),    # 3.75: by a month at least
    ((20, 30), 30, 36, LENGTHEN, GOOD_IN_A_ROW, MOST),  # 37
    ((20, 30), 36, 36, KEEP, GOOD_IN_A_ROW, MOST),
    ((150,), 4, 3, SHORTEN, BEYOND, LEAST),
    ((150,), 3, 3, KEEP, BEYOND, LEAST),
    ((70,), 48, 36, SHORTEN, NOT_YET, MOST),
    ((70,), 1, 3, LENGTHEN, NOT_YET, LEAST),
])
def test_staircase(worst, current, months, action, code, bound):
    """Longer by 25 % after two good reports in a row, shorter by 30 % after one beyond tolerance,
    else as it was."""
    said = staircase(reports=found(*worst), current=current)
    assert (said.months, said.action, said.code, said.bound,
            said.current) == (months, action, code, bound, current)


def test_good_counts_only_after_the_interval():
    """Two good reports within a week lengthen nothing; eleven months of twelve do; of a longer
    interval both have to be as long."""
    assert staircase(reports=found(10, 10, days=7), current=12).code == NOT_YET
    assert staircase(reports=found(10, 10, days=11 * DAYS_A_MONTH),
                     current=12).code == GOOD_IN_A_ROW
    assert staircase(reports=found(10, 10, days=365), current=15).code == NOT_YET


def test_staircase_gives_its_numbers():
    assert staircase(reports=found(20, 30),
                     current=12).facts == {"worst": 30, "good": 50.0, "row": 2, "needed": 2,
                                           "share": 0.25}


def test_own_steps():
    said = staircase(reports=found(20, 30, 35), current=10,
                     steps=Steps(good=40, in_a_row=3, longer=0.5), bounds=Bounds(6, 24))
    assert (said.months, said.code) == (15, GOOD_IN_A_ROW)


@given(st.lists(st.floats(0, 300), max_size=6), st.integers(3, 36))
def test_staircase_stays_in_bounds_and_moves_the_right_way(worst, current):
    """3 to 36 months; never longer after an error beyond tolerance, never shorter without one."""
    said = staircase(reports=found(*worst), current=current)
    assert 3 <= said.months <= 36
    if worst and worst[-1] > 100:
        assert said.months < current or current == 3
    else:
        assert said.months >= current


# ---------------------------------------------------------------- control chart

def yearly(*errors, every=YEAR):
    return [DatedError(739_000 + every * n, y) for n, y in enumerate(errors)]


def test_chart_by_hand():
    """1, 2, 3, 4, 5: mean 3, s² = 10/4."""
    made = chart(errors=[1, 2, 3, 4, 5])
    assert (made.n, made.mean, made.deviation) == (5, 3, pytest.approx(math.sqrt(2.5)))
    assert made.lines(2) == pytest.approx((3 - 2 * math.sqrt(2.5), 3 + 2 * math.sqrt(2.5)))
    assert made.action == pytest.approx((3 - 3 * math.sqrt(2.5), 3 + 3 * math.sqrt(2.5)))


def test_chart_of_equal_readings():
    """The deviation of rounded readings is r/√12 at least; of fewer than two there is none."""
    assert chart(errors=[7, 7, 7], resolution=6).deviation == pytest.approx(6 / math.sqrt(12))
    assert chart(errors=[7]) is None


@pytest.mark.parametrize("value, place", [(3, WITHIN), (5, WITHIN), (5.1, WARNING), (0.5, WARNING),
                                          (6.1, ACTION), (-7, ACTION)])
def test_places_on_a_chart(value, place):
    assert Chart(9, 3.0, 1.0).place(value) == place


def test_too_few():
    said = control_chart(readings=yearly(1, 2, 3, 4), current=12)
    assert (said.months, said.action, said.code,
            said.facts) == (12, KEEP, TOO_FEW, {"n": 4, "needed": 5})


def test_after_an_adjustment_it_begins_again():
    """Six readings, but four since the adjustment."""
    readings = yearly(1, 2, 3, 4, 5, 6)
    assert control_chart(readings=readings, adjusted_at=[readings[1].x], current=12).facts["n"] == 4


def test_steady_meter():
    """No drift and a small spread: as long as is allowed."""
    said = control_chart(readings=yearly(10, 11, 9, 10, 10), current=12)
    assert (said.months, said.action, said.code, said.bound) == (36, LENGTHEN, UNTIL, MOST)


def test_exact_readings_never_leave():
    said = control_chart(readings=yearly(10, 10, 10, 10, 10), current=12)
    assert (said.months, said.code, said.bound) == (36, NEVER, MOST) and "days" not in said.facts


def test_drifting_meter():
    """The suggestion is the last whole month before the prediction interval leaves the
    tolerance."""
    readings = yearly(0, 22, 39, 61, 78)
    said = control_chart(readings=readings, current=12)
    assert (said.code, said.action) == (UNTIL, SHORTEN) and 3 < said.months < 12
    fit = fitted(points=readings)
    ahead = [predicted(fit=fit, x=fit.last + DAYS_A_MONTH * months)[1]
             for months in (said.months, said.months + 1)]
    assert ahead[0] <= 100 < ahead[1]
    assert said.facts["slope"] == pytest.approx(19.5)


def test_drift_down_is_drift():
    up, down = (control_chart(readings=yearly(*(sign * y for y in (0, 22, 39, 61, 78))), current=12)
                for sign in (1, -1))
    assert up.months == down.months


def test_prediction_beyond_already():
    said = control_chart(readings=yearly(0, 60, -50, 80, 70), current=12)
    assert (said.months, said.action, said.code) == (3, SHORTEN, ALREADY)


def test_no_farther_ahead_than_back():
    """Five monthly readings lengthen no interval beyond what they span, and shorten none for it."""
    def held(said):
        return said.months, said.bound
    monthly = yearly(10, 11, 9, 10, 10, every=DAYS_A_MONTH)
    assert held(control_chart(readings=monthly, current=3)) == (4, SPAN)
    assert held(control_chart(readings=monthly, current=12)) == (12, SPAN)


def test_a_jump_lengthens_nothing():
    """A last reading far outside of those before it isn't drift; among a hundred points one as far
    is no wonder."""
    readings = yearly(1, 2, 1, 2, 1, 2, 9)
    said = control_chart(readings=readings, current=12)
    assert (said.months, said.action, said.code, said.facts["last"]) == (12, KEEP, JUMPED, 9)
    assert control_chart(readings=readings, current=12, among=100).code == UNTIL


@pytest.mark.parametrize("n", [3, 5, 20])
def test_outlying_is_as_rare_as_it_says(n):
    """Against the quantile of Student's distribution by SciPy: an error just inside and one just
    outside."""
    before = Chart(n, 10.0, 2.0)
    for among in (1, 91):
        far = stats.t.ppf(1 - 0.0027 / among / 2, n - 1) * 2.0 * math.sqrt(1 + 1 / n)
        for sign in (1, -1):
            assert not outlying(before=before, value=10 + sign * far * 0.9999, among=among)
            assert outlying(before=before, value=10 + sign * far * 1.0001, among=among)


@given(st.lists(st.floats(-150, 150), max_size=9), st.integers(3, 36), st.sampled_from([0.0, 5.0]))
def test_control_chart_stays_in_bounds(errors, current, resolution):
    """3 to 36 months, and the same for the mirror image."""
    up, down = (control_chart(readings=yearly(*(sign * e for e in errors)), current=current,
                              resolution=resolution) for sign in (1, -1))
    assert 3 <= up.months <= 36 and (up.months, up.code) == (down.months, down.code)
    assert (up.action == KEEP) == (up.months == current)


def test_a_suggestion_names_its_method():
    """Whatever comes of it."""
    for worst in ((), (30,), (30, 40), (150,)):
        assert staircase(reports=found(*worst), current=12).method == STAIRCASE
    for errors in ((1,), (10, 11, 9, 10, 10), (10,) * 5, (0, 60, -50, 80, 70),
                   (1, 2, 1, 2, 1, 2, 9)):
        assert control_chart(readings=yearly(*errors), current=12).method == CONTROL_CHART


def test_what_a_staircase_found_beyond_or_not_yet_good():
    """The worst error and the step, or how many good reports are needed."""
    assert staircase(reports=found(20, 150), current=12).facts == {"worst": 150, "share": 0.30}
    assert staircase(reports=found(20, 60),
                     current=12).facts == {"worst": 60, "good": 50.0, "row": 0, "needed": 2}


@pytest.mark.parametrize("current, shorter, months",
                         [(10, 0.30, 7), (20, 0.05, 19), (12, 0.01, 11), (10, 0.10, 9),
                          (30, 0.20, 24), (12, 0.0, 11)])
def test_shorter_by_a_month_at_least_and_by_the_whole_step(current, shorter, months):
    """10 less 30 % is 7, although 10·(1 − 0.3) is a little less in binary; a tiny step is a
    month."""
    assert staircase(reports=found(150), current=current,
                     steps=Steps(shorter=shorter)).months == months


def test_a_report_that_came_just_when_it_counts():
    """At nine tenths of the interval, both included."""
    assert staircase(reports=found(10, 10, days=0.9 * 12 * DAYS_A_MONTH),
                     current=12).code == GOOD_IN_A_ROW


def test_a_suggestion_that_is_just_the_least():
    """Nothing held it back."""
    # 3.5, so 3
    assert staircase(reports=found(150), current=5, bounds=Bounds(3, 36)).bound is None
    assert staircase(reports=found(10, 10), current=12, bounds=Bounds(3, 15)).bound is None


def test_two_errors_make_a_chart():
    """1 and 3: mean 2, s² = 2; without a resolution nothing is added."""
    made = chart(errors=[1, 3])
    assert (made.n, made.mean, made.deviation) == (2, 2, pytest.approx(math.sqrt(2)))
    assert chart(errors=[7, 7]).deviation == 0


def test_the_lines_of_a_chart_belong_to_what_is_within():
    """At two and at three deviations, with a deviation that isn't 1."""
    made = Chart(9, 1.0, 2.0)
    assert [made.place(x) for x in (5.0, 5.01, 7.0, 7.01, -3.0, -5.0, -5.01)] == [
        WITHIN, WARNING, WARNING, ACTION, WITHIN, WARNING, ACTION]


@pytest.mark.parametrize("errors, code",
                         [((0, 22, 39, 61, 78), UNTIL), ((0, 60, -50, 80, 70), ALREADY),
                          ((1, 2, 1, 2, 1, 2, 9), JUMPED)])
@pytest.mark.parametrize("probability, resolution", [(0.95, 0.0), (0.8, 12.0)])
def test_the_numbers_of_a_control_chart(errors, code, probability, resolution):
    """Fit and prediction by another route (numpy and SciPy), the chart of all but the last, all as
    the suggestion's facts."""
    readings = yearly(*errors)
    said = control_chart(readings=readings, current=12, probability=probability,
                         resolution=resolution)
    x, y = np.array([r.x for r in readings]) - readings[0].x, np.array(errors, float)
    n = len(x)
    slope, at_0 = np.polyfit(x, y, 1)
    floor = resolution / math.sqrt(12)
    residual = max(math.sqrt(((y - at_0 - slope * x) ** 2).sum() / (n - 2)), floor)
    half = stats.t.ppf((1 + probability) / 2,
                       n - 2) * residual * math.sqrt(
                           1 + 1 / n + (x[-1] - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
    middle = at_0 + slope * x[-1]
    wanted = {"n": n, "slope": slope * YEAR, "residual": residual, "from": middle - half,
              "to": middle + half, "probability": probability,
              "mean": y[:-1].mean(), "deviation": max(y[:-1].std(ddof=1), floor)}
    facts = dict(said.facts)
    if said.code == UNTIL:
        days = facts.pop("days")
        ahead = x[-1] + days
        edge = at_0 + slope * ahead + stats.t.ppf(
            (1 + probability) / 2,
            n - 2) * residual * math.sqrt(1 + 1 / n + (ahead - x.mean()) ** 2
                                          / ((x - x.mean()) ** 2).sum())
        assert edge == pytest.approx(100, rel=1e-6)
    if said.code == JUMPED:
        assert (facts.pop("last"), facts.pop("days") > 0) == (9, True)
    if (probability, resolution) == (0.95, 0.0):
        assert said.code == code
    assert facts == pytest.approx(wanted)


def test_an_interval_that_stays_or_is_just_what_the_readings_span_was_not_held_back():
    """Monthly readings of many slopes: the span holds back only what goes beyond the interval of
    today and beyond itself."""
    seen = set()
    for tenths in range(5, 400):
        # 4 months
        readings = yearly(*(50 + n * tenths / 20 + (-1) ** n / 10 for n in range(5)),
                          every=DAYS_A_MONTH)
        free = control_chart(readings=readings, current=36, bounds=Bounds(1, 36))
        if free.code == UNTIL and free.bound is None:
            again = control_chart(readings=readings, current=free.months, bounds=Bounds(1, 36))
            assert (again.months, again.bound) == (free.months, None)
            seen.add(free.months > 4)
            if free.months == 4:
                assert control_chart(readings=readings, current=2,
                                     bounds=Bounds(1, 36)).bound is None
                seen.add("span")
    assert seen == {True, False, "span"}


def test_the_uncertainty_of_the_readings_shortens():
    """Never longer with more of it; without any as before."""
    months = [control_chart(readings=yearly(0, 5, 11, 14, 21), current=12, expanded=U).months
              for U in (0.0, 50.0, 70.0, 75.0)]
    assert months == sorted(months, reverse=True) and months[0] > months[2] > months[3]
    assert months[0] == control_chart(readings=yearly(0, 5, 11, 14, 21), current=12).months


# ---------------------------------------------------------------- one conclusion

@pytest.mark.parametrize("stairs, charted, shared, months, action, code", [
    (15, 30, False, 15, LENGTHEN, SHORTEST), (15, 20, True, 12, KEEP, SHARED),
    (15, None, False, 12, KEEP, ONE_METHOD), (15, None, True, 12, KEEP, SHARED),
    (12, 36, False, 12, KEEP, SHORTEST), (15, 12, False, 12, KEEP, SHORTEST),
    (12, 5, False, 5, SHORTEN, SHORTEST), (8, 36, True, 8, SHORTEN, SHORTEST),
    (8, None, False, 8, SHORTEN, STAIRCASE_ALONE), (12, None, False, 12, KEEP, STAIRCASE_ALONE)])
def test_the_cautious_conclusion(stairs, charted, shared, months, action, code):
    """The shorter; longer by both alone, and never while points drift together."""
    def one(method, suggested):
        return Suggestion(method=method, action=KEEP, months=suggested, current=12, code="")
    assert conclusion(staircase=one(STAIRCASE, stairs),
                      chart=None if charted is None else one(CONTROL_CHART, charted),
                      shared_drift=shared) == Conclusion(action, months, 12, code)
