"""The two risks of a verdict, never mixed: specific (for a reading at one place) and global
(averaged over meters).

They use the standard uncertainty u itself, never U/2. Standard library only; absolute error below
1e-6. `rounded.py` says which limits a display makes of accepted counts. """

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist

from builder.compute.statistics.budget import Component, distribution, rectangles_and_sigma

_ROOT2 = math.sqrt(2)
_ROOT2PI = math.sqrt(2 * math.pi)


def specific_at_limit(*, components: Sequence[Component], guard: float, tolerance: float) -> float:
    """How likely the meter is beyond its tolerance when its error reads `guard` inside one of the
    limits, which lie 2·`tolerance` apart; from the budget's own shapes, with nothing else known of
    the meter (JCGM 106:2012, 7.3). 50 % for no guard band; 2.3 % for guard = U only if the shape is
    normal and k is 2."""
    rectangles, sigma = rectangles_and_sigma(components=components)
    beyond_near = 1 - distribution(x=guard, rectangles=rectangles, sigma=sigma)
    beyond_far = distribution(x=guard - 2 * tolerance, rectangles=rectangles, sigma=sigma)
    return beyond_near + beyond_far


def prior_of_share(*, share: float, tolerance: float) -> float:
    """u0 of a normal distribution of errors, centred between limits 2·`tolerance` apart, of which
    `share` lies between them."""
    return tolerance / NormalDist().inv_cdf((1 + share) / 2)


def beyond_when_read(*, reading: float, tolerance: float, u0: float, u: float) -> float:
    """How likely the error is beyond +`tolerance` when it reads `reading`, for a meter drawn from
    N(0, u0²) and a reading N(error, u²): the posterior is normal with the mean reading·u0²/(u0² +
    u²) and the standard deviation u0·u/√(u0² + u²) (JCGM 106:2012, 7.4, from memory; conjugate
    normals, exact mathematics)."""
    both = u0 ** 2 + u ** 2
    posterior = NormalDist(reading * u0 ** 2 / both, u0 * u / math.sqrt(both))
    return 1 - posterior.cdf(tolerance)


def global_risks(*, tolerance: tuple[float, float], acceptance: tuple[float, float], u0: float,
                 u: float, mean: float = 0.0, blur: float = 0.0) -> tuple[float, float]:
    """(false accept, false reject) for a meter drawn from N(mean, u0²) and a reading N(error, u²),
    after JCGM 106:2012, 9.5:

    false accept = ∫ outside the tolerance of prior(η)·[F(A_U − η) − F(A_L − η)] dη
    false reject = ∫ inside the tolerance of prior(η)·{1 − the same bracket} dη

    F is the distribution of the reading about the error: Φ(x/u), or its mean over x ± `blur` where
    a rounding at an unknown place comes to it. Either acceptance limit may lie beyond the
    tolerance, or nowhere (infinite). """
    (t_low, t_high), (a_low, a_high) = tolerance, acceptance
    u = max(u, 1e-9 * u0)   # a perfect standard
    known = {"u0": u0, "u": u, "mean": mean, "blur": blur}
    if t_low == -t_high and a_low == -a_high and mean == 0:
        return (2 * _accepted(t_high, math.inf, a_low, a_high, **known),
                2 * _rejected(0.0, t_high, a_low, a_high, **known))
    return (_accepted(-math.inf, t_low, a_low, a_high, **known)
            + _accepted(t_high, math.inf, a_low, a_high, **known),
            _rejected(t_low, t_high, a_low, a_high, **known))


def outside(*, tolerance: tuple[float, float], u0: float, mean: float = 0.0) -> float:
    """The share of N(mean, u0²) that lies outside the tolerance."""
    return _mass(-math.inf, tolerance[0], mean, u0) + _mass(tolerance[1], math.inf, mean, u0)


def _accepted(start: float, end: float, a_low: float, a_high: float, *, u0: float, u: float,
              mean: float, blur: float) -> float:
    """How many of all meters have an error between start and end and are accepted."""
    below = _below(u, blur)
    return _mean_of(lambda eta: below(a_high - eta) - below(a_low - eta),
                    start, end, (a_low, a_high), u0=u0, u=u, mean=mean, blur=blur)


def _rejected(start: float, end: float, a_low: float, a_high: float, *, u0: float, u: float,
              mean: float, blur: float) -> float:
    """How many of all meters have an error between start and end and are rejected."""
    below = _below(u, blur)
    return _mean_of(lambda eta: below(eta - a_high) + below(a_low - eta),
                    start, end, (a_low, a_high), u0=u0, u=u, mean=mean, blur=blur)


def _below(u: float, blur: float) -> Callable[[float], float]:
    """F: how likely a reading lies at most x above the error. Its shape is even."""
    if blur < 1e-3 * u:  # nothing beside u; a mean over so little would lose its figures
        scale = u * _ROOT2
        return lambda x: 0.5 * math.erfc(-x / scale)
    return lambda x: distribution(x=x, rectangles=(blur,), sigma=u) if math.isfinite(x) else (
        0.0 if x < 0 else 1.0)


def _mean_of(chance: Callable[[float], float], start: float, end: float,
             edges: tuple[float, float], *, u0: float, u: float, mean: float,
             blur: float) -> float:
    """∫ start … end of prior(η)·chance(η) dη. Farther than 6 u from both edges the chance is 0 or
    1, so that the prior's own integral does; between, pieces that are smooth."""
    start, end = max(start, mean - 8.5 * u0), min(end, mean + 8.5 * u0)
    if end <= start:
        return 0.0
    reach = blur + 6 * u
    near = sorted({0.0, reach, blur - 6 * u} if blur else {0.0, reach})
    cuts = {mean, *(edge + side * d for edge in edges for side in (-1, 1) for d in near)}
    ends = [start, *sorted(cut for cut in cuts if start < cut < end), end]
    total, scale, density = 0.0, u0 * _ROOT2, u0 * _ROOT2PI
    for left, right in pairwise(ends):
        middle, half = (left + right) / 2, (right - left) / 2
        if all(abs(middle - edge) >= reach for edge in edges):
            if chance(middle) > 0.5:
                total += _mass(left, right, mean, u0)
            continue
        part = 0.0
        for x, weight in _nodes(14):
            eta = middle + half * x
            z = (eta - mean) / scale
            part += weight * math.exp(-z * z) * chance(eta)
        total += half * part / density
    return total


def _mass(start: float, end: float, mean: float, u0: float) -> float:
    """The share of N(mean, u0²) from start to end; in the tails nothing cancels."""
    low, high = (start - mean) / (u0 * _ROOT2), (end - mean) / (u0 * _ROOT2)
    if low < 0 < high:
        return 1 - (math.erfc(-low) + math.erfc(high)) / 2
    if high <= 0:
        low, high = -high, -low
    return (math.erfc(low) - math.erfc(high)) / 2


@lru_cache(maxsize=8)
def _nodes(n: int) -> tuple[tuple[float, float], ...]:
    """Gauss–Legendre nodes and weights on −1 … 1 by Newton's method."""
    nodes = []
    for i in range(n):
        x = math.cos(math.pi * (i + 0.75) / (n + 0.5))
        for _ in range(50):
            p, before = 1.0, 0.0
            for k in range(1, n + 1):
                p, before = ((2 * k - 1) * x * p - (k - 1) * before) / k, p
            slope = n * (x * p - before) / (x * x - 1)
            step = p / slope
            x -= step
            if abs(step) < 1e-15:
                break
        nodes.append((x, 2 / ((1 - x * x) * slope * slope)))
    return tuple(nodes)
