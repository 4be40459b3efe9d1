"""Says in what two built sites differ that a change of the house should leave alone.

    python tests/compare_sites.py OLD NEW

Compared are the text and the structure of every page, the words of every drawing, and all data.
Left out is what may differ: revisions (each is replaced by a word), names and layout of scripts and
styles, how a drawing is written (its words are compared), the worker's list of files, fields of the
data that only the new site has, and pages that only the new site has. Prints each difference; exits
1 if there is one.
"""

from __future__ import annotations

import json
import re
import sys
from html.parser import HTMLParser
from pathlib import Path

VOID = {"area", "br", "col", "hr", "img", "input", "link", "meta", "wbr"}
LAYOUT = {".js", ".css", ".gz", ".xml", ".png", ".svg", ".ico", ".map"}


class Words(HTMLParser):
    """A page as a list: tags with their attributes, texts with single spaces, embedded data as
    data, drawings as their words."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[object] = []
        self._inside: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        if "svg" in self._inside:
            return
        if tag not in VOID:
            self._inside.append(tag)
        alone = (tag, dict(attributes)) == ("div", {"hidden": None})
        if alone or ("rel", "stylesheet") in attributes:
            return  # a style of its own, and what stands around it
        kept = {name: text for name, text in attributes
                if not (tag == "svg" and name not in ("aria-label", "class")
                        or tag == "script" and name == "src")}
        self.found.append((tag, sorted(kept.items(), key=str)))

    def handle_endtag(self, tag: str) -> None:
        if tag in self._inside and ("svg" not in self._inside or tag == "svg"):
            while self._inside.pop() != tag:
                pass

    def handle_data(self, text: str) -> None:
        inside = self._inside[-1] if self._inside else ""
        if inside == "style":
            return
        if inside == "script":
            text = text.strip()
            self.found.append(json.loads(text) if text[:1] in "[{" else text)
        elif text.split():
            self.found.append(" ".join(text.split()))


def revisions(site: Path) -> list[str]:
    return [json.loads(path.read_text(encoding="utf-8"))["revision"]
            for path in sorted(site.glob("data/procedures/*.json"))]


def content(path: Path, names: list[str]) -> object:
    """What is compared of a file; None where only its presence is."""
    if path.suffix in LAYOUT:
        return None
    text = path.read_text(encoding="utf-8")
    for name in names:
        text = text.replace(name, "REVISION")
    if path.name == "search_index.json":  # by page, since the new site may have more
        return {entry["location"]: entry for entry in json.loads(text)["docs"]}
    if path.suffix == ".json":
        return json.loads(text)
    if path.suffix != ".html":
        return text
    words = Words()
    words.feed(text)
    return words.found


def differences(old: object, new: object, where: str = "") -> list[str]:
    """A line for each place in which the new one lacks something or has something else."""
    if isinstance(old, dict) and isinstance(new, dict):
        return [line for key, value in old.items()
                for line in (differences(value, new[key], f"{where}.{key}") if key in new
                             else [f"{where}.{key} is gone"])]
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        return [line for n, (before, after) in enumerate(zip(old, new, strict=True))
                for line in differences(before, after, f"{where}[{n}]")]
    return [] if old == new else [f"{where}: {str(old)[:160]!r} became {str(new)[:160]!r}"]


def compare(before: Path, after: Path) -> list[str]:
    names = [*revisions(before), *revisions(after)]
    found = []
    for path in sorted(p for p in before.rglob("*") if p.is_file() and p.name != "sw.js"):
        name = re.sub("|".join(names) or "$^", "REVISION", path.relative_to(before).as_posix())
        other = after / path.relative_to(before)
        if path.suffix in LAYOUT:
            continue
        if not other.is_file():
            found.append(f"{name} is gone")
            continue
        found += [f"{name}{line}" for line in differences(content(path, names),
                                                          content(other, names))]
    return found


if __name__ == "__main__":
    lines = compare(Path(sys.argv[1]), Path(sys.argv[2]))
    print("\n".join(lines) or "Nothing differs but what may.")
    sys.exit(1 if lines else 0)
