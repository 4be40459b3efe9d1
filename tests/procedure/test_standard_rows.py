"""Which row of a source holds for a temperature: with its sign, and in one scale whatever file is
in degC and whatever in degF."""

from fractions import Fraction as F

import pytest

from builder.formats.standard import OutputRow
from builder.numbers.units import celsius, unit
from builder.procedure.standard_rows import covering
from tests.small_shop import (function, load, load_points, meter, plan, range_, standard,
                              the_procedure)

IN_C = function("temperature", range_("1372 degC", "0.1 degC", "3 degC + 1 %", lowest="-200 degC"),
                thermocouple="K", display="20 000 counts", ranging="manual")
IN_F = function("temperature", range_("2501 degF", "0.1 degF", "10 degF", lowest="-328 degF"),
                thermocouple="K", display="30 000 counts", ranging="manual")
TWO = [{"values": "-200 degC to 0 degC", "within": "2.5 degC"},
       {"values": "0 degC to 1000 degC", "within": "0.3 degC"}]
ONE = TWO[1:]
FAHRENHEIT = [{"values": "32 degF to 1832 degF", "within": "0.5 degF"}]


def source(rows: list[dict]) -> dict:
    made = standard({})
    return made | {"outputs": [{"output": "temperature", "terminals": ["HI", "LO"], "rows": rows}]}


def tried(folder, one: dict, rows: list[dict], *apply: str, **more):
    return load_points(folder, one, {"apply": list(apply)}, standard_file=source(rows),
                       plan_more=more)


def points(shop) -> list:
    return [point for group in the_procedure(shop).groups for point in group.points]


@pytest.mark.parametrize("one, rows, apply, reaches", [
    (IN_C, ONE, "-100 degC", False), (IN_C, ONE, "100 degC", True),
    (IN_C, ONE, "0 degC", True), (IN_C, ONE, "1000 degC", True),
    (IN_C, ONE, "1000.1 degC", False),
    (IN_F, ONE, "-148 degF", False), (IN_F, ONE, "10 degF", False), (IN_F, ONE, "32 degF", True),
    (IN_F, ONE, "1500 degF", True), (IN_F, ONE, "1832 degF", True),
    (IN_F, ONE, "1832.1 degF", False),
    (IN_C, FAHRENHEIT, "5 degC", True), (IN_C, FAHRENHEIT, "-0.1 degC", False),
    (IN_C, FAHRENHEIT, "1000 degC", True), (IN_C, FAHRENHEIT, "1300 degC", False),
    (IN_F, FAHRENHEIT, "41 degF", True), (IN_F, FAHRENHEIT, "-41 degF", False)])
def test_a_source_reaches_what_its_rows_say_and_nothing_else(one, rows, apply, reaches, tmp_path):
    """The sign counts, and so does the scale: 1500 degF are 816 degC, −148 degF are −100 degC."""
    shop = tried(tmp_path, one, rows, apply)
    assert [p.code for p in shop.errors] == ([] if reaches else ["beyond-reach"])


@pytest.mark.parametrize("apply, within, sure", [
    ("-100 degC", "2.5 degC", 1.5997), ("100 degC", "0.3 degC", 13.1),
    ("-5 degC", "2.5 degC", 1.22), ("5 degC", "0.3 degC", 10.0)])
def test_below_zero_the_row_below_zero_counts(apply, within, sure, tmp_path):
    """At −100 degC the tolerance is 4 degC and the source is good to 2.5, not to 0.3: a ratio of
    1.6, not of 13."""
    (point,) = points(tried(tmp_path, IN_C, TWO, apply))
    assert str(point.planned.rows[0].within.fixed) == within
    assert point.sure.tur == pytest.approx(sure, rel=0.02)


def test_the_guard_band_is_that_of_the_row(tmp_path):
    """−100 ± 4 degC less U = 2.5 degC: −101.5 to −98.5."""
    (point,) = points(tried(tmp_path, IN_C, TWO, "-100 degC", decision_rule="guard band of U"))
    assert (point.accept_from, point.accept_to) == ("−101.4", "−98.6")   # U 2.501, inward
    assert point.sure.guard == pytest.approx(2.501, abs=0.001)


@pytest.mark.parametrize("rows, apply, stated", [
    (FAHRENHEIT, "100 degC", 0.5 * 5 / 9),
    ([{"values": "-328 degF to 1832 degF", "within": "0.1 % + 0.5 degF"}], "100 degC",
     (0.212 + 0.5) * 5 / 9),
    # 0.1 % of 148 degF, not of 100 degC
    ([{"values": "-328 degF to 1832 degF", "within": "0.1 % + 0.5 degF"}], "-100 degC",
     (0.148 + 0.5) * 5 / 9),
    ([{"values": "-200 degC to 1000 degC", "within": "0.1 %"}], "-100 degC", 0.1)])
def test_what_is_stated_in_degf_counts_on_a_meter_in_degc(rows, apply, stated, tmp_path):
    """Percent are of the value in the source's own scale, and the sum is turned into the meter's
    degrees, exactly."""
    (point,) = points(tried(tmp_path, IN_C, rows, apply))
    assert point.sure.standard_accuracy == pytest.approx(stated, rel=1e-12)


@pytest.mark.parametrize("apply, stated", [("212 degF", 0.18), ("-148 degF", 0.18),
                                           ("32 degF", 0.0)])
def test_and_the_other_way_round(apply, stated, tmp_path):
    """0.1 % of 100 degC are 0.1 degC, which are 0.18 degF."""
    rows = [{"values": "-200 degC to 1000 degC", "within": "0.1 %"}]
    (point,) = points(tried(tmp_path, IN_F, rows, apply))
    assert point.sure.standard_accuracy == pytest.approx(stated, rel=1e-12)


def test_one_plan_that_is_refused_takes_nothing_else_down(tmp_path):
    """A point out of reach is a problem at its place, and the meter's limits are there all the
    same."""
    shop = load(tmp_path, meter(IN_C), plan({"function": "temperature", "apply": ["1300 degC"]}),
                source(FAHRENHEIT))
    assert "beyond-reach" in [p.code for p in shop.errors] and "lapwing-1" in shop.meters


@pytest.mark.parametrize("scale", ["degC", "degF"])
@pytest.mark.parametrize("of_row", ["degC", "degF"])
def test_against_the_definition(scale, of_row):
    """Every tenth of a degree around both ends of a row, in all four pairs of scales."""
    ends = {"degC": ("-40", "100"), "degF": ("-40", "212")}[of_row]
    row = OutputRow(values=f"{ends[0]} to {ends[1]} {of_row}", within="1 degC")
    for tenths in (*range(-900, 0), *range(300, 2300)):
        t = F(tenths, 10)
        inside = F(-40) <= celsius(t, unit(scale)) <= F(100)
        assert bool(covering([row], t, None, None, unit(scale))) == inside, (t, scale)
