"""The bench on the page: the shop's meters and standards as its script takes them, the points and
groups of their sheets, and the faults that may hide in a meter. All numbers are exact texts in the
unit without a prefix."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from builder.compute.exact import points as exact_points
from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.pieces import AT_REFERENCE
from builder.compute.exact.points import Refused
from builder.formats.meter import Meter
from builder.formats.standard import Artifact, Output, Standard
from builder.numbers import exact_text, units
from builder.numbers.units import Unit, decimal_text
from builder.practice import fault_finding
from builder.practice.simulated_meter import DOWN, GOOD, SimulatedRange, groups_of, simulated
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure, SheetGroup, SheetPoint
from builder.procedure.supply import ARTIFACT, SOURCE
from builder.shop.contents import Shop

# What the bench can apply, and of what quantity it is.
QUANTITIES = {"DC voltage": "voltage", "AC voltage": "voltage", "DC current": "current",
              "AC current": "current", "resistance": "resistance", "capacitance": "capacitance",
              "frequency": "frequency"}
AC = ("AC voltage", "AC current", "frequency")
# Of what no standard of the shop gives, a source of the bench's own has: its terminals.
OWN = {"voltage": ("HI", "LO"), "frequency": ("HI", "LO"), "current": ("I HI", "I LO"),
       "resistance": ("Ω HI", "Ω LO"), "capacitance": ("F HI", "F LO")}


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


def meters(shop: Shop) -> list[BenchMeter]:
    """Each meter of the shop that has something to try here."""
    made = []
    for name in sorted(shop.functions, key=lambda one: shop.meters[one].name):
        functions = [BenchFunction(view=view.under(AT_REFERENCE),
                                   ranges=tuple(map(simulated, view.table.ranges)))
                     for view in shop.functions[name].values() if _can_do(view)]
        if not functions:
            continue
        bench = BenchMeter(meter=shop.meters[name], functions=functions)
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
    said = ", ".join(filter(None, (point.apply, point.at)))
    return BenchPoint(
        input=expected, said=said, name=f"{said}, {name}", hertz=planned.hertz,
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
                said = exact_text.amount(applied, unit,
                                         exact_text.decimals(on.resolution, unit))
                if hertz is not None:
                    said += f", {exact_text.frequency(hertz)}"
                bench.points.append(BenchPoint(
                    function=n, range=view.table.ranges.index(on), input=applied, sets=applied,
                    low=judged.accepted.low, high=judged.accepted.high, hertz=hertz, said=said,
                    name=f"{said}, {view.title}, {exact_text.quantity(view.names[on])} range",
                    live=function.quantity == "voltage"
                    and is_hazardous(volts=applied, ac=hertz is not None)))


# ---------------------------------------------------------------- standards

def _outputs(standard: Standard) -> list[Output | Artifact]:
    offers = {"source": "outputs", "artifact": "artifacts"}.get(standard.kind)
    return [one for one in getattr(standard, offers) if one.what in QUANTITIES
            and len(one.terminals) == 2 and getattr(one, "wave", "sine") == "sine"
            ] if offers else []


def _given(offer: Output | Artifact) -> dict[str, Any]:
    """What one output gives: values and frequencies from … to …, and what it can drive; or the
    values of a box with what they are."""
    common = {"kind": offer.what, "quantity": QUANTITIES[offer.what], "ac": offer.what in AC,
              "terminals": list(offer.terminals)}
    if isinstance(offer, Artifact):
        return common | {"values": [
            {"said": exact_text.quantity(one.nominal), "nominal": decimal_text(one.nominal.value),
             "value": decimal_text(one.certified.value)} for one in offer.values]}
    return common | {"rows": [_lean(
        values=_ends(row.values), frequency=row.frequency and _ends(row.frequency),
        level=row.level and _ends(row.level),
        drives=row.drives and decimal_text(row.drives.value)) for row in offer.rows]}


def _ends(span) -> list[str]:
    return [decimal_text(span.low.value), decimal_text(span.high.value)]


def _standards(shop: Shop, made: list[BenchMeter]) -> list[dict[str, Any]]:
    found = [{"id": name, "name": one.name, "gives": [_given(offer) for offer in _outputs(one)]}
             for name, one in sorted(shop.standards.items()) if _outputs(one)]
    has = {offer["kind"] for one in found for offer in one["gives"]}
    lacks = dict.fromkeys(one.view.kind.name for bench in made for one in bench.functions
                          if one.view.kind.name not in has)
    if lacks:
        found.append({"id": "", "name": "The bench’s own source", "gives": [
            {"kind": kind, "quantity": QUANTITIES[kind], "ac": kind in AC,
             "terminals": list(OWN[QUANTITIES[kind]]), "rows": []} for kind in lacks]})
    return found


# ---------------------------------------------------------------- as data

def data(shop: Shop) -> dict[str, Any]:
    """All that the page's script must know; no meters where there is nothing to try."""
    made = meters(shop)
    return {"meters": [_meter(one) for one in made],
            "standards": _standards(shop, made) if made else [],
            "faults": fault_finding.KINDS, "good": GOOD, "down": decimal_text(DOWN)}


