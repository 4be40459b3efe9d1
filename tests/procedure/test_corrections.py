"""Corrections of a source, a coil and a reference meter at a planned point: where the limits then
stand, what the row and the notes say, and what the budget holds."""

import math
import random
from fractions import Fraction as F

import GTC
import pytest

from builder.files.problems import Wrong
from builder.formats.corrections import Corrections
from builder.numbers.exact_text import NARROW
from builder.procedure.corrections import corrected_about, one_for_all
from builder.procedure.data_of_sheet import sheet_data
from builder.records import report_lines
from builder.records.verdict import verdict
from tests.procedure.test_budget_of_point import AMPS, DISPLAY, lines_of
from tests.small_shop import (coil, function, load_points, only_problem, range_, reference, row,
                              standard, the_procedure)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.1 % + 2 counts"))
AC = function("AC voltage", range_("6 V", "1 mV", [row("1 % + 3 counts",
                                                      frequency="40 Hz to 1 kHz")], lowest="1 V"))
LINE = {"between": "straight line", "between_within": "0.1 mV"}


def source(*values: dict, use="applied", output="DC voltage", drift="included", row_more=None,
           **more) -> dict:
    """A source with these lines of a certificate at k = 2; `more` are keys beside them."""
    rows = [{"values": "0 V to 10 V", "within": "0.02 % + 1 mV"} | (row_more or {})]
    kept = {"use": use, "values": list(values)} | ({"drift": drift} if drift else {}) | more
    return standard({}, outputs=[{"output": output, "terminals": ["HI", "LO"], "rows": rows,
                                  "corrections": kept}])


def only(folder, by: list[dict], apply="3 V", one=VOLTS, plan_more=None, **point):
    procedure = the_procedure(load_points(folder, one, {"apply": apply} | point, standards=by,
                                          plan_more=plan_more))
    (point,) = [p for p in procedure.points if not p.planned.zero]
    return procedure, point


THREE = {"at": "3 V", "within": "0.2 mV"}


# ---------------------------------------------------------------- a source, applied

@pytest.mark.parametrize("said, expected, limits, beside", [
    # 0.1 % of the corrected value and 2 mV: 3.4 V − 5.4 mV is 3.3946, up to 3.4054
    ({"actual": "3.4 V"}, "3.4", ("3.395", "3.405"), "corrected 3.4 V"),
    ({"correction": "0.4 V"}, "3.4", ("3.395", "3.405"), "corrected 3.4 V"),
    ({"error": "-0.4 V"}, "3.4", ("3.395", "3.405"), "corrected 3.4 V"),
    ({"correction": "-0.7 mV"}, "2.9993", ("2.995", "3.004"), "corrected 2.9993 V"),
    ({"correction": "0 V"}, None, ("2.995", "3.005"), "")])
def test_the_expected_value_moves(said, expected, limits, beside, tmp_path):
    """The source is set to 3 V and really gives what its certificate says: the limits stand around
    that, and the row says so; nothing is shown where nothing moves."""
    procedure, point = only(tmp_path, [source(THREE | said | {"confirmed": "made for a test"})])
    assert (point.accept_from, point.accept_to) == limits
    assert point.at.replace("\u00a0", " ") == beside and point.apply.startswith("3.000")
    data = sheet_data(procedure).points[0]
    assert (data.expected and data.expected.number) == (expected and F(expected))
    (said_of,) = [note for note in procedure.notes if "certificate of Petrel" in note]
    assert "is applied" in said_of and "3\u00a0V" in said_of


@pytest.mark.parametrize("apply, corrected", [("3 V", True), ("-3 V", False), ("3.1 V", False),
                                              ("2.999 V", False)])
def test_only_its_own_values_are_corrected(apply, corrected, tmp_path):
    """Without 'between' a value beside, or of the other sign, has the accuracy of the rows and no
    word of a certificate."""
    procedure, point = only(tmp_path, [source(THREE | {"correction": "0.7 mV"})], apply)
    assert bool(point.at) == corrected == any(
        "certificate of Petrel" in note for note in procedure.notes)
    assert ("Petrel, its accuracy" in lines_of(point)) != corrected


