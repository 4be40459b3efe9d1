"""Straight lines against exact Fractions of a published data set, which is in
`builder.published.tables`. *second hand*: read in copies made by others. *computed*: exact
mathematics."""

import math
from fractions import Fraction as F

import pytest

from builder.compute.statistics.trend import DatedError, fitted
from builder.published.tables import CERTIFIED, NORRIS


def exact(pairs: list[tuple[F, F]]) -> dict[str, float]:
    """Intercept, slope and their standard deviations by Fractions, rounded once."""
    n = len(pairs)
    mean_x, mean_y = sum(x for x, _ in pairs) / n, sum(y for _, y in pairs) / n
    squares = sum((x - mean_x) ** 2 for x, _ in pairs)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in pairs) / squares
    variance = sum((y - mean_y - slope * (x - mean_x)) ** 2 for x, y in pairs) / (n - 2)
    return {"intercept": float(mean_y - slope * mean_x), "slope": float(slope),
            "u_intercept": math.sqrt(variance * (F(1, n) + mean_x ** 2 / squares)),
            "u_slope": math.sqrt(variance / squares), "residual": math.sqrt(variance)}


def line(pairs):
    return fitted(points=[DatedError(float(x), float(y)) for x, y in pairs])


@pytest.mark.parametrize("name", CERTIFIED)
def test_norris(name):
    """NIST StRD 'Norris': the certified values to 15 figures (second hand), which exact Fractions
    of the pairs confirm (computed)."""
    certified = float(CERTIFIED[name].replace("−", "-"))
    assert len(NORRIS) == 36
    assert exact(NORRIS)[name] == pytest.approx(certified, rel=2e-15)
    assert getattr(line(NORRIS), name) == pytest.approx(certified, rel=1e-12)


@pytest.mark.parametrize("shift", [740_000, -10 ** 7])
def test_norris_far_from_zero(shift):
    """The same pairs at far larger x, as a count of days is (computed): slope, its standard
    deviation and that of the residuals keep nine figures."""
    fit, right = line([(x + shift, y) for x, y in NORRIS]), exact(NORRIS)
    for name in ("slope", "u_slope", "residual"):
        assert getattr(fit, name) == pytest.approx(right[name], rel=1e-9)
