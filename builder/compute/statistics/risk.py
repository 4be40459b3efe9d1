"""The two risks of a verdict, never mixed: specific (for a reading at one place) and global
(averaged over meters).

They use the standard uncertainty u itself, never U/2. Standard library only; absolute error below
1e-6. """

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist

from builder.compute.statistics.budget import Component, distribution, rectangles_and_sigma

_ROOT2 = math.sqrt(2)
_ROOT2PI = math.sqrt(2 * math.pi)


def specific_at_limit(*, components: Sequence[Component], guard: float, tolerance: float) -> float:
    """How likely the meter is beyond its tolerance when it reads exactly at the acceptance limit,
    `guard` inside the tolerance limit; from the budget's own shapes, with nothing else known of the
    meter (JCGM 106:2012, 7.3). 50 % for no guard band; 2.3 % for guard = U only if the shape is
    normal and k is 2."""
    rectangles, sigma = rectangles_and_sigma(components=components)
    beyond_near = 1 - distribution(x=guard, rectangles=rectangles, sigma=sigma)
    beyond_far = distribution(x=guard - 2 * tolerance, rectangles=rectangles, sigma=sigma)
    return beyond_near + beyond_far


def prior_of_share(*, share: float, tolerance: float) -> float:
    """u0 of a centred normal distribution of errors of which `share` lies within ±tolerance."""
    return tolerance / NormalDist().inv_cdf((1 + share) / 2)


def global_risks(*, tolerance: tuple[float, float], acceptance: tuple[float, float], u0: float,
                 u: float,
                 mean: float = 0.0) -> tuple[float, float]:
    """(false accept, false reject) for a meter drawn from N(mean, u0²) and a reading N(error, u²),
    after JCGM 106:2012, 9.5:

    false accept = ∫ outside the tolerance of prior(η)·[Φ((A_U − η)/u) − Φ((A_L − η)/u)] dη
    false reject = ∫ inside the tolerance of prior(η)·{1 − the same bracket} dη
    """
    (t_low, t_high), (a_low, a_high) = tolerance, acceptance
    mirrored = t_low == -t_high and a_low == -a_high and mean == 0
    accept = _accept_above(t_high, a_low, a_high, u0, u, mean)
    reject = _reject_above(t_low, t_high, a_high, u0, u, mean)
    if mirrored:
        return 2 * accept, 2 * reject
    return (accept + _accept_above(-t_low, -a_high, -a_low, u0, u, -mean),
            reject + _reject_above(-t_high, -t_low, -a_low, u0, u, -mean))


def _accept_above(t_high: float, a_low: float, a_high: float, u0: float, u: float,
                  mean: float) -> float:
    """The part of the false accepts above the upper tolerance limit."""
    end = min(a_high + 7 * u, mean + 8 * u0)
    start = max(t_high, mean - 8 * u0)
    if end <= start:
        return 0.0
    s, s0 = u * _ROOT2, u0 * _ROOT2
    middle, half, total = (start + end) / 2, (end - start) / 2, 0.0
    for x, weight in _nodes(24):
        eta = middle + half * x
        z = (eta - mean) / s0
        total += weight * math.exp(-z * z) * (
            math.erfc((eta - a_high) / s) - math.erfc((eta - a_low) / s))
    return half * total / 2 / (u0 * _ROOT2PI)


def _reject_above(t_low: float, t_high: float, a_high: float, u0: float, u: float,
                  mean: float) -> float:
    """The part of the false rejects by readings above the upper acceptance limit."""
    start, end = max(t_low, a_high - 7 * u, mean - 8 * u0), min(t_high, mean + 8 * u0)
    if end <= start:
        return 0.0
    s, s0 = u * _ROOT2, u0 * _ROOT2
    # Split where the reading goes from surely accepted to surely rejected, so that each part is
    # smooth.
    cuts = [start, *(cut for cut in (a_high, a_high + 7 * u) if start < cut < end), end]
    total = 0.0
    for left, right in pairwise(cuts):
        middle, half, part = (left + right) / 2, (right - left) / 2, 0.0
        for x, weight in _nodes(24):
            eta = middle + half * x
            z = (eta - mean) / s0
            part += weight * math.exp(-z * z) * math.erfc((a_high - eta) / s)
        total += half * part
    return total / 2 / (u0 * _ROOT2PI)


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
