"""What was typed stays: reloads, a browser that is killed, tabs, full and missing stores, new
revisions; and it is handed over whole."""

from __future__ import annotations

import contextlib
import json
import shutil
import subprocess
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import expect

from tests.conftest import MOVING, needed
from tests.main_thread import MainThread
from tests.phone_bench import (NAME, PHONE, Killable, Sheet, one_tap_later, small_site,
                               validate)

pytestmark = pytest.mark.browser


@pytest.fixture
def address(lasting_project) -> str:
    return (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri()


def quick(sheet: Sheet, step: str, text: str) -> None:
    """Keys faster than any hand: all in one turn of the page."""
    sheet.field(step).evaluate(
        """(field, text) => { for (const key of text) {
          field.value += key; field.dispatchEvent(new Event("input")) } }""", text)


# ---------------------------------------------------------------- reloads, kills, tabs

def test_a_reload_keeps_every_key(tab, address):
    """However quick the first keys were, and whatever group was gone to since: the record goes on
    where it was, from one tap, once it has its serial number."""
    sheet = Sheet(tab(**PHONE), address)
    step, other = sheet.step("DC voltage", "3.000 V"), sheet.step("DC voltage", "-3.000 V")
    quick(sheet, step, "3.0012"[:5])
    sheet.type(other, "-3.0")
    sheet.page.evaluate("location.hash = 'group-3'")
    sheet.kept()
    before = sheet.progress
    sheet.open()
    assert (sheet.field(step).input_value(), sheet.field(other).input_value(),
            sheet.progress) == ("3.001", "-3.0", before)
    go_on = sheet.page.get_by_role("button", name="Go on", exact=True)
    go_on.click()
    assert sheet.page.evaluate("document.activeElement.closest('[data-field]').dataset.field"
                               ) == "serial"
    sheet.page.keyboard.type("7")
    go_on.click()
    assert sheet.page.evaluate("!!document.activeElement.closest('.group')")
    assert len(sheet.page.evaluate("Bench.store.list()")) == 1


def test_keys_before_the_records_are_read_are_kept_too(tab, address):
    """A page that is slow to read its records adds what is typed meanwhile to the record that goes
    on."""
    sheet = Sheet(tab(), address)
    step, other = sheet.step("DC voltage", "3.000 V"), sheet.step("DC voltage", "-3.000 V")
    sheet.type(step, "3.001").kept()
    sheet.page.add_init_script(
        "const open = IDBFactory.prototype.open; IDBFactory.prototype.open = function (...all) { "
        "const later = {}; setTimeout(() => { const r = open.apply(this, all); "
        "for (const name of ['onupgradeneeded', 'onsuccess', 'onerror']) r[name] = e => { "
        "later.result = r.result; later[name] && later[name](e) } }, 600); return later }")
    sheet.page.goto(address)
    sheet.field(other).fill("-2.999")
    sheet.ready().kept()
    sheet.open()
    assert (sheet.field(step).input_value(),
            sheet.field(other).input_value()) == ("3.001", "-2.999")
    assert len(sheet.page.evaluate("Bench.store.list()")) == 1


def test_a_browser_that_is_killed_loses_at_most_one_key(browser, address, tmp_path):
    """Ended by force in the middle of typing, five times: once the store has said that a key is on
    the disk it comes back, with all before it, so that a kill right after the next key loses that
    one at most. How long the disk takes until then is the machine's."""
    with Killable(browser, tmp_path / "profile") as killable:
        sheet = Sheet(killable.start(), address)
        for step in [step for step in sheet.points if not sheet.points[step]["hazard"]][:5]:
            sheet.field(step).fill("")
            sheet.field(step).focus()
            sheet.page.keyboard.type("-12345.67", delay=40)
            sheet.kept_value(step, "-12345.67")
            sheet.page.keyboard.type("8")
            killable.kill()
            sheet = Sheet(killable.start(), address)
            assert sheet.field(step).input_value() in ("-12345.67", "-12345.678"), step
        assert len(sheet.page.evaluate("Bench.store.list()")) == 1


def test_two_tabs_of_one_record(tab, address):
    """Each shows at once what the other writes, in a field that has the focus too, and neither
    overwrites the other's fields."""
    first = Sheet(tab(), address)
    a, b, c = list(first.points)[0], first.step("DC voltage",
                                                "-3.000 V"), first.step("DC voltage", "5.000 V")
    first.type(a, "1").kept()
    second = Sheet(first.page.context.new_page(), first.page.url)
    second.field(a).focus()
    first.type(b, "-3.001")
    first.type(a, "2.5")
    expect(second.field(b)).to_have_value("-3.001")
    expect(second.field(a)).to_have_value("2.5")
    assert second.outcome(b) == "pass"
    second.type(c, "5.0")
    expect(first.field(c)).to_have_value("5.0")
    quick(first, b, "9")
    quick(second, c, "01")
    first.kept(), second.kept()
    for sheet in (first.open(), second.open()):
        assert [sheet.field(step).input_value()
                for step in (a, b, c)] == ["2.5", "-3.0019", "5.001"]
    assert first.wrong == second.wrong == []


def test_two_fresh_tabs_make_one_record(tab, address):
    """What one of them begins the other goes on with, whether it heard of it or not; a record of
    its own is asked for."""
    first = Sheet(tab(**PHONE), address)
    second = Sheet(first.page.context.new_page(), address)
    deaf = Sheet(first.page.context.new_page(), address)
    deaf.page.evaluate("Bench.store.list = (list => () => list().then(all => all.filter(one => "
                       "window.hears)))(Bench.store.list)")
    step, other = first.step("DC voltage", "3.000 V"), first.step("DC voltage", "-3.000 V")
    first.page.locator("[data-field=serial] input").fill("A1")
    expect(second.page.locator(".bench-bar .whose")).to_have_text("A1")
    assert second.type(step, "3.001").outcome(step) == "pass"
    second.kept()
    deaf.page.evaluate("window.hears = true")
    deaf.type(other, "-3").kept()
    expect(deaf.page.locator("[data-field=serial] input")).to_have_value("A1")
    for sheet in (first, second, deaf):
        expect(sheet.field(other)).to_have_value("-3")
        assert sheet.field(step).input_value() == "3.001"
    (kept,) = first.page.evaluate("Bench.store.list()")
    second.page.get_by_role("button", name="Begin another meter").tap()
    second.page.locator("[data-field=serial] input").fill("B2")
    second.kept()
    assert len(first.page.evaluate("Bench.store.list()")) == 2
    assert first.page.locator("[data-field=serial] input").input_value() == "A1"
    assert first.wrong == second.wrong == deaf.wrong == []


def test_which_of_several_records_is_asked(tab, address):
    """In a tab that knows none of them, before anything can be typed; an address with a serial
    number needs no question, goes on with its record or begins one."""
    sheet = Sheet(tab(**PHONE), address)
    page = sheet.page
    for serial in ("A1", "B2"):
        page.locator("[data-field=serial] input").fill(serial)
        page.locator("[data-field=place] input").fill("Bench 2")
        sheet.kept()
        page.get_by_role("button", name="Begin another meter").tap()
        assert page.locator("[data-field=place] input").input_value() == "Bench 2"
        assert page.locator("[data-field=serial] input").input_value() == ""
    fresh = page.context.new_page()
    fresh.goto(address)
    asked = fresh.get_by_role("dialog", name="Which meter is on the bench?")
    asked.wait_for()
    assert [one[:9] for one in asked.get_by_role("button").all_inner_texts()] == [
        "serial B2", "serial A1", "Another m"]
    fresh.keyboard.press("Escape")
    assert asked.is_visible() and fresh.evaluate("document.documentElement.scrollWidth") == 360
    asked.get_by_role("button", name="serial A1").tap()
    fresh.wait_for_selector("body.bench-on")
    expect(fresh.locator(".bench-bar .whose")).to_have_text("A1")
    for serial, found in (("b 2", "B2"), ("C%203", "C 3")):
        fresh.goto("about:blank")
        fresh.goto(f"{address}#serial={serial}")
        fresh.wait_for_selector("body.bench-on")
        expect(fresh.locator("[data-field=serial] input")).to_have_value(found)
    assert len(fresh.evaluate("Bench.store.list()")) == 2
    fresh.locator("[data-field=place] input").fill("here")
    fresh.wait_for_function("Bench.store.list().then(all => all.length === 3)")
    assert sheet.wrong == []


def test_a_tab_that_heard_nothing_catches_up(tab, address):
    """Where tabs can't speak to each other, one that comes to the front reads again."""
    page = tab()
    page.context.add_init_script("delete window.BroadcastChannel")
    first = Sheet(page, address)
    step, other = first.step("DC voltage", "3.000 V"), first.step("DC voltage", "-3.000 V")
    first.type(step, "3.0").kept()
    second = Sheet(page.context.new_page(), first.page.url)
    second.type(other, "-3").kept()
    first.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(first.field(other)).to_have_value("-3")
    assert first.field(step).input_value() == "3.0"


# ---------------------------------------------------------------- no store, a full store

FULL = {
    "forbidden": "IDBFactory.prototype.open = () => { throw new DOMException('no', "
    "'SecurityError') }",
    "missing": "Object.defineProperty(window, 'indexedDB', {value: undefined}); "
    "Object.defineProperty(window, 'sessionStorage', {get() { throw new DOMException('no', "
    "'SecurityError') }})",
    "failing": "IDBFactory.prototype.open = () => { const r = {}; setTimeout(() => r.onerror({})); "
    "return r }",
    "silent": "IDBFactory.prototype.open = () => ({})",
}


@pytest.mark.parametrize("how", FULL)
def test_without_a_store_the_page_goes_on_and_says_so(tab, address, how):
    """In words at the head, in the bar that is always in view, and to a screen reader; what is
    handed over is complete."""
    page = tab(accept_downloads=True, **PHONE)
    page.add_init_script(FULL[how])
    sheet = Sheet(page, address)
    step = sheet.step("DC voltage", "3.000 V")
    sheet.type(step, "3.001")
    expect(page.locator(".trouble[role=alert]")).to_have_text(
        "Readings can't be kept on this device (a private window, or a store that is full or "
        "switched off). Hand the record over before you close this page.", timeout=8000)
    assert page.locator(".bench-bar .not-kept").is_visible() and sheet.outcome(step) == "pass"
    record = sheet.save()
    validate(record)
    assert [one["reading"] for point in record["points"] if point["step"] == step
            for one in point["readings"]] == ["3.001 V"]
    assert sheet.wrong == []
    page.goto(address.replace(f"procedures/{NAME}", "in-progress"))
    expect(page.locator(".trouble")).to_be_visible(timeout=8000)
    assert page.locator("#records").inner_text().startswith(
        "Nothing is in progress on this device")


@pytest.mark.parametrize("how",
                         ["throw new DOMException('full', 'QuotaExceededError')",
                          "setTimeout(() => { try { this.transaction.abort() } catch (e) {} }); "
                          "return put.apply(this, all)"])
def test_a_full_store_is_written_again_when_there_is_room(tab, address, how):
    """Nothing of what failed is lost, the record's own head neither, and the page stops saying so
    once all is kept."""
    page = tab()
    page.add_init_script(
        "window.full = true; const put = IDBObjectStore.prototype.put; "
        "IDBTransaction.prototype.commit = undefined; "
        f"IDBObjectStore.prototype.put = function (...all) {{ if (!window.full) return "
        f"put.apply(this, all); {how} }}")
    sheet = Sheet(page, address)
    step, other = sheet.step("DC voltage", "3.000 V"), sheet.step("DC voltage", "-3.000 V")
    sheet.type(step, "3.001")
    expect(page.locator(".trouble")).to_be_visible()
    page.evaluate("window.full = false")
    sheet.type(other, "-3")
    expect(page.locator(".trouble")).to_be_hidden()
    page.add_init_script("window.full = false")
    sheet.open()
    assert (sheet.field(step).input_value(), sheet.field(other).input_value()) == ("3.001", "-3")
    assert sheet.wrong == []


def test_an_address_that_names_a_serial_number(tab, address):
    """As on a meter's label or in the shop's list: its record goes on, or begins with that number,
    whatever stands in it; until then a reload asks for it again."""
    sheet = Sheet(tab(**PHONE), address + "#serial=%3Cb%3EA%26%201%25")
    page, step = sheet.page, sheet.step("DC voltage", "3.000 V")
    serial = page.locator("[data-field=serial] input")
    assert serial.input_value() == "<b>A& 1%"
    page.reload()
    sheet.ready()
    assert serial.input_value() == "<b>A& 1%"
    sheet.type(step, "3.001").kept()
    assert page.locator(".bench-bar .whose").inner_text() == "<b>A& 1%" and "serial" not in page.url
    for asked, held, read in (("?serial=%", "<b>A& 1%", "3.001"), ("?serial=B2", "B2", ""),
                              ("#serial=%3Cb%3Ea%26%201%25", "<b>A& 1%", "3.001")):
        other = Sheet(page.context.new_page(), address + asked)
        assert other.page.locator("[data-field=serial] input").input_value() == held
        assert other.field(step).input_value() == read and other.wrong == []
        if held == "B2":
            other.type(step, "2.9").kept()
            assert "?" not in other.page.url


# ---------------------------------------------------------------- several meters, other revisions

def test_several_meters_at_once(tab, address):
    """Two in work on one sheet: each goes on, is listed with how far it is, and is deleted only
    when asked twice."""
    sheet = Sheet(tab(**PHONE, accept_downloads=True), address)
    page, step = sheet.page, sheet.step("DC voltage", "3.000 V")
    for serial, typed in (("A1", "3.001"), ("B2", "3.1")):
        page.locator("[data-field=serial] input").fill(serial)
        sheet.type(step, typed).kept()
        if serial == "A1":
            sheet.row(step).get_by_role("button", name="Note").tap()
            page.get_by_role("button", name="Begin another meter").tap()
            assert sheet.field(step).input_value() == "" and sheet.progress.startswith(
                "0 of") and not sheet.row(step).locator(".typed.wide").is_visible()
    sheet.open()
    assert page.locator("[data-field=serial] input").input_value() == "B2"
    page.get_by_role("button", name="Go on with serial A1").tap()
    expect(sheet.field(step)).to_have_value("3.001")
    page.goto(address.replace(f"procedures/{NAME}", "in-progress"))
    cards = page.locator("section.record")
    expect(cards).to_have_count(2)
    assert ["serial B2" in cards.nth(0).inner_text(), "1 failed" in cards.nth(0).inner_text(),
            "serial A1" in cards.nth(1).inner_text()] == [True] * 3
    with page.expect_download() as found:
        cards.nth(1).get_by_role("button", name="Save as a file").tap()
    validate(json.loads(Path(found.value.path()).read_text(encoding="utf-8")))
    assert "handed over" in cards.nth(1).inner_text()
    assert "never handed over" in cards.nth(0).inner_text()
    cards.nth(1).get_by_role("button", name="Delete").tap()
    gone = page.locator("section.record.deleted")
    expect(gone).to_have_count(1)
    assert "serial A1" in gone.inner_text() and "handed over" in gone.inner_text()
    gone.get_by_role("button", name="Bring it back").tap()
    expect(gone).to_have_count(0)
    cards.filter(has_text="serial A1").get_by_role("button", name="Delete").tap()
    remove = gone.get_by_role("button", name="Remove for good")
    remove.dblclick()  # once, however quick
    assert remove.inner_text() == "Remove for good? Press once more"
    one_tap_later(remove)
    expect(gone).to_have_count(1)
    remove.click()
    expect(gone).to_have_count(0)
    expect(cards).to_have_count(1)
    cards.get_by_role("link", name="Go on").tap()
    sheet.ready()
    assert page.locator("[data-field=serial] input").input_value() == "B2" and sheet.field(
        step).input_value() == "3.1"


def test_a_record_of_another_revision_goes_on_with_its_own_limits(tab, lasting_project, tmp_path):
    """The sheet says that it was begun under another one; it goes on beside, judged by what it
    began with, and is handed over so."""
    site = shutil.copytree(small_site(lasting_project), tmp_path / "site")
    page, other = site / f"procedures/{NAME}.html", site / "in-progress.html"
    # the style of its foot is not the one that it was built with
    sheet = Sheet(tab(**PHONE, accept_downloads=True, may_refuse=True), page.as_uri())
    step, live, before = sheet.step("DC voltage",
                                    "3.000 V"), sheet.step("hazardous live"), sheet.data
    good = [words.partition(" Often wrong")[0]    # a record carries no mistakes
            for words in sheet.page.locator("td.good").all_text_contents()]
    assert any("(no: stop)" in words for words in good)
    sheet.type(step, "3.012").kept()
    for path in (page, other):
        path.write_text(
            path.read_text(encoding="utf-8").replace(before["revision"], "0123456789ab"),
            encoding="utf-8")
    page.write_text(
        page.read_text(encoding="utf-8").replace('"slope":"0.004"', '"slope":"0.001"').replace(
            '"high_counts":3014', '"high_counts":3005'), encoding="utf-8")
    sheet.open()
    assert sheet.progress.startswith("0 of") and sheet.type(step, "3.012").outcome(step) == "fail"
    sheet.page.get_by_role("button", name="Begin another meter").tap()
    link = sheet.page.locator(".bench-bar a.older-record[href*=record]")
    expect(link).to_contain_text(f"goes on under revision {before['revision']}, its own limits")
    link.tap()
    page = sheet.page
    page.wait_for_url("**/as-begun_.html#record=*")
    sheet.ready()
    assert sheet.data == before and page.locator("article h1").inner_text() == before["title"]
    assert page.locator("td.good").all_text_contents() == good    # and what a no stops
    expect(page.locator(".bench-bar a.older-record:visible")).to_have_text(
        f"Revision {before['revision']}, its own limits")
    assert page.get_by_role("button", name="Begin another meter").count() == 0
    assert [sheet.row(step).locator(f"td.{name}").inner_text() for name in ("from", "to")] == [
        "2.986", "3.014\u00a0V"] and sheet.says(step).startswith("✓ within")
    page.get_by_role("button", name="Bench view").tap()     # the same view, and remembered
    page.wait_for_selector("body.bench-view")
    page.evaluate("id => Bench.view.show(Bench.view.stops.find(one => one.point?.id === id))",
                  sheet.points[step]["id"])
    for key in ("⌫", "⌫", "2"):
        page.get_by_role("button", name="Delete the last sign" if key == "⌫" else key,
                         exact=True).tap()
    assert sheet.field(step).input_value() == "3.02" and "not within" in sheet.says(step)
    page.get_by_role("button", name="The whole page").tap()
    sheet.row(step).get_by_role("button", name="Try once more").tap()
    page.keyboard.type("3.0")
    sheet.row(step).get_by_role("button", name="Note").tap()
    sheet.row(step).get_by_label("Note at step").fill("again")
    assert sheet.field(live).is_disabled()
    sheet.open_live(live)
    assert "still live" in page.locator("button.open-group:disabled").first.inner_text()
    page.get_by_label("not completed").check()
    sheet.kept()
    page.reload()
    sheet.ready()
    expect(sheet.field(step, 2)).to_have_value("3.0")
    record = sheet.save()
    validate(record)
    (point,) = [point for point in record["points"] if point["step"] == step]
    assert [one["outcome"]
            for one in point["readings"]][-2:] == ["fail", "pass"] and point["note"] == "again"
    assert (record["revision"], record["judged_by"],
            record["verdict"]) == (before["revision"], before, "not completed")
    assert page.evaluate("document.documentElement.scrollWidth") == 360 and sheet.wrong == []
    page.get_by_role("link", name="All in progress").tap()
    expect(page.locator("section.record")).to_have_count(2)
    assert "Begun under revision" in page.locator(
        "section.record", has_text="verdict: not completed").inner_text()


# ---------------------------------------------------------------- sharing, paper

@pytest.mark.parametrize("takes, ends, said, given", [
    (".json", "", "was handed over.", ".json"), (".txt", "", "was handed over.", ".json.txt"),
    ("nothing", "", "is in the downloads.", None),
    (".json", "AbortError", "Nothing was handed over.", None),
    (".json", "NotAllowedError", "is in the downloads.", None),
])
def test_a_record_is_shared_by_the_systems_own_way(tab, address, takes, ends, said, given):
    """As a file, as a text where no JSON is taken, else as a download; whoever turns back has
    handed over nothing."""
    page = tab(accept_downloads=True, **PHONE)
    page.add_init_script(f"""
      navigator.canShare = what => what.files[0].name.endsWith({json.dumps(takes)});
      navigator.share = async what => {{ if ({json.dumps(ends)})
          throw new DOMException('x', {json.dumps(ends)});
          window.given = [what.files[0].name, await what.files[0].text()] }}""")
    sheet = Sheet(page, address)
    sheet.type(sheet.step("DC voltage", "3.000 V"), "3.001")
    with page.expect_download() if "downloads" in said else contextlib.nullcontext():
        page.get_by_role("button", name="Share the record").tap()
    expect(page.locator(".handed")).to_contain_text(said)
    found = page.evaluate("window.given")
    assert (found is None) == (given is None)
    if found:
        assert found[0].endswith(given)
        validate(json.loads(found[1]))


def pictures(pdf, folder) -> list[bytes]:
    folder.mkdir()
    subprocess.run(["pdftoppm", "-r", "60", "-gray", str(pdf), str(folder / "page")], check=True)
    return [path.read_bytes() for path in sorted(folder.iterdir())]


def test_a_blank_sheet_prints_the_same_with_and_without_scripts(tab, address, tmp_path):
    """Word for word and dot for dot."""
    needed(shutil.which("pdftoppm"), "poppler-utils")
    found = []
    for scripts in (True, False):
        page, pdf = tab(java_script_enabled=scripts), tmp_path / f"{scripts}.pdf"
        page.goto(address)
        if scripts:
            page.wait_for_selector("body.bench-on")
        page.pdf(path=pdf, format="A4", print_background=True)
        found.append(([one.extract_text() for one in pypdf.PdfReader(pdf).pages],
                      pictures(pdf, tmp_path / f"pages {scripts}")))
    assert found[0] == found[1]


def test_a_filled_sheet_prints_its_readings(tab, address, tmp_path):
    """Each reading, in its cell and whole, with ticks at what was done and judged; as many pages as
    blank."""
    page = tab()
    sheet = Sheet(page, address)
    blank = page.pdf(path=tmp_path / "blank.pdf", format="A4")
    readings = {sheet.step("DC voltage", "3.000 V"): "3.1",
                sheet.step("DC voltage", "-3.000 V"): "-3.007", sheet.step("zero"): "0.3",
                sheet.step("artifact"): "100.4", sheet.step("reference"): "471.2"}
    for step, text in readings.items():
        sheet.type(step, text)
    sheet.reference(sheet.step("reference")).fill("470.10")
    first = sheet.step("DC voltage", "3.000 V")
    sheet.row(first).locator("input.reads").first.focus()
    sheet.row(first).get_by_role("button", name="Try once more").click()
    page.keyboard.type("3.013")
    sheet.row(first).get_by_role("button", name="Note").click()
    page.keyboard.type("a loose plug")
    page.locator("[data-field=serial] input").fill("A 12345")
    page.locator("[data-field=state]").get_by_label("as found").check()
    page.get_by_role("button", name="case: good", exact=False).first.click()
    sheet.group(first).locator(".before input[type=checkbox]").first.check()
    page.pdf(path=tmp_path / "filled.pdf", format="A4")
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(tmp_path / "filled.pdf").pages)
    for word in [*readings.values(), "470.10", "3.013", "A 12345", "100.1", "1.1",
                 f"Notes at {first}: a loose plug"]:
        assert word.replace("-", "−") in text or word in text, word
    # a tick of each step read, a mark of each verdict; the state, a check, a step
    assert text.count("✓") >= 5 + 5 + 3
    assert len(pypdf.PdfReader(tmp_path / "filled.pdf").pages) == len(
        pypdf.PdfReader(tmp_path / "blank.pdf").pages) and blank
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 718, "height": 1000})  # A4 between its margins
    out = page.evaluate("""() => [...document.querySelectorAll('td input.typed')]
      .filter(e => e.value && e.checkVisibility())
      .map(e => [e.value, e.getBoundingClientRect(), e.closest('td').getBoundingClientRect(),
                 e.scrollWidth > e.clientWidth])
      .filter(([, a, b, cut]) => cut || a.left < b.left - .5 || a.right > b.right + .5
          || a.top < b.top - .5 || a.bottom > b.bottom + .5)
          .map(([v, a, b, cut]) => [v, cut, a.toJSON(), b.toJSON()])""")
    assert out == []


