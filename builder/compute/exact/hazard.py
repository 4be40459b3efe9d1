"""When a point can hurt."""

from __future__ import annotations

from fractions import Fraction

HAZARDOUS_AC = Fraction(30)   # V r.m.s.
HAZARDOUS_PEAK = Fraction("42.4")  # V
HAZARDOUS_DC = Fraction(60)   # V


def is_hazardous(*, volts: Fraction, ac: bool, peak_squared: Fraction | None = None) -> bool:
    """Above 30 V AC r.m.s. or 60 V DC (the thresholds in the scope of EN 61010-031:2015/A11, dry
    places); a waveform other than a sine by its peak, above 42.4 V."""
    if peak_squared is not None:
        return peak_squared > HAZARDOUS_PEAK ** 2
    return abs(volts) > (HAZARDOUS_AC if ac else HAZARDOUS_DC)
