"""Which readings have ground: against the rule by brute force, and on whole records."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest

from builder.records.ground import held, was_valid
from builder.records.record_statement import record_statement
from builder.shop import loading
from tests import recorded
from tests import small_shop as shops
from tests.recorded import data_of, folder_with, phone, put, record

INSIDE = (True, False, None)


def test_a_condition_held_between_two_good_readings():
    """Every work of four groups with up to four readings: a group has ground if and only if the
    nearest reading on either side was inside."""
    moments = (0, 2, 4, float("inf"))
    for states in product((*INSIDE, "not read"), repeat=len(moments)):
        read = [(at, one) for at, one in zip(moments, states, strict=True) if one != "not read"]
        for group in range(1, 5):
            earlier = [one for at, one in read if at <= group]
            later = [one for at, one in read if at > group]
            wanted = earlier[-1:] == [True] and later[:1] == [True]
            assert held(read, group=group) is wanted
            assert held(read[::-1], group=group) is wanted      # whatever order they are written in


def test_with_two_readings_one_outside_nothing_has_ground():
    assert not any(held([(0, True), (float("inf"), False)], group=n) for n in range(1, 30))
    assert not any(held([(0, True)], group=n) for n in range(1, 30))


def test_a_standard_is_valid_from_its_calibration_to_its_due_date():
    first, last = date(2026, 1, 31), date(2027, 1, 31)
    for days in range(-3, 370):
        day = first + timedelta(days)
        assert was_valid(calibrated=first, due=last, on=day) == (first <= day <= last)
    assert not was_valid(calibrated=None, due=last, on=first)
    assert not was_valid(calibrated=first, due=None, on=first)


# ---------------------------------------------------------------- on whole records

PLAN = {"checks": ["ratings", "case", "jacks", "leads", "warm-up and soak",
                   {"check": "diode test"}]}


@pytest.fixture
def lacks(tmp_path):
    """What the points of a record lack, by step; the steps that lack nothing have none."""
    root = folder_with(tmp_path, PLAN)

    def of(change=record, **head) -> dict[str, tuple[str, ...]]:
        made = change(data_of(root), **head)
        name = "a.json" if "points" in made else "a.yaml"
        put(root, name, made)
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        stated = record_statement(next(iter(shop.records.values())))
        return {one.step: one.without for one in stated.points if one.without}
    return of


def test_a_whole_record_lacks_nothing(lacks):
    assert lacks() == {}


@pytest.mark.parametrize("ambient, has", [
    ({"start": "18 degC", "end": "28 degC"}, True), ("20 to 24 degC", True),
    ("22 degC", False), (None, False), ({"start": "22 degC"}, False), ({"end": "22 degC"}, False),
    ({"start": "22 degC", "end": "28.1 degC"}, False), ("20 to 29 degC", False),
    ({"start": "warm", "end": "22 degC"}, False)])
def test_one_ambient_reading_alone_gives_no_ground(lacks, ambient, has):
    found = lacks(ambient=ambient)
    assert (found == {}) if has else (len(found) > 3
                                      and set(found.values()) == {("ambient",)})


def test_a_group_between_two_good_readings_has_ground(lacks):
    """The last group lies behind the one that was outside; those before lie between two good
    ones."""
    start, end = {"start": "22 degC"}, {"end": "23 degC"}
    assert set(lacks(ambient=start | {"before 7": "29 degC"} | end)) == {
        "5.1", "6.1", "6.2", "6.3", "7.1"}
    assert set(lacks(ambient=start | {"before 6": "23 degC", "before 7": "29 degC"} | end)) == {
        "6.1", "6.2", "6.3", "7.1"}
    assert set(lacks(ambient=start | {"before 7": "23 degC", "end": "29 degC"})) == {"7.1"}


def test_only_what_came_from_a_standard_hangs_on_its_dates(lacks):
    """The box serves resistance, the source all else."""
    found = lacks(standards={"auk-box": {"due": "2026-03-11"}})
    assert set(found.values()) == {("standard auk-box",)} and len(found) == 1
    found = lacks(standards={"petrel": {"certificate": "another"}})
    assert set(found.values()) == {("standard petrel",)} and len(found) > 2
    assert lacks(standards={"petrel": {"certificate": "another", "calibrated": "2026-03-12"}}) == {}
    assert lacks(standards={"petrel": {"calibrated": "2026-03-13"}}) != {}


@pytest.mark.parametrize("reads, humidity, needed", [
    ({"ambient": "0.4 degC"}, None, True), ({"humidity": "3 %"}, None, False),
    ({"humidity": "3 %"}, "0 to 75 %", True), ({"junction": "0.2 degC"}, "0 to 75 %", False)])
def test_what_read_the_ambient_was_inside_its_calibration(tmp_path, reads, humidity, needed):
    """At every point, whatever its value comes from: each of the four states of its label."""
    shop = {"standards/dotterel.yaml": shops.thermometer(**reads)}
    specification = {"source": "Lapwing 1 data sheet", "holds": "18 to 28 degC"} | (
        {"humidity": humidity} if humidity else {})
    root = shops.write(tmp_path / "procedures", shop | {
        "meters/lapwing-1.yaml": shops.meter(recorded.VOLTS, recorded.OHMS, recorded.DIODE,
                                             specification=specification),
        "standards/petrel.yaml": shops.standard(),
        "standards/auk-box.yaml": shops.box(("50 ohm", "50.01 ohm", "5 mohm")),
        "plans/lapwing-yearly.yaml": recorded.plan(
            standards=["petrel", "auk-box", "dotterel"])})
    recorded.approve(root)
    data = loading.load_shop(root).procedures["lapwing-yearly"].data
    (root / "records").mkdir()
    for label, holds in (({}, True), ({"due": "2026-03-11"}, False),
                         ({"certificate": "another"}, False),
                         ({"certificate": "another", "calibrated": "2026-03-12"}, True)):
        made = record(data, standards={"dotterel": label}, judged_by=None,
                      humidity={"start": "45 %", "end": "46 %"})
        put(root, "a.yaml", made)
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        lacking = {one.without for one in record_statement(shop.records["a"]).points}
        assert lacking == {() if holds or not needed else ("standard dotterel",)}


def test_the_warm_up_must_have_been_good(lacks):
    assert set(lacks(checks={"Warm-up and soak": "no"}).values()) == {("warm-up",)}
    assert set(lacks(checks={"Warm-up and soak": "-"}).values()) == {("warm-up",)}


def test_a_corrected_reading_needs_valid_leads(lacks):
    assert lacks(readings={"4.1": "9.9", "5.1": "59.9"}) == {"5.1": ("leads",)}


def test_a_phones_reading_has_a_day_of_its_own(lacks):
    """The record is of 12 March, its readings too; a standard that ended the day before gave no
    ground, one that ended that day did."""
    def ended(day: str):
        def change(data: dict) -> dict:
            made = phone(data)
            made["standards"] = [one | {"due": day} for one in made["standards"]]
            return made
        return change
    assert lacks(ended("2026-03-12")) == {}
    assert {kind.partition(" ")[0] for one in lacks(ended("2026-03-11")).values()
            for kind in one} == {"standard"}
