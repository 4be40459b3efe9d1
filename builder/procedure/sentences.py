"""The sentences of a sheet: steps before and after a group, warnings, and how a limit came about.

One action a step, in the imperative, the actor's object first; warnings stand before the steps they
belong to and hold no step of their own (after DOE-STD-1029-92 and ANSI Z535.6, in our words).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ONE
from builder.formats.fields import Span
from builder.numbers import exact_text
from builder.numbers.units import Quantity, Unit

CHECK_TITLES = {
    "opened": "Inside the case", "by eye": "By eye",
    "battery and fuses": "Battery and fuses, leads off",
    "display and keys": "Display and keys", "inputs": "Inputs, source in standby",
    "closing": "Closing up",
}


@dataclass(frozen=True, slots=True)
class Warning:
    word: str   # WARNING where it can kill or maim, CAUTION where it can hurt or break something
    text: str   # the hazard
    rest: str   # what it does and what prevents it


def shown_span(span: Span) -> str:
    return exact_text.band(span.band, span.high.unit)


def not_isolated_within_rating(planned: list) -> bool:
    """Whether the meter's rating to earth doesn't cover these voltages, so that the source must be
    isolated."""
    limits = [q.value for _, q in planned[0].function.meter.rated.categories]
    return not limits or max(p.volts for p in planned) > max(limits)


def junctions(ambient: Span) -> tuple[Fraction, Fraction]:
    """The junction temperatures that a table of millivolts goes over, in whole degC: those of a
    workshop, or the sheet's own band where it is wider."""
    low, high = ambient.celsius
    return min(_WORKSHOP[0],
               Fraction(math.floor(low))), max(_WORKSHOP[1], Fraction(math.ceil(high)))


_WORKSHOP = (Fraction(18), Fraction(28))


def to_find_bandwidth(judged: JudgedPoint, unit: Unit, reach: Fraction) -> str:
    places = exact_text.decimals(judged.range.resolution, unit)
    low, high = (exact_text.amount(n * judged.range.resolution, unit, places)
                 for n in (judged.accepted.low, judged.accepted.high))
    return (
        f"Raise the frequency, at most to {rounded_frequency(reach)}, until the reading leaves "
        f"{low} to {high}; write that frequency")


def to_find_ceiling(most: Fraction | None) -> str:
    """`most` is the frequency at which the input's volt-hertz product ends, if it is stated."""
    end = f", at most to {rounded_frequency(most)}," if most is not None else ""
    return (
        f"Raise the frequency{end} until the meter shows overload or stops counting; write the "
        "highest value shown")


def rounded_frequency(hertz: Fraction) -> str:
    """Down to three figures, so that it fits a sheet."""
    step = Fraction(10) ** (len(str(int(hertz))) - 3)
    return exact_text.frequency(math.floor(hertz / step) * step)


def to_find_sensitivity(stated: Quantity | None) -> str:
    return "Lower the level until the counter stops; write the lowest level that counts" + (
        f" (data sheet: {exact_text.quantity(stated)})" if stated else "")


def to_expect(judged: JudgedPoint, unit: Unit, wave: str, responds: str | None, kept: float,
              mean: float) -> str:
    """What a true-r.m.s. meter is expected to read of a wave with harmonics beyond its bandwidth,
    and what one that responds to the mean would show."""
    places = exact_text.decimals(judged.range.resolution, unit)
    step = judged.range.resolution
    lowest = math.floor((judged.applied * Fraction(kept) - judged.tolerance) / step) * step
    highest = math.ceil((judged.applied + judged.tolerance) / step) * step
    other = round(judged.applied * Fraction(mean) / step) * step
    band = (
        f"{exact_text.number(exact_text.in_unit(lowest, unit), places)} to "
        f"{exact_text.amount(highest, unit, places)}")
    return (
        f"{exact_text.capital(wave)} wave: {band} if true r.m.s., about "
        f"{exact_text.amount(other, unit, places)} if mean-responding"
        + (f" (data sheet: {responds})" if responds else ""))


def check_warnings(stage: str) -> tuple[Warning, ...]:
    if stage == "opened":
        return (Warning("WARNING", "a lead left plugged in can make parts inside live.",
                        "Contact can kill. Prevented by pulling every lead, at both ends, "
                        "before the first screw. Who may open a meter is for local rules and the "
                        "employer."),)
    return ()


