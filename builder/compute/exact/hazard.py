"""When a point can hurt."""

from __future__ import annotations

from fractions import Fraction

HAZARDOUS_AC = Fraction(30)   # V r.m.s.
HAZARDOUS_PEAK = Fraction("42.4")  # V
HAZARDOUS_DC = Fraction(60)   # V

# What closes a live group: a reading of at most 1 V in size, or of five counts where that is more,
# never above 5 V. All three are choices of this project.
NEAR_ZERO = Fraction(1)        # V
NEAR_ZERO_COUNTS = 5
NEAR_ZERO_MOST = Fraction(5)   # V
# The reading before it is within this share of the hazardous value applied: the same meter read
# that value and fell. A choice of this project.
SEEN_WITHIN = Fraction(1, 10)

HAZARDOUS_CHARGE = Fraction("45e-6")  # C, above 60 V
BURNING_ENERGY = Fraction(1, 4)       # J
SMALL, LARGE, DEADLY = "small", "large", "deadly"


def stored(*, farads: Fraction, volts: Fraction) -> Fraction:
    """The energy of a charged capacitor in J: C·U²/2 (physics)."""
    return farads * volts ** 2 / 2


def charge(*, farads: Fraction, volts: Fraction) -> str:
    """How much harm a charged capacitor may do. DEADLY: hazardous live, above 60 V DC and 45 µC
    (IEC 61010-1:2010, 6.3.1, from memory). LARGE: from 0.25 J, where a shock makes a person start
    and a short circuit sparks (DOE-HDBK-1092, from memory; at low voltages this project's choice).
    SMALL: else."""
    if abs(volts) > HAZARDOUS_DC and farads * abs(volts) > HAZARDOUS_CHARGE:
        return DEADLY
    return LARGE if stored(farads=farads, volts=volts) >= BURNING_ENERGY else SMALL


def is_hazardous(*, volts: Fraction, ac: bool, peak_squared: Fraction | None = None) -> bool:
    """Above 30 V AC r.m.s. or 60 V DC (the thresholds in the scope of EN 61010-031:2015/A11, dry
    places); a waveform other than a sine by its peak, above 42.4 V."""
    if peak_squared is not None:
        return peak_squared > HAZARDOUS_PEAK ** 2
    return abs(volts) > (HAZARDOUS_AC if ac else HAZARDOUS_DC)


def threshold(*, ac: bool) -> Fraction:
    """The voltage, in V, above which a reading is hazardous live: of `is_hazardous`, and for
    readings, which are r.m.s. or DC."""
    return HAZARDOUS_AC if ac else HAZARDOUS_DC


def near_zero_limit(*, resolution: Fraction) -> Fraction:
    """The largest reading in V that counts as near zero on a range whose count is `resolution`, in
    V. A meter that is good may show some counts at zero, which on a coarse range are volts."""
    return min(max(NEAR_ZERO, NEAR_ZERO_COUNTS * resolution), NEAR_ZERO_MOST)
