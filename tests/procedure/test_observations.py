"""What an observation has the technician look for; the points themselves are in
test_planned_points_waves_and_finds.py."""

from fractions import Fraction as F

import pytest

from builder.procedure.observations import rounded_frequency


@pytest.mark.parametrize("hertz, text", [
    ("2345", "2.34 kHz"), ("9999", "9.99 kHz"), ("400", "400 Hz"), ("123456", "123 kHz"),
    ("20000000", "20 MHz"), ("45.67", "45.6 Hz")])
def test_a_frequency_fits_a_sheet(hertz, text):
    """Three figures, always down, so that no source is asked for more than is allowed."""
    assert rounded_frequency(F(hertz)).replace("\u00a0", " ") == text
