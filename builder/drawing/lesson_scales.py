"""The pictures of the lessons that are drawn from numbers, to scale.

Each function takes plain numbers, and texts that are ready to be shown.
"""

from __future__ import annotations

import math
from typing import Sequence

from builder.drawing.sketch import Sketch, Spot


def accuracy_row(range_: str, count: str, accuracy: str, highest: str, terms: Sequence[str]) -> str:
    """A row of an accuracy table, with what each part means."""
    d = Sketch(126,
               f"A row of an accuracy table: range {range_}, resolution {count}, accuracy "
               f"{accuracy}. " + " ".join(terms))
    columns = ((2, 76, "Range", range_), (78, 92, "Resolution", count),
               (170, 168, "Accuracy", accuracy))
    for x, width, head, cell in columns:
        d.box(x, 2, width, 18, shade=0.1)
        d.text(x + width / 2, 15, head)
        d.box(x, 20, width, 24)
        d.text(x + width / 2, 36, cell, bold=True)
    for x, y, text in ((190, 64, terms[0]), (124, 98, "one count, a step of the last digit"),
                       (40, 118, f"shows up to {highest}, not a count more")):
        d.path(f"M{x} 44V{y}H{x + 8}", 0.9)
        d.text(x + 12, y + 4, text, "start")
    d.text(202, 82, terms[1], "start")
    return d.svg()


def displays(rows: Sequence[tuple[str, str, str, str]]) -> str:
    """One value as each range shows it: (range, digits, unit, count)."""
    d = Sketch(30 + 44 * len(rows), "The same value on several ranges: " + "; ".join(
        f"on the {range_} range the display shows {digits} {unit}, one count is {count}" for range_,
        digits, unit, count in rows))
    d.text(2, 14, "Range", "start")
    d.text(142, 14, "Display")
    d.text(338, 14, "One count", "end")
    for n, (range_, digits, unit, count) in enumerate(rows):
        y = 22 + 44 * n
        d.text(2, y + 24, range_, "start", bold=True)
        d.box(74, y, 136, 36, wide=1.6)
        d.text(176, y + 26, digits, "end", size=22, more=' font-family="monospace"')
        d.text(182, y + 26, unit, "start")
        d.line(163, y + 31, 176, y + 31, 2)
        d.arrow(214, y + 31, 252, y + 21)
        d.text(338, y + 24, count, "end")
    return d.svg()