def check_opening(stage: str, at_hand: tuple[str, ...] = ()) -> tuple[str, ...]:
    """`at_hand` is what the checks of the group need besides the meter."""
    steps = {"opened": ("Leads: unplugged from meter and source", "Meter: switched off"),
             "inputs": ("Source: standby", "Leads: the meter's own, in its jacks, tips free")}
    steps["battery and fuses"] = steps["opened"]
    return (*steps.get(stage, ()), *([f"At hand: {', '.join(at_hand)}"] if at_hand else []))


def check_closing(stage: str) -> tuple[str, ...]:
    return ("Covers: closed and fastened",) if stage in ("opened", "battery and fuses") else ()


def warnings(stage: str, planned: list) -> tuple[Warning, ...]:
    stated = []
    if any(p.is_hazardous for p in planned):
        first = planned[0]
        kind = "AC" if first.hertz is not None or first.level is not None else "DC"
        volts = exact_text.number(max(p.volts for p in planned)) + exact_text.NARROW + "V"
        rest = "the supply off" if first.supply.method == "reference" else "standby"
        stated.append(Warning("WARNING", f"up to {volts} {kind} at terminals and leads.",
                              f"Contact can kill. Prevented by {rest} before anything is touched "
                              "and by shrouded plug-to-plug leads rated for it. Who may do this is "
                              "for local electrical codes and the employer."))
        if not_isolated_within_rating(planned):
            rated = planned[0].function.meter.rated.categories
            stated.append(Warning("WARNING", "above the meter's rated voltage to earth." if rated
                                  else "the meter's file states no rated voltage to earth.",
                                  "The insulation to earth may fail. Prevented by a source whose "
                                  "output is isolated from earth."))
    if stage in ("milliamps", "amps") and not planned[0].function.given.clamp:
        stated.append(Warning("CAUTION", "current jacks are nearly a short circuit.",
                              "A voltage burns fuse or leads. Prevented by standby before leads "
                              "move."))
    coil = planned[0].supply.coil
    if coil is not None:
        given = coil.coil
        times = (f" On for at most {exact_text.quantity(given.on_at_most)}"
                 + (f", then off for at least {exact_text.quantity(given.off_at_least)}."
                    if given.off_at_least else ".")
                 if given.on_at_most else "")
        stated.append(Warning("CAUTION",
                              "a coil gets warm, and opening the jaw or the circuit under current "
                              "makes a voltage." + times,
                              "Prevented by a jaw that closes before the current and opens after "
                              "it is at zero."))
    if planned[0].function.kind.dimension == "[capacitance]" and planned[0].zero is None:
        stated.append(Warning("CAUTION", "a charged capacitor damages the meter.",
                              "It may hurt. Prevented by discharging through a resistor rated for "
                              "it, and by a check under 5 V before it meets the meter."))
    seen = set()
    for p in planned:
        given = p.function.model_of[p.range]
        if given.on_at_most and p.range not in seen:
            seen.add(p.range)
            rest = (f", then off for at least {exact_text.quantity(given.off_at_least)}"
                    if given.off_at_least else "")
            stated.append(Warning("CAUTION",
                                  f"{exact_text.quantity(given.range)} range: on for at most "
                                  f"{exact_text.quantity(given.on_at_most)}{rest}.",
                                  "Meter and leads overheat."))
    return tuple(stated)


# ---------------------------------------------------------------- how limits came about

HOW_COMPUTED = (
    "The tolerance is the meter's accuracy at the applied value: percent of reading is taken of "
    "what is applied (common practice), a count is one step of the last digit of that range.",
    "The two limits, less the guard band if the decision rule has one, are rounded inward to "
    "readings that the display can show, so no reading outside the tolerance is accepted (choice "
    "of this project). Both limits are accepted.",
    "Where two rows of the accuracy table meet, the tighter one applies.",
    "The range is the lowest whose highest reading holds the applied value, or the one to select "
    "by hand.",
)
METHODS = {
    "artifact": "The limits of a certified value stand around that value, not around the nominal "
    "one, which only names the point.",
    "reference": "Compared with a reference meter: the tolerance is the meter’s accuracy at the "
    "reference reading, less the guard band if there is one, rounded inward; the difference is the "
    "meter’s reading less the reference reading, with all its digits.",
    "thermocouple": "A thermocouple input adds the temperature of its own junction at the jacks, "
    "so E(T) − E(junction) is applied, never E(T − junction).",
    "coil": "A coil of N turns in the jaw is N times the source’s current.",
}
CORRECTED = (
    "Two-wire readings are judged less the reading of the leads alone, to all digits of both; such "
    "a reading may be below zero. "
    "The meter’s own offset at zero drops out of them, and is in the reading of the leads.")
