"""The lessons' pictures of what stands between a reading and a verdict, drawn to scale: what the
meter loses or adds, the uncertainty, the guard band, the drift.

Each function takes plain numbers, and texts that are ready to be shown."""

from __future__ import annotations

import math
from collections.abc import Sequence

from builder.drawing.lesson_drawing import Sketch
from builder.drawing.svg import Spot


def square_wave(harmonics: int, lost: str, frequency: str, bandwidth: str) -> str:
    """A square wave, and what is left of it below a bandwidth."""
    d = Sketch(150,
               f"A square wave of {frequency}, dashed, and what a meter with a bandwidth of "
               f"{bandwidth} takes in of it: slanted edges and ripples with a higher peak, "
               f"{lost} less r.m.s.")
    left, width, middle, tall = 10, 320, 66, 40
    ideal = [(left, middle)]
    for n in range(4):
        level = middle - tall if n % 2 == 0 else middle + tall
        ideal += [(left + width * n / 4, level), (left + width * (n + 1) / 4, level)]
    d.curve([*ideal, (left + width, middle)], stroke_width=1, stroke_dasharray="4 3")
    wave = []
    for n in range(241):
        angle = 4 * math.pi * n / 240
        wave.append((left + width * n / 240,
                     middle - tall * 4 / math.pi
                     * sum(math.sin(k * angle) / k for k in range(1, harmonics + 1, 2))))
    d.curve(wave, stroke_width=2)
    d.line(left, middle, left + width, middle, stroke_width=0.6)
    d.words(170, 130, f"dashed: what the source gives, {frequency}")
    d.words(170, 145, f"line: what is left below {bandwidth}; higher peak, r.m.s. {lost} less")
    return d.done()


def thermocouple(kind: str, whole: tuple[float, str, str], junction: tuple[float, str, str],
                 apply: str, wrong: str) -> str:
    """Voltages of a thermocouple input: what the junction adds by itself, and what the source must
    put to it: (size, temperature, voltage)."""
    d = Sketch(132,
               f"For type {kind} at {whole[1]}: {whole[2]} in all, of which the meter's own "
               f"junction at {junction[1]} adds {junction[2]}, so the source applies {apply}. "
               f"The voltage of the difference of temperatures would be {wrong}, which is not the "
               "same.")
    left, width = 6, 328
    split = left + width * junction[0] / whole[0]
    d.words(170, 14, f"the meter takes {whole[2]} for {whole[1]}", bold=True)
    d.arrow(left + 40, 26, left, 26)
    d.arrow(left + width - 40, 26, left + width, 26)
    d.line(left + 40, 26, left + width - 40, 26)
    d.box(left, 38, max(0, split - left), 34)
    d.hatched(left, 38, split - left, 34)
    d.box(split, 38, max(0, left + width - split), 34)
    d.words((split + left + width) / 2, 60, f"the source applies {apply}", bold=True)
    d.path("M", (left + split) / 2, "76V86")
    d.words(left, 100, f"the meter adds {junction[2]} by itself,", "start")
    d.words(left, 114, f"for its jacks at {junction[1]}", "start")
    d.words(left, 129, f"wrong: the voltage of the difference alone, {wrong}", "start")
    return d.done()


def ratios(rows: Sequence[tuple[str, float]]) -> str:
    """Tolerances, all drawn alike, with the uncertainty of a reading at either limit: (text,
    ratio)."""
    d = Sketch(28 + 46 * len(rows),
               "The uncertainty of a reading at the limits of a tolerance: "
               + "; ".join(f"at a ratio of {text} it is {100 / ratio:.0f} percent of the tolerance"
                           for text, ratio in rows))
    low, high = 124, 256
    half = (high - low) / 2
    d.words((low + high) / 2, 12, "tolerance")
    for n, (text, ratio) in enumerate(rows):
        y = 20 + 46 * n
        d.words(4, y + 22, text, "start", bold=True)
        d.tolerance(low, y, high - low, 32, rx=4)
        unsure = half / ratio
        for limit in (low, high):
            d.unsure(limit - unsure, y + 16, limit + unsure, y + 16)
    d.words(170, d.height - 7, "bars: where a verdict may be wrong")
    return d.done()


