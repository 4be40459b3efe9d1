"""A small shop with a plan that has every kind of step, and records of it as text or as a phone
writes them."""

from __future__ import annotations

import html
import json
import re
from datetime import date
from pathlib import Path

from builder.formats.sheet_data import PointData
from builder.frozen import approved
from builder.pages import report_pages
from builder.procedure.sheet_text import sheet_text
from builder.records import paper_form, report_text, steps_form
from builder.shop import loading
from tests import small_shop as shops

VOLTS = shops.function("DC voltage", shops.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                       shops.range_("600 V", "100 mV", "0.5 % + 3 counts"), dial="V DC")
OHMS = shops.function("resistance", shops.range_("600 ohm", "100 mohm", "0.9 % + 5 counts"),
                      dial="ohm")
DIODE = {"function": "diode test", "jacks": ["V", "COM"], "dial": "diode"}
CHECKS = ["ratings", "case", "jacks", "leads", {"check": "diode test", "covers": "diode test"}]
NOT_CHECKED = ["probe-tip shrouds", "battery cover",
               "battery door", "display segments", "dial", "shorted leads", "leads wiggled"]
BOX_ENDS = {"function": "resistance", "range": "600 ohm", "values": "50 ohm to 600 ohm",
            "because": "The box ends at 50 ohm."}


def plan(**more) -> dict:
    made = shops.plan({"function": "DC voltage", "apply": ["3 V", "-3 V"]},
                      {"function": "DC voltage", "range": "600 V", "apply": ["540 V"]},
                      {"function": "resistance", "apply": ["50 ohm"]},
                      {"function": "DC voltage", "range": "6 V", "apply": ["0.5 V"],
                       "observe": "only to see it"}, checks=CHECKS,
                      left_out=[*({"check": name, "because": "not part of this test"}
                                  for name in NOT_CHECKED), BOX_ENDS])
    return made | {"standards": ["petrel", "auk-box"], "leads": shops.LEADS} | more


_DATA: dict[str, tuple[str, str]] = {}     # of each plan that was computed once


def folder_with(folder: Path, plan_more: dict | None = None, **files) -> Path:
    """procedures/ with the plan and its data beside records; `files` are records by their name."""
    root = shops.write(folder / "procedures", {
        "meters/lapwing-1.yaml": shops.meter(VOLTS, OHMS, DIODE),
        "standards/petrel.yaml": shops.standard(),
        "standards/auk-box.yaml": shops.box(("50 ohm", "50.01 ohm", "5 mohm")),
        "plans/lapwing-yearly.yaml": plan(**(plan_more or {}))})
    (root / "records").mkdir(exist_ok=True)
    key = json.dumps(plan_more)
    if key not in _DATA:
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        data = shop.procedures["lapwing-yearly"].data
        _DATA[key] = paper_form.data_name(data), paper_form.as_text(data)
    name, text = _DATA[key]
    (root / "records" / name).write_text(text, encoding="utf-8")
    return shops.write(root, {f"records/{name}": content for name, content in files.items()})


def data_of(root: Path) -> dict:
    """Of the plan that was written last: a folder may hold the data of others before it."""
    last = max((root / "records").glob("lapwing-yearly-*.json"),
               key=lambda path: path.stat().st_mtime_ns)
    return json.loads(last.read_text(encoding="utf-8"))


GOOD = {"3.000 V": "3.002", "-3.000 V": "-2.999", "540.0 V": "540.4", "50 Ohm": "50.2",
        "0.0 Ohm": "0.1", "0.500 V": "0.500", "5.400 V": "5.401"}


def record(data: dict, readings: dict | None = None, checks: dict | None = None, **head) -> dict:
    """A record in the short form: good readings, less what `readings` and `checks` say by step."""
    readings, checks = readings or {}, checks or {}
    made = {"procedure": data["procedure"], "revision": data["revision"],
            "judged_by": paper_form.data_name(data), "serial": "0147", "state": "as found",
            "date": "2026-03-12",
            "place": "bench 2", "ambient": {"start": "22.8 degC", "end": "23.1 degC"},
            "owner": "Invented Ferries",
            "condition": "clean", "done_by": "I. Marlow", "reviewed_by": "T. Askew",
            "issued": "2026-03-13",
            "steps": {},
            "closed": {g["group"]: "0.0 V" for g in data["groups"] if g["hazard"]}}
    for c in data["checks"]:
        answer = checks.get(c["step"], checks.get(c["check"], "yes"))
        made["steps"][f"{c['step']} {c['check']}"] = answer
    for p in data["points"]:
        made["steps"][key_of(p)] = reading_of(p, readings)
    return {name: value for name, value in (made | head).items() if value is not None}


