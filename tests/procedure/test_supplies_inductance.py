"""Inductances from a box, as capacitances: limits around the certified value, the leads taken off
where they matter, nothing where the methods differ without a word."""

import pytest

from tests.small_shop import (LEADS, box, function, load_points, only_problem, range_,
                              the_procedure)

METHOD = "100 Hz, 1 mA"
COILS = function("inductance", range_("600 uH", "0.1 uH", "1.5 % + 5 counts"),
                 range_("6 mH", "1 uH", "1 % + 5 counts"),
                 range_("6 H", "1 mH", "2 % + 10 counts"), dial="Lx", method=METHOD,
                 confirmed="few ranges do here")
BOX = box(("400 uH", "400.37 uH", "0.4 uH"), ("5 mH", "5.0024 mH", "5 uH"),
          ("1 H", "1.0016 H", "2 mH"), what="inductance")
LOOP = LEADS | {"inductance": "2 uH", "inductance_repeats": "0.5 uH"}


def boxed(**more):
    (artifact,) = BOX["artifacts"]
    return BOX | {"artifacts": [artifact | {"method": METHOD} | more]}


@pytest.mark.parametrize("nominal, low, high, corrected", [
    # 400.37 ± (1.5 % · 400.37 + 5 · 0.1) = 400.37 ± 6.50555: 393.86445 to 406.87555, inward
    ("400 uH", "393.9", "406.8", True),
    # 5.0024 ± (0.050024 + 0.005): 4.947376 to 5.057424. 2 uH are two counts, over half of one.
    ("5 mH", "4.948", "5.057", True),
    # 1.0016 ± (0.020032 + 0.010): 0.971568 to 1.031632. 2 uH are nothing beside a count of 1 mH.
    ("1 H", "0.972", "1.031", False),
])
def test_limits_by_hand(nominal, low, high, corrected, tmp_path):
    made = the_procedure(load_points(tmp_path, COILS, {"apply": nominal},
                                     standards=[boxed()], plan_more={"leads": LOOP}))
    (point,) = [one for one in made.points if one.planned.judged]
    assert (point.accept_from, point.accept_to) == (low, high)
    assert bool(point.planned.correction) == corrected
    assert made.data["points"][-1]["apply"] == nominal.replace("uH", "µH").replace("µ", "u")


def test_leads_are_needed_as_of_capacitances(tmp_path):
    problem = only_problem(load_points(tmp_path, COILS, {"apply": "400 uH"}, standards=[boxed()],
                                       plan_more={"leads": LEADS}))
    assert "inductance of the leads" in problem.sentence and "inductance: 2 uH" in problem.hint


def test_another_method_is_refused(tmp_path):
    problem = only_problem(load_points(tmp_path, COILS, {"apply": "1 H"},
                                       standards=[boxed(method="1 kHz, 1 mA")],
                                       plan_more={"leads": LOOP}))
    assert "method" in problem.sentence
