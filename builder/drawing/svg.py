"""The one writer of SVG: elements with their numbers rounded and their text escaped, how wide text
gets, and how it is made to fit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from html import escape
from itertools import combinations, pairwise
from math import hypot

SIZE, LINE = 10, 11  # letters and the lines they stand on, in units of the drawing
_ROUND, HOP = 5.0, 2.5   # of a line's corners, and where it hops over another
Spot = tuple[float, float]
Mark = str | float  # what an attribute may hold

_EMS = {**dict.fromkeys("ijlI|.,:;!' ", 0.36), **dict.fromkeys("frt()[]-/", 0.42),
        **dict.fromkeys("mMW@%…", 1.0), **dict.fromkeys("w+−±=<>~", 0.84)}


@lru_cache(maxsize=4096)
def width(text: str) -> float:
    """How wide a text gets in the widest of the usual sans-serifs."""
    return SIZE * sum(_EMS[c] if c in _EMS else 1.05 if c >= "\u1100" else 0.79 if c.isupper()
                      else 0.64 for c in text)


@lru_cache(maxsize=4096)
def label_width(text: str) -> float:
    """The same for the label of a jack or terminal, where leads are near: never less than 0.62 em a
    letter."""
    return max(width(text), 0.62 * SIZE * len(text))


def usual_width(text: str) -> float:
    """About the width in the usual sans-serifs, rather too much than too little."""
    return sum(10.5 if c in "WMm@%Ω…—" or c > "\u2e80" else 2.9 if c in " \u00a0.,:;'|il"
               else 7.4 if c.isupper() else 5.8 for c in text)


def shortened(text: str, room: float, measure: Callable[[str], float] = width,
              dangling: str | None = " ,.-/") -> str:
    """As much of a text as there is room for, then an ellipsis, with none of `dangling`, or no
    space, before it."""
    if measure(text) <= room:
        return text
    while text and measure(text + "…") > room:
        text = text[:-1]
    return text.rstrip(dangling) + "…"


@lru_cache(maxsize=4096)
def wrapped(text: str, room: float, most: int) -> tuple[str, ...]:
    """A name on at most so many lines, broken between words; what is too long ends in an
    ellipsis."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        if len(lines) == most - 1:
            lines.append(shortened(" ".join(words), room))
            break
        line = words.pop(0)
        if width(line) > room:
            lines.append(shortened(line, room))
            break
        while words and width(line + " " + words[0]) <= room:
            line += " " + words.pop(0)
        lines.append(line)
    return tuple(lines)


@lru_cache(maxsize=4096)
def ways(label: str) -> tuple[tuple[bool, float, tuple[str, ...]], ...]:
    """The ways to set a short label on one to four lines: whether a word is cut, the width, the
    lines."""
    label = " ".join(label.split())
    if len(label) > 12:
        label = label[:11] + "…"
    settings = []
    for cuts in range(min(4, len(label) or 1)):
        best: dict[bool, tuple[float, tuple[str, ...]]] = {}
        for breaks in combinations(range(1, len(label)), cuts):
            ends = (0, *breaks, len(label))
            lines = tuple(label[a:b].strip() for a, b in pairwise(ends))
            if not all(lines):
                continue
            cut = any(label[n] != " " and label[n - 1] not in " /" for n in breaks)
            setting = (max(map(label_width, lines)), lines)
            best[cut] = min(best.get(cut, setting), setting)
        settings += [(cut, *setting) for cut, setting in sorted(best.items())]
    return tuple(settings) or ((False, 0.0, ("",)),)


@lru_cache(maxsize=4096)
def set_in(label: str, room: float, cut: bool = True) -> tuple[str, ...]:
    """A label in this room on as few lines as may be, with no word cut if it goes without; the
    narrowest if none fits."""
    fit = [way for way in ways(label) if way[1] <= room and (cut or not way[0])]
    whole = [way for way in fit if not way[0]]
    chosen = (whole or fit
              or [min((w for w in ways(label) if cut or not w[0]), key=lambda way: way[1])])[0]
    return chosen[2]


def widest(lines: Iterable[str]) -> float:
    """The width of the widest of these labels."""
    return max(map(label_width, lines), default=0.0)


def shown(value: Mark) -> str:
    """A coordinate or a length, to a tenth of a unit; text as it is."""
    if isinstance(value, str):
        return value
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def element(tag: str, marks: Mapping[str, Mark], inside: str | None = None) -> str:
    """An element with its attributes, `_` in their names for `-`; those that are empty are left
    out. `inside` is markup."""
    written = "".join(f' {name.replace("_", "-")}="{escape(str(mark))}"'
                      for name, mark in marks.items() if mark != "")
    return f"<{tag}{written}/>" if inside is None else f"<{tag}{written}>{inside}</{tag}>"


