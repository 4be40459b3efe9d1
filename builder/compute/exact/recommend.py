"""Which points to try on a function (choice of this project, in the spirit of EURAMET cg-15, which
gives points as shares of full scale): zero (DC and ohms, never AC), a low, a middle and a high
point on the lowest range for linearity; one high point, about 90 % of full scale, on the others;
both polarities for DC, and of a temperature one near its lower end; the lowest and the highest
frequency of each AC row, and with them the highest specified frequency on every AC range; just
below the ceiling of a frequency counter. Where a box has certain values only, those that lie
nearest to these."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, FunctionTable, RangeTable
from builder.compute.exact.points import Refused, judge

# raises Refused where the value can't be applied
Allowed = Callable[[Fraction, "Fraction | None"], None]

HIGH = [Fraction(n, 100) for n in (90, 80, 70, 60, 50, 40, 30, 20)]
MIDDLE = [Fraction(n, 100) for n in (50, 45, 55, 40, 60)]
LOW = [Fraction(n, 100) for n in (10, 15, 20, 25)]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A value to apply and its frequency (Hz; None without one), in the function's unit, and the
    range that it is meant for."""

    applied: Fraction
    frequency: Fraction | None
    range: RangeTable


@dataclass(frozen=True, slots=True)
class Missing:
    """A row, or one end of its frequencies, for which no point was found, and why the most wanted
    was refused."""

    range: RangeTable
    row: AccuracyRow
    frequency: Fraction | None
    refused: Refused


def recommended(*, function: FunctionTable, allowed: Allowed,
                frequencies: Sequence[Fraction | None] = (None,), is_counter: bool = False,
                force: bool = False, certified: Mapping[Fraction, Fraction] | None = None,
                signed: bool = False) -> tuple[list[Wanted], list[Missing]]:
    """Recommended points for every range of a function. `allowed` says whether the standard and the
    meter's input can take a value; where they can't, a smaller share of the range is tried.

    `frequencies` are those at which a duty cycle is applied; an AC function has its own in its
    rows. `certified` are the nominal values of a box with the certified ones; `signed` as for
    `judge`. A function whose leads are taken off has its zero in that, so none is recommended. """
    points: list[Wanted] = []
    missing: list[Missing] = []
    for on in function.ranges:
        search = _Search(function=function, on=on, allowed=allowed, force=force,
                         frequencies=_band_ends(on) if function.is_ac else frequencies,
                         certified=certified, signed=signed)
        if on is function.ranges[0]:
            search.add_zero()
            search.add_low_and_middle()
        search.add_high()
        if is_counter and on is function.ranges[-1]:
            search.add_ceiling()
        for row in on.rows:
            if not row.typical:
                search.add_inside(row)
                missing += search.missing(row)
        points += search.points
    return points, missing


