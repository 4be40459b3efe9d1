"""What the models of the data beside the pages share: exact numbers as texts, and how they are
written and read.

A model is the one declaration of its data: what is written, its JSON Schema and what is read come
from it. `format` rises only when a field changes its meaning; readers pass over fields that they
don't know. A field that came later has a default, for data that were written without it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, TypeVar

from pydantic import (AfterValidator, BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator,
                      StrictStr, WithJsonSchema)

from builder.files.problems import Wrong
from builder.formats.stated import SINCE, duration
from builder.numbers.unit_table import PREFIXES, UNITS
from builder.numbers.units import Unit, decimal_text

FORMAT = 1

_NUMBER = re.compile(r"-?[0-9]{1,40}(?:\.[0-9]{1,40})?")
_PLAIN = r"-?[0-9]+(\.[0-9]+)?"
_UNITS = (f"([{''.join(PREFIXES)}]?({'|'.join(u.symbol for u in UNITS if u.takes_prefixes)})"
          f"|{'|'.join(u.symbol for u in UNITS if not u.takes_prefixes)})")


@dataclass(frozen=True, slots=True)
class Figure:
    """An exact number with the unit that stands behind it, as "-0.540 V"."""

    text: str

    @property
    def number(self) -> Fraction:
        return _exact(self.text.partition(" ")[0])

    @property
    def unit(self) -> str:
        return self.text.partition(" ")[2]


@lru_cache(maxsize=65536)
def _exact(text: str) -> Fraction:
    return Fraction(text)


def _number(value: Any) -> Fraction:
    if not isinstance(value, str) or not _NUMBER.fullmatch(value):
        raise Wrong(f"'{str(value)[:40]}' is not an exact number")
    return _exact(value)


def _figure(value: Any) -> Figure:
    number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    if not unit:
        raise Wrong(f"'{str(value)[:40]}' is not a number with a unit")
    _number(number)
    return Figure(value)


Number = Annotated[Fraction, PlainValidator(_number), PlainSerializer(decimal_text),
                   WithJsonSchema({"type": "string", "pattern": f"^{_PLAIN}$"})]
Factor = Annotated[Fraction, PlainValidator(_number),
                   PlainSerializer(lambda factor: decimal_text(factor, 2)),
                   WithJsonSchema({"type": "string", "pattern": f"^{_PLAIN}$"})]
Amount = Annotated[Figure, PlainValidator(_figure), PlainSerializer(lambda figure: figure.text),
                   WithJsonSchema({"type": "string", "pattern": f"^{_PLAIN} {_UNITS}$"})]
Slug = Annotated[StrictStr, Field(json_schema_extra={"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"})]
Hash = Annotated[StrictStr, Field(json_schema_extra={"pattern": "^[0-9a-f]{12}$"})]
Day = Annotated[StrictStr, Field(json_schema_extra={"format": "date"})]
Since = Annotated[StrictStr, AfterValidator(lambda text: duration(text).text), Field(
    json_schema_extra={"pattern": SINCE})]


class Data(BaseModel):
    """Read from JSON: unknown fields are passed over, and nothing is converted."""

    model_config = ConfigDict(extra="ignore", frozen=True, arbitrary_types_allowed=True)

    def as_data(self) -> dict[str, Any]:
        """As JSON has it."""
        return self.model_dump(mode="json")


D = TypeVar("D", bound=Data)


def written(model: type[D], **fields: Any) -> D:
    """A model with each of its fields, so that none is forgotten and none is misspelt. The values
    are the builder's own and aren't checked again; tests read back what is written."""
    if odd := fields.keys() ^ model.model_fields.keys():
        raise TypeError(f"{model.__name__}: {', '.join(sorted(odd))}")
    return model.model_construct(**fields)


def figure(value: Fraction, unit: Unit, decimals: int = 0) -> Figure:
    """A value in the unit without prefix, as `unit` has it, with at least so many decimals."""
    number = value if unit.has_no_prefix else value / unit.scale
    return Figure(f"{decimal_text(number, decimals)} {unit.ascii}")
