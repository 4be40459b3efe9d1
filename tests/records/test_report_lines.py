"""A point as a line of its report: every number in the unit of the display, and what stands small
below it."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from builder.pages import report_pages
from builder.records.judged_record import JudgedReading
from builder.records.readings import Try
from builder.records.report_lines import exact_or_rounded, line_of, quantity, rounded
from builder.records.verdict import verdict
from tests.conftest import parse
from tests.recorded import report_of
from tests.records.test_verdict import limits, point


def test_every_result_has_its_numbers(made):
    """Reading, error, percent of T, U and k, in the cells under their heads; by hand for
    3.002 V at 3 V ± 14 mV."""
    report, _ = report_of(made)
    table = parse(report_pages.report_html(report)).one("table.readings")
    assert [h.text
            for h in table.one("thead").all("th")] == [
                "Step", "Applied", "Range", "Accepted", "T ±", "Reading", "Error",
                "Error in % of T", "U", "k", "Outcome"]
    rows = {row.all("td")[0].text.split()[0]: [cell.text for cell in row.all("td")]
            for row in table.all("tr") if row.all("td") and row.all("td")[0].text}
    data = report.record.carried
    own = next(p for p in data.points if p.step == "5.1")
    assert rows["5.1"][1:6] == ["3.000 V", "6 V", "2.986 to 3.014", "0.014", "3.002 V"]
    assert float(rows["5.1"][6]) == 0.002 and rows["5.1"][7:9] == ["", "14.3"] and rows["5.1"][
        11] == "✓ pass"
    assert (rows["5.1"][9],
            rows["5.1"][10]) == (own.uncertainty.U.text.split()[0],
                                 f"{float(own.uncertainty.k):.2f}")
    # GUM 7.2.6: to the same decimal place
    assert len(rows["5.1"][6].partition(".")[2]) == len(rows["5.1"][9].partition(".")[2])
    # 50.2 less 0.1 Ω of leads
    assert rows["4.1"][1] == "50 Ω certified 50.01 Ω" and rows["4.1"][5] == "50.1 Ω shown 50.2"
    assert rows["5.3"][11] == "written down" and rows["5.3"][6] == ""


# ---------------------------------------------------------------- in a whole report

def test_a_second_try_is_shown_with_the_first(made):
    """The last try counts; both readings are given."""
    report, text = report_of(
        made, readings={"5.1": {"reading": "3.020", "then": ["3.004"], "because": "lead not home"}})
    assert {f.name: f.statement for f in report.functions}["DC voltage"] == "passes"
    assert "reading 1: 3.020 V, void, lead not home" in text
    assert "Tried twice, both readings given: step 5.1." in report.deviations


# ---------------------------------------------------------------- numbers

@pytest.mark.parametrize("value, decimals, text", [
    ("0.0125", 3, "0.013"), ("-0.0125", 3, "−0.013"), ("0.0124", 3, "0.012"), ("0", 3, "0.000"),
    ("-0.0004", 3, "0.000"), ("1/3", 2, "0.33"), ("-2/3", 0, "−1"), ("999.95", 1, "1000.0")])
def test_half_away_from_zero(value, decimals, text):
    """For showing; nothing below half a digit has a minus."""
    assert rounded(F(value), decimals) == text


@pytest.mark.parametrize("value, text", [
    ("2", "2"), ("1/2", "0.5"), ("-1/8", "−0.125"), ("1/3", "0.3"), ("-7/3", "−2.3"),
    ("0.0625", "0.1")])
def test_a_mean_may_have_no_end(value, text):
    """Up to three decimals beyond those asked for are exact; else one beyond them, rounded."""
    assert exact_or_rounded(F(value), 0) == text


@pytest.mark.parametrize("given, shown", [
    ("-3.000 V", "−3.000 V"), ("100.0 kOhm", "100.0 kΩ"), ("47.0 uF", "47.0 µF"),
    ("20 degC", "20 °C"), ("leads", "leads")])
def test_a_quantity_of_the_data(given, shown):
    assert quantity(given).replace("\u00a0", " ") == shown


# ---------------------------------------------------------------- a line by hand

def line(*typed, note="", before=None, leads=("", None), read_by_reference="", **more):
    """The line of 3 V ± 14 mV with these tries."""
    one = point(**more)
    tries = tuple((Try(readings=(text,) if isinstance(text, str) else tuple(text),
                       reference=read_by_reference),
                   verdict(one, text, zero=leads[0], zero_point=leads[1],
                           reference=read_by_reference)) for text in typed)
    return line_of(JudgedReading(one, tries, note), before)


def plain(text) -> str:
    return text.replace("\u00a0", " ")


def test_a_reading_within():
    """3.002 V: 2 mV, 2/14 of the tolerance; U = 1.0 mV from the sheet asks for one digit
    more in the error (GUM 7.2.6)."""
    found = line("3.002")
    assert (plain(found.applied), plain(found.range), found.limits, found.tolerance) == (
        "3.000 V", "6 V", "2.986 to 3.014", "0.014")
    assert plain(found.reading) == "3.002 V" and found.beside == "" and found.remarks == ()
    assert (found.error, found.percent) == ("0.0020", "14.3")
    assert '<circle class="at-inside" cx="54.76%"' in found.band
    assert (found.expanded, found.k) == ("0.0010", "2.00")
    assert (found.outcome, found.fails) == ("pass", False)


def test_a_reading_beyond_and_an_overload():
    """The failure is set out; an overload has no error and no U."""
    found = line("2.985")
    assert (found.error, found.percent, found.outcome, found.fails) == (
        "−0.0150", "−107.1", "FAIL", True)
    assert 'class="at-outside"' in found.band
    found = line("OL")
    assert (found.reading, found.error, found.percent, found.expanded) == ("OL", "", "", "")
    assert 'class="at-above"' in found.band
    assert found.outcome == "FAIL" and found.fails


def test_nothing_was_read():
    """The sheet's own numbers stand there all the same."""
    found = line(note="no lead at hand")
    assert (found.reading, found.outcome, found.error, found.fails) == ("–", "not done", "", False)
    assert found.limits == "2.986 to 3.014" and found.remarks == ("no lead at hand",)
    assert found.tolerance == "0.014"


