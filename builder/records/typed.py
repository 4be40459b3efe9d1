"""What people type as a reading, as the phone takes it: a number, its unit, overload. Exact, in the
unit of the display."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from builder.files.problems import Wrong
from builder.formats.data_fields import Figure
from builder.formats.sheet_data import PointData
from builder.numbers import exact_text, units

OVERLOAD = "OL"
UNIT_HINT = "write the number alone: the unit is that of the sheet"

_NUMBER = re.compile(
    r"([+\-−–]?)\s*([0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3})+|[0-9]*)(?:([.,])([0-9]*))?\s*(.*)",
    re.S)
_OVER = re.compile(r"[+\-−–]?\s*\.?(?:[o0]\.?l\.?|over ?load|over|ovl|ofl)\s*(.*)", re.I | re.S)


# ---------------------------------------------------------------- what people type

@dataclass(frozen=True, slots=True)
class TypedReading:
    """`value` is None for overload; `decimals` are as they were typed."""

    value: Fraction | None
    text: str


def shown_unit(text: str) -> str:
    """A unit of the data files as a reader expects it."""
    return units.unit(text).shown


def _wrong_unit(rest: str, unit: str) -> str:
    own = units.unit(unit)
    if not rest or (own.is_temperature and rest in ("°", unit[-1])):
        return ""
    typed = units.typed_unit(rest)
    if typed is None:
        return f"“{rest[:20]}” is no unit known here: this reading is in {own.shown}"
    if typed == own:
        return ""
    if typed.base == own.base:
        return (
            f"the sheet is in {own.shown}, not in {typed.shown}: if the display showed "
            f"{typed.shown}, it was on another range")
    return f"this reading is in {own.shown}, not in {typed.shown}"


def parse(typed: str, *, unit: str, decimals: int | None = None,
          resolution: Fraction | None = None) -> TypedReading | None:
    """A typed reading; None where nothing was typed. Fewer digits than the display shows are
    completed by zeros; with more the meter was on another range, and the limits don't hold there.
    Raises `Wrong`."""
    text = typed.strip()
    if not text:
        return None
    over = _OVER.fullmatch(text)
    if over:
        if wrong := _wrong_unit(over[1].strip(), unit):
            raise Wrong(wrong, UNIT_HINT)
        return TypedReading(None, OVERLOAD)
    sign, before, mark, after, rest = _NUMBER.fullmatch(text).groups()
    after = after or ""
    if not before and not after:
        raise Wrong(f"“{text[:30]}” is no number",
                    "a reading, OL for overload, or '-' for a step that was not done")
    if re.match(r"[0-9.,'’]",
                rest) or (decimals is None and mark == ","
                          and re.fullmatch(r"[1-9][0-9]{0,2}", before) and len(after) == 3):
        raise Wrong(f"“{text[:30]}” can be read in two ways",
                    "write a point before decimals, and nothing between thousands")
    digits = re.sub(r"[^0-9]", "", before) + after
    if len(digits) > 18:
        raise Wrong("more digits than any display shows", "a digit is mistyped")
    if wrong := _wrong_unit(rest.strip(), unit):
        raise Wrong(wrong, UNIT_HINT)
    value = Fraction(int(digits), 10 ** len(after)) * (-1 if sign and sign != "+" else 1)
    if decimals is not None and len(after) > decimals:
        shows = {0: "no decimals", 1: "one decimal"}.get(decimals, f"{decimals} decimals")
        raise Wrong(
            f"“{text[:30]}” has {len(after)} decimals, and the display shows {shows} on this range",
            "with more it was on another range, where these limits don't hold; or a digit is "
            "mistyped")
    if resolution is not None and (value / resolution).denominator != 1:
        raise Wrong(
            f"“{text[:30]}” can't be shown: the display counts in steps of "
            f"{exact_text.number(resolution)}{exact_text.NARROW}{shown_unit(unit)} on this range",
            "read the sheet again: a digit is mistyped")
    return (((TypedReading(value,
                           f"{units.decimal_text(value, len(after) if decimals is None else decimals)} {unit}"))))


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
