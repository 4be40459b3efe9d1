"""Every demo sheet as Chromium prints it, in A4 and Letter, from a folder; what stands where is read from the PDF,
and sizes and colours from the page under print rules at the width of the paper between its margins."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import unicodedata
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from xml.etree import ElementTree

import pytest

from builder.model.checks import CHECKS
from tests import shop
from tests.conftest import ADDRESS, SHEETS, needed

pytestmark = pytest.mark.browser

MM, PT = 96 / 25.4, 96 / 72  # CSS pixels
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm; Chromium's A4 is a quarter of a mm larger
SIDE, FOOT = 10.0, 14.0  # the margins that the style sheet asks for, mm
EVIDENCE = "What is tested and what is left out"


def bare(text: str) -> str:
    """Without white space, and one spelling for each letter (a PDF has ligatures)."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


def signs(text: str) -> Counter:
    return Counter(re.findall(r"\w+|[^\w\s]", unicodedata.normalize("NFKC", text)))


@dataclass(frozen=True)
class Word:
    """A word on a page, in mm from the top left."""
    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def x(self) -> float:
        return (self.left + self.right) / 2

    @property
    def y(self) -> float:
        return (self.top + self.bottom) / 2


def in_reading_order(words: list[Word]) -> list[Word]:
    """Line by line; words whose middles differ by less than a mm share a line."""
    lines: list[list[Word]] = []
    for word in sorted(words, key=lambda w: w.y):
        if lines and word.y - lines[-1][0].y < 1:
            lines[-1].append(word)
        else:
            lines.append([word])
    return [word for line in lines for word in sorted(line, key=lambda w: w.left)]


def joined(words: list[Word]) -> str:
    return bare("".join(word.text for word in in_reading_order(words)))


