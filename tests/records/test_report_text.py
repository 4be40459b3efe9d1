"""The report of a record: each item that ISO/IEC 17025:2017, 7.8.2.1 and 7.8.6 (read) and 7.8.4
(from memory) ask for, tied to the page one by one; the verdict by rule; and that it prints by
itself."""

from __future__ import annotations

import html
import json
import re
import subprocess

import pytest

from builder import cli
from builder.pages import render
from builder.records import report_text
from builder.shop import loading
from tests.conftest import FLAGS, chromium, needed, parse
from tests.recorded import data_of, folder_with, phone, record, step


@pytest.fixture
def made(tmp_path):
    """Builds the reports of records that are given by name: `made(a={…})` → the shop, its reports
    by name, its site."""
    def make(plan_more: dict | None = None, workshop: bool = True, **records):
        root = folder_with(tmp_path, plan_more)
        if workshop:
            (root / "workshop.yaml").write_text(
                "name: Invented Bench Works\naddress: [1 Quay, Nowhere]\n", encoding="utf-8")
        data = data_of(root)
        for name, change in records.items():
            content = change(data) if callable(change) else record(data, **change)
            (root / "records"
             / f"{name}.{'json' if 'judged_by' in content and isinstance(content['judged_by'], dict) else 'yaml'}").write_text(json.dumps(content), encoding="utf-8")
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        return shop, {one.id: one for one in render.reports_of(shop)}, root
    return make


def text_of(report: report_text.Report) -> str:
    """What a reader reads, with single spaces."""
    body = render.report_html(report).partition("<body>")[2]
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]*>", " ", body)))


def one(made, **record_more) -> tuple[report_text.Report, str]:
    _, found, _ = made(a=record_more)
    return found["a"], text_of(found["a"])


# ---------------------------------------------------------------- what a report must hold

ITEMS = {
    "7.8.2.1 a, a title": "Report of verification",
    "7.8.2.1 b, name and address of the laboratory": "Invented Bench Works 1 Quay Nowhere",
    "7.8.2.1 c, where the work was done": "Place of the work bench 2",
    "7.8.2.1 d, a unique identification": "Report a",
    "7.8.2.1 d, a clear identification of the end": "End of report a",
    "7.8.2.1 e, the customer": "For Invented Ferries",
    "7.8.2.1 f, the method": "Lapwing 1, yearly, procedure lapwing-yearly, revision",
    "7.8.2.1 g, the item": "Lapwing 1, Invented Works, serial no. 0147",
    "7.8.2.1 g, its condition": "as found ; clean",
    "7.8.2.1 i, the day of the work": "Day of the work 2026-03-12",
    "7.8.2.1 j, the day of issue": "Day of issue 2026-03-13",
    "7.8.2.1 l, that it relates to this item only": "This relates to this item only",
    "7.8.2.1 m, results with units": "3.002 V",
    "7.8.2.1 n, departures from the method": "Departures from the procedure",
    "7.8.2.1 o, who authorises it": "Reviewed and authorised by T. Askew",
    "7.8.4.1 a, the uncertainty of the result": "U = k·u is the expanded uncertainty",
    "7.8.4.1 b, the environment": "Ambient at the meter: 22.8 °C, within the sheet’s 18 to 28 °C",
    "7.8.4.1 c, how the results are traceable": "Petrel, invented source",
    "7.8.4.1 c, certificates": "P-1",
    "7.8.6.1, the decision rule": "Decision rule: simple acceptance.",
    "7.8.6.2 a, which results the statement covers": "The statement covers the points of this "
    "report that have limits",
    "7.8.6.2 b, which specification": "against the accuracy of Lapwing 1 data sheet",
    "who did it": "Done by I. Marlow",
    "no accreditation": "This report claims no accreditation.",
}


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """What a reader reads of a record with everything in order."""
    root = folder_with(tmp_path_factory.mktemp("plain"))
    (root / "workshop.yaml").write_text("name: Invented Bench Works\naddress: [1 Quay, Nowhere]\n",
                                        encoding="utf-8")
    (root / "records/a.yaml").write_text(json.dumps(record(data_of(root))), encoding="utf-8")
    (report,) = render.reports_of(loading.load_shop(root))
    return text_of(report)


@pytest.mark.parametrize("item", ITEMS)
def test_a_report_holds(plain, item):
    """Each required item stands on the page."""
    assert ITEMS[item] in plain, plain


