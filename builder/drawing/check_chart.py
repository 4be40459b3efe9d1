"""The control chart of a standard's check, as SVG that needs no colour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.drawing.results import Plot
from builder.drawing.svg import shortened, usual_width

WIDTH = 300     # so that its letters are read on a phone 360 px wide
_TOP, _BOTTOM, _AXIS, _RIGHT = 42.0, 190.0, 30.0, WIDTH - 8.0
MOST_SIGMAS, MOST_SHOWN = 5.0, 90


@dataclass(frozen=True, slots=True)
class ChartSpot:
    """A reading in standard deviations from the mean; `void` ones count for nothing."""

    day: str
    off: float
    alarm: bool = False
    void: bool = False


def check_chart(title: str, spots: Sequence[ChartSpot]) -> str:
    """The last readings in their order, with lines at the mean and at two and three σ; a cross is
    an alarm, a hollow diamond is void, an arrow points at what lies off the picture."""
    shown = list(spots)[-MOST_SHOWN:]
    if not shown:
        return ""
    to = Plot()
    to.words(0, 11, shortened(title, WIDTH / 1.1, usual_width), kind="bold")
    _legend(to)
    step = (_RIGHT - _AXIS - 12) / max(1, len(shown) - 1)

    def y(off: float) -> float:
        return (_TOP + _BOTTOM) / 2 - off / MOST_SIGMAS * (_BOTTOM - _TOP) / 2
    for line in (-3, -2, 0, 2, 3):
        to.line(_AXIS, y(line), _RIGHT, y(line), "tick" if abs(line) == 3 else "grid")
        to.words(_AXIS - 5, y(line) + 3.5, f"{'+' if line > 0 else '−' if line else ''}{abs(line)}"
                 f"{'σ' if line else ''}", "end")
    to.box(_AXIS, _TOP, _RIGHT - _AXIS, _BOTTOM - _TOP, "edge")
    for n, spot in enumerate(shown):
        x = _AXIS + 6 + step * n
        if not math.isfinite(spot.off) or abs(spot.off) > MOST_SIGMAS:
            side = -1 if spot.off < 0 else 1
            to.pointing(x, y(side * MOST_SIGMAS), side > 0, spot.void)
        elif spot.alarm:
            to.outside(x, y(spot.off))
        else:
            to.reading(x, y(spot.off), 0, spot.void)
    to.words(_AXIS, _BOTTOM + 15, shown[0].day)
    to.words(_RIGHT, _BOTTOM + 15, shown[-1].day, "end")
    alarms = sum(one.alarm for one in shown)
    return to.done(WIDTH, _BOTTOM + 22, f"{title}: {len(shown)} readings from {shown[0].day} to "
                   f"{shown[-1].day} about their mean; {alarms or 'none'} with an alarm.")


def _legend(to: Plot) -> None:
    x = 0.0
    for name in ("read", "alarm", "void"):
        if name == "alarm":
            to.outside(x + 5, 23.5)
        else:
            to.reading(x + 5, 23.5, 0, name == "void")
        to.words(x + 14, 27, name)
        x += 14 + usual_width(name) + 8
