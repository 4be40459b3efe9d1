"""Thermocouple voltages: properties of the functions, and the exponential of type K against another
arithmetic."""

from decimal import Decimal, localcontext
from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.points import Refused
from builder.compute.exact.thermocouple import (TYPES, e_to_minus, emf, measured, sensitivity,
                                                to_apply)

FINE = F(1, 10**20)
JOINTS = [("K", 0), ("J", 760), ("N", 0), ("T", 0), ("E", 0), ("R", F("1064.18")),
          ("R", F("1664.5")), ("S", F("1064.18")), ("S", F("1664.5")), ("B", F("630.615"))]


def slope(kind: str, low: F, high: F) -> F:
    return to_apply(kind=kind, celsius=high, junction=low, step=FINE) / (high - low)


@st.composite
def inside(draw):
    """A type and two temperatures of its span, in hundredths of a degree."""
    kind = draw(st.sampled_from(sorted(TYPES)))
    low, high = TYPES[kind]
    one = st.integers(int(low) * 100, int(high) * 100).map(lambda n: F(n, 100))
    return kind, draw(one), draw(one)


@pytest.mark.thorough
@pytest.mark.parametrize("kind", TYPES)
def test_the_voltage_rises_with_the_temperature(kind):
    """Every half degree of what can be asked the voltage is higher than before, and the sensitivity
    positive."""
    low, high = measured(kind=kind)
    values = [emf(kind=kind, celsius=F(n, 2)) for n in range(int(low) * 2, int(high) * 2 + 1)]
    assert all(a < b for a, b in pairwise(values))
    assert all(sensitivity(kind=kind, celsius=F(n)) > 0 for n in range(int(low), int(high) + 1, 7))


def test_no_voltage_of_type_b_belongs_to_two_temperatures():
    """Type B falls at first: what it has from 0 to 42 °C lies below all that it has from 43 °C on,
    where it can be asked; a degree lower it couldn't. Every other type is asked over its whole
    span."""
    first = [emf(kind="B", celsius=F(t, 10)) for t in range(0, 430)]
    low, _ = measured(kind="B")
    assert low == 43 and max(first) < emf(kind="B", celsius=low)
    assert emf(kind="B", celsius=F(42)) < max(first) and min(first) < 0
    assert all(measured(kind=kind) == TYPES[kind] for kind in TYPES if kind != "B")


@given(inside())
def test_the_voltage_to_apply_is_a_difference_of_voltages(case):
    """E(T) − E(T_junction): rounded once, nothing where both are alike, the opposite where they are
    exchanged."""
    kind, hot, cold = case
    found = to_apply(kind=kind, celsius=hot, junction=cold)
    assert abs(found - (emf(kind=kind, celsius=hot) - emf(kind=kind, celsius=cold))) <= F(
        1, 2 * 10**6) + F(1, 10**12)
    assert (found * 10**6).denominator == 1
    assert to_apply(kind=kind, celsius=cold, junction=hot) == -found
    assert to_apply(kind=kind, celsius=hot, junction=hot) == 0
    assert to_apply(kind=kind, celsius=hot, junction=F(0),
                    step=F(1, 10**12)) == emf(kind=kind, celsius=hot)


@pytest.mark.parametrize("kind", TYPES)
def test_the_voltage_to_apply_is_never_that_of_the_difference(kind):
    """E(T − T_junction) is another voltage, by more than 10 µV at 400 °C and a junction at 23
    °C."""
    assert abs(to_apply(kind=kind, celsius=F(400),
                        junction=F(23)) - emf(kind=kind, celsius=F(377))) > F(1, 10**5)


@pytest.mark.parametrize("step, expected",
                         [("0.000001", "0.003177"), ("0.00001", "0.00318"),
                          ("0.000002", "0.003176"), ("0.001", "0.003")])
def test_the_step_of_the_source(step, expected):
    """3.17695 mV (type K, 100 °C, junction at 23 °C) on the grid of what a source can be set to."""
    assert to_apply(kind="K", celsius=F(100), junction=F(23), step=F(step)) == F(expected)


