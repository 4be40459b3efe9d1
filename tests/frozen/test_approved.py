"""Approved sheets: which is in force, which ever was, and what may be approved."""

import tempfile
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from builder.files.cache import Cache
from builder.files.problems import Wrong
from builder.frozen import approved
from builder.procedure.sheet_text import sheet_text
from builder.shop import loading
from tests.recorded import folder_with

PLAN = "lapwing-yearly"


def sheet(tmp_path, **plan_more):
    """The plan's sheet as it computes."""
    shop = loading.load_shop(folder_with(tmp_path, plan_more))
    return shop.procedures[PLAN].sheet_data


@cache
def a_page():
    """Of some sheet; nothing here looks at it."""
    with tempfile.TemporaryDirectory() as folder:
        shop = loading.load_shop(folder_with(Path(folder)))
        return sheet_text(shop.procedures[PLAN])


def read(root):
    return approved.read(root, Cache(forgetful=True))


def approve(root, data, day="2026-03-12", by="T.  Askew"):
    return approved.approve(root, read(root)[0], data, page=a_page(),
                            made_from={"plans/x.yaml": ["a", "b"]}, by=by,
                            on=date.fromisoformat(day))


def withdraw(root, revision, day="2026-04-01"):
    return approved.withdraw(root, read(root)[0], PLAN, revision, because="the source was out",
                             told="the ferry", by="T. Askew", on=date.fromisoformat(day))


@pytest.fixture
def two(tmp_path):
    """Two sheets of one plan that are of two revisions."""
    made = sheet(tmp_path / "a"), sheet(tmp_path / "b", note="another sheet")
    assert made[0].revision != made[1].revision
    return made


def test_the_last_one_approved_is_in_force(tmp_path, two):
    """Counted from 1, with the name, the day and what changed; the first stays to be found."""
    path, first = approve(tmp_path, two[0])
    assert path.name == f"{PLAN}-{two[0].revision}.json"
    assert (first.number, first.turn, first.by, first.on) == (1, 1, "T. Askew", "2026-03-12")
    assert first.changes == ("The first sheet that was approved.",)
    _, second = approve(tmp_path, two[1], "2026-03-20")
    held, problems = read(tmp_path)
    assert problems == [] and held.in_force(PLAN) == second and second.number == 2
    assert second.shown == f"revision 2, {two[1].revision}" and second.changes
    assert [one.revision for one in held.sheets(PLAN)] == [one.revision for one in two]
    assert held.find(PLAN, two[0].revision).content == first
    assert held.find(PLAN, "0" * 12) is None and held.in_force("other") is None
    assert held.procedures == (PLAN,)


def test_the_same_sheet_is_not_approved_twice(tmp_path, two):
    """Nothing to decide, nothing written."""
    approve(tmp_path, two[0])
    with pytest.raises(Wrong, match="approved as it is: revision 1"):
        approve(tmp_path, two[0])
    assert len(list((tmp_path / "approved").iterdir())) == 1


def test_a_renewed_certificate_is_the_same_revision(tmp_path, two):
    """Approved again it keeps its number; a record finds the one of its day."""
    approve(tmp_path, two[0])
    standards = tuple(one.model_copy(update={"certificate": "P-2"}) for one in two[0].standards)
    path, again = approve(tmp_path, two[0].model_copy(update={"standards": standards}),
                          "2026-09-01")
    assert path.name.endswith(".2.json") and (again.number, again.turn) == (1, 2)
    assert all("certificate" in one for one in again.changes)
    held, problems = read(tmp_path)
    assert problems == [] and held.in_force(PLAN) == again

    def of(day):
        return held.find(PLAN, again.revision, date.fromisoformat(day)).content.turn
    assert [of(day) for day in ("2026-01-01", "2026-03-12", "2026-08-31", "2026-09-01")] == [
        1, 1, 1, 2]
    assert held.find(PLAN, again.revision).content.turn == 2


def test_what_is_withdrawn_is_out_of_use(tmp_path, two):
    """The one before comes into force again; its data are still found; once is enough."""
    _, first = approve(tmp_path, two[0])
    approve(tmp_path, two[1])
    path, _ = withdraw(tmp_path, two[1].revision)
    assert path.name == f"{PLAN}-{two[1].revision}.withdrawn.json"
    held, problems = read(tmp_path)
    assert problems == [] and held.in_force(PLAN) == first
    assert held.withdrawn(PLAN, two[1].revision).because == "the source was out"
    assert held.withdrawn(PLAN, two[0].revision) is None
    assert held.find(PLAN, two[1].revision) is not None
    with pytest.raises(Wrong, match="withdrawn already"):
        withdraw(tmp_path, two[1].revision)
    with pytest.raises(Wrong, match="no revision '000000000000'"):
        withdraw(tmp_path, "0" * 12)
    withdraw(tmp_path, two[0].revision)
    assert read(tmp_path)[0].in_force(PLAN) is None


def test_what_was_withdrawn_may_be_approved_again(tmp_path, two):
    """By a new decision, under its old number."""
    approve(tmp_path, two[0])
    withdraw(tmp_path, two[0].revision)
    _, again = approve(tmp_path, two[0])
    held, problems = read(tmp_path)
    assert problems == [] and held.in_force(PLAN) == again and again.number == 1
    assert held.withdrawn(PLAN, two[0].revision) is None
    assert again.changes == ("No approved sheet was in force.",)


def test_two_decisions_at_a_time_put_none_in_force(tmp_path, two):
    """As after a merge of two people's work: a problem, until somebody decides."""
    nothing = read(tmp_path)[0]
    for one in two:
        approved.approve(tmp_path, nothing, one, page=a_page(), made_from={}, by="A",
                         on=date(2026, 3, 12))
    held, problems = read(tmp_path)
    assert [one.code for one in problems] == ["two-decisions"] and held.in_force(PLAN) is None
    approve(tmp_path, two[0])
    held, problems = read(tmp_path)
    assert problems == [] and held.in_force(PLAN).turn == 2


def test_one_changed_byte_withholds_that_sheet_alone(tmp_path, two):
    """The other procedure's, and the revision before, stand."""
    approve(tmp_path, two[0])
    path, _ = approve(tmp_path, two[1])
    path.write_bytes(path.read_bytes().replace(b"T. Askew", b"T. Askem"))
    held, problems = read(tmp_path)
    assert [one.code for one in problems] == ["frozen-hash"]
    assert held.find(PLAN, two[1].revision) is None
    assert held.in_force(PLAN).revision == two[0].revision