@pytest.mark.parametrize("apply, adds", [("3 V", "0.0004"), ("4 V", "0.0006"), ("5 V", "0.0008"),
                                         ("3.5 V", "0.0005"), ("2.9 V", None), ("5.1 V", None)])
def test_a_straight_line_between_two_values(apply, adds, tmp_path):
    """0.4 mV at 3 V and 0.8 mV at 5 V; nothing beyond its ends. How far it may be off is a line."""
    by = source(THREE | {"correction": "0.4 mV"},
                {"at": "5 V", "correction": "0.8 mV", "within": "0.3 mV"}, **LINE)
    _, point = only(tmp_path, [by], apply)
    expected = point.planned.supply.expected
    assert expected == (None if adds is None else F(apply.split()[0]) + F(adds))
    found = lines_of(point)
    assert ("Petrel, between two values of its certificate" in found) == (apply in ("4 V", "3.5 V"))
    if apply == "4 V":   # the larger uncertainty of both
        assert found == {"Petrel, its certificate at 5\u00a0V": (pytest.approx(0.0003), 1),
                         "Petrel, between two values of its certificate": (
                             pytest.approx(0.0001), 1), DISPLAY: (0.0005, 1)}


def test_a_line_without_an_end_is_cut_to_a_thousandth_of_a_count(tmp_path):
    """0.1 mV over 3 V: a third of it at 1 V beyond, which limits can't hold."""
    by = source({"at": "2 V", "correction": "0 V", "within": "0.1 mV"},
                {"at": "5 V", "correction": "0.1 mV", "within": "0.1 mV"}, **LINE)
    _, point = only(tmp_path, [by], "3 V")
    assert point.planned.supply.expected == F("3.000033")


@pytest.mark.parametrize("frequency, corrected", [("1 kHz", True), ("500 Hz", False)])
def test_a_value_of_ac_is_corrected_at_its_frequency(frequency, corrected, tmp_path):
    """No line over frequencies is drawn."""
    by = source(THREE | {"frequency": "1 kHz", "correction": "0.7 mV"}, output="AC voltage",
                row_more={"frequency": "40 Hz to 1 kHz"}, **LINE)
    _, point = only(tmp_path, [by], one=AC, frequency=frequency)
    assert ("corrected" in point.at) == corrected
    assert ("Petrel, its certificate at 3\u00a0V, 1\u00a0kHz" in lines_of(point)) == corrected


@pytest.mark.parametrize("correction", ["0 V", "0.4 mV", "-0.4 mV"])
def test_a_zero_stays_one_where_the_sides_differ(correction, tmp_path):
    """Which side is up isn't known at zero, on whichever side of it the certificate puts it."""
    one = function("DC voltage", range_("6 V", "1 mV", "+(0.1 % + 2 counts) -(0.1 % + 5 counts)"))
    by = source({"at": "0 V", "within": "0.1 mV", "correction": correction})
    assert only_problem(load_points(tmp_path, one, {"apply": "0 V"}, standards=[by])
                        ).code == "two-sided-minus"


def test_a_steady_value_of_an_ac_and_dc_function_is_corrected_too(tmp_path):
    """It comes from the source's DC output, whose certificate names no frequency."""
    one = function("AC+DC voltage", range_("6 V", "1 mV", [
        row("1 % + 3 counts", frequency="DC"),
        row("1 % + 3 counts", frequency="40 Hz to 1 kHz")], lowest="1 V"))
    by = source(THREE | {"correction": "0.7 mV"})
    _, point = only(tmp_path, [by], one=one, frequency="DC")
    assert point.planned.supply.expected == F("3.0007") and "corrected" in point.at


@pytest.mark.parametrize("k, degrees, of_point, of_row, drift", [
    ("k = 2", math.inf, None, None, 0), ("k = 2.13, 15 degrees of freedom", 15, None, None, 0),
    ("k = 2", math.inf, "50 ppm", "1 mV", 0.00015), ("k = 2", math.inf, None, "30 uV", 30e-6)])
