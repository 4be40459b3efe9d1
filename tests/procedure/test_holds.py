"""What stops the work: which checks a plan must hold, what a no stops, and the lines at which the
work waits, on the demo's sheets, on random ones and against the definition."""

import json
import random
from pathlib import Path

import pytest

from builder.compute.exact.order import CLOSING, DISPLAY_AND_KEYS
from builder.compute.exact.order import STAGES as ORDER
from builder.files import yaml_text
from builder.formats.bench_checks import CHECKS, CURRENT_JACKS, LIVE, OPTIONAL
from builder.formats.group_data import ENERGY, EVERYTHING, HAZARDOUS
from builder.formats.meter import Meter
from builder.formats.sheet_data import SheetData
from builder.formats.validation import validate
from builder.procedure.holds import jacks_of
from tests.small_shop import (codes, function, load, meter, only_problem, plan, range_,
                              the_procedure)

ROOT = Path(__file__).parents[2]
VOLTS = function("DC voltage", range_("6 V", "1 mV", "1 %"), range_("600 V", "0.1 V", "1 %"))
MILLI = function("DC current", range_("600 mA", "0.1 mA", "1 %"), jacks=["mA", "COM"])
CLAMP = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [{"frequency": "40 Hz to 400 Hz", "within": "2 %"}])]}
BEEPER = {"function": "continuity", "jacks": ["V", "COM"]}
OHMS = {"function": "resistance", "jacks": ["V", "COM"]} | {"ranges": [
    range_("600 ohm", "0.1 ohm", "1 %")]}
LIVE_POINT = {"function": "DC voltage", "apply": ["3 V", "540 V"]}
LOW_POINT = {"function": "DC voltage", "apply": "3 V"}
LOW_REST = [{"function": "DC voltage", "range": "600 V", "because": "not part of this test"}]
ASKED = ["ratings", "case", "jacks", "leads", "probe-tip shrouds",
         "battery cover", "battery door", "display segments", "dial"]
OWN = {"check": "lamp", "when": "by eye", "do": "Look at the lamp", "good": "it is lit"}


def loaded(folder, *functions, points=(LIVE_POINT,), checks=ASKED, left_out=(), **more):
    return load(folder, meter(VOLTS, *functions),
                plan(*points, checks=list(checks), left_out=list(left_out)), as_it_stands=True,
                **more)


# ---------------------------------------------------------------- what a plan must hold

@pytest.mark.parametrize("name", ASKED)
def test_a_live_group_asks_for_each_check_that_stops_everything(name, tmp_path):
    """Without it the plan is an error at 'checks', which names it and says how to leave it out."""
    problem = only_problem(loaded(tmp_path, checks=[one for one in ASKED if one != name]))
    assert problem.code == "stopping-check" and f"'{name}'" in problem.sentence
    assert (problem.place.file.endswith("plans/lapwing-yearly.yaml") and problem.place.line > 1
            and "left_out" in problem.hint)


def test_all_that_is_lacking_is_named_at_once(tmp_path):
    """And nothing is asked for that the meter's file doesn't have: no fuses without current jacks,
    no shorted leads without resistance."""
    problem = only_problem(loaded(tmp_path, checks=[]))
    assert [name for name in CHECKS if f"'{name}'" in problem.sentence] == ASKED
    more = only_problem(loaded(tmp_path / "b", MILLI, OHMS, checks=[], left_out=[
        {"function": name, "because": "not part of this test"}
        for name in ("DC current", "resistance")]))
    assert [name for name in CHECKS if f"'{name}'" in more.sentence] == [
        name for name in CHECKS if name in (*ASKED, "fuses", "shorted leads", "leads wiggled")]


def test_the_library_decides_what_is_asked_for():
    """What stops everything and can be told from the meter's file: on a meter that has everything,
    all of these."""
    asked = {check.name for check in CHECKS.values()
             if check.stops == EVERYTHING and OPTIONAL not in check.suits}
    assert asked == {*ASKED, "fuses", "shorted leads", "leads wiggled"}
    assert {check.name for check in CHECKS.values() if check.always} == {
        "ratings", "case", "jacks", "leads", "fuses"}
    assert all(check.stops == EVERYTHING for check in CHECKS.values() if check.always)
    assert not any(check.stops == EVERYTHING for check in CHECKS.values() if check.when == CLOSING)
    assert LIVE in CHECKS["probe-tip shrouds"].suits and CURRENT_JACKS in CHECKS["fuses"].suits


