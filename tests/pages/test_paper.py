"""Every demo sheet as Chromium prints it, in A4 and Letter, from a folder; what stands where is
read from the PDF, and sizes and colours from the page under print rules at the width of the paper
between its margins."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import unicodedata
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from builder.formats.bench_checks import CHECKS
from tests import small_shop as shop
from tests.conftest import ADDRESS, SHEETS, needed, shown_revision

pytestmark = pytest.mark.browser

MM, PT = 96 / 25.4, 96 / 72  # CSS pixels
# mm; Chromium's A4 is a quarter of a mm larger
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
SIDE, FOOT, TOP = 10.0, 11.0, 8.0  # the margins that the style sheet asks for, mm
BESIDE = 62.4  # how much of a group's head its drawing takes, mm


def bare(text: str) -> str:
    """Without white space, and one spelling for each letter (a PDF has ligatures)."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


BEFORE = ["tick", "step", "apply", "at", "range"]
COLUMNS = {"": ["from", "to", "pm", "reading"],
           "corrected": ["from", "to", "reading first", "reading"],
           "reference": ["reading first", "reading", "pm", "reading"]}
HEADS = {"": ["{} from", "to", "{}", "Reading"],
         "corrected": ["{} from", "to", "Reading", "less leads"],
         "reference": ["Reading", "Reference", "±", "Difference"]}
AT = {"artifact": "Certified", "coil": "Source", "thermocouple": "at 23 °C", "zero": ""}


