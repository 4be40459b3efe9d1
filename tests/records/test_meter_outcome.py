"""A record as a whole, by rule: each function, the meter, and what it may be used for."""

from __future__ import annotations

from itertools import permutations
from types import SimpleNamespace

import pytest

from builder.formats.group_data import CheckData
from builder.formats.outcomes import CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, PASS, WRITTEN
from builder.records import state_words
from builder.records.meter_outcome import meter_outcome
from builder.records.readings import Answer
from tests.recorded import data_of, report_of, text_of

# ---------------------------------------------------------------- as the report says it

def test_a_record_without_a_fault_passes(made):
    """All points, all checks: nothing departs, and no tag."""
    report, text = report_of(made)
    assert (report.verdict, report.deviations, report.tag,
            report.notices) == (state_words.VERDICTS["passes"], (), (), ())
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "pass", "resistance": "pass", "diode test": "pass"}


def test_one_failed_point_fails_its_function_and_limits_the_meter(made):
    """The tag says what the meter may be used for, with its ranges, and what not."""
    report, text = report_of(made, readings={"5.2": "-3.020"})
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "FAIL", "resistance": "pass", "diode test": "pass"}
    assert report.verdict == state_words.VERDICTS["limited"]
    assert dict(report.tag) == {"May be used for": "resistance (600\u00a0Ω); diode test",
                                "Not for": "DC voltage"}
    assert "Tag for the meter" in text and "DC voltage fails: step 5.2." in text


def test_skipped_points_are_named_and_pass_nothing(made):
    """A function with a point that was not done isn't usable by this record; a skipped check
    likewise."""
    report, text = report_of(made, readings={"5.2": "-"}, checks={"2.1": "-"})
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "not completed", "resistance": "pass", "diode test": "not completed"}
    assert (report.verdict == state_words.VERDICTS[
        "not completed"] and "Not done: step 5.2." in report.deviations
            and "Checks not done: step 2.1." in report.deviations)


def test_a_failure_beside_skipped_points(made):
    """What failed is not for use, what was not done is not shown."""
    report, _ = report_of(made, readings={"5.2": "-3.1", "4.1": "-"})
    assert dict(report.tag) == {"May be used for": "diode test", "Not for": "DC voltage",
                                "Not shown": "resistance"}


def test_checks_that_are_not_good(made):
    """A check that covers a function fails it; another one holds the meter back until it is
    mended."""
    report, _ = report_of(made, checks={"2.1": "no"})
    assert {f.name: f.state for f in report.functions}["diode test"] == "FAIL"
    report, _ = report_of(made, checks={"1.2": "no"})
    assert dict(report.tag)[
        "Checks not good"] == "Leads" and "once the checks below are good" in dict(report.tag)[
            "May be used for"]


def test_conditional_outcomes_are_worded(made):
    """With a guard band and four outcomes, a reading inside the tolerance by less than U passes
    conditionally, one beyond it by less fails conditionally; neither is called a pass or a fail
    outright."""
    plan = {"decision_rule": "guard band of U", "outcomes": "four"}
    probe, _, root = made(plan, a={})
    p = next(one for one in data_of(root)["points"] if one["step"] == "5.1")
    inside, beyond = p["tolerance_limits"]["high"].split()[
        0], f"{(p['tolerance_limits']['high_counts'] + 1) / 1000:.3f}"
    _, found, _ = made(plan, a={"readings": {"5.1": inside}})
    assert {f.name: f.state
            for f in found["a"].functions}[
                "DC voltage"] == "conditional pass" and found[
                    "a"].verdict == state_words.VERDICTS["passes conditionally"]
    assert "DC voltage passes conditionally: step 5.1 read within the tolerance" in text_of(
        found["a"])
    _, found, _ = made(plan, a={"readings": {"5.1": beyond}})
    assert {f.name: f.state for f in found["a"].functions}["DC voltage"] == "conditional fail"
    assert "DC voltage fails conditionally: step 5.1 read beyond the tolerance" in text_of(
        found["a"]) and "Conditional fail: beyond it by less" in text_of(found["a"])


# ---------------------------------------------------------------- every state by hand

def record_of(points: dict[str, list[str]], checks: list[tuple[str, bool | None]] = ()):
    """A record with the outcomes of each function's points, "" for what was not done and "seen" for
    an observation that was; and checks by what they cover ("" for nothing), good or not."""
    judged = [SimpleNamespace(
        point=SimpleNamespace(function=name, step=f"{n}.{m}", kind="source",
                              is_observation=outcome in ("seen", "unseen"),
                              range=SimpleNamespace(text="6 V")),
        outcome={"seen": WRITTEN, "unseen": ""}.get(outcome, outcome))
        for n, (name, outcomes) in enumerate(points.items(), 5)
        for m, outcome in enumerate(outcomes, 1)]
    carried = [CheckData(group="1", step=f"1.{n}", check=f"Check {n}", covers=covers or None)
               for n, (covers, _) in enumerate(checks, 1)]
    answers = {f"1.{n}": Answer(good, "") for n, (_, good) in enumerate(checks, 1)
               if good is not None}
    return SimpleNamespace(judged=judged, carried=SimpleNamespace(checks=carried),
                           answer=answers.get)


