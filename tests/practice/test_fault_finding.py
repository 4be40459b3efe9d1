"""Faults that may hide in a meter on the bench: what they do to its points, and what halving
takes."""

from __future__ import annotations

from itertools import product

import pytest

from builder.practice import fault_finding, simulated_bench


@pytest.fixture(scope="module")
def benches(demo_shop):
    return simulated_bench.meters(demo_shop)


def areas(bench):
    for n in range(len(bench.functions)):
        places, found = fault_finding.candidates(bench, n)
        if len(found) >= fault_finding.LEAST:
            yield n, places, found


def test_the_points_tell_every_fault_from_every_other(benches):
    """No two candidates do the same to all points; a good meter reads within all limits, any other
    is outside of one."""
    kinds = set()
    for bench in benches:
        for _, places, found in areas(bench):
            patterns = [pattern for _, pattern in found]
            assert len(set(patterns)) == len(patterns) and len(patterns[0]) == len(places)
            assert found[0][0].kind == "none" and set(patterns[0]) == {"1"}
            assert all("0" in pattern for pattern in patterns[1:])
            kinds |= {fault.kind for fault, _ in found}
    assert kinds == set(fault_finding.KINDS)


def test_halving_finds_each_and_never_takes_more_than_one_by_one(benches):
    """It ends for every fault, not later than looking at all but one, and for one of them not
    sooner than two to that power."""
    for bench in benches:
        for _, _, found in areas(bench):
            patterns = [pattern for _, pattern in found]
            taken = [fault_finding.halving(patterns, own) for own in patterns]
            assert max(taken) <= len(patterns) - 1
            assert 2 ** max(taken) >= len(patterns) and min(taken) >= 1
            # as many leaves as a tree of yes and no has room for (Kraft's inequality)
            assert sum(2 ** -n for n in taken) == 1


def test_halving_by_hand():
    """Four patterns of which two points split each pair evenly; and one that a point takes off."""
    four = ["".join(pair) for pair in product("01", repeat=2)]
    assert [fault_finding.halving(four, own) for own in four] == [2, 2, 2, 2]
    chain = ["111", "011", "101", "110"]
    assert [fault_finding.halving(chain, own) for own in chain] == [3, 1, 2, 3]


def test_what_a_fault_does_by_hand(benches):
    """Of the Dunlin's DC voltage: its 6 V range alone, all of its ranges, or the middle of one."""
    (bench,) = [one for one in benches if one.meter.meter == "dunlin-60"]
    for _, places, found in areas(bench):
        if bench.functions[bench.points[places[0]].function].view.title != "DC voltage":
            continue
        spoilt = {(fault.kind, fault.said): [bench.points[place].said for place, within
                                             in zip(places, pattern, strict=True) if within == "0"]
                  for fault, pattern in found}
        tidy = {key: [text.replace("\u00a0", " ") for text in said]
                for key, said in spoilt.items()}
        assert tidy["gain", "6\u00a0V range"] == ["3.000 V", "5.400 V", "−5.400 V", "5.400 V"]
        assert tidy["bow", "6\u00a0V range"] == ["3.000 V"]
        assert "0.0 mV" not in tidy["whole", "all ranges"]
        assert "54.00 V" in tidy["whole", "all ranges"]
        assert tidy["offset", "all ranges"][0] == "0.0 mV"
