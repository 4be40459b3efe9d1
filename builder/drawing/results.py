"""What the pictures of results have in common: errors and U in percent of the tolerance, as signs
that need no colour.

A shape says what a reading is: a filled circle was found, a hollow diamond left."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from builder.drawing.svg import Drawing, shortened, usual_width
from builder.numbers.exact_text import NARROW, minus

# as wide as a phone, so that its 10-unit text is read there; on paper 88 mm of it are 7 pt
WIDTH = 340
MOST = 150.0          # percent of tolerance shown on each side
FOUND, LEFT, WHISKER, ADJUSTED, BAND = "as found", "as left", "U", "adjusted", "drift"


def percent_said(percent: float) -> str:
    """Whole percent with a sign; a reading that is no number is overload."""
    if not math.isfinite(percent):
        return "OL"
    return minus(f"{percent:+.0f}") + NARROW + "%"


def one_line(text: str) -> str:
    """Blanks and line breaks as one space; one that keeps a number at its unit stays."""
    return re.sub(r"[^\S\u00a0\u202f]+", " ", text).strip()


def short_name(text: str, room: float = 96.0) -> str:
    """As much of a name as there is room for."""
    return shortened(one_line(text), room, usual_width, dangling=None)


def within(percent: float) -> float:
    """The nearest percent of the tolerance that a picture shows."""
    return max(-MOST, min(MOST, percent))


def beyond(percent: float) -> bool:
    """Whether an error lies outside of the picture."""
    return math.isnan(percent) or abs(percent) > MOST


def reach(left: bool) -> float:
    """Of a sign from its middle: a diamond looks as large as a circle if it is a little larger."""
    return 4.0 if left else 3.2


class Plot(Drawing):
    """A picture of results, under its title and the legend of its signs."""

    def __init__(self, title: str, more: str, entries: Sequence[str], legend: float,
                 band: str = "") -> None:
        super().__init__()
        room = (WIDTH - 1.1 * usual_width(more)) / 1.1
        self.words(0, 11, short_name(title, room) + more, kind="bold")
        self._legend(entries, legend, band)

    def words(self, x: float, y: float, text: str, anchor: str = "start",
              kind: str = "plain") -> None:
        self.text(x, y, one_line(text), kind, text_anchor=anchor)

    def sign(self, x: float, y: float, left: bool) -> None:
        """Filled circle: as found. Hollow diamond: as left."""
        r = reach(left)
        if left:
            self.curve([(x - r, y), (x, y - r), (x + r, y), (x, y + r)], "Z", "left")
        else:
            self.circle(x, y, r, "found")

    def arrow(self, x: float, y: float, dx: int, dy: int, left: bool) -> None:
        """A triangle that points off the picture with its tip at x, y; filled or hollow as the
        sign would be."""
        back, half = 7, 3.6
        self.curve([(x, y), (x - dx * back + dy * half, y - dy * back + dx * half),
                    (x - dx * back - dy * half, y - dy * back - dx * half)],
                   "Z", "left" if left else "found")

    def _legend(self, entries: Sequence[str], y: float, band: str) -> None:
        """What the signs are, in one line."""
        x, middle = 0.0, y - 3.5
        for entry in entries:
            room = 21
            if entry in (FOUND, LEFT):
                self.sign(x + 5, middle, entry == LEFT)
                room = 14
            elif entry == WHISKER:
                self.path("M", x, middle, "h16m0 -2.5v5m-16 -5v5", kind="whisker")
            elif entry == ADJUSTED:
                self.line(x + 4, y - 9, x + 4, y + 2, "break")
                room = 10
            else:
                self.box(x, middle - 4, 16, 8, "band")
                self.line(x, middle, x + 16, middle, "drift")
            words = band if entry == BAND else entry
            self.words(x + room, y, words)
            x += room + usual_width(words) + 8

    def done(self, high: float, spoken: str) -> str:
        return self.svg("plot", WIDTH, high, spoken)