LEADS_FORGOTTEN = (
    "Leads are left in the reading where they are under half a count and under a tenth of the "
    "tolerance (choice of this project).")


def leads_text(leads) -> str:
    """What the limit for the leads alone rests on, beside the meter's own offset."""
    return (
        f"The leads are taken as the plan describes them: {exact_text.quantity(leads.length)} each "
        f"of {exact_text.number(leads.conductor)}{exact_text.NARROW}mm², contacts at most "
        f"{exact_text.quantity(leads.contacts)}"
        + (f", between them at most {exact_text.quantity(leads.stray)}" if leads.stray
           else "") + ".")


LOADED = (
    "Where source and meter state their resistances, the limits stand around what the source "
    "leaves at the meter’s input, "
    "to a thousandth of a count (choice of this project).")
UNDECIDED = "can’t be verified with this standard under this rule"
CLAMPED = "Where the lower limit would fall below 0 on a function that shows no minus, it is 0."


def accuracy_text(accuracy, unit) -> str:
    """An accuracy in the trade's notation, whatever notation its file used."""
    terms = []
    if accuracy.percent_of_reading:
        terms.append(
            exact_text.percent(accuracy.percent_of_reading) + (
                " of reading" if accuracy.percent_of_range else ""))
    if accuracy.percent_of_range:
        terms.append(exact_text.percent(accuracy.percent_of_range) + " of range")
    if accuracy.fixed:
        terms.append(exact_text.amount(accuracy.fixed, unit))
    if accuracy.counts:
        terms.append(exact_text.counts(accuracy.counts))
    return " + ".join(terms)


def row_text(view, on: RangeTable, row: AccuracyRow) -> str:
    unit = view.names[on].unit
    parts = [exact_text.frequencies(row.frequency)] if row.frequency else []
    if row.values:
        parts.append(exact_text.band(row.values, unit))
    text = "±(" + accuracy_text(row.accuracy, unit) + ")"
    return ", ".join(parts) + (": " if parts else "") + text


def worked(view, judged: JudgedPoint, hertz: Fraction | None, growth: Fraction,
           guarded: str = "") -> tuple[str, ...]:
    """How one point's limits came about, in its own numbers: terms, tolerance, exact and printed
    limits; `guarded` says what a guard band leaves of them."""
    on, row, unit = judged.range, judged.row, view.names[judged.range].unit
    places = exact_text.decimals(on.resolution, unit)

    def shown(value: Fraction, at_least: int = 0) -> str:
        return exact_text.amount(value, unit, at_least)

    a, terms, values = row.accuracy, [], []
    if a.percent_of_reading:
        terms.append(
            f"{exact_text.percent(a.percent_of_reading)} × {shown(abs(judged.applied), places)}")
        values.append(a.percent_of_reading * abs(judged.applied) / 100)
    if a.percent_of_range:
        terms.append(f"{exact_text.percent(a.percent_of_range)} × {shown(on.base)}")
        values.append(a.percent_of_range * on.base / 100)
    if a.counts:
        terms.append(f"{exact_text.number(a.counts)} × {shown(on.resolution)}")
        values.append(a.counts * on.resolution)
    if a.fixed:
        terms.append(shown(a.fixed))
        values.append(a.fixed)
    times, close = (f"{exact_text.number(growth)} × (", ")") if growth != ONE else ("", "")
    where = f"{shown(judged.applied, places)}" + (
        f" at {exact_text.frequency(hertz)}" if hertz is not None else "")
    low, high = judged.applied - judged.tolerance, judged.applied + judged.tolerance
    accepted = judged.accepted
    total = shown(judged.tolerance)
    middle = (f" = {times}{' + '.join(map(shown, values))}{close}" if len(values) > 1 or times
              else "")
    return (
        f"{where} on the {exact_text.quantity(view.names[on])} range, {row_text(view, on, row)}",
        f"Tolerance: {times}{' + '.join(terms)}{close}{middle} = {total}",
        f"Exact limits: {shown(low)} and {shown(high)}",
        f"{'Within the tolerance' if guarded else 'Accepted'}, in steps of {shown(on.resolution)}: "
        f"{shown(accepted.low * on.resolution, places)} to "
        f"{shown(accepted.high * on.resolution, places)}"
        + (" (0 instead of a reading below it)" if accepted.clamped else ""),
        *([guarded] if guarded else []),
    )
