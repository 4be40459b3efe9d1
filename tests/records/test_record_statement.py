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
