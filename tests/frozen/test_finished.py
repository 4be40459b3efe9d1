"""Finished reports: issued once, amended and withdrawn with a reason, and what their records say
now."""

import json
import shutil
from datetime import date

import pytest

from builder.files import hashed
from builder.files.cache import Cache
from builder.files.problems import Wrong
from builder.frozen import finished, folder
from builder.pages import finishing, report_pages
from builder.records import departures
from builder.shop import loading
from tests.recorded import approve, data_of, folder_with, put, record

DAY = date(2026, 3, 20)


@pytest.fixture
def root(tmp_path):
    """A shop with a record as found and one as left of a meter, and one of another."""
    made = folder_with(tmp_path)
    data = data_of(made)
    put(made, "a.yaml", record(data))
    put(made, "b.yaml", record(data, state="as left", adjusted="the trimmer"))
    put(made, "c.yaml", record(data, serial="0999"))
    return made


def load(root):
    return loading.load_shop(root)


def finish(root, *names, by="T. Askew", on=DAY):
    return finishing.finish(load(root), root, names, by=by, on=on)


def amend(root, *names, because="a digit was mistyped", on=DAY):
    return finishing.amend(load(root), root, names, because=because, by="T. Askew", on=on)


def files(root):
    return sorted(path.name for path in (root / "finished").iterdir())


def change(root, name, **head):
    """Another value in the head of a record."""
    path = root / "records" / f"{name}.yaml"
    path.write_text(json.dumps(json.loads(path.read_text(encoding="utf-8")) | head),
                    encoding="utf-8")


def test_states_of_one_meter_are_finished_together(root):
    """As found and as left, each a file; the other meter's is not touched."""
    lines = finish(root, "a")
    assert files(root) == ["a.1.json", "b.1.json"] and len(lines) == 2
    shop = load(root)
    assert shop.problems == []
    own = shop.finished.latest("b")
    assert (own.issue, own.by, own.on, list(own.together)) == (1, "T. Askew", "2026-03-20", ["a"])
    assert own.together["a"] == shop.finished.latest("a").fingerprint
    assert own.report.number == "b" and own.report.issue == 1 and shop.finished.numbers == ("a",
                                                                                            "b")
    with pytest.raises(Wrong, match="nothing to finish: b and a were finished"):
        finish(root, "b")


def test_a_day_finishes_what_has_no_report_yet(root):
    """All records of it; what is finished already is passed over."""
    finish(root, "c")
    assert len(finish(root, "2026-03-12")) == 2 and files(root) == [
        "a.1.json", "b.1.json", "c.1.json"]
    with pytest.raises(Wrong, match="no record of 2026-03-15"):
        finish(root, "2026-03-15")
    with pytest.raises(Wrong, match="no record 'd'"):
        finish(root, "d")


def test_what_one_report_takes_does_not_grow_with_the_others(root, monkeypatch):
    """However many are finished in one call: no file of the folder is read again, states are paired
    once, and each stands behind the one before it."""
    finish(root, "c")
    shop, pair, paired = load(root), departures.pairs, []
    with monkeypatch.context() as changed:
        changed.setattr(folder, "read", lambda *given: pytest.fail("read again"))
        changed.setattr(departures, "pairs", lambda given: paired.append(1) or pair(given))
        assert len(finishing.finish(shop, root, ["2026-03-12"], by="T. Askew", on=DAY)) == 2
    assert len(paired) == 2     # to choose, and to issue
    held, problems = finished.read(root, Cache(forgetful=True))
    chain = {one.content.number: one for one in held.files}
    assert problems == [] and [chain[name].content.before for name in "cab"] == [
        (), (chain["c"].hash,), (chain["a"].hash,)]


def test_the_page_is_that_of_the_file_alone(root):
    """Whatever becomes of the record, the sheet, the workshop: the page stays letter by letter."""
    finish(root, "c")
    shop = load(root)
    page = report_pages.alone(report_pages.issued(shop, shop.finished.latest("c")))
    assert "finished by T. Askew on 2026-03-20" in page and "DRAFT" not in page
    for path in (root / "records").iterdir():
        path.unlink()
    (root / "workshop.yaml").write_text("name: Other Works\naddress: Elsewhere\n",
                                        encoding="utf-8")
    (root / "plans/lapwing-yearly.yaml").unlink()
    shop = load(root)
    assert report_pages.alone(report_pages.issued(shop, shop.finished.latest("c"))) == page
    made, data = report_pages.pages(shop, {}, "", report_pages.Cache(forgetful=True))
    assert list(made) == ["reports/c.md", "reports.md"] and "End of report c" in made[
        "reports/c.md"]
    assert json.loads(data["data/reports/c.json"])["statement"] == "passes"
    assert [one.code for one in shop.problems if one.severity == "warning"] == ["record-gone"]


def test_what_isnt_finished_is_a_draft(root):
    """On the page and at its foot."""
    shop = load(root)
    shown = {one.page: one for one in report_pages.shown_of(shop, report_pages.reports_of(shop))}
    assert set(shown) == {"a", "b", "c"}
    assert all(one.mark == "draft" and "<b>DRAFT.</b>" in one.body
               and one.running.startswith("DRAFT · Report") for one in shown.values())


