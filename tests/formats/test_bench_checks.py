"""The library of checks without numbers: each one complete, short and worded alike; and what plans
make of it."""

import re
from pathlib import Path

import pytest

from builder.compute.exact.order import STAGES as ORDER
from builder.formats.bench_checks import (CHECKS, CURRENT_JACKS, LIVE, OPTIONAL, STAGES, suited,
                                          unit_of_blank)
from builder.formats.functions import KINDS
from builder.pages import format_pages
from tests.small_shop import function, load, meter, only_problem, plan, range_, the_procedure

ROOT = Path(__file__).parents[2]
LIBRARY = list(CHECKS.values())
VERBS = set("""Bend Change Close Connect Keep Lay Leave Lift Look Mark Measure Nudge Open Part
Plug Press Pull Push Put Raise Read Recall Repeat Return Scratch Select Set Start Step Switch Tap
Tighten Touch Try Turn Undo Watch Wiggle Zero Hold Fit""".split())
NEEDED = """opening the case, case opened, input protection, closing the case, ratings, case,
seals, jacks, jack shrouds, jack spacing, leads, strain reliefs, leads in the cold,
probe-tip shrouds, battery cover, battery door, fuses, warm-up and soak, display segments,
battery indication, dial, dial feel, key beeper, range key, backlight, shorted leads,
leads wiggled, leads at a low voltage, bar graph, hold key, relative key, min/max key,
continuity beeper, continuity speed, continuity threshold, diode test, diode test voltage,
lead alarm, function after closing, closing up"""
VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
POINT = {"function": "DC voltage", "apply": "3 V"}


@pytest.fixture(params=LIBRARY, ids=lambda check: check.name)
def check(request):
    return request.param


def test_no_check_that_plans_use_is_lost():
    """Names are addresses in plans: none goes away, and none stands twice."""
    assert set(re.split(r",\s+", NEEDED)) <= set(CHECKS)
    source = (ROOT / "builder/formats/bench_checks.py").read_text(encoding="utf-8")
    assert len(re.findall(r"^    BenchCheck\(", source, re.M)) == len(CHECKS)
    assert len({name.lower() for name in CHECKS}) == len(CHECKS)


def test_a_check_is_complete_and_short(check):
    """What to do, what is good and what often goes wrong are there and fit a row of the sheet."""
    for text, most in ((check.name, 24), (check.do, 145), (check.good, 60), (check.mistake, 60)):
        assert 0 < len(text) <= most, text
    assert len(check.write) <= 16 and len(check.unit) <= 4
    if check.write:  # the column of what is good is narrower then
        assert len(check.good) <= 60 and len(check.mistake) <= 35
    else:
        assert not check.unit


def test_a_check_is_worded_like_the_others(check):
    """Each action is an imperative; what is good and what goes wrong start small; no text has a
    full stop, inside or at its end."""
    for text in (check.name, check.do, check.good, check.mistake, check.write):
        assert text == " ".join(text.split())
        assert not re.search(r"[.!?](\s|$)", text), text
        assert not re.search(r"\b(should|must|shall|please|you|your|ensure|verify|check)\b", text,
                             re.I), text
    first, *others = check.do.split("; ")
    for action in (first, *others):
        assert action.split()[0].capitalize() in VERBS, action
    assert first[0].isupper() and all(action[0].islower() for action in others)
    for text in (check.good, check.mistake, check.write, check.name):
        assert not text or text[0].islower() or text[0].isdigit() or text.startswith("DC "), text


def test_the_library_is_in_the_order_of_work():
    """Each check is in a part of the work that holds checks, and the parts follow each other as on
    the sheet."""
    assert [stage for stage in ORDER if stage in STAGES] == list(STAGES)
    places = [STAGES.index(check.when) for check in LIBRARY]
    assert places == sorted(places) and set(places) == set(range(len(STAGES)))
    names = list(CHECKS)
    assert names.index("opening the case") < names.index("case opened") < names.index(
        "closing the case")
    assert names[-1] == "closing up"


def test_a_check_says_which_meters_it_suits(check):
    """By kinds of functions and three words, and it suits a meter that has what it covers."""
    assert set(check.suits) <= set(KINDS) | {CURRENT_JACKS, LIVE, OPTIONAL}
    assert len(set(check.suits)) == len(check.suits)
    if check.covers:
        assert KINDS[check.covers].may_lack_ranges and check.suits == (check.covers,)


