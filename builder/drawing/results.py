"""What the pictures of results have in common: errors and U in percent of the tolerance, as signs
that need no colour.

A shape says what a reading is: a dot was found, a hollow diamond left."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from builder.drawing.signs import MOST, Signs
from builder.drawing.svg import usual_width
from builder.numbers.exact_text import NARROW, minus

# As wide as a phone, and as half of one, so that 10-unit text is read there; on paper 88 mm and
# 44 mm of them are 7 pt.
WIDTH, SMALL = 340, 160
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


class Plot(Signs):
    """A picture of results."""

    def words(self, x: float, y: float, text: str, anchor: str = "start",
              kind: str = "plain") -> None:
        self.text(x, y, one_line(text), kind, text_anchor=anchor)

    def each(self, x: float, y: float) -> None:
        """One of many."""
        self.path("M", x - 3, y, "h6", kind="each")

    def legend(self, entries: Sequence[str], y: float) -> None:
        """What the signs are, in one line."""
        x, middle = 0.0, y - 3.5
        for entry in entries:
            room = 14
            if entry in (FOUND, LEFT):
                self.reading(x + 5, middle, 0, entry == LEFT)
            elif entry == EACH:
                self.each(x + 5, middle)
            else:
                self.line(x + 4, y - 9, x + 4, y + 2, "break")
                room = 10
            self.words(x + room, y, entry)
            x += room + usual_width(entry) + 8

    def done(self, wide: float, high: float, spoken: str) -> str:
        return self.svg("plot", wide, high, spoken)