def accepted_band(readings: Sequence[tuple[float, bool]], low: tuple[float, str],
                  high: tuple[float, str], applied: tuple[float, str],
                  exact: tuple[tuple[float, str], tuple[float, str]], count: str) -> str:
    """Every reading that the display can show near a value: accepted or not. Positions in
    counts."""
    d = Sketch(136,
               f"Readings that the display can show around {applied[1]}, a count of {count} apart: "
               f"those from {low[1]} to {high[1]} are accepted, "
               f"the exact limits are {exact[0][1]} and {exact[1][1]}.")
    first, last = readings[0][0], readings[-1][0]

    def x(at: float) -> float:
        return 14 + 312 * (at - first) / (last - first)

    d.line(4, 70, 336, 70, 0.8)
    for at, good in readings:
        d.line(x(at), 66, x(at), 74, 0.8)
        d.dot(x(at), 70, good)
    for at, text in exact:
        d.line(x(at), 44, x(at), 96, 1.2, "4 3")
    d.hatched(x(exact[0][0]), 92, x(exact[1][0]) - x(exact[0][0]), 8)
    d.text(x(exact[0][0]), 40, exact[0][1], "middle")
    d.text(x(exact[1][0]), 40, exact[1][1], "middle")
    d.text(170, 16, "exact limits: applied value ± tolerance", "middle")
    d.text(170, 56, applied[1], bold=True)
    d.text(x(low[0]), 113, low[1], bold=True)
    d.text(x(high[0]), 113, high[1], bold=True)
    d.text(170, 131, "● accepted,  ○ outside,  one step is one count")
    return d.svg()


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
    d.line(left, y(fixed[0]), right, y(fixed[0]), 1.2, "4 3")
    d.line(left, y(fixed[0]), right, y(whole[0]), 2)
    d.line(right, y(whole[0]), right, bottom, 0.8, "2 3")
    d.text(left + 6, 22, "tolerance", "start")
    d.text(256, y(whole[0]) + 4, whole[1], "start", bold=True)
    middle = (y(fixed[0]) + y(whole[0])) / 2
    d.text(256, middle, "grows with", "start")
    d.text(256, middle + 13, "the reading", "start")
    below = min((y(fixed[0]) + bottom) / 2, bottom - 16)
    d.text(256, below, "the same", "start")
    d.text(256, below + 13, "everywhere:", "start")
    d.text(256, below + 26, fixed[1], "start", bold=True)
    d.text(left, 176, zero, "start")
    d.text(right - 2, 176, top[1], "end")
    d.text((left + right) / 2, 191, "what is applied")
    return d.svg()


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
    lowest, highest = (extreme(100 * (slope + offset / at) for at, slope,
                               offset in [(max(first, end / 20), slope, offset) for _, end, slope,
                                          offset in ranges] + [r[1:] for r in ranges])
                       for extreme in (min, max))
    steps = [step * 10.0 ** power for power in range(-4, 3) for step in (1, 2, 5)]
    floor, top = max(step for step in steps
                     if step <= lowest), min(step for step in steps if step >= highest)

    def x(at: float) -> float:
        return left + (right - left) * math.log(at / first) / math.log(last / first)

    def y(value: float) -> float:
        return bottom - (bottom - roof) * math.log(value / floor) / math.log(top / floor)

    for step in steps:
        if floor <= step <= top:
            d.line(left, y(step), right, y(step), 0.5)
            d.text(left - 4, y(step) + 4, f"{step:g}", "end")
    d.text(left - 4, 11, "tolerance in percent of the value", "start")
    start, before = first, None
    for name, end, slope, offset in ranges:
        spots = [(start * (end / start) ** (n / 30), 0.0) for n in range(31)]
        curve = [(x(at), y(100 * (slope + offset / at))) for at, _ in spots]
        if before:
            d.line(*before, *curve[0], 1, "2 3")
        d.curve(curve, 2)
        d.text(x(math.sqrt(max(start, first) * end)), bottom + 32, name, bold=True)
        d.line(x(end), roof, x(end), bottom + 22, 0.6, "2 3")
        start, before = end, curve[-1]
    d.line(left, bottom, right, bottom)
    for at, text in marks:
        d.text(x(at), bottom + 14, text)
    d.text((left + right) / 2, 225,
           f"what is applied, in {unit}; below it the range that the meter chooses")
    return d.svg()


def square_wave(harmonics: int, lost: str, frequency: str, bandwidth: str) -> str:
    """A square wave, and what is left of it below a bandwidth."""
    d = Sketch(150,
               f"A square wave of {frequency}, dashed, and what a meter with a bandwidth of "
               f"{bandwidth} takes in of it: rounded corners and ripples, {lost} less r.m.s.")
    left, width, middle, tall = 10, 320, 66, 40
    ideal = [(left, middle)]
    for n in range(4):
        level = middle - tall if n % 2 == 0 else middle + tall
        ideal += [(left + width * n / 4, level), (left + width * (n + 1) / 4, level)]
    d.curve([*ideal, (left + width, middle)], 1, "4 3")
    wave = []
    for n in range(241):
        angle = 4 * math.pi * n / 240
        wave.append((left + width * n / 240,
                     middle - tall * 4 / math.pi
                     * sum(math.sin(k * angle) / k for k in range(1, harmonics + 1, 2))))
    d.curve(wave, 2)
    d.line(left, middle, left + width, middle, 0.6)
    d.text(170, 130, f"dashed: what the source gives, {frequency}")
    d.text(170, 145, f"line: what is left below {bandwidth}, {lost} less")
    return d.svg()


