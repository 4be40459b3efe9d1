"""Thermocouple inputs: millivolts against another program for every cell, and how sure the
temperature is."""

import math
from fractions import Fraction as F
from itertools import pairwise

import pytest
import thermocouple_its90

from builder.compute.exact.thermocouple import TYPES, measured
from builder.formats.standard import OutputRow
from builder.procedure.standard_rows import covering, met_on_the_way
from tests.small_shop import (JUNCTION, function, load_points, load_with, meter, only_problem, plan,
                              range_, standard, the_procedure)

KELVINS = function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"),
                   thermocouple="K", display="20 000 counts", ranging="manual")
BY = standard({"DC voltage": {"values": "0 mV to 200 mV", "within": "0.02 % + 2 uV"}})
HERE = {kind: thermocouple_its90.get(kind) for kind in TYPES}


def fahrenheit(**more) -> dict:
    return KELVINS | {"ranges": [range_("1900 degF", "0.1 degF", "0.3 % + 1.2 degC")]} | more


def tried(folder, *apply: str, one=KELVINS, within="0.3 degC", holds="18 to 28 degC", ambient=None):
    more = {"junction": JUNCTION | {"within": within}} | ({"ambient": ambient} if ambient else {})
    return the_procedure(load_points(folder, one, {"apply": list(apply)}, standards=[BY],
                                     plan_more=more, specification={"source": "x", "holds": holds}))


def cells(procedure) -> dict[tuple[float, float], float]:
    """By temperature of the part and of the junction, as the table's heads have them: millivolts as
    printed."""
    (aside,) = [g.aside for g in procedure.groups if g.aside]

    def number(text: str) -> float:
        return float(text.split("\u00a0")[0].replace("−", "-"))

    heads = [number(head) for head in aside.head[2:]]
    return {(number(apply), junction): number(cell) for step, apply,
            *row in aside.rows if step for junction, cell in zip(heads, row, strict=True)}


