"""What the data of a sheet say of a group's steps and of its checks."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, StrictBool, StrictStr, model_validator

from builder.files.problems import Wrong
from builder.formats.data_fields import Amount, Data, Number

EVERYTHING, NOTHING = "everything", "nothing"   # what a no can stop, beside a function or a jack
# of what a check speaks
METER: Literal["meter"] = "meter"
BENCH: Literal["bench"] = "bench"
# what a hold stands before
ENERGY: Literal["energy"] = "energy"
HAZARDOUS: Literal["hazardous voltage"] = "hazardous voltage"


class CheckData(Data):
    group: StrictStr
    step: StrictStr
    check: StrictStr
    do: StrictStr = Field("", description="A semicolon and a space stand between actions.")
    good: StrictStr = ""
    mistake: StrictStr | None = Field(None, description="The common way to get it wrong.")
    write: StrictStr | None = Field(None, description="What to write down; null where yes or no is "
                                    "the record.")
    unit: StrictStr | None = Field(None, description="Of what is written down.")
    at_least: Number | None = Field(None, description="The number written down, in its unit: with "
                                    "less a yes is a no.")
    at_most: Number | None = None
    covers: StrictStr | None = Field(None, description="The function that this check tests.")
    stops: StrictStr = Field(NOTHING, description="What a no stops: 'everything', 'nothing', a "
                             "function's title or a jack. In data that were written without it, a "
                             "no stops the function that the check tests, else everything.")
    of: Literal["meter", "bench"] = Field(METER, description="Of what a no speaks: the meter, or "
                                          "the bench that it is checked on.")
    warm_up: StrictBool = Field(False, description="Readings have ground only after a yes here.")
    always: StrictBool = Field(False, description="'Not on this meter' is no answer here.")


class HoldData(Data):
    """The line at which the work waits until every check that stops everything is good. The group
    that it stands before, and every later one, is for afterwards."""

    before: Literal["energy", "hazardous voltage"] = Field(
        description="What follows: the first energy from source or meter, or the first hazardous "
        "voltage.")
    checks: tuple[StrictStr, ...] = Field(description="The steps of those checks.")
    not_checked: tuple[StrictStr, ...] = Field(
        (), description="The names of those that the plan leaves out.")
    said: StrictStr = Field("", description="What stands at the line.")
    stop: StrictStr = Field("", description="What to do where the work stops.")


class GroupData(Data):
    """Each warning and each step has a code beside its words; records that were written without
    them have none."""

    group: StrictStr
    title: StrictStr
    stage: StrictStr = Field("", description="The part of the work, as plans write it.")
    hazard: StrictStr | None = None
    jacks: tuple[StrictStr, ...] = ()
    warnings: tuple[StrictStr, ...] = ()
    cautions: tuple[StrictStr, ...] = Field((), description="The code of each warning.")
    opening: tuple[StrictStr, ...] = Field(
        (), description="Steps to tick; '____' is a line to write on.")
    opening_steps: tuple[StrictStr, ...] = Field(
        (), description="What each step asks for, as a code: 'source-standby', 'dial', 'leads'.")
    closing: tuple[StrictStr, ...] = ()
    closing_steps: tuple[StrictStr, ...] = ()
    near_zero: StrictStr | None = Field(None, description="The unit in which the meter is likely "
                                        "to show the reading near zero that closes a live group.")
    near_zero_limit: Amount | None = Field(None, description="The largest reading that counts as "
                                           "near zero; 1 V in data without it.")
    hazardous_from: Amount | None = Field(None, description="A reading above it is hazardous live; "
                                          "30 V in data without it.")
    hold: HoldData | None = Field(None, description="The hold that stands before this group.")

    @model_validator(mode="after")
    def _has_a_code_for_each(self) -> GroupData:
        for texts, codes in ((self.warnings, self.cautions), (self.opening, self.opening_steps),
                             (self.closing, self.closing_steps)):
            if codes and len(codes) != len(texts):
                raise Wrong("a group has as many codes as warnings and steps")
        return self
