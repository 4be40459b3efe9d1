"""Recommended points: all accepted, and what completeness asks for."""

import random
from fractions import Fraction as F

import pytest

from builder.compute.points import Refused, judge
from builder.compute.recommend import recommended
from tests.compute.tables import DECADE, ac, acc, dc, random_function, range_, row


def everything(applied, frequency) -> None:
    """A source without limits."""


def reach(volts=None, hertz=None):
    def allowed(applied, frequency):
        if (volts is not None and abs(applied) > F(volts)) or (hertz is not None and frequency is not None and frequency > F(hertz)):
            raise Refused("beyond-reach")
    return allowed


def values(points, on, hertz=None):
    return [p.applied for p in points if p.range is on and p.frequency == hertz]


def test_every_recommended_point_is_accepted():
    """On hostile tables every point given is judged without a refusal on the range it was given for; none stands twice;
    and every row without a point is handed back as missing or can't be reached by any tighter-row rule."""
    rng, given = random.Random(21), 0
    for _ in range(250):
        function = random_function(rng)
        growth = F(rng.choice((1, 1, 2)))
        points, missing = recommended(function=function, allowed=everything, growth=growth)
        assert len(points) == len(set(points))
        for p in points:
            found = judge(function=function, applied=p.applied, frequency=p.frequency, wanted=p.range, growth=growth)
            assert (p.applied / p.range.resolution).denominator == 1
            assert found.range is p.range
            given += 1
        for one in missing:
            assert one.row in one.range.rows and isinstance(one.refused, Refused)
    assert given > 600


def test_dc_gets_zero_low_middle_and_high_on_one_range_and_high_on_the_others():
    """Zero, a low, a middle and a high point on one range for linearity, one high point of about 90 % of full scale on
    the others, and both polarities."""
    points, missing = recommended(function=DECADE, allowed=everything)
    first, *others = DECADE.ranges
    assert values(points, first) == [F(0), F("0.06"), F("0.3"), F("0.54"), F("-0.54")]
    assert [values(points, on) for on in others] == [[F(v), F("-" + v)] for v in ("5.4", "54", "540")]
    assert missing == []


def test_a_function_without_a_minus_gets_one_polarity():
    """Where no minus can be shown, no negative point is recommended."""
    points, _ = recommended(function=dc(*DECADE.ranges, shows_minus=False), allowed=everything)
    assert min(p.applied for p in points) == 0


AC = ac(range_("0.6", "0.0001", row(acc("1", "3"), ("40", "400")), row(acc("2", "3"), ("400", "1000")), lowest="0.03"),
        range_("6", "0.001", row(acc("1", "3"), ("40", "400")), row(acc("2", "3"), ("400", "20000")), lowest="0.3"),
        range_("600", "0.1", row(acc("1", "3"), ("40", "400")), lowest="30"))


def test_ac_gets_the_edges_of_each_row_and_the_highest_frequency_of_every_range():
    """The lowest and the highest frequency of each AC row and the highest specified frequency on every AC range have a
    high point, and zero is never among them."""
    points, missing = recommended(function=AC, allowed=everything)
    assert missing == [] and all(p.applied != 0 for p in points)
    for on in AC.ranges:
        edges = {f for r in on.rows for f in r.frequency}
        high = {p.frequency for p in points if p.range is on and p.applied == on.full_scale * 9 / 10}
        assert high == edges
    assert values(points, AC.ranges[0], F(40)) == [F("0.06"), F("0.3"), F("0.54")]


def test_every_row_is_covered():
    """Each accuracy row of the everyday tables is the one that gave the limit of some point."""
    for function in (DECADE, AC):
        points, _ = recommended(function=function, allowed=everything)
        judged = [judge(function=function, applied=p.applied, frequency=p.frequency, wanted=p.range) for p in points]
        assert {(j.range, j.row) for j in judged} == {(on, r) for on in function.ranges for r in on.rows}


def test_parts_of_a_range_are_each_covered():
    """Rows for parts of a range each get a point inside their part."""
    table = dc(range_("10", "0.01", row(acc("1", "3"), values=("0", "2")), row(acc("2", "3"), values=("2", "6")), row(acc("3", "3"), values=("6", "10"))))
    points, missing = recommended(function=table, allowed=everything)
    rows = {judge(function=table, applied=p.applied).row for p in points}
    assert rows == set(table.ranges[0].rows) and missing == []


def test_a_short_reach_lowers_the_share_of_the_range():
    """Where the source ends below 90 % of the range, the next lower share that it reaches is taken."""
    points, _ = recommended(function=DECADE, allowed=reach(volts="500"))
    assert values(points, DECADE.ranges[3]) == [F(480), F(-480)]


def test_a_range_out_of_reach_is_missing_with_the_reason():
    """Where nothing of a range can be applied, its row is handed back with the refusal."""
    points, missing = recommended(function=DECADE, allowed=reach(volts="59"))
    assert [(m.range, m.refused.code) for m in missing] == [(DECADE.ranges[3], "beyond-reach")]
    assert not values(points, DECADE.ranges[3])


def test_a_frequency_out_of_reach_is_not_passed_over_in_silence():
    """Compensation is per range: where the highest frequency of a range can't be applied, the nearest one that can is
    recommended, or the row is handed back as missing."""
    table = ac(range_("6", "0.001", row(acc("1", "3"), ("40", "20000")), lowest="0.3"))
    points, missing = recommended(function=table, allowed=reach(hertz="10000"))
    assert missing or max(p.frequency for p in points) > 40


@pytest.mark.parametrize("full, resolution, counts", [("100000", "1", "10"), ("10000000", "100", "10"), ("1000", "0.1", "80")])
def test_a_frequency_counter_is_tried_just_below_its_ceiling(full, resolution, counts):
    """A counter's last range gets a point within 1 % of its ceiling, if the tolerance leaves room for it."""
    on = range_(full, resolution, acc("0.001", counts))
    table = dc(range_("100", "0.01", acc("0.01", "5")), on, shows_minus=False, has_zero=False)
    points, _ = recommended(function=table, allowed=everything, is_counter=True)
    assert on.highest * 99 / 100 <= max(p.applied for p in points) < on.highest


def test_forced_points_are_judged_forced():
    """With ranges selected by hand a range whose whole span is unclear gets its points too."""
    table = dc(range_("6", "0.01", acc("1", "5")), range_("7", "0.01", acc("30", "3")))
    automatic, missing = recommended(function=table, allowed=everything)
    assert not values(automatic, table.ranges[1]) and missing
    by_hand, missing = recommended(function=table, allowed=everything, force=True)
    assert values(by_hand, table.ranges[1]) and not missing
