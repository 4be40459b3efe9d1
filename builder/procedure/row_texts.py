"""What stands in a row of the sheet: what is applied, what stands beside it, the tolerance and the
unit of what is written down."""

from __future__ import annotations

from builder.compute.exact import resistance_thermometer, thermocouple
from builder.numbers import exact_text
from builder.numbers.units import Unit, celsius, decimals_of
from builder.procedure.asides import allowance
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import sentence, words
from builder.procedure.supplies import ARTIFACT, COIL, OHMS, REFERENCE, TABLE_AT, THERMOCOUPLE
from builder.procedure.supply import LEADS


def applied_text(p: PlannedPoint, unit: Unit, places: int) -> str:
    """What is applied, to as many decimals as the display has; a part by its nominal value."""
    if p.zero is not None or p.supply.method == LEADS:
        return words(sentence("apply-leads", held=sentence(p.function.kind.zero_with)))
    if p.supply.method == ARTIFACT:
        return exact_text.amount(p.applied, unit)
    if p.supply.method == REFERENCE:
        return words(sentence("apply-about", value=exact_text.amount(p.applied, unit)))
    return exact_text.amount(p.applied, unit, places)


def beside_text(p: PlannedPoint, unit: Unit) -> str:
    """What stands beside the applied value: frequency, level, certified value, the source's own
    setting."""
    if p.zero is not None:
        return ""
    if p.supply.method == LEADS:
        return _with_leads(p, unit)[0]
    if p.supply.method == ARTIFACT:
        return ", ".join([exact_text.number(exact_text.in_unit(p.supply.certified, unit)),
                          *_with_leads(p, unit)])
    beside = [exact_text.frequency(p.hertz)] if p.hertz is not None else []
    if p.level is not None:
        beside.append(exact_text.quantity(p.level))
    if p.supply.method == COIL:
        beside.append(exact_text.amount(p.supply.sets, unit if p.level is None else p.level.unit))
    if p.supply.method == THERMOCOUPLE:
        volts = thermocouple.to_apply(kind=p.function.given.thermocouple,
                                      celsius=celsius(p.applied, p.function.unit),
                                      junction=TABLE_AT)
        beside.append(f"{exact_text.number(volts * 1000, 3)}{exact_text.NARROW}mV")
    if p.supply.method == OHMS:
        beside.append(ohms_text(p))
    if p.supply.added:
        added = exact_text.amount(p.supply.added, unit,
                                  exact_text.decimals(p.rows[0].resolution.value, unit))
        beside.append(words(sentence("reference-add", value=added if p.supply.added < 0
                                     else f"+{added}")))
    elif p.supply.is_corrected:
        beside.append(words(sentence("corrected", value=exact_text.amount(
            p.supply.expected - p.supply.known_ohms, unit))))
    return ", ".join([*beside, *_with_leads(p, unit)])


def _with_leads(p: PlannedPoint, unit: Unit) -> list[str]:
    """What the limits stand around, where known leads are part of it, as the head of the column
    says."""
    return [exact_text.number(exact_text.in_unit(p.supply.expected, unit))
            ] if p.supply.known and p.judged else []


def ohms_text(p: PlannedPoint) -> str:
    """What a box is set to in place of a thermometer, or what a part of it has."""
    kind = p.function.given.resistance_thermometer
    places = 0 if p.supply.is_part else decimals_of(resistance_thermometer.step(kind=kind))
    return f"{exact_text.number(p.supply.sets, places)}{exact_text.NARROW}Ω"


def read_unit(p: PlannedPoint, unit: Unit) -> str:
    """The unit of what is written down, which for an observation may be another than `unit`, that
    of the range."""
    if p.find == "bandwidth":
        return "Hz"
    if p.find == "sensitivity":
        return p.level.unit.shown
    return unit.shown


def tolerance_text(p: PlannedPoint, sure: PointUncertainty | None, unit: Unit, places: int) -> str:
    """The tolerance in `unit`; beside a reference reading the allowance, or "table" where it
    changes with that reading."""
    if p.judged is None:
        return ""
    if p.supply.method != REFERENCE:
        sides = p.judged.sides
        if not sides.is_even:
            return words(sentence("up-and-down", **{
                side: exact_text.tolerance(getattr(sides, side), unit, places)
                for side in ("above", "below")}))
        return exact_text.tolerance(sides.above, unit, places)
    if p.judged.line.slope and p.applied:
        return words(sentence("in-table"))
    allowed = allowance(p, sure)
    return exact_text.number(exact_text.in_unit(allowed, unit)) if allowed is not None else ""
