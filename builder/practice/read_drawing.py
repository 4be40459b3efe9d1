"""Read a drawing: which of three connections is right for this point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

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
    if right.leads:
        yield from _in_another_jack(p, right)
    if right.leads and all(lead.device is None for lead in right.leads):
        how, not_how = ("together", "apart") if not right.together else ("apart", "together")
        yield ("together", f"The leads’ ends are {how} here: for this reading they are {not_how}.",
               replace(right, together=not right.together))
    yield from _at_the_device(p, right)
    if right.coil and any(len(device.terminals) > 1 for device in right.devices):
        yield from _through_the_coil(p, right)
    if right.dial:
        yield from _on_the_dial(p, right)


def _in_another_jack(p: PlannedPoint,
                     right: Connection) -> Iterator[tuple[str, str, Connection]]:
    current = p.function.kind.dimension == "[current]"
    own = set(p.function.jacks(p.range) or ())
    jacks = {jack: f for f in p.function.meter.functions
             for jacks in (f.jacks, *(r.jacks for r in f.ranges))
             for jack in jacks or () if jack in right.jacks and jack not in own}
    high, *rest = right.leads
    for jack, of in jacks.items():
        other = replace(right, leads=(replace(high, jack=jack), *rest))
        if current and of.kind.dimension == "[current]":
            yield ("other-jack",
                   f"The lead is in the {jack} jack, which isn’t that of the {_range(p)} range.",
                   other)
        elif current:
            yield ("no-current",
                   f"The lead is in the {jack} jack, so no current flows through the meter’s "
                   "shunt.", other)
        elif of.kind.dimension == "[current]" and p.function.kind.dimension in (
                "[voltage]", "[frequency]", "[ratio]"):
            yield ("jack",
                   f"The lead is in the {jack} jack: a voltage there meets nearly a short "
                   "circuit.", other)
        elif of.kind.dimension == "[current]":
            yield "jack", f"The lead is in the {jack} jack, which is for currents.", other


def _at_the_device(p: PlannedPoint, right: Connection) -> Iterator[tuple[str, str, Connection]]:
    """Two leads at one device: exchanged, or at terminals of another output."""
    if len(right.leads) != 2 or right.links:
        return
    a, b = right.leads
    if a.device is None or a.device != b.device:
        return
    device = right.devices[a.device]
    if p.function.kind.shows_minus:
        yield ("swapped",
               f"The leads are exchanged at {device.name}: the reading has the wrong sign.",
               replace(right, leads=(replace(a, terminal=b.terminal),
                                     replace(b, terminal=a.terminal))))
    used = {a.terminal, b.terminal}
    for offer in p.supply.standard.offers:
        if (len(offer.terminals) == 2 and not used & set(offer.terminals)
                and set(offer.terminals) <= set(device.terminals)):
            x, y = offer.terminals
            yield ("terminals",
                   f"The leads are at {x} and {y} of {device.name}, where "
                   f"{p.supply.output.what} doesn’t come out.",
                   replace(right, leads=(replace(a, terminal=x), replace(b, terminal=y))))
            return


def _through_the_coil(p: PlannedPoint,
                      right: Connection) -> Iterator[tuple[str, str, Connection]]:
    coil = right.coil
    if p.function.kind.shows_minus:
        yield ("coil",
               "The current runs through the coil the wrong way: the reading has the wrong sign.",
               replace(right, coil=replace(coil, enters=coil.returns, returns=coil.enters)))
    for offer in p.supply.standard.offers:
        if len(offer.terminals) == 2 and not {coil.enters, coil.returns} & set(offer.terminals):
            x, y = offer.terminals
            yield ("terminals",
                   f"The coil is at {x} and {y} of {right.devices[coil.device].name}, where no "
                   "current comes out.", replace(right, coil=replace(coil, enters=x, returns=y)))
            return


def _on_the_dial(p: PlannedPoint, right: Connection) -> Iterator[tuple[str, str, Connection]]:
    """At the likeliest other position."""
    used = {lead.jack for lead in right.leads}
    dials = [f for f in p.function.meter.functions if f.dial and f.dial != right.dial
             and (f.jacks is None or set(f.jacks) & used or right.coil)]
    dimension = p.function.kind.dimension
    if dials:
        dial = min(dials, key=lambda one: one.kind.dimension != dimension).dial
        yield ("dial", f"The dial stands at {dial}, and this point needs {right.dial}.",
               replace(right, dial=dial))


def _range(p: PlannedPoint) -> str:
    return exact_text.quantity(p.function.names[p.range])
