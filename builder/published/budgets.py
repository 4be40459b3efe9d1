"""Budgets, coverage factors, rounding and straight lines: the worked examples of EA-4/02 M and of the GUM."""

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
    return Component("standard uncertainty", value, NORMAL, 1.0, degrees=degrees)


def covered(components, half: float) -> float:
    """The probability within ± half."""
    rectangles, sigma = rectangles_and_sigma(components=components)
    return 2 * distribution(x=half, rectangles=rectangles, sigma=sigma) - 1


WIDE = 1e6   # a tolerance beyond whose other limit nothing lies

S9 = (normal(name="source", value=0.002, divisor=2.0), half_width(0.05), half_width(0.011))
S3 = (standard_uncertainty(2.5), half_width(10.0), half_width(2.75), half_width(5.5), Component("triangle", 10.0, TRIANGULAR, math.sqrt(6)), standard_uncertainty(0.7, degrees=4))
G41 = tuple(standard_uncertainty(u, n - 1) for u, n in ((0.25, 10), (0.57, 5), (0.82, 15)))
H16 = tuple(standard_uncertainty(u, degrees) for u, degrees in ((25.0, 18), (9.7, 25.6), (2.9, 50), (16.6, 2)))
BETAS = (0, 0.2, F(1, 3), 0.5, 0.9, 1)


def trapezoid(beta: float) -> tuple[Component, ...]:
    """Two rectangles, the larger with a half-width of 1."""
    smaller = float((1 - beta) / (1 + beta))
    return (half_width(1.0), half_width(smaller)) if smaller else (half_width(1.0),)


def _sure(components, probability: float = 0.95) -> Uncertainty:
    return combine(components=components, probability=probability)


def _s9_error() -> str:
    """By the verdict on the reading, as in a report."""
    point = PointData.model_validate({"id": "s9", "group": "1", "step": "1.1", "kind": "source", "function": "DC voltage", "range": "600 V", "resolution": "0.1 V",
                                  "unit": "V", "decimals": 1, "apply": "100.0 V", "slope": "0", "offset": "0.5 V",
                                  "accept": {"low": "99.5 V", "high": "100.5 V", "low_counts": 995, "high_counts": 1005}})
    return f"{number(verdict(point, '100.1').error, 1)} V"


EA = Source("EA-4/02 M, worked examples", (
    Value("S9", "error of 100.1 V read at 100.0 V", "0.1 V", FROM_MEMORY, _s9_error),
    Value("S9", "u of source, resolution and the source’s specification", "0.001, 0.029, 0.0064 V", SECOND_HAND,
          lambda: listed((figures(c.contribution, n) for c, n in zip(S9, (1, 2, 2))), "V")),
    Value("S9", "u combined", "0.030 V", SECOND_HAND, lambda: f"{figures(_sure(S9).u)} V"),
    Value("S9", "U, at one figure", "0.05 V", SECOND_HAND, lambda: f"{figures(_sure(S9).expanded, 1)} V"),
    Value("S9", "coverage factor k", "1.65", SECOND_HAND, lambda: f"{_sure(S9).k:.2f}",
          "1.65 is the factor of a lone rectangle; the builder convolves the shapes of the whole budget, as in the next line", lambda text: text == "1.71"),
    Value("S9", "k of its shapes convolved, for 95 and for 95.45 %", "1.71, 1.726", COMPUTED, lambda: listed((f"{_sure(S9).k:.2f}", f"{_sure(S9, 0.9545).k:.3f}"))),
    Value("S9", "k of a lone rectangle for 95 %", "1.645", COMPUTED, lambda: f"{_sure(S9[1:2]).k:.3f}"),
    Value("S9", "k of its two rectangles alone", "1.709", COMPUTED, lambda: f"{_sure(S9[1:]).k:.3f}"),
    Value("S9", "1.65·u, unrounded", "0.0488 V", COMPUTED, lambda: f"{1.65 * _sure(S9).u:.4f} V"),
    Value("S9", "what ± 1.65·u holds, “approximately 95 %”", "93 to 94.5 %", COMPUTED, lambda: f"{covered(S9, 1.65 * _sure(S9).u):.1%}".replace("%", " %"),
          accepts=lambda text: 93 <= float(text.split()[0]) <= 94.5),
    Value("S9", "half-width that holds 95 %", "0.0506 V", COMPUTED, lambda: f"{_sure(S9).expanded:.4f} V"),
    Value("S9", "risk at a guard band of 0.0488 V, and of half of that", "3.4, 25.6 %", COMPUTED,
          lambda: shares((specific_at_limit(components=S9, guard=w, tolerance=WIDE) for w in (0.0488, 0.0244)), ".1f")),
    Value("S3", "contributions to a 10 kΩ resistor", "2.5, 5.8, 1.6, 3.2, 4.1, 0.7 mΩ", SECOND_HAND,
          lambda: listed((figures(c.contribution, n) for c, n in zip(S3, (2, 2, 2, 2, 2, 1))), "mΩ")),
    Value("S3", "u combined", "8.33 mΩ", SECOND_HAND, lambda: f"{figures(_sure(S3).u, 3)} mΩ"),
    Value("S3", "U", "17 mΩ", SECOND_HAND, lambda: f"{expanded(_sure(S3, 0.9545).expanded)} mΩ"),
    Value("S3", "k of its shapes for 95.45 %", "1.956", COMPUTED, lambda: f"{_sure(S3, 0.9545).k:.3f}"),
    Value("S3", "U by that k, and 2·u", "16.3, 16.7 mΩ", COMPUTED, lambda: listed((figures(_sure(S3, 0.9545).expanded, 3), figures(2 * _sure(S3).u, 3)), "mΩ")),
    Value("S10", "k of two rectangles, half-widths 2 to 1", "1.83", SECOND_HAND, lambda: f"{_sure((half_width(2.0), half_width(1.0))).k:.2f}"),
    Value("", "k of trapezoids for 95 %, β = 0, 0.2, 1/3, 0.5, 0.9, 1", "1.902, 1.876, 1.834, 1.767, 1.643, 1.645", COMPUTED,
          lambda: listed(f"{_sure(trapezoid(beta)).k:.3f}" for beta in BETAS)),
), "The half-widths of S9 and S3 are from memory.")

