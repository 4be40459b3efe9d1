"""What an exercise is: something given, a question, and one of three ways to answer it. A choice
among texts, lines or drawings; numbers to type; things to put in order."""

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
    work: tuple[str, ...] = ()              # of a wrong one: how it would have come out right
    cells: tuple[str, ...] = ()             # of a line of a filled-in sheet
    connection: Connection | None = None
    fields: tuple[str, ...] = ()            # what is typed instead of choosing
    what: object = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Typed:
    """An answer that is typed: the names of its fields, their unit, and whether the display has a
    minus. The choices of such an exercise are shown to nobody: they say what a mistake types."""

    names: tuple[str, ...]
    unit: str
    minus: bool


@dataclass(frozen=True, slots=True)
class OrderRule:
    """Of two items, by their places in the list, the first comes before the other; the mistake
    where it doesn't, and why."""

    first: int
    later: int
    mistake: str
    why: str


@dataclass(frozen=True, slots=True)
class Ordered:
    """An answer that is an order of the items, by their places in the list: `right` is the sheet's;
    any other is as right where it keeps all `rules`."""

    right: tuple[int, ...]
    rules: tuple[OrderRule, ...]

    def broken(self, order: Sequence[int]) -> list[OrderRule]:
        return [rule for rule in self.rules
                if order.index(rule.first) > order.index(rule.later)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    kind: str
    given: tuple[tuple[str, str], ...]      # a word and what it says
    ask: str
    choices: tuple[Choice, ...] = ()
    reasons: tuple[str, ...]                # how the right answer comes about
    live: bool = False                      # whether the work that it is about is hazardous live
    typed: Typed | None = None
    ordered: Ordered | None = None
    head: tuple[str, ...] = ()              # of the filled-in sheet's columns
    items: tuple[str, ...] = ()             # that are put in order, or stand in one; lettered
    case: object = field(default=None, compare=False)

    @property
    def right(self) -> int:
        return next(n for n, choice in enumerate(self.choices) if not choice.mistake)


def mixed(draw: Draw, right: Choice, wrong: Sequence[Choice]) -> tuple[Choice, ...]:
    return tuple(draw.mixed([right, *wrong]))


LETTERS = "abcdefghijkl"
