"""Square and triangle waves and what to look for: observations that never pass and never count,
within what the input bears."""

import math
import re
from fractions import Fraction as F

import numpy as np
import pytest

from tests.small_shop import (codes, function, load, load_points, load_with, meter, only_problem,
                              plan, range_, row, standard, the_procedure)

ROW = [row("1 % + 3 counts", frequency="40 Hz to 1 kHz")]
AC = function("AC voltage", range_("6 V", "1 mV", ROW, lowest="0.3 V"),
              range_("60 V", "10 mV", ROW, lowest="3 V"),
              range_("600 V", "0.1 V", ROW, lowest="3 V"))
COUNTER = function("frequency", range_("600 Hz", "0.1 Hz", "0.1 % + 2 counts"),
                   range_("6 kHz", "1 Hz", "0.1 % + 2 counts"), sensitivity="0.5 V")
WAVES = standard({},
                 outputs=[{"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
                           "rows": [
                               {"values": "0 V to 20 V", "frequency": "10 Hz to 100 kHz",
                                "within": "0.5 %"},
                               {"values": "20 V to 300 V", "frequency": "10 Hz to 20 kHz",
                                "within": "0.5 %"}]} for wave in ("sine", "square", "triangle")]
                 + [{"output": "frequency", "terminals": ["HI", "LO"],
                     "rows": [{"values": "1 Hz to 1 MHz", "level": "10 mV to 30 V",
                               "within": "1 ppm"}]}])


def tried(folder, point, one=AC, **more):
    return load_points(folder, one, {"frequency": "50 Hz"} | point
                       if one["function"] == "AC voltage" else point, standards=[WAVES], **more)


def only(shop):
    (found,) = the_procedure(shop).points
    return found


# ---------------------------------------------------------------- what is expected of a wave

def sampled(wave: str, rms: float) -> np.ndarray:
    """One period, in the middles of 2¹⁸ steps."""
    phase = (np.arange(2 ** 18) + 0.5) / 2 ** 18
    if wave == "square":
        return rms * np.where(phase < 0.5, 1.0, -1.0)
    return rms * math.sqrt(3) * (4 * np.abs(phase - 0.5) - 1)


