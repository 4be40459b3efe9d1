"""Refusals with all of their facts, at the edges of every rule, and once more by walking every
count of small displays: with leads beside, with a sign, and with a grown accuracy."""

import random
from fractions import Fraction as F
from functools import partial

import pytest

from builder.compute.exact.accuracy_table import InputLimits
from builder.compute.exact.clear_values import clear_values
from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.points import (Refused, judge, on_range, range_for, refuse_beyond_input,
                                          row_for)
from builder.compute.exact.tolerance import Tolerance
from tests.compute.exact.tables import (DECADE, FREQUENCIES, ac, acc, dc, random_function, range_,
                                        row, warm, warm_range)

SIX, SIXTY = DECADE.ranges[1:3]
PARTS = range_("6", "0.001", row(acc("1"), values=("0", "2")), row(acc("2"), values=("3", "6")))
BAND = range_("6", "0.001", row(acc("1"), frequency=("40", "400")))
COARSE = range_("6", "1", acc(counts="0.1"), highest="6")
LIFTED = range_("6", "0.001", acc("0.4", "2"), lowest="1")


def refusal(function, x, hertz=None, **more) -> tuple:
    with pytest.raises(Refused) as caught:
        judge(function=function, applied=F(x), frequency=None if hertz is None else F(hertz),
              **more)
    return caught.value.code, caught.value.facts


def test_each_refusal_has_its_facts():
    """The sentence is made of them: which range, which tolerance, which other range, what leads
    add."""
    assert refusal(DECADE, "3", wanted=SIXTY) == ("other-range", {"wanted": SIXTY, "chosen": SIX})
    assert refusal(dc(SIX, autoranging=False), "7", wanted=SIX) == ("beyond-range", {"on": SIX})
    assert refusal(DECADE, "600") == ("beyond-range", {"on": DECADE.ranges[3]})
    assert refusal(dc(LIFTED), "0.5") == ("below-lowest", {"on": LIFTED})
    assert refusal(dc(SIX), "0.0004") == ("below-one-count", {"on": SIX})
    assert refusal(dc(SIX), "0.002") == (
        "accepts-zero", {"on": SIX, "sides": Tolerance(F("0.002008"), F("0.002008"))})
    assert refusal(dc(SIX), "5.99") == ("tolerance-past-range",
                                        {"on": SIX, "tolerance": F("0.02596"), "beside": 0})
    assert refusal(dc(SIX), "5.9",
                   beside=F("0.1")) == ("leads-past-range",
                                        {"on": SIX, "tolerance": F("0.0256"), "beside": F("0.1")})
    assert refusal(dc(COARSE), "2.5") == (
        "nothing-displayable", {"on": COARSE, "sides": Tolerance(F("0.1"), F("0.1"))})
    assert refusal(ac(BAND), "3", "500") == ("frequency-outside", {"on": BAND, "frequency": 500})
    assert refusal(dc(PARTS), "2.5") == ("value-outside", {"on": PARTS, "frequency": None})
    gap = range_("6", "0.001", row(acc("1"), frequency=("40", "400"), values=("0", "2")))
    assert refusal(ac(gap), "2.5", "50") == ("value-outside", {"on": gap, "frequency": 50})
    assert refusal(DECADE, "0.6") == ("unclear-range", {"on": SIX, "other": DECADE.ranges[0]})
    assert refusal(dc(SIX, shows_minus=False),
                   "-1") == ("no-minus", {}) and refusal(ac(BAND), "0", "50") == ("no-zero", {})
    assert str(Refused("a code", on=SIX)) == "a code"