# What the page says under print rules, at the width that the paper leaves it.
MEASURE = """() => {
  const box = e => { const r = e.getBoundingClientRect(); return {left: r.left, top: r.top, right: r.right, bottom: r.bottom, width: r.width, height: r.height} };
  const shown = e => e.checkVisibility({visibilityProperty: true}) && box(e).width > 0;
  const name = e => e.tagName.toLowerCase() + [...e.classList].map(c => '.' + c).join('') + ' in ' + (e.closest('[id]') || {id: '?'}).id;
  const left = new Map();
  const ink = e => {  // how much of its ink an element has left
    if (!e) return 1;
    if (!left.has(e)) left.set(e, getComputedStyle(e).opacity * ink(e.parentElement));
    return left.get(e) };
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; node = walker.nextNode();) {
    const e = node.parentElement;
    if (!node.data.trim() || ['SCRIPT', 'STYLE'].includes(e.tagName) || !shown(e)) continue;
    const range = document.createRange(); range.selectNodeContents(node);
    const style = getComputedStyle(e), opacity = ink(e);
    const cell = e.closest('td, th, .blanks > div');
    texts.push({text: node.data, in: name(e), table: (e.closest('table') || {className: ''}).className.split(' ')[0], size: parseFloat(style.fontSize), color: style.color, opacity,
                rects: [...range.getClientRects()].filter(r => r.width).map(r => ({left: r.left, right: r.right, top: r.top, bottom: r.bottom})),
                cell: cell && box(cell), article: !!e.closest('article'), scan: !!e.closest('.scan')});
  }
  const painted = new Set();  // each kind of element once
  for (const e of document.querySelectorAll('body, body *')) {
    if (!shown(e)) continue;
    const s = getComputedStyle(e), kind = e.tagName.toLowerCase() + [...e.classList].map(c => '.' + c).join('');
    painted.add(kind + '|background|' + s.backgroundColor);
    for (const side of ['Top', 'Right', 'Bottom', 'Left']) if (s['border' + side + 'Width'] !== '0px') painted.add(kind + '|border|' + s['border' + side + 'Color']);
  }
  const cells = row => [...row.cells].map(cell => ({...box(cell), class: cell.className,
    text: [...cell.childNodes].map(n => n.textContent + (n.nodeType === 1 ? getComputedStyle(n, '::after').content.replace(/^(none|normal)$|"/g, '') : '')).join('')}));
  const middle = r => (r.top + r.bottom) / 2;
  const rows = kind => [...document.querySelectorAll('table.' + kind + ' tbody tr')].map(row => {
    const step = row.querySelector('.step').firstChild, range = document.createRange(); range.selectNodeContents(step);
    return {kind, id: row.id, step: step.data.match(/[0-9.]+/)[0], ...box(row), below: middle(range.getClientRects()[0]) - middle(box(row)), cells: cells(row),
            head: row.closest('table').tHead.lastElementChild.innerText} });
  return {
    texts, painted: [...painted], points: rows('points'), checks: rows('checks'), said: texts.filter(t => t.article && !t.scan).map(t => t.text).join(' '),
    heads: [...document.querySelectorAll('article thead th')].filter(shown).map(box),
    groups: [...document.querySelectorAll('h2[id^=group-]')].map(h => ({number: h.id.slice(6), text: h.firstChild.textContent})),
    signs: [...document.querySelectorAll('.sign')].map(e => e.innerText),
    closings: [...document.querySelectorAll('.after')].map(e => {
      const head = [...document.querySelectorAll('h2')].filter(h => h.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING).pop();
      return {group: head.id.slice(6), text: e.innerText} }),
    writes: [...document.querySelectorAll('td.write')].map(e => { const [label, unit] = [...e.children].map(box), s = getComputedStyle(e);
      return {step: e.parentElement.querySelector('.step').innerText, text: e.innerText, height: box(e).bottom - parseFloat(s.borderBottomWidth) / 2 - label.bottom,
              width: (unit ? unit.left : box(e).right - parseFloat(s.borderRightWidth)) - box(e).left - parseFloat(s.borderLeftWidth), lines: [s.borderLeftWidth, s.borderRightWidth, s.borderBottomWidth].map(parseFloat)} }),
    blanks: [...document.querySelectorAll('.blanks > div')].map(e => ({text: e.innerText, ...box(e)})),
    ticks: [...document.querySelectorAll('article input[type=checkbox]')].filter(shown).map(e => ({...box(e), checked: e.checked})),
    outcomes: [...document.querySelectorAll('.within span')].map(e => { const s = getComputedStyle(e, '::before');
      return {text: e.innerText, width: parseFloat(s.width), height: parseFloat(s.height), line: parseFloat(s.borderTopWidth), content: s.content} }),
    code: (svg => svg && {...box(svg), modules: svg.viewBox.baseVal.width, words: texts.filter(t => t.article).flatMap(t => t.rects)})(document.querySelector('.scan svg')),
    scheme: document.body.dataset.mdColorScheme,
  } }"""


