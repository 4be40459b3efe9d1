"""The bench view: one step fills the screen, over the same fields as the page. A whole procedure with
every tap counted, what one tap may tick, and that no gate is passed over."""

from __future__ import annotations

import collections
import json

import pytest

from builder.pages import page_text
from tests.pages.test_sheet_js_whole import PLACE, base, reading
from tests.phone_bench import NAME, PHONE, Sheet, small_site

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

    @property
    def stop(self) -> dict:
        return self.page.evaluate(STOP)

    def moved(self, before: dict) -> dict:
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
            self.tap(".open-group", "opening")
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
    of = len(points) + len(sheet.data["checks"])
    assert sheet.progress == f"{of} of {of} · 0 left"
    assert bench.taps["check"] == len(sheet.data["checks"])
    live = [group for group in sheet.data["groups"] if group["hazard"]]
    assert bench.taps["tick of a live group"] == sum(
        len(group["opening"]) + len(group["closing"]) for group in live) + sum(
        len(point["before"]) for point in points.values() if point["hazard"])
    assert sum(counted.values()) <= 90
