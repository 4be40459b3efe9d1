"""A check of a standard between its calibrations: a stable meter or cell, read at it again and
again. A file each in procedures/checks-between/."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, Field, PlainValidator, WithJsonSchema

from builder.files.problems import Wrong
from builder.formats.fields import (Amount, PositiveAmount, Slug, Strict, Text, exact,
                                    not_empty)
from builder.numbers import units
from builder.numbers.units import Quantity

FIRST = 20              # readings that make a chart's limits, if a shop sets no other number
LEAST_FIRST = 10        # fewer make none (both are choices of this project)
_HINT = "such as '10.00012 V', or '{reading: 10.00412 V, because: lead not home}'"


def _every(text: str) -> int:
    written = re.fullmatch(r"([1-9][0-9]{0,2}) (day|week|month)s?", text)
    if not written:
        raise Wrong(f"'{text[:40]}' is no time between two checks", "such as '1 day' or '2 weeks'")
    return int(written[1]) * {"day": 1, "week": 7, "month": 30}[written[2]]


def _first(text: str) -> int:
    number = units.plain_number(text, "a number of readings")
    if number.denominator != 1 or not LEAST_FIRST <= number <= 200:
        raise Wrong(f"'{text[:40]}' readings make no chart",
                    f"from {LEAST_FIRST} to 200, such as '{FIRST}'")
    return int(number)


Every = Annotated[int, *exact(_every, examples=["1 day"],
                              pattern="^[1-9][0-9]{0,2} (day|week|month)s?$")]
First = Annotated[int, *exact(_first, type=["string", "integer"], pattern="^[0-9]{2,3}$")]
_SAID = ("because", "done", "anew", "by")
_READING = {"anyOf": [{"type": "string"}, {
    "type": "object", "additionalProperties": False, "required": ["reading"],
    "properties": {"reading": {"type": "string"},
                   **{name: {"type": "string"} for name in _SAID}}}]}


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReading:
    """What was read on a day. A cause at the bench voids it, `done` settles an alarm, and `anew`
    begins another chart with it."""

    reading: Quantity
    text: str
    because: str = ""
    done: str = ""
    anew: str = ""
    by: str = ""


def _reading(value: Any) -> CheckReading:
    entry = value if isinstance(value, dict) else {"reading": value}
    if (not set(entry) <= {"reading", *_SAID} or "reading" not in entry
            or not all(isinstance(one, str) and one for one in entry.values())):
        raise Wrong("this is no reading", _HINT)
    if long := next((one for one in entry.values() if len(one) > 400), ""):
        raise Wrong(f"'{long[:40]}…' is longer than 400 characters", "say it shorter")
    return CheckReading(**{**entry, "reading": units.quantity(entry["reading"]),
                           "text": entry["reading"]})


Readings = Annotated[dict[str, Annotated[CheckReading, PlainValidator(_reading), WithJsonSchema(
    _READING, mode="validation")]], AfterValidator(not_empty)]


class CheckBetween(Strict):
    STAND_INS = {"check": "x", "title": "x", "standard": "x", "against": "x", "value": "1 V",
                 "every": "1 day", "readings": {}}

    check: Slug = Field(description="The file's name without '.yaml'.")
    title: Text = Field(description="Such as '10 V of the Fulmar'.")
    standard: Slug = Field(description="The standard that it watches, such as 'fulmar'.")
    against: Text = Field(description="The stable thing that it is read against, such as 'a cell "
                          "that is used for nothing else'.")
    value: Amount = Field(description="What should be read, about, such as '10 V'.")
    allowed: PositiveAmount | None = Field(
        None, description="How far readings may be from the mean of the first ones before the "
        "standard counts as moved, whatever the chart says, such as '0.4 mV'.")
    every: Every = Field(description="How often it is read, such as '1 day', '2 weeks' or "
                         "'1 month' (30 days).")
    first: First = Field(FIRST, description=f"So many readings make the chart's limits, such as "
                         f"'{FIRST}'.")
    note: Text | None = Field(None, description="Shown on its page.")
    ended: Text | None = Field(None, description="Why it is read no more, such as 'the cell broke "
                               "on 2026-08-02'; it is no longer due then.")
    readings: Readings = Field(
        description="A line a day: '2026-10-05: 10.00012 V'. With what is known of it: '{reading: "
        "10.00412 V, because: lead not home}' voids it for the chart, '{reading: 10.00009 V, "
        "anew: calibrated}' begins another chart, 'done' says what was done, 'by' who read it.")
