"""What an exercise is, and the generator that draws it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from builder.compute.exact.draw import Draw
from builder.drawing.connections import Connection


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer. `mistake` and `why` are "" for the right one; `what` is what it stands for,
    exactly, for whoever looks at it other than by its text."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
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
