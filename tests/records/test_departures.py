"""What a record departs from: due dates, the ambient, groups left open, errors as found, and what
today's file would say."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.pages import render
from builder.records import departures, report_text
from builder.shop import loading
from tests.recorded import data_of, report_of, text_of

# ---------------------------------------------------------------- conditions and due dates

@pytest.mark.parametrize("due, says",
                         [("2026-03-12", ""), ("2026-03-11", "overdue on the day of the work"),
                          ("3/26", "no date that could be compared with the day of the work")])
def test_due_dates_are_judged_for_that_day(made, due, says):
    """On its last day a standard is in order; a day later it is overdue, and that is a
    departure."""
    report, text = report_of(made, standards={"petrel": {"number": "77", "due": due}})
    assert report.standards[0].overdue == says and report.standards[0].number == "77"
    assert any("past its due date" in line
               for line in report.deviations) == says.startswith("overdue")
    assert ("except for what was compared with Petrel" in text) == bool(says)


@pytest.mark.parametrize("ambient, says", [
    ("18 degC", None), ("28", None), ("28.1", "outside"), ("17.9 °C", "outside"),
    ("27 to 28.5 degC", "outside"), ("22 to 24", None), ("64.5 degF", None),
    ("64.3 degF", "outside"), ("warm", "could not be compared"), ("3 V", "could not be compared"),
])
def test_the_ambient_is_held_against_the_band(made, ambient, says):
    """18 to 28 °C, both ends included, whatever unit was written."""
    report, _ = report_of(made, ambient=ambient)
    about = [line for line in report.deviations if "ambient" in line]
    assert (says is None and not about) or (says in about[0])


def test_live_groups_that_were_not_closed_are_named(made):
    """Not closed, and not recorded: both are departures."""
    assert any("was not closed by all" in line
               for line in report_of(made, closed={"6": "no"})[0].deviations)
    assert any("that it was closed is not recorded" in line
               for line in report_of(made, closed=None)[0].deviations)


# ---------------------------------------------------------------- earlier work

def test_an_error_beyond_the_tolerance_as_found_prints_a_notice(made):
    """With by how much, in units of use: 546.0 V at 540 V ± 3.0 V."""
    report, text = report_of(made, readings={"6.1": "546.0"})
    (notice,) = report.notices
    assert (
        "at 540.0 V it read 546.0 V, 6.0 V too high; the tolerance is ±3.0 V, so it was out by 3.0 "
        "V more than that." in notice.replace("\u00a0", " "))
    assert "Notice about earlier work" in text


@pytest.mark.parametrize("readings, state, notices",
                         [({"6.1": "543.0"}, "as found", 0), ({"6.1": "543.1"}, "as found", 1),
                          ({"6.1": "543.1"}, None, 1), ({"6.1": "543.1"}, "as left", 0),
                          ({"6.1": "OL"}, "as found", 1)])
def test_the_notice_starts_beyond_the_tolerance_itself(made, readings, state, notices):
    """Exactly at it there is none; as left there is none; overload is one."""
    assert len(report_of(made, readings=readings, state=state)[0].notices) == notices


def test_a_failure_of_the_guard_band_alone_is_no_notice(made):
    """Between the acceptance limit and the tolerance a reading fails, and earlier work isn't in
    doubt."""
    plan = {"decision_rule": "guard band of U"}
    _, _, root = made(plan, a={})
    p = next(one for one in data_of(root)["points"] if one["step"] == "5.1")
    assert p["accept"]["high_counts"] < p["tolerance_limits"]["high_counts"]
    _, found, _ = made(plan, a={"readings": {"5.1": p["tolerance_limits"]["high"].split()[0]}})
    assert {f.name: f.state
            for f in found["a"].functions}["DC voltage"] == "FAIL" and found["a"].notices == ()


# ---------------------------------------------------------------- as found and as left

@pytest.mark.parametrize("left",
                         [{"date": "2026-03-12"},
                          {"date": "2026-03-15", "follows": "a", "issued": None}])
def test_found_and_left_are_reported_together(made, left):
    """On one day, or joined by 'follows': both readings of each point, and what was adjusted
    between."""
    _, found, _ = made(a={"readings": {"5.1": "3.020"}},
                       b={"state": "as left", "adjusted": "the 6 V range", **left})
    report, text = found["b"], text_of(found["b"])
    line = next(line for f in report.functions for line in f.lines if line.step == "5.1")
    assert (line.outcome, line.before.outcome,
            line.before.reading.replace("\u00a0", " ")) == ("pass", "FAIL", "3.020 V")
    assert (report.found == "a" and "Between the two: the 6 V range" in report.between
            and "as found" in text)
    assert found["a"].left == "b" and found["a"].tag == () and any(
        "the 6 V range" in line for line in found["a"].between)


def test_found_and_left_of_two_days_are_not_guessed(made):
    """Without 'follows' two days are two records; as left alone says that there is nothing as
    found."""
    _, found, _ = made(a={}, b={"state": "as left", "date": "2026-03-15", "issued": None})
    assert found[
        "b"].found == "" and "There is no record of the state as found." in found["b"].between
    assert "What was adjusted, replaced or cleaned between is not recorded." in found["b"].between


# ---------------------------------------------------------------- today's file

def test_what_todays_file_would_say_stands_apart(made):
    """Another accuracy since: the record keeps its limits, and its page says what today's file
    would say, outside the report."""
    shop, found, root = made(a={"readings": {"5.1": "3.010"}})
    assert found["a"].today == ()
    path = root / "meters/lapwing-1.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("0.4 % + 2 counts", "0.2 % + 2 counts"),
        encoding="utf-8")
    plan = root / "plans/lapwing-yearly.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace('"540 V"', '"530 V"'),
                    encoding="utf-8")
    shop = loading.load_shop(root)
    (report,) = render.reports_of(shop)
    assert report.verdict == report_text.VERDICTS["passes"]
    said = "\n".join(report.today)
    assert (
        "Step 5.1: 2.986 to 3.014 V then, 2.992 to 3.008 V today; pass then would be FAIL today."
        in said.replace(" V to ", " to ").replace("\u00a0", " "))
    assert "Not in today’s file any more: step 6.1." in said and "dcv-600V-530.0V" in said
    assert "today" not in render.report_html(report)        # the plain file holds the report alone
    page = render.render(shop).pages["reports/a.md"]
    assert page.index("End of report a") < page.index("Apart from this report: today’s file")


# ---------------------------------------------------------------- spans and states by hand

def head_of(**more):
    """Just what a comparison asks for."""
    head = {"ambient": None, "humidity": None, "state": "as found", "follows": None,
            "procedure": "p", "date": 1} | more.pop("head", {})
    carried = {"holds": "18 to 28 °C", "humidity": "up to 70 %", "ambient_unit": "degC"}
    return SimpleNamespace(head=SimpleNamespace(**head), same_meter=("lapwing-1", "1"),
                           carried=SimpleNamespace(**(carried | more.pop("carried", {}))), **more)


@pytest.mark.parametrize("said, band, inside", [
    ("45 %", "up to 70 %", True), ("45", "up to 70 %", True), ("70", "at most 70 %", True),
    ("70.1 %", "up to 70 %", False), ("40 to 72 %", "up to 70 %", False),
    ("40 to 60", "30 to 70 %", True), ("", "up to 70 %", None), ("45", "", None),
    ("damp", "up to 70 %", None), ("45 V", "up to 70 %", None)])
def test_the_humidity_against_the_band(said, band, inside):
    """Both ends count; what can't be compared is neither inside nor outside."""
    found = departures.humidity(head_of(head={"humidity": said}, carried={"humidity": band}))
    assert (found.said, found.band, found.inside) == (said, band, inside)


