"""Compared with a reference meter: how far the two may differ, on paper as in the data, and how
sure that is."""

import json
import math
import random
from fractions import Fraction as F
from pathlib import Path

import jsonschema
import pytest

import builder
from builder.pages import render
from tests.small_shop import (codes, function, load_points, load_with, meter, only_problem, plan,
                              range_, reference, row, standard, the_procedure)

SCHEMA = json.loads(
    (Path(builder.__file__).parent / "schema/procedure-data.schema.json").read_text(
        encoding="utf-8"))
VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
FLAT = function("DC voltage", range_("6 V", "1 mV", "12.3456 mV"))
PARTS = function("DC current",
                 range_("10 A", "10 mA",
                        [row("0.4 % + 5 counts", values="0 A to 5 A"),
                         row("0.8 % + 5 counts", values="5 A to 10 A")],
                        highest_reading="10.00 A"), jacks=["A", "COM"])
FARADS = function("capacitance", range_("600 uF", "100 nF", "4 % + 10 counts"))
ON = {"compare_on": "a bench supply"}
GUARDED = {"decision_rule": "guard band of U"}


def by(what="DC voltage", values="0 V to 10 V", resolution="10 uV", within="0.1 %", keys=None,
       **more) -> dict:
    return reference((what, {"values": values, "resolution": resolution, "within": within} | more,
                      keys or {}))


def compared(folder, one, *apply: str, standards=None, rule=None, **more):
    return load_points(folder, one, {"apply": list(apply)} | ON | more,
                       standards=[standards or by()], plan_more=rule)


def table_of(group) -> dict[str, list[tuple[F, F]]]:
    """By step: where each column starts, and what it allows."""
    rows = iter(group.aside.rows)
    return {step: [(F(start), F(one)) for start, one in zip(froms, allowed) if one != "none"]
            for (step, _, *froms), (_, _, *allowed) in zip(rows, rows)}


def exact_guard(point) -> F:
    return F(f"{point.sure.guard:.12g}")


# ---------------------------------------------------------------- the row of the reference meter

@pytest.mark.parametrize("values, covers", [
    ("2.4 V to 10 V", True), ("2.401 V to 10 V", False), ("2.55 V to 10 V", False),
    ("0 V to 3.75 V", True), ("0 V to 3.749 V", False), ("0 V to 3.3 V", False),
])
def test_one_row_holds_for_every_reading_of_the_table(values, covers, tmp_path):
    """The sheet's table for 3 V goes from four fifths of it, 2.4 V, to five quarters, 3.75 V: a
    meter whose row ends before that is passed over for the next, and is no reference alone."""
    first, second = by(values=values), by() | {"standard": "gannet", "name": "Gannet"}
    both = load_points(tmp_path / "both", VOLTS, {"apply": ["3 V"]} | ON,
                       standards=[first, second])
    (point,) = the_procedure(both).points
    assert point.planned.standard.name == ("Skua" if covers else "Gannet")
    alone = compared(tmp_path / "alone", VOLTS, "3 V", standards=first)
    assert codes(alone) == ([] if covers else ["beyond-reach"])


# ---------------------------------------------------------------- the allowance

@pytest.mark.parametrize("resolution, printed",
                         [("10 uV", "0.01234"), ("1 uV", "0.012345"), ("100 nV", "0.0123456"),
                          ("1 mV", "0.012"), ("5 mV", "0.012"), ("20 uV", "0.01234")])
def test_a_tolerance_without_a_slope_is_one_allowance(resolution, printed, tmp_path):
    """12.3456 mV is cut off to the finer of both last digits, never rounded up, and no table is
    needed."""
    (group,
     *_) = the_procedure(compared(tmp_path, FLAT, "3 V",
                                  standards=by(resolution=resolution))).groups
    (point,) = group.points
    assert (point.tolerance, point.accept_from,
            point.accept_to) == (printed, "",
                                 "") and group.aside is None and group.layout == "reference"


