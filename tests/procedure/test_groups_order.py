"""In which order the points of a group stand, what stands before and after them, what splits
groups, and where leads are read alone."""

import pytest

from builder.drawing.connections import Lead
from tests.small_shop import (LEADS, box, function, load, load_points, load_with, meter, plan,
                              range_, reference, row, standard, the_procedure)

VOLTS = function("DC voltage", range_("600 mV", "0.1 mV", "1 %"), range_("6 V", "1 mV", "1 %"),
                 range_("60 V", "10 mV", "1 %"), range_("600 V", "0.1 V", "1 %"))
BAND = [row("1 %", frequency="40 Hz to 1 kHz")]
AC = function("AC voltage", range_("6 V", "1 mV", BAND), range_("60 V", "10 mV", BAND))
AMPS = function("DC current", range_("10 A", "10 mA", "1 %"), jacks=["A", "COM"])
MILLI = function("DC current", range_("600 mA", "0.1 mA", "1 %"), jacks=["mA", "COM"])
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "1 % + 5 counts"),
                range_("6 kohm", "1 ohm", "1 % + 2 counts"))
BOX = box(*((f"{n} ohm", f"{n} ohm", "1 mohm") for n in (10, 100, 500, 1000, 5000)))


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def shown(group) -> list[str]:
    return [plain(point.apply) for point in group.points]


# ---------------------------------------------------------------- within a group

def test_values_rise_range_by_range_and_observations_follow(tmp_path):
    """The lowest range first, on it from the smallest value up whatever its sign, plus before
    minus; then what is only looked at, which a zero precedes; then ranges selected by hand."""
    (group,) = the_procedure(load_points(
        tmp_path, VOLTS, {"apply": "1 V", "force_range": "60 V"}, {"apply": "1 V", "observe": "x"},
        {"apply": "0 V", "observe": "drift"},
        {"apply": ["30 V", "-3 V", "3 V", "1 V", "-300 mV", "300 mV"]})).groups
    assert shown(group) == ["0.0 mV", "300.0 mV", "−300.0 mV", "1.000 V", "3.000 V", "−3.000 V",
                            "30.00 V", "1.000 V", "1.00 V"]
    assert [bool(p.observe) for p in group.points] == [True, *[False] * 6, True, False]
    assert [p.forced for p in group.points] == [*[False] * 8, True]
    assert [p.step for p in group.points] == [f"1.{n}" for n in range(1, 10)]
    assert plain(group.title) == "DC voltage, up to 30 V"


def test_frequencies_rise_within_a_range(tmp_path):
    """A source goes through all values of a frequency before the next, on one range and then the
    other; a sine is seen before a square wave."""
    waves = standard({}, outputs=[
        {"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
         "rows": [{"values": "0 V to 30 V", "frequency": "10 Hz to 100 kHz", "within": "0.1 %"}]}
        for wave in ("sine", "square", "triangle")])
    (group,) = the_procedure(load_points(
        tmp_path, AC, {"apply": "2 V", "frequency": "60 Hz", "wave": "triangle"},
        {"apply": "3 V", "frequency": "60 Hz", "wave": "square"},
        {"apply": ["20 V", "3 V", "2 V"], "frequency": ["400 Hz", "50 Hz"]},
        standards=[waves])).groups
    assert [(plain(p.apply), plain(p.at), p.planned.wave)
            for p in group.points] == [
        ("2.000 V", "50 Hz", ""), ("3.000 V", "50 Hz", ""), ("2.000 V", "400 Hz", ""),
        ("3.000 V", "400 Hz", ""), ("20.00 V", "50 Hz", ""), ("20.00 V", "400 Hz", ""),
        ("3.000 V", "60 Hz", "square"), ("2.000 V", "60 Hz", "triangle")]


@pytest.mark.parametrize("apply, top", [
    (["-5 V", "3 V"], "5 V"), (["300 mV", "3 V"], "3 V"), (["300 mV", "100 mV"], "300 mV"),
    (["0 V"], "0 mV"), (["50 V", "-20 V"], "50 V")])
def test_a_title_names_the_largest_value(apply, top, tmp_path):
    """Without its sign, in the unit of its range."""
    (group,) = the_procedure(load_points(tmp_path, VOLTS, {"apply": apply})).groups
    assert plain(group.title) == f"DC voltage, up to {top}"


