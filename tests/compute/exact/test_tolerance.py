"""T = |x|·(percent of reading)/100 + counts·r + F·(percent of range)/100 + fixed, exactly."""

import random
from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.tolerance import Accuracy, degrees_beyond, growth, line
from tests.compute.exact.tables import acc

decimals = st.decimals(-10_000, 10_000, places=6, allow_nan=False, allow_infinity=False).map(F)
positive = decimals.map(abs)


def independent(x, reading, counts, resolution, base, of_range, fixed, factor):
    """The formula with the terms one after another, over a common denominator of whole numbers."""
    total = F(0)
    total += F(abs(x).numerator * reading.numerator, abs(x).denominator * reading.denominator * 100)
    total += F(counts.numerator * resolution.numerator, counts.denominator * resolution.denominator)
    total += F(base.numerator * of_range.numerator, base.denominator * of_range.denominator * 100)
    total += fixed
    return F(total.numerator * factor.numerator, total.denominator * factor.denominator)


@given(decimals, positive, positive, positive, positive, positive, positive, positive)
def test_tolerance_is_the_exact_sum_of_its_terms(
        x, reading, counts, resolution, base, of_range, fixed, factor):
    """The tolerance is the exact sum of the terms, whatever the numbers."""
    found = line(accuracy=Accuracy(reading, counts, of_range, fixed), resolution=resolution,
                 base=base, growth=factor)
    assert found.at(x) == independent(x, reading, counts, resolution, base, of_range, fixed, factor)


@pytest.mark.thorough
def test_tolerance_over_thousands_of_data_sheet_points():
    """Five thousand points as data sheets have them agree with the independent sum, without any
    rounding."""
    rng = random.Random(20_000)
    for _ in range(5000):
        resolution = F(rng.choice((1, 2, 5)), 10 ** rng.randint(0, 9))
        base = resolution * rng.choice((2000, 6000, 20_000, 60_000))
        x = resolution * rng.randint(-60_000, 60_000) / rng.choice((1, 2, 3, 7))
        terms = F(rng.randint(0, 500), 100), F(rng.randint(0, 100),
                                               10), F(
                                                   rng.randint(0, 100),
                                                   1000), resolution * rng.randint(0, 9) / 4
        factor = 1 + F(rng.randint(0, 200), 100)
        found = line(accuracy=Accuracy(*terms), resolution=resolution, base=base, growth=factor)
        assert found.at(x) == independent(x, terms[0], terms[1], resolution, base, terms[2],
                                          terms[3], factor)


@given(positive, positive, positive, positive)
def test_tolerance_is_a_straight_line_and_even(x, y, reading, counts):
    """T is slope·|x| + offset: the same on both sides of zero, and halfway between two points it is
    their mean."""
    found = line(accuracy=Accuracy(reading, counts), resolution=F(1, 1000), base=F(6))
    assert found.at(-x) == found.at(x) == found.slope * x + found.offset
    assert found.at((x + y) / 2) == (found.at(x) + found.at(y)) / 2


@pytest.mark.parametrize("accuracy, x, resolution, base, expected", [
    (acc("0.4", "2"), "3", "0.001", "6", "0.014"),
    (acc("0.5", "3"), "0.54", "0.0001", "0.6", "0.003"),
    (acc("0.05", of_range="0.01"), "1.5", "0.0001", "2", "0.00095"),
    (acc("1", fixed="0.0002"), "0.3", "0.0001", "0.6", "0.0032"),
    (acc(of_range="1"), "3", "0.01", "20", "0.2"),          # of a base other than the range's name
    (acc("0.005", fixed="0.00002"), "1", "0.00001", "2", "0.00007"),  # 50 ppm + 20 µV
    (acc("10", "1"), "2", "0.01", "3", "0.21"),
    (acc(counts="0.5"), "2", "0.01", "3", "0.005"),
])
def test_tolerance_by_hand(accuracy, x, resolution, base, expected):
    """Tolerances worked out by hand."""
    assert line(accuracy=accuracy, resolution=F(resolution), base=F(base)).at(F(x)) == F(expected)


@pytest.mark.parametrize("ambient, degrees", [
    (("18", "28"), "0 0"), (("20", "26"), "0 0"), (("18", "30"), "0 0"), (("28", "30"), "0 0"),
    (("15", "18"), "0 0"), (("29", "31"), "0 1"), (("28.5", "40"), "0 0.5"), (("5", "15"), "3 0"),
    (("-10", "17.9"), "0.1 0"), (("10", "40"), "0 0"),
])
def test_degrees_beyond_is_that_of_the_nearest_point(ambient, degrees):
    """The tightest limit within the ambient band rules, so the point of it nearest to the reference
    band counts: below it, or above it."""
    assert degrees_beyond(ambient=tuple(map(F, ambient)), reference=(F(18), F(28))) == (
        tuple(map(F, degrees.split())))


def test_growth_has_no_jump_at_the_edge_of_the_band():
    """The accuracy at the band's edge is the same from both sides, and beyond it grows by the same
    step each tenth of a degree."""
    reference, coefficient = (F(18), F(28)), F("0.1")

    def at(degrees):
        return growth(coefficient=coefficient,
                      degrees=sum(degrees_beyond(ambient=(degrees, degrees), reference=reference)))
    assert at(F(28)) == at(F(18)) == at(F(23)) == 1
    tenths = [at(F(280 + k, 10)) for k in range(150)]
    assert {b - a for a, b in pairwise(tenths)} == {F("0.01")}
    tenths = [at(F(180 - k, 10)) for k in range(150)]
    assert {b - a for a, b in pairwise(tenths)} == {F("0.01")}
    assert at(F(38)) == 2


@given(positive, positive)
def test_growth_follows_the_meters_own_coefficient(coefficient, degrees):
    """Nothing but the coefficient of the meter's file decides how fast the accuracy grows."""
    assert growth(coefficient=coefficient, degrees=degrees) == 1 + coefficient * degrees
    assert growth(coefficient=F(0), degrees=degrees) == 1
