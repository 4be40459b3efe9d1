"""Student's factor against another program's, over all degrees of freedom that a budget has."""

import math

import pytest
from scipy import stats

from builder.compute.statistics.student import outside, student


@pytest.mark.parametrize("probability", [0.5, 0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973, 0.9999])
def test_student_as_scipy_has_it(probability):
    """t for 1 to a million degrees of freedom agrees with scipy.stats.t."""
    for degrees in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 16, 17, 19, 20, 25, 30, 40, 50, 75, 99,
                    100, 250, 1000, 10**4, 10**6):
        assert student(degrees=degrees,
                       probability=probability) == pytest.approx(
                           stats.t.ppf((1 + probability) / 2, degrees), rel=1e-8), degrees


@pytest.mark.parametrize("probability", [0.5, 0.90, 0.95, 0.9545, 0.99])
def test_one_and_two_degrees_have_a_formula(probability):
    """ν = 1: t = tan(πp/2); ν = 2: t = p·√(2/(1 − p²)) (exact mathematics)."""
    assert student(degrees=1, probability=probability) == pytest.approx(
        math.tan(math.pi * probability / 2), rel=1e-10)
    assert student(degrees=2, probability=probability) == pytest.approx(
        probability * math.sqrt(2 / (1 - probability ** 2)), rel=1e-10)


def test_more_degrees_need_less_and_more_probability_more():
    """t falls towards the normal factor with ν, and rises with p."""
    factors = [student(degrees=n, probability=0.9545) for n in (1, 2, 2.5, 3, 5, 10, 100, 1e5)]
    assert factors == sorted(factors, reverse=True)
    assert factors[-1] == pytest.approx(2.0000, abs=1e-4)
    rising = [student(degrees=4, probability=p / 100) for p in range(5, 100, 5)]
    assert rising == sorted(rising) and rising[0] > 0


@pytest.mark.parametrize("t", [0.0, 0.3, 2.0, 5.0, 30.0, 1e4])
def test_the_chance_of_more_as_scipy_has_it(t):
    """Two-sided, with its figures where it is tiny."""
    for degrees in (1, 2, 4, 9, 48, 1000):
        assert outside(t=t, degrees=degrees) == pytest.approx(
            2 * stats.t.sf(t, degrees), rel=1e-8, abs=1e-300)
