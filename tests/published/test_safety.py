"""What lies above a threshold of hazard; the thresholds are in `builder.published.tables`. *read*:
in the publication itself."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.hazard import (DEADLY, HAZARDOUS_AC, LARGE, SMALL, charge, is_hazardous,
                                          stored)


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


@pytest.mark.parametrize("farads, volts, joules, harm", [
    ("100e-6", "400", "8", DEADLY), ("18e-6", "3", "81e-6", SMALL),
    ("0.75e-6", "60", "1.35e-3", SMALL), ("1", "60", "1800", LARGE),
    ("0.45e-6", "100", "2.25e-3", SMALL), ("0.4501e-6", "100", "2.2505e-3", DEADLY),
    ("500e-6", "31.63", None, LARGE), ("1e-3", "22.36", None, SMALL)])
def test_what_a_capacitor_holds(farads, volts, joules, harm):
    """C·U²/2 (computed); hazardous live above 60 V and 45 µC (IEC 61010-1:2010, 6.3.1, from
    memory), and 0.25 J (DOE-HDBK-1092, from memory)."""
    given = {"farads": F(farads), "volts": F(volts)}
    assert charge(**given) == harm
    if joules:
        assert stored(**given) == F(joules)
