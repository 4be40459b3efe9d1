"""What the data of a sheet say of a group's steps and of its checks."""

from __future__ import annotations

from pydantic import Field, StrictStr, model_validator

from builder.files.problems import Wrong
from builder.formats.data_fields import Data


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
    covers: StrictStr | None = Field(None, description="The function that this check tests.")


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
    near_zero: StrictStr | None = Field(None, description="The unit of the reading near zero that "
                                        "closes a live group.")

    @model_validator(mode="after")
    def _has_a_code_for_each(self) -> GroupData:
        for texts, codes in ((self.warnings, self.cautions), (self.opening, self.opening_steps),
                             (self.closing, self.closing_steps)):
            if codes and len(codes) != len(texts):
                raise Wrong("a group has as many codes as warnings and steps")
        return self
