"""What the rules for all kinds of files share: a way to say what is wrong, and where."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.formats.row_parts import RowPart, Parts
from builder.numbers import units
from builder.numbers.unit_table import BY_DIMENSION
from builder.numbers.units import Quantity, kind_of, needs

class Say:
    """Says what is wrong with a document, and knows what of it a mistake had left out: whatever
    follows from that is no mistake of its own."""

    def __init__(self, document: Document, problems: list[Problem]) -> None:
        self.document, self.problems = document, problems
        self.doubted: set[tuple] = set()

    def __call__(self, path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint, **more))

    def lost(self, *path: str | int) -> bool:
        return self.document.lost(path)

    def has(self, key: str) -> bool:
        """Whether a key of the file's head holds what its author wrote, and no stand-in."""
        return self.document.has(key) and not self.document.lost((key,))


def say_into(document: Document, problems: list[Problem]) -> Say:
    return Say(document, problems)


def nearest(word: str, known: Iterable[str]) -> str:
    known = list(known)
    near = difflib.get_close_matches(word, known, 1, 0.5)
    return (f"did you mean '{near[0]}'?" if near
            else ("known here: " + ", ".join(known) if known else ""))


def a(words: str) -> str:
    return ("an " if words[:1] in "AaEeIiOoUu" else "a ") + words


def named_as_file(say: Say, key: str, slug: str, document: Document) -> None:
    stem = document.file.rsplit("/", 1)[-1].removesuffix(".yaml")
    if slug not in (stem, "x"):  # "x" stands in for one that couldn't be read
        say((key,), "file-name", f"the file is named '{stem}.yaml', but holds '{slug}'",
            "make the two the same: addresses hang on it")


Given = Quantity | Span | RowPart | Parts


def dimension(say: Say, path: tuple, given: Given | None, wanted: str, what: str,
              unit_hint: str = "") -> bool:
    """Whether a quantity, if there is one, is of the wanted kind; says so if not."""
    if given is None:
        return True
    for quantity in ([given.low] if isinstance(given, Span) else given.stated
                     if isinstance(given, (RowPart, Parts)) else [given]):
        if quantity.dimension != wanted:
            hint = unit_hint
            if not hint and isinstance(given, Quantity):
                hint = _in_dimension(quantity, wanted)
            say(path, "unit",
                f"'{given}' is {kind_of(quantity.dimension)}, {what} needs {needs(wanted)}", hint)
            return False
    return True


def _in_dimension(given: Quantity, wanted: str) -> str:
    """The same number with the same prefix, in the unit that is wanted."""
    of, to = BY_DIMENSION[given.dimension], BY_DIMENSION[wanted]
    if not (of.takes_prefixes and of.on_displays and to.takes_prefixes and to.on_displays):
        return ""
    prefix = given.unit.ascii.removesuffix(of.symbol)
    return f"did you mean '{units.decimal_text(given.number)} {prefix}{to.written or to.symbol}'?"
