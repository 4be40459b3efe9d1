"""Errors in the course of time, for the lessons: over the years and each morning, drawn and worked
out."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from statistics import fmean, stdev

from builder.drawing import lesson_readings
from builder.drawing.svg import Spot
from builder.files.problems import Wrong
from builder.lessons.asked import AskedValue, GeneralExample
from builder.lessons.examples import Example, MeterExample, find_example
from builder.numbers import units
from builder.numbers.statistics_text import figures
from builder.shop.contents import Shop


Readings = list[tuple[int, float, float | None]]


def _years(shop: Shop, asked: AskedValue) -> tuple[MeterExample, Readings]:
    """After the point: 'year found' or 'year found left', errors in counts, one item a year."""
    here = next((n for n, item in enumerate(asked.items)
                 if item[:4].isdigit() and item[4:5] == " "), len(asked.items))
    example = find_example(shop, AskedValue(asked.items[:here], asked.named))
    if not isinstance(example, MeterExample):
        raise Wrong("errors over the years are a meter's", "name a meter, not a plan")
    readings = []
    for item in asked.items[here:]:
        year, *errors = item.split()
        if not (year.isdecimal() and len(year) == 4 and 1 <= len(errors) <= 2):
            raise Wrong(
                f"'{item}' is no year with an error found and, after an adjustment, an error left",
                "such as '2024 +3' or '2025 +9 -1'")
        values = [float(units.plain_number(text, "an error in counts")) for text in errors]
        readings.append((int(year), values[0], values[1] if len(values) > 1 else None))
    if len(readings) < 3:
        raise Wrong("a line needs three years or more", "such as '2023 +1, 2024 +3, 2025 +4'")
    return example, readings


def drift(shop: Shop, asked: AskedValue) -> str:
    """The picture of errors over the years."""
    example, readings = _years(shop, asked)
    line, meets = trend(readings, float(example.counts))
    return lesson_readings.drift(readings, float(example.counts), "counts", example.show("value"),
                                 line, meets)


def years_worked(shop: Shop, asked: AskedValue) -> GeneralExample:
    """{example: years, dunlin-60, DC voltage, 5.4 V, 2023 +7, 2024 +12, 2025 +16}: along the line
    of the picture, to the limit."""
    example, readings = _years(shop, AskedValue(asked.items[1:], {}))
    limit, last = float(example.counts), readings[-1][0]
    line, meets = trend(readings, limit)
    if not meets:
        raise Wrong("this line meets no limit", "errors that grow")
    (first, start), (end, there) = line
    slope = (there - start) / (end - first)
    now = start + slope * (last - first)
    told = ", ".join(f"{year} {_signed(left if left is not None else found)}"
                     for year, found, left in readings)
    room, pace = figures(abs(there - now), 2), figures(abs(slope), 2)
    # As a pencil divides what is printed.
    years = Context(prec=2, rounding=ROUND_HALF_UP).divide(Decimal(room), Decimal(pace))
    return GeneralExample({}, (
        f"{example.view.meter.name} at {example.show('value')}: errors in counts, {told}",
        f"The limit, in counts: {_signed(there)}",
        f"Along the line, counts a year: {pace}",
        f"From the line in {last} to the limit, in counts: {room}",
        f"Years until the limit is met: {room} / {pace} = {years:f}"))


def _signed(value: float) -> str:
    text = f"{abs(value):g}"
    return text if not value else ("+" if value > 0 else "−") + text


def trend(readings: Readings, tolerance: float) -> tuple[tuple[Spot, Spot] | None, bool]:
    """The least-squares line through the last stretch without an adjustment, from its first year
    to where it meets a limit, if within ten years of the last, else to the last one: its ends, as
    (year, error), and whether it meets. None of a single point, which makes no line."""
    stretch: list[tuple[int, float]] = []
    for year, before, left in readings:
        stretch.append((year, before))
        if left is not None:
            stretch = [(year, left)]
    if len(stretch) < 2:
        return None, False
    mean_x, mean_y = (sum(values) / len(stretch) for values in zip(*stretch, strict=True))
    slope = (sum((x - mean_x) * (y - mean_y) for x, y in stretch)
             / sum((x - mean_x) ** 2 for x, _ in stretch))
    first, end, meets = stretch[0][0], float(stretch[-1][0]), False
    if slope:
        crosses = mean_x + (math.copysign(tolerance, slope) - mean_y) / slope
        if meets := end < crosses <= end + 10:
            end = crosses
    return tuple((x, mean_y + slope * (x - mean_x)) for x in (first, end)), meets


def _mornings(shop: Shop, asked: AskedValue) -> tuple[Example, list[float], list[float]]:
    """After the value: how many mornings make the limits, then the errors in counts; these of all
    mornings, and of the first."""
    example = find_example(shop, AskedValue(asked.items[:3], asked.named))
    first, *errors = (float(units.plain_number(text, "an error in counts"))
                      for text in asked.items[3:])
    if not 5 <= first < len(errors):
        raise Wrong("a first series of five mornings or more is needed, and one more after it",
                    "such as '5, 0, +1, 0, -1, 0, +1'")
    series = errors[:int(first)]
    if not stdev(series):
        raise Wrong("a first series of equal errors gives no limits", "give other ones")
    return example, errors, series


def mornings_worked(shop: Shop, asked: AskedValue) -> GeneralExample:
    """{example: mornings, whimbrel-200-yearly, DC voltage, 10 V, 5, 1, 0, 2, 1, 1, 3}: the limits
    of the first five, and whether the last one is within them."""
    example, errors, series = _mornings(shop, AskedValue(asked.items[1:], {}))
    middle, spread, last = fmean(series), stdev(series), errors[-1]
    low, high = middle - 3 * spread, middle + 3 * spread
    told = ", ".join(map(_signed, series))
    return GeneralExample({}, (
        f"At {example.show('value')}, errors of the first mornings in counts: {told}",
        f"Mean: {figures(middle, 2)}",
        f"Standard deviation: {figures(spread, 2)}",
        f"Limits, three of it to either side: {figures(low, 2)} and {figures(high, 2)}",
        f"Today {_signed(last)}: {'within' if low <= last <= high else 'out'}"))


def mornings(shop: Shop, asked: AskedValue) -> str:
    """The picture of errors each morning."""
    example, errors, series = _mornings(shop, asked)
    middle, spread = fmean(series), 3 * stdev(series)
    return lesson_readings.mornings(errors, (middle - spread, middle + spread),
                                    len(series),
                                    "counts", example.show("value"))
