"""What the bench brings into a budget: how readings repeat, thermal voltages, and what changes
between two readings."""

import math
from fractions import Fraction as F

import GTC
import pytest
from scipy import stats

from builder.formats.sheet_data import PointData
from builder.records.verdict import verdict
from tests.procedure.test_budget_of_point import VOLTS, kelvins, lines_of, only_point, volts
from tests.small_shop import (JUNCTION, function, load_points, range_, reference, standard,
                              the_procedure)

BY = [volts({"values": "0 V to 10 V", "within": "0.1 %"})]
POOL = {"function": "DC voltage", "s": "0.4 counts", "readings": "10", "source": "five meters"}
MILLIVOLTS = function("DC voltage", range_("20 mV", "1 uV", "0.1 % + 5 counts"),
                      range_("200 mV", "10 uV", "0.1 % + 5 counts"),
                      range_("2 V", "100 uV", "0.1 % + 5 counts"), display="20 000 counts")
THERMAL = "thermal voltages of leads and jacks"


def repeated(folder, *pools: dict, apply="3 V", **more):
    return only_point(folder, VOLTS, {"apply": apply}, BY, repeatability=list(pools), **more)


# ---------------------------------------------------------------- repeatability

@pytest.mark.parametrize("said, volts_, degrees", [
    ({}, 0.0004, 9), ({"s": "20 uV"}, 20e-6, 9), ({"s": "0.01 % + 0.4 counts"}, 0.0007, 9),
    ({"s": "0.01 % of range"}, 0.0006, 9), ({"readings": "2"}, 0.0004, 1),
    ({"readings": None, "degrees_of_freedom": "45"}, 0.0004, 45)])
def test_a_pooled_repeatability_is_a_line_with_its_degrees(said, volts_, degrees, tmp_path):
    """s of a single reading, with n − 1 of one series or those of a pool, at 3 V on 6 V."""
    pool = {key: one for key, one in (POOL | said).items() if one is not None}
    point = repeated(tmp_path, pool)
    line = point.sure.components[-1]
    assert (line.name, line.distribution, line.degrees) == (
        "repeatability: five meters", "normal", degrees)
    assert line.contribution == pytest.approx(volts_, rel=1e-12)


def test_a_range_may_have_its_own(tmp_path):
    """It rules over that of the function; another range's counts nothing."""
    own, other = POOL | {"range": "6 V", "s": "2 counts"}, POOL | {"range": "60 V", "s": "9 counts"}
    both = VOLTS | {"ranges": [*VOLTS["ranges"], range_("60 V", "10 mV", "0.5 % + 2 counts")]}
    point = only_point(tmp_path, both, {"apply": "3 V"}, BY, repeatability=[POOL, own, other])
    assert [line.value for line in point.sure.components if line.of_other_readings] == [0.002]
    point = only_point(tmp_path / "other", both, {"apply": "3 V"}, BY, repeatability=[other])
    assert not [line for line in point.sure.components if line.of_other_readings]


def test_few_readings_make_k_larger(tmp_path):
    """Welch–Satterthwaite by GTC, Student's t by SciPy: u of three readings is nearly all there
    is."""
    point = repeated(tmp_path, POOL | {"s": "3 mV", "readings": "3"})
    total = (GTC.ureal(0, GTC.type_b.uniform(0.003)) + GTC.ureal(0, GTC.type_b.uniform(0.0005))
             + GTC.ureal(0, 0.003, 2))
    sure = point.sure.uncertainty
    assert sure.u == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    assert sure.degrees == math.floor(GTC.dof(total))
    assert sure.k > stats.t.ppf(0.97725, sure.degrees) * 0.95


def data_of(point, shop_folder) -> PointData:
    """The point as its sheet's data has it."""
    procedure = the_procedure(load_points(shop_folder, VOLTS, {"apply": "3 V"}, standards=BY,
                                          plan_more={"repeatability": point}))
    return next(one for one in procedure.sheet_data.points)