@dataclass(slots=True, kw_only=True)
class _Search:
    """The search for the points of one range: those found so far, the rows that they test, and by
    frequency what was refused there last."""

    function: FunctionTable
    on: RangeTable
    allowed: Allowed
    force: bool
    frequencies: Sequence[Fraction | None]
    certified: Mapping[Fraction, Fraction] | None
    signed: bool
    points: list[Wanted] = field(default_factory=list)
    rows: set[AccuracyRow] = field(default_factory=set)
    refused: dict[Fraction | None, Refused] = field(default_factory=dict)

    def add_zero(self) -> None:
        if self.function.has_zero and not self.signed:
            self.add_first([Fraction(0)], self.frequencies[0])

    def add_low_and_middle(self) -> None:
        """For linearity, at one frequency: of an AC function the lowest that can be applied."""
        to_try = self.frequencies if self.function.is_ac else self.frequencies[:1]
        for shares in (LOW, MIDDLE):
            for hertz in to_try:
                if self.add_first(_shares(self.on, shares), hertz) is not None:
                    break

    def add_high(self) -> None:
        """At every frequency, and for DC in both polarities."""
        for hertz in self.frequencies:
            high = self.add_first(_shares(self.on, HIGH), hertz)
            if self.function.span is not None:   # a temperature has no other polarity
                if self.on.lowest is not None and self.on.lowest < 0:
                    self.add_first([_on_grid(self.on, self.on.lowest * share) for share in HIGH],
                                   hertz)
            elif high and self.function.shows_minus and not self.function.is_ac:
                self.add_first([-high], hertz)

    def add_ceiling(self) -> None:
        self.add_first(_just_below(self.on), self.frequencies[0])

    def add_inside(self, row: AccuracyRow) -> None:
        """A point inside a row that none of the points tests."""
        for hertz in self.inside(row):
            if row not in self.rows:
                self.add_first(_inside(self.on, row), hertz)

    def add_first(self, values: Iterable[Fraction], hertz: Fraction | None) -> Fraction | None:
        """Adds the first of the values that can be applied and judged, and returns it. If there is
        none, the refusal of the most wanted is kept."""
        if self.certified is not None:
            values = _of_box(self.on, self.certified, values)
        most_wanted: Refused | None = None
        for value in values:
            try:
                self.allowed(value, hertz)
                judged = judge(function=self.function, frequency=hertz, wanted=self.on,
                               applied=value if self.certified is None else self.certified[value],
                               force=self.force, signed=self.signed, is_zero=value == 0)
            except Refused as refused:
                most_wanted = most_wanted or refused
                continue
            self.rows.add(judged.row)
            point = Wanted(value, hertz, self.on)
            if point not in self.points:
                self.points.append(point)
            return value
        self.refused[hertz] = most_wanted or Refused("value-outside", on=self.on)
        return None

    def inside(self, row: AccuracyRow) -> Sequence[Fraction | None]:
        """The frequencies to try a row at that no point tests: of an AC row the highest, then the
        middle of its band."""
        if not self.function.is_ac or row.frequency is None:
            return self.frequencies
        low, high = row.frequency
        return high, (low + high) / 2

    def missing(self, row: AccuracyRow) -> list[Missing]:
        """The row, if no point tests it; of an AC row that is tested, the ends at which something
        was refused."""
        if row not in self.rows:
            hertz = self.inside(row)[0]
            refused = self.refused.get(hertz) or Refused("tighter-row", on=self.on)
            return [Missing(self.on, row, hertz, refused)]
        if not self.function.is_ac or row.frequency is None:
            return []
        return [Missing(self.on, row, hertz, self.refused[hertz]) for hertz in _ends(row)
                if hertz in self.refused]


def _band_ends(on: RangeTable) -> list[Fraction]:
    """The lowest and the highest frequency of each row, from low to high."""
    return sorted({end for row in on.rows if row.frequency and not row.typical
                   for end in _ends(row)})


def _ends(row: AccuracyRow) -> list[Fraction]:
    """Those that are part of the row itself."""
    return [end for end in row.frequency or () if row.covers_frequency(end)]


def _of_box(on: RangeTable, certified: Mapping[Fraction, Fraction],
            values: Iterable[Fraction]) -> list[Fraction]:
    """The box's values on this range, the nearest to the most wanted one first."""
    wanted = next(iter(values))
    return sorted((v for v in certified if v <= on.highest), key=lambda v: (abs(v - wanted), v))


def _shares(on: RangeTable, shares: Iterable[Fraction]) -> Iterator[Fraction]:
    return (_on_grid(on, on.full_scale * share) for share in shares)


def _inside(on: RangeTable, row: AccuracyRow) -> Iterator[Fraction]:
    low, high = row.values or (on.resolution if on.lowest is None else on.lowest, on.highest)
    return (_on_grid(on, low + (high - low) * share) for share in (*HIGH, *LOW))


def _on_grid(on: RangeTable, value: Fraction) -> Fraction:
    return int(value / on.resolution) * on.resolution


def _just_below(on: RangeTable) -> list[Fraction]:
    """The highest values whose whole tolerance still shows, at three figures of the range."""
    step = on.full_scale / 1000
    steps = int(on.highest / step)
    return [_on_grid(on, (steps - k) * step) for k in range(1, 100)]
