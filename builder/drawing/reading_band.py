"""A reading in its tolerance, small enough for a line of a table and wide enough for a phone: a
band with a mark, at the places that are worked out here; its looks are in the style sheet of
reports."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from builder.drawing import svg

MOST = 150.0    # percent of the tolerance shown on each side
# The mark says more than its place, without colour: a dot inside the tolerance, a cross outside, a
# triangle that points to where the reading would be beyond the picture.
INSIDE, OUTSIDE, BELOW, ABOVE = "inside", "outside", "below", "above"
_SIGNS = {OUTSIDE: "✗", BELOW: "◀", ABOVE: "▶"}


@dataclass(frozen=True, slots=True)
class ReadingBand:
    """Of an error in percent of the tolerance: the mark, its place and both ends of ±U, in percent
    of the whole width; `guard` are the acceptance limits where they lie inside the tolerance."""

    mark: str
    place: float
    sure: tuple[float, float] | None
    guard: tuple[float, ...] = ()


def reading_band(*, percent: float, expanded: float | None,
                 guard: tuple[float, ...] = ()) -> ReadingBand:
    """`percent` is ∞ for an overload; `expanded` is U, `guard` the acceptance limits, all in
    percent of the tolerance."""
    mark = (ABOVE if percent > MOST or math.isnan(percent) else BELOW if percent < -MOST
            else OUTSIDE if abs(percent) > 100 else INSIDE)
    sure = ((_place(percent - expanded), _place(percent + expanded))
            if expanded and mark in (INSIDE, OUTSIDE) else None)
    return ReadingBand(mark, _place(percent), sure, tuple(map(_place, guard)))


def _place(percent: float) -> float:
    """In percent of the whole width, the nearest that is shown."""
    shown = max(-MOST, min(MOST, MOST if math.isnan(percent) else percent))
    return round(50 + shown / MOST * 50, 2)


def band_picture(band: ReadingBand) -> str:
    """SVG for a cell beside one that says the percentage, so it is nothing to be read aloud. Its
    width is the cell's: places are in percent, and nothing is scaled."""
    parts = [svg.element("rect", {"class": "tol", "x": "16.667%", "width": "66.667%", "y": "23%",
                                  "height": "54%", "rx": 4}),
             svg.element("line", {"class": "mid", "x1": "50%", "x2": "50%", "y1": 0, "y2": "100%"})]
    parts += [_line("limit", place, place, "0", "100%") for place in band.guard]
    if band.sure:
        parts.append(_line("sure", *band.sure, "50%", "50%"))
    x = f"{band.place:g}%"
    if band.mark == INSIDE:
        parts.append(svg.element("circle", {"class": "at-inside", "cx": x, "cy": "50%", "r": 4}))
    else:
        parts.append(svg.element("text", {"class": f"at-{band.mark}", "x": x, "y": "50%",
                                          "dy": ".36em"}, _SIGNS[band.mark]))
    return svg.element("svg", {"class": "band", "aria-hidden": "true"}, "".join(parts))


def _line(name: str, x1: float, x2: float, y1: str, y2: str) -> str:
    return svg.element("line", {"class": name, "x1": f"{x1:g}%", "x2": f"{x2:g}%", "y1": y1,
                                "y2": y2})


# ---------------------------------------------------------------- as reports had it until 0.3

_OLD = re.compile(r'<span class="band" aria-hidden="true">(.*?)</span>')
_OLD_PART = re.compile(r'<i class="(?:at )?(\w+)" style="left:([\d.]+)%(?:;width:([\d.]+)%)?"></i>')


def drawn_anew(body: str) -> str:
    """The body of a finished report, with each band that stands in it by style attributes, which
    no page allows, drawn like those of today, at the same places."""
    return _OLD.sub(_drawn_anew, body)


def _drawn_anew(old: re.Match) -> str:
    parts = [(name, float(left), float(width or 0))
             for name, left, width in _OLD_PART.findall(old[1])]
    mark, place, _ = parts[-1]
    sure = next(((left, left + width) for name, left, width in parts if name == "sure"), None)
    return band_picture(ReadingBand(mark, place, sure, tuple(
        left for name, left, _ in parts if name == "limit")))
