"""Numbers, units and outcomes → text, in one place."""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction

from builder.compute.decision import MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE
from builder.compute.points import Refused
from builder.units import Quantity, Unit, decimal_text, decimals_of

NARROW = "\u00a0"  # between a number and its unit


def minus(text: str) -> str:
    """A true minus sign, as wide as a plus."""
    return text.replace("-", "−", 1) if text.startswith("-") else text


def number(value: Fraction, decimals: int = 0) -> str:
    """An exact decimal with at least so many decimals."""
    return minus(decimal_text(value, decimals))


def amount(value: Fraction, unit: Unit, decimals: int = 0) -> str:
    """A value in the unit without prefix, shown in `unit`: 3 V with 3 decimals is '3.000 V'."""
    return f"{number(in_unit(value, unit), decimals)}{NARROW}{unit.shown}"


def in_unit(value: Fraction, unit: Unit) -> Fraction:
    """The number that stands before `unit` for a value. Temperatures keep their own scale."""
    return value if unit.has_no_prefix else value / unit.scale


def quantity(one: Quantity) -> str:
    return f"{number(one.number)}{NARROW}{one.unit.shown}"


def plain_quantity(value: Fraction, unit: Unit, decimals: int = 0) -> str:
    """For the data files: '-0.540 V', a plain hyphen and an ASCII unit."""
    return f"{decimal_text(in_unit(value, unit), decimals)} {unit.ascii}"


_HERTZ = (("MHz", Fraction(10) ** 6), ("kHz", Fraction(10) ** 3), ("Hz", Fraction(1)))


def frequency(value: Fraction, plain: bool = False) -> str:
    """One spelling for each frequency: 1000 Hz and 1 kHz are both '1 kHz'."""
    for name, size in _HERTZ:
        if value >= size or name == "Hz":
            return f"{decimal_text(value / size)}{' ' if plain else NARROW}{name}"
    raise AssertionError


def frequencies(band: tuple[Fraction, Fraction]) -> str:
    low, high = frequency(band[0]), frequency(band[1])
    if low[-3:].strip(NARROW) == high[-3:].strip(NARROW):
        low = low.split(NARROW)[0]
    return f"{low} to {high}"


def band(values: tuple[Fraction, Fraction], unit: Unit) -> str:
    return f"{number(in_unit(values[0], unit))} to {number(in_unit(values[1], unit))}{NARROW}{unit.shown}"


def decimals(resolution: Fraction, unit: Unit) -> int:
    """How many decimals a display shows."""
    return decimals_of(in_unit(resolution, unit))


def tolerance(value: Fraction, unit: Unit, shown_decimals: int) -> str:
    """The tolerance with at most two decimals beyond the display's, fewer where the column would be too narrow for
    them; cut off, marked as cut, and never rounded up."""
    exact = in_unit(value, unit)
    for more in (2, 1, 0):
        step = Fraction(1, 10 ** (shown_decimals + more))
        if (exact / step).denominator == 1:
            return number(exact, shown_decimals)
        text = number(math.floor(exact / step) * step) + "…"
        if len(text) <= 8:
            break
    return text


def percent(value: Fraction) -> str:
    return f"{number(value)}{NARROW}%"


def counts(value: Fraction) -> str:
    return f"{number(value)} count{'' if value == 1 else 's'}"


def grouped(whole: int) -> str:
    """20000 is '20 000'; four digits stay together."""
    return f"{whole:,}".replace(",", NARROW) if whole >= 10000 else str(whole)


def capital(text: str) -> str:
    """A heading's first letter; the rest stays as it was written."""
    return text[:1].upper() + text[1:]


def slug(text: str) -> str:
    """Small ASCII letters, digits and hyphens; letters and signs that have none by their number, so that names stay apart."""
    return re.sub(r"[^a-z0-9]+", "-", "".join(map(_plain_letter, text)).lower()).strip("-")


def _plain_letter(character: str) -> str:
    if character in "µμΩ\u2126":
        return "u" if character in "µμ" else "ohm"
    plain = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    if unicodedata.category(character)[0] == "S" or (not plain and unicodedata.category(character)[0] == "L"):
        return f"-{ord(character):x}-"
    return plain or "-" if not unicodedata.category(character).startswith("M") else ""


