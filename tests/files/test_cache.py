"""While serving, only what an edit changed is computed and rendered again, and what comes out is
what a build from nothing gives."""

import shutil
from pathlib import Path

import pytest

from builder.files.cache import Cache
from builder.pages import render
from builder.procedure import assemble
from builder.records import record_files, report_text
from builder.shop import loading

ROOT = Path(__file__).parents[2]
GLOSSARY = (ROOT / "site_src/glossary.md").read_text(encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    """The demo with the newer half of its records, and what was finished of them."""
    def older(at, names):
        return [name for name in names if name[:4].isdigit() and name[:4] < "2025"]
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures", ignore=older)
    return tmp_path / "procedures"


@pytest.fixture
def counted(monkeypatch):
    """How often each of the costly steps ran."""
    ran = {"compute": 0, "record": 0, "report": 0, "page": 0}

    def count(module, name, as_):
        real = getattr(module, name)

        def counting(*args, **more):
            ran[as_] += 1
            return real(*args, **more)
        monkeypatch.setattr(module, name, counting)
    count(assemble, "compute", "compute")
    count(record_files, "read_file", "record")
    count(report_text, "report", "report")
    count(render, "page_from", "page")
    return ran


def built(folder: Path, kept: Cache | None):
    shop = loading.load_shop(folder, kept=kept)
    assert not shop.stopping
    site = render.render(shop, "https://sheets.example/", glossary=GLOSSARY, kept=kept)
    return site, shop


EDITS = {
    "nothing": (lambda folder: None, {"compute": 0, "record": 0, "report": 0}),
    "a title": (lambda folder: edit(folder / "plans/dunlin-60-yearly.yaml", "yearly verification",
                                    "verification each year"),
                {"compute": 1, "record": 0, "report": 0}),
    "an accuracy": (lambda folder: edit(folder / "meters/whimbrel-200.yaml", "0.05 % + 3 counts",
                                        "0.06 % + 3 counts"),
                    {"compute": 1, "record": 0, "report": 0}),
    "a reading": (lambda folder: edit(folder / "records/2026-03-12-dunlin-60-0147.yaml",
                                      "60.0 mV: 60.1", "60.0 mV: 60.2"),
                  {"compute": 0, "record": 1, "report": 2}),
    "a comment": (lambda folder: edit(folder / "standards/fulmar.yaml", "standard: fulmar",
                                      "# a remark\nstandard: fulmar"),
                  {"compute": 3, "record": 0, "report": 3}),
    "a record goes": (lambda folder: (folder / "records/2026-03-13-dunlin-60-0147.yaml").unlink(),
                      {"compute": 0, "record": 0, "report": 1}),
    "another day": (lambda folder: edit(folder / "workshop.yaml", "as_of: 2026-11-25",
                                        "as_of: 2027-11-25"),
                    {"compute": 0, "record": 0, "report": 2}),
}


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text, (path, old)
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_an_edit_costs_what_it_changes(folder, counted):
    """One edit after the other: the same pages and problems as from nothing, and no more work than
    that edit asks for. Of finished reports none is computed; the reading makes two of them drafts,
    its own and the one beside it."""
    kept = Cache()
    before, _ = built(folder, kept)
    for name, (change, most) in EDITS.items():
        counted.update(dict.fromkeys(counted, 0))
        change(folder)
        again, shop = built(folder, kept)
        did = dict(counted)
        fresh, other = built(folder, None)
        assert again == fresh and list(again.pages) == list(
            fresh.pages) and shop.problems == other.problems, name
        assert (again == before) == (name in ("nothing", "a comment")), name
        assert {step: did[step] for step in most} == most, name
        assert did["page"] < 60 if name == "nothing" else True
        before = again


def test_going_back_and_forth(folder):
    """A mistake and its mending: problems come and go, and nothing of the time before stays."""
    kept = Cache()
    first, _ = built(folder, kept)
    plan = folder / "plans/dunlin-60-yearly.yaml"
    text = plan.read_text(encoding="utf-8")
    plan.write_text(text.replace("DC voltage", "DC voltag"), encoding="utf-8")
    assert loading.load_shop(folder, kept=kept).errors
    plan.write_text(text, encoding="utf-8")
    assert built(folder, kept)[0] == first
    (data,) = (folder / "records").glob("turnstone-c-yearly-*.json")
    whole = data.read_bytes()
    data.write_bytes(whole[:-100])
    broken = loading.load_shop(folder, kept=kept)
    assert len(broken.records) == 11 - 1 and broken.record_problems
    data.write_bytes(whole)
    assert built(folder, kept)[0] == first


def test_equal_is_not_the_same():
    """Only bytes, texts and truth values count by what they are; other objects by being the same
    one."""
    kept, made = Cache(), []

    def get(*inputs):
        return kept.get("x", inputs, lambda: made.append(1) or len(made))
    one = [1]
    assert get(one, b"a", "b", True) == 1
    kept.turn()
    assert get(one, bytes([97]), "b", True) == 1
    kept.turn()
    assert get([1], b"a", "b", True) == 2
    kept.turn()
    assert get(*kept.last("x") and ([1], b"a", "b", 1)) == 3
    kept.turn(), kept.turn()
    assert kept.last("x") is None
