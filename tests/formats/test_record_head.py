"""The head of a record, and the data that it carries."""

from __future__ import annotations

import copy
import json
import random

import jsonschema
import pytest

from builder.files import json_text
from builder.formats import schemas
from builder.formats.record_head import as_date, head
from builder.formats.carried_sheet import sheet_data
from tests import recorded

HEAD = {"procedure": "lapwing-yearly", "revision": "9f2c41d07ab3",
        "judged_by": "lapwing-yearly-9f2c41d07ab3.json", "serial": "0147", "date": "2026-03-12"}


def read(data: dict):
    document, problems = json_text.parse(json.dumps(data), "records/x.json")
    assert not problems
    return head(data, document)


def test_the_least_that_a_record_says():
    """Procedure, revision, what it is judged by, serial number and day; a serial number keeps its
    zeros."""
    found, problems = read(HEAD)
    assert not problems and (found.serial, found.state,
                             str(found.date)) == ("0147", None, "2026-03-12")


@pytest.mark.parametrize("change, says", [
    ({"serial": ""}, "nothing stands here"), ({"date": "12.3.2026"}, "not a date"),
    ({"date": "2026-02-30"}, "not a date"), ({"revision": "abc"}, "no revision"),
    ({"state": "as lost"}, "not one of the words"),
    ({"judged_by": "../x.json"}, "no name of a file"), ({"owners": "x"}, "not a key known here"),
    ({"follows": "A B"}, "can't be an address"),
])
def test_what_is_wrong_in_the_head_is_said_in_words(change, says):
    """Each mistake is one problem with a sentence."""
    found, problems = read(HEAD | change)
    assert found is None and len(problems) == 1 and says in problems[0].sentence


def test_the_short_form_has_a_schema():
    """An editor helps with the form for paper."""
    schema = json.loads(schemas.text("paper-record"))
    jsonschema.validate(HEAD | {
        "state": "as found", "ambient": {"start": 22.8, "before 17": "23", "end": "23.1 degC"},
        "initials": {"5": "IM"},
        "steps": {"4.1 3 V": -0.1, "4.2 3 V": None, "4.3 3 V": "OL",
                  "4.4 3 V": {"reading": 5.0, "then": [5.1], "because": "lead not home"},
                  "4.5 3 V": {"repeated": [5.01, 5.02]},
                  "4.6 3 V": {"reading": 470.1, "reference": 470.3, "note": "hums"},
                  "1.1 Case": "yes", "1.2 Leads": {"no": "cut", "then": [{"yes": ""}]},
                  "1.3 Jacks": {"not on this meter": "IM"}}}, schema)
    for wrong in ({"steps": [1]}, {"steps": {"4": 1}}, {"steps": {"4.1": 1}},
                  {"steps": {"4.1 3 V": [3.0]}}, {"steps": {"4.1 3 V": {"readin": 3.0}}},
                  {"readings": {"4": [1]}}, {"state": "as lost"}, {"colour": "red"},
                  {"ambient": {"begin": 22}}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(HEAD | wrong, schema)


@pytest.mark.parametrize("text, day",
                         [("2027-06-30", True), ("06/2027", False), ("2027-13-01", False),
                          ("", False)])
def test_a_label_may_say_anything(text, day):
    """A due date is compared where it is a date."""
    assert (as_date(text) is not None) == day


# ---------------------------------------------------------------- the data that is carried

@pytest.fixture(scope="module")
def data(tmp_path_factory) -> dict:
    return recorded.data_of(recorded.folder_with(tmp_path_factory.mktemp("carried")))


def test_the_builder_reads_what_it_writes(data):
    """Exact figures, with their texts."""
    document, _ = json_text.parse(json.dumps(data), "d.json")
    found, problems = sheet_data(document.raw, document)
    assert not problems and [p.id for p in found.points] == [p["id"] for p in data["points"]]


def test_data_of_an_older_builder_is_enough(data):
    """What came later may be missing: the maker, the shape of a budget, what is left out."""
    old = copy.deepcopy(data)
    for name in ("maker", "specification", "humidity", "interval_agreed", "left_out"):
        del old[name]
    for point in old["points"]:
        del point["highest"]
        for name in ("degrees", "rectangles", "normal"):
            (point["uncertainty"] or {}).pop(name, None)
    document, _ = json_text.parse(json.dumps(old), "d.json")
    assert sheet_data(old, document)[1] == []


@pytest.mark.parametrize("change, at", [
    (lambda d: d.pop("points"), ""), (lambda d: d.update(format=2), "format"),
    (lambda d: d["points"][2].update(resolution="0 V"), "points"),
    (lambda d: d["points"][2].update(unit="mV"), "points"),
    (lambda d: d["points"][2]["accept"].update(low_counts="2986"), "points"),
    (lambda d: d["points"][2].update(slope="1e3"), "points"),
    (lambda d: d["points"][1].update(zero="gone"), ""),
    (lambda d: d["points"].append(d["points"][0]), ""), (lambda d: d["groups"].clear(), ""),
    (lambda d: d.update(decision_rule="luck"), ""),
    (lambda d: d["points"][2]["uncertainty"].update(probability="all"), "points"),
    (lambda d: d["points"][2].update(kind="reference"), "points"),
    (lambda d: d["points"][2].update(decimals=99), "points"),
    (lambda d: d.update(points={}), "points"),
])
def test_damaged_data_is_one_problem_at_its_place(data, change, at):
    """Whatever was changed by hand or lost on the way."""
    damaged = copy.deepcopy(data)
    change(damaged)
    document, _ = json_text.parse(json.dumps(damaged, indent=1), "d.json")
    found, (problem,) = sheet_data(damaged, document)
    assert found is None and problem.code == "judged-by" and problem.place.line >= 1
    assert problem.place.line > 2 or not at or at == "format"


def test_random_damage_never_raises(data):
    """Values exchanged anywhere in the data: a problem or none, and no exception."""
    rng = random.Random(11)

    def paths(node, at=()):
        yield at
        for key, inner in (node.items() if isinstance(node, dict) else enumerate(node)
                           if isinstance(node, list) else ()):
            yield from paths(inner, (*at, key))
    everywhere = [p for p in paths(data) if p]
    for path in rng.sample(everywhere, 120):
        damaged = copy.deepcopy(data)
        node = damaged
        for key in path[:-1]:
            node = node[key]
        node[path[-1]] = rng.choice([None, "", "0 V", "-1", "1 A", 7, -7, 1e9, True, [], {}, [[]],
                                     "x" * 5000, "\u202e"])
        document, problems = json_text.parse(json.dumps(damaged), "d.json")
        assert document or problems
        if document:
            sheet_data(damaged, document)


