"""The ambient of a sheet: the meter's own band or the plan's, and what lies beyond."""

from fractions import Fraction as F

import pytest

from builder.formats.fields import span
from builder.procedure.ambient import conditions, goes_beyond, junctions
from builder.procedure.meter_function import MeterFunction
from tests.procedure.test_planned_points_hostile_tables import SIX, dc
from tests.small_shop import codes, load_points, only_problem, the_procedure


@pytest.mark.parametrize("ambient, limits", [
    (None, ("2.986", "3.014")), ("20 to 26 degC", ("2.986", "3.014")),
    ("20 to 30 degC", ("2.986", "3.014")),
    ("28 to 31 degC", ("2.986", "3.014")),
    ("29 to 31 degC", ("2.985", "3.015")),  # 14 mV × 1.1 = 15.4 mV
    ("33 to 35 degC", ("2.979", "3.021")),  # 14 mV × 1.5 = 21 mV
    ("5 to 8 degC", ("2.972", "3.028")),  # 14 mV × 2 = 28 mV
])
def test_the_accuracy_grows_outside_the_reference_temperature(ambient, limits, tmp_path):
    """By the meter's own coefficient, for the degrees beyond the band that every temperature of the
    bench lies beyond it."""
    given = {"source": "x", "holds": "18 to 28 degC", "temperature_coefficient": "0.1 per degC"}
    shop = load_points(tmp_path, dc(SIX), {"apply": "3 V"}, specification=given,
                       plan_more={"ambient": ambient} if ambient else {})
    (point,) = the_procedure(shop).points
    assert (point.accept_from, point.accept_to) == limits


def test_a_bench_beyond_the_band_needs_a_coefficient(tmp_path):
    """Without a coefficient in the meter's file there is no limit outside the band: none is
    assumed."""
    shop = load_points(tmp_path, dc(SIX), {"apply": "3 V"}, plan_more={"ambient": "20 to 29 degC"})
    assert codes(shop) == ["ambient"]


HOLDS = {"source": "x", "holds": "18 to 28 degC", "temperature_coefficient": "0.1 per degC"}


def of(folder, ambient: "str | None", **specification):
    """The plan, the meter and the shop with an ambient."""
    shop = load_points(folder, dc(SIX), {"apply": "3 V"}, specification=HOLDS | specification,
                       plan_more={"ambient": ambient} if ambient else {})
    return shop, shop.plans["lapwing-yearly"], shop.meters["lapwing-1"]


@pytest.mark.parametrize("ambient, beyond, growth, degrees", [
    (None, False, "1", "0"), ("18 to 28 degC", False, "1", "0"), ("20 to 22 degC", False, "1", "0"),
    # one end beyond: a bench at the other end has the accuracy as it is
    ("20 to 30 degC", True, "1", "0"), ("28 to 31 degC", True, "1", "0"),
    ("30 to 33 degC", True, "1.2", "2"), ("5 to 8 degC", True, "2", "10"),
    ("28.5 to 29 degC", True, "1.05", "0.5"),
])
def test_the_band_and_its_factor_by_hand(ambient, beyond, growth, degrees, tmp_path):
    """1 + 0.1 for each degree by which the whole of the plan's band lies outside the meter's."""
    _, plan, meter = of(tmp_path, ambient)
    assert goes_beyond(plan, meter) is beyond
    found = conditions(plan, meter)
    assert found.surroundings.degrees == F(degrees)
    (on,) = MeterFunction(meter, meter.functions[0], found.surroundings).table.ranges
    assert on.pieces[on.rows[0]][0].growth == F(growth)
    assert str(found.ambient) == (ambient or "18 to 28 degC")


@pytest.mark.parametrize("ambient, holds, code", [
    ("64 to 82 degF", "18 to 28 degC", "unit"), ("64 to 82 degF", "64 to 82 degF", None),
    ("60 to 82 degF", "64 to 82 degF", None), ("18 to 28 degC", "64 to 82 degF", "unit"),
])
def test_both_bands_are_in_the_same_degrees(ambient, holds, code, tmp_path):
    """Nothing is converted between them: a coefficient is for the degrees of the meter's file."""
    shop, _, _ = of(tmp_path, ambient, holds=holds,
                    temperature_coefficient=f"0.1 per {holds.split()[-1]}")
    assert codes(shop) == ([code] if code else [])
    if code:
        assert only_problem(shop).place.text.strip().startswith('"ambient"')


@pytest.mark.parametrize("ambient, low, high", [
    ("20 to 26 degC", 18, 28), ("18 to 28 degC", 18, 28), ("15.5 to 26 degC", 15, 28),
    ("20 to 30.1 degC", 18, 31), ("59 to 95 degF", 15, 35)])
def test_the_junctions_of_a_table(ambient, low, high):
    """Those of a workshop, 18 to 28 °C, or the sheet's own band where it is wider, in whole
    degrees outward."""
    assert junctions(span(ambient)) == (low, high)
