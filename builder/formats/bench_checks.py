"""Checks without numbers that plans pick from, each with what to do and what counts as good.

All of them are common practice, and so is every fact in them for which no comment names a source;
the wording is ours. The parts of the work are those of `compute/exact/order.py` that hold no
points.

How they are worded: `do` is one action or several with "; " between, each an imperative with its
object next; the row's bold name says what they are done to. `good` and `mistake` say what is seen,
in small letters. None has a full stop.

What a no stops is common practice too. Everything: what stands between a hand and the voltage
(case, jacks, leads, covers), what must break a current (fuses), what the ratings don't cover, and
what hides a voltage (a broken lead, a missing segment, a dial that selects another function). A
check of one function stops that function. The rest stops nothing: seals, beepers, keys and light
make a meter worse, not dangerous; a low battery is written down; at the end nothing is left to
stop. """

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from builder.compute.exact.order import (BATTERY_AND_FUSES, BY_EYE, CLOSING, DISPLAY_AND_KEYS,
                                         INPUTS, OPENED)
from builder.files.problems import Wrong
from builder.formats.group_data import BENCH, EVERYTHING, METER, NOTHING
from builder.numbers import units

STAGES = (OPENED, BY_EYE, BATTERY_AND_FUSES, DISPLAY_AND_KEYS, INPUTS, CLOSING)

WARM_UP = "warm-up and soak"    # readings have ground only after it
CURRENT_JACKS, LIVE, OPTIONAL = "current jacks", "live", "optional"


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchCheck:
    name: str
    when: str
    do: str
    good: str
    mistake: str                  # the common way to get it wrong
    stops: str = NOTHING          # by a no: everything, nothing, or the kind of a function
    of: Literal["meter", "bench"] = METER
    always: bool = False          # no meter that it suits is without it
    # what the blank on the sheet is for; without one, yes or no is the record
    write: str = ""
    unit: str = ""                # of the blank, as a page shows it
    at_least: str = ""            # the number in the blank, in its unit
    at_most: str = ""
    # the function without an accuracy table that it tests, on meters that have it
    covers: str = ""
    # The meters it is for: kinds of functions, one of which the meter must have; CURRENT_JACKS, if
    # it must have jacks for current; LIVE, if it must measure hazardous voltages;
    # OPTIONAL, if its file can't tell. None: all.
    suits: tuple[str, ...] = ()
    at_hand: tuple[str, ...] = ()  # what it needs besides the meter, its leads and the source


_OHMS = ("resistance",)
_BEEPER = ("continuity",)
_DIODE = ("diode test",)

