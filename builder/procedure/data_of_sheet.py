"""The data of a sheet, from its computed procedure: a stable contract for the page's script and for
anyone's own tools. What each field means stands at its declaration, in formats/sheet_data.py."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.order import PROVING
from builder.compute.exact.points import JudgedPoint
from builder.compute.statistics.budget import (Component, Uncertainty, rectangles_and_sigma,
                                               welch_satterthwaite)
from builder.compute.statistics.decision import exact
from builder.formats.bench_checks import unit_of_blank
from builder.formats.data_fields import FORMAT, Figure, figure, written
from builder.formats.group_data import CheckData, GroupData
from builder.formats.reference_data import AtReferenceData, ReferenceData, UncertaintyData
from builder.formats.sheet_data import (LeftOutData, LimitsData, PointData, SheetData, SideData,
                                        StandardData)
from builder.numbers import exact_text, units
from builder.numbers.statistics_text import expanded, figures, ratio
from builder.numbers.units import Unit, decimal_text
from builder.procedure import tried
from builder.procedure.budget_of_point import at_input
from builder.procedure.data_of_meter import accuracy_data, line_data
from builder.procedure.planned_points import PlannedPoint, difference_step
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import Sentence, as_written, words
from builder.procedure.supplies import ARTIFACT, COIL, OHMS, REFERENCE, THERMOCOUPLE

if TYPE_CHECKING:  # which hold this data
    from builder.procedure.sheet import CheckStep, Procedure, SheetGroup, SheetPoint

Shown = Callable[..., Figure]
Limits = Callable[[AcceptedCounts | None], LimitsData | None]
NOTHING_SURE = {"uncertainty": None, "tur": None, "guard_band": None, "conditional": None}
NO_LIMITS = {"accuracy": None, "slope": None, "offset": None, "tolerance": None,
             "below": None, "above": None, "tolerance_limits": None}


def sheet_data(procedure: Procedure) -> SheetData:
    """`data/procedures/<id>.json`."""
    specification = procedure.meter.specification
    return written(
        SheetData, format=FORMAT, procedure=procedure.id, revision=procedure.revision,
        title=procedure.title, meter=procedure.meter.meter, meter_name=procedure.meter.name,
        maker=procedure.meter.maker, specification=specification.source, holds=procedure.ambient,
        ambient_unit=specification.holds.high.unit.ascii, humidity=procedure.humidity or None,
        verified_against=(procedure.plan.verified_against.text
                          if procedure.plan.verified_against else None),
        interval_agreed=procedure.plan.interval_agreed, rule_agreed=procedure.plan.rule_agreed,
        standards=tuple(
            written(StandardData, standard=standard.standard, name=standard.name,
                    description=standard.description, certificate=standard.certificate,
                    due=standard.due.isoformat(),
                    calibrated=standard.calibrated.isoformat() if standard.calibrated else None,
                    issuer=standard.issuer, accreditation=standard.accreditation,
                    reads=tuple(standard.reads.named) if standard.reads else ())
            for standard in procedure.standards),
        groups=tuple(map(_group, procedure.groups)), decision_rule=procedure.decision_rule,
        outcomes=4 if procedure.four_outcomes else 2, rule_in_words=procedure.rule_words,
        points=tuple(_point(group, point) for group in procedure.groups for point in group.points),
        checks=tuple(_check(group, check) for group in procedure.groups for check in group.checks),
        left_out=tuple(_left_out(procedure)))


def _left_out(procedure: Procedure) -> Iterator[LeftOutData]:
    """What is not tested; and the end of a range that is tried to under half, where no row has its
    reason already."""
    short = {(exact_text.capital(point.function.title), _shown_range(point)): (point, left)
             for point in tried.farthest(
                 one.planned for group in procedure.groups if group.stage != PROVING
                 for one in group.points).values()
             if (left := tried.reason(procedure.plan, point))}
    for row in procedure.completeness:
        if not row.tested:
            point, left = short.get((row.function, row.range), (None, None))
            is_why = left is not None and words(as_written(left.because)) == row.because
            if is_why:
                del short[row.function, row.range]
            yield written(LeftOutData, function=row.function, range=row.range, row=row.row,
                          because=row.because, check=row.check or None,
                          tried_to=_tried_to(point) if is_why else None)
    order = [(row.function, row.range) for row in procedure.completeness]
    for function, range_ in sorted(short, key=order.index):
        point, left = short[function, range_]
        yield written(LeftOutData, function=function, range=range_,
                      row=f"above {tried.value(point)}", because=words(as_written(left.because)),
                      check=None, tried_to=_tried_to(point))


def _shown_range(point: PlannedPoint) -> str:
    return exact_text.quantity(point.function.names[point.range])


def _tried_to(point: PlannedPoint) -> Figure:
    unit = point.function.names[point.range].unit
    return figure(abs(point.applied), unit, exact_text.decimals(point.range.resolution, unit))


def _check(group: SheetGroup, check: CheckStep) -> CheckData:
    return written(
        CheckData, group=str(group.number), step=check.step, check=check.name, do=check.do,
        good=check.good, mistake=check.mistake or None, write=check.write or None,
        unit=unit_of_blank(check.unit)[1] if check.unit else None, covers=check.covers or None,
        at_least=check.at_least, at_most=check.at_most,
        stops=check.stops, of=check.of, always=check.always, warm_up=check.warm_up)


def _group(group: SheetGroup) -> GroupData:
    """What is done before and after a group's points, in the sheet's own words and as codes."""
    return written(
        GroupData, group=str(group.number), title=group.title, stage=group.stage,
        hazard="hazardous live" if group.live else None, jacks=tuple(group.jacks),
        warnings=tuple(f"{w.word}: {w.text} {w.rest}" for w in group.warnings),
        cautions=_codes(group.cautions), opening=group.opening,
        opening_steps=_codes(group.steps_before), closing=group.closing,
        closing_steps=_codes(group.steps_after),
        near_zero=group.near_zero or None, near_zero_limit=_volts(group.near_zero_limit),
        hazardous_from=_volts(group.hazardous_from), hold=group.hold)


def _volts(value: Fraction | None) -> Figure | None:
    return None if value is None else Figure(f"{decimal_text(value)} V")


def _codes(sentences: tuple[Sentence, ...]) -> tuple[str, ...]:
    return tuple(one.code for one in sentences)


def _point(group: SheetGroup, point: SheetPoint) -> PointData:
    planned, judged, supply = point.planned, point.planned.judged, point.planned.supply
    unit, step = planned.function.names[planned.range].unit, planned.range.resolution
    places = exact_text.decimals(step, unit)
    alone = planned.zero is not None    # the leads alone, before what is connected by them

    def shown(value: Fraction, decimals: int = 0) -> Figure:
        return figure(value, unit, decimals)

    def limits(accepted: AcceptedCounts | None) -> LimitsData | None:
        return None if accepted is None else written(
            LimitsData, low=shown(accepted.low * step, places),
            high=shown(accepted.high * step, places), low_counts=accepted.low,
            high_counts=accepted.high)

    typed_out = supply.method in (ARTIFACT, REFERENCE) and not alone
    return written(
        PointData, id=point.id, group=str(group.number), step=point.step,
        kind="zero" if alone else supply.method if judged else "observation",
        function=planned.function.title, range=shown(planned.range.full_scale),
        range_forced=planned.forced, resolution=shown(step), highest=shown(planned.range.highest),
        unit=unit.ascii, decimals=places, apply=shown(planned.applied, 0 if typed_out else places),
        frequency=(exact_text.frequency(planned.hertz, plain=True)
                   if planned.hertz is not None else None),
        level=(exact_text.plain_quantity(planned.level.value, planned.level.unit)
               if planned.level is not None else None),
        jacks=planned.function.jacks(planned.range),
        hazard="hazardous live" if planned.is_hazardous else None, observe=point.observe or None,
        find=planned.find or None, wave=planned.wave or None,
        expected=(shown(supply.expected) if supply.expected is not None and not alone else None),
        leads=shown(supply.known_ohms) if supply.known and judged else None,
        source_setting=_setting(planned), correction=planned.correction or None,
        zero=point.zero or None, standards=_standards(planned),
        before=point.before, before_steps=_codes(point.steps_before),
        pause=_seconds(point.pause), on_at_most=_seconds(point.on_at_most),
        **_judged(point, judged, unit, shown, limits),
        reference=(_reference(planned, point.sure, unit, shown)
                   if supply.method == REFERENCE else None),
        **_uncertainty(point.sure, unit, limits))


def _standards(planned: PlannedPoint) -> tuple[str, ...]:
    """Those that the value comes from, and what reads a thermocouple input's own junction."""
    own = tuple(one.standard for one in planned.supply.standards)
    by = planned.junction.standard if planned.junction else None
    return (*own, by) if planned.supply.method == THERMOCOUPLE and by else own


