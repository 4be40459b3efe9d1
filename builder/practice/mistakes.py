"""The limits that the common mistakes of the trade would give at a point, for exercises. Nothing
that is printed as a limit comes from here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.display import AcceptedCounts, accepted
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ZERO, Accuracy, line


@dataclass(frozen=True, slots=True)
class Mistaken:
    """Limits in counts of the point's range, and the mistake that they come from; `other` is the
    row, the range or the value that was taken instead of the right one."""

    code: str
    accepted: AcceptedCounts
    other: AccuracyRow | RangeTable | Fraction | None = None


def mistaken_limits(*, judged: JudgedPoint, shows_minus: bool, frequency: Fraction | None = None,
                    neighbours: Sequence[RangeTable] = (),
                    nominal: Fraction | None = None) -> list[Mistaken]:
    """One for each mistake that makes a difference here: never the right limits, none twice, each
    holding a reading.

    `neighbours` are other ranges of the function, `nominal` is the name of a certified value. Where
    two mistakes give the same limits, neither is named: nobody could say which of them it was. """
    on, row, x = judged.range, judged.row, judged.applied
    right, a = judged.accepted, judged.row.accuracy
    mistakes: list[Mistaken] = []

    def wrong(code: str, tolerance: Fraction, around: Fraction = x, other=None) -> None:
        mistakes.append(Mistaken(code, accepted(applied=around, tolerance=tolerance,
                                                resolution=on.resolution,
                                                shows_minus=shows_minus), other))

    def with_accuracy(changed: Accuracy, resolution: Fraction = on.resolution) -> Fraction:
        return line(accuracy=changed, resolution=resolution, base=on.base).at(x)

    t = judged.tolerance
    if a.counts:
        wrong("counts", with_accuracy(replace(a, counts=ZERO)))
    if a.percent_of_reading:
        wrong("percent", with_accuracy(replace(a, percent_of_reading=ZERO)))
        wrong("of-range",
              with_accuracy(replace(a, percent_of_reading=ZERO,
                                    percent_of_range=a.percent_of_range + a.percent_of_reading)))
    if a.percent_of_range:
        wrong("of-reading",
              with_accuracy(replace(a, percent_of_range=ZERO,
                                    percent_of_reading=a.percent_of_reading + a.percent_of_range)))
    if a.fixed:
        wrong("fixed", with_accuracy(replace(a, fixed=ZERO)))
    if a.counts:
        for other in neighbours:
            wrong("count-of-range", with_accuracy(a, other.resolution), other=other)
    for other in on.rows:
        if other is not row:
            code = ("looser-row" if other.covers(applied=x, frequency=frequency) else "row"
                    if not other.covers_frequency(frequency) else "part")
            wrong(code, on.line(other).at(x), other=other)
    if nominal is not None:
        wrong("nominal", t, nominal, nominal)
    if x < 0:
        wrong("sign", t, -x)
    low, high = (x - t) / on.resolution, (x + t) / on.resolution
    mistakes.append(Mistaken("outward", AcceptedCounts(math.floor(low), math.ceil(high))))
    mistakes.append(Mistaken("nearest", AcceptedCounts(_nearest(low), _nearest(high))))
    ends = [(one.accepted.low, one.accepted.high) for one in mistakes]
    return [one for one, its in zip(mistakes, ends, strict=True)
            if its[0] <= its[1] and its != (right.low, right.high) and ends.count(its) == 1
            and (shows_minus or its[0] >= 0)]


def _nearest(value: Fraction) -> int:
    """Halves away from zero, as people round."""
    return math.floor(value + Fraction(1, 2)) if value >= 0 else math.ceil(value - Fraction(1, 2))
