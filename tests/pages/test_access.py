"""What anybody can use: axe on every kind of page, text at twice its size, and a whole procedure by
keys alone. What was done to a page is done once: axe looks at it in the light and then in the dark,
where it asks only what depends on colours; the long form asks everything there too, also of pages
at rest, and looks at every page of each kind."""

from __future__ import annotations

import contextlib
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import TimeoutError as TooLate

from tests import phone_bench as bench
from tests import small_shop as shop
from tests.conftest import FLAGS, PAGES, chromium, every_page, one_of_each
from tests.phone_bench import NAME, PHONE, UNDER_ANOTHER, Sheet, small_site

pytestmark = [pytest.mark.browser, pytest.mark.slow]

# all of WCAG 2.2 at AA that axe knows
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
COLORS = ["color-contrast", "link-in-text-block"]    # what may differ in the dark


def asked(page, rules: list[str]) -> list[tuple[str, str, str]]:
    """What axe finds: the rule, where, and why. Letters of drawings it leaves open;
    tests/pages/test_phone.py measures their contrast."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(Axe().axe_script)
    found = page.evaluate("options => axe.run(options)",
                          {"runOnly": rules, "resultTypes": ["violations"]})
    assert found["passes"]
    return [(rule["id"], " ".join(node["target"]), node["html"][:120])
            for rule in found["violations"] for node in rule["nodes"]]


def colored(page, scheme: str) -> None:
    """Shows the page in the light or in the dark, as a device asks for it while a page is read;
    pages other than sheets follow at their next start, so here their script's part is done."""
    page.emulate_media(color_scheme=scheme)
    page.evaluate("scheme => { document.body.dataset.mdColorScheme = scheme }",
                  {"light": "default", "dark": "slate"}[scheme])
    at_rest(page)


def faults(page) -> list[tuple[str, str, str]]:
    """What axe finds in the light, and then in the dark."""
    found = asked(page, LEVELS)
    colored(page, "dark")
    found += asked(page, page.in_the_dark)
    colored(page, "light")
    return found


@pytest.fixture(params=["", pytest.param("by all rules in the dark", marks=pytest.mark.long)])
def phone(request, tab):
    page = tab(**PHONE, color_scheme="light", reduced_motion="reduce")
    page.in_the_dark = LEVELS if request.param else COLORS
    return page


def test_axe_finds_what_is_wrong(phone):
    """A page with faults, so that silence elsewhere means something."""
    phone.set_content(
        "<!doctype html><html lang=en><title>x</title><main><h1>x</h1><input><img src=data:,><p "
        "style='color:#aaa;background:#fff'>pale</p><p style='color:#333;background:#fff'>A "
        "<a href='x' style='color:#444;text-decoration:none'>link</a> in a sentence.</p></main>")
    assert {rule for rule, *_ in asked(phone, LEVELS)} == {"color-contrast", "link-in-text-block",
                                                           "label", "image-alt"}
    colored(phone, "dark")
    assert {rule for rule, *_ in asked(phone, COLORS)} == set(COLORS)


@pytest.mark.parametrize("dark", ["", pytest.param("dark", marks=pytest.mark.long)])
@pytest.mark.parametrize("name", every_page(*one_of_each(PAGES), "404"))
def test_axe_finds_nothing_on_a_page(tab, served, name, dark):
    """At rest, as it comes from a server. In the dark only in the long form: that its text stands
    out there tests/pages/test_phone.py measures."""
    page = tab(**PHONE, color_scheme=dark or "light", reduced_motion="reduce")
    page.goto(f"{served}{name}.html")
    assert page.evaluate("document.body.dataset.mdColorScheme") == (
        "slate" if dark else "default")
    assert asked(page, LEVELS) == []


