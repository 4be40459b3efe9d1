"""What people type as a reading: numbers, units and overload as a phone and a form take them."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from builder.files.problems import Wrong
from builder.records.typed import TypedReading, display, parse, places, shown_unit
from tests.records.test_verdict import POINT, point


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
    ({"kind": "observation", "level": "1 mV"}, {"unit": "V"}),
])
def test_what_is_known_of_the_display(more, known):
    """An observation may show more than its range does; a bandwidth is a frequency, and a
    sensitivity a level."""
    assert display(point(**more)) == known


@pytest.mark.parametrize("unit, shown", [("uV", "µV"), ("kOhm", "kΩ"), ("degF", "°F"), ("u", "u"),
                                         ("Hz", "Hz")])
def test_a_unit_as_a_reader_expects_it(unit, shown):
    assert shown_unit(unit) == shown


@pytest.mark.parametrize("typed, more, sentence, hint", [
    ("three", {}, "“three” is no number",
     "a reading, OL for overload, or '-' for a step that was not done"),
    ("x" * 31, {}, f"“{'x' * 30}” is no number",
     "a reading, OL for overload, or '-' for a step that was not done"),
    ("1'000" + "0" * 30, {}, f"“1'000{'0' * 25}” can be read in two ways",
     "write a point before decimals, and nothing between thousands"),
    ("1" * 19, {}, "more digits than any display shows", "a digit is mistyped"),
    ("5 " + "x" * 21, {}, f"“{'x' * 20}” is no unit known here: this reading is in V",
     "write the number alone: the unit is that of the sheet"),
    ("3.0000", {"decimals": 3}, "“3.0000” has 4 decimals, and the display shows 3 decimals on this "
     "range", "with more it was on another range, where these limits don't hold; or a digit is "
     "mistyped"),
    ("3.0" + "0" * 14 + " " * 20 + "V", {"decimals": 1},
     f"“3.0{'0' * 14}{' ' * 13}” has 15 decimals, and the display shows one decimal on this range",
     "with more it was on another range, where these limits don't hold; or a digit is mistyped"),
    ("1" * 17 + "3" + " " * 20 + "V", {"resolution": F(5)},
     f"“{'1' * 17}3{' ' * 12}” can't be shown: the display counts in steps of 5\u00a0V on this "
     "range", "read the sheet again: a digit is mistyped"),
])
def test_what_is_refused_names_what_was_typed(typed, more, sentence, hint):
    """Not more of it than a line has room for, and with a hint."""
    with pytest.raises(Wrong) as caught:
        parse(typed, unit="V", **more)
    assert (caught.value.sentence, caught.value.hint) == (sentence, hint)


@pytest.mark.parametrize("typed, value", [
    ("999999999999999999", "999999999999999999"), ("12,345 V", None), ("123,456", None),
    ("1,2345", "1.2345"), ("1.234", "1.234"), ("0,999", "0.999"), ("0123,456", "123.456"),
    ("1000,123", "1000.123"), ("5. V", "5"), ("\u20091\u202f000.5\u00a0V", "1000.5"),
])
def test_where_a_comma_is_in_doubt(typed, value):
    """Only between up to three digits and just three, and where the display's decimals aren't
    known."""
    if value is None:
        with pytest.raises(Wrong, match="two ways"):
            parse(typed, unit="V")
    else:
        assert parse(typed, unit="V").value == F(value)


def test_as_many_decimals_as_were_typed():
    """Where the display's aren't known, as for what is only written down."""
    assert parse("3.10", unit="V").text == "3.10 V" and parse("3", unit="V").text == "3 V"


@pytest.mark.parametrize("figure, decimals", [("0.001 V", 3), ("1 V", 0), ("0.10 mV", 2)])
def test_the_places_of_a_figure(figure, decimals):
    """Of the number as it is printed."""
    assert places(point(resolution="0.001 V", uncertainty=POINT["uncertainty"]
                        | {"u": figure}).uncertainty.u) == decimals
