"""Repeated readings: mean and spread as the standard library has them, and the budget that they
join put together from its pieces once more."""

import math
import statistics
from fractions import Fraction as F

import pytest
from scipy import stats

from builder.compute.statistics.budget import NORMAL, Component, combine, rectangular
from builder.compute.statistics.repeated import mean, type_a, with_readings

READINGS = [F("5.01"), F("5.02"), F("5.00"), F("5.03")]


def test_the_mean_is_exact():
    """Of thirds too, and a Fraction whatever comes in."""
    assert mean(readings=[F(1), F(1), F(2)]) == F(4, 3) and mean(readings=READINGS) == F("5.015")
    assert isinstance(mean(readings=[1, 2]), F)


def test_the_spread_of_a_mean():
    """s/√n; a single reading says nothing of its spread."""
    assert type_a(readings=READINGS) == pytest.approx(statistics.stdev(map(float, READINGS)) / 2)
    assert type_a(readings=READINGS[:1]) == 0


@pytest.mark.parametrize("rectangles, sigma, nu",
                         [([0.01, 0.004], 0.003, 8.0), ([], 0.004, 5.0), ([0.02], 0.0, math.inf),
                          ([0.02], 0.0, 7.0), ([0.01], 0.005, math.inf), ([0.3, 0.2], 0.5, 3.0)])
@pytest.mark.parametrize("readings", [READINGS[:1], READINGS[:2], READINGS])
def test_a_budget_with_its_readings(rectangles, sigma, nu, readings):
    """The rest has ν of its own; handed over are rectangles, σ and the ν_eff of all together: the
    same u, ν and U come out of the pieces as they were."""
    pieces = [rectangular(name="r", half_width=one) for one in rectangles] + (
        [Component(name="n", value=sigma, distribution=NORMAL, divisor=1.0, degrees=nu)] if sigma
        else [])
    u2 = sum(one.contribution ** 2 for one in pieces)
    below = sigma ** 4 / nu if sigma else 0.0
    together = u2 ** 2 / below if below else nu
    spread = (statistics.stdev(map(float, readings)) / math.sqrt(len(readings)) if len(readings) > 1
              else 0.0)
    whole = pieces + ([Component(name="a", value=spread, distribution=NORMAL, divisor=1.0,
                                 degrees=float(len(readings) - 1))]
                      if spread else [])
    found, wanted = with_readings(rectangles=rectangles, normal=sigma, degrees=together,
                                  readings=readings,
                                  probability=0.9545), combine(components=whole, probability=0.9545)
    assert (found.u, found.degrees,
            found.expanded) == pytest.approx((wanted.u, wanted.degrees, wanted.expanded), rel=1e-9)
    assert found.u == pytest.approx(
        math.sqrt(sum(a ** 2 for a in rectangles) / 3 + sigma ** 2 + spread ** 2))


def test_few_readings_alone_have_students_factor():
    """Two equally wide spreads and nothing else: t for one degree of freedom."""
    found = with_readings(rectangles=[], normal=0.0, degrees=math.inf, readings=READINGS[:2],
                          probability=0.95)
    assert found.k == pytest.approx(stats.t.ppf(0.975, 1), rel=1e-6)
