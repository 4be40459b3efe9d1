"""The ticked steps that open and close a group of points. One action a step, the actor's object
first."""

from __future__ import annotations

from builder.compute.exact.points import siblings
from builder.formats.functions import APART, TOGETHER
from builder.numbers import exact_text
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import not_isolated_within_rating
from builder.procedure.supplies import ARTIFACT, COIL, REFERENCE, SOURCE, THERMOCOUPLE

BLANK = "____"  # a line to write on


def point_title(stage: str, planned: list[PlannedPoint], top: str) -> str:
    first = planned[0]
    title = exact_text.capital(first.function.title)
    if first.zero is not None:
        return f"{title}, leads {first.function.kind.zero_with}"
    if stage == "hazardous voltage":
        return (f"{title}, hazardous live, up to {top}" if first.level is None
                else f"{title}, hazardous live")
    how = {COIL: f" through {first.supply.coil.coil.turns} turns" if first.supply.coil else "",
           REFERENCE: f", compared with {first.standard.name}"}.get(first.supply.method, "")
    if first.correction:
        how += ", less the leads" if first.correction == "subtract" else ", relative to the leads"
    return f"{title}, up to {top}{how}"


def _rest(point: PlannedPoint) -> str:
    """What a source at rest puts out."""
    current = point.function.kind.dimension == "[current]" or (
        point.level is not None and point.level.dimension == "[current]")
    return "0 A" if current else "0 V"


def opening(stage: str, planned: list[PlannedPoint], live: bool,
            after_forced: bool = False) -> tuple[str, ...]:
    first = planned[0]
    function, on, method = first.function, first.range, first.supply.method
    from_source = method in (SOURCE, THERMOCOUPLE, COIL) and first.zero is None
    steps = ([f"Source: {_rest(first)}, standby"] if from_source else ["Supply: off"]
             if method == REFERENCE and _is_in_circuit(first) else [])
    dial, keys = function.dial(on), function.given.keys
    steps.append(f"Meter: dial to {dial}" if dial else f"Meter: select {function.title}")
    modes = [f.title for f in function.meter.functions
             if f.keys and f.dial == dial and f.title != function.title]
    if keys and method != COIL:
        steps.append(f"Meter: {keys}")
    elif modes:
        steps.append(f"Meter: no longer in {' or '.join(modes)}")
    relative = first.correction == "relative" and first.zero is None
    if stage != "proving":
        off = ["hold", "filter"] if relative else ["relative", "hold", "filter"]
        if function.kind.dimension == "[voltage]" and not function.given.low_impedance:
            off.append("low-impedance")
        steps.append(f"Meter: {', '.join(off)} off")
    if relative:
        steps.append(
            f"Meter: {function.given.relative}, leads still {function.kind.zero_with}; reads 0")
    steps += _leads(first)
    if live:
        steps.append("Plugs: home at both ends, shrouds whole")
    if not function.table.autoranging:
        if len(siblings(function.table, on)) > 1:
            steps.append("Range: select each by hand, as the row says")
    elif any(p.forced for p in planned):
        steps.append("Range: automatic, except where a row says by hand")
    elif after_forced and len(siblings(function.table, on)) > 1:
        steps.append("Range: automatic")
    if live and from_source and not_isolated_within_rating(planned):
        steps.append("Source: output isolated from earth, no strap from LO to earth")
    if live:
        steps.append("Hands: off")
    if from_source:
        steps.append("Source: output on")
    elif steps[0] == "Supply: off":
        steps.append("Supply: on")
    return tuple(steps)


def _is_in_circuit(point: PlannedPoint) -> bool:
    """Whether both meters hang in one circuit, other than on a part that each measures by
    itself."""
    return point.function.kind.dimension in ("[voltage]", "[current]")


def _pairs(jacks: tuple[str, ...], terminals: tuple[str, ...], name: str) -> str:
    if len(jacks) == len(terminals):
        pairs = ", ".join(f"{jack} to {terminal}"
                          for jack, terminal in zip(jacks, terminals, strict=True))
        return f"Leads: {pairs} of {name}"
    return f"Leads: meter {', '.join(jacks)}; {name} {', '.join(terminals)}"


