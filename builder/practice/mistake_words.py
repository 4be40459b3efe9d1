"""The mistakes of the trade: what each is called, what prevents it, and whom it happens to, in one
sentence."""

from __future__ import annotations

from builder.numbers import exact_text
from builder.practice.bench import Case
from builder.practice.mistakes import Mistaken

# The lessons that prevent mistakes, by their titles.
LESSONS = {
    "hazards": "Hazards and habits", "near-zero": "What near zero proves",
    "categories": "Ratings and categories", "accuracy-table": "Reading an accuracy table",
    "conditions": "The small print", "counts": "Counts and resolution",
    "every-digit": "Every digit", "limits": "From accuracy to limits",
    "no-limit": "Questions without an answer", "ranges": "Ranges, and where on the range",
    "points": "Points, and ranges by hand", "zero-and-leads": "Zero and leads",
    "four-terminals": "Four terminals", "loading": "The meter takes its share",
    "ac": "AC and frequency", "current": "Current without blowing fuses",
    "fuses-and-heat": "Fuses, burden and heat", "junction": "Measuring the jacks",
    "ratio": "The standard and TUR", "failed-point": "A point that failed",
    "closing": "Leave alone, and close",
}

# Paragraphs of them that prevent several: the lesson, and its heading's anchor; '' is its top.
ROUND = ("hazards", "the-round-of-a-live-point")
TERMS = ("accuracy-table", "two-kinds-of-error-in-one-line")
SAVES_FUSES = ("current", "the-order-that-saves-fuses")
LIMITS = ("limits", "at-each-line-in-this-order")
BASE = ("conditions", "of-reading-of-range")
LEADS = ("zero-and-leads", "")
HABITS = ("hazards", "habits-that-carry-you")
ROWS = ("ac", "a-row-for-each-band")
DIGITS = ("every-digit", "write-all-digits")
INWARD = ("limits", "always-inward")

# Each by its code: what it is called, where pages count it, and the paragraph that prevents it.
MISTAKES = {
    "counts": ("counts forgotten", TERMS),
    "percent": ("percent forgotten", TERMS),
    "fixed": ("fixed amount forgotten", TERMS),
    "of-range": ("percent of range for percent of reading", BASE),
    "of-reading": ("percent of reading for percent of range", BASE),
    "count-of-range": ("counts of another range", ("counts", "thinking-in-counts")),
    "row": ("wrong frequency row", ROWS),
    "looser-row": ("looser row taken", ROWS),
    "part": ("wrong part of the range", ("accuracy-table", "what-a-row-does-not-say")),
    "addition": ("addition forgotten", ("conditions", "to-remember")),
    "sides": ("tolerance up and down exchanged", TERMS),
    "one-side": ("tolerance up taken for both sides", TERMS),
    "nominal": ("nominal for certified value", ("no-limit", "limits-beside-the-round-number")),
    "sign": ("sign lost", LIMITS),
    "outward": ("rounded outward", INWARD),
    "nearest": ("rounded to nearest", INWARD),
    "edge": ("limit itself refused", LIMITS),
    "display": ("display’s decimals not looked at", DIGITS),
    "mistrust": ("display mistrusted", DIGITS),
    "leads": ("leads not taken off", LEADS),
    "too-low": ("range too low", ("ranges", "")),
    "too-high": ("range too high", ("ranges", "where-on-the-range")),
    "name": ("range’s name for its highest reading", ("counts", "where-the-ladder-ends")),
    "tolerance": ("tolerance not looked at", ("no-limit", "the-range-is-not-sure")),
    "needless": ("range by hand without need", ("points", "ranges-by-hand")),
    "sound": ("fault seen in a correct line", LIMITS),
    "verdict": ("verdict the wrong way", LIMITS),
    "gap": ("gap seen where none is", ROUND),
    "standby": ("touched before standby", ROUND),
    "early": ("output on too early", ROUND),
    "hands": ("hands off too early", ROUND),
    "zero": ("standby before zero", ROUND),
    "opened": ("opened before zero and standby", ROUND),
    "unseen": ("near zero not seen", ROUND),
    "fuses": ("live before fuses and leads are known", HABITS),
    "warm": ("thermocouple input warmed", ("junction", "it-rules-the-budget")),
    "dead": ("hazardous before the meter is known to read", HABITS),
    "currents": ("currents too early", SAVES_FUSES),
    "amps": ("amps before milliamps", SAVES_FUSES),
    "proving": ("voltage not proved after currents", SAVES_FUSES),
    "closing": ("closed too early", ("closing", "closing")),
    "jack": ("voltage on a current jack", SAVES_FUSES),
    "current-jack": ("lead in a current jack", SAVES_FUSES),
    "no-current": ("no current through the meter", ("current", "in-the-line-not-across")),
    "other-jack": ("other current jack", SAVES_FUSES),
    "swapped": ("leads exchanged", LEADS),
    "terminals": ("terminals of another output", ("four-terminals", "")),
    "dial": ("dial at another function", ("points", "no-key-under-voltage")),
    "together": ("leads held the wrong way", LEADS),
    "coil": ("coil the wrong way round", ("fuses-and-heat", "clamps")),
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
