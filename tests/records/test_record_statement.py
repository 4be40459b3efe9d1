"""From a record to its statement: what stands at each point, check and live group."""

from __future__ import annotations

import json

import pytest

from builder.compute.exact.order import PROVING
from builder.records import paper_form
from builder.records.record_statement import record_statement
from builder.shop import loading
from tests import small_shop as shops
from tests.recorded import (DIODE, OHMS, OTHER, VOLTS, data_of, folder_with, phone, plan, put,
                            record)

PLAN = {"checks": ["ratings", "case", "jacks", "leads",
                   {"check": "diode test", "covers": "diode test"}]}


@pytest.fixture
def stated(tmp_path):
    """The statement of one record, or of one as left with its state as found."""
    root = folder_with(tmp_path, PLAN)

    def of(found: dict | None = None, **head):
        put(root, "a.yaml", record(data_of(root), **head))
        if found is not None:
            put(root, OTHER, record(data_of(root), **found))
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        return record_statement(shop.records["a"],
                                shop.records.get(OTHER.removesuffix(".yaml")))
    return of


def by_function(found) -> dict[str, str]:
    return {one.function: one.statement for one in found.functions}


GOOD = {"DC voltage": "passes", "resistance": "passes", "diode test": "passes"}


def test_a_record_without_a_fault_passes(stated):
    found = stated()
    assert found.statement == "passes" and by_function(found) == GOOD
    assert not found.barred and len(found.usable) == 3


@pytest.mark.parametrize("head, statement, functions", [
    ({"readings": {"5.2": "-3.020"}}, "limited", {"DC voltage": "fails"}),
    ({"readings": {"5.2": "-"}}, "limited", {"DC voltage": "no statement"}),
    ({"checks": {"Diode test": "no"}}, "limited", {"diode test": "fails"}),
    ({"checks": {"Diode test": "-"}}, "limited", {"diode test": "no statement"}),
    # a failure is a failure only with ground
    ({"readings": {"5.2": "-3.020"}, "ambient": "22 degC"}, "limited",
     {"DC voltage": "no statement", "resistance": "no statement"}),
    ({"closed": {"6": "no"}}, "limited", {"DC voltage": "no statement"}),
    ({"readings": {"0.500 V": "9.999"}}, "passes", {}),     # an observation
])
def test_each_function(stated, head, statement, functions):
    found = stated(**head)
    assert by_function(found) == GOOD | functions and found.statement == statement


def test_steps_of_the_bench_are_no_points(stated):
    """The leads alone count in no function: bad leads of the bench fail no meter."""
    found = stated(readings={"3.1": "9.9", "4.1": "59.9"})
    assert "3.1" not in {one.step for one in found.points}
    assert by_function(found)["resistance"] == "no statement"


def test_a_range_is_named_with_how_far_it_was_tried(stated):
    reach = {name: [(one.range, one.to) for one in those]
             for name, those in stated(readings={"0.500 V": "-"}).reach.items()}
    assert reach == {"DC voltage": [("6 V", "3.000 V"), ("600 V", "540.0 V")],
                     "resistance": [("600 Ohm", "50 Ohm")], "diode test": []}
    # what was not read was not tried
    assert [one.range for one in stated(readings={"6.1": "-"}, closed=None).reach["DC voltage"]
            ] == ["6 V"]


def test_the_state_as_left_carries_over_what_was_not_done_again(stated):
    """Each with the ground that it had then."""
    again = {"state": "as left", "adjusted": "the 6 V range",
             "readings": {step: "-" for step in ("3.1", "4.1", "5.3", "6.1")}, "closed": None,
             "checks": {name: "-" for name in ("Ratings", "Leads", "Diode test")}}
    alone = stated(**again)
    assert by_function(alone) == dict.fromkeys(GOOD, "no statement") and not alone.carried_over
    found = stated(found={"readings": {"5.1": "3.05"}}, **again)
    assert found.statement == "passes" and by_function(found) == GOOD
    assert {"4.1", "6.1", "1.1", "2.1"} <= found.carried_over
    assert not found.carried_over & {"5.1", "5.2"}
    # a 'no' and a failure aren't carried away by silence
    bad = stated(found={"checks": {"Diode test": "no"}, "ambient": "22 degC"}, **again)
    assert by_function(bad) == {"DC voltage": "no statement", "resistance": "no statement",
                                "diode test": "no statement"}


STEPS = ("1.1", "1.2", "1.3", "1.4", "2.1", "3.1", "4.1", "5.1", "5.2", "5.3", "6.1")