def _leads(first: PlannedPoint) -> list[str]:
    supply, jacks = first.supply, first.function.jacks(first.range)
    name, terminals = supply.standard.name, supply.terminals
    if first.zero is not None:
        if supply.output.zero == "its zero setting":
            return [_pairs(jacks, terminals, name), f"{name}: at its zero setting"]
        ends = {TOGETHER: "far ends plugged together",
                APART: "far ends apart, lying as for the points"}[first.function.kind.zero_with]
        return [f"Leads: in {' and '.join(jacks)}, {ends}"]
    if supply.method == COIL:
        coil = supply.coil
        pairs = ", ".join(f"{a} to {b}"
                          for a, b in zip(terminals, coil.coil.terminals, strict=False))
        steps = ["Plugs: out of source and meter, of the leads used before",
                 f"Coil: {pairs} of {coil.name}, return leads away from the jaw",
                 "Jaw: closed around the coil, its middle in the middle of the jaw, square to it, "
                 "arrow along the current"]
        zero = [f"Meter: {first.function.given.keys}"] if first.function.given.keys else []
        return [*steps, *zero, f"Meter: no current yet, reads {BLANK} {first.function.unit.shown}"]
    if supply.method == THERMOCOUPLE:
        plan = first.junction
        return [_pairs(jacks, terminals, name).replace("Leads: ", "Leads: plain copper, ", 1),
                f"Junction: {plan.measured}, out of draughts, until it rests",
                f"Junction: reads {BLANK} °C",
                "Source: the millivolts of the table below, for that junction"]
    if supply.method == REFERENCE:
        it = supply.compare_on
        if first.function.kind.dimension == "[current]":
            return [
                f"Leads: {it}, {' and '.join(terminals)} of {name}, {' and '.join(jacks)} of the "
                "meter, all in series"]
        if first.function.kind.dimension == "[voltage]":
            return [
                f"Leads: {' and '.join(jacks)} of the meter and {' and '.join(terminals)} of "
                f"{name} side by side on {it}"]
        if first.function.kind.dimension != "[capacitance]":
            return [f"{name}: alone on {it}, for the reference reading",
                    f"Meter: {' and '.join(jacks)} alone on it, {name} taken off"]
        return ["Capacitor: discharged through a resistor, seen under 5 V",
                "Capacitor: after 10 s still under 5 V",
                f"{name}: alone on {it}, {terminals[0]} at its +, for the reference reading",
                f"Meter: {' and '.join(jacks)} alone on it, {jacks[0]} at its +, {name} taken off"]
    discharged = (["Capacitors: discharged"] if supply.method == ARTIFACT
                  and first.function.kind.dimension == "[capacitance]" else [])
    return [*discharged, _pairs(jacks, terminals, name)]


def closing(point: PlannedPoint) -> tuple[str, ...]:
    if point.zero is not None:
        return ()
    if point.supply.method == ARTIFACT:
        return ("Meter: relative off",) if point.correction == "relative" else ()
    if point.supply.method == REFERENCE:
        relative = ("Meter: relative off",) if point.correction == "relative" else ()
        return (("Supply: off",) if _is_in_circuit(point)
                else (*relative, "Meter: leads off the part"))
    steps = (f"Source: to {_rest(point)}", "Source: standby")
    if point.supply.method == COIL:
        return (*steps, "Jaw: open it only now")
    # A counter can show 0 with a voltage at its terminals.
    return ((*steps, "Meter: back to AC volts, leads where they are")
            if point.level is not None and point.is_hazardous else steps)


PROVING_TITLE = "Lead back to the voltage jack"
LEADS_OFF = ("Leads: off the source first, then off the meter", "Meter: off")
_LEAD_BACK = "Lead: out of the current jack, back in the voltage jack"
PROVING_ALONE = ("Source: 0 V, standby", _LEAD_BACK, "Meter: dial to volts",
                 "Source: a low, known voltage, output on", "Meter: reads it",
                 "Source: to 0 V, standby")


def proving(proof: PlannedPoint) -> tuple[str, ...]:
    """The source first, as everywhere, then the lead."""
    first, *rest = opening("proving", [proof], False)
    return (first, _LEAD_BACK, *rest)
