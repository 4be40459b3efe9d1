"""What closes a live group: typed readings beside what is claimed of them, and beside whole numbers
of microvolts; who has seen the live value; what a record shows of the end."""

from __future__ import annotations

import random
from types import SimpleNamespace

import pytest

from builder.records import near_zero
from builder.records.near_zero import Ending, ending
from builder.records.readings import Closing, Try
from tests import near_zero_cases as cases
from tests.recorded import (OTHER, data_of, only_problem, phone, put, record, report_of, step,
                            text_of)


@pytest.mark.parametrize("typed, group, unit, found", cases.TYPED)
def test_what_a_reading_says_of_a_live_group(typed, group, unit, found):
    """Near zero closes; all else leaves the group open, and the more so what is no voltage."""
    assert near_zero.near_zero(typed, group, unit) == found


def test_drawn_readings_against_microvolts():
    """Brute force by whole numbers, on and one microvolt beside every limit."""
    for typed, group, unit, claimed in cases.drawn(random.Random(41), 20000):
        assert near_zero.near_zero(typed, group, unit) == claimed, (typed, group, unit)


def saw(taken: list, opened: str) -> bool:
    points = list({id(point): point for point, *_ in taken}.values())
    known = SimpleNamespace(points=[
        SimpleNamespace(**point | {"apply": SimpleNamespace(
            number=near_zero.Fraction(point["apply"].split(" ")[0]))}) for point in points])
    tries: dict = {}
    for point, reading, at in taken:
        before = tries.get(point["id"], ())
        tries[point["id"]] = (*before, Try(readings=(reading,), at=at))
    return near_zero.saw_live_value(known, cases.AC, tries, opened)


@pytest.mark.parametrize("taken, opened, seen", cases.TAKEN)
def test_the_reading_before_showed_the_live_value(taken, opened, seen):
    """Within a tenth of what was applied, sign included, and since the group was opened."""
    assert saw(taken, opened) is seen


@pytest.mark.parametrize("closing, ended, because", [
    (None, "no", "unknown"), (Closing(closed=None), "no", "unknown"),
    (Closing(closed=False, near_zero="0.0 V"), "no", "said"),
    (Closing(closed=True), "no", "unknown"),
    (Closing(closed=True, near_zero="banana"), "no", "no-voltage"),
    (Closing(closed=True, near_zero="540 V"), "no", "live"),
    (Closing(closed=True, near_zero="0.0"), "no", "no-unit"),
    (Closing(closed=True, near_zero="0.0 V"), "near zero", ""),
    (Closing(closed=True, near_zero="0.0 V", opened="2027-01-01T00:00"), "near zero", ""),
    (Closing(closed=True, otherwise="mains switch off", by="AB"), "otherwise", ""),
    (Closing(closed=True, otherwise="mains switch off"), "no", "unknown"),
])
def test_what_a_record_shows_of_the_end(closing, ended, because):
    """Whatever it claims: only the reading closes a group, or a person by name."""
    known = SimpleNamespace(points=[SimpleNamespace(**cases.HIGH | {
        "apply": SimpleNamespace(number=near_zero.Fraction(540))})])
    tries = {"high": (Try(readings=("540.1",)),)}
    assert ending(known, cases.AC, closing, tries) == Ending(ended, because)
    if ended == "near zero":
        low = {"high": (Try(readings=("5.1",)),)}
        assert ending(known, cases.AC, closing, low) == Ending("no", "unseen")


def test_an_older_phone_left_the_unit_to_the_sheet():
    """A reading without a unit has the one that its sheet printed; newer data ask for it."""
    known = SimpleNamespace(points=[SimpleNamespace(**cases.HIGH | {
        "apply": SimpleNamespace(number=near_zero.Fraction(540))})])
    tries = {"high": (Try(readings=("540.1",)),)}
    for typed, found in (("0.02", Ending("near zero")), ("banana", Ending("no", "no-voltage"))):
        assert ending(known, cases.OLD, Closing(closed=True, near_zero=typed), tries) == found


