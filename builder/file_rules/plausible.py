"""Doubts: numbers that a file may well hold, and that are slips more often than not. Each is
compared with its own neighbours, so that no table of usual accuracies is needed.

The factor is a choice of this project: with 5, nine of ten slips by ten or a thousand are noticed,
and of a hundred rows of right tables less than one is doubted (tests/file_rules/test_plausible.py
measures both).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.file_rules.saying import Say
from builder.files.problems import WARNING
from builder.formats.accuracy import AccuracyText
from builder.formats.fields import Span
from builder.formats.row_parts import Parts
from builder.numbers import units
from builder.numbers.units import Quantity

FACTOR = 5
_CLOSE = 20     # times the next: two ranges with none missing between them
CONFIRM = "if it is right, write 'confirmed: …' beside it with the reason"
CONFIRM_BEHIND_A_QUESTION = CONFIRM[0].upper() + CONFIRM[1:]

_KINDS = _PERCENT, _OF_RANGE, _COUNTS, _FIXED = (
    "percent", "percent of range", "counts", "a fixed amount")


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedRow:
    """An accuracy or an uncertainty as a file states it: for values up to `size`."""

    path: tuple
    size: Fraction
    within: AccuracyText
    frequency: Span | Parts | None = None
    confirmed: bool = False

    def terms(self) -> dict[str, tuple[Fraction, str]]:
        """Each term that there is, as a number and as it is written."""
        text, fixed = self.within, self.within.fixed
        percent = text.bare_percent + text.of_reading
        stated: dict[str, tuple[Fraction, str]] = {
            _PERCENT: (percent, f"{units.decimal_text(percent)} %"),
            _OF_RANGE: (text.of_range, f"{units.decimal_text(text.of_range)} % of range"),
            _COUNTS: (text.counts, f"{units.decimal_text(text.counts)} counts")}
        if fixed is not None and self.size and not fixed.unit.is_temperature:
            stated[_FIXED] = (abs(fixed.value), str(fixed))
        return {kind: term for kind, term in stated.items() if term[0]}

    def meets(self, other: StatedRow) -> bool:
        """Whether both hold at some frequencies that are more than a single one."""
        if self.frequency is None or other.frequency is None:
            return True
        return any(max(a, c) < min(b, d) for a, b in self.frequency.bands
                   for c, d in other.frequency.bands)


def doubt(say: Say, path: tuple, sentence: str, hint: str, confirmed: bool = False) -> None:
    """Says what may be a slip, once a place, unless its file has the reason why it is none."""
    if not confirmed and path not in say.doubted:
        say.doubted.add(path)
        said = (f"{hint} {CONFIRM_BEHIND_A_QUESTION}" if hint.endswith("?")
                else f"{hint}; {CONFIRM}")
        say(path, "doubt", sentence, said, severity=WARNING)


def neighbours(row: StatedRow, rows: Sequence[StatedRow], kind: str) -> list[StatedRow]:
    """The rows that a term is compared with: those with such a term on the next lower and on the
    next higher range, at the same frequencies if there are any; else the others of its own."""
    having = [other for other in rows if other is not row and kind in other.terms()]
    elsewhere = [other for other in having if other.size != row.size]
    for near in ([other for other in elsewhere if other.meets(row)], elsewhere, having):
        below = max((other.size for other in near if other.size < row.size), default=None)
        above = min((other.size for other in near if other.size > row.size), default=None)
        if beside := [other for other in near if other.size in (below, above, row.size)]:
            return beside
    return []


def out_of_line(value: Fraction, others: Iterable[Fraction], factor: int = FACTOR) -> bool:
    """Whether a value lies beyond all others by more than the factor."""
    known = list(others)
    return bool(known) and (value > factor * max(known) or value * factor < min(known))


def out_of_scale(size: Fraction, amount: Fraction,
                 others: Iterable[tuple[Fraction, Fraction]]) -> bool:
    """Whether an amount, which may grow with its size or stay the same, does neither: it is out of
    line as a share of its size and, where no others are both smaller and larger, as it stands. The
    others are sizes with their amounts."""
    known = list(others)
    sizes = [one for one, _ in known]
    return (out_of_line(amount / size, (other / one for one, other in known))
            and (bool(known) and min(sizes) < size < max(sizes)
                 or out_of_line(amount, (other for _, other in known))))


def is_odd(row: StatedRow, near: Sequence[StatedRow], kind: str) -> bool:
    """Whether a term is out of line with that of the rows near it."""
    value, _ = row.terms()[kind]
    beside = [(one.size, one.terms()[kind][0]) for one in near]
    return (out_of_scale(row.size, value, beside) if kind == _FIXED
            else out_of_line(value, (number for _, number in beside)))


def odd_rows(stated: Sequence[StatedRow], kind: str) -> list[StatedRow]:
    """The rows whose term is out of line; not those that are so only beside another such row."""
    odd = [row for row in stated if kind in row.terms()
           and is_odd(row, neighbours(row, stated, kind), kind)]
    plain = [row for row in stated if row not in odd]
    alone = [row for row in odd if is_odd(row, neighbours(row, plain, kind), kind)]
    return alone or odd


def rows(say: Say, stated: Sequence[StatedRow]) -> None:
    """Each term of each row beside those of its neighbours."""
    odd = {kind: odd_rows(stated, kind) for kind in _KINDS}
    for row in stated:
        for kind, (value, written) in row.terms().items():
            if row in odd[kind]:
                beside = [one.terms()[kind] for one in neighbours(row, stated, kind)]
                said = dict.fromkeys(text for _, text in sorted(beside))
                doubt(say, row.path, f"{written} stands beside {' and '.join(said)}",
                      "is a decimal point or a prefix wrong?", row.confirmed)
                break
            if kind == _COUNTS and value < 1 and value != Fraction(1, 2):
                doubt(say, row.path, f"{written} is less than one step of the display",
                      "is a decimal point wrong?", row.confirmed)
                break


def other_case(typed: Quantity) -> Quantity | None:
    """600 mV for 600 MV and the other way round; None without such a prefix."""
    prefix, base = typed.unit.ascii[:1], typed.unit.ascii[1:]
    if typed.unit.has_no_prefix or prefix not in "mM" or not base:
        return None
    return Quantity(typed.number, units.unit(("M" if prefix == "m" else "m") + base))


NamedRange = tuple[tuple, Quantity, bool]   # its path, its name, whether it is confirmed


def gaps(ranges: Sequence[NamedRange]) -> list[int]:
    """After which of the ranges, lowest first, one seems to be missing, since the others of the
    function follow each other closely."""
    apart = [higher.value / lower.value for (_, lower, _), (_, higher, _)
             in zip(ranges, ranges[1:], strict=False)]
    wide = []
    for n, ratio in enumerate(apart):
        closest = min((other for k, other in enumerate(apart) if k != n), default=None)
        if ratio >= 90 and (closest is None and ratio >= 1000
                            or closest is not None and closest <= _CLOSE):
            wide.append(n)
    return wide


def prefixes(say: Say, ranges: Sequence[NamedRange]) -> set[int]:
    """The lowest or the highest range where it stands far from the others, and beside them with m
    for M, or M for m. Gives after which ranges the gap is told by that."""
    told = set()
    for n in gaps(ranges):
        ends = (ranges[0],) * (n == 0) + (ranges[-1],) * (n == len(ranges) - 2)
        for path, typed, confirmed in ends:
            if meant := _beside(typed, [one for at, one, _ in ranges if at != path]):
                doubt(say, path, f"the {typed} range is far from the others",
                      f"did you mean '{meant}'?", confirmed)
                told.add(n)
                break
    return told


def _beside(typed: Quantity, others: Sequence[Quantity]) -> Quantity | None:
    """The same range with the other case of its prefix, if it follows the others closely and is
    none of them."""
    meant = other_case(typed)
    if meant is None:
        return None
    nearest = min(max(meant.value / one.value, one.value / meant.value) for one in others)
    return meant if 1 < nearest <= _CLOSE else None


def steps(say: Say, ranges: Sequence[NamedRange], told: set[int]) -> None:
    """A range that seems to be missing, but for those gaps that are told otherwise."""
    for n in gaps(ranges):
        if n not in told:
            path, higher, confirmed = ranges[n + 1]
            doubt(say, path, f"between {ranges[n][1]} and {higher} a range seems to be missing",
                  "add it, or is a prefix wrong?", confirmed)
