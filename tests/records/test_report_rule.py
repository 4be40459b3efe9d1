"""What a report says of its decision rule, and whose opinion its label is."""

from __future__ import annotations

import re

import pytest

from builder.records import report_rule
from tests.recorded import data_of, folder_with, only_problem, put, record, report_of

AGREED = "with the deck department, 2023-11-02"


def test_the_rule_was_agreed_with_somebody(made):
    """As the plan says, or the record; else that is said to be missing."""
    report, text = report_of(made)
    assert "That the rule was agreed with the owner is not recorded." in text
    _, found, _ = made({"rule_agreed": AGREED}, a={}, b={
        "serial": "0999", "rule_agreed": "with the mate of the ferry, 2026-03-01"})
    assert f"The rule was agreed {AGREED}." in found["a"].rule
    assert "The rule was agreed with the mate of the ferry, 2026-03-01." in found["b"].rule


def test_an_agreement_names_its_day(root):
    """With whom alone, or on a day that there is not, is a problem."""
    for slip in ("with the deck department", "with the deck department, 2023-02-30"):
        put(root, "2026-03-12-a.yaml", record(data_of(root), rule_agreed=slip))
        problem = only_problem(root, "2026-03-12-other.yaml")
        assert "on which day it was agreed" in problem.sentence


def test_who_agreed_moves_no_revision(tmp_path):
    plain, agreed = (data_of(folder_with(tmp_path / name, more)) for name, more in (
        ("a", {}), ("b", {"rule_agreed": AGREED})))
    assert plain["revision"] == agreed["revision"] and agreed["rule_agreed"] == AGREED


@pytest.mark.parametrize("more, risk", [
    ({}, "50"), ({"decision_rule": "guard band of U"}, None),
    ({"decision_rule": "guard band of 0.5 U"}, None)])
def test_the_level_of_risk_is_that_of_the_worst_point(made, more, risk):
    """In one sentence. Without a guard band one half; with one by simulation of the worst point's
    budget, rectangles and normal part as the data has them."""
    import numpy
    _, found, _ = made(more, a={})
    (said,) = [line for line in found["a"].rule if line.startswith("Level of risk")]
    (printed,) = re.findall(r"up to ([0-9.]+) %", said)
    if risk:
        assert printed == risk
        return
    draw, worst = numpy.random.default_rng(7), 0.0
    for point in found["a"].record.carried.points:
        sure = point.uncertainty
        if sure is None or point.accept is None or point.tolerance is None:
            continue
        error = sum((draw.uniform(-float(half.number), float(half.number), 400_000)
                     for half in sure.rectangles), numpy.zeros(400_000))
        error += draw.normal(0, float(sure.normal.number) if sure.normal else 0, 400_000)
        worst = max(worst, float((error > float(point.guard_band.number)).mean()) * 100)
    assert worst > 0 and float(printed) == pytest.approx(worst, abs=0.25)
    assert float(printed) < 50


def test_without_uncertainties_no_risk_is_stated(made):
    """Data of a sheet whose standards nobody knows say nothing of it."""
    _, found, _ = made(a={})
    own = found["a"].record
    bare = own.carried.model_copy(update={"points": tuple(
        one.model_copy(update={"uncertainty": None}) for one in own.carried.points)})
    from dataclasses import replace
    assert "is not stated" in report_rule.level_of_risk(replace(own, carried=bare))


def test_a_label_is_somebodys_opinion(made):
    """Of who authorises the report; where nobody does, that is said."""
    _, text = report_of(made, readings={"6.1": "546.0"})
    assert "is an opinion, and that of T. Askew, who authorises this report." in text
    _, text = report_of(made, readings={"6.1": "546.0"}, reviewed_by=None)
    assert "Whose it is, is not recorded." in text
    _, text = report_of(made)
    assert "opinion" not in text    # no label
