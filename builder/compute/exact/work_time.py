"""How long the work at a sheet takes, from what stands on it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.time_limits import READING, SEEKING, SETTING

# Seconds, all choices of this project, for somebody who knows the sheet.
POINT = SETTING + READING
LINE = Fraction(20)         # a line of ticks between two rows
CHECK = Fraction(30)        # a check without numbers
GROUP = Fraction(120)       # leads, dial and ticks around a group
STEP = 300                  # to which a time is rounded up: 5 min


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkTime:
    """In seconds, each a whole number of steps of 5 min."""

    work: int
    warm_up: int
    pauses: int

    @property
    def total(self) -> int:
        return self.work + self.warm_up + self.pauses


def work_time(*, points: int, sought: int, lines: int, checks: int, groups: int, warm_up: Fraction,
              pauses: Fraction) -> WorkTime:
    """Of `points`, `sought` are those at which something is looked for. `warm_up` and `pauses` are
    seconds and count in full: what is done meanwhile is not taken off."""
    work = (points * POINT + sought * (SEEKING - READING) + lines * LINE + checks * CHECK
            + groups * GROUP)
    return WorkTime(work=_up(work), warm_up=_up(warm_up), pauses=_up(pauses))


def _up(seconds: Fraction) -> int:
    return math.ceil(seconds / STEP) * STEP
