"""The warnings before the steps of a group: which hazards it has, as codes, and their words.

Warnings stand before the steps they belong to and hold no step of their own (after DOE-STD-1029-92
and ANSI Z535.6, in our words).
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.compute.exact import hazard
from builder.compute.exact.order import AMPS, MILLIAMPS, OPENED
from builder.numbers import exact_text
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import Sentence, sentence, worded
from builder.procedure.supplies import REFERENCE

_KILLS, _HURTS = "kills", "hurts"   # can kill or maim; can hurt or break something
_WORDS = {_KILLS: "WARNING", _HURTS: "CAUTION"}
_EARTH = "The insulation to earth may fail. A source whose output is isolated from earth prevents such a failure."

# The severity, the hazard, and what it does and what prevents it.
CAUTIONS = {
    "live-inside": (_KILLS, "a lead that stays plugged in can make parts inside live.", "Contact can kill. Every lead pulled at both ends before the first screw prevents contact. Local rules and the employer decide who may open a meter."),
    "live-voltage": (_KILLS, "up to {volts} {kind} at terminals and leads.", "Contact can kill. {off} and shrouded plug-to-plug leads of that rating prevent contact. Local electrical codes and the employer decide who may do this work."),
    "above-rating": (_KILLS, "above the meter's rated voltage to earth.", _EARTH),
    "no-rating": (_KILLS, "the meter's file states no rated voltage to earth.", _EARTH),
    "current-jacks": (_HURTS, "current jacks are nearly a short circuit.", "A voltage burns fuse or leads. A source in standby before leads move prevents damage."),
    "coil": (_HURTS, "a coil gets warm, and a jaw or a circuit that opens under current makes a voltage.{on}", "A jaw that closes before the current and opens only at zero current prevents a voltage."),
    "deadly-charge": (_KILLS, "capacitors hold up to {energy} at {volts}.", "Contact can kill. A discharge through a rated resistor and a reading under 5\u00a0V prevent a shock."),
    "charged-capacitor": (_HURTS, "a capacitor may come charged; the charge hurts and damages the meter.", "A discharge through a rated resistor and a reading under 5\u00a0V prevent harm."),
    "large-charge": (_HURTS, "capacitors hold up to {energy} at {volts}; the charge burns and damages the meter.", "A discharge through a rated resistor and a reading under 5\u00a0V prevent harm."),
    "small-charge": (_HURTS, "charge that stays in a capacitor falsifies the reading.", "The meter puts on at most {volts}, {energy} in the largest. A discharge before each reading prevents a wrong reading."),
    "on-for": (_HURTS, "{range} range: on for at most {on}.", "Meter and leads overheat."),
    "on-and-off": (_HURTS, "{range} range: on for at most {on}, then off for at least {off}.", "Meter and leads overheat."),
}


@dataclass(frozen=True, slots=True)
class Warning:
    """A caution in words."""

    word: str
    text: str   # the hazard
    rest: str   # what it does and what prevents it
    kills: bool


def warning(caution: Sentence) -> Warning:
    """The words of a caution."""
    severity, text, rest = CAUTIONS[caution.code]
    return Warning(_WORDS[severity], worded(text, caution.facts), worded(rest, caution.facts),
                   severity == _KILLS)


def cautions_of_checks(stage: str) -> tuple[Sentence, ...]:
    """Before the checks of a stage."""
    return (sentence("live-inside"),) if stage == OPENED else ()


def cautions_of_points(stage: str, planned: list[PlannedPoint]) -> tuple[Sentence, ...]:
    """Before a group of points: what can kill first."""
    first, cautions = planned[0], []
    if any(p.is_hazardous for p in planned):
        cautions.append(sentence(
            "live-voltage",
            volts=exact_text.number(max(p.volts for p in planned)) + exact_text.NARROW + "V",
            kind="AC" if any(p.hertz or p.level is not None for p in planned) else "DC",
            off=sentence("by-supply-off" if first.supply.method == REFERENCE else "by-standby")))
        if not_isolated_within_rating(planned):
            cautions.append(sentence("above-rating" if first.function.meter.rated.categories
                                     else "no-rating"))
    if stage in (MILLIAMPS, AMPS) and not first.function.given.clamp:
        cautions.append(sentence("current-jacks"))
    if first.supply.coil is not None:
        limits = _on_and_off(first.supply.coil.coil)
        cautions.append(sentence("coil", on="" if not limits else sentence(
            "coil-on-and-off" if "off" in limits else "coil-on", **limits)))
    if first.function.kind.dimension == "[capacitance]" and first.zero is None:
        cautions.append(_charge(planned))
    for on in dict.fromkeys(p.range for p in planned):
        given = first.function.model_of[on]
        if limits := _on_and_off(given):
            cautions.append(sentence("on-and-off" if "off" in limits else "on-for",
                                     range=exact_text.quantity(given.range), **limits))
    return tuple(cautions)


def not_isolated_within_rating(planned: list[PlannedPoint]) -> bool:
    """Whether the meter's rating to earth doesn't cover these voltages, so that the source must be
    isolated."""
    limits = [q.value for _, q in planned[0].function.meter.rated.categories]
    return not limits or max(p.volts for p in planned) > max(limits)


def _charge(planned: list[PlannedPoint]) -> Sentence:
    """By what the largest capacitor holds at the voltage that the meter puts on it; where that, or
    what a loose part held before, isn't known, the worst."""
    first = planned[0]
    volts = first.function.given.charges_to
    if volts is None or first.supply.method == REFERENCE:
        return sentence("charged-capacitor")
    farads = max(abs(p.applied) for p in planned)
    code = {hazard.DEADLY: "deadly-charge", hazard.LARGE: "large-charge",
            hazard.SMALL: "small-charge"}[hazard.charge(farads=farads, volts=volts.value)]
    return sentence(code, volts=exact_text.quantity(volts),
                    energy=exact_text.energy(hazard.stored(farads=farads, volts=volts.value)))


def _on_and_off(given) -> dict[str, str]:
    """How long something may be on, and must then be off, as far as its file says so."""
    stated = {"on": given.on_at_most, "off": given.off_at_least} if given.on_at_most else {}
    return {name: exact_text.quantity(time) for name, time in stated.items() if time}