def key_of(point: dict) -> str:
    """A point's line in a record."""
    return f"{point['step']} {steps_form.name_of(PointData.model_validate(point))}"


def reading_of(point: dict, readings: dict):
    return readings.get(point["step"],
                        readings.get(point["id"],
                                     GOOD.get(point["apply"], point["apply"].split(" ")[0])))


def phone(data: dict, readings: dict | None = None, **head) -> dict:
    """The same as a phone hands it over."""
    points = []
    for p in data["points"]:
        text = reading_of(p, readings or {})
        tries = (
            [{"reading": f"{text} {p['unit']}", "reference": None, "at": "2026-03-12T09:00:00.000Z",
              "outcome": None, "error": None, "percent_of_tolerance": None}] if text != "-" else [])
        points.append({"id": p["id"], "step": p["step"], "outcome": None, "accept": p["accept"],
                       "readings": tries, "note": None})
    return {"format": 1, "record": "2026-03-12-5c0a7e11", "procedure": data["procedure"],
            "revision": data["revision"], "meter": data["meter"], "serial": "0147",
            "state": "as found",
            "date": "2026-03-12", "place": None, "ambient": "22.8", "ambient_end": "23.1",
            "humidity": None, "humidity_end": None,
            "done_by": None, "reviewed_by": None,
            "standards": [{"standard": s["standard"], "name": s["name"], "number": None,
                           "certificate": s["certificate"], "due": s["due"]}
                          for s in data["standards"]],
            "points": points,
            "checks": [{"step": c["step"], "check": c["check"], "good": "yes", "write": None,
                        "unit": c["unit"]} for c in data["checks"]],
            "groups": [{"group": g["group"], "opened": None, "closed": "near zero" if
                        g["hazard"] else None, "near_zero": "0.0 V" if g["hazard"] else None}
                       for g in data["groups"]],
            "verdict": "all within", "failed": None, "remarks": None, "next": None,
            "begun": "2026-03-12T08:00:00.000Z", "judged_by": data} | head


def step(data: dict, apply: str) -> str:
    return next(p["step"] for p in data["points"] if p["apply"] == apply)


# ---------------------------------------------------------------- what became of them

def text_of(report: report_text.Report) -> str:
    """What a reader reads, with single spaces."""
    body = report_pages.report_html(report).partition("<body>")[2]
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]*>", " ", body)))


def report_of(made, **record_more) -> tuple[report_text.Report, str]:
    """The report of one record, and its text; `made` is the fixture."""
    _, found, _ = made(a=record_more)
    return found["a"], text_of(found["a"])


OTHER = "2026-03-12-other.yaml"


def put(root: Path, name: str, content) -> None:
    (root / "records" / name).write_text(content if isinstance(content, str)
                                         else json.dumps(content, indent=1, ensure_ascii=False),
                                         encoding="utf-8")


def only_problem(root: Path, *names: str):
    """The one problem of the folder; the records that stand are these."""
    shop = loading.load_shop(root)
    assert sorted(shop.records) == sorted(name.removesuffix(".yaml")
                                          for name in names), "\n".join(map(str, shop.problems))
    (problem,) = shop.problems
    assert (problem.place.file.startswith(
        "procedures/records/") and problem.place.line >= 1 and problem.place.column >= 1
            and problem.sentence)
    assert problem.hint
    assert shop.stopping == []
    return problem


def approve(root: Path, day: str = "2026-03-01", by: str = "T. Askew"):
    """The plan's sheet as it computes, approved: its file and its content."""
    shop = loading.load_shop(root)
    (procedure,) = shop.procedures.values()
    return approved.approve(root, shop.approvals, procedure.sheet_data,
                            page=sheet_text(procedure), made_from={}, by=by,
                            on=date.fromisoformat(day))
