"""The two forms of a record's readings, of paper and of a phone: what is found in each, and what
can't be placed."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.records.reading_forms import PaperForm
from builder.records.readings import Closing, Readings
from tests.records.test_readings import OTHER_VOLT, VOLT, entries, tries
from tests.recorded import OTHER, data_of, only_problem, phone, put, record


@pytest.mark.parametrize("change, says", [
    (lambda r: r["points"][2].update(id="gone"), "no point 'gone'"),
    (lambda r: r["points"][2].update(step="9.9"), "at step '9.9'"),
    (lambda r: r["points"].append(r["points"][2]), "stands twice"),
    (lambda r: r["points"][2]["readings"].extend(r["points"][2]["readings"] * 2),
     "a first try and a second"),
    (lambda r: r["points"][2].update(readings={}) or r["points"][2].update(readings="3"),
     "a first try and a second"),
    (lambda r: r["checks"][0].update(step="9.9"), "no check at step"),
    (lambda r: r["checks"][0].update(good="perhaps"), "neither yes nor no"),
    (lambda r: r["groups"][0].update(group="99"), "no group '99'"),
    (lambda r: r["points"][2]["readings"][0].update(reading="3.0000 V"), "4 decimals"),
    (lambda r: r.update(serial=None), "nothing stands here"),
    (lambda r: r["points"].append(7), "groups of keys"),
    (lambda r: r["judged_by"]["points"][2].update(resolution="0 V"), "resolution above zero"),
    (lambda r: r.update(judged_by=7), "no file '7' beside"),
    (lambda r: r.update(revision="0123456789ab"), "judged by revision"),
])
def test_a_phones_record_that_was_damaged(root, change, says):
    """The same strictness for JSON, at its line and column."""
    made = phone(data_of(root))
    change(made)
    put(root, "p.json", made)
    problem = only_problem(root, OTHER)
    assert says in problem.sentence, problem


@pytest.mark.parametrize("given, found", [
    ("3.002", [("3.002",)]), ("-", []), ("", []), ("OL", [("OL",)]),
    (["3.020", "3.004"], [("3.020",), ("3.004",)]), (["3.020", "-"], [("3.020",)]),
    ([["3.001", "3.002", "3.003"]], [("3.001", "3.002", "3.003")]),
    ([["3.020", "3.021"], "3.001"], [("3.020", "3.021"), ("3.001",)]),
    ({"reading": "3.002"}, [("3.002",)]), ({"reading": "-"}, []),
])
def test_a_step_of_the_short_form(given, found, root):
    """One reading, two tries, readings that were repeated, or nothing; each at its own step."""
    made = entries(root, record(data_of(root), {VOLT: given}))
    assert tries(made, VOLT) == found and tries(made, OTHER_VOLT) == [("-2.999",)]


def test_a_phone_and_paper_hold_the_same(root):
    """The phone's readings have their unit and their time; the rest is one form."""
    data = data_of(root)
    paper = entries(root, record(data))
    (root / "records/x.yaml").unlink()
    made = phone(data)
    made["points"][2]["note"] = "drifts"
    made["groups"][5]["near_zero"] = "0.0"
    made["groups"][5]["opened"] = "2026-03-12T09:10:00.000Z"
    found = entries(root, made)
    assert {id: [one.readings[0].split()[0] for one in tries] for id, tries in found.tries.items()
            } == {id: [one.readings[0] for one in tries] for id, tries in paper.tries.items()}
    assert found.tries[VOLT][0].at == "2026-03-12T09:00:00.000Z"
    assert found.answers == paper.answers and found.notes == {"5.1": "drifts"}
    assert found.closings == {"6": Closing(True, "0.0", "2026-03-12T09:10:00.000Z")}
    assert found.labels["petrel"]["due"] == "2030-01-01"


@pytest.mark.parametrize("change, code, says", [
    (lambda r: r["readings"].update({"5": [[["3"] * 101], "-3", "0"]}), "reading", "no reading"),
    (lambda r: r["readings"].update({"5": ["3", "-3", "0.5", "1"]}), "too-many", "5.1 to 5.3"),
    (lambda r: r["readings"].update({"5": ["3", "-3"]}), "too-few", "2 readings stand here"),
    (lambda r: r["readings"].update({"5": "3"}), "list", "must be a list"),
    (lambda r: r["readings"].update({"1": ["3", "3"]}), "group", "group 1 has no readings"),
    (lambda r: r["readings"].update({"9": ["3"]}), "group", "no group '9'"),
    (lambda r: r["checks"].update({"5": ["yes"]}), "group", "group 5 has no checks"),
    (lambda r: r["checks"]["1"].__setitem__(0, "perhaps"), "answer", "neither yes nor no"),
    (lambda r: r["checks"]["1"].__setitem__(0, {"god": "yes"}), "unknown-key", "'god'"),
    (lambda r: r.update(closed={"5": "0.0"}), "group", "no live group"),
    (lambda r: r.update(closed={"6": ["0.0"]}), "closed", "a single value"),
    (lambda r: r.update(notes={"9.9": "x"}), "step", "no step '9.9'"),
    (lambda r: r.update(notes={"5.1": ["x"]}), "note", "a note is a text"),
    (lambda r: r.update(standards={"petrel": "77"}), "shape", "a group of keys"),
    (lambda r: r.update(standards={"petrel": {"colour": "red"}}), "unknown-key", "'colour'"),
    (lambda r: r.update(standards={"petrel": {"due": ["x"]}}), "shape", "a single value"),
    (lambda r: r.update(standards={"gull": {"due": "x"}}), "standard", "no standard 'gull'"),
    (lambda r: r.update(readings="3"), "shape", "group of keys and values"),
])
def test_what_can_not_be_placed(change, code, says, root):
    """A step, a group or a key that isn't on the sheet, too many entries and too few: each once,
    so that none slips into another's place."""
    made = record(data_of(root))
    change(made)
    put(root, "x.yaml", made)
    problem = only_problem(root, OTHER)
    assert (problem.code, says in problem.sentence) == (code, True), problem


@pytest.mark.parametrize("reference, kept", [
    ("476.1", "476.1"), (["476.1", "476.3"], "476.1; 476.3"), (["476.1", "-"], "476.1; "),
    (["-", "-"], ""), ("-", ""), (None, ""), (["476.1/476.2", "476.3"], "476.1/476.2; 476.3"),
    (["1", "2", "3"], None), ([["1"], "2"], None), ({"a": "1"}, None)])
def test_readings_of_the_reference_meter(reference, kept):
    """One, or one before and one after, at their places even where one is missing; anything else
    is a problem."""
    problems: list = []
    document = SimpleNamespace(problem=lambda *what, **more: what)
    form = PaperForm(SimpleNamespace(), document, Readings(), problems)
    found = form._try(SimpleNamespace(kind="reference", step="11.1"),
                      {"reading": "477.4", "reference": reference}, ("readings", "11", 0))
    assert (found and found.reference) == kept and len(problems) == (kept is None)