def units_of(sheet: Printed) -> dict[str, str]:
    """What each point's reading is in, as the page shows it: what is looked for from a point on may
    be in another unit."""
    found = {}
    for point in sheet.data["points"]:
        unit = {"bandwidth": "Hz",
                "sensitivity": (point["level"] or " ").split(" ")[1]}.get(
                    point["find"], point["unit"])
        found[point["id"]] = unit.replace("Ohm", "Ω").replace("deg", "°").replace("u", "µ")
    return found


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
  const box = e => { const r = e.getBoundingClientRect();
      return {left: r.left, top: r.top, right: r.right, bottom: r.bottom,
              width: r.width, height: r.height} };
  const shown = e => e.checkVisibility({visibilityProperty: true}) && box(e).width > 0;
  const name = e => e.tagName.toLowerCase() + [...e.classList].map(c => '.' + c).join('') + ' in '
      + (e.closest('[id]') || {id: '?'}).id;
  const left = new Map();
  const ink = e => {  // how much of its ink an element has left
    if (!e) return 1;
    if (!left.has(e)) left.set(e, getComputedStyle(e).opacity * ink(e.parentElement));
    return left.get(e) };
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; node = walker.nextNode();) {
    const e = node.parentElement;
    if (!node.data.trim() || ['SCRIPT', 'STYLE'].includes(e.tagName) || !shown(e)
        || e.closest('.carry')) continue;  // cut off but on a further page
    const range = document.createRange(); range.selectNodeContents(node);
    const style = getComputedStyle(e), opacity = ink(e), svg = e.closest('svg');
    const scale = svg ? box(svg).width / svg.viewBox.baseVal.width : 1;
    const cell = e.closest('td, th, .blanks > div');
    texts.push({text: node.data, in: name(e), table: (e.closest('table') || {className: ''})
        .className.split(' ')[0], size: parseFloat(style.fontSize) * scale, color: svg ? style.fill
        : style.color, opacity, drawn: !!svg,
                rects: [...range.getClientRects()].filter(r => r.width)
                    .map(r => ({left: r.left, right: r.right, top: r.top, bottom: r.bottom})),
                cell: cell && box(cell), article: !!e.closest('article'),
                scan: !!e.closest('.scan')});
  }
  const painted = new Set();  // each kind of element once
  for (const e of document.querySelectorAll('body, body *')) {
    if (!shown(e)) continue;
    const s = getComputedStyle(e), kind = e.tagName.toLowerCase() + [...e.classList]
        .map(c => '.' + c).join('');
    painted.add(kind + '|background|' + s.backgroundColor);
    for (const side of ['Top', 'Right', 'Bottom', 'Left'])
        if (s['border' + side + 'Width'] !== '0px')
          painted.add(kind + '|border|' + s['border' + side + 'Color']);
  }
  const cells = row => [...row.cells].map(cell => ({...box(cell), class: cell.className,
    text: [...cell.childNodes].map(n => n.nodeType !== 1 ? n.textContent : !shown(n) ? ''
        : n.innerText + getComputedStyle(n, '::after').content.replace(/^(none|normal)$|"/g, ''))
        .join('')}));
  const middle = r => (r.top + r.bottom) / 2;
  const rows = kind => [...document.querySelectorAll(
      'table.' + kind + ' tbody tr:not(.between)')].map(row => {
    const line = row.previousElementSibling;
    const step = row.querySelector('.step').firstChild, range = document.createRange();
    range.selectNodeContents(step);
    return {kind, id: row.id, step: step.data.match(/[0-9.]+/)[0], ...box(row),
        above: line && line.matches('.between') ? box(line).height : 0,
        below: middle(range.getClientRects()[0]) - middle(box(row)), cells: cells(row),
            number: range.getClientRects()[0].left, layout: row.closest('table')
                .className.replace(kind, '').trim(),
                head: row.closest('table').tHead.lastElementChild.innerText,
                carry: (row.closest('table').querySelector('.carry') || {innerText: ''}).innerText}
    });
  const group = e => [...document.querySelectorAll('h2[id^=group-]')]
      .filter(h => h.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING)
      .pop().id.slice(6);
  const words = e => { const range = document.createRange(); range.selectNodeContents(e);
      return [...range.getClientRects()] };
  return {
    texts, painted: [...painted], points: rows('points'), checks: rows('checks'),
    said: texts.filter(t => t.article && !t.scan).map(t => t.text).join(' '),
    heads: [...document.querySelectorAll('article thead th')].filter(shown).map(box),
    groups: [...document.querySelectorAll('h2[id^=group-]')]
        .map(h => ({number: h.id.slice(6), text: h.firstChild.textContent,
        middle: middle(words(h.firstChild)[0]),
      rows: h.nextElementSibling.querySelectorAll(
          'table.points tbody tr[id], table.checks tbody tr').length})),
    asides: [...document.querySelectorAll('table.aside')]
        .map(e => ({group: group(e), caption: e.caption.innerText, rows: [...e.rows]
        .map(row => ({...box(row), cells: cells(row)})),
      after: middle(box([...e.parentElement.querySelectorAll('table.points tbody tr')].pop())),
      bottom: box(e).bottom})),
    same: [...document.querySelectorAll('svg.connection')].map(e => ({group: group(e),
        said: e.getAttribute('aria-label'), shown: shown(e)})),
    drawings: [...document.querySelectorAll('svg.connection')].filter(shown)
        .map(e => { const b = box(e), h = e.closest('.group').previousElementSibling,
        around = e.closest('.group');
      const others = [...around.querySelectorAll('.sign, ul.ticks label, '
          + 'table.points tbody tr, table.points thead tr:last-child'), h.firstChild];
      const hit = r => r.left < b.right && r.right > b.left && r.top < b.bottom && r.bottom > b.top;
      return {group: group(e), ...b, said: e.getAttribute('aria-label'),
          texts: [...e.querySelectorAll('text')].map(t => ({...box(t), text: t.textContent})),
              lines: [...e.querySelectorAll('path, rect, circle')]
                  .map(t => ({...box(t),
                  stroke: parseFloat(getComputedStyle(t).strokeWidth) * b.width
                      / e.viewBox.baseVal.width, color: getComputedStyle(t).stroke})),
              covers: others.filter(o => (o.nodeType === 1 && o.tagName !== 'TH' ? [box(o)]
                  : words(o)).some(hit)).map(o => o.textContent.trim()) } }),
    lines: [...document.querySelectorAll('.before .line, .after .line')].filter(shown)
        .map(e => { const [word] = words(e.previousSibling), s = getComputedStyle(e);
      return {step: e.closest('li').innerText, width: box(e).width,
          high: box(e.closest('li')).height, below: box(e).bottom - word.bottom,
          line: parseFloat(s.borderBottomWidth), text: e.value || e.innerText || ''} }),
    openings: [...document.querySelectorAll('.before')]
        .map(e => ({group: group(e), steps: [...e.querySelectorAll('li')]
        .map(li => li.innerText.trim())})),
    signs: [...document.querySelectorAll('.sign')].map(e => e.innerText),
    closings: [...document.querySelectorAll('.after')].map(e => {
      const head = [...document.querySelectorAll('h2')]
          .filter(h => h.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING).pop();
      return {group: head.id.slice(6), text: e.innerText} }),
    writes: [...document.querySelectorAll('td.write')]
        .map(e => { const [label, unit] = [...e.children].map(box), s = getComputedStyle(e);
      return {step: e.parentElement.querySelector('.step').innerText, text: e.innerText,
          height: box(e).bottom - parseFloat(s.borderBottomWidth) / 2 - label.bottom,
          width: (unit ? unit.left : box(e).right - parseFloat(s.borderRightWidth)) - box(e).left
              - parseFloat(s.borderLeftWidth),
          lines: [s.borderLeftWidth, s.borderRightWidth, s.borderBottomWidth].map(parseFloat)} }),
    blanks: [...document.querySelectorAll('.blanks > div')]
        .map(e => ({text: e.innerText, ...box(e)})),
    ticks: [...document.querySelectorAll('article input[type=checkbox]')].filter(shown)
        .map(e => ({...box(e), checked: e.checked})),
    outcomes: [...document.querySelectorAll('.within .mark')]
        .map(e => { const s = getComputedStyle(e, '::before');
      return {text: e.innerText, width: parseFloat(s.width), height: parseFloat(s.height),
          line: parseFloat(s.borderTopWidth), content: s.content} }),
    code: (svg => svg && {...box(svg), modules: svg.viewBox.baseVal.width,
        words: texts.filter(t => t.article).flatMap(t =>
        t.rects)})(document.querySelector('.scan svg')),
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
            r"<!DOCTYPE.*?>", "",
            subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True,
                           encoding="utf-8").stdout, flags=re.S))
        here, mm = "{http://www.w3.org/1999/xhtml}", 25.4 / 72
        self.pages = [
            [Word(word.text or "",
                  *(float(word.get(key)) * mm for key in ("xMin", "yMin", "xMax", "yMax")))
             for word in page.iter(here + "word")]
            for page in tree.iter(here + "page")]
        first = next(tree.iter(here + "page"))
        self.width, self.height = float(first.get("width")) * mm, float(first.get("height")) * mm
        assert (self.width, self.height) == pytest.approx(PAPERS[paper], abs=0.5)
        tab.set_viewport_size({"width": round((self.width - 2 * SIDE) * MM), "height": 1000})
        tab.emulate_media(media="print", color_scheme=scheme)
        # much faster than as an object
        self.page = json.loads(tab.evaluate(f"() => JSON.stringify(({MEASURE})())"))
        context.close()

    def body(self, number: int) -> list[Word]:
        """The words of a page without its foot."""
        return [word for word in self.pages[number] if word.y < self.height - FOOT]

    def text(self, number: int) -> list[Word]:
        """The same without the words inside drawings, which stand beside the lines of the sheet."""
        frames = [(left, top, right, bottom) for page, left, top, right,
                  bottom in self.frames.values() if page == number]
        return [word for word in self.body(number)
                if not any(left < word.x < right and top < word.y < bottom for left, top, right,
                           bottom in frames)]

    def foot(self, number: int) -> list[Word]:
        return [word for word in self.pages[number] if word.y >= self.height - FOOT]

    @cached_property
    def rows(self) -> list[dict]:
        """Points and checks in the order of the page."""
        def by_step(row):
            return tuple(map(int, row["step"].split(".")))
        return sorted(self.page["points"] + self.page["checks"], key=by_step)

    @cached_property
    def steps(self) -> dict[str, tuple[int, Word]]:
        """Where each step's number stands: page and word. It must stand once, at the left edge of
        its column; a side table repeats it elsewhere."""
        found: dict[str, list] = {}
        (column,) = {round(row["number"] / MM, 1) for row in self.rows}
        for number in range(len(self.pages)):
            for word in self.body(number):
                if re.fullmatch(r"\d+\.\d+", word.text) and abs(word.left - SIDE - column) < 0.4:
                    found.setdefault(word.text, []).append((number, word))
        assert {step: len(places) for step,
                places in found.items()} == {row["step"]: 1 for row in self.rows}
        return {step: places[0] for step, places in found.items()}

    def band(self, row: dict) -> list[Word]:
        """The words of a row: those within its height around its middle, found from its step's
        number."""
        number, step = self.steps[row["step"]]
        middle, half = step.y - row["below"] / MM, row["height"] / MM / 2 - 0.8
        return [word for word in self.body(number) if abs(word.y - middle) < half]

    @cached_property
    def headings(self) -> dict[str, tuple[int, float]]:
        """Where each group's heading stands: page and distance from the top. A drawing may stand at
        its right."""
        found = {}
        for number in range(len(self.pages)):
            lines: dict[float, list[Word]] = {}
            for word in in_reading_order(
                    [word for word in self.body(number)
                     if word.right < self.width - SIDE - BESIDE]):
                near = next((y for y in lines if abs(y - word.y) < 1), word.y)
                lines.setdefault(near, []).append(word)
            for y, line in lines.items():
                text = bare("".join(word.text for word in line))
                for group in self.page["groups"]:
                    if text == bare(group["text"]) and line[0].left < SIDE + 1:
                        found.setdefault(group["number"], (number, y))
        return found

    @cached_property
    def frames(self) -> dict[str, tuple[int, float, float, float, float]]:
        """Where each group's drawing stands: page, left, top, right, bottom; found from the group's
        heading, with which it moves."""
        middles = {group["number"]: group["middle"] for group in self.page["groups"]}
        found = {}
        for drawing in self.page["drawings"]:
            number, y = self.headings[drawing["group"]]
            found[drawing["group"]] = (number, SIDE + drawing["left"] / MM,
                                       y + (drawing["top"] - middles[drawing["group"]]) / MM,
                                       SIDE + drawing["right"] / MM,
                                       y + (drawing["bottom"] - middles[drawing["group"]]) / MM)
        return found

    def within(self, number: int, box: dict, y: float) -> list[Word]:
        """The words of a page inside a box of the page, whose middle is found at y."""
        half = (box["bottom"] - box["top"]) / 2 / MM
        return [word for word in self.body(number) if abs(word.y - y) < half
                and SIDE + box["left"] / MM - 0.2 < word.x < SIDE + box["right"] / MM + 0.2]


