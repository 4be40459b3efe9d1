"""Faults that may hide in a meter on the bench, what each does to the points of its sheet, and how
many points halving takes to find it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from builder.numbers import exact_text
from builder.numbers.units import decimal_text
from builder.practice.simulated_meter import HiddenError, counts, is_over, shown

if TYPE_CHECKING:
    from builder.practice.simulated_bench import BenchMeter, BenchPoint

# Of each kind: its name, and what it does.
KINDS = {
    "gain": "the gain of one range",
    "whole": "the gain of a whole function",
    "offset": "an offset of a whole function",
    "row": "the frequency response of one range",
    "bow": "a range that bends (wrong in its middle)",
    "leads": "the resistance of a lead",
    "fuse": "a burnt fuse",
    "digit": "a digit that stands still",
    "none": "nothing: the meter is good"}
SIZE = Fraction(3)          # of an error in tolerances, for what it does to the points
OHMS = Fraction(3)          # of a bad lead
LEADS = Fraction(1, 10)     # of good ones, in ohms
LEAST = 4                   # faults that a function has to have, to look for one


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One fault and where it is: a function, one of its ranges, frequencies above the first up to
    the second (the first one too where it is `first`), a jack, or the digit at a place from the
    right that shows the same."""

    kind: str
    said: str
    function: int | None = None
    range: int | None = None
    band: tuple[Fraction, Fraction] | None = None
    first: bool = False
    jack: str = ""
    digit: tuple[int, int] | None = None

    def error(self, bench: BenchMeter, point: BenchPoint, size: Fraction = SIZE) -> HiddenError:
        """What it adds at a point."""
        on = bench.functions[point.function].ranges[point.range]
        here = self.function == point.function
        there = here and self.range == point.range
        gain = on.loose * size
        if self.kind == "digit":
            return HiddenError(stuck=self.digit)
        if self.kind == "whole" and here or self.kind == "gain" and there or (
                self.kind == "row" and there and self._in_band(point.hertz)):
            return HiddenError(gain=gain)
        if self.kind == "offset" and here:
            return HiddenError(offset=on.step * _most_counts(bench, self.function) * size)
        if self.kind == "bow" and there:
            return HiddenError(bow=gain)
        return HiddenError()

    def _in_band(self, hertz: Fraction | None) -> bool:
        low, high = self.band
        return hertz is not None and (low < hertz <= high or self.first and hertz == low)


def _most_counts(bench: BenchMeter, function: int) -> int:
    """An offset that is beyond the tolerance at zero of every range of the function."""
    return max(one.counts for one in bench.functions[function].ranges) + 1


def is_within(bench: BenchMeter, fault: Fault, point: BenchPoint) -> bool:
    """Whether a meter without any other error reads within the limits of a point."""
    function = bench.functions[point.function]
    on, error = function.ranges[point.range], fault.error(bench, point)
    applied = point.input
    if function.quantity == "resistance" and point.less is None and not point.relative:
        applied += OHMS if fault.kind == "leads" else LEADS if point.kind == "together" else 0
    if fault.kind == "fuse" and fault.jack in function.view.jacks(
            function.view.table.ranges[point.range]):
        applied = Fraction(0)
    reading = counts(on=on, applied=applied, error=error, minus=function.view.kind.shows_minus)
    return not is_over(on=on, reading=reading) and (
        point.low <= shown(reading=reading, error=error) <= point.high)


# ---------------------------------------------------------------- which there are

def _possible(bench: BenchMeter, function: int) -> list[Fault]:
    """Whoever reports a fault says at which function."""
    own = bench.functions[function]
    view = own.view
    made = [Fault(kind="none", said=KINDS["none"])]
    if len(own.ranges) > 1:
        made.append(Fault(kind="whole", said="all ranges", function=function))
    if view.kind.shows_minus:
        made.append(Fault(kind="offset", said="all ranges", function=function))
    for k, on in enumerate(view.table.ranges):
        name = f"{exact_text.quantity(view.names[on])} range"
        made.append(Fault(kind="gain", said=name, function=function, range=k))
        made.append(Fault(kind="bow", said=name, function=function, range=k))
        bands = sorted({row.frequency for row in on.rows if row.frequency is not None})
        for band in bands if len(bands) > 1 else ():
            made.append(Fault(kind="row", function=function, range=k, band=band,
                               first=band == bands[0],
                               said=f"{name}, {exact_text.frequencies(band)}"))
    if own.quantity == "resistance":
        made.append(Fault(kind="leads", said="the leads"))
    jacks = {jack for on in view.table.ranges for jack in view.jacks(on)}
    made += [Fault(kind="fuse", said=f"jack {jack}", jack=jack) for fuse in bench.meter.fuses
              for jack in fuse.jacks if jack in jacks and own.quantity == "current"]
    return [*made, Fault(kind="digit", said="the display", digit=(2, 8))]


def candidates(bench: BenchMeter, function: int) -> tuple[list[int], list[tuple[Fault, str]]]:
    """The places of a function's points, and the faults that they tell apart, each with what it
    makes of every point: '1' where it is within its limits. Of several that do the same to all
    points the first stays; what none of them shows goes."""
    places = [n for n, point in enumerate(bench.points) if point.function == function]
    kept: dict[str, Fault] = {}
    for fault in _possible(bench, function):
        pattern = "".join("1" if is_within(bench, fault, bench.points[n]) else "0"
                          for n in places)
        if fault.kind == "none" and "0" in pattern:
            return places, []       # no meter without an error: nothing could be told
        kept.setdefault(pattern, fault)
    return places, [(fault, pattern) for pattern, fault in kept.items()]


def halving(patterns: Sequence[str], own: str) -> int:
    """How many points it takes to tell one pattern from all others, if each next point is the one
    that splits what is left most evenly (of several the first)."""
    left, taken = list(patterns), 0
    while len(left) > 1:
        split = [sum(one[n] == "1" for one in left) for n in range(len(own))]
        best = min(range(len(own)), key=lambda n: abs(2 * split[n] - len(left)))
        left = [one for one in left if one[best] == own[best]]
        taken += 1
    return taken


def areas(bench: BenchMeter) -> list[dict[str, Any]]:
    """As data: the functions in which a fault may be looked for, each with its points and its
    faults, and the points that halving takes to each."""
    made = []
    for n, function in enumerate(bench.functions):
        places, faults = candidates(bench, n)
        if len(faults) >= LEAST:
            patterns = [pattern for _, pattern in faults]
            made.append({"f": n, "said": function.view.title, "points": places,
                         "faults": [_as_data(bench, one, halving(patterns, pattern))
                                    for one, pattern in faults]})
    return made


def _as_data(bench: BenchMeter, fault: Fault, taken: int) -> dict[str, Any]:
    held = {"kind": fault.kind, "said": fault.said, "f": fault.function, "r": fault.range,
            "band": fault.band and [decimal_text(end) for end in fault.band],
            "first": fault.first or None, "jack": fault.jack or None, "digit": fault.digit,
            "halving": taken,
            "counts": _most_counts(bench, fault.function) if fault.kind == "offset" else None}
    return {name: value for name, value in held.items() if value is not None}