def rule(one) -> str:
    """A decision rule's name, as plans write it."""
    if one.kind == MULTIPLE:
        return "guard band of U" if one.g == 1 else f"guard band of {decimal_text(one.g)} U"
    return {SIMPLE: "simple acceptance", ROOT_SUM_SQUARE: "guard band by root-sum-square", MULTIPLIER: "guard band by multiplier M"}[one.kind]


# Why no limit is given. Each takes the facts, already as texts, and gives sentence and hint.
REFUSALS = {
    "beyond-range": ("{applied} is beyond the highest reading of the {range} range, {highest}", "choose a lower value or a higher range"),
    "tolerance-past-range": ("{applied} with its tolerance of {tolerance} runs past the highest reading of the {range} range, {highest}: a good meter could show overload", "{clear}"),
    "leads-past-range": ("{applied} with its tolerance of {tolerance} and up to {beside} of leads runs past the highest reading of the {range} range, {highest}: a good meter could show overload", "{clear}"),
    "coil-current": ("{applied} is no finite number of amperes through the turns of {standards}", "choose a multiple of the turns"),
    "reference-row": ("a reference reading near {applied} may belong to another accuracy row of the {range} range", "choose a value whose row holds from 80 to 125 % of it"),
    "no-minus": ("this function shows no minus, so {applied} can't be read on it", "leave out the sign"),
    "no-zero": ("this function has no accuracy at zero", "choose a value within its specification, or make the point an observation: 'observe: …'"),
    "below-one-count": ("{applied} is below one count of the {range} range, {resolution}", "{clear}"),
    "below-lowest": ("{applied} is below the lowest specified value of the {range} range, {lowest}", "{clear}; below it a point can only be an observation: 'observe: …'"),
    "frequency-outside": ("no accuracy row of the {range} range covers {frequency}", "choose a frequency that a row covers ({rows}), or make the point an observation: 'observe: …'"),
    "value-outside": ("no accuracy row of the {range} range covers {at}", "choose a value that a row covers, or make the point an observation: 'observe: …'"),
    "tighter-row": ("wherever this row holds, a tighter one of the {range} range holds too", "check the ends of the rows"),
    "nothing-displayable": ("within ±{tolerance} of {applied} lies no reading that the {range} range can show", "choose a whole number of counts of {resolution}"),
    "accepts-zero": ("0 would be accepted at {applied} ± {tolerance}: the check would pass a dead meter", "{clear}; or make the point an observation: 'observe: …'"),
    "other-range": ("at {applied} the meter will be on its {chosen} range, not on {wanted}", "{by_hand_or}choose another value"),
    "unclear-range": ("at {applied} a good meter may be on its {other} range as well as on {range}", "{clear}{or_by_hand}"),
    "beyond-input": ("{applied} is more than this input bears, {limit}", "the limits of the input hold before any accuracy; choose a lower value"),
    "beyond-peak": ("the peak of {applied} is more than this input bears, {limit}", "choose a lower value"),
    "beyond-volt-hertz": ("{applied} at {frequency} is beyond the volt-hertz product that this input bears, {limit}", "choose a lower value or a lower frequency"),
    "no-output": ("{standards} can't put out {what}", "name a standard that can, or leave it out: 'because: beyond the reach of the source'"),
    "no-reference": ("there is no reference meter among {standards}", "name one under 'standards', or delete 'compare_on'"),
    "other-method": ("two meters may disagree about a capacitor by percents and both be good, since method and frequency differ", "make the point an observation: 'observe: …', or state one and the same 'method' in the files of the meter and of {standards}"),
    "reference-leads": ("leads are part of both readings that are compared here", "take them off with 'zero: relative', or choose a value at which they no longer matter"),
    "no-coil": ("a clamp-on meter is checked with a coil, and there is none among {standards}", "name one under 'standards'"),
    "beyond-coil": ("{at} is beyond {standards}, which reaches {reach}", "choose a lower value"),
    "no-thermocouple": ("the meter's file doesn't say which type of thermocouple this function is for", "write 'thermocouple: K' at the function"),
    "no-junction": ("a thermocouple input adds the temperature of its own junction, and the plan doesn't say how that is known", "write 'junction: {{measured: thermometer at the V jack, within: 0.3 degC}}'"),
    "outside-thermocouple": ("type {kind} ends at {ends}", "choose a value inside"),
    "beyond-drive": ("{standards} can't drive {applied} into this input: its output ends at {reach}", "choose a lower value"),
    "no-leads": ("two-wire leads are part of the reading, and the plan doesn't describe them", "write 'leads: {{length: 1 m, conductor: 0.75 mm2, contacts: 60 mohm, repeats: 10 mohm}}', for capacitances with 'stray: 100 pF' and 'stray_repeats: 5 pF'; or 'zero: none' in the standard's file where it compensates for them"),
    "no-stray": ("the capacitance between the leads is part of the reading, and the plan's 'leads' don't state it", "add 'stray: 100 pF, stray_repeats: 5 pF'"),
    "no-relative": ("the meter's file names no key for relative readings", "write 'relative: press REL' at the function, or 'zero: subtract'"),
    "wave-too-high": ("{applied} is more than half of the {range} range, where the peak of this wave may not fit", "choose a lower value"),
    "beyond-crest": ("the crest factor of a {wave} wave is more than this input bears, {crest}", "leave it out"),
    "nothing-beyond": ("{standards} ends at this frequency, so there is nothing to look for beyond it", "start lower, or leave it out"),
    "beyond-reach": ("{at} is beyond the reach of {standards}", "{reach}"),
}


