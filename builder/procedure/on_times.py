"""Which time limits a point falls under, as the files of meter and coil state them, and how long
its reading keeps the output on."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.points import Refused
from builder.compute.exact.time_limits import READING, SEEKING, TimeLimit
from builder.numbers import exact_text, units
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sentences import Fact, sentence
from builder.procedure.supplies import COIL, REFERENCE, SOURCE, Supply


def time_limits(function: MeterFunction, on: RangeTable, supply: Supply) -> tuple[TimeLimit, ...]:
    """A range's limit belongs to what stands behind its jacks, to the jaw of a clamp-on meter; a
    coil's to the coil. None where nothing is put out."""
    if supply.method not in (SOURCE, COIL, REFERENCE):
        return ()
    held = [(("jacks", *sorted(function.jacks(on))), function.model_of[on])]
    if supply.coil is not None:
        held.append((("coil", supply.coil.name), supply.coil.coil))
    return tuple(TimeLimit(of=of, on=given.on_at_most.value,
                           off=given.off_at_least.value if given.off_at_least else Fraction(0))
                 for of, given in held if given.on_at_most)


def reading_time(find: str) -> Fraction:
    """In seconds; where something is looked for it takes longer."""
    return SEEKING if find else READING


def refuse_too_short(function: MeterFunction, on: RangeTable, supply: Supply, find: str) -> None:
    """Where the time allowed is over before the reading is. Raises `Refused`."""
    for limit in time_limits(function, on, supply):
        if limit.on < reading_time(find):
            raise Refused("on-too-short", on=on, limited=seconds(limit.on),
                          takes=seconds(reading_time(find)))


def limited(limit: TimeLimit) -> Fact:
    """What the limit belongs to, in words."""
    kind, *names = limit.of
    if kind == "coil":
        return names[0]
    return sentence("the-jacks", jacks=tuple(names)) if names else sentence("the-jaw")


def seconds(time: Fraction) -> str:
    """As the sheet counts them."""
    return exact_text.amount(time, units.unit("s"))
