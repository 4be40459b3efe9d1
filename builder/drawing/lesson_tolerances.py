"""The lessons' pictures of what an accuracy table says, drawn to scale.

Each function takes plain numbers, and texts that are ready to be shown."""

from __future__ import annotations

import math
from collections.abc import Sequence

from builder.drawing.lesson_drawing import Sketch


def accuracy_row(range_: str, count: str, accuracy: str, highest: str, terms: Sequence[str]) -> str:
    """A row of an accuracy table, with what each part means."""
    d = Sketch(126,
               f"A row of an accuracy table: range {range_}, resolution {count}, accuracy "
               f"{accuracy}. " + " ".join(terms))
    columns = ((2, 76, "Range", range_), (78, 92, "Resolution", count),
               (170, 168, "Accuracy", accuracy))
    for x, width, head, cell in columns:
        d.shaded(x, 2, width, 18, 0.1)
        d.words(x + width / 2, 15, head)
        d.box(x, 20, width, 24)
        d.words(x + width / 2, 36, cell, bold=True)
    for x, y, text in ((190, 64, terms[0]), (124, 98, "one count, a step of the last digit"),
                       (40, 118, f"shows up to {highest}, not a count more")):
        d.path(f"M{x} 44V{y}H{x + 8}", stroke_width=0.9)
        d.words(x + 12, y + 4, text, "start")
    d.words(202, 82, terms[1], "start")
    return d.done()


def displays(rows: Sequence[tuple[str, str, str, str]]) -> str:
    """One value as each range shows it: (range, digits, unit, count)."""
    d = Sketch(30 + 44 * len(rows), "The same value on several ranges: " + "; ".join(
        f"on the {range_} range the display shows {digits} {unit}, one count is {count}" for range_,
        digits, unit, count in rows))
    d.words(2, 14, "Range", "start")
    d.words(142, 14, "Display")
    d.words(338, 14, "One count", "end")
    for n, (range_, digits, unit, count) in enumerate(rows):
        y = 22 + 44 * n
        d.words(2, y + 24, range_, "start", bold=True)
        d.display(74, y, digits, unit)
        d.line(163, y + 31, 176, y + 31, stroke_width=2)
        d.arrow(214, y + 31, 252, y + 21)
        d.words(338, y + 24, count, "end")
    return d.done()


def accepted_band(readings: Sequence[tuple[float, bool]], low: tuple[float, str],
                  high: tuple[float, str], applied: tuple[float, str],
                  exact: tuple[tuple[float, str], tuple[float, str]], count: str) -> str:
    """Every reading that the display can show near a value: accepted or not. Positions in
    counts."""
    d = Sketch(124,
               f"Readings that the display can show around {applied[1]}, a count of {count} apart: "
               f"those from {low[1]} to {high[1]} are accepted, "
               f"the tolerance limits are {exact[0][1]} and {exact[1][1]}.")
    first, last = readings[0][0], readings[-1][0]

    def x(reading: float) -> float:
        return 14 + 312 * (reading - first) / (last - first)

    d.line(4, 70, 336, 70, stroke_width=0.8)
    d.tolerance(x(exact[0][0]), 60, x(exact[1][0]) - x(exact[0][0]), 20, rx=4)
    for limit, said in exact:
        d.path("M", x(limit), "44V60")
        d.words(x(limit), 40, said, "middle")
    d.path("M", x(applied[0]), "44V60")
    for reading, good in readings:
        if good:
            d.inside(x(reading), 70, 3.2)
        else:
            d.outside(x(reading), 70, 3)
    d.words(170, 16, "tolerance limits: applied value ± tolerance", "middle")
    d.words(x(applied[0]), 40, applied[1], bold=True)
    d.words(x(low[0]), 98, low[1], bold=True)
    d.words(x(high[0]), 98, high[1], bold=True)
    d.words(170, 118, "● accepted,  ✗ outside,  one step is one count")
    return d.done()


