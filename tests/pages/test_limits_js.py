"""The page of limits of any value, in Chromium: the builder's own answers, an address that can be
passed on, the best meter, and nothing from a hostile address."""

from __future__ import annotations

import json
import re
from collections import Counter
from fractions import Fraction
from urllib.parse import urlencode

import pytest

from builder.files.problems import Wrong
from builder.numbers import units
from builder.shop import contents, loading, quick_answer, quick_reading
from tests.conftest import WORKER, Project
from tests.pages.test_offline import complete, host, part_of  # noqa: F401, a fixture
from tests.phone_bench import PHONE
from tests.row_tables import ASKED as QUESTIONS
from tests.row_tables import TABLES

pytestmark = pytest.mark.browser
SPACES = str.maketrans("\u00a0\u202f", "  ")


@pytest.fixture(scope="module")
def shop(demo_shop):
    return demo_shop


@pytest.fixture
def limits(tab, served):
    """The page on a phone; every error of it fails the test."""
    page = tab(**PHONE)
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.goto(f"{served}limits.html")
    yield page
    assert page.wrong == []


def ask(page, meter: str, function: str, value: str, frequency: str = "") -> None:
    """As one does by hand: meter, function, value and, where there is one, frequency."""
    page.locator("[name=meter]").select_option(meter)
    page.locator("[name=function]").select_option(function)
    page.locator("[name=value]").fill(value)
    if frequency:
        page.locator("[name=frequency]").fill(frequency)


LINES = ("e => e.querySelector('.refused') ? [e.querySelector('.refused').innerText] : "
         "[...e.querySelectorAll('.came li')].map(one => one.innerText)")
# Fills the form in for one question after another, as hands do but without their time.
ASKED = """async asked => {
  const fields = document.getElementById('limits').elements, found = [];
  const answer = document.getElementById('answer');
  const give = (name, text) => {
    fields[name].value = text;
    if (fields[name].value !== text) throw new Error(`${name} has no ${text}`);
    answer.replaceChildren();
    fields[name].dispatchEvent(new Event(fields[name].matches('select') ? 'change' : 'input')) };
  for (const [meter, which, value, hertz] of asked) {
    give('meter', meter); give('function', which); give('value', value);
    if (hertz) give('frequency', hertz);
    while (!answer.querySelector('p.big, p.refused')) await new Promise(done => setTimeout(done));
    found.push((""" + LINES + """)(answer));
  }
  return found }"""


def plain(lines: list[str]) -> list[str]:
    return [re.sub(r"(?<=\.) a row covers .*", "", line.translate(SPACES)) for line in lines]


def answer(page) -> list[str]:
    """The lines of how the limits came about, or the one line that says why there are none."""
    page.locator("#answer :is(p.big, p.refused)").wait_for()
    return plain(page.locator("#answer").evaluate(LINES))


def answers(page, questions: list[tuple]) -> list[list[str]]:
    """The same of many questions; the first one is typed by hand."""
    ask(page, *questions[0])
    return [answer(page), *map(plain, page.evaluate(ASKED, questions[1:]))]


def expected(shop, meter: str, function: str, value: str, frequency: str = "") -> list[str]:
    try:
        return [line.translate(SPACES)
                for line in quick_answer.answer(contents.functions(shop, meter), function, value,
                                                frequency or None)[0]]
    except Wrong as wrong:
        clear = re.match(r"clear on [^;]*", wrong.hint)  # other hints are for who writes a plan
        return [
            f"No limits: {wrong.sentence}.{' ' + clear[0] + '.' if clear else ''}".translate(
                SPACES)]


