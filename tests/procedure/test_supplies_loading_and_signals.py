"""What a source leaves at the input, what it can't drive, and counters of a current."""

import math
import random
from fractions import Fraction as F

import pytest

from builder.formats.standard import OutputRow
from builder.numbers import units
from builder.procedure.standard_rows import covering
from tests.small_shop import (codes, function, load_points, load_with, meter, only_problem, plan,
                              range_, standard, the_procedure)

VOLTS = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
                 range_("6 V", "1 mV", "0.4 % + 2 counts"),
                 range_("600 V", "0.1 V", "0.4 % + 2 counts"), confirmed="few ranges do here")
COUNTER = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"), signal="current",
                   sensitivity="5 mA", jacks=["mA", "COM"], dial="mA")


def source(resistance: "str | None" = None, what="DC voltage", values="0 V to 1000 V",
           **row_more) -> dict:
    made = {"output": what, "terminals": ["HI", "LO"],
            "rows": [{"values": values, "within": "0.01 %"} | row_more]}
    return standard({}, outputs=[made | ({"output_resistance": resistance} if resistance else {})])


def tried(folder, *apply: str, one=VOLTS, load="10 kohm", by=None, **more):
    one = one | ({"input_resistance": load} if load else {})
    return load_points(folder, one, {"apply": list(apply)} | more,
                       standards=[by or source("50 ohm")])


# ---------------------------------------------------------------- what is left at the input

def left(x: F, rs: F, rin: F, finest: F) -> F:
    """x·Rin/(Rs + Rin), to a thousandth of the finest count, half to even."""
    step = finest / 1000
    return round(x * rin / (rs + rin) / step) * step


def test_the_limits_stand_around_what_is_left(tmp_path):
    """3 V from 50 Ω into 10 kΩ are 2.9850746 V (2.98507462… to 0.1 µV): ±(0.4 % + 2 mV) around
    that."""
    procedure = the_procedure(tried(tmp_path, "3 V"))
    (point,), (data,) = procedure.points, procedure.data["points"]
    assert data["expected"] == "2.9850746 V" and data["apply"] == "3.000 V"
    assert (point.accept_from, point.accept_to) == ("2.972", "2.999")     # 2.9711343, 2.9990149
    assert F(data["tolerance"].split()[0]) == F("0.004") * F("2.9850746") + F("0.002")
    assert point.id == "dcv-6V-3.000V" and any("what the source leaves" in note
                                               for note in procedure.notes)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(2))
def test_random_loads_by_exact_arithmetic(seed, tmp_path):
    """Any output and input resistance: expected value and limits by exact fractions."""
    chance = random.Random(seed)
    for n in range(12):
        rs, rin, millivolts = chance.randint(1,
                                             600), chance.randint(20, 2000) * 1000, chance.choice(
                                                 (-1, 1)) * chance.randint(800, 5700)
        x = F(millivolts, 1000)
        procedure = the_procedure(tried(tmp_path / str(n), f"{float(x):.3f} V", load=f"{rin} ohm",
                                        by=source(f"{rs} ohm")))
        (point,), expected = procedure.points, left(x, F(rs), F(rin), F("0.0001"))
        given = procedure.data["points"][0]["expected"]
        assert (F(given.split()[0]) if given else x) == expected
        t = F("0.004") * abs(expected) + F("0.002")
        printed = [F(text.replace("−", "-")) for text in (point.accept_from, point.accept_to)]
        assert printed == [math.ceil((expected - t) * 1000) * F("0.001"),
                           math.floor((expected + t) * 1000) * F("0.001")]


@pytest.mark.parametrize("load, by", [(None, "50 ohm"), ("10 kohm", None), ("10 Mohm", "1 mohm")])
def test_without_a_share_there_is_no_loading(load, by, tmp_path):
    """Where either resistance isn't stated, or a thousandth of a count isn't lost (0.3 nV of 3 V
    here), the value is what is applied."""
    procedure = the_procedure(tried(tmp_path, "3 V", load=load, by=source(by)))
    (point,) = procedure.points
    assert procedure.data["points"][0]["expected"] is None and (
        point.accept_from, point.accept_to) == ("2.986", "3.014")
    assert not any("loading" in c.name for c in point.sure.components)


