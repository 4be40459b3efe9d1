"""A data sheet's accuracy in the trade's own notation."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.tolerance import Accuracy
from builder.files.problems import Wrong
from builder.formats.accuracy import accuracy
from builder.numbers.units import unit

VOLT = ("[voltage]", unit("V"))


def terms(text, of=VOLT) -> tuple[str, ...]:
    a = accuracy(text).of(*of)
    return tuple(map(str, (a.percent_of_reading, a.counts, a.percent_of_range, a.fixed)))


@pytest.mark.parametrize("text, reading, counts, of_range, fixed", [
    ("0.5 % + 3 counts", "1/2", "3", "0", "0"),
    ("±(0.5 % + 3 counts)", "1/2", "3", "0", "0"),
    ("± 0.5 % + 3 counts", "1/2", "3", "0", "0"),
    ("+/-(0.5% + 3)d", "1/2", "3", "0", "0"),
    ("+/-0.5% + 3d", "1/2", "3", "0", "0"),
    ("0.5%+3dgt", "1/2", "3", "0", "0"),
    ("0.5 % rdg + 3 digits", "1/2", "3", "0", "0"),
    ("3 counts + 0.5 % of reading", "1/2", "3", "0", "0"),
    ("1 count", "0", "1", "0", "0"),
    ("0.5 count", "0", "1/2", "0", "0"),
    ("0.5 %", "1/2", "0", "0", "0"),
    ("0.5 % ± 3 counts", "1/2", "3", "0", "0"),
    ("0.5 percent of reading + 2 LSD", "1/2", "2", "0", "0"),
    ("0.05 % of reading + 0.01 % of range", "1/20", "0", "1/100", "0"),
    ("0.05 % + 0.01 % of range + 2 counts", "1/20", "2", "1/100", "0"),
    ("0.01 % range", "0", "0", "1/100", "0"),
    ("10 ppm of range + 50 ppm of reading", "1/200", "0", "1/1000", "0"),
    ("1 % + 0.2 mV", "1", "0", "0", "1/5000"),
    ("1 % + 0.2mV", "1", "0", "0", "1/5000"),
    ("50 ppm + 20 uV", "1/200", "0", "0", "1/50000"),
    ("50 ppm + 20 \u00b5V", "1/200", "0", "0", "1/50000"),  # micro sign
    ("50 ppm + 20 \u03bcV", "1/200", "0", "0", "1/50000"),  # Greek mu
    ("50 PPM + 20 microvolts", "1/200", "0", "0", "1/50000"),
    ("0 % + 2 counts", "0", "2", "0", "0"),
    ("1e-1 % + 3 counts", "1/10", "3", "0", "0"),
    ("0.1 % + 1 000 counts", "1/10", "1000", "0", "0"),
])
def test_notation(text, reading, counts, of_range, fixed):
    """Each of the trade's spellings gives its exact terms."""
    assert terms(text) == (reading, counts, of_range, fixed)


