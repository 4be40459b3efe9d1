"""What the uncertainty of a planned point is made of: each line of its budget, from the standards'
files, the method and the plan."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder.compute.exact import resistance_thermometer as rt
from builder.compute.exact import thermocouple
from builder.compute.statistics import budget
from builder.compute.statistics.budget import Component
from builder.formats.accuracy import AccuracyText
from builder.formats.plan import Plan
from builder.formats.stated import K_2, PLAIN
from builder.numbers import exact_text
from builder.numbers.statistics_text import figures
from builder.numbers.units import Unit, celsius, of_celsius
from builder.procedure.corrections import lines_of
from builder.procedure.budget_of_leads import (accuracy_at, of_known_leads, of_leads, stated_line,
                                               unit_of_row)
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.supplies import (ARTIFACT, COIL, OHMS, REFERENCE, SOURCE, TABLE_AT,
                                        THERMOCOUPLE)
from builder.procedure.supply import LEADS


def components_of(point: PlannedPoint, plan: Plan) -> tuple[tuple[Component, ...], float]:
    """The budget's lines, and the standard's stated accuracy. Where two rows of a standard meet,
    its range isn't known, so the larger one counts."""
    supply, unit = point.supply, point.function.names[point.range].unit
    standard, age = supply.standard, supply.standard.age(plan.as_of)
    setting, dimension, per = _sets(point)

    def of_row(row) -> list[Component]:
        known = dict(setting=setting, dimension=dimension,
                     unit=unit_of_row(row) if supply.method in _IN_DEGREES else unit, row=row)
        if point.function.scale is not None and supply.method == SOURCE:
            known.update(_in_own_degrees(setting, point.function.scale, row))

        def in_degrees(part: Component) -> Component:
            """So that the budget has one unit."""
            size, of = _IN_DEGREES[supply.method]
            return replace(part, value=part.value * per, sensitivity=1.0,
                           name=f"{part.name} ({figures(part.value * size, 3)} {of} over "
                           f"{figures(size / per, 4)} {of}/{unit.shown})")

        def line(what: str, text, stated) -> Component:
            one = stated_line(f"{standard.name}, {what}", accuracy_at(text, **known), stated, per)
            return in_degrees(one) if supply.method in _IN_DEGREES else one

        if supply.corrected:
            listed = lines_of(supply.corrected, name=standard.name, dimension=dimension,
                              unit=known["unit"], sensitivity=per,
                              stated=supply.output.stated or standard.stated,
                              otherwise=supply.output.drift_of(row))
            return [in_degrees(one) for one in listed] if supply.method in _IN_DEGREES else listed
        lines = [line("its accuracy", row.uncertainty(age),
                      supply.output.stated_of(row) or standard.stated)]
        if row.calibration is not None:
            lines.append(line("its calibration", row.calibration, K_2))
        if (drift := supply.output.drift_of(row)) is not None:
            lines.append(line("its drift", drift, PLAIN))
        return lines

    lines = ([] if supply.method == LEADS else
             max(map(of_row, point.rows),
                 key=lambda lines: sum(one.contribution ** 2 for one in lines)))
    lines += of_known_leads(point, plan)
    stated = lines[0].value * abs(lines[0].sensitivity)
    lines += _of_method(point, plan)
    lines += _of_other_method(point)
    lines += of_leads(point, plan)
    lines += _of_thermal_voltages(point, plan)
    if supply.loading:
        lines.append(budget.rectangular(name="loading of the source, as large as its correction",
                                        half_width=float(abs(supply.loading))))
    lines.append(budget.rectangular(name="resolution of the display, half a count",
                                    half_width=float(point.range.resolution) / 2, rounding=True))
    lines += _of_repeatability(point, plan)
    return tuple(lines), stated


# What stands for a temperature, and how it is shown in a line of the budget: as so many of these.
_IN_DEGREES = {THERMOCOUPLE: (1e6, "µV"), OHMS: (1e3, "mΩ")}


def _sets(point: PlannedPoint) -> tuple[Fraction, str, float]:
    """What the standard is set to, of which dimension, and by how much the point moves with it."""
    supply, dimension = point.supply, point.function.kind.dimension
    if supply.method == COIL and point.level is None:
        return supply.sets, dimension, float(supply.coil.coil.turns)
    if supply.method == THERMOCOUPLE:
        unit = point.function.unit
        per_degree = thermocouple.sensitivity(kind=point.function.given.thermocouple,
                                              celsius=celsius(point.applied, unit)) * unit.scale
        return supply.sets, "[voltage]", 1 / float(per_degree)
    if supply.method == OHMS:
        unit = point.function.unit
        per_degree = rt.sensitivity(kind=point.function.given.resistance_thermometer,
                                    celsius=celsius(point.applied, unit)) * unit.scale
        return supply.sets, "[resistance]", 1 / float(per_degree)
    return (point.applied if supply.method != ARTIFACT else supply.certified), dimension, 1.0


def _of_method(point: PlannedPoint, plan: Plan) -> list[Component]:
    supply = point.supply
    if supply.method == REFERENCE:
        lines = [budget.rectangular(name=f"{supply.standard.name}, its resolution",
                                    half_width=float(point.rows[0].resolution.value) / 2,
                                    rounding=True)]
        if supply.changes is not None:
            lines.append(budget.rectangular(name="change between the two readings",
                                            half_width=at_input(supply.changes, point)))
        return lines
    if supply.method == COIL:    # whose turns change no frequency
        return _of_coil(point) if point.level is None else []
    if supply.method == ARTIFACT:
        return _of_temperature(point)
    if supply.method == THERMOCOUPLE:
        kind, unit = point.function.given.thermocouple, point.function.unit
        here, there = (thermocouple.sensitivity(kind=kind, celsius=at)
                       for at in (TABLE_AT, celsius(point.applied, unit)))
        given = plan.junction.within
        return [budget.rectangular(name=f"temperature of the junction, {plan.junction.measured}",
                                   sensitivity=float(here / there),
                                   half_width=float(given.number * given.unit.scale / unit.scale)),
                budget.rectangular(name="millivolts as tabled, one microvolt",
                                   half_width=1e-6 * _sets(point)[2])]
    if supply.method == OHMS:
        return _of_ohms(point)
    return []


