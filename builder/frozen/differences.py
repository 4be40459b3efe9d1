"""What differs between two pieces of plain data, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from builder.numbers.exact_text import minus
from builder.records.typed import shown_unit


_QUANTITY = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) ([A-Za-z%]{1,5})")


def in_words(value: Any) -> str:
    """Plain data as a reader expects it."""
    if value in (None, "", [], (), {}):
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        if {"low", "high"} <= value.keys():
            return f"{in_words(value['low'])} to {in_words(value['high'])}"
        if {"U", "k"} <= value.keys():
            return f"{in_words(value['U'])}, k = {value['k']}"
        return ", ".join(f"{name} {in_words(inner)}" for name, inner in value.items()
                         if inner not in (None, "", [], ()))
    if isinstance(value, (list, tuple)):
        return "; ".join(map(in_words, value))
    return quantity(str(value))


def quantity(text: str) -> str:
    """A number with its unit as a reader expects it, any other text as it is."""
    match = _QUANTITY.fullmatch(text)
    return f"{minus(match[1])} {shown_unit(match[2])}" if match else text


def differences(old: Mapping[str, Any], new: Mapping[str, Any], without: set[str],
                names: Mapping[str, str]) -> Iterator[str]:
    """'limits 2.9 V to 3.1 V (before: 2.8 V to 3.2 V)' for each key that differs, called by its
    name in `names` or as it is."""
    for key in dict.fromkeys((*new, *old)):
        before, after = old.get(key), new.get(key)
        if key in without or before == after:
            continue
        name = names.get(key, key.replace("_", " "))
        if in_words(before) == in_words(after):
            yield f"{name} by less than is shown"
        else:
            yield f"{name} {in_words(after)} (before: {in_words(before)})"
