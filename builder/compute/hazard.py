"""When a point can hurt."""

from __future__ import annotations

from fractions import Fraction

HAZARDOUS_AC = Fraction(30)   # V r.m.s.; 42.4 V peak for a waveform
HAZARDOUS_DC = Fraction(60)   # V


def is_hazardous(*, volts: Fraction, ac: bool) -> bool:
    """Above 30 V AC r.m.s. or 60 V DC (the thresholds in the scope of EN 61010-031:2015/A11, dry places)."""
    return abs(volts) > (HAZARDOUS_AC if ac else HAZARDOUS_DC)
