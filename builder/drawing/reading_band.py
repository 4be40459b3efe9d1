"""A reading in its tolerance, small enough for a line of a table and wide enough for a phone: a
band with a mark, at the places that are worked out here; its looks are in the style sheet of
reports."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from builder.drawing import svg
from builder.drawing.signs import ABOVE, BELOW, INSIDE, MOST, OUTSIDE, Signs

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
    to = _ground()
    for place in band.guard:
        to.acceptance(f"{place:g}%", "0", f"{place:g}%", "100%")
    if band.sure:
        to.unsure(f"{band.sure[0]:g}%", "50%", f"{band.sure[1]:g}%", "50%")
    _marked(to, band.mark, f"{band.place:g}%")
    return svg.element("svg", {"class": "band", "aria-hidden": "true"}, "".join(to.parts))


def _ground() -> Signs:
    to = Signs()
    to.tolerance("16.667%", "23%", "66.667%", "54%", rx=4)
    to.expected("50%", "0", "50%", "100%")
    return to


def _marked(to: Signs, mark: str, x: str) -> None:
    if mark == INSIDE:
        to.inside(x, "50%")
    else:
        to.lettered(mark, x)


def band_parts() -> dict[str, object]:
    """The same for the script that draws a card's band: `most` percent on each side, the ground
    and, by what it is, each sign with `{x}` for its place."""
    limit, last = Signs(), Signs()
    limit.acceptance("{x}", "0", "{x}", "100%")
    last.circle("{x}", "50%", 5, "last")
    parts: dict[str, object] = {"most": MOST, "ground": "".join(_ground().parts),
                                "limit": limit.parts[0], "last": last.parts[0]}
    for mark in (INSIDE, OUTSIDE, BELOW, ABOVE):
        to = Signs()
        _marked(to, mark, "{x}")
        parts[mark] = to.parts[0]
    return parts


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
