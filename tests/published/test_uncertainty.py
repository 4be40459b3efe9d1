"""Uncertainty budgets, coverage factors and rounding against published values. The sureness words are those of the
project's list of check values: *read*, *second hand*, *from memory* (the printed value is remembered, and a computation
from the stated inputs agrees; the publication was not open), *computed* (exact mathematics, or two independent numerical
routes that agree; printed nowhere that we know)."""

import math

import pytest

from builder.compute.budget import (NORMAL, TRIANGULAR, Component, combine, distribution, normal, rectangles_and_sigma,
                                    rectangular, student, truncated_degrees, welch_satterthwaite)
from builder.figures import expanded, figures


def half_width(value: float) -> Component:
    return rectangular(name="rectangle", half_width=value)


def triangle(value: float) -> Component:
    return Component("triangle", value, TRIANGULAR, math.sqrt(6))


def standard_uncertainty(value: float, degrees: float = math.inf) -> Component:
    return Component("standard uncertainty", value, NORMAL, 1.0, degrees=degrees)


def covered(components, half: float) -> float:
    """The probability within ± half."""
    rectangles, sigma = rectangles_and_sigma(components=components)
    return 2 * distribution(x=half, rectangles=rectangles, sigma=sigma) - 1


# ---------------------------------------------------------------- EA-4/02 M

S9 = (normal(name="source", value=0.002, divisor=2.0), half_width(0.05), half_width(0.011))
S3 = (standard_uncertainty(2.5), half_width(10.0), half_width(2.75), half_width(5.5), triangle(10.0), standard_uncertainty(0.7, degrees=4))


def test_s9_handheld_meter_at_100_volts():
    """EA-4/02 M, example S9: u of 0.001, 0.029 and 0.0064 V is 0.030 V (second hand; half-widths from memory)."""
    assert [figures(c.contribution, n) for c, n in zip(S9, (1, 2, 2))] == ["0.001", "0.029", "0.0064"]
    assert figures(combine(components=S9).u) == "0.030"


@pytest.mark.parametrize("probability", [0.95, 0.9545])
def test_s9_at_one_figure(probability):
    """EA-4/02 M, S9: U = 0.05 V (second hand) at one figure, by EA's k and by the convolution's."""
    sure = combine(components=S9, probability=probability)
    assert figures(sure.expanded, 1) == figures(1.65 * sure.u, 1) == "0.05"


def test_s9_unrounded():
    """EA-4/02 M, S9: k = 1.65 (second hand) times the unrounded u is 0.0488 V (computed): 0.049 at two figures, so only one
    figure agrees with the convolution, whose exact 95 % half-width is 0.0506 V (computed)."""
    sure = combine(components=S9, probability=0.95)
    assert 1.65 * sure.u == pytest.approx(0.0488, abs=0.00005) and figures(1.65 * sure.u) == "0.049"
    assert sure.expanded == pytest.approx(0.0506, abs=0.00005) and expanded(sure.expanded) == "0.051"


def test_s9_factor_is_that_of_a_lone_rectangle():
    """EA's 1.65 in S9 (second hand) is √3 × 0.95, the factor of a pure rectangle; the convolution gives 1.71 for 95 %, and
    1.726 for 95.45 % (computed)."""
    lone = combine(components=(half_width(0.05),), probability=0.95)
    assert lone.k == pytest.approx(0.95 * math.sqrt(3), abs=1e-6) and f"{lone.k:.3f}" == "1.645"
    assert f"{combine(components=S9, probability=0.95).k:.2f}" == "1.71"
    assert f"{combine(components=S9, probability=0.9545).k:.3f}" == "1.726"


def test_s9_factor_covers_less_than_95_percent():
    """With EA's k = 1.65 (second hand) S9 covers about 93 to 94.5 % (computed): 'approximately 95 %'."""
    assert 0.93 <= covered(S9, 1.65 * combine(components=S9).u) <= 0.945


def test_s9_two_rectangles_alone():
    """The trapezoid of the two rectangles of S9 alone has k = 1.709 for 95 % (computed)."""
    assert f"{combine(components=S9[1:], probability=0.95).k:.3f}" == "1.709"


