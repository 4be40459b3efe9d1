"""The ticked steps around a group: what is set, connected and switched on, in which order."""

import pytest

from builder.procedure import steps
from builder.procedure.sentences import words
from tests.procedure.test_supplies_reference_meter import FARADS, ON, VOLTS, by
from tests.small_shop import (LEADS, box, function, load, load_points, meter,
                              plan, range_, row, standard, the_procedure)

PARTS = function("DC current",
                 range_("10 A", "10 mA",
                        [row("0.4 % + 5 counts", values="0 A to 5 A"),
                         row("0.8 % + 5 counts", values="5 A to 10 A")],
                        highest_reading="10.00 A"), jacks=["A", "COM"])
EARTHS = {"source-isolated", "supply-isolated", "one-earth", "one-earth-supply"}
LEADS_OFF = tuple(map(words, steps.LEADS_OFF))


def test_what_opens_and_closes_checks():
    """Inside the case and with the battery out: leads off first, covers closed at the end; what is
    at hand is named."""
    def opening(*given) -> tuple[str, ...]:
        return tuple(map(words, steps.check_opening(*given)))

    assert opening("opened") == opening("battery and fuses") == (
        "Leads: unplug from meter and source", "Meter: switch off")
    assert opening("by eye") == () == steps.check_closing("by eye")
    assert opening("inputs", ("a diode", "a fuse"))[-1] == "At hand: a diode, a fuse"
    assert steps.check_closing("opened") == steps.check_closing("battery and fuses")
    assert words(*steps.check_closing("opened")) == "Covers: close and fasten"


@pytest.mark.parametrize("one, ref, apply, opening, closing", [
    (PARTS, by("DC current", "0 A to 10 A", "10 uA", "0.1 %"), "3 A",
     "Leads: a bench supply, H and L of Skua, A and COM of the meter, all in series",
     "Supply: off"),
    (VOLTS, by(), "3 V",
     "Leads: V and COM of the meter and H and L of Skua side by side on a bench supply",
     "Supply: off"),
    (FARADS | {"method": "A"}, by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %", {"method": "A"}),
     "470 uF", "Skua: alone on a bench supply, H at its +, for the reading before",
     "Skua: leads off the part"),
])
def test_what_is_connected(one, ref, apply, opening, closing, tmp_path):
    """Currents in series, voltages side by side with the supply off before and after; a part is
    measured by each alone."""
    leads = {"leads": {"length": "1 m", "conductor": "1.0 mm2", "contacts": "1 mohm",
                       "repeats": "1 mohm", "stray": "100 pF", "stray_repeats": "5 pF"}}
    made = the_procedure(load_points(tmp_path, one, {"apply": apply} | ON, standards=[ref],
                                     plan_more=leads))
    group = next(one for one in made.groups if one.points)
    assert opening in group.opening and closing in group.closing
    if closing == "Supply: off":
        assert group.opening[0] == "Supply: off" and group.opening[-1] == "Supply: on"
    else:
        assert not any("Supply" in step or "Source" in step for step in group.opening)
        assert [step.code for step in group.steps_before][-7:] == [
            "discharged", "still-discharged", "reference-before", "discharged-again",
            "meter-alone-poled", "discharged-again", "reference-after"]
        assert group.opening[-7].replace("\u00a0", " ") == (
            "Capacitor: discharge it through 1 kΩ, 5 W, to under 5 V on a second meter, DC volts")


def test_a_discharge_is_proved_by_a_named_instrument(tmp_path):
    """The reference meter, where it reads DC volts."""
    skua = by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %", {"method": "A"})
    skua["measures"] += by()["measures"]
    (group,) = the_procedure(load_points(
        tmp_path, FARADS | {"method": "A"}, {"apply": "470 uF"} | ON, standards=[skua],
        plan_more={"leads": LEADS})).groups
    proofs = [step for step in group.opening if "discharge it" in step]
    assert len(proofs) == 3 and all("on Skua, DC volts" in step for step in proofs)


