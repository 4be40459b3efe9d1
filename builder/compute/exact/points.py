"""From an applied value to the range, the accuracy row, the tolerance and the accepted readings,
or to the reason why no limit can be given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from builder.compute.exact.accuracy_table import AccuracyRow, FunctionTable, InputLimits, RangeTable
from builder.compute.exact.display import AcceptedCounts, accepted
from builder.compute.exact.pieces import Piece
from builder.compute.exact.tolerance import ZERO, Tolerance, ToleranceLine


class Refused(Exception):
    """No limit can be given. `code` says why; `facts` are exact numbers; `refusals.refusal` makes
    the sentence."""

    def __init__(self, code: str, **facts):
        super().__init__(code)
        self.code = code
        self.facts = facts


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedPoint:
    """An applied value with its range, accuracy row, tolerance and acceptance limits, from which a
    planned point is made."""

    applied: Fraction
    frequency: Fraction | None = None
    range: RangeTable
    row: AccuracyRow
    piece: Piece
    sides: Tolerance
    accepted: AcceptedCounts

    @property
    def tolerance(self) -> Fraction:
        """T; of two that differ the smaller, of which a guard band is taken."""
        return self.sides.smaller

    @property
    def low(self) -> Fraction:
        """The exact lower limit."""
        return self.applied - self.sides.below

    @property
    def high(self) -> Fraction:
        """The exact upper limit."""
        return self.applied + self.sides.above

    @property
    def line(self) -> ToleranceLine:
        """Of the upper limit, and of both where they are even: T = slope·|x| + offset."""
        return self.piece.above.at_frequency(self.frequency)

    @property
    def line_below(self) -> ToleranceLine:
        return self.piece.below.at_frequency(self.frequency)


def judge(*, function: FunctionTable, applied: Fraction, frequency: Fraction | None = None,
          wanted: RangeTable | None = None, force: bool = False, signed: bool = False,
          beside: Fraction = ZERO, is_zero: bool = False) -> JudgedPoint:
    """The limits at one point.

    `wanted` is the range that the plan names, `force` says that it is selected by hand. Without
    `wanted` the range is the one that an autoranging meter would be on. `signed` says that the
    limits are for a corrected or relative reading, which has a minus; `beside` is what leads add to
    the raw one at most; `is_zero` says that the point is one of zero, and `applied` what a
    certified part makes of it. Raises `Refused`; its codes are those of
    `builder.procedure.refusals.REFUSALS`. """
    refuse_outside_span(function=function, applied=applied)
    by_hand = wanted if force or not function.autoranging else None
    chosen = by_hand or range_for(function=function, applied=applied, wanted=wanted)
    if wanted is not None and chosen is not wanted:
        raise Refused("other-range", wanted=wanted, chosen=chosen)
    judged = on_range(function=function, on=chosen, applied=applied, frequency=frequency,
                      signed=signed, beside=beside, is_zero=is_zero)
    if function.autoranging and by_hand is None:
        _refuse_if_unclear(function=function, judged=judged, beside=beside)
    return judged


def siblings(function: FunctionTable, one: RangeTable) -> list[RangeTable]:
    """The ranges that the meter can switch between by itself, lowest first."""
    return [r for r in function.ranges if r.position == one.position]


def range_for(*, function: FunctionTable, applied: Fraction,
              wanted: RangeTable | None = None) -> RangeTable:
    """The lowest range whose highest reading holds |x|; among those that share jacks and dial
    position with `wanted`, if the plan names a range."""
    among = siblings(function, wanted) if wanted else list(function.ranges)
    for candidate in among:
        leaves_at = candidate.highest
        if (function.autoranging and candidate.up is not None
                and candidate is not siblings(function, candidate)[-1]):
            leaves_at = min(candidate.up, candidate.highest)
        if abs(applied) <= leaves_at:
            return candidate
    top = max(among, key=lambda r: r.highest)
    raise Refused("beyond-range", on=top)


def on_range(*, function: FunctionTable, on: RangeTable, applied: Fraction,
             frequency: Fraction | None, signed: bool = False, beside: Fraction = ZERO,
             is_zero: bool = False) -> JudgedPoint:
    """The limits on a given range, whatever an autoranging meter would choose."""
    size = abs(applied)
    if applied < 0 and not function.shows_minus:
        raise Refused("no-minus")
    if applied == 0 and not function.has_zero:
        raise Refused("no-zero")
    if size > on.highest:
        raise Refused("beyond-range", on=on)
    is_zero = is_zero or applied == 0
    if not is_zero and size < on.resolution:
        raise Refused("below-one-count", on=on)
    if function.is_below(applied, on.lowest):
        raise Refused("below-lowest", on=on)
    row = row_for(on=on, applied=applied, frequency=frequency)
    piece = on.piece(row, applied, frequency)
    sides = piece.tolerance(applied, frequency)
    if (not sides.is_even and (is_zero or applied < 0) and function.shows_minus
            and not row.by_sign):
        raise Refused("two-sided-minus", on=on)
    outward = sides.outward(applied)
    if size + outward + beside > on.highest:
        raise Refused("leads-past-range" if size + outward <= on.highest
                      else "tolerance-past-range", on=on, tolerance=outward, beside=beside)
    limits = accepted(low=applied - sides.below, high=applied + sides.above,
                      resolution=on.resolution, shows_minus=signed or function.shows_minus)
    if limits.is_empty:
        raise Refused("nothing-displayable", on=on, sides=sides)
    if not is_zero and limits.holds(0):
        raise Refused("accepts-zero", on=on, sides=sides)
    return JudgedPoint(applied=applied, frequency=frequency, range=on, row=row, piece=piece,
                       sides=sides, accepted=limits)


def row_for(*, on: RangeTable, applied: Fraction, frequency: Fraction | None) -> AccuracyRow:
    """The accuracy row that holds. Where two rows meet or overlap both hold, so the tighter one
    applies; a typical row gives no limit, and holds only where no other does."""
    covering = [row for row in on.rows if row.covers(applied=applied, frequency=frequency)]
    if not covering:
        if not any(row.covers_frequency(frequency) for row in on.rows):
            raise Refused("frequency-outside", on=on, frequency=frequency)
        raise Refused("value-outside", on=on, frequency=frequency)
    binding = [row for row in covering if not row.typical]
    if not binding:
        raise Refused("typical", on=on, row=covering[0])
    for row in binding:
        if not row.holds_at(on.surroundings):
            raise Refused("no-coefficient", on=on)
    _refuse_without_frequency(on, binding, frequency)
    within = {row: on.tolerance(row, applied, frequency) for row in binding}
    tightest = min(binding, key=lambda row: within[row].half_span)
    if any(within[row].below < within[tightest].below or within[row].above < within[tightest].above
           for row in binding):
        raise Refused("rows-cross", on=on)
    return tightest


def is_tightest(*, judged: JudgedPoint, low: Fraction, high: Fraction) -> bool:
    """Whether the row and piece of a positive value are the tightest of all that hold, for sizes
    from `low` to `high`. All are straight lines between the ends of rows and pieces, so their ends
    tell."""
    on, hertz = judged.range, judged.frequency
    rows = [row for row in on.rows if not row.typical and row.covers_frequency(hertz)]
    ends = {end for row in rows for part in (row.values, *(p.values for p in on.pieces[row]))
            for end in part or () if end is not None and low < end < high}
    for first, last in pairwise(sorted({low, high, *ends})):
        middle = (first + last) / 2
        for row in rows:
            if row.covers(applied=middle, frequency=hertz):
                other = on.piece(row, middle, hertz)
                if any(other.tolerance(end, hertz).smaller < judged.line.at(end)
                       for end in (first, last)):
                    return False
    return True


def _refuse_without_frequency(on: RangeTable, rows: Sequence[AccuracyRow],
                              frequency: Fraction | None) -> None:
    if frequency is None and any(one.above.needs_frequency for row in rows
                                 for one in on.pieces[row]):
        raise Refused("needs-frequency", on=on)


def refuse_outside_span(*, function: FunctionTable, applied: Fraction) -> None:
    """Raises `Refused` for a temperature that the function's sensor isn't defined for, or that is
    colder than absolute zero."""
    if function.span is not None and not function.span.holds(applied):
        raise Refused("outside-sensor" if function.span.sensor else "below-absolute-zero",
                      span=function.span)


def refuse_beyond_input(*, limits: InputLimits, applied: Fraction,
                        frequency: Fraction | None) -> None:
    """Raises `Refused` where a sine wave, or a steady value (`frequency` None or 0), is more than
    the input bears.

    Peak of a sine: √2·x, compared as 2·x² so that it stays exact.
    """
    size = abs(applied)
    if limits.highest is not None and size > limits.highest:
        raise Refused("beyond-input", limit=limits.highest)
    if limits.peak is not None and (size > limits.peak if not frequency
                                    else 2 * size * size > limits.peak ** 2):
        raise Refused("beyond-peak", limit=limits.peak)
    if (limits.volt_hertz is not None and frequency is not None
        and size * frequency > limits.volt_hertz):
        raise Refused("beyond-volt-hertz", limit=limits.volt_hertz)


def _refuse_if_unclear(*, function: FunctionTable, judged: JudgedPoint, beside: Fraction) -> None:
    """Refuses a point at which a good autoranging meter may sit on another range than the computed
    one; it goes by its raw reading, with what leads add to it."""
    ranges = siblings(function, judged.range)
    place = ranges.index(judged.range)
    applied, here = judged.applied, judged.range
    size, sides = abs(applied), judged.sides
    for below in ranges[:place]:
        if size - _loosest(below, judged).inward(applied) <= below.highest:
            raise Refused("unclear-range", on=here, other=below)
    if place > 0 and here.down is not None and size - sides.inward(applied) <= here.down:
        raise Refused("unclear-range", on=here, other=ranges[place - 1])
    if place + 1 < len(ranges):
        above = ranges[place + 1]
        came_down = above.down is not None and size + _loosest(
            above, judged).outward(applied) + beside >= above.down
        goes_up = here.up is not None and size + sides.outward(applied) + beside >= here.up
        if came_down or goes_up:
            raise Refused("unclear-range", on=here, other=above)


def _loosest(on: RangeTable, judged: JudgedPoint) -> Tolerance:
    """The largest tolerances that any row of a neighbouring range gives a good meter at this value;
    rows for other parts of the range count too, since nothing better is known about a reading
    outside them."""
    rows = [r for r in on.rows if r.covers_frequency(judged.frequency)] or on.rows
    _refuse_without_frequency(on, rows, judged.frequency)
    found = [on.tolerance(row, judged.applied, judged.frequency) for row in rows]
    return Tolerance(max(one.below for one in found), max(one.above for one in found))
