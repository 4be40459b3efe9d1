"""Every sentence of a sheet and of its evidence, by code: the steps, what stands beside and under the
points, and how a limit came about. The warnings are in cautions.py.

The modules that decide name a code and the facts, `sentence("dial", dial="V")`; `words` makes the
text. A fact is a text that needs no translation (a number with its unit, what the shop's files say),
another sentence, or several of them, which a template joins: "{jacks:and}".

One action a step, in the imperative, the actor's object first (after DOE-STD-1029-92, in our words).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Union

from builder.procedure.evidence_sentences import EVIDENCE

BLANK = "____"  # a line to write on

Fact = Union[str, int, "Sentence", tuple["Fact", ...]]


@dataclass(frozen=True, slots=True)
class Sentence:
    """What is said, as its code and the facts in it; as text it is `words` of it."""

    code: str
    facts: tuple[tuple[str, Fact], ...] = ()

    def __str__(self) -> str:
        return words(self)

    @property
    def identity(self) -> list[Any]:
        """Code and facts without a word of the tables here, for the revision of a sheet."""
        return [self.code, *([name, identity(fact)] for name, fact in self.facts)]


def sentence(code: str, **facts: Fact) -> Sentence:
    """What is said: a code of `SENTENCES`, or of the table of cautions, and what its template
    names."""
    return Sentence(code, tuple(sorted(facts.items())))


def as_written(text: str) -> Sentence:
    """What the shop's own files say, in their words."""
    return sentence("as-written", text=text)


def identity(fact: Fact | None) -> Any:
    """A fact as plain data; sentences as their codes and facts."""
    if isinstance(fact, Sentence):
        return fact.identity
    return [identity(one) for one in fact] if isinstance(fact, tuple) else fact


class _Said:
    """A fact in a template: several are joined as the template says."""

    def __init__(self, fact: Fact):
        self.fact = fact

    def __format__(self, how: str) -> str:
        return JOINS[how].join(map(str, self.fact)) if isinstance(self.fact, tuple) else str(
            self.fact)


def worded(template: str, facts: tuple[tuple[str, Fact], ...]) -> str:
    """A template of one of the tables with its facts."""
    return template.format(**{name: _Said(fact) for name, fact in facts})


def words(said: Sentence | None) -> str:
    """The text of a sentence; "" where nothing is said."""
    return worded(SENTENCES[said.code], said.facts) if said is not None else ""


# Steps that say what is connected, by their codes.
CONNECTING = frozenset(
    ["coil", "in-series", "side-by-side", "meter-alone", "meter-alone-poled",
     *(code + more for code in ("leads", "copper-leads") for more in ("", "-unpaired"))])

JOINS = {"run": "", "dot": " · ", "comma": ", ", "and": " and ", "or": " or ", "plus": " + ", "semicolon": "; "}

