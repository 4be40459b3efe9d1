"""A plan's points, each with its standard and its limits, or a problem at its place in the file."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from builder import tables, wording
from builder.compute import points as compute
from builder.compute.hazard import is_hazardous
from builder.compute.points import Judged, Refused
from builder.compute.recommend import recommended
from builder.compute.table import Function, Range
from builder.compute.tolerance import ZERO
from builder.model import meter as model
from builder.model.base import Span
from builder.model.kinds import Kind
from builder.model.plan import RECOMMENDED, Plan, PointSet
from builder.model.standard import Output, OutputRow, Standard
from builder.problems import WARNING, Problem
from builder.source import Document
from builder.units import Quantity, Unit


class FunctionView:
    """A function of a meter, with its table and the shown names of its ranges."""

    def __init__(self, meter: model.Meter, given: model.Function):
        self.meter = meter
        self.given = given
        self.title = given.title
        self.kind: Kind = given.kind
        self.code = wording.slug(given.name) if given.name else given.kind.code
        self.table: Function = tables.function_table(meter, given)
        self.models = [r for _, r in tables.in_order(given)]
        self.names: dict[Range, Quantity] = {t: m.range for t, m in zip(self.table.ranges, self.models)}
        self.model_of: dict[Range, model.Range] = dict(zip(self.table.ranges, self.models))

    @cached_property
    def unit(self) -> Unit:
        return self.models[0].range.unit

    def range(self, name: Quantity | None) -> Range | None:
        if name is None:
            return None
        return next((t for t, q in self.names.items() if q.value == name.value), None)

    def jacks(self, on: Range) -> tuple[str, ...]:
        return on.position[0]

    def dial(self, on: Range) -> str | None:
        return on.position[1]


@dataclass(frozen=True, eq=False)
class Planned:
    """One point: what is applied by what, and the limits (None for an observation)."""

    function: FunctionView
    applied: Fraction
    hertz: Fraction | None
    level: Quantity | None
    range: Range
    judged: Judged | None
    forced: bool
    observe: str | None
    standard: Standard
    output: Output
    rows: tuple[OutputRow, ...] = ()  # of the standard's table, those that cover the point; none where it can't produce it
    accepted: str = ""                # why the plan accepts that

    @property
    def volts(self) -> Fraction:
        """The voltage between the terminals, as far as it is known."""
        if self.level is not None:
            return self.level.value
        return abs(self.applied) if self.function.kind.dimension == "[voltage]" else ZERO

    @property
    def is_hazardous(self) -> bool:
        return is_hazardous(volts=self.volts, ac=self.hertz is not None or self.level is not None)

    @cached_property
    def id(self) -> str:
        unit = self.function.names[self.range].unit
        name = self.function.names[self.range]
        parts = [self.function.code, wording.plain_quantity(name.value, name.unit),
                 wording.plain_quantity(self.applied, unit, wording.decimals(self.range.resolution, unit))]
        if self.hertz is not None:
            parts.append(wording.frequency(self.hertz, plain=True))
        if self.level is not None:
            parts.append(wording.plain_quantity(self.level.value, self.level.unit))
        if self.forced:
            parts.append("by-hand")
        if self.observe:
            parts.append("observed")
        return "-".join(p.replace(" ", "") for p in parts)


class Planner:
    """Works through a plan's points and collects what is wrong with them."""

    def __init__(self, document: Document, plan: Plan, functions: dict[str, FunctionView], standards: list[Standard], growth: Fraction):
        self.document, self.plan, self.functions, self.standards, self.growth = document, plan, functions, standards, growth
        self.problems: list[Problem] = []
        self.planned: list[Planned] = []
        self.refused: set[str] = set()  # functions with a point that got no limits
        self.not_found: dict[tuple, str] = {}  # rows that 'recommended' found no point for, and why

    def run(self) -> "Planner":
        seen: dict[str, tuple] = {}
        found = [(given.apply == [RECOMMENDED], path, point) for i, given in enumerate(self.plan.points)
                 for path, point in self._points(("points", i), given, self.functions[given.function])]
        # A point listed by hand takes the place of the same one among the recommended.
        for is_recommended, path, point in sorted(found, key=lambda one: one[0]):
            if point.id in seen:
                if not is_recommended:
                    line = self.document.place(seen[point.id]).line
                    self.document_problem(path, "twice", f"the point {point.id} stands twice, first in line {line}",
                                          "delete one of them: records hang on the names of points")
                continue
            seen[point.id] = path
            self.planned.append(point)
        return self

    def document_problem(self, path: tuple, code: str, sentence: str, hint: str = "") -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint))

    def _points(self, at: tuple, given: PointSet, function: FunctionView):
        wanted = function.range(given.force_range or given.range)
        force = given.force_range is not None
        for j, applied in enumerate(given.apply):
            if applied == RECOMMENDED:
                yield from self._recommended((*at, "apply", j), given, function, wanted, force)
                continue
            for k, hertz in enumerate(given.frequency or [None]):
                path = (*at, "frequency", k) if hertz is not None and k else (*at, "apply", j)
                yield from self._one(path, given, function, wanted, force, applied.value, hertz.value if hertz else None, applied.unit)

    def _one(self, path, given, function, wanted, force, applied, hertz, unit):
        try:
            self._refuse_beyond_input(function, applied, hertz, given.level)
            standard, output, rows, accepted = self._source(given, function, applied, hertz, wanted)
            if given.observe:
                judged, on = None, self._range_of_observation(function, applied, wanted, force)
            else:
                judged = compute.judge(function=function.table, applied=applied, frequency=self._row_frequency(function, hertz),
                                       wanted=wanted, force=force, growth=self.growth)
                on = judged.range
        except Refused as refused:
            if given.level is not None and refused.code.startswith("beyond-") and "limit" in refused.facts:
                # What the input can't bear is the signal's level, at the rate that is applied.
                applied, hertz, unit = given.level.value, self._rate(function, applied, hertz), given.level.unit
            sentence, hint = wording.refusal(refused, applied=applied, hertz=hertz, unit=unit, names=function.names,
                                             by_hand=function.given.ranging == "automatic",
                                             clear=self._clear(given, function, refused, applied, hertz))
            self.document_problem(path, refused.code, sentence, hint)
            self.refused.add(function.title)
            return
        forced = force and function.table.autoranging
        yield path, Planned(function, applied, hertz, given.level, on, judged, forced, given.observe, standard, output, rows, accepted)

    def _recommended(self, path, given, function, wanted, force):
        frequencies = [f.value for f in given.frequency] if given.frequency else [None]

        def allowed(applied: Fraction, at_hertz: Fraction | None) -> None:
            self._refuse_beyond_input(function, applied, at_hertz, given.level)
            self._source(given, function, applied, at_hertz)

        found, missing = recommended(function=function.table, allowed=allowed, frequencies=frequencies, force=force,
                                     is_counter=function.kind.dimension == "[frequency]", growth=self.growth)
        judged = []
        for point in found:
            if wanted is None or point.range is wanted:
                for one in self._one(path, given, function, point.range, force, point.applied, point.frequency, function.names[point.range].unit):
                    judged.append(one[1].judged)
                    yield one
        for one in missing:
            if wanted is None or one.range is wanted:
                top = one.range.full_scale * 9 / 10
                name = function.names[one.range]
                sentence, _ = wording.refusal(one.refused, applied=top, hertz=one.frequency, unit=name.unit, names=function.names)
                self.not_found[(function.title, one.range, one.row)] = sentence
                if one.row in {point.row for point in judged if point.range is one.range}:
                    self.problems.append(self.document.problem(
                        path, "recommended", f"nothing is recommended for {wording.frequency(one.frequency)} on the {wording.quantity(name)} range: {sentence}",
                        "list a point there by hand if another source can do it", severity=WARNING))

    def _row_frequency(self, function: FunctionView, hertz: Fraction | None) -> Fraction | None:
        return hertz if function.kind.needs_frequency else None

    def _range_of_observation(self, function: FunctionView, applied: Fraction, wanted: Range | None, force: bool) -> Range:
        """An observation has no limit, but the sheet still names its range; beyond the highest one only without a name."""
        if applied < 0 and not function.table.shows_minus:
            raise Refused("no-minus")
        if wanted is not None and (force or not function.table.autoranging):
            if abs(applied) > wanted.highest:
                raise Refused("beyond-range", on=wanted)
            return wanted
        try:
            chosen = compute.range_for(function=function.table, applied=applied, wanted=wanted)
        except Refused:
            if wanted is None and function.kind.dimension != "[current]":
                return function.table.ranges[-1]
            raise
        if wanted is not None and chosen is not wanted:
            raise Refused("other-range", wanted=wanted, chosen=chosen)
        return chosen

    def _range_if_any(self, function: FunctionView, applied: Fraction) -> Range | None:
        try:
            return compute.range_for(function=function.table, applied=applied)
        except Refused:
            return None

    def _refuse_beyond_input(self, function: FunctionView, applied: Fraction, hertz: Fraction | None, level: Quantity | None) -> None:
        if level is not None:
            compute.refuse_beyond_input(limits=function.table.limits, applied=level.value, frequency=self._rate(function, applied, hertz))
        else:
            compute.refuse_beyond_input(limits=function.table.limits, applied=applied, frequency=hertz)

    def _rate(self, function: FunctionView, applied: Fraction, hertz: Fraction | None) -> Fraction | None:
        """The frequency of a signal whose level is set apart."""
        return applied if function.kind.dimension == "[frequency]" else hertz

    def _source(self, given: PointSet, function: FunctionView, applied: Fraction, hertz: Fraction | None,
                wanted: Range | None = None) -> tuple[Standard, Output, tuple[OutputRow, ...], str]:
        """The first standard that can put out the point; or the first at all, where the plan accepts that none can."""
        among = [s for s in self.standards if given.standard in (None, s.standard)]
        offers = [(s, o) for s in among for o in s.outputs if o.output == function.kind.name]
        named = " and ".join(s.name for s in among)
        level = wording.quantity(given.level) if given.level is not None else ""
        if not offers:
            raise Refused("no-output", standards=named, what=function.kind.name)
        size = abs(applied)
        for standard, output in offers:
            rows = tuple(row for row in output.rows
                         if _within(row.values, size) and (hertz is None or row.frequency is None or _within(row.frequency, hertz))
                         and (given.level is None or row.level is None or _within(row.level, given.level.value)))
            if rows:
                return standard, output, rows, ""
        on = wanted or self._range_if_any(function, applied)
        if because := accepted_because(self.plan, "out of reach", function.title, on.full_scale if on else None, offers[0][0].standard):
            return *offers[0], (), because
        raise Refused("beyond-reach", standards=named, level=level, reach=f"{named} reaches " + "; ".join(
            str(row.values) + (f" at {row.frequency}" if row.frequency else "") + (f" with {row.level}" if row.level else "")
            for _, output in offers for row in output.rows))

    def _can_apply(self, given: PointSet, function: FunctionView, applied: Fraction, hertz: Fraction | None) -> bool:
        try:
            self._refuse_beyond_input(function, applied, hertz, given.level)
            self._source(given, function, applied, hertz)
        except Refused:
            return False
        return True

    def _clear(self, given: PointSet, function: FunctionView, refused: Refused, applied: Fraction, hertz: Fraction | None) -> str:
        on = refused.facts.get("on")
        if on is None:
            return ""
        unit = function.names[on].unit
        values = compute.clear_values(function=function.table, on=on, near=applied, growth=self.growth,
                                      frequency=self._row_frequency(function, hertz))
        values = [v for v in values if self._can_apply(given, function, v, hertz)]
        shown = [wording.amount(v, unit, wording.decimals(on.resolution, unit)) for v in values]
        return f"clear on the {wording.quantity(function.names[on])} range: " + " or ".join(shown) if shown else ""


def accepted_because(plan: Plan, what: str, function: str | None, full_scale: Fraction | None, standard: str) -> str:
    """The plan's reason to accept something about a standard, or ""."""
    for one in plan.accepted:
        if (one.what == what and one.function in (None, function) and one.standard in (None, standard)
                and (one.range is None or one.range.value == full_scale)):
            return one.because
    return ""


def _within(span: Span, value: Fraction) -> bool:
    low, high = span.band
    return low <= value <= high
