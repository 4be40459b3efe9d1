"""What the phone says before a record is handed over, against what the builder refuses in its file:
nothing without a word, and no word without need."""

from __future__ import annotations

import json
import random

import pytest

from builder.files.problems import errors
from builder.records import record_files
from tests.pages.test_ground_js import filled

pytestmark = pytest.mark.browser
BOTH = """([data, given]) => { const {record} = Bench;
  const fields = new Map(Object.entries(given).map(([name, value]) =>
    [name, {value, at: '2026-11-25T09:00:00.000Z'}]));
  const kept = {id: '2026-11-25-5c0a7e11', procedure: data.procedure,
    revision: data.revision, meter: data.meter, title: data.title,
    data, begun: '2026-11-25T08:00:00.000Z'};
  return [record.refused(data, fields), record.file(kept, fields)]; }"""
ODD = {
    "serial": ["", "A" * 400, "A" * 401, "“7”", "7”", "…", "...", "\u202e7", "-"],
    "date": ["", "2026-02-31", "soon", "1899-12-31", "2200-01-01", "2026-11-25 ", "26-11-25"],
    "received": ["2026-11-26", "2026-11-24", "x", "2026-13-01"],
    "place": ["…", "bench\x07", "„here“", "B" * 4001], "owner": ["C" * 4001, "…", "“us”"],
    "ambient": ["2" * 61, "…"], "humidity_end": ["4" * 61, "\u2028"],
    "done_by": ["“IM", "D" * 401], "reviewed_by": ["...", "E" * 401],
    "failed": ["…", "F" * 4001], "remarks": ["G" * 4001, "half \ud83d", "whole 😀", "two\nlines"],
    "next": ["H" * 4001, "..."], "work_step": ["99.9", "end", "x", "1.1"],
    "work_done": ["battery", "I" * 1001, "…"], "asset": ["“", "J" * 401],
}
READINGS = ["300", "-3.0", "OL", "x", "3.00001", "1e3", "5 mV", "1 000", "3,0", "3.0/", "0L", "½"]


def spoilt(rng: random.Random, data: dict) -> dict[str, str]:
    """A record with one thing in it that is odd, and sometimes wrong; some have none."""
    made = filled(rng, data)
    for name in ("work_step", "work_done"):
        made.pop(name, None)
    what = rng.random()
    if what < 0.5:
        name = rng.choice(list(ODD))
        made[name] = rng.choice(ODD[name])
    elif what < 0.65:     # a number beside a tick, most of them outside of what is asked
        check = rng.choice([one for one in data["checks"] if one["write"]])
        name = f"check/{check['step']}"
        said = rng.choice(["yes", "yes", "no"])
        write = rng.choice(["0.1", "0.6", "9", "900", "about", "0,1", "0,5", "1,500"])
        made |= {name: said, name + "/write": write,
                 name + "/answers": rng.choice(["", json.dumps([
                     {"answer": one, "at": "2026-11-25T09:00:00.000Z", "write": "0.1"}
                     for one in ("yes", said)])])}
    elif what < 0.95:
        point = rng.choice(data["points"])
        name = f"point/{point['id']}/"
        made[name + "1"] = rng.choice(READINGS)
        made[name + "1/confirmed"] = rng.choice(["yes", "", ""])
        if point["kind"] == "reference":
            made[name + rng.choice(["1/reference", "1/after"])] = rng.choice(["", "900", "OL", "x"])
    return made


def test_nothing_that_is_refused_is_handed_over_without_a_word(one_sheet, tmp_path):
    rng, path, met = random.Random(18), tmp_path / "a.json", {True: 0, False: 0}
    asked = {"at_least": "0.4", "at_most": "0.8"}
    data = one_sheet.data | {"checks": [one | asked if one["write"] else one
                                        for one in one_sheet.data["checks"]]}
    for _ in range(120):
        given = spoilt(rng, data)
        said, handed = one_sheet.page.evaluate(BOTH, [data, given])
        path.write_text(json.dumps(handed), encoding="utf-8")
        _, problems = record_files.read_file(path, path.name)
        wrong = [one.sentence for one in errors(problems)]
        assert bool(said) == bool(wrong), (said, wrong, given)
        met[bool(said)] += 1
    assert min(met.values()) > 15, met
