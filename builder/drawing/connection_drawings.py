"""Drawings of connections, as SVG that needs no colour.

The meter stands at the left with its jacks as they stand on it, everything else at the right, its
terminals from above to below, or from left to right, in the order of the standard's file, the same
in every drawing. Leads leave the jacks downward, the rightmost jack takes the highest channel below
the meter and the first lane beside it, the next jack the next ones. No lead crosses another unless
the order of jacks and that of terminals ask for it; then the one hops over the other. What can't be
drawn by these rules isn't drawn. """

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from builder.drawing.connections import Connection, Lead, Link, in_words, turns_in_words
from builder.drawing.instruments import EDGE, HIGH, WIDE, Column, DrawnMeter, Pair, jaw
from builder.drawing.svg import LINE, Drawing, Spot, label_width, set_in, widest, wrapped

_LANE = 7.0  # from one lead to the next


class _CannotDraw(Exception):
    pass


def _need(sound: bool) -> None:
    if not sound:
        raise _CannotDraw


@lru_cache(maxsize=1024)
def connection_picture(connection: Connection) -> str:
    """The drawing, of the class `connection`; nothing where no leads are plugged, or where no clear
    drawing is known."""
    to = Drawing()
    try:
        _sound(connection)
        bottom, free = _layout(connection)(to, connection)
        if connection.note and free < WIDE:  # beside the channels
            lines = wrapped(connection.note, WIDE - free, 2 if connection.thermometer else 1)
            to.lines(free, bottom - LINE * len(lines) - 1, lines)
        elif connection.note:
            bottom = to.lines(EDGE, bottom, wrapped(connection.note, WIDE - EDGE, 1)) + 1
        _need(bottom <= HIGH)
    except _CannotDraw:
        return ""
    return to.svg("connection", WIDE, bottom, in_words(connection))


def _sound(connection: Connection) -> None:
    """Every end that is named exists once, and no two leads share one."""
    ends = [(lead.device, lead.terminal) for lead in connection.leads if lead.device is not None]
    jacks = [lead.jack for lead in connection.leads]
    _need(len(set(jacks)) == len(jacks) and len(set(ends)) == len(ends))
    _need(all(connection.jacks.count(jack) == 1 for jack in jacks))
    for link in connection.links:
        ends += [(link.device, link.terminal), (link.other, link.other_terminal)]
    if coil := connection.coil:
        ends += [(coil.device, coil.enters), (coil.device, coil.returns)]
        _need(coil.enters != coil.returns)
    _need(all(0 <= n < len(connection.devices)
              and connection.devices[n].terminals.count(terminal) == 1 for n, terminal in ends))


def _layout(connection: Connection) -> Callable[[Drawing, Connection], tuple[float, float]]:
    joined = {lead.device for lead in connection.leads}
    devices, links = len(connection.devices), len(connection.links)
    if connection.coil:
        _need(devices == 1 and not connection.leads and not links and not connection.thermometer)
        return _clamped
    _need(0 < len(connection.leads) <= 4)
    if joined == {None}:
        _need(not devices and len(connection.leads) == 2 and not connection.thermometer)
        return _free
    _need(None not in joined and not (links and connection.thermometer))
    if links:
        _need(devices == 2 and len(connection.leads) == 2
              and links == (1 if len(joined) == 2 else 2))
        return _in_series if links == 1 else _in_parallel
    _need(devices == 1)
    return _plain


def _body(connection: Connection, channels: int) -> float:
    """How low the meter's body may reach above so many channels, and a note where they leave no
    room beside them."""
    return HIGH - 2 - 7 * channels - (LINE + 1 if connection.note and len(connection.links) == 2
                                      else 0)


def _meter(connection: Connection, width: tuple[float, float], limit: float) -> DrawnMeter:
    return DrawnMeter(connection.meter, connection.dial, connection.jacks,
                      [lead.jack for lead in connection.leads], width, limit)


def _leads(connection: Connection, meter: DrawnMeter) -> list[Lead]:
    """From the rightmost jack to the leftmost, which is the order of channels and of ends."""
    return sorted(connection.leads, key=lambda lead: -meter.across[meter.jacks.index(lead.jack)])


def _route(to: Drawing, starts: list[tuple[str, Spot]], ends: list[Spot], edge: float,
           floor: float, *more: tuple[str, tuple[Spot, ...]]) -> tuple[float, float]:
    """Each start down to its channel, right to its lane, up to its end, beside the lines in `more`;
    returns how low that reaches, and from where on there is nothing below the floor."""
    lines = [(kind, (start, (start[0], floor + 7 + 7 * n),
                     (edge + _LANE * (n + 1), floor + 7 + 7 * n),
                     (edge + _LANE * (n + 1), end[1]), end))
             for n, ((kind, start), end) in enumerate(zip(starts, ends, strict=True))]
    _crossing(to, *lines, *more)
    return floor + 2 + 7 * len(starts), edge + _LANE * (len(starts) + 1)