def test_axe_finds_nothing_while_a_sheet_is_filled_in(phone, lasting_project):
    """Readings within, not within, refused, less the leads and beside a reference; a second try, a
    note, a live group left open, the drawing out."""
    sheet = Sheet(phone, (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri())
    step, live = sheet.step("DC voltage", "3.000 V"), sheet.step("hazardous live")
    for at, text in ((sheet.step("DC voltage", "-3.000 V"), "3.0000"), (sheet.step("zero"), "0.3"),
                     (sheet.step("artifact"), "100.4"), (sheet.step("observation"), "4")):
        sheet.type(at, text)
    sheet.type(sheet.step("reference"), "471.2")
    sheet.open_live(live)
    sheet.type(live, "1")
    phone.locator("[data-field=date] input").fill("tomorrow")
    phone.get_by_role("button", name="case: not good").tap()
    sheet.type(step, "3.1")
    sheet.row(step).get_by_role("button", name="Note").tap()
    sheet.field(step).focus()
    sheet.row(step).get_by_role("button", name="Try once more").tap()
    sheet.type(step, "3.2", n=2)
    phone.get_by_role("button", name="Leads", exact=True).tap()
    assert phone.locator(".still-live, .picture, .wrong:not([hidden])").evaluate_all(
        "all => all.map(e => e.checkVisibility())") == [True, True, True]
    assert faults(phone) == []


def test_axe_finds_nothing_where_readings_are_not_kept(phone, lasting_project):
    """The words at the head and the line in the bar."""
    phone.add_init_script("Object.defineProperty(window, 'indexedDB', {value: undefined})")
    sheet = Sheet(phone, (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri())
    sheet.type(sheet.step("DC voltage", "3.000 V"), "3.001")
    phone.locator(".bench-bar .not-kept").wait_for()
    assert faults(phone) == []


def test_axe_finds_nothing_among_records(phone, served):
    """The list of what is in progress, a record that asks whether it is to be deleted, and one that
    is filled in under its own limits."""
    sheet = Sheet(phone, f"{served}procedures/turnstone-c-yearly.html")
    step = sheet.step("source")
    sheet.type(step, "999").kept()
    record = re.search(r"record=([\w-]+)", phone.url)[1]
    phone.goto(f"{served}in-progress.html")
    phone.locator("section.record button").last.tap()
    assert faults(phone) == []
    phone.get_by_role("button", name="Bring it back").tap()
    phone.goto(f"{served}procedures/turnstone-c-yearly.html#record={record}")
    sheet.ready()
    phone.evaluate(UNDER_ANOTHER)
    phone.goto("about:blank")
    phone.goto(f"{served}in-progress.html#record={record}")
    sheet.ready()
    assert "as-begun_" in phone.url
    assert faults(phone) == []


@pytest.mark.parametrize("value, shown", [("3 V", "p.big"), ("3000 V", "p.refused")])
def test_axe_finds_nothing_beside_an_answer(phone, served, value, shown):
    """Limits with how they came about, or why there are none, and the meters that measure the value
    best."""
    phone.goto(f"{served}limits.html#meter=whimbrel-200&function=DC+voltage&value={value}")
    phone.locator(shown).wait_for()
    phone.locator("#best button").tap()
    phone.locator("#best ol").wait_for()
    assert faults(phone) == []


def test_axe_finds_nothing_at_the_bench_on_the_page(phone, served):
    """At rest, with a live value on, and after a hand on its lead; a fault to find; what was there
    before the meter; a row to judge, and a source that needs its pause."""
    phone.goto(f"{served}practice/bench.html#meter=dunlin-60&task=free&seed=1")
    phone.locator(".face .digits").wait_for()
    phone.evaluate("""() => {
        const {state, meter, data} = Bench.benchNow;
        Bench.benchSetUp(data, meter, state, meter.points.find(one => one.live && one.hertz));
    }""")
    phone.get_by_role("button", name="Operate").click()
    assert faults(phone) == []
    phone.get_by_role("button", name="Jack V, lead to HI").click()
    assert faults(phone) == []
    phone.goto(f"{served}practice/bench.html#meter=dunlin-60&task=fault&seed=2")
    phone.reload()
    phone.locator(".used").wait_for(state="attached")
    assert faults(phone) == []
    phone.goto(f"{served}practice/bench.html#meter=dunlin-60&task=share&seed=2")
    phone.reload()
    phone.get_by_label("Without the meter").wait_for()
    assert faults(phone) == []
    phone.goto(f"{served}practice/bench.html#meter=dunlin-60&task=group&seed=1&place=0")
    phone.reload()
    phone.locator(".step input").wait_for()
    phone.evaluate("""() => {
        const {state, meter, data} = Bench.benchNow;
        Bench.benchSetUp(data, meter, state, meter.points.find(
            one => meter.functions[one.f].ranges[one.r].off));
        state.operate(); state.tick(); state.standby();
    }""")
    phone.get_by_role("button", name="Let the pause go by").wait_for()
    assert faults(phone) == []


def test_axe_finds_nothing_in_practice(phone, served):
    """An exercise with its answer told, and how a set went."""
    phone.goto(f"{served}practice/1.html")
    for n in range(10):
        card = phone.locator("fieldset.exercise:visible")
        for each in card.locator(":is(.tapped, input)").all():
            each.fill("1") if each.get_attribute("class") == "typed" else each.click()
        card.get_by_role("button", name="Check: a guess").click()
        if card.locator(".after").count() == 0:
            card.locator(".told p, .after").first.wait_for()
        if n in (0, 5):
            assert faults(phone) == []
        on = card.locator(".after button")
        (on if on.count() else card.get_by_role("button", name="Leave it out")).click()
    assert faults(phone) == []
    phone.goto(f"{served}practice.html")
    assert phone.locator(".practised table").count() == 1 and faults(phone) == []


def test_axe_finds_nothing_on_the_page_of_problems(phone, project):
    """Which only a server shows that is told to go on in spite of them; a page that warns of them
    too."""
    made = project().write(meter=bench.METER, standard=shop.standard(),
                           plan=shop.plan({"function": "DC voltage", "apply": "7000 V"})).build(
                               serving=True)
    for name in ("problems", "using"):
        phone.goto((made.site / f"{name}.html").as_uri())
        assert phone.locator("pre.problems, p.fault").first.is_visible()
        assert faults(phone) == []


def at_rest(page) -> None:
    """Waits until nothing slides or fades any more."""
    page.wait_for_function("""() => {
      document.body.getBoundingClientRect();    // so that what was asked for has begun
      return !document.getAnimations().some(one => one instanceof CSSTransition
                                                   && one.playState === 'running') }""")


def test_axe_finds_nothing_in_the_menu(phone, served):
    """The list of pages, opened on a phone."""
    phone.goto(f"{served}using.html")
    phone.locator("label[for=__drawer].md-header__button").tap()
    at_rest(phone)
    assert faults(phone) == []


# ---------------------------------------------------------------- twice as large

# What is cut off, lies beyond the screen's edge, or lies over something else. The head's title
# stands in the page too.
CUT = """() => {
  const box = e => e.getBoundingClientRect(), name = e => e.tagName.toLowerCase() + [...e.classList]
      .map(c => '.' + c).join('');
  const shown = e => e.checkVisibility({visibilityProperty: true, opacityProperty: true})
      && !e.closest('.heard, svg');
  const cut = [], over = [], pieces = [], add = (node, e, text, r) => { if (r.width > 2) {
    pieces.push({node, e, text, left: r.left, right: r.right, top: r.top, bottom: r.bottom});
    if (r.left < 0 || r.right > innerWidth + 1)
        cut.push([name(e), text, 'beyond the edge', r.left, r.right]) } };
  for (const e of document.querySelectorAll('article *')) if (shown(e) && e.clientWidth > 1) {
    const s = getComputedStyle(e), hides = /hidden|clip/.test(s.overflowX + s.overflowY)
        || e.matches('button, input, select');
    if (hides && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 3))
        cut.push([name(e), (e.value || e.textContent).trim()]) }
  const walker = document.createTreeWalker(document.querySelector('article'), NodeFilter.SHOW_TEXT);
  for (let node; node = walker.nextNode();) {
    const e = node.parentElement, range = document.createRange();
    if (!node.data.trim() || ['SCRIPT', 'STYLE', 'OPTION'].includes(e.tagName) || !shown(e))
        continue;
    range.selectNodeContents(node);
    for (const r of range.getClientRects()) add(node, e, node.data.trim(), r) }
  for (const e of document.querySelectorAll('article :is(input, button, select)')) if (shown(e))
      add(e, e, e.getAttribute('aria-label') || e.textContent, box(e));
  pieces.sort((a, b) => a.top - b.top);
  // the bar is over the others on purpose
  const bar = document.querySelector('.bench-bar'), sticks = one => bar && bar.contains(one.e);
  pieces.forEach((a, i) => { for (let j = i + 1; j < pieces.length && pieces[j].top < a.bottom - 4;
      j++) { const b = pieces[j];
    if (a.node !== b.node && sticks(a) === sticks(b) && !a.e.contains(b.e) && !b.e.contains(a.e)
        && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2
        && Math.min(a.bottom, b.bottom) - b.top > 4)
      over.push([name(a.e), a.text, name(b.e), b.text]) } });
  return {wide: document.documentElement.scrollWidth - innerWidth, cut, over} }"""
LARGE = {"letters of a phone": (360, 740, True), "letters of a desk": (1280, 900, True),
         "page of a phone": (180, 370, False), "page of a desk": (640, 450, False)}


LARGEST, SMALLEST = "whimbrel-200-yearly", "turnstone-c-yearly"


@pytest.mark.parametrize("what, names", [
    *((what, [LARGEST if "phone" in what else SMALLEST]) for what in LARGE),
    *(pytest.param(what, [SMALLEST if "phone" in what else LARGEST], marks=pytest.mark.long)
      for what in LARGE)])
def test_nothing_is_cut_off_at_twice_the_size(browser, served, what, names):
    """As a browser does it that enlarges all, which leaves half the width, and as one does it whose
    reader chose larger letters: on a sheet with a failed point, a note, a live group left open and
    the drawing out, and beside an answer with its list of meters."""
    width, height, letters = LARGE[what]
    own = browser.browser_type.launch(executable_path=chromium(),
                                      args=[*FLAGS,
                                            *["--blink-settings=defaultFontSize=32"] * letters])
    try:
        page = own.new_context(viewport={"width": width, "height": height},
                               device_scale_factor=1 if letters else 2, has_touch=True,
                               reduced_motion="reduce").new_page()
        for name in names:
            sheet = Sheet(page, f"{served}procedures/{name}.html")
            assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == (
                "40px" if letters else "20px")
            step, live = sheet.step("source"), [step for step,
                                                point in sheet.points.items() if point["hazard"]]
            if live:
                sheet.open_live(live[0])
                sheet.type(live[0], "-1000.0")
            sheet.type(step, "999")
            sheet.row(step).get_by_role("button", name="Note").click()
            sheet.field(step).focus()
            page.get_by_role("button", name="Leads", exact=True).click()
            assert page.evaluate(CUT) == {"wide": 0, "cut": [], "over": []}, name
        page.goto(
            f"{served}limits.html#meter=whimbrel-200&function=AC+voltage&value=3+V&frequency=50+Hz")
        page.locator("#best button").click()
        page.locator("#best ol").wait_for()
        assert page.evaluate(CUT) == {"wide": 0, "cut": [], "over": []}
    finally:
        own.close()


# ---------------------------------------------------------------- by keys alone

# What has the focus, whether it is in view below the bar, and whether its look tells so. A heading
# is where one reads on.
FOCUS = """() => { const e = document.activeElement;
  const row = e.closest('tr'), group = e.closest('[data-group]'), look = e.matches('.md-option')
      ? e.nextElementSibling : e, ring = getComputedStyle(look), at = look.getBoundingClientRect();
  const top = document.elementFromPoint(at.left + at.width / 2, at.top + at.height / 2);
  return {tag: e.tagName, kind: e.matches('.reads') ? 'reads' : e.matches('.open-group') ? 'open'
      : e.matches('.answer') ? 'answer' : e.type === 'checkbox' ? 'tick' : e.matches('.line')
      ? 'line' : e.matches('td.write input') ? 'write' : 'other',
    id: row ? row.id || (row.querySelector('.step') || row).firstChild.textContent.trim() : e.id,
    label: e.getAttribute('aria-label') || (e.closest('label') || e).textContent,
    after: Boolean(e.closest('.after')), group: group ? group.dataset.group : '',
    ringed: parseFloat(ring.outlineWidth) >= 2 && ring.outlineStyle === 'solid',
    seen: at.height > 0 && at.top >= 0 && at.left >= 0 && at.bottom <= innerHeight + 1
        && (look.contains(top) || top.contains(look))} }"""


def test_a_whole_procedure_by_keys_alone(tab, lasting_project):
    """From the address on nothing but Tab, Shift, Space, Enter and what is typed; whatever has the
    focus is in view and looks so, until the record is saved."""
    page = tab(viewport={"width": 360, "height": 740}, accept_downloads=True,
               reduced_motion="reduce")
    sheet = Sheet(page, (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri())
    points, met, typed = {point["id"]: point for point in sheet.data["points"]}, [], set()
    press = page.keyboard.press

    def now() -> dict:
        """What has the focus, once the menu has slid away from what lies below it."""
        with contextlib.suppress(TooLate):    # still out of sight: its caller says so
            page.wait_for_function(
                f"() => {{ const at = ({FOCUS})(); return at.seen || at.tag === 'BODY' }}",
                timeout=5000)
        return page.evaluate(FOCUS)

    def at(stop) -> dict:
        """Tabs on until the wanted place is reached."""
        for _ in range(200):
            found = now()
            if found["tag"] not in ("BODY",
                                    "H2") and not (
                                            found["tag"] == "DIV" and found["kind"] == "other"):
                met.append(found)
            if stop(found):
                return found
            press("Tab")
        raise AssertionError(f"not reached: {found}")

    at(lambda found: found["label"] == "Meter serial no.")
    page.keyboard.type("0147")
    at(lambda found: found["kind"] == "tick" and not found["group"])
    press("Space")
    at(lambda found: found["group"] == "1" and found["kind"] != "other")
    for _ in range(300):
        found = now()
        met.append(found)
        if found["kind"] == "reads":
            point = points[found["id"]]
            expected = ((point["expected"] or point["apply"]).split(" ")[0]
                        if point["kind"] != "zero" else "0.2")
            page.keyboard.type(expected if "reference" in found["label"]
                               else f"{float(expected):.{point['decimals'] or 0}f}")
            typed.add(found["id"])
        elif found["kind"] == "line":
            page.keyboard.type("0.0 V" if found["after"] else "0.0")
        elif found["kind"] == "write":
            page.keyboard.type("1.4")
        elif found["kind"] == "other" and found["tag"] == "DIV":
            break  # the verdict
        press("Enter")
        if found["kind"] == "open":
            page.wait_for_function("!document.activeElement.matches('.open-group')")
    assert sheet.progress == f"{len(points) + 5} of {len(points) + 5} · 0 left" and typed == set(
        points)
    assert not page.locator(".still-live").is_visible()
    at(lambda found: found["label"].strip() == "all within")
    press("Space")
    at(lambda found: found["label"] == "Save the record as a file")
    with page.expect_download() as saved:
        press("Enter")
    assert saved.value.suggested_filename.startswith("lapwing-yearly-0147-as-found-")
    assert {one["kind"] for one in met} == {"reads", "open", "answer", "tick", "line", "write",
                                            "other"}
    assert [one for one in met if one["tag"] not in ("H2", "DIV", "BODY")
            and not (one["seen"] and one["ringed"])] == []
    assert sheet.wrong == []
