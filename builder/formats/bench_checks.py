"""Checks without numbers that plans pick from, each with what to do and what counts as good.

All of them are common practice, and so is every fact in them for which no comment names a source; the wording is
ours. The parts of the work are those of `compute/exact/order.py` that hold no points.

How they are worded: `do` is one action or several with "; " between, each an imperative with its object next; the
row's bold name says what they are done to. `good` and `mistake` say what is seen, in small letters. None has a full stop.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from builder.files.problems import Wrong
from builder.numbers import units

STAGES = ("opened", "by eye", "battery and fuses", "display and keys", "inputs", "closing")

CURRENT_JACKS, LIVE, OPTIONAL = "current jacks", "live", "optional"


@dataclass(frozen=True, slots=True)
class BenchCheck:
    name: str
    when: str
    do: str
    good: str
    mistake: str                  # the common way to get it wrong
    write: str = ""               # what the blank on the sheet is for; without one, yes or no is the record
    unit: str = ""                # of the blank, as a page shows it
    covers: str = ""              # the function without an accuracy table that it tests, on meters that have it
    # The meters it is for: kinds of functions, one of which the meter must have; CURRENT_JACKS, if it must have jacks
    # of their own for current; LIVE, if it must measure hazardous voltages; OPTIONAL, if its file can't tell. None: all.
    suits: tuple[str, ...] = ()
    at_hand: tuple[str, ...] = ()  # what it needs besides the meter, its leads and the source


_OHMS = ("resistance",)
_BEEPER = ("continuity",)
_DIODE = ("diode test",)

CHECKS = {check.name: check for check in (
    # ---- opened. Screws turned backwards first: common practice for self-tapping screws in plastic.
    BenchCheck("opening the case", "opened", "Pull every lead at both ends; undo the screws in turns, long and short kept apart; lift the halves apart, wires in view",
          "nothing forced, every screw and seal kept", "a screw under the battery door left in", suits=(OPTIONAL,)),
    BenchCheck("case opened", "opened", "Look for foreign bodies, corrosion, scorch marks and loose parts inside",
          "nothing loose, burnt, wet or missing", "cleaned before the first reading: not as found", suits=(OPTIONAL,)),
    BenchCheck("input protection", "opened", "Look at the parts behind the jacks: surge absorbers, thermistors, resistors, spark gaps",
          "none cracked, swollen, discoloured, bridged or missing", "only the fuses looked at", suits=(LIVE, OPTIONAL)),
    BenchCheck("closing the case", "opened",
          "Lay seals and wires in place; turn each self-tapping screw backwards until it drops into its old thread; tighten it by hand, in turns",
          "no gap, no pinched wire, no screw left over", "a second thread cut, which strips the plastic", suits=(OPTIONAL,)),

    # ---- by eye
    BenchCheck("ratings", "by eye", "Read the ratings on meter, leads and probes", "each at least the highest voltage on this sheet",
          "the meter read, its leads not"),
    BenchCheck("case", "by eye", "Look over case, window, stand and battery door", "no crack, no hole, door closed by its fastener",
          "a crack hidden under the holster"),
    BenchCheck("seals", "by eye", "Look along the seals of case, dial and battery door", "unbroken, in their grooves, free of grit",
          "a twist hidden in the groove", suits=(OPTIONAL,)),
    BenchCheck("jacks", "by eye", "Look into each jack; push a shrouded plug home in it", "clean, unbroken, plug held firmly to its stop",
          "one jack tried for all"),
    BenchCheck("jack shrouds", "by eye", "Look at the collar of each jack, all round", "whole; a shrouded plug shows no metal",
          "a chip on the far side", suits=(LIVE,)),
    # 19 mm or three quarters of an inch, which is 19.05 mm (computed): common practice.
    BenchCheck("jack spacing", "by eye", "Measure from the middle of one voltage jack to the middle of the other", "19 mm, so that double plugs fit",
          "measured edge to edge", "spacing", "mm", suits=(OPTIONAL,)),
    BenchCheck("leads", "by eye", "Bend each lead along its length and at both strain reliefs", "no cut, no bare metal, no stiff or broken spot",
          "only the middle bent; leads break at the ends"),
    BenchCheck("strain reliefs", "by eye", "Bend each strain relief gently, all round", "no crack, nothing turns or slides, no wire shows",
          "looked at straight; cracks open when bent"),
    BenchCheck("leads in the cold", "by eye", "Bend each lead at the coldest place where it is used", "supple, no crack, no white crease",
          "judged in a warm room only", suits=(OPTIONAL,)),
    # At most 4 mm of bare tip: HSE GS38 (read). A category or local rules may ask for less.
    BenchCheck("probe-tip shrouds", "by eye", "Look at the probe tips and their shrouds or caps; measure the metal that stays bare",
          "shrouds as the category asks; bare tip at most 4 mm", "only one probe measured", "bare tip", "mm", suits=(LIVE,)),

    # ---- battery and fuses
    BenchCheck("battery cover", "battery and fuses", "Open the battery cover; look at cells and contacts", "right kind of cell, no leak, contacts clean",
          "a leak on the side that faces down"),
    BenchCheck("fuses", "battery and fuses", "Read each fuse's current, voltage and breaking capacity",
          "each exactly as the maker's instructions state", "right current, wrong breaking capacity", suits=(CURRENT_JACKS,)),
    BenchCheck("battery door", "battery and fuses", "Close the battery door; pull at it", "flush, held by its fastener, no tongue broken",
          "a wire or seal pinched under it"),

    # ---- display and keys
    BenchCheck("display segments", "display and keys", "Switch on; watch the display's start-up picture", "every segment shows, none stays on after it",
          "weak segments, seen only from above or below"),
    BenchCheck("battery indication", "display and keys", "Read the battery symbol; fit a fresh battery if it is low", "not low",
          "read at switch-on, before the battery sags"),
    BenchCheck("warm-up and soak", "display and keys", "Leave the meter switched on at the bench, as long as its maker says, out of draughts and sun",
          "it has the bench's temperature", "it switched itself off", "stood for", "min"),
    BenchCheck("dial", "display and keys", "Turn the dial through all positions and back", "each position clicks and shows its own function",
          "turned one way only"),
    BenchCheck("dial feel", "display and keys", "Nudge the dial both ways in each position; watch the display", "no slack, no flicker, no other function",
          "only the common positions tried"),
    BenchCheck("key beeper", "display and keys", "Press each key once", "each answers with its beep and its symbol", "a key that answers only when pressed hard",
          suits=(OPTIONAL,)),
    BenchCheck("range key", "display and keys", "Step through the ranges of each function by key; return to automatic", "point and unit follow, each range once",
          "left on a range by hand", suits=(OPTIONAL,)),
    BenchCheck("backlight", "display and keys", "Switch the backlight on and off", "even light over the whole display", "judged in full daylight", suits=(OPTIONAL,)),

    # ---- inputs
    BenchCheck("shorted leads", "inputs", "Select resistance; press the tips together", "below 0.5 Ω, steady if moved",
          "tips dirty or held lightly", "lowest", "Ω", suits=_OHMS),
    BenchCheck("leads wiggled", "inputs", "Wiggle each lead at plug, strain relief and probe, tips together on resistance", "no jump; back to the lowest reading",
          "tips that slip meanwhile", "highest", "Ω", suits=_OHMS),
    BenchCheck("leads at a low voltage", "inputs", "Select DC volts; read a cell; wiggle each lead at plug, strain relief and probe", "no jump, no fall towards zero",
          "tips that slip on the cell", "lowest", "V", suits=("DC voltage",), at_hand=("a cell",)),
    BenchCheck("bar graph", "inputs", "Select resistance, a range by hand; raise known ohms in small steps from zero", "the bar grows without gaps, as the digits do",
          "on automatic: the bar starts anew at each range", suits=(*_OHMS, OPTIONAL), at_hand=("a decade or known resistors",)),
    BenchCheck("hold key", "inputs", "Select resistance; hold the reading of the tips together; part them", "reading and symbol stay until the next press",
          "left on", suits=(*_OHMS, OPTIONAL)),
    BenchCheck("relative key", "inputs", "Select resistance; zero the reading of the tips together", "zero within its last digits; off, the reading is back",
          "left on: every later reading is shifted", suits=(*_OHMS, OPTIONAL)),
    BenchCheck("min/max key", "inputs", "Select resistance; start min/max; touch the tips together; part them; recall both", "lowest and highest recalled, none of it left after",
          "left running", suits=(*_OHMS, OPTIONAL)),
    BenchCheck("continuity beeper", "inputs", "Select continuity; touch the leads together, then apart",
          "beeps at once and without a crackle, silent when apart", "beeper muted by its key", covers="continuity", suits=_BEEPER),
    BenchCheck("continuity speed", "inputs", "Select continuity; tap the tips together; scratch one along the other", "a beep for each tap, one clear tone for the scratch",
          "tips not cleaned first", covers="continuity", suits=_BEEPER),
    BenchCheck("continuity threshold", "inputs", "Select continuity; connect known ohms just below the threshold, then just above", "beeps below the stated value, silent above it",
          "leads not counted in", "beeps up to", "Ω", covers="continuity", suits=_BEEPER, at_hand=("a decade or known resistors",)),
    # 0.4 V to 0.8 V: a silicon junction at about 1 mA (common practice).
    BenchCheck("diode test", "inputs", "Select diode test; try a known good silicon diode both ways round",
          "0.4 V to 0.8 V; overload reversed", "a diode still in its circuit", "forward", "V", covers="diode test", suits=_DIODE,
          at_hand=("a good silicon diode",)),
    BenchCheck("diode test voltage", "inputs", "Select diode test; read the open leads with the second meter on DC volts", "as the maker states",
          "a low-resistance meter", "open circuit", "V", covers="diode test", suits=_DIODE, at_hand=("a second meter",)),
    BenchCheck("lead alarm", "inputs", "Select volts; push a lead's plug into each current jack, tip free; put it back in the voltage jack",
          "warns while the plug is in, silent without", "the tip touched something", suits=(CURRENT_JACKS, OPTIONAL)),

    # ---- closing
    BenchCheck("function after closing", "closing", "Plug in the meter's own leads; read a cell of known voltage; read the tips together on resistance; pull the leads",
          "the cell's voltage, leads as before", "a cover reopened after it", "cell", "V", suits=("DC voltage",), at_hand=("a cell of known voltage",)),
    BenchCheck("closing up", "closing", "Switch the meter off; press on every cover; mark or label the meter as the shop does", "covers closed, label readable",
          "a label over ratings or screws"),
)}


def suited(*, kinds: Collection[str], current_jacks: bool, live: bool) -> list[BenchCheck]:
    """The checks for a meter with these kinds of functions, in the order of work; some of them are OPTIONAL."""
    def suits(check: BenchCheck) -> bool:
        wanted = set(check.suits) - {CURRENT_JACKS, LIVE, OPTIONAL}
        return ((not wanted or not wanted.isdisjoint(kinds)) and (current_jacks or CURRENT_JACKS not in check.suits)
                and (live or LIVE not in check.suits))
    return [check for check in CHECKS.values() if suits(check)]


def unit_of_blank(text: str) -> tuple[str, str]:
    """A blank's unit as a page shows it and as data spell it; what isn't a unit of the trade (mm) stays as it is."""
    try:
        found = units.unit(text)
    except Wrong:
        return text, text
    return found.shown, found.ascii