def _crossing(to: Drawing, *lines: tuple[str, tuple[Spot, ...]]) -> None:
    """These lines, each hopping on its way to the right over those that come up across it."""
    for kind, spots in lines:
        upright = [(a, b) for _, others in lines if others is not spots
                   for a, b in pairwise(others) if a[0] == b[0]]
        to.bent(kind, *spots, over=[
            (a[0], left[1]) for left, right in pairwise(spots) if left[1] == right[1]
            for a, b in upright if left[0] < a[0] < right[0]
            and min(a[1], b[1]) < left[1] < max(a[1], b[1])])


def _kind(lead: Lead | Link) -> str:
    return "lead high" if lead.high else "lead low"


def _plain(to: Drawing, connection: Connection) -> tuple[float, float]:
    """One device; perhaps a thermometer at a jack. That stands above the device if its jack is the
    rightmost of those in use, else below, so that its line crosses no lead."""
    (device,), warm = connection.devices, bool(connection.thermometer)
    channels = len(connection.leads) + warm
    limit = _body(connection, channels)
    meter = _meter(connection, (130, 156 - _LANE * channels), limit)
    leads = _leads(connection, meter)
    edge = meter.wide + EDGE
    left = edge + _LANE * (channels + 1)
    for most in (2, 1):
        name = wrapped(connection.thermometer, WIDE - EDGE - left - 10, most)
        taken = 10 + LINE * len(name) if warm else 0
        box = Column(device.name, device.note, device.terminals, [lead.terminal for lead in leads],
                     WIDE - EDGE - left, limit - EDGE - taken)
        if box.high + taken <= limit - EDGE:
            break
    meter.bottom = max(meter.bottom, EDGE + box.high + taken)
    top = EDGE + (meter.bottom - EDGE - box.high - taken) / 2
    over = warm and connection.thermometer_at == leads[0].jack
    meter.draw(to)
    terminals = box.draw(to, left, top + taken if over else top)
    starts = [(_kind(lead), meter.at(lead.jack)) for lead in leads]
    ends = [terminals[lead.terminal] for lead in leads]
    if warm:
        x, y = starts[0][1][0] + 8 if over else starts[-1][1][0] - 9, top if over else (
            top + box.high + 4)
        to.box(left, y, box.wide, taken - 4, "frame", rx=2)
        to.lines(left + 6, y + 3, name)
        to.box(x - 2, meter.bottom - 9, 4, 14, "probe", rx=2)
        place = 0 if over else len(starts)
        starts.insert(place, ("lead warm", (x, meter.bottom + 5)))
        ends.insert(place, (left, y + (taken - 4) / 2))
    return _route(to, starts, ends, edge, meter.bottom)


def _free(to: Drawing, connection: Connection) -> tuple[float, float]:
    """Leads that end at nothing: their ends together at one joint, or apart."""
    meter = _meter(connection, (130, 142), _body(connection, 2))
    leads = _leads(connection, meter)
    edge = meter.wide + EDGE
    left = edge + _LANE * 3
    meter.draw(to)
    lines = wrapped("leads together" if connection.together else "leads apart", WIDE - EDGE - left,
                    2)
    upper, lower = meter.bottom - 36, meter.bottom - 9
    to.lines(left, upper - 9 - LINE * len(lines), lines, bold=True)
    for y in (upper, lower):
        to.box(left, y - 3.5, 26, 7, "frame", rx=3)
        if connection.together:
            to.bent("frame", (left + 26, y), (left + 32, y), (left + 44, (upper + lower) / 2))
        else:
            to.bent("frame", (left + 26, y), (left + 38, y))
    if connection.together:
        to.circle(left + 44, (upper + lower) / 2, 3, "plug")
    return _route(to, [(_kind(lead), meter.at(lead.jack)) for lead in leads],
                  [(left, upper), (left, lower)], edge, meter.bottom)


def _in_series(to: Drawing, connection: Connection) -> tuple[float, float]:
    """Two devices and the meter, one after the other round the loop."""
    (link,), limit = connection.links, _body(connection, 2)
    meter = _meter(connection, (112, 136), limit)
    first, last = _leads(connection, meter)
    ends = {link.device: link.terminal, link.other: link.other_terminal}
    _need(set(ends) == {0, 1} and all(lead.terminal != ends[lead.device] for lead in (first, last)))
    order = connection.devices[last.device].terminals
    # beside the last lead, which ends below it; further right where that ends above
    lane = 3 if order.index(last.terminal) < order.index(ends[last.device]) else 2
    edge = meter.wide + EDGE
    left = edge + _LANE * (lane + 1)
    boxes = [Column(one.name, one.note, one.terminals, (lead.terminal, ends[lead.device]),
                    WIDE - EDGE - left, (limit - EDGE - 5) / 2, beside=True)
             for lead, one in ((lead, connection.devices[lead.device]) for lead in (first, last))]
    meter.bottom = max(meter.bottom, EDGE + boxes[0].high + 5 + boxes[1].high)
    meter.draw(to)
    upper = boxes[0].draw(to, left, EDGE)
    lower = boxes[1].draw(to, left, meter.bottom - boxes[1].high)
    (x, top), (_, low) = upper[ends[first.device]], lower[ends[last.device]]
    across = edge + lane * _LANE
    return _route(to, [(_kind(lead), meter.at(lead.jack)) for lead in (first, last)],
                  [upper[first.terminal], lower[last.terminal]], edge, meter.bottom,
                  (_kind(link), ((x, top), (across, top), (across, low), (x, low))))


