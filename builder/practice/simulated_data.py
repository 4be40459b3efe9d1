"""The bench on the page as data for its script: the shop's meters and standards, points, groups and
faults. All numbers are exact texts in the unit without a prefix."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from builder.compute.exact import hazard
from builder.compute.exact.accuracy_table import RangeTable
from builder.formats.fields import Span
from builder.formats.standard import Artifact, Output, Standard
from builder.numbers import exact_text, units
from builder.numbers.units import Unit, decimal_text
from builder.practice import fault_finding
from builder.practice.bench_words import EVENTS, TASKS
from builder.practice.simulated_bench import (QUANTITIES, BenchFunction, BenchMeter, BenchPoint,
                                              meters)
from builder.practice.simulated_meter import DOWN, GOOD, SimulatedRange, groups_of
from builder.procedure.meter_function import MeterFunction
from builder.shop.contents import Shop

AC = ("AC voltage", "AC current", "frequency")
# What is hazardous live, and what shows that it is gone, in V and counts.
HAZARD = {"ac": hazard.HAZARDOUS_AC, "dc": hazard.HAZARDOUS_DC, "near": hazard.NEAR_ZERO,
          "counts": hazard.NEAR_ZERO_COUNTS, "most": hazard.NEAR_ZERO_MOST,
          "within": hazard.SEEN_WITHIN}
# Of what no standard of the shop gives, a source of the bench's own has: its terminals.
OWN = {"voltage": ("HI", "LO"), "frequency": ("HI", "LO"), "current": ("I HI", "I LO"),
       "resistance": ("Ω HI", "Ω LO"), "capacitance": ("F HI", "F LO")}


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


def _ends(span: Span) -> list[str]:
    return [decimal_text(span.low.value), decimal_text(span.high.value)]


def _standards(shop: Shop, made: list[BenchMeter]) -> list[dict[str, Any]]:
    held = [{"id": name, "name": one.name, "gives": [_given(offer) for offer in _outputs(one)]}
             for name, one in sorted(shop.standards.items()) if _outputs(one)]
    has = {offer["kind"] for one in held for offer in one["gives"]}
    lacks = dict.fromkeys(one.view.kind.name for bench in made for one in bench.functions
                          if one.view.kind.name not in has)
    if lacks:
        held.append({"id": "", "name": "The bench’s own source", "gives": [
            {"kind": kind, "quantity": QUANTITIES[kind], "ac": kind in AC,
             "terminals": list(OWN[QUANTITIES[kind]]), "rows": []} for kind in lacks]})
    return held


# ---------------------------------------------------------------- as data

def data(shop: Shop) -> dict[str, Any]:
    """All that the page's script must know; no meters where there is nothing to try."""
    made = meters(shop)
    return {"meters": [_meter(one) for one in made],
            "standards": _standards(shop, made) if made else [],
            "faults": fault_finding.KINDS, "tasks": TASKS,
            "events": {code: said for code, (_, _, *said) in EVENTS.items()},
            "hazard": {name: decimal_text(Fraction(number)) for name, number in HAZARD.items()},
            "good": GOOD, "down": decimal_text(DOWN)}


def _meter(bench: BenchMeter) -> dict[str, Any]:
    meter = bench.meter
    jacks = meter.jacks or list(dict.fromkeys(
        jack for one in bench.functions for on in one.view.table.ranges
        for jack in one.view.jacks(on)))
    return {
        "id": meter.meter, "name": meter.name, "note": meter.note or "", "jacks": jacks,
        "lacks": ", ".join(bench.lacks),
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
    return {name: value for name, value in held.items()
            if value is not None and value is not False and value != ""}


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


def _function(function: BenchFunction, leads: bool) -> dict[str, Any]:
    view, given = function.view, function.view.given
    limits = view.table.limits
    return _lean(
        name=view.title, kind=view.kind.name, quantity=function.quantity, ac=view.kind.name in AC,
        minus=view.kind.shows_minus, auto=given.ranging != "manual", leads=leads,
        by_hand=given.ranging != "automatic only", keys=given.keys, relative=given.relative,
        free=given.relative_ranging == "free",
        ohms=given.input_resistance and decimal_text(given.input_resistance.value),
        sensitivity=given.sensitivity and decimal_text(given.sensitivity.value),
        highest=_text(limits.highest), peak=_text(limits.peak),
        volt_hertz=_text(limits.volt_hertz), siblings=groups_of(view.table),
        ranges=[_range(view, table, on) for table, on in
                zip(view.table.ranges, function.ranges, strict=True)])


def _range(view: MeterFunction, table: RangeTable, on: SimulatedRange) -> dict[str, Any]:
    unit: Unit = view.names[table].unit
    power = 0
    scale = unit.scale
    while scale < 1:
        scale, power = scale * 10, power - 1
    while scale > 1:
        scale, power = scale / 10, power + 1
    model = view.model_of[table]
    return _lean(
        name=exact_text.quantity(view.names[table]), unit=unit.shown, power=power,
        decimals=exact_text.decimals(on.step, unit), dial=view.dial(table) or view.title,
        jacks=list(view.jacks(table)), full=decimal_text(on.full_scale),
        step=decimal_text(on.step), highest=decimal_text(on.highest), up=_text(on.up),
        down=_text(on.down), slope=decimal_text(on.slope), offset=decimal_text(on.offset),
        loose=decimal_text(on.loose), moves=on.moves,
        on=model.on_at_most and decimal_text(model.on_at_most.value),
        off=model.off_at_least and decimal_text(model.off_at_least.value))


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
