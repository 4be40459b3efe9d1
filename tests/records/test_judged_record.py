"""A record with its readings judged: what no display can have shown is a problem at its place."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction as F

import pytest

from builder.records.judged_record import JudgedReading
from builder.records.readings import Try
from builder.records.verdict import verdict
from builder.shop import loading
from tests.recorded import OTHER, data_of, only_problem, phone, put, record
from tests.records.test_verdict import point


@pytest.mark.parametrize("readings, at, says", [
    ({"5.1": "3.0000"}, "3.0000", "4 decimals"), ({"5.1": "three"}, "three", "no number"),
    ({"5.1": "3.0 A"}, "3.0 A", "not in A"), ({"5.1": "3000 mV"}, "3000 mV", "another range"),
    ({"5.1": ["3.000", "3.001", "3.002"]}, "3.002", "more than two tries"),
    ({"5.1": {"reading": "3.000", "refrence": "3"}}, "refrence", "not a key known here"),
    ({"5.1": {"reading": "3.000", "reference": "3.000"}}, "reading", "no reference meter"),
    ({"5.1": [["3.000"]]}, "", "no reading"),
    ({"5.1": [[["3.000", "3.1"], "3"]]}, "", "no reading"),
    ({"4.1": "50.2", "3.1": "-"}, "50.2", "leads not read"),
    ({"3.1": "OL"}, "50.2", "leads alone showed overload"), ({"6.1": "5400.0"}, "", None),
])
def test_a_reading_that_no_display_showed(root, readings, at, says):
    """More digits, no number, another unit, too many tries: at the reading itself."""
    put(root, "x.yaml", record(data_of(root), readings))
    if says is None:  # beyond the range's end: judged as it stands, and said
        problem = only_problem(root, OTHER, "x.yaml")
        assert problem.severity == "warning" and "599.9 V" in problem.sentence
        return
    problem = only_problem(root, OTHER)
    assert says in problem.sentence, problem.sentence
    assert at in problem.place.text


def test_a_phone_that_judged_otherwise_is_said(root):
    """An outcome in the file that its own limits contradict is a warning; the report says what the
    limits say."""
    made = phone(data_of(root))
    made["points"][2]["readings"][0]["outcome"] = "fail"
    put(root, "p.json", made)
    assert only_problem(root, OTHER, "2026-03-12-5c0a7e11.yaml").code == "phone"


# ---------------------------------------------------------------- the try that counts, by hand

def judged(*typed: str, **more) -> JudgedReading:
    """3 V ± 14 mV with these tries."""
    one = point(**more)
    return JudgedReading(one, tuple((Try((text,), "", "", ()), verdict(one, text))
                                    for text in typed), "")


@pytest.mark.parametrize("typed, outcome, percent, failed", [
    ([], "", None, False), (["3.007"], "pass", 50, False), (["3.021"], "fail", 150, True),
    (["3.021", "2.993"], "pass", -50, False), (["3.007", "3.021"], "fail", 150, True),
    # an entry that says nothing leaves the one before it
    (["3.021", ""], "fail", 150, True), (["", ""], "", None, False),
    (["OL"], "fail", math.inf, True), (["3.007", "OL"], "fail", math.inf, True),
])
def test_the_last_try_that_says_something_counts(typed, outcome, percent, failed):
    """Its error in percent of the tolerance, ∞ for an overload; nothing where nothing was read."""
    found = judged(*typed)
    assert (found.outcome, found.has_failed) == (outcome, failed)
    assert found.percent == (None if percent is None else pytest.approx(percent))


def test_what_is_known_of_u():
    """In percent of the tolerance: 1 mV of 14 mV from the sheet, more where repeated readings
    scatter; nothing where nothing is known."""
    assert judged("3.007").expanded == pytest.approx(100 / 14)
    assert judged("3.007", uncertainty=None).expanded is None and judged().expanded is None
    one = point()
    readings = ("3.000", "3.010", "3.020")
    repeated = JudgedReading(one, ((Try(readings, "", "", ()), verdict(one, readings)),), "")
    assert repeated.expanded > 100 / 14 * 10


def test_without_a_tolerance_there_is_no_percent():
    """An observation is written down, and no more is said of it."""
    found = judged("3.007", kind="observation", slope=None, offset=None, accept=None,
                   tolerance_limits=None, uncertainty=None)
    assert (found.outcome, found.percent, found.expanded) == ("written down", None, None)


def test_the_leads_of_the_same_record_are_taken_off(root):
    """50.2 Ω less 0.1 Ω beside a box of 50.01 Ω: 0.09 Ω off; the last reading of the leads
    counts."""
    for leads, error in (("0.1", "0.09"), (["0.3", "0.2"], "-0.01")):
        put(root, "x.yaml", record(data_of(root), {"3.1": leads}))
        shop = loading.load_shop(root)
        (one,) = [one for one in shop.records["x"].judged if one.point.step == "4.1"]
        assert (one.verdict.error, one.outcome) == (F(error), "pass")


def test_the_standards_as_their_labels_said(root):
    """A label's own number and dates; what it doesn't say is as the sheet has it."""
    put(root, "x.yaml", record(data_of(root), standards={
        "petrel": {"number": "77", "due": "2026-01-31", "certificate": "P-2"}}))
    petrel, box = loading.load_shop(root).records["x"].standards
    assert (petrel.number, petrel.certificate, petrel.due_on) == ("77", "P-2", date(2026, 1, 31))
    assert (box.number, box.certificate, box.due) == ("", "P-auk-box", "2030-01-01")
