"""The things in a drawing of connections: a meter with its jacks, instruments with their terminals,
a clamp's jaw.

Each is laid out first, so that its size is known, and drawn then. They know nothing of leads but
which ends are in use. """

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from builder.drawing.svg import LINE, Drawing, Spot, label_width, set_in, ways, widest, wrapped

# 62 mm by 32 mm: four units a millimetre, so that letters of 10 units have 7.1 points
WIDE, HIGH = 248.0, 128.0
EDGE, RADIUS = 1.0, 4.0


class DrawnMeter:
    """A hand-held meter: its name, what the dial stands at, and its row of jacks, those in use
    filled and bold."""

    def __init__(self, name: str, dial: str | None, jacks: tuple[str, ...], used: Iterable[str],
                 width: tuple[float, float], limit: float) -> None:
        self.used, self.jacks = set(used), jacks
        self.labels, self.across, self.wide = _row(jacks, *width)
        self.deep = max(map(len, self.labels), default=0) * LINE
        room = self.wide - 10
        for most in (2, 1):
            self.dial = wrapped(dial or "", room - 19, most)
            below = (self.deep + 20 if self.jacks
                     else 4) + (max(19, len(self.dial) * LINE + 4) if self.dial else 0)
            if EDGE + 4 + LINE + below <= limit:
                break
        self.name = wrapped(name, room, max(1, min(3, int((limit - below - 8) // LINE))))
        self.bottom = EDGE + max(4 + len(self.name) * LINE + below, 66.0)

    def draw(self, to: Drawing) -> None:
        wide, bottom = self.wide, self.bottom
        to.box(EDGE, EDGE, wide, bottom - EDGE, "frame", rx=8)
        top = to.lines(EDGE + wide / 2, EDGE + 4, self.name, "middle", bold=True)
        labels = bottom - (self.deep + 16 if self.jacks else 0)
        if self.dial:
            text = widest(self.dial)
            x, y = EDGE + (wide - text - 17) / 2 + 6, (top + labels) / 2 + 1
            to.circle(x, y, 6.5, "frame")
            to.bent("frame", (x, y), (x + 3.4, y - 3.4))
            to.lines(x + 11, y - len(self.dial) * LINE / 2, self.dial)
        for jack, label, x in zip(self.jacks, self.labels, self.across, strict=True):
            to.lines(x, bottom - 16 - len(label) * LINE, label, "middle", bold=jack in self.used)
            to.circle(x, bottom - 9, RADIUS, "plug" if jack in self.used else "hole")

    def at(self, jack: str) -> Spot:
        return self.across[self.jacks.index(jack)], self.bottom - 9


@lru_cache(maxsize=256)
def _row(jacks: tuple[str, ...], wished: float,
         most: float) -> tuple[tuple[tuple[str, ...], ...], tuple[float, ...], float]:
    """Labels in lines, where each jack stands, and how wide that is. Words stay whole if they can;
    then the width that is wished, then even distances, then few lines."""
    least, gap, side = 86.0, 4.5, 5.0
    rows: list[tuple] = []
    rooms = sorted({way[1] for jack in jacks for way in ways(jack)}, reverse=True) or [0.0]
    for cut_at in (999.0, *rooms):
        for room in (one for one in rooms if one <= cut_at):
            labels = tuple(lines if widest(lines := set_in(jack, room, cut=False)) <= cut_at
                           else set_in(jack, cut_at) for jack in jacks)
            cut = sum(" ".join(lines) != " ".join(jack.split()) for jack,
                      lines in zip(jacks, labels, strict=True))
            cells = [max(widest(lines), 2 * RADIUS + 4) for lines in labels] or [0.0]
            close = [(a + b) / 2 + gap for a, b in pairwise(cells)]
            for uneven, steps in enumerate(([max(close, default=0.0)] * len(close), close)):
                taken = 2 * side + (cells[0] + cells[-1]) / 2 + sum(steps)
                wide = max(least, taken)
                # what room is left over goes between the jacks and to both sides
                more = (wide - taken) / (len(jacks) + 1)
                rows.append((wide > most and wide, max(0, max(map(len, labels), default=0) - 3),
                              cut, max(0.0, wide - wished), uneven, -room, labels,
                              [step + more for step in steps], wide, side + more + cells[0] / 2))
        if cut_at == 999.0 and min(rows)[0] is False:
            break
    *_, labels, steps, wide, first = min(rows)
    return labels, tuple(EDGE + first + sum(steps[:n]) for n in range(len(jacks))), wide


class Column:
    """A device whose terminals stand one below the other, always in the order that it gives them
    in; its name above them, or beside them where height is scarce."""

    def __init__(self, name: str, note: str, terminals: Sequence[str],
                 wanted: Collection[str], wide: float, limit: float, beside: bool = False) -> None:
        self.wide, self.wanted, self.beside = wide, set(wanted), beside
        self.pad, room = (2.5 if beside else 4.0), wide - 21
        for every, names, notes in ((True, 2, 2), (True, 2, 1), (False, 2, 2), (False, 2, 1),
                                    (False, 1, 1), (False, 1, 0)):
            self.order = [t for t in terminals if every or t in self.wanted]
            if beside:
                room = min((wide - 21) * .5, max(map(label_width, self.order)))
            self.labels = [set_in(one, room) for one in self.order]
            text = wide - (room + 25 if beside else 11)
            self.name, self.note = wrapped(name, text, names), wrapped(note, text, notes)
            self.text = wide - text - (4 if beside else 5)
            head = LINE * (len(self.name) + len(self.note))
            self.cells = [max(13.0, LINE * len(lines) + 2) for lines in self.labels]
            self.high = 2 * self.pad + (max(head, sum(self.cells)) if beside
                                        else head + sum(self.cells) + (2 if self.cells else 0))
            if self.high <= limit:
                break

    def draw(self, to: Drawing, x: float, y: float) -> dict[str, Spot]:
        to.box(x, y, self.wide, self.high, "frame", rx=2)
        head, cells = LINE * (len(self.name) + len(self.note)), sum(self.cells)
        top = to.lines(x + self.text, y + ((self.high - head) / 2 if self.beside else self.pad),
                      self.name, bold=True)
        top = to.lines(x + self.text, top, self.note)
        spots, top = {}, y + (self.high - cells) / 2 if self.beside else top + 2
        for name, lines, cell in zip(self.order, self.labels, self.cells, strict=True):
            spots[name] = (x + 10, top + cell / 2)
            terminal(to, *spots[name], lines, name in self.wanted)
            top += cell
        return spots


class Pair:
    """A device whose two terminals in use stand side by side, for lines from above or below; its
    name stands over that row, or under it: all along, or at the right of lines from below."""

    def __init__(self, name: str, note: str, wanted: Sequence[str], left: float, right: float,
                 limit: float, over: bool, clear: bool = True) -> None:
        self.left, self.right, self.wanted, self.over = left, right, wanted, over
        self.text = left + 6 if clear else right + 8
        self.labels = [set_in(wanted[0], right - left - 27),
                       set_in(wanted[1], WIDE - EDGE - right - 12)]
        self.row = max(13.0, *(LINE * len(lines) + 2 for lines in self.labels))
        room = WIDE - EDGE - 5 - self.text
        for names, notes in ((2, 2), (2, 1), (1, 1), (1, 0)):
            self.name, self.note = wrapped(name, room, names), wrapped(note, room, notes)
            self.head = LINE * (len(self.name) + len(self.note))
            self.high = 6 + self.head + self.row
            if self.high <= limit:
                break

    def draw(self, to: Drawing, y: float) -> dict[str, Spot]:
        to.box(self.left, y, WIDE - EDGE - self.left, self.high, "frame", rx=2)
        top = to.lines(self.text, y + 3 + (0 if self.over else self.row), self.name, bold=True)
        to.lines(self.text, top, self.note)
        row = y + 3 + (self.head if self.over else 0) + self.row / 2
        spots = {self.wanted[0]: (self.left + 10, row), self.wanted[1]: (self.right, row)}
        for name, lines in zip(self.wanted, self.labels, strict=True):
            terminal(to, *spots[name], lines, True)
        return spots


def terminal(to: Drawing, x: float, y: float, lines: Sequence[str], used: bool) -> None:
    to.circle(x, y, RADIUS, "plug" if used else "hole")
    to.lines(x + 8, y - len(lines) * LINE / 2, lines, bold=used)


def jaw(to: Drawing, edge: float, x: float, far: float, top: float, middle: float, low: float,
        strands: Sequence[float]) -> None:
    """A clamp's jaw at the meter's right edge, closed around the middle of the left side of a coil,
    which stands from `x` to `far`; the arrow is the current's. In front the jaw hides the coil, at
    its back the coil hides the jaw."""
    centre = x + strands[-1] / 2
    for outer, inner in ((17.0, False), (11.5, True)):
        _rim(to, centre, middle, outer, outer / 2 - (1.5 if inner else 0), strands[-1] / 2 + 2.5)
    to.bent("frame", (centre + 11.5, middle), (centre + 17, middle))  # where the jaw opens
    for y in (middle - 4, middle + 4):
        to.bent("frame", (edge, y), (centre - 15, y))
    for strand in strands:
        front, hole = (x + strand, middle + 10.5), (x + strand, middle + 2.5)
        bottom = (((far - strand, low),) if not strand
                  else ((far - strand, low - strand), (x + strand, low - strand), front))
        to.bent("turn", hole, (x + strand, top + strand), (far - strand, top + strand), *bottom)
    to.bent("turn", (x, low), (x, middle + 10.5))
    to.bent("turn", (x - 8, middle - 11), (x - 8, top + 4))
    to.path("M", x - 8, top + 1, "l3 7h-6z", kind="plug")


def _rim(to: Drawing, x: float, y: float, rx: float, ry: float, gap: float) -> None:
    """An ellipse, open at its back where the coil passes in front of it."""
    back = y - ry * (1 - (gap / rx) ** 2) ** 0.5
    to.path("M", x + gap, back, "A", rx, ry, "0 1 1", x - gap, back, kind="frame")