class Printed:
    """A sheet's PDF and what its page says under print rules."""

    def __init__(self, browser, page: Path, paper: str, pdf: Path, scheme: str = "light"):
        self.paper, self.pdf = paper, pdf
        context = browser.new_context(color_scheme=scheme)
        tab = context.new_page()
        tab.goto(page.as_uri())
        self.data = json.loads(tab.text_content("#procedure-data"))
        self.title = tab.text_content("h1").removesuffix("¶").strip()
        # Backgrounds too, as some printer dialogs have it: nothing may depend on their absence.
        tab.pdf(path=pdf, format=paper, print_background=True)
        tree = ElementTree.fromstring(re.sub(
            r"<!DOCTYPE.*?>", "", subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True, encoding="utf-8").stdout, flags=re.S))
        here, mm = "{http://www.w3.org/1999/xhtml}", 25.4 / 72
        self.pages = [[Word(word.text or "", *(float(word.get(key)) * mm for key in ("xMin", "yMin", "xMax", "yMax"))) for word in page.iter(here + "word")]
                      for page in tree.iter(here + "page")]
        first = next(tree.iter(here + "page"))
        self.width, self.height = float(first.get("width")) * mm, float(first.get("height")) * mm
        assert (self.width, self.height) == pytest.approx(PAPERS[paper], abs=0.5)
        tab.set_viewport_size({"width": round((self.width - 2 * SIDE) * MM), "height": 1000})
        tab.emulate_media(media="print", color_scheme=scheme)
        self.page = json.loads(tab.evaluate(f"() => JSON.stringify(({MEASURE})())"))  # much faster than as an object
        context.close()

    def body(self, number: int) -> list[Word]:
        """The words of a page without its foot."""
        return [word for word in self.pages[number] if word.y < self.height - FOOT]

    def foot(self, number: int) -> list[Word]:
        return [word for word in self.pages[number] if word.y >= self.height - FOOT]

    @cached_property
    def evidence(self) -> tuple[int, float]:
        """The page that the evidence starts on, counted from 0, and how far down."""
        for number in range(len(self.pages)):
            words = in_reading_order(self.body(number))
            for i in range(len(words)):
                if bare("".join(w.text for w in words[i:i + 8])).startswith(bare(EVIDENCE)):
                    return number, words[i].top
        raise AssertionError("no evidence")

    @cached_property
    def rows(self) -> list[dict]:
        """Points and checks in the order of the page."""
        def by_step(row):
            return tuple(map(int, row["step"].split(".")))
        return sorted(self.page["points"] + self.page["checks"], key=by_step)

    @cached_property
    def steps(self) -> dict[str, tuple[int, Word]]:
        """Where each step's number stands: page and word. It must stand once, in its column."""
        found: dict[str, list] = {}
        for number in range(self.evidence[0]):
            for word in self.body(number):
                if re.fullmatch(r"\d+\.\d+", word.text) and SIDE + 5 < word.left < SIDE + 12:
                    found.setdefault(word.text, []).append((number, word))
        assert {step: len(places) for step, places in found.items()} == {row["step"]: 1 for row in self.rows}
        return {step: places[0] for step, places in found.items()}

    def band(self, row: dict) -> list[Word]:
        """The words of a row: those within its height around its middle, found from its step's number."""
        number, step = self.steps[row["step"]]
        middle, half = step.y - row["below"] / MM, row["height"] / MM / 2 - 0.8
        return [word for word in self.body(number) if abs(word.y - middle) < half]

    def headings(self) -> dict[str, tuple[int, float]]:
        """Where each group's heading stands: page and distance from the top."""
        found = {}
        for number in range(len(self.pages)):
            lines: dict[float, list[Word]] = {}
            for word in in_reading_order(self.body(number)):
                near = next((y for y in lines if abs(y - word.y) < 1), word.y)
                lines.setdefault(near, []).append(word)
            for y, line in lines.items():
                text = bare("".join(word.text for word in line))
                for group in self.page["groups"]:
                    if text == bare(group["text"]) and line[0].left < SIDE + 1:
                        found.setdefault(group["number"], (number, y))
        return found


@pytest.fixture(scope="module")
def sheets(browser, demo_at_address, tmp_path_factory) -> dict[tuple[str, str], Printed]:
    """Each demo sheet on each paper, printed once."""
    needed(shutil.which("pdftotext") and shutil.which("pdftoppm"), "poppler-utils")
    folder = tmp_path_factory.mktemp("print")
    return {(name, paper): Printed(browser, demo_at_address.site / f"procedures/{name}.html", paper, folder / f"{name}-{paper}.pdf")
            for name in SHEETS for paper in PAPERS}


@pytest.fixture(params=[(name, paper) for name in SHEETS for paper in PAPERS], ids="-".join)
def sheet(request, sheets) -> Printed:
    return sheets[request.param]


