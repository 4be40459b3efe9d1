"""The words at a hold and beside the answers."""

import pytest

from builder.procedure.stop_words import hold_said, no_stops, shortened


@pytest.mark.parametrize("steps, text", [
    ((), ""), (("1.1",), "1.1"), (("1.1", "1.2"), "1.1, 1.2"),
    (("1.1", "1.2", "1.3", "1.5", "2.1", "2.2", "2.3", "2.4"), "1.1 to 1.3, 1.5, 2.1 to 2.4"),
    (("1.9", "1.10", "1.11", "2.12"), "1.9 to 1.11, 2.12")])
def test_steps_that_follow_each_other_are_shortened(steps, text):
    """Three and more as a span; a span never leaves its group."""
    assert shortened(steps) == text


@pytest.mark.parametrize("before, steps, names, said", [
    ("energy", ("1.1", "1.2"), (), "HOLD: source or meter gives out energy after this line. Read "
     "the answers at steps 1.1, 1.2."),
    ("hazardous voltage", ("1.1",), ("fuses", "dial"), "HOLD: hazardous voltage follows this line. "
     "Read the answers at steps 1.1. Not checked on this sheet: fuses, dial."),
    ("energy", (), ("fuses",), "HOLD: source or meter gives out energy after this line. Not "
     "checked on this sheet: fuses.")])
def test_what_a_hold_says(before, steps, names, said):
    assert hold_said(before, steps, names) == said


def test_what_stands_beside_the_answers():
    """A function or jack by its name; nothing for what stops nothing."""
    assert [no_stops(stops) for stops in ("everything", "nothing", "10 A")] == [
        "no: stop", "", "no: stop 10 A"]