CHECKS = {check.name: check for check in (
    # ---- opened. Screws turned backwards first: common practice for self-tapping screws in
    # plastic.
    BenchCheck(name="opening the case", when=OPENED, stops=EVERYTHING, do="Pull every lead at both ends; undo the screws in turns, long and short kept apart; lift the halves apart, wires in view",
          good="nothing forced, every screw and seal kept", mistake="a screw under the battery door left in", suits=(OPTIONAL,)),
    BenchCheck(name="case opened", when=OPENED, stops=EVERYTHING, do="Look for foreign bodies, corrosion, scorch marks and loose parts inside",
          good="nothing loose, burnt, wet or missing", mistake="cleaned before the first reading: not as found", suits=(OPTIONAL,)),
    BenchCheck(name="input protection", when=OPENED, stops=EVERYTHING, do="Look at the parts behind the jacks: surge absorbers, thermistors, resistors, spark gaps",
          good="none cracked, swollen, discoloured, bridged or missing", mistake="only the fuses looked at", suits=(LIVE, OPTIONAL)),
    BenchCheck(name="closing the case", when=OPENED, stops=EVERYTHING,
          do="Lay seals and wires in place; turn each self-tapping screw backwards until it drops into its old thread; tighten it by hand, in turns",
          good="no gap, no pinched wire, no screw left over", mistake="a second thread cut, which strips the plastic", suits=(OPTIONAL,)),

    # ---- by eye
    BenchCheck(name="ratings", when=BY_EYE, stops=EVERYTHING, always=True, do="Read the ratings on meter, leads and probes", good="each at least the highest voltage on this sheet",
          mistake="the meter read, its leads not"),
    BenchCheck(name="case", when=BY_EYE, stops=EVERYTHING, always=True, do="Look over case, window, stand and battery door", good="no crack, no hole, door closed by its fastener",
          mistake="a crack hidden under the holster"),
    BenchCheck(name="seals", when=BY_EYE, do="Look along the seals of case, dial and battery door", good="unbroken, in their grooves, free of grit",
          mistake="a twist hidden in the groove", suits=(OPTIONAL,)),
    BenchCheck(name="jacks", when=BY_EYE, stops=EVERYTHING, always=True, do="Look into each jack and at its collar, all round; push a shrouded plug home in it", good="clean, collar whole, plug held firmly, no metal shows",
          mistake="one jack tried for all"),
    BenchCheck(name="jack shrouds", when=BY_EYE, stops=EVERYTHING, do="Look at the collar of each jack, all round", good="whole; a shrouded plug shows no metal",
          mistake="a chip on the far side", suits=(LIVE, OPTIONAL)),
    # 19 mm or three quarters of an inch, which is 19.05 mm (computed): common practice.
    BenchCheck(name="jack spacing", when=BY_EYE, do="Measure from the middle of one voltage jack to the middle of the other", good="19 mm, so that double plugs fit",
          mistake="measured edge to edge", write="spacing", unit="mm", suits=(OPTIONAL,)),
    BenchCheck(name="leads", when=BY_EYE, stops=EVERYTHING, always=True, do="Bend each lead along its length and gently, all round, at both strain reliefs", good="no cut, crack or bare metal; no stiff spot, nothing slides",
          mistake="only the middle bent; leads break at the ends"),
    BenchCheck(name="strain reliefs", when=BY_EYE, stops=EVERYTHING, do="Bend each strain relief gently, all round", good="no crack, nothing turns or slides, no wire shows",
          mistake="looked at straight; cracks open when bent", suits=(OPTIONAL,)),
    BenchCheck(name="leads in the cold", when=BY_EYE, stops=EVERYTHING, do="Bend each lead at the coldest place where it is used", good="supple, no crack, no white crease",
          mistake="judged in a warm room only", suits=(OPTIONAL,)),
    # At most 4 mm of bare tip: HSE GS38 (read). A category or local rules may ask for less.
    BenchCheck(name="probe-tip shrouds", when=BY_EYE, stops=EVERYTHING, do="Look at the probe tips and their shrouds or caps; measure the metal that stays bare",
          good="shrouds as the category asks; bare tip at most 4 mm", mistake="only one probe measured", write="bare tip", unit="mm", at_most="4", suits=(LIVE,)),

    # ---- battery and fuses
    BenchCheck(name="battery cover", when=BATTERY_AND_FUSES, stops=EVERYTHING, do="Open the battery cover; look at cells and contacts", good="right kind of cell, no leak, contacts clean",
          mistake="a leak on the side that faces down"),
    BenchCheck(name="fuses", when=BATTERY_AND_FUSES, stops=EVERYTHING, always=True, do="Read each fuse's current, voltage and breaking capacity",
          good="each exactly as the maker's instructions state", mistake="right current, wrong breaking capacity", suits=(CURRENT_JACKS,)),
    BenchCheck(name="battery door", when=BATTERY_AND_FUSES, stops=EVERYTHING, do="Close the battery door; pull at it", good="flush, held by its fastener, no tongue broken",
          mistake="a wire or seal pinched under it"),

    # ---- display and keys
    BenchCheck(name="display segments", when=DISPLAY_AND_KEYS, stops=EVERYTHING, do="Switch on; watch the display's start-up picture", good="every segment shows, none stays on after it",
          mistake="weak segments, seen only from above or below"),
    BenchCheck(name="battery indication", when=DISPLAY_AND_KEYS, do="Read the battery symbol; leave a low battery in for the readings; change it after them; repeat a point of each function", good="not low",
          mistake="changed before the readings: not as found"),
    BenchCheck(name=WARM_UP, when=DISPLAY_AND_KEYS, of=BENCH, do="Leave the meter switched on at the bench, as long as its maker says, out of draughts and sun",
          good="the meter has the bench's temperature", mistake="the meter switched itself off", write="stood for", unit="min"),
    BenchCheck(name="dial", when=DISPLAY_AND_KEYS, stops=EVERYTHING, do="Turn the dial through all positions and back", good="each position clicks and shows its own function",
          mistake="turned one way only"),
    BenchCheck(name="dial feel", when=DISPLAY_AND_KEYS, stops=EVERYTHING, do="Nudge the dial both ways in each position; watch the display", good="no slack, no flicker, no other function",
          mistake="only the common positions tried", suits=(OPTIONAL,)),
    BenchCheck(name="key beeper", when=DISPLAY_AND_KEYS, do="Press each key once", good="each answers with its beep and its symbol", mistake="a key that answers only when pressed hard",
          suits=(OPTIONAL,)),
    BenchCheck(name="range key", when=DISPLAY_AND_KEYS, do="Step through the ranges of each function by key; return to automatic", good="point and unit follow, each range once",
          mistake="left on a range by hand", suits=(OPTIONAL,)),
    BenchCheck(name="backlight", when=DISPLAY_AND_KEYS, do="Switch the backlight on and off", good="even light over the whole display", mistake="judged in full daylight", suits=(OPTIONAL,)),

    # ---- inputs
    BenchCheck(name="shorted leads", when=INPUTS, stops=EVERYTHING, do="Select resistance; press the tips together", good="at most 0.5 Ω, steady if moved",
          mistake="tips dirty or held lightly", write="lowest", unit="Ω", at_most="0.5", suits=_OHMS),
    BenchCheck(name="leads wiggled", when=INPUTS, stops=EVERYTHING, do="Wiggle each lead at plug, strain relief and probe, tips together on resistance", good="no jump; back to the lowest reading",
          mistake="tips that slip meanwhile", write="highest", unit="Ω", suits=_OHMS),
    BenchCheck(name="leads at a low voltage", when=INPUTS, stops=EVERYTHING, do="Select DC volts; read a cell; wiggle each lead at plug, strain relief and probe", good="no jump, no fall towards zero",
          mistake="tips that slip on the cell", write="lowest", unit="V", suits=("DC voltage", OPTIONAL), at_hand=("a cell",)),
    BenchCheck(name="bar graph", when=INPUTS, do="Select resistance, a range by hand; raise known ohms in small steps from zero", good="the bar grows without gaps, as the digits do",
          mistake="on automatic: the bar starts anew at each range", suits=(*_OHMS, OPTIONAL), at_hand=("a decade or known resistors",)),
    BenchCheck(name="hold key", when=INPUTS, do="Select resistance; hold the reading of the tips together; part them", good="reading and symbol stay until the next press",
          mistake="left on", suits=(*_OHMS, OPTIONAL)),
    BenchCheck(name="relative key", when=INPUTS, do="Select resistance; zero the reading of the tips together", good="zero within its last digits; off, the reading is back",
          mistake="left on: every later reading is shifted", suits=(*_OHMS, OPTIONAL)),
    BenchCheck(name="min/max key", when=INPUTS, do="Select resistance; start min/max; touch the tips together; part them; recall both", good="lowest and highest recalled, none of it left after",
          mistake="left running", suits=(*_OHMS, OPTIONAL)),
    BenchCheck(name="continuity beeper", when=INPUTS, stops="continuity", do="Select continuity; touch the leads together, then apart",
          good="beeps at once and without a crackle, silent when apart", mistake="beeper muted by its key", covers="continuity", suits=_BEEPER),
    BenchCheck(name="continuity speed", when=INPUTS, stops="continuity", do="Select continuity; tap the tips together; scratch one along the other", good="a beep for each tap, one clear tone for the scratch",
          mistake="tips not cleaned first", covers="continuity", suits=_BEEPER),
    BenchCheck(name="continuity threshold", when=INPUTS, stops="continuity", do="Select continuity; connect known ohms just below the threshold, then just above", good="beeps below the stated value, silent above it",
          mistake="leads not counted in", write="beeps up to", unit="Ω", covers="continuity", suits=_BEEPER, at_hand=("a decade or known resistors",)),
    # 0.4 V to 0.8 V: a silicon junction at about 1 mA (common practice).
    BenchCheck(name="diode test", when=INPUTS, stops="diode test", do="Select diode test; try a known good silicon diode both ways round",
          good="0.4 V to 0.8 V; overload reversed", mistake="a diode still in its circuit", write="forward", unit="V", at_least="0.4", at_most="0.8", covers="diode test", suits=_DIODE,
          at_hand=("a good silicon diode",)),
    BenchCheck(name="diode test voltage", when=INPUTS, stops="diode test", do="Select diode test; read the open leads with the second meter on DC volts", good="as the maker states",
          mistake="a low-resistance meter", write="open circuit", unit="V", covers="diode test", suits=_DIODE, at_hand=("a second meter",)),

    # ---- closing. A plug in a current jack: after the currents, never before a live group.
    BenchCheck(name="lead alarm", when=CLOSING, do="Select volts, source off the leads; push one lead's plug into each current jack, tip free; pull it out",
          good="warns while the plug is in, silent without", mistake="the tip touched something", suits=(CURRENT_JACKS, OPTIONAL)),
    BenchCheck(name="function after closing", when=CLOSING, stops="DC voltage", do="Plug in the meter's own leads; read a cell of known voltage; read the tips together on resistance; pull the leads",
          good="the cell's voltage, leads as before", mistake="a cover reopened after it", write="cell", unit="V", suits=("DC voltage",), at_hand=("a cell of known voltage",)),
    BenchCheck(name="closing up", when=CLOSING, do="Switch the meter off; press on every cover; mark or label the meter as the shop does", good="covers closed, label readable",
          mistake="a label over ratings or screws"),
)}


def suited(*, kinds: Collection[str], current_jacks: bool, live: bool) -> list[BenchCheck]:
    """The checks for a meter with these kinds of functions, in the order of work; some of them are
    OPTIONAL."""
    def suits(check: BenchCheck) -> bool:
        wanted = set(check.suits) - {CURRENT_JACKS, LIVE, OPTIONAL}
        return ((not wanted or not wanted.isdisjoint(kinds))
                and (current_jacks or CURRENT_JACKS not in check.suits)
                and (live or LIVE not in check.suits))
    return [check for check in CHECKS.values() if suits(check)]


def unit_of_blank(text: str) -> tuple[str, str]:
    """A blank's unit as a page shows it and as data spell it; what isn't a unit of the trade (mm)
    stays as it is."""
    try:
        known = units.unit(text)
    except Wrong:
        return text, text
    return known.shown, known.ascii
