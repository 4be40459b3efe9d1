"""A record's file: what was read at a sheet, typed from paper as YAML or handed over by a phone as
JSON.

Both are one format. What a phone hands over is written down in
procedures/.schema/record.schema.json; this is its head, and the short form for paper, in which a
line holds the readings of a group. What stands inside the lists is read by
`builder.records.judged_record`, which knows the steps. """

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from builder.files.problems import Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.conditions import ReadConditions
from builder.formats.fields import Agreed, Date, Slug, Strict, Text, exact
from builder.formats.validation import worded_errors
from builder.formats.worked_on import WorkedOn

def _revision(text: str) -> str:
    if not re.fullmatch(r"[0-9a-f]{12}", text):
        raise Wrong(f"'{text[:40]}' is no revision",
                    "the twelve signs that stand at the foot of each sheet, such as '9f2c41d07ab3'")
    return text


def _long(text: str) -> str:
    if len(text) > 4000:
        raise Wrong("the text is longer than 4000 characters", "say it shorter")
    return text


def _file(text: str) -> str:
    if not re.fullmatch(r"[\w.-]{1,200}", text) or text.startswith("."):
        raise Wrong(f"'{text[:60]}' is no name of a file beside the record",
                    "such as 'dunlin-60-yearly-9f2c41d07ab3.json'")
    return text


def _adjusted_on(text: str) -> date | Literal["unknown"]:
    if text == "unknown":
        return "unknown"
    if (day := as_date(text)) is None:
        raise Wrong(f"'{text[:40]}' is no day of an adjustment",
                    "year-month-day, such as '2025-11-02', or 'unknown'")
    return day


AdjustedOn = Annotated[date | Literal["unknown"], *exact(
    _adjusted_on, pattern="^([0-9]{4}-[0-9]{2}-[0-9]{2}|unknown)$")]
LongText = Annotated[str, *exact(_long, maxLength=4000)]
Revision = Annotated[str, *exact(_revision, pattern="^[0-9a-f]{12}$")]
DataFile = Annotated[str, *exact(_file)]
_VALUE = {"type": ["string", "number", "boolean"]}
_LATER = {"anyOf": [_VALUE, {"type": "array", "items": {"anyOf": [_VALUE, {"type": "object"}]}}]}
# A line may stay empty.
_STEP = {"anyOf": [{"not": {"type": ["array", "object"]}}, {
    "type": "object", "additionalProperties": False,
    "properties": {
        "reading": {"description": "What was read first.", **_VALUE},
        "repeated": {"type": "array", "items": _VALUE,
                     "description": "The same again and again: the mean is judged."},
        "reference": {"description": "What the reference meter read; [before, after] where it "
                      "reads twice.",
                      "anyOf": [_VALUE, {"type": "array", "items": _VALUE, "maxItems": 2}]},
        "then": {"description": "What was read, or answered, after it.", **_LATER},
        "because": {"description": "Why what stood first counts no more: the range, a lead, the "
                    "zero, misread or mistyped. 'read again' voids nothing.", **_LATER},
        "confirmed": {"description": "yes: the display showed this, however odd it looks.",
                      **_VALUE},
        "note": _VALUE,
        "yes": {"description": "Good, and what was written down.", **_VALUE},
        "no": {"description": "Not good, and what was seen.", **_VALUE},
        "not on this meter": {"description": "The initials of who says so.", **_VALUE},
        "by": _VALUE}}]}


def _steps(schema: dict) -> None:
    schema.clear()
    schema.update(type="object", additionalProperties=False,
                  patternProperties={r"^[0-9]+\.[0-9]+ \S": _STEP})


def _map(item: dict):
    def extra(schema: dict) -> None:
        schema.clear()
        schema.update(type="object", additionalProperties=item)
    return extra


def _described(description: str, schema) -> Any:
    def extra(made: dict) -> None:
        schema(made)
        made["description"] = description
    return Field(None, description=description, json_schema_extra=extra)


_STANDARD = {"type": "object",
             "properties": {"number": {"type": ["string", "number"]},
                            "certificate": {"type": "string"}, "calibrated": {"type": "string"},
                            "due": {"type": "string"}, "issuer": {"type": "string"},
                            "accreditation": {"type": "string"}}}


