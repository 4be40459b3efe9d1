"""What an exercise is, and the generator that draws it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Sequence, TypeVar

from builder.connections import Connection

T = TypeVar("T")
_MASK = (1 << 64) - 1


class Draw:
    """A small generator of our own (SplitMix64), so that a seed gives the same exercises on every Python and for as
    long as this class isn't touched: whole numbers only, no hash of a text and no method of `random`.

    `label` starts a stream of its own, so that another kind of exercise moves none of those before it.
    """

    def __init__(self, seed: int, label: str = ""):
        self.state = seed & _MASK
        for byte in label.encode():
            self.state = (self.state * 31 + byte + 1) & _MASK
            self.below(2)

    def below(self, count: int) -> int:
        """0 to count − 1; the counts here are tiny beside 2⁶⁴, so the remainder's bias is nothing."""
        self.state = (self.state + 0x9E3779B97F4A7C15) & _MASK
        z = self.state
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9 & _MASK
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB & _MASK
        return (z ^ (z >> 31)) % count

    def one(self, among: Sequence[T]) -> T:
        return among[self.below(len(among))]

    def mixed(self, things: Sequence[T]) -> list[T]:
        """All of them in another order (Fisher and Yates)."""
        out = list(things)
        for n in range(len(out) - 1, 0, -1):
            k = self.below(n + 1)
            out[n], out[k] = out[k], out[n]
        return out


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer. `mistake` and `why` are "" for the right one; `what` is what it stands for, exactly, for whoever
    looks at it other than by its text."""

    text: str
    mistake: str = ""
    why: str = ""
    cells: tuple[str, ...] = ()             # of a line of a filled-in sheet
    connection: Connection | None = None
    fields: tuple[str, ...] = ()            # what would be typed instead of choosing
    what: object = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Typed:
    """An answer that may be typed: the names of its fields, and their unit."""

    names: tuple[str, ...]
    unit: str


@dataclass(frozen=True, slots=True)
class Exercise:
    kind: str
    given: tuple[tuple[str, str], ...]      # a word and what it says
    ask: str
    choices: tuple[Choice, ...]
    reasons: tuple[str, ...]                # how the right answer comes about
    live: bool = False                      # whether the work that it is about is hazardous live
    typed: Typed | None = None
    head: tuple[str, ...] = ()              # of the filled-in sheet's columns
    items: tuple[str, ...] = ()             # of an order, lettered
    case: object = field(default=None, compare=False)

    @property
    def right(self) -> int:
        return next(n for n, choice in enumerate(self.choices) if not choice.mistake)


def mixed(draw: Draw, right: Choice, wrong: Sequence[Choice]) -> tuple[Choice, ...]:
    return tuple(draw.mixed([right, *wrong]))


LETTERS = "abcdefgh"