def test_a_blank_of_the_library_has_its_unit_as_shown(check):
    """A unit in the library is spelled as pages show it; data spell it in ASCII."""
    if check.unit:
        shown, ascii = unit_of_blank(check.unit)
        assert shown == check.unit and ascii.isascii()


def test_the_checks_that_suit_a_meter():
    """Kinds are alternatives, the other words conditions; the order is that of the work."""
    everything = suited(kinds=set(KINDS), current_jacks=True, live=True)
    assert everything == LIBRARY
    names = [check.name for check in suited(kinds={"DC voltage"}, current_jacks=False, live=False)]
    assert "ratings" in names and "function after closing" in names
    assert not {"shorted leads", "diode test", "continuity beeper", "fuses", "lead alarm",
                "probe-tip shrouds", "input protection"} & set(names)
    assert names == [name for name in CHECKS if name in names]
    assert {"fuses",
            "lead alarm"} <= {check.name
                              for check in suited(kinds=set(), current_jacks=True, live=False)}


def test_the_page_of_plans_lists_the_checks_by_their_parts():
    """Its list is the library, part by part."""
    page = format_pages.pages()["formats/plan.md"]
    found = {part: names.split(", ") for part,
             names in re.findall(r"^- \*\*(.+?)\*\*: (.+)$", page, re.M) if part in STAGES}
    assert found == {stage: [check.name for check in LIBRARY if check.when == stage]
                     for stage in STAGES}


# ---------------------------------------------------------------- in plans

def steps(folder, *checks, meter_more=(), **more):
    shop = load(folder, meter(VOLTS, *meter_more), plan(POINT, checks=list(checks), **more))
    return [step for group in the_procedure(shop).groups for step in group.checks]


def test_a_named_check_brings_all_its_parts(tmp_path):
    """A name alone gives what to do, good, mistake, blank and unit."""
    (step,) = steps(tmp_path, "shorted leads")
    known = CHECKS["shorted leads"]
    assert (step.do, step.good, step.mistake, step.write,
            step.unit) == (known.do, known.good, known.mistake, known.write, known.unit)
    assert step.actions == ["Select resistance", "press the tips together"]


def test_a_plan_replaces_parts_of_a_check(tmp_path):
    """What the plan writes replaces that part alone; another label brings its own unit or none."""
    one, two, three = steps(tmp_path, {"check": "shorted leads", "good": "below 0.2 ohm"},
                            {"check": "leads wiggled", "write": "jumps"},
                            {"check": "diode test", "unit": "mV", "mistake": "warm diode"})
    assert (one.good, one.write, one.unit) == ("below 0.2 ohm", "lowest", "Ω")
    assert (two.write, two.unit, two.good) == ("jumps", "", CHECKS["leads wiggled"].good)
    assert (three.write, three.unit, three.mistake) == ("forward", "mV", "warm diode")


@pytest.mark.parametrize("given, shown, plain",
                         [("ohm", "Ω", "Ohm"), ("uV", "µV", "uV"), ("°C", "°C", "degC"),
                          ("mm", "mm", "mm"), ("N", "N", "N"), ("%", "%", "%")])
def test_an_own_check_may_have_a_blank(given, shown, plain, tmp_path):
    """Label, unit and mistake of a shop's own check reach the sheet and the data."""
    own = {"check": "strap", "when": "by eye", "do": "Pull at the strap; look at the hook",
           "good": "it holds", "write": "force", "unit": given, "mistake": "pulled once",
           "stops": "nothing", "of": "meter"}
    shop = load(tmp_path, meter(VOLTS), plan(POINT, checks=[own]))
    (step,) = [step for group in the_procedure(shop).groups for step in group.checks]
    assert (step.write, step.unit, step.mistake) == ("force", shown, "pulled once")
    (data,) = the_procedure(shop).data["checks"]
    assert (data["write"], data["unit"], data["mistake"],
            data["do"]) == ("force", plain, "pulled once", "Pull at the strap; look at the hook")


