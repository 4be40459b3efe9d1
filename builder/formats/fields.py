"""What all file kinds share: strict models, and the types of their fields."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Annotated, Any, ClassVar, Literal, TypeVar

from pydantic import (AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field,
                      GetPydanticSchema, PlainValidator, WithJsonSchema)

from builder.files.problems import Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats import patterns
from builder.numbers import units
from builder.numbers.units import Quantity


class Strict(BaseModel):
    """Unknown keys are refused, and nothing changes after loading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True,
                              defer_build=True)   # until a file of the kind is read

    STAND_INS: ClassVar[dict[str, Any]] = {}
    """For each key at a file's head that must be there, a value to go on checking with."""

    @classmethod
    def written_out(cls, document: Document) -> Document:
        """The file with what it says once at each place that it is meant for."""
        return document

    @classmethod
    def beside_another(cls, document: Document, path: Path) -> tuple[Document, list[Problem]]:
        """The file with what it takes from another one, and what is wrong with that."""
        return document, []

    @classmethod
    def beside(cls, path: Path, content: bytes | None) -> list[bytes]:
        """What is in the files that it takes something from."""
        return []


TO_FILL_IN = ("…", "...")    # stand in a file for what its writer is to find out
FILL_IN = ("this is to be filled in",
           "write what the data sheet states, or delete the key if it states nothing")


def exact(function: Callable[[str], Any], **schema) -> tuple[PlainValidator, WithJsonSchema]:
    """For `Annotated`: what a field's value is made of, which is a text in the file."""
    def from_text(value):
        if not isinstance(value, str):
            raise Wrong("a single value is expected here, not a list or a group of keys")
        if value == "":
            raise Wrong("nothing stands here", "write a value or delete the key")
        if value in TO_FILL_IN:
            raise Wrong(*FILL_IN)
        return function(value)
    return (PlainValidator(from_text),
            WithJsonSchema({"type": "string", **schema}, mode="validation"))


def one_of(words: Iterable[str]) -> GetPydanticSchema:
    """For `Annotated`: the words that a field may hold, where a table elsewhere has them."""
    known = tuple(words)
    return GetPydanticSchema(lambda _, handler: handler(Literal[known]))


def _text(value: str) -> str:
    if value[0] in "“”„" or value[-1] in "“”":
        raise Wrong(f"'{value[:60]}' stands in curly quotation marks, which quote nothing",
                    "write straight ones, or none")
    if len(value) > 400:
        raise Wrong("the text is longer than 400 characters",
                    "a sheet has little room: say it shorter")
    return value


def slug(value: str) -> str:
    """A text that can be the address of a page and the name of a file; raises `Wrong`."""
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", value) or len(value) > 60:
        raise Wrong(f"'{value[:70]}' can't be an address",
                    "small letters, digits and single hyphens, such as 'dunlin-60'")
    if value in _DEVICES or value in ("index", "readme"):
        raise Wrong(f"'{value}' can't be the name of a file or a page everywhere",
                    "choose another name")
    return value


_DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}


def as_day(value: str) -> date:
    """A day as files write it; raises `Wrong`."""
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            raise ValueError(value)
        read = date.fromisoformat(value)
    except ValueError:
        raise Wrong(f"'{value}' is not a date", "year-month-day, such as '2027-03-31'") from None
    if not 1900 <= read.year < 2200:
        raise Wrong(f"the year {value[:4]} can't be meant", "a day between 1900 and 2199")
    return read


def _boolean(value: str) -> bool:
    if value not in ("true", "false", "yes", "no"):
        raise Wrong(f"'{value}' is neither yes nor no", "write 'yes' or 'no'")
    return value in ("true", "yes")


