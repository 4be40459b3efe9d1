"""What a plan says of its bench, and what of that is refused."""

import pytest

from tests.small_shop import (LEADS, box, function, load_points, only_problem, range_, reference,
                              standard, thermometer)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))
POOL = {"function": "DC voltage", "s": "0.4 counts", "readings": "10", "source": "five meters"}


@pytest.mark.parametrize("change, code, said", [
    ({"function": "AC voltage"}, "no-function", "AC voltage"),
    ({"range": "60 V"}, "no-range", "60"),
    ({"s": "3 A"}, "unit", "current"), ({"s": "0"}, "value", ""),
    ({"readings": None}, "missing", "'readings'"),
    ({"degrees_of_freedom": "9"}, "missing", "one of them"),
    ({"readings": "1"}, "repeatability", "one reading"),
    ({"readings": "9.5"}, "value", "whole number"), ({"readings": "0"}, "value", "whole number"),
    ({"source": None}, "missing", "source")])
def test_what_is_wrong_with_a_repeatability(change, code, said, tmp_path):
    """At its place in the plan."""
    pool = {key: one for key, one in (POOL | change).items() if one is not None}
    problem = only_problem(load_points(tmp_path, VOLTS, {"apply": "3 V"},
                                       plan_more={"repeatability": [pool]}))
    assert (problem.code, problem.place.file) == (code, "procedures/plans/lapwing-yearly.yaml")
    assert said in problem.sentence


def test_a_function_has_one_for_all_its_ranges(tmp_path):
    """A second is refused, one of a range stands beside it."""
    shop = load_points(tmp_path / "twice", VOLTS, {"apply": "3 V"},
                       plan_more={"repeatability": [POOL, POOL]})
    assert only_problem(shop).code == "twice"
    assert not load_points(tmp_path / "range", VOLTS, {"apply": "3 V"}, plan_more={
        "repeatability": [POOL, POOL | {"range": "6 V"}]}).errors


KELVIN = function("temperature", range_("1300 degC", "1 degC", "0.5 % + 2 degC"),
                  name="temperature, type K", thermocouple="K", ranging="manual")


@pytest.mark.parametrize("by, within, reads, code, said", [
    ("dotterel", "0.3 degC", {"junction": "0.2 degC"}, "", ""),
    ("dotterel", "0.2 degC", {"junction": "0.2 degC"}, "", ""),
    ("dotterel", "0.1 degC", {"junction": "0.2 degC"}, "thermometer", "within 0.2 degC"),
    ("dotterel", "0.3 degC", {"ambient": "0.2 degC"}, "thermometer", "reads no junction"),
    ("petrel", "0.3 degC", {"junction": "0.2 degC"}, "thermometer", "reads no junction"),
    ("dunnock", "0.3 degC", {"junction": "0.2 degC"}, "no-standard", "not among the plan")])
def test_a_junction_is_read_by_a_thermometer_of_the_plan(tmp_path, by, within, reads, code, said):
    """That can; and no better than it can."""
    shop = load_points(tmp_path, KELVIN, {"apply": "100 degC"},
                       standards=[standard({"DC voltage": {"values": "0 mV to 100 mV"}}),
                                  thermometer(**reads)],
                       plan_more={"junction": {"measured": "thermometer at the V jack",
                                               "within": within, "standard": by}})
    if not code:
        (own,) = shop.procedures.values()
        assert not shop.errors and own.sheet_data.points[0].standards == ("petrel", "dotterel")
        return
    problem = only_problem(shop)
    assert (problem.code, said in problem.sentence) == (code, True), problem
    assert problem.place.file == "procedures/plans/lapwing-yearly.yaml" and problem.hint


@pytest.mark.parametrize("reads, code", [
    ({"ambient": "3 %"}, "unit"), ({"humidity": "0.4 degC"}, "unit"),
    ({"junction": "1 V"}, "unit"), ({"pressure": "1 hPa"}, "unknown-key"),
    ({"ambient": "0 degC"}, "value")])
def test_what_a_thermometer_reads_has_its_unit(tmp_path, reads, code):
    shop = load_points(tmp_path, VOLTS, {"apply": "3 V"},
                       standards=[standard(), thermometer(**reads)])
    assert only_problem(shop).code == code


