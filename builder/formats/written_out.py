"""What a meter's file says once, written out: the accuracy of a whole function at each of its
ranges, and a meter that is like another with all that the other's file says.

Works on the file's nodes, so that whatever is wrong is told where somebody wrote it: in this file
or in the other one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from builder.files import yaml_text
from builder.files.documents import Document, Node
from builder.files.problems import Problem, Wrong, errors
from builder.numbers import units

OF_RANGES = ("accuracy", "lowest")      # keys of a function that hold for each of its ranges
_OWN = ("meter", "name", "note", "like", "without")   # of one meter, never another's
_LIKE = re.compile(rb"\blike['\"]?\s*:\s*['\"]?([a-z0-9-]+)")

Keys = dict[str, Node]


def each_range(document: Document) -> Document:
    """What a function says for all of its ranges, at each that doesn't say otherwise."""
    functions = _entries(document.root, "functions")
    if not any(key in one for one in functions for key in OF_RANGES):
        return document
    listed = document.root.keys["functions"]
    made = [_with(whole, {**keys, "ranges": _filled(keys)})
            if "ranges" in keys and isinstance(keys["ranges"].value, list) else whole
            for keys, whole in zip(functions, listed.entries, strict=True)]
    return document.with_root(_with(document.root, {**document.root.keys,
                                                    "functions": _list(made, listed)}))


def like_another(document: Document, find: Callable[[str], tuple[Document | None, list[Problem]]],
                 ) -> tuple[Document, list[Problem]]:
    """The file with all that the meter it is like has and it doesn't say itself. Ranges and
    functions are known by their names. `find` reads a meter's file by its name."""
    given = document.root.keys.get("like")
    if given is None or not isinstance(given.value, str):
        return document, _nothing_without(document)
    other, problems = find(given.value)
    if other is None:
        return document, problems + [document.problem(
            ("like",), "like", f"there is no meter '{given.value}' to be like",
            "the name of a file in meters/ that can be read")]
    if "like" in other.root.keys:
        return document, [document.problem(
            ("like",), "like", f"'{given.value}' is like another meter itself",
            f"name the meter whose file has the whole table: "
            f"{other.root.keys['like'].value}")]
    base = {key: _of(node, other) for key, node in other.root.keys.items() if key not in _OWN}
    own: dict[str, Node | None] = dict(document.root.keys)
    wrong: list[Problem] = []
    if isinstance(base.get("functions", given).value, list):
        base["functions"] = _less(document, base["functions"], own.get("without"), _title, wrong,
                                  ("without",))
    own["functions"] = _functions(document, own.get("functions"), base.get("functions"), wrong)
    said = {key: node for key, node in own.items() if node is not None}
    return document.with_root(_with(document.root, _over(said, base))), wrong


def told_beside(document: Document, problems: list[Problem]) -> list[Problem]:
    """With a line in this file where errors stand in the one that it is like."""
    if all(one.place.file == document.file for one in errors(problems)):
        return problems
    return [*problems, document.problem(
        ("like",), "like", "what this meter has from that file is not right here",
        "mend that file, or write here what differs")]


def beside(path: Path, content: bytes | None) -> list[bytes]:
    """What is in the files that this one may be like: what is made of it hangs on them."""
    others = [path.with_name(name.decode() + ".yaml")
              for name in dict.fromkeys(_LIKE.findall(content or b""))]
    return [yaml_text.content(other) for other in others if other.is_file()]


# ---------------------------------------------------------------- nodes

def _filled(function: Keys) -> Node:
    once = {key: function[key] for key in OF_RANGES if key in function}
    ranges = function["ranges"]
    return _list([_with(one, {**one.keys, **{k: n for k, n in once.items() if k not in one.keys}})
                  if one.keys else one for one in ranges.entries], ranges)


def _functions(document: Document, own: Node | None, base: Node | None,
               wrong: list[Problem]) -> Node | None:
    """Those of the other meter with what differs, then those that only this one has."""
    if own is None or base is None or not isinstance(own.value, list):
        return own or base
    left = list(enumerate(own.value))
    made = []
    for theirs in base.entries:
        same = next(((i, one) for i, one in left
                     if _title(one) is not None and _title(one) == _title(theirs)), None)
        if same is None:
            made.append(theirs)
            continue
        left.remove(same)
        made.append(_function(document, ("functions", same[0]), same[1], theirs, wrong))
    for i, mine in left:
        if "without" in mine.keys:
            wrong.append(document.problem(("functions", i, "without"), "like",
                                          "the other meter has no such function", of_key=True))
    return _list([*made, *(mine for _, mine in left)], own)