@pytest.mark.parametrize("kind", TYPES)
def test_every_cell_by_another_program(kind, tmp_path):
    """E(T) − E(junction), rounded once to the microvolt, for each type over its span."""
    low, high = (int(end) for end in measured(kind=kind))
    one = KELVINS | {"thermocouple": kind,
                     "ranges": [range_(f"{high + 1} degC", "0.1 degC", "0.3 % + 1.2 degC")]}
    among = [t for t in range(low + 20, high - 10, max(1, (high - low) // 24))]
    found = cells(tried(tmp_path, *(f"{t} degC" for t in among), one=one))
    assert {t for t,
            _ in found} == set(among) and sorted({j for _, j in found}) == list(range(18, 29))
    for (t, junction), millivolts in found.items():
        exact = HERE[kind].emf(t) - HERE[kind].emf(junction)
        assert abs(millivolts - exact) <= 0.0005 + 1e-9, (t, junction)


def test_the_row_shows_the_millivolts_at_23(tmp_path):
    """Beside the value stands what is applied with the junction at 23 °C, the same as in that
    column; type K, 100 °C: 3.177 mV."""
    procedure = tried(tmp_path, "100 degC", "-50 degC")
    table, shown = cells(procedure), {p.apply.split("\u00a0")[0]: p.at for p in procedure.points}
    assert shown == {"100.0": "3.177\u00a0mV",
                     "−50.0": "−2.809\u00a0mV"} and table[100.0,
                                                          23.0] == 3.177 and table[-50.0,
                                                                                   23.0] == -2.809
    assert procedure.groups[0].at_head == "at 23\u00a0°C"


def worst_by_the_rule(procedure, kind: str) -> float:
    """In millivolts: how far the column below, less so much for each tenth of a degree, is from
    what should be applied."""
    (aside,) = [g.aside for g in procedure.groups if g.aside]
    table, worst = cells(procedure), 0.0
    junctions = sorted({j for _, j in table})
    tenths = [float(text.replace("−", "-")) for text in aside.rows[-1][2:]]
    off = dict(zip(junctions, tenths, strict=True))
    for (t, junction), millivolts in table.items():
        following = next((j for j in junctions if j > junction), junction)
        for n in range(round((following - junction) * 10)):
            exact = HERE[kind].emf(t) - HERE[kind].emf(junction + n / 10)
            worst = max(worst, abs(millivolts - n * off[junction] - exact))
    return worst


def values(kind: str) -> list[str]:
    return [f"{t} degC" for t in range(-52, 350, 7) if t > measured(kind=kind)[0]]




@pytest.mark.thorough
@pytest.mark.parametrize("kind", TYPES)
def test_the_rule_for_tenths_between_18_and_28(kind, tmp_path):
    """Half a microvolt of rounding and the rule together stay within 1.1 µV in a workshop's
    band."""
    one = KELVINS | {"thermocouple": kind,
                     "ranges": [range_("399 degC", "0.1 degC", "0.3 % + 1.2 degC")]}
    assert worst_by_the_rule(tried(tmp_path, *values(kind), one=one), kind) < 0.0011


@pytest.mark.thorough
@pytest.mark.parametrize("kind, holds",
                         [("K", "0 to 50 degC"), ("E", "0 to 50 degC"), ("T", "10 to 35 degC"),
                          ("S", "0 to 50 degC"), ("B", "0 to 50 degC")])
def test_the_rule_for_tenths_in_a_wide_band(kind, holds, tmp_path):
    """What the budget allows for the table, 1 µV, or little more, holds for any band of the
    sheet."""
    one = KELVINS | {"thermocouple": kind,
                     "ranges": [range_("399 degC", "0.1 degC", "0.3 % + 1.2 degC")]}
    assert worst_by_the_rule(tried(tmp_path, *values(kind), one=one, holds=holds), kind) < 0.0011


@pytest.mark.parametrize("ambient, low, high",
                         [(None, 18, 28), ("20 to 23 degC", 18, 28), ("10 to 35 degC", 10, 35),
                          ("5 to 40 degC", 5, 40), ("17.5 to 28.5 degC", 17, 29),
                          ("0 to 50 degC", 0, 50)])
def test_the_junctions_widen_with_the_sheets_band(ambient, low, high, tmp_path):
    """From 18 to 28 °C at least, else the plan's whole band and no further, in at most thirteen
    columns."""
    columns = sorted({j for _,
                      j
                      in cells(tried(tmp_path, "100 degC", holds="-10 to 60 degC",
                                     ambient=ambient or "18 to 28 degC"))})
    assert (columns[0], columns[-1]) == (low, high) and len(columns) <= 14
    assert len({b - a for a, b in pairwise(columns[:-1])}) == 1


def test_a_band_in_degrees_fahrenheit(tmp_path):
    """59 to 86 °F is 15 to 30 °C."""
    columns = sorted({j for _, j in cells(tried(tmp_path, "100 degC", holds="59 to 86 degF"))})
    assert (columns[0], columns[-1]) == (15, 30)


def test_a_band_up_to_the_types_own_end(tmp_path):
    """A band that no workshop has ends in no traceback, and in no column beyond it."""
    one = KELVINS | {"thermocouple": "T", "ranges": [range_("399 degC", "0.1 degC", "1 degC")]}
    assert max(j for _,
               j in cells(tried(tmp_path, "100 degC", one=one, holds="18 to 399 degC"))) == 399


# ---------------------------------------------------------------- degrees Fahrenheit

def test_a_function_in_degrees_fahrenheit(tmp_path):
    """212 °F is 100 °C: the same millivolts, a tolerance of 0.3 % × 212 + 1.8 × 1.2 = 2.796 °F,
    printed to two decimals."""
    procedure = tried(tmp_path, "212 degF", "32 degF", one=fahrenheit())
    table = cells(procedure)
    assert (table[212.0, 23.0], table[212.0, 18.0], table[32.0, 23.0]) == (3.177, 3.379, -0.919)
    point = next(p for p in procedure.points if p.planned.applied == 212)
    assert (point.accept_from, point.accept_to,
            F(point.tolerance)) == ("209.3", "214.7", F("2.79"))


def test_a_temperature_that_is_no_decimal_in_celsius(tmp_path):
    """100 °F is 37.777… °C."""
    millivolts = cells(tried(tmp_path, "100 degF", one=fahrenheit()))[100.0, 20.0]
    assert abs(millivolts - (HERE["K"].emf(340 / 9) - HERE["K"].emf(20))) <= 0.0005 + 1e-9


# ---------------------------------------------------------------- how sure

def slope(kind: str, at: float) -> float:
    """V per °C, by a difference quotient."""
    return (HERE[kind].emf(at + 0.01) - HERE[kind].emf(at - 0.01)) / 0.02 / 1000


@pytest.mark.parametrize("kind, unit, at",
                         [("K", "degC", 100), ("K", "degC", -50), ("K", "degC", 1000),
                          ("T", "degC", 250), ("E", "degC", 500), ("N", "degC", 900),
                          ("J", "degC", 700), ("S", "degC", 1000), ("R", "degC", 1100),
                          ("B", "degC", 1200), ("K", "degF", 212), ("K", "degF", 0),
                          ("J", "degF", 700)])
def test_sensitivities_by_difference_quotients(kind, unit, at, tmp_path):
    """A volt moves the reading by 1/E′(T) degrees, a degree of the junction by E′(23 °C)/E′(T); in
    °F times 1.8. The budget's lines, in degrees, and its u by hand: source 0.02 % + 2 µV at k = 2,
    junction ±0.3 °C, table ±1 µV, leads and jacks ±2 µV, ±0.05 of the last digit."""
    top, per = {"degC": (min(1300, int(TYPES[kind][1]) + 1), 1.0), "degF": (1900, 1.8)}[unit]
    one = KELVINS | {"thermocouple": kind,
                     "ranges": [range_(f"{top} {unit}", f"0.1 {unit}", "0.3 % + 1.2 degC")]}
    (point,) = tried(tmp_path, f"{at} {unit}", one=one).points
    source, junction, tabled, thermal, display = point.sure.components
    celsius = at if unit == "degC" else (at - 32) / 1.8
    volts = round(HERE[kind].emf(celsius) - HERE[kind].emf(23), 3) / 1000
    per_volt, per_degree = per / slope(kind, celsius), slope(kind, 23) / slope(kind, celsius)
    stated = abs(volts) * 0.0002 + 2e-6
    assert source.value * source.sensitivity == pytest.approx(
        stated * per_volt, rel=1e-5) and source.divisor == 2
    assert junction.value == pytest.approx(0.3 * per,
                                           rel=1e-12) and junction.sensitivity == pytest.approx(
                                               per_degree, rel=1e-5)
    assert tabled.value * tabled.sensitivity == pytest.approx(1e-6 * per_volt, rel=1e-5)
    assert thermal.value * thermal.sensitivity == pytest.approx(2e-6 * per_volt, rel=1e-5)
    assert (display.value, display.sensitivity) == (0.05, 1.0)
    u = math.sqrt((per_volt * stated / 2) ** 2
                  + ((per_degree * 0.3 * per) ** 2 + 5 * (per_volt * 1e-6) ** 2 + 0.05 ** 2) / 3)
    assert point.sure.uncertainty.u == pytest.approx(u, rel=1e-5)


@pytest.mark.parametrize("one, within, half",
                         [(KELVINS, "0.9 degF", 0.5), (fahrenheit(), "0.9 degF", 0.9),
                          (fahrenheit(), "0.5 degC", 0.9)])
def test_how_sure_the_junction_is_in_either_degree(one, within, half, tmp_path):
    """0.9 °F is half a degree Celsius, as a difference."""
    (point,) = tried(tmp_path, f"200 {one['ranges'][0]['range'].split()[1]}", one=one,
                     within=within).points
    assert point.sure.components[1].value == pytest.approx(half, rel=1e-12)


# ---------------------------------------------------------------- reach and steps

@pytest.mark.parametrize("reach, code",
                         [("0 V to 3.38 mV", None), ("0 V to 3.37 mV", "beyond-reach")])
def test_the_source_must_reach_every_column(reach, code, tmp_path):
    """100 °C wants 3.177 mV at 23 °C and 3.379 mV at 18 °C: a source that ends between them can't
    follow the table."""
    shop = load_points(tmp_path, KELVINS, {"apply": "100 degC"}, plan_more={"junction": JUNCTION},
                       standard_file=standard({"DC voltage": {"values": reach}}))
    assert [p.code for p in shop.errors] == ([code] if code else [])


@pytest.mark.parametrize("boundary, below, above, counts",
                         [("2.95 mV", 5, 3, 3), ("3 mV", 5, 3, 5), ("3 mV", 3, 5, 5),
                          ("3.3 mV", 5, 3, 5), ("3.3 mV", 3, 5, 5), ("3.4 mV", 3, 5, 3)])
def test_of_the_rows_that_the_table_meets_the_largest_counts(boundary, below, above, counts,
                                                             tmp_path):
    """100 °C are 2.974 mV with the junction at 28 °C, 3.177 mV at 23 °C and 3.379 mV at 18 °C.
    Where rows of 3 µV and 5 µV meet between these the sheet can't know which of them the source
    will be on, so 5 µV count; where they meet outside there is one row."""
    by = standard({}, outputs=[{"output": "DC voltage", "terminals": ["HI", "LO"], "rows": [
        {"values": f"0 mV to {boundary}", "within": f"{below} uV"},
        {"values": f"{boundary} to 200 mV", "within": f"{above} uV"}]}])
    (point,) = the_procedure(load_points(tmp_path, KELVINS, {"apply": "100 degC"}, standards=[by],
                                         plan_more={"junction": JUNCTION})).points
    line = point.sure.components[0]
    assert line.value * line.sensitivity == pytest.approx(
        counts * 1e-6 / slope("K", 100), rel=1e-5)


def rows_of_a_source(*rows: tuple[str, str]) -> list[dict]:
    return [standard({}, outputs=[{"output": "DC voltage", "terminals": ["HI", "LO"], "rows": [
        {"values": values, "within": within} for values, within in rows]}])]


def test_a_row_that_only_columns_between_meet_counts_too(tmp_path):
    """3 to 3.1 mV belong to junctions at 25 and 26 °C, 3.096 and 3.055 mV, and to neither end."""
    by = rows_of_a_source(("0 mV to 3 mV", "3 uV"), ("3 mV to 3.1 mV", "50 uV"),
                          ("3.1 mV to 200 mV", "3 uV"))
    (point,) = the_procedure(load_points(tmp_path, KELVINS, {"apply": "100 degC"}, standards=by,
                                         plan_more={"junction": JUNCTION})).points
    line = point.sure.components[0]
    assert line.value * line.sensitivity == pytest.approx(50e-6 / slope("K", 100), rel=1e-5)


def test_a_gap_between_two_rows_is_beyond_reach(tmp_path):
    """Both ends of the table can be had, and two columns of it can't."""
    by = rows_of_a_source(("0 mV to 3 mV", "3 uV"), ("3.1 mV to 200 mV", "3 uV"))
    shop = load_points(tmp_path, KELVINS, {"apply": "100 degC"}, standards=by,
                       plan_more={"junction": JUNCTION})
    assert only_problem(shop).code == "beyond-reach"


@pytest.mark.parametrize("low, high, met", [
    ("1", "2", ["a", "b"]), ("-2", "-1", ["a", "b"]), ("-1", "3", ["a", "b"]), ("0", "4", []),
    ("-4", "0", []), ("1.5", "1.5", ["b"]), ("1", "1", ["a", "b"]), ("-0.5", "0.5", ["a"]),
    ("4", "5", ["c"]), ("3.5", "5", []), ("4", "5.1", [])])
def test_the_rows_on_the_way_from_one_value_to_another(low, high, met):
    """Rows of 0 to 1, 1 to 3 and 4 to 5, of either sign. By brute force as well: each of a hundred
    values between is in a row, and these rows are those given."""
    rows = {name: OutputRow(values=f"{start} V to {end} V")
            for name, start, end in (("b", 1, 3), ("c", 4, 5), ("a", 0, 1))}

    def names(some) -> list[str]:
        return sorted(name for name, row in rows.items() if any(row is one for one in some))
    assert names(met_on_the_way(list(rows.values()), F(low), F(high))) == met
    values = [F(low) + (F(high) - F(low)) * n / 100 for n in range(101)]
    by_value = [names(covering(list(rows.values()), value, None, None)) for value in values]
    assert met == (sorted({name for those in by_value for name in those}) if all(by_value) else [])


def test_without_a_source_of_voltage(tmp_path):
    """What is missing is a DC voltage."""
    found = only_problem(load_points(tmp_path, KELVINS, {"apply": "100 degC"},
                                     plan_more={"junction": JUNCTION},
                                     standard_file=standard(
                                         {"DC current": {"values": "0 A to 1 A"}})))
    assert found.code == "no-output" and "DC voltage" in found.sentence


def test_without_a_word_about_the_junction(tmp_path):
    """The input adds the temperature of its own junction, so the plan must say how that is
    known."""
    found = only_problem(load_points(tmp_path, KELVINS, {"apply": "100 degC"}, standards=[BY]))
    assert found.code == "no-junction" and "temperature of its own junction" in found.sentence


def test_the_steps_before_the_millivolts(tmp_path):
    """Copper leads, the junction read and written down, the voltage chosen for it, and only then
    the output on; afterwards the source back at zero."""
    (group,) = tried(tmp_path, "100 degC").groups
    order = ["Source: 0\u00a0V, standby", "Leads: plain copper, V to HI, COM to LO of Petrel",
             "Junction: thermometer at the V jack, out of draughts, until the temperature is "
             "steady",
             "Junction: reads ____ °C",
             "Source: the millivolts of the table below, for that junction", "Source: output on"]
    at = [[step.replace("\u00a0", " ") for step in group.opening].index(step.replace("\u00a0", " "))
          for step in order]
    assert at == sorted(at) and group.stage == "thermocouple"
    assert [step.replace("\u00a0", " ")
            for step in group.closing[:2]] == ["Source: to 0 V", "Source: standby"]


def test_a_source_of_temperatures_needs_no_junction(tmp_path):
    """Where a standard states its output in degrees the builder takes it at its word."""
    by = standard({"temperature": {"values": "-100 degC to 1300 degC", "within": "0.3 degC"}})
    shop = load_with(tmp_path, meter(KELVINS),
                     plan({"function": "temperature", "apply": ["0 degC", "100 degC"]}), by)
    procedure = the_procedure(shop)
    assert all(g.aside is None
               for g in procedure.groups) and procedure.data["points"][0]["kind"] == "source"


@pytest.mark.parametrize("use", ["applied", "stated"])
@pytest.mark.parametrize("low, used", [("-10 mV", True), ("3 mV", False)])
def test_what_the_certificate_of_a_source_adds_is_a_component(low, used, use, tmp_path):
    """The millivolts change with the junction, so nothing moves by a correction. From 28 to 18 °C
    type K at 100 °C takes 2.97 to 3.38 mV: the correction at the far end of that, 6 µV · (3.38 +
    10)/30, over 41.37 µV/°C. A certificate that doesn't reach over it all is not used."""
    by = standard({"DC voltage": {"values": "0 mV to 200 mV", "within": "0.02 % + 9 uV"}})
    by["outputs"][0]["corrections"] = {
        "use": use, "drift": "included", "between": "straight line", "between_within": "0.1 uV",
        "values": [{"at": low, "correction": "0 uV", "within": "1 uV"},
                   {"at": "20 mV", "correction": "6 uV", "within": "2 uV",
                    "confirmed": "made for a test"}]}
    procedure = the_procedure(load_points(
        tmp_path, KELVINS, {"apply": "100 degC"}, standards=[by],
        plan_more={"junction": JUNCTION | {"within": "0.3 degC"}}))
    (point,) = procedure.points
    assert point.planned.supply.expected is None and "corrected" not in point.at
    names = [one.name for one in point.sure.components]
    assert any("its accuracy" in name for name in names) != used
    if not used:
        return
    volts = (HERE["K"].emf(100) - HERE["K"].emf(18)) * 1e-3
    certificate, between, correction = point.sure.components[:3]
    assert certificate.value == pytest.approx(2 / 41.37, rel=2e-3)
    assert between.value == pytest.approx(0.1 / 41.37, rel=2e-3)
    assert "its correction, not applied" in correction.name
    assert correction.value == pytest.approx((volts + 0.01) / 0.03 * 6 / 41.37, rel=2e-3)
    assert any("is not applied" in note for note in procedure.notes)
