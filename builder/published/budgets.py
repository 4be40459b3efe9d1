"""Budgets, coverage factors, rounding and straight lines: the worked examples of EA-4/02 M and of
the GUM."""

from __future__ import annotations

import math
from fractions import Fraction as F

from builder.compute.exact.tolerance import Accuracy, line
from builder.compute.statistics.budget import (NORMAL, TRIANGULAR, Component, Uncertainty, combine,
                                               distribution, normal, rectangles_and_sigma,
                                               rectangular, welch_satterthwaite)
from builder.compute.statistics.repeated import mean, type_a
from builder.compute.statistics.risk import specific_at_limit
from builder.compute.statistics.student import student
from builder.compute.statistics.trend import DatedError, Fit, fitted
from builder.formats.sheet_data import PointData
from builder.numbers.exact_text import number
from builder.numbers.statistics_text import expanded, figures
from builder.published.base import (COMPUTED, FROM_MEMORY, READ, SECOND_HAND, Source, Value, listed,
                                    shares)
from builder.records.verdict import verdict


def half_width(value: float) -> Component:
    return rectangular(name="rectangle", half_width=value)


def standard_uncertainty(value: float, degrees: float = math.inf) -> Component:
    return Component(name="standard uncertainty", value=value, distribution=NORMAL, divisor=1.0,
                     degrees=degrees)


def covered(components, half: float) -> float:
    """The probability within ± half."""
    rectangles, sigma = rectangles_and_sigma(components=components)
    return 2 * distribution(x=half, rectangles=rectangles, sigma=sigma) - 1


WIDE = 1e6   # a tolerance beyond whose other limit nothing lies

S9 = (normal(name="source", value=0.002, divisor=2.0), half_width(0.05), half_width(0.011))
S3 = (standard_uncertainty(2.5), half_width(10.0), half_width(2.75), half_width(5.5),
      Component(name="triangle", value=10.0, distribution=TRIANGULAR, divisor=math.sqrt(6)),
      standard_uncertainty(0.7, degrees=4))
# A type N thermocouple at 1000 °C, in °C: some in µV, times the printed sensitivities.
S5 = tuple(map(standard_uncertainty, (0.1, 1.0 * 0.077, 0.29 * 0.077, 1.15 * 0.077, 0.058 * 0.407,
                                      0.15, 0.173, 0.577)))
# A block calibrator at 180 °C, in mK: of these 58 and 144 are rectangles, as the shapes are taken
# here.
S11 = (*map(standard_uncertainty, (15, 10, 23, 29, 29, 17)),
       *(half_width(u * math.sqrt(3)) for u in (58, 144)))
S12 = (standard_uncertainty(6.0e-4, 2), standard_uncertainty(6.8e-4))
G41 = tuple(standard_uncertainty(u, n - 1) for u, n in ((0.25, 10), (0.57, 5), (0.82, 15)))
H16 = tuple(standard_uncertainty(u, degrees)
            for u, degrees in ((25.0, 18), (9.7, 25.6), (2.9, 50), (16.6, 2)))
BETAS = (0, 0.2, F(1, 3), 0.5, 0.9, 1)


def trapezoid(beta: float) -> tuple[Component, ...]:
    """Two rectangles, the larger with a half-width of 1."""
    smaller = float((1 - beta) / (1 + beta))
    return (half_width(1.0), half_width(smaller)) if smaller else (half_width(1.0),)


def _sure(components, probability: float = 0.95) -> Uncertainty:
    return combine(components=components, probability=probability)


def _s9_error() -> str:
    """By the verdict on the reading, as in a report."""
    point = PointData.model_validate({"id": "s9", "group": "1", "step": "1.1", "kind": "source",
                                      "function": "DC voltage", "range": "600 V",
                                      "resolution": "0.1 V",
                                      "unit": "V", "decimals": 1, "apply": "100.0 V", "slope": "0",
                                      "offset": "0.5 V",
                                      "accept": {
                                          "low": "99.5 V", "high": "100.5 V", "low_counts": 995,
                                          "high_counts": 1005}})
    return f"{number(verdict(point, '100.1').error, 1)} V"


