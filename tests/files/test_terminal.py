"""What may be typed in a terminal, and what it can show."""

import argparse
import io
from datetime import date

import pytest

from builder.files import terminal


def test_signs_that_a_terminal_lacks_are_spelt_out():
    """Each by a word of its own, what has none by a question mark."""
    kept = io.BytesIO()
    stream = io.TextIOWrapper(kept, encoding="ascii")
    terminal.spell_out(stream)
    stream.write("−3.000\u00a0V ± 2 µV, 5 Ω, 23 °C, ☃")
    stream.flush()
    assert kept.getvalue() == b"-3.000 V +/- 2 uV, 5 Ohm, 23 degC, ?"


def test_wrong_usage_says_what_could_have_been_named(capsys):
    """Behind the sentence of the library."""
    parser = terminal.Parser("sheets")
    parser.add_argument("meter")
    parser.known = lambda: "\nmeters here: lapwing-1"
    with pytest.raises(SystemExit):
        parser.parse_args([])
    assert capsys.readouterr().err.endswith("meters here: lapwing-1\n")


def test_a_day():
    """By its date, or the machine's own."""
    assert terminal.day(" 2026-11-25 ") == date(2026, 11, 25)
    assert abs((terminal.day("today") - date.today()).days) <= 1
    for typed in ("", "tomorrow", "20261125", "25.11.2026", "2026-13-01"):
        with pytest.raises(argparse.ArgumentTypeError, match="is no day"):
            terminal.day(typed)


@pytest.mark.parametrize("typed", ["1", " 7 ", "999999"])
def test_a_seed_is_a_whole_number(typed):
    """From 1 to 999999, with blanks around it or none."""
    assert terminal.seed(typed) == int(typed)


@pytest.mark.parametrize("typed", ["0", "1000000", "-1", "1.5", "", "٣", "x"])
def test_what_is_no_seed_is_refused(typed):
    """With the number that was typed."""
    with pytest.raises(argparse.ArgumentTypeError, match="no whole number"):
        terminal.seed(typed)
