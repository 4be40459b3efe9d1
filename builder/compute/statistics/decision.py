"""Decision rules: how far inside the tolerance a reading must lie (JCGM 106:2012; ILAC-G8:09/2019,
4.1 to 4.2.2)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

SIMPLE, MULTIPLE, ROOT_SUM_SQUARE, MULTIPLIER = (
    "simple", "multiple", "root-sum-square", "multiplier")


@dataclass(frozen=True, slots=True)
class Rule:
    """`g` is the multiple of U for the guard band."""

    kind: str
    g: Fraction = Fraction(0)


def multiplier(*, tur: float) -> float:
    """M = 1.04 − e^(0.38·ln TUR − 0.54), the sixth method of the handbook to ANSI/NCSL Z540.3. Not
    above 0: no guard band."""
    return 1.04 - math.exp(0.38 * math.log(tur) - 0.54) if tur > 0 else 1.04


def guard_band(*, rule: Rule, tolerance: float, expanded: float) -> float:
    """w, the distance from the tolerance limit inward to the acceptance limit: 0 for simple
    acceptance, g·U, T − √(T² − U²) for root-sum-square, M·U for the handbook's multiplier. More
    than T leaves no room."""
    if rule.kind == SIMPLE or expanded == 0:
        return 0.0
    if rule.kind == MULTIPLE:
        return float(rule.g) * expanded
    if rule.kind == ROOT_SUM_SQUARE:
        return (tolerance - math.sqrt(tolerance ** 2 - expanded ** 2) if expanded < tolerance
                else math.inf)
    return max(0.0, multiplier(tur=tolerance / expanded)) * expanded


def exact(*, value: float) -> Fraction:
    """Where a statistic becomes a limit: its twelve leading figures as an exact decimal, so that
    the limit is the same on every machine."""
    return Fraction(f"{value:.12g}")