def thermocouple(kind: str, at: tuple[float, str, str], junction: tuple[float, str, str],
                 apply: str, wrong: str) -> str:
    """Voltages of a thermocouple input: what the junction adds by itself, and what the source must
    put to it: (size, temperature, voltage)."""
    d = Sketch(132,
               f"For type {kind} at {at[1]}: {at[2]} in all, of which the meter's own junction at "
               f"{junction[1]} adds {junction[2]}, so the source applies {apply}. "
               f"The voltage of the difference of temperatures would be {wrong}, which is not the "
               "same.")
    left, width = 6, 328
    split = left + width * junction[0] / at[0]
    d.text(170, 14, f"the meter takes {at[2]} for {at[1]}", bold=True)
    d.arrow(left + 40, 26, left, 26)
    d.arrow(left + width - 40, 26, left + width, 26)
    d.line(left + 40, 26, left + width - 40, 26)
    d.box(left, 38, split - left, 34)
    d.hatched(left, 38, split - left, 34)
    d.box(split, 38, left + width - split, 34)
    d.text((split + left + width) / 2, 60, f"the source applies {apply}", bold=True)
    d.path(f"M{(left + split) / 2:.1f} 76V86")
    d.text(left, 100, f"the meter adds {junction[2]} by itself,", "start")
    d.text(left, 114, f"for its jacks at {junction[1]}", "start")
    d.text(left, 129, f"wrong: the voltage of the difference alone, {wrong}", "start")
    return d.svg()


def ratios(rows: Sequence[tuple[str, float]]) -> str:
    """Tolerances, all drawn alike, with the uncertainty of a reading at either limit: (text,
    ratio)."""
    d = Sketch(22 + 46 * len(rows),
               "The doubt about a reading at the limits of a tolerance: "
               + "; ".join(f"at a ratio of {text} it is {100 / ratio:.0f} percent of the tolerance"
                           for text, ratio in rows))
    low, high = 124, 256
    half = (high - low) / 2
    d.text((low + high) / 2, 12, "tolerance")
    for n, (text, ratio) in enumerate(rows):
        y = 20 + 46 * n
        d.text(4, y + 22, text, "start", bold=True)
        d.box(low, y, high - low, 32)
        for at in (low, high):
            doubt = half / ratio
            d.hatched(at - doubt, y + 6, 2 * doubt, 20, 4)
            d.box(at - doubt, y + 6, 2 * doubt, 20, wide=0.8)
    d.text(170, d.height - 1, "hatched: where a verdict may be wrong")
    d.height += 6
    return d.svg()


def budget(lines: Sequence[tuple[str, str, float]], total: tuple[str, str, float]) -> str:
    """The parts of an uncertainty and what they come to: (name, text, size)."""
    d = Sketch(34 * (len(lines) + 1) + 22,
               "The parts of the uncertainty: "
               + "; ".join(f"{name}, {text}" for name, text, _ in lines)
               + f". Together, as the root of the sum of their squares, {total[1]}.")
    largest = max(total[2], *(size for *_, size in lines))
    for n, (name, text, size) in enumerate([*lines, total]):
        y = 34 * n + (6 if n == len(lines) else 0)
        d.text(4, y + 13, name, "start", bold=n == len(lines))
        d.text(336, y + 13, text, "end", bold=n == len(lines))
        d.box(4, y + 18, 332 * size / largest, 9, shade=1 if n == len(lines) else 0.25, wide=0.8)
    d.line(4, 34 * len(lines) + 1, 336, 34 * len(lines) + 1)
    d.text(4, d.height - 3, "Squares add up: a small part hardly counts.", "start")
    return d.svg()


