"""Readings that were repeated at a point: their mean, how far it can be trusted, and U with that
added.

Uncertainties are statistics, so they are floats; the mean is exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from builder.compute.statistics.budget import NORMAL, Component, Uncertainty, combine, rectangular


def mean(*, readings: Sequence[Fraction]) -> Fraction:
    """x̄ = Σ x_i / n (GUM 4.2.1)."""
    return sum(readings, Fraction(0)) / len(readings)


def type_a(*, readings: Sequence[Fraction]) -> float:
    """u = s/√n with s² = Σ (x_i − x̄)²/(n − 1) (GUM 4.2.2 and 4.2.3); 0 for a single reading, which
    says nothing of itself."""
    n = len(readings)
    if n < 2:
        return 0.0
    middle = mean(readings=readings)
    return math.sqrt(sum((x - middle) ** 2 for x in readings) / (n - 1) / n)


def with_readings(*, rectangles: Sequence[float], normal: float, degrees: float,
                  readings: Sequence[Fraction], probability: float) -> Uncertainty:
    """A point's budget with the repeatability of its readings, n − 1 degrees of freedom, as one
    more component.

    The budget comes as the half-widths of its rectangles and the standard uncertainty of all the
    rest, with ν_eff of them together; by Welch–Satterthwaite Σ u_i⁴/ν_i is u⁴/ν_eff, so the rest
    can carry all of it. """
    parts = [rectangular(name="rectangle", half_width=one) for one in rectangles]
    u2 = sum(one.contribution ** 2 for one in parts) + normal ** 2
    of_rest = normal ** 4 * degrees / u2 ** 2 if normal and degrees != math.inf else math.inf
    parts.append(Component(name="rest", value=normal, distribution=NORMAL, divisor=1.0,
                           degrees=of_rest))
    if len(readings) > 1:
        parts.append(Component(name="repeated readings", value=type_a(readings=readings),
                               distribution=NORMAL, divisor=1.0,
                               degrees=float(len(readings) - 1)))
    return combine(components=parts, probability=probability)