def test_zero_is_zero_whatever_the_load(tmp_path):
    """0 V stays 0 V."""
    assert the_procedure(tried(tmp_path, "0 V")).data["points"][0]["expected"] is None


def test_loading_in_the_budget(tmp_path):
    """A rectangle as large as the correction: 3 − 2.9850746 V, beside source at k = 2 and half a
    count."""
    (point,) = the_procedure(tried(tmp_path, "3 V")).points
    assert [(c.distribution, pytest.approx(c.value, rel=1e-12)) for c in point.sure.components] == [
        ("normal", 0.0003), ("rectangular", 0.0149254), ("rectangular", 0.0005)]
    assert point.sure.uncertainty.u == pytest.approx(
        math.sqrt(0.00015 ** 2 + (0.0149254 ** 2 + 0.0005 ** 2) / 3), rel=1e-12)


def test_the_range_is_that_of_what_is_left(tmp_path):
    """610 mV from 1 kΩ into 10 kΩ are 554.5 mV, which the meter shows on its 600 mV range."""
    (point,) = the_procedure(tried(tmp_path, "610 mV", by=source("1 kohm"))).points
    assert point.range == "600\u00a0mV"


# ---------------------------------------------------------------- what a source can drive

@pytest.mark.parametrize("apply, code",
                         [("150 V", None), ("-150 V", None), ("150.1 V", "beyond-drive"),
                          ("-150.1 V", "beyond-drive")])
def test_a_voltage_into_a_low_resistance(apply, code, tmp_path):
    """50 mA into 3 kΩ are 150 V: at the edge yes, a count beyond it no."""
    shop = tried(tmp_path, apply, load="3 kohm", by=source(drives="50 mA"))
    assert codes(shop) == ([code] if code else [])


@pytest.mark.parametrize("near, far", [("50 mA", "10 mA"), ("10 mA", "50 mA")])
def test_where_two_rows_meet_the_weaker_one_drives(near, far, tmp_path):
    """At 120 V the source may be on either of its ranges, and 10 mA into 3 kΩ are 30 V."""
    by = source(drives=near, values="0 V to 120 V")
    by["outputs"][0]["rows"] += source(drives=far, values="120 V to 1000 V")["outputs"][0]["rows"]
    found = only_problem(tried(tmp_path, "120 V", load="3 kohm", by=by))
    assert found.code == "beyond-drive" and "ends at 10\u00a0mA" in found.sentence


def test_an_observation_is_driven_too(tmp_path):
    """Whether limits are asked for changes nothing in what the source can do."""
    assert codes(tried(tmp_path, "300 V", load="3 kohm", by=source(drives="50 mA"),
                       observe="for the record")) == ["beyond-drive"]


AMPS = function("DC current", range_("600 mA", "0.1 mA", "1 % + 3 counts", burden="0.3 V"),
                jacks=["mA", "COM"])


@pytest.mark.parametrize("drives, code",
                         [("270 mV", None), ("0.2699 V", "beyond-drive"), ("0.3 V", None)])
def test_a_current_into_a_burden(drives, code, tmp_path):
    """0.3 V at 600 mA are 0.27 V at 540 mA, and that is what the source must drive."""
    by = source(None, "DC current", "0 A to 2 A", drives=drives)
    assert codes(load_points(tmp_path, AMPS, {"apply": ["540 mA", "300 mA"]}, standards=[by])) == (
        [code] if code else [])


@pytest.mark.parametrize("one, apply, what, values, drives, sentence", [
    (AMPS, "540 mA", "DC current", "0 A to 2 A", "0.2 V",
     "Petrel can't drive 540 mA into this input: its output ends at 0.2 V"),
    (VOLTS | {"input_resistance": "3 kohm"}, "160 V", "DC voltage", "0 V to 1000 V", "50 mA",
     "Petrel can't drive 160 V into this input: its output ends at 50 mA"),
])
def test_where_the_output_ends_is_said(one, apply, what, values, drives, sentence, tmp_path):
    """A current's refusal names a voltage, and a voltage's a current, as the source's file has
    it."""
    found = only_problem(load_points(tmp_path, one, {"apply": apply},
                                     standards=[source(None, what, values, drives=drives)]))
    assert found.sentence.replace("\u00a0", " ") == sentence


