"""Compared with a reference meter: how far the two may differ, on paper as in the data, and how
sure that is."""

import json
import math
import random
from fractions import Fraction as F

import jsonschema
import pytest

from tests import committed
from tests.small_shop import (LEADS, codes, function, load_points, only_problem, range_, reference,
                              row, standard, the_procedure)

SCHEMA = committed.schema("procedure-data")
VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
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


def exact_guard(point, reference: F) -> F:
    """The guard band for a reference reading, which the limits rest on."""
    return F(f"{point.sure.guard_at(reference):.12g}")


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


@pytest.mark.parametrize("shares, accuracy", [(("0.1 %", "0.5 %"), 0.003),
                                              (("0.5 %", "0.1 %"), 0.015)])
def test_where_two_rows_hold_the_first_in_the_file_counts(shares, accuracy, tmp_path):
    """A table has one step and one accuracy, so of two rows that both hold for 3 V one is taken:
    0.1 % of it are 3 mV, 0.5 % are 15 mV."""
    rows = [{"values": "0 V to 10 V", "resolution": "10 uV", "within": share} for share in shares]
    (point,) = the_procedure(compared(tmp_path, VOLTS, "3 V",
                                      standards=reference(("DC voltage", rows)))).points
    assert point.sure.standard_accuracy == pytest.approx(accuracy, rel=1e-12)


@pytest.mark.parametrize("hertz, accuracy", [("400 Hz", 0.003), ("1 kHz", 0.015), ("5 kHz", None)])
def test_the_row_is_that_of_the_points_frequency(hertz, accuracy, tmp_path):
    """0.1 % up to 500 Hz and 0.5 % up to 2 kHz, of 3 V: 3 mV and 15 mV; at 5 kHz there is no
    reference, though its values would do."""
    one = function("AC voltage", range_("6 V", "1 mV", [row("2 % + 5 counts",
                                                            frequency="40 Hz to 10 kHz")]))
    rows = [{"values": "0 V to 10 V", "resolution": "10 uV", "frequency": band, "within": within}
            for band, within in (("40 Hz to 500 Hz", "0.1 %"), ("500 Hz to 2 kHz", "0.5 %"))]
    shop = compared(tmp_path, one, "3 V", standards=reference(("AC voltage", rows)),
                    frequency=hertz)
    if accuracy is None:
        assert only_problem(shop).hint.replace("\u00a0", " ") == (
            "Skua reaches 0 to 10 V at 40 to 500 Hz; 0 to 10 V at 500 Hz to 2 kHz")
    else:
        (point,) = the_procedure(shop).points
        assert point.sure.standard_accuracy == pytest.approx(accuracy, rel=1e-12)


# ---------------------------------------------------------------- the allowance


def test_no_limits_around_a_value_that_is_only_about(tmp_path):
    """Conditional zones stand around what the reference reads; there are none to print or to store
    beforehand."""
    procedure = the_procedure(compared(tmp_path, VOLTS, "3 V", rule=GUARDED | {"outcomes": "four"}))
    (point,) = procedure.points
    assert (point.small_from, point.small_to,
            procedure.data["points"][0]["conditional"]) == ("", "", None)


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


@pytest.mark.parametrize("methods, name", [
    (["AC", "DC"], "Gannet"), (["DC", "AC"], "Skua"), (["DC", "DC"], "Skua"),
    (["AC", None], "other-method")])
def test_of_two_reference_meters_the_one_of_the_same_method(methods, name, tmp_path):
    """A meter that charges by DC is compared with the first of the two that does so too."""
    first, second = (by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %",
                        {"method": method} if method else {}) for method in methods)
    shop = load_points(tmp_path, FARADS | {"method": "DC", "relative": "press REL"},
                       {"apply": "470 uF", "compare_on": "an electrolytic", "zero": "relative"},
                       standards=[first, second | {"standard": "gannet", "name": "Gannet"}],
                       plan_more={"leads": LEADS})
    if name == "other-method":
        assert codes(shop) == [name] and "the meter and of Skua" in shop.errors[0].hint
    else:
        assert the_procedure(shop).points[-1].planned.standard.name == name


def test_voltages_need_no_method(tmp_path):
    """The method decides about capacitances alone."""
    assert the_procedure(compared(tmp_path, VOLTS | {"method": "A"}, "3 V",
                                  standards=by(keys={"method": "B"})))


# ---------------------------------------------------------------- the data

def readings(chance, nominal: F, step: F):
    for _ in range(400):
        x = round(nominal * F(chance.randint(800000, 1200000), 10 ** 6) / step) * step
        yield x, round(
            (F(chance.randint(-1500, 1500), 1000) * (F("0.004") * x + F("0.002"))) / step) * step


def judged_by_data(data: dict, x: F, difference: F) -> bool:
    """As the schema describes it, from the fields alone."""
    def number(text: str) -> F:
        return F(text.split()[0])

    step = number(data["reference"]["step"])
    at = next(one for one in data["reference"]["at"] if abs(x) < number(one["below"]))
    allowed = F(data["slope"]) * abs(x) + number(data["offset"]) - number(at["guard_band"])
    return abs(difference) <= math.floor(allowed / step) * step


def edge_at(x: F, guard: F) -> F:
    """The largest difference at a reference reading, cut off one digit beyond the display."""
    return math.floor((F("0.004") * abs(x) + F("0.002") - guard) / F("0.0001")) * F("0.0001")


def agreement(folder, rule) -> list[bool]:
    shop = compared(folder, VOLTS, "3 V", standards=by(within="0.0377 % + 313 uV"), rule=rule)
    (point,) = the_procedure(shop).points
    data = json.loads(json.dumps(the_procedure(shop).data))
    jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
    (one,) = data["points"]
    assert (one["kind"], one["reference"]["standard"], one["reference"]["on"],
            one["accept"]) == ("reference", "skua", "a bench supply", None)
    def w(x: F) -> F:
        return exact_guard(point, x) if rule else F(0)

    found = []
    for x, difference in readings(random.Random(4), F(3), F("0.00001")):
        found.append(judged_by_data(one, x, difference) == (abs(difference) <= edge_at(x, w(x))))
    # and at the very edge
    for x in (F("2.41237"), F(3), F("3.59999")):
        edge = edge_at(x, w(x))
        found += [judged_by_data(one, x, edge), not judged_by_data(one, x, edge + F("0.00001")),
                  judged_by_data(one, x, -edge)]
    return found


def test_the_data_alone_judge_a_reading(tmp_path):
    """Slope, offset and step give the same verdict as the rule, for random readings and at
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
