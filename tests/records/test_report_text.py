"""The report of a record: each item that ISO/IEC 17025:2017, 7.8.2.1 and 7.8.6 (read) and 7.8.4
(second hand) ask for and a report here has, tied to the page one by one; the verdict by rule; and
that it prints by itself."""

from __future__ import annotations

import json
import re
import subprocess

import pytest

from builder import cli
from builder.formats.report_data import ReportData
from builder.pages import render, report_pages
from builder.records.state_words import HEADLINES
from builder.records.statement import of_meter
from builder.shop import loading
from tests.conftest import FLAGS, chromium, needed, parse
from tests.recorded import data_of, folder_with, phone, record, report_of, text_of

# ---------------------------------------------------------------- what a report must hold

ITEMS = {
    "7.8.2.1 a, a title": "Report of verification",
    "7.8.2.1 b, name and address of the laboratory": "Invented Bench Works, 1 Quay, Nowhere",
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
    "7.8.4.1 b, the environment":
        "22.8 °C at the start, 23.1 °C at the end, within the sheet’s 18 to 28 °C",
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
    (report,) = report_pages.reports_of(loading.load_shop(root))
    return text_of(report)


@pytest.mark.parametrize("item", ITEMS)
def test_a_report_holds(plain, item):
    """Each required item stands on the page."""
    assert ITEMS[item] in plain, plain


def test_every_page_says_whose_it_is_and_which_of_how_many(made):
    """The running foot: the report's name, the meter and its serial number; the page of all
    pages."""
    page = report_pages.report_html(report_of(made)[0])
    assert re.search(r'@bottom-left\{content:"DRAFT · Report a · Lapwing 1, serial no\. 0147, '
                     r'as found"', page)
    assert re.search(r'content:"Page." counter\(page\) ".of." counter\(pages\)', page)


@pytest.mark.browser
def test_it_prints_by_itself_on_a4_with_its_foot_on_each_page(made, tmp_path):
    """The plain file, printed: the foot on every page, the end on the last."""
    needed(chromium(), "Chromium")
    from pypdf import PdfReader
    (tmp_path / "a.html").write_text(report_pages.report_html(report_of(made)[0]), encoding="utf-8")
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
    page = report_pages.report_html(report_of(made)[0])
    assert not re.search(r"(?:src|href)=|url\(|@import|<script", page)


def test_what_is_missing_is_a_line_to_fill_in(made):
    """No owner, no day of issue, no place, no workshop: lines, and nothing invented; nothing
    recorded is said."""
    _, found, _ = made(workshop=False,
                       a={"owner": None, "issued": None, "place": None, "ambient": None,
                          "done_by": None, "reviewed_by": None})
    page = parse(report_pages.report_html(found["a"]))
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


# ---------------------------------------------------------------- the pages, the command


def test_the_pages_of_a_site(made):
    """The list leads to each report; blocks are raw, without blank lines, and out of the search."""
    shop, _, _ = made(a={}, p=lambda data: phone(data, serial="9<b>"))
    pages = render.render(shop).pages
    assert "reports/a.html" in pages[
        "reports.md"] and "reports/2026-03-12-5c0a7e11.html" in pages[
            "reports.md"] and "9<b>" not in pages["reports.md"]
    page = pages["reports/2026-03-12-5c0a7e11.md"]
    assert "9<b>" not in page and re.search(
        r'^<div class="report" data-search-exclude>\n(?:.+\n)+</div>\n\n', page, re.M)


def test_hostile_texts_stay_texts(made):
    """Whatever a person typed is shown as it is."""
    nasty = '<img src=x onerror="1">\\ {{ 7 }} & "q"'
    report, text = report_of(made, owner=nasty, remarks=nasty, serial=nasty, done_by=nasty,
                             readings={"5.1": {"reading": "3.002", "note": nasty}})
    page = report_pages.report_html(report)
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
    assert ("in the site reports/a.html: Passes" in out and "cut short" in err
            and "no such file" in err)
    assert cli.main(["report", "a", "--to", str(tmp_path / "out")]) == 0
    for wrong in ([], ["--to"], ["a", "--to"], ["--all"]):
        assert cli.main(["report", *wrong]) == 2


ALL_BAD = {"readings": {"5.1": "3.018", "5.2": "-3.018", "6.1": "560.0", "4.1": "59.9"},
           "checks": {"Diode test": "no"}}


@pytest.mark.parametrize("head, statement, code, functions, in_shop", [
    ({}, "passes", 0, ["passes"] * 3, "in service"),
    ({"readings": {"5.1": "3.012"}}, "conditional pass", 0,
     ["passes", "conditional pass", "passes"], "in service"),
    ({"readings": {"5.2": "-3.018"}}, "limited", 3, ["passes", "fails", "passes"], "limited"),
    ({"readings": {"5.2": "-3.015"}}, "limited", 3, ["passes", "conditional fail", "passes"],
     "limited"),
    ({"readings": {"5.2": "-"}}, "limited", 3, ["passes", "no statement", "passes"], "limited"),
    (ALL_BAD, "fails", 3, ["fails"] * 3, "out of service"),
    ({"ambient": "22 degC", "checks": {"Diode test": "-"}}, "no statement", 3,
     ["no statement"] * 3, "out of service"),
    ({"checks": {"Case": "-"}}, "no statement", 3, ["passes"] * 3, "out of service"),
    ({"checks": {"Case": "no"}}, "not safe to use", 3, ["passes"] * 3, "out of service")])
def test_one_statement_everywhere(made, head, statement, code, functions, in_shop, tmp_path, capsys,
                                  monkeypatch):
    """Headline, functions and label of the report, the list of reports, the shop's page, the last
    line of the terminal with its exit code, and the data, from which it is worked out again. The
    phone says the same before it hands a record over: tests/pages/test_ground_js.py."""
    shop, found, root = made({"decision_rule": "guard band of U", "outcomes": "four",
                              "interval_agreed": "12 months"}, a=head)
    (root / "workshop.yaml").write_text("name: Works\naddress: [Nowhere]\nas_of: 2026-03-20\n",
                                        encoding="utf-8")
    monkeypatch.setattr(cli, "PROCEDURES", root)
    assert cli.main(["report", "a", "--to", str(tmp_path / "out")]) == code
    assert capsys.readouterr().out.splitlines()[-1] == f"a: {statement}"

    headline = HEADLINES[statement]
    page = parse(report_pages.report_html(found["a"], shop))
    word, _, rest = headline.partition(": ")
    chip = page.one("p.verdict").text
    assert chip[2:].startswith(word) and rest.lower() in chip.lower()
    assert chip[0] == ("✓" if code == 0 else "–" if statement == "no statement" else "✗")
    shown = {row.all("td")[0].text: row.one("td.outcome").text.lstrip("✓✗ ")
             for row in page.one("table.of-functions").one("tbody").all("tr")}
    assert list(shown.values()) == functions
    label = page.all("div.tag")
    barred = [name for name, said in shown.items() if said not in ("passes", "conditional pass")]
    assert bool(label) == (code == 3)
    if statement == "limited":
        assert all(f"{name[0].lower()}{name[1:]}".replace("dC", "DC") in label[0].text
                   for name in barred) and "Not for" in label[0].text
    elif code == 3:
        assert "Do not use" in label[0].text and "May be used" not in label[0].text

    site = render.render(loading.load_shop(root))
    assert headline.replace(":", "") in site.pages["reports.md"].replace(":", "")
    state = re.search(r'<td class="state"><b class="chip \w+">\S ([^<]*)', site.pages["shop.md"])
    assert state[1] == in_shop
    data = ReportData.model_validate_json(site.files["data/reports/a.json"])
    assert data.statement == found["a"].statement == statement
    assert [one.statement for one in data.functions] == functions
    again = of_meter(points=data.points, checks=data.checks, live_groups=data.live_groups,
                     functions=[one.function for one in data.functions])
    assert again.statement == statement
    assert [one.statement for one in again.functions] == functions


def test_a_phones_record_and_paper_say_the_same(made):
    """One format: the same readings give the same lines."""
    _, found, _ = made(a={"serial": "1"}, p=lambda data: phone(data, serial="2"))
    assert [f.lines for f in found["a"].functions] == [
        f.lines for f in found["2026-03-12-5c0a7e11"].functions]


def test_work_in_the_midst_of_a_record_is_said_first(made):
    """What was read after it is printed, marked, and never judged as found: here by a reading
    beyond its tolerance, of which no notice speaks."""
    work = {"worked_on": {"5.2": "battery changed."}, "readings": {
        "5.2": {"reading": "-2.999", "then": ["-3.050"], "because": "read again"}, "6.1": "545.9"}}
    _, found, _ = made(a=work, b={"state": "as left", "adjusted": "the battery", "closed": None,
                                  "readings": {"6.1": "-"}})
    report, text = found["a"], text_of(found["a"])
    assert report.reasons[0] == "The meter was worked on at step 5.2: battery changed."
    assert report.statement == "limited" and not report.notices
    assert "DC voltage has no statement: read only after the work: step 6.1." in report.reasons
    assert "Read after the work on the meter, and not judged as found: steps 5.2, 5.3, 6.1." in (
        report.deviations)
    assert not any(line.startswith("Not done") for line in report.deviations)
    lines = {line.step: line for one in report.functions for line in one.lines}
    assert lines["5.2"].outcome == "pass" and not lines["6.1"].fails
    assert [line.replace("\u202f", " ").replace("\xa0", " ") for line in lines["5.2"].remarks] == [
        "read after the work: −3.050 V"]
    assert (lines["6.1"].reading, lines["6.1"].outcome) == ("–", "after the work")
    assert "read after the work: 545.9 V" in text.replace("\u202f", " ").replace("\xa0", " ")
    left = found["b"]
    assert left.statement == "limited" and any(
        line == "Carried over from the record as found, read there after the work: step 6.1."
        for line in left.reasons)


@pytest.mark.parametrize("worked_on, says", [
    ({"end": "fuse changed"}, "The meter was worked on after the last reading: fuse changed."),
    ({"6.1": ""}, "The meter was worked on at step 6.1: what was done is not recorded."),
    ({"2.1": "fuse"}, "The meter was worked on at step 2.1: fuse.")])
def test_the_place_and_kind_of_work(made, worked_on, says):
    report, text = report_of(made, worked_on=worked_on)
    assert report.reasons[0] == says and says in text
    assert (report.statement == "passes") == ("end" in worked_on)
    assert any(one.good == "yes (after the work)" for one in report.checks) == ("2.1" in worked_on)


def test_a_phones_work_on_the_meter_says_the_same(made):
    _, found, _ = made(a=lambda data: phone(data, worked_on={"5.2": None}),
                       b={"serial": "2", "worked_on": {"5.2": ""}})
    of_phone = found["2026-03-12-5c0a7e11"].reasons
    assert of_phone == found["b"].reasons and "at step 5.2" in of_phone[0]