@pytest.fixture(scope="module")
def sheets(browser, demo_at_address, tmp_path_factory) -> dict[tuple[str, str], Printed]:
    """Each demo sheet on each paper, printed once."""
    needed(shutil.which("pdftotext") and shutil.which("pdftoppm"), "poppler-utils")
    folder = tmp_path_factory.mktemp("print")
    return {(name, paper): Printed(browser, demo_at_address.site / f"procedures/{name}.html", paper,
                                   folder / f"{name}-{paper}.pdf")
            for name in SHEETS for paper in PAPERS}


@pytest.fixture(params=[(name, paper) for name in SHEETS for paper in PAPERS], ids="-".join)
def sheet(request, sheets) -> Printed:
    return sheets[request.param]


@pytest.fixture(scope="module")
def long_sheet(browser, lasting_project) -> Printed:
    """Tables that run over pages, checks as long as a file may hold, a title of a whole line, and
    so many short groups that one meets every place of a page."""
    needed(shutil.which("pdftotext"), "poppler-utils")

    def volts(name: str) -> dict:
        return shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                             shop.range_("600 V", "0.1 V", "0.5 % + 2 counts"),
                             name=name, dial=f"dial at {name}", ranging="manual")

    def points(name: str, low: int, live: int) -> list[dict]:
        return [{"function": name, "range": "6 V",
                 "apply": [f"{n / 20} V" for n in range(1, low + 1)]},
                {"function": name, "range": "600 V",
                 "apply": [f"{100 + 10 * n} V" for n in range(live)]}]

    words = ("Look at the thing for as long as it takes to be sure of it, then " * 7)[:390]
    short = {f"volts {n}": (n % 7 + 1, n % 4 + 1) for n in range(18)}
    made = lasting_project(address=ADDRESS).write(
        meter=shop.meter(volts("volts"), *map(volts, short)), standard=shop.standard(),
        plan=shop.plan(*points("volts", 100, 50),
                       *(p for name, (low, live) in short.items() for p in points(name, low, live)),
                       checks=[{"check": f"look {n}", "when": "by eye", "do": words, "good": words,
                                "stops": "nothing", "of": "meter"}
                               for n in range(1, 13)],
                       title="Lapwing 1, the yearly verification after the winter's work at the "
                       "eastern slipway", note=words))
    return Printed(browser, made.build().site / "procedures/lapwing-yearly.html", "A4",
                   made.root / "long.pdf")


@pytest.fixture(scope="module")
def library_sheet(browser, lasting_project) -> Printed:
    """Every check that the builder knows, and two of the shop's own: one with the longest label and
    unit, one bare."""
    needed(shutil.which("pdftotext"), "poppler-utils")
    made = lasting_project(address=ADDRESS).write(
        meter=shop.meter(shop.function("DC voltage",
                                       shop.range_("6 V", "1 mV", "0.4 % + 2 counts")),
                         shop.function("DC current", shop.range_("6 A", "1 mA", "1 %"),
                                       jacks=["A", "COM"])),
        standard=shop.standard(),
        plan=shop.plan({"function": "DC voltage", "apply": "recommended"}, left_out=[
            {"function": "DC current", "because": "only for its jacks"}], checks=[
            *CHECKS, {"check": "own", "when": "inputs", "do": "Look", "good": "seen",
                      "stops": "everything", "of": "bench",
                      "write": "the lowest reading while it is bent", "unit": "kohm"},
            {"check": "own too", "when": "inputs", "do": "Look", "good": "seen",
             "stops": "nothing", "of": "meter"}]))
    return Printed(browser, made.build().site / "procedures/lapwing-yearly.html", "A4",
                   made.root / "library.pdf")


def compared(what: str, terminals: list[str], high: str, resolution: str, **more) -> dict:
    return {"measures": what, "terminals": terminals,
            "rows": [{"values": f"0 {high.split()[1]} to {high}", "range": high,
                      "resolution": resolution, "within": "0.02 %"}]} | more


