"""The bench view: one step fills the screen, over the same fields as the page. A whole procedure
with every tap counted, what one tap may tick, and that no gate is passed over."""

from __future__ import annotations

import collections

import pytest

from builder.pages import page_text
from tests.pages.test_sheet_js_whole import PLACE, base, reading
from tests.phone_bench import PHONE, Sheet

NOT_COUNTED = ("digit", "Next after a reading", "tick of a live group")
# what is shown now
STOP = """() => { const { view } = Bench, s = view.at(), check = s.check || {};
  return { n: view.stops.indexOf(s), kind: s.kind, live: Boolean(s.live), main: view.mainKey(),
           point: s.point ? s.point.id : null, left: view.boxes(s).filter(
             box => !box.checked && !box.disabled).length,
           write: check.write ? check.at_most || check.at_least || '1' : '' } }"""
BOX = "[data-here] ul.ticks li:has(input[type=checkbox]:enabled:not(:checked)) input"
PRESS = """text => { for (const sign of text)
  [...document.querySelectorAll('.pad-key')].find(
    key => key.textContent === (sign === '-' ? '\u2212' : sign)).click() }"""


class Thumb:
    """A thumb at the bench view; every tap is counted by what it is for."""

    def __init__(self, sheet: Sheet):
        self.sheet, self.page, self.taps = sheet, sheet.page, collections.Counter()

    def tap(self, selector: str, what: str) -> None:
        where = self.page.evaluate(PLACE, selector)
        assert isinstance(where, dict), f"{selector}: {where}"
        self.page.mouse.click(**where)
        self.taps[what] += 1

    def press(self, text: str) -> None:
        self.page.evaluate(PRESS, text)
        self.taps["digit"] += len(text)

    def enter(self) -> None:
        self.tap(".view-way", "entering the view")
        self.page.wait_for_selector("body.bench-view")
        self.page.evaluate("() => { Bench.view.doubleTap = 0 }")    # faster than a thumb

    @property
    def stop(self) -> dict:
        return self.page.evaluate(STOP)

    def moved(self, before: dict) -> dict:
        """The next stop; a group opens only when all records of the device were looked at."""
        if (now := self.stop)["n"] != before["n"]:
            return now
        self.page.wait_for_function("n => Bench.view.stops.indexOf(Bench.view.at()) !== n",
                                    arg=before["n"])
        return self.stop

    def head(self) -> None:
        """The field for the serial number is open already."""
        self.page.keyboard.type("B 7")
        self.tap("[data-field=state] label:first-child", "head")
        for field, value in (("ambient", "23.0"), ("humidity", "45")):
            self.tap(f"[data-field={field}] input", "head")
            self.press(value)
        self.tap(".pad-main", "Next without a reading")

    def ticks(self, stop: dict) -> None:
        if stop["main"].get("ticks"):
            return self.tap(".pad-main", "one tap for a group")
        for _ in range(stop["left"]):
            self.tap(BOX, "tick of a live group" if stop["live"] else "tick of another group")
        if stop["live"] and stop["kind"] == "setup":
            self.tap("[data-here] .open-group", "opening")
        if stop["live"] and stop["kind"] == "close":
            self.press("0.0")
            self.tap('[data-here] .near-zero button[aria-label$="in V"]', "unit near zero")
            self.tap(".pad-main", "Next after a reading")

    def read(self, point: dict, points: dict) -> None:
        zero = points.get(point["zero"]) if point["correction"] == "subtract" else None
        leads = base(f"{reading(zero)} {zero['unit']}") if zero else base("0 V")
        beside = 0 if point["kind"] != "reference" else 1 + point["reference"]["twice"]
        for text in [reading(point, leads)] + [point["apply"].split(" ")[0]] * beside:
            self.press(text)
            self.tap(".pad-main", "Next after a reading")


@pytest.fixture
def bench(tab, demo):
    """The sheet of the Dunlin on a phone of 360 by 640."""
    page = tab(**PHONE | {"viewport": {"width": 360, "height": 640}})
    thumb = Thumb(Sheet(page, (demo.site / "procedures/dunlin-60-yearly.html").as_uri(),
                        holds=True))
    yield thumb
    assert thumb.sheet.wrong == []