def _of_coil(point: PlannedPoint) -> list[Component]:
    coil, unit = point.supply.coil, point.function.names[point.range].unit

    def at_point(text: AccuracyText) -> float:
        accuracy = text.of("[current]", unit)
        return float(abs(point.applied) * accuracy.percent_of_reading / 100 + accuracy.fixed)

    lines = [stated_line(f"{coil.name}: turns, position in the jaw, return conductor",
                     at_point(coil.coil.within), coil.stated)]
    drift = coil.coil.drift.within if coil.coil.drift else None
    if point.supply.coil_corrected:
        return lines + lines_of(point.supply.coil_corrected, name=coil.name, otherwise=drift,
                                dimension="[current]", unit=unit, stated=coil.stated,
                                times=coil.coil.turns)
    if drift:
        lines.append(stated_line(f"{coil.name}, its drift", at_point(drift), PLAIN))
    return lines


def _of_temperature(point: PlannedPoint) -> list[Component]:
    """How far a certified value may be from itself at the temperature of its certificate: its
    coefficient times the most degrees that the sheet allows, as plain limits."""
    box, (setting, dimension, per) = point.supply.output, _sets(point)
    if box.temperature_coefficient is None:
        return []
    degrees = max(abs(one - box.certified_celsius) for one in point.ambient.celsius)
    each = box.temperature_coefficient.of(dimension, point.rows[0].certified.unit)
    size = abs(setting) * each.percent_of_reading / 100 + each.fixed
    return [budget.rectangular(
        name=f"{point.standard.name}, its temperature, up to {exact_text.number(degrees)}"
        f"{exact_text.NARROW}°C from that of its certificate",
        half_width=float(size * degrees) * per)]


def _of_other_method(point: PlannedPoint) -> list[Component]:
    """Standard and meter read a part by other frequencies, or charge it otherwise."""
    supply = point.supply
    if supply.other_method is None:
        return []
    return [budget.rectangular(
        name=f"other method: {supply.standard.name} {supply.output.method or 'unknown'}, the meter "
        f"{point.function.given.method or 'unknown'}",
        half_width=at_input(supply.other_method, point))]


# Of copper leads and jacks, where the plan states no other (common practice: 1 to 2 µV).
THERMAL_VOLTAGES = Fraction(2, 10**6)


def _of_thermal_voltages(point: PlannedPoint, plan: Plan) -> list[Component]:
    """Of leads and jacks that are not all as warm as each other; at DC voltages left out where they
    are under a tenth of a count (choice of this project)."""
    given, name = plan.thermal_voltages, "thermal voltages of leads and jacks"
    volts = THERMAL_VOLTAGES if given is None else given.value
    if point.supply.method == THERMOCOUPLE:
        return [budget.rectangular(name=name, half_width=float(volts) * _sets(point)[2])]
    if point.function.kind.name != "DC voltage" or volts * 10 < point.range.resolution:
        return []
    return [budget.rectangular(name=name, half_width=float(volts))]


def _of_repeatability(point: PlannedPoint, plan: Plan) -> list[Component]:
    """The pooled value for the function, or for the range where it has its own (GUM 4.2.4)."""
    named = [one for one in plan.repeatability if one.function == point.function.title]
    known = [one for one in named if one.range and one.range.value == point.range.full_scale] or [
        one for one in named if not one.range]
    return [Component(name=f"repeatability: {one.source}", value=at_input(one.s, point),
                      distribution=budget.NORMAL, divisor=1.0, degrees=float(one.degrees),
                      of_other_readings=True) for one in known]


def at_input(text: AccuracyText, point: PlannedPoint) -> float:
    """Terms of the meter's own kind at what stands at its input, in the unit without prefix."""
    terms = text.of(point.function.kind.dimension, point.function.names[point.range].unit)
    at = point.applied if point.supply.expected is None else point.supply.expected
    return float(abs(at) * terms.percent_of_reading / 100 + terms.fixed
                 + terms.percent_of_range * point.range.base / 100
                 + terms.counts * point.range.resolution)


def _of_ohms(point: PlannedPoint) -> list[Component]:
    """What leads may add beside what is allowed for, and the step of the ohms that are set."""
    supply, per = point.supply, _sets(point)[2]
    lines = _of_temperature(point) if supply.is_part else []
    if supply.beside:
        lines.append(budget.rectangular(
            name=f"leads, {figures(float(supply.beside) * 1e3, 3)} mΩ allowed for, as much either "
            "way", half_width=float(supply.beside) * per))
    if not supply.is_part and supply.expected is None:  # else the very ohms that are set
        step = float(rt.step(kind=point.function.given.resistance_thermometer))
        lines.append(budget.rectangular(
            name=f"ohms as tabled, half of {figures(step * 1e3, 1)} mΩ", half_width=step / 2 * per))
    return lines


def _in_own_degrees(setting: Fraction, scale: Unit, row) -> dict:
    """What a source of temperatures is set to, in the degrees of its row, of which percent are
    taken: −100 degC is 148 degF below zero."""
    own = row.values.high.unit
    return dict(setting=of_celsius(celsius(setting, scale), own), unit=own, to=scale)