def asked(site):
    """For each range of each meter: zero, about its middle with both signs, its highest reading, a
    count below and beyond it, and too little; for AC at an edge of its rows' frequencies, inside
    and outside them."""
    for path in sorted((site / "data/meters").glob("*.json")):
        meter = json.loads(path.read_text(encoding="utf-8"))
        for function in meter["functions"]:
            for on in function["ranges"]:
                (highest,
                 unit), step = on["highest_reading"].split(" "), Fraction(
                     on["resolution"].split(" ")[0])
                highest = Fraction(highest)
                hertz = ([""] if not function["needs_frequency"]
                         else [on["rows"][0]["frequency"][0], "400 Hz", "1 MHz"])
                for n, value in enumerate([highest // (2 * step) * step,
                                           -(highest // (3 * step) * step),
                                           highest - highest // (20 * step) * step, highest,
                                           highest + step, step, Fraction(0)]):
                    yield meter[
                        "meter"], function[
                            "function"], f"{units.decimal_text(value)} {unit}", hertz[n % len(
                                hertz)]


def test_the_page_says_what_the_builder_says(limits, shop, demo):
    """For values all over the demo's meters, both signs, edges of ranges and beyond: the same five
    lines, or the same reason and the nearest clear values."""
    seen = Counter()
    questions = list(asked(demo.site))[::5]
    for one, found in zip(questions, answers(limits, questions), strict=True):
        assert found == expected(shop, *one), one
        seen["refused" if found[0].startswith("No limits") else "limits"] += 1
    print(f"\n{seen}")
    assert seen["limits"] > 40 and seen["refused"] > 40, seen


def test_the_answer_in_large_is_that_of_the_lines(limits):
    """Both limits, the range and the tolerance, and that it is the tolerance only."""
    ask(limits, "whimbrel-200", "AC voltage", "3 V", "50 Hz")
    assert answer(limits)[-1] == "Accepted, in steps of 0.001 V: 2.973 V to 3.027 V"
    assert limits.locator("#answer p").all_inner_texts() == [
        "2.973\u00a0V to 3.027\u00a0V", "on the 20\u00a0V range, ± 0.027\u00a0V, tolerance only"]


def test_an_address_can_be_passed_on(limits, tab, served):
    """What was asked stands in the address; opened elsewhere, or put over another one, it asks the
    same."""
    ask(limits, "dunlin-60", "AC voltage", "4 V", "400 Hz")
    first, address = answer(limits), limits.url
    assert address.startswith(f"{served}limits.html#")
    other = tab(**PHONE)
    other.goto(address)
    assert answer(other) == first
    assert [other.locator(f"[name={name}]").input_value()
            for name in ("meter", "function", "value", "frequency")] == [
                "dunlin-60", "AC voltage", "4 V", "400 Hz"]
    ask(other, "whimbrel-200", "DC voltage", "3 V")
    assert answer(other) != first and not other.locator("[name=frequency]").is_visible()
    other.evaluate("address => { location.href = address }", address)
    other.locator("p.big", has_text="to").wait_for()
    other.wait_for_function(
        "name => document.querySelector('.came li').textContent.startsWith(name)", arg="Dunlin 60")
    assert answer(other) == first


def test_the_meter_that_measures_best_comes_first(limits, shop):
    """The smallest tolerance first, as the builder has it, and behind them those that give no
    limits, with their reasons."""
    for kind, value, hertz in (("DC voltage", "3 V", ""), ("DC voltage", "-180 V", ""),
                               ("AC voltage", "3 V", "50 Hz"), ("AC voltage", "10 V", "5 kHz"),
                               ("resistance", "100 ohm", ""), ("capacitance", "1 uF", ""),
                               ("AC current", "5 A", "50 Hz")):
        found, refused = [], set()
        for meter, functions in shop.functions.items():
            best = []
            for view in functions.values():
                if view.kind.name == kind and view.models:
                    try:
                        best.append(quick_answer.judge(view, value, hertz or None)[0].tolerance)
                    except Wrong:
                        refused.add(shop.meters[meter].name)
            if best:
                found.append((min(best), shop.meters[meter].name))
                refused.discard(shop.meters[meter].name)
        first = next(view.title for view in shop.functions["whimbrel-200"].values()
                     if view.kind.name == kind and view.models)
        ask(limits, "whimbrel-200", first, value, hertz)
        limits.get_by_role("button", name="Which meter measures this value best?").tap()
        limits.locator("#best li").first.wait_for()
        assert (limits.locator(
            "#best h2").inner_text() == f"{kind}, {value}{' at ' + hertz if hertz else ''}: the "
                "tightest first")
        said = limits.locator("#best li").all_inner_texts()
        assert [line.split(",")[0] for line in said[:len(found)]] == [
            name for _, name in sorted(found)], (kind, value, said)
        assert all("±" in line for line in said[:len(found)])
        assert {line.split(",")[0] for line in said[len(found):]} == refused and not any(
            "±" in line.split(":")[0] for line in said[len(found):]), said


def test_without_a_network_every_meter_still_answers(tab, host, demo, tmp_path):  # noqa: F811
    """After one visit to any page; and where not even that was, it says so, and answers once there
    is a network."""
    at, page = host(part_of(demo.site, tmp_path / "site")), tab(**PHONE, **WORKER)
    page.goto(f"{at.home}using.html")
    complete(page, at)
    at.down = True
    page.goto(f"{at.home}limits.html#meter=turnstone-c&function=DC+voltage&value=3+V")
    assert answer(page)[0].startswith("Turnstone C, DC voltage")
    ask(page, "dunlin-60", "DC voltage", "3 V")
    page.wait_for_function(
        "name => document.querySelector('.came li').textContent.startsWith(name)", arg="Dunlin 60")
    page.locator("#best button").tap()
    page.locator("#best li").nth(2).wait_for()

    bare = tab(**PHONE)
    at.down, at.breaks = False, "data/meters"
    bare.goto(f"{at.home}limits.html#meter=dunlin-60&function=DC+voltage&value=3+V")
    bare.locator("#answer .trouble").wait_for()
    assert (bare.locator(
        "#answer").inner_text() == "This meter’s table isn’t on this device, and there is no "
            "network.")
    at.breaks = None
    ask(bare, "dunlin-60", "DC voltage", "4 V")
    assert "4.000 V" in answer(bare)[1]


def test_a_range_and_a_reading(limits, shop):
    """Beside the same lines as in a terminal, the verdict in words and not by a colour alone; on
    another function no range of this one stays."""
    ask(limits, "dunlin-60", "DC voltage", "3 V")
    limits.locator("[name=range]").select_option("60 V")
    limits.locator("[name=reading]").fill("3.05")
    limits.locator("#answer .reads").wait_for()
    lines, *judged = quick_answer.answer(contents.functions(shop, "dunlin-60"), "DC voltage",
                                         "3 V", None, "60 V")
    assert answer(limits) == [line.translate(SPACES) for line in lines]
    said, _ = quick_reading.said(*judged, "3.05")
    assert limits.locator("#answer .reads").inner_text().translate(SPACES) == (
        f"✗ {said}.".translate(SPACES))
    limits.locator("[name=reading]").fill("3.02")
    limits.locator("#answer .reads", has_text="✓").wait_for()
    limits.locator("[name=reading]").fill("3.0201")
    limits.locator("#answer .trouble").wait_for()
    assert {"range=60+V", "reading=3.0201"} <= set(limits.url.split("#")[1].split("&"))
    ask(limits, "dunlin-60", "resistance", "100 ohm")
    assert limits.locator("[name=range]").input_value() == ""


def test_the_meter_is_remembered(limits, served):
    """The one that was chosen last stands there again; what an address names comes first."""
    ask(limits, "turnstone-c", "AC current", "30 A", "50 Hz")
    for address, meter in (("limits.html", "turnstone-c"),
                           ("limits.html#meter=dunlin-60", "dunlin-60")):
        limits.goto("about:blank")
        limits.goto(served + address)
        limits.locator("#limits:not([hidden])").wait_for()
        assert limits.locator("[name=meter]").input_value() == meter


@pytest.mark.parametrize("address, said", [
    ("meter=gone-1&function=DC+voltage&value=3+V", "There is no meter “gone-1” here."),
    ("meter=dunlin-60&function=inrush&value=3+V", "This meter has no function “inrush”"),
    ("meter=dunlin-60&function=DC+voltage&value=3+V&range=7+V", "This function has no range “7 V”"),
])
def test_what_is_not_there_shows_no_numbers(limits, served, address, said):
    """An old address never shows another meter's limits; a choice by hand does."""
    limits.goto("about:blank")
    limits.goto(f"{served}limits.html#{address}")
    shown = limits.locator("#answer .refused")
    assert shown.inner_text().startswith(said)
    limits.locator("[name=value]").fill("4 V")
    assert limits.locator("#answer p.big, #best button").count() == 0
    ask(limits, "whimbrel-200", "DC voltage", "3 V")
    limits.locator("p.big").wait_for()


def test_every_meter_and_every_sheet_leads_here(limits, served, shop):
    """With the meter chosen."""
    for page in [f"meters/{name}" for name in shop.functions] + [
            f"procedures/{name}" for name in shop.procedures]:
        meter = (page.split("/")[1] if page.startswith("meters")
                 else shop.procedures[page.split("/")[1]].meter.meter)
        limits.goto(f"{served}{page}.html")
        link = limits.locator("a[href*='limits.html#meter=']")
        assert link.count() == 1
        link.click()
        limits.locator("#limits:not([hidden])").wait_for()
        assert limits.locator("[name=meter]").input_value() == meter


HOSTILE = {
    "meter": ["<script>window.ran = 1</script>", "../../x", "__proto__", "constructor", ""],
    "function": ["<img src=x onerror='window.ran=1'>", "toString", "\u202eegatlov CD"],
    "value": ["<svg onload=window.ran=1>", "9" * 400 + " V", "1e999 V", "0x10 V", "-" * 50,
              "\u202e3 V\u202c", "\u200f3 V", "3 V\x00", "NaN V", "Infinity V", "١٢ V",
              "3 </p><b>V", "3 V" + " " * 5000 + "x", "1" + "0" * 17 + " V", "." ,
              "3 \ud83d\ude00"],
    "range": ["<img src=x onerror='window.ran=1'>", "__proto__", "\u202e6 V"],
    "reading": ["<svg onload=window.ran=1>", "9" * 400, "1e999", "\u202e3", "3 </p><b>"],
    "frequency": ["<b onmouseover=window.ran=1>", "-50 Hz", "0 Hz", "9" * 400 + " Hz",
                  "\u202e50 Hz", "50 V"],
}


@pytest.mark.parametrize("name", HOSTILE)
def test_nothing_of_a_hostile_address_runs_or_breaks(limits, served, name):
    """Whatever stands in the address, it is text: nothing is added to the page but sentences,
    nothing is asked of another place, and the page stays as wide."""
    asked = []
    limits.on("request", lambda request: asked.append(request.url))
    for n, text in enumerate(HOSTILE[name]):
        query = urlencode({"meter": "whimbrel-200", "function": "AC voltage", "value": "3 V",
                           "frequency": "50 Hz"} | {name: text}, errors="surrogatepass")
        if n == 0:
            limits.goto("about:blank")
            limits.goto(f"{served}limits.html#{query}")
        else:    # by the same function, in the page that is open
            limits.evaluate("""query => { document.getElementById('answer').replaceChildren();
                                          location.hash = query }""", query)
        answer(limits)
        assert limits.evaluate("window.ran") is None, text
        tags = limits.evaluate("[...document.querySelectorAll('#answer *')].map(e => e.tagName)")
        assert {tag.lower() for tag in tags} <= {"p", "b", "ul", "li"}, text
        assert limits.evaluate("document.documentElement.scrollWidth") == 360, text
        ask(limits, "whimbrel-200", "DC voltage", "3 V")
        limits.locator("p.big").wait_for()
    assert all(url.startswith(served) for url in asked), asked
    assert {url for url in asked if "/meters/" in url} <= {
        f"{served}data/meters/{meter}.js" for meter in ("whimbrel-200", "dunlin-60", "turnstone-c")}


@pytest.mark.parametrize("address",
                         ["#%", "#meter=%E0%A4%A", "#" + "&" * 1000, "#meter",
                          "?meter=<script>alert(1)</script>#value=3+V", "#value=3+V&value=4+V"])
def test_an_address_that_is_no_question_leaves_the_page_whole(limits, served, address):
    """It can be filled in as ever."""
    limits.goto("about:blank")
    limits.goto(f"{served}limits.html{address}")
    ask(limits, "whimbrel-200", "DC voltage", "3 V")
    assert answer(limits)[1].startswith("3.000 V on the")


@pytest.fixture(scope="module")
def rows_page(tmp_path_factory):
    project = Project(tmp_path_factory.mktemp("rows")).write(
        **{f"meters/{name}.yaml": text for name, text in TABLES.items()}).build()
    return project


def test_rows_with_open_ends_and_dc(rows_page, tab):
    """Of each value of the invented tables the page says what the builder says."""
    shop, page, wrong = loading.load_shop(rows_page.procedures), tab(**PHONE), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto((rows_page.site / "limits.html").as_uri())
    questions = [(one.meter, one.function, one.value, one.hertz) for one in QUESTIONS]
    for one, found in zip(questions, answers(page, questions), strict=True):
        assert found == expected(shop, *one), one
    assert wrong == []
