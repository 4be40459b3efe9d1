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
    """Any accuracy on one range is a straight line over the applied value, T = slope·|x| + offset,
    and where it grows with the frequency f (Hz) so are both: T = (slope + slope_per_hertz·f)·|x| +
    offset + offset_per_hertz·f."""

    slope: Fraction
    offset: Fraction
    slope_per_hertz: Fraction = ZERO
    offset_per_hertz: Fraction = ZERO

    @property
    def needs_frequency(self) -> bool:
        return bool(self.slope_per_hertz or self.offset_per_hertz)

    def at(self, applied: Fraction, frequency: Fraction | None = None) -> Fraction:
        here = self.at_frequency(frequency)
        return here.slope * abs(applied) + here.offset

    def at_frequency(self, frequency: Fraction | None) -> ToleranceLine:
        """The line at one frequency."""
        if not self.needs_frequency or frequency is None:
            return self
        return ToleranceLine(self.slope + self.slope_per_hertz * frequency,
                             self.offset + self.offset_per_hertz * frequency)

    def __add__(self, other: ToleranceLine) -> ToleranceLine:
        return ToleranceLine(self.slope + other.slope, self.offset + other.offset,
                             self.slope_per_hertz + other.slope_per_hertz,
                             self.offset_per_hertz + other.offset_per_hertz)

    def times(self, factor: Fraction) -> ToleranceLine:
        if factor == ONE:
            return self
        return ToleranceLine(self.slope * factor, self.offset * factor,
                             self.slope_per_hertz * factor, self.offset_per_hertz * factor)


NOTHING = ToleranceLine(ZERO, ZERO)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a good meter may read below an applied value and above it: one and the same but
    where the accuracy differs down and up."""

    below: Fraction
    above: Fraction

    @property
    def is_even(self) -> bool:
        return self.below == self.above

    @property
    def smaller(self) -> Fraction:
        """What a guard band is taken of."""
        return min(self.below, self.above)

    @property
    def half_span(self) -> Fraction:
        """Half of what lies between the two limits."""
        return (self.below + self.above) / 2

    def of_error(self, error: Fraction) -> Fraction:
        """The one on whose side an error lies."""
        return self.above if error >= 0 else self.below

    def outward(self, applied: Fraction) -> Fraction:
        """How far a good meter may read away from zero."""
        return self.above if applied >= 0 else self.below

    def inward(self, applied: Fraction) -> Fraction:
        """How far a good meter may read toward zero."""
        return self.below if applied >= 0 else self.above


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
                   reference: tuple[Fraction, Fraction]) -> tuple[Fraction, Fraction]:
    """How far the ambient band lies below the reference band, and how far above it, at the point of
    it that is nearest; one of the two is always 0.

    A sheet has one limit for its whole ambient band. The nearest point gives the tightest of the
    limits that hold within the band, so a reading accepted anywhere in the band is within the
    tolerance there (choice of this project).
    """
    low, high = ambient
    return max(ZERO, reference[0] - high), max(ZERO, low - reference[1])


def growth(*, coefficient: Fraction, degrees: Fraction) -> Fraction:
    """1 + coefficient · degrees: the accuracy grows by a fraction of itself per degree beyond its
    band, without a jump at the band's edge. The coefficient is the meter's own, never assumed."""
    return ONE + coefficient * degrees
