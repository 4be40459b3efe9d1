"""The mistakes of the trade: what each is called, and what it was, in one sentence."""

from __future__ import annotations

from builder.numbers import exact_text
from builder.practice.bench import Case
from builder.practice.mistakes import Mistaken

# By their code; the page counts them under these names.
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
    "needless": "range by hand without need", "sound": "fault seen in a sound line",
    "verdict": "verdict the wrong way",
    "standby": "touched before standby", "early": "output on too early",
    "zero": "standby before zero", "opened": "opened before zero and standby",
    "unseen": "near zero not seen", "fuses": "live before fuses and leads are known",
    "warm": "thermocouple input warmed", "dead": "hazardous before the meter is known to read",
    "currents": "currents too early", "amps": "amps before milliamps",
    "proving": "voltage not proved after currents", "closing": "closed too early",
    "jack": "voltage on a current jack", "no-current": "no current through the meter",
    "other-jack": "other current jack", "swapped": "leads exchanged",
    "terminals": "terminals of another output", "dial": "dial at another function",
    "together": "leads held the wrong way", "coil": "coil the wrong way round",
}


def sentence(case: Case, mistaken: Mistaken) -> str:
    """What went wrong on the way to mistaken limits."""
    unit, on, row, x = case.unit, case.on, case.judged.row, case.judged.applied
    a = row.accuracy
    applied = exact_text.amount(abs(x), unit, case.places)
    count = exact_text.amount(on.resolution, unit)
    if mistaken.code == "counts":
        return (f"The counts were forgotten: {exact_text.counts(a.counts)} of {count} belong to "
                "the tolerance.")
    if mistaken.code == "percent":
        return ("The percent of reading was forgotten: "
                f"{exact_text.percent(a.percent_of_reading)} of {applied} belongs to the "
                "tolerance.")
    if mistaken.code == "fixed":
        return (f"The fixed amount was forgotten: {exact_text.amount(a.fixed, unit)} belongs to "
                "the tolerance.")
    if mistaken.code == "of-range":
        return (
            f"{exact_text.percent(a.percent_of_reading)} was taken of the range, "
            f"{exact_text.amount(on.base, unit)}, instead of the reading, {applied}.")
    if mistaken.code == "of-reading":
        return (
            f"{exact_text.percent(a.percent_of_range)} was taken of the reading, {applied}, "
            f"instead of the range, {exact_text.amount(on.base, unit)}.")
    if mistaken.code == "count-of-range":
        name = case.view.names[mistaken.other]
        return (
            f"The counts were taken as those of the {exact_text.quantity(name)} range, "
            f"{exact_text.amount(mistaken.other.resolution, name.unit)} each, instead of {count}.")
    if mistaken.code == "row":
        other = mistaken.other
        held = exact_text.frequencies(other.frequency, other.frequency_without)
        return (
            f"The row for {held} was taken, and "
            f"{exact_text.frequency(case.hertz)} isn’t in it.")
    if mistaken.code == "part":
        other = mistaken.other
        held = exact_text.band(other.values, unit, other.values_without)
        return (
            f"The row for {held} was taken, and {applied} "
            "isn’t in it.")
    if mistaken.code == "looser-row":
        return "Two rows hold here and the looser one was taken: the tighter one applies."
    if mistaken.code == "nominal":
        return (
            f"The limits were put around the nominal {exact_text.amount(case.nominal, unit)} "
            f"instead of the certified {exact_text.amount(x, unit)}.")
    return {"sign": "The sign was lost: the value is negative, so its limits are too.",
            "outward": "The limits were rounded outward, which accepts readings outside the "
                       "tolerance.",
            "addition": "What the data sheet adds here on top of the row was forgotten.",
            "sides": "The tolerance up was taken down, and the one down was taken up.",
            "one-side": "The tolerance up was taken for both limits: that down is another.",
            "nearest": "The limits were rounded to the nearest reading instead of inward.",
            }[mistaken.code]