def answered(found) -> list[tuple]:
    return [*((one.step, one.outcome) for one in found.points),
            *((one.step, one.answer) for one in found.checks)]


@pytest.mark.parametrize("n", range(len(STEPS)))
@pytest.mark.parametrize("wrong", [
    {}, {"readings": {"5.2": "-3.020"}}, {"readings": {"6.1": "545.9"}, "state": None},
    {"checks": {"Diode test": "no"}}, {"checks": {"Case": "no"}}])
def test_work_on_the_meter_leaves_blank_what_was_answered_after_it(stated, n, wrong):
    """At every step of the sheet, against the record in which somebody left off there; a 'no' at
    the step of the work was given before it."""
    is_no = (STEPS[n], wrong.get("checks")) in (("2.1", {"Diode test": "no"}),
                                                ("1.2", {"Case": "no"}))
    later = STEPS[n + 1 if is_no else n:]
    names = dict(zip(STEPS[:5], ("Ratings", "Case", "Jacks", "Leads", "Diode test"), strict=True))
    found = stated(**wrong, worked_on={STEPS[n]: "battery changed"})
    left_off = stated(**wrong | {
        "readings": wrong.get("readings", {}) | dict.fromkeys(later, "-"),
        "checks": {key: said for key, said in wrong.get("checks", {}).items() if key not in
                   {names.get(one) for one in later}}
        | {names[one]: "-" for one in later if one in names}})
    assert answered(found) == answered(left_off)
    assert by_function(found) == by_function(left_off) and found.statement == left_off.statement
    assert found.after_work == set(later) and not left_off.after_work
    if wrong:
        return
    # nothing is cut of a record as left, nor by work after the last reading
    for more in ({"state": "as left", "worked_on": {STEPS[n]: "battery changed"}},
                 {"worked_on": {"end": "battery changed"}}):
        assert answered(stated(**wrong | more)) == answered(
            stated(**{name: one for name, one in (wrong | more).items() if name != "worked_on"}))


def test_the_first_of_several_works_ends_the_state_as_found(stated):
    found = stated(worked_on={"6.1": "fuse", "5.2": "battery", "end": "cleaned"})
    assert found.after_work == {"5.2", "5.3", "6.1"}


@pytest.mark.parametrize("step, entry, outcome", [
    ("5.1", {"reading": "3.05", "then": ["3.001"], "because": "read again"}, "fail"),
    ("5.1", {"reading": "3.001", "then": ["3.05"], "because": "read again"}, "pass"),
    ("5.1", {"reading": "3.05", "then": ["3.001"], "because": "misread"}, "blank")])
def test_at_the_step_of_the_work_the_first_answer_stands(stated, step, entry, outcome):
    found = stated(readings={step: entry}, worked_on={step: "battery changed"})
    assert dict(answered(found))[step] == outcome
    assert found.after_work - {"5.1"} == {"5.2", "5.3", "6.1"}


@pytest.mark.parametrize("entry, answer", [
    ({"no": "low", "then": ["yes"]}, "no"), ({"yes": "", "then": ["no"]}, "yes"), ("no", "no"),
    ("yes", "blank")])
def test_at_a_check_where_the_meter_was_worked_on_the_first_answer_stands(stated, entry, answer):
    found = stated(checks={"Diode test": entry}, worked_on={"2.1": "battery changed"})
    assert dict(answered(found))["2.1"] == answer


def test_the_state_as_left_takes_what_was_read_after_the_work(stated):
    """… from the record in which it was done, marked, with the ground that it had; what was read
    before is carried over as ever, and a failure stays one."""
    again = {"state": "as left", "adjusted": "the battery", "closed": None,
             "readings": dict.fromkeys(STEPS[5:], "-"),
             "checks": dict.fromkeys(("Ratings", "Case", "Jacks", "Leads", "Diode test"), "-")}
    for n, step in enumerate(STEPS):
        found = stated(found={"worked_on": {step: "battery changed"}}, **again)
        assert found.statement == "passes" and by_function(found) == GOOD, step
        assert found.carried_as_left == set(STEPS[n:]) - {"3.1"}
        assert found.carried_over == set(STEPS[:n]) - {"3.1"} and not found.after_work
    found = stated(found={"worked_on": {"5.2": "battery changed"}, "readings": {
        "5.2": {"reading": "-3.05", "then": ["-3.001"], "because": "read again"}}}, **again)
    assert found.statement == "passes" and "5.2" in found.carried_as_left
    for bad in ({"readings": {"5.1": "3.05"}}, {"readings": {"6.1": "545.9"}}):
        found = stated(found={"worked_on": {"5.2": "battery changed"}} | bad, **again)
        assert by_function(found)["DC voltage"] == "fails"
    bad = {"worked_on": {"1.3": "battery changed"}, "checks": {"Diode test": "no"}}
    assert by_function(stated(found=bad, **again))["diode test"] == "no statement"


