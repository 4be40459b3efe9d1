"""What became of a reading, for the quick answer: within the limits of its value or not."""

from __future__ import annotations

from builder.compute.exact.points import JudgedPoint
from builder.files.problems import Wrong
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW, amount, minus
from builder.procedure.meter_function import MeterFunction
from builder.records.reading_words import ANY_VALUE, AT_THE_BENCH
from builder.records.typed import parse


def said(view: MeterFunction, judged: JudgedPoint, typed: str) -> tuple[str, bool]:
    """One line: the reading, whether it lies within the limits, and its error; and that answer
    alone. Raises `Wrong` for what this display can't show there."""
    on, unit = judged.range, view.names[judged.range].unit
    places = exact_text.decimals(on.resolution, unit)
    read = parse(typed, unit=unit.ascii, decimals=places,
                 resolution=exact_text.in_unit(on.resolution, unit))
    if read is None:
        raise Wrong("no reading is given", "such as '3.001 V', or OL for overload")
    if read.value is None:
        return ANY_VALUE["overload"], False
    if read.value < 0 and not view.table.shows_minus:
        raise Wrong(AT_THE_BENCH["no-minus"])
    value = read.value if unit.has_no_prefix else read.value * unit.scale
    if abs(value) > on.highest:
        raise Wrong(AT_THE_BENCH["beyond-range"].format(
            highest=amount(on.highest, unit, places)), "OL for overload")
    counts, error = value / on.resolution, value - judged.applied
    off = error / on.resolution
    is_within = judged.accepted.holds(counts)
    tolerance = judged.sides.of_error(error)
    share = ANY_VALUE["share"].format(percent=signed(minus(exact_text.percent_of(
        error, tolerance))) + NARROW + "%") if tolerance else ""
    return ANY_VALUE["within" if is_within else "not-within"].format(
        reading=amount(value, unit, places), error=signed(amount(error, unit, places)),
        counts=f"{signed(exact_text.number(off))} count{'' if abs(off) == 1 else 's'}",
        share=share), is_within


def signed(text: str) -> str:
    """With a plus where nothing else says the sign; zero has none."""
    return text if text[0] == "−" or not any(c in "123456789" for c in text) else "+" + text
