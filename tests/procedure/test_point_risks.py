"""The risks of a point against a simulation of its bench: meters drawn one by one, a standard that
is off, displays that round, and the sheet's own data to judge by."""

import math
from fractions import Fraction as F

import numpy as np
import pytest
from scipy import stats

from builder.procedure.data_of_sheet import sheet_data
from builder.procedure.point_risks import Risks, ends_of, worst
from tests.procedure.test_budget_of_point import OHMS, volts
from tests.small_shop import (LEADS, box, function, load_points, range_, reference, standard,
                              the_procedure)

MANY = 2 * 10**6
SHARE = {"in_tolerance": "95 %"}
VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.1 % + 3 counts"))
GOOD = volts({"values": "0 V to 10 V", "within": "0.3 mV"})


def number(text: str) -> float:
    return float(F(text.split()[0]))


def rounded(values, step: float):
    return np.floor(values / step + 0.5) * step


def limits(data: dict, which: str) -> tuple[float, float]:
    step = number(data["resolution"])
    return ((data[which]["low_counts"] - 0.01) * step, (data[which]["high_counts"] + 0.01) * step)


def within(values, ends: tuple[float, float]):
    return (values >= ends[0]) & (values <= ends[1])


def rates(good, shown_good, accepted) -> dict[str, float]:
    """By name, of all meters; `good` and `shown_good` are in tolerance in either sense."""
    return {"false_accept": np.mean(~good & accepted), "false_reject": np.mean(good & ~accepted),
            "out_passed": np.mean(accepted[~good]), "shown_accept": np.mean(~shown_good & accepted),
            "shown_reject": np.mean(shown_good & ~accepted)}


def simulated(data: dict, u: float, *, off: float | None = None,
              minus: bool = True) -> dict[str, float]:
    """The risks of a point by its own data, in the unit of its display. `u` is that of all that
    isn't a rounding; `off` is the step of a display whose reading, of leads anywhere, is taken
    off."""
    chance = np.random.default_rng(17)
    step, planned = number(data["resolution"]), number(data["expected"] or data["apply"])
    below, above = (number((data[side] or data)["tolerance"]) for side in ("below", "above"))
    error = chance.normal((above - below) / 2, (above + below) / 2 / stats.norm.ppf(0.975), MANY)
    leads = chance.uniform(0, 1000 * step, MANY) if off else 0.0
    reads = rounded(planned + chance.normal(0, u, MANY) + error + leads, step)
    if off:
        reads = reads - rounded(leads, off)
    shown = rounded(planned + error, step)
    if not minus:
        reads, shown = np.maximum(reads, 0), np.maximum(shown, 0)
    return rates(within(error, (-below, above)), within(shown, limits(data, "tolerance_limits")),
                 within(reads, limits(data, "accept")))


def of_data(folder, one: dict, point: dict, by: list[dict], **plan_more):
    """A point, its data, and u without what its displays round, in the unit of its range."""
    procedure = the_procedure(load_points(folder, one, point, standards=by,
                                          plan_more=SHARE | plan_more))
    (found,) = [p for p in procedure.points if p.planned.zero is None]
    (data,) = [p for p in sheet_data(procedure).as_data()["points"] if p["id"] == found.id]
    scale = float(found.planned.function.names[found.planned.range].unit.scale)
    u = math.sqrt(sum(line.contribution ** 2 for line in found.sure.components
                      if "half a count" not in line.name and "its resolution" not in line.name))
    return found, data, u / scale


def agree(risks: Risks, expected: dict[str, float]) -> None:
    for name, share in expected.items():
        assert getattr(risks, name) == pytest.approx(
            share, rel=0.01, abs=0.01 if name == "out_passed" else 3e-4), name


# ---------------------------------------------------------------- each way to apply a value

@pytest.mark.parametrize("point", ["0 V", "3 V", "-3 V", "3.0004 V", "1.2345 V"])
@pytest.mark.parametrize("rule", ["simple acceptance", "guard band of U",
                                  "guard band by multiplier M"])
