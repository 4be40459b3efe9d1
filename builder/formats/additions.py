"""What a data sheet adds on top of an accuracy, and where: `{add: 10 counts, values: 0 to 5 % of
range}`, `{add: 2 %, crest_factor: 2 to 3}`, `{add: 0.2 % per kHz, above: 1 kHz}`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from pydantic import Field

from builder.files.problems import Wrong
from builder.formats import patterns
from builder.formats.accuracy import PATTERN, AccuracyText, accuracy
from builder.formats.fields import Confirmed, PositiveAmount, Strict, exact
from builder.numbers import units
from builder.numbers.units import Quantity, Unit

_PART = "such as '0 to 5 % of range', '0 V to 0.3 V', 'below 5 % of range' or 'above 3 V'"


@dataclass(frozen=True, slots=True)
class Added:
    """Terms of an accuracy, once or for each `per`."""

    text: str
    terms: AccuracyText
    per: Unit | None = None


@dataclass(frozen=True, slots=True)
class End:
    """One end of a part of a range: a value, or a share of the range in percent."""

    value: Quantity | None = None
    percent_of_range: Fraction = Fraction(0)

    def of(self, base: Fraction) -> Fraction:
        return self.value.value if self.value else base * self.percent_of_range / 100


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a range; an end that is None is open."""

    text: str
    low: End | None
    high: End | None

    @property
    def quantities(self) -> list[Quantity]:
        return [end.value for end in (self.low, self.high) if end and end.value]

    def of(self, base: Fraction) -> tuple[Fraction | None, Fraction | None]:
        return (self.low.of(base) if self.low else None,
                self.high.of(base) if self.high else None)


def _added(text: str) -> Added:
    match = re.fullmatch(r"(.*?)\s*(?:\bper\b|/)\s*([A-Za-zµμΩ°]+)", text)
    per = units.unit(match[2]) if match else None
    if per is not None and per.is_temperature:
        raise Wrong(f"'{text}' grows with the temperature, which is no addition",
                    "write 'temperature_coefficient', at the row, the function or the meter")
    terms = accuracy(match[1] if match else text)
    if terms.below is not None:
        raise Wrong(f"'{text}' differs up and down", "an addition is the same on both sides")
    return Added(text, terms, per)


def part(text: str) -> Part:
    """`0 to 5 % of range`, `0.3 V to 3 V`, `below 5 % of range`, `above 3 V`."""
    if opened := re.fullmatch(r"\s*(below|up to|above|over|under)\s+(.*)", text):
        end = _end(opened[2], "", text)
        return (Part(text, end, None) if opened[1] in ("above", "over") else Part(text, None, end))
    ends = re.split(r"\s+to\s+", text.strip())
    if len(ends) != 2:
        raise Wrong(f"'{text}' is no part of a range", _PART)
    high = _end(ends[1], "", text)
    low = _end(ends[0], units.split_number(ends[1])[1], text)
    sizes = [end.value.value if end.value else end.percent_of_range for end in (low, high)]
    if (low.value is None) == (high.value is None) and sizes[0] >= sizes[1]:
        raise Wrong(f"'{text}' runs from high to low, or has no width", _PART)
    return Part(text, low, high)


def _end(text: str, unit: str, whole: str) -> End:
    """`unit` is that of the other end, which a bare number takes."""
    number, rest = units.split_number(text)
    rest = rest or unit
    if re.fullmatch(r"%\s*of\s*(?:the\s+)?range", rest):
        if not 0 <= number <= 200:
            raise Wrong(f"'{whole}' goes beyond the range", _PART)
        return End(percent_of_range=number)
    if not rest:
        raise Wrong(f"'{whole}' has no unit", _PART)
    return End(value=Quantity(number, units.unit(rest)))


def _crest_factors(text: str) -> tuple[Fraction, Fraction]:
    ends = re.split(r"\s+to\s+", text.strip())
    if len(ends) != 2:
        raise Wrong(f"'{text}' is no span of crest factors", "such as '2 to 3'")
    low, high = (units.plain_number(end, "a crest factor") for end in ends)
    if not 1 <= low < high <= 20:
        raise Wrong(f"'{text}' is no span of crest factors",
                    "from low to high, and none is below 1, such as '2 to 3'")
    return low, high


def _above_humidity(text: str) -> Fraction:
    match = re.fullmatch(r"\s*(?:above|over)\s+(\S+)\s*%\s*(?:RH|r\.?h\.?)?\s*", text, re.I)
    number = units.plain_number(match[1], "a humidity") if match else None
    if number is None or not 0 < number < 100:
        raise Wrong(f"'{text}' doesn't say above which humidity", "such as 'above 70 %'")
    return number


_NUMBER, _UNIT = patterns.NUMBER, patterns.UNIT
_OF_RANGE = rf"(?:%\s*of\s*(?:the\s+)?range|{_UNIT})"
PART = patterns.whole(rf"(?:below|up to|above|over|under)\s+{_NUMBER}\s*{_OF_RANGE}") + "|" + (
    patterns.whole(rf"{_NUMBER}\s*{_OF_RANGE}?\s+to\s+{_NUMBER}\s*{_OF_RANGE}"))
ADDED = PATTERN + "|" + patterns.whole(rf"{patterns.UNSIGNED}[^±]*(?:\bper\b|/)\s*{_UNIT}")

AddedField = Annotated[Added, *exact(_added, examples=["10 counts", "0.2 % per kHz"],
                                     pattern=ADDED)]
PartField = Annotated[Part, *exact(part, examples=["0 to 5 % of range", "above 3 V"],
                                   pattern=PART)]
CrestFactors = Annotated[tuple[Fraction, Fraction], *exact(
    _crest_factors, examples=["2 to 3"],
    pattern=patterns.whole(rf"{patterns.UNSIGNED}\s+to\s+{patterns.UNSIGNED}"))]
AboveHumidity = Annotated[Fraction, *exact(
    _above_humidity, examples=["above 70 %"],
    pattern=patterns.whole(rf"(?:above|over)\s+{patterns.UNSIGNED}\s*%\s*(?:[rR]\.?[hH]\.?)?"))]


class AdditionEntry(Strict):
    """What is added on top of the row that applies."""

    add: AddedField = Field(description="How much, such as '10 counts', '2 %', '0.2 % per kHz' or "
                            "'2 counts per V'.")
    values: PartField | None = Field(None, description="For which part of the range, such as '0 to "
                                     "5 % of range'.")
    crest_factor: CrestFactors | None = Field(None, description="For which crest factors, such as "
                                              "'2 to 3'.")
    humidity: AboveHumidity | None = Field(None, description="For which humidities, such as 'above "
                                           "70 %'.")
    above: PositiveAmount | None = Field(None, description="Beside 'per': from where on it grows, "
                                         "such as '1 kHz'.")
    confirmed: Confirmed = None
