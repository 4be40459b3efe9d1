"""Spans, counts, dates, addresses and the other single values of the files."""

from datetime import date
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from builder.files.problems import Wrong
from builder.formats import fields
from builder.formats.meter_texts import _coefficient, _lowest
from builder.numbers.units import unit


def field(kind, text):
    """The value that a field makes of a text, or the `Wrong` that it raises."""
    try:
        return TypeAdapter(kind).validate_python(text)
    except ValidationError as error:
        (one,) = error.errors()
        raise one["ctx"]["error"] from None


@pytest.mark.parametrize("text, low, high", [
    ("40 Hz to 1 kHz", "40", "1000"), ("40 to 400 Hz", "40", "400"),
    ("0.04 to 1 kHz", "40", "1000"), ("18 to 28 degC", "18", "28"),
    ("18 °C to 28 °C", "18", "28"), ("-10 to 50 °C", "-10", "50"), ("−10 to 50 degC", "-10", "50"),
    ("0.6 V to 3 V", "0.6", "3"), ("600 mV to 3 V", "0.6", "3"),
    ("0 mV to 200 mV", "0", "0.2"), ("20 000 Hz to 100 kHz", "20000", "100000"),
    ("0 to 75 %", "0", "75"), ("40  Hz   to  1 kHz", "40", "1000"),
])
def test_spans(text, low, high):
    """`A to B`, with one unit for both or each its own."""
    assert fields.span(text).band == (F(low), F(high))


@pytest.mark.parametrize("text, said", [
    ("40 Hz", "not a span"), ("40 Hz - 1 kHz", "not a span"), ("40 Hz…1 kHz", "not a span"),
    ("40 to 100 to 400 Hz", "not a span"),
    ("1 kHz to 40 Hz", "from high to low"), ("45 to 1 kHz", "from high to low"),
    ("40 Hz to 40 Hz", "no width"), ("-40 Hz to 400 Hz", "never below zero"),
    ("40 Hz to 1 kV", "goes from"), ("18 degC to 90 degF", "goes from"),
    ("40 to 400", "has no unit"), ("to 400 Hz", ""), ("40 Hz to", ""), ("40 Hz to x", ""),
])
def test_what_is_no_span(text, said):
    """Dashes, one value, ends exchanged or of two kinds are refused."""
    with pytest.raises(Wrong) as caught:
        fields.span(text)
    assert said in caught.value.sentence


@pytest.mark.parametrize("text", ["28 to 18 degC", "400 to 40 Hz"])
def test_exchanged_ends_are_offered_the_right_way_round(text):
    """What the hint says to write is a span with the same two ends."""
    with pytest.raises(Wrong) as caught:
        fields.span(text)
    low, high = fields.span(caught.value.hint.split("'")[1]).band
    assert {str(low), str(high)} == set(text.split()[0:3:2])


@pytest.mark.parametrize("text, counts",
                         [("6000 counts", 6000), ("6000", 6000), ("20 000 counts", 20_000),
                          ("1 count", None), ("10 counts", 10), ("6e3", 6000),
                          ("6000.5 counts", None), ("6,000 counts", None), ("-6000", None),
                          ("3 1/2 digits", None), ("6000 V", None), ("1e10", None), ("many", None)])
def test_counts(text, counts):
    """A display counts a whole number of counts, from 10 up."""
    if counts is None:
        with pytest.raises(Wrong):
            fields.counts(text)
    else:
        assert fields.counts(text) == counts


@pytest.mark.parametrize("text, expected", [
    ("2027-03-31", date(2027, 3, 31)), ("2028-02-29", date(2028, 2, 29)), ("2027-02-29", None),
    ("2027-13-01", None), ("31.3.2027", None), ("2027-3-1", None),
    ("20270331", None), ("2027-W13-3", None), ("2027-03-31T00:00", None), ("next year", None),
    ("03/04/2027", None), ("٢٠٢٧-٠٣-٣١", None),
])
def test_dates(text, expected):
    """Dates are year-month-day and exist in the calendar; nothing else, since 03/04 is two days in
    the year."""
    if expected is None:
        with pytest.raises(Wrong):
            field(fields.Date, text)
    else:
        assert field(fields.Date, text) == expected


