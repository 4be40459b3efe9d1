"""JSON text → plain data, and where each value stands: what a phone hands over, and a procedure's
data beside a record.

A document of JSON is asked like one of YAML. Numbers, true and false become the texts that they are
written as, null is nothing; `raw` is the data as JSON has it. """

from __future__ import annotations

import bisect
import json
import re
from json.decoder import scanstring
from pathlib import Path

from builder.files.problems import Place, Problem
from builder.files.yaml_text import LARGEST_FILE, LONGEST_TEXT, Document, Node, content

_SPACE = re.compile(r"[ \t\n\r]*")
_LITERAL = re.compile(r"null|true|false|-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?")
# No text of a report may hold them: control characters, what turns the direction of writing, and
# halves of characters.
_HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
_DEEPEST = 60


class JsonDocument(Document):
    """Places are looked up only when a problem needs them: most files are right."""

    def __init__(self, file: str, text: str, raw, root: Node | None = None):
        self.file, self.lines, self.text, self.raw, self._root = file, text.split(
            "\n"), text, raw, root

    @property
    def root(self) -> Node:
        if self._root is None:
            self._root = _Reader(self.text).whole()
        return self._root

    @property
    def data(self):
        return self.root.plain()


class _Broken(Exception):
    def __init__(self, at: int, sentence: str, hint: str):
        super().__init__(sentence)
        self.at, self.sentence, self.hint = at, sentence, hint


def read(path: Path, shown: str) -> "tuple[JsonDocument | None, list[Problem]]":
    """Reads one file; `shown` is the name that problems give it."""
    try:
        raw = content(path)
    except OSError as error:
        return None, [Problem(Place(shown, 1, 1), "unreadable",
                              f"the file can't be read: {error.strerror or error}")]
    if len(raw) > LARGEST_FILE:
        return None, [Problem(Place(shown, 1, 1), "too-large",
                              f"the file is larger than {LARGEST_FILE // 1000} kB",
                              "a record takes some 200 kB")]
    raw = raw.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[:error.start].count(b"\n")
        return None, [Problem(Place(shown, line + 1, 1), "encoding", "the file is not UTF-8 text",
                              "hand it over again from the phone, or restore the file")]
    return parse(text, shown)


def parse(text: str, shown: str) -> "tuple[JsonDocument | None, list[Problem]]":
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    try:
        raw = json.loads(text, object_pairs_hook=_once, parse_float=str,
                         parse_constant=_no_constant)
        is_plain = isinstance(raw,
                              dict) and "\\u" not in text and not _HIDDEN.search(
                                  text) and _is_modest(raw)
    except (ValueError, RecursionError):
        raw, is_plain = None, False
    if not is_plain:    # the slower reader knows what is wrong, if anything is, and where
        lines = text.split("\n")
        try:
            _Reader(text).whole()
            if isinstance(raw, dict):
                return JsonDocument(shown, text, raw), []
            broken = _Broken(0, "this is no record: a group of keys in braces is expected",
                             "hand the file over again, or restore it")
        except _Broken as found:
            broken = found
        line = text.count("\n", 0, broken.at)
        column = broken.at - (text.rfind("\n", 0, broken.at) + 1)
        return None, [Problem(Place(shown, line + 1, column + 1, 1, lines[line]), "json",
                              broken.sentence, broken.hint)]
    return JsonDocument(shown, text, raw), []


def _once(pairs: list) -> dict:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a key stands twice")
    return found


def _no_constant(name: str):
    raise ValueError(name)


def _is_modest(value, depth: int = 0) -> bool:
    """Whether nothing in it is nested too deep or longer than any text of a record."""
    if isinstance(value, str):
        return len(value) <= LONGEST_TEXT
    if isinstance(value, dict):
        return (depth <= _DEEPEST and all(len(key) <= LONGEST_TEXT and _is_modest(one, depth + 1)
                                          for key, one in value.items()))
    return (not isinstance(value, list)
            or (depth <= _DEEPEST and all(_is_modest(one, depth + 1) for one in value)))