# ---------------------------------------------------------------- quick enough

def test_a_key_takes_no_time(tab, demo, lasting_project):
    """On the largest sheet of the demo, and with 300 points, the page is done with a key within 50
    ms, the layout included; the quickest of several tries counts, since other work may run
    beside."""
    from tests import small_shop as shop
    steps = [{"function": "DC voltage", "range": "6 V",
              "apply": [f"{(700 + 17 * n) / 1000} V" for n in range(300)]}]
    big = lasting_project().write(
        meter=shop.meter(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                                       dial="V DC")), standard=shop.standard(),
        plan=shop.plan(*steps)).build()
    for address in (demo.site / "procedures/whimbrel-200-yearly.html",
                    big.site / f"procedures/{NAME}.html"):
        sheet = Sheet(tab(**PHONE), address.as_uri())
        step = [step for step, point in sheet.points.items() if not point["hazard"]][-1]
        times = sheet.page.evaluate("""id => { const row = document.getElementById(id);
          const field = row.querySelector('input.reads'); field.focus();
          return [...'123456789'].map(key => { const began = performance.now(); field.value = key;
              field.dispatchEvent(new Event('input')); row.getBoundingClientRect();
              return performance.now() - began }) }""", sheet.points[step]["id"])
        print(f"\n{len(sheet.points)} points: a key takes {min(times):.1f} to {max(times):.1f} ms")
        assert min(times) < 50


