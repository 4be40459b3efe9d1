"""The data beside the pages: a stable contract for the page's script and for anyone's own tools.

`FORMAT` rises only when a field changes its meaning. Quantities are "<number> <unit>" in exact
decimals. """

from __future__ import annotations

from fractions import Fraction

from builder.compute.statistics.budget import rectangles_and_sigma, welch_satterthwaite
from builder.compute.statistics.decision import exact
from builder.formats.bench_checks import unit_of_blank
from builder.numbers import exact_text
from builder.numbers.statistics_text import expanded, figures, ratio
from builder.numbers.units import Unit
from builder.procedure.data_of_meter import FORMAT, accuracy_data, line_data


def sheet_data(procedure) -> dict:
    """`data/procedures/<id>.json`; its schema is `builder/schema/procedure-data.schema.json`."""
    return {
        "format": FORMAT, "procedure": procedure.id, "revision": procedure.revision,
        "title": procedure.title,
        "meter": procedure.meter.meter, "meter_name": procedure.meter.name,
        "maker": procedure.meter.maker, "specification": procedure.meter.specification.source,
        "holds": procedure.ambient,
        "ambient_unit": procedure.meter.specification.holds.high.unit.ascii,
        "humidity": procedure.humidity or None,
        "interval_agreed": procedure.plan.interval_agreed,
        "standards": [{"standard": s.standard, "name": s.name, "description": s.description,
                       "certificate": s.certificate, "due": s.due.isoformat()}
                      for s in procedure.standards],
        "groups": [_group(group) for group in procedure.groups],
        "decision_rule": procedure.decision_rule, "outcomes": 4 if procedure.four_outcomes else 2,
        "rule_in_words": procedure.rule_words,
        "points": [_point(group, point) for group in procedure.groups for point in group.points],
        "checks": [{"group": str(group.number), "step": check.step, "check": check.name,
                    "do": check.do, "good": check.good,
                    "mistake": check.mistake or None, "write": check.write or None,
                    "unit": unit_of_blank(check.unit)[1] if check.unit else None,
                    "covers": check.covers or None} for group in procedure.groups
                   for check in group.checks],
        "left_out": [{"function": one.function, "range": one.range, "row": one.row,
                      "because": one.because} for one in procedure.completeness if not one.tested],
    }


def _group(group) -> dict:
    """What is done before and after a group's points, in the sheet's own words."""
    return {"group": str(group.number), "title": group.title,
            "hazard": "hazardous live" if group.live else None, "jacks": list(group.jacks),
            "warnings": [f"{w.word}: {w.text} {w.rest}" for w in group.warnings],
            "opening": list(group.opening), "closing": list(group.closing),
            "near_zero": group.near_zero or None}


def _point(group, point) -> dict:
    p, j = point.planned, point.planned.judged
    unit = p.function.names[p.range].unit
    places = exact_text.decimals(p.range.resolution, unit)

    def shown(value: Fraction, decimals: int = 0) -> str:
        return exact_text.plain_quantity(value, unit, decimals)

    step = p.range.resolution

    def limits(accepted) -> dict | None:
        return ({"low": shown(accepted.low * step, places),
                 "high": shown(accepted.high * step, places),
                 "low_counts": accepted.low, "high_counts": accepted.high} if accepted is not None
                else None)

    return {
        "id": point.id, "group": str(group.number), "step": point.step,
        "kind": "zero" if p.zero is not None else p.supply.method if j else "observation", "function": p.function.title,
        "range": shown(p.range.full_scale), "range_forced": p.forced, "resolution": shown(step), "highest": shown(p.range.highest),
        "unit": unit.ascii, "decimals": places, "apply": shown(p.applied, 0 if p.supply.method in ("artifact", "reference") and p.zero is None else places),
        "frequency": exact_text.frequency(p.hertz, plain=True) if p.hertz is not None else None,
        "level": exact_text.plain_quantity(p.level.value, p.level.unit) if p.level is not None else None,
        "jacks": list(p.function.jacks(p.range)), "hazard": "hazardous live" if p.is_hazardous else None,
        "observe": p.observe, "find": p.find or None, "wave": p.wave or None,
        # The leads alone are read before what is connected by them, so nothing of it stands at the
        # input.
        "expected": shown(p.supply.expected) if p.supply.expected is not None and p.zero is None else None,
        "source_setting": _setting(p), "correction": p.correction or None, "zero": point.zero or None,
        **({"accuracy": accuracy_data(j.row.accuracy, unit), **line_data(j.line, unit), "tolerance": shown(j.tolerance),
            "accept": None if point.undecided or not point.accept_from else limits(point.sure.accept if point.sure else j.accepted),
            "tolerance_limits": limits(j.accepted)}
           if j else {"accuracy": None, "slope": None, "offset": None, "tolerance": None, "accept": limits(p.zero), "tolerance_limits": None}),
        "reference": _reference(p, point.sure, shown) if p.supply.method == "reference" else None,
        **_uncertainty(point.sure, unit, limits),
    }


def _setting(p) -> str | None:
    """What the source is set to, where that isn't the value applied: a coil's current."""
    return (exact_text.plain_quantity(p.supply.sets, p.function.names[p.range].unit)
            if p.supply.method == "coil" else None)


def _reference(p, sure, shown) -> dict:
    """What a script needs to judge once the reference reading is typed: accept where |reading −
    reference| is at most slope·|reference| + offset − guard_band, cut off to `step`. This guard
    band is the exact one, since a limit comes from it."""
    guard = sure.guard if sure else 0.0
    return {"standard": p.supply.standard.standard, "on": p.supply.compare_on,
            "resolution": shown(p.rows[0].resolution.value),
            "step": shown(min(p.range.resolution, p.rows[0].resolution.value)),
            "guard_band": shown(exact(value=guard)) if guard != float("inf") else None}


def _uncertainty(sure, unit: Unit, limits) -> dict:
    """Statistics, rounded for showing; null where nothing is known of the standard at the point."""
    if sure is None:
        return {"uncertainty": None, "tur": None, "guard_band": None, "conditional": None}
    size = 1.0 if unit.is_temperature else float(unit.scale)

    def shown(value: float, digits: int) -> str:
        return figures(value / size, digits).replace("−", "-") + " " + unit.ascii

    rectangles, sigma = rectangles_and_sigma(components=sure.components)
    return {
        "uncertainty": {"U": expanded(sure.uncertainty.expanded / size) + " " + unit.ascii,
                        "k": f"{sure.uncertainty.k:.2f}",
                        "u": shown(sure.uncertainty.u, 4),
                        "probability": f"{sure.uncertainty.probability * 100:g} %",
                        "degrees": _degrees(sure.components),
                        "rectangles": [shown(one, 5) for one in rectangles],
                        "normal": shown(sigma, 5)},
        "tur": ratio(sure.tur).replace("∞", "inf"),
        "guard_band": shown(sure.guard, 3) if sure.guard != float("inf") else None,
        "conditional": limits(sure.conditional),
    }


def _degrees(components) -> str:
    """The degrees of freedom, not yet truncated, for whoever combines u with more readings."""
    found = welch_satterthwaite(components=components)
    return "inf" if found == float("inf") else f"{found:.8g}"
