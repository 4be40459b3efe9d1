"""What a sheet's work needs: each number follows from the plan's points."""

import pytest

from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load_with, meter, plan, range_,
                              reference, row, standard, the_procedure, thermometer)

LOW = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
                 range_("600 V", "0.1 V", "0.5 % + 2 counts"), dial="V DC")
AMPS = function("DC current", range_("6 A", "1 mA", "1 % + 3 counts"), jacks=["A", "COM"])
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))


def plain(text) -> str:
    return str(text).replace("\u00a0", " ").replace("\u202f", " ")


def sheet(folder, ones, points, *standards, **more):
    return the_procedure(load_with(folder, meter(*ones), plan(*points, **more),
                                   *(standards or (standard(),))))


def able(procedure) -> dict[str, list[str]]:
    return {one.name: [plain(f"{output} {reach}") for output, reach, _ in one.outputs]
            for one in procedure.equipment}


def test_a_source_must_reach_what_the_plan_asks_for(tmp_path):
    """Not what it can do: the highest value either way, with the frequencies that are used."""
    made = sheet(tmp_path, [VOLTS], [{"function": "DC voltage", "apply": ["3 V", "-540 V"]}])
    assert able(made) == {"Petrel": ["DC voltage up to 540 V"]}
    assert "Leads: shrouded, plug to plug, rated for 540 V or more" in map(plain, made.things)


def test_a_box_is_needed_for_its_values_alone(tmp_path):
    """Those that are used; no other box stands in, whatever its uncertainty, since the limits are
    those of its certified values."""
    made = sheet(tmp_path, [OHMS], [{"function": "resistance", "apply": "100 ohm"}],
                 box(("100 ohm", "100.01 ohm", "5 mohm"), ("500 ohm", "500.1 ohm", "5 mohm")),
                 leads=LEADS)
    assert able(made) == {"Auk box": ["Resistance 100 Ω"]}
    assert [plain(said) for _, said in made.instead] == [
        "No other one may stand in: the limits are those of its certified values."]


@pytest.mark.parametrize("more, said", [
    ({"minimum_tur": "4"}, "with a test uncertainty ratio of 4:1 or better."),
    ({}, "with no larger uncertainty."),
    ({"decision_rule": "guard band of U", "minimum_tur": "4"},
     "No other one may stand in: the limits depend on its uncertainty."),
])
def test_another_source_stands_in_where_the_limits_allow_it(more, said, tmp_path):
    """With a guard band the limits are of this source; else the plan's ratio decides."""
    made = sheet(tmp_path, [LOW], [{"function": "DC voltage", "apply": "3 V"}], **more)
    ((names, words),) = made.instead
    assert names == "Petrel" and plain(words).endswith(said)


def test_a_coil_and_its_leads_carry_the_current_in_the_wire(tmp_path):
    """90 A through 50 turns are 1.8 A in the wire."""
    clamp = function("AC current", range_("600 A", "0.1 A", [
        row("2 % + 5 counts", frequency="45 Hz to 400 Hz")]))
    del clamp["jacks"]
    clamp["clamp"] = True
    source = standard({}, outputs=[{"output": "AC current", "terminals": ["HI", "LO"], "rows": [
        {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz", "within": "0.1 %"}]}])
    made = sheet(tmp_path, [clamp],
                 [{"function": "AC current", "apply": "90 A", "frequency": "50 Hz"}],
                 source, coil())
    assert any("up to 1.8 A in its wire" in one for one in sum(able(made).values(), []))
    assert any(one.endswith("rated for 1.8 A or more") for one in map(plain, made.things))


def test_small_things_are_those_that_the_points_and_checks_need(tmp_path):
    """A thermometer for the ambient always; a junction's with how sure it must be; a part to
    compare on; a timer for the longest time; a second meter where a group is live; what the checks
    ask for, once."""
    low = sheet(tmp_path / "a", [LOW], [{"function": "DC voltage", "apply": "3 V"}])
    assert [plain(one).split(":")[0] for one in low.things] == ["Leads", "Thermometer"]
    live = sheet(tmp_path / "b", [VOLTS], [{"function": "DC voltage", "apply": ["3 V", "540 V"]}])
    assert "Second meter: rated for 540 V, with a known source to prove it" in map(
        plain, live.things)
    timed = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts", on_at_most="10 s",
                                          off_at_least="120 s"))
    assert "Timer: up to 120 s" in map(plain, sheet(
        tmp_path / "c", [timed], [{"function": "DC voltage", "apply": "3 V"}]).things)
    warm = function("temperature", range_("1300 degC", "1 degC", "0.5 % + 2 degC"),
                    name="temperature, type K", thermocouple="K", ranging="manual")
    made = sheet(tmp_path / "d", [warm], [{"function": "temperature, type K", "apply": "100 degC"}],
                 junction=JUNCTION)
    assert any(one.startswith("Junction: ") and "within" in one for one in map(plain, made.things))
    assert able(made) == {"Petrel": ["DC voltage up to 3.177 mV"]}
    compared = sheet(tmp_path / "e", [AMPS],
                     [{"function": "DC current", "apply": "3 A", "compare_on": "a supply"}],
                     reference(("DC current", {"values": "0 A to 10 A", "range": "10 A",
                                               "resolution": "10 uA", "within": "0.02 %"})))
    assert "a supply" in map(plain, compared.things)


def test_a_thermometer_is_a_standard_where_the_plan_names_one(tmp_path):
    """With the band that it must show, its certificate and due date; then none stands among the
    small things. Another one stands in that is as good."""
    plain_one = sheet(tmp_path / "a", [LOW], [{"function": "DC voltage", "apply": "3 V"}])
    own = sheet(tmp_path / "b", [LOW], [{"function": "DC voltage", "apply": "3 V"}], standard(),
                thermometer(ambient="0.4 degC"), standards=["petrel", "dotterel"])
    assert able(own)["Dotterel"] == ["Ambient 18 to 28 °C"]
    kinds = [[plain(one).split(":")[0] for one in made.things] for made in (plain_one, own)]
    assert "Thermometer" in kinds[0] and "Thermometer" not in kinds[1]
    assert any("Dotterel" in names and "no larger uncertainty" in plain(said)
               for names, said in own.instead)
    assert own.sheet_data.standards[-1].reads == ("ambient",)
    assert own.revision != plain_one.revision