# ---------------------------------------------------------------- before and after

def test_a_live_group_says_so_and_what_guards_it(tmp_path):
    """In its title, with the warnings, and with plugs home and hands off before the source is
    on."""
    *_, group = the_procedure(load_points(tmp_path, VOLTS, {"apply": ["100 V", "-500 V"]})).groups
    assert plain(group.title) == "DC voltage, hazardous live, up to 500 V" and group.live is True
    assert [caution.code for caution in group.cautions] == ["live-voltage", "no-rating"]
    assert [step.code for step in group.steps_before][-4:] == [
        "plugs-home", "source-isolated", "hands-off", "source-on"]
    assert group.connection.leads == (Lead("V", True, 0, "HI"), Lead("COM", False, 0, "LO"))


@pytest.mark.parametrize("one, apply, cautions", [
    (MILLI, "300 mA", ["current-jacks"]), (AMPS, "3 A", ["current-jacks"]), (VOLTS, "3 V", [])])
def test_a_group_that_is_not_live(one, apply, cautions, tmp_path):
    """Currents have the caution of their jacks, low voltages none; nobody is told to keep hands off
    either."""
    group = next(made for made in the_procedure(load_points(tmp_path, one, {
        "apply": apply})).groups if made.points)
    assert [caution.code for caution in group.cautions] == cautions and group.live is False
    assert not {"plugs-home", "hands-off"} & {step.code for step in group.steps_before}


@pytest.mark.parametrize("by_hand", [True, False])
def test_a_range_selected_by_hand_is_left_again(by_hand, tmp_path):
    """The group after it goes back to automatic ranges, and needs no such step otherwise."""
    force = [{"function": "DC voltage", "apply": "1 V", "force_range": "60 V"}] if by_hand else []
    left_out = [{"function": f, "because": "not part of this test"}
                for f in ("DC voltage", "AC voltage")]
    first, after = the_procedure(load(tmp_path, meter(VOLTS, AC), plan(
        *force, {"function": "DC voltage", "apply": "3 V"},
        {"function": "AC voltage", "apply": "3 V", "frequency": "50 Hz"},
        left_out=left_out))).groups
    assert "Range: automatic" not in first.opening
    assert ("Range: automatic" in after.opening) is by_hand


@pytest.mark.parametrize("one, point, unit", [
    (VOLTS, {"apply": ["100 V", "500 V"]}, "mV"),   # back on the lowest range, 600 mV
    (VOLTS, {"apply": "100 V", "force_range": "600 V"}, "V"),
    (VOLTS, {"apply": "50 V"}, ""),
    (function("frequency", range_("6 kHz", "1 Hz", "1 %")), {"apply": "1 kHz", "level": "50 V"},
     "V"),
])
def test_the_unit_near_zero_at_the_end_of_a_live_group(one, point, unit, tmp_path):
    """That of the lowest range, to which the meter goes back, or of the one held by hand; a counter
    is read on volts; a group that isn't live has no such reading."""
    *_, group = the_procedure(load_points(tmp_path, one, point)).groups
    assert group.near_zero == unit and group.live is bool(unit)


def test_the_leads_come_off_once_at_the_end(tmp_path):
    """After the last points, also where checks follow; nowhere before."""
    groups = the_procedure(load(tmp_path, meter(VOLTS), plan(
        {"function": "DC voltage", "apply": ["3 V", "100 V"]}, checks=["case", "closing up"],
        left_out=[{"function": "DC voltage", "because": "not part of this test"}]))).groups
    off = ("Leads: off the source first, then off the meter", "Meter: off")
    assert [group.stage for group in groups] == [
        "by eye", "voltage", "hazardous voltage", "closing"]
    assert [any(step in group.closing for step in off) for group in groups] == [
        False, False, True, False]
    assert groups[2].closing == ("Source: to 0 V", "Source: standby", *off)


def test_a_plan_of_checks_alone(tmp_path):
    """Without points there are no leads to take off."""
    procedure = the_procedure(load(tmp_path, meter(VOLTS), plan(
        checks=["case"], left_out=[{"function": "DC voltage", "because": "no source"}])))
    assert [(g.stage, g.closing) for g in procedure.groups] == [("by eye", ())]