def test_what_an_input_bears_is_named():
    """And a value that is just that is borne: the limits themselves are allowed."""
    limits = InputLimits(F(600), F(850), F(10_000))
    for x, hertz, code, limit in (("601", None, "beyond-input", 600),
                                  ("600", "17", "beyond-volt-hertz", 10_000)):
        with pytest.raises(Refused) as caught:
            refuse_beyond_input(limits=limits if hertz else InputLimits(F(600)), applied=F(x),
                                frequency=F(hertz) if hertz else None)
        assert (caught.value.code, caught.value.facts) == (code, {"limit": limit})
    with pytest.raises(Refused) as caught:
        refuse_beyond_input(limits=InputLimits(peak=F(850)), applied=F(602), frequency=F(50))
    assert (caught.value.code, caught.value.facts) == ("beyond-peak", {"limit": 850})
    refuse_beyond_input(limits=InputLimits(F(600), F(600), F(600)), applied=F(-600), frequency=None)
    refuse_beyond_input(limits=InputLimits(volt_hertz=F(600)), applied=F(60), frequency=F(10))


def test_a_sine_whose_peak_is_just_borne():
    """No rational amplitude meets a peak of an integer, so the edge stands where both squares are
    whole: 0 meets 0."""
    refuse_beyond_input(limits=InputLimits(peak=F(0)), applied=F(0), frequency=F(50))
    with pytest.raises(Refused):
        refuse_beyond_input(limits=InputLimits(peak=F(0)), applied=F(1, 10**9), frequency=F(50))


def test_the_larger_of_two_ranges_is_named_where_neither_holds_the_value():
    """Of ranges of one position the one that reaches farthest."""
    low, high = range_("6", "0.001", acc("1"),
                       position=("A",)), range_("10", "0.01", acc("1"), position=("B",))
    with pytest.raises(Refused) as caught:
        range_for(function=dc(low, high), applied=F(7), wanted=low)
    assert caught.value.facts == {"on": low}


def test_a_range_that_is_left_before_its_end():
    """An autoranging meter goes up at the up-range reading; one that is set by hand doesn't, and
    the highest range can't."""
    low, high = range_("6", "0.001", acc("0.1"), up="5"), range_("60", "0.01", acc("0.1"), up="50")
    assert range_for(function=dc(low, high), applied=F("5.5")) is high
    assert range_for(function=dc(low, high), applied=F(5)) is low
    assert range_for(function=dc(low, high), applied=F(55)) is high
    assert range_for(function=dc(low, high, autoranging=False), applied=F("5.5")) is low
    assert range_for(function=dc(low, high), applied=F("-5.5"), wanted=low) is high
    assert range_for(function=dc(range_("6", "0.001", acc("0.1"), up="5", position=("A",)), high),
                     applied=F("5.5")).full_scale == 6


def test_what_nobody_asked_for_is_not_assumed():
    """Limits on a range are for the raw reading at the reference temperature, and the range isn't
    selected by hand."""
    found = on_range(function=dc(SIX, shows_minus=False), on=SIX, applied=F(0), frequency=None)
    assert (found.accepted.low, found.accepted.high) == (0, 2)
    assert on_range(function=dc(SIX, shows_minus=False), on=SIX, applied=F(0), frequency=None,
                    signed=True).accepted.low == -2
    assert judge(function=dc(SIX, shows_minus=False), applied=F(0), signed=True).accepted.low == -2
    assert judge(function=dc(SIX, shows_minus=False), applied=F(0)).accepted.low == 0


def test_the_leads_may_reach_the_last_reading_and_no_farther():
    """x + T + leads up to the highest reading; one step more is refused, and for the leads' sake
    only if T alone had room."""
    table = dc(range_("6", "0.001", acc(counts="10")), autoranging=False)
    top, step = F("5.999") - F("0.010"), F(1, 10**6)
    judge(function=table, applied=top - F("0.5"), beside=F("0.5"))
    assert refusal(table, top - F("0.5") + step, beside=F("0.5"))[0] == "leads-past-range"
    assert refusal(table, top, beside=step)[0] == "leads-past-range"
    assert refusal(table, top + step, beside=F(0))[0] == "tolerance-past-range"


