"""The shop's page: the state of every meter and standard on a day, and the due dates as a
calendar."""

import re
from datetime import date

import icalendar
import pytest

from builder.pages import render
from builder.pages.chips import chip
from tests.records.test_history import VOLT, YEARLY, register_of, shop_of

FAILS = {"readings": {VOLT: "3.020", "dcv-6V--3.000V": "-3.020", "dcv-600V-540.0V": "560.0",
                      "res-600Ohm-50.0Ohm": "90.0"}, "checks": {"Diode test": "no"}}


@pytest.mark.parametrize("head, as_of, states", [
    ({}, "2026-03-12", ["in service"]), ({}, "2027-02-09", ["in service"]),
    ({}, "2027-02-10", ["due soon"]), ({}, "2027-03-12", ["due soon"]),
    ({}, "2027-03-13", ["overdue"]),
    ({}, None, ["overdue not judged"]),
    ({"volt": "3.020"}, "2026-04-01", ["limited"]),
    ({"volt": "3.020"}, "2027-03-13", ["overdue", "limited"]),
    ({"volt": "3.020"}, "2027-03-01", ["limited", "due soon"]),
    (FAILS, "2026-04-01", ["out of service"]), (FAILS, "2028-04-01", ["out of service", "overdue"]),
    ({"volt": "-"}, "2026-04-01", ["limited"]), ({"volt": "-"}, None, ["limited"]),
])
def test_states(head, as_of, states, tmp_path):
    """By the last verdict and the day of the page; the gravest first, and good ones only where
    nothing else is to be said."""
    shop = shop_of(tmp_path, dict(head), workshop={"as_of": as_of} if as_of else {})
    found = register_of(shop)
    (entry,) = found.entries
    assert list(entry.states) == states and entry.due == date(2027, 3, 12)
    assert (entry in found.to_pull) == (states[0] in ("overdue", "out of service"))
    assert entry.barred == (("DC voltage",) if head.get("volt") in ("3.020", "-") else ())


def test_the_state_as_left_counts(tmp_path):
    """Found out, adjusted, good when it left."""
    shop = shop_of(tmp_path, {"volt": "3.020"}, {"state": "as left", "adjusted": "DC voltage"},
                   workshop={"as_of": "2026-04-01"})
    assert register_of(shop).entries[0].states == ("in service",)


def test_a_meter_leads_to_its_sheet_with_its_serial_number(tmp_path):
    shop = shop_of(tmp_path, {"serial": "A/1 & <2>"}, {"serial": "lost"},
                   workshop={"as_of": "2026-04-01"},
                   register=[{"serial": "lost", "withdrawn": "lost overboard"}])
    assert re.findall(r'href="(procedures/[^"]*)"', render.render(shop).pages["shop.md"]) == [
        "procedures/lapwing-yearly.html#serial=A/1%20%26%20%3C2%3E"]


def test_the_most_urgent_stands_first(tmp_path):
    shop = shop_of(tmp_path, {"serial": "good"}, {"serial": "late", "date": "2024-03-12"},
                   {"serial": "out"} | FAILS, {"serial": "part", "volt": "3.020"},
                   {"serial": "lost", "date": "2020-03-12"},
                   workshop={"as_of": "2026-04-01"},
                   register=[{"serial": "lost", "withdrawn": "lost overboard"}])
    found = register_of(shop)
    assert [one.serial for one in found.entries] == ["out", "late", "part", "good", "lost"]
    assert [one.serial for one in found.to_pull] == [
        "out", "late"] and found.entries[-1].withdrawn == "lost overboard"
    page = render.render(shop).pages["shop.md"]
    assert "Pull from service: 2 of 5" in page and "lost overboard" in page and page.index(
        ">out<") < page.index(">late<")


@pytest.mark.parametrize("plan, stops, goes_on", [({}, 1, []), ({"overdue": "warning"}, 0, [""]),
                                                  (
                                                      {
                                                          "accepted": [
                                                              {
                                                                  "what": "overdue",
                                                                  "standard": "petrel",
                                                                  "because": "checked against a "
                                                                  "cell each week"}]}, 0,
                                                      ["checked against a cell each week"])])
def test_what_a_standard_stops(plan, stops, goes_on, tmp_path):
    """Its due date stops the procedures that need it, but for those that go on with a warning or a
    reason."""
    shop = shop_of(tmp_path, plan=YEARLY | plan, workshop={"as_of": "2026-04-01"})
    one = next(one for one in register_of(shop).standards if one.standard.standard == "petrel")
    assert len(one.stops) == stops and [because for _, because in one.goes_on] == goes_on


def test_the_calendar_file(tmp_path):
    """Read back by icalendar: an event for each meter in use and each standard, on its due day."""
    shop = shop_of(tmp_path, {"serial": "good"}, {"serial": "out"} | FAILS, {"serial": "lost"},
                   workshop={"as_of": "2026-04-01"},
                   register=[{"serial": "lost", "withdrawn": "lost"}, {"serial": "new"}])
    read = icalendar.Calendar.from_ical(render.render(shop).files["due-dates.ics"])
    events = {str(e["SUMMARY"]): e.decoded("DTSTART") for e in read.walk("VEVENT")}
    assert events.pop("Lapwing 1, serial no. good: verification due") == date(2027, 3, 12)
    assert events == {f"{one.name}: calibration due": one.due for one in shop.standards.values()}


def test_a_shop_without_records(tmp_path):
    """No record: the page says how one comes to it, and the standards stand there all the same."""
    shop = shop_of(tmp_path)
    page = render.render(shop).pages["shop.md"]
    assert ("No record has been put into" in page
            and "No serial number has a report yet: Lapwing 1." in page
            and "No day is given" in page and "Petrel" in page)


def test_without_a_day_nothing_is_called_good(tmp_path):
    """The box says that overdue is not judged, where 'nothing to pull' would stand; what is out of
    service without any day stands there all the same."""
    page = render.render(shop_of(tmp_path, {})).pages["shop.md"]
    box = page[page.index("first-of-all"):page.index("<h2>Meters")]
    assert "Overdue is not judged: no day is given." in box and "Nothing to pull" not in page
    assert chip("overdue not judged") in page and "verified" not in page
    page = render.render(shop_of(tmp_path, FAILS)).pages["shop.md"]
    assert "Pull from service: 1 of 1" in page and "Overdue is not judged" in page


def test_a_meter_without_a_report_is_in_the_register(tmp_path):
    """With what its line says; so is one with a report, and one that no line is about is named."""
    shop = shop_of(tmp_path, {"serial": "0147"}, {"serial": "0152"},
                   workshop={"as_of": "2026-04-01"},
                   register=[{"serial": "0147", "owner": "deck", "contact": "ext. 2",
                              "place": "berth 2", "asset": "E-7", "since": "2024-02-03"},
                             {"serial": "new", "place": "in its box", "since": "2026-03-01"},
                             {"serial": "old", "withdrawn": "never used"}])
    found = register_of(shop)
    assert [(one.serial, one.state, one.of_register) for one in found.entries] == [
        ("new", "no report yet", "in its box"),
        ("0147", "in service", "berth 2; deck; ext. 2; asset E-7"),
        ("0152", "in service", ""),
        ("old", "withdrawn", "–")]
    page = render.render(shop).pages["shop.md"]
    assert "No report yet: Lapwing 1, serial no. <b>new</b>." in re.sub(r"\s+", " ", page)
    for said in ("not in the register", "in service since 2026-03-01",
                 "berth 2; deck; ext. 2; asset E-7"):
        assert said in re.sub(r"</?span\b[^>]*>", "", page)
    assert not found.without
