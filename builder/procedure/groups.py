"""A plan's points and checks as groups in the order of work, each point as a row of the sheet."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from builder.compute.exact.hazard import near_zero_limit, threshold
from builder.compute.exact.order import (AMPS, CURRENT, DISPLAY_AND_KEYS, MILLIAMPS,
                                         PROVING, STAGES, fewest_changes, stage_of)
from builder.compute.exact.time_limits import Rests
from builder.compute.statistics.decision import SIMPLE
from builder.drawing.connections import Connection
from builder.formats.bench_checks import CHECKS, WARM_UP
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.procedure import adequacy, steps
from builder.procedure.asides import allowance, allowances, millivolts, ohms
from builder.procedure.cautions import cautions_of_checks, cautions_of_points
from builder.procedure.check_texts import asked_of, texts_of
from builder.procedure.connection import connection
from builder.procedure.holds import stopped_by, with_holds
from builder.procedure.planned_points import PlannedPoint, zero_key
from builder.procedure.planner import Planner
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.row_steps import in_order, row_starts
from builder.procedure.row_texts import applied_text, beside_text, read_unit, tolerance_text
from builder.procedure.sentences import Sentence, sentence
from builder.procedure.sheet import Aside, CheckStep, SheetGroup, SheetPoint
from builder.procedure.supplies import (ARTIFACT, COIL, OHMS, REFERENCE, SOURCE, TABLE_AT,
                                        THERMOCOUPLE)


class Grouping:
    """Puts what a planner found into groups."""

    def __init__(self, plan: Plan, planner: Planner, sure: dict[str, PointUncertainty | None],
                 meter: Meter):
        self.plan, self.planner, self.sure, self.meter = plan, planner, sure, meter
        # what checks test
        self.without_table = {f.title for f in meter.functions if not f.ranges}
        self.groups: list[SheetGroup] = []
        # the readings of the leads alone that stand before some group already
        self.read: set[tuple] = set()
        # whether the meter stands on a range that was selected by hand
        self.left_by_hand = False
        self.rests = Rests()

    def run(self) -> list[SheetGroup]:
        setups: dict[tuple, list[PlannedPoint]] = {}
        # Corrected readings before the others of their function: the leads are read first.
        for point in sorted(self.planner.planned, key=lambda p: not p.correction):
            stage = stage_of(stage=_stage_kind(point), hazardous=point.is_hazardous,
                             full_scale=_amperes(point))
            setups.setdefault((stage, _setup(point), _manner(point)), []).append(point)
        by_stage = [[key[1] for key in setups if key[0] == one] for one in STAGES]
        manners = [[key for key in setups if key[0] == one] for one in STAGES]
        for stage, keys, order in zip(STAGES, manners, fewest_changes(by_stage), strict=True):
            checks = [c for c in self.plan.checks if (c.when or CHECKS[c.check].when) == stage]
            if checks:
                self.groups.append(self._checks(stage, checks))
            for i in order:
                self._points(stage, setups[keys[i]])
            if stage == AMPS:
                self._proving()
        if not any(g.stage == DISPLAY_AND_KEYS for g in self.groups):
            self._stays_on()
        last = max((i for i, g in enumerate(self.groups) if g.points), default=None)
        if last is not None:  # nothing stays connected behind the last point
            group = self.groups[last]
            self.groups[last] = replace(group,
                                        steps_after=(*group.steps_after, *steps.LEADS_OFF))
        return with_holds(_leads_told(self.groups), self.plan)

    def _stays_on(self) -> None:
        """Where no check switches the meter on, the first points do."""
        first = next((i for i, g in enumerate(self.groups) if g.points), None)
        if first is not None and self.meter.auto_power_off:
            group = self.groups[first]
            self.groups[first] = replace(group, steps_before=(
                *steps.check_opening(DISPLAY_AND_KEYS, (), self.meter.auto_power_off),
                *group.steps_before))

    @property
    def _next(self) -> int:
        return len(self.groups) + 1

    def _checks(self, stage: str, checks) -> SheetGroup:
        number, check_steps = self._next, []
        order = {name: n for n, name in enumerate(CHECKS)}
        in_order = sorted(checks, key=lambda one: order.get(one.check, len(order)))
        for n, check in enumerate(in_order, 1):
            known = CHECKS.get(check.check)
            covers = check.covers or (known.covers if known and known.covers in self.without_table
                                      else "")
            check_steps.append(CheckStep(
                step=f"{number}.{n}", name=exact_text.capital(check.check), covers=covers,
                **texts_of(check, known, covers, self.meter),
                **asked_of(check, known, covers, self.meter), warm_up=check.check == WARM_UP,
                **stopped_by(check, covers, self.meter)))
        at_hand = tuple(dict.fromkeys(thing for c in checks if c.check in CHECKS
                                      for thing in CHECKS[c.check].at_hand))
        return SheetGroup(number=number, stage=stage, live=False,
                          heading=steps.check_title(stage, self.meter.has_current_jacks),
                          cautions=cautions_of_checks(stage),
                          steps_before=steps.check_opening(stage, at_hand,
                                                           self.meter.auto_power_off),
                          checks=tuple(check_steps), steps_after=steps.check_closing(stage))

    def _points(self, stage: str, planned: list[PlannedPoint]) -> None:
        """A group of points, and before it the reading of the leads that they need."""
        zeros = list({zero_key(p): self.planner.zeros[zero_key(p)] for p in planned
                      if p.correction and zero_key(p) not in self.read}.values())
        self.read.update(zero_key(p) for p in planned if p.correction)
        if zeros:
            number = self._next
            zeros_up = sorted(zeros, key=lambda p: p.range.full_scale)
            points = tuple(self._point(f"{number}.{n}", p) for n, p in enumerate(zeros_up, 1))
            self.groups.append(SheetGroup(
                number=number, heading=steps.point_title(stage, zeros, ""), stage=stage, live=False,
                jacks=zeros[0].function.jacks(zeros[0].range),
                steps_before=steps.opening(stage, zeros, False), points=points,
                connection=connection(zeros[0])))
        number = self._next
        live = any(p.is_hazardous for p in planned)
        planned = in_order(planned, live)
        first = planned[0]
        starts = row_starts(planned, live, self.rests)
        points = tuple(replace(self._point(f"{number}.{n}", p), steps_before=start.steps,
                               pause=start.pause, on_at_most=start.on)
                       for n, (p, start) in enumerate(zip(planned, starts, strict=True), 1))
        largest = max(planned, key=lambda p: abs(p.applied))
        top = exact_text.amount(abs(largest.applied), largest.function.names[largest.range].unit)
        opening = steps.opening(stage, planned, live, self.left_by_hand,
                                live and not any(g.live for g in self.groups), starts[0])
        self.left_by_hand = planned[-1].forced or (self.left_by_hand and not any(
            step.code == "range-automatic" for step in opening))
        self.groups.append(SheetGroup(
            number=number, heading=steps.point_title(stage, planned, top), stage=stage, live=live,
            jacks=first.function.jacks(first.range),
            cautions=cautions_of_points(stage, planned),
            steps_before=opening, points=points, steps_after=steps.closing(first),
            **(_near_zero(planned) if live else {}),
            layout=_layout(first), beside=_beside(first),
            aside=self._aside(points), connection=connection(first)))

    def _proving(self) -> None:
        """After currents: a low voltage proves that the lead is back in the voltage jack and the
        meter reads."""
        used = {g.jacks for g in self.groups if g.stage in (MILLIAMPS, AMPS) and g.jacks}
        if not used:
            return
        number = self._next
        low = [p for p in self.planner.planned if p.judged and p.function.kind.name == "DC voltage"
               and p.supply.method == SOURCE
               and not p.is_hazardous and p.applied > 0 and not self._point("", p).is_undecided]
        if not low:
            self.groups.append(SheetGroup(number=number, heading=steps.PROVING_TITLE, stage=PROVING,
                                          live=False, steps_before=steps.PROVING_ALONE))
            return
        proof = max(low, key=lambda p: (p.range.full_scale <= 10, p.applied))
        jacks = proof.function.jacks(proof.range)
        if used == {jacks}:
            return  # one pair of jacks for all: no lead was moved
        point = replace(self._point(f"{number}.1", proof), id=proof.id + "-after-currents")
        self.groups.append(SheetGroup(number=number, heading=steps.PROVING_TITLE, stage=PROVING,
                                      live=False, jacks=jacks, steps_before=steps.proving(proof),
                                      points=(point,), steps_after=steps.closing(proof),
                                      connection=connection(proof)))

    # ------------------------------------------------------------ a row

    def _point(self, step: str, p: PlannedPoint) -> SheetPoint:
        unit = p.function.names[p.range].unit
        places = exact_text.decimals(p.range.resolution, unit)
        j, sure = p.judged, self.sure.get(p.id)
        # Without an uncertainty there is nothing to make a guard band from.
        simple = self.plan.decision_rule.kind == SIMPLE
        accept = (p.zero if p.zero is not None else sure.accept if sure else j.accepted
                  if j and simple else None)
        if p.supply.method == REFERENCE and j:
            accept = None

        def reading(counts: int) -> str:
            return exact_text.number(exact_text.in_unit(counts * p.range.resolution, unit), places)

        return SheetPoint(
            id=p.id, step=step, planned=p,
            apply=applied_text(p, unit, places), at=beside_text(p, unit),
            range=exact_text.quantity(p.function.names[p.range]), forced=p.forced,
            accept_from=reading(accept.low) if accept else "",
            accept_to=reading(accept.high) if accept else "",
            unit=read_unit(p, unit), tolerance=tolerance_text(p, sure, unit, places),
            hazardous=p.is_hazardous, sure=sure,
            shortfall=adequacy.shortfall(self.plan, p, sure),
            small_from=f"{reading(j.accepted.low)}, {reading(sure.conditional.low)}"
            if sure and sure.conditional else "",
            small_to=f"{reading(j.accepted.high)}, {reading(sure.conditional.high)}"
            if sure and sure.conditional else "",
            is_undecided=bool(j) and accept is None
            and not (p.supply.method == REFERENCE and allowance(p, sure) is not None),
            zero=self.planner.zeros[zero_key(p)].id if p.correction and p.zero is None else "")

    def _aside(self, points: tuple[SheetPoint, ...]) -> Aside | None:
        method = points[0].planned.supply.method
        if method == THERMOCOUPLE:
            return millivolts(points, self.planner.supplies.junctions)
        if method == OHMS:
            return ohms(points)
        if method == REFERENCE:
            return allowances(points)
        return None


# ---------------------------------------------------------------- what makes a group

def _stage_kind(point: PlannedPoint) -> str:
    if point.level is not None and point.level.dimension == "[current]":
        return CURRENT
    return point.function.stage


def _amperes(point: PlannedPoint) -> Fraction:
    """What tells milliamps from amps: the range's name, or the level of a signal that is a
    current."""
    return point.range.full_scale if point.level is None else point.level.value


def _setup(point: PlannedPoint) -> tuple:
    """What is most work to change first: jacks, what is connected there, the dial."""
    supply = point.supply
    return (point.function.jacks(point.range),
            (supply.compare_on, *(s.standard for s in supply.standards), *supply.terminals),
            (point.function.title, point.function.dial(point.range)))


def _manner(point: PlannedPoint) -> tuple:
    """What else keeps points out of one group."""
    return point.supply.method, point.correction, (
        point.supply.is_part if point.supply.method == OHMS else None)


def _leads_told(groups: list[SheetGroup]) -> list[SheetGroup]:
    """Each group with whether its leads stay as the group before has them. A live group is told its
    leads anyhow."""
    def led(group: SheetGroup) -> Connection | None:
        return group.connection and replace(group.connection, dial="")
    return [replace(group, same_leads=not group.live and before is not None
                    and led(before) is not None and led(before) == led(group))
            for before, group in zip([None, *groups], groups, strict=False)]


# ---------------------------------------------------------------- what a group says of itself

def _near_zero(planned: list[PlannedPoint]) -> dict[str, Any]:
    """What the meter shows when a live group is back at zero: volts, on the lowest range or the one
    selected last; and how large that reading may be."""
    last = planned[-1]
    by_hand = last.level is None and (last.forced or not last.function.table.autoranging)
    ac = any(p.hertz is not None or p.level is not None for p in planned)
    unit = (last.function.names[last.range].unit.shown if by_hand
            else "V" if last.level is not None else last.function.unit.shown)
    return {"near_zero": unit, "hazardous_from": threshold(ac=ac),
            "near_zero_limit": near_zero_limit(
                resolution=last.range.resolution if by_hand else Fraction(0))}


def _layout(first: PlannedPoint) -> str:
    """Which columns a group's table has beside those of all: a second one for the corrected
    reading, or one for the reference reading and the difference."""
    return ("reference" if first.supply.method == REFERENCE else "corrected"
            if first.correction == "subtract" else "")


def _beside(first: PlannedPoint) -> Sentence:
    """The head of the column beside what is applied."""
    if first.supply.method == THERMOCOUPLE:
        return sentence("at-junction",
                        celsius=f"{exact_text.number(TABLE_AT)}{exact_text.NARROW}°C")
    if first.supply.known:
        return sentence("at-certified-leads" if first.supply.method == ARTIFACT else "at-leads")
    return sentence({ARTIFACT: "at-certified", COIL: "at-source", OHMS: "at-ohms"}.get(
        first.supply.method, "at"))