def test_a_second_try_names_the_first():
    """The worse one counts; the other stands below with its outcome."""
    for readings, other in ((("3.021", "3.004"), 2), (("3.004", "3.021"), 1)):
        found = line(*readings, note="a loose plug")
        assert plain(found.reading) == "3.021 V" and found.fails
        assert [plain(one) for one in found.remarks] == [f"reading {other}: 3.004 V, pass",
                                                         "a loose plug"]


def test_repeated_readings_are_set_out():
    """Mean, each reading, u and ν by hand: s/√3 = 1 mV/√3, with 0.5 mV of the sheet
    0.7638 mV; ν = 2·(0.7638/0.5774)⁴ = 6.1. With t = 2.52 U is 1.92 mV, up to two figures."""
    found = line(["3.001", "3.002", "3.003"])
    assert plain(found.reading) == "3.0020 V" and found.error == "0.0020"
    said = [plain(one) for one in found.remarks]
    assert said == ["mean of 3: 3.001, 3.002, 3.003", "with u = 0.000764, ν = 6"]
    assert found.expanded == "0.0020" and float(found.k) == pytest.approx(2.52, abs=0.03)


def test_a_reading_that_flickered_shows_both_extremes():
    """As they were written, with the one that was judged below: 3 V ± 14 mV."""
    found = line("3.014/3.015")
    assert plain(found.reading) == "3.014/3.015 V" and found.fails
    assert plain(found.remarks[0]) == (
        "flickered: 3.015 V counts, farther from the middle of the limits")
    assert line("3.014").remarks == ()


def test_an_observation_has_a_reading_and_no_more():
    """No limit, no tolerance; what was to be seen stands below."""
    found = line("3.5", kind="observation", observe="only to see it", slope=None, offset=None,
                 accept=None, tolerance_limits=None, uncertainty=None)
    assert (found.limits, found.tolerance, found.error, found.outcome) == (
        "", "", "", "written down")
    assert plain(found.reading) == "3.5 V" and found.remarks == ("only to see it",)


