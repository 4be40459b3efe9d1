"""One live group a device, whatever the record, the tab or the reload; and typing in finished
paper, which has no lock."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.phone_bench import NAME, PHONE, Sheet, small_site, validate

pytestmark = pytest.mark.browser


@pytest.fixture
def site(lasting_project):
    return small_site(lasting_project)


@pytest.fixture
def sheet(tab, site) -> Sheet:
    """A record of serial A1 with a live group."""
    made = Sheet(tab(**PHONE, accept_downloads=True), (site / f"procedures/{NAME}.html").as_uri())
    made.page.locator("[data-field=serial] input").fill("A1")
    made.open_live(made.step("hazardous live"))
    made.kept()
    yield made
    assert made.wrong == []


def ticked(sheet: Sheet, step: str):
    """The button of a live group's gate, below its ticked steps."""
    for box in sheet.group(step).locator(".before .ticks input:enabled").all():
        box.check()
    return sheet.group(step).locator(".open-group")


def test_a_live_group_of_another_record_bars_this_one(sheet):
    """Named in the bar and at the gate, after a reload and in a second tab too; once it is closed
    the other one opens."""
    first, second = [step for step, point in sheet.points.items()
                     if point["hazard"] and step.endswith(".1")]
    sheet.page.get_by_role("button", name="Begin another meter").tap()
    words = f"group {sheet.points[first]['group']} of {sheet.data['title']}, serial A1"
    bar = sheet.page.locator(".bench-bar .live-elsewhere")
    expect(bar).to_have_text(f"Live on this device: {words}")
    assert ticked(sheet, second).is_disabled()
    assert sheet.group(second).locator(".before .ticks input:enabled").count() == 0
    sheet.page.goto(sheet.address)
    sheet.ready().page.get_by_role("button", name="Begin another meter").tap()
    expect(bar).to_be_visible()
    other = Sheet(sheet.page.context.new_page(), sheet.address)     # goes on with A1
    other.close(first)
    other.kept()
    expect(bar).to_be_hidden()
    expect(ticked(sheet, second)).to_be_enabled()
    assert other.wrong == []


def test_two_tabs_that_open_at_once_are_both_shut(sheet):
    """What another tab opened since is read before a group opens."""
    second = [step for step, point in sheet.points.items()
              if point["hazard"] and step.endswith(".1")][1]
    other = Sheet(sheet.page.context.new_page(), sheet.address.partition("#")[0])
    other.page.get_by_role("button", name="Begin another meter").tap()
    other.page.evaluate("Bench.lock.groups = []; Bench.sheet.refresh()")    # as if it knew nothing
    ticked(other, second).tap()
    expect(other.page.locator(".bench-bar .live-elsewhere")).to_be_visible()
    assert other.group(second).locator("input.reads:enabled").count() == 0


def test_another_bench_is_said_by_a_person_and_kept_in_both(sheet):
    """Until that group is opened anew."""
    first, second = [step for step, point in sheet.points.items()
                     if point["hazard"] and step.endswith(".1")]
    sheet.page.get_by_role("button", name="Begin another meter").tap()
    sheet.page.locator("[data-field=serial] input").fill("B2")
    sheet.group(second).get_by_role("button", name="stands on another bench").tap()
    expect(sheet.group(second).locator(".far")).to_be_hidden()
    sheet.open_live(second)
    assert sheet.page.locator(".bench-bar .live-elsewhere").is_visible()
    mine = sheet.save()
    validate(mine)
    sheet.page.get_by_role("button", name="Go on with serial A1").tap()
    expect(sheet.field(first)).to_be_enabled()
    theirs = sheet.save()
    validate(theirs)
    for record, step, serial in ((mine, second, "A1"), (theirs, first, "B2")):
        (said,) = [one["other_bench"] for one in record["groups"]
                   if one["group"] == sheet.points[step]["group"]]
        assert len(said) == 1 and f"serial {serial}" in said[0] and "another bench" in said[0]
    sheet.close(first)
    again = sheet.group(first).locator(".open-group")
    again.tap()
    expect(again).to_have_text("Tick each step above: then this group opens")
    ticked(sheet, first).tap()
    expect(again).to_be_hidden()
    sheet.page.get_by_role("button", name="Go on with serial B2").tap()
    expect(sheet.group(second).locator("input.reads").first).to_be_disabled()


