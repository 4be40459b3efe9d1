"""A standard's file: what it can put out, how sure that is, and until when its certificate holds."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from builder.model.accuracy import AccuracyField
from builder.model.base import Date, Slug, SpanText, Strict, Text, one_or_more
from builder.model.meter import KindName


class OutputRow(Strict):
    values: SpanText = Field(description="From the lowest to the highest value, such as '0 V to 2 V'.")
    frequency: SpanText | None = Field(None, description="Such as '40 Hz to 1 kHz'.")
    level: SpanText | None = Field(None, description="For frequency and duty cycle: the signal levels, such as '0.1 V to 10 V'.")
    within: AccuracyField = Field(description="The uncertainty, such as '50 ppm + 20 uV'.")


class Output(Strict):
    output: KindName = Field(description="What it puts out.")
    terminals: one_or_more(Text) = Field(description="High side first, such as [HI, LO].")
    rows: list[OutputRow]


class Standard(Strict):
    standard: Slug = Field(description="The file's name without '.yaml'.")
    name: Text
    kind: Literal["source"] = Field(description="What it is used as.")
    description: Text = Field(description="What it is, in a few words.")
    maker: Text
    note: Text | None = None
    certificate: Text = Field(description="The certificate's number.")
    due: Date = Field(description="Not to be used after this date.")
    stated: Literal["plain limits", "k = 2", "95 %", "99 %"] = Field(description="How the uncertainties in 'rows' are stated.")
    interval: Text | None = Field(None, description="The time since calibration that they hold for.")
    outputs: list[Output]
