"""What the lessons' pictures have in common: one colour, that of the text around them, and a width
at which their letters are as large as those of a phone's small print."""

from __future__ import annotations

import math

from builder.drawing.signs import Signs
from builder.drawing.svg import Mark

WIDTH, LETTER = 340, 11


class Sketch(Signs):
    """A picture that says in words what it shows."""

    def __init__(self, height: float, says: str) -> None:
        super().__init__(fill="none", stroke="currentColor", stroke_width=1.2)
        self.height, self.says = height, says

    def hatched(self, x: float, y: float, width: float, height: float, gap: float = 5) -> None:
        """Slanted lines inside a box, each cut at its edges."""
        for n in range(1, int((width + height) / gap) + 1):
            s = n * gap   # the line x − x0 + y − y0 = s
            left, right = max(0, s - height), min(width, s)
            if right > left:
                self.line(x + left, y + s - left, x + right, y + s - right, stroke_width=0.7)

    def shaded(self, x: float, y: float, width: float, height: float, shade: float,
               **marks: Mark) -> None:
        """A box filled with a tint."""
        self.box(x, y, width, height, fill="currentColor", fill_opacity=shade, **marks)

    def dot(self, x: float, y: float, filled: bool = True, radius: float = 3.2) -> None:
        self.circle(x, y, radius, fill="currentColor" if filled else "none")

    def arrow(self, x1: float, y1: float, x2: float, y2: float) -> None:
        length = math.hypot(x2 - x1, y2 - y1) or 1
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        self.line(x1, y1, x2, y2)
        self.curve([(x2 - 5 * ux - 3 * uy, y2 - 5 * uy + 3 * ux), (x2, y2),
                    (x2 - 5 * ux + 3 * uy, y2 - 5 * uy - 3 * ux)])

    def words(self, x: float, y: float, text: str, anchor: str = "middle", bold: bool = False,
              size: float = LETTER, **marks: Mark) -> None:
        self.text(x, y, text, text_anchor=anchor, font_size=size,
                  font_weight="700" if bold else "", **marks)

    def done(self) -> str:
        return self.svg("lesson", WIDTH, self.height, self.says, font_family="sans-serif",
                        font_size=LETTER, fill="currentColor", stroke_linejoin="round")