@pytest.fixture(scope="module")
def compared_sheet(browser, lasting_project) -> Printed:
    """Side tables long and short, both meters side by side and in series, four outcomes with a
    guard band."""
    needed(shutil.which("pdftotext"), "poppler-utils")
    steady = "charged by a steady current"
    gannet = {"standard": "gannet", "name": "Gannet", "kind": "reference meter",
              "description": "reference meter, 6½ digits", "maker": "Invented Works",
              "certificate": "G-1", "due": "2030-01-01", "stated": "k = 2",
              "measures": [compared("DC voltage", ["HI", "LO"], "1000 V", "10 uV"),
                           compared("DC current", ["I HI", "I LO"], "10 A", "1 uA"),
                           compared("capacitance", ["HI", "LO"], "10 mF", "1 nF", method=steady)]}
    meter = shop.meter(
        shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                      shop.range_("600 V", "0.1 V", "0.5 % + 2 counts"), dial="V DC"),
        shop.function("DC current", shop.range_("6 A", "1 mA", "0.5 % + 2 counts"),
                      jacks=["A", "COM"], dial="A DC"),
        shop.function("capacitance", shop.range_("6 mF", "1 uF", "2 % + 5 counts"), method=steady,
                      dial="capacitor symbol"),
        shop.function("temperature", shop.range_("1300 degC", "1 degC", "0.5 % + 2 degC"),
                      name="temperature, type K", thermocouple="K", ranging="manual"))
    plan = shop.plan(
        {"function": "DC voltage", "range": "6 V", "apply": [f"{n / 2} V" for n in range(1, 11)],
         "compare_on": "a supply"},
        {"function": "DC voltage", "apply": ["0 V", "3 V", "5.4 V", "-5.4 V", "540 V", "-540 V"]},
        {"function": "DC current", "apply": [f"{n} A" for n in range(1, 6)],
         "compare_on": "a supply"},
        {"function": "capacitance", "apply": ["1000 uF", "2200 uF", "4700 uF"],
         "compare_on": "an electrolytic"},
        {"function": "temperature, type K", "apply": [f"{n} degC" for n in range(0, 1201, 75)]},
        standards=["petrel", "gannet"], decision_rule="guard band of U", outcomes="four",
        junction={"measured": "a thermometer", "within": "0.2 degC"},
        leads={"length": "1 m", "conductor": "0.75 mm2", "contacts": "60 mohm",
               "repeats": "10 mohm", "stray": "100 pF", "stray_repeats": "5 pF"})
    made = lasting_project(address=ADDRESS).write(
        meter=meter, standard=shop.standard(), plan=plan, **{"standards/gannet.yaml": gannet})
    return Printed(browser, made.build().site / "procedures/lapwing-yearly.html", "A4",
                   made.root / "compared.pdf")


# ---------------------------------------------------------------- nothing is missing or cut off

def every_cell_stands_in_its_column(sheet: Printed) -> None:
    for row in sheet.rows:
        band = sheet.band(row)
        for cell in row["cells"]:
            left, right = SIDE + cell["left"] / MM, SIDE + cell["right"] / MM
            assert joined([word for word in band if left < word.x < right]) == bare(cell["text"]), (
                row["step"], cell["class"])


def test_every_cell_of_every_row_stands_whole_in_its_column_on_one_page(sheet):
    """All columns of points and checks are in the print, each text in its own column, and no row is
    split."""
    kinds = {point["id"]: point["kind"] for point in sheet.data["points"]}
    for row in sheet.page["points"]:
        columns = COLUMNS[row["layout"]]
        assert [cell["class"] for cell in row["cells"]] in (
            [*BEFORE, *columns, "within"],
            [*BEFORE, "observe", "reading", "within"] if kinds[row["id"]] == "observation"
            else None), row["id"]
    every_cell_stands_in_its_column(sheet)


def test_the_limits_of_the_data_are_those_on_paper(sheet):
    """Each point's two limits stand in its row of the print, as the data file has them."""
    rows = {row["id"]: row for row in sheet.page["points"]}
    assert set(rows) == {point["id"] for point in sheet.data["points"]}
    for point in sheet.data["points"]:
        text = joined(sheet.band(rows[point["id"]]))
        for limit in (point["accept"] or {"low": None, "high": None})["low"], (
                point["accept"] or {"high": None})["high"]:
            assert limit is None or bare(limit.split(" ")[0].replace("-", "−")) in text, point["id"]
        assert ("live" in text) == (point["hazard"] is not None), point["id"]
        assert point["accept"] or point["observe"] or point["reference"], point["id"]


def test_every_word_of_the_page_is_on_paper(sheet):
    """What the page says under print rules is all in the print: heads, steps, warnings, blanks.
    (The address under the code may be broken anywhere; it has its own test.)"""
    on_paper = signs(" ".join(word.text for page in sheet.pages for word in page))
    assert signs(sheet.page["said"]) - on_paper == Counter()


def test_other_tables_are_whole(compared_sheet):
    """Where two meters are compared and where there are four outcomes, columns, heads and feet are
    as elsewhere."""
    every_cell_stands_in_its_column(compared_sheet)
    columns_are_headed(compared_sheet)
    assert heads_are_repeated(compared_sheet) >= 2
    every_page_says_what_it_is(compared_sheet)
    groups_start_whole(compared_sheet)
    closings_follow_their_last_row(compared_sheet)


def test_nothing_reaches_into_the_margins(sheet):
    """Every word keeps to the paper between its margins, on every page."""
    for number in range(len(sheet.pages)):
        for word in sheet.pages[number]:
            assert SIDE - 0.4 <= word.left and word.right <= sheet.width - SIDE + 0.4, (
                number, word)
        for word in sheet.body(number):
            assert TOP - 1 <= word.top and word.bottom <= sheet.height - FOOT + 0.2, (number, word)


def out_of_their_cells(sheet: Printed) -> set[tuple[str, str]]:
    """Texts more than half a pixel beside their cell or field, which has a mm of padding, or over
    the edge."""
    edges = {"left": 0, "right": (sheet.width - 2 * SIDE) * MM}
    return {(text["in"].split(" in ")[0], text["text"]) for text in sheet.page["texts"]
            for rect in text["rects"]
            if rect["left"] < (text["cell"] or edges)["left"] - 0.5
            or rect["right"] > (text["cell"] or edges)["right"] + 0.5}


def test_every_text_keeps_to_its_cell(sheets, long_sheet, compared_sheet):
    """No text runs out of its cell or field into the next one, nor over the edge."""
    for sheet in (*sheets.values(), long_sheet, compared_sheet):
        assert out_of_their_cells(sheet) == set()


# ---------------------------------------------------------------- every page

def every_page_says_what_it_is(sheet: Printed) -> None:
    for number in range(len(sheet.pages)):
        foot = sheet.foot(number)
        (serial,) = [word.left for word in foot if word.text.startswith("Serial")]
        assert joined([word for word in foot if word.right < serial]) == bare(
            f"{sheet.title} · {shown_revision(sheet.data)}")
        assert re.fullmatch(rf"Serialno\._{{12,}}Date_{{10,}}Initials_{{6,}}Page{number + 1}of"
                            rf"{len(sheet.pages)}",
                            joined([word for word in foot if word.left >= serial]))


