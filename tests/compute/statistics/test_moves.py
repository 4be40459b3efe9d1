"""Meters of a shop that move together: against SciPy and the definition, and how often nothing is
called something."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from builder.compute.statistics.moves import MeterChange, Move, found, moves, noticeable
from tests import simulated_shops


def change(meter, moved, before=0.0, after=2.0, allowed=1e-3, rounding=0.0):
    return MeterChange(meter=meter, before=before, after=after, moved=moved, allowed=allowed,
                       rounding=rounding)


def at(changes, day=1.0):
    (one,) = moves(changes=changes, days=[day])
    return one


def test_a_move_as_scipy_has_it():
    """With one tolerance for all, Student's t test of a single sample."""
    moved = [3e-5, 1e-5, 4e-5, -1e-5, 5e-5, 2e-5]
    own, other = at([change(str(n), y) for n, y in enumerate(moved)]), stats.ttest_1samp(moved, 0)
    assert (own.mean, own.chance) == pytest.approx((sum(moved) / 6, other.pvalue))
    assert own.u == pytest.approx(stats.sem(moved)) and (own.meters, own.day) == (6, 1.0)


@given(st.lists(st.tuples(st.floats(-1, 1), st.sampled_from([1.0, 2.0, 10.0])), min_size=3,
                max_size=8))
def test_weights_are_those_of_the_tolerances(pairs):
    """As a weighted regression on a constant by its normal equation; a tolerance for all that is
    another changes nothing."""
    own = [change(str(n), y, allowed=share) for n, (y, share) in enumerate(pairs)]
    w = [1 / share ** 2 for _, share in pairs]
    mean = sum(a * y for a, (y, _) in zip(w, pairs, strict=True)) / sum(w)
    squares = sum(a * (y - mean) ** 2 for a, (y, _) in zip(w, pairs, strict=True))
    assert at(own).mean == pytest.approx(mean, abs=1e-12)
    assert at(own).u == pytest.approx(math.sqrt(squares / (len(w) - 1) / sum(w)), abs=1e-12)
    scaled = [change(one.meter, one.moved, allowed=7 * one.allowed) for one in own]
    assert at(scaled).chance == pytest.approx(at(own).chance, rel=1e-6)


def test_only_changes_across_the_day_count():
    """Read on the day counts as after it; two meters say nothing."""
    own = [change("a", 1e-5, 0, 10), change("b", 9.0, 10, 20), change("c", 2e-5, 0, 11),
           change("d", 3e-5, 9, 10)]
    assert at(own, 10).mean == pytest.approx(2e-5)
    assert moves(changes=own[:2], days=[10]) == [] == moves(changes=own, days=[20, 0])


def test_meters_that_all_moved_alike():
    """No scatter at all: sure where they moved, nothing where they didn't; counts that agree are
    worth no more than their rounding."""
    assert at([change(name, 1e-5) for name in "abc"]).chance == 0.0
    assert at([change(name, 0.0) for name in "abc"]).chance == 1.0
    rounded = at([change(name, 1e-4, rounding=1e-4) for name in "abc"])
    assert rounded.u == pytest.approx(1e-4 / math.sqrt(6) / math.sqrt(3))
    assert rounded.chance > 0.01


def test_what_would_be_noticed():
    """t by SciPy times u: a move as large has just that chance."""
    own = at([change(str(n), y) for n, y in enumerate((3e-5, 1e-5, 4e-5, -1e-5))])
    assert noticeable(move=own, chance=0.001) == pytest.approx(stats.t.ppf(0.9995, 3) * own.u)


def test_months_next_to_each_other_are_one_move():
    """Of one key and one sign; the surest stands for them. Chances count among all."""
    def one(day, chance, mean=1.0):
        return Move(day=day, meters=9, mean=mean, u=0.1, chance=chance)
    moved = {"a": [one(1, 1e-4), one(2, 1e-6), one(3, 1e-4), one(4, 0.5), one(5, 1e-4),
                   one(6, 1e-4, -1.0)], "b": [one(1, 1e-5)]}
    told = found(moved=moved, chance=0.01)
    assert [(one.key, one.first, one.most.day, one.last) for one in told] == [
        ("a", 1, 2, 3), ("b", 1, 1, 1), ("a", 5, 5, 5), ("a", 6, 6, 6)]
    assert told[0].chance == pytest.approx(7e-6) and told[1].chance == pytest.approx(6e-5)
    assert found(moved=moved, chance=1e-7) == [] == found(moved={}, chance=0.01)


# ---------------------------------------------------------------- simulated shops

def test_false_alarms_are_as_rare_as_they_say():
    """Sixty seeded shops whose standard does not move, at a chance of 20 %: 20 % and three standard
    deviations of that at most have anything found in them."""
    alarms = sum(bool(simulated_shops.looked_at(simulated_shops.shop(
        random.Random(seed), ratio=4, step=0.0)[0], chance=0.2)) for seed in range(60))
    assert alarms <= 60 * (0.2 + 3 * math.sqrt(0.2 * 0.8 / 60))


@pytest.mark.parametrize("ratio, step, least, most", [(4, 3.0, 10, 10), (28, 0.3, 0, 1)])
def test_steps_of_a_standard(ratio, step, least, most):
    """Ten seeded shops: three times U at 4:1 is always found, in its month or near it; 0.3 U at
    28:1, a hundredth of the tolerance, can't be."""
    hits = sum(simulated_shops.is_found(random.Random(seed), ratio=ratio, step=step)
               for seed in range(10))
    assert least <= hits <= most


@pytest.mark.long
def test_the_rates_are_those_that_are_printed():
    """The table in DEVELOPERS, made again: the same to the last shop."""
    printed = simulated_shops.DEVELOPERS.read_text(encoding="utf-8")
    for row in simulated_shops.table():
        assert row in printed
