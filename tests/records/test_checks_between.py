"""Checks of standards between calibrations: from a file to charts, alarms, due dates and the
records that rest on them."""

import html
import json
from datetime import date, timedelta

import pytest

from builder.files.problems import errors
from builder.pages import render
from builder.records import check_page, checks_between
from builder.records.checks_between import (ALARM, ENDED, IN_CONTROL, NO_CHART, NOT_ALLOWED,
                                            OVERDUE)
from builder.shop import loading
from tests import recorded
from tests.records.test_history_page import plain

STEADY = [10.0001, 10.0003] * 12       # the mean is 10.0002, ranges of 0.2 mV


def readings(values, **by_day):
    """A value a day from 1 March 2026 on; by the number of the day what is known of it."""
    made = {}
    for n, value in enumerate(values):
        known = by_day.get(f"d{n}")
        text = f"{value:.4f} V"
        made[str(date(2026, 3, 1) + timedelta(days=n))] = (
            {"reading": text} | known if known else text)
    return made


def shop_with(folder, own: dict | None = None, as_of="2026-03-25", records=(), name="petrel-10-v"):
    root = recorded.folder_with(folder)
    (root / "checks-between").mkdir()
    check = {"check": "petrel-10-v", "title": "10 V of the Petrel", "standard": "petrel",
             "against": "a cell", "value": "10 V", "every": "1 day",
             "readings": readings(STEADY)} | (own or {})
    (root / f"checks-between/{name}.yaml").write_text(json.dumps(check), encoding="utf-8")
    for n, day in enumerate(records):
        record = recorded.record(recorded.data_of(root), {}, {}, date=day, issued=day)
        (root / f"records/r{n}.yaml").write_text(json.dumps(record), encoding="utf-8")
    (root / "workshop.yaml").write_text(
        f"name: Invented Works\naddress: Shed 4\nas_of: {as_of}\n", encoding="utf-8")
    return loading.load_shop(root)


def check_of(shop) -> checks_between.StandardCheck:
    assert not errors(shop.problems), "\n".join(map(str, shop.problems))
    (own,) = checks_between.checks_of(shop.checks_between, shop.standards, shop.records.values(),
                                      shop.as_of)
    return own


def test_a_steady_one_is_in_control(tmp_path):
    """Limits of the first twenty by hand: mean 10.0002 V, σ = 0.2 mV/1.128; due a day later."""
    own = check_of(shop_with(tmp_path))
    assert (own.state, own.due, own.since) == (IN_CONTROL, date(2026, 3, 25), ())
    assert own.current.chart.mean == pytest.approx(10.0002)
    assert own.current.chart.sigma == pytest.approx(0.0002 / 1.128)
    assert sum(one.of_first for one in own.current.readings) == 20
    page = check_page.page(own)
    assert (plain(page.low), plain(page.high)) == ("9.99967 V", "10.00073 V")


@pytest.mark.parametrize("own, as_of, state", [
    ({"readings": readings(STEADY[:19])}, "2026-03-19", NO_CHART),
    ({}, "2026-03-26", OVERDUE), ({"every": "1 week"}, "2026-03-26", IN_CONTROL),
    ({"ended": "the cell broke"}, "2026-06-01", ENDED),
    ({"first": 10, "readings": readings(STEADY[:19])}, "2026-03-20", IN_CONTROL)])
def test_its_state(own, as_of, state, tmp_path):
    assert check_of(shop_with(tmp_path, own, as_of)).state == state


def test_an_alarm_and_what_rests_on_it(tmp_path):
    """A reading 5 σ high on the 25th day; a record of that day used the standard, an earlier one
    does not matter."""
    own = check_of(shop_with(tmp_path, {"readings": readings([*STEADY, 10.0012])}, "2026-03-26",
                             ("2026-03-20", "2026-03-25")))
    assert (own.state, own.good_until) == (ALARM, date(2026, 3, 24))
    assert [one.head.date for one in own.since] == [date(2026, 3, 25)]
    (one,) = own.alarmed
    assert one.day == date(2026, 3, 25) and check_page.page(own).rows[0].said == "beyond three σ"


@pytest.mark.parametrize("known", [
    {"because": "lead not home"}, {"done": "read again"}, {"anew": "calibrated"}])
def test_an_alarm_is_settled_by_what_is_written(known, tmp_path):
    """A cause at the bench voids the reading; what was done settles it; a calibration begins a
    chart. The reading stays in sight."""
    values = readings([*STEADY, 10.0012], d24=known)
    own = check_of(shop_with(tmp_path, {"readings": values}, "2026-03-25"))
    assert own.state == (NO_CHART if "anew" in known else IN_CONTROL)
    assert len(own.series) == (2 if "anew" in known else 1)
    assert next(iter(known.values())) in check_page.page(own).rows[0].said


