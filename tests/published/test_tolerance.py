"""The tolerance, exactly, where a published value is rounded; the values are in
`builder.published`."""

from fractions import Fraction as F

from builder.compute.exact.tolerance import Accuracy, degrees_beyond, growth, line
from builder.published.budgets import voltmeter_limit


def test_gum_voltmeter_percent_of_reading_plus_percent_of_range():
    """JCGM 100:2008 (GUM), 4.3.7 and 5.1.5, voltmeter: 14·10⁻⁶ × 0.928571 V + 2·10⁻⁶ × 1 V is a =
    15 µV (from memory), and 14.999994 µV before it is rounded (exact).

    The example treats a as the half-width of a rectangle; here it is the tolerance of a reading of
    0.928571 V. """
    assert voltmeter_limit() == F("0.000014999994")


def test_accuracy_commonly_grows_by_a_tenth_of_itself_per_degree():
    """Accuracy commonly holds at 18 to 28 °C and grows by a tenth of itself per °C beyond (common
    practice), a choice of the meter's file: at 31 °C, 0.4 % + 2 counts is 1.3 times as much."""
    factor = growth(coefficient=F("0.1"),
                    degrees=degrees_beyond(ambient=(F(31), F(31)), reference=(F(18), F(28)))[1])
    assert line(accuracy=Accuracy(F("0.4"), F(2)), resolution=F("0.001"), base=F(6),
                growth=factor).at(F(3)) == F("0.0182")