@pytest.mark.parametrize("rule",
                         ["guard band of U", "guard band of 0.8 U",
                          "guard band by root-sum-square"])
def test_the_guard_band_comes_off_the_allowance(rule, tmp_path):
    """floor((12.3456 mV − w)/10 µV)·10 µV with w from U = k·u, u² = (3 mV/2)² + (5 µV)²/3 + (0.5
    mV)²/3."""
    (point,) = the_procedure(compared(tmp_path, FLAT, "3 V", rule={"decision_rule": rule})).points
    u = math.sqrt(0.0015 ** 2 + 0.000005 ** 2 / 3 + 0.0005 ** 2 / 3)
    expanded, t = point.sure.uncertainty.k * u, 0.0123456
    w = {"guard band of U": expanded, "guard band of 0.8 U": 0.8 * expanded,
         "guard band by root-sum-square": t - math.sqrt(t * t - expanded ** 2)}[rule]
    assert point.sure.guard == pytest.approx(w, rel=1e-9)
    assert F(point.tolerance) == math.floor(
        (F("0.0123456") - exact_guard(point)) / F("0.00001")) * F("0.00001")


def test_the_sheet_says_about(tmp_path):
    """The value is what the source about gives; there is a place for the reference reading and the
    difference."""
    shop = compared(tmp_path, VOLTS, "3 V")
    (group, *_) = the_procedure(shop).groups
    (point,) = group.points
    assert point.apply.startswith(
        "about 3") and point.tolerance == "table" and point.id == "dcv-6V-3.000V-compared"
    assert "Skua" in render.render(shop).pages["procedures/lapwing-yearly.md"]


@pytest.mark.parametrize("rule", [{}, GUARDED, GUARDED | {"ambient": "30 to 33 degC"}])
def test_no_bin_allows_more_than_the_exact_tolerance(rule, tmp_path):
    """At every reading of the reference within a column, in its own last digits, the column allows
    at most T − w there, and at the column's start no digit less."""
    warm = (
        {"specification": {"source": "x", "holds": "18 to 28 degC",
                           "temperature_coefficient": "0.1 per degC"}} if "ambient" in rule else {})
    shop = load_points(tmp_path, VOLTS, {"apply": ["0.5 V", "3 V", "4.7 V", "-3 V"]} | ON,
                       standards=[by(resolution="20 uV", within="0.02 %")], plan_more=rule, **warm)
    growth = F("1.2") if warm else F(1)
    (group, *_) = the_procedure(shop).groups
    table, step = table_of(group), F("0.00002")
    assert set(table) == {p.step for p in group.points} and len(table) == 4
    for point in group.points:
        columns, w = table[point.step], exact_guard(point) if rule else F(0)
        x = abs(point.planned.applied)
        assert columns[0][0] >= x * F("0.8") and columns[0][0] - x * F("0.8") < F(
            "0.001") and columns[-1][0] >= x * F("1.2")
        for (start, allowed), end in zip(columns,
                                         [one[0]
                                          for one in columns[1:]] + [columns[-1][0] + F("0.1")]):
            exact_at_start = growth * (F("0.004") * start + F("0.002")) - w
            assert allowed <= exact_at_start < allowed + step
            reading = start
            while reading < end:
                assert allowed <= growth * (F("0.004") * reading + F("0.002")) - w
                reading += step * 97
        assert [start for start, _ in columns] == sorted({start for start, _ in columns})


def test_a_bin_below_the_row_of_the_nominal_value(tmp_path):
    """At 5.5 A 0.8 % holds, below 5 A only 0.4 %: a reference reading of 4.6 A must not be given
    0.8 %, so the value is refused; at 7 A every reading from 5.6 A up has the same row."""
    refs = by("DC current", "0.1 A to 10 A", "10 uA", "0.02 %")
    assert only_problem(compared(tmp_path / "low", PARTS, "5.5 A",
                                 standards=refs)).code == "reference-row"
    (group, *_) = the_procedure(compared(tmp_path / "high", PARTS, "7 A", standards=refs)).groups
    for start, allowed in table_of(group)["1.1"]:
        assert start >= 5 and allowed <= F("0.008") * start + F("0.05")