def test_a_source_by_simulation(point, rule, tmp_path):
    """On the display's grid and off it, with a guard band and without."""
    found, data, u = of_data(tmp_path, VOLTS, {"apply": point}, [GOOD], decision_rule=rule)
    agree(found.sure.risks, simulated(data, u))


@pytest.mark.parametrize("rule", ["simple acceptance", "guard band of U"])
@pytest.mark.parametrize("accuracy", ["+(0.1 % + 2 counts) -(0.4 % + 2 counts)", "+0.2 % -0.05 %"])
def test_unlike_tolerances_by_simulation(accuracy, rule, tmp_path):
    """One up, another down: the prior lies in the middle between the limits."""
    one = function("DC voltage", range_("6 V", "1 mV", [{"values": "0.1 V to 6 V",
                                                         "within": accuracy}]))
    found, data, u = of_data(tmp_path, one, {"apply": "3.0002 V"}, [GOOD], decision_rule=rule)
    assert data["below"] != data["above"]
    agree(found.sure.risks, simulated(data, u))


def test_a_coarse_source_by_simulation(tmp_path):
    """A standard whose u is two counts, at T of six."""
    by = volts({"values": "0 V to 10 V", "within": "3.5 mV", "confirmed": "for this test"})
    found, data, u = of_data(tmp_path, VOLTS, {"apply": "3 V"}, [by])
    agree(found.sure.risks, simulated(data, u))


@pytest.mark.parametrize("certified", ["50.01 ohm", "50.043 ohm"])
def test_a_box_less_its_leads_by_simulation(certified, tmp_path):
    """Both readings on one range: two roundings of one size."""
    found, data, u = of_data(tmp_path, OHMS, {"apply": "50 ohm"},
                             [box(("50 ohm", certified, "20 mohm"))], leads=LEADS)
    assert found.planned.correction == "subtract"
    agree(found.sure.risks, simulated(data, u, off=0.1))


@pytest.mark.parametrize("certified", ["1 kohm", "1.00043 kohm"])
def test_leads_taken_off_on_another_range_by_simulation(certified, tmp_path):
    """The leads alone are shown in steps of 0.1 Ω, the value in steps of 1 Ω: all digits of both
    count."""
    point = {"apply": "1 kohm"}
    found, data, u = of_data(tmp_path, OHMS, point, [box(("1 kohm", certified, "0.2 ohm"))],
                             leads=LEADS | {"contacts": "600 mohm"})
    assert found.planned.correction == "subtract" and number(data["resolution"]) == 0.001
    agree(found.sure.risks, simulated(data, u, off=0.0001))


SKUA = [reference(("DC voltage", {"values": "0 V to 10 V", "range": "10 V", "resolution": "0.2 mV",
                                  "within": "0.02 % of reading + 0.2 mV"}))]
THREE = function("DC voltage", range_("6 V", "1 mV", "3 counts"))
BESIDE = {"apply": "3 V", "compare_on": "a bench supply"}


def compared(data: dict, about: float) -> dict[str, float]:
    """Values of about so much, anywhere on both grids; the tolerance follows the reference reading,
    and all digits of the difference count. u is half of 0.02 % and 0.2 mV."""
    chance = np.random.default_rng(17)
    step, beside = number(data["resolution"]), number(data["reference"]["resolution"])
    slope, offset = float(F(data["slope"])), number(data["offset"])
    value = about + chance.uniform(-200, 200, MANY) * step
    tolerance = slope * value + offset
    error = chance.normal(0, tolerance / stats.norm.ppf(0.975))
    reads = rounded(value + error, step)
    reference_reads = rounded(chance.normal(value, (0.0002 * value + 0.0002) / 2), beside)
    finest = number(data["reference"]["step"])
    steps = data["reference"]["at"]
    guards = np.array([number(one["guard_band"]) for one in steps])
    which = np.searchsorted([number(one["below"]) for one in steps], reference_reads, "right")
    allowed = slope * reference_reads + offset - guards[np.minimum(which, len(steps) - 1)]
    accepted = (np.abs(reads - reference_reads)
                <= np.floor(allowed / finest + 1e-9) * finest + 0.01 * finest)
    return rates(np.abs(error) <= tolerance, np.abs(reads - value) <= tolerance, accepted)


