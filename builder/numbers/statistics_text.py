"""Statistics → text. Apart from `wording`, where every number is exact."""

from __future__ import annotations

import math

from builder.numbers.exact_text import NARROW, minus


def figures(value: float, digits: int = 2) -> str:
    """A statistic at so many significant figures, without an exponent: 0.0304 at two is '0.030'."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "∞"
    exponent = math.floor(math.log10(abs(float(f"{value:.{digits - 1}e}"))))
    return minus(f"{value:.{max(0, digits - 1 - exponent)}f}")


def expanded(value: float) -> str:
    """U at two figures, rounded up; what is less than a tenth of the last figure is dropped (choice
    of this project; it agrees with the examples of GUM 7.2.6: 10.47 mΩ is stated as 11 mΩ, 28.05
    kHz as 28 kHz)."""
    if value == 0 or not math.isfinite(value):
        return figures(value)
    last = 10.0 ** (math.floor(math.log10(value)) - 1)
    return figures(math.ceil(value / last - 0.1 - 1e-9) * last)


def ratio(value: float) -> str:
    """A TUR: two figures below ten, whole numbers above, cut off and never rounded up."""
    if not math.isfinite(value):
        return "∞"
    return (f"{math.floor(value * 10 + 1e-9) / 10:.1f}" if value < 10
            else f"{math.floor(value + 1e-9)}")


def percent(share: float) -> str:
    """A probability: two figures of a percentage."""
    value = share * 100
    if value < 0.005:
        return "under 0.01" + NARROW + "%"
    return figures(value, 2) + NARROW + "%"
