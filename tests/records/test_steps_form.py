"""A record's steps as they are typed: each reading at the step that number and name agree on."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.records.readings import Answer, Readings
from builder.records.steps_form import StepsForm
from tests.recorded import OTHER, data_of, key_of, only_problem, put, record
from tests.records.test_readings import OTHER_VOLT, VOLT, entries, tries


@pytest.mark.parametrize("given, found", [
    ("3.002", [("3.002",)]), ("-", []), ("", []), ("OL", [("OL",)]),
    ("3.001/3.003", [("3.001/3.003",)]),
    ({"reading": "3.020", "then": ["3.004"]}, [("3.020",), ("3.004",)]),
    ({"reading": "3.020", "then": "3.004"}, [("3.020",), ("3.004",)]),
    ({"reading": "3.020", "then": ["-"]}, [("3.020",)]),
    ({"reading": "3.020", "then": [{"reading": "3.004"}, "3.003"]},
     [("3.020",), ("3.004",), ("3.003",)]),
    ({"repeated": ["3.001", "3.002", "3.003"]}, [("3.001", "3.002", "3.003")]),
    ({"reading": "3.002"}, [("3.002",)]), ({"reading": "-"}, []), ({"note": "drifts"}, []),
])
def test_a_reading(given, found, root):
    """One reading, later ones, readings that were repeated, or nothing; each at its own step."""
    made = entries(root, record(data_of(root), {VOLT: given}))
    assert tries(made, VOLT) == found and tries(made, OTHER_VOLT) == [("-2.999",)]


@pytest.mark.parametrize("because, causes", [
    ("lead not home", ["lead not home", ""]), (["wrong range"], ["wrong range", ""]),
    ("misread", ["misread", ""]), ("read again", ["", ""]), (None, ["", ""])])
def test_a_cause_at_the_bench_voids_what_stood_first(because, causes, root):
    given = {"reading": "3.020", "then": ["3.004"]} | ({"because": because} if because else {})
    made = entries(root, record(data_of(root), {VOLT: given}))
    assert [one.cause for one in made.tries[VOLT]] == causes


@pytest.mark.parametrize("given, found", [
    ("yes", Answer(good=True)), ("no", Answer(good=False)),
    ({"yes": "0.55"}, Answer(good=True, write="0.55")),
    ({"no": "0.9"}, Answer(good=False, write="0.9")),
    ({"yes": "", "by": "IM"}, Answer(good=True, by="IM")),
    ({"not on this meter": "IM"}, Answer(good=None, not_here=True, by="IM"))])
def test_an_answer(given, found, root):
    made = entries(root, record(data_of(root), checks={"Diode test": given}))
    assert made.answers["2.1"] == found


def test_later_answers_stand_beside_the_first(root):
    made = entries(root, record(data_of(root), checks={
        "Diode test": {"no": "0.9", "then": [{"yes": "0.55"}], "note": "lead changed"}}))
    assert made.answers["2.1"].all == (Answer(good=False, write="0.9"), made.answers["2.1"])
    assert (made.answers["2.1"].good, made.answers["2.1"].write) == (True, "0.55")
    assert made.notes["2.1"] == "lead changed"


def renamed(change):
    """The record with another key for the step 5.1."""
    def of(made: dict, data: dict) -> None:
        key = next(one for one in made["steps"] if one.startswith("5.1 "))
        made["steps"][change(key)] = made["steps"].pop(key)
    return of


@pytest.mark.parametrize("name", ["3.000 V", "3 V", "3.000V", "3000 mV", "3.000 v", "3,000 V"])
def test_names_are_compared_by_what_they_mean(name, root):
    """Without case and blanks, and values as values; but a comma parts them."""
    data = data_of(root)
    made = record(data)
    renamed(lambda key: f"5.1 {name}")(made, data)
    put(root, "x.yaml", made)
    if "," in name:
        assert "is '3.000 V' on this sheet" in only_problem(root, OTHER).sentence
    else:
        assert tries(entries(root, made), VOLT) == [("3.002",)]


def test_leads_and_ohms_in_any_spelling(root):
    data = data_of(root)
    made = record(data)
    for step, name in (("3.1", "leads together"), ("4.1", "50 Ω"), ("2.1", "DIODE  TEST"),
                       ("5.2", "−3.000 V")):
        key = next(one for one in made["steps"] if one.startswith(step + " "))
        made["steps"][f"{step} {name}"] = made["steps"].pop(key)
    found = entries(root, made)
    assert len(found.tries) == len(data["points"]) and len(found.answers) == len(data["checks"])


@pytest.mark.parametrize("change, code, says", [
    (renamed(lambda key: "5.1 -3.000 V"), "step", "step 5.1 is '3.000 V' on this sheet"),
    (renamed(lambda key: "5.1"), "step", "has no name here"),
    (renamed(lambda key: "9.9 3.000 V"), "step", "no step '9.9 3.000 V'"),
    (renamed(lambda key: "3.000 V"), "step", "no step '3.000 V'"),
    (lambda r, d: r["steps"].update({"5.1 3 V": "3.0"}), "step", "step 5.1 stands twice"),
    (lambda r, d: r["steps"].update({"1.1 Ratings": "perhaps"}), "answer", "neither yes nor no"),
    (lambda r, d: r["steps"].update({"1.1 Ratings": {"god": "yes"}}), "unknown-key", "'god'"),
    (lambda r, d: r["steps"].update({"1.1 Ratings": {"yes": "25"}}), "answer",
     "asks for no number"),
    (lambda r, d: r["steps"].update({"2.1 Diode test": {"not on this meter": ""}}), "answer",
     "initials"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3", "refrence": "3"}}),
     "unknown-key", "'refrence'"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3", "reference": "3"}}),
     "reading", "no reference meter"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": ["3.000", "3.001"]}), "reading", "no reading"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"repeated": ["3.000"]}}), "reading",
     "'repeated'"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"repeated": ["3.000"] * 101}}), "reading",
     "'repeated'"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3.0", "repeated": ["3", "3"]}}),
     "reading", "'repeated'"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3.0", "then": ["3.0"] * 11}}),
     "too-many", "more than 10"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3.0", "then": [["3.0"]]}}),
     "reading", "no reading"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3.0", "then": [{"x": "3.0"}]}}),
     "unknown-key", "'x'"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {
        "reading": "3.02", "then": ["3.0"], "because": "to be sure"}}), "cause", "no cause"),
    (lambda r, d: r["steps"].update({"5.1 3.000 V": {"reading": "3.02", "because": "misread"}}),
     "cause", "1 cause(s) stand here, and 0 reading(s)"),
])
def test_what_can_not_be_placed(change, code, says, root):
    """Each once, at its place, with what to write."""
    data = data_of(root)
    made = record(data)
    change(made, data)
    put(root, "x.yaml", made)
    problem = only_problem(root, OTHER)
    assert (problem.code, says in problem.sentence) == (code, True), problem


def test_a_name_at_another_step_is_pointed_at(root):
    data = data_of(root)
    made = record(data)
    made["steps"]["1.1 Leads"] = made["steps"].pop("1.1 Ratings")
    put(root, "x.yaml", made)
    assert only_problem(root, OTHER).hint == "'Leads' is step 1.4"


def test_a_check_that_no_meter_is_without(root):
    data = data_of(root)
    made = record(data)
    made["steps"]["1.1 Ratings"] = {"not on this meter": "IM"}
    put(root, "x.yaml", made)
    assert "no meter is without this" in only_problem(root, OTHER).sentence


def test_every_line_has_a_name(root):
    assert all(len(key_of(one).split(" ", 1)) == 2 for one in data_of(root)["points"])


@pytest.mark.parametrize("reference, kept", [
    ("476.1", "476.1"), (["476.1", "476.3"], "476.1; 476.3"), (["476.1", "-"], "476.1; "),
    (["-", "-"], ""), ("-", ""), (None, ""), (["476.1/476.2", "476.3"], "476.1/476.2; 476.3"),
    (["1", "2", "3"], None), ([["1"], "2"], None), ({"a": "1"}, None)])
def test_readings_of_the_reference_meter(reference, kept):
    """One, or one before and one after, at their places even where one is missing; anything else
    is a problem."""
    problems: list = []
    document = SimpleNamespace(problem=lambda *what, **more: what)
    form = StepsForm(SimpleNamespace(), document, Readings(), problems)
    found = form._try(SimpleNamespace(kind="reference", step="11.1"),
                      {"reading": "477.4", "reference": reference}, ("steps", "11.1 470 uF"), ())
    assert (found and found.reference) == kept and len(problems) == (kept is None)
