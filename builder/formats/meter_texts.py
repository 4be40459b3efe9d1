"""Texts of a meter's file that are more than a quantity: the lowest specified value, the
temperature coefficient, a crest factor."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from builder.files.problems import Wrong
from builder.formats import patterns
from builder.formats.fields import exact
from builder.numbers import units
from builder.numbers.units import Quantity


@dataclass(frozen=True, slots=True)
class Lowest:
    """The lowest specified value: a share of the range, or an amount; of a temperature with its
    sign."""

    text: str
    percent_of_range: Fraction | None = None
    amount: Quantity | None = None


def _lowest(text: str) -> Lowest:
    number, rest = units.split_number(text)
    share = re.fullmatch(r"%\s*of\s*range", rest)
    if re.match(r"%\s*\S", rest) and not share:
        raise Wrong(f"'{text}' is no share of the range",
                    f"write '{units.decimal_text(number)} % of range', or a value such as '30 mV'")
    amount = None if share else units.quantity(text)
    if number <= 0 and not (amount and amount.unit.is_temperature):
        raise Wrong(f"'{text}' must be above zero")
    return Lowest(text, number if share else None, amount)


LowestField = Annotated[Lowest, *exact(_lowest, examples=["5 % of range", "30 mV", "-200 degC"],
                                        pattern=patterns.LOWEST)]


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A fraction of the accuracy per degree beyond the reference band."""

    fraction: Fraction
    unit: units.Unit


_PER_DEGREE = re.compile(
    r"(?P<percent>%)?\s*(?P<accuracy>(?:of|x|×|\*)?\s*(?:the\s+)?\(?(?:specified\s+)?accuracy\)?)?\s*"
    r"(?:per|/)\s*(?P<unit>\S+)")


def _coefficient(text: str) -> Coefficient:
    number, rest = units.split_number(text)
    match = _PER_DEGREE.fullmatch(rest)
    if re.match(r"%\s*(?:of\s*)?(?:rdg|reading|range)", rest):
        raise Wrong(f"'{text}' adds to the accuracy by itself, which can't be expressed here",
                    "leave it out: the limits then hold inside 'holds' only")
    if not match or number < 0:
        raise Wrong(f"'{text}' is not a fraction of the accuracy per degree",
                    "write '0.1 per degC' where the data sheet says 0.1 × (specified accuracy) per "
                    "degC beyond the band")
    if match["percent"] and not match["accuracy"]:
        raise Wrong(f"'{text}' may mean percent of the reading or percent of the accuracy",
                    "if it is percent of the accuracy, write the fraction: 10 % is '0.1 per degC'; "
                    "percent of the reading can't be expressed: leave it out")
    per = units.unit(match["unit"])
    if not per.is_temperature:
        raise Wrong(f"'{text}' is not per degree", "write for example '0.1 per degC'")
    return Coefficient(number / 100 if match["percent"] else number, per)


CoefficientField = Annotated[Coefficient, *exact(_coefficient, examples=["0.1 per degC"],
                                                  pattern=patterns.PER_DEGREE)]


def _crest_factor(text: str) -> Fraction:
    number = units.plain_number(text, "a crest factor")
    if not 1 <= number <= 20:
        raise Wrong(f"'{text}' is no crest factor", "the peak over the r.m.s. value, such as '3'")
    return number


CrestFactor = Annotated[Fraction, *exact(_crest_factor, type=["number", "string"], examples=[3])]
