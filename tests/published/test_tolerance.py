"""The tolerance against published values. The sureness words are those of the project's list of check values:
*from memory* (the printed value is remembered, and a computation from the stated inputs agrees; the publication was not
open) and *common practice* (a fact of the trade without a source)."""

from fractions import Fraction as F

from builder.compute.display import accepted
from builder.compute.points import Refused, judge
from builder.compute.table import Function, Range, Row
from builder.compute.tolerance import Accuracy, line


def test_gum_voltmeter_percent_of_reading_plus_percent_of_range():
    """JCGM 100:2008 (GUM), 4.3.7 and 5.1.5, voltmeter: 14·10⁻⁶ × 0.928571 V + 2·10⁻⁶ × 1 V is a = 15 µV (from memory).

    The example treats a as the half-width of a rectangle; here it is the tolerance of a reading of 0.928571 V.
    """
    specification = Accuracy(percent_of_reading=F(14, 10_000), percent_of_range=F(2, 10_000))
    a = line(accuracy=specification, resolution=F(1, 10**6), base=F(1)).at(F("0.928571"))
    assert a == F("0.000014999994")
    assert round(a * 10**6) == 15


def test_counts_of_a_current_range():
    """1.5 % + 3 counts at 10.00 mA with 0.01 mA resolution is 18 counts (common practice)."""
    t = line(accuracy=Accuracy(F("1.5"), F(3)), resolution=F("0.00001"), base=F("0.06")).at(F("0.01"))
    assert t / F("0.00001") == 18


def test_limit_on_a_half_count():
    """0.15 % + 2 counts at 1.000 V with 1 mV is 3.5 counts, so 0.997 … 1.003 V is accepted (common practice)."""
    t = line(accuracy=Accuracy(F("0.15"), F(2)), resolution=F("0.001"), base=F(6)).at(F(1))
    assert t / F("0.001") == F("3.5")
    found = accepted(applied=F(1), tolerance=t, resolution=F("0.001"), shows_minus=True)
    assert (found.low * F("0.001"), found.high * F("0.001")) == (F("0.997"), F("1.003"))


def test_a_nanofarad_of_resolution_cannot_be_checked_with_200_picofarads():
    """A meter with 1 nF resolution can't be checked with 200 pF (common practice)."""
    nano = F(1, 10**9)
    function = Function((Range(6000 * nano, nano, 6000 * nano, 5999 * nano, (Row(Accuracy(F(4), F(5))),)),), shows_minus=False, has_zero=True)
    try:
        judge(function=function, applied=F(200, 10**12))
    except Refused as refused:
        assert refused.code == "below-one-count"
    else:
        raise AssertionError("limits were given")


def test_accuracy_commonly_grows_by_a_tenth_of_itself_per_degree():
    """Accuracy commonly holds at 18 to 28 °C and grows by a tenth of itself per °C beyond (common practice), a choice of
    the meter's file: at 31 °C, 0.4 % + 2 counts is 1.3 times as much."""
    from builder.compute.tolerance import degrees_beyond, growth
    factor = growth(coefficient=F("0.1"), degrees=degrees_beyond(ambient=(F(31), F(31)), reference=(F(18), F(28))))
    assert factor == F("1.3")
    assert line(accuracy=Accuracy(F("0.4"), F(2)), resolution=F("0.001"), base=F(6), growth=factor).at(F(3)) == F("0.0182")
