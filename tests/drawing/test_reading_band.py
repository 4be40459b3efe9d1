"""Where a reading stands in the band of its tolerance."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.drawing.reading_band import (ReadingBand, band_parts, band_picture, drawn_anew,
                                          reading_band)


@pytest.mark.parametrize("percent, mark, place", [
    (0.0, "inside", 50), (-50.0, "inside", 33.33), (100.0, "inside", 83.33),
    (100.1, "outside", 83.37), (-150.0, "outside", 0), (-151.0, "below", 0),
    (312.4, "above", 100), (math.inf, "above", 100), (-math.inf, "below", 0),
    (math.nan, "above", 100)])
def test_the_mark_and_its_place(percent, mark, place):
    """±100 % are the ends of the band, at a sixth and at five sixths of the width; at ±150 % it
    ends. What is no number is an overload."""
    found = reading_band(percent=percent, expanded=None)
    assert (found.mark, found.place, found.sure) == (mark, place, None)


def test_u_and_the_acceptance_limits():
    """±U ends at the picture; nothing is drawn of it where the reading itself is not shown."""
    assert reading_band(percent=10, expanded=20).sure == (46.67, 60)
    assert reading_band(percent=140, expanded=60).sure == (76.67, 100)
    assert reading_band(percent=160, expanded=60).sure is None
    assert reading_band(percent=0, expanded=0.0).sure is None
    assert reading_band(percent=0, expanded=None, guard=(-75, 75)).guard == (25, 75)


@given(st.floats(), st.one_of(st.none(), st.floats(0, 1e6)),
       st.lists(st.floats(-100, 100), max_size=2))
def test_all_of_it_lies_inside(percent, expanded, guard):
    text = band_picture(reading_band(percent=percent, expanded=expanded, guard=tuple(guard)))
    assert "aria-hidden" in text and "\n" not in text and not re.search("nan|inf[^a-z]|e[+-]", text)
    places = [float(one) for one in re.findall(r' c?x[12]?="(-?[\d.]+)%"', text)]
    assert all(0 <= one <= 100 for one in places)
    # the tolerance and its middle, each acceptance limit, U, the mark
    assert len(places) in (3 + 2 * len(guard) + 1, 3 + 2 * len(guard) + 3)
    for start, end in re.findall(r'class="sure" x1="([\d.]+)%" y1="50%" x2="([\d.]+)%"', text):
        assert float(start) <= float(end)


@pytest.mark.parametrize("percent", [0.0, -99.9, 101.0, 180.0, -151.0])
def test_a_script_gets_the_same_parts(percent):
    """What it puts in place of `{x}` makes the picture of a report."""
    band, parts = reading_band(percent=percent, expanded=None, guard=(-75, 75)), band_parts()
    made = parts["ground"] + "".join(parts["limit"].replace("{x}", f"{place:g}%")
                                     for place in band.guard)
    made += parts[band.mark].replace("{x}", f"{band.place:g}%")
    assert band_picture(band) == f'<svg class="band" aria-hidden="true">{made}</svg>'


def test_bands_of_finished_reports_are_drawn_anew():
    """As reports had them until 0.3, by style attributes: the same marks at the same places."""
    old = ('<td><span class="band" aria-hidden="true"><i class="tol"></i>'
           '<i class="limit" style="left:25%"></i><i class="limit" style="left:75%"></i>'
           '<i class="sure" style="left:45.5%;width:9.25%"></i>'
           '<i class="at outside" style="left:90.5%"></i></span></td>'
           '<span class="band" aria-hidden="true"><i class="tol"></i>'
           '<i class="at above" style="left:100%"></i></span><p style="x">')
    assert drawn_anew(old) == (
        f"<td>{band_picture(ReadingBand('outside', 90.5, (45.5, 54.75), (25, 75)))}</td>"
        f"{band_picture(ReadingBand('above', 100, None))}" + '<p style="x">')
