"""A row of a meter's accuracy table: what it states, and where that holds."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from builder.formats.accuracy import PATTERN, AccuracyField, AccuracyText
from builder.files.problems import Wrong
from builder.formats import patterns, row_parts
from builder.formats.additions import PART, AdditionEntry, Part, part
from builder.formats.fields import Confirmed, Span, Strict, exact
from builder.formats.meter_texts import CoefficientsField
from builder.formats.row_parts import FrequenciesField, RowPart
from builder.formats.stated import ByTime, ByTimes
from builder.numbers.units import Quantity


def _values(text: str) -> RowPart | Part:
    if not re.search(r"%\s*of\s", text):
        return row_parts.part(text)
    share = part(text)
    if share.low is None or share.high is None or share.quantities:
        raise Wrong(f"'{text}' is no part of a range", "such as '10 to 50 % of range'")
    return share


# A share of a range is a span once its range is known (`RangeEntry`).
ValuesField = Annotated[Any, *exact(_values, examples=["0.6 V to 3 V", "10 to 50 % of range"],
                                    pattern=f"{patterns.VALUES}|{PART}")]


class RowEntry(Strict):
    """One row of an accuracy table."""

    frequency: FrequenciesField | None = Field(
        None, description="The frequencies that this row holds for, such as '40 Hz to 400 Hz', "
        "'50/60 Hz' or 'up to 1 kHz'; 'DC' of an AC+DC function.")
    values: ValuesField | None = Field(
        None, description="The part of the range that this row holds for, such as '0.6 V to 3 V', "
        "'above 5 A' or '10 to 50 % of range'.")
    within: AccuracyField | None = Field(
        None, description="The accuracy, such as '1.2 % + 5 counts', or '+1 % -6 %' where it "
        "differs up and down.")
    typical: AccuracyField | None = Field(
        None, description="In place of 'within': a typical figure, which gives no limit.")
    within_since: ByTimes | None = Field(
        None, description="In place of 'within': by time since adjustment, '{90 days: 0.05 % + 2 "
        "counts, 1 year: 0.1 % + 2 counts}'. A plan says which it verifies against.")
    additions: list[AdditionEntry] = Field(
        default_factory=list, description="What is added to this row, and where.")
    temperature_coefficient: CoefficientsField | None = Field(
        None, description="Of this row, if not that of the function.")
    confirmed: Confirmed = None

    def on(self, base: Quantity) -> RowEntry:
        """With its part of a range as values, where `base` is what percent of range is of."""
        if not isinstance(self.values, Part):
            return self
        low, high = (Quantity(base.number * end.percent_of_range / 100, base.unit)
                      for end in (self.values.low, self.values.high) if end)
        return self.model_copy(update={"values": RowPart(str(Span(low, high)), low, high)})

    @property
    def key(self) -> str:
        return "within" if self.within else "typical" if self.typical else "within_since"

    @property
    def times(self) -> list[ByTime]:
        """What is stated by time since adjustment, the shortest first."""
        return sorted(self.within_since or [], key=lambda one: one.since.days)

    def since(self, days: int) -> RowEntry:
        """With the accuracy for that time since adjustment alone; as it is, where it states none
        by time."""
        return self.model_copy(update={"within_since": [
            one for one in self.times if one.since.days == days]}) if self.times else self

    @property
    def sides(self) -> list[AccuracyText]:
        """What is stated for both limits, or for the upper and for the lower; of several times
        since adjustment, for the longest; empty where the file lost it to a mistake."""
        stated = self.within or self.typical or (self.times[-1].within if self.times else None)
        return stated.sides if stated else []


def _rows(value):
    return [{"within": value}] if isinstance(value, str) else value


AccuracyRows = Annotated[list[RowEntry], BeforeValidator(_rows), Field(
    json_schema_extra=lambda s: s.update(
        anyOf=[{"type": "string", "pattern": PATTERN},
               {"type": "array", "items": s.pop("items")}])
    or s.pop("type"))]
