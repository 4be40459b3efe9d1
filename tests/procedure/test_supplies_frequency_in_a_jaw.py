"""The frequency of a current that a jaw measures: the source's current through a coil, whose turns
change the level and never the frequency."""

from fractions import Fraction

import pytest

from builder.procedure.groups import _stage_kind
from tests.small_shop import (coil, codes, function, load_points, only_problem, range_, standard,
                              the_procedure)

HERTZ = {"function": "frequency", "name": "frequency by the clamp", "clamp": "yes",
         "signal": "current", "dial": "A AC", "sensitivity": "5 A",
         "ranges": [range_("60 Hz", "0.01 Hz", "0.1 % + 2 counts"),
                    range_("600 Hz", "0.1 Hz", "0.1 % + 2 counts")]}
SOURCE = standard({"frequency": {"values": "10 Hz to 1 kHz", "level": "100 mA to 2 A",
                                 "within": "50 ppm"}})


COIL = coil()


def made(folder, point, by=(SOURCE, COIL)):
    return load_points(folder, HERTZ, point, standards=list(by))


def test_limits_and_setting_by_hand(tmp_path):
    """50 Hz ± (0.05 + 0.02) Hz; 20 A in the jaw are 0.4 A in each of 50 turns."""
    procedure = the_procedure(made(tmp_path, {"apply": "50 Hz", "level": "20 A"}))
    (point,) = procedure.points
    assert (point.accept_from, point.accept_to) == ("49.93", "50.07")
    assert point.at.replace("\u202f", " ").replace("\u00a0", " ") == "20 A, 0.4 A"
    (data,) = procedure.data["points"]
    assert (data["kind"], data["level"], data["source_setting"]) == ("coil", "20 A", "0.4 A")


def test_the_budget_has_the_source_and_the_display_and_no_turns(tmp_path):
    """50 ppm of 50 Hz is 2.5 mHz at k = 2; half a count is 5 mHz."""
    (point,) = the_procedure(made(tmp_path, {"apply": "50 Hz", "level": "20 A"})).points
    parts = [(one.value, one.divisor, one.sensitivity) for one in point.sure.components]
    assert parts == [pytest.approx((0.0025, 2, 1)), pytest.approx((0.005, 3 ** 0.5, 1))]


@pytest.mark.parametrize("point, code", [
    ({"apply": "50 Hz", "level": "200 A"}, "beyond-reach"),     # 4 A in the wire, beyond the source
    ({"apply": "50 Hz", "level": "1100 A"}, "beyond-coil"),     # 22 A in a wire for 20 A
    ({"apply": "500 Hz", "level": "20 A"}, "beyond-coil"),      # the coil is certified to 400 Hz
])
def test_what_the_coil_or_the_source_can_not(point, code, tmp_path):
    assert code in codes(made(tmp_path, point))


def test_it_needs_a_coil(tmp_path):
    assert codes(made(tmp_path, {"apply": "50 Hz", "level": "20 A"}, by=(SOURCE,)))[:1] == [
        "no-coil"]


def test_it_belongs_to_the_work_on_currents(tmp_path):
    (point,) = the_procedure(made(tmp_path, {"apply": "50 Hz", "level": "20 A"})).points
    assert _stage_kind(point.planned) == "current" and point.planned.volts == Fraction(0)


def test_a_jaw_that_measures_a_voltages_frequency_is_refused(tmp_path):
    one = {key: value for key, value in HERTZ.items() if key not in ("signal", "sensitivity")}
    problem = only_problem(load_points(tmp_path, one, {"apply": "50 Hz", "level": "20 A"}))
    assert "of a current" in problem.sentence and "signal: current" in problem.hint


@pytest.mark.parametrize("kind", ["DC current", "DC voltage", "frequency"])
def test_relative_is_refused_where_it_does_nothing(kind, tmp_path):
    unit = {"DC current": "A", "DC voltage": "V", "frequency": "Hz"}[kind]
    one = function(kind, range_(f"60 {unit}", f"0.01 {unit}", "1 % + 5 counts"),
                   relative="press ZERO")
    problem = only_problem(load_points(tmp_path, one))
    assert "'relative' belongs to two-wire readings" in problem.sentence
    assert "keys: press ZERO" in problem.hint


def test_a_coils_certificate_moves_no_frequency_and_the_sources_does(tmp_path):
    """What the coil makes of 0.4 A is of the level; the source's own 50 Hz are 50.02 Hz, once and
    not 50 times, and 0.4 is a current, no frequency of its certificate."""
    wound = coil()
    wound["coil"]["corrections"] = {"use": "applied", "values": [
        {"at": "0.4 A", "actual": "19 A", "within": "0.1 A"}]}
    by = standard({"frequency": {"values": "0.1 Hz to 1 kHz", "level": "100 mA to 2 A",
                                 "within": "50 ppm"}})
    by["outputs"][0]["corrections"] = {"use": "applied", "drift": "included", "values": [
        {"at": "50 Hz", "actual": "50.02 Hz", "within": "1 mHz"},
        {"at": "0.4 Hz", "actual": "0.45 Hz", "within": "1 mHz", "confirmed": "made for a test"}]}
    (point,) = the_procedure(made(tmp_path, {"apply": "50 Hz", "level": "20 A"},
                                  by=(by, wound))).points
    assert point.planned.supply.expected == Fraction("50.02")
    # 50.02 Hz ± (0.05002 + 0.02) Hz
    assert (point.accept_from, point.accept_to) == ("49.95", "50.09")
    assert [(one.value, one.sensitivity) for one in point.sure.components] == [
        pytest.approx((0.001, 1)), pytest.approx((0.005, 1))]