@pytest.mark.browser
def test_a_whole_sheet_takes_few_taps(bench):
    """Nothing fails: at most 90 taps beside digits, Next after a reading and the ticks of live
    groups. One tap ticks the steps around a group, never a check."""
    sheet = bench.sheet
    points = {point["id"]: point for point in sheet.data["points"]}
    bench.enter()
    bench.head()
    stop = bench.stop
    while stop["kind"] != "end":
        if stop["kind"] == "point":
            bench.read(points[stop["point"]], points)
        elif stop["kind"] == "check":
            bench.press(stop["write"])
            bench.tap("[data-here] .answer", "check")
        else:
            bench.ticks(stop)
        stop = bench.moved(stop)
    counted = {what: n for what, n in bench.taps.items() if what not in NOT_COUNTED}
    print(f"\n{sum(counted.values())} taps {counted}; not counted:",
          {what: bench.taps[what] for what in NOT_COUNTED})
    assert sheet.page.evaluate("() => Bench.record.open(Bench.sheet.data, Bench.sheet.fields)") == {
        "failed": [], "undone": []}
    assert bench.taps["check"] == len(sheet.data["checks"])
    live = [group for group in sheet.data["groups"] if group["hazard"]]
    assert bench.taps["tick of a live group"] == sum(
        len(group["opening"]) + len(group["closing"]) for group in live) + sum(
        len(point["before"]) for point in points.values() if point["hazard"])
    assert sum(counted.values()) <= 90


SHOW = """([kind, group, step]) => { const { view } = Bench; view.show(view.stops.find(
  s => s.kind === kind && (!group || s.group && s.group.group === group)
       && (!step || (s.point || s.check).step === step))) }"""
# The field of the point that is shown, and what keeps it shut.
FIELD = """() => { const field = document.querySelector('tr[data-here] input.reads');
  return [field.disabled, field.value] }"""


@pytest.mark.browser
def test_no_gate_is_passed_over(bench):
    """A hold shuts the groups behind it, in the list too; a live group wants each tick and its own
    button, takes no reading before, and keeps the large key shut until it is closed."""
    page, data = bench.page, bench.sheet.data
    bench.enter()
    held = next(group["group"] for group in data["groups"] if group["hold"])
    first, last = [group["group"] for group in data["groups"] if group["hazard"]][::2]

    bench.tap('.view-bar button[aria-label="List of groups"]', "list")
    behind = [group["group"] for group in data["groups"]]
    behind = behind[behind.index(held):]
    assert page.locator(".view-list button:disabled").evaluate_all(
        "all => all.map(one => one.textContent.split(' ')[0])") == behind
    page.evaluate(SHOW, ["setup", held, None])
    assert bench.stop["main"] == {"words": "Shut", "disabled": True} and bench.stop["left"] == 0
    bench.tap("[data-here] .waits button", "to what the hold waits for")
    assert bench.stop["kind"] == "check"

    page.evaluate("() => { Bench.record.waiting = () => []; Bench.sheet.refresh() }")
    page.evaluate(SHOW, ["setup", first, None])
    page.keyboard.press("PageDown")
    assert bench.stop["kind"] == "point"
    bench.press("5")
    assert page.evaluate(FIELD) == [True, ""]
    assert page.locator("[data-here] .open-group").is_visible()
    page.keyboard.press("PageUp")
    while bench.stop["left"] > 1:
        assert bench.stop["main"]["disabled"]
        bench.tap(BOX, "tick")
    assert page.locator("[data-here] .open-group").is_disabled()
    bench.ticks(before := bench.stop)
    assert bench.moved(before)["kind"] == "point"
    assert page.locator(".bench-bar.is-live b.live").inner_text() == "live"
    bench.press("54.00")
    assert page.evaluate(FIELD) == [False, "54.00"]

    page.evaluate(SHOW, ["setup", last, None])
    assert not page.locator(".bench-bar.is-live b.live").is_visible()
    assert (bench.stop["left"], bench.stop["main"]["disabled"]) == (0, True)
    assert page.locator("[data-here] .open-group").inner_text() == (
        f"Group {first} is still live: close it first")
    bench.tap(".still-live", "to what closes the group")
    assert bench.stop["kind"] == "close" and bench.stop["main"]["words"] == "Not closed yet"
    bench.tap(BOX, "tick")
    bench.tap(BOX, "tick")
    assert page.locator(".pad-key", has_text="OL").is_enabled()
    bench.press("540")
    bench.tap('[data-here] .near-zero button[aria-label$="in V"]', "unit")
    assert page.locator("[data-here] .near-zero.alarm").is_visible()
    free = page.locator(".pad").bounding_box()["y"]
    assert sum(map(page.locator("[data-here] .near-zero output").bounding_box().get,
                   ("y", "height"))) <= free
    assert bench.stop["main"]["disabled"]


