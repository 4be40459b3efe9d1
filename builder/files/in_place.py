"""A value of a YAML file changed where it stands: every other byte of the file stays as somebody
wrote it, with its comments, order, quotation marks and line ends. Whatever is written is read again
before it counts: a text that would say anything else is refused."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from builder.files import yaml_text
from builder.files.documents import Node, Path_
from builder.files.problems import Wrong

_IN_TEXT = "change it in the text of the file"
_WIDE = 96      # columns of a text that has lines of its own


def leaves(node: Node, path: Path_ = ()) -> Iterator[tuple[Path_, Node]]:
    """Each single value below a node, with its path, in the order of the file."""
    inner = (node.value.items() if isinstance(node.value, dict) else
             enumerate(node.value) if isinstance(node.value, list) else ())
    for step, one in inner:
        yield from leaves(one, (*path, step))
    if isinstance(node.value, str):
        yield path, node


def changed(text: str, values: Mapping[Path_, str]) -> str:
    """A file's text with other values at these paths, blanks in them folded as the reader folds
    them. Raises `Wrong` where the text can't be read, or where a value can't stand there."""
    found, starts = _read(text), _starts(text)
    at_place = dict(leaves(found))
    for path in sorted(values, key=lambda path: at_place[path].start, reverse=True):
        node, value = at_place[path], " ".join(values[path].split())
        first, last = (starts[line] + column for line, column in (node.start, node.end))
        last = first + len(text[first:last].rstrip())
        data = _read(text).plain()
        _put(data, path, value)
        text = _first_that_says(data, (
            text[:first] + (" " if first == last and text[first - 1] in ":-" else "") + one
            + text[last:] for one in _spelt(value, text[first:last], _end(text))), value)
    return text


def with_key(text: str, path: Path_, key: str, value: str) -> str:
    """A file's text with one more key in the group at a path, behind those that are there. Raises
    `Wrong` as `changed` does."""
    root = _read(text)
    group, data, value = _below(root, path), root.plain(), " ".join(value.split())
    _put(data, (*path, key), value)
    own = [one for one in group.keys.values() if isinstance(one.value, str)]
    if not own:
        raise Wrong(f"'{key}' has no place there", _IN_TEXT)
    line, column = own[-1].end
    if text[(start := _starts(text))[group.start[0]] + group.start[1]] == "{":
        where, before, after = start[line] + column, ", ", ""
    else:
        where = _line_end(text, start, own[-1])
        before, after = " " * own[-1].key[0][1] if own[-1].key else "", _end(text)
    return _first_that_says(data, (_inserted(text, where, f"{before}{key}: {one}{after}")
                                   for one in _spelt(value, "", "")), value)


def with_entry(text: str, path: Path_, entry: Mapping[str, str]) -> str:
    """A file's text with one more entry, on a line of its own, behind those of the list at a path.
    Raises `Wrong` as `changed` does."""
    root = _read(text)
    listed, data, starts = _below(root, path).entries, root.plain(), _starts(text)
    data_there = data
    for step in path:
        data_there = data_there[step]
    entry = {key: " ".join(value.split()) for key, value in entry.items() if value.strip()}
    before = text[starts[listed[-1].start[0]]:][:listed[-1].start[1]] if listed else ""
    if before.strip() != "-":
        raise Wrong("there is no list of lines to add one to", _IN_TEXT)
    data_there.append(entry)
    line = ", ".join(f"{key}: {next(_spelt(value, '', '', flow=True))}"
                     for key, value in entry.items())
    last = list(leaves(listed[-1]))[-1][1]
    return _first_that_says(data, [_inserted(text, _line_end(text, starts, last),
                                             f"{before}{{{line}}}{_end(text)}")], line)


def _read(text: str) -> Node:
    document, problems = yaml_text.parse(text, "the file")
    if document is None:
        raise Wrong(f"line {problems[0].place.line}: {problems[0].sentence}",
                    problems[0].hint or _IN_TEXT)
    return document.root


def _below(node: Node, path: Path_) -> Node:
    for step in path:
        node = node.entries[step] if isinstance(step, int) else node.keys[step]
    return node


def _put(data: Any, path: Path_, value: str) -> None:
    for step in path[:-1]:
        data = data[step]
    data[path[-1]] = value


def _first_that_says(data: Any, texts, value: str) -> str:
    for text in texts:
        document, problems = yaml_text.parse(text, "the file")
        if document is not None and document.data == data:
            return text
        if document is None and problems[0].code in ("control-character", "too-long"):
            raise Wrong(problems[0].sentence, problems[0].hint)
    raise Wrong(f"'{value[:60]}' can't stand there", _IN_TEXT)


def _spelt(value: str, old: str, end: str, flow: bool = False) -> Iterator[str]:
    """How a value may be written, first as the one that it replaces was."""
    quoted, single = json.dumps(value, ensure_ascii=False), "'" + value.replace("'", "''") + "'"
    if old[:1] in ("|", ">"):
        head, *lines = re.split(r"\r\n|\r|\n", old)
        indent = re.match(" *", next(filter(str.strip, lines), ""))
        if value and indent and indent[0]:
            yield head + "".join(end + indent[0] + line for line in textwrap.wrap(
                value, _WIDE - len(indent[0]), break_long_words=False, break_on_hyphens=False))
    if old[:1] == "'":
        yield single
    if old[:1] != '"' and yaml_text.is_plain(value, old) and not (
            flow and re.search(r"[,\[\]{}:#]", value)):
        yield value
    yield quoted
    yield single


def _starts(text: str) -> list[int]:
    """Where each line begins."""
    return [0, *(match.end() for match in re.finditer(r"\r\n|\r|\n", text)), len(text)]


def _end(text: str) -> str:
    """The line end of a file."""
    return (re.search(r"\r\n|\r|\n", text) or ["\n"])[0]


def _line_end(text: str, starts: list[int], node: Node) -> int:
    """Where the line behind a value begins; a text with lines of its own ends there already."""
    line, column = node.end
    return starts[line] if column == 0 and node.end > node.start else starts[line + 1]


def _inserted(text: str, where: int, line: str) -> str:
    """A last line without its end gets one first."""
    before = text[:where]
    return before + ("" if before[-1:] in "\r\n" or "\n" not in line and "\r" not in line
                     else _end(text)) + line + text[where:]