def test_what_the_shop_allows_is_a_rule_too(tmp_path):
    """0.3 mV from the mean is within three σ, and not allowed."""
    values = readings([*STEADY, 10.0006])
    own = check_of(shop_with(tmp_path, {"readings": values, "allowed": "0.3 mV"}, "2026-03-25"))
    assert own.state == ALARM and NOT_ALLOWED in own.last.rules


def test_a_unit_with_a_prefix_is_the_same(tmp_path):
    """Millivolts among volts."""
    values = readings(STEADY) | {"2026-03-25": "10000.2 mV"}
    own = check_of(shop_with(tmp_path, {"readings": values}, "2026-03-25"))
    assert own.last.value == pytest.approx(10.0002) and own.state == IN_CONTROL


@pytest.mark.parametrize("own, name, says, hint", [
    ({"standard": "petrle"}, None, "there is no standard 'petrle' among the files", "petrel"),
    ({"readings": {"2026-02-30": "10 V"}}, None, "'2026-02-30' is not a date", "year-month-day"),
    ({"readings": {"2026-03-01": "10 A"}}, None, "10 A is a current", "10 V"),
    ({"readings": {"2026-03-01": "1.0001 V"}}, None, "1.0001 V is far from 10 V", "mistyped"),
    ({"readings": {"2026-03-01": {"red": "10 V"}}}, None, "this is no reading", "10.00012 V"),
    ({"readings": {"2026-03-01": "10"}}, None, "10", ""),
    ({"readings": {}}, None, "empty", ""),
    ({"every": "often"}, None, "'often' is no time between two checks", "1 day"),
    ({"first": 5}, None, "'5' readings make no chart", "from 10 to 200"),
    ({"allowed": "1 A"}, None, "1 A is a current", "10 V"),
    ({"alowed": "1 mV"}, None, "alowed", "allowed"),
    ({}, "another", "'petrel-10-v' is not the name of this file", "rename")])
def test_what_is_wrong_is_said_at_its_place(own, name, says, hint, tmp_path):
    """With file, line, column and a hint; the check is left out and named on the list."""
    shop = shop_with(tmp_path, own, name=name or "petrel-10-v")
    wrong = [one for one in errors(shop.problems) if "checks-between" in one.place.file]
    assert any(says in one.sentence and hint in one.hint for one in wrong), wrong
    assert not shop.checks_between and list(shop.unread_checks) == [name or "petrel-10-v"]
    pages = render.render(shop).pages
    page = pages[f"checks-between/{name or 'petrel-10-v'}.md"]
    assert "This check is missing because its file holds mistakes" in page and (
        says in html.unescape(page))
    link = f'href="checks-between/{name or "petrel-10-v"}.html"'
    for listed in ("checks-between.md", "shop.md"):
        assert link in pages[listed] and "issing" in pages[listed], listed


def test_a_check_waits_for_its_standard(tmp_path):
    """Whose file holds mistakes: its page leads there."""
    shop_with(tmp_path, {"readings": readings(STEADY)})
    path = tmp_path / "procedures/standards/petrel.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("2015-01-01", "2015-01-41"),
                    encoding="utf-8")
    pages = render.render(loading.load_shop(tmp_path / "procedures")).pages
    page = pages["checks-between/petrel-10-v.md"]
    assert "it waits for other files" in page and "(../standards/petrel.md)" in page
    assert "It waits for standards/petrel.yaml" in pages["checks-between.md"]


def test_a_reading_from_the_future_is_doubted(tmp_path):
    shop = shop_with(tmp_path, {"readings": readings(STEADY) | {"2027-03-01": "10.0001 V"}})
    assert any("is after 2026-03-25" in one.sentence for one in shop.problems)


def test_the_shop_page_and_the_calendar_tell(tmp_path):
    """An alarm stands on the shop's page, the day of the next reading in the calendar."""
    shop = shop_with(tmp_path, {"readings": readings([*STEADY, 10.0012])}, "2026-03-25")
    site = render.render(shop)
    assert "checks-between/petrel-10-v.html" in site.pages["shop.md"]
    assert "10 V of the Petrel: reading due" in site.files["due-dates.ics"].decode()
    page = site.pages["checks-between/petrel-10-v.md"]
    assert "What rests on it" in page and "eight in a row" in page and "<svg" in page


def test_the_demo_has_one_in_control_and_one_with_an_alarm(demo_shop):
    told = {one.check.check: one.state for one in checks_between.checks_of(
        demo_shop.checks_between, demo_shop.standards, demo_shop.records.values(),
        demo_shop.as_of)}
    assert told == {"fulmar-10-v": IN_CONTROL, "pipit-ice": ALARM}
