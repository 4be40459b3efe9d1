"""The workshop's own file: who writes the reports, and the day that its overview is for."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from builder.files.problems import Wrong
from builder.formats.fields import Date, OneOrMore, Strict, Text, exact
from builder.numbers import units


def _share(text: str) -> Fraction:
    """A percentage above 0 and under 100, as a number of percent."""
    number, unit = units.split_number(text)
    if unit != "%":
        raise Wrong(f"'{text[:40]}' is no percentage", "such as '50 %'")
    if not 0 < number < 100:
        raise Wrong(f"'{text[:40]}' is not above 0 % and under 100 %", "such as '50 %'")
    return number


def _in_a_row(text: str) -> int:
    number = units.plain_number(text, "a number of reports")
    if number.denominator != 1 or not 1 <= number <= 20:
        raise Wrong(f"'{text[:40]}' is no number of reports", "from 1 to 20, such as '2'")
    return int(number)


Share = Annotated[Fraction, *exact(_share, examples=["50 %"], pattern="^[0-9.]+ ?%$")]
InARow = Annotated[int, *exact(_in_a_row, type=["integer", "string"], pattern="^[0-9]{1,2}$")]


class Authorised(Strict):
    """Somebody who may put their name to what stays."""

    name: Text = Field(description="As it stands under what is approved.")
    may: OneOrMore[Literal["approve", "finish", "review"]] = Field(
        description="'approve' sheets, 'finish' reports (and amend and withdraw them), 'review' "
        "the work of others.")


class Staircase(Strict):
    """When one of the methods for intervals suggests a longer or a shorter one."""

    good: Share | None = Field(None, description="A report is good if each error as found is under "
                               "this share of its tolerance, such as '40 %'; 50 %, if left out.")
    in_a_row: InARow | None = Field(None, description="So many good reports in a row lengthen the "
                                    "interval, such as '3'; 2, if left out.")
    longer: Share | None = Field(None, description="By how much they do, such as '20 %'; 25 %, if "
                                 "left out.")
    shorter: Share | None = Field(None, description="By how much an error beyond its tolerance "
                                  "shortens it, such as '50 %'; 30 %, if left out.")


class Workshop(Strict):
    name: Text = Field(description="The workshop's name, at the head of each report.")
    address: OneOrMore[Text] = Field(description="Its address, a line an entry.")
    contact: Text | None = Field(None, description="A telephone number or a mail address.")
    as_of: Date | None = Field(None,
                               description="The day for which meters and standards are said to be "
                               "in service, due or overdue, such as '2026-11-25'; 'serve' and "
                               "'build --as-of' take another.")
    authorised: list[Authorised] = Field(default_factory=list,
                                         description="Who may approve, finish and review. "
                                         "Without it any name will do.")
    staircase: Staircase | None = Field(None, description="When a longer or shorter interval is "
                                        "suggested, such as '{good: 40 %, in_a_row: 3}'.")