def test_other_pages_name_a_live_group(sheet, site):
    """In progress, and the first page, until it is closed."""
    page, words = sheet.page, f"of {sheet.data['title']}, serial A1"
    page.goto((site / "in-progress.html").as_uri())
    expect(page.locator(".live-groups")).to_contain_text("Still live: group")
    assert "The lock is no interlock." in page.locator("article").inner_text()
    page.goto((site / "index.html").as_uri())
    expect(page.locator("#live-notice a")).to_contain_text(words)
    page.goto(sheet.address)
    sheet.ready().close(sheet.step("hazardous live"))
    sheet.kept()
    page.goto((site / "index.html").as_uri())
    page.locator("h1").wait_for()
    assert page.locator("#live-notice a").count() == 0


def test_finished_paper_is_typed_in_without_gates(tab, site):
    """Chosen before the first entry, and kept; readings, ticks and what closed a group are judged
    as at the bench."""
    made = Sheet(tab(**PHONE, accept_downloads=True), (site / f"procedures/{NAME}.html").as_uri())
    page, live = made.page, made.step("hazardous live")
    page.get_by_role("button", name="Type in finished paper").tap()
    assert "no gates" in page.locator("p.from-paper").inner_text()
    expect(page.get_by_role("button", name="Type in finished paper")).to_have_count(0)
    made.type(live, made.points[live]["apply"].split(" ")[0])
    assert made.outcome(live) == "pass"
    assert page.locator(".still-live:visible, .live-elsewhere:visible").count() == 0
    made.close(live)
    record = made.save()
    validate(record)
    (group,) = [one for one in record["groups"] if one["group"] == made.points[live]["group"]]
    assert (record["from_paper"], group["opened"], group["closed"]) == (True, None, "near zero")
    assert all(one["at"] is None for point in record["points"] for one in point["readings"])
    page.get_by_role("button", name="Begin another meter").tap()
    made.type(made.step("source"), "1")
    expect(page.get_by_role("button", name="Type in finished paper")).to_have_count(0)
    assert not page.locator("p.from-paper").is_visible()


def test_no_digit_from_finished_paper_is_lost_at_a_heading_or_a_tick(tab, site):
    """Numbers that are typed one behind the other, an Enter between, stand in the order of the
    sheet, though headings and ticks lie between: a digit goes on to the next place for a number,
    and no Enter behind it ticks anything. At the bench itself a heading takes no digits."""
    made = Sheet(tab(**PHONE, accept_downloads=True), (site / f"procedures/{NAME}.html").as_uri())
    page = made.page
    page.locator(f"#group-{made.points[made.step('source')]['group']}").evaluate(
        "heading => { heading.tabIndex = -1; heading.focus() }")
    page.keyboard.type("1")
    assert made.field(made.step("source")).input_value() == ""
    page.get_by_role("button", name="Type in finished paper").tap()
    fields = page.locator("input.reads:enabled:visible, td.write input:enabled:visible")
    values = fields.evaluate_all("""all => all.map(field => {
        const point = Bench.sheet.points.get(field.closest('tr').id);
        return point ? point.apply.split(' ')[0] : '1' })""")
    groups = {point["group"] for point in made.points.values()}
    assert len(values) > len(made.points) and len(groups) > 4
    fields.first.focus()
    for value in values:
        page.keyboard.type(value)
        page.keyboard.press("Enter")
    assert fields.evaluate_all("all => all.map(field => field.value)") == values
    assert page.locator(".group .ticks input:checked").count() == 0
    page.locator(".group .ticks input:enabled").first.focus()
    page.keyboard.press("Control+0")
    assert fields.evaluate_all("all => all.map(field => field.value)") == values
    assert made.wrong == []
