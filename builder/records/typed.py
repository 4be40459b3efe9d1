"""What people type as a reading, as the phone takes it: a number, its unit, overload. Exact, in the
unit of the display."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from builder.files.problems import Wrong
from builder.numbers import exact_text, units
from builder.records.reading_words import IN_A_RECORD, UNIT_HINT, decimals_words

if TYPE_CHECKING:  # a reading of any value needs no data of a sheet
    from builder.formats.data_fields import Figure
    from builder.formats.sheet_data import PointData

OVERLOAD = "OL"

_NUMBER = re.compile(
    r"([+\-−–]?)\s*([0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3})+|[0-9]*)(?:([.,])([0-9]*))?\s*(.*)",
    re.S)
_OVER = re.compile(r"[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)", re.I | re.S)


@dataclass(frozen=True, slots=True)
class TypedReading:
    """`value` is None for overload; `decimals` are as they were typed."""

    value: Fraction | None
    text: str


def shown_unit(text: str) -> str:
    """A unit of the data files as a reader expects it; what is no unit of the table, such as that
    of a shop's own check, stays as it is."""
    try:
        return units.unit(text).shown
    except Wrong:
        return text


def refuse(code: str, **facts: object) -> Wrong:
    """What is wrong with a typed reading, for whoever typed it into a record."""
    sentence, hint = IN_A_RECORD[code]
    return Wrong(sentence.format(**facts), hint or UNIT_HINT)


def _refuse_other_unit(rest: str, unit: str) -> None:
    own = units.unit(unit)
    if not rest or (own.is_temperature and rest in ("°", unit[-1])):
        return
    typed = units.typed_unit(rest)
    if typed is None:
        raise refuse("unknown-unit", text=rest[:20], unit=own.shown)
    if typed != own:
        raise refuse("other-prefix" if typed.base == own.base else "other-unit", unit=own.shown,
                     typed=typed.shown)


def is_overload(typed: str) -> bool:
    """Whether overload was typed, with a unit or without one."""
    return _OVER.fullmatch(typed.strip()) is not None


@dataclass(frozen=True, slots=True)
class TypedNumber:
    value: Fraction
    decimals: int
    rest: str       # what stands behind it, such as a unit


def typed_number(text: str, sure: bool = False) -> TypedNumber:
    """A number that somebody typed, and what follows; `sure` where it is known how many decimals to
    expect, so that "1,500" has one meaning. Raises `Wrong`."""
    sign, before, mark, after, rest = _NUMBER.fullmatch(text).groups()
    after = after or ""
    if not before and not after:
        raise refuse("no-number", text=text[:30])
    one_thousand = (not sure and mark == "," and len(after) == 3
                    and re.fullmatch(r"[1-9][0-9]{0,2}", before))
    if one_thousand or re.match(r"[0-9.,'’]", rest):
        raise refuse("two-ways", text=text[:30])
    digits = re.sub(r"[^0-9]", "", before) + after
    if len(digits) > 18:
        raise refuse("too-many-digits")
    value = Fraction(int(digits), 10 ** len(after)) * (-1 if sign and sign != "+" else 1)
    return TypedNumber(value, len(after), rest.strip())


def parse(typed: str, *, unit: str, decimals: int | None = None,
          resolution: Fraction | None = None) -> TypedReading | None:
    """A typed reading; None where nothing was typed. Fewer digits than the display shows are
    completed by zeros; with more the meter was on another range, and the limits don't hold there.
    Raises `Wrong`."""
    text = typed.strip()
    if not text:
        return None
    if over := _OVER.fullmatch(text):
        _refuse_other_unit(over[1].strip(), unit)
        return TypedReading(None, OVERLOAD)
    read = typed_number(text, decimals is not None)
    value = read.value
    _refuse_other_unit(read.rest, unit)
    if decimals is not None and read.decimals > decimals:
        raise refuse("too-many-decimals", text=text[:30], count=read.decimals,
                     decimals=decimals_words(decimals))
    if resolution is not None and (value / resolution).denominator != 1:
        raise refuse("between-counts", text=text[:30],
                     step=exact_text.number(resolution) + exact_text.NARROW + shown_unit(unit))
    full = units.decimal_text(value, read.decimals if decimals is None else decimals)
    return TypedReading(value, f"{full} {unit}")


def flickering(typed: str, **display) -> tuple[TypedReading, ...]:
    """A typed reading; two where the last digit flickered and both extremes were written, such as
    17.994/17.996; none where nothing was typed. Raises `Wrong`."""
    extremes = [parse(one, **display) for one in typed.split("/")]
    if len(extremes) == 1:
        return () if extremes[0] is None else (extremes[0],)
    if len(extremes) > 2 or None in extremes:
        raise refuse("flicker", text=typed.strip()[:30])
    return tuple(extremes)


def display(point: PointData) -> dict:
    """What `parse` must know of a point's display. An observation often shows something else than
    its range does."""
    if point.find == "bandwidth":
        return {"unit": "Hz"}
    if point.find == "sensitivity" and point.level:
        return {"unit": point.level.split(" ")[-1]}
    if point.is_observation:
        return {"unit": point.unit}
    return {"unit": point.unit, "decimals": point.decimals, "resolution": point.resolution.number}


def places(figure: Figure) -> int:
    return len(figure.text.split(" ")[0].partition(".")[2])
