"""What the pictures of results have in common: errors and U in percent of the tolerance, as signs
that need no colour.

A shape says what a reading is: a filled circle was found, a hollow diamond left."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from builder.drawing.svg import Drawing, usual_width
from builder.numbers.exact_text import NARROW, minus

# As wide as a phone, and as half of one, so that 10-unit text is read there; on paper 88 mm and
# 44 mm of them are 7 pt.
WIDTH, SMALL = 340, 160
MOST = 150.0          # percent of tolerance shown on each side
FOUND, LEFT, ADJUSTED = "largest, as found", "as left", "adjusted"
EACH = "each point"


def percent_said(percent: float) -> str:
    """Whole percent with a sign; a reading that is no number is overload."""
    if not math.isfinite(percent):
        return "OL"
    return minus(f"{percent:+.0f}") + NARROW + "%"


def one_line(text: str) -> str:
    """Blanks and line breaks as one space; one that keeps a number at its unit stays."""
    return re.sub(r"[^\S\u00a0\u202f]+", " ", text).strip()


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
    """A picture of results."""

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

    def each(self, x: float, y: float) -> None:
        """One of many."""
        self.path("M", x - 3, y, "h6", kind="each")

    def legend(self, entries: Sequence[str], y: float) -> None:
        """What the signs are, in one line."""
        x, middle = 0.0, y - 3.5
        for entry in entries:
            room = 14
            if entry in (FOUND, LEFT):
                self.sign(x + 5, middle, entry == LEFT)
            elif entry == EACH:
                self.each(x + 5, middle)
            else:
                self.line(x + 4, y - 9, x + 4, y + 2, "break")
                room = 10
            self.words(x + room, y, entry)
            x += room + usual_width(entry) + 8

    def done(self, wide: float, high: float, spoken: str) -> str:
        return self.svg("plot", wide, high, spoken)
