"""Recommended points: all accepted, and what completeness asks for."""

import random
from fractions import Fraction as F

import pytest

from builder.compute.exact.points import Refused, judge
from builder.compute.exact.recommend import recommended
from tests.compute.exact.tables import (DECADE, ac, acc, dc, random_function, range_, row, warm,
                                        warm_range)


def everything(applied, frequency) -> None:
    """A source without limits."""


def reach(volts=None, hertz=None):
    def allowed(applied, frequency):
        if (volts is not None and abs(applied) > F(volts)) or (
                hertz is not None and frequency is not None and frequency > F(hertz)):
            raise Refused("beyond-reach")
    return allowed


def values(points, on, hertz=None):
    return [p.applied for p in points if p.range is on and p.frequency == hertz]


@pytest.mark.thorough
def test_every_recommended_point_is_accepted():
    """On hostile tables every point given is judged without a refusal on the range it was given
    for; none stands twice; and every row without a point is handed back as missing or can't be
    reached by any tighter-row rule."""
    rng, given = random.Random(21), 0
    for _ in range(250):
        function = warm(random_function(rng), F(rng.choice((1, 1, 2))))
        points, missing = recommended(function=function, allowed=everything)
        assert len(points) == len(set(points))
        for p in points:
            found = judge(function=function, applied=p.applied, frequency=p.frequency,
                          wanted=p.range)
            assert (p.applied / p.range.resolution).denominator == 1
            assert found.range is p.range
            given += 1
        for one in missing:
            assert one.row in one.range.rows and isinstance(one.refused, Refused)
    assert given > 600


def test_dc_gets_zero_low_middle_and_high_on_one_range_and_high_on_the_others():
    """Zero, a low, a middle and a high point on one range for linearity, one high point of about 90
    % of full scale on the others, and both polarities."""
    points, missing = recommended(function=DECADE, allowed=everything)
    first, *others = DECADE.ranges
    assert values(points, first) == [F(0), F("0.06"), F("0.3"), F("0.54"), F("-0.54")]
    assert [values(points, on)
            for on in others] == [[F(v), F("-" + v)] for v in ("5.4", "54", "540")]
    assert missing == []


def test_a_function_without_a_minus_gets_one_polarity():
    """Where no minus can be shown, no negative point is recommended."""
    points, _ = recommended(function=dc(*DECADE.ranges, shows_minus=False), allowed=everything)
    assert min(p.applied for p in points) == 0


AC = ac(range_("0.6", "0.0001", row(acc("1", "3"), ("40", "400")),
               row(acc("2", "3"), ("400", "1000")), lowest="0.03"),
        range_("6", "0.001", row(acc("1", "3"), ("40", "400")),
               row(acc("2", "3"), ("400", "20000")), lowest="0.3"),
        range_("600", "0.1", row(acc("1", "3"), ("40", "400")), lowest="30"))


def test_ac_gets_the_edges_of_each_row_and_the_highest_frequency_of_every_range():
    """The lowest and the highest frequency of each AC row and the highest specified frequency on
    every AC range have a high point, and zero is never among them."""
    points, missing = recommended(function=AC, allowed=everything)
    assert missing == [] and all(p.applied != 0 for p in points)
    for on in AC.ranges:
        edges = {f for r in on.rows for f in r.frequency}
        high = {p.frequency for p in points
                if p.range is on and p.applied == on.full_scale * 9 / 10}
        assert high == edges
    assert values(points, AC.ranges[0], F(40)) == [F("0.06"), F("0.3"), F("0.54")]


def test_every_row_is_covered():
    """Each accuracy row of the everyday tables is the one that gave the limit of some point."""
    for function in (DECADE, AC):
        points, _ = recommended(function=function, allowed=everything)
        judged = [judge(function=function, applied=p.applied, frequency=p.frequency, wanted=p.range)
                  for p in points]
        assert {(j.range, j.row)
                for j in judged} == {(on, r) for on in function.ranges for r in on.rows}


def test_parts_of_a_range_are_each_covered():
    """Rows for parts of a range each get a point inside their part."""
    table = dc(range_("10", "0.01", row(acc("1", "3"), values=("0", "2")),
                      row(acc("2", "3"), values=("2", "6")),
                      row(acc("3", "3"), values=("6", "10"))))
    points, missing = recommended(function=table, allowed=everything)
    rows = {judge(function=table, applied=p.applied).row for p in points}
    assert rows == set(table.ranges[0].rows) and missing == []


def test_a_short_reach_lowers_the_share_of_the_range():
    """Where the source ends below 90 % of the range, the next lower share that it reaches is
    taken."""
    points, _ = recommended(function=DECADE, allowed=reach(volts="500"))
    assert values(points, DECADE.ranges[3]) == [F(480), F(-480)]


