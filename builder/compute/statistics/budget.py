"""How sure a point is: components, combined standard uncertainty, coverage factor (GUM, JCGM
100:2008).

Uncertainties are statistics, so they are floats, rounded once, on the page. All values of a budget
are in one unit, that of the function without a prefix.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

from builder.compute.statistics.student import student

NORMAL, RECTANGULAR, TRIANGULAR = "normal", "rectangular", "triangular"
DIVISORS = {RECTANGULAR: math.sqrt(3), TRIANGULAR: math.sqrt(6)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One line of a budget. `value` is what is stated: a half-width, or a multiple `divisor` of a
    standard uncertainty; `degrees` are its degrees of freedom. Repeated readings of the point
    itself take the place of what is known `of_other_readings`. `rounding`: it is the rounding of a
    display, which risks take as it is."""

    name: str
    value: float
    distribution: str
    divisor: float
    sensitivity: float = 1.0
    degrees: float = math.inf
    of_other_readings: bool = False
    rounding: bool = False

    @property
    def contribution(self) -> float:
        """|c|·u, the standard uncertainty that it adds."""
        return abs(self.sensitivity) * self.value / self.divisor


def rectangular(*, name: str, half_width: float, **more) -> Component:
    """Somewhere within ± half-width, nowhere more likely (GUM 4.3.7): u = a/√3."""
    return Component(name=name, value=half_width, distribution=RECTANGULAR,
                     divisor=DIVISORS[RECTANGULAR], **more)


def normal(*, name: str, value: float, divisor: float, **more) -> Component:
    """Stated as `divisor` standard uncertainties (GUM 4.3.3): u = value/k."""
    return Component(name=name, value=value, distribution=NORMAL, divisor=divisor, **more)


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """u, ν_eff as used (∞ where nothing limits it), k, and U = k·u with its probability."""

    u: float
    degrees: float
    k: float
    probability: float

    @property
    def expanded(self) -> float:
        return self.k * self.u


def combine(*, components: Sequence[Component], probability: float = 0.9545) -> Uncertainty:
    """u² = Σ (c_i·u_i)² for independent inputs (GUM 5.1.2), U = k·u (GUM 6.2.1).

    k is the half-width that holds `probability` of the convolution of the components' own shapes,
    divided by u, times the ratio of Student's t for ν_eff to the normal factor. So it is 2.00 for
    near normal sums, 1.65 for a lone rectangle, and t where degrees of freedom are few; computed
    the same way for every point (choice of this project; EA-4/02 tells the cases apart by hand).
    """
    u = math.sqrt(sum(c.contribution ** 2 for c in components))
    if u == 0:
        return Uncertainty(0.0, math.inf, 0.0, probability)
    degrees = truncated_degrees(degrees=welch_satterthwaite(components=components))
    k = _shape_factor(components, u, probability)
    if degrees != math.inf:
        k *= student(degrees=degrees,
                     probability=probability) / NormalDist().inv_cdf((1 + probability) / 2)
    return Uncertainty(u, degrees, k, probability)


def welch_satterthwaite(*, components: Sequence[Component]) -> float:
    """ν_eff = u⁴ / Σ u_i⁴/ν_i (GUM G.4.1, equation G.2b), from the unrounded u."""
    u4 = sum(c.contribution ** 2 for c in components) ** 2
    below = sum(c.contribution ** 4 / c.degrees for c in components)
    return u4 / below if below > 0 else math.inf


def truncated_degrees(*, degrees: float) -> float:
    """Rounded to three figures, then cut to a whole number: 18.9987 is 19 (GUM G.4.1), 16.76 is 16
    (H.1.6)."""
    if degrees == math.inf:
        return degrees
    return max(1, math.floor(float(f"{degrees:.3g}")))


# ---------------------------------------------------------------- the convolution's half-width

_SMALL = 0.02     # of u: a smaller rectangle changes k by less than 1e-7 and joins the normal part
_MOST = 6         # rectangles that keep their shape; 2^n terms are summed


