"""The limits that a mistake makes: each worked out from the data sheet's terms in the words of the
mistake."""

import math
import random
from fractions import Fraction as F

from builder.compute.exact.accuracy_table import AccuracyRow
from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.pieces import Addition
from builder.compute.exact.points import Refused, judge
from builder.practice.mistakes import mistaken_limits
from tests.compute.exact.tables import (DECADE, ac, acc, dc, random_function, random_point, range_,
                                        row)


def inward(x, t, r, minus) -> tuple[int, int]:
    """Every count within, by the definition; a display without a minus has none below 0."""
    return (math.ceil((x - t) / r) if minus
            else max(0, math.ceil((x - t) / r))), math.floor((x + t) / r)


def half_up(x: F) -> int:
    """Halves away from zero."""
    return int(x + F(1, 2)) if x >= 0 else -int(-x + F(1, 2))


def by_words(judged, minus, hertz, neighbours, nominal) -> list[tuple]:
    """All mistakes with their limits, before any is left out."""
    on, x, r, f = judged.range, judged.applied, judged.range.resolution, judged.range.base
    a = judged.row.accuracy
    p, c, q, d = a.percent_of_reading * abs(
        x) / 100, a.counts * r, a.percent_of_range * f / 100, a.fixed
    found = []
    if c:
        found.append(("counts", p + q + d, x, None))
    if p or a.percent_of_reading:
        found += [("percent", c + q + d, x, None),
                  ("of-range", a.percent_of_reading * f / 100 + c + q + d, x, None)]
    if q:
        found.append(("of-reading", p + c + a.percent_of_range * abs(x) / 100 + d, x, None))
    if d:
        found.append(("fixed", p + c + q, x, None))
    if c:
        found += [("count-of-range", p + q + d + a.counts * other.resolution, x, other)
                  for other in neighbours]
    for other in on.rows:
        if other is not judged.row:
            b = other.accuracy
            at_this = other.frequency is None or (
                hertz is not None and other.frequency[0] <= hertz <= other.frequency[1])
            in_part = other.values is None or other.values[0] <= abs(x) <= other.values[1]
            found.append(("looser-row" if at_this and in_part else "part" if at_this else "row",
                          b.percent_of_reading * abs(x) / 100 + b.counts * r + b.percent_of_range
                          * f / 100 + b.fixed, x, other))
    t = p + c + q + d
    if nominal is not None:
        found.append(("nominal", t, nominal, nominal))
    if x < 0:
        found.append(("sign", t, -x, None))
    limits = [(code, inward(around, size, r, minus), other) for code, size, around, other in found]
    limits.append(("outward", (math.floor((x - t) / r), math.ceil((x + t) / r)), None))
    limits.append(("nearest", (half_up((x - t) / r), half_up((x + t) / r)), None))
    return limits


CODES = {"counts", "percent", "of-range", "of-reading", "fixed", "count-of-range", "looser-row",
         "row", "part", "nominal", "sign", "outward", "nearest"}


def test_every_mistake_as_its_words_have_it():
    """On random tables: the same codes, limits and other things; none that is right, empty, below a
    display, or two at once."""
    rng, codes, left_out = random.Random(31), set(), 0
    for _ in range(4000):
        function = random_function(rng)
        x, hertz = random_point(rng, function)
        try:
            judged = judge(function=function, applied=x, frequency=hertz)
        except Refused:
            continue
        minus = function.shows_minus
        neighbours = [one for one in function.ranges if one is not judged.range]
        nominal = rng.choice((None, x + judged.range.resolution * rng.randint(1, 3), x))
        whole = by_words(judged, minus, hertz, neighbours, nominal)
        ends = [limits for _, limits, _ in whole]
        right = (judged.accepted.low, judged.accepted.high)
        wanted = [(code, limits, other) for code, limits, other in whole
                  if limits[0] <= limits[1] and limits != right and ends.count(limits) == 1
                  and (minus or limits[0] >= 0)]
        found = mistaken_limits(judged=judged, shows_minus=minus, frequency=hertz,
                                neighbours=neighbours, nominal=nominal)
        assert [(one.code, (one.accepted.low, one.accepted.high), one.other)
                for one in found] == wanted, judged
        codes |= {code for code, _, _ in wanted}
        left_out += len(whole) - len(wanted)
    assert codes == CODES and left_out > 500


