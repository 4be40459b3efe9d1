"""What no standard of the plan reaches: who is named in the refusal, and what a plan may accept."""

import pytest

from tests.small_shop import (box, codes, coil, function, load_points, load_with, meter,
                              only_problem, plan, range_, reference, row, standard, the_procedure)

VOLTS = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
                 range_("6 V", "1 mV", "0.4 % + 2 counts"))
AC = function("AC voltage", range_("6 V", "1 mV", [row("1 % + 3 counts",
                                                       frequency="40 Hz to 1 kHz")]))
COUNTER = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"))
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
                range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))
KELVINS = function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"),
                   display="20 000 counts", ranging="manual")
CLAMP = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="3 A"),
    range_("600 A", "0.1 A", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="3 A")]}
ON = {"compare_on": "a part from the drawer"}


def petrel(what="DC voltage", **one) -> dict:
    """A source of 0 V to 2 V, or of what is given."""
    return standard({what: {"values": "0 V to 2 V"} | one})


def gannet(what="DC voltage", **one) -> dict:
    """A second source, of 0 V to 1 V or of what is given."""
    return standard({what: {"values": "0 V to 1 V"} | one}, standard="gannet", name="Gannet")


def boxes(*entries: list) -> dict:
    """One box with several entries of resistances without leads."""
    made = [box(*((v, v, "1 mohm") for v in values), zero="none") for values in entries]
    return made[0] | {"artifacts": [a for one in made for a in one["artifacts"]]}


BURSTS = petrel("frequency", values="1 Hz to 5 kHz", level="1 V to 5 V")
AMPS = standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz"}})
AT_50 = {"apply": "54 A", "frequency": "50 Hz"}

REFUSED = [
    # two sources, both named, each with its reach
    (VOLTS, {"apply": "5 V"}, [petrel(), gannet()],
     "5 V is beyond the reach of Petrel and Gannet", "Petrel and Gannet reach 0 to 2 V; 0 to 1 V"),
    # one that is named is asked alone
    (VOLTS, {"apply": "1.5 V", "standard": "gannet"}, [petrel(), gannet()],
     "1.5 V is beyond the reach of Gannet", "Gannet reaches 0 to 1 V"),
    # of one box both entries, but its name once
    (OHMS, {"apply": "300 ohm"}, [boxes(["100 ohm", "200 ohm"], ["1 kohm"])],
     "300 Ω is beyond the reach of Auk box", "Auk box reaches 100 Ω, 200 Ω; 1 kΩ"),
    # a frequency, and the level of a signal
    (AC, {"apply": "1 V", "frequency": "500 Hz"},
     [petrel("AC voltage", frequency="40 Hz to 400 Hz")],
     "1 V at 500 Hz is beyond the reach of Petrel", "Petrel reaches 0 to 2 V at 40 to 400 Hz"),
    (COUNTER, {"apply": "1 kHz", "level": "6 V"}, [BURSTS],
     "1 kHz with 6 V is beyond the reach of Petrel", "Petrel reaches 1 Hz to 5 kHz with 1 to 5 V"),
    # nothing of the kind
    (AC, {"apply": "1 V", "frequency": "50 Hz", "wave": "square"},
     [petrel("AC voltage", frequency="40 Hz to 400 Hz"), gannet()],
     "Petrel and Gannet can't put out AC voltage as a square wave", "name a standard that can"),
    (KELVINS | {"thermocouple": "K"}, {"apply": "100 degC"},
     [petrel("DC current", values="0 A to 1 A"), gannet("DC current", values="0 A to 1 A")],
     "Petrel and Gannet can't put out DC voltage", "name a standard that can"),
    (KELVINS, {"apply": "100 degC"}, [petrel()],
     "the meter's file doesn't say which type of thermocouple this function is for",
     "write 'thermocouple: K' at the function"),
    # compared with a reference meter
    (VOLTS, {"apply": "1 V"} | ON, [petrel(), gannet()],
     "there is no reference meter among Petrel and Gannet", "name one under 'standards'"),
    (VOLTS, {"apply": "1 V"} | ON,
     [petrel(), reference(("resistance", {"values": "0 ohm to 1 kohm", "resolution": "1 mohm",
                                          "within": "0.01 %"}))],
     "Skua can't measure DC voltage", "name a reference meter that can"),
    (VOLTS, {"apply": "1 V"} | ON,
     [petrel(), reference(("DC voltage", {"values": "0 V to 1 V", "resolution": "10 uV",
                                          "within": "0.01 %"}))],
     "1 V is beyond the reach of Skua", "Skua reaches 0 to 1 V"),
    # through a coil: 50 times half an ampere, at the coil's frequencies, from a source of currents
    (CLAMP, AT_50, [AMPS, gannet()],
     "a clamp-on meter is checked with a coil, and there is none among Petrel and Gannet",
     "name one under 'standards'"),
    (CLAMP, AT_50, [AMPS, coil(highest="0.5 A")],
     "54 A at 50 Hz is beyond Scoter coil, which reaches 25 A", "choose a lower value"),
    (CLAMP, AT_50 | {"frequency": "500 Hz"}, [AMPS, coil()],
     "54 A at 500 Hz is beyond Scoter coil, which reaches 40 to 400 Hz", "choose a lower value"),
    (CLAMP, AT_50, [petrel(), coil()],
     "Petrel and Scoter coil can't put out AC current", "name a standard that can"),
    (CLAMP, {"apply": "10.01 A", "frequency": "50 Hz"}, [AMPS, coil(turns="3")],
     "10.01 A is no finite number of amperes through the turns of Scoter coil",
     "choose a multiple of the turns"),
    (CLAMP, {"apply": "101 A", "frequency": "50 Hz"}, [AMPS, coil()],
     "101 A at 50 Hz is beyond the reach of Petrel",
     "Petrel reaches 0 to 2 A at 40 Hz to 1 kHz, 50 times that through Scoter coil"),
]


