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
from builder.numbers import units
from builder.numbers.units import Quantity

FACTOR = 5
CONFIRM = "if it is right, write 'confirmed: …' beside it with the reason"

_PERCENT, _OF_RANGE, _COUNTS, _FIXED = "percent", "percent of range", "counts", "a fixed amount"


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedRow:
    """An accuracy or an uncertainty as a file states it: for values up to `size`."""

    path: tuple
    size: Fraction
    within: AccuracyText
    frequency: Span | None = None
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
        (a, b), (c, d) = self.frequency.band, other.frequency.band
        return max(a, c) < min(b, d)


def doubt(say: Say, path: tuple, sentence: str, hint: str, confirmed: bool = False) -> None:
    """Says what may be a slip, unless its file has the reason why it is none."""
    if not confirmed:
        say(path, "doubt", sentence, f"{hint}; {CONFIRM}", severity=WARNING)


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


def rows(say: Say, stated: Sequence[StatedRow]) -> None:
    """Each term of each row beside those of its neighbours."""
    for row in stated:
        for kind, (value, written) in row.terms().items():
            near = neighbours(row, stated, kind)
            beside = [one.terms()[kind] for one in near]
            if (out_of_scale(row.size, value, ((one.size, one.terms()[kind][0]) for one in near))
                    if kind == _FIXED else out_of_line(value, (number for number, _ in beside))):
                said = dict.fromkeys(text for _, text in sorted(beside))
                doubt(say, row.path, f"{written} stands beside {' and '.join(said)}",
                      "is a decimal point or a prefix wrong?", row.confirmed)
                break
            if kind == _COUNTS and value < 1:
                doubt(say, row.path, f"{written} is less than one step of the display",
                      "is a decimal point wrong?", row.confirmed)
                break


def steps(say: Say, ranges: Sequence[tuple[tuple, Quantity, bool]]) -> None:
    """The names of ranges, lowest first, each with its path and whether it is confirmed: a range
    that seems to be missing between two, where others of the function follow each other closely."""
    apart = [higher.value / lower.value for (_, lower, _), (_, higher, _)
             in zip(ranges, ranges[1:], strict=False)]
    for n, ratio in enumerate(apart):
        closest = min((other for k, other in enumerate(apart) if k != n), default=None)
        if ratio >= 90 and (closest is None and ratio >= 1000
                            or closest is not None and closest <= 20):
            path, higher, confirmed = ranges[n + 1]
            doubt(say, path, f"between {ranges[n][1]} and {higher} a range seems to be missing",
                  "add it, or is a prefix wrong?", confirmed)
