"""The page's statement (`assets/statement.js`) on every combination that the builder is held to."""

from __future__ import annotations

import json

import pytest

from builder.formats.report_data import PointOutcomeData
from builder.pages.page_text import lean
from builder.records.report_statement import NOT_DONE
from tests import statement_cases as cases

pytestmark = pytest.mark.browser

FUNCTIONS = """
({readings, checks, groups, all, name}) => all.filter(([p, c, g, wanted, untouched]) => {
  const report = {points: p.map(n => readings[n]), checks: c.map(n => checks[n]),
                  live_groups: g.map(n => groups[n])};
  return Bench.statement.ofFunction(name, report) !== wanted
      || Bench.statement.isUntouched(name, report) !== untouched}).slice(0, 3)"""
METERS = """
({points, all, checks}) => all.filter(([p, c, wanted]) => {
  const own = p.map((n, i) => ({...points[n], function: 'function ' + i}));
  return Bench.statement.ofMeter(own.map(one => one.function), {points: own, live_groups: [],
      checks: c.map(n => checks[n])}) !== wanted}).slice(0, 3)"""


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page()
    page.add_script_tag(content=lean("statement.js"))
    yield page
    page.close()


def by_place(things: list):
    places = {id(one): n for n, one in enumerate(things)}
    return lambda some: [places[id(one)] for one in some]


def plain(things: list) -> list:
    return [one.model_dump(mode="json") for one in things]


def asked(page, script: str, given: dict):
    """One JSON text is by far the quickest way into a page."""
    return page.evaluate(f"text => ({script})(JSON.parse(text))", json.dumps(given))


def test_every_function(page):
    of_readings, of_checks, of_groups = map(by_place, (cases.READINGS, cases.CHECKS, cases.GROUPS))
    every = [(of_readings(p), of_checks(c), of_groups(g), cases.claimed(p, c, g),
              cases.untouched(p, c, g))
             for p, c, g in cases.function_cases()]
    assert len(every) > 100_000
    assert asked(page, FUNCTIONS, {
        "readings": plain(cases.READINGS), "checks": plain(cases.CHECKS),
        "groups": plain(cases.GROUPS), "name": cases.FUNCTION, "all": every}) == []


def test_functions_of_which_nothing_was_done(page):
    """One line, in the report's own words, where the meter is not safe to use; else one each."""
    names = ("blank", "pass", "blank", "fail")
    points = [one.model_dump(mode="json") | {"function": f"function {n}"}
              for n, one in enumerate(PointOutcomeData(
                  step=str(n), function="", planned="limits", ground=True, outcome=outcome)
                  for n, outcome in enumerate(names))]
    said = {whole: page.evaluate("""([whole, points]) => {
      const report = {points, checks: [], live_groups: []};
      return Bench.statement.others({statement: whole, ...report, functions: points.map(
        one => [one.function, Bench.statement.ofFunction(one.function, report)])})}""",
                                 [whole, points]) for whole in ("not safe to use", "no statement")}
    assert said == {
        "not safe to use": ["function 3: fails", NOT_DONE + "function 0, function 2."],
        "no statement": ["function 0: no statement", "function 2: no statement",
                         "function 3: fails"]}


def test_every_meter(page):
    of_checks, names = by_place(cases.CHECKS), list(cases.SHORTEST)
    every = [([names.index(one) for one in statements], of_checks(checks),
              cases.claimed_of_meter(statements, checks))
             for statements, checks in cases.meter_cases()]
    assert len(every) > 10_000
    assert asked(page, METERS, {"points": plain(cases.readings_of(tuple(names))),
                                "checks": plain(cases.CHECKS), "all": every}) == []
