"""Risks of a wrong verdict against published values. The sureness words are those of the project's list of check values:
*from memory* (the printed value is remembered, and a computation from the stated inputs agrees; the publication was not
open), *second hand* and *computed* (exact mathematics, or two independent numerical routes that agree; printed nowhere
that we know)."""

import pytest

from builder.compute.budget import NORMAL, Component, distribution, normal, rectangular
from builder.compute.risk import global_risks, prior_of_share, specific_at_limit


def resistors(limit: float) -> tuple[float, float]:
    """1500 Ω ± 0.2 Ω, u0 = 0.12 Ω, u_m = 0.04 Ω, with the acceptance limits at ± limit."""
    return global_risks(tolerance=(-0.2, 0.2), acceptance=(-limit, limit), u0=0.12, u=0.04)


def test_resistors():
    """JCGM 106:2012, 9.5, A = ±0.18 Ω: false accept 1 %, false reject 7 % (from memory); 0.988 and 6.903 % (computed)."""
    accept, reject = resistors(0.18)
    assert (f"{accept:.0%}", f"{reject:.0%}") == ("1%", "7%")
    assert (f"{accept:.3%}", f"{reject:.3%}") == ("0.988%", "6.903%")


@pytest.mark.parametrize("limit, accept, reject", [(0.14, "0.158%", "17.438%"), (0.16, "0.433%", "11.466%"), (0.20, "1.894%", "3.721%")])
def test_resistors_at_other_limits(limit, accept, reject):
    """The resistors of JCGM 106:2012, 9.5, with other acceptance limits (computed)."""
    assert tuple(f"{risk:.3%}" for risk in resistors(limit)) == (accept, reject)


def test_limits_may_stand_around_any_value():
    """The same resistors (JCGM 106:2012, 9.5, from memory), stated around 1500 Ω and around 0."""
    around = global_risks(tolerance=(1499.8, 1500.2), acceptance=(1499.82, 1500.18), u0=0.12, u=0.04, mean=1500.0)
    assert around == pytest.approx(resistors(0.18), abs=1e-9)


@pytest.mark.parametrize("y, u, limit, conforms", [(509.7, 8.6, 490.0, "0.989"), (-5.47, 0.05, -5.40, "0.919")])
def test_one_sided(y, u, limit, conforms):
    """JCGM 106:2012, 7.3: the probability of conforming to one limit, 0.989 above 490 for 509.7 ± 8.6, 0.919 below −5.40
    for −5.47 ± 0.05 (from memory)."""
    assert f"{distribution(x=abs(y - limit), rectangles=(), sigma=u):.3f}" == conforms


def test_two_sided():
    """JCGM 106:2012, 7.4: 13.6 with u = 1.8 lies within 12.5 to 16.3 with a probability of 0.663 (from memory)."""
    high, low = (distribution(x=limit - 13.6, rectangles=(), sigma=1.8) for limit in (16.3, 12.5))
    assert f"{high - low:.3f}" == "0.663"


def test_the_classical_four_to_one():
    """A centred prior with 95.45 % in tolerance at a test uncertainty ratio of 4, without a guard band: 0.801 and 1.485 %
    (computed), the classical 0.8 and 1.5 %."""
    u0 = prior_of_share(share=0.9545, tolerance=1.0)
    assert u0 == pytest.approx(0.5, abs=1e-5)
    risks = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=u0, u=1 / 8)
    assert tuple(f"{risk:.3%}" for risk in risks) == ("0.801%", "1.485%")


@pytest.mark.parametrize("tur, accept, reject", [
    (1, "1.801%", "12.957%"), (1.5, "1.541%", "6.625%"), (2, "1.337%", "4.178%"), (3, "1.049%", "2.294%"),
    (4, "0.858%", "1.554%"), (10, "0.406%", "0.516%")])
def test_by_test_uncertainty_ratio(tur, accept, reject):
    """A centred prior with 95 % in tolerance, u_m = U/2, no guard band, by test uncertainty ratio (computed)."""
    risks = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=prior_of_share(share=0.95, tolerance=1.0), u=1 / (2 * tur))
    assert tuple(f"{risk:.3%}" for risk in risks) == (accept, reject)


# ---------------------------------------------------------------- specific risk

WIDE = 1e6  # a tolerance beyond whose other limit nothing lies


@pytest.mark.parametrize("width, risk", [(0.0, "50.00%"), (0.5, "15.87%"), (1.0, "2.28%"), (1.5, "0.13%")])
def test_specific_risk_of_a_normal_distribution(width, risk):
    """ILAC-G8:09/2019: under 50 % at w = 0 and under 2.5 % at w = U (second hand); 1 − Φ(2w/U) for a normal distribution
    with k = 2 (computed)."""
    normally = (normal(name="measurement", value=1.0, divisor=2.0),)
    found = specific_at_limit(components=normally, guard=width, tolerance=WIDE)
    assert f"{found:.2%}" == risk
    assert found < 0.025 if width >= 1 else found <= 0.5


@pytest.mark.parametrize("guard, risk", [(0.0488, "3.4%"), (0.0244, "25.6%")])
def test_specific_risk_of_the_handheld_meter(guard, risk):
    """EA-4/02 M, S9, with the guard band at its unrounded U of 0.0488 V: 3.4 %, at half of it 25.6 % (computed), more than
    the 2.3 and 15.9 % of a normal distribution."""
    s9 = (normal(name="source", value=0.002, divisor=2.0), rectangular(name="resolution", half_width=0.05),
          rectangular(name="specification", half_width=0.011))
    assert f"{specific_at_limit(components=s9, guard=guard, tolerance=WIDE):.1%}" == risk


def test_specific_risk_counts_both_limits():
    """With nothing else known, a reading in the middle of a tolerance of ±u is out of it in 31.7 % of such cases, by both
    limits (computed)."""
    one = (Component("measurement", 1.0, NORMAL, 1.0),)
    assert f"{specific_at_limit(components=one, guard=1.0, tolerance=1.0):.3f}" == "0.317"
