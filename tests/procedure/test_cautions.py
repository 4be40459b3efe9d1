"""The warnings before a group: for what can kill and for what can burn."""

import pytest

from builder.procedure.cautions import CAUTIONS, cautions_of_checks, warning
from builder.procedure.sentences import Sentence
from tests.procedure.test_supplies_reference_meter import FARADS, ON, by
from tests.small_shop import LEADS, box, function, load_points, range_, row, the_procedure


def test_a_warning_of_what_can_kill_says_so():
    """The word and the mark for whoever shows it go together; only inside the case do checks have
    a warning."""
    (inside,) = cautions_of_checks("opened")
    assert inside == Sentence("live-inside") and warning(inside).kills
    assert cautions_of_checks("battery and fuses") == cautions_of_checks("inputs") == ()
    words = {warning(Sentence(code, tuple((name, "x") for name in (
        "volts", "kind", "off", "on", "range", "energy")))) for code in CAUTIONS}
    assert {(one.word, one.kills) for one in words} == {("WARNING", True), ("CAUTION", False)}


def warned(folder, one: dict, *points: dict, **more) -> list[list[str]]:
    """Word and hazard of each warning, by group."""
    made = the_procedure(load_points(folder, one, *points, **more))
    return [[f"{w.word}: {w.text}".replace("\u00a0", " ") for w in group.warnings]
            for group in made.groups if group.points and group.stage != "proving"]


def test_a_warning_for_what_can_kill(tmp_path):
    """With the highest voltage of the group, DC or AC; above 60 V of DC and 30 V of AC, and once
    more where the rating to earth ends below."""
    volts = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))
    rated = {"rated": {"between_terminals": "1000 V", "CAT III": "300 V"}}
    assert warned(tmp_path / "a", volts, {"apply": ["50 V", "200 V", "300 V"]}, **rated) == [
        [], ["WARNING: up to 300 V DC at terminals and leads."]]
    assert warned(tmp_path / "b", volts, {"apply": "540 V"}, **rated) == [
        ["WARNING: up to 540 V DC at terminals and leads.",
         "WARNING: above the meter's rated voltage to earth."]]
    ac = function("AC voltage",
                  range_("600 V", "0.1 V", [row("1 %", frequency="40 Hz to 400 Hz")],
                         lowest="30 V"))
    assert warned(tmp_path / "c", ac, {"apply": "200 V", "frequency": "50 Hz"}, **rated) == [
        ["WARNING: up to 200 V AC at terminals and leads."]]


def test_a_caution_for_what_can_burn(tmp_path):
    """Current jacks, and once for each range that is on for a time only."""
    amps = function("DC current",
                    range_("10 A", "10 mA", "1 % + 3 counts", on_at_most="30 s",
                           off_at_least="10 min"), jacks=["A", "COM"])
    assert warned(tmp_path, amps, {"apply": ["5 A", "9 A", "-9 A"]}) == [
        ["CAUTION: current jacks are nearly a short circuit.",
         "CAUTION: 10 A range: on for at most 30 s, then off for at least 10 min."]]


@pytest.mark.parametrize("charges_to, word", [
    # C·U²/2 of 50 µF: 0.225 mJ; 0.25 J at 100 V, which is hazardous live
    ({"charges_to": "3 V"}, "CAUTION: charge that stays in a capacitor falsifies the reading."),
    ({"charges_to": "100 V"}, "WARNING: capacitors hold up to 250 mJ at 100 V."),
    ({}, "CAUTION: a capacitor may come charged; the charge hurts and damages the meter.")])
def test_the_caution_of_a_capacitor_goes_by_what_it_holds(charges_to, word, tmp_path):
    """At the voltage that the meter puts on the largest; the worst where that isn't known."""
    farads = function("capacitance", range_("60 uF", "10 nF", "3 % + 20 counts"), **charges_to)
    assert warned(tmp_path, farads, {"apply": ["5 uF", "50 uF"]}, plan_more={"leads": LEADS},
                  standards=[box(("5 uF", "5 uF", "1 nF"), ("50 uF", "50 uF", "1 nF"),
                                 what="capacitance")])[-1] == [word]


def test_a_loose_part_may_hold_anything(tmp_path):
    """Whatever the meter puts on: what was in it before isn't known."""
    farads = FARADS | {"method": "A", "charges_to": "3 V"}
    skua = by("capacitance", "1 uF to 1 mF", "10 nF", "0.4 %", {"method": "A"})
    assert warned(tmp_path, farads, {"apply": "470 uF"} | ON, plan_more={"leads": LEADS},
                  standards=[skua]) == [
        ["CAUTION: a capacitor may come charged; the charge hurts and damages the meter."]]