def test_every_page_carries_its_number_the_sheet_and_its_revision(sheet):
    """'Page x of y', the sheet's title and revision, and room for serial number, date and initials
    stand at the foot of every page."""
    every_page_says_what_it_is(sheet)


def columns_are_headed(sheet: Printed) -> None:
    points, four = {point["id"]: point
                    for point in sheet.data["points"]}, sheet.data["outcomes"] == 4
    says = ["Pass" if four else "Accept", "±" if sheet.data["decision_rule"] == "simple acceptance"
            else "T ±"]
    for row in sheet.page["points"]:
        group = [point for point in points.values() if point["group"] == points[row["id"]]["group"]]
        at = AT.get(group[0]["kind"],
                    "at" if any(point["frequency"] or point["level"] for point in group) else "")
        first, last = HEADS[row["layout"]][:2], HEADS[row["layout"]][2:]
        wanted = ["Step", "Apply", at, "On range", *(head.format(says[0]) for head in first),
                  *(head.format(says[1]) for head in last), "Outcome" if four else "Within?"]
        assert bare(row["head"]) == bare("".join(wanted)), row["id"]
        assert row["layout"] == ("reference" if points[row["id"]]["kind"] == "reference" else
                                 "corrected"
                                 if points[row["id"]]["zero"]
                                 and points[row["id"]]["correction"] == "subtract"
                                 else ""), row["id"]


def heads_are_repeated(sheet: Printed) -> int:
    """How many tables go on on a further page; each has its head there, under what is connected and
    what to look out for, which stand nowhere on its first page."""
    first = {}
    for row in sheet.rows:
        number, word = sheet.steps[row["step"]]
        key = (row["step"].split(".")[0], row["kind"], number)
        if key not in first or word.y < first[key][0].y:
            first[key] = (word, row)
    begun, further = set(), 0
    for (group, kind, number), (word, row) in first.items():
        top = word.y - (row["below"] + row["height"] / 2) / MM
        above = joined([other for other in sheet.text(number) if top - 30 < other.y < top])
        if (group, kind) in begun:
            further += 1
            assert row["carry"].startswith(f"{group} ")
            assert bare(row["carry"]) + bare(row["head"]) in above, (group, number + 1)
        else:
            again = bare(row["carry"]).partition("continued")[0] + "continued"
            assert bare(row["head"]) in above and again not in above, group
        begun.add((group, kind))
    return further


def test_every_page_of_a_table_has_its_head(sheet):
    """Above the first row of a table on each page stand the heads of the columns; on a further page
    the group, its leads and its warnings above them."""
    columns_are_headed(sheet)
    heads_are_repeated(sheet)


def test_no_head_stands_without_a_row(sheet):
    """Where a table's head is printed, a row of that table follows on the same page."""
    for number in range(len(sheet.pages)):
        text = joined(sheet.text(number))
        assert text.count("OnrangeAccept") + text.count("Goodis") <= len(
            {step.split(".")[0] for step, (page, _) in sheet.steps.items() if page == number})


def test_a_long_table_goes_on_over_pages_with_its_head_and_whole_rows(long_sheet):
    """Tables of a hundred points and of rows as high as a file allows keep heads, whole rows, edges
    and feet."""
    assert heads_are_repeated(long_sheet) >= 4
    every_cell_stands_in_its_column(long_sheet)
    every_page_says_what_it_is(long_sheet)


# ---------------------------------------------------------------- what belongs together

def test_no_warning_is_split(sheet):
    """Every warning is printed whole, on one page."""
    assert sheet.page["signs"]
    pages = [joined(sheet.text(number)) for number in range(len(sheet.pages))]
    for sign in sheet.page["signs"]:
        assert any(bare(sign) in page for page in pages), sign


def test_no_heading_stands_alone(sheets, long_sheet):
    """Under every group's heading something of the group follows on the same page."""
    for sheet in (*sheets.values(), long_sheet):
        headings = sheet.headings
        assert set(headings) == {group["number"] for group in sheet.page["groups"]}
        for group, (number, y) in headings.items():
            assert any(word.y > y + 3 for word in sheet.body(number)), group


def groups_start_whole(sheet: Printed) -> None:
    headings = sheet.headings
    assert set(headings) == {group["number"] for group in sheet.page["groups"]}
    for group, (number, y) in headings.items():
        steps = [place for step, place in sheet.steps.items() if step.startswith(f"{group}.")]
        if steps:
            page, word = min(steps, key=lambda place: (place[0], place[1].y))
            assert (page, word.y > y) == (number,
                                          True), (
                                              f"group {group} is headed on page {number + 1} and "
                                              f"starts on page {page + 1}")


def test_a_group_starts_on_the_page_of_its_heading(sheets, long_sheet):
    """No heading, warning or opening step stands at the foot of a page with the first point on the
    next."""
    for sheet in (*sheets.values(), long_sheet):
        groups_start_whole(sheet)


def closings_follow_their_last_row(sheet: Printed) -> None:
    assert sheet.page["closings"]
    headings = sheet.headings
    for closing in sheet.page["closings"]:
        number, word = max(
            (place for step,
             place in sheet.steps.items() if step.startswith(f"{closing['group']}.")),
            key=lambda place: (place[0], place[1].y))
        end = min((y for page, y in headings.values() if page == number and y > word.y),
                  default=sheet.height)
        below = joined([other for other in sheet.body(number) if word.y + 3 < other.y < end])
        assert bare(closing["text"]).split("reads")[
            0] in below, f"group {closing['group']} ends on page {number + 1}"


def test_a_group_closes_on_the_page_of_its_last_point(sheets, long_sheet):
    """Zero, standby and the reading near zero stand under the last point, not overleaf."""
    for sheet in (*sheets.values(), long_sheet):
        closings_follow_their_last_row(sheet)


def test_the_larger_procedure_takes_at_most_eight_pages(sheets):
    """The procedure with the most points, 80 or more, has eight pages of A4 or fewer."""
    larger = max((sheets[name, "A4"] for name in SHEETS),
                 key=lambda sheet: len(sheet.data["points"]))
    assert len(larger.data["points"]) >= 80
    assert len(larger.pages) <= 8