def test_where_the_rule_leaves_nothing():
    """The error is given, the reason too, and nobody decides."""
    found = line("3.002", accept=None)
    assert (found.limits, found.outcome, found.error) == ("none left", "written down", "0.0020")
    assert found.remarks == ("cannot be verified with this standard under this rule",)


def test_four_outcomes_show_both_limits():
    """Those of acceptance, and in brackets those of the tolerance."""
    found = line("3.012", accept=limits(10), conditional=limits(18))
    assert (found.limits, found.outcome) == ("2.990 to 3.010 (2.986 to 3.014)", "conditional pass")


OHMS = dict(unit="Ohm", range="600 Ohm", resolution="0.1 Ohm", highest="599.9 Ohm", decimals=1,
            slope="0.01", offset="0.5 Ohm", function="resistance", uncertainty=None,
            tolerance_limits=None)
FIFTY = OHMS | dict(apply="50 Ohm", expected="50.01 Ohm", kind="artifact", correction="subtract",
                    zero="leads", accept={"low": "49.1 Ohm", "high": "51.0 Ohm", "low_counts": 491,
                                          "high_counts": 510})


def test_a_value_with_the_leads_in_it_is_not_called_certified():
    """Where the leads are not taken off, half of the most that they may add stands in what is
    expected: 3.6004 kΩ of the certificate is 3.600446 kΩ at the jacks."""
    kilohms = OHMS | dict(unit="kOhm", range="4 kOhm", resolution="0.001 kOhm", decimals=3,
                          highest="3.999 kOhm", offset="0.002 kOhm", apply="3.6 kOhm",
                          expected="3.600446 kOhm", kind="artifact",
                          accept={"low": "3.563 kOhm", "high": "3.638 kOhm", "low_counts": 3563,
                                  "high_counts": 3638})
    assert plain(line("3.600", **kilohms).at) == "gives 3.600446 kΩ"


def test_a_reading_less_the_leads():
    """50.3 − 0.2 = 50.1 Ω beside a box of 50.01 Ω; what the display showed stands beside it."""
    leads = point(**OHMS, kind="zero", apply="0.0 Ohm",
                  accept={"low": "0.0 Ohm", "high": "0.5 Ohm", "low_counts": 0, "high_counts": 5})
    found = line("50.3", leads=("0.2", leads), **FIFTY)
    assert (plain(found.reading), found.beside, found.error) == ("50.1 Ω", "shown 50.3", "0.1")
    assert (found.outcome, plain(found.at)) == ("pass", "certified 50.01 Ω")
    alone = line_of(JudgedReading(leads, ((Try(readings=("0.2",)), verdict(leads, "0.2")),), ""))
    assert (alone.applied, alone.error, alone.band) == ("leads alone", "", "")
    assert (plain(alone.reading), alone.outcome) == ("0.2 Ω", "pass")


def test_beside_a_reference_reading():
    """T at 2.9 V is 13.6 mV, less w = 1.05 mV inward to 10 µV: 12.55 mV."""
    reference = {"standard": "skua", "on": "a supply", "resolution": "0.00001 V",
                 "step": "0.00001 V", "guard_band": "0.00105 V"}
    compared = dict(kind="reference", reference=reference, accept=None, tolerance_limits=None,
                    uncertainty=None)
    found = line("2.912", read_by_reference="2.90000", **compared)
    assert found.limits == "differs by ≤ 0.01255" and found.tolerance == "0.0136"
    assert plain(found.beside) == "ref. 2.90000 V" and found.error == "0.012"
    assert found.outcome == "pass" and line(**compared).limits == ""
    assert line("2.913", read_by_reference="2.90000", **compared).outcome == "FAIL"


def test_the_point_as_found_stands_below():
    """Where it was read; what was to be seen isn't said twice."""
    found = JudgedReading(point(), ((Try(readings=("3.021",)), verdict(point(), "3.021")),), "")
    after = line("3.001", before=found)
    assert plain(after.before.reading) == "3.021 V" and after.before.fails and not after.fails
    assert line("3.001", before=JudgedReading(point(), (), "")).before is None