@pytest.fixture(scope="module")
def long_sheet(browser, lasting_project) -> Printed:
    """Tables that run over pages, checks as long as a file may hold, a title of a whole line, and so many short
    groups that one meets every place of a page."""
    needed(shutil.which("pdftotext"), "poppler-utils")

    def volts(name: str) -> dict:
        return shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"), shop.range_("600 V", "0.1 V", "0.5 % + 2 counts"),
                             name=name, dial=f"dial at {name}", ranging="manual")

    def points(name: str, low: int, live: int) -> list[dict]:
        return [{"function": name, "range": "6 V", "apply": [f"{n / 20} V" for n in range(1, low + 1)]},
                {"function": name, "range": "600 V", "apply": [f"{100 + 10 * n} V" for n in range(live)]}]

    words = ("Look at the thing for as long as it takes to be sure of it, then " * 7)[:390]
    short = {f"volts {n}": (n % 7 + 1, n % 4 + 1) for n in range(18)}
    made = lasting_project(address=ADDRESS).write(
        meter=shop.meter(volts("volts"), *map(volts, short)), standard=shop.standard(),
        plan=shop.plan(*points("volts", 100, 50), *(p for name, (low, live) in short.items() for p in points(name, low, live)),
                       checks=[{"check": f"look {n}", "when": "by eye", "do": words, "good": words} for n in range(1, 13)],
                       title="Lapwing 1, the yearly verification after the winter's work at the eastern slipway", note=words))
    return Printed(browser, made.build().site / "procedures/lapwing-yearly.html", "A4", made.root / "long.pdf")