def whole(sheet: Printed) -> None:
    live = {point["group"] for point in sheet.data["points"] if point["hazard"]}
    short = [group for group in sheet.page["groups"]
             if 0 < group["rows"] <= (12 if group["number"] in live else 2)]
    assert short
    closings = {closing["group"]: closing["text"] for closing in sheet.page["closings"]}
    for group in short:
        page, top = sheet.headings[group["number"]]
        places = [place for step,
                  place in sheet.steps.items() if step.startswith(f"{group['number']}.")]
        assert len(places) == group["rows"] and {number for number, _ in places} == {
            page}, group["number"]
        end = min((y for number, y in sheet.headings.values() if number == page and y > top),
                  default=sheet.height)
        text = joined([word for word in sheet.text(page) if top < word.y < end])
        assert bare(closings.get(group["number"], "")).split("reads")[0] in text, group["number"]


def test_a_short_group_stays_on_one_page(sheets, long_sheet, compared_sheet):
    """Heading, rows and closing steps of a group with one row or two are not spread over two
    pages, nor those of a live group with up to twelve."""
    for sheet in (*sheets.values(), long_sheet, compared_sheet):
        whole(sheet)


def test_a_sheet_ends_with_its_verdict_and_leaves_the_evidence_to_its_own_page(sheet):
    """The verdict is the last part of the print; completeness and worked limits are not in it."""
    last = joined(sheet.body(len(sheet.pages) - 1))
    assert last.endswith(bare(f"End of {sheet.title}."))
    assert any("Verdictandsignatures" in joined(sheet.body(page))
               for page in range(len(sheet.pages)))
    for number in range(len(sheet.pages)):
        assert not re.search("leftoutbecause|Howthelimitswerecomputed", joined(sheet.body(number)))


# ---------------------------------------------------------------- side tables

def side_tables_stand_whole(sheet: Printed) -> None:
    for aside in sheet.page["asides"]:
        number, step = max((place for step,
                            place in sheet.steps.items() if step.startswith(f"{aside['group']}.")),
                           key=lambda place: (place[0], place[1].y))
        last = max((row for row in sheet.page["points"]
                    if row["step"].startswith(f"{aside['group']}.")), key=lambda row: row["bottom"])
        # of the page's measures, in mm of the paper
        origin = step.y - last["below"] / MM - aside["after"] / MM
        assert origin * MM + aside["bottom"] <= (sheet.height - FOOT + 0.2) * MM, aside["group"]
        for row in aside["rows"]:
            for cell in row["cells"]:
                found = joined(sheet.within(number, cell,
                                            origin + (cell["top"] + cell["bottom"]) / 2 / MM))
                assert found == bare(cell["text"]), (aside["group"], cell["text"], found)
        top = min(row["top"] for row in aside["rows"]) / MM + origin
        caption = joined([word for word in sheet.body(number) if top - 12 < word.y < top])
        assert caption.endswith(bare(aside["caption"])), aside["group"]
        if sum(row["step"].startswith(f"{aside['group']}.") for row in sheet.page["points"]) <= 2:
            page, _ = sheet.headings[aside["group"]]
            assert page == number


def test_a_side_table_stands_whole_under_its_points(sheet):
    """Each number of a side table is on paper, in its own column, on the page where the points of
    its group end; that of a short group on the group's one page. A sheet with a thermocouple or
    with a reference reading has one."""
    wanted = {point["group"] for point in sheet.data["points"] if point["kind"] == "thermocouple"
              or (point["reference"] and point["slope"] != "0")}
    assert {aside["group"] for aside in sheet.page["asides"]} == wanted
    side_tables_stand_whole(sheet)


def test_long_side_tables_stand_whole(compared_sheet):
    """So do tables of seventeen temperatures and of ten reference readings, behind tables that run
    over a page."""
    sizes = sorted(len(aside["rows"]) for aside in compared_sheet.page["asides"])
    assert sizes == [6, 10, 19, 20]
    side_tables_stand_whole(compared_sheet)


def test_a_side_table_has_a_row_for_each_point(sheets, compared_sheet):
    """By its step each point finds its own row: millivolts by the temperature of the junction, a
    head above each; or the reference readings, with what the meter may differ from each in the row
    below. The last row under the temperatures is what a tenth of a degree takes off."""
    for sheet in (*sheets.values(), compared_sheet):
        points = {}
        for point in sheet.data["points"]:
            points.setdefault(point["group"], []).append(point)
        for aside in sheet.page["asides"]:
            rows = [[cell["text"] for cell in row["cells"]] for row in aside["rows"]]
            steps = [point["step"] for point in points[aside["group"]]
                     if point["kind"] != "observation"]
            if points[aside["group"]][0]["kind"] == "thermocouple":
                assert rows[0][:2] == ["Step",
                                       "Apply"] and all(
                                           re.fullmatch(r"−?\d+\s°C", head) for head in rows[0][2:])
                assert [row[0] for row in rows[1:]] == [*steps, ""] and bare(rows[-1][1]) == bare(
                    "off per 0.1 °C")
            else:
                assert [row[0] for row in rows] == [text for step in steps for text in (step, "")]
                assert all(row[1].startswith(("reference from", "difference at most, ±")[n % 2])
                           for n, row in enumerate(rows))


# ---------------------------------------------------------------- drawings

def drawings_stand_beside_the_steps(sheet: Printed) -> None:
    edge = (sheet.width - 2 * SIDE) * MM
    for drawing in sheet.page["drawings"]:
        number, left, top, right, bottom = sheet.frames[drawing["group"]]
        # On the paper, its lines too, and so on the page of its group's heading and first row.
        assert TOP - 0.1 <= top and bottom <= sheet.height - FOOT and SIDE <= left, drawing["group"]
        assert drawing["right"] <= edge - 0.2 * MM, "the frame's line is cut by the edge"
        assert drawing["texts"] and drawing["lines"]
        for text in drawing["texts"]:
            found = joined(sheet.within(number,
                                        text | {"left": text["left"] - 1,
                                                "right": text["right"] + 1},
                                        top
                                        + ((text["top"] + text["bottom"]) / 2
                                           - drawing["top"]) / MM))
            assert bare(text["text"]) in found, (drawing["group"], text["text"], found)
        for line in drawing["lines"]:
            half = line["stroke"] / 2
            assert line["color"] == "rgb(0, 0, 0)" and line["stroke"] >= 0.28 * MM, drawing["group"]
            assert drawing[
                "left"] - 0.1 <= line[
                    "left"] - half and line[
                        "right"] + half <= drawing[
                            "right"] + 0.1 and line[
                                "top"] - half >= drawing[
                                    "top"] - 0.1 and line[
                                        "bottom"] + half <= drawing["bottom"] + 0.1
        # Nothing lies under it: no heading, warning, step, row, head, and not the small line above
        # the head.
        assert drawing["covers"] == [], drawing["group"]
        first = min((place for step,
                     place in sheet.steps.items() if step.startswith(f"{drawing['group']}.")),
                    key=lambda place: (place[0], place[1].y))
        assert first[0] == number and bottom < first[1].y, drawing["group"]


