"""What a meter's file says of the meter as a whole: what its accuracy holds for, what it bears, its
fuses."""

from __future__ import annotations

from pydantic import Field

from builder.formats.fields import Confirmed, Names, PositiveAmount, SpanText, Strict, Text
from builder.formats.meter_texts import CoefficientsField
from builder.numbers.units import Quantity


class Specification(Strict):
    source: Text = Field(description="Where the table was read, with its issue.")
    holds: SpanText = Field(description="The reference temperatures, such as '18 to 28 degC'.")
    humidity: SpanText | None = Field(None,
                                      description="The relative humidity that it holds for, such "
                                      "as '0 to 75 %'.")
    interval: Text | None = Field(None,
                                  description="The time since adjustment that it holds for, such "
                                  "as '1 year'.")
    temperature_coefficient: CoefficientsField | None = Field(
        None, description="What is added per degree beyond 'holds', such as '0.1 per degC' for a "
        "tenth of the accuracy, or '0.01 % of reading + 0.5 count per degC'.")
    confirmed: Confirmed = None


_CATEGORIES = ("CAT II", "CAT III", "CAT IV")


class Rated(Strict):
    between_terminals: PositiveAmount = Field(
        description="The highest voltage between the terminals, such as '600 V'.")
    cat_ii: PositiveAmount | None = Field(None, alias="CAT II",
                                          description="Voltage to earth in measurement category "
                                          "II.")
    cat_iii: PositiveAmount | None = Field(None, alias="CAT III",
                                           description="Voltage to earth in measurement category "
                                           "III.")
    cat_iv: PositiveAmount | None = Field(None, alias="CAT IV",
                                          description="Voltage to earth in measurement category "
                                          "IV.")
    confirmed: Confirmed = None

    @property
    def categories(self) -> list[tuple[str, Quantity]]:
        highest = (self.cat_ii, self.cat_iii, self.cat_iv)
        return [(n, q) for n, q in zip(_CATEGORIES, highest, strict=True) if q]


class Fuse(Strict):
    jacks: Names = Field(description="What it protects, such as 'mA'.")
    rating: Text = Field(description="All that the maker states: '440 mA, 1000 V, 10 kA, fast'.")


class OtherFunction(Strict):
    name: Text = Field(description="As it stands on the meter, such as 'inrush current'.")
    because: Text = Field(description="Why no limits of it can be computed here, such as 'it has "
                          "no accuracy table'.")