EA = Source("EA-4/02 M, worked examples", (
    Value(clause="S9", what="error of 100.1 V read at 100.0 V", should_be="0.1 V", sure=FROM_MEMORY,
          built=_s9_error),
    Value(clause="S9", what="u of source, resolution and the source’s specification",
          should_be="0.001, 0.029, 0.0064 V",
          sure=SECOND_HAND,
          built=lambda: listed((figures(c.contribution, n)
                                for c, n in zip(S9, (1, 2, 2), strict=True)), "V")),
    Value(clause="S9", what="u combined", should_be="0.030 V", sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(S9).u)} V"),
    Value(clause="S9", what="U, at one figure", should_be="0.05 V", sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(S9).expanded, 1)} V"),
    Value(clause="S9", what="coverage factor k", should_be="1.65", sure=SECOND_HAND,
          built=lambda: f"{_sure(S9).k:.2f}",
          because="1.65 is the factor of a lone rectangle; the builder convolves the shapes of the "
          "whole budget, as in the next line", accepts=lambda text: text == "1.71"),
    Value(clause="S9", what="k of its shapes convolved, for 95 and for 95.45 %",
          should_be="1.71, 1.726", sure=COMPUTED,
          built=lambda: listed((f"{_sure(S9).k:.2f}", f"{_sure(S9, 0.9545).k:.3f}"))),
    Value(clause="S9", what="k of a lone rectangle for 95 %", should_be="1.645", sure=COMPUTED,
          built=lambda: f"{_sure(S9[1:2]).k:.3f}"),
    Value(clause="S9", what="k of its two rectangles alone", should_be="1.709", sure=COMPUTED,
          built=lambda: f"{_sure(S9[1:]).k:.3f}"),
    Value(clause="S9", what="1.65·u, unrounded", should_be="0.0488 V", sure=COMPUTED,
          built=lambda: f"{1.65 * _sure(S9).u:.4f} V"),
    Value(clause="S9", what="what ± 1.65·u holds, “approximately 95 %”", should_be="93 to 94.5 %",
          sure=COMPUTED,
          built=lambda: f"{covered(S9, 1.65 * _sure(S9).u):.1%}".replace("%", " %"),
          accepts=lambda text: 93 <= float(text.split()[0]) <= 94.5),
    Value(clause="S9", what="half-width that holds 95 %", should_be="0.0506 V", sure=COMPUTED,
          built=lambda: f"{_sure(S9).expanded:.4f} V"),
    Value(clause="S9", what="risk at a guard band of 0.0488 V, and of half of that",
          should_be="3.4, 25.6 %", sure=COMPUTED,
          built=lambda: shares((specific_at_limit(components=S9, guard=w, tolerance=WIDE)
                                for w in (0.0488, 0.0244)), ".1f")),
    Value(clause="S3", what="contributions to a 10 kΩ resistor",
          should_be="2.5, 5.8, 1.6, 3.2, 4.1, 0.7 mΩ", sure=SECOND_HAND,
          built=lambda: listed((figures(c.contribution, n)
                                for c, n in zip(S3, (2, 2, 2, 2, 2, 1), strict=True)),
                               "mΩ")),
    Value(clause="S3", what="u combined", should_be="8.33 mΩ", sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(S3).u, 3)} mΩ"),
    Value(clause="S3", what="U", should_be="17 mΩ", sure=SECOND_HAND,
          built=lambda: f"{expanded(_sure(S3, 0.9545).expanded)} mΩ"),
    Value(clause="S3", what="k of its shapes for 95.45 %", should_be="1.956", sure=COMPUTED,
          built=lambda: f"{_sure(S3, 0.9545).k:.3f}"),
    Value(clause="S3", what="U by that k, and 2·u", should_be="16.3, 16.7 mΩ", sure=COMPUTED,
          built=lambda: listed((figures(_sure(S3, 0.9545).expanded, 3),
                                figures(2 * _sure(S3).u, 3)),
                               "mΩ")),
    Value(clause="S10", what="k of two rectangles, half-widths 2 to 1", should_be="1.83",
          sure=SECOND_HAND,
          built=lambda: f"{_sure((half_width(2.0), half_width(1.0))).k:.2f}"),
    Value(clause="S5", what="u of a type N thermocouple at 1000 °C, at two figures",
          should_be="0.64 °C", sure=SECOND_HAND, built=lambda: f"{figures(_sure(S5).u)} °C"),
    Value(clause="S5", what="U", should_be="1.3 °C", sure=SECOND_HAND,
          built=lambda: f"{figures(2 * _sure(S5).u)} °C"),
    Value(clause="S11", what="u of a block calibrator", should_be="164 mK", sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(S11).u, 3)} mK"),
    Value(clause="S11", what="U", should_be="0.30 K", sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(S11).expanded / 1000)} K"),
    Value(clause="S12", what="u of a water meter, relative", should_be="0.00091",
          sure=SECOND_HAND, built=lambda: figures(_sure(S12).u)),
    Value(clause="S12", what="k for 95.45 %, with 2 degrees of freedom in the smaller part",
          should_be="2.28", sure=SECOND_HAND, built=lambda: f"{_sure(S12, 0.9545).k:.2f}"),
    Value(clause="", what="k of trapezoids for 95 %, β = 0, 0.2, 1/3, 0.5, 0.9, 1",
          should_be="1.902, 1.876, 1.834, 1.767, 1.643, 1.645", sure=COMPUTED,
          built=lambda: listed(f"{_sure(trapezoid(beta)).k:.3f}" for beta in BETAS)),
), "Which edition the copies follow isn’t known. The half-widths of S9 and S3 are from memory. S5 "
   "prints 0.641 °C, which its printed inputs give as 0.640, and 1.81 as the k of S11, which is "
   "1.83 by the shapes as they are taken here.")

