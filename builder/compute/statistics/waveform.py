"""Square and triangle waves without a DC part, and the sine beside them: what a meter is expected
to read of each.

Peaks and crest factors are exact, as their squares. The rest is floats: these are expected readings
that help to judge a meter, never limits. """

from __future__ import annotations

import math
from fractions import Fraction

SINE, SQUARE, TRIANGLE = "sine", "square", "triangle"
# Rectified sines, with the square of mean/r.m.s.: of the peak 1/π and 1/2, and 2/π and 1/√2.
RECTIFIED = {"half wave": 4 / math.pi ** 2, "full wave": 8 / math.pi ** 2}

# Of an r.m.s. value of 1 the square of the peak: from the mean of sin², 1 and x² over a quarter of
# a period, 1/2, 1 and 1/3.
_CREST_SQUARED = {SINE: Fraction(2), SQUARE: Fraction(1), TRIANGLE: Fraction(3)}

# By wave: the share of the mean square in the fundamental, and the power of n by which the shares
# of odd harmonics fall.
_SHARES = {SQUARE: (8 / math.pi ** 2, 2), TRIANGLE: (96 / math.pi ** 4, 4)}
_SUMMED = 2000  # harmonics above that number are summed as an integral, wrong by less than 10⁻¹⁰


def crest_squared(*, wave: str) -> Fraction:
    """The square of peak/r.m.s.: 2 for a sine, 1 for a square, 3 for a triangle (exact
    mathematics)."""
    return _CREST_SQUARED[wave]


def peak_squared(*, wave: str, rms: Fraction) -> Fraction:
    """The square of the peak in V² (or A²): crest²·rms², to be compared with the square of a limit
    so that it stays exact (exact mathematics)."""
    return _CREST_SQUARED[wave] * rms * rms


def mean_responding(*, wave: str) -> float:
    """What a meter that responds to the mean of |x|, AC coupled and calibrated to show the r.m.s.
    of a sine, reads of a wave, relative to its r.m.s.: (mean/rms)·π/(2√2) (exact mathematics).
    Square: mean = peak = rms; triangle: mean = peak/2 and rms = peak/√3."""
    of_sine = math.pi / (2 * math.sqrt(2))
    return {SINE: 1.0, SQUARE: of_sine, TRIANGLE: math.sqrt(3) / 2 * of_sine}[wave]


def mean_with_third(*, part: float) -> float:
    """What such a meter reads, relative to the r.m.s., of sin x + part·sin 3x: a third harmonic in
    step, or against the wave where `part` is negative. Up to a third of the fundamental the wave
    crosses zero where the sine does, so its mean is that of a sine times 1 + part/3 (exact
    mathematics)."""
    return (1 + part / 3) / math.sqrt(1 + part ** 2)


def ac_part(*, rectified: str) -> float:
    """Of the r.m.s. of a rectified sine, what a meter shows that blocks its mean: √(1 − mean²/rms²)
    (exact mathematics)."""
    return math.sqrt(1 - RECTIFIED[rectified])


def kept(*, wave: str, frequency: Fraction, bandwidth: Fraction) -> float:
    """The share of the r.m.s. that is left when every harmonic above the bandwidth (Hz) is lost and
    none below it is weakened: √Σ s₁/nᵖ over the odd n with n·frequency ≤ bandwidth (Fourier series,
    Parseval).

    Square: s₁ = 8/π², p = 2; triangle: s₁ = 96/π⁴, p = 4. A real meter loses harmonics gradually,
    so its reading only resembles this one. """
    highest = bandwidth // frequency
    if highest < 1:
        return 0.0
    if wave == SINE:
        return 1.0
    first, power = _SHARES[wave]
    if highest < _SUMMED:
        return math.sqrt(first * math.fsum(1 / n ** power for n in range(1, highest + 1, 2)))
    # halfway between the last odd harmonic that is kept and the first that is lost
    even = highest + highest % 2
    lost = first / (2 * (power - 1) * even ** (power - 1))
    return math.sqrt(1 - lost)
