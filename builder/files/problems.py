"""What is wrong with a file: a place, a sentence and a hint; printed as text or as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field

ERROR = "error"
WARNING = "warning"


class Wrong(ValueError):
    """A value that can't be accepted, before anyone knows where it stands in a file."""

    def __init__(self, sentence: str, hint: str = ""):
        super().__init__(sentence)
        self.sentence = sentence
        self.hint = hint


@dataclass(frozen=True, order=True)
class Place:
    """Where a value stands; lines and columns count from 1, as editors do."""

    file: str
    line: int
    column: int
    length: int = 1
    text: str = field(default="", compare=False)


@dataclass(frozen=True)
class Problem:
    place: Place
    code: str
    sentence: str
    hint: str = ""
    severity: str = ERROR

    def __str__(self) -> str:
        place = self.place
        out = [f"{place.file}:{place.line}:{place.column}: {self.severity}: {self.sentence}"]
        if place.text.strip():
            shown, mark = _excerpt(place)
            number = f"{place.line:5d} | "
            out.append(number + shown)
            out.append(" " * (len(number) - 2) + "| " + mark)
        if self.hint:
            out.append(f"   hint: {self.hint}")
        return "\n".join(out)

    def as_dict(self) -> dict:
        place = self.place
        return {
            "file": place.file, "line": place.line, "column": place.column, "length": place.length,
            "severity": self.severity, "code": self.code, "problem": self.sentence,
            "hint": self.hint,
        }


def _excerpt(place: Place, width: int = 160) -> tuple[str, str]:
    """The line and the carets under it; a very long line is cut around the place."""
    text, start = place.text, place.column - 1
    if len(text) > width:
        cut = max(0, start - width // 3)
        text, start = text[cut:cut + width], start - cut
    text = "".join(c if c.isprintable() else " " for c in text)
    length = max(1, min(place.length, len(text) - start))
    return text.rstrip(), " " * start + "^" * length


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """By file and line, each once; at one place in the order found."""
    unique = dict.fromkeys(problems)
    return sorted(unique, key=lambda p: (p.place, p.severity))


def errors(problems: Iterable[Problem]) -> list[Problem]:
    return [p for p in problems if p.severity == ERROR]


def as_text(problems: Iterable[Problem]) -> str:
    listed = in_order(problems)
    wrong = len(errors(listed))
    counts = [f"{n} {word}{'' if n == 1 else 's'}" for n,
              word in ((wrong, "error"), (len(listed) - wrong, "warning")) if n]
    return "\n\n".join([*map(str, listed), ", ".join(counts)]) if listed else ""


def as_json(problems: Iterable[Problem]) -> str:
    return json.dumps([p.as_dict() for p in in_order(problems)], indent=1, ensure_ascii=False)