def test_s3_resistor():
    """EA-4/02 M, example S3, 10 kΩ resistor: contributions of 2.5, 5.8, 1.6, 3.2, 4.1 and 0.7 mΩ give u = 8.33 mΩ
    (second hand; half-widths from memory)."""
    assert [figures(c.contribution) for c in S3] == ["2.5", "5.8", "1.6", "3.2", "4.1", "0.70"]
    assert figures(combine(components=S3).u, 3) == "8.33"


def test_s3_expanded():
    """EA-4/02 M, S3: U = 17 mΩ (second hand), which is 2·u, and covers 95.45 % at least; the convolution's U is stated as 17,
    too, since U is rounded up."""
    sure = combine(components=S3)
    assert figures(2 * sure.u) == "17" == expanded(sure.expanded)
    assert covered(S3, 2 * sure.u) > 0.9545


def test_s3_by_the_shapes():
    """The triangle and the rectangles of S3 make its k 1.956 for 95.45 % (computed), so the convolution's U is 16.3 mΩ
    where EA's k = 2 gives 16.7 (computed)."""
    sure = combine(components=S3)
    assert f"{sure.k:.3f}" == "1.956" and (figures(sure.expanded, 3), figures(2 * sure.u, 3)) == ("16.3", "16.7")


def test_s10_two_rectangles():
    """EA-4/02 M, S10: two rectangles with half-widths in the ratio 2:1, β = 1/3, have k = 1.83 (second hand)."""
    assert f"{combine(components=(half_width(2.0), half_width(1.0)), probability=0.95).k:.2f}" == "1.83"


@pytest.mark.parametrize("beta, k", [(0, "1.902"), (0.2, "1.876"), (1 / 3, "1.834"), (0.5, "1.767"), (0.9, "1.643"), (1, "1.645")])
def test_trapezoid(beta, k):
    """The factors of a trapezoid for 95 %, with the larger half-width 1 and the smaller (1 − β)/(1 + β) (computed)."""
    smaller = (1 - beta) / (1 + beta)
    sides = (half_width(1.0), half_width(smaller)) if smaller else (half_width(1.0),)
    sure = combine(components=sides, probability=0.95)
    assert f"{sure.k:.3f}" == k
    assert sure.u == pytest.approx((1 + smaller) * math.sqrt((1 + beta ** 2) / 6), rel=1e-12)


@pytest.mark.parametrize("beta", [n / 40 for n in range(40)])
def test_trapezoid_formula(beta):
    """k of a trapezoid is p(1 + β)/2 over √((1 + β²)/6) where p/(2 − p) < β, else 1 − √((1 − p)(1 − β²)) over the same
    (computed)."""
    p, root = 0.95, math.sqrt((1 + beta ** 2) / 6)
    expected = (p * (1 + beta) / 2 if p / (2 - p) < beta else 1 - math.sqrt((1 - p) * (1 - beta ** 2))) / root
    sides = (half_width(1.0), half_width((1 - beta) / (1 + beta)))
    smaller = sides[1].contribution / combine(components=sides).u * math.sqrt(3)
    # A second rectangle that is very small beside u counts as normal.
    assert combine(components=sides, probability=p).k == pytest.approx(expected, abs=2e-6 if smaller > 0.02 else 2e-4)


# ---------------------------------------------------------------- JCGM 100:2008 (GUM)

def test_voltmeter_within_limits():
    """GUM 4.3.7: half-width 15 µV is u = 8.7 µV (from memory)."""
    a = 14e-6 * 0.928571 + 2e-6 * 1
    assert figures(a * 1e6) == "15"
    assert figures(half_width(a).contribution * 1e6) == "8.7"


def test_voltmeter_combined():
    """GUM 5.1.5: with a Type A of 12 µV the combined u is 15 µV (from memory)."""
    assert figures(combine(components=(half_width(14e-6 * 0.928571 + 2e-6), standard_uncertainty(12e-6))).u * 1e6) == "15"


def test_resistor_at_99_percent():
    """GUM 4.3.4: 129 µΩ at 99 % is u = 50 µΩ (from memory)."""
    assert figures(normal(name="resistor", value=129.0, divisor=2.58).contribution) == "50"


