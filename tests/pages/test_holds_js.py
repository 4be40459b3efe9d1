"""Holds on the phone: what a no keeps shut, how it opens again, and that nothing deadlocks: every
sheet of the demo and two hundred random ones, each check answered in every way."""

from __future__ import annotations

import json
import random

import pytest
from playwright.sync_api import expect

from tests.phone_bench import NAME, PHONE, UNDER_ANOTHER, Sheet, small_site, validate

pytestmark = pytest.mark.browser


# Works through a sheet in its order, as far as its gates let it. `answers` are given at each check,
# one behind the other where a hold waits for it: `repaired` says whether the later ones are given.
# Groups end by near zero or otherwise. → what went wrong, and the groups that were never opened.
WALK = """({data, answers, repaired, otherwise}) => {
  const {record} = Bench, fields = new Map(), wrong = [];
  let now = 0;
  const time = () => new Date(1.8e12 + 1000 * now++).toISOString();
  const set = (name, value) => fields.set(name, {value, at: time()});
  const answer = (check, said) => {
    if (said === record.NOT_HERE && check.always !== false) said = 'yes';
    record.answer(check, said, fields, set, time());
    if (said === record.NOT_HERE) {
      if (record.isGood(check, fields)) wrong.push(check.step + ' is good without initials');
      set(`check/${check.step}/by`, 'AB');
    }
    return said;
  };
  const reached = new Set();
  const shut = [];
  for (const group of data.groups) {
    const own = data.checks.filter(one => one.group === group.group);
    for (const check of own) {
      const stands = record.gate(data, group, fields);
      if (stands.barred && !record.isHeldFor(data, check)) continue;
      answer(check, answers[0]);
    }
    const waiting = record.waiting(data, record.heldAt(data, group, fields) || group, fields);
    for (const check of waiting) {
      if (!reached.has(check.group)) wrong.push(`${group.group} waits for ${check.step}`);
      if (repaired) for (const said of answers.slice(1)) answer(check, said);
    }
    const stands = record.gate(data, group, fields);
    if (stands.barred) { shut.push(group.group); reached.add(group.group); continue; }
    reached.add(group.group);
    if (!group.hazard) { if (stands.shut) wrong.push(group.group + ' is shut'); continue; }
    group.opening.forEach((_, n) => {
      if (!record.gate(data, group, fields).disabled) wrong.push(group.group + ' opens early');
      set(`tick/${group.group}/before/${n}`, 'yes');
    });
    if (record.gate(data, group, fields).disabled) wrong.push(group.group + ' does not open');
    record.begin(data, group, fields, set, time());
    if (record.gate(data, group, fields).shut) wrong.push(group.group + ' is shut when opened');
    for (const point of data.points.filter(one => one.group === group.group && !one.find))
      set(`point/${point.id}/1`, point.apply.split(' ')[0]);
    const later = data.groups.find(one => one.hazard && one !== group);
    if (later && !record.gate(data, later, fields).disabled) wrong.push('two groups are live');
    const closed = () => record.live(data, fields).length === 0;
    group.closing.forEach((_, n) => set(`tick/${group.group}/after/${n}`, 'yes'));
    if (group.near_zero && closed()) wrong.push(group.group + ' closed without a reading');
    if (otherwise)
      for (const part of record.OTHERWISE)
        set(`otherwise/${group.group}/${part}`, part === 'reads' ? '0.0 V' : 'yes');
    else set('near_zero/' + group.group, '-0.002 V');
    if (!closed()) wrong.push(group.group + ' does not close');
  }
  return {wrong, shut, answers: data.checks.map(one => record.answers(one, fields).length)};
}"""
WAYS = [["yes"], ["no", "yes"], ["not on this meter"], ["no", "no", "yes"],
        ["no", "not on this meter"]]


def walk(page, data: dict, answers: list[str], repaired: bool = True,
         otherwise: bool = False) -> dict:
    return page.evaluate(f"text => ({WALK})(JSON.parse(text))", json.dumps(
        {"data": data, "answers": answers, "repaired": repaired, "otherwise": otherwise}))


