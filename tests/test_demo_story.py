"""The demo is what its story says: its files are those that `python -m tests.demo_story` makes, and
its reports state what the story is about."""

import json
from fractions import Fraction
from pathlib import Path

import pytest

from builder.files import yaml_text
from builder.frozen import approved
from tests import demo_story
from tests.demo_story import PROCEDURES, TURNSTONE

# What says how a frozen file came to be; its words, and the hashes over them, are the builder's.
OF_THE_STORY = ("kind", "procedure", "revision", "number", "issue", "turn", "by", "on", "because",
                "told", "record")
SAYS = "changed without its story: python -m tests.demo_story"


def told(folder: Path, plan: str = "") -> dict[str, object]:
    """Every file that the story makes, or those of a plan's meter: records as they stand, of
    frozen files what is not the builder's own words."""
    found: dict[str, object] = {}
    for name in demo_story.MADE:
        for path in sorted((folder / name).iterdir()):
            text = path.read_text(encoding="utf-8")
            of = plan.removesuffix("-yearly") in path.name or (not plan or f'"{plan}"' in text)
            if of and name == "records" and path.suffix == ".yaml":
                found[path.name] = text.splitlines()
            elif of:
                data = json.loads(text)
                found[path.name] = {key: data[key] for key in OF_THE_STORY if key in data} | {
                    "statement": data.get("report", {}).get("statement"),
                    "points": [[one["id"], one["readings"]] for one in data.get("points", ())]}
    return found


@pytest.mark.parametrize("plan", [TURNSTONE, pytest.param("", marks=pytest.mark.long)])
def test_the_demo_is_what_the_story_makes(plan, tmp_path):
    """Of one meter, and in the long run of all."""
    made = tmp_path / "procedures"
    demo_story.Teller(made, plan).tell()
    new, old = told(made, plan), told(PROCEDURES, plan)
    assert len(new) > 8 and list(new) == list(old), SAYS
    for name, content in new.items():
        assert content == old[name], f"{name}: {SAYS}"


STATEMENTS = {
    "2023-11-20-dunlin-60-0152": "passes", "2024-11-19-dunlin-60-0152": "passes",
    "2025-11-18-dunlin-60-0152": "limited", "2024-03-11-dunlin-60-0147": "passes",
    "2025-03-10-dunlin-60-0147": "passes", "2026-03-12-dunlin-60-0147": "limited",
    "2026-03-13-dunlin-60-0147": "passes", "2026-10-07-dunlin-60-0163": "not safe to use",
    "2026-10-09-dunlin-60-0163": "passes", "2026-10-12-whimbrel-200-w-0107": "no statement",
    "2026-02-17-turnstone-c-c-0298": "fails", "2024-11-18-turnstone-c-c-0312": "conditional pass",
    "2025-11-19-turnstone-c-c-0312": "passes",
    **{f"{day}-whimbrel-200-w-0088": "passes" for day in (
        "2020-12-07", "2021-12-06", "2022-12-05", "2023-12-11", "2024-12-09", "2025-12-08")}}
AMENDED = {"2024-11-19-dunlin-60-0152", "2025-03-10-dunlin-60-0147"}


def test_the_reports_state_what_the_story_says():
    """Every statement that there is, each report finished and two amended; what nobody finished is
    the phone's record alone."""
    issues: dict[str, int] = {}
    for path in sorted((PROCEDURES / "finished").iterdir()):
        data = json.loads(path.read_text(encoding="utf-8"))
        number = data["number"]
        issues[number] = max(issues.get(number, 0), data["issue"])
        assert data["report"]["statement"] == STATEMENTS[number]
    assert issues == {number: 1 + (number in AMENDED) for number in STATEMENTS}
    assert set(STATEMENTS.values()) == {"passes", "conditional pass", "limited", "fails",
                                        "no statement", "not safe to use"}
    yaml = {path.stem for path in (PROCEDURES / "records").glob("*.yaml")}
    assert yaml == set(STATEMENTS) and len([*(PROCEDURES / "records").glob("*.json")]) == 1


def readings_of(name: str) -> dict[str, Fraction]:
    """By step, what was read first."""
    document, problems = yaml_text.read(PROCEDURES / "records" / f"{name}.yaml", name)
    assert document is not None and not problems
    found = {}
    for key, entry in document.data["steps"].items():
        if isinstance(entry, dict):
            entry = entry.get("reading") or entry.get("repeated", [None])[0]
        if entry not in (None, "", "yes"):
            found[key.split()[0]] = Fraction(entry)
    return found


def test_only_what_was_touched_changes_between_the_days():
    """Dunlin 0147: the fall moves the 600 V range of DC voltage, the adjustment puts it back, and
    every other reading stays within two counts."""
    sheet = approved.read_new(PROCEDURES)[0].in_force(demo_story.DUNLIN).sheet
    days = [readings_of(f"{day}-dunlin-60-0147") for day in (
        "2025-03-10", "2026-03-12", "2026-03-13")]
    moved = set()
    for point in sheet.points:
        before, found, left = (one[point.step] for one in days)
        most = 2 * point.resolution.number
        if abs(found - before) > most or abs(left - found) > most:
            moved.add((point.function, point.range.text))
    assert moved == {("DC voltage", "600 V")}


def test_the_reference_of_one_meter_drifts():
    """Whimbrel W-0088: from the first year to the last every DC voltage but the low ones grew in
    size, on all ranges and at both signs, by 200 to 500 ppm: one cause."""
    first, last = (readings_of(f"{day}-whimbrel-200-w-0088") for day in (
        "2020-12-07", "2025-12-08"))
    grown = [(last[step] - first[step]) / first[step] * 10**6
             for step in first if step.split(".")[0] in ("13", "18") and abs(first[step]) > 1.5
             and abs(first[step]) != 20]
    assert len(grown) > 8 and all(200 <= ppm <= 500 for ppm in grown), list(map(float, grown))