def _judged(point: SheetPoint, judged: JudgedPoint | None, unit: Unit, shown: Shown,
            limits: Limits) -> dict[str, Any]:
    """Accuracy and limits; of the leads alone only what their reading may be."""
    if judged is None:
        return NO_LIMITS | {"accept": limits(point.planned.zero)}
    undecided = point.undecided or not point.accept_from
    return {"accuracy": accuracy_data(judged.row.accuracy, unit), **_tolerance(judged, unit, shown),
            "accept": None if undecided else limits(point.sure.accept if point.sure
                                                    else judged.accepted),
            "tolerance_limits": limits(judged.accepted)}


def _tolerance(judged: JudgedPoint, unit: Unit, shown: Shown) -> dict[str, Any]:
    """As one line, or as one for each limit."""
    if judged.sides.is_even and judged.line == judged.line_below:
        return {**line_data(judged.line, unit), "tolerance": shown(judged.sides.above),
                "below": None, "above": None}
    return {"slope": None, "offset": None, "tolerance": None,
            "below": written(SideData, **line_data(judged.line_below, unit),
                             tolerance=shown(judged.sides.below)),
            "above": written(SideData, **line_data(judged.line, unit),
                             tolerance=shown(judged.sides.above))}


def _seconds(time: Fraction | None) -> Figure | None:
    return figure(time, units.unit("s")) if time is not None else None


