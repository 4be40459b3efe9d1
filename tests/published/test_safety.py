"""What lies above a threshold of hazard; the thresholds are in `builder.published.tables`. *read*:
in the publication itself."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.hazard import HAZARDOUS_AC, is_hazardous


@pytest.mark.parametrize("volts, ac, hazardous",
                         [("30", True, False), ("30.01", True, True), ("60", False, False),
                          ("60.01", False, True), ("-60.01", False, True)])
def test_above_and_not_at_the_threshold(volts, ac, hazardous):
    """Hazardous live is above 30 V r.m.s. or 60 V d.c. (scope of EN 61010-031:2015/A11, read);
    whether *at* the threshold counts is this project's reading of 'above'."""
    assert is_hazardous(volts=F(volts), ac=ac) is hazardous


def test_peak_of_a_sine_at_the_threshold():
    """42.4 V peak is the same threshold (scope of EN 61010-031:2015/A11, read): it is the peak of
    30 V r.m.s. as a sine."""
    peak_squared = 2 * HAZARDOUS_AC ** 2
    assert F("42.4") ** 2 <= peak_squared < F("42.5") ** 2
