"""How long a row keeps the output on, and before which rows what was on must rest.

A limit belongs to what heats up, a shunt, a coil or an input, and so to all rows that use it,
whatever their function or range. It is on from the moment the output goes on until it is off after
the last reading; then it rests for its whole time before the output goes on again.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.tolerance import ZERO

# Seconds with the output on, all choices of this project.
READING = Fraction(10)      # 3 s until the reading rests, 7 s to read it and write it down
SEEKING = Fraction(60)      # where the technician looks for something from a value on
SETTING = Fraction(10)      # from a reading to the next value, with the output still on


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeLimit:
    """`of` names what heats up; it may be on for `on` seconds and then rests for `off`, 0 where
    nothing is stated."""

    of: Hashable
    on: Fraction
    off: Fraction


@dataclass(frozen=True, slots=True)
class TimedRow:
    """A row with the limits that it falls under, the seconds that its reading takes, and whether
    the output goes off before it for another reason."""

    limits: tuple[TimeLimit, ...] = ()
    reading: Fraction = READING
    goes_off: bool = False


@dataclass(frozen=True, slots=True)
class TimedStart:
    """Whether the output is off before a row, for how many seconds at least, and for how many it
    may then be on; None where nothing limits it."""

    goes_off: bool
    pause: Fraction | None
    on: Fraction | None


class Rests:
    """What was on since it last rested, from group to group."""

    def __init__(self) -> None:
        self.due: dict[Hashable, Fraction] = {}     # the seconds that each must rest

    def starts(self, rows: Sequence[TimedRow]) -> list[TimedStart]:
        """How each row of a group starts, whose output is off before its first row and after its
        last one.

        Rows under the same limits follow each other with the output on while the time up to the end
        of their readings is within each limit. Otherwise the output goes off between them, and what
        the row needs rests for as long as the longest of its limits asks since it was last on."""
        starts: list[TimedStart] = []
        above: tuple[TimeLimit, ...] = ()
        since_on = ZERO
        for row in rows:
            since_on += SETTING + row.reading
            most = min((limit.on for limit in row.limits), default=None)
            goes_off = (not starts or row.goes_off or row.limits != above
                        or (most is not None and since_on > most))
            pause = ZERO
            if goes_off:
                since_on = row.reading
                pause = max((self.due.get(limit.of, ZERO) for limit in row.limits), default=ZERO)
                if pause:
                    for limit in row.limits:
                        self.due.pop(limit.of, None)
            for limit in row.limits:
                self.due[limit.of] = max(limit.off, self.due.get(limit.of, ZERO))
            starts.append(TimedStart(goes_off, pause or None, most))
            above = row.limits
        return starts
