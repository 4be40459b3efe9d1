"""What small drawings are made of: lettering that is known to fit, lines with rounded corners,
circles and boxes as SVG."""

from __future__ import annotations

from functools import lru_cache
from html import escape
from itertools import combinations
from math import hypot
from typing import Iterable, Sequence

SIZE, LINE = 10, 11  # letters and the lines they stand on, in units of the drawing
_ROUND = 5.0


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


def _shortened(text: str, room: float) -> str:
    if width(text) <= room:
        return text
    while text and width(text + "…") > room:
        text = text[:-1]
    return text.rstrip(" ,.-/") + "…"


@lru_cache(maxsize=4096)
def wrapped(text: str, room: float, most: int) -> tuple[str, ...]:
    """A name on at most so many lines, broken between words; what is too long ends in an
    ellipsis."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        if len(lines) == most - 1:
            lines.append(_shortened(" ".join(words), room))
            break
        line = words.pop(0)
        if width(line) > room:
            lines.append(_shortened(line, room))
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
    found = []
    for cuts in range(min(4, len(label) or 1)):
        best: dict[bool, tuple[float, tuple[str, ...]]] = {}
        for at in combinations(range(1, len(label)), cuts):
            ends = (0, *at, len(label))
            lines = tuple(label[a:b].strip() for a, b in zip(ends, ends[1:]))
            if not all(lines):
                continue
            cut = any(label[n] != " " and label[n - 1] not in " /" for n in at)
            one = (max(map(label_width, lines)), lines)
            best[cut] = min(best.get(cut, one), one)
        found += [(cut, *one) for cut, one in sorted(best.items())]
    return tuple(found) or ((False, 0.0, ("",)),)


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
    return max(map(label_width, lines), default=0.0)


def shown(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


class Drawing:
    """An SVG that grows; nothing in it has a colour or an id."""

    def __init__(self) -> None:
        self.parts: list[str] = []

    def text(self, x: float, top: float, lines: Sequence[str], anchor: str = "",
             bold: bool = False) -> float:
        """Lines of text below `top`; returns where the next would begin."""
        marks = (f' text-anchor="{anchor}"' if anchor else "") + (' class="bold"' if bold else "")
        for n, line in enumerate(lines):
            self.parts.append(
                f'<text x="{shown(x)}" '
                f'y="{shown(top + LINE * n + 8.5)}"{marks}>{escape(line)}</text>')
        return top + LINE * len(lines)

    def box(self, x: float, y: float, wide: float, high: float, radius: float,
            kind: str = "frame") -> None:
        self.parts.append(
            f'<rect class="{kind}" x="{shown(x)}" y="{shown(y)}" width="{shown(wide)}" '
            f'height="{shown(high)}" rx="{shown(radius)}"/>')

    def dot(self, x: float, y: float, radius: float, kind: str) -> None:
        self.parts.append(
            f'<circle class="{kind}" cx="{shown(x)}" cy="{shown(y)}" r="{shown(radius)}"/>')

    def path(self, kind: str, d: str) -> None:
        self.parts.append(f'<path class="{kind}" d="{d}"/>')

    def line(self, kind: str, *points: tuple[float, float]) -> None:
        """A line through these points, its corners rounded."""
        self.path(kind, rounded(points))

    def svg(self, name: str, wide: float, high: float, spoken: str) -> str:
        return (
            f'<svg class="{name}" viewBox="0 0 {shown(wide)} {shown(high)}" role="img" '
            f'aria-label="{escape(spoken)}">'
            + "".join(self.parts) + "</svg>")


def rounded(points: Sequence[tuple[float, float]]) -> str:
    points = [p for n, p in enumerate(points) if not n or p != points[n - 1]]
    out = ["M{} {}".format(*map(shown, points[0]))]
    for before, corner, after in zip(points, points[1:], points[2:]):
        (ax, ay), (bx, by), (cx, cy) = before, corner, after
        first, second = hypot(bx - ax, by - ay), hypot(cx - bx, cy - by)
        cut = min(_ROUND, first / 2, second / 2)
        enter = (bx - (bx - ax) * cut / first, by - (by - ay) * cut / first)
        leave = (bx + (cx - bx) * cut / second, by + (cy - by) * cut / second)
        out.append("L{} {}Q{} {} {} {}".format(*map(shown, (*enter, *corner, *leave))))
    out.append("L{} {}".format(*map(shown, points[-1])))
    return "".join(out)
