"""Checks without numbers as the steps of a group: a plan's own words before the library's, in the
library's order, with what stands before and after them."""

import pytest

from builder.formats.bench_checks import CHECKS
from tests.small_shop import function, load, meter, plan, range_, the_procedure

VOLTS = function("DC voltage", range_("6 V", "1 mV", "1 %"))
BEEPER = {"function": "continuity", "jacks": ["V", "COM"]}
BUZZER = {"function": "continuity", "name": "buzzer", "jacks": ["V", "COM"]}
SMELL = {"check": "smell", "when": "by eye", "do": "Smell at the jacks", "good": "nothing burnt",
         "stops": "nothing", "of": "meter"}
OWN = {"do": "Count the digits", "good": "all there", "write": "digits", "unit": "Ohm",
       "mistake": "counted twice", "stops": "nothing", "of": "meter"}


def groups_of(folder, *checks, functions=(), **more):
    """The groups of checks of a plan with one voltage."""
    procedure = the_procedure(load(folder, meter(VOLTS, *functions), plan(
        {"function": "DC voltage", "apply": "3 V"}, checks=list(checks), **more)))
    return [group for group in procedure.groups if group.checks]


def test_checks_stand_in_the_order_of_the_library(tmp_path):
    """However the plan lists them: case, leads and probe tips as the library has them, the shop's
    own at the end, and each with the next step's number."""
    (group,) = groups_of(tmp_path, SMELL, "probe-tip shrouds", "leads", "case")
    assert [(check.step, check.name) for check in group.checks] == [
        ("1.1", "Case"), ("1.2", "Leads"), ("1.3", "Probe-tip shrouds"), ("1.4", "Smell")]


@pytest.mark.parametrize("given, do, good, write, unit, mistake", [
    # as the library has it, with its blank and without one
    ("probe-tip shrouds", None, None, "bare tip", "mm", None),
    ("case", None, None, "", "", None),
    # one key of the plan at a time, the others stay
    ({"check": "probe-tip shrouds", "do": "Look"}, "Look", None, "bare tip", "mm", None),
    ({"check": "probe-tip shrouds", "good": "none"}, None, "none", "bare tip", "mm", None),
    ({"check": "probe-tip shrouds", "unit": "in"}, None, None, "bare tip", "in", None),
    ({"check": "probe-tip shrouds", "mistake": "hurry"}, None, None, "bare tip", "mm", "hurry"),
    # another blank isn't in the library's unit
    ({"check": "probe-tip shrouds", "write": "whole ones"}, None, None, "whole ones", "", None),
    # a check of the shop's own, with all that it may say and with the least
    ({"check": "digits", "when": "by eye"} | OWN, "Count the digits", "all there", "digits", "Ω",
     "counted twice"),
    (SMELL, "Smell at the jacks", "nothing burnt", "", "", ""),
])
def test_the_plan_says_it_or_else_the_library(given, do, good, write, unit, mistake, tmp_path):
    """Each of a check's texts is the plan's where it has one; None stands for the library's."""
    ((check,),) = (group.checks for group in groups_of(tmp_path, given))
    known = CHECKS.get(given if isinstance(given, str) else given["check"])
    assert (check.do, check.good, check.write, check.unit, check.mistake) == (
        known.do if do is None else do, known.good if good is None else good, write, unit,
        known.mistake if mistake is None else mistake)


@pytest.mark.parametrize("given, functions, covers", [
    ("case", [BEEPER], ""), ("continuity beeper", [BEEPER], "continuity"),
    # a name of its own is no function that the library knows
    ("continuity beeper", [BUZZER], ""),
    ({"check": "continuity beeper", "covers": "buzzer"}, [BUZZER], "buzzer"),
    ({"check": "continuity beeper", "covers": "buzzer"}, [BEEPER, BUZZER], "buzzer"),
    (SMELL, [BEEPER], ""),
    (SMELL | {"covers": "continuity", "stops": "continuity"}, [BEEPER], "continuity"),
    ("diode test", [], ""),
])
def test_which_function_a_check_tests(given, functions, covers, tmp_path):
    """The one that the plan names, or else the library's where the meter has it without a table; a
    check of nothing in particular tests none."""
    names = [f.get("name", f["function"]) for f in functions]
    left_out = [{"function": name, "because": "not part of this test"}
                for name in names if name != covers]
    ((check,),) = (group.checks
                   for group in groups_of(tmp_path, given, functions=functions, left_out=left_out))
    assert check.covers == covers


def test_what_stands_around_checks(tmp_path):
    """Inside the case with a warning, the leads off before and the covers closed after; by eye
    nothing; at the inputs what the checks need, each thing once."""
    inside, eye, inputs, closing = groups_of(
        tmp_path, "continuity threshold", "bar graph", "diode test voltage", "shorted leads",
        "case opened", "case", "closing up", functions=[BEEPER])
    assert [group.number for group in (inside, eye, inputs, closing)] == [1, 2, 3, 5]
    assert [group.title for group in (inside, eye, inputs, closing)] == [
        "Inside the case", "By eye", "Inputs, source in standby", "Closing up"]
    assert [[caution.code for caution in group.cautions]
            for group in (inside, eye, inputs, closing)] == [["live-inside"], [], [], []]
    assert inside.opening == ("Leads: unplug from meter and source", "Meter: switch off")
    assert inside.closing == ("Covers: close and fasten",)
    assert eye.opening == eye.closing == inputs.closing == closing.opening == closing.closing == ()
    assert inputs.opening == ("Source: standby", "Leads: the meter's own, in its jacks, tips free",
                              "At hand: a decade or known resistors, a second meter")
    assert {group.live for group in (inside, eye, inputs, closing)} == {False}


def test_a_plan_may_do_a_check_earlier(tmp_path):
    """A check with a 'when' of its own goes to that part of the work, and only there."""
    groups = groups_of(tmp_path, {"check": "shorted leads", "when": "by eye"}, "case")
    assert [(group.stage, [check.name for check in group.checks]) for group in groups] == [
        ("by eye", ["Case", "Shorted leads"])]