def test_a_range_out_of_reach_is_missing_with_the_reason():
    """Where nothing of a range can be applied, its row is handed back with the refusal."""
    points, missing = recommended(function=DECADE, allowed=reach(volts="59"))
    assert [(m.range, m.refused.code) for m in missing] == [(DECADE.ranges[3], "beyond-reach")]
    assert not values(points, DECADE.ranges[3])
    _, missing = recommended(function=AC, allowed=reach(volts="29"))
    assert [(m.range, m.frequency, m.refused.code)
            for m in missing] == [(AC.ranges[2], 400, "beyond-reach")]


def test_a_frequency_out_of_reach_is_not_passed_over_in_silence():
    """Compensation is per range: where the highest frequency of a range can't be applied, the
    nearest one that can is recommended, or the row is handed back as missing."""
    table = ac(range_("6", "0.001", row(acc("1", "3"), ("40", "20000")), lowest="0.3"))
    points, missing = recommended(function=table, allowed=reach(hertz="10000"))
    assert missing or max(p.frequency for p in points) > 40


@pytest.mark.parametrize("full, resolution, counts",
                         [("100000", "1", "10"), ("10000000", "100", "10"), ("1000", "0.1", "80")])
def test_a_frequency_counter_is_tried_just_below_its_ceiling(full, resolution, counts):
    """A counter's last range gets a point within 1 % of its ceiling, if the tolerance leaves room
    for it."""
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


def codes(missing) -> list:
    return [(one.range, one.row, one.frequency, one.refused.code, one.refused.facts)
            for one in missing]


def test_what_is_asked_of_the_source_is_what_is_recommended():
    """Each value is asked for at the frequency that it is applied at, and no other; of a duty cycle
    at each given one."""
    asked = []
    band = range_("6", "0.001", row(acc("1"), frequency=("40", "400")),
                  row(acc("2"), frequency=("400", "1000")))
    points, _ = recommended(function=ac(band), allowed=lambda x, hertz: asked.append((x, hertz)))
    assert {hertz for _, hertz in asked} == {40, 400, 1000} == {p.frequency for p in points}
    asked.clear()
    points, _ = recommended(function=dc(DECADE.ranges[1]), allowed=lambda x,
                            hertz: asked.append((x, hertz)), frequencies=[F(50), F(60)])
    assert {hertz for _, hertz in asked} == {50, 60}
    assert [(p.applied, p.frequency) for p in points] == [
        (0, 50), (F("0.6"), 50), (3, 50), (F("5.4"), 50), (F("-5.4"), 50), (F("5.4"), 60),
        (F("-5.4"), 60)]


def test_a_duty_cycle_is_for_linearity_at_its_first_frequency_only():
    """At 45 Hz nothing can be had here, so there is no low and no middle point. The ends of a row
    that holds for 45 Hz to 1 kHz are not tried for themselves, and none of them is missing."""
    asked = []

    def allowed(x, hertz):
        asked.append(hertz)
        if hertz == 45:
            raise Refused("beyond-reach")
    on = range_("6", "0.001", row(acc("1"), frequency=("45", "1000")))
    duty = dc(on, shows_minus=False, has_zero=False)
    points, missing = recommended(function=duty, allowed=allowed, frequencies=[F(45), F(60)])
    assert [(p.applied, p.frequency) for p in points] == [(F("5.4"), 60)] and missing == []
    points, missing = recommended(function=duty, allowed=allowed, frequencies=[F(45)])
    assert points == [] and len(missing) == 1 and set(asked) == {45, 60}


def test_where_leads_are_taken_off_no_zero_is_recommended():
    """Their reading alone is the zero."""
    for signed in (False, True):
        points, _ = recommended(function=DECADE, allowed=everything, signed=signed)
        assert (0 in values(points, DECADE.ranges[0])) is not signed


def test_the_first_frequency_that_can_be_had_has_the_low_and_the_middle_point():
    """One low and one middle point, where the source can: 40 Hz is refused here."""
    def allowed(x, hertz):
        if hertz == 40:
            raise Refused("beyond-reach")
    band = range_("6", "0.001", row(acc("1"), frequency=("40", "400")))
    points, missing = recommended(function=ac(band), allowed=allowed)
    assert [(p.applied, p.frequency)
            for p in points] == [(F("0.6"), 400), (3, 400), (F("5.4"), 400)]
    assert codes(missing) == [(band, band.rows[0], 40, "beyond-reach", {})]


def test_each_end_of_each_row_that_fails_is_told():
    """Of two ranges and two rows the four ends at 40 Hz and 1 kHz, each with its own reason."""
    def allowed(x, hertz):
        if hertz in (40, 1000):
            raise Refused(f"not at {hertz}")
    two = [range_(full, resolution, row(acc("1"), frequency=("40", "400")),
                  row(acc("2"), frequency=("400", "1000"))) for full,
           resolution in (("6", "0.001"), ("60", "0.01"))]
    _, missing = recommended(function=ac(*two), allowed=allowed)
    assert codes(missing) == [(on, on.rows[n], hertz, f"not at {hertz}", {}) for on in two for n,
                              hertz in ((0, 40), (1, 1000))]


