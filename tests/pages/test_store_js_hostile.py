"""Records in a browser's database that no page wrote: the others stay in reach, nothing runs,
nothing hangs, and what can't be read can be saved as it was found and deleted."""

from __future__ import annotations

import json
import random
import time
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.fuzz import _found, _paths
from tests.phone_bench import NAME, PHONE, Sheet, one_tap_later, small_site

pytestmark = pytest.mark.browser

HARM = '<img src=x onerror="window.harm=1"><script>window.harm=1</script>'
PUT = """rows => new Promise((done, failed) => {
  const opening = indexedDB.open("bench-records");
  opening.onsuccess = () => {
  const t = opening.result.transaction(["records", "entries"], "readwrite");
  for (const [store, row] of rows) t.objectStore(store).put(row); t.oncomplete = () => {
      opening.result.close(); done() }; t.onerror = () => failed(t.error) } })"""
TAKE = """ids => new Promise((done, failed) => {
  indexedDB.open("bench-records").onsuccess = ({target: {result}}) => {
    const t = result.transaction("records", "readwrite");
    for (const id of ids) t.objectStore("records").delete(id);
    t.oncomplete = () => { result.close(); done() }; t.onerror = () => failed(t.error) } })"""


@pytest.fixture
def site(lasting_project):
    return small_site(lasting_project)


@pytest.fixture
def sheet(tab, site):
    """A sheet with one good reading."""
    made = Sheet(tab(**PHONE), (site / f"procedures/{NAME}.html").as_uri())
    made.type(made.step("DC voltage", "3.000 V"), "3.001").kept()
    return made


def good(sheet) -> dict:
    return sheet.page.evaluate("Bench.store.list()")[0]["record"]


def spoiled(record: dict, n: int, chance: random.Random) -> dict:
    """A value of it exchanged: another type, hostile text, numbers out of this world."""
    made = json.loads(json.dumps(record))
    path = chance.choice([p for p in _paths(made) if p and p[0] != "id"])
    _found(made,
           path[:-1])[path[-1]] = chance.choice(
               [None, 7, -1, 1e308, True, "", HARM, "0 V", "-0.000 V", "1e999999 V",
                "9" * 5000 + " V", "NaN", [], {}, [[]], "\u202e", "../..", "x" * 200_000,
                {"__proto__": {"harm": 1}}])
    return made | {"id": f"spoiled-{n}"}


def look(page, site, sheet) -> None:
    """Both pages that read the database, the good record still there and usable."""
    started = time.monotonic()
    page.goto((site / "in-progress.html").as_uri())
    page.wait_for_selector("section.record")
    assert page.locator("section.record", has_text="Lapwing 1, yearly").first.is_visible()
    sheet.open()
    assert time.monotonic() - started < 20
    assert page.evaluate("window.harm") is None and page.evaluate("({}).harm") is None
    assert sheet.wrong == []


def test_records_that_are_none(sheet, site):
    """A head alone, no data, data of the wrong shape, foreign keys and values."""
    record = good(sheet)
    data = record["data"]
    rows = [{"id": "bare"}, {"id": 7}, {"id": "empty", "data": None},
            {"id": "wrong", "data": {"points": 7}},
            record | {"id": "texts", "title": HARM, "begun": 7},
            record | {"id": "no-data", "data": {}},
            record | {"id": "decimals",
                      "data": data
                      | {"points": [one | {"decimals": 1e9} for one in data["points"]]}},
            record | {"id": "steps-of-nothing",
                      "data": data
                      | {"points": [one | {"resolution": "0 V"} for one in data["points"]]}},
            record | {"id": "no-jacks", "data": data | {"groups": [{"group": "1"}]}},
            {"id": HARM, "title": HARM, "data": HARM}]
    entries = [{"record": record["id"], "field": field, "value": value} for field,
               value in (("serial", {"a": 1}), ("point/gone/1", "3"), (HARM, HARM),
                         ("__proto__", {"harm": 1}), ("remarks", "x" * 300_000))]
    sheet.page.evaluate(PUT,
                        [*(["records", one] for one in rows),
                         *(["entries", one] for one in entries)])
    look(sheet.page, site, sheet)
    sheet.page.goto((site / "in-progress.html").as_uri())
    sheet.page.wait_for_selector("section.record")
    unread = sheet.page.get_by_role("region", name="A record that can't be read")
    assert unread.count() >= 8
    with sheet.page.expect_download() as found:
        unread.first.get_by_role("button", name="Save as it was found").click()
    assert json.loads(Path(found.value.path()).read_text(encoding="utf-8"))["record"]
    before = unread.count()
    unread.first.get_by_role("button", name="Remove for good").click()
    again = unread.first.get_by_role("button", name="Remove for good? Press once more")
    one_tap_later(again)
    again.click()
    expect(unread).to_have_count(before - 1)
    sheet.page.evaluate("location.hash = '#record=no-data'")
    sheet.page.get_by_role("link", name="‹ All in progress").click()
    sheet.page.wait_for_selector("section.record >> nth=5")
    assert sheet.wrong == []


def test_random_damage_to_records(sheet, site):
    """Sixty spoiled copies of a good one at once; each that is opened from its own limits shows, or
    is said to be no whole record."""
    chance, record = random.Random(3), good(sheet)
    rows = [["records", spoiled(record, n, chance) | ({"revision": "0" * 12} if n % 2 else {})]
            for n in range(60)]
    sheet.page.evaluate(PUT, rows)
    look(sheet.page, site, sheet)
    opened = range(1, 60, 4)    # without the others, which every page would read again
    sheet.page.evaluate(TAKE, [f"spoiled-{n}" for n in range(60) if n not in opened])
    shown = []
    for n in opened:
        sheet.page.goto("about:blank")
        sheet.page.goto((site / "in-progress.html").as_uri() + f"#record=spoiled-{n}")
        sheet.page.wait_for_selector("#records section.record, body.bench-on, #as-begun a")
        shown.append(sheet.page.locator("body.bench-on").count())
    assert 0 < sum(shown) < len(opened)
    assert sheet.wrong == [] and sheet.page.evaluate("window.harm") is None


@pytest.mark.parametrize("address",
                         ["#record=%3Cscript%3E", "#record=../../x", "#record=" + "x" * 50_000,
                          "#record=__proto__", "#group-999", "#%E2%80%AE",
                          "?x=<script>window.harm=1</script>#record="])
def test_addresses_that_lead_nowhere(sheet, site, address):
    """The sheet and the list come up as ever."""
    for page in (f"procedures/{NAME}.html", "in-progress.html"):
        sheet.page.goto("about:blank")
        sheet.page.goto((site / page).as_uri() + address)
        sheet.page.wait_for_selector("body.bench-on, section.record")
    assert sheet.wrong == [] and sheet.page.evaluate("window.harm") is None
