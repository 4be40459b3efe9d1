"""What closes a live group, as the page has it (`assets/near_zero.js`), against the builder."""

from __future__ import annotations

import json
import random

import pytest

from tests import near_zero_cases as cases

pytestmark = pytest.mark.browser


def asked(page, script: str, given: list):
    return page.evaluate(f"text => JSON.parse(text).map({script})", json.dumps(given))


def test_readings_as_the_builder_judges_them(page):
    """Typed by hand, and drawn on and beside every limit, to the last microvolt."""
    every = [*cases.TYPED, *cases.drawn(random.Random(42), 20000)]
    groups = [group.as_data() for _, group, _, _ in every]
    found = asked(page, "([typed, group, unit]) => Bench.nearZero.judge(typed, group, unit)",
                  [[typed, group, unit] for (typed, _, unit, _), group
                   in zip(every, groups, strict=True)])
    assert [(case[0], case[2], said) for case, said in zip(every, found, strict=True)
            if said != case[3]] == []


def test_whether_the_live_value_was_seen(page):
    """The same readings before it, in the same order."""
    found = asked(page, "([taken, opened]) => Bench.nearZero.sawLiveValue(taken.map("
                  "([point, reading, at]) => ({point, reading, at})), opened)",
                  [[taken, opened] for taken, opened, _ in cases.TAKEN])
    assert found == [seen for *_, seen in cases.TAKEN]


@pytest.mark.parametrize("typed, unit, kept, says", [
    ("540", "V", "540 V", "The meter reads 540\u00a0V: the leads are live. Do not touch."),
    ("-0.002", "V", "-0.002 V", ""), ("OL", "V", "OL", "shows overload"),
    ("12", "V", "12 V", "Near zero is at most 1\u00a0V. The group stays open."),
    ("540 V", "mV", "540 V", "540\u00a0V: the leads are live"),
    ("banana", "V", "banana", "“banana” is no voltage: the leads count as live. Do not touch."),
    ("0.0", "", "0.0", "Choose the unit"),
])
def test_what_is_kept_and_said(page, typed, unit, kept, says):
    """The number with the unit that was chosen; nothing is said of what closes the group."""
    (found,) = asked(page, "([typed, group, unit]) => [Bench.nearZero.withUnit(typed, unit), "
                     "Bench.nearZero.says(Bench.nearZero.judge(typed, group, unit), "
                     "Bench.nearZero.withUnit(typed, unit), group)]",
                     [[typed, cases.AC.as_data(), unit]])
    assert found[0] == kept and says in found[1] and bool(says) == bool(found[1])