def test_a_row_with_its_ends_out_of_reach_is_tried_in_the_middle():
    """Here 700 Hz of 400 Hz to 1 kHz."""
    def allowed(x, hertz):
        if hertz in (400, 1000):
            raise Refused("beyond-reach")
    on = range_("6", "0.001", row(acc("1"), frequency=("400", "1000")))
    points, missing = recommended(function=ac(on), allowed=allowed)
    # 0.001 + 0.9 × 5.998, cut off
    assert [(p.applied, p.frequency) for p in points] == [(F("5.399"), 700)]
    assert [(one.frequency, one.refused.code)
            for one in missing] == [(400, "beyond-reach"), (1000, "beyond-reach")]


def test_a_part_of_a_range_is_tried_at_shares_of_itself():
    """2 V to 3 V: at 2.9 V first, which is 90 % of the way."""
    on = range_("6", "0.001", row(acc("1"), values=("0", "2")), row(acc("2"), values=("2", "3")),
                row(acc("1"), values=("3", "6")))
    points, missing = recommended(function=dc(on, shows_minus=False), allowed=everything)
    # 3 V belongs to two rows, the tighter counts
    assert [p.applied for p in points] == [0, F("0.6"), 3, F("5.4"), F("2.9")]
    assert missing == []


def test_a_row_behind_a_tighter_one_is_missing_for_that_reason():
    """Where two rows cover the same, the looser is never what counts."""
    on = range_("6", "0.001", row(acc("1")), row(acc("2")))
    _, missing = recommended(function=dc(on), allowed=everything)
    assert codes(missing) == [(on, on.rows[1], None, "tighter-row", {"on": on})]


def test_a_box_gives_what_it_has():
    """The value nearest to each share that is wanted, the smaller of two that are equally near,
    none beyond the display; judged by what the certificate says."""
    on = range_("600", "0.1", acc("0.9", "5"))
    box = {F(n): F(n) + F("0.05") for n in (50, 70, 299, 301, 530, 550, 599, 600, 700)}
    asked = []
    points, missing = recommended(function=dc(on, shows_minus=False), allowed=lambda x,
                                  hertz: asked.append(x), certified=box, signed=True)
    assert [p.applied for p in points] == [50, 299, 530] and not missing
    assert set(asked) <= set(box)


def test_the_last_value_of_a_box_that_the_display_shows():
    """A certified nominal of just the highest reading counts."""
    on = range_("600", "0.1", acc(counts="1"), highest="600")
    points, missing = recommended(function=dc(on, shows_minus=False), allowed=everything,
                                  certified={F(600): F("599.5")}, signed=True)
    assert [p.applied for p in points] == [600] and not missing


def test_a_box_without_a_value_on_a_range_leaves_it_missing():
    """Nothing was refused, there was nothing to try."""
    on = range_("600", "0.1", acc("0.9", "5"))
    points, missing = recommended(function=dc(on), allowed=everything, certified={F(1000): F(1000)},
                                  signed=True)
    assert points == [] and codes(missing) == [(on, on.rows[0], None, "value-outside", {"on": on})]


def test_of_several_refusals_the_most_wanted_value_is_quoted():
    """The first of the values inside the row that were tried last, 0.9 of the way from a count to
    the highest reading."""
    def allowed(x, hertz):
        raise Refused("refused", at=x)
    on = range_("6", "0.001", acc("1"))
    _, missing = recommended(function=dc(on, shows_minus=False), allowed=allowed)
    assert codes(missing) == [(on, on.rows[0], None, "refused", {"at": F("5.399")})]


def test_the_ceiling_of_a_counter_is_asked_for_at_its_own_frequency_and_warmth():
    """Only of the last range; the value just below fits with its grown tolerance."""
    low, high = (warm_range(on, F(3)) for on in (range_("10", "0.01", acc("1")),
                                                 range_("100", "0.1", acc("1"))))
    asked = []
    points, _ = recommended(function=dc(low, high, shows_minus=False, has_zero=False),
                            allowed=lambda x, hertz: asked.append((x, hertz)), frequencies=[F(7)],
                            is_counter=True)
    assert {hertz for _, hertz in asked} == {7}
    tops = [max(p.applied for p in points if p.range is on) for on in (low, high)]
    assert tops == [9, F("96.9")]
    assert F("96.9") * F(103, 100) <= high.highest < F("97") * F(103, 100)


def test_just_below_means_at_the_first_of_three_figures():
    """99.8 of 99.9, since a tolerance of 0.1 just fits."""
    on = range_("100", "0.1", acc(counts="1"))
    points, _ = recommended(function=dc(on, shows_minus=False, has_zero=False), allowed=everything,
                            is_counter=True)
    assert max(p.applied for p in points) == F("99.8")