SIZES = """() => {
  const view = [...document.querySelectorAll('[data-here]')].find(one => one.matches('tr'));
  const size = one => parseFloat(getComputedStyle(one).fontSize);
  const box = one => one.getBoundingClientRect();
  const says = box(view.querySelector('output.says b')), pad = box(document.querySelector('.pad'));
  const shown = [...view.querySelectorAll('*')].filter(one => one.checkVisibility());
  const limits = ['.from', '.to'].map(one => size(view.querySelector(one)));
  return {
    limits: limits.every(one => one >= Math.max(...shown.map(size))),
    covered: says.bottom > Math.min(pad.top, innerHeight) && says.right > pad.left,
    above: says.top < box(document.querySelector('.bench-bar')).bottom - 1,
    wide: document.querySelector('article').scrollWidth > innerWidth,
    keys: Math.min(...[...document.querySelectorAll('.pad button')].map(
      one => Math.min(box(one).width, box(one).height))) } }"""


@pytest.mark.browser
def test_the_verdict_stands_free_of_the_keys(bench):
    """At three sizes the limits are the largest text, and keys are for gloves. A reading can be
    typed over by nothing: OL is shut where something stands. One tap leaves the view."""
    page = bench.page
    page.evaluate("() => { Bench.record.waiting = () => []; Bench.sheet.refresh() }")
    bench.enter()
    first = bench.sheet.step("source", "DC voltage", n=2)
    page.evaluate(SHOW, ["point", None, first])
    bench.press("9")
    assert page.locator(".pad-key", has_text="OL").is_disabled()
    bench.press("⌫−290.0")
    assert page.evaluate(FIELD) == [False, "-290.0"]
    bench.press("−")
    for width, height in ((360, 640), (740, 360), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("() => Bench.view.bring()")
        sizes = page.evaluate(SIZES)
        assert sizes.pop("keys") >= 56
        assert sizes == {"limits": True, "covered": False, "above": False, "wide": False}, width
    assert bench.sheet.outcome(first) == "fail"
    assert page.locator("tr[data-here] output.says b").get_attribute("class") == "chip bad"

    page.evaluate("() => { Bench.view.doubleTap = 60000 }")
    page.keyboard.press("Enter")    # the next step, which takes keys of a keyboard too
    page.keyboard.press("Enter")    # once too often: nothing is passed over
    page.keyboard.type("540.0")
    assert page.evaluate(FIELD) == [False, "540.0"]
    bench.sheet.kept()
    page.reload()
    page.wait_for_selector("body.bench-view")
    bench.tap('.view-bar button[aria-label="The whole page"]', "leaving")
    assert page.locator("nav.groups").is_visible() and not page.locator(".pad").is_visible()
    page.reload()
    page.wait_for_selector("body.bench-on")
    assert page.evaluate("() => !Bench.view && Boolean(Bench.sheet.ready)")


def group(number: str, *opening: str, **more) -> dict:
    """A group as its data has it; a step is its code, or code and words."""
    return {"group": number, "hazard": None, "warnings": [], "cautions": [], "closing": [],
            "opening": list(opening), "opening_steps": [one.split(" ")[0] for one in opening],
            "closing_steps": []} | more


HARMLESS = group("1", "dial A", "keys-off", "leads A", "source-on")


@pytest.fixture(scope="module")
def steps(page):
    """The functions about steps, without a sheet."""
    page.add_script_tag(content=page_text.lean("bench_steps.js"))
    return page


@pytest.mark.browser
@pytest.mark.parametrize("changed, points, at_once", [
    ({}, [{}], True),
    ({"warnings": ["…"], "cautions": ["current-jacks"]}, [], True),
    ({"hazard": "hazardous live"}, [], False),
    ({"warnings": ["…"], "cautions": ["charged-capacitor"]}, [], False),
    ({"warnings": ["…"], "cautions": ["a caution of later days"]}, [], False),
    ({"warnings": ["…"]}, [], False),               # written without codes
    ({"opening": ["dial", "Junction: reads ____ °C"],
      "opening_steps": ["dial", "junction-reads"]}, [], False),
    ({}, [{"on_at_most": "10 s"}], False), ({}, [{"pause": "120 s"}], False),
    ({}, [{"kind": "reference"}], False), ({}, [{"before": ["off for 3 s, until ____"]}], False),
])
def test_one_tap_is_for_what_hurts_nobody(steps, changed, points, at_once):
    """Each step has its own tick where something is live, charged or timed, where something is
    written down, and where nothing is known."""
    data = {"groups": [], "points": [{"group": "1"} | point for point in points]}
    assert steps.evaluate("([data, group]) => Bench.record.isSetAtOnce(data, group)",
                          [data, HARMLESS | changed]) is at_once


@pytest.mark.browser
@pytest.mark.parametrize("before, after, ticked, same", [
    (HARMLESS, HARMLESS, "1", [0, 1, 2]),           # an output is switched on each time
    (HARMLESS, group("2", "dial B", "keys-off", "leads A"), "1", [2]),    # keys go with the dial
    (HARMLESS, HARMLESS, "", []), (HARMLESS, HARMLESS, "13", []),   # another one was set meanwhile
    (HARMLESS | {"closing_steps": ["leads-off"]}, HARMLESS, "1", []),
    (HARMLESS, HARMLESS | {"hazard": "hazardous live"}, "1", []),
])
def test_what_the_group_before_left_is_said(steps, before, after, ticked, same):
    """Only of what stays as it is, and only where that group was the last to be set up."""
    data = {"points": [], "groups": [before, after | {"group": "2"}, group("3", "dial C")]}
    assert steps.evaluate(
        """([data, ticked]) => {
          const fields = new Map([...ticked].flatMap((one, at) => data.groups.find(
            group => group.group === one).opening.map(
              (_, n) => [`tick/${one}/before/${n}`, { value: 'yes', at: String(at) }])));
          return Bench.record.asBefore(data, data.groups[1], fields) }""",
        [data, ticked]) == same


FELT = """() => { Object.defineProperty(navigator, 'vibrate', { value: pattern => (
    (window.felt = window.felt || []).push(pattern.length), true) });
  Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
    window.awake = (window.awake || 0) + 1;
    return { release() { window.awake -= 1 }, addEventListener() {} } } } }) }"""


@pytest.mark.browser
def test_a_swipe_goes_back_and_on_and_ticks_nothing(bench):
    """To the right back, to the left on; not up or down, and not over the keys."""
    bench.enter()
    page = bench.page
    finger = page.context.new_cdp_session(page)

    def swipe(x: int, y: int, by: int, down: int = 0) -> int:
        for kind, *at in (("touchStart", 0), ("touchMove", 0.5), ("touchMove", 1), ("touchEnd",)):
            finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [
                {"x": x + part * by, "y": y + part * down} for part in at]})
        return bench.stop["n"]

    typed = "() => Bench.sheet.fields.size"
    before, began = page.evaluate(typed), bench.stop["n"]
    assert swipe(300, 300, -150) == began + 1 and swipe(300, 300, -150) == began + 2
    assert swipe(60, 300, 150) == began + 1
    assert swipe(200, 200, -100, down=150) == began + 1    # a scroll
    assert swipe(300, 610, -150) == began + 1              # over the keys
    assert page.evaluate(typed) == before