def random_sheet(rng: random.Random) -> dict:
    """Groups of checks and of points, live or not; holds before any of them, over any checks that
    stand before."""
    groups, checks, points = [], [], []
    for n in range(rng.randint(2, 9)):
        name, live = str(n + 1), rng.random() < 0.3
        before = [one["step"] for one in checks]
        hold = None
        if before and rng.random() < 0.4:
            hold = {"before": rng.choice(["energy", "hazardous voltage"]), "not_checked": [],
                    "checks": rng.sample(before, rng.randint(0, len(before)))}
        steps = rng.randint(1, 4)
        groups.append({
            "group": name, "title": f"group {name}", "hold": hold,
            "hazard": "hazardous live" if live else None,
            "opening": ["Source: standby"] * steps, "near_zero": "V" if live else None,
            "closing": ["Source: to 0 V", "Source: standby"][:rng.randint(1, 2)],
            "near_zero_limit": "1 V", "hazardous_from": "30 V", "jacks": [], "warnings": []})
        for m in range(rng.randint(0, 3) if not live else 0):
            checks.append({"group": name, "step": f"{name}.{m + 1}", "check": f"check {m}",
                           "always": rng.random() < 0.4, "stops": "everything", "of": "meter"})
        for m in range(rng.randint(1, 3) if live else 0):
            points.append({
                "group": name, "step": f"{name}.{m + 5}", "id": f"p{name}-{m}", "kind": "source",
                "unit": "V", "decimals": 1, "resolution": "0.1 V",
                "apply": f"{rng.randint(61, 900)}.0 V",
                "expected": None, "range": "1000 V", "slope": "0.01", "offset": "0.3 V",
                "accept": {"low": "0.0 V", "high": "999.9 V", "low_counts": 0, "high_counts": 9999},
                "tolerance_limits": None,
                "conditional": None, "hazard": "hazardous live", "find": None, "level": None,
                "zero": None, "correction": None, "highest": "1000.0 V"})
    return {"groups": groups, "checks": checks, "points": points}


@pytest.fixture(scope="module")
def sheets(demo_shop) -> list[dict]:
    """Those of the demo, and random ones."""
    shop, rng = demo_shop, random.Random(7)
    assert all(any(group["hold"] for group in one.data["groups"])
               for one in shop.procedures.values())
    return [*(one.data for one in shop.procedures.values()),
            *(random_sheet(rng) for _ in range(200))]


@pytest.mark.parametrize("answers", WAYS, ids="-".join)
def test_no_hold_deadlocks(page, sheets, answers):
    """Answered yes, no and then yes, not on this meter: every group is reached, opened and closed,
    by its reading or otherwise."""
    for n, data in enumerate(sheets):
        found = walk(page, data, answers, otherwise=bool(n % 2))
        assert (found["wrong"], found["shut"]) == ([], []), data["groups"]


def test_a_no_keeps_everything_behind_its_hold_shut(page, sheets):
    """Without a repair the group behind the hold and every later one stay shut, and none before."""
    held = 0
    for data in sheets:
        found = walk(page, data, ["no"], repaired=False)
        names = [one["group"] for one in data["groups"]]
        first = next((one["group"] for one in data["groups"]
                      if one.get("hold") and one["hold"]["checks"]), None)
        behind = names[names.index(first):] if first else []
        assert (found["wrong"], found["shut"]) == ([], behind)
        held += bool(behind)
    assert held > 100


def test_earlier_answers_stay_beside_the_last(page, sheets):
    """Each in its order; a yes can be taken back, a no can only be answered anew."""
    script = """data => { const {record} = Bench, fields = new Map();
      const check = {step: '1.1', always: false};
      const set = (name, value) => fields.set(name, {value, at: '2026-03-12T09:00:00Z'});
      const answers = () => record.answers(check, fields);
      const said = () => [record.text(fields, 'check/1.1'),
                          answers().map(one => [one.answer, one.write, one.by])];
      const found = [];
      for (const answer of ['yes', 'yes', 'no', 'no', 'yes', 'not on this meter']) {
        record.answer(check, answer, fields, set);
        set('check/1.1/write', answer.length + ' mm');
        found.push(said());
      }
      set('check/1.1/by', 'AB');
      return [...found, said()] }"""
    assert page.evaluate(script, None) == [
        ["yes", [["yes", "3 mm", None]]], ["", []],
        ["no", [["no", "2 mm", None]]], ["no", [["no", "2 mm", None]]],
        ["yes", [["no", "2 mm", None], ["yes", "3 mm", None]]],
        ["not on this meter", [["no", "2 mm", None], ["yes", "3 mm", None],
                               ["not on this meter", "17 mm", None]]],
        ["not on this meter", [["no", "2 mm", None], ["yes", "3 mm", None],
                               ["not on this meter", "17 mm", "AB"]]]]