@pytest.mark.parametrize("level, stage", [("999 mA", "milliamps"), ("1 A", "amps")])
def test_a_counted_current_is_milliamps_or_amps_by_its_level(level, stage, tmp_path):
    """The counter's own range is in hertz and says nothing of the current; 1 A are amps."""
    one = function("frequency", range_("6 kHz", "1 Hz", "1 %"), signal="current",
                   jacks=["A", "COM"])
    by = standard({"frequency": {"values": "1 Hz to 10 kHz", "level": "1 mA to 5 A"}})
    groups = the_procedure(load_points(tmp_path, one, {"apply": "1 kHz", "level": level},
                                       standards=[by])).groups
    assert [group.stage for group in groups] == [stage, "proving"]


# ---------------------------------------------------------------- leads alone

def test_leads_are_read_alone_on_the_lowest_range_first(tmp_path):
    """A manual function has a reading of the leads for each range, in one group before the points,
    at 0 V and no hazard; each point names its own."""
    alone, after = the_procedure(load_points(
        tmp_path, OHMS | {"ranging": "manual"}, {"apply": ["1 kohm", "100 ohm"]}, standards=[BOX],
        plan_more={"leads": LEADS | {"contacts": "600 mohm"}})).groups
    assert [(p.step, p.id) for p in alone.points] == [
        ("1.1", "res-600Ohm-leads-together"), ("1.2", "res-6kOhm-leads-together")]
    assert [(p.step, p.zero) for p in after.points] == [
        ("2.1", "res-600Ohm-leads-together"), ("2.2", "res-6kOhm-leads-together")]
    assert (alone.number, alone.stage, alone.live, alone.jacks) == (
        1, "inputs", False, ("V", "COM"))
    assert alone.title == "Resistance, leads together" and alone.connection.together
    assert alone.opening == (
        "Meter: select resistance", "Meter: relative, hold, filter off",
        "Leads: in V and COM, far ends plugged together",
        "Range: select each by hand, as the row says")
    assert [p.zero for p in alone.points] == ["", ""] and (alone.layout, after.layout) == (
        "", "corrected")


def test_one_reading_of_the_leads_serves_two_groups(tmp_path):
    """Two boxes at the same leads: read once, before the first of both; a second reading would be
    another row of the same name."""
    other = box(("300 ohm", "300 ohm", "1 mohm"), standard="razor-box", name="Razor box")
    groups = the_procedure(load_points(tmp_path, OHMS, {"apply": ["100 ohm", "300 ohm"]},
                                       standards=[BOX, other], plan_more={"leads": LEADS})).groups
    assert [[p.id for p in group.points] for group in groups] == [
        ["res-600Ohm-leads-together"], ["res-600Ohm-100.0Ohm"], ["res-600Ohm-300.0Ohm"]]
    assert {p.zero for group in groups[1:] for p in group.points} == {"res-600Ohm-leads-together"}


def test_corrected_readings_come_before_the_others_of_their_setting(tmp_path):
    """At 5 kΩ the leads' 0.094 Ω are under half a count, 0.5 Ω, and are forgotten. The plan lists
    that point first; the leads are read, used, and only then left in."""
    groups = the_procedure(load_points(tmp_path, OHMS, {"apply": ["5 kohm", "100 ohm"]},
                                       standards=[BOX], plan_more={"leads": LEADS})).groups
    assert [[p.id for p in group.points] for group in groups] == [
        ["res-600Ohm-leads-together"], ["res-600Ohm-100.0Ohm"], ["res-6kOhm-5.000kOhm"]]
    assert [group.layout for group in groups] == ["", "corrected", ""]


def test_compared_points_have_a_group_of_their_own(tmp_path):
    """Another method at the same jacks splits groups, since its table has other columns."""
    skua = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                     "within": "0.1 %"}))
    groups = the_procedure(load_with(tmp_path, meter(VOLTS), plan(
        {"function": "DC voltage", "apply": "3 V", "compare_on": "a bench supply"},
        {"function": "DC voltage", "apply": ["1 V", "2 V"]},
        left_out=[{"function": "DC voltage", "because": "not part of this test"}]),
        standard(), skua)).groups
    assert sorted((group.layout, len(group.points)) for group in groups) == [
        ("", 2), ("reference", 1)]
