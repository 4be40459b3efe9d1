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
    ({"4.1": "50.2", "3.1": "-"}, "50.2", "leads not read"),
    ({"3.1": "OL"}, "50.2", "leads alone showed overload"),
    ({"6.1": "600.0"}, "600.0", "past the end of the range, 599.9 V"),
    ({"5.2": "2.999"}, "2.999", "the other sign than -3.000 V"),
    ({"5.1": "-3.002"}, "-3.002", "the other sign than 3.000 V"),
    ({"6.1": "5400.0"}, "5400.0", "does not fit 540.0 V"),
    ({"5.1": "0.300"}, "0.300", "does not fit 3.000 V"),
])
def test_a_reading_that_no_display_showed(root, readings, at, says):
    """More digits, no number, another unit, a slip of the pen: at the reading itself."""
    put(root, "x.yaml", record(data_of(root), readings))
    problem = only_problem(root, OTHER)
    assert says in problem.sentence, problem.sentence
    assert at in problem.place.text


@pytest.mark.parametrize("step, reading", [("6.1", "600.0"), ("5.2", "2.999"), ("5.1", "0.300")])
def test_what_the_display_showed_is_judged(root, step, reading):
    """Once somebody confirms it, and not before."""
    put(root, "x.yaml", record(data_of(root), {step: {"reading": reading, "confirmed": "yes"}}))
    shop = loading.load_shop(root)
    assert not shop.problems
    (one,) = [one for one in shop.records["x"].judged if one.point.step == step]
    assert one.outcome == "fail"


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
    return JudgedReading(one, tuple((Try(readings=(text,)), verdict(one, text))
                                    for text in typed), "")


@pytest.mark.parametrize("typed, outcome, percent, failed", [
    ([], "", None, False), (["3.007"], "pass", 50, False), (["3.021"], "fail", 150, True),
    # read again without a cause: the worse one counts, whichever came first
    (["3.021", "2.993"], "fail", 150, True), (["3.007", "3.021"], "fail", 150, True),
    (["3.007", "2.996"], "pass", 50, False), (["2.993", "3.009"], "pass", 9 / 14 * 100, False),
    # an entry that says nothing leaves the one before it
    (["3.021", ""], "fail", 150, True), (["", ""], "", None, False),
    (["OL"], "fail", math.inf, True), (["3.007", "OL"], "fail", math.inf, True),
])
def test_the_worst_reading_counts(typed, outcome, percent, failed):
    """Its error in percent of the tolerance, ∞ for an overload; nothing where nothing was read."""
    found = judged(*typed)
    assert (found.outcome, found.has_failed) == (outcome, failed)
    assert found.percent == (None if percent is None else pytest.approx(percent))


def test_a_reading_with_a_cause_is_void():
    """It is kept, and the next one counts; a cause does not lift what came after."""
    one = point()
    for readings, causes, outcome in ((("3.021", "3.001"), ("lead", ""), "pass"),
                                      (("3.021", "3.001"), ("", ""), "fail"),
                                      (("3.001", "3.021"), ("lead", ""), "fail"),
                                      (("3.021", "3.022", "3.0"), ("lead", "zero", ""), "pass")):
        found = JudgedReading(one, tuple(
            (Try(readings=(text,), cause=cause), verdict(one, text))
            for text, cause in zip(readings, causes, strict=True)), "")
        assert found.outcome == outcome and len(found.tries) == len(readings)


def test_what_is_known_of_u():
    """In percent of the tolerance: 1 mV of 14 mV from the sheet, more where repeated readings
    scatter; nothing where nothing is known."""
    assert judged("3.007").expanded == pytest.approx(100 / 14)
    assert judged("3.007", uncertainty=None).expanded is None and judged().expanded is None
    one = point()
    readings = ("3.000", "3.010", "3.020")
    repeated = JudgedReading(one, ((Try(readings=readings), verdict(one, readings)),), "")
    assert repeated.expanded > 100 / 14 * 10


def test_without_a_tolerance_there_is_no_percent():
    """An observation is written down, and no more is said of it."""
    found = judged("3.007", kind="observation", slope=None, offset=None, accept=None,
                   tolerance_limits=None, uncertainty=None)
    assert (found.outcome, found.percent, found.expanded) == ("written down", None, None)


def test_the_leads_of_the_same_record_are_taken_off(root):
    """50.2 Ω less 0.1 Ω beside a box of 50.01 Ω: 0.09 Ω off; the last reading of the leads
    counts."""
    for leads, error in (("0.1", "0.09"), ({"reading": "0.3", "then": ["0.2"]}, "-0.01")):
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
