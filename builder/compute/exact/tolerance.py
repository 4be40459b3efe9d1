"""How far a good meter may read from the applied value.

Every number here is an exact `Fraction` in the function's unit without a prefix (V, A, ohm, Hz,
percentage points for a duty cycle, degrees of the specification's own scale for a temperature).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

ZERO = Fraction(0)
ONE = Fraction(1)


@dataclass(frozen=True, slots=True)
class Accuracy:
    """A data sheet's accuracy, a sum of terms. To add a term: a field here, a line in `line`,
    and its spelling in `builder/formats/accuracy.py`."""

    percent_of_reading: Fraction = ZERO
    counts: Fraction = ZERO
    percent_of_range: Fraction = ZERO
    fixed: Fraction = ZERO


@dataclass(frozen=True, slots=True)
class ToleranceLine:
    """Any accuracy on one range is a straight line over the applied value: T = slope·|x| +
    offset."""

    slope: Fraction
    offset: Fraction

    def at(self, applied: Fraction) -> Fraction:
        return self.slope * abs(applied) + self.offset


def line(*, accuracy: Accuracy, resolution: Fraction, base: Fraction,
         growth: Fraction = ONE) -> ToleranceLine:
    """T = growth · (|x|·(percent of reading)/100 + counts·r + F·(percent of range)/100 + fixed)

    `resolution` r is the value of one count, `base` F is what the percent of range is taken of.
    The percent of reading is evaluated at the applied value x (common practice). The shape for a
    percent of reading with a percent of range is that of the voltmeter in JCGM 100:2008, 4.3.7.
    """
    return ToleranceLine(
        slope=growth * accuracy.percent_of_reading / 100,
        offset=growth
        * (accuracy.counts * resolution + base * accuracy.percent_of_range / 100 + accuracy.fixed),
    )


def degrees_beyond(*, ambient: tuple[Fraction, Fraction],
                   reference: tuple[Fraction, Fraction]) -> Fraction:
    """How far the ambient band lies outside the reference band, at the point of it that is nearest.

    A sheet has one limit for its whole ambient band. The nearest point gives the tightest of the
    limits that hold within the band, so a reading accepted anywhere in the band is within the
    tolerance there (choice of this project).
    """
    low, high = ambient
    return max(ZERO, reference[0] - high, low - reference[1])


def growth(*, coefficient: Fraction, degrees: Fraction) -> Fraction:
    """1 + coefficient · degrees: the accuracy grows by a fraction of itself per degree beyond its
    band, without a jump at the band's edge. The coefficient is the meter's own, never assumed."""
    return ONE + coefficient * degrees