def test_the_budget_of_a_corrected_value(k, degrees, of_point, of_row, drift, tmp_path):
    """The certificate's uncertainty in place of the row's accuracy, and drift: the point's own, or
    the row's. By GTC."""
    by = source(THREE | {"correction": "0.7 mV", "stated": k}
                | ({"drift": of_point} if of_point else {}), drift=None,
                row_more={"drift": of_row} if of_row else {"drift": "included"})
    _, point = only(tmp_path, [by])
    total = (GTC.ureal(0, 0.0002 / float(k.split(",")[0].split("= ")[1]), degrees)
             + GTC.ureal(0, GTC.type_b.uniform(0.0005))
             + (GTC.ureal(0, GTC.type_b.uniform(drift)) if drift else 0))
    sure = point.sure
    assert sure.uncertainty.u == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    assert sure.standard_accuracy == pytest.approx(0.0002)
    assert (sure.uncertainty.degrees == math.inf) == (degrees == math.inf)
    assert sure.uncertainty.degrees == pytest.approx(GTC.dof(total), rel=0.05) or (
        degrees == math.inf)


def test_what_the_sources_own_resistance_takes_off_comes_on_top(tmp_path):
    """3.001 V behind 100 Ω into 10 MΩ: 30 µV less, to a thousandth of a count, and so much is the
    line of the budget."""
    by = source(THREE | {"correction": "1 mV"})
    by["outputs"][0]["output_resistance"] = "100 ohm"
    _, point = only(tmp_path, [by], one=VOLTS | {"input_resistance": "10 Mohm"})
    assert point.planned.supply.expected == F("3.00097")
    assert lines_of(point)["loading of the source, as large as its correction"] == (
        pytest.approx(30e-6), 1)


# ---------------------------------------------------------------- stated, not applied

def test_a_stated_correction_is_a_component(tmp_path):
    """The limits stay around what is set; its size is a rectangle beside the certificate's
    uncertainty, and the notes say so."""
    procedure, point = only(tmp_path, [source(THREE | {"correction": "-0.7 mV"}, use="stated")])
    assert (point.accept_from, point.accept_to, point.at) == ("2.995", "3.005", "")
    assert sheet_data(procedure).points[0].expected is None
    assert lines_of(point) == {
        "Petrel, its certificate at 3\u00a0V": (pytest.approx(0.0002), 1),
        "Petrel, its correction, not applied": (pytest.approx(0.0007), 1), DISPLAY: (0.0005, 1)}
    assert any("is not applied" in note for note in procedure.notes)


# ---------------------------------------------------------------- a coil

CURRENT = {"AC current": {"values": "0 A to 20 A", "frequency": "40 Hz to 1 kHz"}}


@pytest.mark.parametrize("use, said, expected", [
    ("applied", {"actual": "49.9 A"}, "49.9"), ("applied", {"error": "0.1 A"}, "49.9"),
    ("stated", {"correction": "-0.1 A"}, None)])
def test_a_coil_is_corrected_where_it_was_calibrated(use, said, expected, tmp_path):
    """50 turns with 1 A in the wire: 49.9 A, not 50. The position in the jaw stays in the budget,
    and the certificate's uncertainty comes on top."""
    wound = coil(within="0.4 %")
    wound["coil"]["corrections"] = {"use": use, "values": [
        {"at": "1 A", "frequency": "50 Hz", "within": "0.05 %"} | said]}
    procedure, point = only(tmp_path, [standard(CURRENT), wound], "50 A", AMPS, frequency="50 Hz")
    found = lines_of(point)
    assert point.planned.supply.expected == (expected and F(expected))
    assert found["Scoter coil: turns, position in the jaw, return conductor"] == (
        pytest.approx(0.2), 1)
    assert found["Scoter coil, its certificate at 1\u00a0A, 50\u00a0Hz"] == (
        pytest.approx(0.025), 1)
    assert found.get("Scoter coil, its correction, not applied") == (
        (pytest.approx(0.1), 1) if use == "stated" else None)


