"""Pictures drawn by the builder, as inline SVG that needs no colour."""

from __future__ import annotations

from html import escape
from typing import Sequence

_ROW, _LEFT, _WIDTH, _TOP = 17, 52, 440, 22
_MOST = 150.0  # percent of tolerance shown on each side


def tolerance_picture(points: Sequence) -> str:
    """For each point, in percent of its tolerance: the tolerance (frame), the guard band (hatched),
    and the uncertainty of a reading at either acceptance limit (whiskers)."""
    height = _TOP + _ROW * len(points) + 6
    hatch = "hatch-" + points[0].step.replace(".", "-")  # several pictures stand on one page

    def x(percent: float) -> str:
        return f"{_LEFT + _WIDTH * (max(-_MOST, min(_MOST, percent)) + _MOST) / (2 * _MOST):.1f}"

    out = [
        f'<svg class="tolerances" viewBox="0 0 {_LEFT + _WIDTH + 8} {height}" role="img" '
        f'aria-label="{escape(_spoken(points))}">',
        f'<defs><pattern id="{hatch}" width="4" height="4" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)">'
        '<line x1="0" y1="0" x2="0" y2="4" stroke="currentColor" '
        'stroke-width="1.2"/></pattern></defs>']
    for percent in (-100, -50, 0, 50, 100):
        out.append(
            f'<text x="{x(percent)}" y="11" text-anchor="middle">{str(percent).replace("-", "−")} '
            '%</text>'
            f'<line class="grid" x1="{x(percent)}" x2="{x(percent)}" y1="15" y2="{height - 2}"/>')
    for n, point in enumerate(points):
        expanded, guard, decided = point.picture
        y = _TOP + _ROW * n
        limit = 100 * (1 - min(1, guard))
        out.append(
            f'<text x="{_LEFT - 6}" y="{y + 10}" text-anchor="end">{escape(point.step)}</text>')
        if guard:
            for start, end in ((-100, -limit), (limit, 100)) if decided else ((-100, 100),):
                out.append(
                    f'<rect x="{x(start)}" y="{y + 2}" '
                    f'width="{float(x(end)) - float(x(start)):.1f}" height="9" '
                    f'fill="url(#{hatch})"/>')
        out.append(
            f'<rect class="frame" x="{x(-100)}" y="{y + 2}" '
            f'width="{float(x(100)) - float(x(-100)):.1f}" height="9"/>')
        for at in (-limit, limit) if decided else (0,):
            left, right = x(at - 100 * expanded), x(at + 100 * expanded)
            out.append(
                f'<path class="whisker" d="M{left} {y + 6.5}H{right}M{left} {y + 3.5}v6M{right} '
                f'{y + 3.5}v6"/>')
    out.append("</svg>")
    return "".join(out)


def _spoken(points: Sequence) -> str:
    worst = max(points, key=lambda p: p.picture[0])
    return (
        f"Tolerance, guard band and uncertainty of {len(points)} points in percent of tolerance; "
        f"the largest uncertainty is {100 * worst.picture[0]:.0f} percent of the tolerance, at "
        f"step {worst.step}.")