def test_a_burden_that_is_not_stated(tmp_path):
    """Without a burden nothing is known to be too much."""
    one = AMPS | {"ranges": [range_("600 mA", "0.1 mA", "1 % + 3 counts")]}
    assert the_procedure(load_points(tmp_path, one, {"apply": "540 mA"},
                                     standards=[
                                         source(None, "DC current", "0 A to 2 A", drives="1 mV")]))


def test_recommended_points_stay_within_the_drive(tmp_path):
    """Where the source can't drive 90 % of a range a lower share is recommended: 150 V at most on
    the 600 V range."""
    points = the_procedure(tried(tmp_path, "recommended", load="3 kohm",
                                 by=source(drives="50 mA"))).points
    high = [abs(p.planned.applied) for p in points if p.range == "600\u00a0V"]
    # 20 % of 600 V; 30 % is 180 V
    assert high and max(high) == 120


@pytest.mark.parametrize("one, by, code", [
    (VOLTS | {"input_resistance": "10 V"}, source(), "unit"),
    (AMPS | {"input_resistance": "10 ohm"}, source(None, "DC current", "0 A to 2 A"), "key"),
    (VOLTS | {"ranges": [range_("6 V", "1 mV", "1 %", burden="0.3 V")]}, source(), "key"),
    (AMPS | {"ranges": [range_("600 mA", "0.1 mA", "1 %", burden="0.3 A")]},
     source(None, "DC current", "0 A to 2 A"), "unit"),
    (VOLTS, source("50 V"), "unit"), (AMPS, source("50 ohm", "DC current", "0 A to 2 A"), "drives"),
    (VOLTS, source(drives="3 V"), "unit"),
    (AMPS, source(None, "DC current", "0 A to 2 A", drives="3 A"), "unit"),
    (function("resistance", range_("600 ohm", "0.1 ohm", "1 %")),
     source(None, "resistance", "0 ohm to 1 kohm", drives="3 V"), "drives"),
])
def test_keys_of_loading_where_they_do_not_belong(one, by, code, tmp_path):
    """Each in the file of the meter or of the standard that holds it."""
    shop = load_with(tmp_path, meter(one),
                     plan(left_out=[{"function": one["function"], "because": "x"}]), by)
    assert codes(shop) == [code] and not shop.errors[0].place.file.startswith("procedures/plans/")


# ---------------------------------------------------------------- the frequency of a current

SIGNALS = standard(
    {"frequency": {"values": "1 Hz to 100 kHz", "level": "1 mA to 5 A", "within": "1 ppm"},
     "DC voltage": {"values": "0 V to 100 V"}, "DC current": {"values": "0 A to 5 A"},
     "AC voltage": {"values": "0 V to 500 V", "frequency": "10 Hz to 1 kHz"}})


def signal(folder, *points, one=COUNTER):
    return load_points(folder, one, *points, standards=[SIGNALS])


def test_a_current_counted_has_the_current_jack_and_rests_at_0_a(tmp_path):
    """The source rests at 0 A before and after, the leads are in the current jack, and there is no
    voltage to be hazardous."""
    group, *rest = the_procedure(signal(tmp_path,
                                        {"apply": ["1 kHz", "5 kHz"], "level": "50 mA"})).groups
    opening, closing = ([step.replace("\u00a0", " ") for step in steps]
                        for steps in (group.opening, group.closing))
    assert opening[0] == "Source: 0 A, standby" and closing[:2] == [
        "Source: to 0 A", "Source: standby"]
    assert group.jacks == ("mA", "COM") and "Leads: mA to HI, COM to LO of Petrel" in opening
    assert [(p.planned.volts, p.hazardous)
            for p in group.points] == [(0, False)] * 2 and not group.live and group.near_zero == ""
    assert any("current jacks" in w.text for w in group.warnings)
    assert [g.stage for g in rest] == ["proving"]


@pytest.mark.parametrize("level, stage",
                         [("50 mA", "milliamps"), ("999 mA", "milliamps"), ("1 A", "amps"),
                          ("4 A", "amps")])
def test_its_stage_is_that_of_its_level(level, stage, tmp_path):
    """Milliamps before amps, by the current and not by the frequency's range."""
    assert the_procedure(signal(tmp_path,
                                {"apply": "1 kHz", "level": level})).groups[0].stage == stage