def budget(lines: Sequence[tuple[str, str, float]], total: tuple[str, str, float]) -> str:
    """The parts of an uncertainty and what they come to: (name, text, size)."""
    d = Sketch(34 * (len(lines) + 1) + 22,
               "The parts of the uncertainty: "
               + "; ".join(f"{name}, {text}" for name, text, _ in lines)
               + f". Together, as the root of the sum of their squares, {total[1]}.")
    largest = max(total[2], *(size for *_, size in lines))
    for n, (name, text, size) in enumerate([*lines, total]):
        y = 34 * n + (6 if n == len(lines) else 0)
        d.words(4, y + 13, name, "start", bold=n == len(lines))
        d.words(336, y + 13, text, "end", bold=n == len(lines))
        d.shaded(4, y + 18, 332 * size / largest, 9, 1 if n == len(lines) else 0.25,
                 stroke_width=0.8)
    d.line(4, 34 * len(lines) + 1, 336, 34 * len(lines) + 1)
    d.words(4, d.height - 3, "Squares add up: the largest part decides.", "start")
    return d.done()


def guard_band(share: float, risks: tuple[str, str], limits: tuple[str, str],
               unsure: float) -> str:
    """The upper end of a tolerance: tolerance limit, guard band, and the uncertainty of a reading
    at either. `share` and `unsure` are the guard band and the standard uncertainty in shares of
    the tolerance."""
    d = Sketch(192,
               f"Near the upper end of the tolerance. A reading at the tolerance limit {limits[0]} "
               f"is beyond it in {risks[0]} of cases. "
               f"Behind a guard band the last accepted reading is at {limits[1]}, and the risk "
               f"there is {risks[1]}.")
    scale = 150 / max(share, 3 * unsure)
    limit, inner = 226.0, 226.0 - share * scale
    base = 140

    def bell(middle: float, tall: float) -> list[Spot]:
        return [(middle + t / 20 * unsure * scale, base - tall * math.exp(-(t / 20) ** 2 / 2))
                for t in range(-60, 61)]

    spots = bell(inner, 76)
    beyond = [spot for spot in spots if spot[0] >= limit]
    if beyond:
        d.curve([(limit, base), *beyond], f"V{base}Z", fill="currentColor", stroke="none")
    d.hatched(inner, base, limit - inner, 16)
    d.curve(spots, stroke_width=1.6)
    d.curve(bell(limit, 76), stroke_width=1, stroke_dasharray="4 3")
    d.tolerance(4, base, limit - 4, 16)
    d.line(4, base, 336, base)
    d.line(limit, 30, limit, base + 18, stroke_width=2)
    d.acceptance(inner, 44, inner, base + 18)
    d.words(limit, 14, "tolerance limit", "middle", bold=True)
    d.words(limit, 27, f"risk {risks[0]}", "middle")
    d.words(inner, 28, "last accepted" if share else "", "middle", bold=True)
    d.words(inner, 41, f"risk {risks[1]}", "middle")
    d.words((inner + limit) / 2, base + 31, "guard band")
    d.words(4, base + 31, "← accepted", "start")
    d.words(336, base + 31, "outside →", "end")
    d.words(4, base + 48, "bells: where the true value may lie behind a reading", "start")
    return d.done()