def tolerance_line(range_: str, top: tuple[float, str], fixed: tuple[float, str],
                   whole: tuple[float, str], zero: str) -> str:
    """Tolerance over a range: the part that doesn't change, and the part that grows with the
    reading."""
    d = Sketch(196,
               f"The tolerance over the {range_} range is a straight line: {fixed[1]} at zero, the "
               f"same everywhere, and more with the reading, {whole[1]} at {top[1]}.")
    left, right, bottom, roof = 14, 250, 160, 30

    def y(value: float) -> float:
        return bottom - (bottom - roof) * value / whole[0]

    d.hatched(left, y(fixed[0]), right - left, bottom - y(fixed[0]))
    d.line(left, 14, left, bottom)
    d.line(left, bottom, right, bottom)
    d.line(left, y(fixed[0]), right, y(fixed[0]), stroke_dasharray="4 3")
    d.line(left, y(fixed[0]), right, y(whole[0]), stroke_width=2)
    d.line(right, y(whole[0]), right, bottom, stroke_width=0.8, stroke_dasharray="2 3")
    d.words(left + 6, 22, "tolerance", "start")
    d.words(256, y(whole[0]) + 4, whole[1], "start", bold=True)
    middle = (y(fixed[0]) + y(whole[0])) / 2
    d.words(256, middle, "grows with", "start")
    d.words(256, middle + 13, "the reading", "start")
    below = min((y(fixed[0]) + bottom) / 2, bottom - 16)
    d.words(256, below, "the same", "start")
    d.words(256, below + 13, "everywhere:", "start")
    d.words(256, below + 26, fixed[1], "start", bold=True)
    d.words(left, 176, zero, "start")
    d.words(right - 2, 176, top[1], "end")
    d.words((left + right) / 2, 191, "what is applied")
    return d.done()


def percent_over_ranges(ranges: Sequence[tuple[str, float, float, float]],
                        marks: Sequence[tuple[float, str]], unit: str) -> str:
    """What a tolerance is in percent of the value, on the ranges a meter chooses: (name, end,
    slope, offset); both axes in steps of ten times."""
    d = Sketch(228,
               "The tolerance in percent of the value, over all ranges. It falls along each range "
               "and jumps up where the next range takes over: "
               + ", ".join(name for name, *_ in ranges) + ".")
    left, right, roof, bottom = 36, 330, 20, 172
    first, last = ranges[0][1] / 20, ranges[-1][1]
    ends = [100 * (slope + offset / at) for _, end, slope, offset in ranges
            for at in (max(first, end / 20), end)]
    lowest, highest = min(ends), max(ends)
    steps = [step * 10.0 ** power for power in range(-4, 3) for step in (1, 2, 5)]
    floor = max(step for step in steps if step <= lowest)
    top = min(step for step in steps if step >= highest)

    def x(at: float) -> float:
        return left + (right - left) * math.log(at / first) / math.log(last / first)

    def y(value: float) -> float:
        return bottom - (bottom - roof) * math.log(value / floor) / math.log(top / floor)

    for step in steps:
        if floor <= step <= top:
            d.line(left, y(step), right, y(step), stroke_width=0.5)
            d.words(left - 4, y(step) + 4, f"{step:g}", "end")
    d.words(left - 4, 11, "tolerance in percent of the value", "start")
    start, before = first, None
    for name, end, slope, offset in ranges:
        values = [start * (end / start) ** (n / 30) for n in range(31)]
        curve = [(x(at), y(100 * (slope + offset / at))) for at in values]
        if before:
            d.line(*before, *curve[0], stroke_width=1, stroke_dasharray="2 3")
        d.curve(curve, stroke_width=2)
        d.words(x(math.sqrt(max(start, first) * end)), bottom + 32, name, bold=True)
        d.line(x(end), roof, x(end), bottom + 22, stroke_width=0.6, stroke_dasharray="2 3")
        start, before = end, curve[-1]
    d.line(left, bottom, right, bottom)
    for at, text in marks:
        d.words(x(at), bottom + 14, text)
    d.words((left + right) / 2, 225,
           f"what is applied, in {unit}; below it the range that the meter chooses")
    return d.done()
