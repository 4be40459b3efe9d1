"""Pictures of a group's tolerances, as inline SVG that needs no colour."""

from __future__ import annotations

from collections.abc import Sequence

from builder.drawing.signs import MOST, Signs
from builder.drawing.svg import element

_ROW, _LEFT, _WIDTH, _TOP = 17, 52, 440, 22


def tolerance_picture(points: Sequence) -> str:
    """For each point, in percent of its tolerance: the tolerance (band), the guard band (hatched),
    and the uncertainty of a reading at either acceptance limit (bars)."""
    height = _TOP + _ROW * len(points) + 6
    hatch = "hatch-" + points[0].step.replace(".", "-")  # several pictures stand on one page
    to, stripe = Signs(), Signs(stroke="currentColor", stroke_width=1.2)
    stripe.line(0, 0, 0, 4)
    pattern = {"id": hatch, "width": 4, "height": 4, "patternUnits": "userSpaceOnUse",
               "patternTransform": "rotate(45)"}
    to.parts.append(element("defs", {}, element("pattern", pattern, "".join(stripe.parts))))

    def x(percent: float) -> float:
        """To a tenth, so that widths are those between the edges as they are drawn."""
        within = max(-MOST, min(MOST, percent))
        return round(_LEFT + _WIDTH * (within + MOST) / (2 * MOST), 1)

    for percent in (-100, -50, 0, 50, 100):
        to.text(x(percent), 11, str(percent).replace("-", "−") + " %", text_anchor="middle")
        to.line(x(percent), 15, x(percent), height - 2, "grid")
    for n, point in enumerate(points):
        expanded, guard, decided = point.picture
        y = _TOP + _ROW * n
        limit = 100 * (1 - min(1, guard))
        to.text(_LEFT - 6, y + 10, point.step, text_anchor="end")
        to.tolerance(x(-100), y + 2, x(100) - x(-100), 9)
        if guard:
            for start, end in ((-100, -limit), (limit, 100)) if decided else ((-100, 100),):
                to.box(x(start), y + 2, x(end) - x(start), 9, fill=f"url(#{hatch})")
        for middle in (-limit, limit) if decided else (0,):
            left, right = x(middle - 100 * expanded), x(middle + 100 * expanded)
            to.path("M", left, y + 6.5, "H", right, "M", left, y + 3.5, "v6M", right, y + 3.5, "v6",
                    kind="sure")
    return to.svg("tolerances", _LEFT + _WIDTH + 8, height, _spoken(points))


def _spoken(points: Sequence) -> str:
    worst = max(points, key=lambda p: p.picture[0])
    return (
        f"Tolerance, guard band and uncertainty of {len(points)} points in percent of tolerance; "
        f"the largest uncertainty is {100 * worst.picture[0]:.0f} percent of the tolerance, at "
        f"step {worst.step}.")
