"""The sections of a report that say under which conditions it holds, and where the work departed
from the sheet."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.pages import report_pages
from builder.records import paper_form, report_sections
from builder.shop import loading
from tests import small_shop as shops
from tests.recorded import phone, put, record, report_of, text_of


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
    once = [line for line in about if "once only" in line]
    assert len(once) == (" to " not in ambient)
    outside = [line for line in about if line not in once]
    assert (says is None and not outside) or (says is not None and says in outside[0])


def test_the_ambient_at_its_moments(made):
    report, text = report_of(made, ambient={"start": "22.8 degC", "before 4": "28.4 degC",
                                            "end": "23 degC"})
    about = [line for line in report.deviations if "ambient" in line]
    assert len(about) == 1 and "before group 4, 28.4" in about[0] and "was outside 18" in about[0]
    assert "22.8 °C at the start, 28.4 °C before group 4 (OUTSIDE), 23 °C at the end" in (
        text.replace("\u00a0", " "))


def test_live_groups_that_were_not_closed_are_named(made):
    """Not closed, and not recorded: both are departures."""
    assert any("not by all of its steps" in line
               for line in report_of(made, closed={"6": "no"})[0].deviations)
    assert any("the record does not say how" in line
               for line in report_of(made, closed=None)[0].deviations)


@pytest.mark.parametrize("due, says", [
    ({}, "each of which held on the day"), ({"Tern": 1, "Auk": 2}, "each of which held on the day"),
    ({"Tern": 1, "Auk": 0}, "compared with Auk: on the day of the work that was overdue."),
    ({"Tern": None, "Auk": 1}, "with Tern: that it held on the day of the work can’t be shown."),
    ({"Tern": None, "Auk": 0}, "with Auk, Tern: that it held on the day of the work can’t be")])
def test_traceability_without_what_no_certificate_stands_behind(due, says):
    """On day 1 what is due on that day still holds, what was due the day before doesn't, and what
    has no date can't be shown to."""
    standards = [SimpleNamespace(name=name, due_on=day) for name, day in due.items()]
    record = SimpleNamespace(standards=standards, head=SimpleNamespace(date=1))
    assert says in report_sections.traceability(record)


@pytest.mark.parametrize("checks, lines", [
    ({"1.2": {"no": "", "then": ["yes"]}},
     ["Step 1.2, Case, stops everything, and the answer was no, then yes."]),
    ({"1.2": "no"}, [
        "The work went on past the hold before group 2 (Inputs, source in standby): step 1.2 was "
        "not answered with yes.",
        "The work went on past the hold before group 6 (DC voltage, hazardous live, up to 540 V): "
        "step 1.2 was not answered with yes.",
        "Step 1.2, Case, stops everything, and the answer was no."]),
    ({"2.1": {"not on this meter": "XY"}},
     ["Not on this meter, says XY: step 2.1, Diode test."]), ({}, [])])
def test_what_should_have_stopped_the_work_comes_first(made, checks, lines):
    """Before every other reason of the headline, and among the departures."""
    report, text = report_of(made, checks=checks)
    said = [line.replace("\u202f", " ").replace("\u00a0", " ") for line in report.reasons]
    assert said[:len(lines)] == lines
    assert set(lines) <= {line.replace("\u202f", " ").replace("\u00a0", " ")
                          for line in report.deviations}
    assert not any("hold" in line for line in said[len(lines):])


def test_a_first_no_as_found_stands(made):
    """What was replaced was a fault as found; as left the last answer counts."""
    again = {"1.2": {"no": "", "then": ["yes"]}}
    found, _ = report_of(made, checks=again)
    left, _ = report_of(made, checks=again, state="as left")
    assert (found.statement, left.statement) == ("not safe to use", "passes")
    assert [(one.good) for one in found.checks if one.step == "1.2"] == ["NO, then yes"]


