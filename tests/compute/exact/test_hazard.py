"""When a point counts as hazardous live."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.hazard import is_hazardous


@pytest.mark.parametrize("volts, ac, hazardous", [
    ("30", True, False), ("30.001", True, True), ("60", False, False), ("60.001", False, True),
    ("-60", False, False), ("-61", False, True), ("42", False, False), ("42", True, True),
    ("0", True, False),
])
def test_hazardous_live_is_above_the_threshold_and_not_at_it(volts, ac, hazardous):
    """Above 30 V AC or 60 V DC of either polarity, and not at those values."""
    assert is_hazardous(volts=F(volts), ac=ac) is hazardous
