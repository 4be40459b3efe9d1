"""Statements on functions and meters, against the rules said otherwise, over all combinations."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import pytest

from builder.formats.report_data import (CheckAnswerData, FunctionStatement, LiveGroupData,
                                         PointOutcomeData, Statement)
from builder.records.statement import of_function, of_meter
from tests import statement_cases as cases
from tests.statement_cases import FUNCTION, JACK


def test_every_function():
    met = Counter()
    for points, checks, groups in cases.function_cases():
        found = of_function(FUNCTION, points=points, checks=checks, live_groups=groups)
        assert found.statement == cases.claimed(points, checks, groups), (points, checks, groups)
        assert found.is_untouched == cases.untouched(points, checks, groups), (
            points, checks, groups)
        met[found.statement] += 1
    assert set(met) == set(get_args(FunctionStatement)) and min(met.values()) > 100


def test_every_meter():
    met = Counter()
    for statements, checks in cases.meter_cases():
        names = [f"function {n}" for n in range(len(statements))]
        found = of_meter(points=cases.readings_of(statements), checks=checks, live_groups=(),
                         functions=names)
        assert tuple(one.statement for one in found.functions) == statements
        assert found.statement == cases.claimed_of_meter(statements, checks), (statements, checks)
        assert found.in_service == (found.statement in ("passes", "conditional pass", "limited"))
        met[found.statement] += 1
    assert set(met) == set(get_args(Statement)) and min(met.values()) > 100


def check(step: str, answer: str, stops: str, of: str = "meter") -> CheckAnswerData:
    return CheckAnswerData(step=step, name=f"check {step}", answer=answer, stops=stops, of=of,
                           functions=(FUNCTION,) if stops in (FUNCTION, JACK) else ())


def read(step: str, outcome: str, *, ground: bool = True,
         planned: str = "limits") -> PointOutcomeData:
    return PointOutcomeData(step=step, function=FUNCTION, planned=planned, ground=ground,
                            outcome=outcome)


def test_each_step_is_named_for_what_it_does():
    found = of_function(
        FUNCTION,
        points=(read("5.1", "fail"), read("5.2", "conditional fail"), read("5.3", "blank"),
                read("5.4", "fail", ground=False), read("5.5", "pass", ground=False),
                read("5.6", "undecided", ground=False), read("5.7", "undecided"),
                read("5.8", "conditional pass"), read("5.9", "pass"),
                read("5.10", "blank", ground=False),
                read("5.11", "observed", planned="observation", ground=False)),
        checks=(check("1.1", "no", JACK), check("1.2", "no", FUNCTION, "bench"),
                check("1.3", "blank", FUNCTION), check("1.4", "no", "everything"),
                check("1.5", "yes", FUNCTION), check("1.6", "not on this meter", FUNCTION)),
        live_groups=(LiveGroupData(group="7", closed="no", functions=(FUNCTION,)),
                     LiveGroupData(group="8", closed="no", functions=("another",)),
                     LiveGroupData(group="9", closed="otherwise", functions=(FUNCTION,))))
    assert found.failed == ("5.1",) and found.bad_checks == ("1.1",)
    assert found.nearly_failed == ("5.2",) and found.nearly == ("5.8",)
    assert found.blank == ("1.3", "5.3", "5.10") and found.undecided == ("5.6", "5.7")
    assert found.without_ground == ("1.2", "5.4", "5.5") and found.left_live == ("7",)
    assert not found.passes


def test_a_check_of_another_function_does_not_try_this_one():
    """A jack that is good is no test of the function behind it."""
    found = of_function(FUNCTION, points=(), checks=(check("1.1", "yes", JACK),), live_groups=())
    assert found.statement == "not tested" and not found.passes


def test_what_is_named_under_every_headline():
    outside = read("5.1", "fail", ground=False), read("5.2", "conditional fail")
    seen = of_meter(
        points=(*outside, read("5.3", "observed", planned="observation"), read("5.4", "pass")),
        checks=(check("1.1", "no", "nothing"), check("1.2", "no", "everything", "bench"),
                check("1.3", "no", JACK, "bench"), check("1.4", "no", JACK),
                check("1.5", "no", "everything"), check("1.6", "yes", "nothing"),
                check("1.7", "blank", "everything"), check("1.8", "blank", "everything", "bench"),
                check("1.9", "blank", "nothing")),
        live_groups=(), functions=(FUNCTION,))
    assert [one.step for one in seen.noted] == ["1.1", "1.2", "1.3"]
    assert [one.step for one in seen.unsafe] == ["1.5"]
    assert [one.step for one in seen.unseen] == ["1.7"]
    assert seen.outside == outside
    assert seen.statement == "not safe to use" and not seen.in_service


@pytest.mark.parametrize(("answer", "statement"), [
    ("yes", "passes"), ("no", "passes"), ("blank", "passes"), ("not on this meter", "passes")])
def test_the_bench_says_nothing_of_the_meter(answer: str, statement: str):
    found = of_meter(points=(read("5.1", "pass"),),
                     checks=(check("1.1", answer, "everything", "bench"),), live_groups=(),
                     functions=(FUNCTION,))
    assert found.statement == statement
