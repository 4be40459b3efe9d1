"""Points that are written down and not judged: on which range, and what to look for there."""

from fractions import Fraction as F

import pytest

from builder.procedure.observations import rounded_frequency
from tests.procedure.test_planned_points_hostile_tables import GAPS
from tests.procedure.test_refusals import AC, COUNTER, DC, WAVES
from tests.small_shop import function, load_points, only_problem, range_, the_procedure


def test_an_observation_outside_the_specification_has_no_limit(tmp_path):
    """In a gap the plan may observe: the point stands on the sheet, without limits."""
    (point,) = the_procedure(
        load_points(tmp_path, GAPS,
                    {"apply": "3 V", "frequency": "1.5 kHz", "observe": "a gap"})).points
    assert (point.accept_from, point.accept_to, point.tolerance,
            point.observe) == ("", "", "", "a gap")


def observed(folder, one: dict, **point):
    return load_points(folder, one, {"observe": "for the record"} | point)


@pytest.mark.parametrize("apply, named", [
    ("0.3 V", "600\u00a0mV"), ("3 V", "6\u00a0V"), ("7 V", "6\u00a0V")])
def test_an_observation_stands_on_the_lowest_range_that_shows_it(apply, named, tmp_path):
    """Beyond the highest range it stands on that one, where an overload is what is looked for."""
    (point,) = the_procedure(observed(tmp_path, DC, apply=apply)).points
    assert point.range.replace("\u202f", "\u00a0") == named


@pytest.mark.parametrize("more, code", [
    ({"apply": "7 V", "force_range": "6 V"}, "beyond-range"),
    ({"apply": "0.3 V", "range": "6 V"}, "other-range"),
    ({"apply": "7 V", "range": "6 V"}, "beyond-range")])
def test_a_range_that_the_plan_names_holds(more, code, tmp_path):
    """Where the value is beyond it, or the meter would choose another."""
    assert only_problem(observed(tmp_path, DC, **more)).code == code


def test_a_current_beyond_the_highest_range_is_not_observed(tmp_path):
    """It would meet the shunt; a voltage meets only the divider."""
    amps = function("DC current", range_("6 A", "1 mA", "1 %"))
    assert only_problem(observed(tmp_path, amps, apply="7 A")).code == "beyond-range"


def test_no_minus_is_observed_where_the_display_shows_none(tmp_path):
    """An AC function has no sign."""
    assert only_problem(
        observed(tmp_path, AC, apply="-3 V", frequency="50 Hz")).code == "no-minus"


def test_the_bandwidth_is_looked_for_up_to_the_end_of_the_source(tmp_path):
    """3 V at 50 Hz on 1 % + 3 counts: the reading leaves 2.967 to 3.033 V; the source ends at
    2 kHz."""
    (point,) = the_procedure(
        load_points(tmp_path, AC, {"apply": "3 V", "frequency": "50 Hz", "find": "bandwidth"},
                    standard_file=WAVES)).points
    said = " ".join(point.observe.replace("\u202f", " ").split())
    assert "at most to 2 kHz" in said and "leaves 2.967 V to 3.033 V" in said


def test_the_ceiling_ends_where_the_input_s_product_does(tmp_path):
    """20 000 V·Hz at a level of 5 V are 4 kHz."""
    (point,) = the_procedure(
        load_points(tmp_path, COUNTER, {"apply": "1 kHz", "level": "5 V", "find": "ceiling"})
    ).points
    assert "at most to 4 kHz" in " ".join(point.observe.replace("\u202f", " ").split())


@pytest.mark.parametrize("hertz, text", [
    ("2345", "2.34 kHz"), ("9999", "9.99 kHz"), ("400", "400 Hz"), ("123456", "123 kHz"),
    ("20000000", "20 MHz"), ("45.67", "45.6 Hz")])
def test_a_frequency_fits_a_sheet(hertz, text):
    """Three figures, always down, so that no source is asked for more than is allowed."""
    assert rounded_frequency(F(hertz)).replace("\u00a0", " ") == text
