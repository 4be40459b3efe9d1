"""A whole procedure on a phone: the network gone right after the first look, the browser killed in
the middle, no tap too many, and a record that the builder reports just as the phone judged it."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from builder.compute.exact.order import PROVING
from builder.numbers import units
from builder.pages import report_files
from builder.records import record_files
from builder.shop import loading
from tests.conftest import ROOT
from tests.pages.test_offline import complete, host  # noqa: F401, a fixture
from tests.phone_bench import Killable, Sheet, validate

pytestmark = [pytest.mark.browser, pytest.mark.slow]

# Brings an element to the screen, as a thumb does by scrolling, and says where a finger would touch
# it: not where something else covers it.
PLACE = """selector => { const e = document.querySelector(selector);
  e.scrollIntoView({block: 'center'});
  const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2,
      top = document.elementFromPoint(x, y);
  return e.disabled || !(e.contains(top) || top.contains(e) && top.matches('label'))
      ? [top && top.outerHTML.slice(0, 200), e.outerHTML.slice(0, 200)] : {x, y} }"""
FOCUSED = "selector => document.activeElement === document.querySelector(selector)"

CAUSE = "a lead was not home"


def base(text: str) -> Fraction:
    """In the unit without a prefix: leads are read on a range of ohms, and taken off readings in
    kilohms."""
    return units.quantity(text).value


def reading(point: dict, more: Fraction = Fraction(0)) -> str:
    """What a good meter shows: the middle of what is accepted, and what is `more` at its input,
    such as its leads."""
    step, limits = point["resolution"], point["accept"]
    counts = ((limits["low_counts"] + limits["high_counts"]) // 2 if limits
              else base(point["apply"]) // base(step))
    return units.decimal_text((counts + more // base(step)) * Fraction(step.split(" ")[0]),
                              point["decimals"])


class Hand:
    """One hand at a phone: every tap is counted."""

    def __init__(self, sheet: Sheet):
        self.sheet, self.taps, self.typed = sheet, 0, {}

    def tap(self, selector: str) -> None:
        where = self.sheet.page.evaluate(PLACE, selector)
        assert isinstance(where, dict), f"{selector}: {where}"
        self.sheet.page.mouse.click(**where)
        self.taps += 1

    def write(self, selector: str, text: str, row: str = "") -> None:
        """Types where the page has led to already; else by Next, if a row is at hand, and only then
        by a tap at the field."""
        if not self.sheet.page.evaluate(FOCUSED, selector):
            if row:
                self.tap(f"{row} .key.next")
                assert self.sheet.page.evaluate(FOCUSED,
                                                selector), f"Next does not lead to {selector}"
            else:
                self.tap(selector)
        self.sheet.page.keyboard.type(text)
        self.typed[selector] = text

    def choose(self, selector: str, text: str) -> None:
        """A tap opens the list, another takes a line of it."""
        self.tap(selector)
        self.sheet.page.locator(selector).select_option(text)
        self.taps += 1


def fields(point: dict) -> list[tuple[str, str]]:
    """Where a point's readings of one try are typed, and whose they are."""
    row = f'[id="{point["id"]}"]'
    own = [(f'{row} input.reads[aria-label^="Reading at"]:not([aria-label$="second try"])',
            "meter")]
    if point["kind"] != "reference":
        return own
    return own + [(f'{row} input.reads[aria-label^="Reading of the reference meter{when} at"]'
                   ':not([aria-label$="second try"])', "reference")
                  for when in ((" before the meter", " after the meter")
                               if point["reference"]["twice"] else ("",))]


def one_group(hand: Hand, group: dict, data: dict, again: str, over: str) -> None:
    """Its steps, its acknowledgement, its points and checks, and what closes it. The point `again`
    fails at first, `over` shows overload."""
    page, at = hand.sheet.page, f'[data-group="{group["group"]}"]'
    points = [point for point in data["points"] if point["group"] == group["group"]]
    by_id = {point["id"]: point for point in data["points"]}
    for n, item in enumerate(group["opening"]):
        step = f"{at} .before ul.ticks li:nth-child({n + 1})"
        if "____" in item:
            hand.write(f"{step} input.typed", "23.1")
        else:
            hand.tap(f"{step} input[type=checkbox]")
    if group["hazard"]:
        hand.tap(f"{at} .open-group")
        page.wait_for_selector(f"{at} input.reads:enabled")
    row = ""
    for point in points:
        zero = by_id.get(point["zero"]) if point["correction"] == "subtract" else None
        leads = base(f"{reading(zero)} {zero['unit']}") if zero else Fraction(0)
        for selector, whose in fields(point):
            good = point["apply"].split(" ")[0] if whose == "reference" else reading(point, leads)
            text = {over: "OL",
                    again: reading(point, 3 * base(point["tolerance"]) if point["tolerance"]
                                   else leads)}.get(point["id"], good)
            row_before, row = row, f'[id="{point["id"]}"]'
            for n, _ in enumerate(point["before"]):
                hand.tap(f'tr.between:has(+ {row}) li:nth-child({n + 1}) input')
            hand.write(selector, text, "" if point["before"] else row_before)
            if point["id"] == again:
                assert page.locator(row).get_attribute("data-outcome") == "fail"
                hand.tap(f"{row} .again")
                page.keyboard.type(good)
                assert page.locator(row).get_attribute("data-outcome") == "fail"
                hand.choose(f"{row} select.typed", f"Void: {CAUSE}")
        assert page.locator(row).get_attribute("data-outcome") == (
            "fail" if point["id"] == over else "written down" if point["kind"] == "observation"
            else "pass"), point
    for check in [one for one in data["checks"] if one["group"] == group["group"]]:
        hand.tap(f'{at} button[aria-label="Step {check["step"]}, {check["check"]}: good"]')
    for n, _ in enumerate(group["closing"]):
        hand.tap(f"{at} .after ul.ticks li:nth-child({n + 1}) input[type=checkbox]")
    if group["near_zero"]:
        hand.write(f"{at} .after input.typed", "0.0")
        hand.tap(f'{at} .near-zero button[aria-label$="in V"]')