def _in_parallel(to: Drawing, connection: Connection) -> tuple[float, float]:
    """The leads come from below to one device, the links go on from its terminals to the other
    device above it."""
    meter = _meter(connection, (112, 136), _body(connection, 2))
    leads = _leads(connection, meter)
    near, beyond = leads[0].device, {}
    for link in connection.links:
        _need({link.device, link.other} == {0, 1})
        a, b = ((link.terminal, link.other_terminal) if link.device == near
                else (link.other_terminal, link.terminal))
        beyond[a] = (b, _kind(link))
    ends = [one for one in connection.devices[near].terminals if one in beyond]
    _need(set(beyond) == {lead.terminal for lead in leads})
    far = [beyond[terminal][0] for terminal in ends]
    _need(len(set(far)) == 2)
    left = meter.wide + EDGE + 8
    labels = [max(label_width(ends[n]), label_width(far[n])) for n in (0, 1)]
    room = WIDE - EDGE - left - 39
    right = left + 27 + min(max(22.0, labels[0]), max(room / 2, room - max(40.0, labels[1])))
    limit = _body(connection, 2) - EDGE - 6
    here, there = connection.devices[near], connection.devices[1 - near]
    below = Pair(here.name, here.note, ends, left, right, limit * .52, over=False, clear=False)
    above = Pair(there.name, there.note, far, left, right, limit - below.high, over=True)
    meter.bottom = max(meter.bottom, EDGE + above.high + 6 + below.high)
    meter.draw(to)
    upper, lower = above.draw(to, EDGE), below.draw(to, meter.bottom - below.high)
    for n, terminal in enumerate(ends):
        to.bent(beyond[terminal][1], upper[far[n]], lower[terminal])
    starts = [(lead, meter.at(lead.jack), meter.bottom + 7 + 7 * ends.index(lead.terminal))
              for lead in leads]
    _crossing(to, *((_kind(lead), (start, (start[0], channel),
                                   (lower[lead.terminal][0], channel), lower[lead.terminal]))
                    for lead, start, channel in starts))
    return meter.bottom + 16, WIDE


def _clamped(to: Drawing, connection: Connection) -> tuple[float, float]:
    """A clamp's jaw around the middle of a coil's side, the coil's ends at the source below it. The
    source keeps its terminals' order: where the current enters from the latter, the ends cross."""
    coil, (device,) = connection.coil, connection.devices
    ends = sorted((coil.enters, coil.returns),
                  key=lambda one: [*device.terminals, one].index(one))
    crossed = ends[0] != coil.enters
    aside, least, gap = (12, 17, 17) if crossed else (0, 8, 14)
    under = LINE + 1 if connection.note else 0
    meter = _meter(connection, (112, 112), HIGH - 2 - under)
    if meter.wide > 112:  # jacks that nothing is plugged in, with labels that don't fit
        meter = _meter(replace(connection, jacks=()), (112, 112), HIGH - 2 - under)
    strands = (0.0, 3.0, 6.0) if coil.turns > 1 else (0.0,)
    left = meter.wide + EDGE + 12
    x = left + 10 + aside
    centre = x + strands[-1] / 2
    far = max(WIDE - EDGE - 12 - widest(set_in(ends[1], 56)), centre + strands[-1] + 61 + aside)
    back = far - aside
    label = wrapped(turns_in_words(coil), back - strands[-1] - centre - 27, 2)
    _need(not label[-1].endswith("…"))
    box = Pair(device.name, device.note, ends, left, far,
               HIGH - EDGE - 48 - least - under, over=False)
    top, low = EDGE + 2, min(61.0, HIGH - EDGE - least - box.high - under)
    middle = (top + low) / 2
    meter.bottom = max(meter.bottom, min(low + gap + box.high, HIGH - EDGE - under),
                       low + least + box.high)
    meter.draw(to)
    terminals = box.draw(to, meter.bottom - box.high)
    jaw(to, meter.wide + EDGE, x, back, top, middle, low, strands)
    to.lines(centre + 21, middle - LINE * len(label) / 2, label)
    (enters, row), (returns, _) = terminals[coil.enters], terminals[coil.returns]
    if crossed:
        to.bent("lead high", (x, low), (x, low + 12), (enters, low + 12), (enters, row))
        to.bent("lead low", (returns, row), (returns, low + 6), (back, low + 6), (back, low),
                over=[(x, low + 6)])
    else:
        to.bent("lead high", (x, low), (enters, row))
        to.bent("lead low", (back, low), (returns, row))
    return meter.bottom + EDGE, WIDE
