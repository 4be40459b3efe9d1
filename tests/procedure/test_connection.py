"""What is connected to what in a group, for its drawing: every lead from a jack to a terminal."""

import pytest

from builder.drawing.connections import DrawnCoil, Lead, Link
from builder.procedure.connection import jacks_of
from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load, load_with, meter, plan,
                              range_, reference, row, standard, the_procedure)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
AMPS = function("DC current", range_("6 A", "1 mA", "1 % + 3 counts"), jacks=["A", "COM"])
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
BOX = box(("50 ohm", "50.01 ohm", "5 mohm"))


def of(folder, one: dict, point: dict, *standards: dict, **more) -> list:
    """The connection of each group with points."""
    made = load_with(folder, meter(one), plan({"function": one["function"]} | point, **more),
                     *(standards or (standard(),)))
    return [group.connection for group in the_procedure(made).groups if group.points]


def test_a_source(tmp_path):
    """The first jack to the first terminal is the high side; all terminals of the standard are
    shown, and what it is."""
    (found,) = of(tmp_path, VOLTS, {"apply": "3 V"})
    assert (found.meter, found.jacks, found.dial) == ("Lapwing 1", ("V", "COM"), "V DC")
    (device,) = found.devices
    assert (device.name, device.note, device.terminals) == (
        "Petrel", "invented source", ("HI", "LO"))
    assert found.leads == (Lead("V", True, 0, "HI"), Lead("COM", False, 0, "LO"))
    assert found.links == () and found.coil is None and not found.together


def test_every_terminal_of_the_standard_is_shown_once(tmp_path):
    """So that a wrong pair is seen as one: those of other outputs stand there too."""
    by = standard({}, outputs=[
        {"output": "DC voltage", "terminals": ["HI", "LO"],
         "rows": [{"values": "0 V to 10 V", "within": "0.1 %"}]},
        {"output": "DC current", "terminals": ["I", "LO"],
         "rows": [{"values": "0 A to 1 A", "within": "0.1 %"}]}])
    (found,) = of(tmp_path, VOLTS, {"apply": "3 V"}, by)
    assert found.devices[0].terminals == ("HI", "LO", "I")
    assert [lead.terminal for lead in found.leads] == ["HI", "LO"]


def test_the_leads_alone_and_then_the_box(tmp_path):
    """Far ends together at nothing, then jack by jack at the box; a box with a setting of its own
    for zero takes part in both."""
    alone, after = of(tmp_path / "a", OHMS, {"apply": "50 ohm"}, BOX, leads=LEADS)
    assert alone.leads == (Lead("V", True), Lead("COM", False)) and alone.together
    assert alone.devices == ()
    assert after.leads == (Lead("V", True, 0, "A"), Lead("COM", False, 0, "B"))
    assert after.devices[0].name == "Auk box" and not after.together
    at_zero, _ = of(tmp_path / "b", OHMS, {"apply": "50 ohm"},
                    box(("50 ohm", "50.01 ohm", "5 mohm"), zero="its zero setting"), leads=LEADS)
    assert at_zero.devices[0].note == "at its zero setting" and not at_zero.together
    assert at_zero.leads == (Lead("V", True, 0, "A"), Lead("COM", False, 0, "B"))


def test_voltages_side_by_side(tmp_path):
    """Both meters on the same two terminals: the meter's leads end at the reference meter, whose
    terminals go to the supply, high to high and low to low."""
    by = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                   "within": "0.1 %"}))
    (found,) = of(tmp_path, VOLTS, {"apply": "3 V", "compare_on": "a bench supply"}, by)
    assert [one.name for one in found.devices] == ["A bench supply", "Skua"]
    assert found.leads == (Lead("V", True, 1, "H"), Lead("COM", False, 1, "L"))
    assert found.links == (Link(0, "+", 1, "H", True), Link(0, "−", 1, "L", False))


