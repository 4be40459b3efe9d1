"""What is connected to what in a group of points, for its drawing."""

from __future__ import annotations

import re

from builder.drawing.connections import Connection, Device, DrawnCoil, Lead, Link
from builder.formats.functions import TOGETHER
from builder.formats.meter import Meter
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import sentence, words
from builder.procedure.supplies import COIL, REFERENCE, THERMOCOUPLE
from builder.procedure.supply import LEADS

_ONE, _OTHER = "+", "−"   # of a part or a supply whose terminals have no names here


def connection(first: PlannedPoint) -> Connection | None:
    """The connection of a group by its first point; None where jacks and terminals don't pair."""
    supply, function = first.supply, first.function
    meter, used = function.meter, function.jacks(first.range)
    known = dict(meter=meter.name, jacks=jacks_of(meter), dial=function.dial(first.range))
    if supply.method == COIL:
        source = Device(supply.standard.name, supply.standard.description,
                        _terminals(supply.standard))
        return (Connection(**known, devices=(source,),
                           coil=DrawnCoil(supply.coil.coil.turns, 0, *supply.terminals[:2]))
                if len(supply.terminals) == 2 else None)
    alone = supply.method == LEADS or (first.zero is not None
                                       and supply.output.zero != "its zero setting")
    if len(used) != 2 or (len(supply.terminals) != 2 and supply.method != LEADS):
        return None
    if alone:
        return Connection(**known, leads=(Lead(used[0], True), Lead(used[1], False)),
                          together=function.kind.zero_with == TOGETHER)
    if supply.method == REFERENCE:
        return _compared(first, known, used)
    note = (words(sentence("drawn-zero-setting")) if first.zero is not None
            else supply.standard.description)
    device = Device(supply.standard.name, note, _terminals(supply.standard))
    leads = tuple(Lead(jack, high, 0, terminal)
                  for jack, terminal, high in zip(used, supply.terminals, (True, False),
                                                  strict=False))
    if supply.method == THERMOCOUPLE:
        return Connection(**known, devices=(device,), leads=leads,
                          thermometer=first.junction.measured,
                          thermometer_at=_named(first.junction.measured, used),
                          note=words(sentence("drawn-copper")))
    return Connection(**known, devices=(device,), leads=leads)


def _compared(first: PlannedPoint, known: dict, used: tuple[str, ...]) -> Connection:
    """A part that each meter measures by itself; else both meters side by side, or in one loop for
    a current."""
    supply, dimension = first.supply, first.function.kind.dimension
    high, low = supply.terminals
    name = supply.standard.name
    if dimension not in ("[voltage]", "[current]"):
        part = Device(exact_text.capital(supply.compare_on),
                      words(sentence("drawn-before-after" if first.is_read_twice
                                     else "drawn-in-turn", standard=name)), (_ONE, _OTHER))
        return Connection(**known, devices=(part,),
                          leads=(Lead(used[0], True, 0, _ONE), Lead(used[1], False, 0, _OTHER)))
    devices = (Device(exact_text.capital(supply.compare_on), "", (_ONE, _OTHER)),
               Device(name, supply.standard.description, _terminals(supply.standard)))
    if dimension == "[voltage]":
        return Connection(**known, devices=devices,
                          leads=(Lead(used[0], True, 1, high), Lead(used[1], False, 1, low)),
                          links=(Link(0, _ONE, 1, high, True), Link(0, _OTHER, 1, low, False)))
    return Connection(**known, devices=devices,
                      leads=(Lead(used[0], True, 1, low), Lead(used[1], False, 0, _OTHER)),
                      links=(Link(0, _ONE, 1, high, True),))


def jacks_of(meter: Meter) -> tuple[str, ...]:
    """As they stand on the meter, or else in the order in which its functions name them."""
    if meter.jacks:
        return tuple(meter.jacks)
    named = [jack for f in meter.functions for jacks in (f.jacks, *(r.jacks for r in f.ranges))
             for jack in jacks or ()]
    return tuple(dict.fromkeys(named))


def _named(text: str, used: tuple[str, ...]) -> str:
    """The jack in use that the plan's words name ("bound to the V jack"); else that of the high
    side."""
    named = [jack for jack in used if re.search(rf"(?<!\w){re.escape(jack)} jack(?!\w)", text)]
    return named[0] if len(named) == 1 else used[0]


def _terminals(standard: Standard) -> tuple[str, ...]:
    """All of a standard, so that a wrong pair is seen as one."""
    return tuple(dict.fromkeys(terminal for offer in standard.offers
                               for terminal in offer.terminals))
