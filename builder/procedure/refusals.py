"""Why no limit is given: a sentence and a hint for each code of `Refused`."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.compared import HIGHEST, LOWEST
from builder.compute.exact.points import Refused
from builder.numbers.exact_text import (NARROW, amount, decimals, frequencies, frequency, number,
                                        quantity, sides, tolerance)
from builder.numbers.units import Unit

# Why no limit is given. Each takes the facts, already as texts, and gives sentence and hint.
REFUSALS = {
    "beyond-range": ("{applied} is beyond the highest reading of the {range} range, {highest}",
                     "choose a lower value or a higher range"),
    "tolerance-past-range": (
        "{applied} with its tolerance of {tolerance} runs past the highest reading of the {range} "
        "range, {highest}: a good meter could show overload", "{clear}"),
    "leads-past-range": (
        "{applied} with its tolerance of {tolerance} and up to {beside} of leads runs past the "
        "highest reading of the {range} range, {highest}: a good meter could show overload",
        "{clear}"),
    "coil-current": ("{applied} is no finite number of amperes through the turns of {standards}",
                     "choose a multiple of the turns"),
    "reference-row": (
        "a reference reading near {applied} may belong to another accuracy row of the {range} "
        "range", "choose a value whose row holds from {near} of it"),
    "no-minus": ("this function shows no minus, so {applied} can't be read on it",
                 "leave out the sign"),
    "no-zero": ("this function has no accuracy at zero",
                "choose a value within its specification, or make the point an observation: "
                "'observe: …'"),
    "below-one-count": ("{applied} is below one count of the {range} range, {resolution}",
                        "{clear}"),
    "below-lowest": ("{applied} is below the lowest specified value of the {range} range, {lowest}",
                     "{clear}; below it a point can only be an observation: 'observe: …'"),
    "outside-sensor": ("{applied} is outside {sensor}, which goes from {low} to {high}",
                       "choose a value inside"),
    "below-absolute-zero": ("{applied} is colder than anything can be, {low}",
                            "choose a higher value"),
    "frequency-outside": ("no accuracy row of the {range} range covers {frequency}",
                          "choose a frequency that a row covers ({rows}), or make the point an "
                          "observation: 'observe: …'"),
    "value-outside": ("no accuracy row of the {range} range covers {at}",
                      "choose a value that a row covers, or make the point an observation: "
                      "'observe: …'"),
    "tighter-row": ("wherever this row holds, a tighter one of the {range} range holds too",
                    "check the ends of the rows"),
    "nothing-displayable": (
        "within {sides} of {applied} lies no reading that the {range} range can show",
        "choose a whole number of counts of {resolution}"),
    "accepts-zero": (
        "0 would be accepted at {applied} {sides}: the check would pass a dead meter",
        "{clear}; or make the point an observation: 'observe: …'"),
    "two-sided-minus": (
        "the accuracy differs up and down, and no data sheet says which is which at {applied}, where "
        "the reading may be below zero", "choose a value above zero, or make the point an "
        "observation: 'observe: …'"),
    "rows-cross": (
        "two rows of the {range} range hold at {at}, one tighter up and the other tighter down",
        "choose a value or a frequency at which one row holds"),
    "needs-frequency": ("the accuracy of the {range} range grows with the frequency, and none is "
                        "given", "add the frequency"),
    "no-coefficient": (
        "the accuracy of the {range} range is stated for the reference temperature only, and the "
        "ambient lies beyond it", "stay inside 'holds', or write 'temperature_coefficient' if the "
        "data sheet gives one"),
    "typical": (
        "the accuracy for {at} on the {range} range is a typical figure, which gives no limit",
        "choose another value, or make the point an observation: 'observe: …'"),
    "reference-sides": (
        "the accuracy of the {range} range differs up and down, and a sheet prints one difference "
        "from a reference reading", "make the point an observation: 'observe: …'"),
    "other-range": ("at {applied} the meter will be on its {chosen} range, not on {wanted}",
                    "{by_hand_or}choose another value"),
    "unclear-range": ("at {applied} a good meter may be on its {other} range as well as on {range}",
                      "{clear}{or_by_hand}"),
    "beyond-input": ("{applied} is more than this input bears, {limit}",
                     "the limits of the input hold before any accuracy; choose a lower value"),
    "beyond-peak": ("the peak of {applied} is more than this input bears, {limit}",
                    "choose a lower value"),
    "beyond-volt-hertz": (
        "{applied} at {frequency} is beyond the volt-hertz product that this input bears, {limit}",
        "choose a lower value or a lower frequency"),
    "no-output": ("{standards} can't put out {what}",
                  "name a standard that can, or leave it out: 'because: beyond the reach of the "
                  "source'"),
    "no-measurement": ("{standards} can't measure {what}",
                       "name a reference meter that can, or leave it out"),
    "no-reference": ("there is no reference meter among {standards}",
                     "name one under 'standards', or delete 'compare_on'"),
    "other-method": (
        "two meters may disagree about a capacitor by percents and both be good, since method and "
        "frequency differ",
        "make the point an observation: 'observe: …', state one and the same 'method' in the "
        "files of the meter and of {standards}, or how far that may put them apart: 'other_method: "
        "2 %'"),
    "other-method-of-box": (
        "{standards} is certified at {method}, and the meter's file states another method or none",
        "state how far that may put the meter off, 'other_method: 0.5 %' at the box or at the "
        "point, or make the point an observation: 'observe: …'"),
    "reference-correction": (
        "the corrections of {standards} are to be applied, and its certificate has no values on "
        "both sides of all that it may read there, four fifths to five quarters of {at}",
        "choose a value, not zero, round which the certificate has values of this frequency, or "
        "write 'use: stated'"),
    "reference-leads": ("leads are part of both readings that are compared here",
                        "take them off with 'zero: relative', or choose a value at which they no "
                        "longer matter"),
    "no-coil": ("a clamp-on meter is checked with a coil, and there is none among {standards}",
                "name one under 'standards'"),
    "beyond-coil": ("{at} is beyond {standards}, which reaches {reach}", "choose a lower value"),
    "no-thermocouple": (
        "the meter's file doesn't say which type of thermocouple this function is for",
        "write 'thermocouple: K' at the function"),
    "no-junction": (
        "a thermocouple input adds the temperature of its own junction, and the plan doesn't say "
        "how that is known",
        "write 'junction: {{measured: thermometer at the V jack, within: 0.3 degC}}'"),
    "outside-thermocouple": (
        "type {kind} ends at {ends}, and this point or the meter's own junction lies beyond",
        "choose a value inside, or a narrower 'ambient'"),
    "outside-resistances": ("with its leads this part is beyond all that {kind} is defined for",
                            "choose a value further inside"),
    "beyond-drive": (
        "{standards} can't drive {applied} into this input: its output ends at {reach}",
        "choose a lower value"),
    "no-leads": ("two-wire leads are part of the reading, and the plan doesn't describe them",
                 "write 'leads: {{length: 1 m, conductor: 0.75 mm2, contacts: 60 mohm, repeats: 10 "
                 "mohm}}', for capacitances with 'stray: 100 pF' and 'stray_repeats: 5 pF'; or "
                 "'zero: none' in the standard's file where it compensates for them"),
    "no-stray": (
        "the capacitance between the leads is part of the reading, and the plan's 'leads' don't "
        "state it", "add 'stray: 100 pF, stray_repeats: 5 pF'"),
    "no-loop": (
        "the inductance of the leads is part of the reading, and the plan's 'leads' don't state it",
        "add 'inductance: 2 uH, inductance_repeats: 0.5 uH'"),
    "own-zero": (
        "taking the leads off takes off the meter's own error at zero too, and its file doesn't "
        "say that the accuracy holds after zeroing",
        "write 'after_zeroing: yes' at the function where the data sheet says so; else state "
        "under the plan's 'leads' from which standard they are known, 'known: {{standard: …}}', "
        "make the point an observation, 'observe: …', or use a standard that compensates for "
        "leads"),
    "known-relative": (
        "the leads are known, so nothing is taken off, and this accuracy isn't one after zeroing",
        "delete 'zero: relative'"),
    "known-compared": (
        "the reference meter's own leads are in its reading, and those that are known in the "
        "meter's", "use a box or a source, or make the point an observation: 'observe: …'"),
    "known-zero-setting": (
        "the values of {standards} are differences from its zero setting, so that what stands at "
        "the jacks isn't known", "name another standard, or make the point an observation: "
        "'observe: …'"),
    "no-relative": ("the meter's file names no key for relative readings",
                    "write 'relative: press REL' at the function, or 'zero: subtract'"),
    "wave-too-high": (
        "{applied} is more than half of the {range} range, where the peak of this wave may not fit",
        "choose a lower value"),
    "beyond-crest": ("the crest factor of a {wave} wave is more than this input bears, {crest}",
                     "leave it out"),
    "nothing-beyond": (
        "{standards} ends at this frequency, so there is nothing to look for beyond it",
        "start lower, or leave it out"),
    "nothing-below": (
        "{standards} ends at this level, so there is nothing to look for below it",
        "start higher, or leave it out"),
    "on-too-short": ("the input may be on for {limited}, and a reading takes {takes} here",
                     "leave the point out, or name a coil or a range that may be on for longer"),
    "beyond-reach": ("{at} is beyond the reach of {standards}", "{reach}"),
}


# Those that the question for any value's limits can meet: what compute/exact/points refuses where
# no plan forces a range and no leads are taken off.
OF_ANY_VALUE = (
    "beyond-range", "tolerance-past-range", "no-minus", "no-zero", "below-one-count",
    "below-lowest", "outside-sensor", "below-absolute-zero", "frequency-outside", "value-outside",
    "two-sided-minus", "rows-cross", "typical",
    "needs-frequency", "nothing-displayable", "accepts-zero",
    "unclear-range", "other-range", "beyond-input", "beyond-peak", "beyond-volt-hertz")


def refusal(refused: Refused, *, applied: Fraction, hertz: Fraction | None, unit: Unit, names: dict,
            clear: str = "",
            by_hand: bool = True) -> tuple[str, str]:
    """Sentence and hint for a refusal; `names` are the shown names of ranges, by range; `by_hand`
    says whether a range can be selected by hand on an autoranging meter."""
    facts = refused.facts
    on = facts.get("on")
    shown_unit = names[on].unit if on in names else unit
    places = decimals(on.resolution, shown_unit) if on is not None else 0
    text = {"applied": amount(applied, shown_unit, places),
            "frequency": frequency(hertz) if hertz is not None else "DC",
            "clear": clear or "choose another value", "or_by_hand": "", "by_hand_or": "",
            "near": f"{number(LOWEST * 100)} to {number(HIGHEST * 100)} %"}
    text["at"] = text["applied"] + (f" at {text['frequency']}" if hertz is not None else "") + (
        f" with {facts['level']}" if facts.get("level") else "")
    if on is not None:
        text.update(range=quantity(names[on]), highest=amount(on.highest, shown_unit, places),
                    resolution=amount(on.resolution, shown_unit),
                    rows=", ".join(frequencies(r.frequency, r.frequency_without) for r in on.rows if r.frequency))
        if on.lowest is not None:
            text["lowest"] = amount(on.lowest, shown_unit)
    for key in ("other", "wanted", "chosen"):
        if key in facts:
            text[key] = quantity(names[facts[key]])
    if by_hand and "wanted" in text:
        text["by_hand_or"] = (
            f"write 'force_range: {text['wanted']}' if the range is to be selected by hand, or ")
    if by_hand and "other" in text:
        text["or_by_hand"] = f"; or 'force_range: {text['range']}' to select it by hand"
    if "tolerance" in facts:
        text["tolerance"] = tolerance(facts["tolerance"], shown_unit,
                                      places) + NARROW + shown_unit.shown
    if "sides" in facts:
        text["sides"] = sides(facts["sides"].below, facts["sides"].above, shown_unit, places)
    if "beside" in facts:
        text["beside"] = amount(facts["beside"], shown_unit)
    if "limit" in facts:
        limit_unit = ("V·Hz" if refused.code == "beyond-volt-hertz"
                      else shown_unit.without_prefix.shown)
        text["limit"] = f"{number(facts['limit'])}{NARROW}{limit_unit}"
    if "span" in facts:
        span = facts["span"]
        text.update(sensor=span.sensor, low=amount(span.low, shown_unit),
                    high=amount(span.high, shown_unit) if span.high is not None else "")
    if "low" in facts and "high" in facts:
        text["ends"] = f"{number(facts['low'])} and {number(facts['high'])}{NARROW}°C"
    for key in ("standards", "what", "reach", "kind", "wave", "crest", "limited", "takes",
                "method"):
        if key in facts:
            text[key] = facts[key]
    sentence, hint = REFUSALS[refused.code]
    return sentence.format(**text), hint.format(**text)

