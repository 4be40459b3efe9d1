"""The data of a meter beside its page: its accuracy table as straight lines, enough for anyone to
compute the limits of any value."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StrictBool, StrictInt, StrictStr

from builder.formats.data_fields import Amount, Data, Number, Slug
from builder.formats.sheet_data import AccuracyData

Ends = tuple[Amount | None, Amount | None]
Band = Annotated[tuple[Amount, Amount] | None, Field()]


class LineData(Data):
    """tolerance = (slope + slope_per_hertz * frequency) * |value| + offset + offset_per_hertz *
    frequency, with the frequency in Hz."""

    slope: Number
    offset: Amount
    slope_per_hertz: Number
    offset_per_hertz: Amount


class TermData(LineData):
    """One term of the sum, as a line of its own."""

    said: StrictStr = Field(description="As it is multiplied; '{value}' stands for the size of the "
                            "value, '{frequency}' for its frequency.")


class PieceData(Data):
    """A part of a row. Where two meet, the smaller tolerance holds."""

    values: Ends = Field(description="Of the size of the value, or with its sign where the row has "
                         "'by_sign'; null for an open end.")
    frequency: Ends
    above: LineData
    below: LineData | None = Field(None, description="Of the lower limit, where it differs.")
    terms: tuple[TermData, ...] = Field(description="What 'above' is the sum of.")
    terms_below: tuple[TermData, ...] = ()


class RowData(Data):
    frequency: Band
    values: Band
    frequency_without: tuple[Amount, ...] = Field((), description="Ends of 'frequency' that are no "
                                                  "part of the row; 0 Hz where none is named.")
    values_without: tuple[Amount, ...] = Field((), description="Ends of 'values' that are no part "
                                               "of the row, as of 'above 5 A'.")
    by_sign: StrictBool = Field(description="'values' are meant with their sign (temperatures), "
                                "not for both polarities.")
    accuracy: AccuracyData
    said: StrictStr = Field(description="The row in words.")
    typical: StrictBool = Field(False, description="A typical figure, which gives no limit.")
    two_sided: StrictBool = Field(description="The accuracy differs down and up.")
    slope: Number | None = Field(description="Of a row that is one line for both limits, at any "
                                 "frequency; else null, and only 'pieces' say it.")
    offset: Amount | None
    pieces: tuple[PieceData, ...] = Field(
        json_schema_extra={"minItems": 1}, description="All that the row states, as straight "
        "lines: accuracy and additions.")


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
    holds: StrictStr | None = Field(None, description="The reference temperatures, if not the "
                                    "meter's.")
    since: StrictStr | None = Field(None, description="The time since adjustment that its rows "
                                    "are for, where the meter's file states several: the longest.")
    ranges: tuple[RangeData, ...]


class MeterData(Data):
    """data/meters/<id>.json: a meter's accuracy table as straight lines, for a sine at the
    reference temperature and inside the humidity that adds nothing. Quantities are "<number>
    <unit>" with exact decimals. Readers ignore fields that they don't know; 'format' rises only
    when a field changes its meaning."""

    format: Literal[1]
    meter: Slug
    name: StrictStr
    maker: StrictStr
    holds: StrictStr
    source: StrictStr
    functions: tuple[FunctionData, ...]