def named(function, x, hertz=None, **more) -> dict:
    judged = judge(function=function, applied=F(x), frequency=None if hertz is None else F(hertz))
    return {one.code: (one.accepted.low, one.accepted.high)
            for one in mistaken_limits(judged=judged, shows_minus=function.shows_minus,
                                       frequency=None if hertz is None else F(hertz), **more)}


def test_by_hand():
    """3 V ± (0.4 % + 2 counts) of 1 mV: right are 2986 to 3014."""
    assert named(dc(DECADE.ranges[1]), "3") == {"counts": (2988, 3012), "percent": (2998, 3002),
                                                "of-range": (2974, 3026)}
    assert named(dc(DECADE.ranges[1]),
                 "-3") == {"counts": (-3012, -2988), "percent": (-3002, -2998),
                           "of-range": (-3026, -2974), "sign": (2986, 3014)}
    # 3.001 ± 0.014004: 2987 to 3015, and so it is to the nearest.
    assert named(dc(DECADE.ranges[1]), "3.001",
                 nominal=F(3)) == {"counts": (2989, 3013), "percent": (2999, 3003),
                                   "of-range": (2975, 3027), "nominal": (2986, 3014),
                                   "outward": (2986, 3016)}
    assert named(dc(DECADE.ranges[1]), "3",
                 neighbours=[DECADE.ranges[2]])["count-of-range"] == (2968, 3032)


def test_the_other_rows_by_hand():
    """A row of another frequency, one of another part of the range, and a looser one that holds
    here too."""
    band = ac(range_("6", "0.001", row(acc("1", "5"), frequency=("40", "400")),
                     row(acc("3", "5"), frequency=("400", "1000")), lowest="0.3"))
    assert named(band, "3", "50")["row"] == (2905,
                                             3095) and "looser-row" not in named(band, "3", "50")
    assert named(band, "3", "400")["looser-row"] == (2905, 3095)
    part = dc(range_("6", "0.001", row(acc("1", "5"), values=("0", "2")),
                     row(acc("3", "5"), values=("2.5", "6"))))
    assert named(part, "1")["part"] == (965, 1035)


def test_a_mistake_keeps_what_it_is_about():
    """The neighbour, the row or the nominal value that was taken."""
    function = dc(DECADE.ranges[1])
    found = mistaken_limits(judged=judge(function=function, applied=F("3.001")), shows_minus=True,
                            neighbours=[DECADE.ranges[2]], nominal=F("3.02"))
    others = {one.code: one.other for one in found}
    assert others["count-of-range"] is DECADE.ranges[2] and others["nominal"] == F(
        "3.02") and others["counts"] is None
    assert all(isinstance(one.accepted, AcceptedCounts) for one in found)


def test_what_is_added_is_forgotten_and_sides_are_mixed_up():
    """3 V at 1 % up and 6 % down, 30 and 180 mV, and 10 counts more below 4 V: without them, the
    sides exchanged, and the tolerance up for both."""
    one = AccuracyRow(accuracy=acc("1"), below=acc("6"), additions=(
        Addition(accuracy=acc(counts="10"), values=(None, F(4))),))
    on = range_("6", "0.001", one)
    judged = judge(function=dc(on), applied=F(3))
    assert (judged.accepted.low, judged.accepted.high) == (2810, 3040)
    made = {m.code: (m.accepted.low, m.accepted.high)
            for m in mistaken_limits(judged=judged, shows_minus=True)}
    assert made["addition"] == (2820, 3030)
    assert made["sides"] == (2960, 3190) and made["one-side"] == (2960, 3040)
    assert made["percent"] == (2990, 3010)
