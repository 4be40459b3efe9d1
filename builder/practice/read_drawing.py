"""Read a drawing: which of three connections is right for this point."""

from __future__ import annotations

from dataclasses import replace
from typing import Iterator

from builder.compute.exact.draw import Draw
from builder.drawing.connection_drawings import connection_picture
from builder.drawing.connections import Connection, in_words
from builder.numbers import exact_text
from builder.practice.bench import Bench
from builder.practice.exercise import Choice, Exercise, mixed
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sheet import SheetGroup


def said(connection: Connection) -> str:
    """A connection in words, with its dial, which the drawing shows."""
    return (f"Dial: {connection.dial}. " if connection.dial else "") + in_words(connection)


def read_drawing(draw: Draw, bench: Bench) -> Exercise | None:
    for procedure, group in draw.mixed(bench.groups):
        if not group.points or group.connection is None or not connection_picture(group.connection):
            continue
        right, point = group.connection, draw.one(group.points)
        wrong: dict[str, Choice] = {}
        for code, why, other in draw.mixed(list(_mistakes(point.planned, right))):
            if said(other) != said(right) and connection_picture(other) and connection_picture(
                    other) != connection_picture(right) and code not in wrong:
                if said(other) not in [choice.text for choice in wrong.values()]:
                    wrong[code] = Choice(text=said(other), mistake=code, why=why, connection=other,
                                         what=other)
        if len(wrong) < 2:
            continue
        return Exercise(kind="drawing",
                        given=(("Sheet", procedure.title), ("Group", group.title),
                               ("Apply", _apply(point, group))),
                        ask="Which connection is right for this point?",
                        choices=mixed(draw, Choice(text=said(right), connection=right, what=right),
                                      list(wrong.values())[:2]),
                        reasons=(said(right),), live=point.hazardous,
                        case=(procedure, group, point))
    return None


def _apply(point, group: SheetGroup) -> str:
    column = group.beside.code if point.at else ""
    beside = (f" ({group.at_head.lower()} {point.at})" if column in ("at-certified", "at-source")
              else f" at {point.at}" if column == "at" else "")
    return f"{point.apply}{beside}" + ("" if point.planned.zero is not None
                                       else f" on the {point.range} range")


def _mistakes(p: PlannedPoint, right: Connection) -> Iterator[tuple[str, str, Connection]]:
    function, meter = p.function, p.function.meter
    leads, kind = right.leads, p.function.kind
    current = kind.dimension == "[current]"
    own = set(function.jacks(p.range) or ())
    jacks = {jack: f for f in meter.functions for jacks in (f.jacks, *(r.jacks for r in f.ranges))
             for jack in jacks or () if jack in right.jacks and jack not in own}
    if leads:
        high = leads[0]
        for jack, of in jacks.items():
            other = replace(right, leads=(replace(high, jack=jack), *leads[1:]))
            if current and of.kind.dimension == "[current]":
                yield ("other-jack",
                       f"The lead is in the {jack} jack, which isn’t that of the {_range(p)} "
                       "range.", other)
            elif current:
                yield ("no-current",
                       f"The lead is in the {jack} jack, so no current flows through the meter’s "
                       "shunt.", other)
            elif of.kind.dimension == "[current]" and kind.dimension in (
                    "[voltage]", "[frequency]", "[ratio]"):
                yield ("jack",
                       f"The lead is in the {jack} jack: a voltage there meets nearly a short "
                       "circuit.", other)
            elif of.kind.dimension == "[current]":
                yield "jack", f"The lead is in the {jack} jack, which is for currents.", other
    if leads and all(lead.device is None for lead in leads):
        how, not_how = ("together", "apart") if not right.together else ("apart", "together")
        yield ("together", f"The leads’ ends are {how} here: for this reading they are {not_how}.",
               replace(right, together=not right.together))
    devices = [d for d in right.devices if len(d.terminals) > 1]
    if len(leads) == 2 and leads[0].device == leads[1].device is not None and not right.links:
        a, b = leads
        if kind.shows_minus:
            yield ("swapped",
                   f"The leads are exchanged at {right.devices[a.device].name}: the reading has "
                   "the wrong sign.", replace(
                       right,
                       leads=(replace(a, terminal=b.terminal), replace(b, terminal=a.terminal))))
        used = {a.terminal, b.terminal}
        for offer in p.supply.standard.offers:
            if len(offer.terminals) == 2 and not used & set(offer.terminals) and set(
                    offer.terminals) <= set(right.devices[a.device].terminals):
                x, y = offer.terminals
                yield ("terminals",
                       f"The leads are at {x} and {y} of {right.devices[a.device].name}, where "
                       f"{p.supply.output.what} doesn’t come out.", replace(
                           right, leads=(replace(a, terminal=x), replace(b, terminal=y))))
                break
    if right.coil and devices:
        coil = right.coil
        if kind.shows_minus:
            yield ("coil",
                   "The current runs through the coil the wrong way: the reading has the wrong "
                   "sign.", replace(
                       right, coil=replace(coil, enters=coil.returns, returns=coil.enters)))
        for offer in p.supply.standard.offers:
            if len(offer.terminals) == 2 and not {coil.enters, coil.returns} & set(offer.terminals):
                yield ("terminals",
                       f"The coil is at {offer.terminals[0]} and {offer.terminals[1]} of "
                       f"{right.devices[coil.device].name}, where no current comes out.", replace(
                           right,
                           coil=replace(coil, enters=offer.terminals[0],
                                        returns=offer.terminals[1])))
                break
    dials = [f for f in meter.functions if f.dial and f.dial != right.dial
             and (f.jacks is None or set(f.jacks or ()) & {lead.jack for lead in leads}
                  or right.coil)]
    if right.dial:
        seen = set()
        # the likeliest first
        for f in sorted(dials, key=lambda one: one.kind.dimension != kind.dimension):
            if f.dial not in seen and not seen:
                seen.add(f.dial)
                yield ("dial", f"The dial stands at {f.dial}, and this point needs {right.dial}.",
                       replace(right, dial=f.dial))


def _range(p: PlannedPoint) -> str:
    return exact_text.quantity(p.function.names[p.range])