RESISTOR = normal(name="resistor", value=129.0, divisor=2.58)
VOLTMETER = Accuracy(percent_of_reading=F(14, 10_000), percent_of_range=F(2, 10_000))
H2_VOLTS = tuple(map(F, ("5.007", "4.994", "5.005", "4.990", "4.999")))
# Corrections b/°C of a thermometer at t/°C: table H.6, second hand; the line is in t − 20 °C.
THERMOMETER = tuple(DatedError(t - 20, b) for t, b in (
    (21.521, -0.171), (22.012, -0.169), (22.512, -0.166), (23.003, -0.159), (23.507, -0.164),
    (23.999, -0.165),
    (24.513, -0.156), (25.002, -0.157), (25.503, -0.159), (26.010, -0.161), (26.511, -0.160)))


def voltmeter_limit() -> F:
    """At 0.928571 V on a range of 1 V."""
    return line(accuracy=VOLTMETER, resolution=F(1, 10**6), base=F(1)).at(F("0.928571"))


def _a() -> float:
    return float(voltmeter_limit() * 10**6)


def _g41() -> Uncertainty:
    return _sure(G41)


def _h3() -> Fit:
    return fitted(points=THERMOMETER)


def _correlation(fit: Fit) -> float:
    """Of the line's value at 0 and its slope: −x̄·u(slope)/u(value)."""
    return -fit.centre * fit.u_slope / fit.u_intercept


def _to_the_place_of_u(value: float, u: float) -> str:
    return f"{value:.{len(expanded(u).partition('.')[2])}f}"


