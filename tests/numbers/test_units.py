"""Exact numbers and the units of the trade."""

from fractions import Fraction as F

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.files.problems import Wrong
from builder.numbers import units
from builder.numbers.unit_table import BY_DIMENSION, PREFIXES, UNITS
from builder.numbers.units import (celsius, decimal_text, decimals_of, plain_number, quantity,
                                   split_number, typed_unit, unit)


@pytest.mark.parametrize("texts, shown, ascii_, dimension, scale", [
    (["V", "volt", "volts"], "V", "V", "[voltage]", "1"),
    (["mV", "millivolt", "millivolts", "milliV"], "mV", "mV", "[voltage]", "1/1000"),
    (["uV", "\u00b5V", "\u03bcV", "microvolt", "microvolts", "microV"], "µV", "uV", "[voltage]",
     "1/1000000"),
    (["kV", "kilovolts"], "kV", "kV", "[voltage]", "1000"),
    (["A", "ampere", "amperes"], "A", "A", "[current]", "1"),
    (["mA", "milliampere"], "mA", "mA", "[current]", "1/1000"),
    (["uA", "\u00b5A", "\u03bcA", "microamperes"], "µA", "uA", "[current]", "1/1000000"),
    (["nA"], "nA", "nA", "[current]", "1/1000000000"),
    (["Ohm", "ohm", "ohms", "Ohms", "OHM", "\u03a9"], "Ω", "Ohm", "[resistance]", "1"),
    (["kOhm", "kohm", "kohms", "k\u03a9", "kiloohm", "kiloohms"], "kΩ", "kOhm", "[resistance]",
     "1000"),
    (["MOhm", "Mohm", "M\u03a9", "megohm", "Megohm", "MEGOHM", "megohms", "megaohm", "MegOhms"],
     "MΩ", "MOhm", "[resistance]", "1000000"),
    (["GOhm", "Gohm", "GΩ"], "GΩ", "GOhm", "[resistance]", "1000000000"),
    (["mOhm", "mΩ", "milliohm"], "mΩ", "mOhm", "[resistance]", "1/1000"),
    (["nF", "nanofarad"], "nF", "nF", "[capacitance]", "1/1000000000"),
    (["uF", "\u00b5F", "\u03bcF", "microfarads"], "µF", "uF", "[capacitance]", "1/1000000"),
    (["pF", "picofarad"], "pF", "pF", "[capacitance]", "1/1000000000000"),
    (["mF"], "mF", "mF", "[capacitance]", "1/1000"),
    (["nS"], "nS", "nS", "[conductance]", "1/1000000000"),
    (["Hz", "hertz"], "Hz", "Hz", "[frequency]", "1"),
    (["kHz", "kilohertz"], "kHz", "kHz", "[frequency]", "1000"),
    (["MHz", "megahertz"], "MHz", "MHz", "[frequency]", "1000000"),
    (["s", "second", "seconds"], "s", "s", "[time]", "1"),
    (["ms"], "ms", "ms", "[time]", "1/1000"),
    (["%", "percent"], "%", "%", "[ratio]", "1"),
    (["degC", "°C", "℃"], "°C", "degC", "[temperature]", "1"),
    (["degF", "°F", "℉"], "°F", "degF", "[temperature]", "5/9"),
    (["V Hz", "VHz", "V·Hz", "V*Hz"], "V·Hz", "V Hz", "[voltage-frequency]", "1"),
])
def test_spellings(texts, shown, ascii_, dimension, scale):
    """All spellings of a unit are one unit, with one way to show it."""
    for text in texts:
        found = unit(text)
        assert (found.shown, found.ascii, found.dimension,
                found.scale) == (shown, ascii_, dimension, F(scale)), text


@pytest.mark.parametrize("text, scale", [("\u2126", 1), ("k\u2126", 1000), ("M\u2126", 10**6)])
def test_the_ohm_sign_is_the_greek_letter(text, scale):
    """Data sheets and keyboards give either of two characters that look the same: the ohm sign and
    the capital omega."""
    assert (unit(text).dimension, unit(text).scale) == ("[resistance]", scale)