@pytest.mark.parametrize("written, asked, good", [
    ("4", {"at_most": "4"}, True), ("4.1", {"at_most": "4"}, False), ("4,1 mm", {"at_most": "4"},
                                                                     False),
    ("0.39", {"at_least": "0.4", "at_most": "0.8"}, False), ("-1", {"at_least": "0.4"}, False),
    ("0.8", {"at_least": "0.4", "at_most": "0.8"}, True), ("", {"at_most": "4"}, True),
    ("steady", {"at_most": "4"}, True), ("9", {}, True)])
def test_a_number_decides_against_a_yes(page, written, asked, good):
    """What isn't within what the check asks for is a no; a text that is no number decides
    nothing."""
    script = """([written, asked]) => { const {record} = Bench;
      const fields = new Map([['check/1.1', {value: 'yes', at: ''}],
                              ['check/1.1/write', {value: written, at: ''}]]);
      const check = {step: '1.1', at_least: null, at_most: null, ...asked};
      return [record.isGood(check, fields), record.said(check, fields)] }"""
    assert page.evaluate(script, [written, asked]) == [good, "yes" if good else "no"]


def test_finished_paper_has_no_holds(page, sheets):
    """Nothing waits for anything."""
    script = """text => { const data = JSON.parse(text), {record} = Bench;
      const fields = new Map([['from_paper', {value: 'yes', at: ''}]]);
      return data.groups.filter(one => record.gate(data, one, fields).shut).length }"""
    assert sum(page.evaluate(script, json.dumps(data)) for data in sheets) == 0


# ---------------------------------------------------------------- at the sheet

def test_a_hold_names_its_steps_and_leads_to_them(tab, lasting_project):
    """Readings, steps and gates behind it are shut; a no keeps them so, and a second answer opens
    them; both are in the record. What isn't on this meter needs initials."""
    sheet = Sheet(tab(**PHONE, accept_downloads=True),
                  (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri(), holds=True)
    page, step, live = sheet.page, sheet.step("DC voltage", "3.000 V"), sheet.step("hazardous live")
    named = [check for check in sheet.data["checks"]
             if any(check["step"] in group["hold"]["checks"] for group in sheet.data["groups"]
                    if group["hold"])]
    assert named and sheet.field(step).is_disabled()
    assert sheet.group(live).locator(".open-group").inner_text() == "Shut by a hold"
    for check in named:
        page.get_by_role("button", name=f"Step {check['step']}, {check['check']}: good").tap()
    expect(sheet.field(step)).to_be_enabled()
    page.get_by_role("button", name="Case: not good").tap()
    expect(sheet.field(step)).to_be_disabled()
    hold = page.locator(".hold").first
    assert "Not answered good: step 1.2, Case" in " ".join(hold.inner_text().split())
    sheet.group(step).locator(".held button").tap()
    expect(hold.locator(".waits button")).to_be_focused()
    hold.locator(".waits button").tap()
    case = page.get_by_role("button", name="Case: good")
    expect(case).to_be_focused()
    case.tap()
    expect(sheet.field(step)).to_be_enabled()
    length = [one["step"] for one in sheet.data["checks"] if one["check"] == "Lead length"][0]
    page.get_by_role("button", name="Lead length: not on this meter").tap()
    expect(page.get_by_label(f"Step {length}: initials")).to_be_focused()
    answers = {one["check"]: one["answers"] for one in sheet.save()["checks"]}
    assert answers["Lead length"] == []      # nobody said so yet
    page.get_by_label(f"Step {length}: initials").fill("AB")
    record = sheet.save()
    validate(record)
    answers = {one["check"]: [(given["answer"], given["by"]) for given in one["answers"]]
               for one in record["checks"]}
    assert answers["Case"] == [("yes", None), ("no", None), ("yes", None)]
    assert answers["Lead length"] == [("not on this meter", "AB")]
    assert sheet.wrong == []


def test_a_record_that_goes_on_without_its_sheet_has_the_same_holds(tab, lasting_project):
    """On the page that is made of it."""
    site = small_site(lasting_project)
    sheet = Sheet(tab(**PHONE), (site / f"procedures/{NAME}.html").as_uri(), holds=True)
    page, step = sheet.page, sheet.step("DC voltage", "3.000 V")
    page.get_by_role("button", name="Case: not good").tap()
    sheet.kept()
    kept = page.evaluate(UNDER_ANOTHER)
    page.goto((site / "in-progress.html").as_uri() + f"#record={kept}")
    sheet.ready()
    field = sheet.field(step)
    expect(field).to_be_disabled()
    for check in sheet.data["checks"]:
        page.get_by_label(f"Step {check['step']}, {check['check']}: good", exact=True).tap()
    expect(field).to_be_enabled()
    assert "Each answer is good." in page.locator(".hold").first.inner_text()