# ---------------------------------------------------------------- whole groups by hand

V_DC = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
                range_("600 V", "0.1 V", "0.5 % + 3 counts"), dial="V")
HIGH = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 3 counts"))
ISOLATED = {"rated": {"between_terminals": "1000 V", "CAT III": "600 V"}}
OFF = "Meter: relative, hold, filter, low-impedance off"


def groups_of(folder, one: dict, *points: dict, by=None, others=(), more=None, plan_more=None):
    made = load_points(folder, one, *points, standards=[by or standard()] + list(others),
                       plan_more=plan_more, **(more or {}))
    return [group for group in the_procedure(made).groups if group.points]


def test_a_low_voltage(tmp_path):
    """Source at rest, meter, leads, and only then the output; back to rest at the end."""
    (group,) = groups_of(tmp_path, V_DC, {"apply": "3 V"})
    assert group.opening == ("Source: 0 V, standby", "Meter: dial to V", OFF,
                             "Leads: V to HI, COM to LO of Petrel", "Source: output on")
    assert group.closing == ("Source: to 0 V", "Source: standby", *LEADS_OFF)


@pytest.mark.parametrize("apply, more, isolated", [
    ("540 V", ISOLATED, False), ("540 V", {}, True),
    ("540 V", {"rated": {"between_terminals": "1000 V", "CAT II": "300 V"}}, True)])
def test_a_hazardous_voltage(apply, more, isolated, tmp_path):
    """Switch-off, second person and area come first; plugs are looked at and hands are off before
    the output is on; the source is isolated where the meter's rating to earth doesn't cover the
    voltage, or isn't stated, and else has at most one earth."""
    (group,) = groups_of(tmp_path, V_DC, {"apply": apply}, more=more)
    earth = ("Source: output isolated from earth, no strap from LO to earth" if isolated
             else "Earth: at most one in this circuit, at LO of Petrel")
    assert group.opening[:4] == (
        "Bench: everyone here knows its switch-off",
        "Second person and protective equipment: as local rules ask",
        "Area: marked, other people outside", "Source: 0 V, standby")
    assert group.opening[6:] == ("Leads: V to HI, COM to LO of Petrel",
                                 "Plugs: home at both ends, shrouds whole", earth,
                                 "Hands: keep off",
                                 "Source: output on")
    assert group.title == "DC voltage, hazardous live, up to 540\u00a0V"


def test_before_the_first_live_group_alone(tmp_path):
    """Once a sheet: a second live group asks for none of it but, where its own voltage exceeds the
    rating to earth, for no earth at all."""
    rated = {"rated": {"between_terminals": "1000 V", "CAT II": "300 V"}}
    shop = load(tmp_path, meter(HIGH, function("AC voltage", range_(
        "600 V", "0.1 V", [row("1 % + 3 counts", frequency="40 Hz to 1 kHz")], lowest="30 V")),
        **rated), plan({"function": "DC voltage", "apply": "200 V"},
                       {"function": "AC voltage", "apply": "400 V", "frequency": "50 Hz"}))
    one, two = [[step.code for step in group.steps_before]
                for group in the_procedure(shop).groups if group.points]
    early = [step.code for step in steps.BEFORE_LIVE]
    assert len(early) == 3 and one[:3] == early and not set(early) & set(two)
    assert [code for code in (*one, *two) if code in EARTHS] == ["one-earth", "source-isolated"]


@pytest.mark.parametrize("more, code", [
    (ISOLATED, "one-earth-supply"),
    ({"rated": {"between_terminals": "1000 V"}}, "supply-isolated")])
def test_the_earth_of_a_supply(more, code, tmp_path):
    """A supply that a reference meter reads has as many earths as a source."""
    *_, group = the_procedure(load_points(
        tmp_path, HIGH, {"apply": "200 V"} | ON,
        standards=[by("DC voltage", "0 V to 1000 V", "1 mV", "0.1 %")], **more)).groups
    assert [step.code for step in group.steps_before if step.code in EARTHS] == [code]


