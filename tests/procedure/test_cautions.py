"""The warnings before a group: for what can kill and for what can burn."""

from builder.procedure.cautions import CAUTIONS, cautions_of_checks, warning
from builder.procedure.sentences import Sentence
from tests.small_shop import function, load_points, range_, row, the_procedure


def test_a_warning_of_what_can_kill_says_so():
    """The word and the mark for whoever shows it go together; only inside the case do checks have
    a warning."""
    (inside,) = cautions_of_checks("opened")
    assert inside == Sentence("live-inside") and warning(inside).kills
    assert cautions_of_checks("battery and fuses") == cautions_of_checks("inputs") == ()
    words = {warning(Sentence(code, tuple((name, "x") for name in (
        "volts", "kind", "off", "on", "range")))) for code in CAUTIONS}
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