@pytest.mark.browser
def test_hands_and_eyes(bench):
    """Read blind, a point shows its limits and its verdict once the reading is left; then it is
    felt, once, and stands as a dot beside that of the last verification. The screen stays awake at
    a group and no longer."""
    page = bench.page
    page.evaluate(FELT)
    page.evaluate("() => { Bench.record.waiting = () => []; Bench.sheet.set('serial', 'B 7') }")
    bench.enter()
    step = bench.sheet.step("source", "DC voltage", n=2)
    point = bench.sheet.points[step]
    bench.tap('.view-bar button[aria-label="List of groups"]', "list")
    bench.tap(".setting input", "blind")
    page.evaluate(SHOW, ["point", None, step])
    hidden = page.locator("tr[data-here] :is(td.from, td.to, output.says), .progress")
    assert "at least" in page.locator("tr[data-here] .settle").inner_text()
    limits = point["accept"]
    bench.press(reading(point))
    page.locator("tr[data-here] .settle").wait_for(state="detached")
    assert not any(one.is_visible() for one in hidden.all())
    assert page.evaluate("() => [window.felt, window.awake]") == [None, 1]
    bench.tap(".pad-main", "Show the limits")
    assert all(one.is_visible() for one in hidden.all())
    assert limits["low"].split(" ")[0] in page.locator("tr[data-here] td.from").inner_text()

    page.evaluate("last => Bench.last(last)", {"B 7": {point["id"]: ["2025-11-20", 75.0]}})
    band = page.locator("tr[data-here] .in-band")
    assert band.locator(".at-inside").count() == 1 and "2025-11-20: +75" in band.inner_text()
    assert "−75 % since then" in band.inner_text().replace("\u00a0", " ")
    bench.tap(".pad-main", "Next after a reading")
    bench.tap('.view-bar button[aria-label="List of groups"]', "list")
    page.locator(".setting input").uncheck()
    bench.tap('.view-bar button[aria-label="List of groups"]', "list")
    for n, text in ((1, "540.0"), (2, "590.0")):
        bench.press("⌫" * 5 + text)
        page.wait_for_function("n => (window.felt || []).length >= n", arg=n)
    assert page.evaluate("() => window.felt") == [1, 3]     # a short one; a long one, twice
    assert page.locator("tr[data-here] svg.band :is(.at-outside, .at-above)").count() == 1
    page.evaluate(SHOW, ["end", None, None])
    assert page.evaluate("() => window.awake") == 0
