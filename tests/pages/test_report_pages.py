"""A report as a page: what it says first, a band at each point, and room for all of it from a phone
to a desk."""

from __future__ import annotations

import json
import re

import pytest

from builder.pages import report_pages
from builder.shop import loading
from tests.conftest import parse
from tests.recorded import data_of, folder_with, put, record, text_of

WIDTHS = (360, 600, 768, 1024, 1280)
LONG = "Invented Ferries, department of the deck, quay and yard, Kittiwake Point, c/o the harbour"
GUARDED = {"decision_rule": "guard band of U", "outcomes": "four"}
# outside far and near, beyond the picture, flickering, tried twice, an overload, not done
HARD = {"5.1": {"reading": "3.013", "then": ["3.012"], "because": "lead not home"},
        "5.2": "-3.018", "6.1": "OL", "4.1": {"repeated": ["50.2", "50.3", "50.2"]},
        "5.3": "-"}


@pytest.fixture(scope="module")
def reports(tmp_path_factory):
    """A record in which much is wrong, such a one with the state as left after it, and one without
    a fault; by name."""
    root = folder_with(tmp_path_factory.mktemp("reports"), GUARDED)
    (root / "workshop.yaml").write_text(json.dumps({"name": LONG, "address": [LONG, "Nowhere"]}),
                                        encoding="utf-8")
    data = data_of(root)
    put(root, "good.yaml", record(data, serial="1"))
    put(root, "bad.yaml", record(data, HARD, owner=LONG, remarks=LONG, closed={"6": "no"}))
    put(root, "found.yaml", record(data, HARD, serial="2"))
    put(root, "left.yaml", record(data, serial="2", state="as left", date="2026-03-13",
                                  issued="2026-03-14", follows="found", adjusted="all of it"))
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return {one.id: one for one in report_pages.reports_of(shop)}


def test_the_statement_comes_first(reports):
    """Then what failed with its reading, the label and the notice; whose report it is, and for
    whom, stands below."""
    text = text_of(reports["bad"])
    places = [text.index(words) for words in (
        "serial no. 0147, as found", "✗ Limited", "DC voltage fails: steps 5.2, 6.1.", "−3.018",
        "A reading equal to a limit is accepted.", "Label for the meter",
        "Notice about earlier work", "Written by", "Functions", "Results, as found")]
    assert places == sorted(places)
    assert "✓ Passes" in text_of(reports["good"]).partition("Written by")[0]


def test_each_judged_point_has_a_band_with_a_mark(reports):
    """Beside the one that stands with what failed; the acceptance limits are in it where a guard
    band draws them in. What has no tolerance, or no reading, has none."""
    page = parse(report_pages.report_html(reports["bad"]))
    _, results = page.all("table.readings")
    rows = {row.all("td")[0].text.split()[0]: row for row in results.all("tr")
            if row.all("td") and row.all("td")[0].text}
    marks = {step: [mark["class"][3:] for mark in row.all() if str(mark["class"])[:3] == "at-"]
             for step, row in rows.items()}
    assert marks == {"3.1": [], "4.1": ["inside"], "5.1": ["inside"], "5.2": ["outside"],
                     "5.3": [], "6.1": ["above"]}
    assert len(rows["5.1"].all("line.limit")) == 2
    assert len(rows["5.1"].all("line.sure")) == 1


def test_no_number_ends_in_an_ellipsis(reports):
    for report in reports.values():
        assert not re.search(r"\d\s?…|…\s?\d", text_of(report))


# ---------------------------------------------------------------- in a browser

def lies_inside(page) -> None:
    """Nothing is wider than the window, no text leaves its cell, no cell lies on another."""
    found = page.evaluate("""() => {
        const seen = [...document.querySelectorAll(".report :is(td, th, dd, p, li, h2)")]
            .filter(e => e.offsetParent && e.innerText.trim())
        const text = e => { const r = document.createRange(); r.selectNodeContents(e)
                            return r.getBoundingClientRect() }
        const out = seen.filter(e => text(e).left < -0.5 || text(e).right > innerWidth + 0.5)
        const over = []
        for (const row of document.querySelectorAll(".report tr")) {
            const cells = [...row.children].filter(e => e.innerText.trim() || e.querySelector("i"))
                .map(e => [e, e.querySelector("i") ? e.getBoundingClientRect() : text(e)])
            cells.forEach(([e, a], i) => cells.slice(i + 1).forEach(([f, b]) => {
                if (a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3
                    && b.top < a.bottom - 3) over.push([e.innerText, f.innerText]) }))
        }
        return [document.documentElement.scrollWidth - innerWidth, out.map(e => e.innerText), over]
    }""")
    assert found == [0, [], []]


@pytest.mark.browser
@pytest.mark.parametrize("width", WIDTHS)
def test_a_file_of_its_own_has_room(tab, reports, tmp_path, width):
    page = tab(viewport={"width": width, "height": 900})
    for name, report in reports.items():
        (tmp_path / "report.html").write_text(report_pages.report_html(report), encoding="utf-8")
        page.goto((tmp_path / "report.html").as_uri())
        assert page.locator("table.readings").count() >= 1, name
        lies_inside(page)


@pytest.mark.browser
@pytest.mark.parametrize("width", WIDTHS)
def test_a_page_of_the_site_has_room(tab, demo, width):
    page = tab(viewport={"width": width, "height": 900})
    for name in sorted(one.stem for one in (demo.site / "reports").glob("2026-*.html")):
        page.goto((demo.site / f"reports/{name}.html").as_uri())
        lies_inside(page)
        # on a desk there is room for a table
        head = page.locator(":is(table.readings, table.results) thead").last
        assert width < 1024 or head.is_visible(), name


@pytest.mark.browser
def test_on_a_phone_numbers_stand_in_a_sentence(tab, reports, tmp_path):
    """No head of a column is said before each number; what was read is the largest text of it."""
    page = tab(viewport={"width": 360, "height": 900})
    (tmp_path / "report.html").write_text(report_pages.report_html(reports["good"]),
                                          encoding="utf-8")
    page.goto((tmp_path / "report.html").as_uri())
    row = page.locator("table.readings tr", has=page.locator("td.step", has_text="5.1")).last
    sizes = row.evaluate("""row => [...row.children].filter(e => e.offsetParent)
        .map(e => [e.className.split(" ").pop(), parseFloat(getComputedStyle(e).fontSize)])""")
    assert max(sizes, key=lambda one: one[1])[0] == "reads"
    assert page.locator(".readings td[data-l]").count() == 0


@pytest.mark.browser
def test_every_mark_is_drawn(tab, reports, tmp_path):
    """Whatever its shape, on a screen and on paper; no other rule of the site's styles hides it."""
    page = tab(viewport={"width": 1280, "height": 900})
    (tmp_path / "report.html").write_text(report_pages.report_html(reports["bad"]),
                                          encoding="utf-8")
    page.goto((tmp_path / "report.html").as_uri())
    for media in ("screen", "print"):
        page.emulate_media(media=media)
        shown = page.evaluate("""() => [...document.querySelectorAll(
            ".band [class^=at-]")].map(mark => {
              const {width, height} = mark.getBoundingClientRect(),
                {fill, visibility} = getComputedStyle(mark)
              return [mark.getAttribute("class").slice(3), Math.min(width, height) > 5 &&
                fill !== "none" && visibility === "visible"] })""")
        assert {kind for kind, _ in shown} == {"inside", "outside", "above"}
        assert all(seen for _, seen in shown), shown
