"""Student's t: the factor for a number of degrees of freedom, by its own distribution function."""

from __future__ import annotations

import math
from functools import lru_cache

# ---------------------------------------------------------------- Student's t

@lru_cache(maxsize=4096)
def student(*, degrees: float, probability: float) -> float:
    """The factor t that holds a two-sided probability for ν degrees of freedom (GUM G.3, table
    G.2)."""
    low, high = 0.0, 1e6
    for _ in range(200):
        middle = (low + high) / 2
        if _student_two_sided(middle, degrees) < probability:
            low = middle
        else:
            high = middle
        if high - low < 1e-12 * high:
            break
    return (low + high) / 2


def outside(*, t: float, degrees: float) -> float:
    """P(|T| > t) = I_x(ν/2, 1/2) with x = ν/(ν + t²) (Abramowitz and Stegun 26.7.1), which keeps
    its figures however small it is."""
    return _incomplete_beta(degrees / (degrees + t * t), degrees / 2, 0.5)


def _student_two_sided(t: float, degrees: float) -> float:
    """P(|T| ≤ t)."""
    return 1 - outside(t=t, degrees=degrees)


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function by its continued fraction (Abramowitz and Stegun
    26.5.8)."""
    if x <= 0 or x >= 1:
        return min(1.0, max(0.0, x))
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(1 - x, b, a)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b
                     * math.log1p(-x)) / a
    tiny = 1e-300
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or tiny)
    result = d
    for m in range(1, 500):
        for step in (m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
                     -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))):
            d = 1 / ((1 + step * d) or tiny)
            c = (1 + step / c) or tiny
            result *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * result
