"""What a row of an accuracy table holds for, as data sheets write it: `40 Hz to 1 kHz`,
`above 5 A`, `up to 1 kHz`, `< 1 kHz`, `50 Hz`, `50/60 Hz`, `DC, 40 Hz to 1 kHz`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from builder.files.problems import Wrong
from builder.formats import fields, patterns
from builder.formats.fields import exact
from builder.numbers import units
from builder.numbers.units import Quantity

Ends = tuple[Fraction, Fraction]
_WORDS = {"above": "above", "over": "above", "more than": "above", ">": "above",
          "from": "from", "at least": "from", "≥": "from", ">=": "from",
          "up to": "up to", "at most": "up to", "≤": "up to", "<=": "up to",
          "below": "below", "under": "below", "less than": "below", "<": "below"}
_LONGEST_FIRST = sorted(map(re.escape, _WORDS), key=len, reverse=True)
_OPEN = re.compile(rf"\s*({'|'.join(_LONGEST_FIRST)})\s*(.+)", re.I)
_BEYOND_ANY = Fraction(10**12)     # Hz
DC = Quantity(Fraction(0), units.unit("Hz"))


@dataclass(frozen=True, slots=True)
class RowPart:
    """From `low` to `high`; None where the data sheet names no end. `without` says of each stated
    end whether it is itself no part of it, as of `above 5 A`."""

    text: str
    low: Quantity | None
    high: Quantity | None
    without: tuple[bool, bool] = (False, False)

    def __str__(self) -> str:
        return self.text

    @property
    def stated(self) -> tuple[Quantity, ...]:
        return tuple(end for end in (self.low, self.high) if end is not None)

    def ends(self, lowest: Fraction, highest: Fraction) -> Ends:
        """With these where an end is open."""
        return (lowest if self.low is None else self.low.value,
                highest if self.high is None else self.high.value)

    @property
    def excluded(self) -> tuple[Fraction, ...]:
        """The stated ends that are no part of it."""
        return tuple(end.value for end, gone in zip((self.low, self.high), self.without,
                                                    strict=True) if gone and end is not None)

    @property
    def excluded_frequencies(self) -> tuple[Fraction, ...]:
        """Where no lowest frequency is named, it is still none of a steady value."""
        return self.excluded if self.low is not None else (DC.value, *self.excluded)


@dataclass(frozen=True, slots=True)
class Parts:
    """One part or several, such as 50 and 60 Hz, and how they were written."""

    text: str
    parts: tuple[RowPart, ...]

    def __str__(self) -> str:
        return self.text

    @property
    def stated(self) -> Iterator[Quantity]:
        return (end for part in self.parts for end in part.stated)

    @property
    def bands(self) -> tuple[Ends, ...]:
        return tuple(one.ends(DC.value, _BEYOND_ANY) for one in self.parts)


def part(text: str) -> RowPart:
    if match := _OPEN.fullmatch(text):
        end = units.quantity(match[2])
        word = _WORDS[re.sub(r"\s+", " ", match[1].lower())]
        return (RowPart(text, end, None, (word == "above", False)) if word in ("above", "from")
                else RowPart(text, None, end, (False, word == "below")))
    whole = fields.span(text)
    return RowPart(str(whole), whole.low, whole.high)


def frequencies(text: str) -> Parts:
    """One or several parts; a frequency alone is one."""
    parts = tuple(each for words in re.split(r"\s*,\s*", text.strip()) for each in _parts(words))
    if len({(each.low, each.high) for each in parts}) < len(parts):
        raise Wrong(f"'{text}' names one of them twice", "each once")
    return Parts(text, parts)


def _parts(words: str) -> list[RowPart]:
    if words.upper() == "DC":
        return [RowPart("DC", DC, DC)]
    if match := re.fullmatch(r"([0-9.]+)\s*(?:/|or)\s*([0-9.]+\s*\S+)", words):
        second = units.quantity(match[2])
        first = Quantity(units.plain_number(match[1], "a frequency"), second.unit)
        return [RowPart(str(end), end, end) for end in (first, second)]
    if re.search(r"\bto\b|±|\+/-|[–—…~]|[0-9]\s*-", words) or _OPEN.fullmatch(words):
        return [part(words)]
    alone = units.quantity(words)
    return [RowPart(str(alone), alone, alone)]


def one_frequency(text: str) -> Quantity:
    """That of a point; 'DC' is zero."""
    return DC if text.strip().upper() == "DC" else fields.above_zero(text)


FrequencyField = Annotated[Quantity, *exact(
    one_frequency, examples=["50 Hz", "1 kHz"],
    pattern=f"{patterns.POSITIVE_AMOUNT}|^[Dd][Cc]$")]
FrequenciesField = Annotated[Parts, *exact(
    frequencies, examples=["40 Hz to 1 kHz", "50/60 Hz", "up to 1 kHz"],
    pattern=patterns.FREQUENCIES)]
ValuesField = Annotated[RowPart, *exact(part, examples=["0.6 V to 3 V", "above 5 A"],
                                     pattern=patterns.VALUES)]
