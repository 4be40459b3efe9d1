"""Points to ask about: drawn from the accuracy tables of all meters, and those of the plans that
need more than a table."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from builder.compute.exact import points
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.draw import Draw
from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.pieces import AT_REFERENCE
from builder.compute.exact.points import JudgedPoint, Refused
from builder.files import hashed
from builder.numbers import exact_text
from builder.numbers.units import Unit
from builder.practice import mistakes
from builder.procedure.how_computed import row_text, worked
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure, SheetGroup, SheetPoint
from builder.procedure.supplies import ARTIFACT
from builder.shop.contents import Shop

_NICE = tuple(map(Fraction,
                  (45, 50, 60, 100, 200, 400, 500, 1000, 2000, 5000, 10000, 20000, 50000)))


@dataclass(frozen=True, eq=False, kw_only=True)
class Case:
    """A point with its limits by simple acceptance, inside the meter's reference band."""

    view: MeterFunction
    judged: JudgedPoint
    hertz: Fraction | None = None
    signed: bool = False                # whether the reading that is judged has a minus
    nominal: Fraction | None = None     # the name of a certified value
    standard: str = ""                  # that has it
    leads: SheetPoint | None = None          # the reading of the leads alone that is taken off

    @property
    def on(self) -> RangeTable:
        return self.judged.range

    @property
    def unit(self) -> Unit:
        return self.view.names[self.on].unit

    @property
    def places(self) -> int:
        return exact_text.decimals(self.on.resolution, self.unit)

    @property
    def live(self) -> bool:
        return (self.view.kind.dimension == "[voltage]" and not self.view.kind.needs_level
                and is_hazardous(volts=abs(self.judged.applied), ac=self.hertz is not None))

    @property
    def neighbours(self) -> list[RangeTable]:
        """The ranges beside it, lowest first."""
        among = points.siblings(self.view.table, self.on)
        place = among.index(self.on)
        return [one for one in among[max(0, place - 1):place + 2] if one is not self.on]

    @property
    def ranges_above(self) -> list[RangeTable]:
        return [on for on in self.neighbours if on.full_scale > self.on.full_scale]

    @cached_property
    def mistaken(self) -> list[mistakes.Mistaken]:
        """Mistakes that are known by their limits."""
        return mistakes.mistaken_limits(**self._as_asked)

    @cached_property
    def every_mistake(self) -> list[mistakes.Mistaken]:
        return mistakes.every_mistake(**self._as_asked)

    @property
    def _as_asked(self) -> dict[str, Any]:
        return {"judged": self.judged, "shows_minus": self.signed,
                "frequency": self.hertz if self.view.kind.needs_frequency else None,
                "neighbours": self.neighbours, "nominal": self.nominal}

    def misjudging(self, counts: int) -> list[mistakes.Mistaken]:
        """The mistakes that turn the verdict on a reading; a verdict is laid to one of them only
        where it is the only one."""
        within = self.judged.accepted.holds(counts)
        return [one for one in self.every_mistake if one.accepted.holds(counts) != within]

    # ---------------------------------------------------------------- in words

    def reading(self, counts: int) -> str:
        return exact_text.amount(counts * self.on.resolution, self.unit, self.places)

    def band(self, low: int, high: int) -> str:
        return f"{self.bare(low)} to {self.reading(high)}"

    def bare(self, counts: int) -> str:
        return exact_text.number(exact_text.in_unit(counts * self.on.resolution, self.unit),
                                 self.places)

    @property
    def range_name(self) -> str:
        return exact_text.quantity(self.view.names[self.on])

    @property
    def applied(self) -> str:
        at = f" at {exact_text.frequency(self.hertz)}" if self.hertz is not None else ""
        return exact_text.amount(self.judged.applied, self.unit, self.places) + at

    def function(self) -> tuple[str, str]:
        return "Meter", f"{self.view.meter.name}, {self.view.title}"

    def point(self) -> tuple[str, str]:
        if self.nominal is not None:
            name, value = (exact_text.amount(v, self.unit)
                           for v in (self.nominal, self.judged.applied))
            return "Apply", f"{name} of {self.standard}, certified {value}; {self.range_name} range"
        return "Apply", f"{self.applied} on the {self.range_name} range"

    def accuracy(self) -> list[tuple[str, str]]:
        given = [("Accuracy", "; ".join(row_text(self.view, self.on, row)
                                        for row in self.on.rows))]
        if any(row.accuracy.percent_of_range
               for row in self.on.rows) and self.on.base != self.on.full_scale:
            given.append(("Percent of range", f"of {exact_text.amount(self.on.base, self.unit)}"))
        given += self.percent()
        counts = []
        for on in sorted([self.on, *self.neighbours], key=lambda one: one.full_scale):
            name = self.view.names[on]
            counts.append(
                f"{exact_text.amount(on.resolution, name.unit)} on {exact_text.quantity(name)}")
        return [*given, ("One count", ", ".join(counts))]

    def percent(self) -> list[tuple[str, str]]:
        """What a percent is of, where it is not of the reading."""
        return ([("Percent here", "points of the duty cycle itself, not of the reading")]
                if self.view.kind.dimension == "[ratio]" else [])

    def worked(self) -> tuple[str, ...]:
        return worked(self.view, self.judged,
                      self.hertz if self.view.kind.needs_frequency else None)


