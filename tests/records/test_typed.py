"""What people type as a reading: numbers, units and overload as a phone and a form take them."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from builder.files.problems import Wrong
from builder.records.typed import TypedReading, display, parse, shown_unit
from tests.records.test_verdict import point


@pytest.mark.parametrize("typed, value",
                         [("3", "3.000 V"), (" 3.0 v ", "3.000 V"), ("-.5", "-0.500 V"),
                          ("1 000", "1000.000 V"), ("+2,5", "2.500 V")])
def test_what_people_type_is_completed_and_never_changed(typed, value):
    """Zeros are put behind, and nothing else."""
    assert parse(typed, unit="V", decimals=3).text == value


# ---------------------------------------------------------------- units, overload, what is refused

@pytest.mark.parametrize("typed, unit, text", [
    ("1.5 mV", "mV", "1.5 mV"), ("1.5 MV", "mV", None), ("1.5 millivolts", "mV", "1.5 mV"),
    ("1.5 milliV", "mV", "1.5 mV"), ("47 µF", "uF", "47 uF"), ("47 μF", "uF", "47 uF"),
    ("47 UF", "uF", "47 uF"), ("100 Ω", "Ohm", "100 Ohm"), ("100 ohms", "Ohm", "100 Ohm"),
    ("1 KΩ", "kOhm", "1 kOhm"), ("1 mΩ", "MOhm", None), ("1 megohm", "MOhm", "1 MOhm"),
    ("20 °", "degC", "20 degC"), ("20 C", "degC", "20 degC"), ("20 F", "degC", None),
    ("20 ℃", "degC", "20 degC"), ("50 percent", "%", "50 %"), ("5 hz", "Hz", "5 Hz"),
])
def test_a_unit_is_that_of_the_sheet_however_it_is_spelt(typed, unit, text):
    """Capitals matter only where they tell milli from mega; another prefix was another range, and
    is refused."""
    if text is None:
        with pytest.raises(Wrong):
            parse(typed, unit=unit)
    else:
        assert parse(typed, unit=unit).text == text


@pytest.mark.parametrize("typed, says", [
    ("5 kV", "the sheet is in V, not in kV: if the display showed kV, it was on another range"),
    ("5 A", "this reading is in V, not in A"), ("5 furlongs", "“furlongs” is no unit known here"),
    ("OL A", "this reading is in V, not in A"), ("volts", "is no number"), ("-", "is no number"),
    ("1.2.3", "can be read in two ways"), ("1,234", "can be read in two ways"),
    ("1'000", "can be read in two ways"), ("1234567890123456789", "more digits"),
])
def test_what_is_refused_says_why(typed, says):
    """At the bench another range, another quantity and a slip of the finger are three things."""
    with pytest.raises(Wrong) as caught:
        parse(typed, unit="V")
    assert says in caught.value.sentence and caught.value.hint


@pytest.mark.parametrize("typed, decimals, value", [
    ("1,234", 3, "1.234"), ("1,23", None, "1.23"), ("0,123", None, "0.123"),
    ("12 345.6", 1, "12345.6"), ("12\u202f345", 0, "12345"), ("1 2", 0, None), ("–3.0", 1, "-3"),
    ("-0", 1, "0"), (".25", 2, "0.25"), ("7.", 1, "7"),
])
def test_marks_and_spaces(typed, decimals, value):
    """A comma is a point where the display's decimals leave no doubt; spaces stand between groups
    of three only."""
    if value is None:
        with pytest.raises(Wrong):
            parse(typed, unit="V", decimals=decimals)
    else:
        assert parse(typed, unit="V", decimals=decimals).value == F(value)


@pytest.mark.parametrize("typed", ["OL", "ol", "0L", "O.L", ".OL", "-OL", "over", "over load",
                                   "OFL", "ovl V", "OL V"])
def test_an_overload_has_no_value(typed):
    assert parse(typed, unit="V") == TypedReading(None, "OL")


def test_nothing_is_no_reading():
    assert parse("", unit="V") is None and parse("  \u00a0", unit="V") is None


@pytest.mark.parametrize("typed, fits", [("3.005", True), ("3.000", True), ("3.003", False)])
def test_a_display_that_counts_in_fives(typed, fits):
    """What it can't show was mistyped."""
    if fits:
        assert parse(typed, unit="V", decimals=3, resolution=F("0.005")).value == F(typed)
    else:
        with pytest.raises(Wrong, match="steps of 0.005"):
            parse(typed, unit="V", decimals=3, resolution=F("0.005"))


@pytest.mark.parametrize("more, known", [
    ({}, {"unit": "V", "decimals": 3, "resolution": F("0.001")}),
    ({"kind": "observation"}, {"unit": "V"}),
    ({"kind": "observation", "find": "bandwidth"}, {"unit": "Hz"}),
    ({"kind": "observation", "find": "sensitivity", "level": "1 mV"}, {"unit": "mV"}),
])
def test_what_is_known_of_the_display(more, known):
    """An observation may show more than its range does; a bandwidth is a frequency, and a
    sensitivity a level."""
    assert display(point(**more)) == known


@pytest.mark.parametrize("unit, shown", [("uV", "µV"), ("kOhm", "kΩ"), ("degF", "°F"), ("u", "u"),
                                         ("Hz", "Hz")])
def test_a_unit_as_a_reader_expects_it(unit, shown):
    assert shown_unit(unit) == shown