def test_a_slow_phone_shows_the_verdict_at_once(tab, demo):
    """From the key to the frame that shows its verdict, on the largest sheet of the demo: with a
    processor four times as slow a tenth of a second is aimed at. What is held is how much of a
    processor it takes, beside a fixed piece of work that takes 8 to 9 ms where the limit was set:
    neither other work nor a slow machine counts. The middle of several keys does."""
    sheet = Sheet(tab(**PHONE, **MOVING),
                  (demo.site / "procedures/whimbrel-200-yearly.html").as_uri())
    step = [step for step, point in sheet.points.items()
            if not point["hazard"] and point["kind"] == "source"][-1]
    sheet.type(step, "1")    # the first key begins the record
    sheet.kept()
    thread, seen, took = MainThread(sheet.page), [], []
    for key in (".", "7", "9", "9", "1", "Backspace", "2", "Backspace", "3"):
        unit = thread.unit()
        with thread.spent() as spent:
            sheet.page.keyboard.press(key)
        took.append((spent.ms / unit, spent.ms))
        seen.append(sheet.says(step))
    middle, ms = sorted(took)[len(took) // 2]
    print(f"\n{len(sheet.points)} points: a key takes {ms:.0f} ms, {middle:.1f} units")
    assert len(set(seen)) > 2 and middle < 2