def _meter(bench: BenchMeter) -> dict[str, Any]:
    meter = bench.meter
    jacks = meter.jacks or list(dict.fromkeys(
        jack for one in bench.functions for on in one.view.table.ranges
        for jack in one.view.jacks(on)))
    return {
        "id": meter.meter, "name": meter.name, "note": meter.note or "", "jacks": jacks,
        "rated": decimal_text(meter.rated.between_terminals.value),
        "fuses": [{"jacks": list(one.jacks), "rating": one.rating, "amps": _amperes(one.rating)}
                  for one in meter.fuses],
        "functions": [_function(one, _with_leads(bench, n))
                      for n, one in enumerate(bench.functions)],
        "points": [_as_data(one, bench) for one in bench.points],
        "groups": [_lean(title=one.title, sheet=one.sheet, live=one.live, points=list(one.points))
                   for one in bench.groups],
        "areas": fault_finding.areas(bench)}


def _lean(**held: Any) -> dict[str, Any]:
    """Without what is none, no or empty, which the script takes a lacking one for."""
    return {name: value for name, value in held.items() if value is not None and value is not False and value != ""}


def _amperes(rating: str) -> str | None:
    """The current that a fuse is rated for, where its rating begins with one."""
    try:
        rated = units.quantity(rating.split(",")[0])
    except ValueError:
        return None
    return decimal_text(rated.value) if rated.dimension == "[current]" else None


def _with_leads(bench: BenchMeter, function: int) -> bool:
    """Whether what the leads add is in the readings of a function: its sheet takes it off."""
    return any(one.less is not None or one.relative for one in bench.points
               if one.function == function)


def _function(one: BenchFunction, leads: bool) -> dict[str, Any]:
    view, given = one.view, one.view.given
    limits = view.table.limits
    return _lean(
        name=view.title, kind=view.kind.name, quantity=one.quantity, ac=view.kind.name in AC,
        minus=view.kind.shows_minus, auto=given.ranging != "manual", leads=leads,
        by_hand=given.ranging != "automatic only", keys=given.keys, relative=given.relative,
        free=given.relative_ranging == "free",
        ohms=given.input_resistance and decimal_text(given.input_resistance.value),
        sensitivity=given.sensitivity and decimal_text(given.sensitivity.value),
        highest=_text(limits.highest), peak=_text(limits.peak),
        volt_hertz=_text(limits.volt_hertz), siblings=groups_of(view.table),
        ranges=[_range(view, table, on) for table, on in
                zip(view.table.ranges, one.ranges, strict=True)])


def _range(view: MeterFunction, table, on: SimulatedRange) -> dict[str, Any]:
    unit: Unit = view.names[table].unit
    power = 0
    scale = unit.scale
    while scale < 1:
        scale, power = scale * 10, power - 1
    while scale > 1:
        scale, power = scale / 10, power + 1
    return _lean(
        name=exact_text.quantity(view.names[table]), unit=unit.shown, power=power,
        decimals=exact_text.decimals(on.step, unit), dial=view.dial(table) or view.title,
        jacks=list(view.jacks(table)), full=decimal_text(on.full_scale),
        step=decimal_text(on.step), highest=decimal_text(on.highest), up=_text(on.up),
        down=_text(on.down), slope=decimal_text(on.slope), offset=decimal_text(on.offset),
        loose=decimal_text(on.loose), moves=on.moves)


def _as_data(point: BenchPoint, bench: BenchMeter) -> dict[str, Any]:
    view = bench.functions[point.function].view
    on = view.table.ranges[point.range]
    unit = view.names[on].unit
    places = exact_text.decimals(on.resolution, unit)
    low, high = (exact_text.number(exact_text.in_unit(n * on.resolution, unit), places)
                 for n in (point.low, point.high))
    lead = {"less": point.less} if point.less is not None else {}
    return lead | _lean(
        f=point.function, r=point.range, x=decimal_text(point.input), sets=_text(point.sets),
        hertz=_text(point.hertz), level=_text(point.level), standard=point.standard,
        kind=point.kind, low=point.low, high=point.high, start=low, end=high, unit=unit.shown,
        said=point.said, name=point.name, forced=point.forced, relative=point.relative,
        live=point.live)


def _text(value: Fraction | None) -> str | None:
    return None if value is None else decimal_text(value)