class RecordHead(Strict):
    record: Slug | None = Field(None,
                                description="Names this record; the file's name without its "
                                "ending, if left out.")
    procedure: Slug = Field(description="The plan whose sheet was filled in.")
    revision: Revision = Field(description="The revision that the sheet prints.")
    judged_by: DataFile | None = Field(
        None, description="Of a sheet that was not approved: the file beside this one with its "
        "data. A phone's record carries them inside.")
    serial: Text = Field(description="Of the meter.")
    confirmed: LongText | None = Field(None, description="Why a serial number that is nearly that "
                                       "of another meter is right.")
    state: Literal["as found", "as left"] | None = Field(
        None, description="'as found' before, 'as left' after an adjustment.")
    date: Date = Field(description="The day of the work.")
    place: Text | None = Field(None, description="Where the work was done.")
    ambient: ReadConditions = Field(
        default_factory=dict,
        description="At the meter, such as '{start: 22.8 degC, end: 23.1 degC}', with 'before 17: "
        "23.4 degC' where it changed; one value alone doesn't show that it stayed.")
    humidity: ReadConditions = Field(default_factory=dict,
                                     description="Likewise, such as '{start: 45 %, end: 46 %}'.")
    owner: LongText | None = Field(None,
                                   description="Whom the meter belongs to, and whom the report is "
                                   "for.")
    contact: LongText | None = Field(None, description="How to reach the owner: who, and where.")
    asset: Text | None = Field(None, description="The owner's own number of the meter.")
    received: Date | None = Field(None, description="The day on which the meter came.")
    last_adjusted: AdjustedOn | None = Field(
        None, description="The day on which the meter was last adjusted before these readings, or "
        "'unknown': where the sheet's limits are those of a time since adjustment.")
    rule_agreed: Agreed | None = Field(None, description="With whom the decision rule was agreed, "
                                       "and when, if not as the plan says.")
    condition: LongText | None = Field(None, description="The meter's condition when it came.")
    done_by: Text | None = Field(None, description="Who did the work.")
    reviewed_by: Text | None = Field(None, description="Who reviewed it and authorises the report.")
    issued: Date | None = Field(None,
                                description="The day of the report; a line to fill in, if left "
                                "out.")
    worked_on: WorkedOn = Field(
        default_factory=dict,
        description="Work on the meter in the midst of this record: the step before which it was "
        "done, and what was done, such as '{7.4: battery changed}'. From there on nothing counts "
        "as found; 'end' stands for after the last reading.")
    follows: Slug | None = Field(None,
                                 description="As left only: the record of the same meter as found, "
                                 "if that was on another day.")
    adjusted: LongText | None = Field(None,
                                      description="As left only: what was adjusted, replaced or "
                                      "cleaned since the state as found.")
    standards: Any = _described(
        "What stood on the labels, by the name of the standard; number, certificate, calibrated, "
        "due, issuer and accreditation, each only if it differs from the sheet or isn't on it.",
        _map(_STANDARD))
    steps: Any = _described(
        "A line a step: its number and name, then what was read first, OL for overload, yes or no "
        "at a check; {reading: 180.9, then: [179.9], because: lead not home}; {repeated: [5.01, "
        "5.02, 5.00]}; {reading: 470.1, reference: 470.3}; {yes: 9.1}; {no: chipped}.",
        _steps)
    initials: Any = _described("Who did a group, by its number, where two people share a record.",
                               _map({"type": "string"}))
    checks: Any = _described("As a phone writes them.",
                             lambda schema: (schema.clear(), schema.update(type="array")))
    closed: Any = _described(
        "For each live group: the reading near zero that closed it, with its unit; 'yes' where "
        "none is asked for, 'no' where it was not closed; {otherwise: what was done and read with "
        "which second instrument, by: NAME} where no reading of the meter closed it.",
        _map({"anyOf": [{"type": ["string", "boolean", "null"]},
                        {"type": "object", "required": ["otherwise", "by"],
                         "additionalProperties": False,
                         "properties": {"otherwise": {"type": "string"},
                                        "by": {"type": "string"}}}]}))
    points: Any = _described("As a phone writes them.",
                             lambda schema: (schema.clear(), schema.update(type="array")))
    groups: Any = _described("As a phone writes them.",
                             lambda schema: (schema.clear(), schema.update(type="array")))
    remarks: LongText | None = Field(None, description="Printed on the report.")
    meter: Slug | None = Field(None,
                               description="The meter's file; that of the sheet, if left out.")
    from_paper: bool | None = Field(
        None, description="Of a phone's record: whether it was typed in from finished paper.")
    verdict: Text | None = Field(None,
                                 description="As ticked on the sheet; the report judges by the "
                                 "readings.")
    failed: LongText | None = Field(None,
                                    description="As written on the sheet; the report judges by the "
                                    "readings.")
    next: LongText | None = Field(None,
                                  description="As written on the sheet; stays in the record, since "
                                  "a report recommends nothing.")
    format: Literal["1"] | None = Field(None, description="Of a phone's record.")
    begun: Text | None = Field(None, description="When a phone's record was begun.")


INSIDE = "inside"   # stands for a `judged_by` that a record carries itself


def head(data: dict, document: Document) -> tuple[RecordHead | None, list[Problem]]:
    try:
        return RecordHead.model_validate(data), []
    except ValidationError as error:
        return None, worded_errors(RecordHead, document, error)


def as_date(text: str) -> date | None:
    try:
        return (date.fromisoformat(text.strip())
                if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()) else None)
    except ValueError:
        return None
