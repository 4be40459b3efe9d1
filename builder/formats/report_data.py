"""The data of a report, `data/reports/<number>.json`: what its statement is worked out from, so
that anybody can do it again. Its words are codes; what a page calls them is in
records/state_words.py."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field, StrictBool, StrictInt, StrictStr

from builder.formats.data_fields import Data, Day

Statement = Literal["passes", "conditional pass", "limited", "fails", "no statement",
                    "not safe to use"]
FunctionStatement = Literal["passes", "conditional pass", "conditional fail", "fails",
                            "no statement", "not tested"]
Answered = Literal["yes", "no", "not on this meter", "blank"]
Ended = Literal["near zero", "otherwise", "no"]
PointOutcome = Literal["pass", "conditional pass", "conditional fail", "fail", "undecided",
                       "blank", "observed"]

PASSES, CONDITIONALLY_PASSES, LIMITED, FAILS, NO_STATEMENT, NOT_SAFE = get_args(Statement)
CONDITIONALLY_FAILS, NOT_TESTED = "conditional fail", "not tested"
YES, NO, NOT_ON_THIS_METER, BLANK = get_args(Answered)
NEAR_ZERO, OTHERWISE, NOT_CLOSED = get_args(Ended)
POINT_PASSES, POINT_NEARLY, POINT_NEARLY_FAILS, POINT_FAILS, UNDECIDED, NOT_READ, OBSERVED = (
    get_args(PointOutcome))
LIMITS, OBSERVATION = "limits", "observation"
EVERYTHING, NOTHING = "everything", "nothing"
METER, BENCH = "meter", "bench"

Functions = Annotated[tuple[StrictStr, ...], Field(description="The functions that it speaks of.")]


class ReachData(Data):
    range: StrictStr
    to: StrictStr = Field(description="The largest value that was tried on it.")
    because: StrictStr | None = Field(None, description="The plan's reason for trying no farther, "
                                      "where that is under half of the range.")


class FunctionStatementData(Data):
    function: StrictStr
    statement: FunctionStatement
    reach: tuple[ReachData, ...] = ()


class CheckAnswerData(Data):
    step: StrictStr
    name: StrictStr
    answer: Answered
    stops: StrictStr = Field(description="'everything', 'nothing', a function or a jack.")
    of: Literal["meter", "bench"] = Field(description="What a 'no' speaks of.")
    functions: Functions = Field((), description="The functions that a 'no' stops, if not "
                                 "everything.")


class LiveGroupData(Data):
    group: StrictStr
    closed: Ended
    functions: Functions = ()


class PointOutcomeData(Data):
    step: StrictStr
    function: StrictStr
    planned: Literal["limits", "observation"]
    reading: StrictStr | None = None
    ground: StrictBool = Field(description="Whether the conditions and standards of the reading "
                               "allow a verdict.")
    without: tuple[StrictStr, ...] = Field((), description="What it has no ground by.")
    outcome: PointOutcome


class ReportData(Data):
    """data/reports/<number>.json: what a report states, with all that it follows from. Readers
    ignore fields that they don't know; 'format' rises only when a field changes its meaning."""

    format: Literal[1]
    number: StrictStr
    issue: StrictInt = Field(1, description="Rises with each amendment.")
    meter: StrictStr
    serial: StrictStr
    state: Literal["as found", "as left"] | None
    date: Day
    statement: Statement
    reasons: tuple[StrictStr, ...]
    functions: tuple[FunctionStatementData, ...]
    checks: tuple[CheckAnswerData, ...]
    live_groups: tuple[LiveGroupData, ...]
    points: tuple[PointOutcomeData, ...]
    departures: tuple[StrictStr, ...]