def test_a_comparison_at_zero(tmp_path):
    """Whoever is sent to the table finds a line there."""
    (group, *_) = the_procedure(compared(tmp_path, VOLTS, "0 V", "3 V")).groups
    table = table_of(group)
    assert all(p.step in table for p in group.points if p.tolerance == "table")


def test_a_guard_band_that_leaves_no_room_at_the_low_end(tmp_path):
    """1 % of 3 V less 0.9 % leaves room at 3 V and above, and the table has a line for the
    point."""
    one = function("DC voltage", range_("6 V", "1 mV", "1 %"))
    (group, *_) = the_procedure(compared(tmp_path, one, "3 V", standards=by(within="0.88 %"),
                                         rule=GUARDED)).groups
    (point,) = group.points
    assert point.undecided or (group.aside is not None and point.step in table_of(group))


def test_no_room_at_all_is_said(tmp_path):
    """Where w is more than T at the nominal value the point can't be verified, and the completeness
    table says so."""
    procedure = the_procedure(load_with(tmp_path, meter(VOLTS),
                                        plan({"function": "DC voltage", "apply": "3 V"} | ON,
                                             **GUARDED), by(within="1 %")))
    (point,) = procedure.points
    (line,) = procedure.completeness
    assert point.undecided and "under this rule" in line.because and not line.tested
    assert procedure.data["points"][0]["accept"] is None


def test_no_limits_around_a_value_that_is_only_about(tmp_path):
    """Conditional zones stand around what the reference reads; there are none to print or to store
    beforehand."""
    procedure = the_procedure(compared(tmp_path, VOLTS, "3 V", rule=GUARDED | {"outcomes": "four"}))
    (point,) = procedure.points
    assert (point.small_from, point.small_to,
            procedure.data["points"][0]["conditional"]) == ("", "", None)


def test_the_worked_line_of_a_comparison(tmp_path):
    """Under a guard band the evidence prints no empty limits."""
    procedure = the_procedure(compared(tmp_path, VOLTS, "3 V", rule=GUARDED))
    (shown,) = procedure.evidence.functions
    assert not any("display:  to " in line for line in shown.worked)


# ---------------------------------------------------------------- capacitances

@pytest.mark.parametrize("mine, its, observe, code", [
    (None, None, None, "other-method"), ("DC", None, None, "other-method"),
    (None, "DC", None, "other-method"), ("DC", "AC", None, "other-method"),
    ("DC", "DC", None, None),
    (None, None, "they may differ", None), ("DC", "AC", "they may differ", None),
])
def test_two_meters_agree_about_a_capacitor_only_by_one_method(mine, its, observe, code, tmp_path):
    """Limits need a method that both files state and state alike; else the point is an observation
    or refused."""
    one = FARADS | ({"method": mine} if mine else {})
    ref = by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %", {"method": its} if its else {})
    point = {"apply": "470 uF",
             "compare_on": "an electrolytic"} | ({"observe": observe} if observe else {})
    shop = load_points(tmp_path, one, point, standards=[ref],
                       plan_more={"leads": {"length": "1 m", "conductor": "1.0 mm2",
                                            "contacts": "1 mohm", "repeats": "1 mohm",
                                            "stray": "100 pF", "stray_repeats": "5 pF"}})
    assert codes(shop) == ([code] if code else [])
    if not code:
        (found,) = the_procedure(shop).points
        assert (found.planned.judged is None) == bool(observe)


def test_voltages_need_no_method(tmp_path):
    """The method decides about capacitances alone."""
    assert the_procedure(compared(tmp_path, VOLTS | {"method": "A"}, "3 V",
                                  standards=by(keys={"method": "B"})))