def _agreed(text: str) -> str:
    """What was agreed, with whom and when: a text with a day in it."""
    days = re.findall(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b", text)
    try:
        known = [date.fromisoformat(one) for one in days]
    except ValueError:
        known = []
    if not known:
        raise Wrong(f"'{text[:60]}' doesn't say on which day it was agreed",
                    "with whom and when, such as 'with the deck department, 2023-11-02'")
    return text


def counts(text: str) -> int:
    if re.search(r"\bdigits?$", text.strip(), re.I):
        raise Wrong(f"'{text}' says how many digits there are, not how far the display counts",
                    "write the highest count, such as '6000 counts'")
    if re.match(r"\s*[0-9]+[,'’.][0-9]{3}\b", text):
        raise Wrong(f"'{text}': between thousands stands a blank or nothing",
                    "write for example '6000 counts' or '20 000 counts'")
    try:
        number, rest = units.split_number(text)
    except Wrong:
        number, rest = Fraction(0), text
    if rest.lower() not in ("", "counts",
                            "count") or number.denominator != 1 or not 10 <= number <= 10**9:
        raise Wrong(f"'{text}' is not a number of counts", "write for example '6000 counts'")
    return int(number)


@dataclass(frozen=True)
class Span:
    """From `low` to `high`, both included."""

    low: Quantity
    high: Quantity

    def __str__(self) -> str:
        if self.low.unit == self.high.unit:
            return f"{units.decimal_text(self.low.number)} to {self.high}"
        return f"{self.low} to {self.high}"

    @cached_property
    def band(self) -> tuple[Fraction, Fraction]:
        return self.low.value, self.high.value

    @property
    def bands(self) -> tuple[tuple[Fraction, Fraction], ...]:
        return (self.band,)

    @property
    def celsius(self) -> tuple[Fraction, Fraction]:
        """A span of temperatures in degC, exactly."""
        return (units.celsius(self.low.number, self.low.unit),
                units.celsius(self.high.number, self.high.unit))


@lru_cache(maxsize=4096)
def span(text: str) -> Span:
    """`40 Hz to 1 kHz`, `18 to 28 degC` or `23 ± 5 degC`."""
    if "±" in text or "+/-" in text:
        middle, half = re.split(r"\s*(?:±|\+/-)\s*", text, maxsplit=1)
        number, rest = units.split_number(middle)
        bare, unit = units.split_number(half)   # the unit may stand at either number
        width = units.quantity(half) if unit or not rest else Quantity(bare, units.unit(rest))
        if (rest and units.unit(rest) != width.unit) or width.number <= 0:
            raise Wrong(f"'{text}' is not a span", "such as '23 ± 5 degC', or write 'A to B'")
        return Span(Quantity(number - width.number, width.unit),
                    Quantity(number + width.number, width.unit))
    parts = re.split(r"\s+to\s+", text)
    if len(parts) != 2:
        raise _no_span(text)
    high = units.quantity(parts[1])
    number, rest = units.split_number(parts[0])
    low = Quantity(number, units.unit(rest) if rest else high.unit)
    if low.dimension != high.dimension or (low.unit.is_temperature and low.unit != high.unit):
        raise Wrong(f"'{text}' goes from {units.kind_of(low.dimension)} in {low.unit.shown} to "
                    f"{units.kind_of(high.dimension)} in {high.unit.shown}",
                    "both ends in units of one kind")
    if low.dimension == "[frequency]" and low.value < 0:
        raise Wrong(f"'{text}': a frequency is never below zero", "'A to B' without a minus")
    if low.value == high.value:
        raise Wrong(f"'{text}' has no width",
                    "for a single value write where the span around it begins and ends")
    if low.value > high.value:
        raise Wrong(f"'{text}' runs from high to low",
                    f"write '{Span(high, low)}' if the two are exchanged")
    return Span(low, high)


def _no_span(text: str) -> Wrong:
    """Why a text without 'to' in it is no span, and how it is written."""
    such = "such as '40 Hz to 1 kHz', '18 to 28 degC' or '0 to 75 %'"
    if re.match(r"\s*(?:[<>≤≥=]|up to|below|above|from|under|over)", text, re.I):
        return Wrong(f"'{text}' is not a span: one end is open",
                     "write both ends, as 'A to B', " + such)
    ends = re.fullmatch(r"(.*[^\s–—‐‑‒-])\s*(?:-|[–—‐‑‒~]|…|\.\.\.?)\s*([0-9.].*)", text)
    if ends:
        written = f"{ends[1].strip()} to {ends[2].strip()}"
        try:
            span(written)
        except Wrong:
            return Wrong(f"'{text}' is not a span: a dash may be a minus", "'A to B', " + such)
        return Wrong(f"'{text}' is not a span: a dash may be a minus", f"write '{written}'")
    return Wrong(f"'{text}' is not a span", "write 'A to B' with a unit, " + such)


def above_zero(text: str) -> Quantity:
    amount = units.quantity(text)
    if amount.value <= 0:
        raise Wrong(f"'{text}' must be above zero")
    return amount


Text = Annotated[str, *exact(_text, type=["string", "number"], maxLength=400,
                              pattern=patterns.TEXT)]
_RESERVED = "|".join(sorted((*_DEVICES, "index", "readme")))
Slug = Annotated[str, *exact(slug, maxLength=60,
                             pattern=f"^(?!(?:{_RESERVED})$)[a-z0-9]+(?:-[a-z0-9]+)*$")]
Date = Annotated[date, *exact(
    as_day, format="date",
    pattern="^(?:19|20|21)[0-9]{2}-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12][0-9]|3[01])|"
            "(?:0[469]|11)-(?:0[1-9]|[12][0-9]|30)|02-(?:0[1-9]|[12][0-9]))$")]
Agreed = Annotated[str, *exact(_agreed, pattern="[0-9]{4}-[0-9]{2}-[0-9]{2}", maxLength=400)]
YesNo = Annotated[bool, *exact(_boolean, type=["boolean", "string"], pattern=patterns.YES_NO)]
Counts = Annotated[int, *exact(counts, type=["string", "integer"], examples=["6000 counts"],
                               minimum=10, maximum=10**9, pattern=patterns.COUNTS)]
Amount = Annotated[Quantity, *exact(units.quantity, examples=["600 mV", "1 kHz", "10 A"],
                                    pattern=patterns.AMOUNT)]
PositiveAmount = Annotated[Quantity, *exact(
    above_zero, examples=["600 mV", "1 kHz", "10 A"], pattern=patterns.POSITIVE_AMOUNT)]
SpanText = Annotated[Span, *exact(span, examples=["40 Hz to 1 kHz", "18 to 28 degC"],
                                 pattern=patterns.SPAN)]

# Of an entry whose numbers look like a slip and are none.
Confirmed = Annotated[Text | None, Field(
    description="Why what looks like a slip here is right, such as 'so on page 4 of the data "
    "sheet'; no warning asks about it then.")]

EMPTY = "the list is empty"


def not_empty(value: list) -> list:
    if not value:
        raise Wrong(EMPTY, "write at least one entry, or delete the key")
    return value


def _or_single(schema: dict) -> None:
    as_list = {k: schema.pop(k) for k in ("type", "items") if k in schema}
    schema["anyOf"] = [as_list["items"], as_list]


Item = TypeVar("Item")
# A list that may be written as a single value.
OneOrMore = Annotated[list[Item], BeforeValidator(lambda v: v if isinstance(v, list) else [v]),
                      AfterValidator(not_empty), Field(json_schema_extra=_or_single)]


def _listed(value: object) -> object:
    if isinstance(value, str) and "," in value:
        raise Wrong(f"'{value}' is one name with a comma in it",
                    f"write [{value}] if each is a name of its own")
    return value if isinstance(value, list) else [value]


def _or_one_name(schema: dict) -> None:
    _or_single(schema)
    schema["anyOf"][0] = schema["anyOf"][0] | {"pattern": "^[^,]*$"}


# The names of jacks or terminals; one alone may stand without brackets.
Names = Annotated[list[Text], BeforeValidator(_listed), AfterValidator(not_empty),
                  Field(json_schema_extra=_or_one_name)]
