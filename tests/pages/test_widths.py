"""Every kind of page at ten widths, from a small phone to a wide screen: nothing lies past an edge,
and lines stay readable."""

from __future__ import annotations

import json

import pytest

from tests.conftest import PAGES, one_of_each

pytestmark = pytest.mark.browser

WIDTHS = (320, 360, 390, 412, 600, 768, 1024, 1280, 1600, 1920)
MORE = ("shop", "history/dunlin-60-0147", "404")
# A page in a frame, which takes each width in turn: one layout, where a window of its own would
# also paint. What scrolls inside of a page may hold more than is seen.
MEASURE = """async ([address, widths]) => {
  const frame = document.querySelector('iframe')
      || document.body.appendChild(document.createElement('iframe'));
  frame.style.cssText = 'border:0;height:900px';
  await new Promise(done => { frame.onload = done; frame.src = address; });
  const found = {}, page = frame.contentDocument;
  const still = new frame.contentWindow.CSSStyleSheet();
  still.replaceSync('* { transition: none !important }');
  page.adoptedStyleSheets = [still];
  const scrolls = e => e && (/auto|scroll/.test(getComputedStyle(e).overflowX)
      && e.tagName !== 'HTML' || scrolls(e.parentElement));
  const name = e => e.tagName.toLowerCase() + [...e.classList].map(one => '.' + one).join('')
      + ' ' + e.textContent.trim().slice(0, 30);
  for (const width of widths) {
    frame.style.width = width + 'px';
    const wide = page.documentElement.scrollWidth;
    const out = [], over = wide > width ? ['the page is ' + wide] : [];
    for (const e of page.querySelectorAll('article, article *, .md-header *')) {
      if (e.closest('.md-search, svg *, script, style')) continue;
      const { left, right, width: own, height } = e.getBoundingClientRect();
      if (own > 1 && height > 1 && (right > width + 1 || left < -1) && e.checkVisibility(
          {visibilityProperty: true}) && !scrolls(e.parentElement)) out.push(name(e));
    }
    const lines = [...page.querySelectorAll('.md-content__inner > p')].map(e =>
        e.getBoundingClientRect().width / parseFloat(getComputedStyle(e).fontSize));
    found[width] = { over: over.concat(out.slice(0, 5)), longest: Math.max(0, ...lines),
        header: page.querySelector('.md-header').getBoundingClientRect().height };
  }
  return JSON.stringify(found) }"""


@pytest.fixture(scope="module")
def measured(browser, served) -> dict[str, dict]:
    """By page, what was found at each width."""
    context = browser.new_context(viewport={"width": 2000, "height": 1000},
                                  service_workers="block")
    page = context.new_page()
    page.goto(f"{served}data/site.json")    # of the same origin, with no policy against frames
    yield {name: json.loads(page.evaluate(MEASURE, [f"{served}{name}.html", WIDTHS]))
           for name in (*one_of_each(PAGES), *MORE)}
    context.close()


def test_nothing_lies_past_an_edge(measured):
    assert [(name, width, at["over"]) for name, found in measured.items()
            for width, at in found.items() if at["over"]] == []


def test_lines_stay_readable(measured):
    """At most 50 em: some ninety letters."""
    assert [(name, width, at["longest"]) for name, found in measured.items()
            for width, at in found.items() if at["longest"] > 50.5] == []


def test_the_header_is_slim(measured):
    """At most 56 px, at any width."""
    assert {name: at for name, found in measured.items() for width, at in found.items()
            if not 40 < at["header"] <= 56} == {}


@pytest.mark.parametrize("width", (320, 360, 390))
def test_a_sheet_says_all_of_how_far_it_is(tab, demo, width):
    """With no serial number yet and readings that failed: on two lines rather than cut, and the
    header is no higher."""
    page = tab(viewport={"width": width, "height": 640}, is_mobile=True)
    page.goto((demo.site / "procedures/whimbrel-200-yearly.html").as_uri())
    said = page.evaluate("""() => {
      const line = document.querySelector('.at-sheet');
      line.textContent = 'no serial yet · 118 of 118 · 12 failed';
      const box = line.getBoundingClientRect(), whole = line.parentElement;
      return { wide: line.scrollWidth - line.clientWidth, high: whole.scrollHeight
          - whole.clientHeight, lines: box.height, header:
          document.querySelector('.md-header').getBoundingClientRect().height } }""")
    assert said["wide"] <= 0 and said["high"] <= 1 and (said["lines"] > 20) == (width < 390)
    assert said["header"] <= 56