# ---------------------------------------------------------------- the steps

@pytest.mark.parametrize("one, ref, apply, opening, closing", [
    (PARTS, by("DC current", "0 A to 10 A", "10 uA", "0.1 %"), "3 A",
     "Leads: a bench supply, H and L of Skua, A and COM of the meter, all in series",
     "Supply: off"),
    (VOLTS, by(), "3 V",
     "Leads: V and COM of the meter and H and L of Skua side by side on a bench supply",
     "Supply: off"),
    (FARADS | {"method": "A"}, by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %", {"method": "A"}),
     "470 uF", "Skua: alone on a bench supply, H at its +, for the reference reading",
     "Meter: leads off the part"),
])
def test_what_is_connected(one, ref, apply, opening, closing, tmp_path):
    """Currents in series, voltages side by side with the supply off before and after; a part is
    measured by each alone."""
    leads = {"leads": {"length": "1 m", "conductor": "1.0 mm2", "contacts": "1 mohm",
                       "repeats": "1 mohm", "stray": "100 pF", "stray_repeats": "5 pF"}}
    group = the_procedure(load_points(tmp_path, one, {"apply": apply} | ON, standards=[ref],
                                      plan_more=leads)).groups[0]
    assert opening in group.opening and closing in group.closing
    if closing == "Supply: off":
        assert group.opening[0] == "Supply: off" and group.opening[-1] == "Supply: on"
    else:
        assert ("Capacitor: discharged through a resistor, seen under 5 V" in group.opening
                and not any("Supply" in step or "Source" in step for step in group.opening))


# ---------------------------------------------------------------- the data

def readings(chance, nominal: F, step: F):
    for _ in range(400):
        x = round(nominal * F(chance.randint(800000, 1200000), 10 ** 6) / step) * step
        yield x, round(
            (F(chance.randint(-1500, 1500), 1000) * (F("0.004") * x + F("0.002"))) / step) * step


def judged_by_data(data: dict, x: F, difference: F) -> bool:
    """As the schema describes it, from the fields alone."""
    number = lambda text: F(text.split()[0])
    step = number(data["reference"]["step"])
    allowed = F(data["slope"]) * abs(x) + number(data["offset"]) - number(
        data["reference"]["guard_band"])
    return abs(difference) <= math.floor(allowed / step) * step


def agreement(folder, rule) -> list[bool]:
    shop = compared(folder, VOLTS, "3 V", standards=by(within="0.0377 % + 313 uV"), rule=rule)
    (point,) = the_procedure(shop).points
    data = json.loads(json.dumps(the_procedure(shop).data))
    jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
    (one,) = data["points"]
    assert (one["kind"], one["reference"]["standard"], one["reference"]["on"],
            one["accept"]) == ("reference", "skua", "a bench supply", None)
    w = exact_guard(point) if rule else F(0)
    found = []
    for x, difference in readings(random.Random(4), F(3), F("0.00001")):
        found.append(
            judged_by_data(one, x,
                           difference) == (abs(difference) <= F("0.004") * abs(x) + F("0.002") - w))
    # and at the very edge
    for x in (F("2.41237"), F(3), F("3.59999")):
        edge = math.floor((F("0.004") * x + F("0.002") - w) / F("0.00001")) * F("0.00001")
        found += [judged_by_data(one, x, edge), not judged_by_data(one, x, edge + F("0.00001")),
                  judged_by_data(one, x, -edge)]
    return found


def test_the_data_alone_judge_a_reading(tmp_path):
    """Slope, offset and step give the same verdict as the exact rule, for random readings and at
    its edges."""
    assert all(agreement(tmp_path, None))


def test_the_data_alone_judge_a_reading_under_a_guard_band(tmp_path):
    """The same with a guard band."""
    assert all(agreement(tmp_path, GUARDED))


# ---------------------------------------------------------------- how sure

