"""Plain data with a hash over it: JSON that tells whether anybody has changed it since it was
written.

The hash is SHA-256 over the content in one canonical form (RFC 8785 in spirit, from memory: keys
sorted, no blanks), not over the file: line ends and indentation may change on their way through an
editor or a repository, a sign of the content may not. It is no signature: whoever can write the
file can work out a new hash. What comes after it names it, so a changed file breaks that too.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from builder.files.problems import Place, Problem
from builder.files.yaml_text import content

LARGEST = 10_000_000    # bytes; the largest sheet with its sources takes a tenth
HASH = "hash"
_RESTORE = "restore the file from the repository or a backup: it is never edited"


def canonical(data: Any) -> str:
    """Plain data as the one text that a hash is made over. Raises TypeError for what is no plain
    data, and for binary floats, which have no place in it."""
    text = _in_one_form(data)
    try:
        json.loads(text, parse_float=_no_float, parse_constant=_no_float)
    except ValueError as error:
        raise TypeError(f"a binary float: {error}") from None
    return text


def _in_one_form(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def digest(data: Any) -> str:
    """SHA-256 of plain data, in hexadecimal."""
    return sha256(canonical(data))


def sha256(text: str) -> str:
    """SHA-256 of a text, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def as_text(data: dict[str, Any]) -> str:
    """Data with its hash as the last of its keys, a line a value, so that a comparison of two
    files reads well."""
    whole = {**data, HASH: digest(data)}
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def read(path: Path, shown: str) -> tuple[dict[str, Any] | None, list[Problem]]:
    """The content of a file with its hash, or why there is none; `shown` is the name that problems
    give the file."""
    try:
        raw = content(path, LARGEST)
    except OSError as error:
        return None, [_problem(shown, "", 1, 1, "unreadable",
                               f"the file can't be read: {error.strerror or error}", "")]
    if len(raw) > LARGEST:
        return None, [_problem(shown, "", 1, 1, "too-large",
                               f"the file is larger than {LARGEST // 1_000_000} MB", _RESTORE)]
    try:
        text = raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        return None, [_problem(shown, "", raw[:error.start].count(b"\n") + 1, 1, "encoding",
                               "the file is not UTF-8 text", _RESTORE)]
    return parse(text, shown)


def parse(text: str, shown: str) -> tuple[dict[str, Any] | None, list[Problem]]:
    """As `read`, of a text whose lines end alike."""
    twice: list[str] = []

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) != len(pairs):
            names = [name for name, _ in pairs]
            twice.extend(name for name in made if names.count(name) > 1)
        return made

    try:
        data = json.loads(text, object_pairs_hook=once, parse_float=_no_float,
                          parse_constant=_no_float)
    except json.JSONDecodeError as error:
        return None, [_problem(shown, text, error.lineno, error.colno, "frozen-json",
                               "the file is damaged here: this is no JSON", _RESTORE)]
    except (ValueError, RecursionError):
        return None, [_problem(shown, text, 1, 1, "frozen-json",
                               "the file is damaged: it holds what no such file holds", _RESTORE)]
    if not isinstance(data, dict) or twice:
        what = f"'{twice[0][:60]}' stands twice" if twice else "a group of keys is expected"
        return None, [problem(shown, text, (twice[0],) if twice else (), "frozen-json", what,
                              _RESTORE)]
    given = data.pop(HASH, None)
    try:
        own = sha256(_in_one_form(data))   # without floats, which the reading above refuses
    except UnicodeEncodeError:      # half of a character, which no file that was written has
        own = ""
    if given != own:
        return None, [problem(shown, text, (HASH,), "frozen-hash",
                              "the content isn't what the hash was made over: the file was changed "
                              "or damaged since it was written" if given
                              else "the hash is missing, so nobody can tell whether the file was "
                              "changed", _RESTORE)]
    return {**data, HASH: own}, []


def _no_float(text: str) -> None:
    raise ValueError(text)


def problem(shown: str, text: str, path: Sequence[str | int], code: str, sentence: str,
            hint: str, **more: Any) -> Problem:
    """A problem at the line of the key that `path` begins with, as such files are written; at the
    start of the file, if somebody has set it otherwise."""
    name = next((one for one in path if isinstance(one, str)), None)
    match = re.search(rf'^ {{0,4}}{re.escape(json.dumps(name))}:', text, re.M) if name else None
    if match is None:
        return _problem(shown, text, 1, 1, code, sentence, hint, **more)
    line = text.count("\n", 0, match.start()) + 1
    return _problem(shown, text, line, text.split("\n")[line - 1].index('"') + 1, code, sentence,
                    hint, **more)


def _problem(shown: str, text: str, line: int, column: int, code: str, sentence: str, hint: str,
             **more: Any) -> Problem:
    lines = text.split("\n")
    shown_line = lines[line - 1] if text and line <= len(lines) else ""
    return Problem(Place(shown, line, column, 1, shown_line), code, sentence, hint, **more)