def test_a_drawing_stands_beside_the_steps_of_its_group(sheet):
    """It is on the page of its group's heading, right of heading, warnings and steps, above the
    first row, within the margins, and covers nothing."""
    drawings_stand_beside_the_steps(sheet)


def test_so_do_drawings_of_two_instruments_and_at_any_place_of_a_page(compared_sheet, long_sheet):
    """Under titles of a whole line, at the top of a page and far down on it, and where two
    instruments are drawn."""
    for sheet in (compared_sheet, long_sheet):
        assert len(sheet.page["drawings"]) >= 6
        drawings_stand_beside_the_steps(sheet)
    tops = [sheet.frames[drawing["group"]][2] for drawing in long_sheet.page["drawings"]]
    assert min(tops) < 14 and max(tops) > 165


def test_every_group_whose_leads_are_plugged_has_a_drawing(sheets, compared_sheet):
    """Each group of points on two jacks, and each on a coil, is drawn; no group of checks is. On
    paper leads that stay as they are were drawn in the group before, but for live groups."""
    for sheet in (*sheets.values(), compared_sheet):
        wanted = {point["group"] for point in sheet.data["points"]
                  if len(point["jacks"]) == 2 or point["kind"] == "coil"}
        assert sorted(one["group"] for one in sheet.page["same"]) == sorted(wanted) != []
        live = {point["group"] for point in sheet.data["points"] if point["hazard"]}
        before = {"group": "0", "said": ""}
        for one in sorted(sheet.page["same"], key=lambda one: int(one["group"])):
            same = (one["said"], int(one["group"])) == (before["said"], int(before["group"]) + 1)
            assert one["shown"] == (one["group"] in live or not same), one["group"]
            before = one


def test_a_drawing_says_what_the_steps_say(sheets, compared_sheet):
    """Its words for those who don't see it name the same ends of the leads as the step with the
    leads or with the coil."""
    seen = set()
    for sheet in (*sheets.values(), compared_sheet):
        steps = {opening["group"]: opening["steps"] for opening in sheet.page["openings"]}
        for drawing in sheet.page["drawings"]:
            kind, points = ends_of(steps[drawing["group"]]), [
                point for point in sheet.data["points"] if point["group"] == drawing["group"]]
            seen.add(kind[0])
            assert kind == ends_of(
                [f"{part.strip()}" for part in re.split(r"(?<=\.)\s", drawing["said"])]), (
                    sheet.title, drawing["group"], drawing["said"])
            assert all(bare(jack) in bare(drawing["said"]) for point in points
                       for jack in point["jacks"])
    assert seen == {"to", "free", "coil", "alone", "side by side", "in series"}


def ends_of(sentences: list[str]) -> tuple:
    """How leads run, by steps or by the words of a drawing: the kind, and the ends in pairs or by
    themselves."""
    said, alone = {}, None
    for sentence in sentences:
        subject, _, rest = sentence.partition(": ")
        said.setdefault(subject, rest.rstrip("."))
        alone = alone or re.match(r"(.+?) and (.+?) alone on it", rest)
    if "Coil" in said:
        return "coil", *re.findall(r"I HI|I LO", said["Coil"])
    leads = said.get("Leads", "")
    pairs = re.findall(r"(?:^|, )(?:plain copper, )?([^,]+?) to ([^,]+?)(?: of ([^,]+))?(?=,|$)",
                       leads)
    across = [key for key in said if key.startswith("From ")]
    if across:  # a drawing of two instruments
        further = re.findall(r"(?:^|, )([^,]+?) to ([^,]+?)(?: of [^,]+)?(?=,|$)", said[across[0]])
        return ("side by side" if len(further) == 2
                else "in series"), *sorted({jack for jack, *_ in pairs})
    if "side by side on" in leads:
        return "side by side", *sorted(re.match(r"(.+) and (.+?) of the meter", leads).groups())
    if "all in series" in leads:
        return "in series", *sorted(re.search(r"of [\w ]+?, (.+?) and (.+?) of the meter",
                                              leads).groups())
    if alone or {end for _, end, _ in pairs} == {"+", "−"}:
        return "alone", *sorted(alone.groups() if alone else (jack for jack, *_ in pairs))
    if not pairs:
        jacks = re.match(r"(?:in )?(.+?) and (.+?),", leads).groups()
        return "free", *sorted(jacks), "together" in leads
    return "to", *sorted((jack, end) for jack, end, _ in pairs)


# ---------------------------------------------------------------- for the hand and the eye

def test_rows_are_high_enough_for_handwriting(sheet):
    """Points and checks have at least 7 mm, on the page and between neighbours in the print."""
    assert min(row["height"] for row in sheet.rows) / MM >= 7
    for one, other in pairwise(sheet.rows):
        (page, step), (next_page, next_step) = sheet.steps[one["step"]], sheet.steps[other["step"]]
        if page == next_page and one["step"].split(".")[0] == other["step"].split(".")[0]:
            assert next_step.y - step.y >= 7, one["step"]
            if one["id"]:  # a point; the same distance as under print rules: the print isn't shrunk
                between = (one["height"] + other["height"]) / 2 + other["above"]
                assert abs((next_step.y - step.y) - between / MM) < 0.3, one["step"]


def readings_are_empty(sheet: Printed) -> None:
    units, points = units_of(sheet), {point["id"]: point for point in sheet.data["points"]}
    for row in sheet.page["points"]:
        point, (*before, reading, within) = points[row["id"]], row["cells"]
        assert reading["width"] / MM >= 20
        assert bare(reading["text"]) == bare(units[row["id"]])
        others = [cell for cell in before if cell["class"].startswith("reading")]
        assert len(others) == {"": 0, "corrected": 1, "reference": 2}[row["layout"]], row["id"]
        for n, cell in enumerate(others):
            unit = bare(units[row["id"]])
            if n and point["reference"]["twice"]:   # one line above the other, each for a reading
                assert bare(cell["text"]) == f"before,{unit}after,{unit}"
                assert cell["height"] / MM >= 13, row["id"]
            else:
                assert bare(cell["text"]) == ("" if row["layout"] == "corrected" else unit)
            assert cell["width"] / MM >= (13 if row["layout"] == "corrected"
                                          else 15) and cell["height"] / MM >= 6.5, row["id"]
        judged, four = point[
            "kind"] != "observation", "Outcome" in row["head"] and point["kind"] not in (
                "zero", "reference")
        assert within["text"].split() == ([] if not judged else ["p", "cp", "cf", "f"] if four
                                          else ["yes", "no"]), row["id"]
        assert within["width"] / MM >= 20
    for outcome in sheet.page["outcomes"]:
        assert min(outcome["width"],
                   outcome[
                       "height"]) / MM >= 3 and outcome["line"] > 0 and outcome["content"] == '""'