@pytest.mark.parametrize("name", ["turnstone-c-yearly", pytest.param("whimbrel-200-yearly",
                                                                     marks=pytest.mark.long)])
def test_a_whole_procedure(name, browser, host, demo, tmp_path, capsys):  # noqa: F811
    """Of every point a reading, of every step a tick, in the order of the page. No tap but one a
    reading, the acknowledgement of each live group, the ticks and three for the second try, which
    counts by a cause that voids the first; after the kill all is there; the builder takes the file,
    and its outcomes are the phone's."""
    at = host(demo.site)
    address = f"{at.home}procedures/{name}.html"
    with Killable(browser, tmp_path / "profile") as phone:
        page = phone.start()
        sheet = Sheet(page, address, holds=True)
        complete(page, at)
        at.down = True
        data, hand = sheet.data, Hand(sheet)
        # a lead that isn't back in its jack says nothing of the meter
        of_meter = [group["group"] for group in data["groups"] if group["stage"] != PROVING]
        judged = [point["id"] for point in data["points"]
                  if point["kind"] == "source" and point["accept"] and not point["hazard"]
                  and point["group"] in of_meter]
        again, over = judged[0], judged[-1]
        page.locator("[data-field=serial] input").fill("B 7")
        page.locator("[data-field=state]").get_by_label("as found").check()
        for field, of_room in (("ambient", "23.0"), ("humidity", "45")):
            page.locator(f'[data-field="{field}"] input').fill(of_room)
        middle = len(data["groups"]) // 2
        for group in data["groups"][:middle]:
            one_group(hand, group, data, again, over)
        progress = sheet.progress
        sheet.kept()
        phone.kill()

        page = phone.start()
        sheet.page = page
        page.on("pageerror", lambda error: sheet.wrong.append(str(error)))
        sheet.open()
        assert sheet.progress == progress
        assert page.evaluate("selectors => selectors.map(one => document.querySelector(one).value)",
                             list(hand.typed)) == list(hand.typed.values())
        assert page.locator("article > p.copy").inner_text().startswith(
            "No network: this copy is from 20")
        for group in data["groups"][middle:]:
            one_group(hand, group, data, again, over)
        for field, of_room in (("ambient_end", "23.1"), ("humidity_end", "46")):
            page.locator(f'[data-field="{field}"] input').fill(of_room)
        of = len(data["points"]) + len(data["checks"])
        assert sheet.progress == f"{of} of {of} · 1 failed · 0 left"
        assert not page.locator(".still-live").is_visible()
        page.locator("[data-field=verdict]").get_by_label("not all within", exact=True).check()
        record = page.evaluate(
            "async () => { let kept; const make = URL.createObjectURL; URL.createObjectURL = blob "
            "=> { kept = blob; return make.call(URL, blob) }; "
            "[...document.querySelectorAll('button')].find(one => one.textContent === 'Save the "
            "record as a file').click(); "
            "while (!kept) await new Promise(done => setTimeout(done, 20)); return kept.text() }")
        assert sheet.wrong == []
    assert at.down

    readings = sum(len(fields(point)) for point in data["points"])
    ticks = sum(len(group["opening"]) + len(group["closing"]) + 2 * bool(group["near_zero"])
                for group in data["groups"]) + len(data["checks"])
    # a line between rows leads to its own ticks, and the row below is tapped at
    ticks += sum(len(point["before"]) + 1 for point in data["points"] if point["before"])
    live = sum(bool(group["hazard"]) for group in data["groups"])
    print(f"\n{name}: {hand.taps} taps for {readings} readings, {ticks} ticks, {live} live groups")
    assert hand.taps <= readings + ticks + live + 3

    found = json.loads(record)
    validate(found)
    assert (found["serial"], found["state"], found["verdict"],
            found["judged_by"]) == ("B 7", "as found", "not all within", data)
    assert all(point["readings"] and all(one["at"] for one in point["readings"])
               for point in found["points"])
    assert {point["id"]: [one["outcome"] for one in point["readings"]] for point in found["points"]
            if point["id"] in (again, over)} == {again: ["fail", "pass"], over: ["fail"]}
    assert [one["cause"] for point in found["points"] if point["id"] == again
            for one in point["readings"]] == [CAUSE, None]
    assert all(one["good"] == "yes" for one in found["checks"])
    assert all(step["done"] for group in found["groups"]
               for step in group["opening"] + group["closing"])
    assert [group["closed"] for group in found["groups"]] == [
        "near zero" if group["hazard"] else None for group in data["groups"]]

    path = tmp_path / f"{name}-b-7.json"
    path.write_text(record, encoding="utf-8")
    read, problems = record_files.read_file(path, path.name)
    assert problems == []
    assert {one.point.id: one.outcome
            for one in read.judged} == {point["id"]: point["outcome"] for point in found["points"]}
    lines, _, problems = report_files.write([str(path)], tmp_path / "reports",
                                         loading.load_shop(ROOT / "procedures"))
    assert len(lines) == 1 and not problems
    assert "as found" in (tmp_path / "reports" / f"{read.id}.html").read_text(encoding="utf-8")