def _setting(planned: PlannedPoint) -> str | None:
    """What the source is set to, where that isn't the value applied: a coil's current, or ohms."""
    unit = (planned.function.names[planned.range].unit if planned.level is None
            else planned.level.unit)
    if planned.supply.method == OHMS and planned.zero is None and not planned.supply.is_part:
        return exact_text.plain_quantity(planned.supply.sets, units.unit("ohm"))
    return (exact_text.plain_quantity(planned.supply.sets, unit)
            if planned.supply.method == COIL else None)


def _reference(planned: PlannedPoint, sure: PointUncertainty | None, unit: Unit,
               shown: Shown) -> ReferenceData:
    """What a script needs to judge once the reference reading is typed: accept where |reading −
    reference| is at most slope·|reference| + offset − guard_band, cut off to `step`. This guard
    band is the exact one, since a limit comes from it."""
    supply, resolution = planned.supply, planned.rows[0].resolution.value

    def band(guard: float) -> Figure | None:
        return shown(exact(value=guard)) if guard != float("inf") else None

    apart = (2 * exact(value=at_input(supply.changes, planned))
             if supply.changes and planned.is_read_twice else None)
    return written(
        ReferenceData, standard=supply.standard.standard, on=supply.compare_on,
        twice=planned.is_read_twice, resolution=shown(resolution),
        step=shown(difference_step(planned)), guard_band=band(sure.guard if sure else 0.0),
        at=tuple(written(AtReferenceData, below=shown(one.below), guard_band=band(one.guard),
                         uncertainty=_budget(one.components, one.uncertainty, unit))
                 for one in (sure.at_reference if sure else ())),
        apart=shown(apart) if apart is not None else None,
        correction=shown(supply.added) if supply.added else None)


def _uncertainty(sure: PointUncertainty | None, unit: Unit, limits: Limits) -> dict[str, Any]:
    """Statistics, rounded for showing; null where nothing is known of the standard at the point."""
    if sure is None:
        return NOTHING_SURE
    guard = _rounded(sure.guard, unit, 3) if sure.guard != float("inf") else None
    return {"uncertainty": _budget(sure.components, sure.uncertainty, unit),
            "tur": ratio(sure.tur).replace("∞", "inf"), "guard_band": guard,
            "conditional": limits(sure.conditional)}


def _budget(components: Sequence[Component], sure: Uncertainty, unit: Unit) -> UncertaintyData:
    """U, and what repeated readings are added to: all but what is known of other readings."""
    own = [one for one in components if not one.of_other_readings]
    rectangles, sigma = rectangles_and_sigma(components=own)
    return written(
        UncertaintyData, U=Figure(f"{expanded(sure.expanded / _size(unit))} {unit.ascii}"),
        k=Fraction(f"{sure.k:.2f}"), u=_rounded(sure.u, unit, 4),
        probability=f"{sure.probability * 100:g} %", degrees=_degrees(own),
        rectangles=tuple(_rounded(half, unit, 5) for half in rectangles),
        normal=_rounded(sigma, unit, 5))


def _size(unit: Unit) -> float:
    return 1.0 if unit.is_temperature else float(unit.scale)


def _rounded(value: float, unit: Unit, digits: int) -> Figure:
    return Figure(figures(value / _size(unit), digits).replace("−", "-") + " " + unit.ascii)


def _degrees(components) -> str:
    """The degrees of freedom, not yet truncated, for whoever combines u with more readings."""
    found = welch_satterthwaite(components=components)
    return "inf" if found == float("inf") else f"{found:.8g}"