@pytest.fixture(scope="module")
def library_sheet(browser, lasting_project) -> Printed:
    """Every check that the builder knows, and two of the shop's own: one with the longest label and unit, one bare."""
    needed(shutil.which("pdftotext"), "poppler-utils")
    made = lasting_project(address=ADDRESS).write(
        meter=shop.meter(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"))), standard=shop.standard(),
        plan=shop.plan({"function": "DC voltage", "apply": "recommended"}, checks=[
            *CHECKS, {"check": "own", "when": "inputs", "do": "Look", "good": "seen", "write": "the lowest reading while it is bent", "unit": "kohm"},
            {"check": "own too", "when": "inputs", "do": "Look", "good": "seen"}]))
    return Printed(browser, made.build().site / "procedures/lapwing-yearly.html", "A4", made.root / "library.pdf")


# ---------------------------------------------------------------- nothing is missing or cut off

def every_cell_stands_in_its_column(sheet: Printed) -> None:
    for row in sheet.rows:
        band = sheet.band(row)
        for cell in row["cells"]:
            left, right = SIDE + cell["left"] / MM, SIDE + cell["right"] / MM
            assert joined([word for word in band if left < word.x < right]) == bare(cell["text"]), (row["step"], cell["class"])


def test_every_cell_of_every_row_stands_whole_in_its_column_on_one_page(sheet):
    """All columns of points and checks are in the print, each text in its own column, and no row is split."""
    assert ["tick", "step", "apply", "at", "range", "from", "to", "pm", "reading", "within"] in [
        [cell["class"] for cell in row["cells"]] for row in sheet.page["points"]]
    every_cell_stands_in_its_column(sheet)


def test_the_limits_of_the_data_are_those_on_paper(sheet):
    """Each point's two limits stand in its row of the print, as the data file has them."""
    rows = {row["id"]: row for row in sheet.page["points"]}
    assert set(rows) == {point["id"] for point in sheet.data["points"]}
    for point in sheet.data["points"]:
        text = joined(sheet.band(rows[point["id"]]))
        for limit in (point["accept"] or {"low": None, "high": None})["low"], (point["accept"] or {"high": None})["high"]:
            assert limit is None or bare(limit.split(" ")[0].replace("-", "−")) in text, point["id"]
        assert ("live" in text) == (point["hazard"] is not None), point["id"]


def test_every_word_of_the_page_is_on_paper(sheet):
    """What the page says under print rules is all in the print: heads, steps, warnings, blanks, evidence. (The address
    under the code may be broken anywhere; it has its own test.)"""
    on_paper = signs(" ".join(word.text for page in sheet.pages for word in page))
    assert signs(sheet.page["said"]) - on_paper == Counter()


def test_nothing_reaches_into_the_margins(sheet):
    """Every word keeps to the paper between its margins, on every page."""
    for number in range(len(sheet.pages)):
        for word in sheet.pages[number]:
            assert SIDE - 0.4 <= word.left and word.right <= sheet.width - SIDE + 0.4, (number, word)
        for word in sheet.body(number):
            assert 10 <= word.top and word.bottom <= sheet.height - FOOT + 0.2, (number, word)


def out_of_their_cells(sheet: Printed) -> set[tuple[str, str]]:
    """Texts more than half a pixel beside their cell or field, which has a mm of padding, or over the edge."""
    edges = {"left": 0, "right": (sheet.width - 2 * SIDE) * MM}
    return {(text["in"].split(" in ")[0], text["text"]) for text in sheet.page["texts"] for rect in text["rects"]
            if rect["left"] < (text["cell"] or edges)["left"] - 0.5 or rect["right"] > (text["cell"] or edges)["right"] + 0.5}


def test_every_text_keeps_to_its_cell(sheets, long_sheet):
    """No text runs out of its cell or field into the next one, nor over the edge."""
    for sheet in (*sheets.values(), long_sheet):
        assert out_of_their_cells(sheet) == set()


# ---------------------------------------------------------------- every page

def every_page_says_what_it_is(sheet: Printed) -> None:
    for number in range(len(sheet.pages)):
        foot = sheet.foot(number)
        (initials,) = [word for word in foot if word.text == "Initials"]
        assert joined([word for word in foot if word.right < initials.left and "_" not in word.text]) == bare(f"{sheet.title} · revision {sheet.data['revision']}")
        right = [word for word in foot if word.left >= initials.left]
        assert any(re.fullmatch("_{6,}", word.text) for word in foot)
        assert f"Page{number + 1}of{len(sheet.pages)}" in joined(right)


def test_every_page_carries_its_number_the_sheet_and_its_revision(sheet):
    """'Page x of y', the sheet's title and revision, and room for initials stand at the foot of every page."""
    every_page_says_what_it_is(sheet)


def heads_are_repeated(sheet: Printed) -> int:
    """How many tables go on on a further page; each has its head there."""
    first = {}
    for row in sheet.rows:
        number, word = sheet.steps[row["step"]]
        key = (row["step"].split(".")[0], row["kind"], number)
        if key not in first or word.y < first[key][0].y:
            first[key] = (word, row)
    for (group, kind, number), (word, row) in first.items():
        top = word.y - (row["below"] + row["height"] / 2) / MM
        above = joined([other for other in sheet.body(number) if top - 12 < other.y < top])
        assert above.endswith(bare(f"{sheet.title} · revision {sheet.data['revision']} · group {group}") + bare(row["head"])), (group, number + 1)
    return len(first) - len({key[:2] for key in first})


def test_every_page_of_a_table_has_its_head(sheet):
    """Above the first row of a table on each page stand the sheet, its revision, the group, and the heads of the columns."""
    for wanted in ("Step", "Apply", "at", "On range", "Accept from", "to", "±", "Reading"):
        assert bare(wanted) in bare(sheet.page["points"][0]["head"])
    heads_are_repeated(sheet)


def test_no_head_stands_without_a_row(sheet):
    """Where a table's head is printed, a row of that table follows on the same page."""
    for number in range(sheet.evidence[0]):
        text = joined(sheet.body(number))
        for group in re.findall(bare("· group") + r"(\d+)Step", text):
            assert any(page == number and step.startswith(f"{group}.") for step, (page, _) in sheet.steps.items()), (group, number + 1)


def test_a_long_table_goes_on_over_pages_with_its_head_and_whole_rows(long_sheet):
    """Tables of a hundred points and of rows as high as a file allows keep heads, whole rows, edges and feet."""
    assert heads_are_repeated(long_sheet) >= 4
    every_cell_stands_in_its_column(long_sheet)
    every_page_says_what_it_is(long_sheet)


# ---------------------------------------------------------------- what belongs together

def test_no_warning_is_split(sheet):
    """Every warning is printed whole, on one page."""
    assert sheet.page["signs"]
    pages = [joined(sheet.body(number)) for number in range(len(sheet.pages))]
    for sign in sheet.page["signs"]:
        assert any(bare(sign) in page for page in pages), sign


def test_no_heading_stands_alone(sheets, long_sheet):
    """Under every group's heading something of the group follows on the same page."""
    for sheet in (*sheets.values(), long_sheet):
        headings = sheet.headings()
        assert set(headings) == {group["number"] for group in sheet.page["groups"]}
        for group, (number, y) in headings.items():
            assert any(word.y > y + 3 for word in sheet.body(number)), group


def groups_start_whole(sheet: Printed) -> None:
    headings = sheet.headings()
    assert set(headings) == {group["number"] for group in sheet.page["groups"]}
    for group, (number, y) in headings.items():
        steps = [place for step, place in sheet.steps.items() if step.startswith(f"{group}.")]
        if steps:
            page, word = min(steps, key=lambda place: (place[0], place[1].y))
            assert (page, word.y > y) == (number, True), f"group {group} is headed on page {number + 1} and starts on page {page + 1}"


def test_a_group_starts_on_the_page_of_its_heading(sheets, long_sheet):
    """No heading, warning or opening step stands at the foot of a page with the first point on the next."""
    for sheet in (*sheets.values(), long_sheet):
        groups_start_whole(sheet)


def closings_follow_their_last_row(sheet: Printed) -> None:
    assert sheet.page["closings"]
    headings = sheet.headings()
    for closing in sheet.page["closings"]:
        number, word = max((place for step, place in sheet.steps.items() if step.startswith(f"{closing['group']}.")),
                           key=lambda place: (place[0], place[1].y))
        end = min((y for page, y in headings.values() if page == number and y > word.y), default=sheet.height)
        below = joined([other for other in sheet.body(number) if word.y + 3 < other.y < end])
        assert bare(closing["text"]).split("reads")[0] in below, f"group {closing['group']} ends on page {number + 1}"


def test_a_group_closes_on_the_page_of_its_last_point(sheets, long_sheet):
    """Zero, standby and the reading near zero stand under the last point, not overleaf."""
    for sheet in (*sheets.values(), long_sheet):
        closings_follow_their_last_row(sheet)


def test_the_bench_part_of_the_larger_procedure_takes_at_most_eight_pages(sheets):
    """On A4 the evidence of the procedure with the most points, 60 or more, starts on page 9 or before."""
    larger = max((sheets[name, "A4"] for name in SHEETS), key=lambda sheet: len(sheet.data["points"]))
    assert len(larger.data["points"]) >= 60
    number, _ = larger.evidence
    assert number <= 8


def test_the_evidence_starts_a_page_of_its_own(sheet):
    """It need not be printed: nothing of the bench part shares a page with it."""
    number, top = sheet.evidence
    assert top < 20
    assert max(page for page, _ in sheet.steps.values()) < number
    assert any("Verdictandsignatures" in joined(sheet.body(page)) for page in range(number))


# ---------------------------------------------------------------- for the hand and the eye

def test_rows_are_high_enough_for_handwriting(sheet):
    """Points and checks have at least 7 mm, on the page and between neighbours in the print."""
    assert min(row["height"] for row in sheet.rows) / MM >= 7
    for one, other in zip(sheet.rows, sheet.rows[1:]):
        (page, step), (next_page, next_step) = sheet.steps[one["step"]], sheet.steps[other["step"]]
        if page == next_page and one["step"].split(".")[0] == other["step"].split(".")[0]:
            assert next_step.y - step.y >= 7, one["step"]
            if one["id"]:  # a point; the same distance as under print rules: the print isn't shrunk
                assert abs((next_step.y - step.y) - (one["height"] + other["height"]) / 2 / MM) < 0.3, one["step"]


def test_reading_and_outcome_are_empty_and_wide_enough(sheet):
    """A reading has 20 mm with nothing but the unit in it, an outcome two empty boxes of 3 mm."""
    units = {point["id"]: point["unit"].replace("Ohm", "Ω").replace("deg", "°") for point in sheet.data["points"]}
    for row in sheet.page["points"]:
        reading, within = row["cells"][-2:]
        assert reading["width"] / MM >= 20
        assert bare(reading["text"]) == bare(units[row["id"]].replace("u", "µ"))
        observed = next(point for point in sheet.data["points"] if point["id"] == row["id"])["accept"] is None
        assert len(within["text"].split()) == (0 if observed else 4 if "Outcome" in row["head"] else 2)
        assert within["width"] / MM >= 20
    for outcome in sheet.page["outcomes"]:
        assert min(outcome["width"], outcome["height"]) / MM >= 3 and outcome["line"] > 0 and outcome["content"] == '""'


def test_every_check_of_the_library_prints_whole(library_sheet):
    """Each text of each check stands in its column, in its cell, on one page."""
    assert len(library_sheet.page["checks"]) == len(CHECKS) + 2
    every_cell_stands_in_its_column(library_sheet)
    assert out_of_their_cells(library_sheet) == set()
    for check in library_sheet.data["checks"]:
        text = joined(library_sheet.band(next(row for row in library_sheet.page["checks"] if row["step"] == check["step"])))
        for part in ("write", "unit"):
            assert check[part] is None or bare(check[part].replace("Ohm", "Ω")) in text, check["step"]


def test_a_check_takes_few_lines(library_sheet):
    """No check of the library is higher than 16 mm, and most are not higher than 11 mm: a sheet has little room."""
    heights = {row["cells"][2]["text"].split(".")[0]: row["height"] / MM for row in library_sheet.page["checks"] if not row["cells"][2]["text"].startswith("Own")}
    assert {name: height for name, height in heights.items() if height > 16} == {}
    assert sorted(heights.values())[len(heights) // 2] <= 11


def test_a_blank_of_a_check_is_large_enough_to_write_in(sheets, library_sheet):
    """Under its label and beside its unit a blank has at least 20 mm by 6 mm with nothing in it and a line around it; a check
    without anything to write has none."""
    for sheet in (*sheets.values(), library_sheet):
        wanted = {check["step"]: " ".join(filter(None, (check["write"], (check["unit"] or "").replace("Ohm", "Ω")))) for check in sheet.data["checks"] if check["write"]}
        assert {one["step"]: bare(one["text"]) for one in sheet.page["writes"]} == {step: bare(text) for step, text in wanted.items()}
        assert wanted
        for one in sheet.page["writes"]:
            assert one["width"] / MM >= 20 and one["height"] / MM >= 6 and min(one["lines"]) > 0, one


def test_the_texts_of_checks_are_large_enough(sheets, library_sheet):
    """What a check says has 7.5 pt or more, the common mistake and the label of a blank too."""
    for sheet in (*sheets.values(), library_sheet):
        sizes = [(text["size"], text["text"]) for text in sheet.page["texts"] if text["table"] == "checks" and not text["in"].startswith("th")]
        assert sizes and min(sizes)[0] >= 7.5 * PT - 0.01, min(sizes)


def test_a_column_to_write_in_is_headed_where_there_is_one(library_sheet):
    """'Write down' heads the column in groups that have a blank, and no other."""
    groups = {one["step"].split(".")[0] for one in library_sheet.page["writes"]}
    for row in library_sheet.page["checks"]:
        assert ("Write down" in row["head"]) == (row["step"].split(".")[0] in groups), row["step"]


def test_the_boxes_to_tick_are_there_and_empty(sheet):
    """A box of at least 3 mm for each step, as found, as left and the verdict; none is ticked."""
    ticks = sheet.page["ticks"]
    assert len(ticks) > len(sheet.rows) + 5
    assert not any(tick["checked"] for tick in ticks)
    assert min(min(tick["width"], tick["height"]) for tick in ticks) / MM >= 3


def test_the_blanks_are_there_to_write_in(sheet):
    """Serial, place, date, ambient, standard, who did it and who reviewed it have a field of 10 mm."""
    fields = sheet.page["blanks"]
    for wanted in ("serial no", "Place", "Date", "as found", "Ambient", "Humidity", "Done by", "Reviewed by", "Fulmar", "Certificate",
                   "after 20", "all within", "not within", "Remarks", "Done by, signature", "Reviewed by, signature"):
        assert any(wanted in field["text"] for field in fields), wanted
    assert min(field["height"] for field in fields) / MM >= 9.9
    assert min(field["width"] for field in fields) / MM >= 40


def test_units_are_large_enough(sheet):
    """Units, values and limits have 8 pt or more; nothing has less than 6.5 pt."""
    assert all(text["size"] >= 6.5 * PT - 0.01 for text in sheet.page["texts"])
    for text in sheet.page["texts"]:
        if text["table"] == "points" and re.match(r"td\b|small in", text["in"]):
            assert text["size"] >= 8 * PT - 0.01, text


def test_the_limits_stand_out(sheet):
    """The two limits are the largest text of a row."""
    sizes = {True: [], False: []}
    for text in sheet.page["texts"]:
        if text["table"] == "points":
            sizes[bool(re.match(r"td\.(from|to) ", text["in"]))].append(text["size"])
    assert min(sizes[True]) > max(sizes[False])


# ---------------------------------------------------------------- black on white

def test_all_text_is_black(sheet):
    """No text is coloured or grey in print, units neither."""
    assert {(text["in"].split(" in ")[0], text["color"], text["opacity"]) for text in sheet.page["texts"]
            if (text["color"], text["opacity"]) != ("rgb(0, 0, 0)", 1)} == set()


def test_lines_are_black_and_grounds_white(sheet):
    """No ground is tinted and no line coloured in print."""
    for one in sheet.page["painted"]:
        kind, what, color = one.split("|")
        assert color in ("rgba(0, 0, 0, 0)", "rgb(255, 255, 255)" if what == "background" else "rgb(0, 0, 0)"), one


def test_a_browser_in_dark_mode_prints_the_same(browser, sheets, demo_at_address, tmp_path):
    """The print of a page that shows dark has the same words and the same picture, without any colour."""
    page = demo_at_address.site / f"procedures/{SHEETS[0]}.html"
    prints = [sheets[SHEETS[0], "A4"], Printed(browser, page, "A4", tmp_path / "dark.pdf", "dark")]
    assert [one.page["scheme"] for one in prints] == ["default", "slate"]
    assert prints[0].pages == prints[1].pages
    pictures = []
    for one in prints:
        scheme = one.page["scheme"]
        subprocess.run(["pdftoppm", "-r", "40", str(one.pdf), str(tmp_path / scheme)], check=True)
        pictures.append([path.read_bytes() for path in sorted(tmp_path.glob(f"{scheme}-*.ppm"))])
    assert len(pictures[0]) == len(prints[0].pages)
    assert pictures[0] == pictures[1]
    for picture in pictures[0]:
        _, _, _, pixels = picture.split(b"\n", 3)
        assert pixels[0::3] == pixels[1::3] == pixels[2::3]
        assert pixels.count(b"\xff") / len(pixels) > 0.7


# ---------------------------------------------------------------- the code to scan

def test_the_code_to_scan_is_printed_with_its_address(sheet):
    """The first page carries a code of at least 20 mm and the page's address as text."""
    assert bare(f"{ADDRESS}procedures/{sheet.data['procedure']}.html") in bare("".join(
        word.text for word in sorted((w for w in sheet.body(0) if w.x > sheet.width - SIDE - 36 and w.top < 60), key=lambda w: (round(w.y), w.x))))
    assert sheet.page["code"]["width"] / MM >= 20


def test_the_code_to_scan_has_its_quiet_zone(sheet):
    """Four modules around the code stay free, as ISO/IEC 18004 wants it."""
    code = sheet.page["code"]
    free = 4 * code["width"] / code["modules"]
    near = [rect for rect in code["words"]
            if rect["right"] > code["left"] - free and rect["left"] < code["right"] + free
            and rect["bottom"] > code["top"] - free and rect["top"] < code["bottom"] + free]
    assert near == []


def test_the_paper_is_the_printers_choice(demo_at_address):
    """No style asks for a paper size: A4 and Letter both come from the printer."""
    page = (demo_at_address.site / f"procedures/{SHEETS[0]}.html").read_text(encoding="utf-8")
    styles = page + (demo_at_address.site / "assets/bench.css").read_text(encoding="utf-8")
    rules = re.findall(r"@page[^{]*\{([^{}]*(?:\{[^{}]*\}[^{}]*)*)\}", styles)
    assert rules
    assert not any(re.search(r"(?<![-\w])size\s*:", rule) for rule in rules)
