"""What a meter may differ from a reference reading: one allowance, or a table of them beside the
points."""

import math
from fractions import Fraction as F

import pytest

from builder.pages import render
from tests.procedure.test_steps import PARTS
from tests.procedure.test_supplies_reference_meter import (GUARDED, ON, VOLTS, by, compared,
                                                           exact_guard)
from tests.small_shop import (function, load_points, load_with, meter, only_problem, plan, range_,
                              the_procedure)

FLAT = function("DC voltage", range_("6 V", "1 mV", "12.3456 mV"))


def table_of(group) -> dict[str, list[tuple[F, F]]]:
    """By step: where each column starts, and what it allows."""
    rows = iter(group.aside.rows)
    return {step: [(F(start), F(one)) for start, one in zip(froms, allowed, strict=True)
                   if str(one) != "none"]
            for (step, _, *froms), (_, _, *allowed) in zip(rows, rows, strict=True)}


@pytest.mark.parametrize("resolution, printed",
                         [("100 uV", "0.0123"), ("10 uV", "0.0123"), ("100 nV", "0.0123"),
                          ("1 mV", "0.012"), ("5 mV", "0.012"), ("200 uV", "0.0122")])
def test_a_tolerance_without_a_slope_is_one_allowance(resolution, printed, tmp_path):
    """12.3456 mV is cut off one digit beyond the meter's, or to a coarser last digit of the
    reference, never rounded up, and no table is needed."""
    (group,
     *_) = the_procedure(compared(tmp_path, FLAT, "3 V",
                                  standards=by(resolution=resolution))).groups
    (point,) = group.points
    assert (point.tolerance, point.accept_from,
            point.accept_to) == (printed, "",
                                 "") and group.aside is None and group.layout == "reference"


@pytest.mark.parametrize("rule",
                         ["guard band of U", "guard band of 0.8 U",
                          "guard band by root-sum-square"])
def test_the_guard_band_comes_off_the_allowance(rule, tmp_path):
    """floor((12.3456 mV − w)/0.1 mV)·0.1 mV with w from U = k·u, u² = (x · 0.1 %/2)² + (5 µV)²/3 +
    (0.5 mV)²/3. One allowance holds for all that the reference may read, so x is 3.75 V, the most,
    though the point is about 3 V."""
    (point,) = the_procedure(compared(tmp_path, FLAT, "3 V", rule={"decision_rule": rule})).points
    (one,), t = point.sure.at_reference, 0.0123456
    for sure, guard, x in ((point.sure.uncertainty, point.sure.guard, 3),
                           (one.uncertainty, one.guard, 3.75)):
        u = math.sqrt((x * 0.0005) ** 2 + 0.000005 ** 2 / 3 + 0.0005 ** 2 / 3)
        expanded = sure.k * u
        w = {"guard band of U": expanded, "guard band of 0.8 U": 0.8 * expanded,
             "guard band by root-sum-square": t - math.sqrt(t * t - expanded ** 2)}[rule]
        assert guard == pytest.approx(w, rel=1e-9)
    assert F(point.tolerance) == math.floor(
        (F("0.0123456") - exact_guard(point, F(3))) / F("0.0001")) * F("0.0001")


def test_the_sheet_says_about(tmp_path):
    """The value is what the source about gives; there is a place for the reference reading and the
    difference."""
    shop = compared(tmp_path, VOLTS, "3 V")
    (group, *_) = the_procedure(shop).groups
    (point,) = group.points
    assert point.apply.startswith(
        "about 3") and point.tolerance == "table" and point.id == "dcv-6V-3.000V-compared"
    assert "Skua" in render.render(shop).pages["procedures/lapwing-yearly.md"]


@pytest.mark.parametrize("rule", [{}, GUARDED, GUARDED | {"ambient": "30 to 33 degC"}])
def test_no_bin_allows_more_than_the_exact_tolerance(rule, tmp_path):
    """At every reading of the reference within a column, in its own last digits, the column allows
    at most T − w there, and at the column's start no digit less of the 0.1 mV that are printed."""
    warm = (
        {"specification": {"source": "x", "holds": "18 to 28 degC",
                           "temperature_coefficient": "0.1 per degC"}} if "ambient" in rule else {})
    shop = load_points(tmp_path, VOLTS, {"apply": ["0.5 V", "3 V", "4.7 V", "-3 V"]} | ON,
                       standards=[by(resolution="20 uV", within="0.02 %")], plan_more=rule, **warm)
    growth = F("1.2") if warm else F(1)
    (group, *_) = the_procedure(shop).groups
    table, step = table_of(group), F("0.00002")
    assert set(table) == {p.step for p in group.points} and len(table) == 4
    for point in group.points:
        columns, x = table[point.step], abs(point.planned.applied)
        assert columns[0][0] >= x * F("0.8") and columns[0][0] - x * F("0.8") < F(
            "0.001") and columns[-1][0] >= x * F("1.2")
        ends = [one[0] for one in columns[1:]] + [columns[-1][0] + F("0.1")]
        for (start, allowed), end in zip(columns, ends, strict=True):
            w = exact_guard(point, start) if rule else F(0)
            exact_at_start = growth * (F("0.004") * start + F("0.002")) - w
            assert allowed <= exact_at_start < allowed + F("0.0001")
            reading = start
            while reading < end:
                assert allowed <= growth * (F("0.004") * reading + F("0.002")) - w
                reading += step * 97
        assert [start for start, _ in columns] == sorted({start for start, _ in columns})


def test_a_bin_below_the_row_of_the_nominal_value(tmp_path):
    """At 5.5 A 0.8 % holds, below 5 A only 0.4 %: a reference reading of 4.6 A must not be given
    0.8 %, so the value is refused; at 7 A every reading from 5.6 A up has the same row."""
    refs = by("DC current", "0.1 A to 10 A", "10 uA", "0.02 %")
    assert only_problem(compared(tmp_path / "low", PARTS, "5.5 A",
                                 standards=refs)).code == "reference-row"
    made = the_procedure(compared(tmp_path / "high", PARTS, "7 A", standards=refs))
    group = next(one for one in made.groups if one.points)
    for start, allowed in table_of(group)[f"{group.number}.1"]:
        assert start >= 5 and allowed <= F("0.008") * start + F("0.05")


def test_a_comparison_at_zero(tmp_path):
    """Whoever is sent to the table finds a line there."""
    (group, *_) = the_procedure(compared(tmp_path, VOLTS, "0 V", "3 V")).groups
    table = table_of(group)
    assert all(p.step in table for p in group.points if p.tolerance == "table")


def test_a_guard_band_that_leaves_no_room_at_the_low_end(tmp_path):
    """1 % of 3 V less 0.9 % leaves room at 3 V and above, and the table has a line for the
    point."""
    one = function("DC voltage", range_("6 V", "1 mV", "1 %"))
    (group, *_) = the_procedure(compared(tmp_path, one, "3 V", standards=by(within="0.88 %"),
                                         rule=GUARDED)).groups
    (point,) = group.points
    assert point.undecided or (group.aside is not None and point.step in table_of(group))


def test_no_room_at_all_is_said(tmp_path):
    """Where w is more than T at the nominal value the point can't be verified, and the completeness
    table says so."""
    procedure = the_procedure(load_with(tmp_path, meter(VOLTS),
                                        plan({"function": "DC voltage", "apply": "3 V"} | ON,
                                             **GUARDED), by(within="1 %")))
    (point,) = procedure.points
    (line,) = procedure.completeness
    assert point.undecided and "under this rule" in line.because and not line.tested
    assert procedure.data["points"][0]["accept"] is None
