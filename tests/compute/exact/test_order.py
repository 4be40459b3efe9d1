"""The order of work: safe stages first, then the fewest changes, against a trial of every order."""

import random
from fractions import Fraction as F
from itertools import pairwise, permutations, product

import pytest

from builder.compute.exact.order import STAGES, changes, fewest_changes, stage_of


def cost(stages, order):
    """How often the first part of the setup changes over the whole work, then the second, then the
    third."""
    along = [groups[i] for groups, one in zip(stages, order, strict=True) for i in one]
    return tuple(sum(a[k] != b[k] for a, b in pairwise(along)) for k in range(3))


def by_trying_all(stages):
    orders = product(*(permutations(range(len(groups))) for groups in stages))
    return min((cost(stages, order), tuple(order)) for order in orders)


def test_fewest_changes_is_the_best_of_all_orders():
    """For a hundred and fifty random works no order has fewer changes, and among equals the order
    given wins."""
    rng = random.Random(11)
    for _ in range(150):
        stages = [[(rng.choice("VAm"), rng.choice("st"), rng.choice("123"))
                   for _ in range(rng.randint(0, 4))] for _ in range(rng.randint(1, 3))]
        found = fewest_changes(stages)
        best, order = by_trying_all(stages)
        assert [sorted(one) for one in found] == [list(range(len(groups))) for groups in stages]
        assert cost(stages, found) == best, stages
        assert tuple(map(tuple, found)) == order, stages


def test_large_stages_keep_every_group_and_never_do_worse_than_the_order_given():
    """Beyond the size that is solved exactly every group still appears once, groups of one set of
    jacks stand together, and there are no more changes of jacks than jacks."""
    rng = random.Random(12)
    for _ in range(30):
        stages = [[(rng.choice("VAm"), rng.choice("st"), f"{n}")
                   for n in range(rng.randint(9, 14))], [("V", "s", "9")]]
        found = fewest_changes(stages)
        assert sorted(found[0]) == list(range(len(stages[0])))
        jacks = [stages[0][i][0] for i in found[0]]
        assert sum(a != b for a, b in pairwise(jacks)) == len(set(jacks)) - 1
        assert cost(stages, found) <= cost(stages, [range(len(s)) for s in stages])


def test_no_work_has_no_order():
    """Stages without groups stay without groups."""
    assert fewest_changes([[], [("V", "s", "1")], []]) == [[], [0], []]
    assert fewest_changes([]) == []


def test_changes_before_the_first_group_are_none():
    """What is set up first of all is no change."""
    assert changes(None, ("V", "s", "1")) == (0, 0, 0)
    assert changes(("V", "s", "1"), ("V", "t", "2")) == (0, 1, 1)


def test_the_stages_stand_in_the_safe_order():
    """As found first, fuses before anything live, what is not hazardous before what is, milliamps
    before amps, the lead proven back in its jack before closing."""
    wanted = ["opened", "by eye", "battery and fuses", "display and keys", "thermocouple", "inputs",
              "voltage",
              "hazardous voltage", "milliamps", "amps", "proving", "closing"]
    assert list(STAGES) == wanted


@pytest.mark.parametrize("stage, hazardous, full_scale, expected", [
    ("voltage", False, "6", "voltage"), ("voltage", True, "600", "hazardous voltage"),
    ("current", False, "0.6", "milliamps"),
    ("current", False, "1", "amps"), ("current", False, "10", "amps"),
    ("inputs", False, "600", "inputs"), ("thermocouple", False, "1000", "thermocouple"),
])
def test_stage_of_a_point(stage, hazardous, full_scale, expected):
    """Voltages go by their hazard, currents by their range, all else by its function."""
    assert stage_of(stage=stage, hazardous=hazardous, full_scale=F(full_scale)) == expected


def test_a_large_stage_goes_on_where_the_one_before_it_ended():
    """Among nine groups those with what is set already come first, those of one setup stand
    together in the order given, and what follows goes on from the last of them."""
    nine = [("A", "s", f"{n}") for n in range(5)] + [("V", "s", f"{n}") for n in range(4)]
    assert fewest_changes([[("V", "s", "9")], nine, [("V", "t", "1"), ("A", "s", "4")]]) == [
        [0], [5, 6, 7, 8, 0, 1, 2, 3, 4], [1, 0]]
    assert fewest_changes([nine, [("A", "s", "1"), ("V", "s", "3")]]) == [list(range(9)), [1, 0]]
    mixed = [("A", "s", "1"), ("A", "t", "2"), ("A", "s", "3")] * 3
    assert fewest_changes([[("A", "t", "0")], mixed]) == [[0], [1, 4, 7, 0, 3, 6, 2, 5, 8]]


@pytest.mark.parametrize("one, other", ["AZ", "ZA"])
def test_before_a_large_stage_the_fewest_changes_count(one, other):
    """Not the letters of the setup that the stage before it ends with."""
    nine = [(one, "s", f"dial {n}") for n in range(9)]
    assert fewest_changes([[(one, "s", "0")], [(other, "s", "1"), (one, "s", "1")], nine]) == [
        [0], [1, 0], list(range(9))]


def test_after_a_large_stage_its_very_last_group_counts():
    """Eight of one kind, and the one of another kind at the end."""
    stage = [("A", "s", f"{n}") for n in range(8)] + [("V", "s", "8")]
    assert fewest_changes([stage, [("A", "s", "7"), ("V", "t", "8")]]) == [list(range(9)), [1, 0]]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(3))
def test_eight_groups_are_solved_exactly(seed):
    """All 40 320 orders of eight groups are tried here: none has fewer changes."""
    rng = random.Random(seed)
    groups = [(rng.choice("VA"), rng.choice("stu"), rng.choice("12")) for _ in range(8)]
    assert cost([groups],
                fewest_changes([groups])) == min(
                    cost([groups], [one]) for one in permutations(range(8)))
