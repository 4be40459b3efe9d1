"""Pictures of results, as inline SVG that needs no colour: a record's errors, and the history of
one point.

Errors and U are in percent of the tolerance. A shape says what a reading is: a filled circle was
found, a hollow diamond left. """

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import Iterator, Sequence

from builder.numbers.exact_text import NARROW, minus

# as wide as a phone, so that its 10-unit text is read there; on paper 88 mm of it are 7 pt
_WIDTH = 340
_MOST = 150.0         # percent of tolerance shown on each side
_TALLEST = 840.0      # rows of one picture, so that it fits on a sheet of paper
_LONGEST = 96.0       # of a point's name
_SIZE = 3.2           # of a sign, from its middle


def _n(value: float) -> str:
    """A coordinate."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _said(percent: float) -> str:
    """Whole percent with a sign; a reading that is no number is overload."""
    if not math.isfinite(percent):
        return "OL"
    return minus(f"{percent:+.0f}") + NARROW + "%"


def _one_line(text: str) -> str:
    """Blanks and line breaks as one space; one that keeps a number at its unit stays."""
    return re.sub(r"[^\S\u00a0\u202f]+", " ", text).strip()


def _long(text: str) -> float:
    """About the width of a text, rather too much than too little."""
    return sum(10.5 if c in "WMm@%Ω…—" or c > "\u2e80" else 2.9 if c in " \u00a0.,:;'|il" else 7.4
               if c.isupper() else 5.8 for c in text)


def _shortened(text: str, room: float = _LONGEST) -> str:
    """As much of a text as there is room for."""
    text = _one_line(text)
    if _long(text) <= room:
        return text
    while text and _long(text) > room - 10.5:
        text = text[:-1]
    return text.rstrip() + "…"


def _title(text: str, more: str = "") -> str:
    return _text(0, 11, _shortened(text, (_WIDTH - 1.1 * _long(more)) / 1.1) + more, kind="bold")


def _text(x: float, y: float, text: str, anchor: str = "start", kind: str = "plain") -> str:
    return (
        f'<text class="{kind}" x="{_n(x)}" y="{_n(y)}" '
        f'text-anchor="{anchor}">{escape(_one_line(text))}</text>')


def _line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="{kind}" x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}"/>'


def _box(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return (
        f'<rect class="{kind}" x="{_n(x1)}" y="{_n(y1)}" width="{_n(x2 - x1)}" '
        f'height="{_n(y2 - y1)}"/>')


def _reach(left: bool) -> float:
    """Of a sign from its middle: a diamond looks as large as a circle if it is a little larger."""
    return _SIZE + 0.8 if left else _SIZE


def _sign(x: float, y: float, left: bool) -> str:
    """Filled circle: as found. Hollow diamond: as left."""
    r = _reach(left)
    if left:
        return (
            f'<path class="left" d="M{_n(x - r)} {_n(y)}L{_n(x)} {_n(y - r)}L{_n(x + r)} '
            f'{_n(y)}L{_n(x)} {_n(y + r)}Z"/>')
    return f'<circle class="found" cx="{_n(x)}" cy="{_n(y)}" r="{_n(r)}"/>'


def _arrow(x: float, y: float, dx: int, dy: int, left: bool) -> str:
    """A triangle that points off the picture with its tip at x, y; filled or hollow as the sign
    would be."""
    back, half = 7, 3.6
    a = (x - dx * back + dy * half, y - dy * back + dx * half)
    b = (x - dx * back - dy * half, y - dy * back - dx * half)
    return (
        f'<path class="{"left" if left else "found"}" d="M{_n(x)} {_n(y)}L{_n(a[0])} '
        f'{_n(a[1])}L{_n(b[0])} {_n(b[1])}Z"/>')


# ---------------------------------------------------------------- a record

@dataclass(frozen=True, slots=True)
class ResultPoint:
    """A point of a record: under which heading, its name (step, or what is applied), the errors as
    found and as left (None where nothing was read, ∞ for an overload), and U."""

    group: str
    name: str
    found: float | None = None
    left: float | None = None
    expanded: float | None = None


def record_picture(points: Sequence[ResultPoint]) -> str:
    """The error at every point with U on both sides, a picture a group in their order; a frame is
    the tolerance. What lies beyond the picture is an arrow at its edge with the number."""
    parts, margin = [], max([24.0, *(_long(_shortened(p.name)) + 8 for p in points)])
    for group, members in groupby(points, key=lambda p: p.group):
        pages: list[list[ResultPoint]] = [[]]
        for p in members:
            if sum(map(_height, pages[-1])) + _height(p) > _TALLEST:
                pages.append([])
            pages[-1].append(p)
        parts += [_record_part(group, rows, n > 0, margin) for n, rows in enumerate(pages)]
    return f'<div class="plots">{"".join(parts)}</div>' if parts else ""


def _both(p: ResultPoint) -> bool:
    return p.found is not None and p.left is not None


def _height(p: ResultPoint) -> float:
    """Of its row."""
    return 22.0 if _both(p) else 13.0


def _record_part(group: str, points: Sequence[ResultPoint], more: bool, left: float) -> str:
    right = _WIDTH - 4.0
    legend = _legend([_FOUND] * any(p.found is not None for p in points) + [_LEFT] * any(
        p.left is not None for p in points)
                     + [_WHISKER] * any(p.expanded for p in points), 28)
    top, out, y = 46.0, [], 46.0

    def at(percent: float) -> float:
        return left + (right - left) * (max(-_MOST, min(_MOST, percent)) + _MOST) / (2 * _MOST)

    for p in points:
        height = _height(p)
        out.append(_text(left - 6, y + height / 2 + 3.5, _shortened(p.name), "end"))
        if p.found is None and p.left is None:
            out.append(_text(at(0), y + 10, "–", "middle", "over"))
        for percent, is_left in ((p.found, False), (p.left, True)):
            if percent is not None:
                middle = y + (height / 2 if not _both(p) else 16.0 if is_left else 6.0)
                out += _across(percent, p.expanded, at, middle, is_left)
        y += height
    frame = [_line("grid", at(p), top, at(p), y) for p in (-50, 0, 50)]
    frame += [_text(at(p), top - 4, minus(str(p)) + NARROW + "%", "middle") for p in (-100, 0, 100)]
    frame.append(_box("frame", at(-100), top, at(100), y))
    title = _title(group, ", continued" if more else "")
    return (
        f'<svg class="plot" viewBox="0 0 {_WIDTH} {_n(y + 4)}" role="img" '
        f'aria-label="{escape(_record_spoken(group, points))}">'
        + title + legend + "".join(frame + out) + "</svg>")


def _across(percent: float, expanded: float | None, at, y: float, left: bool) -> Iterator[str]:
    """A reading in its row: sign and whiskers, or an arrow at the edge."""
    if math.isnan(percent) or abs(percent) > _MOST:
        side = -1 if percent < 0 else 1
        edge = at(side * _MOST)
        yield _arrow(edge, y, side, 0, left)
        yield _text(edge - side * 10, y + 3.5, _said(percent), "end" if side > 0 else "start",
                    "over")
        return
    x = at(percent)
    if expanded:
        for side in (-1, 1):
            end, start = at(percent + side * expanded), x + side * _reach(left)
            if (end - start) * side > 0:
                cap = (f"M{_n(end)} {_n(y - 2.5)}v5" if abs(percent + side * expanded) <= _MOST
                       else "")
                yield f'<path class="whisker" d="M{_n(start)} {_n(y)}H{_n(end)}{cap}"/>'
    yield _sign(x, y, left)


_FOUND, _LEFT, _WHISKER, _ADJUSTED, _BAND = "as found", "as left", "U", "adjusted", "drift"


def _legend(entries: Sequence[str], y: float, band: str = "") -> str:
    """What the signs are, in one line."""
    out, x = [], 0.0
    for one in entries:
        middle = y - 3.5
        if one in (_FOUND, _LEFT):
            out.append(_sign(x + 5, middle, one == _LEFT))
            room = 14
        elif one == _WHISKER:
            out.append(f'<path class="whisker" d="M{_n(x)} {_n(middle)}h16m0 -2.5v5m-16 -5v5"/>')
            room = 21
        elif one == _ADJUSTED:
            out.append(_line("break", x + 4, y - 9, x + 4, y + 2))
            room = 10
        else:
            out.append(_box("band", x, middle - 4, x + 16,
                            middle + 4) + _line("drift", x, middle, x + 16, middle))
            room = 21
        words = band if one == _BAND else one
        out.append(_text(x + room, y, words))
        x += room + _long(words) + 8
    return "".join(out)


def _record_spoken(group: str, points: Sequence[ResultPoint]) -> str:
    said = [
        f"{_one_line(group)}, errors at {len(points)} point{'s' * (len(points) != 1)} in percent "
        "of the tolerance."]
    for word, of in (("As found", lambda p: p.found), ("As left", lambda p: p.left)):
        read = [p for p in points if of(p) is not None]
        if read:
            worst = max(read, key=lambda p: math.inf if math.isnan(of(p)) else abs(of(p)))
            beyond = sum(not abs(of(p)) <= 100 for p in read)
            said.append(
                f"{word} the largest is {_said(of(worst))}, at {_one_line(worst.name)}; "
                f"{beyond or 'none'} beyond the tolerance.")
    return " ".join(said)


_TOP, _BOTTOM, _AXIS, _RIGHT = 40.0, 190.0, 42.0, _WIDTH - 8.0
