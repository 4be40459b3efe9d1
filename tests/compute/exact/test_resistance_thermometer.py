"""Platinum thermometers: the function of IEC 60751 and its inverse, against the printed table, by
another arithmetic, and by its own definition."""

from decimal import Decimal, localcontext
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.points import Refused
from builder.compute.exact.resistance_thermometer import (SPAN, TYPES, resistance, sensitivity,
                                                          step, temperature, to_set)

A, B, C = Decimal("3.9083e-3"), Decimal("-5.775e-7"), Decimal("-4.183e-12")
GRAIN = F(1, 10**6)
hundredths = st.integers(-20_000, 85_000).map(lambda n: F(n, 100))
kinds = st.sampled_from(sorted(TYPES))


@given(hundredths)
def test_by_another_arithmetic(t):
    """The three powers summed in decimals of 60 figures; ten times as much for ten times R0."""
    with localcontext(prec=60):
        x = Decimal(t.numerator) / t.denominator
        ratio = 1 + A * x + B * x * x + (C * (x - 100) * x * x * x if x < 0 else 0)
    assert resistance(kind="Pt100", celsius=t) == F(ratio) * 100
    assert resistance(kind="Pt1000", celsius=t) == 10 * resistance(kind="Pt100", celsius=t)


@given(st.integers(0, 85_000).map(lambda n: F(n, 100)))
def test_the_inverse_by_the_roots_of_the_square(t):
    """At 0 °C and above R(t) is a square, with t = (−A + √(A² − 4B(1 − R/R0)))/2B."""
    ohms = round(resistance(kind="Pt100", celsius=t), 3)
    with localcontext(prec=60):
        ratio = Decimal(ohms.numerator) / ohms.denominator / 100
        root = (-A + (A * A - 4 * B * (1 - ratio)).sqrt()) / (2 * B)
        if root < 0:   # the rounding left the part that is a square
            return
    assert abs(temperature(kind="Pt100", ohms=ohms) - F(root)) <= GRAIN / 2


@given(kinds, st.fractions(0, 1))
def test_the_inverse_is_the_nearest_grain(kind, share):
    """R half a grain below is at most what was asked, half a grain above it is more."""
    low, high = (resistance(kind=kind, celsius=end) for end in SPAN)
    ohms = low + share * (high - low)
    t = temperature(kind=kind, ohms=ohms)
    assert t % GRAIN == 0 and SPAN[0] <= t <= SPAN[1]
    assert t == SPAN[0] or resistance(kind=kind, celsius=t - GRAIN / 2) <= ohms
    assert t == SPAN[1] or ohms < resistance(kind=kind, celsius=t + GRAIN / 2)


@given(kinds, hundredths)
def test_there_and_back(kind, t):
    assert temperature(kind=kind, ohms=resistance(kind=kind, celsius=t)) == t


@pytest.mark.parametrize("kind", TYPES)
def test_it_rises_and_its_slope_is_a_difference(kind):
    """Every degree of the span: more ohms than the one before, and a slope that a difference
    quotient over 2 mK has too."""
    degrees = range(int(SPAN[0]), int(SPAN[1]) + 1)
    ohms = [resistance(kind=kind, celsius=F(t)) for t in degrees]
    assert all(a < b for a, b in zip(ohms, ohms[1:], strict=False))
    h = F(1, 1000)
    for t in degrees[1:-1]:
        slope = (resistance(kind=kind, celsius=t + h) - resistance(kind=kind, celsius=t - h)) / (
            2 * h)
        assert sensitivity(kind=kind, celsius=F(t)) == pytest.approx(slope, rel=1e-6)


@given(kinds, hundredths, st.integers(0, 500).map(lambda n: F(n, 1000)))
def test_what_is_set_is_what_is_left_of_the_leads(kind, t, beside):
    """On the grid of the box, within half a step of R(t) less what is beside it."""
    ohms = to_set(kind=kind, celsius=t, beside=beside)
    assert ohms % step(kind=kind) == 0
    assert abs(ohms + beside - resistance(kind=kind, celsius=t)) <= step(kind=kind) / 2


@pytest.mark.parametrize("kind", TYPES)
def test_outside_the_span(kind):
    for t in (SPAN[0] - F(1, 100), SPAN[1] + F(1, 100)):
        with pytest.raises(Refused, match="outside-thermocouple"):
            resistance(kind=kind, celsius=t)
    for ohms in (resistance(kind=kind, celsius=SPAN[0]) - F(1, 1000),
                 resistance(kind=kind, celsius=SPAN[1]) + F(1, 1000)):
        with pytest.raises(Refused, match="outside-resistances"):
            temperature(kind=kind, ohms=ohms)