def test_kilohm_is_a_kiloohm():
    """The trade writes kilohm as it writes megohm; it is the right unit or a refusal that offers
    it."""
    try:
        assert unit("kilohm").scale == 1000
    except Wrong as wrong:
        assert "kohm" in wrong.hint


@pytest.mark.parametrize("text, offered", [
    ("hz", "Hz"), ("khz", "kHz"), ("KHz", "kHz"), ("KOhm", "kohm"), ("mv", "mV"), ("MV ", None),
    ("ma", "mA"), ("degc", "degC"), ("Uv", "uV"),
])
def test_a_misspelt_unit_is_refused_with_the_nearest_known_one(text, offered):
    """Small letters for capitals are not guessed but offered; a megavolt is a unit, if not of this
    bench."""
    if offered is None:
        assert unit(text).scale == 10**6
        return
    with pytest.raises(Wrong) as caught:
        unit(text)
    assert f"'{offered}'" in caught.value.hint


@pytest.mark.parametrize("base", UNITS, ids=lambda base: base.symbol)
def test_the_table_is_what_pint_has(base):
    """Each unit of the table with each of its prefixes has the size that pint's own registry, which
    knows nothing of the table, gives it."""
    registry = pint.UnitRegistry(non_int_type=F)
    word = base.words[0] if base.words else base.symbol
    for prefix, power in {"": 0, **(PREFIXES if base.takes_prefixes else {})}.items():
        made = unit(prefix + base.symbol)
        assert (made.dimension, made.base) == (base.dimension, base.symbol)
        assert unit(made.shown) == made and unit(made.ascii) == made
        if made.dimension in ("[temperature]", "[ratio]", "[voltage-frequency]"):
            continue  # scales that no factor joins, pint's percent of one, and a product
        long = {-12: "pico", -9: "nano", -6: "micro", -3: "milli", 3: "kilo", 6: "mega",
                9: "giga"}.get(power, "")
        size = registry.Quantity(F(1), long + word).to(registry.Unit(
            BY_DIMENSION[base.dimension].words[0])).magnitude
        assert made.scale == size, made


def test_fahrenheit_is_five_ninths_of_a_kelvin_in_pint_too():
    """A difference of temperature; the scales themselves are joined by no factor."""
    registry = pint.UnitRegistry(non_int_type=F)
    assert registry.Quantity(F(1), "delta_degF").to("kelvin").magnitude == unit("degF").scale


def test_words_that_are_no_units_take_half_a_second_together(monkeypatch):
    """pint's registry is made once, however many of them a file holds; the longest of a fuzzer's
    files took half a minute."""
    made = []
    plain = pint.UnitRegistry
    monkeypatch.setattr(pint, "UnitRegistry", lambda: made.append(1) or plain())
    units._all_units.cache_clear()
    for word in ("furlongs", "parsecs", "bushels", "furlongs"):
        with pytest.raises(Wrong):
            quantity(f"3 {word}")
    assert len(made) == 1


@pytest.mark.parametrize("text, hint", [
    ("bar", "something else"), ("kilogram", "something else"), ("feet", "a length, written in m"),
    ("fortnight", "a time, written in s"), ("statvolt", "write for example"),
    ("xyzzy", "write for"),
])
def test_what_pint_knows_serves_the_hint(text, hint):
    """A unit of another trade is refused all the same, and the hint says what it measures."""
    with pytest.raises(Wrong) as caught:
        unit(text)
    assert hint in caught.value.hint


@pytest.mark.parametrize("typed, ascii_", [
    ("mv", "mV"), ("MV", "MV"), ("Mv", "MV"), ("kv", "kV"), ("KV", "kV"), ("ohm", "Ohm"),
    ("OHMS", "Ohm"), ("kohm", "kOhm"), ("KΩ", "kOhm"), ("megohm", "MOhm"), ("gohm", "GOhm"),
    ("µa", "uA"), ("UA", "uA"), ("NF", "nF"), ("hz", "Hz"), ("mHz", "mHz"), ("MHZ", "MHz"),
    ("millivolts", "mV"), ("ns", "nS"), ("%", "%"), ("Percent", "%"), ("° C", "degC"),
    ("deg F", "degF"), ("℃", "degC"),
])
def test_a_typed_unit_needs_no_capitals(typed, ascii_):
    """A thumb on a phone types small letters; only m and M are told apart."""
    assert typed_unit(typed).ascii == ascii_