def test_how_the_range_is_chosen(tmp_path):
    """By hand on every row where the meter has no automatic, else only where a row says so, and
    automatic again in a group that follows."""
    def said(*points, folder, **keys):
        found = groups_of(tmp_path / folder, V_DC | keys, *points, more=ISOLATED)
        return [[step for step in group.opening if step.startswith("Range")] for group in found]
    low, by_hand = {"apply": "3 V"}, {"apply": "1 V", "force_range": "600 V"}
    assert said(low, folder="a") == [[]]
    assert said(low, folder="b", ranging="manual") == [["Range: select each by hand, as the row "
                                                        "says"]]
    assert said(low, by_hand, folder="c") == [["Range: automatic, except where a row says by hand"]]
    assert said(by_hand, {"apply": "540 V"}, folder="d") == [
        ["Range: automatic, except where a row says by hand"], ["Range: automatic"]]


def test_a_current_rests_at_0_a(tmp_path):
    """And after the currents the lead goes back to the voltage jack, which a reading proves."""
    milli = function("DC current", range_("600 mA", "0.1 mA", "1 % + 3 counts"),
                     jacks=["mA", "COM"], dial="mA")
    (group,) = groups_of(tmp_path, milli, {"apply": "300 mA"})
    assert group.opening[0] == "Source: 0 A, standby"
    assert group.closing[:2] == ("Source: to 0 A", "Source: standby")


def test_a_key_that_is_pressed_is_left_again(tmp_path):
    """A function behind a key of the same dial position is chosen by it, and the function without
    it says which ones are no longer on."""
    hertz = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 2 counts"), dial="V",
                     keys="the Hz key")
    shop = load(tmp_path, meter(V_DC, hertz),
                plan({"function": "DC voltage", "apply": "3 V"},
                     {"function": "frequency", "apply": "1 kHz", "level": "3 V"},
                     left_out=[{"function": "DC voltage", "range": "600 V", "because": "x"}]))
    opening = {group.points[0].planned.function.title: group.opening
               for group in the_procedure(shop).groups if group.points}
    assert "Meter: leave frequency" in opening["DC voltage"]
    assert "Meter: the Hz key" in opening["frequency"]
    assert "Meter: relative, hold, filter off" in opening["frequency"]   # no low impedance there


def test_a_counter_can_show_0_with_a_voltage_at_its_terminals(tmp_path):
    """After a hazardous level the meter goes back to volts before anything is touched."""
    hertz = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 2 counts"), dial="Hz")
    closing = [groups_of(tmp_path / level, hertz, {"apply": "1 kHz", "level": f"{level} V"})[0]
               .closing for level in ("3", "100")]
    back = "Meter: back to AC volts, leads where they are"
    assert [back in steps for steps in closing] == [False, True] and closing[1][2] == back


def test_leads_that_are_taken_off(tmp_path):
    """Read with their far ends together, then the box; relative leaves the key on for the box, and
    off at the end."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"), dial="ohm")
    fifty = box(("50 ohm", "50.01 ohm", "5 mohm"))
    alone, after = groups_of(tmp_path / "a", ohms, {"apply": "50 ohm"}, by=fifty,
                             plan_more={"leads": LEADS})
    assert alone.title == "Resistance, leads together"
    assert alone.opening == ("Meter: dial to ohm", "Meter: relative, hold, filter off",
                             "Leads: in V and COM, far ends plugged together")
    assert alone.closing == () and after.title == "Resistance, up to 50\u00a0Ω, less the leads"
    assert after.opening[-1] == "Leads: V to A, COM to B of Auk box"
    assert after.closing == LEADS_OFF
    _, after = groups_of(tmp_path / "b", ohms | {"relative": "the delta key"},
                         {"apply": "50 ohm", "zero": "relative"}, by=fifty,
                         plan_more={"leads": LEADS})
    assert "Meter: the delta key, leads still together; reads 0" in after.opening
    assert "Meter: hold, filter off" in after.opening
    assert after.closing == ("Meter: relative off", *LEADS_OFF)