@pytest.mark.parametrize("given, says", [
    ("banana", "“banana” is no voltage"), ("0.0", "“0.0” has no unit"), ("yes", "“yes” is no"),
    ("OL", "OL is no reading near zero"), ("540 V", "“540 V” is hazardous live, above 60\u00a0V"),
    ("12 V", "“12 V” is not near zero, which is at most 1\u00a0V"),
    ({"otherwise": "mains switch off"}, "both needed"), ({"by": "AB"}, "both needed"),
    ({"otherwise": "x", "by": "AB", "when": "now"}, "'when' is not a key"),
])
def test_a_typed_record_closes_by_a_reading_or_by_name(given, says, root):
    """All else is a problem at its place, with the three ways to write it."""
    put(root, "x.yaml", record(data_of(root), closed={"6": given}))
    problem = only_problem(root, OTHER)
    assert says in problem.sentence


NAMED = {"otherwise": "Mains switch off; Razorbill read 0.01 V.", "by": "I. Marlow"}


@pytest.mark.parametrize("closed, high, says", [
    ({"6": NAMED}, "540.4",
     "was closed otherwise, by I. Marlow: Mains switch off; Razorbill read 0.01 V."),
    ({"6": "no"}, "540.4", "was not seen closed: not by all of its steps."),
    (None, "540.4", "was not seen closed: the record does not say how."),
    ({"6": "0.0 V"}, "2.3", "the reading before “0.0 V” was not within 10 %"),
])
def test_a_report_says_first_how_else_a_group_was_closed(closed, high, says, made):
    """In the first line below the verdict, and among the departures."""
    _, found, _ = made(a=lambda data: record(data, {step(data, "540.0 V"): high}, closed=closed))
    assert says in found["a"].reasons[0]
    assert found["a"].reasons[0] in found["a"].deviations
    assert says in text_of(found["a"])


def test_a_group_that_its_reading_closed_is_no_departure(made):
    """Neither in the first lines nor below."""
    report, _ = report_of(made)
    assert not any("Live group" in line for line in (*report.reasons, *report.deviations))


def of_phone(id: str, **more):
    def content(data: dict) -> dict:
        made = phone(data, record=f"2026-03-12-0000000{id}", serial=id)
        made["groups"][5] |= more
        return made
    return content


def test_what_a_phone_claims_is_judged_again(made):
    """An older record calls a group closed by any text; another names a second instrument, and a
    live group that stood on another bench."""
    _, found, _ = made(
        a=of_phone("a", closed=True, near_zero="banana",
                   other_bench=["Group 9 stood elsewhere."]),
        b=of_phone("b", closed="otherwise", otherwise="Razorbill read 0.01 V", closed_by="AB",
                   earlier=["0.02 V"]),
        c=of_phone("c", closed="near zero", near_zero="0.02 mV"))
    a, b, c = (found[f"2026-03-12-0000000{id}"] for id in "abc")
    assert "“banana” is not near zero" in a.reasons[0]
    assert "Group 9 stood elsewhere." in a.deviations
    assert "closed otherwise, by AB: Razorbill read" in b.reasons[0]
    assert b.record.closing("6").earlier == ("0.02 V",)
    assert not any("Live group" in line for line in c.reasons)


def test_a_report_says_that_it_was_typed_from_paper(made):
    """Where the phone's record says so, and nowhere else."""
    _, found, _ = made(a=of_phone("a"), b=lambda data: phone(data, serial="7", from_paper=True),
                       c=lambda data: phone(data, serial="8", from_paper=False,
                                            record="2026-03-12-0000000c"))
    assert ["typed in from finished paper" in one.method for one in found.values()].count(True) == 1
    assert "typed in from finished paper" in found["2026-03-12-5c0a7e11"].method