def _function(document: Document, path: tuple, mine: Node, theirs: Node,
              wrong: list[Problem]) -> Node:
    own, base = dict(mine.keys), dict(theirs.keys)
    without = own.pop("without", None)
    ranges = base.get("ranges")
    if ranges is not None and isinstance(ranges.value, list):
        ranges = _less(document, ranges, without, _range_name, wrong, (*path, "without"))
        # What this file says for the whole function holds for ranges that come from the other.
        ranges = _list([_with(one, {k: n for k, n in one.keys.items()
                                    if k not in OF_RANGES or k not in own})
                        if one.keys else one for one in ranges.entries], ranges)
        base["ranges"] = ranges
        if "ranges" in own and isinstance(own["ranges"].value, list):
            own["ranges"] = _ranges(own["ranges"], ranges)
    if "clamp" in own:
        base.pop("jacks", None)
    return _with(mine, _over(own, base))


def _ranges(own: Node, base: Node) -> Node:
    left, made = list(own.entries), []
    for theirs in base.entries:
        name = _range_name(theirs)
        mine = next((entry for entry in left if name and _range_name(entry) == name), None)
        if mine is not None:
            left.remove(mine)
        made.append(theirs if mine is None else _with(mine, _over(mine.keys, theirs.keys)))
    return _list([*made, *left], own)


def _less(document: Document, listed: Node, without: Node | None, name: Callable[[Node], object],
          wrong: list[Problem], path: tuple) -> Node:
    """A list of the other file less what this one says that it is without."""
    if without is None:
        return listed
    gone = without.entries if isinstance(without.value, list) else [without]
    known = [name(one) for one in listed.entries]
    for i, name_given in enumerate(gone):
        if _called(name_given) not in known:
            where = (*path, i) if isinstance(without.value, list) else path
            wrong.append(document.problem(
                where, "like", f"'{_shown(name_given)}' is not there to be without",
                "known there: " + ", ".join(str(_shown(entry)) for entry in listed.entries)))
    names = {_called(one) for one in gone} - {None}
    return _list([one for one in listed.entries if name(one) not in names], listed)


def _nothing_without(document: Document) -> list[Problem]:
    functions = _entries(document.root, "functions")
    paths: list[tuple] = [("without",)] if "without" in document.root.keys else []
    paths += [("functions", i, "without") for i, one in enumerate(functions) if "without" in one]
    return [document.problem(path, "like", "'without' leaves out what another meter has",
                             "it stands beside 'like: …'", of_key=True) for path in paths]


def _over(own: Keys, base: Keys) -> Keys:
    """Keys of both, this file's first and ruling; groups of keys are joined. A reason that the
    other file gives for what looks like a slip there is none for what differs here."""
    joined = {key: _with(node, _over(node.keys, base[key].keys))
              if isinstance(node.value, dict) and key in base
              and isinstance(base[key].value, dict) else node
              for key, node in own.items()}
    return joined | {key: node for key, node in base.items()
                     if key not in own and key != "confirmed"}


def _title(entry: Node) -> object:
    return _called(entry.keys.get("name") or entry.keys.get("function"))


def _range_name(entry: Node) -> object:
    return _called(entry.keys.get("range"))


def _called(node: Node | None) -> object:
    """A name to know things by; of an amount its value, however it is written."""
    if node is None or not isinstance(node.value, str):
        return None
    try:
        amount = units.quantity(node.value)
    except Wrong:
        return node.value
    return amount.dimension, amount.value


def _shown(entry: Node) -> object:
    named = next((entry.keys[key] for key in ("range", "name", "function")
                  if key in entry.keys), entry)
    return named.value if isinstance(named.value, str) else "?"


def _entries(root: Node, key: str) -> list[Keys]:
    """The groups of keys of a list; empty for an entry that is none."""
    listed = root.keys.get(key)
    return [one.keys for one in listed.entries] if listed else []


def _with(node: Node, keys: Keys) -> Node:
    return replace(node, value=keys)


def _list(entries: list[Node], like: Node) -> Node:
    return replace(like, value=entries)


def _of(node: Node, origin: Document) -> Node:
    """A node that stands in another file, with all below it."""
    if isinstance(node.value, dict):
        value: str | list[Node] | dict[str, Node] = {
            key: _of(inner, origin) for key, inner in node.value.items()}
    elif isinstance(node.value, list):
        value = [_of(inner, origin) for inner in node.value]
    else:
        value = node.value
    return replace(node, value=value, origin=origin)
