"""Corrections at points and between them, against numpy's interpolation and by hand."""

import random
from fractions import Fraction as F

import numpy as np
import pytest

from builder.compute.exact.corrections import around, on_a_line


@pytest.mark.parametrize("value, expected", [
    (1, (1,)), (2, (1, 3)), (3, (3,)), (5, (3, 10)), (10, (10,)), (11, ()), (F(1, 2), (-5, 1)),
    (-2, (-5, 1)), (-5, (-5,)), (-6, ())])
def test_the_points_around_a_value(value, expected):
    """Itself, the two neighbours, or none outside; signs count."""
    assert around(points=[F(3), F(10), F(-5), F(1)], value=F(value)) == expected


def test_a_line_between_two_points():
    """At random, to 12 figures as numpy has it; and exactly at both ends and in the middle."""
    rng = random.Random(1)
    for _ in range(300):
        x1, c1, c2 = (F(rng.randint(-999, 999), 7) for _ in range(3))
        x2 = x1 + F(rng.randint(1, 999), 13)
        x = x1 + (x2 - x1) * F(rng.randint(0, 1000), 1000)
        found = on_a_line(low=(x1, c1), high=(x2, c2), value=x)
        wanted = np.interp(float(x), [float(x1), float(x2)], [float(c1), float(c2)])
        assert float(found) == pytest.approx(float(wanted), rel=1e-9, abs=1e-9)
        assert on_a_line(low=(x1, c1), high=(x2, c2), value=(x1 + x2) / 2) == (c1 + c2) / 2
        assert (on_a_line(low=(x1, c1), high=(x2, c2), value=x1),
                on_a_line(low=(x1, c1), high=(x2, c2), value=x2)) == (c1, c2)