@pytest.mark.parametrize("head", [{"serial": "0998"}, {"remarks": "more"}, {"place": "bench 3"}])
def test_a_record_that_changed_is_a_problem(root, head):
    """At its place; the report stands, and what the record says now is a draft beside it."""
    finish(root, "c")
    change(root, "c", **head)
    shop = load(root)
    (problem,) = shop.errors
    assert problem.code == "changed-record" and problem.place.file.endswith("records/c.yaml")
    assert shop.stopping == []
    made, data = report_pages.pages(shop, {}, "", report_pages.Cache(forgetful=True))
    assert {"reports/c.md", "reports/c-draft.md"} <= set(made)
    assert "Issue 1 of 2026-03-20 stands" in made["reports/c-draft.md"]
    assert "reports/c-draft.md" in made["reports/c.md"]
    with pytest.raises(Wrong, match="says something else now"):
        finish(root, "c")


def test_how_a_record_is_set_is_no_change(root):
    """Comments, line ends and indentation aren't what it says."""
    finish(root, "c")
    path = root / "records/c.yaml"
    text = json.dumps(json.loads(path.read_text(encoding="utf-8")), indent=3)
    path.write_bytes(b"# a comment\r\n" + text.replace("\n", "\r\n").encode())
    assert load(root).problems == []


def test_data_that_lack_a_field_are_the_same(root):
    """Written before there was such a field: what stands at its default changes no fingerprint,
    so the frozen copy, which has every field, has the same."""
    (path,) = (root / "records").glob("lapwing-yearly-*.json")
    data = json.loads(path.read_text(encoding="utf-8"))
    for point in data["points"]:
        assert point.pop("range_forced") is False
    path.write_text(json.dumps(data), encoding="utf-8")
    finish(root, "c")
    assert load(root).problems == []
    for point in data["points"]:
        point["range_forced"] = False
    path.write_text(json.dumps(data), encoding="utf-8")
    assert load(root).problems == []


def test_an_amendment_is_the_next_issue(root):
    """With its reason and what it changes; the old one stays as it was, marked as replaced."""
    finish(root, "c")
    old = (root / "finished/c.1.json").read_bytes()
    data = data_of(root)
    step = next(p["step"] for p in data["points"] if p["apply"] == "3.000 V")
    put(root, "c.yaml", record(data, {step: "3.005"}, serial="0999"))
    amend(root, "c", on=date(2026, 4, 1))
    assert files(root) == ["c.1.json", "c.2.json"]
    assert (root / "finished/c.1.json").read_bytes() == old
    shop = load(root)
    assert shop.problems == []
    own = shop.finished.latest("c")
    assert (own.issue, own.because, own.title) == (2, "a digit was mistyped",
                                                   "Amendment to report c")
    assert own.changes == (f"Step {step}: reading 3.005 V (before: 3.002 V).",)
    assert "Issue 2 replaces issue 1 of 2026-03-20, because: a digit was mistyped." in own.text
    assert "3.005" in own.text and own.fingerprint != shop.finished.issues("c")[0].fingerprint
    made, _ = report_pages.pages(shop, {}, "", report_pages.Cache(forgetful=True))
    assert "REPLACED" in made["reports/c-issue-1.md"] and "REPLACED" not in made["reports/c.md"]
    assert "c-issue-1.md" in made["reports/c.md"]
    assert "<small>replaced</small>" in made["reports.md"]


def test_the_day_of_issue(root):
    """As the record says, else the day on which it is finished; that of an amendment is its
    own."""
    change(root, "a", issued="")
    finish(root, "a", "c")
    texts = {one: load(root).finished.latest(one).text for one in "ac"}
    assert "<dd>2026-03-20" in texts["a"].partition("Day of issue")[2][:40]
    assert "<dd>2026-03-13" in texts["c"].partition("Day of issue")[2][:40]
    change(root, "c", place="bench 3")
    amend(root, "c", on=date(2026, 4, 1))
    assert "<dd>2026-04-01" in load(root).finished.latest("c").text.partition("Day of issue")[2][
        :40]


def test_a_change_as_found_amends_the_state_as_left_too(root):
    """Its page shows the readings as found; both are issued anew, together."""
    finish(root, "a")
    step = next(p["step"] for p in data_of(root)["points"] if p["apply"] == "3.000 V")
    put(root, "a.yaml", record(data_of(root), {step: "3.005"}))
    assert {one.place.file[-6:] for one in load(root).errors} == {"a.yaml", "b.yaml"}
    amend(root, "b")
    assert files(root) == ["a.1.json", "a.2.json", "b.1.json", "b.2.json"]
    shop = load(root)
    assert shop.problems == [] and shop.finished.latest("b").changes == (
        "Report a, given with it, says something else now.",)


def test_what_cant_be_amended(root):
    """What was never finished, what hasn't changed, and without a reason."""
    with pytest.raises(Wrong, match="never finished"):
        amend(root, "c")
    finish(root, "c")
    with pytest.raises(Wrong, match="nothing has changed in c"):
        amend(root, "c")
    with pytest.raises(Wrong, match="a reason is needed"):
        amend(root, "c", because=" ")
    assert files(root) == ["c.1.json"]


