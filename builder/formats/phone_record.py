"""What the page of a sheet hands over, as JSON: a record as a phone writes it. A record that a
person typed is in record_head.py; both are read by builder/records."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, StrictBool, StrictStr

from builder.formats.data_fields import Data, Hash, Slug
from builder.formats.outcomes import Outcome
from builder.formats.sheet_data import SheetData

Typed = StrictStr | None
Time = Annotated[StrictStr, Field(json_schema_extra={"format": "date-time"})]


class PhoneTry(Data):
    reading: Typed
    reference: Typed = Field(description="Of the reference meter.")
    at: Time | None
    outcome: Outcome | None
    error: Typed
    percent_of_tolerance: Typed
    cause: Typed = Field(None, description="Why it counts no more: a cause at the bench.")
    confirmed: StrictBool = Field(False, description="The display showed it, however odd it looks.")


class PhoneRowStep(Data):
    step: StrictStr
    done: StrictBool
    write: Typed = None
    at: Time | None = Field(None, description="When it was ticked.")


class PhonePoint(Data):
    id: StrictStr
    step: StrictStr
    outcome: Outcome | None = Field(description="Of the last try; null where nothing was read that "
                                    "says something.")
    accept: dict[str, Any] | None = Field(description="The limits that it was judged by, as in "
                                          "judged_by.")
    readings: tuple[PhoneTry, ...] = Field(json_schema_extra={"maxItems": 10}, description=(
        "The first one first; the worst counts of those without a cause."))
    note: Typed
    before: tuple[PhoneRowStep, ...] = Field((), description="The steps between the row above and "
                                             "this one.")


class PhoneAnswer(Data):
    answer: Literal["yes", "no", "not on this meter"]
    write: Typed = None
    by: Typed = Field(None, description="The initials of who says that it is not on this meter.")
    at: Time | None = None


class PhoneCheck(Data):
    step: StrictStr
    check: StrictStr
    good: Literal["yes", "no"] | None = Field(
        description="The last answer; null where there is none, and for 'not on this meter'.")
    write: Typed = Field(description="With the last answer.")
    unit: Typed
    answers: tuple[PhoneAnswer, ...] = Field((), description="Every answer, the first one first: a "
                                             "later one follows work on the meter.")


class PhoneStep(Data):
    step: StrictStr
    done: StrictBool
    write: Typed


class PhoneGroup(Data):
    group: StrictStr
    initials: Typed = Field(None, description="Who did it, where two people share a record.")
    opened: Typed = Field(description="When a live group was opened.")
    closed: Literal["near zero", "otherwise", "no"] | StrictBool | None = Field(
        description="How a live group was closed: by a reading near zero and all of its steps, "
        "otherwise, or not. Older records have true or false.")
    near_zero: Typed = Field(description="With its unit; without one in older records.")
    earlier: tuple[StrictStr, ...] = Field((), description="The readings near zero that closed it "
                                           "before it was opened again, the first one first.")
    closed_by: Typed = Field(None, description="Who closed it otherwise.")
    otherwise: Typed = Field(None, description="What was done, and what was read with which second "
                             "instrument.")
    other_bench: tuple[StrictStr, ...] = Field(
        (), description="Which other live group of the same device was said to stand on another "
        "bench, and when.")
    opening: tuple[PhoneStep, ...] = Field(description="The steps before the group's points, with "
                                           "what was written at them.")
    closing: tuple[PhoneStep, ...]


class PhoneStandard(Data):
    standard: StrictStr
    name: StrictStr
    number: Typed
    certificate: StrictStr
    calibrated: Typed = Field(None, description="The day of that certificate, where it is that of "
                              "the sheet.")
    due: StrictStr = Field(description="The day after which it isn't used: by its label, else by "
                           "its file.")


class PhoneRecord(Data):
    """A record: what was read at a sheet, as its page hands it over. Texts are as they were typed;
    quantities are "<number> <unit>" in the spelling of the data files, 'overload' is "OL". Readers
    ignore fields that they don't know; 'format' rises only when a field changes its meaning."""

    format: Literal[1]
    record: StrictStr = Field(
        json_schema_extra={"pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9a-f]{8}$"},
        description="Names this record: the day on which it began, and chance.")
    procedure: Slug
    revision: Hash = Field(description="Of the procedure whose limits it was judged by.")
    meter: StrictStr
    serial: Typed = Field(description="Of the meter.")
    state: Literal["as found", "as left"] | None
    date: Typed = Field(description="Year-month-day, such as 2026-11-25; something else only where "
                        "that was typed, which the page objects to.")
    place: Typed
    owner: Typed = None
    asset: Typed = Field(None, description="The owner's own number of the meter.")
    received: Typed = Field(None, description="The day on which the meter came, as it was typed.")
    last_adjusted: Typed = Field(None, description="The day of the last adjustment, or 'unknown', "
                                 "as it was typed.")
    ambient: Typed = Field(description="At the start.")
    ambient_end: Typed = None
    humidity: Typed = Field(description="At the start.")
    humidity_end: Typed = None
    done_by: Typed
    reviewed_by: Typed
    standards: tuple[PhoneStandard, ...]
    points: tuple[PhonePoint, ...]
    checks: tuple[PhoneCheck, ...]
    groups: tuple[PhoneGroup, ...]
    from_paper: StrictBool = Field(False, description="Typed from finished paper: chosen before "
                                   "the first entry, and without gates or lock.")
    verdict: Literal["all within", "not all within", "not completed",
                     "not safe to use"] | None
    failed: Typed
    worked_on: dict[StrictStr, Typed] | None = Field(
        None, description="Work on the meter in the midst of the record: the step before which it "
        "was done, and what was done.")
    remarks: Typed
    next: Typed
    begun: Time
    typed: dict[StrictStr, tuple[StrictStr, Time]] = Field(
        default_factory=dict, description="What was typed, field by field, each with its time: "
        "from it another device goes on. Reports are made from the rest.")
    judged_by: SheetData = Field(
        description="The procedure's data as it was that day: points, accuracy, limits and texts.")
