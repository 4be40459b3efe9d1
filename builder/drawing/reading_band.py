"""A reading in its tolerance, small enough for a line of a table and wide enough for a phone: a
band with a mark, drawn by the style sheet of reports at the places that are worked out here."""

from __future__ import annotations

import math
from dataclasses import dataclass

MOST = 150.0    # percent of the tolerance shown on each side
# The mark says more than its place, without colour: a dot inside the tolerance, a cross outside, a
# triangle that points to where the reading would be beyond the picture.
INSIDE, OUTSIDE, BELOW, ABOVE = "inside", "outside", "below", "above"


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
    """HTML for a cell beside one that says the percentage, so it is nothing to be read aloud."""
    parts = ['<i class="tol"></i>']
    parts += [f'<i class="limit" style="left:{place:g}%"></i>' for place in band.guard]
    if band.sure:
        start, end = band.sure
        parts.append(f'<i class="sure" style="left:{start:g}%;width:{end - start:.4g}%"></i>')
    parts.append(f'<i class="at {band.mark}" style="left:{band.place:g}%"></i>')
    return f'<span class="band" aria-hidden="true">{"".join(parts)}</span>'
