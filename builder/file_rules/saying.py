"""What the rules for all kinds of files share: a way to say what is wrong, and where."""

from __future__ import annotations

import difflib
from typing import Callable, Iterable

from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Span
from builder.numbers import units
from builder.numbers.units import DIMENSIONS, Quantity, needs

Say = Callable[..., None]


def say_into(document: Document, problems: list[Problem]) -> Say:
    def say(path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        problems.append(document.problem(path, code, sentence, hint, **more))
    return say


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


def dimension(say: Say, path: tuple, given: Quantity | Span | None, wanted: str, what: str,
              unit_hint: str = "") -> bool:
    """Whether a quantity, if there is one, is of the wanted kind; says so if not."""
    if given is None:
        return True
    for quantity in ([given.low] if isinstance(given, Span) else [given]):
        if quantity.dimension != wanted:
            hint = unit_hint
            if not hint and not isinstance(given, Span):
                hint = _in_dimension(quantity, wanted)
            say(path, "unit",
                f"'{given}' is {DIMENSIONS[quantity.dimension]}, {what} needs {needs(wanted)}",
                hint)
            return False
    return True


_LETTERS = {"[voltage]": "V", "[current]": "A", "[resistance]": "ohm", "[capacitance]": "F",
            "[frequency]": "Hz", "[conductance]": "S"}


def _in_dimension(given: Quantity, wanted: str) -> str:
    if given.dimension in _LETTERS and wanted in _LETTERS:
        prefix = given.unit.ascii.removesuffix("Ohm" if given.dimension == "[resistance]"
                                               else _LETTERS[given.dimension])
        return f"did you mean '{units.decimal_text(given.number)} {prefix}{_LETTERS[wanted]}'?"
    return ""
