"""Test leads: the formula by hand, and when they may be forgotten."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.leads import (OHMS_PER_METRE, highest_resistance, left_in,
                                         negligible)

sizes = st.sampled_from(sorted(OHMS_PER_METRE))
lengths = st.decimals(0, 100, places=3).map(F)
temperatures = st.decimals(-20, 60, places=1).map(F)


@pytest.mark.parametrize("metres, size, celsius, contacts, ohms", [
    ("1", "0.75", "20", "0", "0.052"), ("1", "0.75", "30", "0", "0.0540436"),
    ("1.5", "2.5", "28", "0.01", "0.0346926736"),
    ("0", "1", "20", "0.05", "0.05"), ("2", "1", "10", "0", "0.0749346"),
])
def test_by_hand(metres, size, celsius, contacts, ohms):
    """Leads worked out by hand."""
    assert highest_resistance(metres=F(metres), size=F(size), celsius=F(celsius),
                              contacts=F(contacts)) == F(ohms)


@given(lengths, sizes, temperatures, lengths)
def test_length_counts_twice_and_contacts_once(metres, size, celsius, contacts):
    """Half the length twice, or each lead by itself, is the same; contacts neither grow with the
    length nor with heat."""
    alone = highest_resistance(metres=metres, size=size, celsius=celsius)
    assert highest_resistance(metres=metres, size=size, celsius=celsius,
                              contacts=contacts) == alone + contacts
    assert alone == 2 * highest_resistance(metres=metres / 2, size=size, celsius=celsius)
    assert highest_resistance(metres=F(0), size=size, celsius=celsius,
                              contacts=contacts) == contacts


@given(sizes, temperatures)
def test_warmer_leads_have_more_and_thicker_ones_less(size, celsius):
    """The resistance rises with the temperature and falls with the size of the conductor."""
    one = highest_resistance(metres=F(1), size=size, celsius=celsius)
    assert highest_resistance(metres=F(1), size=size, celsius=celsius + 1) > one
    assert all(highest_resistance(metres=F(1), size=thicker, celsius=celsius) < one
               for thicker in OHMS_PER_METRE if thicker > size)


@pytest.mark.parametrize("leads, resolution, tolerance, forgotten", [
    ("0.049", "0.1", "1", True), ("0.05", "0.1", "1", False), ("0.051", "0.1", "1", False),
    ("0.049", "0.1", "0.5", True), ("0.049", "0.1", "0.49", False), ("0.049", "0.1", "0.4", False),
    ("0", "0.1", "0.1", True),
])
def test_forgotten_under_half_a_count_and_a_tenth_of_the_tolerance(
        leads, resolution, tolerance, forgotten):
    """Both must hold, and at either limit leads still count."""
    assert negligible(leads=F(leads), resolution=F(resolution), tolerance=F(tolerance)) is forgotten


@pytest.mark.parametrize("leads, resolution, moved", [
    ("0.09363488", "1", "0.046"), ("0.09363488", "0.1", "0.0468"), ("0.002", "1", "0.001"),
    ("0.0019", "1", "0"), ("0", "1", "0")])
def test_half_of_the_leads_to_a_thousandth_of_a_count(leads, resolution, moved):
    """Cut, so that what is left above is the larger side."""
    assert left_in(leads=F(leads), resolution=F(resolution)) == F(moved)


@given(st.fractions(0, 10), st.sampled_from([F(1), F("0.1"), F("0.01"), F(10)]))
def test_what_leads_add_lies_around_what_they_are_taken_to_add(leads, resolution):
    """Between nothing and their most, no farther from it than half of that and a thousandth of a
    count."""
    moved = left_in(leads=leads, resolution=resolution)
    assert 0 <= moved <= leads / 2 and leads - moved < leads / 2 + resolution / 1000
