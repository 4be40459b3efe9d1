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

JOINS = {"dot": " · ", "comma": ", ", "and": " and ", "or": " or ", "plus": " + ", "semicolon": "; "}

SENTENCES = {
    # ---- parts of other sentences
    "as-written": "{text}",
    "pair": "{jack} to {terminal}",
    "together": "together", "apart": "apart",
    "relative": "relative", "hold": "hold", "filter": "filter", "low-impedance": "low-impedance",
    "by-standby": "standby", "by-supply-off": "the supply off",
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
    "leads-unplugged": "Leads: unplugged from meter and source",
    "switched-off": "Meter: switched off",
    "own-leads": "Leads: the meter's own, in its jacks, tips free",
    "stays-on": "Auto power off: off ({how})",
    "at-hand": "At hand: {things:comma}",
    "covers-closed": "Covers: closed and fastened",
    # ---- steps: the source, the meter, the range
    "source-standby": "Source: {rest}, standby",
    "supply-off": "Supply: off",
    "dial": "Meter: dial to {dial}",
    "select": "Meter: select {function}",
    "keys": "Meter: {keys}",
    "modes-off": "Meter: no longer in {modes:or}",
    "keys-off": "Meter: {keys:comma} off",
    "relative-on": "Meter: {relative}, leads still {held}; reads 0",
    "plugs-home": "Plugs: home at both ends, shrouds whole",
    "range-by-hand": "Range: select each by hand, as the row says",
    "range-mixed": "Range: automatic, except where a row says by hand",
    "range-automatic": "Range: automatic",
    "switch-off-known": "Bench: everyone here knows its switch-off",
    "second-person": "Second person and protective equipment: as local rules ask",
    "area-marked": "Area: marked, other people outside",
    "range-select": "Range: select {range} by hand",
    "range-seen": "Display: see the {range} range, decimals as in {zero}",
    "source-isolated": "Source: output isolated from earth, no strap from LO to earth",
    "supply-isolated": "Supply: output isolated from earth, no strap to earth",
    "one-earth": "Earth: at most one in this circuit, at {terminal} of {standard}",
    "one-earth-supply": "Earth: at most one in this circuit, at the low side of {part}",
    "hands-off": "Hands: off",
    "source-on": "Source: output on",
    "supply-on": "Supply: on",
    # ---- steps: what is connected
    "leads": "Leads: {pairs:comma} of {standard}",
    "leads-unpaired": "Leads: meter {jacks:comma}; {standard} {terminals:comma}",
    "copper-leads": "Leads: plain copper, {pairs:comma} of {standard}",
    "copper-leads-unpaired": "Leads: plain copper, meter {jacks:comma}; {standard} {terminals:comma}",
    "zero-setting": "{standard}: at its zero setting",
    "leads-together": "Leads: in {jacks:and}, far ends plugged together",
    "leads-apart": "Leads: in {jacks:and}, far ends apart, lying as for the points",
    "plugs-out": "Plugs: out of source and meter, of the leads used before",
    "coil": "Coil: {pairs:comma} of {coil}, return leads away from the jaw",
    "jaw-closed": "Jaw: closed around the coil, its middle in the middle of the jaw, square to it, arrow along the current",
    "no-current": "Meter: no current yet, reads " + BLANK + " {unit}",
    "junction": "Junction: {measured}, out of draughts, until it rests",
    "junction-reads": "Junction: reads " + BLANK + " °C",
    "millivolts": "Source: the millivolts of the table below, for that junction",
    "in-series": "Leads: {part}, {terminals:and} of {standard}, {jacks:and} of the meter, all in series",
    "side-by-side": "Leads: {jacks:and} of the meter and {terminals:and} of {standard} side by side on {part}",
    "reference-alone": "{standard}: alone on {part}, for the reference reading",
    "meter-alone": "Meter: {jacks:and} alone on it, {standard} taken off",
    "discharged": "Capacitor: discharged through a resistor, seen under 5 V",
    "still-discharged": "Capacitor: after 10 s still under 5 V",
    "reference-alone-poled": "{standard}: alone on {part}, {high} at its +, for the reference reading",
    "meter-alone-poled": "Meter: {jacks:and} alone on it, {high} at its +, {standard} taken off",
    "all-discharged": "Capacitors: discharged",
    # ---- steps: after the points
    "relative-off": "Meter: relative off",
    "part-off": "Meter: leads off the part",
    "source-zero": "Source: to {rest}",
    "source-turn": "Source: turn the polarity",
    "supply-turn": "Supply: turn the polarity",
    "standby": "Source: standby",
    "near-zero": "Meter: near zero, reads " + BLANK + " {unit}",
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
    "at": "at",
    "at-certified": "Certified",
    "at-source": "Source",
    "at-junction": "at {celsius}",
    "undecided": "can’t be verified with this standard under this rule",
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
    "aside-difference": "What the meter may differ from the reference reading: find the last column whose reading isn’t above it. Outside the table the points don’t hold.",
    "aside-from": "reference from, {unit}",
    "aside-at-most": "difference at most, ±",
    "aside-none": "none",
    "aside-millivolts": "Millivolts to apply, by the temperature of the meter’s own junction (type {kind}, ITS-90: E(T) − E(junction)). For each {tenth} that it is warmer than a column says take off the last line’s millivolts.",
    "aside-step": "Step",
    "aside-apply": "Apply",
    "aside-per-tenth": "off per {tenth}",
    # ---- notes in a drawing
    "drawn-zero-setting": "at its zero setting",
    "drawn-copper": "copper leads",
    "drawn-in-turn": "first on {standard}, then on the meter",
    # ---- equipment
    "output": "{output}",
    "output-wave": "{output}, {wave} wave",
    "turns": "{turns} turns",
    "reach-values": "{values:comma}",
    "reach-up-to": "up to {highest}",
    "reach-up-to-at": "up to {highest}, {frequencies}",
    "reach-in-wire": "up to {highest} in its wire",
    "overdue": "overdue on {day}; {because}",
    "not-accepted": "not accepted",
    # ---- the head: conditions and decision rule
    "growth-inside": "The band goes beyond {reference}; the limits are those inside it, the tightest that hold anywhere in the band.",
    "growth": "At {ambient} the accuracy is {times} times that of {reference} (the meter's own coefficient, for {degrees} degrees beyond).",
    "rule-simple": "Decision rule: simple acceptance. The limits are those of the tolerance, without a guard band{rests}{unknown}.",
    "rule-rests": "; this rests on a test uncertainty ratio of {lowest}:1 or better",
    "rule-unknown-one": "; {count} point has no known uncertainty",
    "rule-unknown": "; {count} points have no known uncertainty",
    "rule-guarded": "Decision rule: the limits lie inside the tolerance T by a guard band of {width} (U of the whole comparison at {coverage}, on the evidence page; ± shows T).{four}",
    "width-multiple": "{g} U",
    "width-u": "U",
    "width-root-sum-square": "T − √(T² − U²)",
    "width-multiplier": "M·U with M = 1.04 − e^(0.38·ln TUR − 0.54), none where M is not above 0",
    "four-outcomes": " Four outcomes: pass between the large limits; conditional pass on to the tolerance limits, conditional fail on to the outer limits, both in small figures; fail beyond.",
    # ---- completeness
    "steps-undecided": "steps {steps:comma} can't be verified with this standard under this rule",
    # ---- an accuracy in the trade's notation, and how limits came about
    "count": "{number} count",
    "counts": "{number} counts",
    "of-reading": "{percent} of reading",
    "of-range": "{percent} of range",
    "accuracy": "{terms:plus}",
    "row": "±({terms:plus})",
    "row-where": "{where:comma}: ±({terms:plus})",
    "how-tolerance": "The tolerance is the meter's accuracy at the applied value: percent of reading is taken of what is applied (common practice), a count is one step of the last digit of that range.",
    "how-rounded": "The two limits, less the guard band if the decision rule has one, are rounded inward to readings that the display can show, so no reading outside the tolerance is accepted (choice of this project). Both limits are accepted.",
    "how-tighter": "Where two rows of the accuracy table meet, the tighter one applies.",
    "how-range": "The range is the lowest whose highest reading holds the applied value, or the one to select by hand.",
    "how-clamped": "Where the lower limit would fall below 0 on a function that shows no minus, it is 0.",
    "how-artifact": "The limits of a certified value stand around that value, not around the nominal one, which only names the point.",
    "how-reference": "Compared with a reference meter: the tolerance is the meter’s accuracy at the reference reading, less the guard band if there is one, rounded inward; the difference is the meter’s reading less the reference reading, with all its digits.",
    "how-thermocouple": "A thermocouple input adds the temperature of its own junction at the jacks, so E(T) − E(junction) is applied, never E(T − junction).",
    "how-coil": "A coil of N turns in the jaw is N times the source’s current.",
    "how-corrected": "Two-wire readings are judged less the reading of the leads alone, to all digits of both; such a reading may be below zero. The meter’s own offset at zero drops out of them, and is in the reading of the leads.",
    "how-leads-left": "Leads are left in the reading where they are under half a count and under a tenth of the tolerance (choice of this project).",
    "how-leads": "The leads are taken as the plan describes them: {length} each of {conductor}, contacts at most {contacts}.",
    "how-leads-stray": "The leads are taken as the plan describes them: {length} each of {conductor}, contacts at most {contacts}, between them at most {stray}.",
    "how-loaded": "Where source and meter state their resistances, the limits stand around what the source leaves at the meter’s input, to a thousandth of a count (choice of this project).",
    "how-range-base": "Percent of range on {function}, {range} range: of {base}.",
    "how-range-name": "Percent of range on {function}, {range} range: of {base}, the range's name, since the meter's file says nothing else.",
    "worked-point": "{applied} on the {range} range, {row}",
    "worked-point-at": "{applied} at {frequency} on the {range} range, {row}",
    "worked-tolerance": "Tolerance: {sum} = {total}",
    "worked-exact": "Exact limits: {low} and {high}",
    "worked-accepted": "Accepted, in steps of {step}: {low} to {high}{clamped}",
    "worked-within": "Within the tolerance, in steps of {step}: {low} to {high}{clamped}",
    "worked-clamped": " (0 instead of a reading below it)",
    "worked-undecided": "After the guard band: {undecided}",
    "worked-guarded": "Accepted, after a guard band of {width} on both sides: {low} to {high}",
    # ---- the evidence: adequacy, risks, formulae in numbers
    "ratio-good": "{good} of {all} points at a test uncertainty ratio of {minimum}:1 or better.",
    "ratio-lowest": "The plan states no minimum test uncertainty ratio; the lowest of {count} points is {ratio}:1, at step {step}.",
    "marked": "Step {step}, {apply}: {mark}.",
    "marked-at": "Step {step}, {apply} at {at}: {mark}.",
    "all-undecided": "Can't be verified with this standard under this rule: steps {steps:comma}.",
    "risk-specific": "Specific risk: if a meter reads exactly at an acceptance limit, it is really out of tolerance in at most {risk} of such cases (step {step}).",
    "risk-accept": "False accept: if {share} of such meters come in tolerance, at most {risk} of all meters are out of tolerance at a point and accepted there (step {step}).",
    "risk-reject": "False reject: of the same meters, up to {risk} are in tolerance at a point and rejected there (step {step}).",
    "risk-rounding": "Both are for limits at T − w exactly; that the printed limits are rounded inward to the display makes false accepts rarer and false rejects more frequent, the more so the fewer counts T has.",
    "risk-shape": "Both take the errors of such meters as normally distributed around zero; meters with a common bias do worse.",
    "budget-tolerance": "Step {step}, {apply} on {range}: T = {tolerance}",
    "budget-u": "u = √({squares}){unit} = {u}{unit}; ν_eff = {degrees}",
    "budget-k": "k = {k}, the half-width that holds {coverage} of the components’ shapes together, divided by u",
    "budget-k-student": "k = {k}, the half-width that holds {coverage} of the components’ shapes together, divided by u, times Student’s t for ν_eff over the normal factor",
    "budget-expanded": "U = k·u = {k} × {u} = {expanded} (two figures, rounded up where a tenth of the last or more would be lost)",
    "budget-ratio": "TUR = T/U = {tur}:1, from unrounded numbers; accuracy ratio = T/(the standard’s stated accuracy) = {accuracy_ratio}:1",
    "budget-no-room": "Guard band: U is more than T, so no reading is left to accept",
    "budget-difference": "Guard band w = {guard} ({counts} counts); the difference may be ±(T − w), rounded inward",
    "budget-limits": "Guard band w = {guard} ({counts} counts); limits at ±(T − w) around {apply}, rounded inward to the display: {low} to {high}",
    "budget-none-left": "Guard band w = {guard} ({counts} counts); limits at ±(T − w) around {apply}, rounded inward to the display: no reading is left",
    "more-than-tolerance": "more than T",
}
