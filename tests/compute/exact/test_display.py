"""Which readings are accepted, against a walk over every reading that a display can show."""

import random
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.display import accepted

RESOLUTIONS = [F(d, 10 ** k) for d in (1, 2, 5) for k in (0, 1, 3, 6, 9)]


def walk(x, t, r, top, shows_minus):
    """Every reading from the lowest to the highest that lies within the tolerance; whole numbers
    all along."""
    scale = x.denominator * t.denominator * r.denominator
    x, t, r = (int(v * scale) for v in (x, t, r))
    return [n for n in range(-top if shows_minus else 0, top + 1) if -t <= n * r - x <= t]


def agrees(x, t, r, top, shows_minus):
    found = accepted(low=x - t, high=x + t, resolution=r, shows_minus=shows_minus)
    walked = walk(x, t, r, top, shows_minus)
    assert list(range(found.low, found.high + 1)) == walked, (x, t, r, shows_minus)
    assert found.is_empty == (not walked)
    assert all(found.holds(n) == (n in walked) for n in range(found.low - 2, found.high + 3))


@pytest.mark.thorough
def test_accepted_readings_are_exactly_those_within_the_tolerance():
    """Over four thousand points the accepted readings are exactly those within the tolerance,
    limits on a half count, on a count, negative values and a clamp at zero included."""
    rng = random.Random(6000)
    for _ in range(4000):
        r, top = rng.choice(RESOLUTIONS), 200
        x = r * rng.randint(-80, 80) + r * rng.choice((0, 0, F(1, 2), F(1, 3), F(-1, 7)))
        t = r * rng.choice((F(0), F(1, 2), F(1), F(7, 2), F(rng.randint(0, 900), 10),
                            F(rng.randint(0, 900), 7)))
        agrees(x, t, r, top, rng.random() < 0.5 or x < 0)


def test_accepted_readings_on_a_whole_6000_count_display():
    """On a display of 6000 counts the walk over all readings of both signs finds the same."""
    rng = random.Random(5999)
    for _ in range(60):
        r = rng.choice(RESOLUTIONS)
        x = r * rng.randint(-5000, 5000)
        agrees(x, abs(x) * F(rng.randint(0, 200), 10_000) + r * F(rng.randint(0, 20), 2), r, 5999,
               True)


@given(st.fractions(-100, 100), st.fractions(0, 50), st.sampled_from(RESOLUTIONS[:6]),
       st.booleans())
def test_no_reading_outside_the_tolerance_is_ever_accepted(x, t, r, shows_minus):
    """The limits are rounded inward: both are within the tolerance, and one count further is
    outside."""
    found = accepted(low=x - t, high=x + t, resolution=r, shows_minus=shows_minus)
    if found.is_empty:
        return
    assert x - t <= found.high * r <= x + t < (found.high + 1) * r
    assert x - t <= found.low * r <= x + t
    assert found.clamped or (found.low - 1) * r < x - t


@pytest.mark.parametrize("x, t, r, minus, low, high, clamped", [
    ("1", "0.0035", "0.001", True, 997, 1003, False),  # 3.5 counts
    ("1", "0.0005", "0.001", True, 1000, 1000, False),  # half a count: the nominal reading alone
    ("1.0005", "0.0004", "0.001", True, 1001, 1000, False),  # between two readings: none
    ("-1", "0.0035", "0.001", True, -1003, -997, False),
    ("0", "0.003", "0.001", True, -3, 3, False),
    ("0", "0.003", "0.001", False, 0, 3, True),
    ("0.002", "0.003", "0.001", False, 0, 5, True),
    # −0.5 counts rounds inward to 0: no clamp needed
    ("0.002", "0.0025", "0.001", False, 0, 4, False),
    ("0.003", "0.003", "0.001", False, 0, 6, False),
    ("0.000012", "0.0000025", "0.000001", True, 10, 14, False),
    ("20000000", "250000", "10000", True, 1975, 2025, False),
])
def test_accepted_by_hand(x, t, r, minus, low, high, clamped):
    """Limits worked out by hand: on a half count, negative, around zero, clamped where no minus can
    be shown, micro and mega."""
    found = accepted(low=F(x) - F(t), high=F(x) + F(t), resolution=F(r), shows_minus=minus)
    assert (found.low, found.high, found.clamped) == (low, high, clamped)
