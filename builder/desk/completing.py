"""What may stand at a place of a file that is being written: the keys and words of its schema."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from builder.files import yaml_text
from builder.files.documents import Node, Path_
from builder.formats import schemas

_HERE = "xherex"
_WORD = re.compile(r"[A-Za-z_]*\Z")
_VALUE = re.compile(r"(?:[^\s,\[\]{}:#][^,\[\]{}:#\n]*)?\Z")
_OPEN = re.compile(r"""(?:(?<=[\s,\[{])|^)(["'])(?:(?!\1).)*\1|(?:(?<=\s)|^)\#.*$|[\[\]{}]""", re.M)
Schema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Fits:
    """What fits at a place: each word with what it is; `typed` letters of it stand there already;
    `says` is what the place is for."""

    words: list[tuple[str, str]]
    typed: int = 0
    says: str = ""


@cache
def schema(kind: str) -> Schema:
    return json.loads(schemas.text(kind))


def fitting(kind: str, before: str, after: str, names: dict[str, list[str]]) -> Fits:
    """For a file of a kind with a cursor between two texts; `names` are those of meters and
    standards."""
    for pattern, mark in ((_WORD, f"{_HERE}: x"), (_VALUE, _HERE)):
        typed = pattern.search(before)
        first = before[:typed.start()] if typed else before
        for whole in (f"{first}{mark}{after}", f"{first}{mark}{_closing(first)}"):
            document, _ = yaml_text.parse(whole, "")
            if document is not None and (place := _place(document.root)):
                fits = _at(kind, document.root, place, names)
                if fits.words or fits.says:
                    return Fits([one for one in fits.words if one[0].lower().startswith(
                        typed[0].lower() if typed else "")], len(typed[0]) if typed else 0,
                                fits.says)
                break
    return Fits([])


def _closing(text: str) -> str:
    """The brackets that are open at the end of a text, closed."""
    stack = []
    for match in _OPEN.finditer(text):
        if match[0] in ("[", "{"):
            stack.append("]" if match[0] == "[" else "}")
        elif match[0] in ("]", "}") and stack:
            stack.pop()
    return "".join(reversed(stack))


def _place(node: Node, path: Path_ = ()) -> Path_ | None:
    if isinstance(node.value, str):
        return path if _HERE in node.value else None
    for step, inner in (node.keys or dict(enumerate(node.entries))).items():
        if step == _HERE:
            return (*path, step)
        if (place := _place(inner, (*path, step))) is not None:
            return place
    return None


def _at(kind: str, root: Node, place: Path_, names: dict[str, list[str]]) -> Fits:
    *around, last = place
    if last != _HERE:
        here = list(meant(kind, place))
        words = {word: "" for one in here for word in one.get("enum", [one.get("const")])
                 if isinstance(word, str)}
        key = next(step for step in reversed(place) if isinstance(step, str))
        known = names.get({"meter": "meters", "like": "meters", "standard": "standards",
                           "standards": "standards"}.get(key, ""), [])
        return Fits(list((words or dict.fromkeys(known, "")).items()),
                    says=next((one["description"] for one in here if "description" in one), ""))
    group = root
    for step in around:
        group = group.entries[step] if isinstance(step, int) else group.keys[step]
    return Fits([(f"{key}: ", says) for key, says in keys(kind, tuple(around)).items()
                 if key not in group.keys])


def keys(kind: str, path: Path_, single: bool = False) -> dict[str, str]:
    """The keys of a group with what they are for; or those alone that take a `single` value."""
    return {key: str(own.get("description", "")) for one in meant(kind, path)
            for key, own in one.get("properties", {}).items()
            if not single or any("enum" in part or "string" in part.get("type", "")
                                 for part in _parts(schema(kind), own))}


def meant(kind: str, path: Path_) -> Iterator[Schema]:
    """What the schema of a kind says of a place, as the several things that may stand there."""
    whole = schema(kind)
    here = list(_parts(whole, whole))
    for step in path:
        inner = [one.get("items") if isinstance(step, int) else
                 one.get("properties", {}).get(step, one.get("additionalProperties"))
                 for one in here]
        here = [part for one in inner if isinstance(one, dict) for part in _parts(whole, one)]
    yield from here


def _parts(whole: Schema, part: Schema) -> Iterator[Schema]:
    says = {key: part[key] for key in ("description",) if key in part}
    several = [one for key in ("anyOf", "oneOf", "allOf") for one in part.get(key, ())]
    if "$ref" in part:
        several.append(whole["$defs"][part["$ref"].rpartition("/")[2]])
    if "properties" in part or not several:
        yield part
    for one in several:
        yield from _parts(whole, {**one, **says})
