"""A record goes from one device to another: as a file or by the share sheet, whole, and put
together with what is there."""

from __future__ import annotations

import json
import random

import pytest
from playwright.sync_api import expect

from tests.conftest import WORKER
from tests.pages.test_ground_js import filled
from tests.phone_bench import NAME, NO_HOLDS, PHONE, Sheet, small_site

pytestmark = pytest.mark.browser
SCRIPTS = ("record_take_in.js",)
KEPT = """const {sheet} = Bench; const kept = {id: '2026-11-25-5c0a7e11', title: sheet.data.title,
  procedure: sheet.data.procedure, revision: sheet.data.revision, meter: sheet.data.meter,
  data: sheet.data, begun: '2026-11-25T08:00:00.000Z'};
  const made = given => new Map(Object.entries(given).map(([name, [value, at]]) =>
    [name, {value, at: `2026-11-25T09:${at}:00.000Z`}]));"""


@pytest.fixture(scope="module")
def sheet(one_sheet):
    from builder.pages.page_text import lean
    one_sheet.page.add_script_tag(content="".join(map(lean, SCRIPTS)))
    return one_sheet


def test_what_is_handed_over_is_taken_in_whole(sheet):
    """Every field with its time, so that the same file comes of it again."""
    rng = random.Random(5)
    for _ in range(10):
        given = {name: [value, f"{rng.randrange(60):02}"]
                 for name, value in filled(rng, sheet.data).items()}
        one, other, wrong = sheet.page.evaluate(f"""given => {{ {KEPT}
          const one = Bench.record.file(kept, made(given));
          const taken = Bench.record.takenIn(JSON.stringify(one));
          return [one, taken.wrong ? null : Bench.record.file(taken.record, taken.fields),
                  taken.wrong]; }}""", given)
        assert (other, wrong) == (one, None)


@pytest.mark.parametrize("spoil, wrong", [
    ("text.slice(0, 900)", "was cut short"), ("'[]'", "no record of a phone"),
    ("'null'", "no record of a phone"), ("''", "was cut short"),
    ("text.replace('\"format\":1', '\"format\":2')", "no record of a phone"),
    ("text.replace('5c0a7e11', '../../x')", "no record of a phone"),
    ("JSON.stringify({...file, typed: undefined})", "earlier version"),
    ("JSON.stringify({...file, revision: '000000000000'})", "no record of a phone"),
    ("JSON.stringify({...file, judged_by: {...file.judged_by, points: [{}]}})", "no whole record"),
])
def test_a_file_that_is_no_record_is_refused_with_its_reason(sheet, spoil, wrong):
    found = sheet.page.evaluate(f"""() => {{ {KEPT}
      const file = Bench.record.file(kept, made({{serial: ['7', '01']}}));
      const text = JSON.stringify(file); return Bench.record.takenIn({spoil}); }}""")
    assert wrong in found["wrong"]


def test_a_clock_that_runs_ahead_does_not_win_for_ever(sheet):
    found = sheet.page.evaluate(f"""() => {{ {KEPT}
      const file = Bench.record.file(kept, made({{}}));
      file.typed = {{serial: ['7', '2999-01-01T00:00:00.000Z'], state: 7, place: ['x', 'soon'],
                     deleted: ['yes', '2026-11-25T09:00:00.000Z']}};
      return [...Bench.record.takenIn(JSON.stringify(file), '2026-11-26T00:00:00.000Z').fields];
    }}""")
    assert found == [["serial", {"value": "7", "at": "2026-11-26T00:00:00.000Z"}]]


@pytest.mark.parametrize("mine, theirs, tries, others", [
    # each has what the other lacks; of the same field the latest counts
    ({"1": ["3.0", "01"], "place": ["here", "02"]},
     {"place": ["there", "03"], "owner": ["X", "01"]}, [["3.0", ""]],
     {"place": "there", "owner": "X"}),
    ({"place": ["here", "04"]}, {"1": ["3.0", "01"], "place": ["there", "03"]},
     [["3.0", ""]], {"place": "here"}),
    # two readings at one step: the earlier one stays, and why is asked
    ({"1": ["3.1", "01"]}, {"1": ["3.0", "02"]}, [["3.1", "?"], ["3.0", ""]], {}),
    ({"1": ["3.0", "02"]}, {"1": ["3.1", "01"]}, [["3.1", "?"], ["3.0", ""]], {}),
    ({"1": ["3.0", "02"]}, {"1": ["3.0", "01"]}, [["3.0", ""]], {}),
    ({"1": ["", "03"]}, {"1": ["3.1", "01"]}, [["3.1", "?"]], {}),
    # a no stays beside the yes that followed it on the other device
    ({"check/1.1": ["yes", "05"],
      "check/1.1/answers": ['[{"answer":"yes","at":"2026-11-25T09:05"}]', "05"]},
     {"check/1.1": ["no", "04"],
      "check/1.1/answers": ['[{"answer":"no","at":"2026-11-25T09:04"}]', "04"]},
     [], {"check/1.1": "yes", "check/1.1/answers":
          '[{"answer":"no","at":"2026-11-25T09:04"},{"answer":"yes","at":"2026-11-25T09:05"}]'}),
    ({"near_zero/9/earlier": ["0.1 V", "05"]}, {"near_zero/9/earlier": ["0.2 V", "04"]},
     [], {"near_zero/9/earlier": "0.1 V\n0.2 V"}),
])
def test_two_devices_are_put_together(sheet, mine, theirs, tries, others):
    step = sheet.step("DC voltage", "3.000 V")
    name = f"point/{sheet.points[step]['id']}/"
    here, there = ({name + part if part == "1" else part: value for part, value in one.items()}
                   for one in (mine, theirs))
    found, fields = sheet.page.evaluate(f"""([mine, theirs, step]) => {{ {KEPT}
      const fields = Bench.record.together(sheet.data, made(mine), made(theirs));
      const point = sheet.data.points.find(one => one.step === step);
      const tries = Bench.record.tries(sheet.data, point, fields);
      return [tries.map(one => [one.reading, one.why || '']),
              Object.fromEntries([...fields].map(([name, one]) => [name, one.value]))]; }}""",
                                        [here, there, step])
    assert found == tries and {key: fields[key] for key in others} == others