def test_reading_and_outcome_are_empty_and_wide_enough(sheet):
    """A reading has 20 mm with nothing but the unit in it, an outcome two empty boxes of 3 mm.
    Beside it the reading that the leads are taken off has 13 mm with nothing in it at all, a
    meter's own and a reference reading 15 mm; all are as high as the row, 6.5 mm or more."""
    readings_are_empty(sheet)


def test_so_are_those_of_other_tables(compared_sheet):
    """So too where two meters are compared and where there are four outcomes."""
    assert {"", "reference"} == {row["layout"] for row in compared_sheet.page["points"]}
    readings_are_empty(compared_sheet)


def test_every_check_of_the_library_prints_whole(library_sheet):
    """Each text of each check stands in its column, in its cell, on one page."""
    assert len(library_sheet.page["checks"]) == len(CHECKS) + 2
    every_cell_stands_in_its_column(library_sheet)
    assert out_of_their_cells(library_sheet) == set()
    for check in library_sheet.data["checks"]:
        (row,) = [row for row in library_sheet.page["checks"] if row["step"] == check["step"]]
        written = bare("".join(cell["text"] for cell in row["cells"] if cell["class"] == "write"))
        assert written == bare("".join(check[part] or "" for part in ("write", "unit")).replace(
            "Ohm", "Ω")), check["step"]


def test_a_check_takes_few_lines(library_sheet):
    """No check of the library is higher than 16 mm, and most are not higher than 11 mm: a sheet has
    little room."""
    heights = {row["cells"][2]["text"].split(".")[0]: row["height"] / MM
               for row in library_sheet.page["checks"]
               if not row["cells"][2]["text"].startswith("Own")}
    assert {name: height for name, height in heights.items() if height > 16} == {}
    assert sorted(heights.values())[len(heights) // 2] <= 11


def test_a_blank_of_a_check_is_large_enough_to_write_in(sheets, library_sheet):
    """Under its label and beside its unit a blank has at least 20 mm by 6 mm with nothing in it and
    a line around it; a check without anything to write has none."""
    assert sum(len(sheet.page["writes"])
               for sheet in sheets.values()) >= 10 and library_sheet.page["writes"]
    for sheet in (*sheets.values(), library_sheet):
        wanted = {
            check["step"]: " ".join(filter(None,
                                           (check["write"],
                                            (check["unit"] or "").replace("Ohm", "Ω"))))
            for check in sheet.data["checks"] if check["write"]}
        assert {one["step"]: bare(one["text"]) for one in sheet.page["writes"]} == {
            step: bare(text) for step, text in wanted.items()}
        for one in sheet.page["writes"]:
            assert one["width"] / MM >= 20 and one["height"] / MM >= 6 and min(
                one["lines"]) > 0, one


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


def test_a_step_with_something_to_write_has_a_line_for_it(sheet):
    """After 'reads', and at the end of a pause, stands an empty line of at least 14 mm, at the
    foot of the words, in a step no higher than others."""
    wanted = sum(point["kind"] == "thermocouple"
                 for point in {point["group"]: point for point in sheet.data["points"]}.values())
    assert len(sheet.page["lines"]) > wanted
    for line in sheet.page["lines"]:
        assert "reads" in line["step"] or "off for" in line["step"]
        assert line["text"] == "" and line["line"] > 0
        assert line["width"] / MM >= 14 and abs(
            line["below"]) / MM < 1 and line["high"] / MM < 4.2, line


def test_the_blanks_are_there_to_write_in(sheet):
    """Serial, place, date, ambient, standard, who did it and who reviewed it have a field of 10
    mm."""
    fields = sheet.page["blanks"]
    for wanted in ("serial no", "Place", "Date", "as found", "Ambient", "Humidity", "Done by",
                   "Reviewed by", "Fulmar", "Certificate",
                   "after 20", "all within", "not within", "Remarks", "Done by, signature",
                   "Reviewed by, signature"):
        assert any(wanted in field["text"] for field in fields), wanted
    assert min(field["height"] for field in fields) / MM >= 9.9
    assert min(field["width"] for field in fields) / MM >= 40


def texts_are_large_enough(sheet: Printed) -> None:
    """9 pt or more; units 8 pt, what is drawn 7 pt."""
    assert any(text["drawn"] for text in sheet.page["texts"])
    for text in sheet.page["texts"]:
        least = 7 if text["drawn"] else 8 if re.match(r"(small|i)\b", text["in"]) else 9
        assert text["size"] >= least * PT - 0.01, text


def test_texts_are_large_enough(sheets, library_sheet, compared_sheet, long_sheet):
    """On each sheet: heads, steps, warnings, values, limits, labels of blanks and side tables."""
    for sheet in (*sheets.values(), library_sheet, compared_sheet, long_sheet):
        texts_are_large_enough(sheet)


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
    assert {(text["in"].split(" in ")[0], text["color"], text["opacity"])
            for text in sheet.page["texts"]
            if (text["color"], text["opacity"]) != ("rgb(0, 0, 0)", 1)} == set()


def test_lines_are_black_and_grounds_white(sheet):
    """No ground is tinted and no line coloured in print."""
    for one in sheet.page["painted"]:
        kind, what, color = one.split("|")
        assert color in ("rgba(0, 0, 0, 0)",
                         "rgb(255, 255, 255)" if what == "background" else "rgb(0, 0, 0)"), one


def test_a_browser_in_dark_mode_prints_the_same(browser, sheets, demo_at_address, tmp_path):
    """The print of a page that shows dark has the same words and the same picture, without any
    colour."""
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
        word.text
        for word in sorted((w for w in sheet.body(0) if w.x > sheet.width - SIDE - 36
                            and w.top < 60), key=lambda w: (round(w.y), w.x))))
    assert sheet.page["code"]["width"] / MM >= 20


def test_the_code_to_scan_has_its_quiet_zone(sheet):
    """Four modules around the code stay free, as ISO/IEC 18004 wants it (from memory)."""
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