def test_currents_ask_for_the_fuses(tmp_path):
    """Also where nothing is live; a low voltage alone asks for nothing."""
    current = {"function": "DC current", "apply": "300 mA"}
    problem = only_problem(loaded(tmp_path, MILLI, points=[LOW_POINT, current], checks=[],
                                  left_out=LOW_REST))
    assert problem.code == "stopping-check" and "'fuses'" in problem.sentence
    assert "'case'" not in problem.sentence
    assert codes(loaded(tmp_path / "b", points=[LOW_POINT], checks=[], left_out=LOW_REST)) == []


@pytest.mark.parametrize("name", ["ratings", "case", "jacks", "leads"])
def test_what_a_live_group_never_goes_without(name, tmp_path):
    """No reason is good enough, and the problem stands at that entry."""
    problem = only_problem(loaded(tmp_path, checks=[one for one in ASKED if one != name],
                                  left_out=[{"check": name, "because": "no time"}]))
    assert problem.code == "stopping-check" and f"'{name}'" in problem.sentence
    assert "left_out" not in problem.sentence and problem.place.line > 20


def test_what_is_left_out_is_named_on_the_hold(tmp_path):
    """With its reason in the table of what is left out, and as not checked where the work waits."""
    made = the_procedure(loaded(
        tmp_path, MILLI, checks=[one for one in ASKED if one != "probe-tip shrouds"],
        left_out=[{"check": "probe-tip shrouds", "because": "moulded, one piece"},
                  {"check": "fuses", "because": "behind the sealed case"},
                  {"function": "DC current", "because": "not part of this test"}]))
    holds = [group.hold for group in made.groups if group.hold]
    assert [hold.before for hold in holds] == [ENERGY, HAZARDOUS]
    assert all(set(hold.not_checked) == {"probe-tip shrouds", "fuses"} for hold in holds)
    assert "Not checked on this sheet: probe-tip shrouds, fuses." in holds[0].said
    rows = {row.check: row.because for row in made.completeness if row.check}
    assert rows == {"probe-tip shrouds": "moulded, one piece", "fuses": "behind the sealed case"}
    assert {row["check"]: row["because"] for row in made.data["left_out"] if row["check"]} == rows


# ---------------------------------------------------------------- what a no stops

@pytest.mark.parametrize("check, functions, covers, stops", [
    ("case", [], None, "everything"), ("backlight", [], None, "nothing"),
    ("continuity beeper", [BEEPER], None, "continuity"),
    ("continuity beeper", [BEEPER | {"name": "buzzer"}], "buzzer", "buzzer"),
    # a function with points of its own is stopped by its check too
    ("continuity beeper", [BEEPER | {"name": "buzzer"}], None, "buzzer"),
    ("function after closing", [], None, "DC voltage"),
    ("diode test", [], None, "nothing"),       # of a function that the meter doesn't have
    ("bar graph", [BEEPER], "continuity", "continuity")])
def test_what_a_no_at_a_check_of_the_library_stops(check, functions, covers, stops, tmp_path):
    """Everything, nothing, or the function that it tests, by its title on this meter."""
    left = [*LOW_REST, *({"function": f.get("name", f["function"]), "because": "not here"}
                         for f in functions if not covers and check != "continuity beeper"
                         or (f.get("name") == "buzzer" and not covers))]
    made = the_procedure(loaded(
        tmp_path, *functions, points=[LOW_POINT], left_out=left,
        checks=[{"check": check} | ({"covers": covers} if covers else {})]))
    (step,) = (one for group in made.groups for one in group.checks)
    (data,) = SheetData.model_validate(made.data).checks
    assert (step.stops, data.stops, data.of) == (stops, stops, CHECKS[check].of)
    assert step.no_stops == {"nothing": "", "everything": "no: stop"}.get(
        stops, f"no: stop {stops}")


@pytest.mark.parametrize("stops, of", [("everything", "meter"), ("nothing", "bench"),
                                       ("DC voltage", "meter"), ("V", "meter"), ("COM", "bench")])
def test_an_own_check_says_what_it_stops(stops, of, tmp_path):
    """And it may always be answered with 'not on this meter'."""
    made = the_procedure(loaded(tmp_path, points=[LOW_POINT], left_out=LOW_REST,
                                checks=[OWN | {"stops": stops, "of": of}]))
    (data,) = SheetData.model_validate(made.data).checks
    assert (data.stops, data.of, data.always) == (stops, of, False)