@pytest.mark.parametrize("one, point, standards, sentence, hint", REFUSED)
def test_a_refusal_names_who_was_asked(one, point, standards, sentence, hint, tmp_path):
    """The whole sentence, with the standards that were asked and no others; the hint says what each
    of them reaches, or begins with what to do."""
    junction = {"junction": {"measured": "by hand", "within": "1 degC"}}
    found = only_problem(load_points(tmp_path, one, point, standards=standards,
                                     plan_more=junction if "thermocouple" in one else None))
    assert found.sentence.replace("\u00a0", " ") == sentence
    shown = found.hint.replace("\u00a0", " ")
    assert shown == hint if " reach" in hint else shown.startswith(hint)


@pytest.mark.parametrize("wave", [None, "triangle", "square"])
def test_an_output_is_taken_for_its_own_wave_alone(wave, tmp_path):
    """Whatever stands first in the source's file, a point gets the wave that it names, and a sine
    if it names none."""
    by = standard({}, outputs=[
        {"output": "AC voltage", "wave": one, "terminals": ["HI", "LO"],
         "rows": [{"values": "0 V to 10 V", "frequency": "40 Hz to 1 kHz", "within": "0.1 %"}]}
        for one in ("square", "sine", "triangle")])
    point = {"apply": "2 V", "frequency": "50 Hz"} | ({"wave": wave} if wave else {})
    (found,) = the_procedure(load_points(tmp_path, AC, point, standards=[by])).points
    assert found.planned.supply.output.wave == (wave or "sine")


# ---------------------------------------------------------------- what a plan accepts

def accepting(**more) -> dict:
    return {"accepted": [{"what": "out of reach", "because": "two in series"} | more]}


def test_an_accepted_point_keeps_its_source_without_a_row(tmp_path):
    """3 V of a source that ends at 2 V: its terminals and name are on the sheet, none of its rows
    is taken, and the point's limits are 3 V ± 14 mV."""
    procedure = the_procedure(load_points(tmp_path, VOLTS, {"apply": "3 V"},
                                          standards=[petrel(), gannet()], plan_more=accepting()))
    (point,), (data,) = procedure.points, procedure.data["points"]
    assert (data["kind"], data["accept"]["low"], data["accept"]["high"]) == (
        "source", "2.986 V", "3.014 V")
    assert point.mark.startswith("beyond the reach of Petrel") and point.planned.rows == ()
    assert "Leads: V to HI, COM to LO of Petrel" in procedure.groups[0].opening


def test_the_standard_that_reaches_is_taken_before_one_that_is_accepted(tmp_path):
    """1.5 V is beyond the first source and within the second, so nothing need be accepted."""
    (point,) = the_procedure(load_points(tmp_path, VOLTS, {"apply": "1.5 V"},
                                         standards=[gannet(), petrel()],
                                         plan_more=accepting())).points
    assert point.planned.standard.name == "Petrel" and point.mark == "" and point.sure


def test_a_value_that_a_box_lacks_is_never_accepted(tmp_path):
    """A box can be told to go beyond its reach, but not to have a value that it hasn't."""
    assert codes(load_points(tmp_path, OHMS, {"apply": "300 ohm"}, standards=[boxes(["100 ohm"])],
                             plan_more=accepting())) == ["beyond-reach"]


@pytest.mark.parametrize("more, code", [
    ({"standard": "petrel"}, []), ({"standard": "gannet"}, ["beyond-reach"]),
    ({"function": "DC voltage"}, []), ({"function": "AC voltage"}, ["beyond-reach"]),
    ({"function": "DC voltage", "range": "6 V"}, []),
    ({"function": "DC voltage", "range": "600 mV"}, ["beyond-reach"]),
])
def test_an_acceptance_holds_for_what_it_names(more, code, tmp_path):
    """3 V is on the 6 V range, and the first of the sources is the one that would put it out."""
    left_out = [{"function": "AC voltage", "because": "x"},
                {"function": "DC voltage", "range": "600 mV", "because": "x"}]
    shop = load_with(tmp_path, meter(VOLTS, AC),
                     plan({"function": "DC voltage", "apply": "3 V"}, left_out=left_out,
                          **accepting(**more)), petrel(), gannet())
    assert codes(shop) == code


@pytest.mark.parametrize("more, code", [
    ({}, None), ({"function": "AC current", "range": "600 A"}, None),
    ({"function": "AC current", "range": "60 A"}, "beyond-reach"),
])
def test_an_acceptance_goes_by_the_range_that_is_selected(more, code, tmp_path):
    """30 A through 50 turns are 0.6 A, of a source that ends at 0.5 A. With the 600 A range
    selected by hand an acceptance for that range holds, and one for the 60 A range doesn't."""
    weak = standard({"AC current": {"values": "0 A to 0.5 A", "frequency": "40 Hz to 1 kHz"}})
    shop = load_points(tmp_path, CLAMP,
                       {"apply": "30 A", "frequency": "50 Hz", "force_range": "600 A"},
                       standards=[weak, coil()], plan_more=accepting(**more))
    assert codes(shop) == ([code] if code else [])
    if code is None:
        procedure = the_procedure(shop)
        (point,), (data,) = procedure.points, procedure.data["points"]
        assert (data["kind"], data["source_setting"]) == ("coil", "0.6 A")
        assert point.mark == "beyond the reach of Petrel, accepted: two in series"
        assert any("HI to P, LO to Q of Scoter coil" in step
                   for step in procedure.groups[0].opening)