def test_a_check_without_a_blank_has_null_in_the_data(tmp_path):
    """Yes or no is the record then."""
    shop = load(tmp_path, meter(VOLTS),
                plan(POINT,
                     checks=["case",
                             {"check": "strap", "when": "by eye", "do": "Pull", "good": "holds",
                              "stops": "nothing", "of": "meter"}]))
    known, own = the_procedure(shop).data["checks"]
    assert (known["write"], known["unit"], known["mistake"]) == (None, None, CHECKS["case"].mistake)
    assert (own["write"], own["unit"], own["mistake"]) == (None, None, None)


@pytest.mark.parametrize("more, says", [
    ({"unit": "V"}, "what to write down"), ({"write": "force", "unit": "mv"}, "not a unit"),
    ({"write": "x" * 41}, "longer than 40"),
    ({"write": "force", "unit": "furlongs a week"}, "too long"),
    ({"write": ""}, "nothing stands here"), ({"writes": "force"}, "writes")])
def test_mistakes_in_a_blank_are_problems_at_their_place(more, says, tmp_path):
    """A unit without a label, a slip in its capitals, texts that are too long: each is named."""
    problem = only_problem(load(tmp_path, meter(VOLTS),
                                plan(POINT,
                                     checks=[{"check": "strap", "when": "by eye", "do": "Pull",
                                              "good": "holds", "stops": "nothing",
                                              "of": "meter", **more}])))
    assert says in f"{problem.sentence} {problem.hint}" and problem.place.file.endswith(
        "lapwing-yearly.yaml")


def test_texts_of_checks_change_the_revision(tmp_path):
    """Each part of a check that the sheet prints is in the revision."""
    own = {"check": "strap", "when": "by eye", "do": "Pull", "good": "holds", "write": "force",
           "unit": "N", "mistake": "pulled once", "stops": "nothing", "of": "meter"}
    made = [own,
            *(own | {key: value} for key,
              value in (("do", "Push"), ("good", "stays"), ("write", "length"), ("unit", "mm"),
                        ("mistake", "pushed once"), ("check", "hook"), ("stops", "everything"),
                        ("of", "bench"))),
            "seals", "jack spacing"]
    revisions = [
        the_procedure(load(tmp_path / str(i), meter(VOLTS), plan(POINT, checks=[one]))).revision
        for i, one in enumerate(made)]
    assert len(set(revisions)) == len(made)


def test_what_is_needed_is_named_before_the_group(tmp_path):
    """Decade, diode and second meter are laid out before the first check, each once."""
    shop = load(tmp_path, meter(VOLTS),
                plan(POINT, checks=["diode test voltage", "diode test", "continuity threshold",
                                    "leads at a low voltage", "leads"]))
    openings = {group.stage: group.opening for group in the_procedure(shop).groups}
    assert openings["inputs"][
        -1] == "At hand: a second meter, a good silicon diode, a decade or known resistors, a cell"
    assert openings["by eye"] == ()


def test_a_case_is_opened_with_everything_disconnected(tmp_path):
    """The warning stands before the steps, the leads come off first, and who may do it is for local
    rules; it is the first group."""
    first, *others = the_procedure(load(tmp_path, meter(VOLTS),
                                        plan(POINT,
                                             checks=[
                                                 "leads", "closing the case",
                                                 "opening the case"]))).groups
    assert first.stage == "opened" and first.opening[0] == "Leads: unplug from meter and source"
    (warning,) = first.warnings
    assert (warning.word == "WARNING" and "Local rules" in warning.rest
            and "Every lead" in warning.rest)
    assert first.closing == ("Covers: close and fasten",)
    assert CHECKS["opening the case"].do.startswith("Pull every lead")
    assert "backwards" in CHECKS["closing the case"].do
    assert all(group.stage != "opened" for group in others)


def test_all_checks_of_continuity_and_diode_cover_them(tmp_path):
    """On a meter that has the function, the completeness table names each of them; on another none
    covers anything."""
    tests = [name for name, one in CHECKS.items() if one.covers]
    beeper, diode = ({"function": kind, "jacks": ["V", "COM"]}
                     for kind in ("continuity", "diode test"))
    shop = load(tmp_path, meter(VOLTS, beeper, diode), plan(POINT, checks=tests))
    rows = {row.function: row.tested for row in the_procedure(shop).completeness}
    assert (rows["Continuity"], rows["Diode test"]) == ("1.1, 1.2, 1.3", "1.4, 1.5")
    assert all(step.covers == "" for step in steps(tmp_path / "b", *tests))