def test_a_tie_goes_to_the_even_step():
    """Half a step rounds to the even neighbour on either side."""
    exact = to_apply(kind="J", celsius=F(100), junction=F(0), step=F(1, 10**60))
    for odd in (1, 3, 5, 7):
        half = exact / odd * 2  # the value is odd/2 steps
        assert to_apply(kind="J", celsius=F(100), junction=F(0),
                        step=half) / half == {1: 0, 3: 2, 5: 2, 7: 4}[odd]


@pytest.mark.parametrize("kind, at", JOINTS)
def test_the_polynomials_meet(kind, at):
    """At its joint a function has no step: a billionth of a degree above, it is higher by less than
    a tenth of a nanovolt."""
    step = to_apply(kind=kind, celsius=at + F(1, 10**9), junction=F(at), step=FINE)
    assert abs(step) < F(1, 10**10)


@pytest.mark.parametrize("kind, at", JOINTS)
def test_the_slopes_meet_but_for_type_n(kind, at):
    """At its joint the derivative is the same from both sides to a millionth of itself, but for
    type N, whose published polynomials differ there by 0.23 µV per degree."""
    below, above = sensitivity(kind=kind,
                               celsius=F(at)), sensitivity(kind=kind, celsius=at + F(1, 10**9))
    if kind == "N":
        assert below - above == pytest.approx(0.2297e-6, rel=1e-3)
    else:
        assert abs(above - below) < below / 10**6


@given(inside())
def test_the_sensitivity_is_the_derivative(case):
    """A difference quotient over a fiftieth of a degree has the same value, anywhere but across a
    joint or an end."""
    kind, at, _ = case
    h = F(1, 100)
    low, high = TYPES[kind]
    if low < at < high and (kind, at) not in JOINTS:
        assert abs(slope(kind, at - h, at + h) - sensitivity(kind=kind, celsius=at)) < F(1, 10**12)


@given(inside())
def test_results_are_finite_decimals(case):
    """Voltages are whole picovolts and sensitivities whole femtovolts per degree, so that a page
    can print them."""
    kind, at, _ = case
    assert (emf(kind=kind, celsius=at) * 10**12).denominator == 1
    assert (sensitivity(kind=kind, celsius=at) * 10**15).denominator == 1


@pytest.mark.parametrize("kind", TYPES)
def test_outside_the_span_there_is_no_voltage(kind):
    """The ends belong to the span; beyond them, and with a junction beyond them, the answer is a
    refusal with the ends."""
    low, high = TYPES[kind]
    emf(kind=kind, celsius=low), emf(kind=kind, celsius=high)
    for beyond in (low - F(1, 100), high + F(1, 100)):
        for ask in (lambda t: emf(kind=kind, celsius=t),
                    lambda t: sensitivity(kind=kind, celsius=t),
                    lambda t: to_apply(kind=kind, celsius=t, junction=F(23)),
                    lambda t: to_apply(kind=kind, celsius=F(23), junction=t)):
            with pytest.raises(Refused) as refused:
                ask(beyond)
            assert refused.value.code == "outside-thermocouple"
            assert refused.value.facts == {"kind": kind, "low": low, "high": high,
                                           "celsius": beyond}


@given(st.integers(0, 184_000).map(lambda n: F(n, 1000)))
def test_the_exponential_in_whole_numbers(x):
    """e^(−x) over all that type K needs, against decimal arithmetic with 60 figures, to 10⁻²⁶ (10⁻⁹
    µV would need 10⁻¹⁴)."""
    with localcontext(prec=60):
        expected = F((-Decimal(x.numerator) / x.denominator).exp())
    assert abs(e_to_minus(x=x) - expected) < F(1, 10**26)


def test_the_exponential_reaches_no_further_than_it_is_good_for():
    """The largest exponent is that at the end of type K's span."""
    assert F("1.183432e-4") * (TYPES["K"][1] - F("126.9686")) ** 2 < 184
