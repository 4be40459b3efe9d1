"""The data of a meter beside its page: its accuracy table as straight lines, enough for anyone to
compute the limits of any value."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StrictBool, StrictInt, StrictStr

from builder.formats.data_fields import Amount, Data, Number, Slug
from builder.formats.sheet_data import AccuracyData

Band = Annotated[tuple[Amount, Amount] | None, Field()]


class RowData(Data):
    frequency: Band
    values: Band
    by_sign: StrictBool = Field(description="'values' are meant with their sign (temperatures), "
                                "not for both polarities.")
    accuracy: AccuracyData
    slope: Number
    offset: Amount


class RangeData(Data):
    range: Amount
    resolution: Amount = Field(description="The value of one count.")
    unit: StrictStr
    decimals: StrictInt = Field(json_schema_extra={"minimum": 0})
    highest_reading: Amount
    base: Amount = Field(description="What percent of range is taken of.")
    lowest: Amount | None = Field(description="The lowest specified value; of a temperature with "
                                  "its sign.")
    up_range: Amount | None
    down_range: Amount | None
    jacks: tuple[StrictStr, ...]
    dial: StrictStr | None
    rows: tuple[RowData, ...] = Field(json_schema_extra={"minItems": 1})


class InputData(Data):
    highest: Amount | None
    peak: Amount | None
    volt_hertz: Amount | None


class TemperatureSpanData(Data):
    sensor: StrictStr | None = Field(description="Such as 'type K'; null where the meter's file "
                                     "names none.")
    low: Amount
    high: Amount | None


class FunctionData(Data):
    function: StrictStr
    kind: StrictStr
    shows_minus: StrictBool
    has_zero: StrictBool
    needs_frequency: StrictBool = Field(description="A value may have a frequency beside it.")
    autoranging: StrictBool
    by_hand: StrictBool = Field(True, description="A range can be selected by hand.")
    is_ac: StrictBool = Field(description="A value has no limits without its frequency.")
    needs_level: StrictBool = Field(description="The signal's level is set apart from the value; "
                                    "'input' is of that level.")
    zero_with: Literal["together", "apart"] | None = Field(
        description="How the leads are held for the reading that is taken off.")
    input: InputData = Field(description="What the input bears; null where the meter's file says "
                             "nothing.")
    span: TemperatureSpanData | None = Field(None, description="Of a temperature: what can be "
                                             "asked, as far as the sensor goes.")
    ranges: tuple[RangeData, ...]


class MeterData(Data):
    """data/meters/<id>.json: a meter's accuracy table as straight lines: tolerance = slope *
    |value| + offset, at the reference temperature. Quantities are "<number> <unit>" with exact
    decimals. Readers ignore fields that they don't know; 'format' rises only when a field changes
    its meaning."""

    format: Literal[1]
    meter: Slug
    name: StrictStr
    maker: StrictStr
    holds: StrictStr
    source: StrictStr
    functions: tuple[FunctionData, ...]
