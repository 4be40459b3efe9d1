"""A chart of single readings and its run rules: against a published chart, published run lengths,
and the rules by their words."""

import random

import numpy as np
import pytest
from scipy import stats

from builder.compute.statistics.individuals import (BEYOND, EIGHT, TWO_OF_THREE, ReadingsChart,
                                                    alarms, charted)

UNIT = ReadingsChart(20, 0.0, 1.0)


def broken(*readings, chart=UNIT):
    return alarms(chart=chart, readings=readings)


def test_the_chart_of_the_handbook():
    """NIST/SEMATECH 6.3.2.2 (from memory): mean 50.81, limits 45.8159 and 55.8041."""
    chart = charted(first=[49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    assert (round(chart.mean, 2), round(chart.line(-3), 4), round(chart.line(3), 4)) == (
        50.81, 45.8159, 55.8041)


def test_rounded_readings_are_no_surer_than_their_rounding():
    assert charted(first=[7.0] * 9, resolution=6).sigma == pytest.approx(6 / 12 ** 0.5)
    assert charted(first=[7.0]) is None and charted(first=[7.0, 7.0]).sigma == 0.0


@pytest.mark.parametrize("readings, rules", [
    ([3.01], (BEYOND,)), ([-3.01], (BEYOND,)), ([3.0], ()),
    ([2.1, 2.1], (TWO_OF_THREE,)), ([2.1, 0.0, 2.1], (TWO_OF_THREE,)), ([2.1, -2.1], ()),
    ([2.1, 0, 0, 2.1], ()), ([2.1, 2.1, 0.5], ()), ([2.0, 2.1], ()),
    ([0.1] * 8, (EIGHT,)), ([-0.1] * 8, (EIGHT,)), ([0.1] * 7, ()),
    ([0.1] * 3 + [0] + [0.1] * 7, ()),
    ([-0.1] + [0.1] * 7, ()), ([0.1] * 7 + [3.5], (BEYOND, EIGHT))])
def test_each_rule_by_its_words(readings, rules):
    """What the last of them breaks."""
    assert broken(*readings)[-1] == rules
    moved = broken(*(5 + 2 * x for x in readings), chart=ReadingsChart(20, 5.0, 2.0))
    assert moved[-1] == rules


def test_a_mirror_image_breaks_the_same():
    chance = random.Random(1)
    readings = [chance.gauss(0, 1.5) for _ in range(500)]
    assert broken(*readings) == broken(*(-x for x in readings))


def run_length(rules) -> float:
    """The mean number of readings until one of these rules calls, of a standard that does not move:
    a Markov chain whose steps ask the rules themselves."""
    shares = {2.5: stats.norm.cdf(3) - stats.norm.cdf(2), 1.0: stats.norm.cdf(2) - 0.5}
    steps = [(side * value, share) for value, share in shares.items() for side in (1, -1)]

    def same(past):
        """What the rules can still see of it: the signs of the last run, two readings in full."""
        run = 1
        while run < min(7, len(past)) and past[-run - 1] * past[-1] > 0:
            run += 1
        kept = past[-max(run, 2):]
        return tuple(x if n >= len(kept) - 2 else x / abs(x) for n, x in enumerate(kept))
    states, todo, ways = {(): 0}, [()], []
    while todo:
        past = todo.pop()
        for value, share in steps:
            if set(broken(*past, value)[-1]) & set(rules):
                continue
            after = same((*past, value))
            if after not in states:
                states[after] = len(states)
                todo.append(after)
            ways.append((states[past], states[after], share))
    matrix = np.eye(len(states))
    for start, end, share in ways:
        matrix[start, end] -= share
    return np.linalg.solve(matrix, np.ones(len(states)))[0]


@pytest.mark.parametrize("rules, published", [
    ((BEYOND,), 370.40), ((BEYOND, TWO_OF_THREE), 225.44), ((BEYOND, EIGHT), 152.73),
    ((BEYOND, TWO_OF_THREE, EIGHT), 122.05)])
def test_false_alarms_as_published(rules, published):
    """Average run lengths of Champ and Woodall, Technometrics 29 (1987), table 1 (from memory; the
    chain agrees)."""
    assert run_length(rules) == pytest.approx(published, abs=0.006)


def test_limits_from_twenty_readings_call_more_often():
    """Seeded: the page says 122 for limits that are known exactly; from twenty readings the share
    of readings with an alarm is larger, some one in fifty at most."""
    chance, called, read = random.Random(5), 0, 0
    for _ in range(300):
        chart = charted(first=[chance.gauss(0, 1) for _ in range(20)])
        told = broken(*(chance.gauss(0, 1) for _ in range(60)), chart=chart)
        called, read = called + sum(map(bool, told)), read + 60
    assert 1 / 122 < called / read < 1 / 15