def test_counts_and_percent_of_range_in_a_reference_meters_row(tmp_path):
    """35 ppm of 3 V, 5 ppm of the 10 V range and 3 counts of 10 µV are 185 µV at 95 %; with drift
    of 2 counts + 1 ppm of range, half a digit of each display: u² by hand."""
    ref = by(within="35 ppm of reading + 5 ppm of range + 3 counts", range="10 V",
             drift="1 ppm of range + 2 counts") | {"stated": "95 %"}
    (point,) = the_procedure(compared(tmp_path, VOLTS, "3 V", standards=ref)).points
    values = [(c.distribution, c.value) for c in point.sure.components]
    assert values == [("normal", pytest.approx(185e-6)), ("rectangular", pytest.approx(30e-6)),
                      ("rectangular", pytest.approx(5e-6)), ("rectangular", pytest.approx(0.0005))]
    assert point.sure.components[0].divisor == 1.96
    u = math.sqrt((185e-6 / 1.96) ** 2 + (30e-6 ** 2 + 5e-6 ** 2 + 0.0005 ** 2) / 3)
    assert point.sure.uncertainty.u == pytest.approx(
        u, rel=1e-12) and point.sure.standard_accuracy == pytest.approx(185e-6)


def test_an_age_counts_for_reference_meters_too(tmp_path):
    """100 days after calibration the accuracy of a year holds."""
    ref = reference(("DC voltage",
                     {"values": "0 V to 10 V", "resolution": "10 uV",
                      "within_since": {"90 days": "20 ppm", "1 year": "40 ppm + 1 count"}})) | {
                          "calibrated": "2026-01-01"}
    (point,) = the_procedure(compared(tmp_path, VOLTS, "3 V", standards=ref,
                                      rule={"as_of": "2026-04-11"})).points
    assert point.sure.standard_accuracy == pytest.approx(130e-6)


@pytest.mark.parametrize("change, code", [
    ({"within": "5 ppm of range"}, "missing"), ({"drift": "5 ppm of range"}, "missing"),
    ({"range": "10 A"}, "unit"), ({"resolution": "1 mA"}, "unit"),
    ({"within": "5 mA"}, "unit"), ({"drives": "1 mA"}, "drives"),
    ({"level": "1 V to 2 V"}, "level"), ({"frequency": "40 Hz to 50 Hz"}, "frequency"),
    ({"values": "0 A to 1 A"}, "unit"),
])
def test_what_is_wrong_with_a_reference_meters_row(change, code, tmp_path):
    """Percent of range without a range, keys of sources, and units of another kind, in the
    standard's file."""
    found = only_problem(compared(tmp_path, VOLTS, "3 V", standards=by(**change)
                                  if not {"within", "values", "resolution"} & set(change) else
                                  reference(
                                      ("DC voltage",
                                       {"values": "0 V to 10 V", "resolution": "10 uV",
                                        "within": "0.1 %"} | change))))
    assert (found.code, found.place.file) == (code, "procedures/standards/skua.yaml")


@pytest.mark.parametrize("within", ["0.1 % + 3 counts", "0.1 % of reading + 0.01 % of range"])
def test_a_source_has_neither_counts_nor_percent_of_range(within, tmp_path):
    """Both are terms of meters; in a source's file they are refused."""
    found = only_problem(load_points(tmp_path, VOLTS, {"apply": "3 V"},
                                     standard_file=standard(
                                         {
                                             "DC voltage": {
                                                 "values": "0 V to 10 V", "within": within}})))
    assert found.code == "unit" and found.place.file.endswith("petrel.yaml")


@pytest.mark.parametrize("what", ["frequency", "duty cycle", "temperature"])
def test_what_is_not_compared(what, tmp_path):
    """Reference meters for frequencies, duty cycles and temperatures are refused at their place."""
    shop = compared(tmp_path, VOLTS, "3 V",
                    standards=by() | {"measures": [by()["measures"][0] | {"measures": what}]})
    assert codes(shop) == ["kind"]