def test_every_page_says_whose_it_is_and_which_of_how_many(made):
    """The running foot: the report's name, the meter and its serial number; the page of all
    pages."""
    page = render.report_html(one(made)[0])
    assert re.search(r'@bottom-left\{content:"Report a · Lapwing 1, serial no\. 0147, as found"',
                     page)
    assert 'content:"Page " counter(page) " of " counter(pages)' in page


@pytest.mark.browser
def test_it_prints_by_itself_on_a4_with_its_foot_on_each_page(made, tmp_path):
    """The plain file, printed: the foot on every page, the end on the last."""
    needed(chromium(), "Chromium")
    from pypdf import PdfReader
    (tmp_path / "a.html").write_text(render.report_html(one(made)[0]), encoding="utf-8")
    subprocess.run([chromium(), "--headless", *FLAGS, f"--print-to-pdf={tmp_path}/a.pdf",
                    f"file://{tmp_path}/a.html"], check=True, capture_output=True, timeout=60)
    pages = [page.extract_text() for page in PdfReader(tmp_path / "a.pdf").pages]
    for n, text in enumerate(pages, 1):
        assert (f"Page {n} of {len(pages)}" in text and "Report a · Lapwing 1, serial no. 0147"
                in text)
    assert "End of report a" in pages[-1] and not any(
        "End of report" in text for text in pages[:-1])


def test_a_report_fetches_nothing(made):
    """A file of its own: no address in it, no script."""
    page = render.report_html(one(made)[0])
    assert not re.search(r"(?:src|href)=|url\(|@import|<script", page)


def test_every_result_has_its_numbers(made):
    """Reading, error, counts, percent of T, U and k, in the cells under their heads; by hand for
    3.002 V at 3 V ± 14 mV."""
    report, _ = one(made)
    table = parse(render.report_html(report)).one("table.results")
    assert [h.text
            for h in table.one("thead").all("th")] == [
                "Step", "Applied", "Range", "Limits", "T ±", "Reading", "Error", "Counts", "% of T",
                "U", "k", "Outcome"]
    rows = {row.all("td")[0].text.split()[0]: [cell.text for cell in row.all("td")]
            for row in table.all("tr") if row.all("td") and row.all("td")[0].text}
    data = report.record.carried
    own = next(p for p in data.points if p.step == "5.1")
    assert rows["5.1"][1:6] == ["3.000 V", "6 V", "2.986 to 3.014", "0.014", "3.002 V"]
    assert float(rows["5.1"][6]) == 0.002 and rows["5.1"][7:9] == ["2", "14.3"] and rows["5.1"][
        11] == "pass"
    assert (rows["5.1"][9],
            rows["5.1"][10]) == (own.uncertainty.U.text.split()[0],
                                 f"{float(own.uncertainty.k):.2f}")
    # GUM 7.2.6: to the same decimal place
    assert len(rows["5.1"][6].partition(".")[2]) == len(rows["5.1"][9].partition(".")[2])
    # 50.2 less 0.1 Ω of leads
    assert rows["4.1"][1] == "50 Ω certified 50.01 Ω" and rows["4.1"][5] == "50.1 Ω shown 50.2"
    assert rows["5.3"][11] == "written down" and rows["5.3"][6] == ""


def test_what_is_missing_is_a_line_to_fill_in(made):
    """No owner, no day of issue, no place, no workshop: lines, and nothing invented; nothing
    recorded is said."""
    _, found, _ = made(workshop=False,
                       a={"owner": None, "issued": None, "place": None, "ambient": None,
                          "done_by": None, "reviewed_by": None})
    page = parse(render.report_html(found["a"]))
    facts = {row.one("dt").text: row.one("dd") for row in page.one("dl.facts").all("div")}
    assert all(facts[name].all("span.fill")
               for name in ("Written by", "For", "Day of issue", "Place of the work"))
    assert "not recorded" in facts["Environment"].text and any(
        "ambient temperature was not recorded" in line for line in found["a"].deviations)


def test_no_interval_unless_the_owner_agreed(made):
    """A report recommends nothing; what the plan says was agreed is printed; what a phone's 'next'
    says is not."""
    _, found, root = made(a={"next": "again in 12 months"})
    assert "12 months" not in text_of(found["a"]) and "nterval" not in text_of(found["a"])
    _, found, _ = made({"interval_agreed": "12 months"}, a={})
    assert "Interval, as agreed with the owner: 12 months." in text_of(found["a"])