GUM = (Source("JCGM 100:2008, GUM", (
    Value(clause="4.3.7", what="half-width a of 14·10⁻⁶ of the reading and 2·10⁻⁶ of the range",
          should_be="15 µV",
          sure=FROM_MEMORY, built=lambda: f"{figures(_a())} µV"),
    Value(clause="4.3.7", what="its u", should_be="8.7 µV", sure=FROM_MEMORY,
          built=lambda: f"{figures(half_width(_a()).contribution)} µV"),
    Value(clause="5.1.5", what="u with 12 µV of Type A", should_be="15 µV", sure=FROM_MEMORY,
          built=lambda: f"{figures(_sure((half_width(_a()), standard_uncertainty(12.0))).u)} µV"),
    Value(clause="4.3.4", what="u of 129 µΩ stated at 99 %", should_be="50 µΩ", sure=FROM_MEMORY,
          built=lambda: f"{figures(RESISTOR.contribution)} µΩ"),
    Value(clause="7.2.6", what="U of 10.47 mΩ and of 28.05 kHz, rounded", should_be="11 mΩ, 28 kHz",
          sure=READ,
          built=lambda: f"{expanded(10.47)} mΩ, {expanded(28.05)} kHz"),
    Value(clause="7.2.6", what="10.05762 Ω with u = 27 mΩ, rounded", should_be="10.058 Ω",
          sure=READ,
          built=lambda: f"{_to_the_place_of_u(10.05762, 0.027)} Ω"),
    Value(clause="G.4.1", what="u of 0.25, 0.57 and 0.82 % combined", should_be="1.03 %",
          sure=FROM_MEMORY,
          built=lambda: f"{figures(_g41().u, 3)} %"),
    Value(clause="G.4.1", what="degrees of freedom from 10, 5 and 15 readings", should_be="19.0",
          sure=FROM_MEMORY,
          built=lambda: figures(welch_satterthwaite(components=G41), 3)),
    Value(clause="G.4.1", what="the same, unrounded", should_be="18.9987", sure=COMPUTED,
          built=lambda: f"{welch_satterthwaite(components=G41):.4f}"),
    Value(clause="G.4.1", what="t for 95 %", should_be="2.09", sure=FROM_MEMORY,
          built=lambda: f"{_g41().k:.2f}"),
    Value(clause="G.4.1", what="U", should_be="2.2 %", sure=FROM_MEMORY,
          built=lambda: f"{expanded(_g41().expanded)} %"),
    Value(clause="table G.2", what="Student’s t for 95.45 %, ν = 1, 4, 10, 20, ∞",
          should_be="13.97, 2.87, 2.28, 2.13, 2.00", sure=COMPUTED,
          built=lambda: listed(
              [*(f"{student(degrees=n, probability=0.9545):.2f}" for n in (1, 4, 10, 20)),
               f"{_sure((standard_uncertainty(1.0),), 0.9545).k:.2f}"])),
    Value(clause="H.1.6", what="u of 25, 9.7, 2.9 and 16.6 nm combined", should_be="32 nm",
          sure=SECOND_HAND,
          built=lambda: f"{figures(_sure(H16, 0.99).u)} nm"),
    Value(clause="H.1.6", what="U for 99 %", should_be="93 nm", sure=SECOND_HAND,
          built=lambda: f"{expanded(_sure(H16, 0.99).expanded)} nm"),
    Value(clause="H.1.6", what="degrees of freedom, unrounded and as cut", should_be="16.76, 16",
          sure=COMPUTED,
          built=lambda: f"{welch_satterthwaite(components=H16):.2f}, {_sure(H16).degrees}"),
    Value(clause="table H.2", what="mean of five readings of V, and s/√5",
          should_be="4.9990, 0.0032 V", sure=SECOND_HAND,
          built=lambda: f"{number(mean(readings=H2_VOLTS), 4)}, "
          f"{figures(type_a(readings=H2_VOLTS))} V"),
    Value(clause="H.3", what="line through the corrections of a thermometer, at 20 °C, and its u",
          should_be="−0.1712, 0.0029 °C", sure=SECOND_HAND,
          built=lambda: listed((f"{_h3().intercept:.4f}", figures(_h3().u_intercept)), "°C")),
    Value(clause="H.3", what="its slope, and u of that", should_be="0.00218, 0.00067",
          sure=SECOND_HAND,
          built=lambda: listed((f"{_h3().slope:.5f}", figures(_h3().u_slope)))),
    Value(clause="H.3", what="the correlation of the two", should_be="−0.930", sure=SECOND_HAND,
          built=lambda: listed([f"{_correlation(_h3()):.3f}"])),
    Value(clause="H.3", what="residual standard deviation s", should_be="0.0035 °C",
          sure=SECOND_HAND,
          built=lambda: f"{figures(_h3().residual)} °C"),
    Value(clause="H.3.4", what="the line at 30 °C, and its u", should_be="−0.1494, 0.0041 °C",
          sure=SECOND_HAND,
          built=lambda: listed((f"{_h3().at(10):.4f}", figures(_h3().u_line(10))), "°C")),
), "The five readings of table H.2 and the pairs of table H.6 are second hand."))
