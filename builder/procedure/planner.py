"""From the entries of a plan to its points, each with its supply and its limits, or to a problem at
its place in the file."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import islice

from builder.compute.exact import clear_values, leads
from builder.compute.exact import points as compute
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.compared import HIGHEST, LOWEST
from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.points import JudgedPoint, Refused
from builder.compute.exact.recommend import recommended
from builder.compute.exact.tolerance import ZERO, Tolerance
from builder.files.problems import WARNING, Problem
from builder.files.yaml_text import Document
from builder.formats.plan import MOST_POINTS, RECOMMENDED, Plan, PointSet
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.procedure import refusals
from builder.procedure.ambient import AmbientBand, junctions
from builder.procedure.how_computed import row_said
from builder.procedure.input_limits import rate_of, refuse_beyond_drive, refuse_beyond_input
from builder.procedure.bench_leads import added_by, known_leads, ohms_of, unclear
from builder.procedure.meter_function import MeterFunction
from builder.procedure.observations import range_of_observation, what_to_look_for
from builder.procedure.on_times import refuse_too_short
from builder.procedure.planned_points import PlannedPoint, relative_on_one_range, zero_key
from builder.procedure.sentences import as_written, sentence
from builder.procedure.supplies import REFERENCE, Supplies, Supply
from builder.procedure.supply import LEADS, refuse_to_take_off


class Planner:
    """Works through a plan's points and collects what is wrong with them."""

    def __init__(self, document: Document, plan: Plan, functions: dict[str, MeterFunction],
                 standards: list[Standard], holds: AmbientBand):
        self.document, self.plan, self.functions, self.holds = document, plan, functions, holds
        self.supplies = Supplies(plan, standards, junctions(holds.ambient), ohms_of(
            plan.leads, holds.ambient.celsius[1]), known_leads(plan, standards))
        self.problems: list[Problem] = []
        self.too_many = False       # points to go on with any
        self.planned: list[PlannedPoint] = []
        self.zeros: dict[tuple, PlannedPoint] = {}  # the readings of the leads alone, by `zero_key`
        self.refused: set[str] = set()  # functions with a point that got no limits
        self.not_found: dict[tuple, str] = {}  # rows that 'recommended' found no point for, and why

    def run(self) -> Planner:
        seen: dict[str, tuple] = {}
        asked = ((given.apply == [RECOMMENDED], path, point)
                 for i, given in enumerate(self.plan.points)
                 for path, point in self._points(("points", i), given,
                                                 self.functions[given.function]))
        candidates = list(islice(asked, MOST_POINTS + 1))
        self.too_many = len(candidates) > MOST_POINTS
        if self.too_many:
            self.document_problem(candidates[-1][1], "too-many",
                                  f"the plan has more than {MOST_POINTS} points up to here",
                                  "list what matters, or write a plan for each part of the meter")
            return self
        # A point listed by hand takes the place of the same one among the recommended.
        for is_recommended, path, point in sorted(candidates, key=lambda one: one[0]):
            if point.id in seen:
                if not is_recommended:
                    line = self.document.place(seen[point.id]).line
                    self.document_problem(path, "twice",
                                          f"the point {point.id} stands twice, first in line "
                                          f"{line}",
                                          "delete one of them: records hang on the names of points")
                continue
            seen[point.id] = path
            self.planned.append(point)
        for code, why, hint in unclear(self.supplies.known, self.supplies.leads, self.planned,
                                       self.refused):
            self.document_problem(("leads", "known"), code, why, hint)
        self.planned = [self._with_zero(point) for point in relative_on_one_range(self.planned)]
        for point in self.planned:
            if point.correction:
                self.zeros.setdefault(zero_key(point), self._zero(point))
        return self

    def _with_zero(self, point: PlannedPoint) -> PlannedPoint:
        """With what the meter may be off at zero, where the reading that is taken off is one of
        another range: on the same range it drops out."""
        if not point.correction or zero_key(point)[1] is point.range:
            return point
        sides = self._off_at_zero(zero_key(point)[1])
        return replace(point, other_zero=max(sides.below, sides.above))

    def _off_at_zero(self, on: RangeTable) -> Tolerance:
        try:
            row = compute.row_for(on=on, applied=ZERO, frequency=None)
            return on.tolerance(row, ZERO, None)
        except Refused:
            sides = [on.tolerance(row, ZERO, None) for row in on.rows]
            return Tolerance(max(one.below for one in sides), max(one.above for one in sides))

    def _zero(self, point: PlannedPoint) -> PlannedPoint:
        """The reading of the leads alone, before the points that they are taken off: at most what
        the leads may add and the meter may be off at zero."""
        function, on = point.function, zero_key(point)[1]
        most = point.leads + self._off_at_zero(on).above
        highest = AcceptedCounts(0, math.floor(most / on.resolution))
        return PlannedPoint(function=function, applied=ZERO, hertz=None, level=None, range=on,
                            judged=None, forced=point.forced, observe=None, supply=point.supply,
                            ambient=point.ambient, correction=point.correction,
                            leads=point.leads, zero=highest)

    def document_problem(self, path: tuple, code: str, sentence: str, hint: str = "") -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint))

    def _points(self, place: tuple, given: PointSet, function: MeterFunction):
        wanted = function.range(given.force_range or given.range)
        force = given.force_range is not None
        for j, applied in enumerate(given.apply):
            if applied == RECOMMENDED:
                yield from self._recommended((*place, "apply", j), given, function, wanted, force)
                continue
            for k, hertz in enumerate(given.frequency or [None]):
                path = (*place, "frequency", k) if k else (*place, "apply", j)
                yield from self._one(path, given, function, wanted, force, applied.value,
                                     hertz.value if hertz else None, applied.unit)

    def _one(self, path, given, function, wanted, force, applied, hertz, unit):
        try:
            refuse_beyond_input(function, applied, hertz, given)
            supply = self.supplies.find(given, function, applied, hertz, wanted)
            observe = as_written(given.observe) if given.observe else None
            if given.observe or given.find == "ceiling" or given.find == "sensitivity":
                judged, correction, adds = None, "", ZERO
                on = range_of_observation(function, applied, wanted, force)
            else:
                try:
                    judged, supply, correction, adds = self._judged(
                        given, function, supply, applied, hertz, wanted, force)
                    on = judged.range
                except Refused as refused:
                    if refused.code != "typical" or given.find or given.wave:
                        raise
                    judged, correction, adds, on = None, "", ZERO, refused.facts["on"]
                    observe = sentence("typical", row=row_said(function, on,
                                                               refused.facts["row"]))
            refuse_beyond_drive(supply=supply, function=function, on=on, applied=applied)
            refuse_too_short(function, on, supply, given.find or "")
            if given.find or given.wave:
                if given.wave and abs(applied) * 2 > on.full_scale:
                    raise Refused("wave-too-high", on=on)
                observe = observe or what_to_look_for(given, function, supply, judged, applied,
                                                      hertz)
                judged = None
        except Refused as refused:
            if (given.level is not None and refused.code.startswith("beyond-")
                    and "limit" in refused.facts):
                # What the input can't bear is the signal's level, at the rate that is applied.
                hertz = rate_of(function, applied, hertz)
                applied, unit = given.level.value, given.level.unit
            why, hint = refusals.refusal(
                refused, applied=applied, hertz=hertz, unit=unit, names=function.names,
                by_hand=function.given.ranging == "automatic",
                clear=self._clear(given, function, refused, applied, hertz))
            if refused.code == "frequency-outside" and path[-2] == "apply" and given.frequency:
                path = (*path[:-2], "frequency", 0)
            self.document_problem(path, refused.code, why, hint)
            self.refused.add(function.title)
            return
        forced = force and function.table.autoranging
        yield path, PlannedPoint(function=function, applied=applied, hertz=hertz, level=given.level,
                                 range=on, judged=judged, forced=forced, observe=observe,
                                 supply=supply, ambient=self.holds.ambient, correction=correction,
                                 leads=adds, find=given.find or "", wave=given.wave or "",
                                 junction=self.plan.junction, circuit=given.at)

    def _judged(self, given, function, supply: Supply, applied, hertz, wanted,
                force) -> tuple[JudgedPoint, Supply, str, Fraction]:
        """The limits, what they stand around, how leads are taken off and what they add at most."""
        known = dict(function=function.table,
                     applied=applied if supply.expected is None else supply.expected,
                     frequency=_row_frequency(function, hertz), wanted=wanted, force=force,
                     is_zero=applied == 0)
        if supply.method == REFERENCE:
            _refuse_other_rows(compute.judge(**known))
        if not function.kind.zero_with or (supply.output.zero == "none"
                                           and supply.method != LEADS):
            return compute.judge(**known), supply, "", ZERO
        if leads_known := self.supplies.known_for(function):
            supply = leads_known.moved(given, supply, applied)
            known["applied"] = supply.expected
            return compute.judge(**known), supply, "", ZERO
        adds = self._leads(function)
        judged = compute.judge(**known, beside=adds, signed=True)
        if leads.negligible(leads=adds, resolution=judged.range.resolution,
                            tolerance=judged.tolerance):
            if supply.method != REFERENCE and applied != 0:
                moved = leads.left_in(leads=adds, resolution=judged.range.resolution)
                supply = replace(supply, expected=known["applied"] + moved, beside=moved)
                known["applied"] = supply.expected
            return compute.judge(**known), supply, "", adds
        refuse_to_take_off(given, function, supply)
        return judged, supply, given.zero, adds

    def _leads(self, function: MeterFunction) -> Fraction:
        """What two leads add to a reading, at most."""
        return added_by(self.plan.leads, function, self.holds.ambient.celsius[1])

    def _recommended(self, path, given, function, wanted, force):
        frequencies = [f.value for f in given.frequency] if given.frequency else [None]

        def allowed(applied: Fraction, at_hertz: Fraction | None) -> None:
            refuse_beyond_input(function, applied, at_hertz, given)
            supply = self.supplies.find(given, function, applied, at_hertz)
            on = wanted or next((on for on in function.table.ranges if abs(applied) <= on.highest),
                                function.table.ranges[-1])
            refuse_beyond_drive(supply=supply, function=function, on=on, applied=applied)

        proposed, missing = recommended(function=function.table, allowed=allowed,
                                        frequencies=frequencies, force=force,
                                        is_counter=function.kind.dimension == "[frequency]",
                                        certified=self.supplies.certified(given, function),
                                        signed=bool(function.kind.zero_with)
                                        and not self.supplies.known_for(function))
        judged = []
        for point in proposed:
            if wanted is None or point.range is wanted:
                for place, planned in self._one(path, given, function, point.range, force,
                                                point.applied, point.frequency,
                                                function.names[point.range].unit):
                    judged.append(planned.judged)
                    yield place, planned
        for gap in missing:
            if wanted is None or gap.range is wanted:
                top = gap.range.full_scale * 9 / 10
                name = function.names[gap.range]
                sentence, _ = refusals.refusal(gap.refused, applied=top, hertz=gap.frequency,
                                               unit=name.unit, names=function.names)
                self.not_found[(function.title, gap.range, gap.row)] = sentence
                if gap.row in {point.row for point in judged if point.range is gap.range}:
                    self.problems.append(self.document.problem(
                        path, "recommended",
                        f"nothing is recommended for {exact_text.frequency(gap.frequency)} on the "
                        f"{exact_text.quantity(name)} range: {sentence}",
                        "list a point there by hand if another source can do it", severity=WARNING))

    def _can_apply(self, given: PointSet, function: MeterFunction, applied: Fraction,
                   hertz: Fraction | None) -> bool:
        try:
            refuse_beyond_input(function, applied, hertz, given)
            self.supplies.find(given, function, applied, hertz)
        except Refused:
            return False
        return True

    def _clear(self, given: PointSet, function: MeterFunction, refused: Refused, applied: Fraction,
               hertz: Fraction | None) -> str:
        on = refused.facts.get("on")
        if on is None:
            return ""
        unit = function.names[on].unit
        try:
            takes_off = self.supplies.find(given, function, applied, hertz).output.zero == "none"
            adds = (self._leads(function) if function.kind.zero_with and not takes_off
                    and not self.supplies.known_for(function) else None)
        except Refused:  # beside a reference meter the plan may say nothing of the leads
            adds = None
        values = clear_values.clear_values(function=function.table, on=on, near=applied,
                                           frequency=_row_frequency(function, hertz),
                                           signed=adds is not None, beside=adds or ZERO)
        values = [v for v in values if self._can_apply(given, function, v, hertz)]
        shown = [exact_text.amount(v, unit, exact_text.decimals(on.resolution, unit))
                 for v in values]
        return (f"clear on the {exact_text.quantity(function.names[on])} range: "
                + " or ".join(shown) if shown else "")


def _refuse_other_rows(judged: JudgedPoint) -> None:
    """The reference reading may lie a good deal beside the value that it is only about."""
    if judged.piece.above != judged.piece.below:
        raise Refused("reference-sides", on=judged.range)
    size, values = abs(judged.applied), judged.row.values
    low, high = size * LOWEST, min(size * HIGHEST, judged.range.highest)
    beyond_row = values is not None and not values[0] <= low <= high <= values[1]
    first, last = judged.piece.values
    beyond_row |= (first is not None and low < first) or (last is not None and high > last)
    beyond_row |= not compute.is_tightest(judged=judged, low=low, high=high)
    if beyond_row or (judged.range.lowest is not None and low < judged.range.lowest):
        raise Refused("reference-row", on=judged.range)


def _row_frequency(function: MeterFunction, hertz: Fraction | None) -> Fraction | None:
    return hertz if function.kind.needs_frequency else None
