"""The mistakes of the trade: what each is called, and whom it happens to, in one sentence."""

from __future__ import annotations

from builder.numbers import exact_text
from builder.practice.bench import Case
from builder.practice.mistakes import Mistaken

# By their code; the pages count them under these names.
NAMES = {
    "counts": "counts forgotten", "percent": "percent forgotten", "fixed": "fixed amount forgotten",
    "of-range": "percent of range for percent of reading",
    "of-reading": "percent of reading for percent of range",
    "count-of-range": "counts of another range", "row": "wrong frequency row",
    "looser-row": "looser row taken", "part": "wrong part of the range",
    "addition": "addition forgotten",
    "sides": "tolerance up and down exchanged", "one-side": "tolerance up taken for both sides",
    "nominal": "nominal for certified value", "sign": "sign lost", "outward": "rounded outward",
    "nearest": "rounded to nearest",
    "edge": "limit itself refused", "display": "display’s decimals not looked at",
    "mistrust": "display mistrusted", "leads": "leads not taken off",
    "too-low": "range too low", "too-high": "range too high",
    "name": "range’s name for its highest reading", "tolerance": "tolerance not looked at",
    "needless": "range by hand without need", "sound": "fault seen in a correct line",
    "verdict": "verdict the wrong way", "gap": "gap seen where none is",
    "standby": "touched before standby", "early": "output on too early",
    "hands": "hands off too early",
    "zero": "standby before zero", "opened": "opened before zero and standby",
    "unseen": "near zero not seen", "fuses": "live before fuses and leads are known",
    "warm": "thermocouple input warmed", "dead": "hazardous before the meter is known to read",
    "currents": "currents too early", "amps": "amps before milliamps",
    "proving": "voltage not proved after currents", "closing": "closed too early",
    "jack": "voltage on a current jack", "current-jack": "lead in a current jack",
    "no-current": "no current through the meter",
    "other-jack": "other current jack", "swapped": "leads exchanged",
    "terminals": "terminals of another output", "dial": "dial at another function",
    "together": "leads held the wrong way", "coil": "coil the wrong way round",
}

# The lessons that prevent them, by their titles.
LESSONS = {
    "hazards": "Hazards and habits", "near-zero": "What near zero proves",
    "accuracy-table": "Reading an accuracy table", "conditions": "The small print",
    "counts": "Counts and resolution", "every-digit": "Every digit",
    "limits": "From accuracy to limits", "no-limit": "Questions without an answer",
    "ranges": "Ranges, and where on the range", "points": "Points, and ranges by hand",
    "zero-and-leads": "Zero and leads", "four-terminals": "Four terminals",
    "ac": "AC and frequency", "current": "Current without blowing fuses",
    "fuses-and-heat": "Fuses, burden and heat", "junction": "Measuring the jacks",
    "closing": "Leave alone, and close",
}

# The paragraph of a lesson that prevents it: the lesson, and its heading's anchor; '' is its top.
_ROUND = ("hazards", "the-round-of-a-live-point")
_TERMS = ("accuracy-table", "two-kinds-of-error-in-one-line")
_SAVES_FUSES = ("current", "the-order-that-saves-fuses")
_LIMITS = ("limits", "at-each-line-in-this-order")
PREVENTED_BY = {
    "counts": _TERMS, "percent": _TERMS, "fixed": _TERMS,
    "of-range": ("conditions", "of-reading-of-range"),
    "of-reading": ("conditions", "of-reading-of-range"),
    "count-of-range": ("counts", "thinking-in-counts"),
    "row": ("ac", "a-row-for-each-band"), "looser-row": ("ac", "a-row-for-each-band"),
    "part": ("accuracy-table", "what-a-row-does-not-say"),
    "addition": ("conditions", "to-remember"), "sides": _TERMS, "one-side": _TERMS,
    "nominal": ("no-limit", "limits-beside-the-round-number"),
    "sign": _LIMITS, "outward": ("limits", "always-inward"), "nearest": ("limits", "always-inward"),
    "edge": _LIMITS, "verdict": _LIMITS, "sound": _LIMITS,
    "display": ("every-digit", "write-all-digits"), "mistrust": ("every-digit", "write-all-digits"),
    "leads": ("zero-and-leads", ""),
    "too-low": ("ranges", ""), "too-high": ("ranges", "where-on-the-range"),
    "name": ("counts", "where-the-ladder-ends"),
    "tolerance": ("no-limit", "the-range-is-not-sure"), "needless": ("points", "ranges-by-hand"),
    **dict.fromkeys(("gap", "standby", "early", "hands", "zero", "opened", "unseen"), _ROUND),
    "unseen": ("near-zero", "what-it-does-not-prove"),
    "fuses": ("hazards", "habits-that-carry-you"), "dead": ("hazards", "habits-that-carry-you"),
    "warm": ("junction", "it-rules-the-budget"),
    **dict.fromkeys(("currents", "amps", "proving", "jack", "current-jack", "other-jack"),
                    _SAVES_FUSES),
    "no-current": ("current", "in-the-line-not-across"),
    "closing": ("closing", "closing"),
    "swapped": ("zero-and-leads", ""), "together": ("zero-and-leads", ""),
    "terminals": ("four-terminals", ""), "dial": ("points", "no-key-under-voltage"),
    "coil": ("fuses-and-heat", "clamps"),
}


