"""JSON text → plain data, and where each value stands: what a phone hands over, and a procedure's
data beside a record.

A document of JSON is asked like one of YAML. Numbers, true and false become the texts that they are
written as, null is nothing; `raw` is the data as JSON has it, its decimals as texts. """

from __future__ import annotations

import bisect
import json
import re
from pathlib import Path

from builder.files.problems import Place, Problem
from builder.files.yaml_text import LARGEST_FILE, LONGEST_TEXT, Document, Node, content

# What a text that is JSON consists of: the sign, text or word behind each stretch of blanks.
_TOKEN = re.compile(r'[ \t\n]*(?:([][{}:,])|("(?:[^"\\]|\\.)*")|([^][{}:," \t\n]+))')
# No text of a report may hold them: control characters, what turns the direction of writing, and
# halves of characters.
_HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
_DEEPEST = 60
_CUT_SHORT = "hand it over again from the phone, or restore the file"
# The reader's words → a sentence and a hint for the bench; what it says else is that of a value.
_SENTENCES = {
    "Unterminated string": ("this text has no end: the file was cut short", _CUT_SHORT),
    "Invalid": ("this text holds a line end or an unknown escape", "hand the file over again"),
    "Expecting property name": ("a key in quotation marks is expected here", "a comma too many?"),
    "Expecting ':'": ("a colon is expected here", "between a key and its value"),
    "Expecting ','": ("a comma or a closing bracket is expected", "was something deleted by hand?"),
    "Extra data": ("something stands behind the end of the record", "one record a file"),
}
_NO_VALUE = ("this is neither a text in quotation marks nor a number, true, false or null",
             "put texts in quotation marks")


class JsonDocument(Document):
    """Places are looked up only when a problem needs them: most files are right."""

    def __init__(self, file: str, text: str, raw: dict):
        self.file, self.text, self.raw = file, text, raw
        self.lines = text.split("\n")
        self._root: Node | None = None

    @property
    def root(self) -> Node:
        if self._root is None:
            self._root = _with_places(self.text)
        return self._root

    @property
    def data(self):
        return self.root.plain()


class _Refused(Exception):
    def __init__(self, start: int, sentence: str, hint: str):
        super().__init__(sentence)
        self.start, self.sentence, self.hint = start, sentence, hint


def read(path: Path, shown: str) -> tuple[JsonDocument | None, list[Problem]]:
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


def parse(text: str, shown: str) -> tuple[JsonDocument | None, list[Problem]]:
    """A document, or the problem for which there is none."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    try:
        return JsonDocument(shown, text, _judged(text)), []
    except _Refused as refused:
        line = text.count("\n", 0, refused.start)
        column = refused.start - (text.rfind("\n", 0, refused.start) + 1)
        return None, [Problem(Place(shown, line + 1, column + 1, 1, text.split("\n")[line]), "json",
                              refused.sentence, refused.hint)]


def _judged(text: str) -> dict:
    """The data; raises `_Refused` where the text is no JSON, or holds what no record may."""
    unusual = []    # keys that stand twice, and NaN and its like, whose places are looked up
    try:
        raw = json.loads(text, object_pairs_hook=lambda pairs: _once(pairs, unusual),
                         parse_float=str, parse_constant=unusual.append)
    except json.JSONDecodeError as error:
        raise _broken(text, error) from None
    except (RecursionError, ValueError):    # ValueError: a whole number of thousands of digits
        unusual.append(None)
        raw = None
    if unusual or "\\u" in text or _HIDDEN.search(text) or not _is_modest(raw):
        _with_places(text)
    if not isinstance(raw, dict):
        raise _Refused(0, "this is no record: a group of keys in braces is expected",
                       "hand the file over again, or restore it")
    return raw


def _broken(text: str, error: json.JSONDecodeError) -> _Refused:
    """What the reader says of a text that is no JSON, the same whichever Python it is."""
    if not text[error.pos:].strip(" \t\n"):
        return _Refused(error.pos, "the file ends in the middle: it was cut short", _CUT_SHORT)
    if (error.msg.startswith("Illegal trailing comma")
            or text[error.pos] in "]}" and text[:error.pos].rstrip(" \t\n").endswith(",")):
        return _Refused(text.rindex(",", 0, error.pos + 1), "a comma too many stands here",
                        "delete it")
    return _Refused(error.pos, *next(
        (words for start, words in _SENTENCES.items() if error.msg.startswith(start)), _NO_VALUE))


def _once(pairs: list, unusual: list) -> dict:
    data = dict(pairs)
    if len(data) != len(pairs):
        unusual.append("a key stands twice")
    return data


def _is_modest(value, depth: int = 0) -> bool:
    """Whether nothing in it is nested too deep or longer than any text of a record."""
    if isinstance(value, str):
        return len(value) <= LONGEST_TEXT
    if isinstance(value, dict):
        return (depth <= _DEEPEST and all(len(key) <= LONGEST_TEXT and _is_modest(inner, depth + 1)
                                          for key, inner in value.items()))
    return (not isinstance(value, list)
            or (depth <= _DEEPEST and all(_is_modest(inner, depth + 1) for inner in value)))


def _with_places(text: str) -> Node:
    """The values of a text that is JSON, as texts and with their places. Whether it is was judged
    before, so that its tokens need only be counted; raises `_Refused` for what is JSON, and still
    may stand in no record."""
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    tokens = _TOKEN.finditer(text)

    def place(position: int) -> tuple[int, int]:
        line = bisect.bisect_right(starts, position) - 1
        return line, position - starts[line]

    def node(token: re.Match, depth: int) -> Node:
        start, end = token.span(token.lastindex)
        sign, quoted, word = token.groups()
        if quoted:
            return Node(value=_shown_text(quoted, start), start=place(start), end=place(end))
        if word:
            if word in ("NaN", "Infinity", "-Infinity") or len(word) > LONGEST_TEXT:
                raise _Refused(start, *_NO_VALUE)
            return Node(value=None if word == "null" else word, start=place(start),
                        end=place(end))
        if depth > _DEEPEST:
            raise _Refused(start, f"values are nested more than {_DEEPEST} deep",
                           "this is no record")
        group: dict[str, Node] = {}
        listed: list[Node] = []
        for inner in tokens:
            if inner[1] in ("]", "}"):
                return Node(value=group if sign == "{" else listed, start=place(start),
                            end=place(inner.end()))
            if inner[1] == ",":
                continue
            if sign == "[":
                listed.append(node(inner, depth + 1))
                continue
            name = _shown_text(inner[2], inner.start(2))
            if name in group:
                raise _Refused(inner.start(2), f"'{name[:60]}' stands twice", "keep one of the two")
            next(tokens)    # the colon
            group[name] = node(next(tokens), depth + 1)
            group[name].key = place(inner.start(2)), place(inner.end(2))
        raise AssertionError("no JSON")

    return node(next(tokens), 0)


def _shown_text(quoted: str, start: int) -> str:
    value = json.loads(quoted)
    if hidden := _HIDDEN.search(value):
        half = "\ud800" <= hidden[0] <= "\udfff"
        raise _Refused(start, "this text holds half of a character" if half
                       else f"this text holds an invisible character (U+{ord(hidden[0]):04X})",
                       "write it again")
    if len(value) > LONGEST_TEXT:
        raise _Refused(start, f"a text of {len(value)} characters stands here",
                       f"at most {LONGEST_TEXT}: hand the file over again")
    return value