@pytest.mark.parametrize("typed", ["", "m", "k", "x", "mm", "min", "V Hz", "mdegC", "k%", "kkV"])
def test_what_no_display_shows_is_no_typed_unit(typed):
    """Neither a prefix alone nor a unit of time or length."""
    assert typed_unit(typed) is None


@pytest.mark.parametrize("text", ["", " ", "V/Hz", "V**2", "V^2", "1 V", "V + V", "kkohm", "mmV",
                                  "uuA", "mdegC", "k%", "dB", "dBm", "W", "K", "As", "Vs",
                                  "__import__('os')", "lambda: 0", "nan", "inf", "e", "V\u200b",
                                  "Hz Hz", "x" * 500, "ＶV", "µ", "k", "micro", "M"])
def test_what_is_not_one_unit_of_the_trade_is_refused(text):
    """No expression, no power, no doubled prefix and no unit of another trade gets through."""
    with pytest.raises(Wrong):
        unit(text)


@pytest.mark.parametrize("text, number, rest", [
    ("600 mV", "600", "mV"), ("600mV", "600", "mV"), ("0.6 V", "0.6", "V"), (".5 V", "0.5", "V"),
    ("-3 V", "-3", "V"), ("−3 V", "-3", "V"),
    ("+3 V", "3", "V"), ("- 3 V", "-3", "V"), ("1e3 Hz", "1000", "Hz"), ("1.5e-3 V", "0.0015", "V"),
    ("2E+2 V", "200", "V"), ("007 V", "7", "V"),
    ("20 000 counts", "20000", "counts"), ("1 000 000 Hz", "1000000", "Hz"),
    ("20\u00a0000 Hz", "20000", "Hz"), ("20\u202f000 Hz", "20000", "Hz"),
    ("0.10 V", "0.1", "V"), ("0.000000000000000001 V", "1/1000000000000000000", "V"),
    ("5 e", "5", "e"),
])
def test_numbers(text, number, rest):
    """A number stays exactly what was typed, with a true minus, an exponent or spaces between
    groups of three."""
    assert split_number(text) == (F(number), rest)


@pytest.mark.parametrize("text",
                         ["", "V", "mV 600", "0,6 V", "1,000 V", "1'000 V", "1’000 V", "1.2.3 V",
                          "1..2 V", "5. V", "1 2 V", "12 34 V", "1e V2 ", "1e3.5 V",
                          "--3 V", "0x10 V", "12:30", "1_000 V", "1234567890123456789 V", "1e19 V",
                          "1e-19 V", "on", "NaN V", "inf V", "1/3 V", "½ V", "٣,٥ V"])
def test_what_is_not_one_exact_number_is_refused(text):
    """Commas, marks, two numbers, too many digits, hexadecimal, base sixty and words are no
    quantity."""
    with pytest.raises(Wrong):
        quantity(text)


def test_equal_quantities_have_equal_values():
    """600 mV, 0.6 V and 600.0 mV are one value, and each keeps the unit it was given in."""
    values = {quantity(t).value
              for t in ("600 mV", "0.6 V", "600.0 mV", "600000 uV", "0.0006 kV", "6e2 mV")}
    assert values == {F(6, 10)}
    assert str(quantity("600.0 mV")) == "600 mV"


def test_a_temperature_keeps_its_own_scale():
    """Percent terms mean degrees as they were written: 100 °F is 100, not 37.8."""
    assert quantity("100 degF").value == 100 and quantity("100 degC").value == 100


def test_a_plain_number_has_no_unit():
    """Where a plain number is due, a unit is refused and named."""
    assert plain_number("0.1", "it") == F(1, 10)
    with pytest.raises(Wrong) as caught:
        plain_number("0.1 V", "it")
    assert "V" in caught.value.hint


