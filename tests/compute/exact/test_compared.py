"""How far a reference reading may be from the planned value, at the ends of the band."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.compared import is_near

SMALL = F(1, 10**30)


@pytest.mark.parametrize("reference, planned, near", [
    (F("0.8"), 1, True), (F("0.8") - SMALL, 1, False), (F("1.25") - SMALL, 1, True),
    (F("1.25"), 1, False), (1, 1, True), (-1, 1, False), (0, 1, False),
    (F("-0.8"), -1, True), (F("-0.8") + SMALL, -1, False), (F("-1.25") + SMALL, -1, True),
    (F("-1.25"), -1, False), (1, -1, False),
    (F("0.3"), F("0.3"), True), (F("-0.3"), F("0.3"), False),
    (F("2.4"), 3, True), (F("2.399"), 3, False), (F("3.749"), 3, True), (F("3.75"), 3, False),
])
def test_from_four_fifths_up_to_five_quarters(reference, planned, near):
    """The lowest counts, the highest doesn't; on the side of the planned value's sign."""
    assert is_near(reference=F(reference), planned=F(planned), full_scale=F(6)) is near


@pytest.mark.parametrize("reference, near", [
    (0, True), (F("0.06"), True), (F("-0.06"), True), (F("0.06") + SMALL, False),
    (F("-0.06") - SMALL, False)])
def test_at_zero_a_hundredth_of_the_range(reference, near):
    """Of 6 V that is 60 mV to either side, both ends included."""
    assert is_near(reference=F(reference), planned=F(0), full_scale=F(6)) is near


@pytest.mark.parametrize("full_scale", [F(1, 1000), F(6), F(10**6)])
def test_the_range_counts_at_zero_only(full_scale):
    """Elsewhere the band hangs on the planned value alone."""
    assert is_near(reference=F("0.8"), planned=F(1), full_scale=full_scale)
    assert not is_near(reference=F("1.25"), planned=F(1), full_scale=full_scale)