def test_even_a_large_current_is_not_hazardous_live(tmp_path):
    """5 A is no voltage."""
    (point, *_) = the_procedure(signal(tmp_path, {"apply": "1 kHz", "level": "5 A"})).points
    assert not point.hazardous and point.planned.volts == 0 and the_procedure(
        signal(tmp_path / "b", {"apply": "1 kHz", "level": "5 A"})).highest_volts == ""


def test_the_limits_are_those_of_the_frequency(tmp_path):
    """0.1 % + 3 counts of 1 kHz in steps of 1 Hz, whatever carries it; the level is in the id."""
    (point, *_) = the_procedure(signal(tmp_path, {"apply": "1 kHz", "level": "50 mA"})).points
    assert (point.accept_from, point.accept_to, point.unit,
            point.id) == ("0.996", "1.004", "kHz", "freq-6kHz-1.000kHz-50mA")


def test_the_sensitivity_to_a_current(tmp_path):
    """What is written down is a current, beside the data sheet's."""
    (point,
     *_) = the_procedure(signal(tmp_path,
                                {"apply": "1 kHz", "level": "50 mA", "find": "sensitivity"})).points
    assert point.unit == "mA" and "5\u00a0mA" in point.observe


@pytest.mark.parametrize("level, code", [("3 V", "unit"), ("6 A", "beyond-reach")])
def test_a_level_that_does_not_fit(level, code, tmp_path):
    """A voltage is no level of a current; a current beyond the source's is refused with the level
    named."""
    found = only_problem(signal(tmp_path, {"apply": "1 kHz", "level": level}))
    assert found.code == code and level in found.sentence.replace("\u00a0", " ")


def test_a_source_of_voltage_signals_is_none_for_currents(tmp_path):
    """Levels in volts don't reach a counter of currents, nor the other way round."""
    by = standard({"frequency": {"values": "1 Hz to 100 kHz", "level": "10 mV to 10 V"}})
    assert codes(load_points(tmp_path, COUNTER, {"apply": "1 kHz", "level": "50 mA"},
                             standards=[by])) == ["beyond-reach"]
    plain = {k: v for k, v in COUNTER.items() if k not in ("signal", "sensitivity")}
    assert codes(load_points(tmp_path / "b", plain, {"apply": "1 kHz", "level": "3 V"},
                             standards=[SIGNALS])) == ["beyond-reach"]


@pytest.mark.parametrize("hertz, code", [("50 Hz", []), ("60 Hz", ["beyond-reach"])])
@pytest.mark.parametrize("stated", [True, False])
def test_the_rate_of_a_duty_cycle(stated, hertz, code, tmp_path):
    """A source that states the rates of its duty cycles has no others; one that states none has
    any."""
    rows = {"values": "0 to 100 %", "level": "1 V to 10 V"}
    by = standard({"duty cycle": rows | ({"frequency": "40 Hz to 50 Hz"} if stated else {})})
    one = function("duty cycle", range_("100 %", "0.1 %", "0.5 % + 2 counts"))
    assert codes(load_points(tmp_path, one, {"apply": "20 %", "frequency": hertz, "level": "5 V"},
                             standards=[by])) == (code if stated else [])


def test_its_own_input_bears_currents(tmp_path):
    """The voltage rating between the terminals says nothing about it; its own limit in amperes
    does."""
    one = COUNTER | {"input": {"highest": "400 mA"}}
    assert codes(signal(tmp_path, {"apply": "1 kHz", "level": "401 mA"}, one=one)) == [
        "beyond-input"]
    the_procedure(signal(tmp_path / "b", {"apply": "1 kHz", "level": "400 mA"}, one=one))


@pytest.mark.parametrize("change", [{"sensitivity": "5 mV"}, {"input": {"highest": "400 V"}}])
def test_its_keys_are_in_amperes(change, tmp_path):
    """A sensitivity or a limit in volts is refused in the meter's file."""
    assert codes(signal(tmp_path, {"apply": "1 kHz", "level": "50 mA"}, one=COUNTER | change)) == [
        "unit"]


def test_a_row_for_a_level_covers_no_point_without_one():
    """The rules of files refuse such a pair; nothing rests on that here."""
    row = OutputRow(values="1 Hz to 5 kHz", level="1 V to 5 V")
    assert covering([row], F(1000), None, None) == ()
    assert covering([row], F(1000), None, units.quantity("3 V")) == (row,)
