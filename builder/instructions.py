"""The sentences of a sheet: steps before and after a group, warnings, and how a limit came about.

One action a step, in the imperative, the actor's object first; warnings stand before the steps they
belong to and hold no step of their own (after DOE-STD-1029-92 and ANSI Z535.6, in our words).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder import wording
from builder.compute.points import Judged, siblings
from builder.compute.table import Range, Row
from builder.compute.tolerance import ONE
from builder.model.base import Span

CHECK_TITLES = {
    "opened": "Inside the case", "by eye": "By eye", "battery and fuses": "Battery and fuses, leads off",
    "display and keys": "Display and keys", "inputs": "Inputs, source in standby", "closing": "Closing up",
}


@dataclass(frozen=True, slots=True)
class Warning:
    word: str   # WARNING where it can kill or maim, CAUTION where it can hurt or break something
    text: str   # the hazard
    rest: str   # what it does and what prevents it


def shown_span(span: Span) -> str:
    return wording.band(span.band, span.high.unit)


def not_isolated_within_rating(planned: list) -> bool:
    """Whether the meter's rating to earth doesn't cover these voltages, so that the source must be isolated."""
    limits = [q.value for _, q in planned[0].function.meter.rated.categories]
    return not limits or max(p.volts for p in planned) > max(limits)


def check_warnings(stage: str) -> tuple[Warning, ...]:
    if stage == "opened":
        return (Warning("WARNING", "a lead left plugged in can make parts inside live.", "Contact can kill. Prevented by pulling every lead, at both ends, "
                        "before the first screw. Who may open a meter is for local rules and the employer."),)
    return ()


def check_opening(stage: str, at_hand: tuple[str, ...] = ()) -> tuple[str, ...]:
    """`at_hand` is what the checks of the group need besides the meter."""
    steps = {"opened": ("Leads: unplugged from meter and source", "Meter: switched off"), "inputs": ("Source: standby", "Leads: the meter's own, in its jacks, tips free")}
    steps["battery and fuses"] = steps["opened"]
    return (*steps.get(stage, ()), *([f"At hand: {', '.join(at_hand)}"] if at_hand else []))


def check_closing(stage: str) -> tuple[str, ...]:
    return ("Covers: closed and fastened",) if stage in ("opened", "battery and fuses") else ()


def point_title(stage: str, first, top: str) -> str:
    title = wording.capital(first.function.title)
    if stage == "hazardous voltage":
        return f"{title}, hazardous live, up to {top}" if first.level is None else f"{title}, hazardous live"
    return f"{title}, up to {top}"


def opening(stage: str, planned: list, live: bool, after_forced: bool = False) -> tuple[str, ...]:
    first = planned[0]
    function, on = first.function, first.range
    jacks, terminals = function.jacks(on), first.output.terminals
    steps = [f"Source: {'0 A' if function.kind.dimension == '[current]' else '0 V'}, standby"]
    dial = function.dial(on)
    keys = function.given.keys
    steps.append(f"Meter: dial to {dial}" if dial else f"Meter: select {function.title}")
    modes = [f.title for f in function.meter.functions if f.keys and f.dial == dial and f.title != function.title]
    if keys:
        steps.append(f"Meter: {keys}")
    elif modes:
        steps.append(f"Meter: no longer in {' or '.join(modes)}")
    if stage != "proving":
        steps.append("Meter: relative, hold, filter off" if function.given.low_impedance else "Meter: relative, hold, filter, low-impedance off")
    if len(jacks) == len(terminals):
        pairs = ", ".join(f"{jack} to {terminal}" for jack, terminal in zip(jacks, terminals))
        steps.append(f"Leads: {pairs} of {first.standard.name}")
    else:
        steps.append(f"Leads: meter {', '.join(jacks)}; {first.standard.name} {', '.join(terminals)}")
    if live:
        steps.append("Plugs: home at both ends, shrouds whole")
    if not function.table.autoranging:
        if len(siblings(function.table, on)) > 1:
            steps.append("Range: select each by hand, as the row says")
    elif any(p.forced for p in planned):
        steps.append("Range: automatic, except where a row says by hand")
    elif after_forced and len(siblings(function.table, on)) > 1:
        steps.append("Range: automatic")
    if live and not_isolated_within_rating(planned):
        steps.append("Source: output isolated from earth, no strap from LO to earth")
    if live:
        steps.append("Hands: off")
    steps.append("Source: output on")
    return tuple(steps)


def closing(point) -> tuple[str, ...]:
    steps = (f"Source: to {'0 A' if point.function.kind.dimension == '[current]' else '0 V'}", "Source: standby")
    # A counter can show 0 with a voltage at its terminals.
    return (*steps, "Meter: back to AC volts, leads where they are") if point.level is not None and point.is_hazardous else steps


PROVING_TITLE = "Lead back to the voltage jack"
LEADS_OFF = ("Leads: off the source first, then off the meter", "Meter: off")
_LEAD_BACK = "Lead: out of the current jack, back in the voltage jack"
PROVING_ALONE = ("Source: 0 V, standby", _LEAD_BACK, "Meter: dial to volts", "Source: a low, known voltage, output on", "Meter: reads it",
                 "Source: to 0 V, standby")


def proving(proof) -> tuple[str, ...]:
    """The source first, as everywhere, then the lead."""
    first, *rest = opening("proving", [proof], False)
    return (first, _LEAD_BACK, *rest)


def warnings(stage: str, planned: list) -> tuple[Warning, ...]:
    found = []
    if any(p.is_hazardous for p in planned):
        first = planned[0]
        kind = "AC" if first.hertz is not None or first.level is not None else "DC"
        volts = wording.number(max(p.volts for p in planned)) + wording.NARROW + "V"
        found.append(Warning("WARNING", f"up to {volts} {kind} at terminals and leads.",
                             "Contact can kill. Prevented by standby before anything is touched and by shrouded plug-to-plug "
                             "leads rated for it. Who may do this is for local electrical codes and the employer."))
        if not_isolated_within_rating(planned):
            rated = planned[0].function.meter.rated.categories
            found.append(Warning("WARNING", "above the meter's rated voltage to earth." if rated else "the meter's file states no rated voltage to earth.",
                                 "The insulation to earth may fail. Prevented by a source whose output is isolated from earth."))
    if stage in ("milliamps", "amps"):
        found.append(Warning("CAUTION", "current jacks are nearly a short circuit.", "A voltage burns fuse or leads. Prevented by standby before leads move."))
    seen = set()
    for p in planned:
        given = p.function.model_of[p.range]
        if given.on_at_most and p.range not in seen:
            seen.add(p.range)
            rest = f", then off for at least {wording.quantity(given.off_at_least)}" if given.off_at_least else ""
            found.append(Warning("CAUTION", f"{wording.quantity(given.range)} range: on for at most {wording.quantity(given.on_at_most)}{rest}.",
                                 "Meter and leads overheat."))
    return tuple(found)


# ---------------------------------------------------------------- how limits came about

HOW_COMPUTED = (
    "The tolerance is the meter's accuracy at the applied value: percent of reading is taken of what is applied (common practice), a count is one step of the last digit of that range.",
    "The two limits, less the guard band if the decision rule has one, are rounded inward to readings that the display can show, so no reading outside the tolerance is accepted (choice of this project). Both limits are accepted.",
    "Where two rows of the accuracy table meet, the tighter one applies.",
    "The range is the lowest whose highest reading holds the applied value, or the one to select by hand.",
)
UNDECIDED = "can’t be verified with this standard under this rule"
CLAMPED = "Where the lower limit would fall below 0 on a function that shows no minus, it is 0."


def accuracy_text(accuracy, unit) -> str:
    """An accuracy in the trade's notation, whatever notation its file used."""
    terms = []
    if accuracy.percent_of_reading:
        terms.append(wording.percent(accuracy.percent_of_reading) + (" of reading" if accuracy.percent_of_range else ""))
    if accuracy.percent_of_range:
        terms.append(wording.percent(accuracy.percent_of_range) + " of range")
    if accuracy.fixed:
        terms.append(wording.amount(accuracy.fixed, unit))
    if accuracy.counts:
        terms.append(wording.counts(accuracy.counts))
    return " + ".join(terms)


