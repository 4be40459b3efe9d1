"""Readings that look like a slip of the pen, by hand and for every digit of a display."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from builder.records.plausible import slip
from tests.records.test_verdict import point


@pytest.mark.parametrize("value, kind", [
    ("3", ""), ("3.014", ""), ("2.8", ""), ("0", ""), ("5.9", ""), ("1.5", ""),
    ("-3", "lost-sign"), ("-2.9", "lost-sign"), ("-1.5", ""), ("-3.4", ""),
    ("30", "lost-point"), ("0.3", "lost-point"), ("300.4", "lost-point"), ("0.0003", "lost-point"),
    ("3000000", "lost-point"), ("0.35", ""), ("6", "past-the-end"), ("44", "past-the-end")])
def test_by_hand(value, kind):
    """3 V on a 6 V range that ends at 5.999 V."""
    assert slip(point(highest="5.999 V"), F(value)) == kind


def test_an_observation_may_show_anything():
    one = point(kind="observation", slope=None, offset=None, accept=None, tolerance_limits=None,
                uncertainty=None)
    assert not any(slip(one, F(value)) for value in ("-3", "30", "9999"))


def test_no_reading_within_ten_percent_is_a_slip():
    """Whatever the tolerance, up to a tenth: a reading that could pass is never asked about."""
    one = point()
    assert not any(slip(one, F(3000 + n, 1000)) for n in range(-300, 301))
