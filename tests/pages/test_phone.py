"""Every kind of page at 360 px in Chromium, from a folder: in light and dark, with scripts and
without; every page of each kind in the long form."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

from tests.conftest import METERS, PAGES, SHEETS, every_page, one_of_each

pytestmark = pytest.mark.browser

KINDS = every_page(*one_of_each(PAGES), *(f"procedures/{name}" for name in SHEETS),
                   *(f"meters/{name}" for name in METERS))

PHONE = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True}
# No dark page without scripts: the theme's own script chooses the colours.
WAYS = {"light": {"color_scheme": "light"}, "dark": {"color_scheme": "dark"},
        "no-script": {"java_script_enabled": False}}

MEASURE = """() => {
  document.querySelectorAll('#hints:not(:checked)').forEach(box => box.click());
  const box = e => { const r = e.getBoundingClientRect();
      return {left: r.left + scrollX, top: r.top + scrollY, right: r.right + scrollX,
      bottom: r.bottom + scrollY, width: r.width, height: r.height} };
  const shown = e => e.checkVisibility({visibilityProperty: true, opacityProperty: true})
      && box(e).width > 0 && box(e).height > 0;
  const name = e => e.tagName.toLowerCase() + [...e.classList].map(c => '.' + c).join('');
  const rgba = text => { const m = text.match(/[\\d.]+/g).map(Number);
      return [m[0], m[1], m[2], m.length > 3 ? m[3] : 1] };
  const over = (top, under) => { const a = top[3];
      return [0, 1, 2].map(i => top[i] * a + under[i] * (1 - a)).concat(1) };
  const light = c => { const f = c.slice(0, 3).map(v => (v /= 255) <= .04045 ? v / 12.92
      : ((v + .055) / 1.055) ** 2.4); return .2126 * f[0] + .7152 * f[1] + .0722 * f[2] };
  const known = new Map();
  const behind = e => {  // the ground behind a text, and how much of its ink is left
    if (!e) return {ground: [255, 255, 255, 1], opacity: 1};
    if (!known.has(e)) {
      const s = getComputedStyle(e), under = behind(e.parentElement);
      const svg = e.closest('svg'), scale = svg && svg.viewBox.baseVal.width
          ? box(svg).width / svg.viewBox.baseVal.width : 1;
      known.set(e, {ground: over(rgba(s.backgroundColor), under.ground),
          opacity: under.opacity * s.opacity, size: parseFloat(s.fontSize) * scale,
          ink: rgba(svg ? s.fill : s.color),
                    around: ['::before', '::after'].map(which =>
                        [which, getComputedStyle(e, which)])
                        .filter(([, s]) => !['none', 'normal', '""'].includes(s.content))
                      .map(([which, s]) => ({in: name(e) + which, text: s.content,
                          size: parseFloat(s.fontSize)}))});
    }
    return known.get(e) };
  const inSentence = e => getComputedStyle(e).display === 'inline'
      && e.closest('p, li, td, dd')?.textContent.trim() !== e.textContent.trim();
  const contrast = e => {  // WCAG 2.2, 1.4.3, of the text's colour and what lies behind it
    const {ground, opacity, ink} = behind(e);
    const [x, y] = [light(over([...ink.slice(0, 3), ink[3] * opacity], ground)),
        light(ground)].sort((p, q) => q - p);
    return (x + .05) / (y + .05) };
  const scrolling = [...document.querySelectorAll('article *')]
      .filter(e => shown(e) && e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1
      && /auto|scroll|hidden/.test(getComputedStyle(e).overflowX));
  const texts = root => {
    const found = [], walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    for (let node; node = walker.nextNode();) {
      const e = node.parentElement;
      if (!node.data.trim() || ['SCRIPT', 'STYLE'].includes(e.tagName) || !shown(e)) continue;
      const range = document.createRange(); range.selectNodeContents(node);
      const rects = [...range.getClientRects()].filter(r => r.width > 1);
      if (!rects.length) continue;
      found.push({text: node.data.trim(), in: name(e),
          size: behind(e).size, contrast: contrast(e), lines: rects.length,
                  left: Math.min(...rects.map(r => r.left)),
                  right: Math.max(...rects.map(r => r.right))});
      for (const one of behind(e).around) found.push({...one, contrast: null,
          lines: 1, left: 0, right: 0});
    }
    return found };
  const article = document.querySelector('article'),
      heads = [...document.querySelectorAll('article h2')];
  return {
    scheme: document.body.dataset.mdColorScheme,
    wide: Math.max(document.documentElement.scrollWidth, document.body.scrollWidth),
    scrollers: scrolling.map(name),
    texts: texts(article),
    targets: [...document.querySelectorAll(
        '.tap, nav.groups a, td.tick label, ul.ticks label, .fault a')].filter(shown)
        .map(e => ({in: name(e), text: e.textContent.trim(), ...box(e)})),
    others: [...document.querySelectorAll(
        'article a:not(.headerlink), header a, header button, header label')]
        .filter(e => shown(e) && !inSentence(e))
        .map(e => ({in: name(e), text: e.textContent.trim(), ...box(e)})),
    points: [...document.querySelectorAll('table.points tbody tr[id]')]
        .map(row => ({id: row.id, shown: shown(row), said: row.innerText, texts: texts(row),
      limits: ['from', 'to'].map(c => row.querySelector('td.' + c)).filter(Boolean)
          .map(e => ({in: e.className, text: e.firstChild.data.trim(), shown: shown(e),
          size: parseFloat(getComputedStyle(e).fontSize), contrast: contrast(e)}))})),
    checks: [...document.querySelectorAll('table.checks tbody tr')]
        .map(row => ({shown: shown(row), said: row.innerText, texts: texts(row),
      actions: [...row.querySelectorAll('.do span')].map(e => ({text: e.innerText, ...box(e)})),
      parts: Object.fromEntries(['.do', '.good', '.good small', '.write']
          .map(c => [c, row.querySelector(c)]).map(([c, e]) => {
        if (!e) return [c, null];
        const inner = c === '.good' ? e.querySelector('span') : e;
        return [c, {text: inner.textContent, ...(c === '.good'
            ? {top: box(e).top, bottom: Math.max(...[...inner.getClientRects()]
            .map(r => r.bottom + scrollY))} : box(e))}] }))})),
    drawings: [...document.querySelectorAll('svg.connection')]
        .map(e => { const b = box(e), hit = r => r.left < b.right && r.right > b.left
        && r.top < b.bottom && r.bottom > b.top;
      return {shown: shown(e), ...b, said: e.getAttribute('aria-label'),
          parts: [...e.querySelectorAll('*')].map(box),
              covers: [...(e.closest('.group') || e.parentElement)
                  .querySelectorAll('.sign, ul.ticks label, tr')].filter(o => hit(box(o)))
                  .map(o => o.innerText),
              colors: [...e.querySelectorAll('text, .frame, .lead')]
                  .map(t => { const s = getComputedStyle(t); return t.tagName === 'text' ? s.fill
                  : s.stroke })} }),
    asides: [...document.querySelectorAll('table.aside')]
        .map(e => ({...box(e), shown: shown(e), caption: {text: e.caption.innerText,
        ...box(e.caption)}, rows: [...e.tBodies[0].rows].map(row => ({...box(row),
      cells: [...row.cells].map(c => { const around = which => getComputedStyle(c,
          which).content.replace(/^(none|normal)$|"/g, '');
        return {...box(c), shown: shown(c), text: c.innerText, says: around('::before')
            + c.innerText + around('::after'), clipped: c.scrollWidth > c.clientWidth + 1} })}))})),
    groups: [...document.querySelectorAll('h2[id^=group-]')].map(h => {
      const head = e => heads.filter(h =>
          h.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING).pop();
      const inside = selector => [...document.querySelectorAll(selector)]
          .filter(e => shown(e) && head(e) === h);
      return {number: h.id.slice(6), title: h.innerText, live: inside('tr.hot').length > 0,
              warnings: inside('.sign').map(e => ({text: e.innerText, ...box(e)})),
              ticks: inside('ul.ticks label, td.tick label').map(box)} }),
  } }"""


class Seen(dict):
    """Pages as a phone shows them, by way and page; each is opened when it is first asked for."""

    def __init__(self, tabs: dict, site: Path):
        self.tabs, self.site = tabs, site

    def __missing__(self, asked: tuple[str, str]) -> dict:
        way, page = asked
        self.tabs[way].goto((self.site / f"{page}.html").as_uri())
        # much faster than as an object
        self[asked] = json.loads(self.tabs[way].evaluate(f"() => JSON.stringify(({MEASURE})())"))
        return self[asked]


@pytest.fixture(scope="module")
def seen(browser, demo):
    phones = {way: browser.new_context(**PHONE, **context) for way, context in WAYS.items()}
    yield Seen({way: phone.new_page() for way, phone in phones.items()}, demo.site)
    for phone in phones.values():
        phone.close()


@pytest.fixture(params=list(WAYS))
def way(request) -> str:
    return request.param


@pytest.fixture(params=SHEETS)
def sheet(request, seen, way, demo) -> dict:
    data = json.loads(
        (demo.site / f"data/procedures/{request.param}.json").read_text(encoding="utf-8"))
    return seen[way, f"procedures/{request.param}"] | {"data": data}


@pytest.mark.parametrize("page", KINDS)
def test_the_phones_are_what_they_should_be(seen, way, page):
    """The dark pages are dark, the others light."""
    assert seen[way, page]["scheme"] == ("slate" if way == "dark" else "default")


@pytest.mark.parametrize("page", KINDS)
def test_nothing_scrolls_sideways_without_scripts(seen, page):
    """Where they run, tests/pages/test_widths.py looks at ten widths."""
    assert seen["no-script", page]["wide"] <= 360


@pytest.mark.parametrize("page", KINDS)
def test_no_part_of_a_page_scrolls_sideways(seen, way, page):
    """No part of a page hides text beyond its edge."""
    assert seen[way, page]["scrollers"] == []


@pytest.mark.parametrize("page", KINDS)
def test_nothing_is_too_small_to_read(seen, way, page):
    """All text on a phone has 10 px or more."""
    assert {(text["in"], text["size"]) for text in seen[way, page]["texts"]
            if text["size"] < 10} == set()


@pytest.mark.parametrize("page", KINDS)
def test_text_stands_out_from_its_ground(seen, way, page):
    """Contrast is 4.5 or more for all text of a page, in light and dark."""
    assert {(text["in"], round(text["contrast"], 2)) for text in seen[way, page]["texts"]
            if text["contrast"] is not None and text["contrast"] < 4.5} == set()


@pytest.mark.parametrize("page", KINDS)
def test_what_is_tapped_is_large_enough(seen, way, page):
    """Links of lists, of groups, and boxes to tick are 44 px in both directions, and none covers
    another."""
    targets = seen[way, page]["targets"]
    assert [target for target in targets if min(target["width"], target["height"]) < 44] == []
    for one, other in pairwise(targets):
        across = min(one["right"], other["right"]) - max(one["left"], other["left"])
        along = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
        assert across <= 0.5 or along <= 0.5, (one["text"], other["text"])


@pytest.mark.parametrize("page", KINDS)
def test_every_other_link_and_button_is_large_enough(seen, way, page):
    """So are the head's buttons and the line that says where one is; links within a sentence are as
    large as its letters (as WCAG 2.2, 2.5.8, has it)."""
    assert {(target["in"], target["text"]) for target in seen[way, page]["others"]
            if min(target["width"], target["height"]) < 44} == set()


def test_every_point_shows_its_limits(sheet):
    """Both limits of every point are on the screen, as the data file has them; so is every
    check."""
    shown = {point["id"]: point for point in sheet["points"]}
    assert set(shown) == {point["id"] for point in sheet["data"]["points"]}
    for point in sheet["data"]["points"]:
        here = shown[point["id"]]
        assert here["shown"]
        if point["accept"]:
            assert [limit["text"] for limit in here["limits"]] == [
                point["accept"][end].split(" ")[0].replace("-", "−") for end in ("low", "high")]
            assert all(limit["shown"] for limit in here["limits"])
        elif point["kind"] == "reference":
            assert here["limits"] == [] and "table" in here["said"].split()
        else:
            assert " ".join(point["observe"].split()) in " ".join(here["said"].split())
            assert point["find"] or point["wave"] or "Write down only" in here["said"]
        if point["kind"] == "zero":
            assert "leads together" in here["said"] or "leads apart" in here["said"]
        else:
            assert point["apply"].split(" ")[0].replace("-", "−") in here["said"]
    assert all(check["shown"] for check in sheet["checks"])
    assert len(sheet["checks"]) == len(sheet["data"]["checks"])


def test_what_a_point_says_has_its_head(tab, demo):
    """Where no head stands above the columns, a certified value, the source's own setting and the
    millivolts are named; so is the reading that is less the leads, and a difference."""
    phone, seen = tab(**PHONE), {}
    for name in SHEETS:
        phone.goto((demo.site / f"procedures/{name}.html").as_uri())
        for kind, said in phone.evaluate("""[...document.querySelectorAll(
          'table.points tbody tr[id]')].flatMap(row => {
            const at = row.querySelector('.at'), pm = row.querySelector('.pm'),
                kind = row.closest('table').classList[1] || 'plain';
            return [at.innerText && ['at', getComputedStyle(at, '::before').content],
                [kind + ' range', getComputedStyle(row.querySelector('.range'), '::after').content],
                    pm && pm.innerText && [kind + ' pm', getComputedStyle(pm, '::before').content]]
                        .filter(Boolean) })"""):
            seen.setdefault(kind, set()).add(" ".join(said.replace('"', "").split()))
    assert seen == {"at": {"at", "Certified", "Source", "at 23 °C"}, "plain range": {"range"},
                    "corrected range": {"range, limits: reading less leads"},
                    "reference range": {"range"},
                    "plain pm": {"±"}, "reference pm": {"difference ±"}}


def test_every_drawing_is_on_the_screen(sheet):
    """What is connected to what is within the 328 px between the margins, whole, large enough to
    see, and covers no step, warning or point."""
    assert sheet["drawings"]
    for drawing in sheet["drawings"]:
        assert drawing[
            "shown"] and 16 <= drawing[
                "left"] and drawing["right"] <= 344.1 and drawing["width"] >= 300, drawing["said"]
        assert all(drawing["left"] - 0.5 <= part["left"] and part["right"] <= drawing["right"] + 0.5
                   and drawing["top"] - 0.5 <= part["top"]
                   and part["bottom"] <= drawing["bottom"] + 0.5
                   for part in drawing["parts"]), drawing["said"]
        assert drawing["covers"] == []


def test_a_drawing_has_the_colour_of_the_text(sheet, way):
    """Its lines and letters are dark on light, and light on dark."""
    for drawing in sheet["drawings"]:
        assert set(drawing["colors"]) == {"rgb(233, 238, 238)" if way == "dark"
                                          else "rgb(20, 33, 43)"}


def test_side_tables_can_be_read(sheet):
    """Each row of a side table is a part of a card as wide as the others: its step and value in a
    line, below it every number with the junction's temperature or the reference reading that it
    belongs to, none cut off or over another."""
    kinds = {point["group"]: point["kind"] for point in sheet["data"]["points"]}
    assert len(sheet["asides"]) == sum(kind in ("thermocouple", "reference")
                                       for kind in kinds.values())
    for aside in sheet["asides"]:
        assert aside["shown"] and aside[
            "width"] >= 320 and 16 <= aside["left"] and aside["right"] <= 344.1
        assert aside["caption"]["width"] >= 280
        for above, row in zip([None, *aside["rows"]], aside["rows"],
                              strict=False):
            shown = [cell for cell in row["cells"] if cell["shown"]]
            assert not any(cell["clipped"] for cell in shown) and all(
                aside["left"] <= cell["left"] and cell["right"] <= aside["right"] for cell in shown)
            for n, one in enumerate(shown):
                for other in shown[n + 1:]:
                    assert (min(one["right"],
                                other["right"]) <= max(one["left"], other["left"]) + 0.5
                            or min(one["bottom"],
                                   other["bottom"]) <= max(one["top"], other["top"]) + 0.5), (
                                       one["says"], other["says"])
            numbers = row["cells"][2:]
            # the reference readings: each stands before its number in the next row
            if not any(cell["shown"] for cell in numbers):
                assert row["cells"][1]["says"].startswith("reference from") and row["cells"][1][
                    "says"].endswith(":")
                continue
            assert all(cell["shown"] and cell["says"].endswith(": " + cell["text"])
                       for cell in numbers)
            if not row["cells"][0]["shown"] and not any("°C: " in cell["says"] for cell in numbers):
                assert [cell["says"] for cell in numbers] == [
                    f"{head['text']}: {cell['text']}" for head,
                    cell in zip(above["cells"][2:], numbers, strict=True)]
            else:
                assert all("°C: " in cell["says"] for cell in numbers)


def test_every_check_shows_all_that_it_says(sheet):
    """A check's card has its step, its name, each action on a line, what is good, what often goes
    wrong and what to write down, in this order."""
    for here, check in zip(sheet["checks"], sheet["data"]["checks"], strict=True):
        texts = {text["in"]: text for text in here["texts"]}
        lines = here["actions"]
        assert "; ".join(line["text"].removesuffix(";") for line in lines) == check["do"]
        assert all(one["bottom"] <= other["top"] + 0.5 for one,
                   other in pairwise(lines)), check["step"]
        parts = [here["parts"][one] for one in (".do", ".good", ".good small", ".write")
                 if here["parts"][one]]
        assert len(parts) == 2 + bool(check["mistake"]) + bool(check["write"])
        assert [part["text"] for part in parts[1:]] == [
            check["good"], *([f"Often wrong: {check['mistake']}"] if check["mistake"] else []),
            *([" ".join(filter(None, (check["write"], (check["unit"] or "").replace("Ohm", "Ω"))))]
              if check["write"] else [])]
        assert all(one["bottom"] <= other["top"] + 0.5 for one,
                   other in zip(lines[-1:] + parts[1:], parts[1:], strict=False)), check["step"]
        assert texts["td.step"]["text"] == check["step"]


def test_hints_are_for_those_who_ask(tab, demo):
    """What is often done wrong is shown once somebody ticks the box, then on every sheet of this
    device and in print, until the tick is taken off."""
    phone = tab(**PHONE)
    address = [(demo.site / f"procedures/{name}.html").as_uri() for name in SHEETS[:2]]
    hints = phone.locator(".good small >> visible=true")
    phone.goto(address[0])
    assert hints.count() == 0
    phone.check("#hints")
    assert hints.count() >= 5 and hints.first.inner_text().startswith("Often wrong:")
    phone.goto(address[1])
    assert hints.count() >= 5
    phone.emulate_media(media="print")
    assert hints.count() >= 5
    phone.emulate_media(media="screen")
    phone.uncheck("#hints")
    phone.reload()
    assert hints.count() == 0


def test_a_blank_says_that_something_is_to_be_written_down(tab, demo):
    """On a phone, where no head of a column stands above it, the blank says what it is for."""
    phone = tab(**PHONE)
    phone.goto((demo.site / f"procedures/{SHEETS[0]}.html").as_uri())
    said = phone.evaluate(
        "[...document.querySelectorAll('td.write')].map(e => getComputedStyle(e, "
        "'::before').content)")
    assert said and set(said) == {'"Write down: "'}


def test_the_limits_are_the_largest_text_of_a_point(sheet):
    """Whatever else a point says is smaller than its two limits."""
    for point in sheet["points"]:
        sizes = [limit["size"] for limit in point["limits"]]
        others = [text["size"] for text in point["texts"] if text["in"] not in ("td.from", "td.to")]
        assert not sizes or min(sizes) > max(others), point["id"]


def test_the_limits_stand_out_from_their_ground(sheet):
    """Contrast of the limits is 4.5 or more."""
    assert all(limit["contrast"] >= 4.5 for point in sheet["points"] for limit in point["limits"])


def test_hazardous_points_say_live(sheet):
    """A hazardous point says 'live' in words, at the point; no other point does."""
    hazard = {point["id"]: point["hazard"] is not None for point in sheet["data"]["points"]}
    assert any(hazard.values())
    for point in sheet["points"]:
        assert ("live" in point["said"].split()) == hazard[point["id"]], point["id"]


def test_hazardous_groups_warn_before_the_steps(sheet):
    """The warning of a hazardous group stands above its opening steps and its points."""
    live = [group for group in sheet["groups"] if group["live"]]
    assert live
    for group in live:
        warnings = [warning for warning in group["warnings"]
                    if warning["text"].startswith("WARNING: ")]
        assert warnings, group["number"]
        assert max(warning["bottom"] for warning in warnings) <= min(
            tick["top"] for tick in group["ticks"]), group["number"]


def test_every_warning_stands_before_the_steps(sheet):
    """So do the cautions of the other groups."""
    for group in sheet["groups"]:
        for warning in group["warnings"]:
            assert warning["bottom"] <= min(tick["top"] for tick in group["ticks"]), (
                group["number"], warning["text"])


@pytest.mark.parametrize("page", KINDS)
def test_no_short_word_is_torn(seen, way, page):
    """The mark 'live' stays in one line wherever it stands."""
    assert not [text for text in seen[way, page]["texts"]
                if text["text"] == "live" and text["lines"] > 1]


@pytest.mark.parametrize("meter", METERS)
def test_a_meter_shows_its_table(seen, way, meter, demo):
    """Every range and accuracy of a meter's table can be read on the phone."""
    data = json.loads((demo.site / f"data/meters/{meter}.json").read_text(encoding="utf-8"))
    said = " ".join(text["text"] for text in seen[way, f"meters/{meter}"]["texts"])
    assert said.count("±(") == sum(len(on["rows"]) for function in data["functions"]
                                   for on in function["ranges"])


def test_a_tick_is_set_by_its_whole_target(tab, demo):
    """A touch at the edge of a point's 44 px ticks its box, also where no script runs."""
    phone = tab(**PHONE, java_script_enabled=False)
    phone.goto((demo.site / f"procedures/{SHEETS[0]}.html").as_uri())
    label = phone.locator("table.points td.tick label").first
    box = label.locator("input")
    assert not box.is_checked()
    label.tap(position={"x": 3, "y": 3})
    assert box.is_checked()