class Drawing:
    """An SVG that grows. An element has a class, for a style sheet, or attributes of its own;
    those in `pen` are of every shape that brings no other."""

    def __init__(self, **pen: Mark) -> None:
        self.pen, self.parts = pen, list[str]()

    def _shape(self, tag: str, kind: str, places: Mapping[str, Mark],
               marks: Mapping[str, Mark]) -> None:
        self.parts.append(element(tag, {"class": kind, **places, **self.pen, **marks}))

    def line(self, x1: Mark, y1: Mark, x2: Mark, y2: Mark, kind: str = "",
             **marks: Mark) -> None:
        places = {"x1": shown(x1), "y1": shown(y1), "x2": shown(x2), "y2": shown(y2)}
        self._shape("line", kind, places, marks)

    def box(self, x: Mark, y: Mark, wide: Mark, high: Mark, kind: str = "",
            **marks: Mark) -> None:
        places = {"x": shown(x), "y": shown(y), "width": shown(wide), "height": shown(high)}
        self._shape("rect", kind, places, marks)

    def circle(self, x: Mark, y: Mark, radius: float, kind: str = "", **marks: Mark) -> None:
        self._shape("circle", kind, {"cx": shown(x), "cy": shown(y), "r": shown(radius)}, marks)

    def path(self, *steps: Mark, kind: str = "", **marks: Mark) -> None:
        """A path of letters and numbers, or of longer pieces that are written already."""
        words = " ".join(step if isinstance(step, str) else shown(step) for step in steps).strip()
        self._shape("path", kind, {"d": re.sub(" ?([A-Za-z]) ?", r"\1", words)}, marks)

    def curve(self, spots: Iterable[Spot], end: str = "", kind: str = "", **marks: Mark) -> None:
        """Straight from each of these spots to the next, and on by what `end` says."""
        steps = [step for spot in spots for step in ("L", *spot)]
        self.path("M", *steps[1:], end, kind=kind, **marks)

    def bent(self, kind: str, *spots: Spot, over: Iterable[Spot] = ()) -> None:
        """A line through these spots, its corners rounded. On its way to the right it hops over
        what crosses it at the spots `over`."""
        spots = [spot for n, spot in enumerate(spots) if not n or spot != spots[n - 1]]
        hops = sorted(over)

        def straight(ax: float, y: float, bx: float) -> list[Mark]:
            return [step for x, high in hops if high == y and ax < x < bx
                    for step in ("L", x - HOP, y, "A", HOP, HOP, "0 0 1", x + HOP, y)]
        steps: list[Mark] = ["M", *spots[0]]
        for (ax, ay), (bx, by), (cx, cy) in zip(spots, spots[1:], spots[2:], strict=False):
            first, second = hypot(bx - ax, by - ay), hypot(cx - bx, cy - by)
            cut = min(HOP + 1.5 if hops else _ROUND, first / 2, second / 2)
            steps += [*straight(ax, ay, bx),
                      "L", bx - (bx - ax) * cut / first, by - (by - ay) * cut / first,
                      "Q", bx, by, bx + (cx - bx) * cut / second, by + (cy - by) * cut / second]
        (ax, ay), (bx, by) = spots[-2:]
        self.path(*steps, *straight(ax, ay, bx), "L", bx, by, kind=kind)

    def text(self, x: Mark, y: Mark, text: str, kind: str = "", **marks: Mark) -> None:
        self.parts.append(element("text", {"class": kind, "x": shown(x), "y": shown(y), **marks},
                                  escape(text)))

    def lines(self, x: float, top: float, lines: Sequence[str], anchor: str = "",
              bold: bool = False) -> float:
        """Lines of text below `top`; returns where the next would begin."""
        for n, line in enumerate(lines):
            self.text(x, top + LINE * n + 8.5, line, "bold" if bold else "", text_anchor=anchor)
        return top + LINE * len(lines)

    def svg(self, name: str, wide: float, high: float, spoken: str, **marks: Mark) -> str:
        """The drawing as it stands, with what it says to those who don't see it."""
        return element("svg", {"class": name, "viewBox": f"0 0 {shown(wide)} {shown(high)}",
                               "role": "img", "aria-label": spoken, **marks}, "".join(self.parts))
