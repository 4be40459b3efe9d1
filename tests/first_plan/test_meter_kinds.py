"""What meters of a kind commonly have: steps that go with the counts, by another route than `check`
takes."""

from fractions import Fraction

import pytest

from builder.first_plan.meter_kinds import KINDS
from builder.formats.functions import KINDS as FUNCTIONS
from builder.numbers import units


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_range_counts_to_the_displays_end_and_no_further(kind):
    """A tenth to all of the counts; ranges that end at what the input bears may have less."""
    counts = Fraction(kind.counts.removesuffix(" counts").replace(" ", ""))
    for one in kind.functions:
        ranges = [tuple(map(units.quantity, pair)) for pair in one.ranges]
        assert [full.value for full, _ in ranges] == sorted(full.value for full, _ in ranges)
        for full, step in ranges:
            assert full.dimension == step.dimension == FUNCTIONS[one.function].dimension
            steps = full.value / step.value
            assert steps.denominator == 1 and counts / 20 < steps <= counts, (one, full)


def test_each_function_has_a_name_of_its_own():
    for kind in KINDS.values():
        titles = [next((key for key in one.keys if key.startswith("name:")), one.function)
                  for one in kind.functions]
        assert len(set(titles)) == len(titles)