def refusal(refused: Refused, *, applied: Fraction, hertz: Fraction | None, unit: Unit, names: dict, clear: str = "",
            by_hand: bool = True) -> tuple[str, str]:
    """Sentence and hint for a refusal; `names` are the shown names of ranges, by range; `by_hand` says whether a range
    can be selected by hand on an autoranging meter."""
    facts = refused.facts
    on = facts.get("on")
    shown_unit = names[on].unit if on in names else unit
    places = decimals(on.resolution, shown_unit) if on is not None else 0
    text = {"applied": amount(applied, shown_unit, places), "frequency": frequency(hertz) if hertz is not None else "DC",
            "clear": clear or "choose another value", "or_by_hand": "", "by_hand_or": ""}
    text["at"] = text["applied"] + (f" at {text['frequency']}" if hertz is not None else "") + (
        f" with {facts['level']}" if facts.get("level") else "")
    if on is not None:
        text.update(range=quantity(names[on]), highest=amount(on.highest, shown_unit, places),
                    resolution=amount(on.resolution, shown_unit),
                    rows=", ".join(frequencies(r.frequency) for r in on.rows if r.frequency))
        if on.lowest is not None:
            text["lowest"] = amount(on.lowest, shown_unit)
    for key in ("other", "wanted", "chosen"):
        if key in facts:
            text[key] = quantity(names[facts[key]])
    if by_hand and "wanted" in text:
        text["by_hand_or"] = f"write 'force_range: {text['wanted']}' if the range is to be selected by hand, or "
    if by_hand and "other" in text:
        text["or_by_hand"] = f"; or 'force_range: {text['range']}' to select it by hand"
    if "tolerance" in facts:
        text["tolerance"] = tolerance(facts["tolerance"], shown_unit, places) + NARROW + shown_unit.shown
    if "beside" in facts:
        text["beside"] = amount(facts["beside"], shown_unit)
    if "limit" in facts:
        text["limit"] = f"{number(facts['limit'])}{NARROW}V·Hz" if refused.code == "beyond-volt-hertz" else _prefixless(facts["limit"], shown_unit)
    if "low" in facts and "high" in facts:
        text["ends"] = f"{number(facts['low'])} and {number(facts['high'])}{NARROW}°C"
    for key in ("standards", "what", "reach", "kind", "wave", "crest"):
        if key in facts:
            text[key] = facts[key]
    sentence, hint = REFUSALS[refused.code]
    return sentence.format(**text), hint.format(**text)


def _prefixless(value: Fraction, unit: Unit) -> str:
    base = {"V": "V", "A": "A"}.get(unit.shown[-1], unit.shown)
    return f"{number(value)}{NARROW}{base}"