def test_a_number_that_contradicts_its_tick_is_a_departure(made):
    report, _ = report_of(made, checks={"Diode test": {"yes": "1.2"}})
    assert any("was ticked good; it asks for at least 0.4 V and at most 0.8 V, and 1.2 was" in line
               for line in report.deviations)
    assert {f.name: f.statement for f in report.functions}["diode test"] == "fails"


@pytest.mark.parametrize("initials, said", [
    (None, ""), ({}, ""), ({"1": "IM"}, ""), ({"1": "IM", "5": "im"}, ""),
    ({"1": "IM", "3": "-", "5": "TA", "6": "IM"}, "IM: groups 1, 6; TA: group 5"),
    ({"6": "IM", "1": "TA"}, "TA: group 1; IM: group 6")])
def test_two_people_in_one_record(made, initials, said):
    """Typed from paper or by a phone, the report says who did which groups if they differ."""
    def by_phone(data):
        handed = phone(data, serial="0148")
        for group in handed["groups"]:
            group["initials"] = (initials or {}).get(group["group"], "").replace("-", "") or None
        return handed
    report, text = report_of(made, initials=initials)
    assert report.shared == said and (f"Done by I. Marlow {said}" in text if said else
                                      "Done by I. Marlow Signature" in text)
    _, reports, _ = made(b=by_phone)
    (other,) = [one for one in reports.values() if one.id != "a"]
    assert other.shared == said


@pytest.mark.parametrize("against, day, says", [
    (None, "2020-01-01", ""),
    ("1 year", None, "not recorded; the limits are those of 1 year since adjustment"),
    ("1 year", "unknown", "unknown; the limits are those of 1 year since adjustment"),
    ("1 year", "2025-03-12", "2025-03-12; the limits are those of 1 year since adjustment"),
    ("1 year", "2025-03-11",
     "2025-03-11; the limits are those of 1 year since adjustment, LONGER AGO"),
    ("90 days", "2025-12-12", "2025-12-12; the limits are those of 90 days since adjustment"),
    ("90 days", "2025-12-11",
     "2025-12-11; the limits are those of 90 days since adjustment, LONGER AGO"),
])
def test_the_last_adjustment_stands_on_a_report(against, day, says, tmp_path):
    """A year is 365 days, both ends included; the work was on 2026-03-12. The form asks for it, and
    the report prints it."""
    root, data = _by_time(tmp_path, against)
    assert ("last_adjusted:" in paper_form.form(data)) == bool(against)
    put(root, "one.yaml", record(data, {"5.000 V": "5.001"},
                                 **({"last_adjusted": day} if day else {})))
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    assert report_sections.last_adjusted(shop.records["one"]) == says
    text = text_of(report_pages.reports_of(shop)[0])
    assert says in text and ("Last adjusted" in text) == bool(says)


@pytest.mark.parametrize("day, words", [
    ("2026-03-13", "last adjusted on 2026-03-13, after the work"),
    ("last spring", "no day of an adjustment")])
def test_slips_of_the_last_adjustment(day, words, tmp_path):
    root, data = _by_time(tmp_path, "1 year")
    put(root, "one.yaml", record(data, last_adjusted=day))
    (problem,) = loading.load_shop(root).errors
    assert words in problem.sentence and problem.hint and problem.place.line > 1


def _by_time(folder, against):
    """A folder with a plan that verifies against a time since adjustment, and its data."""
    within = {"within_since": {"90 days": "0.1 %", "1 year": "0.2 %"}} if against else {
        "within": "0.2 %"}
    shop = shops.load(
        folder, shops.meter(shops.function("DC voltage", shops.range_("6 V", "1 mV", [within]))),
        shops.plan({"function": "DC voltage", "apply": "5 V"},
                   **({"verified_against": against} if against else {})))
    data, root = shops.the_procedure(shop).data, folder / "procedures"
    shops.write(root, {f"records/{paper_form.data_name(data)}": paper_form.as_text(data)})
    return root, data
