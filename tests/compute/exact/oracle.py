"""The rules of acceptance limits once more, written from their description alone and by brute
force: every reading that the display can show is walked, and every reason to refuse is looked at by
itself. Slow and plain on purpose; nothing of `builder.compute` is called, only the tables' numbers
are read. """

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction as F
from math import lcm


@dataclass
class Answer:
    """`must`: reasons that forbid a limit. `may`: reasons that the rules leave room for (rows of
    one range that differ beyond it). A limit is allowed only where `must` is empty."""

    range: object
    must: set[str]
    may: set[str]
    accepted: list[int]


def tolerance(on, row, x: F, growth: F = F(1)) -> F:
    a = row.accuracy
    return growth * (abs(x) * a.percent_of_reading / 100 + a.counts * on.resolution + on.base
                     * a.percent_of_range / 100 + a.fixed)


def readings(on, shows_minus: bool) -> range:
    """All that the display can show on a range, in counts."""
    top = int(on.highest / on.resolution)
    return range(-top if shows_minus else 0, top + 1)


def walk(on, x: F, t: F, shows_minus: bool) -> list[int]:
    """The readings within t of x, each one looked at; in whole numbers, since fractions are
    slow."""
    whole = lcm(x.denominator, t.denominator, on.resolution.denominator)
    x, t, r = int(x * whole), int(t * whole), int(on.resolution * whole)
    return [n for n in readings(on, shows_minus) if -t <= n * r - x <= t]


def answer(function, x: F, hertz: F | None, *, forced=None, growth: F = F(1)) -> Answer:
    must: set[str] = set()
    may: set[str] = set()
    size = abs(x)
    if x < 0 and not function.shows_minus:
        must.add("no-minus")
    if x == 0 and not function.has_zero:
        must.add("no-zero")
    # lowest first
    on = forced or next((one for one in function.ranges if size <= one.highest), None)
    if on is None or size > on.highest:
        return Answer(on, must | {"beyond-range"}, may, [])
    if 0 < size < on.resolution:
        must.add("below-one-count")
    if on.lowest is not None and size < on.lowest:
        must.add("below-lowest")

    rows_here = [r for r in on.rows
                 if r.frequency is None or r.frequency[0] <= hertz <= r.frequency[1]]
    covering = [r for r in rows_here if r.values is None or r.values[0] <= size <= r.values[1]]
    if not rows_here:
        must.add("frequency-outside")
    elif not covering:
        must.add("value-outside")
    accepted: list[int] = []
    if covering:
        t = min(tolerance(on, r, x, growth) for r in covering)
        if size + t > on.highest:
            must.add("tolerance-past-range")
        accepted = walk(on, x, t, function.shows_minus)
        if not accepted:
            must.add("nothing-displayable")
        if x != 0 and 0 in accepted:
            must.add("accepts-zero")
    if forced is None and function.autoranging:
        _unclear(function, on, x, hertz, growth, covering, must, may)
    return Answer(on, must, may, accepted)


def _unclear(function, on, x, hertz, growth, covering, must, may) -> None:
    size, at = abs(x), function.ranges.index(on)
    if on.up is not None and size > on.up and at + 1 < len(function.ranges):
        must.add("unclear-range")
        # Going up, the meter may be on the next range: what forbids a limit there may be named as
        # well.
        may |= answer(function, x, hertz, forced=function.ranges[at + 1], growth=growth).must
    for below in function.ranges[:at]:
        of_frequency = [r for r in below.rows if r.frequency is None
                        or r.frequency[0] <= hertz <= r.frequency[1]] or list(below.rows)
        of_value = [r for r in of_frequency
                    if r.values is None or r.values[0] <= size <= r.values[1]]
        loosest = max(tolerance(below, r, x, growth) for r in of_frequency)
        tightest = min(tolerance(below, r, x, growth) for r in (of_value or of_frequency))
        # |x| − T there is at or below that range's highest reading
        if below is function.ranges[at - 1] and size - tightest <= below.highest:
            must.add("unclear-range")
        if size - loosest <= below.highest:
            may.add("unclear-range")
    if at + 1 < len(function.ranges):
        above = function.ranges[at + 1]
        ups = [on.up, above.down]
        # between down-range and up-range readings
        if above.down is not None and above.down <= size:
            must.add("unclear-range")
        if on.up is not None and size == on.up:
            must.add("unclear-range")
        if any(v is not None for v in ups):
            may.add("unclear-range")
    if on.down is not None and at and size <= on.down:
        must.add("unclear-range")
    if on.down is not None and at:
        may.add("unclear-range")