def sentence(case: Case, mistaken: Mistaken, so: str = "gets this") -> str:
    """Who comes to these limits, or to what follows from them (`so`), and what is right. To be said
    only where this mistake alone leads there."""
    return f"Whoever {_does(case, mistaken, so)}."


def _does(case: Case, mistaken: Mistaken, so: str) -> str:
    unit, on, row, x = case.unit, case.on, case.judged.row, case.judged.applied
    a = row.accuracy
    applied = exact_text.amount(abs(x), unit, case.places)
    count = exact_text.amount(on.resolution, unit)
    code, other = mistaken.code, mistaken.other
    if code == "counts":
        return (f"forgets the counts {so}: {exact_text.counts(a.counts)} of {count} belong to "
                "the tolerance")
    if code == "percent":
        return (f"forgets the percent {so}: "
                f"{exact_text.percent(a.percent_of_reading)} of {applied} belongs to the tolerance")
    if code == "fixed":
        return (f"forgets the fixed amount {so}: {exact_text.amount(a.fixed, unit)} belongs "
                "to the tolerance")
    if code == "of-range":
        return (f"takes {exact_text.percent(a.percent_of_reading)} of the range, "
                f"{exact_text.amount(on.base, unit)}, {so}: it is of the reading, {applied}")
    if code == "of-reading":
        return (f"takes {exact_text.percent(a.percent_of_range)} of the reading, {applied}, "
                f"{so}: it is of the range, {exact_text.amount(on.base, unit)}")
    if code == "count-of-range":
        name = case.view.names[other]
        return (f"takes the counts of the {exact_text.quantity(name)} range, "
                f"{exact_text.amount(other.resolution, name.unit)} each, {so}: here one is "
                f"{count}")
    if code == "row":
        held = exact_text.frequencies(other.frequency, other.frequency_without)
        return (f"takes the row for {held} {so}: {exact_text.frequency(case.hertz)} is not in "
                "it")
    if code == "part":
        held = exact_text.band(other.values, unit, other.values_without)
        return f"takes the row for {held} {so}: {applied} is not in it"
    if code == "nominal":
        return (f"puts the limits around the nominal {exact_text.amount(case.nominal, unit)} gets "
                f"this: certified is {exact_text.amount(x, unit)}")
    return {"looser-row": f"takes the looser of two rows {so}: both hold here, so the tighter "
                          "one applies",
            "sign": f"loses the sign {so}: the value is negative, so its limits are too",
            "outward": f"rounds the limits outward {so}, and accepts readings outside the "
                       "tolerance",
            "addition": f"forgets what the data sheet adds on top of the row {so}",
            "sides": f"takes the tolerance up for the one down, and that for the other, {so}",
            "one-side": f"takes the tolerance up for both limits {so}: that down is another",
            "nearest": f"rounds the limits to the nearest reading {so}: inward is right",
            }[code]
