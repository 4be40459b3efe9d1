"""Records that can't be right: each a problem with file, line, column, sentence and hint, and the
others are built all the same."""

from __future__ import annotations

import json

import pytest

from builder.records import record_files
from builder.shop import loading
from tests.recorded import OTHER, data_of, only_problem, phone, put, record


def text_at(problem) -> str:
    """What the problem points at."""
    return problem.place.text[problem.place.column - 1:problem.place.column - 1
                              + problem.place.length]


@pytest.mark.parametrize("change, code, says", [
    (lambda r: r["steps"].update({"99.1 3 V": "1"}), "step", "no step '99.1 3 V'"),
    (lambda r: r["steps"].update({"1.4 Leads": "perhaps"}), "answer", "neither yes nor no"),
    (lambda r: r.update(closed={"5": "0.0"}), "group", "no live group"),
    (lambda r: r.update(standards={"gull": {"number": "1"}}), "standard", "no standard 'gull'"),
    (lambda r: r.update(standards={"petrel": {"numbr": "1"}}), "unknown-key", "'numbr'"),
    (lambda r: r.update(steps=["3"]), "shape", "must be a group of keys"),
    (lambda r: r.update(readings={"5": ["3"]}), "unknown-key", "'readings'"),
    (lambda r: r.update(revision="0123456789ab"), "revision", "judged by revision"),
    (lambda r: r.update(judged_by="gone.json"), "judged-by", "no file 'gone.json'"),
    (lambda r: r.update(procedure="other"), "procedure", "is of 'other'"),
    (lambda r: r.update(issued="2026-03-01"), "issued", "before the work"),
    (lambda r: r.update(received="2026-03-13"), "received", "after the work"),
    (lambda r: r.update(adjusted="x"), "state", "state as left"),
    (lambda r: r.update(worked_on={"9.9": "x"}), "step", "no step 9.9, before which"),
    (lambda r: r.update(worked_on={"5.1 3 V": "x"}), "value", "'5.1 3 V' is no step"),
    (lambda r: r.update(meter="other"), "meter", "the meter 'other'"),
    (lambda r: r.pop("serial"), "missing", "'serial' is missing"),
    (lambda r: r.update(date=""), "value", "nothing stands here"),
    (lambda r: r.update(state="as lost"), "choice", "not one of the words"),
])
def test_what_can_not_be_placed_or_believed(root, change, code, says):
    """Unknown groups, steps, keys and standards; too many and too few; another revision; data that
    is missing."""
    made = record(data_of(root))
    change(made)
    put(root, "x.yaml", made)
    problem = only_problem(root, OTHER)
    assert (problem.code, says in problem.sentence) == (code, True), problem


def test_a_truncated_file(root):
    """Cut short on the way: said so, at the end."""
    put(root, "p.json", json.dumps(phone(data_of(root)), indent=1)[:-900])
    problem = only_problem(root, OTHER)
    assert "cut short" in problem.sentence and problem.place.line > 50


def test_truncated_data_beside_a_record(root):
    """The data's own problem, and the record's."""
    data = next((root / "records").glob("lapwing-yearly-*.json"))
    data.write_text(data.read_text(encoding="utf-8")[:500], encoding="utf-8")
    shop = loading.load_shop(root)
    assert shop.records == {} and shop.stopping == []
    assert {p.code for p in shop.problems} == {"json",
                                               "judged-by"} and any(
                                                   "can't be read" in p.sentence
                                                   for p in shop.problems)


@pytest.mark.parametrize("second, stands",
                         [({}, False), ({"state": "as left"}, True), ({"date": "2026-03-13"}, True),
                          ({"serial": "1052"}, True), ({"state": None}, True)])
def test_the_same_serial_day_and_state_stand_once(root, second, stands):
    """Two records of one serial, day and state can't both count; the first in the order of names
    does."""
    data = data_of(root)
    put(root, "a.yaml", record(data))
    put(root, "b.yaml", record(data, **second))
    shop = loading.load_shop(root)
    assert ("b" in shop.records) == stands and "a" in shop.records
    assert [p.code for p in shop.problems] == ([] if stands else ["duplicate-record"])


