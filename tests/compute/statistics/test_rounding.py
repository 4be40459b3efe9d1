"""Rounding cells against displays that round, count by count and by simulation."""

import math
import random
from fractions import Fraction as F

import numpy as np
import pytest

from builder.compute.statistics.rounding import cells, of_difference


def shown(value: F, step: F) -> F:
    return math.floor(value / step + F(1, 2)) * step


def test_cells_are_the_errors_that_are_shown_so():
    """By the definition: of errors on a grid of a 97th of a step, a display that rounds what is
    applied and the error shows an accepted reading of just those between the ends."""
    chance = random.Random(1)
    for _ in range(60):
        step = F(chance.choice((1, 2, 5)), 10 ** chance.randrange(4))
        applied = F(chance.randrange(-5000, 5000), 1000) * step
        low = math.floor(applied / step) - chance.randrange(5)
        high = low + chance.randrange(9)
        start, end = cells(lowest=low * step - applied, highest=high * step - applied, step=step)
        for n in range(-8 * 97, 8 * 97, 5):
            error = n * step / 97
            accepted = low * step <= shown(applied + error, step) <= high * step
            assert accepted is (start < float(error) < end) or min(
                abs(float(error) - start), abs(float(error) - end)) < 1e-9 * float(step)


def test_a_display_without_a_minus_shows_all_below_as_its_lowest():
    """0 to 3 counts at 0: whatever is under 3.5 counts."""
    assert cells(lowest=F(0), highest=F(3), step=F(1), hides_below=True) == (-math.inf, 3.5)


@pytest.mark.parametrize("own, other, step", [
    ("1", "1", "1"), ("1", "0.1", "0.1"), ("0.1", "1", "0.1"), ("0.2", "0.05", "0.05"),
    ("0.02", "0.05", "0.01"), ("5", "2", "1")])
def test_the_steps_of_a_difference(own, other, step):
    """The largest step that both are multiples of, and as much variance as both roundings have."""
    found, blur = of_difference(own=F(own), other=F(other))
    assert found == F(step)
    assert blur ** 2 / 3 + float(found) ** 2 / 12 == pytest.approx(
        (float(F(own)) ** 2 + float(F(other)) ** 2) / 12)


@pytest.mark.parametrize("own, other", [(1.0, 1.0), (1.0, 0.1), (0.1, 1.0), (1.0, 0.5)])
def test_a_difference_of_two_readings_by_simulation(own, other):
    """What is taken off lies anywhere on both grids. Of 200 000 seeded draws at each place the
    share with a difference of at most 3 is that of a cell whose edge is blurred evenly."""
    chance = np.random.default_rng(3)
    step, blur = of_difference(own=F(str(own)), other=F(str(other)))
    _, edge = cells(lowest=F(-3), highest=F(3), step=step)
    for above in np.linspace(2.0, 4.2, 23):
        off = chance.uniform(0, 1000, 200_000)
        difference = (np.floor((above + off) / own + 0.5) * own
                      - np.floor(off / other + 0.5) * other)
        share = np.mean(difference <= 3 + 1e-9)
        evenly = np.clip((edge + blur - above) / (2 * blur), 0, 1)
        assert share == pytest.approx(evenly, abs=0.006), above


def test_a_difference_of_unlike_steps_by_simulation():
    """Steps of 0.2 and 0.5, of which neither is a multiple of the other: on the whole the edge is
    as wide, though not as even."""
    chance = np.random.default_rng(4)
    step, blur = of_difference(own=F("0.2"), other=F("0.5"))
    _, edge = cells(lowest=F(-3), highest=F(3), step=step)
    above, off = chance.uniform(2, 4, 2 * 10**6), chance.uniform(0, 1000, 2 * 10**6)
    difference = np.floor((above + off) / 0.2 + 0.5) * 0.2 - np.floor(off / 0.5 + 0.5) * 0.5
    passed = above[difference <= 3 + 1e-9]
    # the area under the edge, and its second moment, as those of an even one
    assert 2 + 2 * len(passed) / len(above) == pytest.approx(edge, abs=0.004)
    beyond = np.mean((above - 2) * (difference <= 3 + 1e-9)) * 2
    assert beyond == pytest.approx(((edge - 2) ** 2 + blur ** 2 / 3) / 2, abs=0.004)