@pytest.mark.parametrize("due, says",
                         [("2026-03-12", ""), ("2026-03-11", "overdue on the day of the work"),
                          ("3/26", "no date that could be compared with the day of the work")])
def test_due_dates_are_judged_for_that_day(made, due, says):
    """On its last day a standard is in order; a day later it is overdue, and that is a
    departure."""
    report, text = one(made, standards={"petrel": {"number": "77", "due": due}})
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
    report, _ = one(made, ambient=ambient)
    about = [line for line in report.deviations if "ambient" in line]
    assert (says is None and not about) or (says in about[0])


# ---------------------------------------------------------------- the verdict by rule

def test_a_record_without_a_fault_passes(made):
    """All points, all checks: nothing departs, and no tag."""
    report, text = one(made)
    assert (report.verdict, report.deviations, report.tag,
            report.notices) == (report_text.VERDICTS["passes"], (), (), ())
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "pass", "resistance": "pass", "diode test": "pass"}


def test_one_failed_point_fails_its_function_and_limits_the_meter(made):
    """The tag says what the meter may be used for, with its ranges, and what not."""
    report, text = one(made, readings={"5.2": "-3.020"})
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "FAIL", "resistance": "pass", "diode test": "pass"}
    assert report.verdict == report_text.VERDICTS["limited"]
    assert dict(report.tag) == {"May be used for": "resistance (600\u00a0Ω); diode test",
                                "Not for": "DC voltage"}
    assert "Tag for the meter" in text and "DC voltage fails: step 5.2." in text


def test_skipped_points_are_named_and_pass_nothing(made):
    """A function with a point that was not done isn't usable by this record; a skipped check
    likewise."""
    report, text = one(made, readings={"5.2": "-"}, checks={"2.1": "-"})
    assert {f.name: f.state for f in report.functions} == {
        "DC voltage": "not completed", "resistance": "pass", "diode test": "not completed"}
    assert (report.verdict == report_text.VERDICTS[
        "not completed"] and "Not done: step 5.2." in report.deviations
            and "Checks not done: step 2.1." in report.deviations)


def test_a_failure_beside_skipped_points(made):
    """What failed is not for use, what was not done is not shown."""
    report, _ = one(made, readings={"5.2": "-3.1", "4.1": "-"})
    assert dict(report.tag) == {"May be used for": "diode test", "Not for": "DC voltage",
                                "Not shown": "resistance"}


def test_checks_that_are_not_good(made):
    """A check that covers a function fails it; another one holds the meter back until it is
    mended."""
    report, _ = one(made, checks={"2.1": "no"})
    assert {f.name: f.state for f in report.functions}["diode test"] == "FAIL"
    report, _ = one(made, checks={"1.2": "no"})
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
                    "a"].verdict == report_text.VERDICTS["passes conditionally"]
    assert "DC voltage passes conditionally: step 5.1 read within the tolerance" in text_of(
        found["a"])
    _, found, _ = made(plan, a={"readings": {"5.1": beyond}})
    assert {f.name: f.state for f in found["a"].functions}["DC voltage"] == "conditional fail"
    assert "DC voltage fails conditionally: step 5.1 read beyond the tolerance" in text_of(
        found["a"]) and "Conditional fail: beyond it by less" in text_of(found["a"])


def test_live_groups_that_were_not_closed_are_named(made):
    """Not closed, and not recorded: both are departures."""
    assert any("was not closed by all" in line
               for line in one(made, closed={"6": "no"})[0].deviations)
    assert any("that it was closed is not recorded" in line
               for line in one(made, closed=None)[0].deviations)


def test_a_second_try_is_shown_with_the_first(made):
    """The last try counts; both readings are given."""
    report, text = one(made, readings={"5.1": ["3.020", "3.004"]})
    assert {f.name: f.state for f in report.functions}["DC voltage"] == "pass"
    assert ("first try 3.020 V: FAIL" in text and "Tried twice, both readings given: step 5.1."
            in report.deviations)


# ---------------------------------------------------------------- earlier work

def test_an_error_beyond_the_tolerance_as_found_prints_a_notice(made):
    """With by how much, in units of use: 546.0 V at 540 V ± 3.0 V."""
    report, text = one(made, readings={"6.1": "546.0"})
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
    assert len(one(made, readings=readings, state=state)[0].notices) == notices


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
    line = next(l for f in report.functions for l in f.lines if l.step == "5.1")
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


