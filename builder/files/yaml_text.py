"""YAML text → plain data, and where each value stands. The only importer of yaml.

Stricter than YAML: every scalar stays the text that was typed (so `0.1` is no float, `on` no
boolean, `12:30` no number in base sixty); a key that stands twice, anchors, tags, several documents
and invisible control characters are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Any

import yaml

from builder.files import yaml_slips
from builder.files.documents import Document, Node, nowhere
from builder.files.problems import Place, Problem
from builder.files.yaml_slips import is_invisible

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

LARGEST_FILE = 1_000_000  # bytes; a meter's table is a few thousand
DEEPEST = 20
MOST_VALUES = 20_000      # of keys and values; a plan of a thousand points has a third of them
LONGEST_TEXT = 5000       # of a value or a key; a note's 4000 are told by themselves

# What some readers take for a number, or for yes and no, and others don't.
_ELSEWHERE = re.compile(r"(?P<zero>0[0-9].*)|(?P<power>[-+]?[0-9.]+[eE][-+]?[0-9]+)|"
                        r"(?P<yes>[yYnN])")


class _NotPlain(Exception):
    def __init__(self, code: str, sentence: str, hint: str, start, end=None):
        super().__init__(sentence)
        self.code, self.sentence, self.hint, self.start = code, sentence, hint, start
        self.end = end or (start[0], start[1] + 1)


_TRIED: ContextVar[tuple[Path | None, bytes]] = ContextVar("tried", default=(None, b""))


@contextmanager
def as_if(path: Path | None, raw: bytes) -> Iterator[None]:
    """Here a file is read as if these bytes were in it, so that a change is checked before it is
    written; None is no file."""
    token = _TRIED.set((path, raw))
    try:
        yield
    finally:
        _TRIED.reset(token)


def content(path: Path, most: int = LARGEST_FILE) -> bytes:
    """What is in a file, up to one byte more than it may have. OSError where it can't be read,
    or is a device or a pipe, which never end."""
    tried, raw = _TRIED.get()
    if path == tried:
        return raw[:most + 1]
    if not (path.is_dir() or path.is_file()) and path.exists():
        raise OSError("it is a device or a pipe")
    with path.open("rb") as file:
        return file.read(most + 1)


def read(path: Path, shown: str) -> tuple[Document | None, list[Problem]]:
    """Reads one file; `shown` is the name that problems give it."""
    try:
        raw = content(path)
    except OSError as error:
        return None, [Problem(Place(shown, 1, 1), "unreadable",
                              f"the file can't be read: {error.strerror or error}")]
    if len(raw) > LARGEST_FILE:
        return None, [Problem(Place(shown, 1, 1), "too-large",
                              f"the file is larger than {LARGEST_FILE // 1000} kB",
                              "one meter, standard or plan a file; a meter's table takes a few kB")]
    raw = raw.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[:error.start].count(b"\n")
        before = raw[raw.rfind(b"\n", 0, error.start) + 1:error.start]
        column = len(before.decode("utf-8", "replace"))
        return None, [Problem(Place(shown, line + 1, column + 1), "encoding",
                              "the file is not UTF-8 text",
                              "save it as UTF-8 in your editor")]
    return parse(text, shown)


def parse(text: str, shown: str) -> tuple[Document | None, list[Problem]]:
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    for number, line in enumerate(lines):
        if line.isascii() and line.isprintable():
            continue
        indent = len(line) - len(line.lstrip())
        if line[:indent].strip(" \t"):
            return None, [Problem(Place(shown, number + 1, 1, indent, line), "indent",
                                  "the line begins with a blank that is no space",
                                  "indent with plain spaces")]
        for column, character in enumerate(line):
            if is_invisible(character) and character != "\t":
                return None, [Problem(Place(shown, number + 1, column + 1, 1, line),
                                      "control-character",
                                      f"an invisible character (U+{ord(character):04X}) stands "
                                      "here", "delete it")]
    try:
        root = _build(text)
    except _NotPlain as refused:
        document = Document(shown, text, nowhere())
        return None, [Problem(document._at(refused.start, refused.end), refused.code,
                              refused.sentence, refused.hint)]
    except yaml.YAMLError as error:
        known = vars(error)
        opened, gave_up = ((mark.line, mark.column) if (mark := known.get(name)) else None
                           for name in ("context_mark", "problem_mark"))
        document = Document(shown, text, nowhere())
        start, sentence, hint = yaml_slips.told(
            document.lines, gave_up or opened or (0, 0), opened, known.get("problem") or "",
            known.get("context") or "")
        place = document._at(start, (start[0], start[1] + 1))
        return None, [Problem(place, "yaml", sentence, hint)]
    return Document(shown, text, root), []


def _build(text: str) -> Node:
    events = yaml.parse(text, Loader=_Loader)
    nodes, root = _Nodes(events), None
    for event in events:
        if isinstance(event, (yaml.StreamStartEvent, yaml.StreamEndEvent, yaml.DocumentEndEvent)):
            continue
        if isinstance(event, yaml.DocumentStartEvent):
            if root is not None:
                raise _NotPlain("documents", "a second document starts here",
                                "one thing a file: delete the line '---'", _span(event)[0])
            continue
        root = nodes.of(event, 0)
    if root is None or not isinstance(root.value, dict):
        raise _NotPlain("empty", "the file holds no keys", "start with for example "
                        "'meter: dunlin-60'", (0, 0))
    return root


class _Nodes:
    """Makes the events of a document into nodes, and counts them."""

    def __init__(self, events: Iterator[yaml.Event]) -> None:
        self.events, self.values = events, 0

    def of(self, event: yaml.Event, depth: int) -> Node:
        start, end = _span(event)
        _refuse_extras(event)
        self.values += 1
        if self.values > MOST_VALUES:
            raise _NotPlain("too-many", f"more than {MOST_VALUES} values stand in this file",
                            "one meter, standard or plan a file", start, end)
        if depth > DEEPEST:
            raise _NotPlain("too-deep", f"values are nested more than {DEEPEST} deep",
                            "a bracket or an indent too many?", start, end)
        if isinstance(event, yaml.ScalarEvent):
            return Node(value=_text_of(event), start=start, end=end)
        if isinstance(event, yaml.SequenceStartEvent):
            items = []
            while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
                items.append(self.of(event, depth + 1))
            return Node(value=items, start=start, end=_span(event)[1])
        return self._mapping(start, depth)

    def _mapping(self, start: tuple[int, int], depth: int) -> Node:
        mapping: dict[str, Node] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key = self.of(event, depth + 1)
            if not isinstance(key.value, str):
                raise _NotPlain("key", "a key must be a plain word",
                                "check the indentation and the brackets", key.start, key.end)
            if key.value in mapping:
                first = mapping[key.value].key[0][0] + 1
                raise _NotPlain("duplicate-key",
                                f"'{key.value}' stands twice, first in line {first}",
                                "keep one of the two", key.start, key.end)
            child = self.of(next(self.events), depth + 1)
            child.key = (key.start, key.end)
            mapping[key.value] = child
        return Node(value=mapping, start=start, end=_span(event)[1])


def _span(event: yaml.Event) -> tuple[tuple[int, int], tuple[int, int]]:
    start, end = event.start_mark, event.end_mark
    return (start.line, start.column), (end.line, end.column)


def _refuse_extras(event: yaml.Event) -> None:
    start, end = _span(event)
    if getattr(event, "anchor", None):
        raise _NotPlain("anchor", "anchors and aliases (& and *) are not used here",
                        "write the value out again, or put text that starts with & or * in "
                        "quotes", start, end)
    if getattr(event, "tag", None):
        raise _NotPlain("tag", f"the tag '{event.tag}' is not used here",
                        "leave it out, or put the text in quotes", start, end)


def _text_of(event: yaml.ScalarEvent) -> str:
    start, end = _span(event)
    value = " ".join(event.value.split())
    if len(value) > LONGEST_TEXT:
        raise _NotPlain("too-long", f"a text of {len(value)} characters stands here",
                        f"at most {LONGEST_TEXT}; is a quotation mark missing, or a line "
                        "end?", start)
    # by an escape in quotation marks
    if not value.isprintable() and (hidden := next(filter(is_invisible, value), "")):
        raise _NotPlain("control-character", f"an invisible character (U+{ord(hidden):04X}) is "
                        "meant here", "delete it", start, end)
    return value


def is_plain(value: str, beside: str = "") -> bool:
    """Whether a text is a text to other readers of YAML too where it stands without quotation
    marks: no yes, no number; a day is, and so is what `beside`, which stood there, was."""
    kind, other = map(_kind_elsewhere, (value, beside))
    return kind.endswith((":str", ":timestamp")) or bool(beside) and kind == other


def _kind_elsewhere(value: str) -> str:
    match = _ELSEWHERE.fullmatch(value)
    return str(match.lastgroup) if match else yaml.resolver.Resolver().resolve(
        yaml.ScalarNode, value, (True, False))


def loosely(text: str) -> Any:
    """A file of other programs as lists, dicts and texts, whatever its tags mean to them.
    ValueError where it is no YAML."""
    try:
        return yaml.load(text, Loader=yaml.BaseLoader)
    except yaml.YAMLError as error:
        raise ValueError(str(error)) from None
