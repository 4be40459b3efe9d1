"""The ticked steps that open and close a group, as codes with what they need; their words are in
sentences.py."""

from __future__ import annotations

from builder.compute.exact.order import (BATTERY_AND_FUSES, BY_EYE, CLOSING, DISPLAY_AND_KEYS,
                                         HAZARDOUS_VOLTAGE, INPUTS, OPENED, PROVING)
from builder.compute.exact.points import siblings
from builder.formats.functions import APART, TOGETHER
from builder.numbers import exact_text
from builder.procedure.cautions import not_isolated_within_rating
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.row_steps import (NO_START, RowStart, by_hand, range_steps, rest, rested,
                                         switched_on)
from builder.procedure.sentences import Sentence, sentence
from builder.procedure.supplies import ARTIFACT, COIL, OHMS, REFERENCE, SOURCE, THERMOCOUPLE
from builder.procedure.supply import LEADS

Steps = tuple[Sentence, ...]


# ---------------------------------------------------------------- titles

_CHECKS = {OPENED: "title-opened", BY_EYE: "title-by-eye",
           BATTERY_AND_FUSES: "title-battery-and-fuses",
           DISPLAY_AND_KEYS: "title-display-and-keys", INPUTS: "title-inputs",
           CLOSING: "title-closing"}


def check_title(stage: str, has_fuses: bool = True) -> Sentence:
    return sentence("title-battery" if stage == BATTERY_AND_FUSES and not has_fuses
                    else _CHECKS[stage])


def point_title(stage: str, planned: list[PlannedPoint], top: str) -> Sentence:
    """`top` is the largest value of the group."""
    first = planned[0]
    function = exact_text.capital(first.function.title)
    if first.zero is not None or first.supply.method == LEADS:
        return sentence("title-leads", function=function,
                        held=sentence(first.function.kind.zero_with))
    if stage == HAZARDOUS_VOLTAGE:
        return (sentence("title-live", function=function, top=top) if first.level is None
                else sentence("title-live-signal", function=function))
    how = less = ""
    if first.supply.method == COIL and first.supply.coil:
        how = sentence("through-turns", turns=first.supply.coil.coil.turns)
    elif first.supply.method == REFERENCE:
        how = sentence("compared-with", standard=first.standard.name)
    if first.correction:
        less = sentence("less-leads" if first.correction == "subtract" else "relative-to-leads")
    return sentence("title-points", function=function, top=top, how=how, less=less)


# ---------------------------------------------------------------- around checks

def check_opening(stage: str, at_hand: tuple[str, ...] = (), stays_on: str | None = None) -> Steps:
    """`at_hand` is what the checks of the group need besides the meter, `stays_on` what keeps the
    meter from switching itself off."""
    leads_off = (sentence("leads-unplugged"), sentence("switched-off"))
    steps = {OPENED: leads_off, BATTERY_AND_FUSES: leads_off,
             INPUTS: (sentence("standby"), sentence("own-leads"))}.get(stage, ())
    if stage == DISPLAY_AND_KEYS and stays_on:
        steps = (sentence("stays-on", how=stays_on),)
    return (*steps, *([sentence("at-hand", things=at_hand)] if at_hand else []))


def check_closing(stage: str) -> Steps:
    return (sentence("covers-closed"),) if stage in (OPENED, BATTERY_AND_FUSES) else ()


# ---------------------------------------------------------------- around points

# Common practice; who must be there, and with what, is for local rules.
BEFORE_LIVE = (sentence("switch-off-known"), sentence("second-person"), sentence("area-marked"))


