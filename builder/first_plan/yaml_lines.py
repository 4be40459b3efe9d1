"""Lines of YAML that read back as what they were written from, and comments among them."""

from __future__ import annotations

import re
import textwrap

_ONE_LINE = 150      # characters; a longer entry has a line for each key

_UNQUOTED = re.compile(r"(?:-?[0-9]|[A-Za-z…])[A-Za-z0-9 .%/()+;'’–…-]*")


def scalar(text: str) -> str:
    """A text as it may stand anywhere in a file: plain if nothing in it means anything to YAML,
    else in quotes."""
    if _UNQUOTED.fullmatch(text) and not text.endswith(" "):
        return text
    return '"' + "".join(map(_escaped, text)) + '"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    if character.isprintable():
        return character
    number = ord(character)
    return (f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}" if number < 0x10000
            else f"\\U{number:08x}")


def flow(value: str | list | dict) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow(one)}" for key, one in value.items()) + "}"
    return "[" + ", ".join(map(flow, value)) + "]" if isinstance(value, list) else scalar(value)


def listed(entry: dict) -> list[str]:
    """An entry of a list, on one line if it is short."""
    line = f"  - {flow(entry)}"
    if len(line) <= _ONE_LINE:
        return [line]
    return [f"  {'-' if n == 0 else ' '} {key}: {flow(value)}" for n,
            (key, value) in enumerate(entry.items())]


def visible(text: str) -> str:
    """On one line, and nothing in it that the reader refuses."""
    return "".join(character if character.isprintable() else " " if character.isspace() else "?"
                   for character in text)


def comment(text: str, indent: str = "") -> list[str]:
    return [f"{indent}# {line}"
            for line in textwrap.wrap(visible(text), 112 - len(indent), break_long_words=False,
                                      break_on_hyphens=False)]