@pytest.mark.parametrize("wave", ["square", "triangle"])
@pytest.mark.parametrize("hertz, top", [(50, 1000), (45, 1000), (400, 1000), (60, 10000)])
def test_the_expected_band_by_numeric_integration(wave, hertz, top, tmp_path):
    """From the r.m.s. of the harmonics that the meter's band keeps, less the tolerance, to the
    whole r.m.s. and the tolerance, outward; and what a meter shows that responds to the mean of a
    sine. All by sums over a sampled period."""
    rows = [row("1 % + 3 counts", frequency=f"40 Hz to {top} Hz")]
    one = AC | {"ranges": [range_("6 V", "1 mV", rows, lowest="0.3 V")], "responds": "mean"}
    point = only(tried(tmp_path, {"apply": "2.3 V", "frequency": f"{hertz} Hz", "wave": wave}, one))
    samples = sampled(wave, 2.3)
    assert np.sqrt(np.mean(samples ** 2)) == pytest.approx(2.3, rel=1e-6)
    amplitudes = np.abs(np.fft.rfft(samples)) / len(samples) * 2
    kept = math.sqrt(sum(amplitudes[n] ** 2 / 2 for n in range(1, top // hertz + 1)))
    mean = np.mean(np.abs(samples)) * math.pi / (2 * math.sqrt(2))
    tolerance = 0.01 * 2.3 + 0.003
    low, high, other = (F(n)
                        for n in re.search(
                            r"wave: ([\d.]+) to ([\d.]+)\u00a0V if true r.m.s., about "
                            r"([\d.]+)\u00a0V", point.observe).groups())
    assert (low, high, other) == (F(math.floor((kept - tolerance) * 1000), 1000),
                                  F(math.ceil(round((2.3 + tolerance) * 1000, 9)), 1000),
                                  F(round(mean * 1000), 1000))
    assert ("data sheet: mean" in point.observe and point.planned.judged is None
            and point.accept_from == "")


@pytest.mark.parametrize("apply, code", [("3 V", None), ("3.001 V", "wave-too-high")])
def test_a_wave_reaches_half_of_its_range(apply, code, tmp_path):
    """Half of 6 V is the most, since the peak must fit."""
    assert codes(tried(tmp_path, {"apply": apply, "wave": "square"})) == ([code] if code else [])


@pytest.mark.parametrize("crest, wave, code",
                         [("1.7", "triangle", "beyond-crest"), ("1.74", "triangle", None),
                          ("1", "square", None), ("1.4", "square", None)])
def test_the_crest_factor(crest, wave, code, tmp_path):
    """A triangle's is √3 = 1.732, a square's 1."""
    assert codes(tried(tmp_path, {"apply": "2 V", "wave": wave}, AC | {"crest_factor": crest})) == (
        [code] if code else [])


@pytest.mark.parametrize("apply, wave, code", [
    ("10 V", "square", None), ("10.01 V", "square", "beyond-peak"), ("5.773 V", "triangle", None),
    ("5.774 V", "triangle", "beyond-peak"),  # 10/√3 = 5.7735
    ("7.07 V", None, None), ("7.08 V", None, "beyond-peak"),  # 10/√2 = 7.0711
])
def test_each_wave_has_its_own_peak(apply, wave, code, tmp_path):
    """An input that bears 10 V peak bears 10 V of a square wave, 7.07 V of a sine and 5.77 V of a
    triangle."""
    one = AC | {"ranges": AC["ranges"][1:], "input": {"peak": "10 V"}}
    assert codes(tried(tmp_path, {"apply": apply} | ({"wave": wave} if wave else {}), one)) == (
        [code] if code else [])


def test_the_highest_input_holds_for_waves(tmp_path):
    """What the input bears in volts r.m.s. and in V·Hz holds for a wave as for a sine."""
    for n, limit in enumerate(({"highest": "1.9 V"}, {"volt_hertz": "99 V Hz"})):
        assert codes(tried(tmp_path / str(n), {"apply": "2 V", "wave": "square"},
                           AC | {"input": limit})) == [("beyond-input", "beyond-volt-hertz")[n]]


@pytest.mark.parametrize("apply, wave, hazardous", [
    # 42.4/√3 = 24.4796
    ("24.47 V", "triangle", False), ("24.48 V", "triangle", True), ("25 V", "triangle", True),
    ("40 V", "square", False), ("42.4 V", "square", False), ("42.5 V", "square", True),
    ("30 V", None, False), ("30.1 V", None, True),
])
def test_waves_are_hazardous_by_their_peak(apply, wave, hazardous, tmp_path):
    """Above 42.4 V peak: a triangle from 24.48 V r.m.s. on, a square not at 40 V; a sine above 30
    V."""
    shop = tried(tmp_path,
                 {"apply": apply, "force_range": "600 V"} | ({"wave": wave} if wave else {}))
    *_, group = the_procedure(shop).groups
    assert [p.hazardous for p in group.points] == [hazardous] and group.stage == (
        "hazardous voltage" if hazardous else "voltage") and group.live is hazardous


def test_a_wave_stands_beside_the_sine_as_a_point_of_its_own(tmp_path):
    """A sine, a square and a triangle of one value have three ids, and only the sine has limits."""
    points = the_procedure(load_points(tmp_path, AC,
                                       *({"apply": "2 V", "frequency": "50 Hz"} | w
                                         for w in ({}, {"wave": "square"}, {"wave": "triangle"})),
                                       standards=[WAVES])).points
    assert [p.id for p in points] == ["acv-6V-2.000V-50Hz", "acv-6V-2.000V-50Hz-square",
                                      "acv-6V-2.000V-50Hz-triangle"]
    assert [bool(p.accept_from)
            for p in points] == [True, False, False] and all(p.sure is None for p in points[1:])


# ---------------------------------------------------------------- what to look for

def test_the_bandwidth(tmp_path):
    """At most to where the source still puts out that value, from the printed limits; a frequency
    is written down."""
    for n, (apply, low, high,
            reach) in enumerate((("3 V", "2.967", "3.033", "100 kHz"),
                                 ("30 V", "29.67", "30.33", "20 kHz"))):
        point = only(tried(tmp_path / str(n),
                           {"apply": apply, "frequency": "1 kHz", "find": "bandwidth"}))
        said = point.observe.replace("\u00a0", " ")
        # 1 % + 3 counts
        assert f"at most to {reach}" in said and f"leaves {low} V to {high} V" in said
        assert point.unit == "Hz" and point.id.endswith("-bandwidth")


def test_the_sensitivity(tmp_path):
    """The level at which a counter stops is a voltage, beside what the data sheet says."""
    point = only(tried(tmp_path, {"apply": "300 Hz", "level": "500 mV", "find": "sensitivity"},
                       COUNTER))
    assert (point.unit == "mV" and "0.5\u00a0V" in point.observe
            and point.id == "freq-600Hz-300.0Hz-500mV-sensitivity")


def test_the_ceiling(tmp_path):
    """The highest value shown is in the counter's own unit."""
    point = only(tried(tmp_path, {"apply": "5.9 kHz", "level": "1 V", "find": "ceiling"}, COUNTER))
    assert point.unit == "kHz" and "stops counting" in point.observe


@pytest.mark.parametrize("more, code", [
    ({"find": "ceiling"}, None), ({"find": "sensitivity"}, None),
    ({"observe": "for the record"}, None), ({}, "tolerance-past-range"),
])
def test_what_gets_no_limits_needs_no_room_for_them(more, code, tmp_path):
    """5.999 kHz is all that the display shows, so its tolerance has no room: no matter for what is
    written down alone."""
    assert codes(tried(tmp_path, {"apply": "5.999 kHz", "level": "1 V"} | more, COUNTER)) == (
        [code] if code else [])


FINDS = [({"apply": "3 V", "frequency": "50 Hz", "find": "bandwidth"}, AC),
         ({"apply": "2 V", "frequency": "50 Hz", "wave": "square"}, AC),
         ({"apply": "300 Hz", "level": "1 V", "find": "sensitivity"}, COUNTER),
         ({"apply": "5 kHz", "level": "1 V", "find": "ceiling"}, COUNTER)]


@pytest.mark.parametrize("point, one", FINDS)
def test_what_is_looked_for_never_passes_and_never_counts(point, one, tmp_path):
    """No limits on the sheet or in the data, no uncertainty, and the row that it lies on is still
    forgotten by the plan."""
    found = only(load_points(tmp_path, one, point, standards=[WAVES]))
    procedure = the_procedure(load_points(tmp_path / "b", one, point, standards=[WAVES]))
    (data,) = procedure.data["points"]
    assert (found.accept_from, found.accept_to, found.tolerance, found.sure,
            found.undecided) == ("", "", "", None, "")
    assert [data[key] for key in ("kind", "accept", "tolerance", "tolerance_limits", "uncertainty",
                                  "tur")] == ["observation"] + [None] * 5
    assert (data["find"], data["wave"]) == (point.get("find"),
                                            point.get("wave")) and data["observe"]
    assert not any(line.tested for line in procedure.completeness)
    shop = load_with(tmp_path / "c", meter(one), plan({"function": one["function"]} | point), WAVES)
    assert set(codes(shop)) == {"forgotten"}


@pytest.mark.parametrize("hertz, code", [("19.9 kHz", None), ("20 kHz", "nothing-beyond")])
def test_nothing_beyond_the_source(hertz, code, tmp_path):
    """At 30 V the source ends at 20 kHz, though it goes to 100 kHz at 3 V."""
    one = AC | {"ranges": [on | {"accuracy": [row("1 %", frequency="40 Hz to 30 kHz")]}
                           for on in AC["ranges"]]}
    assert codes(tried(tmp_path, {"apply": "30 V", "frequency": hertz, "find": "bandwidth"},
                       one)) == ([code] if code else [])


def highest_asked(shop) -> F:
    number, unit = re.search(r"at most to ([\d.]+)\u00a0(\w+)", only(shop).observe).groups()
    return F(number) * {"Hz": 1, "kHz": 1000, "MHz": 10 ** 6}[unit]


def test_the_bandwidth_is_sought_within_the_volt_hertz_product(tmp_path):
    """18 V on an input that bears 100 000 V·Hz is raised to 5.5 kHz at most, whatever the source
    reaches."""
    shop = tried(tmp_path, {"apply": "18 V", "frequency": "1 kHz", "find": "bandwidth"},
                 AC | {"input": {"volt_hertz": "100000 V Hz"}})
    assert highest_asked(shop) * 18 <= 100000


def test_the_ceiling_is_sought_within_the_volt_hertz_product(tmp_path):
    """A level of 10 V on an input that bears 100 000 V·Hz may be raised to 10 kHz, and the sheet
    says so."""
    point = only(tried(tmp_path, {"apply": "5.9 kHz", "level": "10 V", "find": "ceiling"},
                       COUNTER | {"input": {"volt_hertz": "100000 V Hz"}}))
    assert "10\u00a0kHz" in point.observe


STEPPED = standard({}, outputs=[{"output": "frequency", "terminals": ["HI", "LO"], "rows": [
    {"values": "1 Hz to 100 kHz", "level": "0.1 V to 10 V", "within": "1 ppm"},
    {"values": "100 kHz to 2 MHz", "level": "0.2 V to 3 V", "within": "1 ppm"},
    {"values": "3 MHz to 5 MHz", "level": "0.1 V to 3 V", "within": "1 ppm"}]}])


@pytest.mark.parametrize("level, product, reach", [
    ("3 V", "10000000 V Hz", "2"),        # the source's own end, before 3.33 MHz of the input
    ("3 V", "3000000 V Hz", "1"), ("3 V", None, "2"), ("5 V", None, "0.1"), ("0.1 V", None, "0.1")])
def test_the_ceiling_asks_for_no_more_than_the_source_reaches(level, product, reach, tmp_path):
    """Up to the source's last frequency at that level without a gap: never across one."""
    shop = load_points(tmp_path, COUNTER | ({"input": {"volt_hertz": product}} if product else {}),
                       {"apply": "5.9 kHz", "level": level, "find": "ceiling"},
                       standards=[STEPPED])
    assert highest_asked(shop) == F(reach) * 10 ** 6


@pytest.mark.parametrize("hertz, least", [("5.9 kHz", "0.1 V"), ("100 kHz", "0.1 V"),
                                          ("1 MHz", "0.2 V")])
def test_the_sensitivity_asks_for_no_less_than_the_source_puts_out(hertz, least, tmp_path):
    """Down to the lowest level at that frequency."""
    fast = COUNTER | {"ranges": [range_("6 MHz", "1 kHz", "0.1 % + 2 counts")]}
    point = only(load_points(tmp_path, fast, {"apply": hertz, "level": "1 V",
                                              "find": "sensitivity"}, standards=[STEPPED]))
    assert f"not below {least}," in point.observe.replace("\u00a0", " ").replace("\u202f", " ")


def test_a_reason_to_observe_does_not_hide_what_to_look_for(tmp_path):
    """With 'find' and 'observe' side by side the step still says what to do, or the plan is told to
    choose."""
    shop = tried(tmp_path, {"apply": "3 V", "find": "bandwidth", "observe": "for the record"})
    assert shop.errors or "Raise the frequency" in only(shop).observe


@pytest.mark.parametrize("point, one, expected", [
    ({"apply": "300 Hz", "level": "1 V", "find": "bandwidth"}, COUNTER, ["find"]),
    ({"apply": "3 V", "frequency": "50 Hz", "find": "ceiling"}, AC, ["find"]),
    ({"apply": "recommended", "wave": "square"}, AC, ["apply"]),
    ({"apply": "recommended", "find": "bandwidth"}, AC, ["apply"]),
    ({"apply": "2 V", "frequency": "50 Hz", "wave": "square", "find": "bandwidth"}, AC, ["find"]),
    ({"apply": "2 V", "frequency": "50 Hz", "wave": "square", "compare_on": "x"}, AC, ["find"]),
    ({"apply": "300 Hz", "level": "1 V", "wave": "square"}, COUNTER, ["wave"]),
    ({"apply": "2 V", "frequency": "50 Hz", "zero": "relative"}, AC, ["zero"]),
    ({"apply": "2 V", "frequency": "50 Hz", "wave": "sawtooth"}, AC, ["choice"]),
    ({"apply": "300 Hz", "level": "1 V", "compare_on": "x"}, COUNTER, ["compare"]),
])
def test_what_does_not_go_together(point, one, expected, tmp_path):
    """Each is said once, in the plan."""
    shop = load(tmp_path, meter(one),
                plan({"function": one["function"]} | point,
                     left_out=[{"function": one["function"], "because": "x"}]),
                WAVES | {"standard": "petrel"})
    assert codes(shop) == expected and all(p.place.file.startswith("procedures/plans/")
                                           for p in shop.errors)


def test_a_wave_that_no_source_has(tmp_path):
    """A source of sines can't put out a square wave, and the sentence says which wave is
    missing."""
    found = only_problem(load_points(tmp_path, AC,
                                     {"apply": "2 V", "frequency": "50 Hz", "wave": "square"}))
    assert found.code == "no-output" and "square wave" in found.sentence
