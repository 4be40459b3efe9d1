"""Numbers of right files, each spoilt as people spoil them: by ten, by a thousand, by the case of a
prefix. `python -m tests.file_rules.spoilt_numbers` prints how many are noticed, and which aren't.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from builder.file_rules import meters, standards
from builder.files import yaml_text
from builder.files.problems import Problem
from builder.files.yaml_text import Document, Node
from builder.formats.meter import Meter
from builder.formats.standard import Standard
from builder.formats.validation import validate
from builder.numbers.units import decimal_text

ROOT = Path(__file__).parents[2] / "procedures"
FACTORS = (Fraction(10), Fraction(1, 10), Fraction(1000), Fraction(1, 1000))
NUMBER = re.compile(r"\d+(?:\.\d+)?")
# by the kind of its file: how it is read, and the rules that hold it
KINDS = {"meters": (Meter, meters.meter), "standards": (Standard, standards.standard)}


@dataclass(frozen=True)
class Spoilt:
    """One number of one file, spoilt: `what` it is, by `how` much, at which line, and the text of
    the whole file."""

    file: str
    kind: str
    what: str
    how: str
    line: int
    column: int
    was: str
    now: str
    text: str
    has_neighbour: bool


def problems(kind: str, text: str, file: str) -> list[Problem]:
    """What the rules for one file say of it."""
    model, rules = KINDS[kind]
    document, told = yaml_text.parse(text, file)
    if document is None:
        return told
    made, document, more, _ = validate(model, document)
    return told + more + (rules(document, made) if made is not None else [])


def values(node: Node, path: tuple = ()) -> Iterator[tuple[tuple, Node]]:
    """Every single text of a file with its path."""
    if isinstance(node.value, dict):
        for key, inner in node.value.items():
            yield from values(inner, (*path, key))
    elif isinstance(node.value, list):
        for n, inner in enumerate(node.value):
            yield from values(inner, (*path, n))
    else:
        yield path, node


def what_it_is(path: tuple) -> str:
    keys = [step for step in path if isinstance(step, str)]
    if keys[-1] in ("range", "resolution"):
        return keys[-1]
    if keys[-1] in ("within", "accuracy", "drift") and keys[0] in (
            "functions", "outputs", "artifacts", "measures"):
        return "accuracy"
    return "other"


def siblings(document: Document, path: tuple) -> list[str]:
    """The texts of the same key in the same function, output or box."""
    what, top = what_it_is(path), path[:2]
    return [node.value for other, node in values(document.root)
            if other != path and other[:2] == top and what_it_is(other) == what]


def term_kind(after: str) -> str:
    unit = after.strip().split("+")[0].strip()
    return ("count" if re.match(r"(count|digit|dgt|d\b)", unit) else
            "range" if "range" in unit else "percent" if re.match(r"%|ppm", unit) else "fixed")


def spoilt(kind: str, path: Path) -> Iterator[Spoilt]:
    text = path.read_text(encoding="utf-8")
    document, _ = yaml_text.parse(text, path.name)
    lines = text.splitlines()
    for where, node in values(document.root):
        what, keys = what_it_is(where), [step for step in where if isinstance(step, str)]
        if keys[-1] in ("due", "calibrated", "certificate", "source", "meter", "name", "note",
                        "standard", "description", "stated", "maker", "title", "keys", "dial",
                        "jacks", "terminals", "method"):
            continue
        line, start = node.start
        shown = lines[line][start:node.end[1]] if node.end[0] == line else ""
        for match in NUMBER.finditer(shown):
            others = siblings(document, where)
            neighbour = what in ("range", "resolution") and bool(others) or (
                what == "accuracy" and any(
                    term_kind(other[m.end():]) == term_kind(shown[match.end():])
                    for other in others for m in NUMBER.finditer(other)))
            changes = [(f"×{f}" if f > 1 else f"÷{1 / f}", decimal_text(Fraction(match[0]) * f),
                        match.span()) for f in FACTORS]
            prefix = re.match(r"\s*([mM])(?=[A-Za-zΩ])", shown[match.end():])
            if prefix:
                at = match.end() + prefix.start(1)
                changes.append(("case", prefix[1].swapcase(), (at, at + 1)))
            for how, new, (a, b) in changes:
                now = shown[:a] + new + shown[b:]
                if Fraction(match[0]) == 0 and how != "case":
                    continue
                whole = [*lines[:line], lines[line][:start] + now + lines[line][node.end[1]:],
                         *lines[line + 1:]]
                yield Spoilt(path.name, kind, what, how, line + 1, start + 1, shown, now,
                             "\n".join(whole) + "\n", neighbour)


def noticed(one: Spoilt) -> bool:
    """Whether an error or a warning stands at the line of the spoilt number."""
    return any(p.place.line == one.line for p in problems(one.kind, one.text, one.file))


def all_spoilt() -> Iterator[Spoilt]:
    for kind in KINDS:
        for path in sorted((ROOT / kind).glob("*.yaml")):
            yield from spoilt(kind, path)


def main() -> None:
    seen: dict[tuple, Counter] = {}
    for one in all_spoilt():
        group = (one.what if one.what == "other" else f"{one.what}, "
                 f"{'with' if one.has_neighbour else 'without'} neighbours", one.how)
        found = noticed(one)
        seen.setdefault(group, Counter())[found] += 1
        if not found and one.has_neighbour:
            print(f"{one.file}:{one.line} {one.what} {one.how}: {one.was} → {one.now}")
    for group, counts in sorted(seen.items()):
        print(f"{counts[True]:5} of {counts.total():5}  {', '.join(group)}")
    for wanted in (True, False):
        total = Counter()
        for (what, _), counts in seen.items():
            if ("with neighbours" in what) == wanted:
                total += counts
        print(f"{'with' if wanted else 'no'} neighbours: {total[True]} of {total.total()}")


if __name__ == "__main__":
    main()
