"""What a check of the library says of this meter: the facts of its file, where it has them."""

import pytest

from tests.small_shop import function, load, meter, plan, range_, the_procedure

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
AMPS = function("DC current", range_("6 A", "1 mA", "1 % + 3 counts"), jacks=["A", "COM"])
CLAMP = {"function": "DC current", "clamp": "yes",
         "ranges": [range_("60 A", "10 mA", "2 % + 5 counts")]}
BEEPER = {"function": "continuity", "jacks": ["V", "COM"]}
FUSES = [{"jacks": "A", "rating": "11 A, 1000 V, 20 kA, fast"}]
LEFT = {"function": "DC current", "because": "not part of this test"}


def groups_of(folder, *functions, checks, left=(), **more):
    made = load(folder, meter(*functions, **more),
                plan({"function": "DC voltage", "apply": "3 V"}, checks=checks,
                     left_out=list(left)))
    return the_procedure(made).groups


def check_of(folder, name, *functions, **more):
    found = [one for group in groups_of(folder, *functions, **more) for one in group.checks]
    return next(one for one in found if one.name.lower() == name)


@pytest.mark.parametrize("name, one, more, left, good", [
    ("fuses", AMPS, {"fuses": FUSES}, [LEFT], "A: 11 A, 1000 V, 20 kA, fast"),
    ("fuses", AMPS, {"fuses": [*FUSES, {"jacks": ["A", "COM"], "rating": "x"}]}, [LEFT],
     "A: 11 A, 1000 V, 20 kA, fast; A and COM: x"),
    ("fuses", AMPS, {}, [LEFT], "each exactly as the maker's instructions state"),
    ("battery cover", BEEPER, {"battery": "2 × 1.5 V AA"}, [],
     "2 × 1.5 V AA, no leak, contacts clean"),
    ("battery cover", BEEPER, {}, [], "right kind of cell, no leak, contacts clean"),
    ("continuity threshold", BEEPER | {"beeps_below": "30 ohm"}, {}, [],
     "beeps below 30 Ω, silent above 30 Ω"),
    ("continuity threshold", BEEPER | {"beeps_below": "30 ohm", "silent_above": "0.15 kohm"}, {},
     [], "beeps below 30 Ω, silent above 0.15 kΩ"),
    ("continuity threshold", BEEPER, {}, [], "beeps below the stated value, silent above it")])
def test_what_is_good_is_what_the_meter_s_file_states(name, one, more, left, good, tmp_path):
    """Ratings of fuses, cells and the beeper's threshold; without them the library's words."""
    checks = [name, *([{"check": "continuity beeper", "covers": "continuity"}]
                      if one["function"] == "continuity" and name == "battery cover" else [])]
    found = check_of(tmp_path, name, VOLTS, one, checks=checks, left=left, **more)
    assert found.good.replace("\u00a0", " ") == good
    if "beeps_below" in one:
        assert found.do.replace("\u00a0", " ").startswith(
            "Select continuity; connect known ohms just below 30 Ω, then just above")


def test_the_plan_s_words_stand_in_place_of_all(tmp_path):
    """As everywhere; what it doesn't write is the meter's."""
    found = check_of(tmp_path, "fuses", VOLTS, AMPS, left=[LEFT], fuses=FUSES,
                     checks=[{"check": "fuses", "good": "as on the card", "write": "rating"}])
    assert (found.good, found.write, found.unit) == ("as on the card", "rating", "")
    assert found.do.startswith("Read each fuse")


def test_nothing_of_fuses_on_a_clamp(tmp_path):
    """The title names fuses only where a current goes through jacks."""
    titles = [groups_of(tmp_path / str(n), VOLTS, one, checks=["battery cover"],
                        left=[LEFT])[0].title for n, one in enumerate((AMPS, CLAMP))]
    assert titles == ["Battery and fuses, leads off", "Battery, leads off"]


@pytest.mark.parametrize("checks, title", [
    (["display segments", "ratings"], "Display and keys"), (["ratings"], "DC voltage, up to 3 V")])
def test_auto_power_off_is_a_step(checks, title, tmp_path):
    """Before the meter is first used: at its keys, or at the first points where no check switches
    it on. Once, and only where the file names how."""
    groups = groups_of(tmp_path / "a", VOLTS, checks=checks,
                       auto_power_off="hold HOLD while you switch on")
    said = {group.title.replace("\u00a0", " "): group.opening[0] for group in groups
            if any("Auto power off" in step for step in group.opening)}
    assert said == {title: "Auto power off: off (hold HOLD while you switch on)"}
    assert not any("Auto" in step for group in groups_of(tmp_path / "b", VOLTS, checks=checks)
                   for step in group.opening)


@pytest.mark.parametrize("check, one, asked", [
    ("continuity threshold", BEEPER | {"beeps_below": "30 ohm"}, (30, 30)),
    ("continuity threshold", BEEPER | {"beeps_below": "30 ohm", "silent_above": "0.15 kohm"},
     (30, 150)),
    ("continuity threshold", BEEPER, (None, None)),
    ({"check": "warm-up and soak", "at_least": "20 min"}, BEEPER, (20, None)),
    ({"check": "warm-up and soak"}, BEEPER, (None, None)),
    ({"check": "probe-tip shrouds", "at_most": "3 mm"}, BEEPER, (None, 3)),
    ({"check": "probe-tip shrouds"}, BEEPER, (None, 4)),
    ({"check": "probe-tip shrouds", "write": "length", "unit": "m"}, BEEPER, (None, None))])
def test_the_number_that_a_check_asks_for(check, one, asked, tmp_path):
    """The plan's own, else the meter's, else the library's; none where the blank is another's."""
    name = check if isinstance(check, str) else check["check"]
    also = [] if name == "continuity threshold" else [
        {"check": "continuity beeper", "covers": "continuity"}]
    found = check_of(tmp_path, name, VOLTS, one, checks=[check, *also])
    assert (found.at_least, found.at_most) == asked
