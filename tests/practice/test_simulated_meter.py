"""The display of the bench on the page, as the builder computes it, against `compute/`. That the
page's script does the same is in tests/pages/test_simulated_bench_js.py."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact import points
from builder.compute.exact.draw import Draw
from builder.compute.exact.points import Refused
from builder.practice.simulated_meter import (HiddenError, SimulatedRange, counts, good_errors,
                                              is_over, range_for, shown, simulated)
from tests.practice.simulated_cases import functions, values

ROUND = SimulatedRange(full_scale=Fraction(6), step=Fraction(1, 1000), highest=Fraction("5.999"))


def test_a_good_meter_reads_within_its_limits_at_every_value(demo_shop):
    """Whatever the seed hides in a good meter and however its last digit moves, no value that
    `compute/` gives limits for reads outside them."""
    draw, tried = random.Random(19), 0
    for _, view in functions(demo_shop):
        on = [simulated(one) for one in view.table.ranges]
        for place, applied, hertz in values(view, draw, 120):
            try:
                judged = points.judge(function=view.table, applied=applied, frequency=hertz,
                                      wanted=view.table.ranges[place], force=True)
            except Refused:
                continue
            error = good_errors(ranges=on, draw=Draw(draw.randrange(10 ** 6)))[place]
            moved = draw.randint(-on[place].moves, on[place].moves)
            reading = counts(on=on[place], applied=applied, error=error, moved=moved,
                             minus=view.table.shows_minus)
            tried += 1
            assert judged.accepted.holds(reading), (view.title, place, applied, hertz)
            assert not is_over(on=on[place], reading=reading)
    assert tried > 5000


def test_a_meter_without_an_error_is_on_the_range_that_compute_has(demo_shop):
    """Coming from zero or from overload, for every value that `compute/` finds clear: the same
    range, and the nearest count."""
    draw, tried = random.Random(7), 0
    for _, view in functions(demo_shop):
        table = view.table
        on = [simulated(one) for one in table.ranges]
        for place, applied, hertz in values(view, draw, 60):
            among = points.siblings(table, table.ranges[place])
            if not table.autoranging:
                continue
            try:
                judged = points.judge(function=table, applied=applied, frequency=hertz,
                                      wanted=table.ranges[place])
            except Refused:
                continue
            own = [on[table.ranges.index(one)] for one in among]
            readings = [counts(on=one, applied=applied, error=HiddenError(),
                               minus=table.shows_minus) for one in own]
            found = range_for(ranges=own, here=0, readings=readings)
            assert among[found] is judged.range
            assert abs(readings[found] * own[found].step - applied) * 2 <= own[found].step
            tried += 1
    assert tried > 1500


def test_the_range_has_hysteresis():
    """Up past the highest reading, down at 95 % of the lower range's, or where the file says
    so; in between it stays where it was."""
    low, high = ROUND, replace(ROUND, full_scale=Fraction(60), step=Fraction(1, 100),
                               highest=Fraction("59.99"))
    def goes(value: str, here: int, ranges=(low, high)) -> int:
        return range_for(ranges=ranges, here=here, readings=[
            counts(on=one, applied=Fraction(value), error=HiddenError(), minus=True)
            for one in ranges])
    assert [goes("5.999", 0), goes("6.0", 0), goes("-7", 0)] == [0, 1, 1]
    assert [goes("5.9", 1), goes("5.71", 1), goes("5.69", 1), goes("-1", 1)] == [1, 1, 0, 0]
    stated = (replace(low, up=Fraction("5.8")), replace(high, down=Fraction("5.5")))
    assert [goes("5.79", 0, stated), goes("5.8", 0, stated)] == [0, 1]
    assert [goes("5.51", 1, stated), goes("5.5", 1, stated)] == [1, 0]


@given(st.integers(-5999, 5999), st.integers(0, 3), st.integers(0, 9))
def test_a_stuck_digit_spoils_its_place_alone(reading, place, digit):
    """By the text of the digits."""
    found = shown(reading=reading, error=HiddenError(stuck=(place, digit)))
    text = str(abs(reading)).rjust(4, "0")
    at = len(text) - 1 - place
    expected = int(text[:at] + str(digit) + text[at + 1:])
    assert found == (-expected if reading < 0 else expected)


def test_half_a_count_goes_away_from_zero_and_a_bend_is_nothing_at_the_ends():
    """By hand, on a range of 6 V with 1 mV."""
    none = HiddenError()

    def read(value: str, error=none, minus=True, moved=0) -> int:
        return counts(on=ROUND, applied=Fraction(value), error=error, minus=minus, moved=moved)
    assert [read("0.0005"), read("-0.0005"), read("0.00049")] == [1, -1, 0]
    assert read("-0.0005", minus=False) == 0
    assert [read("1.0002", moved=300), read("1.0002", moved=299)] == [1001, 1000]
    bent = HiddenError(bow=Fraction(1, 100))
    assert [read(one, bent) for one in ("0", "1", "3", "5", "6", "-3")] == [
        0, 1010, 3030, 5010, 6000, -3030]
    assert read("3", HiddenError(gain=Fraction("-0.01"), offset=Fraction("0.002"))) == 2972