def rectangles_and_sigma(*, components: Sequence[Component]) -> tuple[tuple[float, ...], float]:
    """The half-widths of the rectangles, largest first, and the standard deviation of the normal
    part. A triangle is the convolution of two rectangles of half its width; components with few
    degrees of freedom count as normal here, Student's t comes in `combine`."""
    u = math.sqrt(sum(c.contribution ** 2 for c in components))
    widths, variance = [], 0.0
    for c in components:
        if c.distribution == RECTANGULAR:
            widths.append(c.contribution * math.sqrt(3))
        elif c.distribution == TRIANGULAR:
            widths += [c.contribution * math.sqrt(6) / 2] * 2
        else:
            variance += c.contribution ** 2
    widths.sort(reverse=True)
    kept = [a for a in widths[:_MOST] if a > _SMALL * u]
    variance += sum(a * a / 3 for a in widths[len(kept):])
    return tuple(kept), math.sqrt(variance)


def distribution(*, x: float, rectangles: Sequence[float], sigma: float) -> float:
    """P(X ≤ x) for the sum of rectangles ±a_i and a normal deviate.

    F(x) = Σ_s (Π s_i)·I_n(x + Σ s_i·a_i) / Π 2a_i over all signs s, where I_n is the n-fold
    integral of the normal distribution function: I_n(x) = (x·I_{n−1} + σ²·I_{n−2})/n, I_{−1} its
    density (exact mathematics: each rectangle is a difference quotient of an integral). """
    if x > 0:
        # the shape is even; here nothing cancels
        return 1 - distribution(x=-x, rectangles=rectangles, sigma=sigma)
    total = 0.0
    n = len(rectangles)
    for signs in range(1 << n):
        shifted, factor = x, 1.0
        for i, a in enumerate(rectangles):
            if signs >> i & 1:
                shifted -= a
                factor = -factor
            else:
                shifted += a
        total += factor * _integral(shifted, n, sigma)
    for a in rectangles:
        total /= 2 * a
    return min(1.0, max(0.0, total))


def _integral(x: float, n: int, sigma: float) -> float:
    if sigma == 0:
        return (x ** n / math.factorial(n) if n else 1.0) if x > 0 else 0.0
    z = x / sigma
    before = math.exp(-z * z / 2) / (sigma * math.sqrt(2 * math.pi)) if abs(z) < 38 else 0.0
    here = 0.5 * math.erfc(-z / math.sqrt(2))
    for i in range(1, n + 1):
        before, here = here, (x * here + sigma * sigma * before) / i
    return here


def _shape_factor(components: Sequence[Component], u: float, probability: float) -> float:
    rectangles, sigma = rectangles_and_sigma(components=components)
    return _factor(tuple(round(a / u, 7) for a in rectangles), round(sigma / u, 7), probability)


@lru_cache(maxsize=65536)
def _factor(rectangles: tuple[float, ...], sigma: float, probability: float) -> float:
    """The half-width that holds the probability, for u = 1; found by halving and by the secant in
    turn."""
    if not rectangles:
        return sigma * NormalDist().inv_cdf((1 + probability) / 2)
    if len(rectangles) == 1 and sigma == 0:
        return rectangles[0] * probability

    def excess(h: float) -> float:
        return 2 * distribution(x=h, rectangles=rectangles, sigma=sigma) - 1 - probability

    low, high = 0.0, sum(rectangles) + 9 * sigma
    f_low, f_high = excess(low), excess(high)
    for turn in range(200):
        h = ((low + high) / 2 if turn % 3 == 2 or f_high == f_low
             else low - f_low * (high - low) / (f_high - f_low))
        f = excess(h)
        if f < 0:
            low, f_low = h, f
        else:
            high, f_high = h, f
        if high - low < 1e-9 or abs(f) < 1e-12:
            break
    return h