def opening(stage: str, planned: list[PlannedPoint], live: bool, after_forced: bool = False,
            first_live: bool = False, start: RowStart = NO_START) -> Steps:
    """`planned` are the group's points as its rows have them, `start` is what its first row needs,
    which is ticked here. `after_forced` says that a range was selected by hand in a group before,
    `first_live` that no group before was live."""
    first = planned[0]
    function, on, method = first.function, first.range, first.supply.method
    from_source = _has_output(first) and first.zero is None
    from_supply = method == REFERENCE and _is_in_circuit(first)
    steps = list(BEFORE_LIVE) if first_live else []
    if from_source or from_supply:
        steps.append(rested(first))
    steps += _selected(stage, first)
    if first.correction == "relative" and first.zero is None:
        steps.append(sentence("relative-on", relative=function.given.relative,
                              held=sentence(function.kind.zero_with)))
    steps += _leads(first)
    if any(p.supply.added for p in planned):
        steps.append(sentence("reference-sum", standard=first.standard.name))
    if live:
        steps.append(sentence("plugs-home"))
    if (live or start.on) and by_hand(first):
        steps += range_steps(first)
    elif not function.table.autoranging:
        if len(siblings(function.table, on)) > 1:
            steps.append(sentence("range-by-hand"))
    elif any(p.forced for p in planned) and not live:
        steps.append(sentence("range-mixed"))
    elif after_forced and len(siblings(function.table, on)) > 1:
        steps.append(sentence("range-automatic"))
    steps += start.rest
    if live:
        steps += _earth(planned, from_source, first_live)
        steps.append(sentence("hands-off"))
    if from_source or from_supply:
        steps.append(switched_on(first, start.on))
    return tuple(steps)


def _has_output(point: PlannedPoint) -> bool:
    """Whether a source puts it out, with an output to switch on and off."""
    return point.supply.method in (SOURCE, THERMOCOUPLE, COIL) or (
        point.supply.method == OHMS and not point.supply.is_part)


def _earth(planned: list[PlannedPoint], from_source: bool, first_live: bool) -> list[Sentence]:
    """None where the voltage exceeds the meter's rating to earth; else at most one, at the low side
    of what puts the voltage out."""
    if not_isolated_within_rating(planned):
        return [sentence("source-isolated" if from_source else "supply-isolated")]
    if not first_live:
        return []
    supply = planned[0].supply
    return [sentence("one-earth", terminal=supply.terminals[-1], standard=supply.standard.name)
            if from_source else sentence("one-earth-supply", part=supply.compare_on)]


def _selected(stage: str, first: PlannedPoint) -> list[Sentence]:
    """What the dial and the keys select, and which keys must be off."""
    function = first.function
    dial, keys = function.dial(first.range), function.given.keys
    steps = [sentence("dial", dial=dial) if dial else sentence("select", function=function.title)]
    modes = [f.title for f in function.meter.functions
             if f.keys and f.dial == dial and f.title != function.title]
    if keys and first.supply.method != COIL:
        steps.append(sentence("keys", keys=keys))
    elif modes:
        steps.append(sentence("modes-off", modes=tuple(modes)))
    if stage != PROVING:
        off = ["hold", "filter"]
        if first.correction != "relative" or first.zero is not None:
            off.insert(0, "relative")
        if function.kind.dimension == "[voltage]" and not function.given.low_impedance:
            off.append("low-impedance")
        steps.append(sentence("keys-off", keys=tuple(map(sentence, off))))
    return steps


def _is_in_circuit(point: PlannedPoint) -> bool:
    """Whether both meters hang in one circuit, other than on a part that each measures by
    itself."""
    return point.function.kind.dimension in ("[voltage]", "[current]")


def _pairs(ends: tuple[str, ...], others: tuple[str, ...]) -> tuple[Sentence, ...]:
    return tuple(sentence("pair", jack=end, terminal=other)
                 for end, other in zip(ends, others, strict=False))


def _paired(code: str, first: PlannedPoint) -> Sentence:
    """`code` is that of jacks and terminals that pair; where they don't, each is listed."""
    jacks, terminals = first.function.jacks(first.range), first.supply.terminals
    name = first.supply.standard.name
    if len(jacks) == len(terminals):
        return sentence(code, pairs=_pairs(jacks, terminals), standard=name)
    return sentence(f"{code}-unpaired", jacks=jacks, terminals=terminals, standard=name)


