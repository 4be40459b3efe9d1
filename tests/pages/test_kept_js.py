"""Nothing of a reading is overwritten: what is kept of one that is changed, how it counts on the
phone and in the report, and what can be taken back."""

from __future__ import annotations

import json

import pytest

from builder.records import record_files
from builder.records.report_lines import line_of
from tests.phone_bench import Sheet

pytestmark = pytest.mark.browser

# Sets fields one after another, each so many seconds after the one before, as a page does.
TYPED = """([steps, more]) => {
  const {record, sheet} = Bench, fields = new Map();
  let now = Date.parse('2026-11-25T09:00:00.000Z');
  const set = (name, value) => {
    const first = record.setFirst(sheet.data, name, value, fields);
    const lost = record.toTakeBack(sheet.data, name, value, fields);
    fields.set(name, {value, at: new Date(now).toISOString()});
    for (const one of first) set(...one);
    return lost;
  };
  const clock = Date.now;
  Date.now = () => now;
  const offers = [];
  for (const [name, value] of Object.entries(more)) set(name, value);
  for (const [wait, name, value] of steps) {
    now += wait * 1000;
    const point = sheet.data.points.find(one => name.startsWith(`point/${one.id}/`));
    if (name.endsWith('/why')) {
      const changed = record.tries(sheet.data, point, fields).filter(one => one.why).pop();
      record.sayWhy(point, changed, value, fields, set);
    } else offers.push(set(name, value));
  }
  Date.now = clock;
  const kept = {id: '2026-11-25-5c0a7e11', procedure: sheet.data.procedure,
    revision: sheet.data.revision, meter: sheet.data.meter, title: sheet.data.title,
    data: sheet.data, begun: '2026-11-25T08:00:00.000Z'};
  return {file: record.file(kept, fields), offers,
    tries: Object.fromEntries(sheet.data.points.map(point => [point.step, record
      .tries(sheet.data, point, fields)
      .map(one => [one.reading, one.why || '', one.cause])]))};
}"""
HEAD = {"serial": "7", "date": "2026-11-25", "state": "as found"}


@pytest.fixture
def typed(one_sheet: Sheet, tmp_path):
    """What is typed at a step, as (seconds since the key before, what, value), and what comes of it
    here and in the builder: the tries with their causes, and the outcome."""
    def run(step: str, *given: tuple, **more):
        name = f"point/{one_sheet.points[step]['id']}/"
        made = one_sheet.page.evaluate(
            TYPED, [[[wait, name + part, value] for wait, part, value in given],
                    HEAD | {name + part: value for part, value in more.items()}])
        path = tmp_path / "a.json"
        path.write_text(json.dumps(made["file"]), encoding="utf-8")
        record, problems = record_files.read_file(path, path.name)
        assert problems == [] and record is not None
        (judged,) = [one for one in record.judged if one.point.step == step]
        (point,) = [one for one in made["file"]["points"] if one["step"] == step]
        assert (point["outcome"] or "") == judged.outcome
        assert [one["cause"] or "" for one in point["readings"]] == [
            one.cause for one, _ in judged.tries]
        return made["tries"][step], judged, made["offers"]
    return run


@pytest.fixture
def step(one_sheet):
    return one_sheet.step("DC voltage", "3.000 V")


@pytest.mark.parametrize("given, tries, outcome", [
    # typed on, or mended at once: one reading
    ([(0, "1", "3"), (60, "1", "3.0"), (60, "1", "3.00")], [["3.00", "", ""]], "pass"),
    ([(0, "1", "3.1"), (9, "1", "3.0")], [["3.0", "", ""]], "pass"),
    ([(0, "1", "3.001"), (60, "1", "3.001/"), (1, "1", "3.001/3.003")],
     [["3.001/3.003", "", ""]], "pass"),
    # changed after it stood: both stay, and the worse counts until a cause voids the first
    ([(0, "1", "3.1"), (10, "1", "3.0")], [["3.1", "?", ""], ["3.0", "", ""]], "fail"),
    ([(0, "1", "3.1"), (10, "1", "3.0"), (1, "why", "read again")],
     [["3.1", "read again", ""], ["3.0", "", ""]], "fail"),
    ([(0, "1", "3.1"), (10, "1", "3.0"), (1, "why", "misread")],
     [["3.1", "misread", "misread"], ["3.0", "", ""]], "pass"),
    ([(0, "1", "3.1"), (10, "1", "3.0"), (1, "why", "mistyped")],
     [["3.1", "mistyped", "mistyped"], ["3.0", "", ""]], "pass"),
    # a cause that was chosen wrongly
    ([(0, "1", "3.1"), (10, "1", "3.0"), (1, "why", "misread"), (1, "why", "read again")],
     [["3.1", "read again", ""], ["3.0", "", ""]], "fail"),
    # a good one that was changed for a bad one
    ([(0, "1", "3.0"), (10, "1", "3.1"), (1, "why", "read again")],
     [["3.0", "read again", ""], ["3.1", "", ""]], "fail"),
    # deleted: it stays until a cause voids it
    ([(0, "1", "3.1"), (10, "1", "")], [["3.1", "?", ""]], "fail"),
    ([(0, "1", "3.1"), (10, "1", ""), (1, "why", "mistyped")],
     [["3.1", "mistyped", "mistyped"]], ""),
    # the same again is the same reading
    ([(0, "1", "3.0"), (10, "1", "3."), (1, "1", "3.0")], [["3.0", "", ""]], "pass"),
    # overload, key by key
    ([(0, "1", "3.0"), (60, "1", "OL"), (60, "1", "3.002")],
     [["3.0", "?", ""], ["OL", "?", ""], ["3.002", "", ""]], "fail"),
    # what says nothing is no reading that stood
    ([(0, "1", "3.00.1"), (60, "1", "3.001")], [["3.001", "", ""]], "pass"),
    ([(0, "1", "300"), (60, "1", "3.001")], [["3.001", "", ""]], "pass"),
    # a second try changed
    ([(0, "1", "3.1"), (60, "2", "3.2"), (60, "2", "3.0"), (1, "why", "mistyped")],
     [["3.1", "", ""], ["3.2", "mistyped", "mistyped"], ["3.0", "", ""]], "fail"),
])
def test_what_stays_and_what_counts(typed, step, given, tries, outcome):
    found, judged, _ = typed(step, *given)
    assert (found, judged.outcome) == (tries, outcome)