@given(st.integers(-10**17, 10**17), st.integers(0, 17), st.integers(0, 6))
def test_decimal_text_and_split_number_round_trip(digits, places, at_least):
    """What is written of an exact decimal reads back as the same number, with at least the decimals
    asked for."""
    number = F(digits, 10**places)
    text = decimal_text(number, at_least)
    if len(text.replace("-", "").replace(".", "").lstrip("0")) <= 18:
        assert split_number(text) == (number, "")
    assert len(text.partition(".")[2]) >= at_least
    assert decimals_of(number) <= places
    assert F(text) == number


@pytest.mark.parametrize("number, decimals, text", [
    ("0", 0, "0"), ("0", 3, "0.000"), ("3", 3, "3.000"), ("-0.5", 0, "-0.5"), ("-0.05", 1, "-0.05"),
    ("1/8", 0, "0.125"), ("20000", 0, "20000"), ("1/1000000", 0, "0.000001"),
])
def test_decimal_text(number, decimals, text):
    """Exact decimals, never rounded, with trailing zeros only as asked for."""
    assert decimal_text(F(number), decimals) == text


def test_a_fraction_without_an_end_is_no_decimal():
    """A third is not silently rounded."""
    with pytest.raises(ValueError):
        decimal_text(F(1, 3))


@given(st.text(max_size=40))
def test_any_text_is_a_quantity_or_is_refused(text):
    """No text makes anything but a quantity or a refusal."""
    try:
        quantity(text)
    except Wrong:
        pass


@given(st.text(alphabet="0123456789.,eE+-−  \u00a0mVkMuµΩohHz%°CF'_:x", max_size=20))
def test_text_of_the_trades_letters_is_a_quantity_or_is_refused(text):
    """Neither does text made of the letters and signs that quantities are made of."""
    try:
        quantity(text)
    except Wrong:
        pass


UNITS = {"V": ("[voltage]", F(1)), "mV": ("[voltage]", F(1, 1000)),
         "uV": ("[voltage]", F(1, 10**6)), "\u00b5A": ("[current]", F(1, 10**6)),
         "kohm": ("[resistance]", F(1000)), "MΩ": ("[resistance]", F(10**6)),
         "pF": ("[capacitance]", F(1, 10**12)), "nS": ("[conductance]", F(1, 10**9)),
         "Hz": ("[frequency]", F(1)), "MHz": ("[frequency]", F(10**6)), "%": ("[ratio]", F(1)),
         "°C": ("[temperature]", F(1)), "ms": ("[time]", F(1, 1000))}


@given(st.sampled_from(["", "-", "−", "+"]),
       st.from_regex(r"[0-9]{1,9}(\.[0-9]{1,8})?", fullmatch=True),
       st.sampled_from(["", "e3", "E+2", "e-5"]), st.sampled_from(["", " ", "\u00a0", "  "]),
       st.sampled_from(sorted(UNITS)))
def test_an_accepted_text_is_exact(sign, digits, exponent, gap, name):
    """Any sign, number of up to 17 digits, exponent, gap and unit of the trade: the number is
    what Python's own reader of decimals makes of the text, and the value that times the unit."""
    found = quantity(f"{sign}{digits}{exponent}{gap}{name}")
    number = F(sign.replace("−", "-") + digits + exponent)
    dimension, scale = UNITS[name]
    assert isinstance(found.number, F) and isinstance(found.value, F)
    assert (found.number, found.value, found.dimension) == (number, number * scale, dimension)


@pytest.mark.parametrize("typed, degrees", [
    ("212 degF", "100"), ("32 degF", "0"), ("-40 degF", "-40"), ("73.4 degF", "23"),
    ("0 degF", "-160/9"), ("-40 degC", "-40"), ("73.4 degC", "73.4"),
])
def test_either_scale_in_celsius(typed, degrees):
    """(t/°F − 32)·5/9, and no decimal where it has none."""
    one = quantity(typed)
    assert celsius(one.number, one.unit) == F(degrees)
