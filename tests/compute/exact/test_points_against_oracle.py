"""Range, row, tolerance, accepted readings and refusals against a second, brute-force statement of
the rules (`oracle.py`)."""

import random
from collections import Counter
from fractions import Fraction as F

import pytest

from builder.compute.exact.points import Refused, judge
from tests.compute.exact import oracle
from tests.compute.exact.tables import FREQUENCIES, random_function, random_point, warm


def compare(cold, x, hertz, *, forced=None, growth=F(1)) -> str:
    """One point both ways; what became of it."""
    function = warm(cold, growth)
    forced = forced and function.ranges[cold.ranges.index(forced)]
    expected = oracle.answer(function, x, hertz, forced=forced, growth=growth)
    case = f"x={x} at {hertz} forced={forced} growth={growth}\n{function}\nexpected {expected}"
    try:
        found = judge(function=function, applied=x, frequency=hertz, wanted=forced,
                      force=forced is not None)
    except Refused as refused:
        assert refused.code in expected.must | expected.may, f"refused as {refused.code}: {case}"
        return refused.code
    assert not expected.must, f"a limit was given: {case}"
    assert found.range is expected.range, case
    assert list(range(found.accepted.low,
                      found.accepted.high + 1)) == expected.accepted, f"{found.accepted}: {case}"
    assert found.tolerance == found.line.at(x)
    return "limit"


def run(points: int, seed: int, force: bool, growing: bool) -> Counter:
    rng, seen = random.Random(seed), Counter()
    while sum(seen.values()) < points:
        function = random_function(rng)
        for _ in range(10):
            x, hertz = random_point(rng, function)
            forced = rng.choice(function.ranges) if force else None
            growth = F(rng.choice((10, 11, 15, 30)), 10) if growing else F(1)
            seen[compare(function, x, hertz, forced=forced, growth=growth)] += 1
    return seen


@pytest.mark.thorough
def test_computed_range_limits_and_refusals():
    """Over four thousand hostile points every limit and every refusal agrees with the brute-force
    statement of the rules, and each kind of refusal is met on the way."""
    seen = run(4000, 1, force=False, growing=False)
    assert seen["limit"] > 500
    for code in ("beyond-range", "tolerance-past-range", "no-minus", "no-zero", "below-one-count",
                 "below-lowest",
                 "frequency-outside", "value-outside", "nothing-displayable", "accepts-zero",
                 "unclear-range"):
        assert seen[code] >= 5, (code, seen)


@pytest.mark.thorough
def test_forced_range_limits_and_refusals():
    """The same for ranges selected by hand: nothing is unclear there, all other refusals hold."""
    seen = run(3000, 2, force=True, growing=False)
    assert seen["limit"] > 600 and "unclear-range" not in seen


def test_limits_outside_the_reference_temperature():
    """The same with an accuracy that has grown: tolerance, displayable readings and refusals all
    use the grown one."""
    assert run(2000, 3, force=False, growing=True)["limit"] > 200


@pytest.mark.thorough
def test_overlapping_rows_use_the_tighter_accuracy():
    """Wherever two rows hold at once, on any value and frequency, the limit is that of the tighter
    one."""
    rng, met = random.Random(4), 0
    while met < 100:
        function = random_function(rng)
        on = function.ranges[0]
        x = on.resolution * rng.randint(1, int(on.highest / on.resolution))
        hertz = rng.choice(FREQUENCIES) if function.is_ac else None
        both = [r for r in on.rows
                if (r.frequency is None or r.frequency[0] <= hertz <= r.frequency[1])
                and (r.values is None or r.values[0] <= x <= r.values[1])]
        if len(both) < 2:
            continue
        try:
            found = judge(function=function, applied=x, frequency=hertz, wanted=on, force=True)
        except Refused:
            continue
        assert found.tolerance == min(oracle.tolerance(on, r, x) for r in both)
        met += 1
