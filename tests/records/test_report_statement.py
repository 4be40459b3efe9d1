"""What a report states, in words."""

from __future__ import annotations

import pytest

from tests.recorded import data_of, report_of, text_of


def test_a_record_without_a_fault(made):
    """All points, all checks: nothing departs, nothing is explained, no label."""
    report, text = report_of(made)
    assert (report.statement, report.reasons, report.label, report.deviations) == (
        "passes", (), (), ())
    assert {f.name: (f.statement, f.count) for f in report.functions} == {
        "DC voltage": ("passes", "3 of 3"), "resistance": ("passes", "1 of 1"),
        "diode test": ("passes", "functional check")}
    assert "✓ Passes Every point tested is within its acceptance limits." in text


def test_a_failure_limits_the_meter(made):
    report, text = report_of(made, readings={"5.2": "-3.020"})
    assert report.headline.startswith("Limited") and report.reasons == (
        "DC voltage fails: step 5.2.",)
    assert {name: said.replace("\u00a0", " ") for name, said in report.label} == {
        "May be used for": "resistance (600 Ω, tried to 50 Ω: The box ends at 50 ohm); diode test",
        "Not for": "DC voltage (fails)"}
    assert "Label for the meter" in text


def test_what_was_not_done_passes_nothing(made):
    report, _ = report_of(made, readings={"5.2": "-"}, checks={"Diode test": "-"})
    assert report.reasons == ("DC voltage has no statement: not done: step 5.2.",
                              "Diode test has no statement: not done: step 2.1.")
    assert dict(report.label)["Not for"] == (
        "DC voltage (no statement); diode test (no statement)")


def test_where_the_work_stopped_one_line_says_what_was_not_done(made):
    """Of a meter that is not safe to use; not of one that only lacks readings, nor of a function
    that was begun."""
    nothing = dict.fromkeys(("4.1", "5.1", "5.2", "5.3", "6.1"), "-")
    report, _ = report_of(made, readings=nothing, checks={"Case": "no"})
    assert [line for line in report.reasons if "without a statement" in line] == [
        "Not done, and so without a statement: resistance, DC voltage."]
    assert not any("has no statement" in line for line in report.reasons)
    assert {one.name: one.steps for one in report.functions}["resistance"] == "not done"
    report, _ = report_of(made, readings=nothing | {"5.2": "-3.001"}, checks={"Case": "no"})
    assert "Not done, and so without a statement: resistance." in report.reasons
    assert any(line.startswith("DC voltage has no statement: not done") for line in report.reasons)
    report, _ = report_of(made, readings=nothing, checks={"Case": "-"})
    assert sum("has no statement: not done" in line for line in report.reasons) == 2


def test_readings_without_ground_are_printed_and_not_judged(made):
    """In range or not: the words 'pass' and 'FAIL' stand nowhere in their lines, and a reading
    outside is named."""
    report, text = report_of(made, readings={"5.2": "-3.020"}, ambient="22.8 degC",
                             checks={"Diode test": "-"})
    assert report.statement == "no statement" and report.label == (
        ("Do not use", "no statement of conformity"),)
    lines = [line for one in report.functions for line in one.lines]
    assert {line.outcome for line in lines if line.step not in ("3.1", "5.3")} == {"not judged"}
    assert not any(line.fails for line in lines)
    assert "Outside the limits, and not judged: step 5.2." in report.reasons
    assert any(line.startswith("The record does not show that the ambient") and line.endswith(
        "no reading has ground.") for line in report.reasons)


def test_a_standard_without_ground_is_named(made):
    report, _ = report_of(made, standards={"auk-box": {"due": "2026-03-11"}})
    (line,) = [one for one in report.reasons if one.startswith("Auk box")]
    assert "was not inside its calibration" in line and line.endswith("no ground for step 4.1.")
    assert report.statement == "limited"


def test_conditional_outcomes_are_worded(made):
    """With a guard band and four outcomes, a reading inside the tolerance by less than U passes
    conditionally, one beyond it by less fails conditionally; neither is called a pass or a fail
    outright."""
    plan = {"decision_rule": "guard band of U", "outcomes": "four"}
    _, _, root = made(plan, a={})
    p = next(one for one in data_of(root)["points"] if one["step"] == "5.1")
    high = p["tolerance_limits"]["high_counts"]
    for counts, statement, words in (
            (high, "conditional pass", "passes conditionally: step 5.1 read within the tolerance"),
            (high + 1, "conditional fail", "fails conditionally: step 5.1 read beyond the")):
        _, found, _ = made(plan, a={"readings": {"5.1": f"{counts / 1000:.3f}"}})
        report = found["a"]
        assert {f.name: f.statement for f in report.functions}["DC voltage"] == statement
        assert any(words in line for line in report.reasons)
        assert report.statement == ("limited" if "fail" in statement else "conditional pass")
        assert words in text_of(report)


@pytest.mark.parametrize("closed, says", [({"6": "no"}, "not seen closed: live group 6"),
                                          (None, "not seen closed: live group 6")])
def test_a_live_group_that_nobody_saw_closed(made, closed, says):
    report, _ = report_of(made, closed=closed)
    assert any(says in line for line in report.reasons) and report.statement == "limited"


def test_what_is_carried_over_is_named(made):
    again = {"state": "as left", "adjusted": "the 6 V range", "closed": None,
             "readings": {"4.1": "-", "3.1": "-", "6.1": "-"}}
    _, found, _ = made(a={}, b=again)
    assert any(line.startswith("Carried over from the state as found")
               and "4.1" in line and "6.1" in line for line in found["b"].reasons)
    assert found["b"].statement == "passes" and found["a"].label == ()


def test_steps_of_the_bench_are_named_where_they_fail(made):
    """The leads alone, over their limit: of the bench, whatever the headline is."""
    report, _ = report_of(made, readings={"3.1": "9.9", "4.1": "59.9"})
    assert "Of the bench, and not of the meter, was outside its limits: step 3.1." in report.reasons