def test_the_tighter_row_is_the_tighter_one_at_this_temperature():
    """Accuracies of two rows that cross do so at the same value however warm it is; the line that
    counts is the grown one."""
    for growth in (F(1), F(3)):
        on = warm_range(range_("6", "0.001", row(acc("1", "0")), row(acc("0", "30"))), growth)
        assert row_for(on=on, applied=F("2.9"), frequency=None) is on.rows[0]
        assert row_for(on=on, applied=F("3.1"), frequency=None) is on.rows[1]
        assert on_range(function=dc(on), on=on, applied=F("2"),
                        frequency=None).tolerance == growth * F("0.02")


# ----------------------------------------------- where an autoranging meter may be on another range

def ladder(**more):
    return (range_("6", "0.01", acc(counts="5")), range_("60", "0.1", acc(counts="5"), **more),
            range_("600", "1", acc(counts="5")))


@pytest.mark.parametrize("x, beside, code", [
    # 60 range: below 5.99 + 0.5 the 6 range may still hold it; it goes down at a reading of 8
    ("8.5", 0, "unclear-range"), ("8.6", 0, ""), ("-8.5", 0, "unclear-range"), ("-8.6", 0, ""),
    # it goes up at 50: x + T + leads
    ("49.4", 0, ""), ("49.5", 0, "unclear-range"), ("49.4", "0.1", "unclear-range"),
    ("49.3", "0.1", ""), ("49.3", "-0.1", ""),
])
def test_the_edges_of_a_range_that_is_left_on_both_sides(x, beside, code):
    """Down at 8, up at 50, a tolerance of 0.5: each edge itself is unclear, one step inside it is
    clear; leads push up."""
    ranges = ladder(down="8", up="50")
    try:
        judge(function=dc(*ranges), applied=F(x), beside=F(beside), wanted=ranges[1])
        assert code == ""
    except Refused as refused:
        assert (refused.code,
                refused.facts) == (code,
                                   {"on": ranges[1],
                                    "other": ranges[0] if abs(F(x)) < 20 else ranges[2]})


@pytest.mark.parametrize("x, beside, clear",
                         [("54.9", 0, True), ("55", 0, False), ("54.9", "0.1", False),
                          ("54.8", "0.1", True)])
def test_a_meter_that_comes_down_to_this_range_late(x, beside, clear):
    """It leaves the 600 range at 60 only, which is read ± 5 there: from 55 on it may still be up
    there."""
    low, middle, _ = ladder()
    high = range_("600", "1", acc(counts="5"), down="60")
    try:
        assert judge(function=dc(low, middle, high), applied=F(x),
                     beside=F(beside)).range is middle and clear
    except Refused as refused:
        assert not clear and refused.facts == {"on": middle, "other": high}


def test_the_lowest_range_is_left_downwards_nowhere():
    """A down-range reading of the lowest range means nothing."""
    low, middle, high = range_("6", "0.01", acc(counts="5"), down="3"), *ladder()[1:]
    assert judge(function=dc(low, middle, high), applied=F("2.9")).range is low
    assert judge(function=dc(low, middle, high), applied=F("3.04")).range is low


def test_only_rows_of_this_frequency_say_how_far_the_range_above_may_err():
    """A loose row for other frequencies of the range above makes nothing unclear."""
    low = range_("6", "0.01", row(acc(counts="5"), frequency=("40", "1000")))
    high = range_("60", "0.1", row(acc(counts="5"), frequency=("40", "400")),
                  row(acc("20"), frequency=("400", "1000")), down="6")
    assert judge(function=ac(low, high), applied=F("5.4"), frequency=F(50)).range is low
    assert refusal(ac(low, high), "5.4", "500")[0] == "unclear-range"