ONE_OF_EACH = [PASS, CONDITIONAL_PASS, WRITTEN, "", CONDITIONAL_FAIL, FAIL]


@pytest.mark.parametrize("outcomes, checks, state", [
    ([PASS, PASS], [], "pass"), ([PASS, CONDITIONAL_PASS], [], "conditional pass"),
    ([PASS, WRITTEN], [], "not decided"), ([PASS, ""], [], "not completed"),
    ([PASS, CONDITIONAL_FAIL], [], "conditional fail"), ([PASS, FAIL], [], "fail"),
    (["seen"], [], "written down only"), (["unseen"], [], "written down only"),
    (["seen", PASS], [], "pass"), (["unseen", PASS], [], "pass"),
    ([PASS], [("volts", True)], "pass"), ([PASS], [("volts", False)], "fail"),
    ([PASS], [("volts", None)], "not completed"), ([], [("volts", True)], "pass"),
    (["seen"], [("volts", True)], "pass"), ([PASS], [("", False)], "pass"),
])
def test_a_function_by_its_points_and_its_checks(outcomes, checks, state):
    """One failed point fails it; what was not done never passes; a check that covers nothing
    doesn't touch it."""
    found = meter_outcome(record_of({"volts": outcomes}, checks)).functions
    assert [(one.function, one.state) for one in found] == [("volts", state)]
    assert found[0].usable == (state in ("pass", "conditional pass"))


@pytest.mark.parametrize("worst", range(len(ONE_OF_EACH)))
def test_the_worst_decides(worst):
    """From the best to the worst, whatever stands beside it and in whatever order."""
    states = ["pass", "conditional pass", "not decided", "not completed", "conditional fail",
              "fail"]
    for order in permutations(ONE_OF_EACH[:worst + 1], min(worst + 1, 4)):
        expected = max(ONE_OF_EACH.index(one) for one in order)
        (found,) = meter_outcome(record_of({"volts": list(order)})).functions
        assert found.state == states[expected], order


def test_the_steps_are_named():
    """Each by what became of it; a conditional fail stands among the failed, an observation that
    was not done apart."""
    outcomes = [PASS, CONDITIONAL_PASS, WRITTEN, "", CONDITIONAL_FAIL, FAIL, "unseen", "seen"]
    (found,) = meter_outcome(record_of({"volts": outcomes}, [("volts", False), ("volts", None),
                                                             ("volts", True)])).functions
    assert found.failed == ("5.6", "1.1", "5.5") and found.conditional == ("5.2",)
    assert found.undecided == ("5.3",) and found.skipped == ("5.4", "1.2")
    assert found.observed == ("5.7",) and (found.passed, found.of) == (3, 9)
    assert found.ranges == ("6 V",)


@pytest.mark.parametrize("points, checks, state", [
    ({"volts": [PASS], "ohms": [PASS]}, [], "passes"),
    ({"volts": [PASS], "ohms": [CONDITIONAL_PASS]}, [], "passes conditionally"),
    ({"volts": [PASS], "ohms": [WRITTEN]}, [], "not decided"),
    ({"volts": [WRITTEN], "ohms": [CONDITIONAL_PASS]}, [], "not decided"),
    ({"volts": [PASS], "ohms": [""]}, [], "not completed"),
    ({"volts": [WRITTEN], "ohms": [""]}, [], "not completed"),
    ({"volts": [PASS], "ohms": [FAIL]}, [], "limited"),
    ({"volts": [CONDITIONAL_PASS], "ohms": [CONDITIONAL_FAIL]}, [], "limited"),
    ({"volts": [FAIL], "ohms": [FAIL]}, [], "fails"),
    ({"volts": [FAIL], "ohms": [""]}, [], "fails"), ({"volts": [FAIL], "ohms": ["seen"]}, [],
                                                     "fails"),
    ({"volts": [PASS], "hertz": ["seen"]}, [], "passes"),
    ({"hertz": ["seen"]}, [], "not completed"), ({}, [], "not completed"),
    ({"volts": [PASS]}, [("", True)], "passes"), ({"volts": [PASS]}, [("", None)], "not completed"),
    ({"volts": [PASS]}, [("", False)], "limited"), ({"volts": [FAIL]}, [("", False)], "fails"),
    ({"volts": [PASS]}, [("diode", False)], "limited"), ({}, [("diode", True)], "passes"),
])
def test_the_meter_by_its_functions_and_checks(points, checks, state):
    """Limited where something fails and something can be used; a check that isn't good and covers
    no function holds the whole meter; observations alone complete nothing."""
    assert meter_outcome(record_of(points, checks)).state == state


def test_checks_that_are_bad_or_not_done():
    """Whatever they cover."""
    found = meter_outcome(record_of({"volts": [PASS], "ohms": [FAIL]},
                                    [("", False), ("volts", None), ("diode", True)]))
    assert [one.step for one in found.bad_checks] == ["1.1"]
    assert [one.step for one in found.undone_checks] == ["1.2"]
    assert [one.function for one in found.usable] == ["diode"]
    assert [one.function for one in found.functions] == ["volts", "ohms", "diode"]