MOST = 12   # procedures that exercises are drawn from


class Bench:
    """All that a shop has to ask about."""

    def __init__(self, shop: Shop):
        views = {name: [v for v in shop.functions[name].values() if v.models]
                 for name in sorted(shop.functions)}
        self.meters: list[list[MeterFunction]] = [v for v in views.values() if v]
        # Of many, some: each is computed whole for them, whatever was edited.
        drawn = sorted(shop.procedures, key=hashed.sha256)[:MOST]
        self.procedures: list[Procedure] = [shop.procedures[name] for name in sorted(drawn)]
        self.certified: list[Case] = []
        self.corrected: list[Case] = []
        self.groups: list[tuple[Procedure, SheetGroup]] = [
            (p, g) for p in self.procedures for g in p.groups]
        for procedure in self.procedures:
            by_id = {point.id: point for point in procedure.points}
            for point in procedure.points:
                self._planned(point, by_id)

    def _planned(self, point: SheetPoint, by_id: dict[str, SheetPoint]) -> None:
        p = point.planned
        if p.judged is None or p.supply.method != ARTIFACT or p.applied == 0:
            return
        view = p.function.under(AT_REFERENCE)
        try:  # once more, inside the reference band
            judged = points.judge(function=view.table, applied=p.judged.applied,
                                  frequency=p.hertz, wanted=view.same_range(p.function, p.range),
                                  force=True, signed=p.signed)
        except Refused:
            return
        case = Case(view=view, judged=judged, hertz=p.hertz, signed=p.signed,
                    nominal=p.applied if p.applied != judged.applied else None,
                    standard=p.standard.name,
                    leads=by_id.get(point.zero) if p.correction == "subtract" else None)
        if case.nominal is not None:
            self.certified.append(case)
        if case.leads is not None:
            self.corrected.append(case)

    def view(self, draw: Draw) -> MeterFunction:
        return draw.one(draw.one(self.meters))

    def case(self, draw: Draw, view: MeterFunction | None = None,
             on: RangeTable | None = None) -> Case | None:
        """A point from an accuracy table; None where what was drawn has no limits."""
        view = view or self.view(draw)
        on = on or draw.one(view.table.ranges)
        x = on.full_scale * (8 + draw.below(88)) / 100 // on.resolution * on.resolution
        if view.table.shows_minus and draw.below(4) == 0:
            x = -x
        hertz = frequency(draw, view, on)
        try:
            points.refuse_beyond_input(limits=view.table.limits, applied=Fraction(0)
                                       if view.kind.needs_level else x, frequency=hertz)
            judged = points.judge(function=view.table, applied=x, frequency=hertz, wanted=on)
        except Refused:
            return None
        return (Case(view=view, judged=judged, hertz=hertz, signed=view.table.shows_minus) if x
                else None)


def frequency(draw: Draw, view: MeterFunction, on: RangeTable) -> Fraction | None:
    if not view.kind.needs_frequency:
        return None
    row = draw.one(on.rows)
    if row.frequency is None:
        return Fraction(50)
    low, high = row.frequency
    return draw.one([low, *(f for f in _NICE if low < f < high), high])
