"""The arithmetic of the bench on the page: what a meter's display shows of what comes to its input,
with a hidden error. `pages/assets/simulated_meter.js` is the same once more; the tests hold both to
each other and to `compute/`.

Every number is exact, in the unit without a prefix; errors are drawn as whole thousandths.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import FunctionTable, RangeTable
from builder.compute.exact.draw import Draw

ZERO = Fraction(0)
# The last digit moves by so many thousandths of a count at most, where the accuracy has room for it
# (choice of this bench).
MOVES = 300
# An autoranging meter whose file names no readings for it goes down at this share of the lower
# range's highest reading (choice of this bench), and up where that is passed.
DOWN = Fraction(95, 100)
GOOD = 800   # a good meter uses at most so many thousandths of the room that its accuracy leaves


@dataclass(frozen=True, slots=True, kw_only=True)
class SimulatedRange:
    """A range of the display. `slope` and `offset` are how far a good meter may be off before the
    display rounds: it is off by a share of slope·|x|, and by one of the offset. `loose` times the
    value is more than any of its tolerances from half of the range on; `counts` are more than any
    tolerance at zero. `moves` are thousandths of a count."""

    full_scale: Fraction
    step: Fraction
    highest: Fraction
    up: Fraction | None = None
    down: Fraction | None = None
    slope: Fraction = ZERO
    offset: Fraction = ZERO
    loose: Fraction = ZERO
    counts: int = 0
    moves: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenError:
    """How far a range is off at one frequency: y = x·(1 + gain) + offset + bow·min(|x|, F − |x|),
    the last with the sign of x. A digit that is `stuck` is (its place from the right, what it
    shows)."""

    gain: Fraction = ZERO
    offset: Fraction = ZERO
    bow: Fraction = ZERO
    stuck: tuple[int, int] | None = None


def simulated(on: RangeTable) -> SimulatedRange:
    """A range of a meter's file, with the room that all of its rows leave."""
    lines = [line for row in on.rows for piece in on.pieces[row]
             for line in (piece.above, piece.below)]
    ends = [end for row in on.rows for end in row.frequency or ()]
    worst = [line.at_frequency(hertz) for line in lines for hertz in ends or [None]]
    least = min(line.offset for line in worst)
    moves = MOVES if least >= on.resolution else 0
    half = on.full_scale / 2
    loose = max(line.at(half) for line in worst) / half
    return SimulatedRange(
        full_scale=on.full_scale, step=on.resolution, highest=on.highest, up=on.up, down=on.down,
        slope=max(ZERO, min(line.slope for line in worst)),
        offset=max(ZERO, least - on.resolution * (500 + moves) / 1000),
        loose=Fraction(math.ceil(loose * 10 ** 6), 10 ** 6), moves=moves,
        counts=math.ceil(max(line.offset for line in worst) / on.resolution))


def good_errors(*, ranges: Sequence[SimulatedRange], draw: Draw) -> list[HiddenError]:
    """Of a good meter, for each range in its order: shares in thousandths of the room."""
    return [HiddenError(gain=one.slope * (draw.below(2 * GOOD + 1) - GOOD) / 1000,
                        offset=one.offset * (draw.below(2 * GOOD + 1) - GOOD) / 1000)
            for one in ranges]


def counts(*, on: SimulatedRange, applied: Fraction, error: HiddenError, minus: bool,
           moved: int = 0) -> int:
    """What the converter makes of a value, in counts, however far the display goes; half a count is
    rounded away from zero. `moved` are thousandths of a count. Without a minus nothing is below
    0."""
    size = abs(applied)
    bent = error.bow * min(size, on.full_scale - size) * (-1 if applied < 0 else 1)
    value = (applied + applied * error.gain + error.offset + bent) / on.step + Fraction(moved, 1000)
    whole = math.floor(abs(value) + Fraction(1, 2)) * (-1 if value < 0 else 1)
    return whole if minus or whole > 0 else 0


def is_over(*, on: SimulatedRange, reading: int) -> bool:
    """Whether so many counts are overload."""
    return abs(reading) * on.step > on.highest


def shown(*, reading: int, error: HiddenError) -> int:
    """The counts as the digits show them."""
    if error.stuck is None:
        return reading
    place, digit = error.stuck
    ten = 10 ** place
    size = abs(reading)
    stuck = size + (digit - size // ten % 10) * ten
    return -stuck if reading < 0 else stuck


def range_for(*, ranges: Sequence[SimulatedRange], here: int, readings: Sequence[int]) -> int:
    """The place of the range that an autoranging meter goes to from `here`, by what each of them
    would read: up past its highest reading or where its file says so, down where the file says so
    or at `DOWN` of the lower range's highest reading."""
    place = here
    while place + 1 < len(ranges) and _goes_up(ranges[place], readings[place]):
        place += 1
    while place > 0 and place <= here and _goes_down(ranges, place, readings):
        place -= 1
    return place


def _goes_up(on: SimulatedRange, reading: int) -> bool:
    size = abs(reading) * on.step
    return size > on.highest or on.up is not None and size >= on.up


def _goes_down(ranges: Sequence[SimulatedRange], place: int, readings: Sequence[int]) -> bool:
    on, below = ranges[place], ranges[place - 1]
    leaves = on.down if on.down is not None else below.highest * DOWN
    return (abs(readings[place]) * on.step <= leaves
            and not _goes_up(below, readings[place - 1]))


def groups_of(table: FunctionTable) -> list[list[int]]:
    """Places of ranges that the meter can switch between by itself: same jacks, same dial."""
    groups: dict[tuple, list[int]] = {}
    for place, on in enumerate(table.ranges):
        groups.setdefault(on.position, []).append(place)
    return list(groups.values())
