"""Budgets, coverage factors and rounding, where more than a value is held; the values are in
`builder.published.budgets`. The sureness words are those of `builder.published.base`."""

import math

import pytest

from builder.compute.statistics.budget import (combine, normal, truncated_degrees,
                                               welch_satterthwaite)
from builder.compute.statistics.student import student
from builder.numbers.statistics_text import expanded, figures
from builder.published.budgets import (G41, H16, S3, S9, covered, half_width, standard_uncertainty,
                                       trapezoid)

# ---------------------------------------------------------------- EA-4/02 M


@pytest.mark.parametrize("probability", [0.95, 0.9545])
def test_s9_at_one_figure(probability):
    """EA-4/02 M, S9: U = 0.05 V (second hand) at one figure, by EA's k and by the convolution's."""
    sure = combine(components=S9, probability=probability)
    assert figures(sure.expanded, 1) == figures(1.65 * sure.u, 1) == "0.05"


def test_s9_unrounded():
    """EA-4/02 M, S9: k = 1.65 (second hand) times the unrounded u is 0.0488 V (computed): 0.049 at
    two figures, so only one figure agrees with the convolution, whose exact 95 % half-width is
    0.0506 V (computed)."""
    sure = combine(components=S9, probability=0.95)
    assert figures(1.65 * sure.u) == "0.049" and expanded(sure.expanded) == "0.051"


def test_s9_factor_is_that_of_a_lone_rectangle():
    """EA's 1.65 in EA-4/02 M, S9 (second hand) is √3 × 0.95, the factor of a pure rectangle
    (computed)."""
    assert combine(components=(half_width(0.05),),
                   probability=0.95).k == pytest.approx(0.95 * math.sqrt(3), abs=1e-6)


def test_s3_expanded():
    """EA-4/02 M, S3: U = 17 mΩ (second hand), which is 2·u, and covers 95.45 % at least; the
    convolution's U is stated as 17, too, since U is rounded up."""
    sure = combine(components=S3)
    assert figures(2 * sure.u) == "17" == expanded(sure.expanded)
    assert covered(S3, 2 * sure.u) > 0.9545


@pytest.mark.parametrize("beta", [n / 40 for n in range(41)])
def test_trapezoid_formula(beta):
    """k of a trapezoid is p(1 + β)/2 over √((1 + β²)/6) where p/(2 − p) < β, else 1 − √((1 − p)(1 −
    β²)) over the same; u is (1 + the smaller half-width)·√((1 + β²)/6), the larger half-width being
    1 (computed)."""
    p, root = 0.95, math.sqrt((1 + beta ** 2) / 6)
    expected = (p * (1 + beta) / 2 if p / (2 - p) < beta
                else 1 - math.sqrt((1 - p) * (1 - beta ** 2))) / root
    sides = trapezoid(beta)
    found = combine(components=sides, probability=p)
    assert found.u == pytest.approx((1 + (1 - beta) / (1 + beta)) * root, rel=1e-12)
    smaller = sides[1].contribution / found.u * math.sqrt(3) if len(sides) > 1 else 1
    # A second rectangle that is very small beside u counts as normal.
    assert found.k == pytest.approx(expected, abs=2e-6 if smaller > 0.02 else 2e-4)


# ---------------------------------------------------------------- JCGM 100:2008 (GUM)

def test_effective_degrees_are_rounded_before_they_are_cut():
    """GUM G.4.1 computes to 18.9987 (computed): rounded to three figures and then cut it is 19
    (from memory), where a bare cut would give 18."""
    degrees = welch_satterthwaite(components=G41)
    assert f"{degrees:.4f}" == "18.9987" and math.floor(degrees) == 18
    assert truncated_degrees(degrees=degrees) == combine(components=G41).degrees == 19


def test_gauge_block_needs_sixteen_degrees():
    """GUM H.1.6 has ν_eff 16.8 from the unrounded u_c, 17.5 from the rounded one; 93 nm (second
    hand) comes only with ν cut to 16 (computed)."""
    degrees, u = welch_satterthwaite(components=H16), combine(components=H16).u
    assert f"{degrees * (32 / u) ** 4:.1f}" == "17.5"
    assert [expanded(student(degrees=n, probability=0.99) * u) for n in (16, 17)] == ["93", "92"]


def test_student_near_without_end():
    """GUM, table G.2: 2.00 at 95.45 % (computed) for a million degrees of freedom, too."""
    assert f"{combine(components=(standard_uncertainty(1.0, degrees=10**6),)).k:.2f}" == "2.00"


# ----------------------------------------------------------- what a display's resolution alone does

@pytest.mark.parametrize("counts", [2, 1])
def test_resolution_caps_the_ratio(counts):
    """Whatever the standard, a tolerance of so many counts has no better ratio than half a count of
    rectangle leaves it (computed)."""
    perfect = combine(components=(half_width(0.5),))
    with_a_standard = combine(components=(half_width(0.5),
                                          normal(name="standard", value=0.1, divisor=2.0)))
    assert counts / with_a_standard.expanded < counts / perfect.expanded