# ---------------------------------------------------------------- today's file, the pages, the command

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


def test_the_pages_of_a_site(made):
    """The list leads to each report; blocks are raw, without blank lines, and out of the search."""
    shop, _, _ = made(a={}, p=lambda data: phone(data, serial="9<b>"))
    pages = render.render(shop).pages
    assert "reports/a.md" in pages[
        "reports.md"] and "reports/2026-03-12-5c0a7e11.md" in pages[
            "reports.md"] and "9<b>" not in pages["reports.md"]
    page = pages["reports/2026-03-12-5c0a7e11.md"]
    assert "9<b>" not in page and re.search(
        r'^<div class="report" data-search-exclude>\n(?:.+\n)+</div>\n\n', page, re.M)


def test_hostile_texts_stay_texts(made):
    """Whatever a person typed is shown as it is."""
    nasty = '<img src=x onerror="1">\\ {{ 7 }} & "q"'
    report, text = one(made, owner=nasty, remarks=nasty, serial=nasty, done_by=nasty,
                       notes={"5.1": nasty})
    page = render.report_html(report)
    assert "<img" not in page and text.count("onerror") >= 5


def test_the_command_writes_plain_files(made, tmp_path, capsys, monkeypatch):
    """By name and by file, from anywhere; says where they are in the site; a bad one is a problem
    and the others are written."""
    _, _, root = made(a={}, b={"serial": "5"})
    away = tmp_path / "away.json"
    away.write_text(json.dumps(phone(data_of(root), serial="77")), encoding="utf-8")
    bad = tmp_path / "bad.json"
    bad.write_text("{", encoding="utf-8")
    monkeypatch.setattr(cli, "PROCEDURES", root)
    assert cli.main(["report", "a", str(away), str(bad), "gone", "--to",
                     str(tmp_path / "out")]) == 1
    out, err = capsys.readouterr()
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "2026-03-12-5c0a7e11.html", "a.html"]
    assert ("In the site it is reports/a.html." in out and "cut short" in err
            and "no such file" in err)
    assert cli.main(["report", "a", "--to", str(tmp_path / "out")]) == 0
    for wrong in ([], ["--to"], ["a", "--to"], ["--all"]):
        assert cli.main(["report", *wrong]) == 2


def test_the_form_for_paper_is_a_record_once_filled_in(made, monkeypatch):
    """`blank` writes a form whose places, filled in, make the same record; it overwrites
    nothing."""
    from builder.records import paper_form
    _, _, root = made()
    monkeypatch.setattr(cli, "PROCEDURES", root)
    data = data_of(root)
    assert cli.main(["blank", "lapwing-yearly"]) == 0 and cli.main(["blank", "lapwing-yearly"]) == 0
    forms = sorted(path.name for path in (root / "records").glob("new-*"))
    assert forms == ["new-lapwing-yearly-2.yaml", "new-lapwing-yearly.yaml"]
    text = (root / "records" / forms[1]).read_text(encoding="utf-8")
    for name, value in (("serial", "0147"), ("state", "as found"), ("date", "2026-03-12")):
        text = re.sub(rf"^{name}:", f"{name}: {value}", text, flags=re.M)
    text = text.replace(f"-,  # {step(data, '3.000 V')} ", f"3.002,  # {step(data, '3.000 V')} ")
    (root / "records/a.yaml").write_text(text, encoding="utf-8")
    shop = loading.load_shop(root)
    assert not shop.errors and [j.verdict.readings for j in shop.records["a"].judged
                                if j.verdict] == [("3.002 V",)]
    assert {p.code for p in shop.problems} == {"blank-record"}
    assert cli.main(["blank", "gone"]) == 1 and cli.main(["blank"]) == 2
    beside = root / "records" / paper_form.data_name(data)
    beside.write_text("{}", encoding="utf-8")
    assert cli.main(["blank", "lapwing-yearly"]) == 1 and beside.read_text(encoding="utf-8") == "{}"


def test_a_phones_record_and_paper_say_the_same(made):
    """One format: the same readings give the same lines."""
    _, found, _ = made(a={"serial": "1"}, p=lambda data: phone(data, serial="2"))
    assert [f.lines for f in found["a"].functions] == [
        f.lines for f in found["2026-03-12-5c0a7e11"].functions]
