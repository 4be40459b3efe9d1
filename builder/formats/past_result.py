"""A result from before a shop kept records here: a row of a table in procedures/past/."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from builder.files.problems import Wrong
from builder.formats.fields import Date, Slug, Strict, Text, exact
from builder.numbers import units


def _number(text: str) -> str:
    """A number with or without a unit, or an overload; it stays as it was written."""
    if text.upper() != "OL":
        units.split_number(text)
    return text


Measured = Annotated[str, *exact(_number)]


class PastResult(Strict):
    """A column has the name of its key. Others judged it, by their limits; it is only shown."""

    serial: Text = Field(description="Of the meter, such as '0147'.")
    meter: Slug | None = Field(None, description="The meter's file, such as 'dunlin-60'; needed "
                               "where two kinds of meter have this serial number.")
    date: Date = Field(description="The day of the work, such as '2019-05-14'.")
    function: Text | None = Field(None, description="Such as 'DC voltage'.")
    point: Text = Field(description="What was applied, such as '3 V' or '5.4 V, 400 Hz'.")
    reading: Measured | None = Field(None, description="What was read, such as '3.002 V' or 'OL'.")
    error: Measured | None = Field(None, description="Or by how much it was off, such as '0.002 V' "
                                   "or '0.07 %'.")
    low: Measured | None = Field(None, description="The lower limit that it was judged by, such as "
                                 "'2.986 V'.")
    high: Measured | None = Field(None, description="The upper limit, such as '3.014 V'.")
    outcome: Text | None = Field(None, description="As it was stated then, such as 'pass'.")
    by: Text | None = Field(None, description="Who judged it, such as 'the maker'.")

    @model_validator(mode="after")
    def _something_was_read(self) -> PastResult:
        if self.reading is None and self.error is None:
            raise Wrong("neither a reading nor an error stands here", "fill in one of the two")
        return self
