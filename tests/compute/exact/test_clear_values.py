"""The values that a refusal offers instead."""

import random
from fractions import Fraction as F

import pytest

from builder.compute.exact.clear_values import clear_values
from builder.compute.exact.points import Refused, judge
from tests.compute.exact.tables import (DECADE, acc, dc, random_function, random_point, range_,
                                        warm)


def is_clear(function, on, x, hertz) -> bool:
    try:
        judge(function=function, applied=x, frequency=hertz, wanted=on)
    except Refused:
        return False
    return True


def refusals(seed: int, count: int):
    """Random refused points, each with the range that the refusal is about."""
    rng, found = random.Random(seed), 0
    while found < count:
        cold = random_function(rng)
        for _ in range(10):
            x, hertz = random_point(rng, cold)
            function = warm(cold, F(rng.choice((10, 10, 13)), 10))
            try:
                judge(function=function, applied=x, frequency=hertz)
            except Refused as refused:
                if "on" in refused.facts:
                    found += 1
                    yield function, refused.facts["on"], x, hertz


def test_every_offered_value_gets_limits():
    """What a refusal's hint names is accepted on that range, on hostile tables of all kinds."""
    offered = 0
    for function, on, x, hertz in refusals(5, 300):
        for value in clear_values(function=function, on=on, near=x, frequency=hertz):
            assert is_clear(function, on, value, hertz), (function, on, x, hertz, value)
            offered += 1
    assert offered > 150


def nearest_by_walking(function, on, x, hertz) -> F | None:
    sign = -1 if x < 0 else 1
    clear = [n for n in range(1, int(on.highest / on.resolution) + 1)
             if is_clear(function, on, sign * n * on.resolution, hertz)]
    return min((abs(sign * n * on.resolution - x) for n in clear), default=None)


def test_the_offered_value_is_the_nearest_clear_one():
    """Among whole counts of the range none that gets limits is nearer to the refused value than the
    nearest one offered (on displays of up to a hundred counts, all of them walked)."""
    for function, on, x, hertz in refusals(6, 100):
        nearest = nearest_by_walking(function, on, x, hertz)
        offered = clear_values(function=function, on=on, near=x, frequency=hertz)
        assert (min((abs(v - x) for v in offered), default=None)) == nearest, (
            function, on, x, hertz, offered)


def test_zero_is_never_offered_in_place_of_a_value():
    """Zero is a check of its own; a value below half a count is answered with values that show
    something."""
    assert clear_values(function=DECADE, on=DECADE.ranges[0], near=F("0.00004"),
                        frequency=None) == [F("0.0004")]


@pytest.mark.parametrize("x, on, expected", [
    ("0.6", 1, ["0.604"]),        # 0.604 − 0.00332 = 0.60068 > 0.5999; 0.603 isn't
    ("-0.6", 1, ["-0.604"]),
    ("599", 3, ["596.7"]),        # 596.7 + 3.1835 = 599.8835
    ("0.0002", 0, ["0.0004"]),    # 4 counts − (3 counts and a bit) rounds inward to 1 count
])
def test_nearest_clear_values_by_hand(x, on, expected):
    """The nearest clear values on an everyday table, worked out by hand."""
    assert clear_values(function=DECADE, on=DECADE.ranges[on], near=F(x),
                        frequency=None) == [F(v) for v in expected]


def test_a_narrow_clear_window_is_found():
    """A window of 19 clear counts of 6000 is offered too: 2991 − 2990 counts is the first above
    zero, 3009 + 2990 the last on the display."""
    table = dc(range_("6", "0.001", acc(counts="2990")))
    on = table.ranges[0]
    assert [n for n in range(2980, 3020)
            if is_clear(table, on, n * on.resolution, None)] == list(range(2991, 3010))
    assert clear_values(function=table, on=on, near=F("5.9"), frequency=None) == [F("3.009")]
    assert clear_values(function=table, on=on, near=F("2.9"), frequency=None) == [F("2.991")]


@pytest.mark.parametrize("x, expected",
                         [("601", "607"), ("603.4", "607"), ("1000", "992"), ("994", "992")])
def test_the_offer_on_a_short_last_range(x, expected):
    """A 1000 V range above a 600 V one: 607 V is the first value that no good meter shows on 600 V
    (607 − 7.035 > 599.9), 992 V the last whose tolerance shows."""
    table = dc(range_("600", "0.1", acc("0.5", "40")), range_("1000", "1", acc("0.5", "2")))
    assert clear_values(function=table, on=table.ranges[1], near=F(x),
                        frequency=None) == [F(expected)]