@pytest.mark.parametrize("rule", ["simple acceptance", "guard band of U"])
@pytest.mark.parametrize("one", [VOLTS, THREE])
def test_a_compared_point_by_simulation(one, rule, tmp_path):
    """The largest risks of where the reference reading may lie: at 2.4 V, at 3 V and at 3.75 V,
    where T is 5.4, 6 and 6.75 counts; or 3 counts at each."""
    found, data, _ = of_data(tmp_path, one, BESIDE, SKUA, decision_rule=rule)
    places = [compared(data, about) for about in (2.4, 3, 3.75)]
    agree(found.sure.risks, {name: max(one[name] for one in places) for name in places[0]})


def test_where_a_compared_point_may_lie(tmp_path):
    """Both ends of the band, as far as the range goes, each with its own tolerance."""
    points = {"3 V": ["2.4", "3.75"], "5.4 V": ["4.32"], "-3 V": ["-2.4", "-3.75"],
              "0 V": ["-0.06", "0.06"]}
    for n, (value, expected) in enumerate(points.items()):
        found, *_ = of_data(tmp_path / str(n), VOLTS, BESIDE | {"apply": value}, SKUA)
        assert [(place.applied, place.judged.tolerance) for place in ends_of(found.planned)] == [
            (F(end), abs(F(end)) / 1000 + F("0.003")) for end in expected]


# ---------------------------------------------------------------- a display without a minus

def test_a_display_without_a_minus_by_simulation(tmp_path):
    """0 Ω with leads left in: what is below is shown as 0, so that whatever is out there passes."""
    one = function("resistance", range_("600 ohm", "1 ohm", "3 counts"), confirmed="no decimal")
    found, data, u = of_data(tmp_path, one, {"apply": "0 ohm"},
                             [standard({"resistance": {"values": "0 ohm to 10 kohm",
                                                       "within": "50 mohm"}})], leads=LEADS)
    assert found.planned.shows_all_below_as_zero and not found.planned.correction
    expected = simulated(data, u, minus=False)
    agree(found.sure.risks, expected)
    assert expected["out_passed"] > 0.5


# ---------------------------------------------------------------- specific risk

@pytest.mark.parametrize("point, farthest", [("3 V", 6), ("3.0004 V", 5.6), ("3.0006 V", 5.6),
                                             ("2.95 V", 5)])
def test_the_specific_risk_is_that_of_the_last_accepted_count(point, farthest, tmp_path):
    """T is 6, 6.0004, 6.0006 and 5.95 counts; the last accepted one is so many from what is
    applied. Two million draws of the budget around it."""
    found, data, _ = of_data(tmp_path, VOLTS, {"apply": point}, [GOOD])
    chance = np.random.default_rng(23)
    behind = farthest + chance.uniform(-0.3, 0.3, MANY) + chance.uniform(-0.5, 0.5, MANY)
    t = number(data["tolerance"]) / 0.001
    assert found.sure.risks.specific == pytest.approx(np.mean(np.abs(behind) > t), abs=0.002)


def test_where_nothing_is_accepted_there_is_no_risk(tmp_path):
    """T of one count beside a U of more."""
    one = function("DC voltage", range_("6 V", "1 mV", "1 count"))
    found, *_ = of_data(tmp_path, one, {"apply": "3 V"}, [standard({"DC voltage": {
        "values": "0 V to 10 V", "within": "0.1 %", "confirmed": "for this test"}})],
        decision_rule="guard band of U")
    assert found.sure.accept is None and found.sure.risks is None


def test_the_worst_of_several():
    """Each risk by itself; what none states, nothing."""
    first, second = (Risks(specific=0.5, false_accept=0.01, false_reject=0.02),
                     Risks(specific=0.4, false_accept=0.03, false_reject=0.01))
    assert worst([first, second]) == Risks(specific=0.5, false_accept=0.03, false_reject=0.02)
