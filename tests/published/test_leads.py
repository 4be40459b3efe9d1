"""The resistance of test leads where it shows on a display; the published figures are in
`builder.published.tables`."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.leads import negligible


@pytest.mark.parametrize("counts, ohms, digits, forgotten", [
    (6000, "100", "0.1", False), (6000, "1000", "1", True), (20_000, "1000", "0.1", False),
])
def test_where_leads_show(counts, ohms, digits, forgotten):
    """Leads of about 0.1 Ω are a whole count at 0.1 Ω resolution; from about 1 kΩ on a 6000-count
    meter no longer shows them, a 20 000-count one still does (common practice). The tolerance here
    is 0.5 % + 3 counts, a choice of this test."""
    assert F(ohms) <= counts * F(digits)
    tolerance = F(ohms) / 200 + 3 * F(digits)
    assert negligible(leads=F("0.1"), resolution=F(digits), tolerance=tolerance) is forgotten