def test_withdrawn_with_a_reason(root):
    """Marked on its page, once; an amendment may follow though nothing changed."""
    finish(root, "c")
    shop = load(root)
    finished.withdraw(root, shop.finished, "c", "1", because="the wrong meter", told="the ferry",
                      by="T. Askew", on=DAY)
    shop = load(root)
    assert shop.problems == []
    shown = report_pages.issued(shop, shop.finished.latest("c"))
    assert shown.mark == "withdrawn" and shown.running.startswith("WITHDRAWN · Report c")
    assert "because: the wrong meter. Told: the ferry." in report_pages.alone(shown)
    for name, issue, said in (("c", "1", "withdrawn already"), ("c", "2", "no issue '2'"),
                              ("d", "1", "no issue '1'")):
        with pytest.raises(Wrong, match=said):
            finished.withdraw(root, shop.finished, name, issue, because="b", told="t", by="A",
                              on=DAY)
    amend(root, "c")
    assert load(root).finished.latest("c").issue == 2


def test_the_sheet_by_its_hash(root):
    """Of an approved one; else what it was judged by is inside."""
    finish(root, "c")
    own = load(root).finished.latest("c")
    assert own.sheet is None and own.judged_by == load(root).records["c"].carried
    assert "which nobody approved" in own.text
    path, _ = approve(root)
    finish(root, "a")
    own = load(root).finished.latest("a")
    assert own.sheet == json.loads(path.read_text(encoding="utf-8"))["hash"]
    assert own.judged_by is None
    assert "revision 1, " in own.text and "approved by T. Askew" in own.text


def test_certificates_and_the_record_are_kept(root):
    """Those of the day, and the record's file line by line."""
    finish(root, "c")
    own = load(root).finished.latest("c")
    assert {one.certificate for one in own.certificates} == {"P-1", "P-auk-box"}
    assert "\n".join(own.record) == (root / "records/c.yaml").read_text(encoding="utf-8")


def test_who_reviews_own_work_is_said(root):
    """In a neutral line; it forbids nothing."""
    change(root, "c", reviewed_by="i.  marlow")
    finish(root, "a", "c")
    texts = {one: load(root).finished.latest(one).text for one in "ac"}
    assert "done and reviewed by the same person" in texts["c"].replace("\n", " ")
    assert "the same person" not in texts["a"]


def test_the_workshop_says_who_may(root):
    """Finish, and review."""
    listed = ("name: W\naddress: A\nauthorised:\n- {name: T. Askew, may: finish}\n"
              "- {name: R. Quill, may: review}\n")
    (root / "workshop.yaml").write_text(listed, encoding="utf-8")
    with pytest.raises(Wrong, match="'I. Marlow' is not listed .* may finish"):
        finish(root, "c", by="I. Marlow")
    with pytest.raises(Wrong, match="c: 'T. Askew' is not listed .* may review"):
        finish(root, "c")
    change(root, "c", reviewed_by="R. Quill")
    assert len(finish(root, "c")) == 1


def test_one_changed_byte_withholds_that_report_alone(root):
    """The others stand; an issue without the one before it is missed."""
    finish(root, "a", "c")
    change(root, "c", place="bench 3")
    amend(root, "c")
    path = root / "finished/a.1.json"
    path.write_bytes(path.read_bytes().replace(b"T. Askew", b"T. Askem", 1))
    shop = load(root)
    assert [one.code for one in shop.errors] == ["frozen-hash"] and shop.stopping == []
    assert shop.finished.numbers == ("b", "c")
    path = root / "finished/c.1.json"
    path.write_bytes(path.read_bytes().replace(b"T. Askew", b"T. Askem", 1))
    assert sorted((one.code, one.place.file[-8:]) for one in load(root).errors) == [
        ("frozen-chain", "c.2.json"), ("frozen-hash", "a.1.json"), ("frozen-hash", "c.1.json")]


def test_a_faulty_record_is_told_alone(root):
    """It is not said to be gone as well, nor is one that follows it a stranger; where the folder
    can't be read, that is told and nothing of each report."""
    finish(root, "a", "c")
    change(root, "c", follows="a")
    change(root, "a", date="2026-13-13")
    told = load(root).problems
    assert {one.code for one in told} & {"record-gone", "stranger"} == set(), told
    assert "procedures/records/a.yaml" in {one.place.file for one in told}
    shutil.rmtree(root / "records")
    (root / "records").write_text("", encoding="utf-8")
    assert [one.place.file for one in load(root).problems] == ["procedures/records"]


def test_a_script_in_a_report_is_refused(root):
    """Its page would run it."""
    finish(root, "c")
    path = root / "finished/c.1.json"
    data = json.loads(path.read_text(encoding="utf-8"))
    del data["hash"]
    data["body"][0] += "<SCRIPT>x</SCRIPT>"
    path.write_text(hashed.as_text(data), encoding="utf-8")
    (problem,) = load(root).errors
    assert (problem.code, problem.sentence) == ("frozen-content", "a report holds no script")
