"""A reading beside a reference meter: how far from the planned value the reference may be.

The accuracy row of a compared point is chosen for about the planned value; beyond this band another
row may hold, so no limit is given there (choice of this project).
"""

from __future__ import annotations

import math
from fractions import Fraction

LOWEST, HIGHEST = Fraction(4, 5), Fraction(5, 4)   # of the planned value, the highest left out
AT_ZERO = Fraction(1, 100)                         # of the range, where zero was planned

STEP = Fraction(1, 20)                             # of the planned value, from one column of the
                                                   # sheet's table to the next


def starts(*, size: Fraction, resolution: Fraction) -> list[Fraction]:
    """Where the columns of a table of allowances begin, from four fifths of the planned value up to
    five quarters of it, each a reading of the display (choice of this project); all in one unit."""
    shares = [LOWEST + n * STEP for n in range(int((HIGHEST - LOWEST) / STEP))]
    return [math.ceil(size * share / resolution) * resolution for share in shares]


def band(*, planned: Fraction, full_scale: Fraction) -> tuple[Fraction, Fraction]:
    """The ends of where a reference reading may lie."""
    if planned == 0:
        return -full_scale * AT_ZERO, full_scale * AT_ZERO
    return planned * LOWEST, planned * HIGHEST


def is_near(*, reference: Fraction, planned: Fraction, full_scale: Fraction) -> bool:
    """Whether a reference reading is near enough to the planned value; all in one unit."""
    size, same_sign = abs(planned), -reference if planned < 0 else reference
    if size == 0:
        return abs(reference) <= full_scale * AT_ZERO
    return size * LOWEST <= same_sign < size * HIGHEST