def test_a_corrected_source_through_a_corrected_coil(tmp_path):
    """1.002 A in 50 turns are 50.1 A, of which the coil makes 0.1 A less."""
    wound = coil(within="0.4 %")
    wound["coil"]["corrections"] = {"use": "applied", "values": [
        {"at": "1 A", "frequency": "50 Hz", "error": "0.1 A", "within": "0.05 %"}]}
    by = standard(CURRENT)
    by["outputs"][0]["corrections"] = {"use": "applied", "drift": "included", "values": [
        {"at": "1 A", "frequency": "50 Hz", "correction": "1 mA", "within": "0.1 mA"}]}
    _, point = only(tmp_path, [by, wound], "50 A", AMPS, frequency="50 Hz")
    assert point.planned.supply.expected == F("49.95")
    assert lines_of(point)["Petrel, its certificate at 1\u00a0A, 50\u00a0Hz"] == (
        pytest.approx(0.0001), 50)


# ---------------------------------------------------------------- a reference meter

@pytest.mark.parametrize("top, corrected", [("4 V", True), ("3.7 V", False)])
def test_a_reference_meters_corrections_are_stated(top, corrected, tmp_path):
    """It may read from 2.4 to 3.75 V: the largest correction there is a component, with the largest
    uncertainty, if the certificate reaches over all of that."""
    ref = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                    "within": "5 mV"},
                     {"corrections": {"use": "stated", "drift": "included", **LINE, "values": [
                         {"at": "1 V", "correction": "9 mV", "within": "1 mV"},
                         {"at": "2 V", "correction": "-1 mV", "within": "0.2 mV"},
                         {"at": "3 V", "correction": "2 mV", "within": "0.3 mV"},
                         {"at": top, "correction": "1 mV", "within": "0.1 mV"}]}}))
    _, point = only(tmp_path, [ref], compare_on="a bench supply")
    found = lines_of(point)
    assert found.get("Skua, its correction, not applied") == (
        (pytest.approx(0.002), 1) if corrected else None)
    assert ("Skua, its certificate at 3\u00a0V" in found) == corrected
    assert ("Skua, its accuracy" in found) != corrected


def applied_reference(*values: tuple, resolution="0.1 mV", **more) -> dict:
    """A reference meter with what is to be added at each value, applied."""
    return reference(("DC voltage", {"values": "0 V to 10 V", "resolution": resolution,
                                     "within": "60 mV"},
                      {"corrections": {"use": "applied", "drift": "included", **LINE, "values": [
                          {"at": at, "correction": adds, "within": "0.2 mV"} | more
                          for at, adds in values]}}))


REACHES = (("2 V", "10 mV"), ("3 V", "20 mV"), ("4 V", "50 mV"))


@pytest.mark.parametrize("apply, added, elsewhere", [
    # at 2.4 V 14 mV, 6 less than at 3 V; at 3.75 V 42.5 mV, 22.5 more
    ("3 V", "20 mV", "22.5 mV"),
    # at 3.125 V 23.75 mV, 8.75 more than at 2.5 V; at 2 V 10 mV, 5 less
    ("2.5 V", "15 mV", "8.75 mV"),
    # 10.1 V/900 is no finite decimal: 2.702 V has 17.02 mV, in whole tenths of a millivolt 17.0
    ("2.702 V", "17 mV", "14.325 mV")])
def test_a_reference_meters_corrections_are_applied(apply, added, elsewhere, tmp_path):
    """What is added is the correction at the planned value; how far it may be another from 4/5 to
    5/4 of that is a component, found by hand. The certificate replaces the row's 60 mV."""
    procedure, point = only(tmp_path, [applied_reference(*REACHES)], apply,
                            compare_on="a bench supply")
    adds, off = (F(one.split()[0]) / 1000 for one in (added, elsewhere))
    assert (point.planned.supply.added, point.planned.supply.expected) == (adds, None)
    assert point.planned.supply.corrected.elsewhere == off
    found = lines_of(point)
    assert found["Skua, its correction, one for all that it may read"] == (
        pytest.approx(float(off)), 1)
    assert "Skua, its correction, not applied" not in found
    assert "Skua, its accuracy" not in found
    assert point.at == f"ref. +{float(adds):.4f}{NARROW}V"
    (data,) = [one for one in sheet_data(procedure).points if one.kind == "reference"]
    assert data.reference.correction.number == adds
    assert any(step.code == "reference-sum" for group in procedure.groups
               for step in group.steps_before)