def test_currents_in_one_loop(tmp_path):
    """Supply + to the reference meter, through it to the meter, and back to −: every terminal has
    one lead, so all of the current goes through both."""
    by = reference(("DC current", {"values": "0 A to 10 A", "resolution": "10 uA",
                                   "within": "0.1 %"}))
    (found,) = of(tmp_path, AMPS, {"apply": "3 A", "compare_on": "a bench supply"}, by)
    assert found.links == (Link(0, "+", 1, "H", True),)
    assert found.leads == (Lead("A", True, 1, "L"), Lead("COM", False, 0, "−"))
    ends = [(0, "+"), (1, "H"), *((one.device, one.terminal) for one in found.leads)]
    assert len(set(ends)) == 4


def test_a_part_that_each_measures_by_itself(tmp_path):
    """Resistances are no matter of two meters at once: the part alone, with what comes first."""
    by = reference(("resistance", {"values": "1 ohm to 1 kohm", "resolution": "1 mohm",
                                   "within": "0.1 %"}))
    point = {"apply": "100 ohm", "compare_on": "a resistor", "zero": "relative"}
    found = of(tmp_path, OHMS | {"relative": "the delta key"}, point, by, leads=LEADS)[-1]
    (part,) = found.devices
    assert (part.name, part.note) == ("A resistor", "first on Skua, then on the meter")
    assert found.leads == (Lead("V", True, 0, "+"), Lead("COM", False, 0, "−"))
    assert found.links == ()


def test_a_coil_in_the_jaw(tmp_path):
    """No lead goes to the meter: source and coil make the circuit, and the jaw closes around it."""
    clamp = {"function": "AC current", "clamp": True, "dial": "A AC", "ranges": [
        range_("60 A", "10 mA", [row("2 % + 5 counts", frequency="45 Hz to 65 Hz")],
               lowest="3 A")]}
    by = standard({"AC current": {"values": "0 A to 20 A", "frequency": "40 Hz to 1 kHz"}})
    (found,) = of(tmp_path, clamp, {"apply": "50 A", "frequency": "50 Hz"}, by, coil())
    assert found.coil == DrawnCoil(50, 0, "HI", "LO") and found.leads == ()
    assert [one.name for one in found.devices] == ["Petrel"] and found.jacks == ()


def test_a_thermocouple_input(tmp_path):
    """Copper leads from a source of millivolts, and a thermometer at the jack that the plan's words
    name; at the high side's where they name none or several."""
    kelvins = function("temperature", range_("400 degC", "0.1 degC", "1 % + 1 degC"),
                       thermocouple="K")
    (found,) = of(tmp_path, kelvins, {"apply": "100 degC"}, junction=JUNCTION)
    assert (found.thermometer, found.note) == ("thermometer at the V jack", "copper leads")
    assert found.leads == (Lead("V", True, 0, "HI"), Lead("COM", False, 0, "LO"))
    for n, (measured, jack) in enumerate((
            ("thermometer at the V jack", "V"), ("probe bound to the COM jack", "COM"),
            ("Siskin, between the jacks", "V"), ("by the mV jack", "V"),
            ("the COM jack, then the V jack", "V"))):
        (found,) = of(tmp_path / str(n), kelvins, {"apply": "100 degC"},
                      junction=JUNCTION | {"measured": measured})
        assert found.thermometer_at == jack


def test_rather_no_drawing_than_a_wrong_one(tmp_path):
    """Four terminals at a meter with two jacks don't pair, so nothing is drawn."""
    four = standard({}, outputs=[{"output": "DC voltage", "terminals": ["HI", "LO", "S+", "S-"],
                                  "rows": [{"values": "0 V to 10 V", "within": "0.1 %"}]}])
    assert of(tmp_path, VOLTS, {"apply": "3 V"}, four) == [None]


@pytest.mark.parametrize("named, jacks", [
    ({}, ("V", "COM", "A")), ({"jacks": ["A", "mA", "COM", "V"]}, ("A", "mA", "COM", "V"))])
def test_the_jacks_as_they_stand_on_the_meter(named, jacks, tmp_path):
    """As the file has them, or else in the order in which functions name them, each once."""
    shop = load(tmp_path, meter(VOLTS, AMPS, **named))
    assert jacks_of(shop.meters["lapwing-1"]) == jacks