VOLTMETER = Accuracy(percent_of_reading=F(14, 10_000), percent_of_range=F(2, 10_000))
H2_VOLTS = tuple(map(F, ("5.007", "4.994", "5.005", "4.990", "4.999")))
# Corrections b/°C of a thermometer at t/°C: table H.6, from memory; the line is in t − 20 °C.
THERMOMETER = tuple(DatedError(t - 20, b) for t, b in (
    (21.521, -0.171), (22.012, -0.169), (22.512, -0.166), (23.003, -0.159), (23.507, -0.164), (23.999, -0.165),
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


def _to_the_place_of_u(value: float, u: float) -> str:
    return f"{value:.{len(expanded(u).partition('.')[2])}f}"


GUM = Source("JCGM 100:2008, GUM", (
    Value("4.3.7", "half-width a of 14·10⁻⁶ of the reading and 2·10⁻⁶ of the range", "15 µV", FROM_MEMORY, lambda: f"{figures(_a())} µV"),
    Value("4.3.7", "its u", "8.7 µV", FROM_MEMORY, lambda: f"{figures(half_width(_a()).contribution)} µV"),
    Value("5.1.5", "u with 12 µV of Type A", "15 µV", FROM_MEMORY, lambda: f"{figures(_sure((half_width(_a()), standard_uncertainty(12.0))).u)} µV"),
    Value("4.3.4", "u of 129 µΩ stated at 99 %", "50 µΩ", FROM_MEMORY, lambda: f"{figures(normal(name='resistor', value=129.0, divisor=2.58).contribution)} µΩ"),
    Value("7.2.6", "U of 10.47 mΩ and of 28.05 kHz, rounded", "11 mΩ, 28 kHz", READ, lambda: f"{expanded(10.47)} mΩ, {expanded(28.05)} kHz"),
    Value("7.2.6", "10.05762 Ω with u = 27 mΩ, rounded", "10.058 Ω", READ, lambda: f"{_to_the_place_of_u(10.05762, 0.027)} Ω"),
    Value("G.4.1", "u of 0.25, 0.57 and 0.82 % combined", "1.03 %", FROM_MEMORY, lambda: f"{figures(_g41().u, 3)} %"),
    Value("G.4.1", "degrees of freedom from 10, 5 and 15 readings", "19.0", FROM_MEMORY, lambda: figures(welch_satterthwaite(components=G41), 3)),
    Value("G.4.1", "the same, unrounded", "18.9987", COMPUTED, lambda: f"{welch_satterthwaite(components=G41):.4f}"),
    Value("G.4.1", "t for 95 %", "2.09", FROM_MEMORY, lambda: f"{_g41().k:.2f}"),
    Value("G.4.1", "U", "2.2 %", FROM_MEMORY, lambda: f"{expanded(_g41().expanded)} %"),
    Value("table G.2", "Student’s t for 95.45 %, ν = 1, 4, 10, 20, ∞", "13.97, 2.87, 2.28, 2.13, 2.00", COMPUTED,
          lambda: listed([*(f"{student(degrees=n, probability=0.9545):.2f}" for n in (1, 4, 10, 20)), f"{_sure((standard_uncertainty(1.0),), 0.9545).k:.2f}"])),
    Value("H.1.6", "u of 25, 9.7, 2.9 and 16.6 nm combined", "32 nm", SECOND_HAND, lambda: f"{figures(_sure(H16, 0.99).u)} nm"),
    Value("H.1.6", "U for 99 %", "93 nm", SECOND_HAND, lambda: f"{expanded(_sure(H16, 0.99).expanded)} nm"),
    Value("H.1.6", "degrees of freedom, unrounded and as cut", "16.76, 16", COMPUTED, lambda: f"{welch_satterthwaite(components=H16):.2f}, {_sure(H16).degrees}"),
    Value("table H.2", "mean of five readings of V, and s/√5", "4.9990, 0.0032 V", FROM_MEMORY, lambda: f"{number(mean(readings=H2_VOLTS), 4)}, {figures(type_a(readings=H2_VOLTS))} V"),
    Value("H.3", "line through the corrections of a thermometer, at 20 °C, and its u", "−0.1712, 0.0029 °C", FROM_MEMORY,
          lambda: listed((f"{_h3().intercept:.4f}", figures(_h3().u_intercept)), "°C")),
    Value("H.3", "its slope, and u of that", "0.00218, 0.00067", FROM_MEMORY, lambda: listed((f"{_h3().slope:.5f}", figures(_h3().u_slope)))),
    Value("H.3", "residual standard deviation s", "0.0035 °C", FROM_MEMORY, lambda: f"{figures(_h3().residual)} °C"),
    Value("H.3.4", "the line at 30 °C, and its u", "−0.1494, 0.0041 °C", FROM_MEMORY, lambda: listed((f"{_h3().at(10):.4f}", figures(_h3().u_line(10))), "°C")),
), "The five readings of table H.2 are second hand, the pairs of table H.6 from memory.")