def test_a_clock_that_was_set_back_takes_nothing_away(typed, step):
    assert typed(step, (0, "1", "3.1"), (-4000, "1", "3.0"))[0] == [["3.1", "?", ""],
                                                                   ["3.0", "", ""]]


def test_the_time_of_a_reading_is_that_at_which_it_was_read(typed, step):
    _, judged, _ = typed(step, (0, "1", "3.1"), (60, "1", "3.0"), (60, "1", "3.1"))
    assert [(one.readings, one.at[11:19]) for one, _ in judged.tries] == [
        (("3.000 V",), "09:01:00"), (("3.100 V",), "09:00:00")]


def test_a_changed_reading_is_asked_about(one_sheet, step):
    """With one tap each: why, and back."""
    sheet, page = one_sheet, one_sheet.page
    row = sheet.row(step)
    undo = page.locator(".bench-bar .undo")
    older = """id => [...Bench.sheet.fields].filter(([name]) => name.startsWith('point/' + id))
      .forEach(([, one]) => { one.at = new Date(Date.parse(one.at) - 10000).toISOString() })"""
    sheet.type(step, "3.100")
    page.evaluate(older, sheet.points[step]["id"])
    assert not row.locator(".changed").is_visible() and not undo.is_visible()
    row.get_by_role("button", name="Overload").tap()
    assert sheet.field(step).input_value() == "OL" and sheet.outcome(step) == "fail"
    assert undo.inner_text() == f"Undo: step {step} was 3.100"
    undo.tap()
    assert sheet.field(step).input_value() == "3.100"
    assert not row.locator(".changed").is_visible()
    sheet.type(step, "3.000")
    assert "Why? Until then the worse counts." in row.locator(".changed").inner_text()
    assert row.locator(".changed s").inner_text() == "3.100"
    assert sheet.outcome(step) == "fail" and "The worse reading counts." in sheet.says(step)
    row.get_by_role("button", name="typed wrongly").tap()
    assert sheet.outcome(step) == "pass" and "void" in row.locator(".changed").inner_text()
    assert row.locator("[data-why=mistyped]").get_attribute("aria-pressed") == "true"
    keys = row.locator(".keys button").all_inner_texts()
    assert abs(keys.index("OL") - keys.index("±")) > 1 < abs(keys.index("OL") - keys.index("Next"))


def test_finished_paper_keeps_its_own_mistakes(one_sheet, step):
    """Whoever types it in mends a copy."""
    name = f"point/{one_sheet.points[step]['id']}/"
    made = one_sheet.page.evaluate(TYPED, [[[60, name + "1", "3.1"], [60, name + "1", "3.0"]],
                                           HEAD | {"from_paper": "yes"}])
    assert made["tries"][step] == [["3.0", "", ""]]


def test_a_compared_reading_stays_with_its_reference(typed, one_sheet):
    """Whichever of them is changed."""
    step = one_sheet.step("reference")
    before = {"1/reference": "470.10", "1/after": "470.20"}
    given = [(0, name, value) for name, value in (before | {"1": "471.2"}).items()]
    found, judged, _ = typed(step, *given, (60, "1/after", "470.1"), (1, "why", "misread"))
    assert found == [["471.2", "misread", "misread"], ["471.2", "", ""]]
    assert [one.reference for one, _ in judged.tries] == ["470.10 uF; 470.20 uF",
                                                          "470.10 uF; 470.1 uF"]


def test_a_report_prints_every_reading_that_was_changed(typed, step):
    """As METHODS has it: what is voided with its cause, what was read again as another reading."""
    _, judged, _ = typed(step, (0, "1", "3.100"), (20, "1", "3.000"), (1, "why", "misread"),
                         (60, "1", "3.002"), (1, "why", "read again"))
    said = " ".join(str(line_of(judged)).replace("\\xa0", " ").split())
    assert judged.outcome == "pass"
    assert "3.100" in said and "void, misread" in said and "3.000" in said and "3.002" in said, said


def test_what_can_be_taken_back(typed, step):
    """Not one key, which is typed again as quickly, and not what is only typed on."""
    *_, offers = typed(step, (0, "1", "3"), (1, "1", "3.0"), (1, "1", "3."), (1, "1", "OL"),
                       (1, "1", ""), (1, "1", "3.01"), (1, "1", ""))
    assert [one and (one["value"], one["words"]) for one in offers] == [
        None, None, None, ("3.", f"step {step} was 3."), ("OL", f"step {step} was OL"), None,
        ("3.01", f"step {step} was 3.01")]
