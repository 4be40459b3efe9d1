"""The bench on the page: the shop's meters, as far as it can do them, with the points and groups of
their sheets. `simulated_data` has them as the page's script takes them."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from builder.compute.exact import points as exact_points
from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.pieces import AT_REFERENCE
from builder.compute.exact.points import Refused
from builder.formats.meter import Meter
from builder.numbers import exact_text
from builder.practice.simulated_meter import SimulatedRange, simulated
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure, SheetGroup, SheetPoint
from builder.procedure.supply import ARTIFACT, SOURCE
from builder.shop.contents import Shop

# What the bench can apply, and of what quantity it is.
QUANTITIES = {"DC voltage": "voltage", "AC voltage": "voltage", "DC current": "current",
              "AC current": "current", "resistance": "resistance", "capacitance": "capacitance",
              "frequency": "frequency"}


@dataclass(frozen=True, kw_only=True, eq=False)
class BenchFunction:
    """A function of a meter that the bench can do."""

    view: MeterFunction
    ranges: tuple[SimulatedRange, ...]

    @property
    def quantity(self) -> str:
        return QUANTITIES[self.view.kind.name]


@dataclass(frozen=True, kw_only=True)
class BenchPoint:
    """A point of a sheet on the bench: its function and range by their places, what stands at the
    meter's input, and the counts that are accepted. `kind` is 'given', or 'together' and 'apart'
    for the leads alone; `less` the place of the point whose reading is taken off."""

    function: int
    range: int
    input: Fraction
    low: int
    high: int
    said: str                      # what is applied, as the sheet has it
    name: str                      # with its function and range, to choose it from a list
    hertz: Fraction | None = None
    kind: str = "given"
    sets: Fraction | None = None   # what the standard is set to
    level: Fraction | None = None
    standard: str = ""
    forced: bool = False
    relative: bool = False
    live: bool = False
    less: int | None = None


@dataclass(frozen=True, kw_only=True)
class BenchGroup:
    title: str
    sheet: str
    live: bool
    points: tuple[int, ...]


@dataclass(kw_only=True)
class BenchMeter:
    """A meter as the bench has it."""

    meter: Meter
    functions: list[BenchFunction]
    points: list[BenchPoint] = field(default_factory=list)
    groups: list[BenchGroup] = field(default_factory=list)
    lacks: list[str] = field(default_factory=list)      # functions that the bench can't do


def meters(shop: Shop) -> list[BenchMeter]:
    """Each meter of the shop that has something to try here."""
    made = []
    for name in sorted(shop.functions, key=lambda one: shop.meters[one].name):
        functions = [BenchFunction(view=view.under(AT_REFERENCE),
                                   ranges=tuple(map(simulated, view.table.ranges)))
                     for view in shop.functions[name].values() if _can_do(view)]
        if not functions:
            continue
        bench = BenchMeter(meter=shop.meters[name], functions=functions, lacks=[
            view.title for view in shop.functions[name].values() if not _can_do(view)])
        for procedure in shop.procedures.values():
            if procedure.meter.meter == name:
                _add_sheet(bench, procedure)
        if not any(one.kind == "given" for one in bench.points):
            _add_own(bench)
        made.append(bench)
    return made


def _can_do(view: MeterFunction) -> bool:
    given = view.given
    return (view.kind.name in QUANTITIES and bool(view.models) and not given.clamp
            and given.signal == "voltage"
            and all(len(view.jacks(on)) == 2 for on in view.table.ranges))


# ---------------------------------------------------------------- points and groups

def _add_sheet(bench: BenchMeter, procedure: Procedure) -> None:
    """A sheet's points, as far as the bench can apply them; its groups where it can do all of
    one."""
    places: dict[str, int] = {}
    accepted = {one.id: one.accept for one in procedure.sheet_data.points}
    for group in procedure.groups:
        mine = []
        for point in group.points:
            made = _point(bench, point, accepted[point.id], places)
            if made is not None:
                mine.append(len(bench.points))
                places[point.id] = len(bench.points)
                bench.points.append(made)
        zeros = [bench.points[n].less for n in mine if bench.points[n].less is not None]
        if mine and len(mine) == len(group.points) and bench.points[mine[0]].kind == "given":
            bench.groups.append(BenchGroup(title=group.title, sheet=procedure.title,
                                           live=_is_live(group, bench, mine),
                                           points=(*dict.fromkeys(zeros), *mine)))


def _is_live(group: SheetGroup, bench: BenchMeter, places: list[int]) -> bool:
    return group.live or any(bench.points[n].live for n in places)


def _point(bench: BenchMeter, point: SheetPoint, accept: Any,
           places: dict[str, int]) -> BenchPoint | None:
    planned = point.planned
    supply, view = planned.supply, planned.function
    function = next((n for n, one in enumerate(bench.functions)
                     if one.view.title == view.title), None)
    if function is None or accept is None or accept.low_counts is None or planned.wave:
        return None
    on = view.table.ranges.index(planned.range)
    name = f"{view.title}, {exact_text.quantity(view.names[planned.range])} range"
    common = {"function": function, "range": on, "low": accept.low_counts,
              "high": accept.high_counts, "forced": planned.forced,
              "relative": planned.correction == "relative"}
    if planned.zero is not None:
        together = view.kind.zero_with
        return BenchPoint(input=Fraction(0), kind=together, said=f"leads {together}",
                          name=f"leads {together}, {name}",
                          **common | {"relative": False}) if together else None
    if supply.method not in (SOURCE, ARTIFACT) or planned.judged is None:
        return None
    expected = planned.judged.applied
    if supply.method == SOURCE and expected != planned.applied:
        return None     # here a source gives what it is set to
    if planned.correction == "subtract" and point.zero not in places:
        return None
    text = ", ".join(filter(None, (point.apply, point.at)))
    return BenchPoint(
        input=expected, said=text, name=f"{text}, {name}", hertz=planned.hertz,
        sets=planned.applied, standard=supply.standard.standard, live=planned.is_hazardous,
        level=planned.level.value if planned.level else None,
        less=places[point.zero] if planned.correction == "subtract" else None, **common)


def _add_own(bench: BenchMeter) -> None:
    """Of a meter without a sheet: zero and the two ends of each range, by the tolerance."""
    for n, function in enumerate(bench.functions):
        view = function.view
        if function.quantity in ("frequency", "capacitance"):
            continue
        for on in view.table.ranges:
            for share in (0, 30, 90):
                applied = on.full_scale * share / 100
                hertz = on.rows[0].frequency[0] if on.rows[0].frequency else None
                if hertz is None and view.kind.needs_frequency:
                    hertz = Fraction(50)
                try:
                    exact_points.refuse_beyond_input(limits=view.table.limits, applied=applied,
                                                     frequency=hertz)
                    judged = exact_points.judge(function=view.table, applied=applied,
                                                frequency=hertz, wanted=on)
                except Refused:
                    continue
                unit = view.names[on].unit
                text = exact_text.amount(applied, unit,
                                         exact_text.decimals(on.resolution, unit))
                if hertz is not None:
                    text += f", {exact_text.frequency(hertz)}"
                bench.points.append(BenchPoint(
                    function=n, range=view.table.ranges.index(on), input=applied, sets=applied,
                    low=judged.accepted.low, high=judged.accepted.high, hertz=hertz, said=text,
                    name=f"{text}, {view.title}, {exact_text.quantity(view.names[on])} range",
                    live=function.quantity == "voltage"
                    and is_hazardous(volts=applied, ac=hertz is not None)))
