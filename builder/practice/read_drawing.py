"""Read a drawing: which of three connections is right for this point."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from builder.compute.exact.draw import Draw
from builder.drawing.connection_drawings import connection_picture
from builder.drawing.connections import Connection, in_words
from builder.numbers import exact_text
from builder.practice.bench import Bench
from builder.practice.exercise import Choice, Exercise
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sheet import SheetGroup


def said(connection: Connection) -> str:
    """A connection in words, with its dial, which the drawing shows."""
    words = in_words(connection).replace(" of An ", " of an ")     # what a value is compared on
    return (f"Dial: {connection.dial}. " if connection.dial else "") + words


_LETTERS = ((2, 0), (0, 2), (0, 0))     # how many wrong ones have more, and fewer


@dataclass(frozen=True)
class _Slip:
    """A mistake at one place of a connection; those at different places can be made together."""

    place: str
    code: str
    why: str
    made_in: Callable[[Connection], Connection]


def read_drawing(draw: Draw, bench: Bench) -> Exercise | None:
    """Whether two of the wrong ones have more letters than the right one, fewer or none is drawn
    first, each as often as the others: the names of most jacks that points need are short."""
    drawable = [(procedure, group) for procedure, group in bench.groups
                if group.points and group.connection is not None
                and connection_picture(group.connection)]
    for letters in (draw.one(_LETTERS), None):
        for procedure, group in draw.mixed(drawable):
            right, point = group.connection, draw.one(group.points)
            wrong = _wrong(draw, right, list(_slips(point.planned, right)), letters)
            if wrong:
                choices = [Choice(text=said(right), connection=right, what=right), *wrong]
                return Exercise(kind="drawing",
                                given=(("Sheet", procedure.title), ("Group", group.title),
                                       ("Apply", _apply(point, group))),
                                ask="Which connection is right for this point?",
                                choices=tuple(draw.mixed(choices)), reasons=(said(right),),
                                live=point.hazardous, case=(procedure, group, point))
    return None


def _wrong(draw: Draw, right: Connection, slips: list[_Slip],
           letters: tuple[int, int] | None) -> list[Choice]:
    """Either two mistakes, each alone and both together, or two at the same place: then each option
    differs from the others in the same way as they do among each other, and the right one is not
    the one that is most like all. Of three of them so many are to have more letters than it, and so
    many fewer, unless that is all the same."""
    pairs = [(a, b) for a, b in combinations(draw.mixed(slips), 2)
             if a.place != b.place or a.made_in(right) != b.made_in(right)]
    for a, b in sorted(pairs, key=lambda pair: pair[0].place == pair[1].place):
        made = [_choice(a.made_in(right), a), _choice(b.made_in(right), b)]
        if a.place != b.place:
            made.append(_choice(b.made_in(a.made_in(right)), a, b))
        more = [len(one.text) - len(said(right)) for one in made]
        if letters is not None and (len(made) < 3 or letters != (
                sum(one > 0 for one in more), sum(one < 0 for one in more))):
            continue
        if _apart(right, *(one.connection for one in made)):
            return made
    return []


def _apart(*connections: Connection) -> bool:
    pictures = [connection_picture(one) for one in connections]
    return all(pictures) and (len({said(one) for one in connections}) == len(connections)
                              == len({str(one) for one in pictures}))


def _choice(connection: Connection, *slips: _Slip) -> Choice:
    return Choice(text=said(connection), mistake=slips[0].code,
                  why=" ".join(slip.why for slip in slips), connection=connection, what=connection)


def _apply(point, group: SheetGroup) -> str:
    column = group.beside.code if point.at else ""
    beside = (f" ({group.at_head.lower()} {point.at})" if column in ("at-certified", "at-source")
              else f" at {point.at}" if column == "at" else "")
    return f"{point.apply}{beside}" + ("" if point.planned.zero is not None
                                       else f" on the {point.range} range")


def _slips(p: PlannedPoint, right: Connection) -> Iterator[_Slip]:
    if right.leads:
        yield from _in_another_jack(p, right)
    if right.leads and all(lead.device is None for lead in right.leads):
        how, not_how = ("together", "apart") if not right.together else ("apart", "together")
        yield _Slip("ends", "together",
                    f"The leads’ ends are {how} here: for this reading they are {not_how}.",
                    lambda one: replace(one, together=not right.together))
    yield from _at_the_device(p, right)
    if right.coil and any(len(device.terminals) > 1 for device in right.devices):
        yield from _through_the_coil(p, right)
    if right.dial:
        yield from _on_the_dial(p, right)


def _in_another_jack(p: PlannedPoint, right: Connection) -> Iterator[_Slip]:
    own = set(p.function.jacks(p.range) or ())
    jacks = {jack: f for f in p.function.meter.functions
             for jacks in (f.jacks, *(r.jacks for r in f.ranges))
             for jack in jacks or () if jack in right.jacks and jack not in own}
    for jack, of in jacks.items():
        if told := _of_the_jack(p, jack, of.kind.dimension == "[current]"):
            yield _Slip("jack", *told, lambda one, jack=jack: replace(
                one, leads=(replace(one.leads[0], jack=jack), *one.leads[1:])))


def _of_the_jack(p: PlannedPoint, jack: str, for_currents: bool) -> tuple[str, str] | None:
    current = p.function.kind.dimension == "[current]"
    if current and for_currents:
        return ("other-jack", f"The lead is in the {jack} jack, which is not that of the "
                              f"{_range(p)} range.")
    if current:
        return ("no-current", f"The lead is in the {jack} jack, so no current flows through the "
                              "meter’s shunt.")
    if for_currents and p.function.kind.dimension in ("[voltage]", "[frequency]", "[ratio]"):
        return ("jack", f"The lead is in the {jack} jack: a voltage there meets nearly a short "
                        "circuit.")
    if for_currents:
        return "current-jack", f"The lead is in the {jack} jack, which is for currents."
    return None


def _at(x: str, y: str) -> Callable[[Connection], Connection]:
    """The two leads at these terminals."""
    return lambda one: replace(one, leads=(replace(one.leads[0], terminal=x),
                                           replace(one.leads[1], terminal=y)))


def _at_the_device(p: PlannedPoint, right: Connection) -> Iterator[_Slip]:
    """Two leads at one device: exchanged, or at terminals of another output."""
    if len(right.leads) != 2 or right.links:
        return
    a, b = right.leads
    if a.device is None or a.device != b.device:
        return
    device = right.devices[a.device]
    if p.function.kind.shows_minus:
        yield _Slip("terminals", "swapped",
                    f"The leads are exchanged at {device.name}: the reading has the wrong sign.",
                    _at(b.terminal, a.terminal))
    used = {a.terminal, b.terminal}
    for offer in p.supply.standard.offers:
        if (len(offer.terminals) == 2 and not used & set(offer.terminals)
                and set(offer.terminals) <= set(device.terminals)):
            x, y = offer.terminals
            yield _Slip("terminals", "terminals",
                        f"The leads are at {x} and {y} of {device.name}, where "
                        f"{p.supply.output.what} does not come out.", _at(x, y))
            return


def _through(enters: str, returns: str) -> Callable[[Connection], Connection]:
    return lambda one: replace(one, coil=replace(one.coil, enters=enters, returns=returns))


def _through_the_coil(p: PlannedPoint, right: Connection) -> Iterator[_Slip]:
    coil = right.coil
    if p.function.kind.shows_minus:
        yield _Slip("terminals", "coil", "The current runs through the coil the wrong way: the "
                    "reading has the wrong sign.", _through(coil.returns, coil.enters))
    for offer in p.supply.standard.offers:
        if len(offer.terminals) == 2 and not {coil.enters, coil.returns} & set(offer.terminals):
            x, y = offer.terminals
            yield _Slip("terminals", "terminals", f"The coil is at {x} and {y} of "
                        f"{right.devices[coil.device].name}, where no current comes out.",
                        _through(x, y))
            return


def _on_the_dial(p: PlannedPoint, right: Connection) -> Iterator[_Slip]:
    """At the likeliest other positions."""
    used = {lead.jack for lead in right.leads}
    dials = [f for f in p.function.meter.functions if f.dial and f.dial != right.dial
             and (f.jacks is None or set(f.jacks) & used or right.coil)]
    dimension = p.function.kind.dimension
    likely = sorted(dials, key=lambda one: one.kind.dimension != dimension)
    for dial in list(dict.fromkeys(one.dial for one in likely))[:2]:
        yield _Slip("dial", "dial", f"The dial stands at {dial}, and this point needs "
                    f"{right.dial}.", lambda one, dial=dial: replace(one, dial=dial))


def _range(p: PlannedPoint) -> str:
    return exact_text.quantity(p.function.names[p.range])