def test_the_most_that_a_correction_may_be_another_by_brute_force():
    """On broken lines drawn at random: no reading of a fine grid has a correction farther from the
    one that is taken than is said, and one has it as far, since ends and bends lie on the grid."""
    rng = random.Random(9)
    for _ in range(60):
        at = sorted(rng.sample(range(0, 61), 6))
        known = {F(x, 10): F(rng.randint(-50, 50), 1000) for x in (-1, *at, 70)}
        given = Corrections.model_validate({
            "use": "applied", **LINE, "drift": "included", "values": [
                {"at": f"{float(x)} V", "correction": f"{float(adds)} V", "within": "1 mV"}
                for x, adds in known.items()]})
        low = F(rng.randint(0, 30), 10)
        high, step = low + F(rng.randint(1, 30), 10), F(1, rng.choice((1000, 10_000)))
        planned = low + (high - low) * F(rng.randint(0, 10), 10)
        found = one_for_all(corrected_about(given, low=low, high=high, hertz=None),
                            planned=planned, low=low, high=high, step=step)

        def line(x: F, known=known) -> F:
            left, right = max(a for a in known if a <= x), min(a for a in known if a >= x)
            return known[left] if left == right else (
                known[left] * (right - x) + known[right] * (x - left)) / (right - left)

        assert (found.adds / step).denominator == 1
        assert abs(found.adds - line(planned)) <= step / 2
        grid = {low + (high - low) * F(n, 200) for n in range(201)} | {
            x for x in known if low <= x <= high} | {planned}
        assert max(abs(line(x) - found.adds) for x in grid) == found.elsewhere


@pytest.mark.parametrize("values, apply", [
    (REACHES, "2.4 V"), (REACHES, "3.3 V"), (REACHES[1:2], "3 V"),
    ((("-1 V", "0 V"), *REACHES), "0 V")])
def test_a_point_where_the_certificate_does_not_reach_is_refused(values, apply, tmp_path):
    """1.92 V lies below 2 V and 4.125 V above 4 V; one value reaches round nothing; at zero four
    fifths of it are nothing. The row's accuracy is never taken in silence."""
    shop = load_points(tmp_path, VOLTS, {"apply": apply, "compare_on": "a bench supply"},
                       standards=[applied_reference(*values)])
    (problem,) = shop.errors
    assert problem.code == "reference-correction" and problem.place.line
    assert "applied" in problem.sentence and "use: stated" in problem.hint


def test_nothing_is_added_where_nothing_is_to_be(tmp_path):
    """A correction of nothing everywhere changes no row and no field of the data."""
    procedure, point = only(tmp_path, [applied_reference(("1 V", "0 V"), ("5 V", "0 V"))],
                            compare_on="a bench supply")
    assert point.at == ""
    assert sheet_data(procedure).points[0].reference.correction is None
    assert not any(step.code == "reference-sum" for group in procedure.groups
                   for step in group.steps_before)


def test_a_reading_is_judged_round_the_sum(tmp_path):
    """The reference meter shows 3.0000 V and is 20 mV low: 3.02 V stand there, of which 0.1 % and
    2 mV are 5.02 mV. A reading of 3.0248 V is good, one of 3.0145 V is not, though the reverse
    holds round 3.0000 V; the report says all three."""
    fine = function("DC voltage", range_("6 V", "0.1 mV", "0.1 % + 20 counts"),
                    display="60 000 counts")
    procedure, _ = only(tmp_path, [applied_reference(*REACHES)], one=fine,
                        compare_on="a bench supply")
    (data,) = [one for one in sheet_data(procedure).points if one.kind == "reference"]
    for typed, outcome, error in (("3.0248", "pass", "0.0048"), ("3.0145", "fail", "-0.0055"),
                                  ("3.0150", "pass", "-0.005"), ("3.0251", "fail", "0.0051")):
        found = verdict(data, typed, reference="3.0000")
        assert (found.outcome, found.error, found.expected) == (outcome, F(error), F("3.02"))
    assert report_lines._added(data, found) == f" + 0.0200 = 3.0200{NARROW}V"
    for reference_read in ("2.3999", "3.7500", "3.7301"):      # the sum of the last is 3.7501 V
        with pytest.raises(Wrong):
            verdict(data, "3.0000", reference=reference_read)
