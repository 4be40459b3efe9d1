"""How long the work takes, added up by hand."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.work_time import work_time

NOTHING = {"points": 0, "sought": 0, "lines": 0, "checks": 0, "groups": 0, "warm_up": F(0),
           "pauses": F(0)}


@pytest.mark.parametrize("counted, minutes", [
    ({}, (0, 0, 0)),
    ({"points": 15}, (5, 0, 0)), ({"points": 16}, (10, 0, 0)),     # 300 s, 320 s
    ({"points": 6, "sought": 6}, (10, 0, 0)),       # 6 · (20 + 50) s = 7 min
    ({"checks": 10, "lines": 3}, (10, 0, 0)),       # 5 min and 1 min
    ({"groups": 10}, (20, 0, 0)),
    ({"warm_up": F(1800), "pauses": F(601)}, (0, 30, 15)),
])
def test_the_parts_of_a_sheet(counted, minutes):
    """Each rounded up to 5 min, and the total is their sum."""
    found = work_time(**NOTHING | counted)
    assert (found.work, found.warm_up, found.pauses) == tuple(60 * one for one in minutes)
    assert found.total == 60 * sum(minutes)