def drift(readings: Sequence[tuple[int, float, float | None]], tolerance: float, unit: str,
          zero: str, line: tuple[Spot, Spot] | None, meets: bool) -> str:
    """Errors found and left over the years, between the limits of the tolerance, with the straight
    line through the last stretch, from a year and an error to another: to a limit, if it `meets`
    one."""
    words = []
    for year, before, after in readings:
        words.append(f"{year} found {before:+g}" + ("" if after is None else f", left {after:+g}"))
    steady = ""
    if line:
        (start, low), (end, high) = line
        steady = f"{(high - low) / (end - start):+.1f} {unit} a year".replace("-", "−")
        words.append(f"the line through the last ones, {steady}, "
                     + (f"meets a limit between {math.floor(end)} and {math.ceil(end)}" if meets
                        else "meets no limit soon"))
    d = Sketch(196, f"Errors over the years, between limits of plus and minus {tolerance:g} "
               f"{unit}: " + "; ".join(words) + ".")
    first = readings[0][0]
    last = max(readings[-1][0], math.ceil(line[1][0]) if line else 0) + 0.3
    left, right, middle, tall = 44, 330, 84, 58

    def x(year: float) -> float:
        return left + 14 + (right - left - 20) * (year - first) / (last - first)

    def y(value: float) -> float:
        return middle - tall * value / tolerance

    d.tolerance(left, y(tolerance), right - left, 2 * tall)
    for limit, text in ((tolerance, f"+{tolerance:g}"), (-tolerance, f"−{tolerance:g}")):
        d.words(left - 4, y(limit) + 4, text, "end", bold=True)
    d.expected(left, middle, right, middle)
    d.words(left - 4, middle + 4, "0", "end")
    d.words(4, 14, f"error in {unit}, at {zero}", "start")
    for year in range(first, math.floor(last) + 1):
        d.line(x(year), 148, x(year), 153, stroke_width=0.8)
        d.words(x(year), 165, str(year), size=10)
    before_it = None
    for year, before, after in readings:
        if before_it:
            d.line(*before_it, x(year), y(before), stroke_width=1)
        d.reading(x(year), y(before), 100 * before / tolerance)
        if after is not None:
            down = 5 if after < before else -5
            d.arrow(x(year), y(before) + down, x(year), y(after) - down)
            d.reading(x(year), y(after), 100 * after / tolerance, left=True)
        before_it = (x(year), y(before if after is None else after))
    if line:
        (start, low), (end, high) = line
        d.line(x(start), y(low), x(end), y(high), stroke_width=1.4, stroke_dasharray="2 3")
        d.words(170, 180, f"dotted: the line through the last ones, {steady}")
    d.words(170, 193, "● as found,  ◇ as left after an adjustment")
    return d.done()


def mornings(errors: Sequence[float], limits: tuple[float, float], first: int, unit: str,
             zero: str) -> str:
    """A check standard's error each morning, between limits from the `first` mornings."""
    low, high = limits
    out = [n for n, error in enumerate(errors, 1) if not low <= error <= high]
    d = Sketch(168,
               f"The error of a check standard on {len(errors)} mornings, in {unit}. Limits from "
               f"the first {first}: {low:+.1f} and {high:+.1f}. "
               + (f"Morning {', '.join(map(str, out))} lies outside." if out
                  else "All lie inside."))
    left, right, middle, tall = 48, 330, 80, 46
    centre = (low + high) / 2
    widest = max(high - centre, *(abs(error - centre) for error in errors))

    def x(n: float) -> float:
        return left + (right - left) * n / (len(errors) + 1)

    def y(value: float) -> float:
        return middle - tall * (value - centre) / widest

    d.words(4, 14, f"error in {unit}, at {zero}", "start")
    for limit in limits:
        d.line(left, y(limit), right, y(limit), stroke_width=1.6)
        d.words(left - 4, y(limit) + 4, f"{limit:+.1f}".replace("-", "−"), "end", bold=True)
    d.line(left, middle, right, middle, stroke_width=0.6)
    d.line(x(first + 0.5), 24, x(first + 0.5), 136, stroke_width=0.8, stroke_dasharray="2 3")
    for n, error in enumerate(errors, 1):
        if n not in out:
            d.inside(x(n), y(error), 3.6)
        else:
            d.outside(x(n), y(error))
            d.words(x(n) - 7, y(error) + 4, "out", "end", bold=True)
    d.words((left + x(first + 0.5)) / 2, 148, "first series")
    d.words(right + 6, 148, "each morning since", "end")
    d.words(170, 164, "thick: limits from the first series, mean ± 3 s")
    return d.done()
