"""Every key of the files that people write, for the pages that explain them: from the schemas,
which are made from the models."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from builder.formats import schemas
from builder.formats.examples import EXAMPLES
from builder.formats.fields import Strict

MOST_WORDS = 16     # that a key may hold and a page lists
# What a value is called, by an example of its type or by the beginning of its pattern.
_SHAPES = {
    "600 mV": "a value with its unit", "18 to 28 degC": "a span with its unit",
    "0.5 % + 3 counts": "an accuracy", "^\\s*(?:±|": "an accuracy", "6000 counts": "counts",
    "^(?!(?:aux": "a name in small letters, digits and hyphens", "^(?:19|": "a day",
    "^([0-9]{4}-": "a day, or unknown", "^(?:yes|": "yes or no",
    "^[^,]*$": "a text without a comma",
    "^none": "‘none, because …’", "^k": "‘k = 2’, with degrees of freedom or without",
    "^guard": "‘guard band of U’, or of a part of it", "^[0-9a-f]{12}": "twelve signs"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceKey:
    name: str
    needed: bool
    written: str        # as what, in words
    groups: tuple[str, ...]     # the groups of keys that it may hold
    example: str        # "" where it holds groups of keys
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceGroup:
    """The keys that stand together, at a file's head or under a key; `under` names that."""

    name: str
    says: str
    under: tuple[str, ...]
    keys: tuple[ReferenceKey, ...]


def groups(kind: str) -> list[ReferenceGroup]:
    """The head of a file of this kind, then each group in the order in which it is first met."""
    schema = json.loads(schemas.text(kind))
    nodes = {schemas.MODELS[kind].__name__: schema} | schema.get("$defs", {})
    classes = {one.__name__: one for one in _below(Strict)}
    made: dict[str, ReferenceGroup] = {}
    waiting = [next(iter(nodes))]
    while waiting:
        name = waiting.pop(0)
        if name in made:
            continue
        keys = tuple(_key(name, key, node, classes[name])
                     for key, node in nodes[name]["properties"].items())
        made[name] = ReferenceGroup(name=name, says=nodes[name].get("description", ""), under=(),
                                    keys=keys)
        waiting += [inner for key in keys for inner in key.groups]
    return [ReferenceGroup(name=one.name, says=one.says, keys=one.keys, under=tuple(
        dict.fromkeys(key.name for other in made.values() for key in other.keys
                      if one.name in key.groups))) for one in made.values()]


def _below(kind: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for inner in kind.__subclasses__():
        yield inner
        yield from _below(inner)


def _key(group: str, name: str, node: dict[str, Any], model: Any) -> ReferenceKey:
    field = next((field for own, field in model.model_fields.items()
                  if (field.alias or own) == name))
    says = node.get("description") or ""
    inner: tuple[str, ...] = tuple(dict.fromkeys(
        re.findall(r'"#/\$defs/(\w+)"', json.dumps(node))))
    return ReferenceKey(name=name, needed=field.is_required(), written=_written(node),
                        groups=inner, example=_example(f"{group}.{name}", node, says), says=says)


def _example(name: str, node: dict[str, Any], says: str) -> str:
    """That of the table, else the first that the description quotes, or what the schema has."""
    if name in EXAMPLES:
        return EXAMPLES[name]
    if quoted := re.search(r"such as '((?:[^']|'(?=\w))+)'(?!\w)", says) or (
            re.search(r"'((?:[^'])+)'(?!\w)", says)):
        return quoted[1].removeprefix(f"{name.partition('.')[2]}: ")
    found = _first(node, "examples") or _first(node, "enum")
    return str(found[0]) if found else "yes" if '"boolean"' in json.dumps(node) else ""


def _first(node: Any, key: str) -> list[Any]:
    if isinstance(node, list):
        return next((one for part in node if (one := _first(part, key))), [])
    if not isinstance(node, dict):
        return []
    return node.get(key) or _first([node.get(name) for name in ("anyOf", "items")], key)


def _written(node: dict[str, Any]) -> str:
    return " or ".join(dict.fromkeys(_forms(node)))


def _forms(node: dict[str, Any]) -> Iterator[str]:
    """The ways in which a value may be written, in words."""
    if "enum" in node:
        words = [one for one in node["enum"] if isinstance(one, str)]
        yield "one of: " + ", ".join(words[:MOST_WORDS]) if len(words) > 1 else (
            f"'{words[0]}'" if words else "yes or no")
    elif "$ref" in node:
        yield "a group of keys"
    elif "anyOf" in node:
        for part in node["anyOf"]:
            if part.get("type") != "null":
                yield from _forms(part)
    elif node.get("type") == "array":
        yield "a list" if "$ref" in node.get("items", {}) else (
            f"a list of {_written(node.get('items', {})) or 'values'}")
    elif node.get("type") == "object":
        yield "a group of keys"
    elif node.get("type") == "boolean":
        yield "yes or no"
    elif "const" in node:
        yield f"'{node['const']}'"
    else:
        yield _text(node)


def _text(node: dict[str, Any]) -> str:
    """What a single value is, by the examples of its type or by how its pattern begins."""
    shown, pattern = node.get("examples", []), node.get("pattern", "")
    for begins, words in _SHAPES.items():
        if begins in shown or (begins[0] == "^" and pattern.startswith(begins)):
            return words
    return "such as " + " or ".join(f"‘{one}’" for one in shown) if shown else "text"