G41 = tuple(standard_uncertainty(u, n - 1) for u, n in ((0.25, 10), (0.57, 5), (0.82, 15)))


def test_effective_degrees_of_freedom():
    """GUM G.4.1: relative u of 0.25, 0.57 and 0.82 % from 10, 5 and 15 readings give u_c = 1.03 %, ν_eff = 19.0,
    t95 = 2.09 and U = 2.2 % (from memory)."""
    sure = combine(components=G41, probability=0.95)
    assert (figures(sure.u, 3), sure.degrees, f"{sure.k:.2f}", expanded(sure.expanded)) == ("1.03", 19, "2.09", "2.2")


def test_effective_degrees_are_rounded_before_they_are_cut():
    """GUM G.4.1 computes to 18.9987 (computed): rounded to three figures and then cut it is 19 (from memory), where a bare
    cut would give 18."""
    degrees = welch_satterthwaite(components=G41)
    assert f"{degrees:.4f}" == "18.9987" and math.floor(degrees) == 18
    assert truncated_degrees(degrees=degrees) == 19


H16 = tuple(standard_uncertainty(u, degrees) for u, degrees in ((25.0, 18), (9.7, 25.6), (2.9, 50), (16.6, 2)))


def test_gauge_block():
    """GUM H.1.6: u of 25, 9.7, 2.9 and 16.6 nm with ν of 18, 25.6, 50 and 2 give u_c = 32 nm and U99 = 93 nm (second
    hand)."""
    sure = combine(components=H16, probability=0.99)
    assert (figures(sure.u), expanded(sure.expanded)) == ("32", "93")


def test_gauge_block_needs_sixteen_degrees():
    """GUM H.1.6 has ν_eff 16.8 from the unrounded u_c, 17.5 from the rounded one; 93 nm (second hand) comes only with ν cut
    to 16 (computed)."""
    degrees = welch_satterthwaite(components=H16)
    assert f"{degrees:.2f}" == "16.76" and truncated_degrees(degrees=degrees) == 16
    assert f"{degrees * (32 / combine(components=H16).u) ** 4:.1f}" == "17.5"
    u = combine(components=H16).u
    assert [expanded(student(degrees=n, probability=0.99) * u) for n in (16, 17)] == ["93", "92"]


@pytest.mark.parametrize("degrees, t", [(1, "13.97"), (4, "2.87"), (10, "2.28"), (20, "2.13")])
def test_student(degrees, t):
    """GUM, table G.2, Student's t at 95.45 % (computed)."""
    assert f"{student(degrees=degrees, probability=0.9545):.2f}" == t


def test_student_without_end():
    """GUM, table G.2: 2.00 at 95.45 % for ν = ∞ (computed)."""
    assert f"{combine(components=(standard_uncertainty(1.0),)).k:.2f}" == "2.00"
    assert f"{combine(components=(standard_uncertainty(1.0, degrees=10**6),)).k:.2f}" == "2.00"


def test_rounding_an_uncertainty():
    """GUM 7.2.6: 10.47 mΩ is stated as 11 mΩ, 28.05 kHz as 28 kHz (read)."""
    assert (expanded(10.47), expanded(28.05)) == ("11", "28")


def test_result_to_the_place_of_its_uncertainty():
    """GUM 7.2.6: 10.05762 Ω with u = 27 mΩ is stated as 10.058 Ω (read)."""
    places = len(expanded(0.027).partition(".")[2])
    assert f"{10.05762:.{places}f}" == "10.058"


# ---------------------------------------------------------------- what a display's resolution alone does

@pytest.mark.parametrize("counts, most", [(2, "4.19"), (1, "2.10")])
def test_resolution_caps_the_ratio(counts, most):
    """A tolerance of two counts against half a count of rectangle gives about 4.2 at best, one count about 2.1, whatever the
    standard (computed)."""
    perfect = combine(components=(half_width(0.5),))
    assert f"{counts / perfect.expanded:.2f}" == most
    with_a_standard = combine(components=(half_width(0.5), normal(name="standard", value=0.1, divisor=2.0)))
    assert counts / with_a_standard.expanded < counts / perfect.expanded
