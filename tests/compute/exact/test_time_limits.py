"""When the output goes off between rows, and how long it rests: each list of starts is played
second by second against the words of a data sheet, “on for at most …, then off for at least …”."""

import random
from fractions import Fraction as F

import pytest

from builder.compute.exact.time_limits import (READING, SEEKING, SETTING, Rests, TimedRow,
                                               TimedStart, TimeLimit)

LINE = F(1)     # the least that a line of ticks can take


def limit(of="shunt", on=60, off=600) -> TimeLimit:
    return TimeLimit(of=of, on=F(on), off=F(off))


def played(groups: list[list[TimedRow]]) -> list[tuple[TimeLimit, F, F]]:
    """Each spell of being on as (limit, from, to), by rows that take as long as they may and lines
    that take no longer than they must."""
    rests, now, spells = Rests(), F(0), []
    for rows in groups:
        above: tuple[TimeLimit, ...] = ()
        for row, start in zip(rows, rests.starts(rows), strict=True):
            if start.goes_off:
                now += (start.pause or 0) + LINE
                spells += [(one, now, now + row.reading) for one in row.limits]
                now += row.reading
            else:
                assert row.limits == above
                now += SETTING + row.reading
                for n in range(len(row.limits)):
                    one, since, _ = spells[n - len(row.limits)]
                    spells[n - len(row.limits)] = one, since, now
            above = row.limits
    return spells


def broken(spells) -> list[str]:
    """Spells longer than their limit allows, and those that come before what was on has rested."""
    wrong = [f"{one.of} on for {to - since} s" for one, since, to in spells if to - since > one.on]
    for n, (one, since, _) in enumerate(spells):
        wrong += [f"{one.of} rested for {since - to} s" for other, _, to in spells[:n]
                  if other.of == one.of and since - to < other.off]
    return wrong


@pytest.mark.parametrize("seed", range(20))
def test_no_limit_is_broken(seed):
    """Random groups of rows with none, one or two limits, shared across groups."""
    rng = random.Random(seed)
    limits = [limit(of, rng.choice((10, 25, 60, 300)), rng.choice((0, 5, 120, 600)))
              for of in ("shunt", "shunt", "coil", "input")]
    held = [(), (limits[0],), (limits[1],), (limits[2],), (limits[0], limits[2]), (limits[3],)]
    groups = [[TimedRow(rng.choice(held), READING, rng.random() < 0.2)
               for _ in range(rng.randint(1, 8))] for _ in range(8)]
    spells = played(groups)
    assert len(spells) > 10 and broken(spells) == []


def test_the_player_notices():
    """A spell that is a second too long, and a rest that is a second too short."""
    one = limit(on=60, off=600)
    assert broken([(one, F(0), F(60)), (one, F(660), F(700))]) == []
    assert broken([(one, F(0), F(61)), (one, F(660), F(700))]) == [
        "shunt on for 61 s", "shunt rested for 599 s"]


@pytest.mark.parametrize("on, together", [(10, 1), (29, 1), (30, 2), (49, 2), (50, 3), (60, 3),
                                          (70, 4)])
def test_how_many_rows_follow_each_other(on, together):
    """A reading is on for 10 s, each further one for 20 s more; then comes the pause."""
    assert (READING, SETTING) == (10, 10)
    starts = Rests().starts([TimedRow((limit(on=on),))] * 9)
    pauses = [n for n, start in enumerate(starts) if start.pause]
    assert pauses == list(range(together, 9, together))
    assert [start.goes_off for start in starts] == [n % together == 0 for n in range(9)]
    assert {start.on for start in starts} == {on}


def test_what_is_on_rests_across_groups():
    """The first row of a group needs the pause too, whatever was done meanwhile on something else;
    what never was on needs none."""
    rests, row = Rests(), TimedRow((limit(),))
    assert rests.starts([row]) == [TimedStart(True, None, F(60))]
    assert rests.starts([TimedRow(), TimedRow()]) == [TimedStart(True, None, None),
                                                      TimedStart(False, None, None)]
    assert rests.starts([row]) == [TimedStart(True, F(600), F(60))]
    assert rests.starts([TimedRow((limit("coil"),))]) == [TimedStart(True, None, F(60))]


def test_the_output_goes_off_around_what_is_limited():
    """Before it, so that its time is counted from the output on, and after it; without a pause
    where nothing must rest."""
    starts = Rests().starts([TimedRow(), TimedRow((limit(),)), TimedRow(), TimedRow()])
    assert [(start.goes_off, start.pause) for start in starts] == [
        (True, None), (True, None), (True, None), (False, None)]


def test_two_limits_hold_together():
    """The shorter time on and the longer rest."""
    both = TimedRow((limit("shunt", 30, 120), limit("coil", 60, 600)))
    starts = Rests().starts([both] * 3)
    assert [(start.pause, start.on) for start in starts] == [(None, 30), (None, 30), (600, 30)]


def test_a_rest_that_isnt_stated_is_a_break():
    """Where a file says only how long it may be on, the output goes off and on again."""
    starts = Rests().starts([TimedRow((limit(off=0, on=10),))] * 2)
    assert starts == [TimedStart(True, None, F(10))] * 2


def test_what_is_sought_takes_longer():
    """A minute, in which a limit of a minute is used up."""
    starts = Rests().starts([TimedRow((limit(),), SEEKING), TimedRow((limit(),))])
    assert SEEKING == 60 and [start.pause for start in starts] == [None, 600]
