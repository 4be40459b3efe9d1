"""The sentences of a sheet: accuracies in the trade's notation, warnings, and how a limit came
about."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.points import on_range
from builder.compute.exact.tolerance import Accuracy
from builder.formats.fields import span
from builder.numbers.units import unit
from builder.procedure.sentences import (accuracy_text, check_closing, check_opening,
                                         check_warnings, junctions, rounded_frequency, worked)
from tests.procedure.test_point_uncertainty import DC
from tests.procedure.test_supplies_reference_meter import GUARDED, VOLTS, compared
from tests.small_shop import function, load, load_points, meter, range_, row, the_procedure


def test_the_worked_line_of_a_comparison(tmp_path):
    """Under a guard band the evidence prints no empty limits."""
    procedure = the_procedure(compared(tmp_path, VOLTS, "3 V", rule=GUARDED))
    (shown,) = procedure.evidence.functions
    assert not any("display:  to " in line for line in shown.worked)


V = unit("V")


@pytest.mark.parametrize("accuracy, text", [
    (Accuracy(F("0.5"), F(2), F(0), F(0)), "0.5 % + 2 counts"),
    (Accuracy(F("0.05"), F(0), F("0.01"), F(0)), "0.05 % of reading + 0.01 % of range"),
    (Accuracy(F("0.005"), F(0), F(0), F("0.00002")), "0.005 % + 0.00002 V"),
    (Accuracy(F(0), F(1), F(0), F(0)), "1 count"), (Accuracy(F(0), F("0.5"), F(0), F(0)),
                                                    "0.5 counts"),
    (Accuracy(F(0), F(0), F("0.1"), F(0)), "0.1 % of range"),
])
def test_an_accuracy_in_the_trades_notation(accuracy, text):
    """Percent alone is of the reading, as data sheets write it; 'of reading' stands only beside
    percent of range."""
    assert accuracy_text(accuracy, V).replace("\u00a0", " ") == text


@pytest.mark.parametrize("hertz, text", [
    ("2345", "2.34 kHz"), ("9999", "9.99 kHz"), ("400", "400 Hz"), ("123456", "123 kHz"),
    ("20000000", "20 MHz"), ("45.67", "45.6 Hz")])
def test_a_frequency_fits_a_sheet(hertz, text):
    """Three figures, always down, so that no source is asked for more than is allowed."""
    assert rounded_frequency(F(hertz)).replace("\u00a0", " ") == text


@pytest.mark.parametrize("ambient, low, high", [
    ("20 to 26 degC", 18, 28), ("18 to 28 degC", 18, 28), ("15.5 to 26 degC", 15, 28),
    ("20 to 30.1 degC", 18, 31), ("59 to 95 degF", 15, 35)])
def test_the_junctions_of_a_table(ambient, low, high):
    """Those of a workshop, 18 to 28 °C, or the sheet's own band where it is wider, in whole
    degrees outward."""
    assert junctions(span(ambient)) == (low, high)


def test_what_opens_and_closes_checks():
    """Inside the case and with the battery out: leads off first, covers closed at the end, and a
    warning for the first; what is at hand is named."""
    assert check_opening("opened") == check_opening("battery and fuses") == (
        "Leads: unplugged from meter and source", "Meter: switched off")
    assert check_opening("by eye") == () == check_closing("by eye")
    assert check_opening("inputs", ("a diode", "a fuse"))[-1] == "At hand: a diode, a fuse"
    assert check_closing("opened") == check_closing("battery and fuses") == (
        "Covers: closed and fastened",)
    assert [one.word for one in check_warnings("opened")] == ["WARNING"]
    assert check_warnings("battery and fuses") == check_warnings("inputs") == ()


# ---------------------------------------------------------------- warnings

def warned(folder, one: dict, *points: dict, **more) -> list[list[str]]:
    """Word and hazard of each warning, by group."""
    made = the_procedure(load_points(folder, one, *points, **more))
    return [[f"{w.word}: {w.text}".replace("\u00a0", " ") for w in group.warnings]
            for group in made.groups if group.points and group.stage != "proving"]


def test_a_warning_for_what_can_kill(tmp_path):
    """With the highest voltage of the group, DC or AC; above 60 V of DC and 30 V of AC, and once
    more where the rating to earth ends below."""
    volts = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))
    rated = {"rated": {"between_terminals": "1000 V", "CAT III": "300 V"}}
    assert warned(tmp_path / "a", volts, {"apply": ["50 V", "200 V", "300 V"]}, **rated) == [
        [], ["WARNING: up to 300 V DC at terminals and leads."]]
    assert warned(tmp_path / "b", volts, {"apply": "540 V"}, **rated) == [
        ["WARNING: up to 540 V DC at terminals and leads.",
         "WARNING: above the meter's rated voltage to earth."]]
    ac = function("AC voltage",
                  range_("600 V", "0.1 V", [row("1 %", frequency="40 Hz to 400 Hz")],
                         lowest="30 V"))
    assert warned(tmp_path / "c", ac, {"apply": "200 V", "frequency": "50 Hz"}, **rated) == [
        ["WARNING: up to 200 V AC at terminals and leads."]]


def test_a_caution_for_what_can_burn(tmp_path):
    """Current jacks, and once for each range that is on for a time only."""
    amps = function("DC current",
                    range_("10 A", "10 mA", "1 % + 3 counts", on_at_most="30 s",
                           off_at_least="10 min"), jacks=["A", "COM"])
    assert warned(tmp_path, amps, {"apply": ["5 A", "9 A", "-9 A"]}) == [
        ["CAUTION: current jacks are nearly a short circuit.",
         "CAUTION: 10 A range: on for at most 30 s, then off for at least 10 min."]]


# ---------------------------------------------------------------- how a limit came about

def worked_lines(folder, one: dict, apply: str, **more) -> list[str]:
    made = the_procedure(load_points(folder, one, {"apply": apply}, **more))
    view, point = made.points[0].planned.function, made.points[0].planned
    growth = F("1.2") if "plan_more" in more else F(1)
    return [line.replace("\u00a0", " ") for line in worked(view, point.judged, None, growth)]


def test_a_worked_point_by_hand(tmp_path):
    """3 V at 0.5 % and 2 counts: 15 mV and 2 mV; every number is that of the table."""
    assert worked_lines(tmp_path, DC, "3 V") == [
        "3.000 V on the 6 V range, ±(0.5 % + 2 counts)",
        "Tolerance: 0.5 % × 3.000 V + 2 × 0.001 V = 0.015 V + 0.002 V = 0.017 V",
        "Exact limits: 2.983 V and 3.017 V",
        "Accepted, in steps of 0.001 V: 2.983 V to 3.017 V"]


def test_a_worked_point_outside_the_reference_temperature(tmp_path):
    """The same two degrees beyond, at 0.1 a degree: 1.2 times, and inward to the display."""
    given = {"source": "x", "holds": "18 to 28 degC", "temperature_coefficient": "0.1 per degC"}
    lines = worked_lines(tmp_path, DC, "3 V", specification=given,
                         plan_more={"ambient": "30 to 33 degC"})
    assert lines[1:] == [
        "Tolerance: 1.2 × (0.5 % × 3.000 V + 2 × 0.001 V) = 1.2 × (0.015 V + 0.002 V) = 0.0204 V",
        "Exact limits: 2.9796 V and 3.0204 V",
        "Accepted, in steps of 0.001 V: 2.980 V to 3.020 V"]


def test_a_worked_point_that_is_clamped(tmp_path):
    """At 0 Ω, ± 5 counts: no display without a minus shows −0.5, so it is 0."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
    view = load(tmp_path, meter(ohms)).functions["lapwing-1"]["resistance"]
    (on,) = view.table.ranges
    judged = on_range(function=view.table, on=on, applied=F(0), frequency=None)
    assert worked(view, judged, None, F(1))[-1].replace("\u00a0", " ") == (
        "Accepted, in steps of 0.1 Ω: 0.0 Ω to 0.5 Ω (0 instead of a reading below it)")
