"""What the phone says that a record states (`assets/ground.js`), against what the builder reads in
the same record, for random records."""

from __future__ import annotations

import json
import random

import pytest

from builder.records import record_files
from builder.records.record_statement import record_statement
from tests.phone_bench import NAME, PHONE, STANDARDS, Sheet, small_site
from tests.small_shop import thermometer
from tests.worked_cases import CASES

pytestmark = pytest.mark.browser
BOTH = """given => { const {record, sheet} = Bench;
  const fields = new Map(Object.entries(given).map(([name, value]) =>
    [name, {value, at: '2026-11-25T09:00:00.000Z'}]));
  const kept = {id: '2026-11-25-5c0a7e11', procedure: sheet.data.procedure,
    revision: sheet.data.revision, meter: sheet.data.meter, title: sheet.data.title,
    data: sheet.data, begun: '2026-11-25T08:00:00.000Z'};
  return [record.stated(sheet.data, fields), record.file(kept, fields)]; }"""


@pytest.fixture(scope="module")
def sheet(browser, lasting_project):
    context = browser.new_context(**PHONE, service_workers="block")
    site = small_site(lasting_project, standards=[
        *(one["standard"] for one in STANDARDS), thermometer()["standard"]])
    made = Sheet(context.new_page(), (site / f"procedures/{NAME}.html").as_uri())
    yield made
    context.close()
    assert made.wrong == []


def filled(rng: random.Random, data: dict) -> dict[str, str]:
    """Fields of a record as somebody may have typed them; most of it well."""
    def mostly(good: str, *others: str) -> str:
        return rng.choice(others) if rng.random() < 0.06 else good
    made = {"serial": "7", "date": "2026-11-25", "state": rng.choice(["as found", "as left", ""]),
            "ambient": mostly("22.8", "31", "", "warm", "300 K", "73 degF"),
            "ambient_end": mostly("23.1 °C", "17.9", ""),
            "humidity": mostly("45 %", "", "99"), "humidity_end": mostly("46", "")}
    for one in data["standards"]:
        made[f"standard/{one['standard']}/due"] = mostly("", "2026-11-24", "soon", "2026-11-25")
        made[f"standard/{one['standard']}/certificate"] = mostly("", "another")
    steps = [one["step"] for one in (*data["checks"], *data["points"])]
    for check in data["checks"]:
        made[f"check/{check['step']}"] = mostly("yes", "no", "")
        made[f"check/{check['step']}/write"] = mostly("", "9") if check["write"] else ""
    for point in data["points"]:
        name = f"point/{point['id']}"
        number = point["apply"].split(" ")[0]
        made[f"{name}/1"] = mostly(number, "OL", "", "-7")
        if point["kind"] == "reference":
            made[f"{name}/1/reference"] = made[f"{name}/1/after"] = f"{float(number):.2f}"
        if rng.random() < 0.1:
            made[f"{name}/2"] = mostly(number, "OL")
            made[f"{name}/cause"] = rng.choice(["", "misread"])
    if rng.random() < 0.4:
        made |= {"work_step": mostly(rng.choice(steps), "end", "99.9", ""), "work_done": "battery"}
        again = rng.choice(data["checks"])["step"]
        first, last = rng.choice(["no", "yes"]), "yes"
        made |= {f"check/{again}": last, f"check/{again}/answers": json.dumps(
            [{"answer": one, "at": "2026-11-25T09:00:00.000Z"} for one in (first, last)])}
    for group in data["groups"]:
        if group["hazard"]:
            made |= {f"tick/{group['group']}/after/{n}": "yes"
                     for n in range(len(group["closing"]))}
            made[f"open/{group['group']}"] = "2026-11-25T08:30:00.000Z"
            made[f"near_zero/{group['group']}"] = mostly("0.02", "540", "")
            made[f"near_zero/{group['group']}/unit"] = "V"
    return made


def test_which_answers_are_from_before_work_on_the_meter(one_sheet):
    """By the table that the builder is held to."""
    found = one_sheet.page.evaluate("""cases => cases.map(([at, step, given, firstIsNo]) => {
      const data = {points: [{step: at}], checks: []};
      const stand = fields => Bench.record.thatStand(data, new Map(Object.entries(fields).map(
        ([name, value]) => [name, {value}])), step, given, firstIsNo);
      return [stand({work_step: at}), stand({work_step: at, state: 'as left'}), stand({}),
              stand({work_step: '0.0'}), stand({work_done: 'battery'})]; })""",
                                    [list(case) for case in CASES])
    assert found == [[wanted, given, given, 0, 0] for _, _, given, _, wanted in CASES]


def test_the_phone_states_what_the_builder_states(one_sheet, tmp_path):
    rng, met, path = random.Random(14), set(), tmp_path / "a.json"
    for _ in range(150):
        given = filled(rng, one_sheet.data)
        here, handed = one_sheet.page.evaluate(BOTH, given)
        path.write_text(json.dumps(handed), encoding="utf-8")
        record, problems = record_files.read_file(path, path.name)
        if record is None:      # a slip that nobody confirmed is a problem of the file
            assert all(one.sentence for one in problems)
            met.add("refused")
            continue
        there = record_statement(record)
        assert [(one["step"], one["ground"], one["outcome"]) for one in here["points"]] == [
            (one.step, one.ground, one.outcome) for one in there.points], [
                handed[name] for name in ("ambient", "ambient_end", "humidity", "humidity_end",
                                          "standards", "date")]
        assert [(one["step"], one["answer"], one["stops"], one["functions"])
                for one in here["checks"]] == [
            (one.step, one.answer, one.stops, list(one.functions)) for one in there.checks]
        assert {one["group"]: one["closed"] for one in here["live_groups"]} == {
            one.group: one.closed for one in there.live_groups}
        assert here["functions"] == [[one.function, one.statement] for one in there.functions]
        assert here["statement"] == there.statement
        met.add(here["statement"])
        if "work_step" in given and record.work:
            met.add("worked on")
    assert met >= {"passes", "limited", "no statement", "not safe to use", "worked on"}, met
