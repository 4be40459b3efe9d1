"""What a record is judged by: carried inside, beside it, or approved."""


import json

from builder.shop import loading
from tests.recorded import approve, data_of, folder_with, put, record


def unjudged(root, **more):
    """A good record that names no data."""
    made = record(data_of(root), **more)
    del made["judged_by"]
    return made


def test_an_approved_sheet_needs_no_file_beside(tmp_path):
    """The same verdicts, and nothing in records/ but the record."""
    root = folder_with(tmp_path)
    approve(root)
    put(root, "a.yaml", unjudged(root))
    put(root, "b.yaml", record(data_of(root), serial="0999"))
    shop = loading.load_shop(root)
    assert shop.problems == [] and set(shop.records) == {"a", "b"}
    assert [one.outcome for one in shop.records["a"].judged] == [
        one.outcome for one in shop.records["b"].judged]
    assert shop.records["a"].carried == shop.approvals.sheets("lapwing-yearly")[0].sheet


def test_paper_that_was_printed_before_the_plan_changed(tmp_path):
    """Its revision was approved, so it is judged by the limits that it shows, whatever the plan
    says now."""
    root = folder_with(tmp_path)
    old = approve(root)[1].sheet
    made = unjudged(root)
    folder_with(tmp_path, {"decision_rule": "guard band of U"})
    for path in (root / "records").glob("*.json"):
        path.unlink()
    put(root, "a.yaml", made)
    shop = loading.load_shop(root)
    assert not shop.errors and shop.procedures["lapwing-yearly"].revision != old.revision
    assert shop.records["a"].carried == old


def test_a_revision_that_nobody_approved(tmp_path):
    """A problem at its place."""
    root = folder_with(tmp_path)
    put(root, "a.yaml", unjudged(root))
    (problem,) = loading.load_shop(root).errors
    assert (problem.code, problem.place.text.strip()[:11]) == ("judged-by", '"revision":')


def test_a_damaged_approval_withholds_its_records_alone(tmp_path):
    """The record that names its own data stands."""
    root = folder_with(tmp_path)
    approve(root)
    put(root, "a.yaml", unjudged(root))
    put(root, "b.yaml", record(data_of(root), serial="0999"))
    (path,) = (root / "approved").iterdir()
    path.write_text(path.read_text(encoding="utf-8").replace("Askew", "Askem", 1), encoding="utf-8")
    shop = loading.load_shop(root)
    assert sorted(one.code for one in shop.errors) == ["frozen-hash", "judged-by"]
    assert set(shop.records) == {"b"} and shop.stopping == []


def test_limits_that_are_not_those_of_the_approved_sheet(tmp_path):
    """A revision is approved with its limits: a record that brings others along is refused, one
    with the same limits is not."""
    root = folder_with(tmp_path)
    approve(root)
    put(root, "a.yaml", record(data_of(root)))
    assert loading.load_shop(root).problems == []
    (path,) = (root / "records").glob("lapwing-yearly-*.json")
    data = json.loads(path.read_text(encoding="utf-8"))
    point = next(one for one in data["points"] if one["kind"] == "source")
    point |= {"expected": None, "accept": None, "tolerance_limits": None}
    path.write_text(json.dumps(data), encoding="utf-8")
    (problem,) = loading.load_shop(root).errors
    assert problem.code == "judged-by" and "as it was approved" in problem.sentence
