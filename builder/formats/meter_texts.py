"""Texts of a meter's file that are more than a quantity: the lowest specified value, the
temperature coefficient, a crest factor."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated

from pydantic import BeforeValidator, Field

from builder.files.problems import Wrong
from builder.formats import patterns
from builder.formats.accuracy import PATTERN, AccuracyText, accuracy
from builder.formats.fields import Strict, exact
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
    """What is added per degree beyond the reference band: a fraction of the accuracy, or terms of
    its own; `unit` is None where the data sheet states nothing ('none'); `text` as typed."""

    fraction: Fraction = Fraction(0)
    unit: units.Unit | None = None
    terms: AccuracyText | None = None
    text: str = field(default="none", compare=False)


_OF_ACCURACY = re.compile(
    r"(?P<percent>%)?\s*(?P<accuracy>(?:of|x|×|\*)?\s*(?:the\s+)?\(?(?:specified\s+)?accuracy\)?)?")
_SUCH = "such as '0.1 per degC', '10 % of the accuracy per degC' or '0.01 % of reading per degC'"


def _coefficient(text: str) -> Coefficient:
    if text.strip() == "none":
        return Coefficient()
    behind = re.fullmatch(r"(.*?)\s*(?:\bper\b|/)\s*(\S+)", text)
    if not behind:
        raise Wrong(f"'{text}' is nothing per degree", _SUCH)
    per = units.unit(behind[2])
    if not per.is_temperature:
        raise Wrong(f"'{text}' is not per degree", _SUCH)
    number, rest = units.split_number(re.sub(r"^\s*(?:±|\+/-)\s*|^\((.*)\)$", r"\1", behind[1]))
    if number < 0:
        raise Wrong(f"'{text}' is below zero: an accuracy doesn't shrink beyond its band", _SUCH)
    match = _OF_ACCURACY.fullmatch(rest)
    if match is None:
        terms = accuracy(behind[1])
        if terms.below is not None:
            raise Wrong(f"'{text}' differs up and down", "a coefficient is the same on both sides")
        if terms.bare_percent:
            raise _unclear(text)
        return Coefficient(unit=per, terms=terms, text=text)
    if match["percent"] and not match["accuracy"]:
        raise _unclear(text)
    return Coefficient(number / 100 if match["percent"] else number, per, text=text)


def _unclear(text: str) -> Wrong:
    return Wrong(f"'{text}' may mean percent of the reading or percent of the accuracy",
                 "write which: '0.01 % of reading per degC', or '10 % of the accuracy per degC'")


CoefficientField = Annotated[Coefficient, *exact(
    _coefficient, examples=["0.1 per degC", "0.01 % of reading + 0.5 count per degC"],
    pattern=patterns.coefficient(PATTERN))]


class Coefficients(Strict):
    """Below the reference band, and above it."""

    below: CoefficientField | None = Field(None, description="Per degree below 'holds'.")
    above: CoefficientField | None = Field(None, description="Per degree above 'holds'.")

    @property
    def both(self) -> dict[str, Coefficient]:
        """Those that state something, by their side."""
        return {side: one for side, one in (("below", self.below), ("above", self.above))
                if one and one.unit}

    @property
    def text(self) -> str:
        """As typed; with the side of the band where the two differ."""
        if self.below == self.above:
            return self.below.text if self.below else "none"
        return "; ".join(f"{one.text} {side} it" for side, one in (
            ("below", self.below), ("above", self.above)) if one)


# One for both sides of the band, or one for each.
CoefficientsField = Annotated[Coefficients, BeforeValidator(
    lambda value: {"below": value, "above": value} if isinstance(value, str) else value), Field(
    json_schema_extra=lambda s: s.update(
        anyOf=[{"type": "string", "pattern": patterns.coefficient(PATTERN)},
               {"$ref": s.pop("$ref")}]) if "$ref" in s else None)]


def _crest_factor(text: str) -> Fraction:
    number = units.plain_number(text, "a crest factor")
    if not 1 <= number <= 20:
        raise Wrong(f"'{text}' is no crest factor", "the peak over the r.m.s. value, such as '3'")
    return number


CrestFactor = Annotated[Fraction, *exact(_crest_factor, type=["number", "string"], examples=[3])]
