"""The limits that the common mistakes of the trade would give at a point, for exercises. Nothing
that is printed as a limit comes from here."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.display import AcceptedCounts, accepted
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ZERO, Accuracy, Tolerance


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
    """One for each mistake that alone gives its limits here: never the right ones, none twice, each
    holding a reading. Where two mistakes give the same, neither is named: nobody could say which of
    them it was."""
    mistakes = every_mistake(judged=judged, shows_minus=shows_minus, frequency=frequency,
                             neighbours=neighbours, nominal=nominal)
    ends = [(one.accepted.low, one.accepted.high) for one in mistakes]
    right = judged.accepted
    return [one for one, its in zip(mistakes, ends, strict=True)
            if its[0] <= its[1] and its != (right.low, right.high) and ends.count(its) == 1
            and (shows_minus or its[0] >= 0)]


def every_mistake(*, judged: JudgedPoint, shows_minus: bool, frequency: Fraction | None = None,
                  neighbours: Sequence[RangeTable] = (),
                  nominal: Fraction | None = None) -> list[Mistaken]:
    """The limits of each mistake that can be made here, whether they differ or not. `neighbours`
    are other ranges of the function, `nominal` is the name of a certified value."""
    on, row, x = judged.range, judged.row, judged.applied
    a, sides = judged.row.accuracy, judged.sides
    mistakes: list[Mistaken] = []

    def wrong(code: str, within: Tolerance, around: Fraction = x, other=None) -> None:
        mistakes.append(Mistaken(code, accepted(low=around - within.below,
                                                high=around + within.above,
                                                resolution=on.resolution,
                                                shows_minus=shows_minus), other))

    def with_terms(resolution: Fraction = on.resolution, **changed: Any) -> Tolerance:
        """As if both sides of the row had these terms instead of their own."""
        taken = replace(row, accuracy=_changed(row.accuracy, changed),
                        below=row.below and _changed(row.below, changed))
        return replace(on, rows=(taken,), resolution=resolution).tolerance(
            taken, x, judged.frequency)

    def all_of(taken: str, given: str) -> Callable[[Accuracy], Fraction]:
        return lambda accuracy: getattr(accuracy, taken) + getattr(accuracy, given)

    if a.counts:
        wrong("counts", with_terms(counts=ZERO))
    if a.percent_of_reading:
        wrong("percent", with_terms(percent_of_reading=ZERO))
        wrong("of-range", with_terms(percent_of_reading=ZERO, percent_of_range=all_of(
            "percent_of_range", "percent_of_reading")))
    if a.percent_of_range:
        wrong("of-reading", with_terms(percent_of_range=ZERO, percent_of_reading=all_of(
            "percent_of_reading", "percent_of_range")))
    if a.fixed:
        wrong("fixed", with_terms(fixed=ZERO))
    if a.counts:
        for other in neighbours:
            wrong("count-of-range", with_terms(other.resolution), other=other)
    for code, within, other in _of_rows(judged, frequency):
        wrong(code, within, other=other)
    if nominal is not None:
        wrong("nominal", sides, nominal, nominal)
    if x < 0:
        wrong("sign", sides, -x)
    low, high = judged.low / on.resolution, judged.high / on.resolution
    mistakes.append(Mistaken("outward", AcceptedCounts(math.floor(low), math.ceil(high))))
    mistakes.append(Mistaken("nearest", AcceptedCounts(_nearest(low), _nearest(high))))
    return mistakes


def _of_rows(judged: JudgedPoint, frequency: Fraction | None,
             ) -> Iterator[tuple[str, Tolerance, AccuracyRow | None]]:
    """Another row taken, what is added forgotten, the two sides exchanged or one taken for both."""
    on, row, x, sides = judged.range, judged.row, judged.applied, judged.sides
    for other in on.rows:
        if other is not row and not other.typical:
            code = ("looser-row" if other.covers(applied=x, frequency=frequency) else "row"
                    if not other.covers_frequency(frequency) else "part")
            yield code, on.tolerance(other, x, frequency), other
    if row.additions:
        bare = replace(row, additions=())
        yield "addition", replace(on, rows=(bare,)).tolerance(bare, x, judged.frequency), None
    if not sides.is_even:
        yield "sides", Tolerance(sides.above, sides.below), None
        yield "one-side", Tolerance(sides.above, sides.above), None


def _changed(accuracy: Accuracy, changed: Mapping[str, Any]) -> Accuracy:
    return replace(accuracy, **{kind: new(accuracy) if callable(new) else new
                                for kind, new in changed.items()})


def _nearest(value: Fraction) -> int:
    """Halves away from zero, as people round."""
    return math.floor(value + Fraction(1, 2)) if value >= 0 else math.ceil(value - Fraction(1, 2))
