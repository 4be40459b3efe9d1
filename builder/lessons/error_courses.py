"""The lessons' pictures of errors in the course of time: over the years, and each morning."""

from __future__ import annotations

import math
from statistics import fmean, stdev

from builder.drawing import lesson_readings
from builder.drawing.svg import Spot
from builder.files.problems import Wrong
from builder.lessons.asked import AskedValue
from builder.lessons.examples import MeterExample, find_example
from builder.numbers import units
from builder.shop.contents import Shop


def drift(shop: Shop, asked: AskedValue) -> str:
    """After the point: 'year found' or 'year found left', errors in counts, one item a year."""
    here = next((n for n, item in enumerate(asked.items)
                 if item[:4].isdigit() and item[4:5] == " "), len(asked.items))
    example = find_example(shop, AskedValue(asked.items[:here], asked.named))
    if not isinstance(example, MeterExample):
        raise Wrong("this picture is drawn for a meter", "name a meter, not a plan")
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
    line, meets = trend(readings, float(example.counts))
    return lesson_readings.drift(readings, float(example.counts), "counts", example.show("value"),
                                 line, meets)


def trend(readings: list[tuple[int, float, float | None]],
          tolerance: float) -> tuple[tuple[Spot, Spot] | None, bool]:
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


def mornings(shop: Shop, asked: AskedValue) -> str:
    """After the value: how many mornings make the limits, then the errors in counts."""
    example = find_example(shop, AskedValue(asked.items[:3], asked.named))
    first, *errors = (float(units.plain_number(text, "an error in counts"))
                      for text in asked.items[3:])
    if not 5 <= first < len(errors):
        raise Wrong("a first series of five mornings or more is needed, and one more after it",
                    "such as '5, 0, +1, 0, -1, 0, +1'")
    series = errors[:int(first)]
    middle, spread = fmean(series), 3 * stdev(series)
    if not spread:
        raise Wrong("a first series of equal errors gives no limits", "give other ones")
    return lesson_readings.mornings(errors, (middle - spread, middle + spread), int(first),
                                    "counts", example.show("value"))
