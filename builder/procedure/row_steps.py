"""The order of a group's rows, and what is ticked between two of them.

A range or a coil that may be on for a limited time rests between the rows that need it. Where a
hazardous voltage may stand at the terminals no key is pressed: a range that is selected by hand is
selected in standby, seen on the display, and only then the output goes on. Polarity is turned at
the source through zero. (All common practice; no standard is quoted for them.)
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.points import siblings
from builder.compute.exact.time_limits import Rests, TimedRow, TimedStart
from builder.numbers import exact_text
from builder.procedure.on_times import limited, reading_time, seconds, time_limits
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import Sentence, sentence
from builder.procedure.supplies import REFERENCE

Steps = tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class RowStart:
    """What is ticked before a row; of a group's first row this is among its opening steps. `pause`
    is for how many seconds the output must be off before, `on` for how many it may then be on."""

    steps: Steps = ()
    pause: Fraction | None = None
    on: Fraction | None = None
    rest: Steps = ()        # the step of the pause


NO_START = RowStart()


# ---------------------------------------------------------------- the order

def by_hand(point: PlannedPoint) -> RangeTable | None:
    """The range that a key has to select for this point; None where the meter chooses by itself,
    or has nothing to choose from."""
    table = point.function.table
    chosen = point.forced or (not table.autoranging and len(siblings(table, point.range)) > 1)
    return point.range if chosen else None


def in_order(planned: list[PlannedPoint], live: bool) -> list[PlannedPoint]:
    """The rows of a group. Range by range, rising, observations behind; ranges by hand last.

    In a live group the rows on ranges by hand rise in voltage throughout, and the others stand
    before or behind them all, so that the way back to automatic is taken once at most: what ends at
    the higher voltage comes last. The others are done with one polarity, then with the other."""
    if not live:
        return sorted(planned, key=lambda p: (p.forced, *_range_by_range(p)))
    chosen = sorted((p for p in planned if by_hand(p)), key=lambda p: (
        p.volts, p.range.full_scale, abs(p.applied), p.applied < 0, p.hertz or 0, p.wave))
    automatic = sorted((p for p in planned if not by_hand(p)),
                       key=lambda p: (p.applied < 0, *_range_by_range(p)))
    parts = sorted(filter(None, (chosen, automatic)), key=lambda part: max(p.volts for p in part))
    return [point for part in parts for point in part]


def _range_by_range(p: PlannedPoint) -> tuple:
    return (bool(p.observe) and p.applied != 0, not p.observe, p.wave, p.range.full_scale,
            p.hertz or 0, abs(p.applied), p.applied < 0)


# ---------------------------------------------------------------- between two rows

def row_starts(planned: list[PlannedPoint], live: bool, rests: Rests) -> list[RowStart]:
    """What is ticked before each of a group's rows, which stand as `in_order` has them. `rests`
    knows what was on in the groups before."""
    pairs = list(zip([None, *planned], planned, strict=False))
    timed = rests.starts([
        TimedRow(time_limits(row.function, row.range, row.supply), reading_time(row.find),
                 goes_off=live and above is not None and (
                     by_hand(above) is not by_hand(row) or _is_turned(above, row)))
        for above, row in pairs])
    starts = []
    for (above, row), time in zip(pairs, timed, strict=True):
        pause = _pause(row, time.pause) if time.pause else ()
        steps = _between(above, row, live, time, pause) if above and time.goes_off else ()
        starts.append(RowStart(steps, time.pause, time.on, pause))
    return starts


def _is_turned(above: PlannedPoint, row: PlannedPoint) -> bool:
    return above.applied * row.applied < 0


def _between(above: PlannedPoint, row: PlannedPoint, live: bool, time: TimedStart,
             pause: Steps) -> Steps:
    """What is ticked where the output goes off between two rows."""
    chosen = by_hand(above) is not by_hand(row)
    turn = _turn(row) if live and _is_turned(above, row) else ()
    if turn and not chosen and time.on is None and row.supply.method != REFERENCE:
        return (sentence("source-zero", rest=rest(row)), *turn)
    return (rested(row), *pause, *(range_steps(row) if chosen else ()), *turn,
            *([sentence("hands-off")] if live else []), switched_on(row, time.on))


def _pause(row: PlannedPoint, pause: Fraction) -> Steps:
    limits = time_limits(row.function, row.range, row.supply)
    return (sentence("pause", what=tuple(map(limited, limits)), off=seconds(pause)),)


def range_steps(point: PlannedPoint) -> Steps:
    """How the range of a live point is selected, with the output in standby."""
    chosen = by_hand(point)
    if chosen is None:
        return (sentence("range-automatic"),)
    name = point.function.names[chosen]
    zero = exact_text.amount(0, name.unit, exact_text.decimals(chosen.resolution, name.unit))
    return (sentence("range-select", range=exact_text.quantity(name)),
            sentence("range-seen", range=exact_text.quantity(name), zero=zero))


def rest(point: PlannedPoint) -> str:
    """What a source at rest puts out."""
    current = point.function.kind.dimension == "[current]" or (
        point.level is not None and point.level.dimension == "[current]")
    return "0 A" if current else "0 V"


def rested(point: PlannedPoint) -> Sentence:
    """The source at zero and in standby, or the supply off."""
    return (sentence("supply-off") if point.supply.method == REFERENCE
            else sentence("source-standby", rest=rest(point)))


def switched_on(point: PlannedPoint, most: Fraction | None = None) -> Sentence:
    """The output or the supply on, for `most` seconds at most."""
    supply = point.supply.method == REFERENCE
    if most is None:
        return sentence("supply-on" if supply else "source-on")
    return sentence("supply-on-for" if supply else "source-on-for", on=seconds(most))


def _turn(point: PlannedPoint) -> Steps:
    return (sentence("supply-turn" if point.supply.method == REFERENCE else "source-turn"),)
