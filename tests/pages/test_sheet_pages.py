"""The pages of sheets: the approved one from its file alone, drafts beside it, and every revision
that paper may be of."""

import json

import pytest

from builder.files.cache import Cache
from builder.frozen import approved
from builder.pages import sheet_pages
from builder.shop import loading
from tests.frozen.test_approved import withdraw
from tests.recorded import approve, folder_with

PLAN = "lapwing-yearly"
FORGETFUL = Cache(forgetful=True)


def made(root):
    """Pages and files by path."""
    return sheet_pages.sheets(loading.load_shop(root), "https://x.example/", "", FORGETFUL)


@pytest.fixture
def root(tmp_path):
    return folder_with(tmp_path)


def test_a_sheet_that_nobody_approved(root):
    """Marked in its head, in its evidence and at the foot of every printed page."""
    pages, files = made(root)
    assert set(pages) == {f"procedures/{PLAN}.md", f"evidence/{PLAN}.md"}
    for page in pages.values():
        assert "<b>DRAFT.</b> Nobody approved this sheet" in page
        assert "DRAFT, revision " in page.partition("@bottom-left")[2][:120]
    assert set(files) == {f"data/procedures/{PLAN}.json"}


def test_the_approved_sheet_is_that_of_its_file_alone(root):
    """Letter by letter, whatever becomes of plan, meter and standards; no draft is marked."""
    before = made(root)[0][f"procedures/{PLAN}.md"]
    _, own = approve(root)
    pages, files = made(root)
    page = pages[f"procedures/{PLAN}.md"]
    assert f"Revision 1, {own.revision}, approved by T. Askew on 2026-03-01" in page
    assert "DRAFT" not in "".join(pages.values())
    strip = page.index('<div class="blanks"'), before.index('<div class="blanks"')
    assert page[strip[0]:] == before[strip[1]:]      # the same but for who approved it
    for folder in ("plans", "meters", "standards"):
        for path in (root / folder).iterdir():
            path.unlink()
    again, data = made(root)
    assert again == pages and data == files
    assert set(files) == {f"data/procedures/{PLAN}.json",
                          f"data/procedures/{PLAN}-{own.revision}.json"}


def test_a_draft_beside_the_approved_sheet(root):
    """What opens is the approved one; the draft has its own page, its changes and its data."""
    _, own = approve(root)
    folder_with(root.parent, {"decision_rule": "guard band of U"})
    pages, files = made(root)
    assert own.revision in pages[f"procedures/{PLAN}.md"]
    draft = pages[f"procedures/{PLAN}-draft.md"]
    assert f"In force is revision 1, {own.revision}. What is different here:" in draft
    assert "Decision rule guard band of U (before: simple acceptance)." in draft
    assert f'href="{PLAN}-draft.html"' in pages[f"procedures/{PLAN}.md"]
    assert f"({PLAN}-draft.md)" in pages[f"procedures/{PLAN}.md"]
    assert f"../evidence/{PLAN}-draft.md" in draft
    data = {name: json.loads(text) for name, text in files.items()}
    assert data[f"data/procedures/{PLAN}.json"]["decision_rule"] == "simple acceptance"
    assert data[f"data/procedures/{PLAN}-draft.json"]["decision_rule"] == "guard band of U"
    shop = loading.load_shop(root)
    assert sheet_pages.found_at(shop) == {PLAN: {
        own.revision: PLAN, shop.procedures[PLAN].revision: f"{PLAN}-draft"}}


def test_every_revision_keeps_its_page_and_its_data(root):
    """Marked as replaced or withdrawn; the code on it leads to itself."""
    _, first = approve(root)
    folder_with(root.parent, {"decision_rule": "guard band of U"})
    _, second = approve(root, "2026-03-10")
    pages, files = made(root)
    old = pages[f"procedures/{PLAN}-{first.revision}.md"]
    assert f"<b>REPLACED</b> by {second.shown}." in old and "REPLACED · revision 1" in old
    assert f"https://x.example/procedures/{PLAN}-{first.revision}.html" in old
    assert "DRAFT" not in "".join(pages.values())
    assert {f"data/procedures/{PLAN}-{one.revision}.json" for one in (first, second)} <= set(files)
    withdraw(root, second.revision)
    pages, files = made(root)
    gone = pages[f"procedures/{PLAN}-{second.revision}.md"]
    assert "<b>WITHDRAWN</b> by T. Askew on 2026-04-01, because: the source was out. Told: the " \
        "ferry." in gone.replace("\n", " ")
    assert first.revision in pages[f"procedures/{PLAN}.md"]
    assert "This revision was withdrawn on 2026-04-01" in pages[f"procedures/{PLAN}-draft.md"]
    assert f"data/procedures/{PLAN}-{second.revision}.json" in files


def test_a_changed_caution_is_shown_on_the_approved_sheet(root, monkeypatch):
    """Until somebody decides: other changes stand on the draft alone."""
    from builder.procedure import cautions
    approve(root)
    severity, text, rest = cautions.CAUTIONS["live-voltage"]
    monkeypatch.setitem(cautions.CAUTIONS, "live-voltage", (severity, text, f"{rest} And more."))
    page = made(root)[0][f"procedures/{PLAN}.md"]
    assert "<b>NOT DECIDED YET.</b>" in page and "caution added: WARNING: up to 540" in page
    assert "And more." in page and f"{PLAN}-draft" not in page
    approve(root, "2026-03-10")
    assert "NOT DECIDED" not in made(root)[0][f"procedures/{PLAN}.md"]


def test_a_damaged_file_withholds_its_sheet_alone(root):
    """The plan is a draft again, with a problem; nothing stops."""
    path, _ = approve(root)
    path.write_bytes(path.read_bytes().replace(b"Askew", b"Askem", 1))
    shop = loading.load_shop(root)
    assert [one.code for one in shop.errors] == ["frozen-hash"] and shop.stopping == []
    assert approved.read_new(root)[0].files == ()
    assert "<b>DRAFT.</b>" in made(root)[0][f"procedures/{PLAN}.md"]