SENTENCES = {
    # ---- parts of other sentences
    "as-written": "{text}",
    "pair": "{jack} to {terminal}",
    "together": "together", "apart": "apart",
    "relative": "relative", "hold": "hold", "filter": "filter", "low-impedance": "low-impedance",
    "by-standby": "The source in standby", "by-supply-off": "The supply switched off",
    "coil-on": " On for at most {on}.",
    "coil-on-and-off": " On for at most {on}, then off for at least {off}.",
    # ---- titles of groups
    "title-opened": "Inside the case",
    "title-by-eye": "By eye",
    "title-battery-and-fuses": "Battery and fuses, leads off",
    "title-battery": "Battery, leads off",
    "title-display-and-keys": "Display and keys",
    "title-inputs": "Inputs, source in standby",
    "title-closing": "Closing up",
    "title-proving": "Lead back to the voltage jack",
    "title-leads": "{function}, leads {held}",
    "title-live": "{function}, hazardous live, up to {top}",
    "title-live-signal": "{function}, hazardous live",
    "title-points": "{function}, up to {top}{how}{less}",
    "through-turns": " through {turns} turns",
    "compared-with": ", compared with {standard}",
    "less-leads": ", less the leads",
    "relative-to-leads": ", relative to the leads",
    "continued": "{number} {title}, continued. {said:dot}",
    # ---- steps: before checks and after them
    "leads-unplugged": "Leads: unplug from meter and source",
    "switched-off": "Meter: switch off",
    "own-leads": "Leads: the meter's own, in its jacks, tips free",
    "stays-on": "Auto power off: off ({how})",
    "at-hand": "At hand: {things:comma}",
    "covers-closed": "Covers: close and fasten",
    # ---- steps: the source, the meter, the range
    "source-standby": "Source: {rest}, standby",
    "supply-off": "Supply: off",
    "dial": "Meter: dial to {dial}",
    "select": "Meter: select {function}",
    "keys": "Meter: {keys}",
    "modes-off": "Meter: leave {modes:or}",
    "keys-off": "Meter: {keys:comma} off",
    "relative-on": "Meter: {relative}, leads still {held}; reads 0",
    "plugs-home": "Plugs: home at both ends, shrouds whole",
    "range-by-hand": "Range: select each by hand, as the row says",
    "range-mixed": "Range: automatic, except where a row says by hand",
    "range-automatic": "Range: automatic",
    "switch-off-known": "Bench: everyone here knows its switch-off",
    "second-person": "Second person and protective equipment: as local rules ask",
    "area-marked": "Area: marked, other people outside",
    "range-select": "Range: select {range} by hand", "range-seen": "Display: see the {range} range, decimals as in {zero}",
    "source-isolated": "Source: output isolated from earth, no strap from LO to earth",
    "supply-isolated": "Supply: output isolated from earth, no strap to earth",
    "one-earth": "Earth: at most one in this circuit, at {terminal} of {standard}",
    "one-earth-supply": "Earth: at most one in this circuit, at the low side of {part}",
    "hands-off": "Hands: keep off",
    "source-on": "Source: output on", "source-on-for": "Source: output on, for at most {on}",
    "supply-on": "Supply: on", "supply-on-for": "Supply: on, for at most {on}",
    # ---- steps: what is connected
    "leads": "Leads: {pairs:comma} of {standard}",
    "leads-unpaired": "Leads: meter {jacks:comma}; {standard} {terminals:comma}",
    "copper-leads": "Leads: plain copper, {pairs:comma} of {standard}",
    "copper-leads-unpaired": "Leads: plain copper, meter {jacks:comma}; {standard} {terminals:comma}",
    "zero-setting": "{standard}: at its zero setting",
    "known-leads": "Leads: those that are known by {standard}",
    "leads-together": "Leads: in {jacks:and}, far ends plugged together",
    "leads-apart": "Leads: in {jacks:and}, far ends apart, placed as for the points",
    "plugs-out": "Plugs: out of source and meter, of the leads used before",
    "coil": "Coil: {pairs:comma} of {coil}, return leads away from the jaw",
    "jaw-closed": "Jaw: close around the coil, coil in the middle and square to the jaw, arrow along the current",
    "no-current": "Meter: no current yet, reads " + BLANK + " {unit}",
    "junction": "Junction: {measured}, out of draughts, until the temperature is steady",
    "junction-reads": "Junction: reads " + BLANK + " °C",
    "millivolts": "Source: the millivolts of the table below, for that junction",
    "ohms": "{standard}: the ohms of the table below, one after the other",
    "in-series": "Leads: {part}, {terminals:and} of {standard}, {jacks:and} of the meter, all in series",
    "side-by-side": "Leads: {jacks:and} of the meter and {terminals:and} of {standard} side by side on {part}",
    "reference-alone": "{standard}: alone on {part}, for the reference reading",
    "reference-sum": "{standard}: write down what it shows; for the difference and what is allowed add “ref. …” of the row to it",
    "meter-alone": "Meter: {jacks:and} alone on it, {standard} taken off",
    "discharged": "Capacitor: discharge it through {resistor}, to under 5\u00a0V on {proof}",
    "still-discharged": "Capacitor: after 10\u00a0s still under 5\u00a0V",
    "discharged-again": "Capacitor: discharge it again through {resistor}, to under 5\u00a0V on {proof}",
    "proof": "{standard}, DC volts",
    "proof-second": "a second meter, DC volts",
    "reference-before": "{standard}: alone on {part}, {high} at its +, for the reading before",
    "meter-alone-poled": "Meter: {jacks:and} alone on it, {high} at its +, {standard} taken off",
    "reference-after": "{standard}: alone on it again, {high} at its +, for the reading after",
    "all-discharged": "Capacitors: discharged",
    # ---- steps: after the points
    "relative-off": "Meter: relative off",
    "part-off": "{device}: leads off the part",
    "source-zero": "Source: to {rest}",
    "pause": "{what:and}: off for {off}, until " + BLANK, "the-jacks": "Jacks {jacks:and}", "the-jaw": "Jaw",
    "source-turn": "Source: turn the polarity",
    "supply-turn": "Supply: turn the polarity",
    "standby": "Source: standby",
    "near-zero": "Meter: reads " + BLANK + " with its unit; near zero is at most {limit}",
    "near-zero-seen": "Meter: near zero",
    "jaw-open": "Jaw: open it only now",
    "back-to-volts": "Meter: back to AC volts, leads where they are",
    "leads-off": "Leads: off the source first, then off the meter",
    "meter-off": "Meter: off",
    # ---- steps: after currents
    "lead-back": "Lead: out of the current jack, back in the voltage jack",
    "dial-to-volts": "Meter: dial to volts",
    "low-voltage-on": "Source: a low, known voltage, output on",
    "reads-it": "Meter: reads it",
    "source-zero-standby": "Source: to 0 V, standby",
    # ---- a row: what is applied, the head of what stands beside it, what to look for
    "apply-leads": "leads {held}",
    "apply-about": "about {value}",
    "in-table": "table",
    "typical": "{row}: write the reading down, it has no limits",
    "up-and-down": "+{above} −{below}",
    "at": "at",
    "at-certified": "Certified", "at-leads": "With leads", "at-certified-leads": "Certified, with leads",
    "at-source": "Source", "at-ohms": "Ohms",
    "corrected": "corrected {value}", "reference-add": "ref. {value}",
    "at-junction": "at {celsius}",
    "undecided": "cannot be verified with this standard under this rule",
    "find-bandwidth": "Raise the frequency, at most to {reach}, until the reading leaves {low} to {high}; write that frequency",
    "find-ceiling": "Raise the frequency, at most to {most}, until the meter shows overload or stops counting; write the highest value shown",
    "find-sensitivity": "Lower the level, not below {least}, until the counter stops; write the lowest level that counts",
    "find-sensitivity-stated": "Lower the level, not below {least}, until the counter stops; write the lowest level that counts (data sheet: {stated})",
    "expect": "{wave} wave: {low} to {high} if true r.m.s., about {other} if mean-responding",
    "expect-stated": "{wave} wave: {low} to {high} if true r.m.s., about {other} if mean-responding (data sheet: {responds})",
    # ---- under a table and beside it
    "mark": "Step {step}: {mark}.",
    "mark-reach": "beyond the reach of {standard}, accepted: {because}",
    "mark-ratio": "test uncertainty ratio {ratio}:1, under {minimum}:1",
    "mark-ratio-accepted": "test uncertainty ratio {ratio}:1, under {minimum}:1, accepted: {because}",
    "aside-difference": "Largest difference from the reference reading. Use the last column whose value is not higher than the reference reading. There are no limits outside the table.",
    "aside-difference-summed": "Largest difference from the reference reading, to which “ref. …” of its row is added. Use the last column whose value is not higher than that sum. There are no limits outside the table.",
    "aside-from": "reference from, {unit}",
    "aside-at-most": "difference at most, ±",
    "aside-none": "none",
    "aside-millivolts": "Millivolts to apply, by the temperature of the meter’s reference junction (type {kind}, ITS-90: E(T) − E(junction)). Subtract the last line for each {tenth} above the temperature of a column.",
    "aside-ohms": "Ohms in place of a {kind} (IEC 60751). The leads add up to {most}; half of that is allowed for, so that what is left is as likely up as down.",
    "aside-ohms-plain": "Ohms in place of a {kind} (IEC 60751). Nothing is allowed for leads.",
    "aside-ideal": "{kind}, Ω", "aside-beside": "leads, Ω", "aside-set": "set, Ω",
    "aside-certified": "certified, Ω", "aside-stands-for": "stands for, {unit}",
    "aside-step": "Step",
    "aside-apply": "Apply",
    "aside-per-tenth": "off per {tenth}",
    # ---- notes in a drawing
    "drawn-zero-setting": "at its zero setting",
    "drawn-copper": "copper leads",
    "drawn-in-turn": "first on {standard}, then on the meter",
    "drawn-before-after": "on {standard} before and after the meter",
    # ---- equipment
    "output": "{output}",
    "output-wave": "{output}, {wave} wave",
    "turns": "{turns} turns",
    "reach-values": "{values:comma}",
    "reach-up-to": "up to {highest}",
    "reach-up-to-at": "up to {highest}, {beside:comma}",
    "span": "{low} to {high}",
    "reach-within": "within {within}",
    "reach-in-wire": "up to {highest} in its wire",
    "instead-ratio": "Another one may stand in if it does the same with a test uncertainty ratio of {minimum}:1 or better.",
    "instead-as-good": "Another one may stand in if it does the same with no larger uncertainty.",
    "instead-of-leads": "No other one may stand in: the limits are those of the leads that it knows.",
    "instead-of-values": "No other one may stand in: the limits are those of its certified values.",
    "instead-of-uncertainty": "No other one may stand in: the limits depend on its uncertainty.",
    "thing-leads": "Leads: shrouded, plug to plug",
    "thing-leads-rated": "Leads: shrouded, plug to plug, rated for {rated:and} or more",
    "thing-thermometer": "Thermometer: for {band}",
    "thing-hygrometer": "Hygrometer: for {band}",
    "thing-junction": "Junction: {measured}, within {within}",
    "thing-copper": "Copper leads: for the thermocouple input",
    "thing-timer": "Timer: up to {most}",
    "thing-second-meter": "Second meter: rated for {volts}, with a known source to prove it",
    "overdue": "overdue on {day}; {because}",
    "not-accepted": "not accepted",
    # ---- the head: conditions and decision rule
    "growth-inside": "The band goes beyond {reference}. The limits are those inside {reference}, the tightest that hold anywhere in the band.",
    "growth-by-rows": "At {ambient} each accuracy is larger than at {reference}, by its own temperature coefficient for {degrees} degrees beyond.",
    "growth": "At {ambient} the accuracy is {times} times that of {reference} (the meter's own coefficient, for {degrees} degrees beyond).",
    "takes": "Takes about {total}{besides}: {parts:comma}.", "takes-only": "Takes about {total}{besides}.", "takes-work": "{time} of work", "takes-warm-up": "{time} of warm-up", "takes-warm-up-besides": ", and the time of the warm-up", "takes-pauses": "{time} of pauses",
    "rule-simple": "Decision rule: simple acceptance. The limits are those of the tolerance, without a guard band{rests}{unknown}.",
    "rule-rests": "; the test uncertainty ratio is {lowest}:1 or better",
    "rule-unknown-one": "; {count} point has no known uncertainty",
    "rule-unknown": "; {count} points have no known uncertainty",
    "rule-guarded": "Decision rule: the limits lie inside the tolerance T by a guard band of {width}. U is that of the whole comparison at {coverage}, on the evidence page. ± shows T.{four}",
    "width-multiple": "{g} U",
    "width-u": "U",
    "width-root-sum-square": "T − √(T² − U²)",
    "width-multiplier": "M·U with M = 1.04 − e^(0.38·ln TUR − 0.54), none where M is not above 0",
    "four-outcomes": " Four outcomes: pass between the large limits; conditional pass on to the tolerance limits; conditional fail on to the outer limits; fail beyond. Tolerance limits and outer limits stand in small figures.",
    # ---- completeness
    "row-typical": "typical: gives no limit",
    "steps-undecided": "steps {steps:comma} cannot be verified with this standard under this rule",
} | EVIDENCE