@pytest.mark.parametrize("said, unit, holds, inside", [
    ("23 ± 5 degC", "degC", "18 to 28 degC", True), ("23 ± 6 degC", "degC", "18 to 28 degC", False),
    ("82.4 degF", "degC", "18 to 28 degC", True), ("82.5 degF", "degC", "18 to 28 degC", False),
    ("68", "degF", "64 to 82 degF", True), ("20 degC", "degF", "64 to 82 degF", True),
    ("68", "degC", "18 to 28 degC", False)])
def test_the_ambient_in_either_degree(said, unit, holds, inside):
    """28 °C is 82.4 °F; a number alone is in the sheet's own degrees."""
    found = departures.ambient(head_of(head={"ambient": said},
                                       carried={"holds": holds, "ambient_unit": unit}))
    assert found.inside is inside


def test_which_states_belong_together():
    """The one that is followed, else that of the same meter, procedure and day; never itself, never
    another meter's."""
    def state(name, said, **more):
        return head_of(id=name, head={"state": said} | more)
    found, left = state("a", "as found"), state("b", "as left")
    later = state("c", "as left", date=2)
    follows = state("d", "as left", date=2, follows="a")
    itself = state("e", "as left", date=3, follows="e")
    stranger = state("f", "as left", date=1)
    stranger.same_meter = ("lapwing-1", "2")
    gone = state("g", "as left", follows="zz")

    def paired(*records):
        one, other = departures.pairs({one.id: one for one in records})
        return ({name: it.id for name, it in one.items()},
                {name: it.id for name, it in other.items()})
    assert paired(found, left) == ({"b": "a"}, {"a": "b"})
    assert paired(found, later) == ({}, {})
    assert paired(found, follows) == ({"d": "a"}, {"a": "d"})
    assert paired(found, itself) == paired(found, stranger) == paired(found, gone) == ({}, {})
    # two states as left: the first one is the answer, both name the state as found
    assert paired(found, left, follows) == ({"b": "a", "d": "a"}, {"a": "b"})