class _Reader:
    """The grammar of RFC 8259, with places and sentences; as strict as the standard library's
    reader."""

    def __init__(self, text: str):
        self.text = text
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def whole(self) -> Node:
        root, at = self._value(self._after(0), 0)
        if self._after(at) != len(self.text):
            raise _Broken(self._after(at), "something stands behind the end of the record",
                          "one record a file")
        return root

    def _after(self, at: int) -> int:
        return _SPACE.match(self.text, at).end()

    def _place(self, at: int) -> tuple[int, int]:
        line = bisect.bisect_right(self.starts, at) - 1
        return line, at - self.starts[line]

    def _here(self, at: int) -> str:
        if at >= len(self.text):
            raise _Broken(at, "the file ends in the middle: it was cut short",
                          "hand it over again from the phone, or restore the file")
        return self.text[at]

    def _string(self, at: int) -> tuple[str, int]:
        try:
            value, end = scanstring(self.text, at + 1, True)
        except ValueError as error:
            if "Unterminated" in str(error):
                raise _Broken(at, "this text has no end: the file was cut short",
                              "hand it over again from the phone, or restore the file") from None
            raise _Broken(at, "this text holds a line end or an unknown escape",
                          "hand the file over again") from None
        if hidden := _HIDDEN.search(value):
            half = "\ud800" <= hidden[0] <= "\udfff"
            raise _Broken(at,
                          "this text holds half of a character" if half
                          else f"this text holds an invisible character (U+{ord(hidden[0]):04X})",
                          "write it again")
        if len(value) > LONGEST_TEXT:
            raise _Broken(at, f"a text of {len(value)} characters stands here",
                          f"at most {LONGEST_TEXT}: hand the file over again")
        return value, end

    def _value(self, at: int, depth: int) -> tuple[Node, int]:
        if depth > _DEEPEST:
            raise _Broken(at, f"values are nested more than {_DEEPEST} deep", "this is no record")
        first = self._here(at)
        if first == '"':
            value, end = self._string(at)
        elif first in "{[":
            return self._nested(at, depth, first)
        else:
            match = _LITERAL.match(self.text, at)
            if not match or match.end() < len(
                    self.text) and self.text[match.end()] not in " \t\n\r,]}":
                raise _Broken(at,
                              "this is neither a text in quotation marks nor a number, true, false "
                              "or null", "put texts in quotation marks")
            value, end = (None if match[0] == "null" else match[0]), match.end()
        return Node(value, self._place(at), self._place(end)), end

    def _nested(self, start: int, depth: int, first: str) -> tuple[Node, int]:
        close = "}" if first == "{" else "]"
        items: "dict[str, Node] | list[Node]" = {} if first == "{" else []
        at = self._after(start + 1)
        if self._here(at) == close:
            return Node(items, self._place(start), self._place(at + 1)), at + 1
        while True:
            key = None
            if first == "{":
                if self._here(at) != '"':
                    raise _Broken(at, "a key in quotation marks is expected here",
                                  "a comma too many?")
                (name, end), key = self._string(at), at
                if name in items:
                    raise _Broken(at, f"'{name[:60]}' stands twice", "keep one of the two")
                at = self._after(end)
                if self._here(at) != ":":
                    raise _Broken(at, "a colon is expected here", "between a key and its value")
                at = self._after(at + 1)
            child, at = self._value(at, depth + 1)
            if key is None:
                items.append(child)
            else:
                child.key = self._place(key), self._place(end)
                items[name] = child
            at = self._after(at)
            if self._here(at) == close:
                return Node(items, self._place(start), self._place(at + 1)), at + 1
            if self.text[at] != ",":
                raise _Broken(at, f"a comma or '{close}' is expected here",
                              "was something deleted by hand?")
            at = self._after(at + 1)
