"""The lines of a budget by name and size, for each way that a value comes to the meter."""

import pytest

from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load_points, range_, reference,
                              row, standard, the_procedure)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
                range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))
FARADS = function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"))
AMPS = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="3 A")]}
DISPLAY = "resolution of the display, half a count"
LEFT = "leads, left in the reading, about half of their most"


def kelvins(unit: str) -> dict:
    return function("temperature", range_(f"1300 {unit}", f"0.1 {unit}", "0.3 % + 1.2 degC"),
                    thermocouple="K", display="20 000 counts")


def volts(*rows: dict, **more) -> dict:
    """A source of these rows, stated in plain limits; `more` are keys of its output."""
    made = standard({"DC voltage": {}}, stated="plain limits")
    made["outputs"][0] |= {"rows": list(rows)} | more
    return made


def only_point(folder, one: dict, point: dict, by: list[dict], **plan_more):
    """The only point that isn't a reading of the leads."""
    procedure = the_procedure(load_points(folder, one, point, standards=by, plan_more=plan_more))
    (found,) = [p for p in procedure.points if p.planned.zero is None]
    return found


def lines_of(point) -> dict[str, tuple[float, float]]:
    """By name: what is stated, in the function's unit, and by how much the point moves with it."""
    return {line.name: (line.value, line.sensitivity) for line in point.sure.components}


# ---------------------------------------------------------------- each way to apply a value

WAYS = {
    # 0.1 % and 100 ppm of 3 V, 50 ppm of drift; 3 V · 10 Mohm / (10 Mohm + 100 ohm) is 30 uV less
    "a source": (
        VOLTS | {"input_resistance": "10 Mohm"}, {"apply": "3 V"},
        [volts({"values": "0 V to 10 V", "within": "0.1 %", "calibration": "100 ppm",
                "drift": "50 ppm"}, output_resistance="100 ohm")
         | {"accuracy": "relative to its calibration"}], {},
        {"Petrel, its accuracy": (0.003, 1), "Petrel, its calibration": (0.0003, 1),
         "Petrel, its drift": (0.00015, 1),
         "loading of the source, as large as its correction": (30e-6, 1), DISPLAY: (0.0005, 1)}),
    # 0.094 ohm of leads and contacts are more than half of 0.1 ohm, so they are read and taken off
    "a box, its leads taken off": (
        OHMS, {"apply": "100 ohm"}, [box(("100 ohm", "100 ohm", "5 mohm", "3 mohm"))],
        {"leads": LEADS},
        {"Auk box, its accuracy": (0.005, 1), "Auk box, its drift": (0.003, 1),
         "reading of the leads alone, half a count": (0.05, -1),
         "leads, plugged again": (0.01, 1), DISPLAY: (0.05, 1)}),
    # 120 pF of leads are twelve counts; they repeat within 10 pF
    "capacitors, their leads taken off": (
        FARADS, {"apply": "10 nF"}, [box(("10 nF", "10 nF", "2 pF"), what="capacitance")],
        {"leads": LEADS},
        {"Auk box, its accuracy": (2e-12, 1),
         "reading of the leads alone, half a count": (5e-12, -1),
         "leads, plugged again": (10e-12, 1), DISPLAY: (5e-12, 1)}),
    # two metres of 0.026 ohm at 20 °C, times 1 + 0.00393 · 8 at 28 °C, and 40 mohm: 93.6 mohm, of
    # which half, cut to a thousandth of a count, moves the limits: what is left is the larger side
    "a box, its leads left in": (
        OHMS, {"apply": "5 kohm"}, [box(("5 kohm", "5 kohm", "0.1 ohm"))], {"leads": LEADS},
        {"Auk box, its accuracy": (0.1, 1),
         LEFT: (0.052 * 1.03144 + 0.04 - 0.046, 1), DISPLAY: (0.5, 1)}),
    # The leads of 6 kohm are read on 600 ohm, where 5 counts of 0.1 ohm may be off at zero.
    "a box, its leads read on a lower range": (
        OHMS, {"apply": "5 kohm"}, [box(("5 kohm", "5 kohm", "0.1 ohm"))],
        {"leads": LEADS | {"contacts": "0.6 ohm"}},
        {"Auk box, its accuracy": (0.1, 1), "reading of the leads alone, half a count": (0.05, -1),
         "leads, plugged again": (0.01, 1),
         "the meter’s own zero on the 600\u00a0Ω range": (0.5, -1), DISPLAY: (0.5, 1)}),
    # 35 ppm of 3 V, 5 ppm of 10 V and three times 10 uV; half of 10 uV
    "a reference meter": (
        VOLTS, {"apply": "3 V", "compare_on": "a bench supply"},
        [reference(("DC voltage", {"values": "0 V to 10 V", "range": "10 V", "resolution": "10 uV",
                                   "within": "35 ppm of reading + 5 ppm of range + 3 counts"}))],
        {},
        {"Skua, its accuracy": (185e-6, 1), "Skua, its resolution": (5e-6, 1),
         DISPLAY: (0.0005, 1)}),
    # 54 A is 1.08 A 50 times: 0.1 % of it and 2 mA; 0.4 % of 54 A and 20 mA
    "a coil": (
        AMPS, {"apply": "54 A", "frequency": "50 Hz"},
        [standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz",
                                  "within": "0.1 % + 2 mA"}}, stated="plain limits"),
         coil(within="0.4 % + 20 mA")], {},
        {"Petrel, its accuracy": (0.00308, 50),
         "Scoter coil: turns, position in the jaw, return conductor": (0.236, 1),
         DISPLAY: (0.005, 1)}),
}


