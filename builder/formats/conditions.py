"""The ambient and the humidity that a record says were read: at the start, at the end, and before
the groups at which they had changed."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from builder.files.problems import Wrong
from builder.formats.outcomes import NOT_DONE
START, END, ONCE = "start", "end", ""
_BEFORE = re.compile(r"before ([1-9][0-9]{0,3})")
_HINT = "such as '{start: 22.8 degC, end: 23.1 degC}', or 'before 17: 23.4 degC' where it changed"
MOST = 50

# What was written down by when it was read: START, END, 'before 17', or ONCE without a moment.
Moments = dict[str, str]


def _moments(value: Any) -> Moments:
    if isinstance(value, str):
        return {ONCE: _short(value)} if value else {}
    if not isinstance(value, dict):
        raise Wrong("a value or its moments are expected here, not a list", _HINT)
    for moment in value:
        if moment not in (START, END) and not _BEFORE.fullmatch(moment):
            raise Wrong(f"'{moment[:40]}' is no moment of the work",
                        f"'start', 'end' or 'before' with a group: {_HINT}")
    if any(not isinstance(said, str) for said in value.values()) or len(value) > MOST:
        raise Wrong("each moment has one value", _HINT)
    return {moment: _short(said) for moment, said in value.items() if said not in ("", NOT_DONE)}


def _written(moments: Moments) -> str | Moments:
    """As a file says it, so that it can be read again."""
    return moments.get(ONCE, moments)


def _short(text: str) -> str:
    if len(text) > 60:
        raise Wrong("the value is longer than 60 characters", _HINT)
    return text


def group_after(moment: str) -> float:
    """The group before which it was read: 0 at the start, ∞ at the end."""
    changed = _BEFORE.fullmatch(moment)
    return int(changed[1]) if changed else float("inf") if moment == END else 0


_SCHEMA = {"anyOf": [
    {"type": ["string", "number"]},
    {"type": "object", "additionalProperties": False,
     "properties": {START: {"type": ["string", "number"]}, END: {"type": ["string", "number"]}},
     "patternProperties": {f"^{_BEFORE.pattern}$": {"type": ["string", "number"]}}}]}
ReadConditions = Annotated[Moments, PlainValidator(_moments), PlainSerializer(_written),
                           WithJsonSchema(_SCHEMA, mode="validation")]
