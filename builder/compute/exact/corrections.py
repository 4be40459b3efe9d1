"""What a certificate adds to a value that is set or read, at its points and between them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction


def around(*, points: Sequence[Fraction], value: Fraction) -> tuple[Fraction, ...]:
    """The point that a value is, or the two that it lies between; none outside them. All in one
    unit, with their signs."""
    if value in points:
        return (value,)
    below = max((one for one in points if one < value), default=None)
    above = min((one for one in points if one > value), default=None)
    return () if below is None or above is None else (below, above)


def on_a_line(*, low: tuple[Fraction, Fraction], high: tuple[Fraction, Fraction],
              value: Fraction) -> Fraction:
    """c = c₁ + (c₂ − c₁)·(x − x₁)/(x₂ − x₁), the correction at x on the straight line between two
    points, each as value and correction; exact."""
    (x1, c1), (x2, c2) = low, high
    return c1 + (c2 - c1) * (value - x1) / (x2 - x1)