@pytest.mark.parametrize("way", WAYS)
def test_each_line_has_its_name_and_its_size(way, tmp_path):
    """All lines of a way, in the order of the budget; the sizes are worked out above each. What the
    standard states is its first line, as the point moves with it: 50 · 3.08 mA for a coil."""
    one, point, by, more, expected = WAYS[way]
    planned = only_point(tmp_path, one, point, by, **more)
    found = lines_of(planned)
    assert list(found) == list(expected)
    for name, numbers in expected.items():
        assert found[name] == pytest.approx(numbers, rel=1e-9), name
    accuracy, moves = next(iter(expected.values()))
    assert planned.sure.standard_accuracy == pytest.approx(accuracy * moves, rel=1e-9)


@pytest.mark.parametrize("unit, apply, degree, microvolts, half", [
    ("degC", "100 degC", "°C", "41.37", 0.3), ("degF", "212 degF", "°F", "22.98", 0.54)])
def test_the_lines_of_a_thermocouple_say_how_volts_became_degrees(unit, apply, degree, microvolts,
                                                                  half, tmp_path):
    """Type K at 100 °C, by another program: 3.177 mV more than at 23 °C, of which 0.02 % and 2 µV
    are 2.6354 µV; and 41.3686 µV/°C, so 22.9825 µV/°F. A drift just under 2.635 µV is shown as
    2.63 µV. The junction is within ±0.54 °F, ±0.3 °C, at 40.4439 µV/°C."""
    by = volts({"values": "0 mV to 200 mV", "within": "0.02 % + 2 uV", "drift": "2.634999 uV"})
    found = lines_of(only_point(tmp_path, kelvins(unit), {"apply": apply}, [by],
                                junction=JUNCTION | {"within": "0.54 degF"}))
    over = f"µV over {microvolts} µV/{degree})"
    assert list(found) == [
        f"Petrel, its accuracy (2.64 {over}", f"Petrel, its drift (2.63 {over}",
        "temperature of the junction, thermometer at the V jack",
        "millivolts as tabled, one microvolt", "thermal voltages of leads and jacks", DISPLAY]
    per = 41.36857e-6 / (1.8 if unit == "degF" else 1)
    sizes = [size for name, (size, _) in found.items() if "µV over" in name or "tabled" in name]
    (junction,) = [numbers for name, numbers in found.items() if "junction" in name]
    assert junction == pytest.approx((half, 40.44387 / 41.36857), rel=1e-5)
    assert sizes == pytest.approx([2.6354e-6 / per, 2.634999e-6 / per, 1e-6 / per], rel=1e-5)


# ---------------------------------------------------------------- where two rows meet

@pytest.mark.parametrize("upper, larger", [
    # 3² + 3² < 5², though 3 + 3 > 5
    ({"within": "3 mV", "drift": "3 mV"}, [0.005]),
    # 3.8² + 3.8² > 5², though 3.8³ + 3.8³ < 5³
    ({"within": "3.8 mV", "drift": "3.8 mV"}, [0.0038, 0.0038]),
])
def test_the_larger_row_is_that_with_the_larger_sum_of_squares(upper, larger, tmp_path):
    """At 2 V both rows hold, and all is stated in plain limits: 5 mV alone against two lines."""
    by = volts({"values": "0 V to 2 V", "within": "5 mV"}, {"values": "2 V to 10 V"} | upper)
    point = only_point(tmp_path, VOLTS, {"apply": "2 V"}, [by])
    assert [line.value for line in point.sure.components] == pytest.approx([*larger, 0.0005])
    assert point.sure.standard_accuracy == pytest.approx(larger[0])
