"""Straight lines against published data sets. *from memory*: the printed value is remembered, and a computation from the
remembered inputs agrees; the publication was not open. *computed*: exact mathematics."""

import math
from fractions import Fraction as F

import pytest

from builder.compute.trend import Reading, fitted
from builder.figures import figures

# y and x of 'Norris' of NIST StRD, linear regression: 36 pairs, from memory.
NORRIS = """0.1 0.2, 338.8 337.4, 118.1 118.2, 888.0 884.6, 9.2 10.1, 228.1 226.5, 668.5 666.3, 998.5 996.3, 449.1 448.6, 778.9 777.0,
559.2 558.2, 0.3 0.4, 0.1 0.6, 778.1 775.5, 668.8 666.9, 339.3 338.0, 448.9 447.5, 10.8 11.6, 557.7 556.0, 228.3 228.1, 998.0 995.8,
888.8 887.6, 119.6 120.2, 0.3 0.3, 0.6 0.3, 557.6 556.8, 339.3 339.1, 888.0 887.2, 998.5 999.0, 778.9 779.0, 10.2 11.1, 117.6 118.3,
228.9 229.2, 668.4 669.1, 449.2 448.9, 0.2 0.5"""
PAIRS = [tuple(map(F, pair.split()))[::-1] for pair in NORRIS.replace("\n", " ").split(",")]
CERTIFIED = {"intercept": -0.262323073774029, "slope": 1.00211681802045, "u_intercept": 0.232818234301152,
             "u_slope": 0.429796848199937e-3, "residual": 0.884796396144373}


def exact(pairs: list[tuple[F, F]]) -> dict[str, float]:
    """Intercept, slope and their standard deviations by Fractions, rounded once."""
    n = len(pairs)
    mean_x, mean_y = sum(x for x, _ in pairs) / n, sum(y for _, y in pairs) / n
    squares = sum((x - mean_x) ** 2 for x, _ in pairs)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in pairs) / squares
    variance = sum((y - mean_y - slope * (x - mean_x)) ** 2 for x, y in pairs) / (n - 2)
    return {"intercept": float(mean_y - slope * mean_x), "slope": float(slope), "u_intercept": math.sqrt(variance * (F(1, n) + mean_x ** 2 / squares)),
            "u_slope": math.sqrt(variance / squares), "residual": math.sqrt(variance)}


def line(pairs):
    return fitted(points=[Reading(float(x), float(y)) for x, y in pairs])


@pytest.mark.parametrize("name", CERTIFIED)
def test_norris(name):
    """NIST StRD 'Norris': the certified values to 15 figures (from memory), which exact Fractions of the remembered pairs
    confirm (computed)."""
    assert len(PAIRS) == 36
    assert exact(PAIRS)[name] == pytest.approx(CERTIFIED[name], rel=2e-15)
    assert getattr(line(PAIRS), name) == pytest.approx(CERTIFIED[name], rel=1e-12)


@pytest.mark.parametrize("shift", [740_000, -10 ** 7])
def test_norris_far_from_zero(shift):
    """The same pairs at far larger x, as a count of days is (computed): slope, its standard deviation and that of the
    residuals keep nine figures."""
    fit, right = line([(x + shift, y) for x, y in PAIRS]), exact(PAIRS)
    for name in ("slope", "u_slope", "residual"):
        assert getattr(fit, name) == pytest.approx(right[name], rel=1e-9)


# Corrections b/°C of a thermometer at t/°C: JCGM 100:2008, table H.6, from memory; the line is in t − 20 °C.
THERMOMETER = [(21.521, -0.171), (22.012, -0.169), (22.512, -0.166), (23.003, -0.159), (23.507, -0.164), (23.999, -0.165),
               (24.513, -0.156), (25.002, -0.157), (25.503, -0.159), (26.010, -0.161), (26.511, -0.160)]
H3 = fitted(points=[Reading(t - 20, b) for t, b in THERMOMETER])


def test_thermometer():
    """GUM H.3: y₁ = −0.1712 °C with 0.0029 °C, y₂ = 0.00218 with 0.00067, s = 0.0035 °C (from memory)."""
    assert (f"{H3.intercept:.4f}", figures(H3.u_intercept), f"{H3.slope:.5f}", figures(H3.u_slope), figures(H3.residual)) == (
        "-0.1712", "0.0029", "0.00218", "0.00067", "0.0035")


def test_thermometer_beyond_its_readings():
    """GUM H.3.4: at 30 °C the line says −0.1494 °C with 0.0041 °C (from memory)."""
    assert (f"{H3.at(10):.4f}", figures(H3.u_line(10))) == ("-0.1494", "0.0041")