def guard_band(share: float, risks: tuple[str, str], limits: tuple[str, str], doubt: float) -> str:
    """The upper end of a tolerance: tolerance limit, guard band, and the doubt about a reading at
    either. `share` and `doubt` are the guard band and the standard uncertainty in shares of the
    tolerance."""
    d = Sketch(192,
               f"Near the upper end of the tolerance. A reading at the tolerance limit {limits[0]} "
               f"is beyond it in {risks[0]} of cases. "
               f"Behind a guard band the last accepted reading is at {limits[1]}, and the risk "
               f"there is {risks[1]}.")
    scale = 150 / max(share, 3 * doubt)
    limit, inner = 226.0, 226.0 - share * scale
    base = 140

    def bell(middle: float, tall: float) -> list[Spot]:
        return [(middle + t / 20 * doubt * scale, base - tall * math.exp(-(t / 20) ** 2 / 2))
                for t in range(-60, 61)]

    spots = bell(inner, 76)
    beyond = [spot for spot in spots if spot[0] >= limit]
    if beyond:
        d.parts.append('<path d="M' + f"{limit:.1f} {base}L"
                       + "L".join(f"{x:.1f} {y:.1f}" for x,
                                  y in beyond) + f'V{base}Z" fill="currentColor"/>')
    d.hatched(inner, base + 4, limit - inner, 12)
    d.curve(spots, 1.6)
    d.curve(bell(limit, 76), 1, "4 3")
    d.line(4, base, 336, base)
    d.line(limit, 30, limit, base + 18, 2)
    d.line(inner, 44, inner, base + 18, 1.4)
    d.text(limit, 14, "tolerance limit", "middle", bold=True)
    d.text(limit, 27, f"risk {risks[0]}", "middle")
    d.text(inner, 28, "last accepted" if share else "", "middle", bold=True)
    d.text(inner, 41, f"risk {risks[1]}", "middle")
    d.text((inner + limit) / 2, base + 31, "guard band")
    d.text(4, base + 31, "← accepted", "start")
    d.text(336, base + 31, "outside →", "end")
    d.text(4, base + 48, "bells: where the true value may lie behind a reading", "start")
    return d.svg()


def drift(readings: Sequence[tuple[int, float | None, float | None]], tolerance: float, unit: str,
          zero: str, crosses: int | None) -> str:
    """Errors found and left over the years, between the limits of the tolerance."""
    d = Sketch(190,
               f"Errors over the years, between limits of plus and minus {tolerance:g} {unit}: "
               + "; ".join(
                   f"{year} " + ", ".join(f"{word} {value:+g}" for word,
                                          value in (("found", found), ("left", left))
                                          if value is not None) for year, found, left in readings)
               + (f". The line reaches a limit about {crosses}." if crosses else "."))
    first, last = readings[0][0], max(readings[-1][0], crosses or 0) + 1
    left_edge, right, middle, tall = 44, 330, 84, 58

    def x(year: float) -> float:
        return left_edge + 14 + (right - left_edge - 20) * (year - first) / (last - first)

    def y(value: float) -> float:
        return middle - tall * value / tolerance

    for at, text in ((tolerance, f"+{tolerance:g}"), (-tolerance, f"−{tolerance:g}")):
        d.line(left_edge, y(at), right, y(at), 1.6, "6 3")
        d.text(left_edge - 4, y(at) + 4, text, "end", bold=True)
    d.line(left_edge, middle, right, middle, 0.6)
    d.text(left_edge - 4, middle + 4, "0", "end")
    d.text(4, 14, f"error in {unit}, at {zero}", "start")
    previous = None
    for year, found, left in readings:
        if found is not None:
            if previous:
                d.line(x(previous[0]), y(previous[1]), x(year), y(found), 1)
            d.dot(x(year), y(found), False, 4)
        if left is not None:
            if found is not None:
                d.arrow(x(year), y(found) + (5 if left < found else -5), x(year),
                        y(left) + (-5 if left < found else 5))
            d.dot(x(year), y(left), True, 4)
        previous = (year, left if left is not None else found)
        d.text(x(year), 164, str(year))
    if crosses:
        d.line(x(previous[0]), y(previous[1]), x(crosses),
               y(math.copysign(tolerance, previous[1] or 1)), 1, "2 3")
        d.text(x(crosses), 164, f"{crosses}?")
    d.text(170, 183, "○ as found,  ● as left after an adjustment")
    return d.svg()