@pytest.mark.parametrize("text, said", [
    ("", "lacks a term"), ("0.5 % +", "lacks a term"), ("+ 3 counts", "lacks a term"),
    ("0.5 % + + 3 counts", "lacks a term"),
    ("0.5 % + 3", "has no unit"), ("3", "has no unit"),
    ("0.5 % + 0.3 %", "two terms of the same kind"),
    ("0.5 % + 0.3 % of reading", "two terms of the same kind"),
    ("0.5 % + 50 ppm", "two terms of the same kind"),
    ("2 counts + 3 counts", "two terms of the same kind"),
    ("1 mV + 2 mV", "two terms of the same kind"),
    ("-0.5 % + 3 counts", "up and down by another kind"), ("+1 % -6 % + 3 counts", "both sides"),
    ("+1.5 % + 4 counts -(4 % + 6 counts)", "differs up and down"),
    ("+1 % -6", "no unit"), ("+0 % -0 %", "no tolerance"), ("0.5 % + -3 counts", "negative"),
    ("0.5 % + −3 counts", "negative"),
    ("0 % + 0 counts", "no tolerance"), ("0 V", "no tolerance"),
    ("0.5 % of full scale", "full scale"), ("0.5 % FS + 2 counts", "full scale"),
    ("0.5 % f.s.", "full scale"),
    ("0.5 % of something", "percent of something"), ("0.5 % - 3 counts", "negative term"),
    ("0.5 % or 3 counts, whichever is greater", "choice"), ("max 3 counts", "choice"),
    ("0,5 % + 3 counts", "comma"), ("0.5 % + 3 smoots", "smoots"), ("0.5.1 %", "not one number"),
    ("half a percent", "number"),
    ("0.5 % + 3 counts + 1 s + 2 V", "two terms"),
])
def test_what_is_refused(text, said):
    """What could be read in two ways or not at all is refused with a sentence that says why and a
    hint or the offending text."""
    with pytest.raises(Wrong) as caught:
        accuracy(text)
    assert said in caught.value.sentence + caught.value.hint


@pytest.mark.parametrize("text, expected", [
    ("0.5 % + 2 counts", Accuracy(counts=F(2), fixed=F(1, 2))), ("2 counts", Accuracy(counts=F(2))),
    ("0.3 %", Accuracy(fixed=F(3, 10))),
])
def test_percent_of_a_duty_cycle_is_percentage_points(text, expected):
    """A duty cycle's percent are percentage points: they don't grow with the reading."""
    assert accuracy(text).of("[ratio]", unit("%")) == expected


@pytest.mark.parametrize("text",
                         ["0.5 % of reading", "0.5 % + 1 % of range", "50 ppm",
                          "0.5 % rdg + 2 counts"])
def test_percent_of_a_percentage_is_refused(text):
    """Percent of reading or of range makes no sense for a duty cycle."""
    with pytest.raises(Wrong, match="percentage points"):
        accuracy(text).of("[ratio]", unit("%"))


def test_a_fixed_term_of_the_wrong_kind_is_refused():
    """A volt can't stand where an ampere is due."""
    with pytest.raises(Wrong, match="current"):
        accuracy("1 % + 0.2 mA").of(*VOLT)


@pytest.mark.parametrize("text, shown, fixed", [
    ("1 % + 1 degC", "degC", "1"), ("1 % + 1 degC", "degF", "9/5"),
    ("1 % + 1.8 degF", "degF", "9/5"), ("1 % + 1 °C", "degF", "9/5"),
])
def test_a_fixed_term_of_a_temperature_is_an_interval(text, shown, fixed):
    """1 °C of fixed term is 1.8 °F, and percent terms keep the specification's own unit."""
    found = accuracy(text).of("[temperature]", unit(shown))
    assert (found.percent_of_reading, found.fixed) == (1, F(fixed))


def test_a_fahrenheit_term_in_a_celsius_range_has_no_exact_value():
    """5/9 is no finite decimal, so the file has to say it in °C."""
    with pytest.raises(Wrong, match="degC"):
        accuracy("1 % + 1 degF").of("[temperature]", unit("degC"))


@given(st.text(max_size=60))
def test_any_text_gives_an_accuracy_or_is_refused(text):
    """No text makes anything but an accuracy or a refusal."""
    try:
        accuracy(text)
    except Wrong:
        pass


PIECES = st.lists(st.sampled_from(["0.5", "3", " ", "%", "+", "-", "±", "(", ")", "counts",
                                   "of range", "of reading", "ppm", "uV", "e", "."]), max_size=10)


@given(PIECES.map("".join))
def test_shuffled_notation_gives_an_accuracy_or_is_refused(text):
    """Neither does the notation's own material in any order."""
    try:
        assert accuracy(text).of(*VOLT) != Accuracy()
    except Wrong:
        pass