def _leads(first: PlannedPoint) -> list[Sentence]:
    """What is connected, and how it is made ready."""
    supply, function = first.supply, first.function
    if supply.known:
        return [sentence("known-leads", standard=supply.known.standard.name),
                sentence("leads-together", jacks=function.jacks(first.range))
                if supply.method == LEADS else _paired("leads", first)]
    if first.zero is not None:
        if supply.output.zero == "its zero setting":
            return [_paired("leads", first),
                    sentence("zero-setting", standard=supply.standard.name)]
        return [sentence({TOGETHER: "leads-together", APART: "leads-apart"}[
            function.kind.zero_with], jacks=function.jacks(first.range))]
    if supply.method == COIL:
        return _coil(first)
    if supply.method == THERMOCOUPLE:
        return [_paired("copper-leads", first),
                sentence("junction", measured=first.junction.measured),
                sentence("junction-reads"), sentence("millivolts")]
    if supply.method == REFERENCE:
        return _compared(first)
    if supply.method == OHMS:
        return [_paired("leads", first), sentence("ohms", standard=supply.standard.name)]
    discharged = ([sentence("all-discharged")] if supply.method == ARTIFACT
                  and function.kind.dimension == "[capacitance]" else [])
    return [*discharged, _paired("leads", first)]


def _coil(first: PlannedPoint) -> list[Sentence]:
    coil, keys = first.supply.coil, first.function.given.keys
    return [sentence("plugs-out"),
            sentence("coil", pairs=_pairs(first.supply.terminals, coil.coil.terminals),
                     coil=coil.name),
            sentence("jaw-closed"), *([sentence("keys", keys=keys)] if keys else []),
            *([sentence("no-current", unit=first.function.unit.shown)] if first.level is None
              else [])]


# A loose part may come charged up to the voltage printed on it. Of a can for 63 V the peak is 4 W,
# and 1 mF is empty in some 5 s (common practice).
DISCHARGE = "1\u00a0kΩ, 5\u00a0W"


def _compared(first: PlannedPoint) -> list[Sentence]:
    """Both meters in one circuit, or one after the other alone on a part."""
    supply, dimension = first.supply, first.function.kind.dimension
    jacks, terminals = first.function.jacks(first.range), supply.terminals
    part, standard = supply.compare_on, supply.standard.name
    if _is_in_circuit(first):
        return [sentence("in-series" if dimension == "[current]" else "side-by-side", part=part,
                         standard=standard, jacks=jacks, terminals=terminals)]
    if dimension != "[capacitance]":
        return [sentence("reference-alone", standard=standard, part=part),
                sentence("meter-alone", standard=standard, jacks=jacks)]
    proof = (sentence("proof", standard=standard)
             if any(one.what == "DC voltage" for one in supply.standard.measures)
             else sentence("proof-second"))
    again = sentence("discharged-again", resistor=DISCHARGE, proof=proof)
    return [sentence("discharged", resistor=DISCHARGE, proof=proof), sentence("still-discharged"),
            sentence("reference-before", standard=standard, part=part, high=terminals[0]), again,
            sentence("meter-alone-poled", standard=standard, jacks=jacks, high=jacks[0]), again,
            sentence("reference-after", standard=standard, high=terminals[0])]


def closing(point: PlannedPoint) -> Steps:
    if point.zero is not None or point.supply.method == LEADS:
        return ()
    relative = (sentence("relative-off"),) if point.correction == "relative" else ()
    if point.supply.is_part:
        return relative
    if point.supply.method == REFERENCE:
        return ((sentence("supply-off"),) if _is_in_circuit(point)
                else (*relative, sentence("part-off", device=point.supply.standard.name
                                          if point.is_read_twice else "Meter")))
    steps = (sentence("source-zero", rest=rest(point)), sentence("standby"))
    if point.supply.method == COIL:
        return (*steps, sentence("jaw-open"))
    # A counter can show 0 with a voltage at its terminals.
    return ((*steps, sentence("back-to-volts"))
            if point.level is not None and point.is_hazardous else steps)


# ---------------------------------------------------------------- after currents, and at the end

PROVING_TITLE = sentence("title-proving")
LEADS_OFF = (sentence("leads-off"), sentence("meter-off"))
_LEAD_BACK = sentence("lead-back")
PROVING_ALONE = (sentence("source-standby", rest="0 V"), _LEAD_BACK, sentence("dial-to-volts"),
                 sentence("low-voltage-on"), sentence("reads-it"), sentence("source-zero-standby"))


def proving(proof: PlannedPoint) -> Steps:
    """The source first, as everywhere, then the lead."""
    first, *rest = opening(PROVING, [proof], False)
    return (first, _LEAD_BACK, *rest)
