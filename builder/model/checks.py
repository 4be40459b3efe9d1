"""Checks without numbers that plans pick from, each with what to do and what counts as good.

All of them are common practice; the wording is ours. The parts of the work are those of
`compute/order.py` that hold no points.
"""

from __future__ import annotations

from dataclasses import dataclass

STAGES = ("opened", "by eye", "battery and fuses", "display and keys", "inputs", "closing")


@dataclass(frozen=True, slots=True)
class Check:
    name: str
    when: str
    do: str
    good: str
    covers: str = ""  # the function without an accuracy table that it tests, on meters that have it


CHECKS = {check.name: check for check in (
    Check("case opened", "opened", "Look for foreign bodies, corrosion, scorch marks and loose parts inside",
          "nothing loose, burnt, wet or missing"),
    Check("ratings", "by eye", "Read the ratings on meter, leads and probes", "each at least as high as the highest voltage on this sheet"),
    Check("case", "by eye", "Look over case, window, stand and battery door", "no crack, no hole, door closed by its fastener"),
    Check("jacks", "by eye", "Look into each jack and push a shrouded plug home in it", "clean, unbroken, plug held firmly to its stop"),
    Check("leads", "by eye", "Bend each lead along its length and at both strain reliefs", "no cut, no bare metal, no stiff or broken spot"),
    Check("probe-tip shrouds", "by eye", "Look at the probe tips and their shrouds or caps",
          "shrouds present; no more bare tip than the category and local rules allow"),
    Check("battery cover", "battery and fuses", "Open the battery cover, look at cells and contacts", "right kind of cell, no leak, contacts clean"),
    Check("fuses", "battery and fuses", "Read each fuse's current, voltage and breaking capacity",
          "each exactly as the maker's instructions state"),
    Check("display segments", "display and keys", "Switch on and watch the display's start-up picture", "every segment shows, none stays on after it"),
    Check("battery indication", "display and keys", "Read the battery symbol", "not low; fit a fresh battery before the first reading otherwise"),
    Check("key beeper", "display and keys", "Press each key once", "each answers with its beep and its symbol"),
    Check("dial", "display and keys", "Turn the dial through all positions and back", "each position clicks and shows its own function"),
    Check("backlight", "display and keys", "Switch the backlight on and off", "even light over the whole display"),
    Check("shorted leads", "inputs", "Select resistance and touch the leads together", "steady reading below 0.5 Ω, no jump when the leads are moved"),
    Check("continuity beeper", "inputs", "Select continuity and touch the leads together, then apart",
          "beeps at once and without a crackle, silent when apart", covers="continuity"),
    Check("diode test", "inputs", "Select diode test; try a known good silicon diode both ways round",
          "0.4 V to 0.8 V one way, overload the other way", covers="diode test"),
    Check("closing up", "closing", "Switch the meter off, close every cover, mark or label the meter as the shop does", "covers closed, label readable"),
)}
