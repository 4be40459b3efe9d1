"""The resistance of test leads against published values. The sureness words are those of the project's list of check values:
*second hand* (in a copy of the publication made by others), *computed* and *common practice* (a fact of the trade without a
source)."""

from fractions import Fraction as F

import pytest

from builder.compute.leads import OHMS_PER_METRE, PER_KELVIN, highest_resistance, negligible


@pytest.mark.parametrize("size, milliohms", [("0.75", "26.0"), ("1.0", "19.5"), ("1.5", "13.3"), ("2.5", "7.98")])
def test_table(size, milliohms):
    """IEC 60228, class 5 plain copper at 20 °C, at most, in mΩ/m (second hand, four tables agree)."""
    assert OHMS_PER_METRE[F(size)] == F(milliohms) / 1000
    assert highest_resistance(metres=F(1, 2), size=F(size)) == F(milliohms) / 1000


def test_copper_by_temperature():
    """Copper: 0.00393 per K (second hand)."""
    assert PER_KELVIN == F("0.00393")


def test_two_leads_of_a_metre():
    """2 × 1 m in 0.75 mm² are 52 mΩ at 20 °C (computed from the table, which is second hand); contacts come on top."""
    assert highest_resistance(metres=F(1), size=F("0.75")) == F("0.052")
    assert highest_resistance(metres=F(1), size=F("0.75"), contacts=F("0.02")) == F("0.072")


@pytest.mark.parametrize("counts, ohms, digits, forgotten", [
    (6000, "100", "0.1", False), (6000, "1000", "1", True), (20_000, "1000", "0.1", False),
])
def test_where_leads_show(counts, ohms, digits, forgotten):
    """Leads of about 0.1 Ω are a whole count at 0.1 Ω resolution; from about 1 kΩ on a 6000-count meter no longer shows
    them, a 20 000-count one still does (common practice). The tolerance here is 0.5 % + 3 counts, a choice of this test."""
    assert F(ohms) <= counts * F(digits)
    tolerance = F(ohms) / 200 + 3 * F(digits)
    assert negligible(leads=F("0.1"), resolution=F(digits), tolerance=tolerance) is forgotten
