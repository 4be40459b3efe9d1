"""The first page: today's work on one screen of a phone."""

from __future__ import annotations

import json
from datetime import date

import pytest
from playwright.sync_api import expect

from builder.pages import home, render
from builder.shop import loading, public
from tests import small_shop
from tests.conftest import parse

PHONE = {"viewport": {"width": 360, "height": 640}, "is_mobile": True, "has_touch": True}
SHEET = "dunlin-60-yearly"


def known(text: str) -> dict:
    return json.loads(parse(text).by_id("known").raw)


@pytest.fixture
def phone(tab, served):
    """The first page, after a record was begun at a sheet on this device."""
    page = tab(**PHONE)
    page.clock.set_fixed_time("2026-11-26T09:00:00")
    page.goto(f"{served}procedures/{SHEET}.html#serial=0147")
    page.locator(".bench-on").wait_for()
    page.locator('[data-field="place"] input').fill("berth 2")
    expect(page.locator(".whose")).to_have_text("0147")
    page.goto(f"{served}index.html")
    page.locator(".work li").wait_for()
    return page


def test_all_of_today_stands_on_one_screen(phone):
    """The serial number first, then what is in work, to be pulled and due, the limits with an
    answer, and the four doors."""
    phone.locator('[name="value"]').fill("3 V")
    expect(phone.locator("#answer .big")).to_have_text("2.986 V to 3.014 V")
    parts = [".serial input", ".work li", ".pull li", ".next li", ".value form", "#answer .big",
             ".doors a"]
    boxes = [phone.locator(part).first.bounding_box() for part in parts]
    boxes.append(phone.locator(".doors a").last.bounding_box())
    tops = [box["y"] for box in boxes]
    assert tops == sorted(tops)
    assert max(box["y"] + box["height"] for box in boxes) <= 640
    assert phone.locator(".doors a").all_inner_texts() == ["Sheets", "Reports", "Learn", "Safety"]
    assert "Dunlin 60 · 0147" in phone.locator(".work li").inner_text()
    small = phone.evaluate("""() => [...document.querySelectorAll(
        '.today :is(.go, input, select), .doors a')].filter(e => e.checkVisibility())
        .map(e => [e.outerHTML, e.getBoundingClientRect().height]).filter(one => one[1] < 44)""")
    assert small == []


def test_a_serial_number_leads_to_its_sheet_its_last_report_and_its_due_date(phone, served):
    field = phone.locator(".serial input")
    field.fill("w-00")
    found = phone.locator(".found section")
    expect(found).to_have_count(1)
    assert "Whimbrel 200 · W-0088" in found.inner_text()
    assert "due 2026-12-08, in 12 days" in found.inner_text()
    assert not phone.locator(".pull, .next, .value, .work").locator("visible=true").count()
    report = found.locator('a[href^="reports/"]')
    assert phone.request.get(served + report.get_attribute("href")).ok
    assert phone.request.get(served + found.locator(
        'a[href^="history/"]').get_attribute("href")).ok
    field.press("Enter")
    phone.wait_for_url("**/procedures/whimbrel-200-yearly.html*")
    expect(phone.locator('[data-field="serial"] input')).to_have_value("W-0088")


def test_a_serial_number_that_nobody_knows_begins_any_sheet(phone):
    """It goes along; one of a meter that is withdrawn begins none."""
    phone.locator(".serial input").fill("Q 1/7#")
    assert "No meter here has the serial number Q 1/7#" in phone.locator(".found").inner_text()
    assert phone.locator(f'.found [href="procedures/{SHEET}.html#serial=Q%201%2F7%23"]').count()
    phone.locator(".serial input").fill("C-0298")
    assert "withdrawn: scrapped" in phone.locator(".found").inner_text()
    assert phone.locator(".found .go").count() == 0
    phone.locator(".serial input").fill("")
    expect(phone.locator(".pull li").first).to_be_visible()


def test_what_became_overdue_since_the_build_is_overdue(tab, demo):
    """By the day of the device, if that is later than the one that the page was built for."""
    page = tab(**PHONE)
    page.clock.set_fixed_time("2026-12-09T09:00:00")
    page.goto((demo.site / "index.html").as_uri())
    first = page.locator(".next li").first
    assert first.locator(".chip").inner_text() == "✗ overdue"
    assert "since 2026-12-08" in first.inner_text()
    page.locator(".serial input").fill("W-0088")
    assert "✗ overdue" in page.locator(".found").inner_text()
    page.clock.set_fixed_time("2020-01-01T09:00:00")    # a clock that is wrong
    page.reload()
    assert page.locator(".next li .chip").count() == 0


def test_without_a_script_the_lists_and_the_doors_are_left(tab, demo):
    page = tab(**PHONE, java_script_enabled=False)
    page.goto((demo.site / "index.html").as_uri())
    assert not page.locator("form").locator("visible=true").count()
    assert page.locator(".pull li").first.is_visible() and page.locator(".doors a").count() == 4
    assert page.locator('.value a[href="limits.html"]').is_visible()


def test_sheets_alone_show_no_serial_number(demo_shop):
    """Neither a list nor the field, nor anything of them in the data."""
    today = render.render(public.shown(demo_shop, public.SHEETS)).today
    assert known(today)["serials"] == [] and "0147" not in today
    assert 'class="serial"' not in today and "shop.html" not in today
    assert 'id="limits"' in today


def test_an_empty_shop_shows_its_first_steps(tmp_path):
    """What is done is marked, a file that holds mistakes is not; with the plan they go."""
    for kind in ("meters", "standards", "plans", "records"):
        (tmp_path / kind).mkdir()
    page = parse(render.render(loading.load_shop(tmp_path)).today)
    assert len(page.all("li")) == 3 and not page.all("b.chip") and not page.all("form")
    small_shop.write(tmp_path, {"meters/whinchat.yaml": "meter: whinchat\nmakr: Marsh\n"})
    page = parse(render.render(loading.load_shop(tmp_path)).today)
    assert len(page.all("li")) == 3 and not page.all("b.chip")
    small_shop.write(tmp_path, {"meters/lapwing-1.yaml": small_shop.meter(
        small_shop.function("DC voltage", small_shop.range_(
            "6 V", "0.001 V", "0.5 % + 2 counts")))})
    page = parse(render.render(loading.load_shop(tmp_path)).today)
    assert [bool(step.all("b.chip")) for step in page.all("li")] == [True, False, False]


def test_every_meter_is_known_with_its_state(demo_shop):
    """Those that are withdrawn too; the state is that of the day of the page."""
    found = known(render.render(demo_shop).today)
    assert found["as_of"] == date(2026, 11, 25).isoformat() == str(demo_shop.as_of)
    states = {one["serial"]: one["chip"] for one in found["serials"]}
    assert states["0152"] == ["bad", "✗ overdue"] and states["0147"] == ["good", "✓ in service"]
    assert len(states) == len(demo_shop.register.meters)
    assert found["sheets"]["dunlin-60"] == [["Dunlin 60, yearly verification", SHEET]]


def test_a_first_page_without_the_place_stays_as_it_is():
    assert home.filled("# Ours\n", "<div></div>") == "# Ours\n"
    assert home.filled("a\n{today}\n{today}", "x") == "a\nx\n{today}"
