"""What points of a meter share: against SciPy and the definition, and how often nothing is called
something."""

import math
import random
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from builder.compute.statistics.shared import PointSeries, gain, holm, shared_drift

DAYS = [739_000.0 + 365 * n for n in range(6)]


# ---------------------------------------------------------------- many tests at once

@given(st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_holm_is_the_closure_of_bonferroni(chances):
    """By its definition: a hypothesis counts at the largest Bonferroni chance of any set of
    hypotheses that it is in."""
    everyone = range(len(chances))
    closed = [max(min(1.0, len(own) * min(chances[n] for n in own))
                  for size in range(1, len(chances) + 1)
                  for own in combinations(everyone, size) if one in own) for one in everyone]
    assert holm(chances) == pytest.approx(closed)


def test_holm_by_hand():
    """0.01 four times, 0.02 three times, 0.03 twice is no less, 0.9 stays; nothing of nothing."""
    assert holm([0.9, 0.02, 0.01, 0.03]) == pytest.approx((0.9, 0.06, 0.04, 0.06))
    assert holm([]) == ()


# ---------------------------------------------------------------- points of one meter

def series(errors_of, allowed=(1e-3, 2e-3, 5e-4, 1e-3), ranges="AABC", rounding=0.0):
    """Four points on three ranges; `errors_of(point, year)`."""
    return [PointSeries(range=name, allowed=share, rounding=rounding,
                        errors={day: errors_of(n, year) for year, day in enumerate(DAYS)})
            for n, (name, share) in enumerate(zip(ranges, allowed, strict=True))]


def drifting(seed, ppm_a_year=0.0, common=2e-6, own=1e-5, only=None):
    """Errors with a scatter that all points of a record share, and one of each point's own."""
    chance = random.Random(seed)
    shared = [chance.gauss(0, common) for _ in DAYS]
    own_now = [[chance.gauss(0, own) for _ in DAYS] for _ in range(4)]
    return series(lambda n, year: 3e-4 * n + shared[year] + own_now[n][year]
                  + (ppm_a_year * 1e-6 * year if only in (None, n) else 0))


def test_a_gain_is_the_mean_by_the_tolerances():
    """By hand: weights 1, 1/4, 4 and 1 of 10, 20, 30 and 40 ppm."""
    made = series(lambda n, year: (n + 1) * 1e-5)
    assert gain(points=made, day=DAYS[0]) == pytest.approx((10 + 5 + 120 + 40) / 6.25 * 1e-6)


def test_a_shared_drift_as_scipy_has_it():
    """The line through the gains, and the largest of the chances without each range."""
    points = drifting(1, 20)
    found = shared_drift(points)

    def line(own):
        weights = [1 / one.allowed ** 2 for one in own]
        gains = [sum(w * one.errors[day] for w, one in zip(weights, own, strict=True))
                 / sum(weights) for day in DAYS]
        return stats.linregress(DAYS, gains)
    whole = line(points)
    assert (found.slope, found.u_slope) == pytest.approx((whole.slope, whole.stderr))
    assert found.chance == pytest.approx(max(
        whole.pvalue, *(line([one for one in points if one.range != name]).pvalue
                        for name in "ABC")), rel=1e-6)
    assert (found.points, found.ranges, found.records) == (4, 3, 6)
    assert found.slope * 365 == pytest.approx(20e-6, rel=0.2) and found.chance < 1e-3


def test_one_range_alone_is_nothing_shared():
    """A drift of 400 ppm a year on one range only, whichever it is, even where it counts most."""
    assert all(shared_drift(drifting(2, 400, only=n)).chance > 0.01 for n in (2, 3))


def test_what_has_an_opposite_sign_elsewhere_is_nothing_shared():
    """Where one range alone pulls the gain to its side."""
    points = series(lambda n, year: (5e-5 if n == 2 else -1e-6) * year + 1e-9 * (year % 2))
    assert shared_drift(points).chance == 1.0


def test_a_jump_of_the_last_record():
    """60 ppm at once, on all points; the chance as SciPy has it for the whole, and larger without a
    range."""
    def at(n, year):
        return 1e-6 * (-1) ** (year + n // 2) + (6e-5 if year == 5 else 0)
    found = shared_drift(series(at))
    gains = [gain(points=series(at), day=day) for day in DAYS]
    s = stats.tstd(gains[:-1])
    whole = 2 * stats.t.sf(abs(gains[-1] - sum(gains[:-1]) / 5) / s / math.sqrt(1 + 1 / 5), 4)
    assert found.jump == pytest.approx(6e-5, rel=0.05) and whole <= found.jump_chance < 0.001


@pytest.mark.parametrize("points", [
    series(lambda n, year: 0.0)[:2],                                # two points
    series(lambda n, year: 0.0, ranges="AAAA"),                     # one range
    [PointSeries(range=str(n), allowed=1e-3, errors=dict.fromkeys(DAYS[:4], 0.0))
     for n in range(3)]])                                           # four records
def test_where_nothing_can_be_said(points):
    assert shared_drift(points) is None


def test_equal_readings_share_nothing():
    """Rounded to a count or exact, they have no drift and no jump."""
    for rounding in (0.0, 1e-4):
        found = shared_drift(series(lambda n, year: 2e-4, rounding=rounding))
        assert (found.chance, found.jump_chance, found.slope) == (1.0, 1.0, 0.0)


def test_rounding_is_never_taken_for_sureness():
    """A step by a count in the middle, on every point alike: exact gains lie on no line so surely
    that counts of 100 ppm could not do it."""
    points = series(lambda n, year: 1e-4 * (year >= 3), rounding=1e-4)
    assert shared_drift(points).u_slope >= 1e-4 * 0.25 / math.sqrt(12 * 17.5) / 365


@pytest.mark.parametrize("common, own, least", [(1e-5, 1e-6, 0.04), (2e-6, 1e-5, 0.0)])
def test_false_alarms_are_as_rare_as_they_say(common, own, least):
    """2000 seeded meters that don't drift: where all points of a record scatter alike, 5 % of
    drifts and of jumps have a chance under 5 %, and fewer where each has its own scatter."""
    alarms = [shared_drift(drifting(seed, common=common, own=own)) for seed in range(2000)]
    drift = sum(one.chance <= 0.05 for one in alarms) / 2000
    jump = sum(one.jump_chance <= 0.05 for one in alarms) / 2000
    assert least <= drift < 0.065 and least <= jump < 0.065     # 5 % and three deviations at most
