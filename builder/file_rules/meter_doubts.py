"""What in a meter's file may be a slip: each number beside its neighbours and the display."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise, product

from builder.file_rules.plausible import StatedRow, doubt, out_of_line, prefixes, rows, steps
from builder.file_rules.saying import Say
from builder.formats.accuracy import AccuracyText
from builder.formats.meter import FunctionEntry, Meter, RangeEntry
from builder.compute.exact.tolerance import ZERO
from builder.numbers import exact_text, units
from builder.procedure import meter_function

_QUARTER = Fraction(1, 4)   # of the range: no data sheet states an accuracy so coarse
_LOW_SIDES = {"COM", "COMMON", "LO", "-", "−"}
RATED = "rated", "between_terminals"
_USUAL = Fraction(20), Fraction(2000)   # volts, of meters that are held in a hand


def of_meter(say: Say, meter: Meter) -> None:
    """Its ratings."""
    volts = meter.rated.between_terminals
    if volts.dimension == "[voltage]" and not _USUAL[0] <= volts.value <= _USUAL[1]:
        doubt(say, RATED, f"a hand-held meter rated {volts} is unusual",
              "is a prefix wrong?", bool(meter.rated.confirmed))


def of_function(say: Say, path: tuple, meter: Meter, function: FunctionEntry,
                ranges: list[tuple[int, RangeEntry]]) -> None:
    """`ranges` are those of a function without errors, lowest first, each with its position in the
    file."""
    sure = bool(function.confirmed)
    _jacks(say, path, function)
    # what is stated up beside its like, and what is stated down, at each time since adjustment
    for days, n in product([time.days for time in function.times] or [0], (0, 1)):
        rows(say, [StatedRow(path=(*path, "ranges", j, "accuracy", k, row.key), within=side,
                             size=given.range.value, frequency=row.frequency,
                             confirmed=sure or bool(given.confirmed or row.confirmed))
                   for j, given in ranges for k, row in enumerate(given.accuracy)
                   for side in row.since(days).sides[n:n + 1]])
    named = [((*path, "ranges", j, "range"), given.range, sure or bool(given.confirmed))
             for j, given in ranges]
    told = prefixes(say, named)
    highest = meter_function.input_limits(meter, function).highest
    if highest and not function.kind.needs_level and RATED not in say.doubted:
        for where, name, confirmed in named:
            if name.value > 2 * highest:
                doubt(say, where, f"a {name} range is more than twice what the input bears",
                      "is a prefix wrong, or 'rated' or 'input'?", confirmed)
    steps(say, named, told)
    for j, given in ranges:
        where, confirmed = (*path, "ranges", j), sure or bool(given.confirmed)
        if given.base and out_of_line(given.base.value, [given.range.value], 3):
            doubt(say, (*where, "base"), f"percent of range is taken of {given.base} on the "
                  f"{given.range} range", "is a prefix wrong?", confirmed)
        _count(say, where, function, given, ranges, confirmed)
        _parts(say, where, given, confirmed)
        if not given.range.unit.is_temperature:
            _coarse(say, where, given, confirmed)


def _jacks(say: Say, path: tuple, function: FunctionEntry) -> None:
    used = [((*path, "jacks"), function.jacks),
            *(((*path, "ranges", j, "jacks"), given.jacks)
              for j, given in enumerate(function.ranges))]
    for where, jacks in used:
        if jacks and len(set(jacks)) < len(jacks):
            say(where, "jacks", f"'{jacks[-1]}' stands twice",
                "the jack for the source's high side first, then that for its low side, such as "
                "[V, COM]")
        elif jacks and len(jacks) > 1 and jacks[0].upper() in _LOW_SIDES:
            doubt(say, where, f"'{jacks[0]}' stands first, where the source's high side goes",
                  f"write [{', '.join([*jacks[1:], jacks[0]])}]", bool(function.confirmed))


def _count(say: Say, where: tuple, function: FunctionEntry, given: RangeEntry,
           ranges: list[tuple[int, RangeEntry]], confirmed: bool) -> None:
    """How far a range counts beside the others, where no rule about autoranging sees it."""
    if function.ranging != "manual" or given.display:
        return
    others = [one.range.value / one.resolution.value for _, one in ranges
              if one is not given and not one.display]
    if out_of_line(given.range.value / given.resolution.value, others, 8):
        doubt(say, (*where, "resolution"), f"the {given.range} range counts in steps of "
              f"{given.resolution}, the others far finer or coarser",
              "is a decimal point or a prefix wrong?", confirmed)


def _parts(say: Say, where: tuple, given: RangeEntry, confirmed: bool) -> None:
    """Rows for parts of the range that no reading reaches, and holes between them."""
    top = meter_function.highest_reading(given)
    by_frequency: dict[tuple | None, list] = {}
    for k, row in enumerate(given.accuracy):
        if row.values is None:
            continue
        sure = confirmed or bool(row.confirmed)
        if row.values.low is not None and row.values.low.value >= top:
            doubt(say, (*where, "accuracy", k, "values"),
                  f"no reading of the {given.range} range reaches this row",
                  "is a prefix wrong, or does it belong to another range?", sure)
        ends = row.values.ends(-top if given.range.unit.is_temperature else ZERO, top)
        by_frequency.setdefault(row.frequency and row.frequency.bands, []).append((ends, k, sure))
    for parts in by_frequency.values():
        for (lower, _, _), (higher, k, sure) in pairwise(sorted(
                parts, key=lambda part: part[0])):
            if lower[1] < higher[0]:
                hole = exact_text.plain_band(lower[1], higher[0], given.range.unit)
                doubt(say, (*where, "accuracy", k, "values"), f"between {hole} no row holds",
                      "do the rows meet in the data sheet?", sure)


def _coarse(say: Say, where: tuple, given: RangeEntry, confirmed: bool) -> None:
    size, base = given.range.value, (given.base or given.range).value
    for k, row in enumerate(given.accuracy):
        most = max((_at_the_top(side, given, base) for side in row.sides), default=Fraction(0))
        if most > size * _QUARTER:
            shown = units.decimal_text(Fraction(round(most / size * 100)))
            doubt(say, (*where, "accuracy", k, row.key),
                  f"at the top of the {given.range} range this is {shown} % of it",
                  "is a decimal point or a prefix wrong?", confirmed or bool(row.confirmed))


def _at_the_top(text: AccuracyText, given: RangeEntry, base: Fraction) -> Fraction:
    """A tolerance at the range's name."""
    fixed = abs(text.fixed.value) if text.fixed else Fraction(0)
    percent = 0 if given.range.dimension == "[ratio]" else text.bare_percent + text.of_reading
    return ((percent * given.range.value + text.of_range * base) / 100 + fixed
            + text.counts * given.resolution.value)
