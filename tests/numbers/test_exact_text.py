"""Numbers, units and frequencies as pages and data files show them."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.numbers import exact_text
from builder.numbers.units import quantity, split_number, unit


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize("value, unit_name, decimals, shown", [
    ("3", "V", 3, "3.000 V"), ("-0.54", "V", 3, "−0.540 V"), ("0.995", "V", 3, "0.995 V"),
    ("0.3", "mV", 1, "300.0 mV"), ("0.0000125", "uA", 2, "12.50 µA"),
    ("5000000", "MHz", 3, "5.000 MHz"), ("4700", "kohm", 0, "4.7 kΩ"),
    ("100", "degF", 1, "100.0 °F"), ("20", "%", 1, "20.0 %"), ("0", "V", 2, "0.00 V"),
    ("0.00000001", "nF", 2, "10.00 nF"),
])
def test_amounts(value, unit_name, decimals, shown):
    """A value in the unit and the digits of its display, with a true minus and a space that doesn't
    break."""
    assert exact_text.amount(F(value), unit(unit_name), decimals) == shown.replace(" ", "\u00a0")


@pytest.mark.parametrize("value, shown",
                         [("50", "50 Hz"), ("999", "999 Hz"), ("1000", "1 kHz"),
                          ("1500", "1.5 kHz"), ("20000", "20 kHz"), ("1000000", "1 MHz"),
                          ("0.5", "0.5 Hz"), ("123456", "123.456 kHz")])
def test_each_frequency_has_one_spelling(value, shown):
    """1000 Hz and 1 kHz are one frequency, and read alike."""
    assert plain(exact_text.frequency(F(value))) == shown
    assert exact_text.frequency(F(value), plain=True) == shown


@pytest.mark.parametrize("low, high, shown",
                         [("40", "400", "40 to 400 Hz"), ("40", "1000", "40 Hz to 1 kHz"),
                          ("1000", "20000", "1 to 20 kHz"), ("500", "1000000", "500 Hz to 1 MHz")])
def test_bands_of_frequencies(low, high, shown):
    """A unit that both ends share stands once."""
    assert plain(exact_text.frequencies((F(low), F(high)))) == shown


@pytest.mark.parametrize("value, decimals, shown", [
    ("0.014", 3, "0.014"), ("0.0035", 3, "0.0035"), ("0.00375", 3, "0.0037"),
    ("0.0039999", 3, "0.0039"), ("2", 2, "2.00"), ("7.035", 1, "7.03"), ("0", 2, "0.00"),
    ("0.00001999", 3, "0.00001"),
])
def test_a_tolerance_is_cut_and_never_rounded_up(value, decimals, shown):
    """One decimal beyond the display's; more where nothing would be left."""
    assert exact_text.tolerance(F(value), unit("V"), decimals) == shown


@given(st.integers(-10**12, 10**12), st.integers(0, 9),
       st.sampled_from(["V", "mV", "uA", "kohm", "MHz", "nF", "degF", "%"]), st.integers(0, 4))
def test_what_is_shown_reads_back_as_the_same_value(digits, places, unit_name, decimals):
    """No value is rounded on its way to a page or a data file."""
    one = unit(unit_name)
    value = F(digits, 10**places) if one.is_temperature else F(digits, 10**places) * one.scale
    for text in (exact_text.amount(value, one, decimals),
                 exact_text.plain_quantity(value, one, decimals)):
        assert quantity(plain(text)).value == value
        assert quantity(plain(text)).unit == one


@given(st.integers(1, 10**12), st.integers(0, 3))
def test_a_shown_frequency_reads_back(digits, places):
    """Neither is a frequency, on its way to an id."""
    number, rest = split_number(exact_text.frequency(F(digits, 10**places), plain=True))
    assert number * unit(rest).scale == F(digits, 10**places)


@given(st.text(max_size=30))
def test_any_text_has_a_slug(text):
    """Whatever a name holds, its slug can stand in an address."""
    assert set(exact_text.slug(text)) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")


@pytest.mark.parametrize("text, slug",
                         [("DC millivolts", "dc-millivolts"), ("DC µA", "dc-ua"),
                          ("kΩ range", "kohm-range"), ("  a--b ", "a-b"), ("Prüfung", "prufung")])
def test_slugs(text, slug):
    """Small letters, digits and hyphens, with micro and ohm spelt out."""
    assert exact_text.slug(text) == slug


@pytest.mark.parametrize("value, shown",
                         [("1", "1 count"), ("2", "2 counts"), ("0.5", "0.5 counts"),
                          ("0", "0 counts")])
def test_counts(value, shown):
    """One count, two counts."""
    assert exact_text.counts(F(value)) == shown


@pytest.mark.parametrize("joules, text", [
    ("8", "8 J"), ("0.25", "250 mJ"), ("81e-6", "81 µJ"), ("2.2505e-3", "2.3 mJ"),
    ("0.0999", "100 mJ"), ("1801", "1900 J"), ("1e-7", "0.1 µJ"), ("1.01", "1.1 J"), ("0", "0 µJ")])
def test_an_energy_is_never_less_than_it_is(joules, text):
    """Two figures, up."""
    assert exact_text.energy(F(joules)).replace("\u00a0", " ") == text