def row_text(view, on: Range, row: Row) -> str:
    unit = view.names[on].unit
    parts = [wording.frequencies(row.frequency)] if row.frequency else []
    if row.values:
        parts.append(wording.band(row.values, unit))
    text = "±(" + accuracy_text(row.accuracy, unit) + ")"
    return ", ".join(parts) + (": " if parts else "") + text


def worked(view, judged: Judged, hertz: Fraction | None, growth: Fraction, guarded: str = "") -> tuple[str, ...]:
    """How one point's limits came about, in its own numbers: terms, tolerance, exact and printed limits; `guarded` says
    what a guard band leaves of them."""
    on, row, unit = judged.range, judged.row, view.names[judged.range].unit
    places = wording.decimals(on.resolution, unit)

    def shown(value: Fraction, at_least: int = 0) -> str:
        return wording.amount(value, unit, at_least)

    a, terms, values = row.accuracy, [], []
    if a.percent_of_reading:
        terms.append(f"{wording.percent(a.percent_of_reading)} × {shown(abs(judged.applied), places)}")
        values.append(a.percent_of_reading * abs(judged.applied) / 100)
    if a.percent_of_range:
        terms.append(f"{wording.percent(a.percent_of_range)} × {shown(on.base)}")
        values.append(a.percent_of_range * on.base / 100)
    if a.counts:
        terms.append(f"{wording.number(a.counts)} × {shown(on.resolution)}")
        values.append(a.counts * on.resolution)
    if a.fixed:
        terms.append(shown(a.fixed))
        values.append(a.fixed)
    times, close = (f"{wording.number(growth)} × (", ")") if growth != ONE else ("", "")
    where = f"{shown(judged.applied, places)}" + (f" at {wording.frequency(hertz)}" if hertz is not None else "")
    low, high = judged.applied - judged.tolerance, judged.applied + judged.tolerance
    accepted = judged.accepted
    total = shown(judged.tolerance)
    middle = f" = {times}{' + '.join(map(shown, values))}{close}" if len(values) > 1 or times else ""
    return (
        f"{where} on the {wording.quantity(view.names[on])} range, {row_text(view, on, row)}",
        f"Tolerance: {times}{' + '.join(terms)}{close}{middle} = {total}",
        f"Exact limits: {shown(low)} and {shown(high)}",
        f"{'Within the tolerance' if guarded else 'Accepted'}, in steps of {shown(on.resolution)}: {shown(accepted.low * on.resolution, places)} to {shown(accepted.high * on.resolution, places)}"
        + (" (0 instead of a reading below it)" if accepted.clamped else ""),
        *([guarded] if guarded else []),
    )
