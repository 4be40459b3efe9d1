"""The two forms of a record's readings, of paper and of a phone: what is found in each, and what
can't be placed."""

from __future__ import annotations

import pytest

from builder.records.readings import Closing
from tests.records.test_readings import VOLT, entries
from tests.recorded import OTHER, data_of, only_problem, phone, put, record


@pytest.mark.parametrize("change, says", [
    (lambda r: r["points"][2].update(id="gone"), "no point 'gone'"),
    (lambda r: r["points"][2].update(step="9.9"), "at step '9.9'"),
    (lambda r: r["points"].append(r["points"][2]), "stands twice"),
    (lambda r: r["points"][2]["readings"].extend(r["points"][2]["readings"] * 10),
     "up to 10 readings"),
    (lambda r: r["points"][2].update(readings="3"), "up to 10 readings"),
    (lambda r: r["checks"][0].update(step="9.9"), "no check at step"),
    (lambda r: r["checks"][0].update(good="perhaps"), "neither yes nor no"),
    (lambda r: r["checks"][0].update(check="Jaw"), "step 1.1 is 'Ratings'"),
    (lambda r: r["checks"][0].update(answers=[{"answer": "yes"}, {"answer": "perhaps"}]),
     "neither yes nor no"),
    (lambda r: r["checks"][0].update(write="12"), "asks for no number"),
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


def test_a_phone_and_paper_hold_the_same(root):
    """The phone's readings have their unit and their time; the rest is one form."""
    data = data_of(root)
    paper = entries(root, record(data, checks={"1.2": {"no": "", "then": ["yes"]}}))
    (root / "records/x.yaml").unlink()
    made = phone(data)
    made["points"][2]["note"] = "drifts"
    made["checks"][1]["answers"] = [{"answer": "no", "write": None, "by": None, "at": None},
                                    {"answer": "yes", "write": None, "by": None, "at": None}]
    made["verdict"] = None
    made["groups"][5]["near_zero"] = "0.0"
    made["groups"][5]["opened"] = "2026-03-12T09:10:00.000Z"
    found = entries(root, made)
    assert {id: [one.readings[0].split()[0] for one in tries] for id, tries in found.tries.items()
            } == {id: [one.readings[0] for one in tries] for id, tries in paper.tries.items()}
    assert found.tries[VOLT][0].at == "2026-03-12T09:00:00.000Z"
    assert found.answers == paper.answers and found.notes == {"5.1": "drifts"}
    assert found.closings == {"6": Closing(closed=True, near_zero="0.0",
                                           opened="2026-03-12T09:10:00.000Z")}
    assert found.labels["petrel"]["due"] == "2030-01-01"


@pytest.mark.parametrize("change, code, says", [
    (lambda r: r.update(closed={"5": "0.0"}), "group", "no live group"),
    (lambda r: r.update(closed={"6": ["0.0"]}), "closed", "a single value"),
    (lambda r: r.update(initials={"99": "IM"}), "group", "no group '99'"),
    (lambda r: r.update(initials={"5": ["IM"]}), "shape", "a single value"),
    (lambda r: r.update(standards={"petrel": "77"}), "shape", "a group of keys"),
    (lambda r: r.update(standards={"petrel": {"colour": "red"}}), "unknown-key", "'colour'"),
    (lambda r: r.update(standards={"petrel": {"due": ["x"]}}), "shape", "a single value"),
    (lambda r: r.update(standards={"gull": {"due": "x"}}), "standard", "no standard 'gull'"),
    (lambda r: r.update(steps="3"), "shape", "group of keys and values"),
])
def test_what_can_not_be_placed(change, code, says, root):
    """A group, a standard or a key that isn't on the sheet: each once."""
    made = record(data_of(root))
    change(made)
    put(root, "x.yaml", made)
    problem = only_problem(root, OTHER)
    assert (problem.code, says in problem.sentence) == (code, True), problem
