"""Which readings the display can show, and which of them are accepted.

`resolution` is the value of one count in the function's unit; counts are whole numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class AcceptedCounts:
    """The accepted readings, in counts, both ends included; empty where `low` is above `high`."""

    low: int
    high: int
    clamped: bool = False

    @property
    def is_empty(self) -> bool:
        return self.low > self.high

    def holds(self, counts: int) -> bool:
        return self.low <= counts <= self.high


def accepted(*, low: Fraction, high: Fraction, resolution: Fraction,
             shows_minus: bool) -> AcceptedCounts:
    """Of the tolerance limits x − T and x + T: lowest = ceil((x − T)/r),
    highest = floor((x + T)/r), always inward, so that no reading outside the tolerance is accepted
    because of rounding (choice of this project). A display that can't show a minus has nothing
    below 0."""
    lowest, highest = math.ceil(low / resolution), math.floor(high / resolution)
    clamped = not shows_minus and lowest < 0
    return AcceptedCounts(0 if clamped else lowest, highest, clamped)