@pytest.mark.parametrize("text, good",
                         [("dunlin-60", True), ("a", True), ("0", True), ("Dunlin-60", False),
                          ("dunlin_60", False), ("dunlin 60", False), ("-a", False), ("a-", False),
                          ("a--b", False), ("", False), ("a" * 60, True), ("a" * 61, False),
                          ("con", False), ("lpt1", False), ("index", False), ("../x", False),
                          ("größe", False), ("a\n", False)])
def test_addresses(text, good):
    """A file's name is small letters, digits and single hyphens, and can stand on every file
    system."""
    if good:
        assert field(fields.Slug, text) == text
    else:
        with pytest.raises(Wrong):
            field(fields.Slug, text)


@pytest.mark.parametrize("text, value",
                         [("600 V", "600"), ("0 V", None), ("-1 V", None), ("600", None)])
def test_positive_amounts(text, value):
    """A range, a resolution and a rating are above zero and have a unit."""
    if value is None:
        with pytest.raises(Wrong):
            field(fields.PositiveAmount, text)
    else:
        assert field(fields.PositiveAmount, text).value == F(value)


@pytest.mark.parametrize("text, percent, amount",
                         [("5 % of range", "5", None), ("10% of range", "10", None),
                          ("30 mV", None, "0.03"), ("0 V", None, None), ("-30 mV", None, None),
                          ("-200 degC", None, "-200"), ("−40 °F", None, "-40"),
                          ("0 degC", None, "0"), ("-200", None, None),
                          ("-5 % of range", None, None), ("5 % of reading", None, None)])
def test_lowest_specified_value(text, percent, amount):
    """The lowest specified value is a share of the range or an amount."""
    if percent is None and amount is None:
        with pytest.raises(Wrong):
            _lowest(text)
        return
    found = _lowest(text)
    assert found.percent_of_range == (None if percent is None else F(percent))
    assert (found.amount.value if found.amount else None) == (None if amount is None else F(amount))


@pytest.mark.parametrize("text, fraction, degrees",
                         [("0.1 per degC", "0.1", "degC"),
                          ("0.1 of accuracy per degC", "0.1", "degC"),
                          ("0.1 of the accuracy per °C", "0.1", "degC"), ("0.1/°C", "0.1", "degC"),
                          ("0.05 per degF", "0.05", "degF"), ("10 % per degC", None, None),
                          ("0.1", None, None), ("0.1 per V", None, None),
                          ("-0.1 per degC", None, None),
                          ("0.01 % per degC", None, None), ("0.1", None, None),
                          ("10 % of the accuracy per degC", "0.1", "degC"), ("none", "0", None),
                          ("0.01 % of reading per degC", "0", "degC"),
                          ("(0.01 % of reading + 1/2 count) per degC", "0", "degC")])
def test_temperature_coefficient(text, fraction, degrees):
    """A fraction of the accuracy per degree, or terms of its own; a bare percent could mean either
    and is refused; 'none' states nothing."""
    if fraction is None:
        with pytest.raises(Wrong):
            _coefficient(text)
    else:
        found = _coefficient(text)
        assert (found.fraction, found.unit) == (F(fraction), degrees and unit(degrees))
        assert (found.terms is not None) is ("of reading" in text)


@given(st.text(max_size=40))
def test_any_text_is_a_value_or_is_refused(text):
    """No text makes a field raise anything but a refusal."""
    for parse in (fields.span, fields.counts, fields.as_day, fields.slug, fields._boolean, _lowest,
                  _coefficient):
        try:
            parse(text)
        except Wrong:
            pass


@given(st.text(alphabet="0123456789.-− to%HzkmVdegCFper/of range,", max_size=24))
def test_text_of_the_fields_own_letters_is_a_value_or_is_refused(text):
    """Neither does text made of what the fields are made of."""
    for parse in (fields.span, fields.counts, _lowest, _coefficient):
        try:
            parse(text)
        except Wrong:
            pass