def test_repeated_readings_of_the_record_take_its_place(tmp_path):
    """A pooled s of 5 mV is in the sheet's U; four readings at the bench, of which the spread is
    1 mV, are added to what is left without it. By hand: 3 mV and 0.5 mV rectangles, s/√4 with 3
    degrees of freedom."""
    point = data_of([POOL | {"s": "5 mV"}], tmp_path / "pooled")
    plain = data_of([], tmp_path / "plain")
    readings = ["3.000", "3.002", "3.001", "3.001"]
    with_pool, without = verdict(point, readings).sure, verdict(plain, readings).sure
    assert with_pool == without
    s = math.sqrt(stats.tvar([0, 2, 1, 1])) / 1000
    assert with_pool.u == pytest.approx(math.sqrt((0.003**2 + 0.0005**2) / 3 + s * s / 4), rel=1e-4)
    # and a single reading is as sure as the sheet says, with the pooled value
    assert F(point.uncertainty.u.number) == pytest.approx(
        math.sqrt((0.003**2 + 0.0005**2) / 3 + 0.005**2), rel=1e-3)
    assert F(plain.uncertainty.u.number) < F(point.uncertainty.u.number)


# ---------------------------------------------------------------- thermal voltages

@pytest.mark.parametrize("apply, given, counted", [
    ("18 mV", None, True), ("180 mV", None, True), ("1.8 V", None, False),
    ("18 mV", "2 uV", True), ("180 mV", "2 uV", True), ("180 mV", "1 uV", True),
    ("180 mV", "0.9 uV", False), ("1.8 V", "2 uV", False), ("1.8 V", "10 uV", True)])
def test_thermal_voltages_at_millivolts(apply, given, counted, tmp_path):
    """Where they are a tenth of a count or more: 1 µV of 10 µV is, 0.9 µV is not. 2 µV where the
    plan states none (common practice)."""
    more = {"thermal_voltages": given} if given else {}
    found = lines_of(only_point(tmp_path, MILLIVOLTS, {"apply": apply}, BY, **more))
    size = float((given or "2 uV").split()[0]) * 1e-6
    assert found.get(THERMAL) == ((pytest.approx(size), 1) if counted else None)


@pytest.mark.parametrize("unit, apply, microvolts", [("degC", "100 degC", 41.36857),
                                                     ("degF", "212 degF", 41.36857 / 1.8)])
def test_thermal_voltages_at_a_thermocouple_input(unit, apply, microvolts, tmp_path):
    """2 µV are 0.048 °C of type K at 100 °C, whatever the display's count."""
    by = [volts({"values": "-10 mV to 200 mV", "within": "2 uV"})]
    found = lines_of(only_point(tmp_path, kelvins(unit), {"apply": apply}, by, junction=JUNCTION,
                                thermal_voltages="2 uV"))
    assert found[THERMAL] == (pytest.approx(2 / microvolts, rel=1e-5), 1)


def test_no_thermal_voltages_beside_ac(tmp_path):
    """They are DC."""
    one = function("AC voltage", range_("6 mV", "1 uV", [
        {"within": "1 % + 3 counts", "frequency": "40 Hz to 1 kHz"}], lowest="1 mV"))
    point = {"apply": "3 mV", "frequency": "1 kHz"}
    assert THERMAL not in lines_of(only_point(tmp_path, one, point, [standard()],
                                              thermal_voltages="2 uV"))


# ---------------------------------------------------------------- between two readings

@pytest.mark.parametrize("changes, volts_", [("0.1 %", 0.003), ("2 mV", 0.002), ("1 count", 0.001),
                                             ("none, because it is a battery", None), (None, None)])
def test_what_changes_between_two_readings(changes, volts_, tmp_path):
    """A rectangle at the planned value, where the plan states one."""
    by = [reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                    "within": "1 mV"}))]
    point = {"apply": "3 V", "compare_on": "a bench supply"} | (
        {"changes": changes} if changes else {})
    found = lines_of(only_point(tmp_path, VOLTS, point, by))
    assert found.get("change between the two readings") == (
        None if volts_ is None else (pytest.approx(volts_), 1))