def test_jacks_by_the_file():
    """Those of the whole meter, of its functions and of their ranges, each once; a current through
    a jaw needs none."""
    def made(*functions, **more):
        document, _ = yaml_text.parse(json.dumps(meter(VOLTS, *functions, **more)), "x.yaml")
        return validate(Meter, document)[0]
    ranged = MILLI | {"ranges": [range_("6 A", "1 mA", "1 %", jacks=["A", "COM"])]}
    assert jacks_of(made(ranged, jacks=["10 A", "COM"])) == ("10 A", "COM", "V", "mA", "A")
    assert [made(*f).has_current_jacks for f in ([MILLI], [CLAMP], [], [CLAMP, ranged])] == [
        True, False, False, True]


# ---------------------------------------------------------------- the lines

def asserted(made):
    """The holds of a sheet against their definition: what stands before each line and behind it."""
    data = SheetData.model_validate(made.data)
    groups = {group.group: n for n, group in enumerate(data.groups)}
    energy = [n for n, g in enumerate(data.groups)
              if ORDER.index(DISPLAY_AND_KEYS) < ORDER.index(g.stage) < ORDER.index(CLOSING)]
    live = [n for n, g in enumerate(data.groups) if g.hazard]
    stopping = [check for check in data.checks if check.stops == EVERYTHING]
    lines = {n: g.hold for n, g in enumerate(data.groups) if g.hold}
    assert set(lines) <= {min(energy, default=-1), min(live, default=-1)}
    if live:
        assert lines[min(live)].before == HAZARDOUS
        # every check that stops everything stands before what is hazardous, and is named there
        assert lines[min(live)].checks == tuple(check.step for check in stopping)
        assert all(groups[check.group] < min(live) for check in stopping)
    for n, hold in lines.items():
        assert hold.checks == tuple(check.step for check in stopping if groups[check.group] < n)
        assert hold.checks or hold.not_checked
        assert hold.said.startswith("HOLD") and hold.stop
        if hold.before == ENERGY:
            # what needs no energy stands before the first of it
            assert {c.step for c in stopping} - set(hold.checks) <= {
                c.step for c in stopping if data.groups[groups[c.group]].stage == "inputs"}
    # nothing gives out energy before the first line that there is a reason for
    first = [n for n in energy if any(groups[c.group] < n for c in stopping)]
    assert not first or min(first) > min(energy) or min(energy) in lines
    return len(lines)


def test_the_holds_of_the_demo(demo_shop):
    """Each sheet has both lines."""
    assert [asserted(made) for made in demo_shop.procedures.values()] == [2, 2, 2]


def test_the_holds_of_random_sheets(tmp_path):
    """Whatever checks, functions and points a plan has, in whatever order."""
    draw = random.Random(20261130)
    lines = [0, 0, 0]
    for _ in range(200):
        functions = [one for one in (MILLI, OHMS, BEEPER) if draw.random() < 0.5]
        live = draw.random() < 0.7
        share = draw.choice([0, 0, 0.3, 0.6])
        names = [one for one in CHECKS if draw.random() < share
                 and (MILLI in functions or CURRENT_JACKS not in CHECKS[one].suits)]
        left = [name for name in ASKED if live and name not in names
                and not CHECKS[name].always and draw.random() < 0.3]
        names += [name for name in [*ASKED * live, *["fuses"] * (MILLI in functions),
                                    *["shorted leads", "leads wiggled"] * (
                                        live and OHMS in functions)]
                  if name not in [*names, *left]]
        draw.shuffle(names)
        own = [OWN | {"check": f"own {i}", "when": draw.choice(ORDER[:4] + ("inputs",)),
                      "stops": draw.choice(["everything", "nothing", "DC voltage"]),
                      "of": draw.choice(["meter", "bench"])} for i in range(draw.randrange(3))]
        current = [{"function": "DC current", "apply": "300 mA"}] if MILLI in functions else []
        left = [{"check": name, "because": "not here"} for name in left] + [
            {"function": f["function"], "because": "not here"} for f in functions
                if f is OHMS or (f is BEEPER and not any(CHECKS[one].covers == "continuity"
                                                         for one in names))]
        shop = loaded(tmp_path, *functions, points=[LIVE_POINT if live else LOW_POINT, *current],
                      checks=[*names, *own], left_out=left + ([] if live else LOW_REST))
        lines[asserted(the_procedure(shop))] += 1
    assert min(lines) > 5, lines
