"""How a limit came about: accuracies in the trade's notation, and a point in its own numbers."""

from fractions import Fraction as F

import pytest

from builder.compute.exact.points import on_range
from builder.compute.exact.tolerance import Accuracy
from builder.numbers.units import unit
from builder.procedure.how_computed import accuracy_text, worked
from tests.procedure.test_point_uncertainty import DC
from tests.small_shop import (function, load, load_points, meter, range_,
                              the_procedure)


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


def worked_lines(folder, one: dict, apply: str, **more) -> list[str]:
    made = the_procedure(load_points(folder, one, {"apply": apply}, **more))
    view, point = made.points[0].planned.function, made.points[0].planned
    return [line.replace("\u00a0", " ") for line in worked(view, point.judged, None)]


def test_a_worked_point_by_hand(tmp_path):
    """3 V at 0.5 % and 2 counts: 15 mV and 2 mV; every number is that of the table."""
    assert worked_lines(tmp_path, DC, "3 V") == [
        "3.000 V on the 6 V range, ±(0.5 % + 2 counts)",
        "Tolerance: 0.5 % × 3.000 V + 2 × 0.001 V = 0.015 V + 0.002 V = 0.017 V",
        "Tolerance limits: 2.983 V and 3.017 V",
        "Accepted, in steps of 0.001 V: 2.983 V to 3.017 V"]


def test_a_worked_point_outside_the_reference_temperature(tmp_path):
    """The same two degrees beyond, at 0.1 a degree: 1.2 times, and inward to the display."""
    given = {"source": "x", "holds": "18 to 28 degC", "temperature_coefficient": "0.1 per degC"}
    lines = worked_lines(tmp_path, DC, "3 V", specification=given,
                         plan_more={"ambient": "30 to 33 degC"})
    assert lines[1:] == [
        "Tolerance: 1.2 × (0.5 % × 3.000 V + 2 × 0.001 V) = 1.2 × (0.015 V + 0.002 V) = 0.0204 V",
        "Tolerance limits: 2.9796 V and 3.0204 V",
        "Accepted, in steps of 0.001 V: 2.980 V to 3.020 V"]


def test_a_worked_point_that_is_clamped(tmp_path):
    """At 0 Ω, ± 5 counts: no display without a minus shows −0.5, so it is 0."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
    view = load(tmp_path, meter(ohms)).functions["lapwing-1"]["resistance"]
    (on,) = view.table.ranges
    judged = on_range(function=view.table, on=on, applied=F(0), frequency=None)
    assert worked(view, judged, None)[-1].replace("\u00a0", " ") == (
        "Accepted, in steps of 0.1 Ω: 0.0 Ω to 0.5 Ω (0 instead of a reading below it)")
