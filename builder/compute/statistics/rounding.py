"""What a display accepts of the error before rounding, where it shows an accepted reading.

If the last accepted count is n, everything up to n + 1/2 counts is shown as n, and accepted. So the
limits of the error before rounding are those of the rounding cells of the accepted counts, which
lie round what is applied, on the display's grid or off it.
"""

from __future__ import annotations

import math
from fractions import Fraction


def cells(*, lowest: Fraction, highest: Fraction, step: Fraction,
          hides_below: bool = False) -> tuple[float, float]:
    """The errors before rounding that are shown as `lowest` to `highest`, in steps of `step`; all
    in one unit. `hides_below`: whatever lies below is shown as `lowest`, by a display without a
    minus."""
    return -math.inf if hides_below else float(lowest - step / 2), float(highest + step / 2)


def of_difference(*, own: Fraction, other: Fraction) -> tuple[Fraction, float]:
    """Two readings rounded to `own` and `other`, of which the difference is judged, while what both
    share (leads, a compared value) lies anywhere on their grids: the step of the difference, and
    the half-width by which the other rounding blurs the edges of its cells.

    The difference stands in steps of g, the largest that both are multiples of. With L anywhere,
    round(y + L) − round(L) is at most n where y + e < n + g/2, and e is evenly spread over
    ± (the coarser step)/2 where one step is a multiple of the other; else ± √(a² + b² − g²)/2 has
    the same variance (exact mathematics; the tests have a simulation of it)."""
    step = Fraction(math.gcd(own.numerator * other.denominator, other.numerator * own.denominator),
                    own.denominator * other.denominator)
    return step, math.sqrt(own * own + other * other - step * step) / 2
