"""Everything frozen, computed again: nothing differs from the version that wrote it, and each
change of a rule is found."""

from datetime import date

import pytest

from builder.pages import finishing
from builder.procedure import cautions
from builder.procedure.sheet_text import sheet_text
from builder.frozen import approved
from builder.records import verdict
from builder.shop import loading
from builder.shop.revalidation import revalidate
from tests.recorded import data_of, folder_with, put, record


@pytest.fixture
def root(tmp_path):
    """An approved sheet with its files, and two finished reports that belong together."""
    made = folder_with(tmp_path)
    shop = loading.load_shop(made)
    procedure = shop.procedures["lapwing-yearly"]
    names = ["plans/lapwing-yearly.yaml", "meters/lapwing-1.yaml", "standards/petrel.yaml",
             "standards/auk-box.yaml"]
    put(made, "a.yaml", record(data_of(made)))
    put(made, "c.yaml", record(data_of(made), serial="0999"))
    finish(made, "c")       # before anything is approved
    approved.approve(made, shop.approvals, procedure.sheet_data, page=sheet_text(procedure),
                     made_from={name: (made / name).read_text(encoding="utf-8").splitlines()
                                for name in names}, by="A", on=date(2026, 3, 1))
    put(made, "b.yaml", record(data_of(made), state="as left", adjusted="the trimmer"))
    finish(made, "a")
    return made


def finish(root, *names):
    finishing.finish(loading.load_shop(root), root, names, by="A", on=date(2026, 3, 20))


def differences(root):
    made = revalidate(loading.load_shop(root))
    assert len(made) == 4
    return {one.file.rpartition("/")[2]: one.differences for one in made if one.differences}


def test_the_same_version_finds_nothing(root):
    """Whatever has become of the shop's own files."""
    assert differences(root) == {}
    for folder in ("plans", "meters", "standards", "records"):
        for path in (root / folder).iterdir():
            path.unlink()
    assert differences(root) == {}


def test_a_reworded_caution_is_found(root, monkeypatch):
    """On the sheet, in its words."""
    severity, text, rest = cautions.CAUTIONS["live-voltage"]
    monkeypatch.setitem(cautions.CAUTIONS, "live-voltage", (severity, text, f"{rest} And more."))
    ((name, lines),) = differences(root).items()
    assert name.startswith("lapwing-yearly-") and any("And more." in one for one in lines)


def test_another_way_to_judge_is_found(root, monkeypatch):
    """In each report, with what is stated then."""
    known = verdict.verdict

    def stricter(point, readings, **more):
        return known(point, [f"{readings[0]}1"] if "." in readings[0] else readings, **more)
    monkeypatch.setattr("builder.records.judged_record.verdict", stricter)
    found = differences(root)
    assert set(found) == {"a.1.json", "b.1.json", "c.1.json"}


def test_a_sheet_whose_files_are_refused_now(root):
    """Said with the reason."""
    shop = loading.load_shop(root)
    (file,) = shop.approvals.files
    broken = file.content.model_copy(update={"made_from": {
        **file.content.made_from, "meters/lapwing-1.yaml": ("meter: x",)}})
    from dataclasses import replace
    shop.approvals = approved.Approvals((replace(file, content=broken),))
    lines = revalidate(shop)[0].differences
    assert lines[0] == "No sheet comes of its files any more." and len(lines) > 1


def test_a_report_without_its_sheet(root):
    """It can't be judged again, and that is said."""
    shop = loading.load_shop(root)
    shop.approvals = approved.Approvals()
    found = {one.file[-8:]: one.differences for one in revalidate(shop)}
    assert found["c.1.json"] == () and found["a.1.json"] == (
        "Its approved sheet is gone or damaged, so it can't be judged again.",)