def is_clear(x: F, **known) -> bool:
    try:
        return bool(judge(applied=x, **known))
    except Refused:
        return False


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(4))
def test_every_clear_value_by_walking_with_leads_a_sign_and_warmth(seed):
    """The nearest values on both sides that get limits, among all counts of a small display,
    whatever lies between."""
    rng, seen = random.Random(seed), 0
    while seen < 120:
        function = warm(random_function(rng), rng.choice((F(1), F(13, 10), F(3), F(120))))
        on = rng.choice(function.ranges)
        more = {"signed": rng.random() < 0.5,
                "beside": on.resolution * rng.choice((F(0), F(0), F(1, 2), F(1), F(3), F(7)))}
        hertz = rng.choice(FREQUENCIES) if function.is_ac else None
        near = on.resolution * rng.choice((rng.randint(0, int(on.highest / on.resolution) + 4),
                                           rng.randint(0, 5), F(1, 3))) * rng.choice(
                                               (1, 1, -1) if function.shows_minus else (1,))

        clear = partial(is_clear, function=function, frequency=hertz, wanted=on, **more)
        sign = -1 if near < 0 else 1
        walked = [n * on.resolution for n in range(1, int(on.highest / on.resolution) + 1)
                  if clear(sign * n * on.resolution)]
        below, above = [x for x in walked if x < abs(near)], [x for x in walked if x > abs(near)]
        wanted = [sign * x for x in (*below[-1:], *above[:1])]
        assert clear_values(function=function, on=on, near=near, frequency=hertz,
                            **more) == wanted, (function, on, near, hertz, more)
        seen += bool(walked)


@pytest.mark.parametrize("peak_squared, hazardous",
                         [(F("42.4") ** 2, False), (F("42.4") ** 2 + F(1, 10**6), True),
                          (F(85), False), (F("42.4") * 3, False), (F(70_000), True)])
def test_a_peak_is_hazardous_beyond_its_limit_and_not_at_it(peak_squared, hazardous):
    """42.4 V, compared as squares."""
    assert is_hazardous(volts=F(1), ac=True, peak_squared=peak_squared) is hazardous


WIDE = {
    "up and down": (range_("0.6", "0.0001", acc("4", "3", fixed="0.01")),
                    range_("6", "0.001", acc("3", "20"), up="5.5", down="0.7"),
                    range_("60", "0.01", acc("5", "4"), down="5.2")),
    "rows that cross": (range_("0.6", "0.0001", acc("1", "3")),
                        range_("6", "0.001", row(acc("8", "10")), row(acc("2", "200"))),
                        range_("60", "0.01", row(acc("5", "4")), row(acc("1", "40")), down="4")),
    "all of the reading": (range_("0.6", "0.0001", acc("100", "3")),
                           range_("6", "0.001", acc("100"), row(acc("1", "2"), values=("0", "3"))),
                           range_("60", "0.01", acc("2", "4"))),
    "more than the reading": (range_("0.6", "0.0001", acc("150", "3")),
                              range_("6", "0.001", acc("150"),
                                     row(acc("5", "2"), values=("1", "3"))),
                              range_("60", "0.01", acc("1", "4"), down="5")),
    "far above": (range_("0.6", "0.0001", acc("1")),
                  range_("6", "0.001", acc("1", "10"), lowest="1"),
                  range_("60", "0.01", acc("1"), down="3"),
                  range_("600", "0.1", acc("1"), down="2")),
}


@pytest.mark.thorough
@pytest.mark.parametrize("name", WIDE)
@pytest.mark.parametrize("growth, beside", [("1", "0"), ("2", "0"), ("1", "0.3"), ("2.5", "0.15")])
def test_the_nearest_clear_value_among_six_thousand(name, growth, beside):
    """On displays as meters have them, where every edge stands alone: asked from both ends and the
    middle of the range in between."""
    function, beside = warm(dc(*WIDE[name]), F(growth)), F(beside)
    on, step = function.ranges[1], F(1, 1000)

    def clear(n: int) -> bool:
        try:
            return bool(judge(function=function, applied=n * step, wanted=on, beside=beside))
        except Refused:
            return False
    walked = [n for n in range(1, 6000) if clear(n)]
    for near in (F("0.0004"), F("0.5"), F("2.5"), F(3), F("4.5"), F("5.9995")):
        below, above = [n for n in walked
                        if n * step < near], [n for n in walked if n * step > near]
        assert clear_values(function=function, on=on, near=near, frequency=None,
                            beside=beside) == [n * step for n in (*below[-1:], *above[:1])], (
                                near, walked[:3], walked[-3:])
