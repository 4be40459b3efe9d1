"""Rows of an accuracy table: for which values and frequencies one holds, and its line on a
range."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.accuracy_table import AccuracyRow
from builder.compute.exact.tolerance import ToleranceLine
from tests.compute.exact.tables import acc, range_, row, warm_range

HERTZ = row(acc("1"), frequency=("40", "400"))
PART = row(acc("1"), values=("1", "3"))
BOTH = row(acc("1"), frequency=("40", "400"), values=("1", "3"))
DEGREES = AccuracyRow(accuracy=acc("1"), values=(F(-20), F(100)), by_sign=True)


@pytest.mark.parametrize("one, applied, hertz, covers", [
    (row(acc("1")), "7", None, True), (row(acc("1")), "7", "50", True),
    (HERTZ, "7", "40", True), (HERTZ, "7", "400", True), (HERTZ, "7", "39.9", False),
    (HERTZ, "7", "400.1", False), (HERTZ, "7", None, False),
    (PART, "1", None, True), (PART, "3", None, True), (PART, "0.999", None, False),
    (PART, "3.001", None, False), (PART, "-2", None, True), (PART, "-4", None, False),
    (BOTH, "2", "50", True), (BOTH, "2", "500", False), (BOTH, "4", "50", False),
    (DEGREES, "-20", None, True), (DEGREES, "-20.1", None, False), (DEGREES, "100", None, True),
])
def test_what_a_row_covers(one, applied, hertz, covers):
    """Both ends count. A part of a range holds for both polarities, but one of temperatures by its
    sign; a row for frequencies covers nothing that has none."""
    hertz = None if hertz is None else F(hertz)
    assert one.covers(applied=F(applied), frequency=hertz) is covers


def test_a_row_is_itself():
    """Two rows with the same numbers are two, so that each can be tested by itself."""
    assert row(acc("1")) != row(acc("1")) and HERTZ == HERTZ and len({HERTZ, HERTZ, PART}) == 2


def test_a_line_is_that_of_its_surroundings():
    """0.4 % and 2 counts of 1 mV: T = 0.004·|x| + 2 mV, at a fifth more 0.0048·|x| + 2.4 mV."""
    on = range_("6", "0.001", acc("0.4", "2"))
    ((piece,),) = on.pieces.values()
    assert piece.above == piece.below == ToleranceLine(F("0.004"), F("0.002"))
    ((grown,),) = warm_range(on, F("1.2")).pieces.values()
    assert grown.above == grown.below == ToleranceLine(F("0.0048"), F("0.0024"))
