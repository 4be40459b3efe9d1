"""Readings that look like a slip of the pen: past the end of the range, with a lost sign, with a
lost decimal point. None is judged until whoever wrote it says that the display showed it.

What counts as such is a choice of this project. `pages/assets/verdict.js` has the same rules."""

from __future__ import annotations

from fractions import Fraction

from builder.formats.sheet_data import PointData

PAST_THE_END, LOST_SIGN, LOST_POINT = "past-the-end", "lost-sign", "lost-point"
_NEAR = Fraction(1, 10)     # of the value applied
_MOST = 6                   # places that a point can be lost by


def slip(point: PointData, value: Fraction) -> str:
    """The kind of slip that a displayed value looks like, in the point's unit; "" for none. What
    is accepted is no slip, and an observation may show anything."""
    if point.is_observation or (
            point.accept and point.accept.low.number <= value <= point.accept.high.number):
        return ""
    applied = (point.expected or point.apply).number
    if applied:
        if value and _is_near(-value, applied):
            return LOST_SIGN
        if not _is_near(value, applied) and value * applied > 0 and any(
                _is_near(value * factor, applied) for n in range(1, _MOST + 1)
                for factor in (10 ** n, Fraction(1, 10 ** n))):
            return LOST_POINT
    return PAST_THE_END if point.highest and abs(value) > point.highest.number else ""


def _is_near(value: Fraction, applied: Fraction) -> bool:
    return abs(value - applied) <= _NEAR * abs(applied)