def test_a_phones_record_states_the_same(tmp_path):
    root = folder_with(tmp_path, PLAN)
    put(root, "a.json", phone(data_of(root)))
    put(root, OTHER, record(data_of(root), serial="2"))
    found = [record_statement(one) for one in loading.load_shop(root).records.values()]
    assert found[0].of_meter == found[1].of_meter and found[0].statement == "passes"


@pytest.mark.parametrize("check, answer, statement", [
    ("ratings", "no", "not safe to use"), ("ratings", "yes", "passes"),
    ("diode test", "no", "limited")])  # that one stops the function that it tests
def test_a_no_of_an_older_sheet_never_passes(stated, tmp_path, check, answer, statement):
    """Its data don't say what a 'no' stops."""
    stated()
    root = tmp_path / "procedures"
    for path in (root / "records").glob("lapwing-yearly-*.json"):
        data = json.loads(path.read_text(encoding="utf-8"))
        for one in data["checks"]:
            del one["stops"]
        put(root, path.name, data)
    assert stated(checks={check.capitalize(): answer}).statement == statement


def test_what_a_report_takes_from_it(stated):
    """What may be used and what not, what was tested and what it hangs on."""
    found = stated(readings={"5.2": "-3.020", "4.1": "-"}, ambient="22 degC",
                   checks={"Diode test": "no"})
    assert [one.function for one in found.barred] == ["resistance", "DC voltage", "diode test"]
    assert found.usable == ()
    assert {one.step for one in found.of("DC voltage")} == {"5.1", "5.2", "6.1"}
    assert [one.step for one in found.of("resistance")] == ["4.1"]
    assert {(one.reading, one.without) for one in found.points if one.step in ("5.2", "4.1")} == {
        ("-3.020 V", ("ambient",)), (None, ())}
    assert [(one.group, one.closed, one.functions) for one in found.live_groups] == [
        ("6", "near zero", ("DC voltage",))]
    seen = stated(readings={"5.2": "-3.020"}, checks={"Diode test": "-"})
    assert [one.function for one in seen.usable] == ["resistance"]
    assert [one.function for one in seen.barred] == ["DC voltage", "diode test"]
    # an observation alone tests nothing, so nothing is barred
    only = stated(readings={step: "-" for step in ("5.1", "5.2", "6.1")}, closed=None)
    assert [one.function for one in only.barred] == ["DC voltage"]


def test_the_lead_that_is_back_is_no_point(tmp_path):
    """After currents the voltage jack is proved by a reading: of the bench, whatever it shows."""
    root = folder_with(tmp_path, PLAN)
    amps = shops.function("DC current", shops.range_("600 mA", "0.1 mA", "1 % + 3 counts"),
                          jacks=["mA", "COM"])
    made = plan(**PLAN)
    made["points"].append({"function": "DC current", "apply": "540 mA"})
    made["left_out"].append({"check": "fuses", "because": "looked at elsewhere"})
    shops.write(root, {"meters/lapwing-1.yaml": shops.meter(VOLTS, OHMS, DIODE, amps),
                       "plans/lapwing-yearly.yaml": made})
    data = shops.the_procedure(loading.load_shop(root)).data
    put(root, paper_form.data_name(data), paper_form.as_text(data))
    back = [one["group"] for one in data["groups"] if one["stage"] == PROVING]
    proved = [one["step"] for one in data["points"] if one["group"] in back]
    assert proved
    put(root, "a.yaml", record(data, readings={proved[0]: "5.900"}))
    found = record_statement(loading.load_shop(root).records["a"])
    assert found.statement == "passes" and not set(proved) & {one.step for one in found.points}
    assert {"5.1", "4.1"} <= {one.step for one in found.points}


def test_a_no_that_stops_nothing_is_noted_alone(tmp_path):
    """The sheet says so of the shop's own check."""
    strap = {"check": "strap", "when": "by eye", "do": "Pull at the strap", "good": "it holds",
             "stops": "nothing", "of": "meter"}
    root = folder_with(tmp_path, {"checks": [*PLAN["checks"], strap]})
    put(root, "a.yaml", record(data_of(root), checks={"strap": "no", "Strap": "no"}))
    found = record_statement(loading.load_shop(root).records["a"])
    assert found.statement == "passes"
    assert [(one.name.lower(), one.stops) for one in found.of_meter.noted] == [("strap", "nothing")]
