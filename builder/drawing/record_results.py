"""Pictures of a record's errors, as SVG that needs no colour."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from builder.drawing.results import (FOUND, LEFT, MOST, WHISKER, WIDTH, Plot, beyond, one_line,
                                     percent_said, reach, short_name, within)
from builder.drawing.svg import usual_width
from builder.numbers.exact_text import NARROW, minus

_TOP, _RIGHT = 46.0, WIDTH - 4.0
_TALLEST = 840.0      # rows of one picture, so that it fits on a sheet of paper


@dataclass(frozen=True, slots=True)
class ResultPoint:
    """A point of a record: under which heading, its name (step, or what is applied), the errors as
    found and as left (None where nothing was read, ∞ for an overload), and U."""

    group: str
    name: str
    found: float | None = None
    left: float | None = None
    expanded: float | None = None

    @property
    def both(self) -> bool:
        return self.found is not None and self.left is not None

    @property
    def height(self) -> float:
        """Of its row."""
        return 22.0 if self.both else 13.0


def record_picture(points: Sequence[ResultPoint]) -> str:
    """The error at every point with U on both sides, a picture a group in their order; a frame is
    the tolerance. What lies beyond the picture is an arrow at its edge with the number."""
    parts, margin = [], max([24.0, *(usual_width(short_name(p.name)) + 8 for p in points)])
    for group, members in groupby(points, key=lambda p: p.group):
        pages: list[list[ResultPoint]] = [[]]
        for p in members:
            if sum(row.height for row in pages[-1]) + p.height > _TALLEST:
                pages.append([])
            pages[-1].append(p)
        parts += [_page(group, rows, n > 0, margin) for n, rows in enumerate(pages)]
    return f'<div class="plots">{"".join(parts)}</div>' if parts else ""


def _page(group: str, points: Sequence[ResultPoint], more: bool, left: float) -> str:
    bottom = _TOP + sum(p.height for p in points)
    signs = ([FOUND] * any(p.found is not None for p in points)
             + [LEFT] * any(p.left is not None for p in points)
             + [WHISKER] * any(p.expanded for p in points))
    to = Plot(group, ", continued" if more else "", signs, 28)

    def x(percent: float) -> float:
        return left + (_RIGHT - left) * (within(percent) + MOST) / (2 * MOST)

    for percent in (-50, 0, 50):
        to.line(x(percent), _TOP, x(percent), bottom, "grid")
    for percent in (-100, 0, 100):
        to.words(x(percent), _TOP - 4, minus(str(percent)) + NARROW + "%", "middle")
    to.box(x(-100), _TOP, x(100) - x(-100), bottom - _TOP, "frame")
    y = _TOP
    for p in points:
        middle = y + p.height / 2
        to.words(left - 6, middle + 3.5, short_name(p.name), "end")
        if p.found is None and p.left is None:
            to.words(x(0), y + 10, "–", "middle", "over")
        if p.found is not None:
            _across(to, p.found, p.expanded, x, y + 6.0 if p.both else middle, False)
        if p.left is not None:
            _across(to, p.left, p.expanded, x, y + 16.0 if p.both else middle, True)
        y += p.height
    return to.done(bottom + 4, _spoken(group, points))


def _across(to: Plot, percent: float, expanded: float | None, x: Callable[[float], float],
            y: float, left: bool) -> None:
    """A reading in its row: sign and whiskers, or an arrow at the edge."""
    if beyond(percent):
        side = -1 if percent < 0 else 1
        edge = x(side * MOST)
        to.arrow(edge, y, side, 0, left)
        to.words(edge - side * 10, y + 3.5, percent_said(percent), "end" if side > 0 else "start",
                 "over")
        return
    for side in (-1, 1) if expanded else ():
        reached = percent + side * expanded
        start, end = x(percent) + side * reach(left), x(reached)
        if (end - start) * side > 0:
            cap = () if beyond(reached) else ("M", end, y - 2.5, "v5")
            to.path("M", start, y, "H", end, *cap, kind="whisker")
    to.sign(x(percent), y, left)


def _spoken(group: str, points: Sequence[ResultPoint]) -> str:
    sentences = [
        f"{one_line(group)}, errors at {len(points)} point{'s' * (len(points) != 1)} in percent "
        "of the tolerance."]
    for word, of in (("As found", lambda p: p.found), ("As left", lambda p: p.left)):
        read = [p for p in points if of(p) is not None]
        if read:
            worst = max(read, key=lambda p: math.inf if math.isnan(of(p)) else abs(of(p)))
            failed = sum(not abs(of(p)) <= 100 for p in read)
            sentences.append(
                f"{word} the largest is {percent_said(of(worst))}, at {one_line(worst.name)}; "
                f"{failed or 'none'} beyond the tolerance.")
    return " ".join(sentences)
