"""How a certificate states an uncertainty, and what it says of time and temperature."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from builder.files.problems import Wrong
from builder.formats.accuracy import PATTERN, AccuracyField, AccuracyText, accuracy
from builder.formats.fields import Strict, exact, not_empty
from builder.numbers import units


@dataclass(frozen=True, slots=True)
class Stated:
    """How an uncertainty is stated; `divisor` turns it into a standard uncertainty, None for plain
    limits. `degrees` are its effective degrees of freedom."""

    text: str
    divisor: Fraction | None
    degrees: float = math.inf


PLAIN, K_2 = Stated("plain limits", None), Stated("k = 2", Fraction(2))

# The factors of a normal distribution, at the figures that the trade divides by (GUM table G.1).
_CONFIDENCE = {"95 %": Fraction("1.96"), "95.45 %": Fraction(2), "99 %": Fraction("2.58"),
               "99.73 %": Fraction(3)}
STATED_HINT = ("'plain limits' (rectangular), 'k = 2', 'k = 2.13, 15 degrees of freedom', '95 %' "
               "or '99 %'")
_K = r"k\s*=\s*([0-9.]+)(?:,?\s+([0-9]{1,6})\s+degrees?\s+of\s+freedom)?"


def _stated(text: str) -> Stated:
    if text == "plain limits":
        return Stated(text, None)
    if text in _CONFIDENCE:
        return Stated(text, _CONFIDENCE[text])
    match = re.fullmatch(_K, text)
    if not match:
        raise Wrong(f"'{text}' doesn't say how an uncertainty is stated", STATED_HINT)
    divisor = units.plain_number(match[1], "k")
    if not 1 <= divisor <= 14:   # Student's t at 95.45 % for a single degree of freedom
        raise Wrong(f"'{text}' is no coverage factor", STATED_HINT)
    if match[2] is None:
        return Stated(text, divisor)
    if int(match[2]) == 0:
        raise Wrong(f"'{text}': degrees of freedom are above zero", STATED_HINT)
    return Stated(text, divisor, float(match[2]))


StatedField = Annotated[Stated, *exact(_stated, anyOf=[
    {"enum": ["plain limits", *_CONFIDENCE]}, {"pattern": f"^{_K}$"}])]


SINCE = r"^[0-9]{1,4}\s*(day|month|year)s?$"
_DAYS = {"day": Fraction(1), "month": Fraction(365, 12), "year": Fraction(365)}


@dataclass(frozen=True, slots=True)
class Duration:
    """A time since calibration or adjustment, in whole days (a month is a twelfth of 365)."""

    text: str
    days: int


def duration(text: str) -> Duration:
    match = re.fullmatch(r"([0-9]{1,4})\s*(day|month|year)s?", text)
    if not match or int(match[1]) == 0:
        raise Wrong(f"'{text}' is not a time since calibration or adjustment",
                    "such as '90 days' or '1 year'")
    return Duration(text, int(int(match[1]) * _DAYS[match[2]]))


DurationField = Annotated[Duration, *exact(
    duration, examples=["90 days", "1 year"], pattern=SINCE)]


class ByTime(Strict):
    since: DurationField = Field(
        description="The longest time since calibration or adjustment, such as '90 days'.")
    within: AccuracyField = Field(description="What holds so long, such as '50 ppm + 20 uV'.")


def _by_time(value):
    """`{90 days: 20 ppm, 1 year: 40 ppm}` as a list of rows."""
    return ([{"since": since, "within": within} for since, within in value.items()]
            if isinstance(value, dict) else value)


def _map_of_texts(schema: dict) -> None:
    schema.update(type="object", additionalProperties={"type": "string"})
    schema.pop("items", None)


ByTimes = Annotated[list[ByTime], BeforeValidator(_by_time), AfterValidator(not_empty),
                    Field(json_schema_extra=_map_of_texts)]


@dataclass(frozen=True, slots=True)
class Change:
    """How far something may move, as plain limits; or why nothing is to be added for it, and then
    `within` is None."""

    text: str
    within: AccuracyText | None = None


_NONE = r"none,?\s+because\s+\S.*"


def _change(text: str, *others: str) -> Change:
    if text in others or re.fullmatch(_NONE, text):
        return Change(text)
    if re.match(r"none\b", text):
        raise Wrong(f"'{text}' gives no reason",
                    "such as 'none, because …'; inside braces in quotation marks")
    return Change(text, accuracy(text))


INCLUDED = "included"
DRIFT_HINT = ("'drift: 20 ppm' for the interval, 'drift: included' where the uncertainty holds to "
              "its end, or 'drift: none, because …'")
DriftField = Annotated[Change, *exact(
    lambda text: _change(text, INCLUDED), examples=["20 ppm", INCLUDED],
    anyOf=[{"enum": [INCLUDED]}, {"pattern": f"^{_NONE}$"}, {"pattern": PATTERN}])]

ChangeField = Annotated[Change, *exact(
    _change, examples=["0.2 %"], anyOf=[{"pattern": f"^{_NONE}$"}, {"pattern": PATTERN}])]


def _per_degree(text: str) -> AccuracyText:
    match = re.fullmatch(r"(.*\S)\s*(?:\bper\b|/)\s*(?:degC|°C|℃)", text)
    if not match:
        raise Wrong(f"'{text}' is not per degree Celsius", "such as '5 ppm per degC'")
    return accuracy(match[1])


PerDegreeField = Annotated[AccuracyText, *exact(
    _per_degree, examples=["5 ppm per degC"], pattern=r"^.*\S\s*(?:per|/)\s*(?:degC|°C|℃)$")]
