"""What a sheet's work needs: each standard with what it must be able to do, so that another may
stand in, and the small things beside them. Numbers follow from the plan's points."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from builder.compute.exact import thermocouple
from builder.compute.statistics.decision import SIMPLE
from builder.formats.bench import AMBIENT, HUMIDITY, JUNCTION
from builder.formats.bench_checks import CHECKS
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.numbers.units import Quantity, celsius, unit
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import Sentence, as_written, sentence
from builder.procedure.sheet import Equipment
from builder.procedure.supplies import OHMS, REFERENCE, TABLE_AT, THERMOCOUPLE

_SET_IN = {THERMOCOUPLE: unit("mV"), OHMS: unit("ohm")}   # in place of a temperature


def of_standard(standard: Standard, plan: Plan, planned: list[PlannedPoint],
                bands: Mapping[str, str]) -> Equipment:
    """What it must do on this sheet, output by output; `bands` are those of the ambient and the
    humidity, as the sheet prints them."""
    used = [p for p in planned if p.supply.standard is standard]
    outputs = []
    for offer in standard.offers:
        points = [p for p in used if p.supply.output is offer]
        if points and any(p.zero is None for p in points):
            outputs.append((_name(offer), _asked(offer, points), ", ".join(offer.terminals)))
    if standard.coil is not None:
        through = [p.supply.sets for p in planned if p.supply.coil is standard]
        if through:
            outputs.append((sentence("turns", turns=standard.coil.turns),
                            sentence("reach-in-wire", highest=exact_text.amount(
                                max(through), standard.coil.highest.unit)),
                            ", ".join(standard.coil.terminals)))
    for name in standard.reads.named if standard.reads else ():
        if bands.get(name):
            outputs.append((sentence("output", output=exact_text.capital(name)),
                            as_written(bands[name]), ""))
        elif name == JUNCTION and plan.junction and plan.junction.standard == standard.standard:
            outputs.append((sentence("output", output=exact_text.capital(name)), sentence(
                "reach-within", within=exact_text.quantity(plan.junction.within)), ""))
    overdue = None
    if plan.as_of is not None and plan.as_of > standard.due:
        overdue = sentence("overdue", day=str(plan.as_of),
                           because=plan.accepts("overdue", standard=standard.standard)
                           or sentence("not-accepted"))
    return Equipment(slug=standard.standard, name=standard.name, description=standard.description,
                     certificate=standard.certificate, due=standard.due.isoformat(),
                     outputs=tuple(outputs), overdue=overdue)


def stand_ins(standards: list[Standard], plan: Plan) -> tuple[tuple[str, Sentence], ...]:
    """Names of standards, with whether others may stand in for them."""
    said = {one.standard: _instead(one, plan) for one in standards}
    return tuple((", ".join(one.name for one in standards if said[one.standard] == of), of)
                 for of in dict.fromkeys(said.values()))


def _instead(standard: Standard, plan: Plan) -> Sentence:
    """A certified value is in the limits, and so is an uncertainty where there is a guard band."""
    if standard.reads is not None:
        return sentence("instead-as-good")
    if plan.leads and plan.leads.known and plan.leads.known.standard == standard.standard:
        return sentence("instead-of-leads")
    if standard.moves_limits:
        return sentence("instead-of-values")
    if plan.decision_rule.kind != SIMPLE:
        return sentence("instead-of-uncertainty")
    if plan.minimum_tur is None:
        return sentence("instead-as-good")
    return sentence("instead-ratio", minimum=exact_text.number(plan.minimum_tur))


def _name(offer) -> Sentence:
    output, wave = exact_text.capital(offer.what), getattr(offer, "wave", "sine")
    return (sentence("output", output=output) if wave == "sine"
            else sentence("output-wave", output=output, wave=wave))


def _asked(offer, points: list[PlannedPoint]) -> Sentence:
    """The values of a box that are used here, or how far a source or a reference meter must
    reach."""
    real = [p for p in points if p.zero is None]
    if hasattr(offer, "values"):
        nominal = {row.nominal.value for p in real for row in p.rows}
        return sentence("reach-values", values=tuple(
            exact_text.quantity(v.nominal) for v in sorted(
                offer.values, key=lambda v: v.nominal.value) if v.nominal.value in nominal))
    most = max(real, key=lambda p: abs(_set(p)))
    highest = exact_text.amount(abs(_set(most)), _SET_IN.get(most.supply.method)
                                or most.function.names[most.range].unit)
    hertz = [p.hertz for p in real if p.hertz is not None]
    levels = sorted((_level(p) for p in real if p.level is not None), key=lambda q: q.value)
    beside = [_span(exact_text.frequency(min(hertz)), exact_text.frequency(max(hertz)))
              ] if hertz else []
    if levels:
        beside.append(_span(*map(exact_text.quantity, (levels[0], levels[-1]))))
    if not beside:
        return sentence("reach-up-to", highest=highest)
    return sentence("reach-up-to-at", highest=highest, beside=tuple(beside))


def _span(low: str, high: str) -> Sentence:
    return as_written(low) if low == high else sentence("span", low=low, high=high)


def _level(point: PlannedPoint) -> Quantity:
    """What the source's output has: through a coil the part of the jaw's current that is in its
    wire."""
    turns = point.supply.coil.coil.turns if point.supply.coil else 1
    return Quantity(point.level.number / turns, point.level.unit)


def _set(point: PlannedPoint) -> Fraction:
    """What its standard is set to, in V, A, Hz … without a prefix."""
    if point.supply.method == THERMOCOUPLE:
        return Fraction(round(thermocouple.to_apply(
            kind=point.function.given.thermocouple,
            celsius=celsius(point.applied, point.function.unit), junction=TABLE_AT) * 10**6), 10**6)
    return (point.applied if point.supply.sets is None or point.level is not None
            else point.supply.sets)


# ---------------------------------------------------------------- the small things

def small_things(plan: Plan, standards: list[Standard], bands: Mapping[str, str],
                 planned: list[PlannedPoint]) -> tuple[Sentence, ...]:
    """Leads, what reads the ambient where no standard does, the part that is compared, a timer, a
    second meter, and what the checks ask for."""
    read = {name for one in standards if one.reads for name in one.reads.named}
    return tuple(dict.fromkeys([
        _leads(planned), *(sentence(_READ_BY[name], band=band) for name, band in bands.items()
                           if band and name not in read),
        *_beside_points(plan, planned),
        *_beside_checks(plan, any(p.is_hazardous for p in planned))]))


_READ_BY = {AMBIENT: "thing-thermometer", HUMIDITY: "thing-hygrometer"}


def _leads(planned: list[PlannedPoint]) -> Sentence:
    """Rated for the highest voltage and the highest current that goes through them."""
    volts = max((p.volts for p in planned), default=0)
    amperes = max((abs(_set(p)) for p in planned
                   if p.function.kind.dimension == "[current]"), default=0)
    rated = [exact_text.number(one) + exact_text.NARROW + unit
             for one, unit in ((volts, "V"), (amperes, "A")) if one]
    return sentence("thing-leads-rated", rated=tuple(rated)) if rated else sentence("thing-leads")


def _beside_points(plan: Plan, planned: list[PlannedPoint]) -> Iterator[Sentence]:
    if plan.junction and any(p.supply.method == THERMOCOUPLE for p in planned):
        yield sentence("thing-junction", measured=plan.junction.measured,
                       within=exact_text.quantity(plan.junction.within))
        yield sentence("thing-copper")
    for point in planned:
        if point.supply.method == REFERENCE:
            yield as_written(point.supply.compare_on)
    pauses = _pauses(planned)
    if pauses:
        yield sentence("thing-timer", most=exact_text.quantity(max(pauses, key=lambda q: q.value)))
    if any(p.is_hazardous for p in planned):
        volts = max(p.volts for p in planned if p.is_hazardous)
        yield sentence("thing-second-meter",
                       volts=exact_text.number(volts) + exact_text.NARROW + "V")


def _pauses(planned: list[PlannedPoint]) -> list[Quantity]:
    """How long ranges and coils that are used may be on, and must be off."""
    given = [point.function.model_of[point.range] for point in planned]
    given += [point.supply.coil.coil for point in planned if point.supply.coil]
    return [time for one in given for time in (one.on_at_most, one.off_at_least) if time]


def _beside_checks(plan: Plan, live: bool) -> Iterator[Sentence]:
    """In a live group a second meter is at hand anyhow."""
    for check in plan.checks:
        if check.check in CHECKS:
            yield from (as_written(thing) for thing in CHECKS[check.check].at_hand
                        if not live or thing != "a second meter")