def test_a_record_goes_on_on_another_phone(tab, lasting_project, tmp_path):
    """Handed over as a file there, taken in here: the sheet goes on with every reading."""
    site = small_site(lasting_project)
    first = Sheet(tab(**PHONE, accept_downloads=True), (site / f"procedures/{NAME}.html").as_uri())
    step, other = first.step("DC voltage", "3.000 V"), first.step("DC voltage", "-3.000 V")
    first.page.locator("[data-field=serial] input").fill("A1")
    first.type(step, "3.001")
    path, bad = tmp_path / "a.json", tmp_path / "b.json"
    path.write_text(json.dumps(first.save()), encoding="utf-8")
    bad.write_text("{", encoding="utf-8")
    page = tab(**PHONE)
    page.add_init_script(NO_HOLDS)
    page.goto((site / "in-progress.html").as_uri())
    expect(page.locator(".needs")).to_contain_text("needs an address with https")
    take = page.get_by_label("Take in a record that was handed over")
    take.set_input_files([path, bad])
    says = page.locator(".taken-in li")
    expect(says).to_have_count(2)
    assert "a.json is taken in: serial A1" in says.first.inner_text()
    assert says.last.inner_text() == "b.json is no record, or was cut short."
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.get_by_role("link", name="Preview the report").tap()
    page.locator(".stated").wait_for()
    shown = page.locator("#records").inner_text().replace("\u00a0", " ")
    assert "This is no report." in shown and "States so far: no statement." in shown
    assert f"{step} DC voltage, 3.000 V · 2.986 V to 3.014 V · read 3.001 · ✓ within" in shown
    assert f"{other} DC voltage, −3.000 V" in shown and "1.1 " in shown and "not done" in shown
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.get_by_role("link", name="‹ All in progress").tap()
    page.get_by_role("link", name="Go on").tap()
    page.wait_for_selector("body.bench-on")
    second = Sheet.__new__(Sheet)
    second.page, second.wrong, second.points = page, [], first.points
    assert second.field(step).input_value() == "3.001" and second.outcome(step) == "pass"
    second.type(other, "-3.0")
    page.wait_for_timeout(300)
    page.goto((site / "in-progress.html").as_uri())
    take.set_input_files(path)
    expect(says).to_contain_text("put together with what is here: serial A1")
    assert page.evaluate("Bench.store.list().then(all => all.length)") == 1


def test_the_share_sheet_hands_to_the_installed_site(tab, served):
    """What its manifest promises: a file that is posted to the page is taken in by it."""
    page = tab(**PHONE, **WORKER)
    page.goto(served + "in-progress.html")
    expect(page.locator(".take-in")).to_be_visible()
    assert page.locator(".needs").count() == 0
    page.wait_for_function("navigator.serviceWorker.controller")
    manifest = page.evaluate("fetch(document.querySelector('link[rel=manifest]').href)"
                             ".then(got => got.json())")
    target = manifest["share_target"]
    assert manifest["display"] == "standalone" and target["action"] == "in-progress.html"
    icon = page.request.get(served + manifest["icons"][0]["src"])
    assert icon.ok and icon.body()[:4] == b"\x89PNG"
    page.evaluate("""([action, name]) => { const form = document.createElement('form');
      Object.assign(form, {action, method: 'post', enctype: 'multipart/form-data'});
      const input = Object.assign(document.createElement('input'), {type: 'file', name});
      const files = new DataTransfer(); files.items.add(new File(['{}'], 'ø 1.json'));
      input.files = files.files; form.append(input); document.body.append(form);
      form.submit(); }""",
                  [target["action"], target["params"]["files"][0]["name"]])
    expect(page.locator(".taken-in li")).to_have_text("ø 1.json is no record of a phone.")
    page.reload()
    page.locator(".take-in").wait_for()
    assert page.locator(".taken-in li").count() == 0
