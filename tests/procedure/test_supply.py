"""Parts that standard and meter read by other methods: limits only with a stated component."""

import pytest

from tests.procedure.test_budget_of_point import lines_of
from tests.small_shop import (LEADS, box, codes, function, load_points, only_problem, range_,
                              reference, the_procedure)

FARADS = function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"))
STEADY, AT_100 = "charged by a steady current", "100 Hz"


def of_box(folder, mine, its, of_value=None, of_all=None, in_plan=None, observe=None):
    """A capacitor of 10 nF, certified at 10.02 nF, with these methods and what they may differ."""
    made = box(("10 nF", "10.02 nF", "2 pF"), what="capacitance")
    held = made["artifacts"][0]
    held |= {"method": its} if its else {}
    held |= {"other_method": of_all} if of_all else {}
    held["values"][0] |= {"other_method": of_value} if of_value else {}
    point = {"apply": "10 nF"} | ({"other_method": in_plan} if in_plan else {}) | (
        {"observe": observe} if observe else {})
    return load_points(folder, FARADS | ({"method": mine} if mine else {}), point,
                       standards=[made], plan_more={"leads": LEADS})


def budget_of(shop) -> dict:
    return lines_of(the_procedure(shop).points[-1])


@pytest.mark.parametrize("mine, its, refused", [
    (STEADY, AT_100, True), (None, AT_100, True), ("1 kHz", AT_100, True),
    (AT_100, AT_100, False), (STEADY, STEADY, False)])
def test_a_capacitor_certified_by_another_method_needs_a_word(mine, its, refused, tmp_path):
    """No limit where the box says its method and the meter another one or none."""
    shop = of_box(tmp_path, mine, its)
    if refused:
        problem = only_problem(shop)
        assert problem.code == "other-method-of-box" and its in problem.sentence
        assert "other_method: 0.5 %" in problem.hint
    else:
        assert not any("method" in name for name in budget_of(shop))


@pytest.mark.parametrize("said, farads", [
    ({"of_all": "0.5 %"}, 0.005 * 10.02e-9), ({"of_value": "20 pF", "of_all": "0.5 %"}, 20e-12),
    ({"in_plan": "1 %", "of_value": "20 pF"}, 0.01 * 10.02e-9)])
def test_what_another_method_may_do_is_a_line_of_the_budget(said, farads, tmp_path):
    """The plan's word rules over the value's, and that over the box's; percent is of what is
    certified. The line names both methods."""
    found = budget_of(of_box(tmp_path, STEADY, AT_100, **said))
    assert found["other method: Auk box 100 Hz, the meter charged by a steady current"] == (
        pytest.approx(farads, rel=1e-12), 1)


def test_like_methods_add_nothing(tmp_path):
    """What another method may do counts only where there is another."""
    assert not any("other method" in name for name in budget_of(
        of_box(tmp_path, AT_100, AT_100, of_all="0.5 %")))


def test_an_observation_needs_no_word(tmp_path):
    """It has no limits."""
    (point,) = the_procedure(of_box(tmp_path, STEADY, AT_100, observe="other methods")).points
    assert point.planned.judged is None


@pytest.mark.parametrize("its", ["AC", None])
def test_a_reference_meter_of_another_method_with_its_component(its, tmp_path):
    """The plan says how far the two may be apart; half a display each comes on top."""
    ref = reference(("capacitance", {"values": "1 nF to 1 uF", "resolution": "1 pF",
                                     "within": "0.4 %"}, {"method": its} if its else {}))
    shop = load_points(tmp_path, FARADS | {"method": "DC", "relative": "press REL"},
                       {"apply": "10 nF", "compare_on": "a film capacitor", "zero": "relative",
                        "other_method": "2 %"},
                       standards=[ref], plan_more={"leads": LEADS})
    name = f"other method: Skua {its or 'unknown'}, the meter DC"
    assert budget_of(shop)[name] == (pytest.approx(0.2e-9), 1)


@pytest.mark.parametrize("change, code", [
    ({"other_method": "0.5 %"}, "missing"), ({"method": "1 kHz", "other_method": "3 V"}, "unit")])
def test_what_is_wrong_at_a_box(change, code, tmp_path):
    """'other_method' without the method that it departs from, and a unit of another kind."""
    made = box(("10 nF", "10.02 nF", "2 pF"), what="capacitance")
    made["artifacts"][0] |= change
    assert codes(load_points(tmp_path, FARADS, {"apply": "10 nF"}, standards=[made],
                             plan_more={"leads": LEADS})) == [code]


def test_resistors_have_no_method(tmp_path):
    """Nor has a point of resistance another one."""
    ohms = function("resistance", range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))
    made = box(("5 kohm", "5 kohm", "0.1 ohm"))
    made["artifacts"][0] |= {"method": "DC"}
    assert codes(load_points(tmp_path / "box", ohms, {"apply": "5 kohm"}, standards=[made],
                             plan_more={"leads": LEADS})) == ["method"]
    assert codes(load_points(tmp_path / "plan", ohms, {"apply": "5 kohm", "other_method": "1 %"},
                             standards=[box(("5 kohm", "5 kohm", "0.1 ohm"))],
                             plan_more={"leads": LEADS})) == ["method"]
