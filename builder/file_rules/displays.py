"""Rules about a range beside the display that shows it: steps, highest reading, changes."""

from __future__ import annotations

from fractions import Fraction

from builder.file_rules.plausible import CONFIRM, other_case
from builder.file_rules.saying import Say
from builder.files.problems import WARNING
from builder.formats.meter import FunctionEntry, RangeEntry
from builder.numbers import units
from builder.numbers.units import Quantity
from builder.procedure import meter_function


def counts_right(say: Say, path: tuple, counts: int, function: FunctionEntry,
                 given: RangeEntry) -> bool:
    """Whether a range can be shown: its name, steps and ends beside how far the display counts."""
    step, full = given.resolution.value, given.range.value
    if slip := _case_of_a_prefix(function, given, counts):
        key, meant = slip
        say((*path, key), "prefix",
            f"a {given.range} range doesn't go with steps of {given.resolution}",
            f"did you mean '{meant}'?")
        return False
    digits = units.decimal_text(given.resolution.number).replace(".", "").strip("0")
    if digits not in ("1", "2", "5"):
        say((*path, "resolution"), "resolution", f"a display can't step by {given.resolution}",
            "the last digit steps by 1, 2 or 5")
        return False
    if (full / step).denominator != 1 or full / step < 2:
        say((*path, "resolution"), "resolution",
            f"{given.range} is not a whole number of steps of {given.resolution}",
            f"with {counts} counts a {given.range} range commonly resolves "
            f"{_common_step(given.range, counts)}")
        return False
    highest = meter_function.highest_reading(given)
    if given.highest_reading and (highest / step).denominator != 1:
        say((*path, "highest_reading"), "resolution",
            f"{given.highest_reading} is not a whole number of steps of {given.resolution}",
            "a display can't show it")
        return False
    if highest / step > counts:
        say((*path, "highest_reading" if given.highest_reading else "resolution"), "counts",
            f"the range would count to {highest / step}, the display counts to {counts}",
            f"with {counts} counts a {given.range} range commonly resolves "
            f"{_common_step(given.range, counts)}; "
            "a function or a range that counts further has its own 'display'")
        return False
    if given.up_range and given.up_range.value > highest + step:
        say((*path, "up_range"), "order",
            "the meter would leave the range beyond its highest reading", "check 'up_range'")
    finer = (function.ranging != "manual" and full / step * 10 <= counts
             and not (given.confirmed or function.confirmed))
    if finer:
        say((*path, "resolution"), "resolution",
            f"with {counts} counts a {given.range} range could resolve ten times finer than "
            f"{given.resolution}",
            f"commonly {_common_step(given.range, counts)}; {CONFIRM}",
            severity=WARNING)
    if function.ranging == "manual" and (given.up_range or given.down_range):
        say((*path, "up_range" if given.up_range else "down_range"), "order",
            "this function doesn't change its range by itself",
            "delete the key, or 'ranging: manual'")
    lowest = meter_function.lowest_specified(given)
    if lowest is not None and lowest >= highest:
        say((*path, "lowest"), "order", "the lowest specified value is above the highest reading")
    return True


def _case_of_a_prefix(function: FunctionEntry, given: RangeEntry,
                      counts: int) -> tuple[str, Quantity] | None:
    """Where the range can't count in these steps, and with m for M, or M for m, it would: which
    key, and what was meant. Where either key may be meant, it is the one that leaves the range
    nearer to another of its function."""
    def counts_up(full: Quantity, step: Quantity) -> bool:
        return 2 <= full.value / step.value <= counts

    if counts_up(given.range, given.resolution):
        return None
    others = [near.range.value for near in function.ranges
              if near is not given and near.range.dimension == given.range.dimension]
    meant: list[tuple[Fraction, str, Quantity]] = []
    for key in ("range", "resolution"):
        other = other_case(getattr(given, key))
        full = other if other and key == "range" else given.range
        if other and counts_up(full, given.resolution if key == "range" else other):
            apart = [max(full.value / near, near / full.value) for near in others]
            meant.append((min(apart, default=Fraction(1)), key, other))
    return min(meant, key=lambda pair: pair[0])[1:] if meant else None


def _common_step(name: Quantity, counts: int) -> str:
    step = Fraction(1)
    while name.number / step > counts:
        step *= 10
    while name.number / (step / 10) <= counts:
        step /= 10
    return f"{units.decimal_text(step)} {name.unit.ascii}"
