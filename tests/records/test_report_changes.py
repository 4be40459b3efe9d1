"""What a report says of other states than its own: the notice of earlier work, what was done
between the states as found and as left, and what today's file would say."""

from __future__ import annotations

import pytest

from builder.pages import render, report_pages
from builder.shop import loading
from tests.recorded import data_of, report_of, text_of


def test_an_error_beyond_the_tolerance_as_found_prints_a_notice(made):
    """With by how much, in units of use: 546.0 V at 540 V ± 3.0 V."""
    report, text = report_of(made, readings={"6.1": "546.0"})
    (notice,) = report.notices
    assert (
        "at 540.0 V it read 546.0 V, 6.0 V too high; the tolerance is ±3.0 V, so it was out by 3.0 "
        "V more than that." in notice.replace("\u00a0", " "))
    assert "Notice about earlier work" in text


def test_the_notice_names_the_day_when_it_was_last_good(made):
    """The last one with ground at that point, as left too; not one without ground, of another
    meter, or of a later day. 540.4 V at 540 V ± 3.0 V is 0.4 V, 13 % of the tolerance."""
    cold = {"ambient": {"start": "12 degC", "end": "13 degC"}}
    _, found, _ = made(
        a={"date": "2023-03-01", "issued": "2023-03-01", "readings": {"6.1": "539.0"}},
        b={"date": "2024-03-01", "issued": "2024-03-01"},
        c={"date": "2025-03-01", "issued": "2025-03-01", **cold},
        d={"date": "2025-06-01", "issued": "2025-06-01", "serial": "0999"},
        e={"readings": {"6.1": "546.0"}}, f={"date": "2026-05-01", "issued": "2026-05-01"})
    (notice,) = found["e"].notices
    assert notice.replace("\u00a0", " ").replace("\u202f", " ").endswith(
        "Last known to be good there on 2024-03-01, report b: the error was 0.4 V, 13 % of the "
        "tolerance.") and not found["e"].never_good


def test_a_point_that_no_earlier_report_shows_good_is_named(made):
    report, text = report_of(made, readings={"6.1": "546.0"})
    assert report.never_good == (
        "No report from before is here that shows it good at step 6.1.") and (
            report.never_good in text and "Last known" not in report.notices[0])


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
    assert {f.name: f.statement
            for f in found["a"].functions}["DC voltage"] == "fails" and found["a"].notices == ()


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
    assert found["a"].left == "b" and found["a"].label == () and any(
        "the 6 V range" in line for line in found["a"].between)


def test_found_and_left_of_two_days_are_not_guessed(made):
    """Without 'follows' two days are two records; as left alone says that there is nothing as
    found."""
    _, found, _ = made(a={}, b={"state": "as left", "date": "2026-03-15", "issued": None})
    assert found[
        "b"].found == "" and "There is no record of the state as found." in found["b"].between
    assert "What was adjusted, replaced or cleaned between is not recorded." in found["b"].between


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
    (report,) = report_pages.reports_of(shop)
    assert report.statement == "passes"
    said = "\n".join(report.today)
    assert (
        "Step 5.1: 2.986 to 3.014 V then, 2.992 to 3.008 V today; pass then would be FAIL today."
        in said.replace(" V to ", " to ").replace("\u00a0", " "))
    assert "Not in today’s file any more: step 6.1." in said and "dcv-600V-530.0V" in said
    # the plain file holds the report alone
    assert "today" not in report_pages.report_html(report)
    page = render.render(shop).pages["reports/a.md"]
    assert page.index("End of report a") < page.index("Apart from this report: today’s file")
