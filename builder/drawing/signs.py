"""The signs of a reading in its tolerance and of a display, which mean the same in every picture:
in a report's line, a point's card, a history, the evidence and the lessons. What they look like
stands in the style sheet of all pages, `look.css`, by the class of each."""

from __future__ import annotations

from builder.drawing.svg import Drawing, Mark

# A reading's sign says more than its place, without colour: a dot inside the tolerance, a cross
# outside, a triangle that points to where it would be beyond the picture.
INSIDE, OUTSIDE, BELOW, ABOVE = "inside", "outside", "below", "above"
LETTERS = {OUTSIDE: "✗", BELOW: "◀", ABOVE: "▶"}
MOST = 150.0    # percent of the tolerance that a picture shows on each side


def reach(left: bool) -> float:
    """Of a reading's sign from its middle, in units; a diamond looks as large as a dot if it is a
    little larger."""
    return 4.0 if left else 3.2


class Signs(Drawing):
    """A drawing that has them. A place is a number of units, or text that is written as it is, such
    as a percentage."""

    def tolerance(self, x: Mark, y: Mark, wide: Mark, high: Mark, **marks: Mark) -> None:
        """The band: all errors within the tolerance."""
        self.box(x, y, wide, high, "tol", **marks)

    def expected(self, x1: Mark, y1: Mark, x2: Mark, y2: Mark) -> None:
        """Where no error is."""
        self.line(x1, y1, x2, y2, "mid")

    def acceptance(self, x1: Mark, y1: Mark, x2: Mark, y2: Mark) -> None:
        """An acceptance limit inside the tolerance."""
        self.line(x1, y1, x2, y2, "limit")

    def unsure(self, x1: Mark, y1: Mark, x2: Mark, y2: Mark) -> None:
        """±U as a bar."""
        self.line(x1, y1, x2, y2, "sure")

    def inside(self, x: Mark, y: Mark, radius: float = 4) -> None:
        self.circle(x, y, radius, "at-inside")

    def outside(self, x: float, y: float, half: float = 4) -> None:
        """The cross, as a path."""
        self.path("M", x - half, y - half, "L", x + half, y + half, "M", x - half, y + half,
                  "L", x + half, y - half, kind="at-outside")

    def lettered(self, mark: str, x: Mark) -> None:
        """A cross or a triangle halfway up, as a letter: no path stands at a percentage."""
        self.text(x, "50%", LETTERS[mark], f"at-{mark}", dy=".36em")

    def pointing(self, x: float, y: float, up: bool, left: bool = False) -> None:
        """A triangle whose tip, at x and y, points off the picture; hollow as left."""
        back = y + 7 if up else y - 7
        self.curve([(x, y), (x - 3.6, back), (x + 3.6, back)], "Z",
                   "left" if left else f"at-{ABOVE if up else BELOW}")

    def reading(self, x: float, y: float, error: float, left: bool = False) -> None:
        """An error in percent of the tolerance that the picture shows: a dot or a cross as found;
        a hollow diamond as left, with the cross in it outside the tolerance."""
        half = reach(left)
        if left:
            self.curve([(x - half, y), (x, y - half), (x + half, y), (x, y + half)], "Z", "left")
        if abs(error) > 100:
            self.outside(x, y, half / 2 if left else half)
        elif not left:
            self.inside(x, y, half)

    def display(self, x: float, y: float, digits: str, unit: str) -> None:
        """A display, 136 by 36 units, with a number and its unit."""
        self.box(x, y, 136, 36, "display", rx=4)
        self.text(x + 102, y + 26, digits, "digits", text_anchor="end", font_size=22)
        self.text(x + 107, y + 26, unit, text_anchor="start", font_size=11)