def test_a_name_stands_once(root):
    """Two files that call their record the same."""
    data = data_of(root)
    put(root, "a.yaml", record(data, record="one"))
    put(root, "b.yaml", record(data, record="one", serial="5"))
    shop = loading.load_shop(root)
    assert [p.code for p in shop.problems] == [
        "duplicate-record"] and shop.records["one"].head.serial == "0147"


@pytest.mark.parametrize("name, hint", [
    ("R&D 60", "r-d-60"), ("meter #147", "meter-147"), ("50%25", "50-25"), ("a?b", "a-b"),
    ('q"uote', "q-uote"), ("<img src=x onerror=alert(1)>", "img-src-x-onerror-alert-1"),
    ("README", "dunlin-60-0147"), ("index", "dunlin-60-0147"), ("W-0147", "w-0147"),
    ("caf\udce9", "caf"), ("Ω", "dunlin-60-0147"), ("x" * 61, "x" * 60)])
def test_a_file_whose_name_can_be_no_address(root, name, hint):
    """A report's address is the name of its record's file, unless the record has a name itself:
    told at the file, with a name that would do; nothing else stops for it."""
    data = data_of(root)
    put(root, f"{name}.yaml", record(data, serial="0777"))
    found = only_problem(root, OTHER)
    assert (found.code, found.severity) == ("file-name", "error")
    assert found.hint.endswith(f"such as '{hint}.yaml'") and str(found).encode()
    (root / "records" / f"{name}.yaml").unlink()
    put(root, f"{name}.yaml", record(data, serial="0777", record="named-inside"))
    shop = loading.load_shop(root)
    assert [str(p) for p in shop.problems] == []
    assert sorted(shop.records) == ["2026-03-12-other", "named-inside"]


def test_a_meter_or_procedure_that_is_gone_is_a_warning(root):
    """The record reports from what it carries."""
    put(root, "p.json", phone(data_of(root)))
    for name in ("plans/lapwing-yearly.yaml", "meters/lapwing-1.yaml"):
        (root / name).unlink()
    shop = loading.load_shop(root)
    assert sorted(shop.records) == ["2026-03-12-5c0a7e11", "2026-03-12-other"] and not shop.errors
    assert {p.code for p in shop.problems} == {"stranger"} and len(shop.problems) == 4
    from builder.pages import report_pages
    assert len(report_pages.reports_of(shop)) == 2


def test_records_may_lie_in_folders_by_year(root):
    """With their data beside them."""
    data = data_of(root)
    (root / "records/2026").mkdir()
    put(root, "2026/p.json", phone(data))
    assert not loading.load_shop(root).problems and len(loading.load_shop(root).records) == 2
    put(root, "2026/x.yaml", record(data, serial="7"))
    assert "no file" in only_problem(root, OTHER, "2026-03-12-5c0a7e11.yaml").sentence


@pytest.mark.thorough
def test_random_damage_never_raises(root):
    """Bits cut out of and put into right records: problems at places inside the text, and no
    exception."""
    import random
    rng, data = random.Random(5), data_of(root)
    texts = {"x.yaml": json.dumps(record(data), indent=1),
             "p.json": json.dumps(phone(data), indent=1)}
    for _ in range(40):
        for name, text in texts.items():
            at = rng.randrange(3000 if name == "x.yaml" else len(text)) % len(text)
            put(root, name,
                text[:at] + rng.choice(["", "x", '"', "{", "]", "null", "-1", ",", ": ", "1e9",
                                        "\n"]) + text[at + rng.randrange(6):])
            path = root / "records" / name
            _, problems = record_files.read_file(path, name)
            lines = path.read_text(encoding="utf-8").split("\n")
            for one in problems:
                where = lines if one.place.file == name else None
                assert where is None or (1 <= one.place.line <= len(where) and 1 <= one.place.column
                                         <= len(where[one.place.line - 1]) + 1), str(one)


def test_a_bad_record_stops_no_site(root, tmp_path):
    """The pages are written, those of the good records too, and the list of reports names the bad
    one."""
    from builder.pages import render
    put(root, "x.yaml", record(data_of(root), {"5.1": "three"}))
    shop = loading.load_shop(root)
    site = render.render(shop)
    assert ("reports/2026-03-12-other.md" in site.pages and "procedures/lapwing-yearly.md"
            in site.pages)
    assert "is no number" in site.pages[
        "reports.md"] and "procedures/records/x.yaml" in site.pages["reports.md"]
