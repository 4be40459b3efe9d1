"""Lines, boxes and letters of the lessons' pictures, as inline SVG in one colour, that of the text
around it.

Every picture is 340 wide, so that its letters are as large as those of a phone's small print, and
says in words what it shows. """

from __future__ import annotations

import math
from html import escape
from typing import Sequence

WIDTH, LETTER = 340, 11
Spot = tuple[float, float]


class Sketch:
    def __init__(self, height: float, says: str):
        self.height, self.says, self.parts = height, says, []

    def line(self, x1: float, y1: float, x2: float, y2: float, wide: float = 1.2,
             dash: str = "") -> None:
        self.path(f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}", wide, dash)

    def path(self, d: str, wide: float = 1.2, dash: str = "") -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<path d="{d}" fill="none" stroke="currentColor" stroke-width="{wide}"{dashed}/>')

    def curve(self, spots: Sequence[Spot], wide: float = 1.2, dash: str = "") -> None:
        self.path("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in spots), wide, dash)

    def box(self, x: float, y: float, width: float, height: float, shade: float = 0,
            wide: float = 1.2) -> None:
        self.parts.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(0, width):.1f}" height="{height:.1f}" '
            f'fill="{"currentColor" if shade else "none"}" '
            f'fill-opacity="{shade}" stroke="currentColor" stroke-width="{wide}"/>')

    def hatched(self, x: float, y: float, width: float, height: float, gap: float = 5) -> None:
        """Slanted lines inside a box, each cut at its edges."""
        for n in range(1, int((width + height) / gap) + 1):
            s = n * gap   # the line x − x0 + y − y0 = s
            left, right = max(0, s - height), min(width, s)
            if right > left:
                self.line(x + left, y + s - left, x + right, y + s - right, 0.7)

    def dot(self, x: float, y: float, filled: bool = True, r: float = 3.2) -> None:
        self.parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r}" '
            f'fill="{"currentColor" if filled else "none"}" stroke="currentColor" '
            'stroke-width="1.2"/>')

    def text(self, x: float, y: float, text: str, anchor: str = "middle", bold: bool = False,
             size: float = LETTER, more: str = "") -> None:
        weight = ' font-weight="700"' if bold else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
            f'font-size="{size:g}"{weight}{more}>{escape(text)}</text>')

    def arrow(self, x1: float, y1: float, x2: float, y2: float, wide: float = 1.2) -> None:
        length = math.hypot(x2 - x1, y2 - y1) or 1
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        self.line(x1, y1, x2, y2, wide)
        self.path(
            f"M{x2 - 5 * ux - 3 * uy:.1f} {y2 - 5 * uy + 3 * ux:.1f}L{x2:.1f} "
            f"{y2:.1f}L{x2 - 5 * ux + 3 * uy:.1f} {y2 - 5 * uy - 3 * ux:.1f}", wide)

    def resistor(self, x: float, y: float, width: float = 40, height: float = 10) -> None:
        self.box(x, y - height / 2, width, height)

    def svg(self) -> str:
        return (
            f'<svg class="lesson" viewBox="0 0 {WIDTH} {self.height:g}" role="img" '
            f'aria-label="{escape(self.says)}" '
            f'font-family="sans-serif" font-size="{LETTER}" fill="currentColor" '
            'stroke-linejoin="round">' + "".join(self.parts) + "</svg>")
