"""What a person did where a text isn't YAML: the slip at its own place, not where a reader of YAML
gave up. The reasons are libyaml's, the slips those that people make in such files."""

from __future__ import annotations

import re
import unicodedata

Place = tuple[int, int]     # line and column from 0
Told = tuple[Place, str, str]

_CATEGORY = re.compile(r"(CAT I+V?)\s+(.+)")     # the one key of two words
_QUOTE = re.compile(r"""(?:^\s*(?:- )?|[:,\[{] )(?P<quoted>(?P<mark>["'])(?:(?!(?P=mark)).)*$)""")
_KEY = re.compile(r"(?P<key>[A-Za-z_][\w ]*):(?P<blank>[\u00a0\u2007\u202f\u2009\u3000])?"
                  r"(?P<value>[^\s:].*)?$")


def is_invisible(character: str) -> bool:
    """Control characters, marks that turn the direction of writing, and what no file should
    hold."""
    return unicodedata.category(character) in ("Cc", "Cf", "Zl", "Zp", "Cs", "Co")


def told(lines: list[str], start: Place, opened: Place | None, problem: str,
         context: str) -> Told:
    """The place, the sentence and the hint for an error at `start`; `opened` is where the thing
    began that the reader was in, `problem` and `context` its words."""
    line = lines[min(start[0], len(lines) - 1)]
    if "quoted scalar" in context and re.search(r"escape|hexa?decimal", problem):
        return start, ("in double quotation marks a backslash begins a sign of its own, and no "
                       "such sign is known"), ("write it in single quotation marks, where a "
                                               "backslash is just that")
    if opened and "quoted scalar" in context:
        return _not_closed(opened)
    if "\t" in line or "'\\t'" in problem:
        return start, _unreadable(problem), "indent with spaces; YAML takes no tabs"
    for find in (_quotes, _brackets, _no_colon, _sign, _indentation):
        if found := find(lines, start, opened, problem):
            return found
    return start, _unreadable(problem), ("check the indentation, and that text with ':' or '#' in "
                                         "it stands in quotes")


def _unreadable(problem: str) -> str:
    return "not readable as YAML: " + (problem or "something is misplaced")


def _not_closed(place: Place) -> Told:
    return place, "a quotation mark opens here and is not closed", "close it on the same line"


def _quotes(lines: list[str], start: Place, _: Place | None, __: str) -> Told | None:
    """Text behind a closing mark: an apostrophe in single ones; or a mark that was closed by the
    opening one of a later text."""
    before = lines[min(start[0], len(lines) - 1)][:start[1]].rstrip()
    if before[-1:] not in ("'", '"'):
        return None
    for number in range(start[0] - 1, -1, -1):
        match = _QUOTE.search(lines[number])
        if match and match["mark"] == before[-1]:
            return _not_closed((number, match.start("quoted")))
    if lines[start[0]][start[1] - 1] == before[-1] == "'":
        return ((start[0], start[1] - 1), "the text ends at this quotation mark, and more stands "
                "behind it", "put text with an apostrophe in double quotation marks")
    return start, "a text ends at a quotation mark, and more stands behind it", (
        "put the whole text in quotation marks")


def _brackets(lines: list[str], start: Place, opened: Place | None, problem: str) -> Told | None:
    """A comma that is missing before a key, or a bracket that isn't closed."""
    if opened is None or "expected ','" not in problem:
        return None
    line = lines[min(start[0], len(lines) - 1)]
    outside = _indent(line) <= _indent(lines[opened[0]]) if start[0] != opened[0] else False
    word = re.search(r"([A-Za-z_]\w*)\s*$", line[:start[1]])
    if line[start[1]:start[1] + 1] == ":" and word and not outside:
        return ((start[0], word.start()), f"a comma is missing before '{word[1]}'",
                f"write ', {word[1]}: …'")
    if start[0] != opened[0] or start[1] >= len(line.rstrip()):
        mark = lines[opened[0]][opened[1]:opened[1] + 1]
        return opened, f"the bracket '{mark}' opens here and is not closed", (
            "close it on the same line" if mark == "[" else "close it behind the last value")
    return None


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _no_colon(lines: list[str], start: Place, opened: Place | None, problem: str) -> Told | None:
    """A line without ': ' where a key and its value are expected."""
    if "mapping values are not allowed" in problem and ": " not in lines[start[0]][:start[1]]:
        above = [number for number in range(start[0]) if lines[number].strip()]
        opened = (above[-1], 0) if above else None
    elif "expected ':'" not in problem:
        return None
    if opened is None:
        return None
    line = lines[opened[0]]
    text = line.strip(" ").removeprefix("- ").strip(" ")
    place = opened[0], line.find(text)
    match = _KEY.match(text)
    if match and match["blank"]:
        return place, (f"the blank behind '{match['key']}:' is no space "
                       f"(U+{ord(match['blank']):04X})"), "type a plain space"
    if match and match["value"]:
        return (place, f"a blank is missing behind '{match['key']}:'",
                f"write '{match['key']}: {match['value']}'")
    category = _CATEGORY.fullmatch(text)
    words = list(category.groups()) if category else text.split(None, 1)
    if ":" in text or len(words) < 2:
        return None
    return place, f"a colon is missing behind '{words[0]}'", f"write '{words[0]}: {words[1]}'"


def _sign(lines: list[str], start: Place, _: Place | None, problem: str) -> Told | None:
    """A sign that has a meaning of its own at the beginning of a value."""
    if "cannot start any token" not in problem:
        return None
    sign = lines[start[0]][start[1]:start[1] + 1]
    hint = "put the text in quotation marks"
    if sign in "<>":
        hint = "write 'above A' or 'below A'"
    return start, f"a value can't begin with '{sign}'", hint


def _indentation(lines: list[str], start: Place, opened: Place | None,
                 problem: str) -> Told | None:
    """A line of a list without its dash, or one that begins neither where the lines above it do nor
    where a group around them does."""
    line = lines[min(start[0], len(lines) - 1)]
    indent, key = _indent(line), re.match(r"\s*([A-Za-z_][\w ]*)\s*:", line)
    number, above = next(((n, lines[n]) for n in range(start[0] - 1, -1, -1) if lines[n].strip()),
                         (0, ""))
    begins = _indent(above) + (2 if above.lstrip().startswith("- ") else 0)
    if "expected '-'" in problem and opened and (indent, start[1]) == (opened[1],) * 2 and key:
        return start, f"a dash is missing before '{key[1]}'", f"write '- {key[1]}: …'"
    dashes = [one.lstrip().startswith("- ") for one in (above, line)]
    if dashes == [False, True] and begins == indent:
        return (number, begins), "a dash is missing here: the line below has one", "write '- …'"
    misplaced = start[1] == indent and re.search("expected '-'|expected key", problem)
    deeper = "mapping values" in problem and key and start[1] == key.end() - 1 and indent > begins
    if misplaced and begins != indent or deeper:
        return (start[0], indent), (
            f"this line begins at column {indent + 1}, the one above it at column {begins + 1}"), (
            "begin what belongs together in one column; what belongs to the line above it two "
            "columns further")
    return None
