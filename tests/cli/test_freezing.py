"""The commands that freeze and withdraw, at a terminal."""

import json
import re

import pytest

from builder import cli
from builder.shop import loading
from tests.recorded import data_of, folder_with, put, record

PLAN = "lapwing-yearly"


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Runs a command on a small shop: exit code, what it printed, what it said."""
    root = folder_with(tmp_path)
    for path in (root / "records").iterdir():
        path.unlink()
    monkeypatch.setattr(cli, "PROCEDURES", root)

    def command(*arguments: str):
        code = cli.main(list(arguments))
        return code, *capsys.readouterr()
    command.root = root
    return command


def approved(run) -> list[str]:
    return sorted(path.name for path in (run.root / "approved").iterdir())


def test_a_sheet_is_approved_once(run):
    """Its file, its count and its name are said; a second time there is nothing to do."""
    code, out, _ = run("approve", PLAN, "--by", "T. Askew")
    (name,) = approved(run)
    revision = re.fullmatch(rf"{PLAN}-([0-9a-f]{{12}})\.json", name)[1]
    assert code == 0 and out.startswith(
        f"procedures/approved/{name}: revision 1, {revision}, approved by T. Askew on ")
    code, out, said = run("approve", PLAN, "--by", "T. Askew")
    assert (code, out) == (1, "") and "is approved as it is: revision 1" in said
    held = json.loads((run.root / "approved" / name).read_text(encoding="utf-8"))
    assert set(held["made_from"]) == {
        f"plans/{PLAN}.yaml", "meters/lapwing-1.yaml", "standards/petrel.yaml",
        "standards/auk-box.yaml"}
    assert "\n".join(held["made_from"]["meters/lapwing-1.yaml"]) == (
        run.root / "meters/lapwing-1.yaml").read_text(encoding="utf-8")


def test_forms_of_any_revision(run):
    """The one in force without data beside it, an old one by its hash, a draft with its data."""
    run("approve", PLAN, "--by", "A")
    old = loading.load_shop(run.root).procedures[PLAN].revision
    folder_with(run.root.parent, {"decision_rule": "guard band of U"})
    for path in (run.root / "records").iterdir():
        path.unlink()
    new = loading.load_shop(run.root).procedures[PLAN].revision
    code, out, _ = run("blank", PLAN)
    assert code == 0 and f"judged by its approved sheet, revision {old}" in out
    assert run("blank", PLAN, old)[0] == 0
    forms = sorted(path.name for path in (run.root / "records").iterdir())
    assert forms == [f"new-{PLAN}-2.yaml", f"new-{PLAN}.yaml"]
    text = (run.root / "records" / forms[1]).read_text(encoding="utf-8")
    assert f"revision: {old} " in text and "judged_by" not in text
    code, out, _ = run("blank", PLAN, new)
    assert code == 0 and "the sheet is a draft" in out
    assert (run.root / "records" / f"{PLAN}-{new}.json").is_file()
    code, out, _ = run("blank", PLAN, old, "--csv", ";")
    (table,) = (run.root / "records").glob("*.csv")
    assert code == 0 and f"records/{table.name}: " in out
    assert f";{PLAN} {old};" in table.read_text(encoding="utf-8-sig").replace("sheet", "")
    assert run("blank", PLAN, "--csv", "x")[0] == 2
    code, _, said = run("blank", PLAN, "0" * 12)
    assert code == 1 and f"known: {old}; {new}, the draft" in said
    assert run("blank", "gone")[0] == 1


def test_withdrawn_and_in_force_again(run):
    """What is in force afterwards is said."""
    run("approve", PLAN, "--by", "A")
    old = loading.load_shop(run.root).procedures[PLAN].revision
    folder_with(run.root.parent, {"decision_rule": "guard band of U"})
    code, out, _ = run("approve", PLAN, "--by", "A")
    new = loading.load_shop(run.root).procedures[PLAN].revision
    assert code == 0 and "revision 2, " + new in out
    assert "- Decision rule guard band of U (before: simple acceptance)." in out.split("\n")
    more = ("--because", "wrong rule", "--told", "all", "--by", "A")
    code, out, _ = run("withdraw", PLAN, new, *more)
    assert code == 0 and f"In force is revision 1, {old} again." in out
    code, out, _ = run("withdraw", PLAN, old, *more)
    assert code == 0 and "what is printed is a draft" in out
    assert run("withdraw", PLAN, old, *more)[0] == 1
    assert len(approved(run)) == 4


def test_names_are_looked_at(run):
    """An empty one, and one that the workshop's file doesn't list."""
    assert run("approve", PLAN)[0] == 2 and run("approve", PLAN, "--by", " ")[0] == 1
    (run.root / "workshop.yaml").write_text(
        "name: W\naddress: A\nauthorised: [{name: T. Askew, may: approve}]\n", encoding="utf-8")
    code, _, said = run("approve", PLAN, "--by", "I. Marlow")
    assert code == 1 and "'I. Marlow' is not listed in workshop.yaml" in said
    assert run("approve", PLAN, "--by", "t. askew")[0] == 0


def test_a_damaged_folder_takes_nothing_more(run):
    """First it is mended."""
    run("approve", PLAN, "--by", "A")
    (name,) = approved(run)
    path = run.root / "approved" / name
    path.write_text(path.read_text(encoding="utf-8").replace('"by": "A"', '"by": "B"'),
                    encoding="utf-8")
    folder_with(run.root.parent, {"decision_rule": "guard band of U"})
    code, _, said = run("approve", PLAN, "--by", "A")
    assert code == 1 and "frozen" not in said and "mend these first" in said
    assert approved(run) == [name]
    code, _, _ = run("check")
    assert code == 1


def test_check_says_how_each_sheet_stands(run):
    """Approved, or a draft with its changes."""
    run("approve", PLAN, "--by", "T. Askew")
    code, _, said = run("check")
    assert code == 0 and f"{PLAN}: revision 1, " in said and "approved by T. Askew" in said
    folder_with(run.root.parent, {"decision_rule": "guard band of U"})
    said = run("check")[2]
    assert f"{PLAN}: draft, revision " in said and "Decision rule guard band of U" in said


def test_a_plan_with_problems_is_not_approved(run):
    """Its problems are named."""
    (run.root / "plans" / f"{PLAN}.yaml").write_text("plan: x\n", encoding="utf-8")
    code, _, said = run("approve", PLAN, "--by", "A")
    assert code == 1 and "file has problems" in said
    assert not (run.root / "approved").exists()


@pytest.fixture
def reported(run):
    """The small shop with one record."""
    folder_with(run.root.parent)
    put(run.root, "a.yaml", record(data_of(run.root)))
    return run


def test_a_report_is_finished_amended_withdrawn(reported):
    """Each step says its file; a changed record is a problem until it is amended."""
    code, out, _ = reported("finish", "a", "--by", "T. Askew")
    assert code == 0 and out.startswith("procedures/finished/a.1.json: report a, issue 1, finished")
    assert reported("finish", "a", "--by", "T. Askew")[0] == 1
    put(reported.root, "a.yaml", record(data_of(reported.root), serial="0148"))
    code, out, _ = reported("check")
    assert code == 1 and "no longer says what report a, issue 1, was made from" in out
    assert reported("amend", "a", "--by", "A")[0] == 2
    code, out, _ = reported("amend", "a", "--because", "mistyped", "--by", "T. Askew")
    assert code == 0 and out.startswith("procedures/finished/a.2.json: report a, issue 2")
    assert reported("check")[0] == 0
    more = ("--because", "wrong", "--told", "all", "--by", "A")
    code, out, _ = reported("withdraw", "a", "1", *more)
    assert code == 0 and out.startswith("procedures/finished/a.1.withdrawn.json: issue 1 of")
    assert reported("withdraw", "a", "3", *more)[0] == 1


def test_the_plain_file_of_a_finished_report(reported, tmp_path):
    """Written as it was issued; before that as a draft."""
    path = tmp_path / "out/a.html"
    reported("report", "a", "--to", str(tmp_path / "out"))
    assert "<b>DRAFT.</b>" in path.read_text(encoding="utf-8")
    reported("finish", "a", "--by", "T. Askew")
    reported("report", "a", "--to", str(tmp_path / "out"))
    text = path.read_text(encoding="utf-8")
    assert "DRAFT" not in text and "Issue 1, finished by T. Askew on " in text