def test_a_thermometer_says_what_it_reads(tmp_path):
    """An empty group says nothing, none at all is missing; and no other kind has one."""
    for reads, code in (({"reads": {}}, "value"), ({"reads": None}, "missing")):
        made = {key: one for key, one in (thermometer() | reads).items() if one is not None}
        assert only_problem(load_points(tmp_path / code, VOLTS, {"apply": "3 V"},
                                        standards=[standard(), made])).code == code
    odd = standard() | {"reads": {"ambient": "1 degC"}}
    assert only_problem(load_points(tmp_path / "b", VOLTS, {"apply": "3 V"},
                                    standards=[odd])).code == "kind"


def test_thermal_voltages_are_volts(tmp_path):
    """Not degrees."""
    problem = only_problem(load_points(tmp_path, VOLTS, {"apply": "3 V"},
                                       plan_more={"thermal_voltages": "2 degC"}))
    assert problem.code == "unit" and "'2 uV'" in problem.hint


@pytest.mark.parametrize("point, code", [
    ({"changes": "0.1 %"}, "compare"), ({"changes": "3 A", "compare_on": "a supply"}, "unit"),
    ({"changes": "none", "compare_on": "a supply"}, "value"),
    ({"other_method": "0.1 %", "compare_on": "a supply"}, "method")])
def test_what_is_wrong_with_a_comparison(point, code, tmp_path):
    """Changes without a comparison or in another unit, and a method where none matters."""
    by = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                   "within": "1 mV"}))
    shop = load_points(tmp_path, VOLTS, {"apply": "3 V"} | point,
                       standards=[by] if "compare_on" in point else None)
    assert only_problem(shop).code == code


# ---------------------------------------------------------------- leads that are known

OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"), after_zeroing="no")
SOURCE = standard({"resistance": {"values": "0 ohm to 10 kohm", "within": "1 mohm"}})
READS = {"values": "0 ohm to 100 ohm", "resolution": "0.1 mohm", "within": "1 mohm"}
PAIR = box(("90 mohm", "91.7 mohm", "2 mohm"))


@pytest.mark.parametrize("known, by, code, said", [
    ({"value": "83.4 mohm"}, reference(("resistance", READS)), "", ""), ({}, PAIR, "", ""),
    ({}, reference(("resistance", READS)), "known-leads", "what 'Skua' read of the leads"),
    ({"value": "83.4 mV"}, reference(("resistance", READS)), "unit", "needs ohms"),
    ({"value": "83.4 kohm"}, reference(("resistance", READS)), "known-leads", "reads no 83.4 kOhm"),
    ({"value": "0 ohm"}, reference(("resistance", READS)), "value", ""),
    ({"value": "83.4 mohm"}, reference(("DC voltage", {
        "values": "0 V to 10 V", "resolution": "1 uV", "within": "1 mV"})), "known-leads",
     "'Skua' reads no resistance"),
    ({"value": "83.4 mohm"}, reference(("resistance", READS, {"corrections": {
        "use": "stated", "between": "straight line", "between_within": "1 mohm", "values": [
            {"at": "10 ohm", "actual": "10.001 ohm", "within": "1 mohm"}]}})), "known-leads",
     "has corrections of resistance"),
    ({"value": "83.4 mohm"}, PAIR, "known-leads", "the certified value of 'Auk box' counts"),
    ({}, box(("90 mohm", "91.7 mohm", "2 mohm"), ("1 ohm", "1 ohm", "2 mohm")), "known-leads",
     "'Auk box' is not one resistance"),
    ({"standard": "dunnock", "value": "83.4 mohm"}, PAIR, "no-standard", "not among the plan's")])
def test_from_where_leads_are_known(known, by, code, said, tmp_path):
    """Each at its place in the plan, and alone."""
    shop = load_points(tmp_path, OHMS, {"apply": ["0 ohm", "540 ohm"]}, standards=[SOURCE, by],
                       plan_more={"leads": LEADS | {"known": {"standard": by["standard"]} | known}})
    if not code:
        assert not shop.errors
        return
    problem = only_problem(shop)
    assert problem.code == code and said in problem.sentence, problem
    assert problem.place.file == "procedures/plans/lapwing-yearly.yaml"
