"""A meter's accuracy table as a picture: tolerance over value, both in decades, so that a row which
is ten times too large or too small stands a whole decade beside its neighbours. Needs no colour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.drawing.svg import Drawing, usual_width

_WIDE, _HIGH, _LEFT, _RIGHT, _TOP, _BOTTOM = 360.0, 246.0, 58.0, 344.0, 24.0, 204.0
_LETTERS = 12               # of the drawing's units, which are pixels on a phone
_PARTS = 12                 # of a line, which is bent in decades
# by the frequencies of a row
_DASHES = ("", "6 3", "2 3", "9 3 2 3", "4 2 1 2 1 2", "12 4", "1 5", "12 3 3 3")
_MOST_DECADES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class AccuracyLine:
    """One row on one range: T = slope·x + offset from `low` to `high`, in the unit without prefix;
    what it holds for beside that, such as its frequencies, "" for everything."""

    range: str
    low: float
    high: float
    slope: float
    offset: float
    holds: str = ""

    def at(self, value: float) -> float:
        return self.slope * value + self.offset


@dataclass(frozen=True, slots=True)
class Decades:
    """An axis in decades, from 10^first to 10^last, between two places of the drawing."""

    first: int
    last: int
    start: float
    end: float

    def place(self, value: float) -> float:
        share = (math.log10(value) - self.first) / (self.last - self.first)
        return self.start + (self.end - self.start) * min(1.0, max(0.0, share))

    @property
    def marks(self) -> range:
        """Every decade, or every second or third where there are many."""
        return range(self.first, self.last + 1, 1 + (self.last - self.first) // 7)


def _decades(values: Sequence[float], start: float, end: float) -> Decades:
    first = math.floor(math.log10(min(values)) + 1e-9)
    last = max(first + 1, math.ceil(math.log10(max(values)) - 1e-9))
    return Decades(max(first, last - _MOST_DECADES), last, start, end)


def in_decade(power: int, unit: str) -> str:
    """10^power of a unit as it is written: 10^-2 V is '10 mV'."""
    names = {-12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G"}
    if unit in ("%", "°C", "°F"):
        return f"{'0.' + '0' * (-power - 1) + '1' if power < 0 else 10 ** power}\u00a0{unit}"
    step = max(-12, min(9, 3 * math.floor(power / 3)))
    number = "1" + "0" * (power - step) if power >= step else f"{10.0 ** (power - step):g}"
    return f"{number}\u00a0{names[step]}{unit}"


def accuracy_picture(title: str, lines: Sequence[AccuracyLine], unit: str) -> str:
    """The picture of one function; "" for one without a line. `unit` has no prefix."""
    if not lines:
        return ""
    across = _decades([value for one in lines for value in (one.low, one.high)], _LEFT, _RIGHT)
    up = _decades([one.at(value) for one in lines for value in (one.low, one.high)],
                  _BOTTOM, _TOP)
    holds = [text for text in dict.fromkeys(one.holds for one in lines) if text]
    drawn = Drawing(fill="none", stroke="currentColor")
    _axes(drawn, across, up, unit)
    for line in lines:
        dash = _DASHES[holds.index(line.holds) % len(_DASHES)] if line.holds else ""
        steps = [line.low * (line.high / line.low) ** (n / _PARTS) for n in range(_PARTS + 1)]
        drawn.curve([(across.place(value), up.place(line.at(value))) for value in steps],
                    stroke_width=1.8, stroke_dasharray=dash)
        drawn.circle(across.place(line.high), up.place(line.at(line.high)), 2.2,
                     fill="currentColor")
    _names(drawn, across, lines)
    height = _legend(drawn, holds)
    return drawn.svg("accuracy-lines", _WIDE, height, _spoken(title, lines), font_size=_LETTERS,
                     width=int(_WIDE))


def _text(drawn: Drawing, x: float, y: float, text: str, anchor: str = "") -> None:
    drawn.text(x, y, text, fill="currentColor", text_anchor=anchor)


def _axes(drawn: Drawing, across: Decades, up: Decades, unit: str) -> None:
    for power in across.marks:
        x = across.place(10.0 ** power)
        drawn.line(x, _TOP, x, _BOTTOM, stroke_width=0.4, stroke_opacity=0.5)
        name = in_decade(power, unit)
        half = usual_width(name) * _LETTERS / 20
        _text(drawn, min(x, _WIDE - half), _BOTTOM + 18, name, "middle")
    for power in up.marks:
        y = up.place(10.0 ** power)
        drawn.line(_LEFT, y, _RIGHT, y, stroke_width=0.4, stroke_opacity=0.5)
        _text(drawn, _LEFT - 5, y + 4, in_decade(power, unit), "end")


def _names(drawn: Drawing, across: Decades, lines: Sequence[AccuracyLine]) -> None:
    """Each range above the end of its lines, where there is room beside the one before."""
    end = 0.0
    for name, high in sorted({one.range: one.high for one in lines}.items(),
                             key=lambda pair: pair[1]):
        wide = usual_width(name) * _LETTERS / 10
        x = max(across.place(high), wide)
        if x - wide > end:
            _text(drawn, x, _TOP - 8, name, "end")
            end = x + 4


def _legend(drawn: Drawing, holds: Sequence[str]) -> float:
    """Which dashes hold for what; gives the height of the drawing."""
    for n, text in enumerate(holds):
        y = _HIGH + 16 * n
        drawn.line(_LEFT, y - 4, _LEFT + 34, y - 4, stroke_width=1.8,
                   stroke_dasharray=_DASHES[n % len(_DASHES)])
        _text(drawn, _LEFT + 42, y, text)
    return _HIGH + 16 * max(0, len(holds) - 1) + (6 if holds else -18)


def _spoken(title: str, lines: Sequence[AccuracyLine]) -> str:
    ranges = len({one.range for one in lines})
    shares = [100 * one.at(one.high) / one.high for one in lines]
    return (f"Tolerance over value of {title}, both in decades: {ranges} "
            f"range{'' if ranges == 1 else 's'}; at their tops from {min(shares):.2g} to "
            f"{max(shares):.2g} percent of the value.")
