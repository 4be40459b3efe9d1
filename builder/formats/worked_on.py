"""Work on the meter in the midst of a record: before which step, and what was done. The answers
from that step on are none of the state as found.

The rule is a choice of this project: the first answer at a step stands for as found, and work on
the meter ends that state.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from builder.files.problems import Wrong
from builder.formats.conditions import END

_STEP = re.compile(r"[0-9]{1,4}\.[0-9]{1,4}")
_HINT = "such as '{7.4: battery changed}', or '{end: battery changed}' after the last reading"
MOST = 50

Work = dict[str, str]       # what was done, by the step before which it was done, or END
Position = tuple[float, float]


def _work(value: Any) -> Work:
    if value in (None, ""):
        return {}
    if not isinstance(value, dict):
        raise Wrong("a step and what was done before it are expected here", _HINT)
    for step, done in value.items():
        if step != END and not _STEP.fullmatch(step):
            raise Wrong(f"'{step[:40]}' is no step before which the meter was worked on", _HINT)
        if done is not None and not isinstance(done, str):
            raise Wrong("what was done is one text", _HINT)
        if done and len(done) > 1000:
            raise Wrong("the text is longer than 1000 characters", "say it shorter")
    if len(value) > MOST:
        raise Wrong(f"there are more than {MOST} steps", _HINT)
    return {step: (done or "").strip() for step, done in sorted(
        value.items(), key=lambda entry: position(entry[0]))}


def position(step: str) -> Position:
    """Where a step stands in the order of its sheet; END is behind every step."""
    if step == END:
        return float("inf"), 0
    group, _, number = step.partition(".")
    return int(group), int(number)


def that_stand(step: str, *, given: int, work: Position | None, first_is_no: bool = False) -> int:
    """How many of the answers that were given at a step are from before the work, the first ones
    first. `work` is where it was done, None where none was.

    At the step of the work itself the first of several was given before it, and so was a 'no'; a
    single answer there may have been given after it and stands for nothing.
    """
    here = position(step)
    if work is None or here < work:
        return given
    return 1 if here == work and given and (given > 1 or first_is_no) else 0


_SCHEMA = {"type": "object", "additionalProperties": False,
           "patternProperties": {f"^({_STEP.pattern}|{END})$": {"type": ["string", "null"]}}}
WorkedOn = Annotated[Work, PlainValidator(_work), WithJsonSchema(_SCHEMA, mode="validation")]
