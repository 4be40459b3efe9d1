"""Numbers of a meter's table and of a plan's points, computed as for the sheets."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from builder.file_rules.saying import nearest
from builder.files.problems import Wrong
from builder.formats import decision_rule
from builder.lessons.asked import (AskedValue, NothingOfThatName, items_of, number_of,
                                   refuse_unknown, there)
from builder.numbers import exact_text, units
from builder.numbers.exact_text import NARROW, amount, decimals, in_unit, number
from builder.numbers.statistics_text import expanded, figures
from builder.procedure import evidence
from builder.procedure.ambient import shown_span
from builder.procedure.how_computed import accuracy_text
from builder.procedure.point_uncertainty import PointUncertainty, assess
from builder.procedure.sheet import Procedure, SheetPoint
from builder.shop import contents, quick_answer
from builder.shop.contents import Shop


class Example:
    """What can be shown of it stands in SHOWS."""

    NAMED: tuple[str, ...] = ()
    SHOWS: dict[str, Callable] = {}

    def show(self, what: str) -> str:
        """One number, with its unit. Wrong if there is none of that name."""
        return number_of(self.SHOWS, what)(self)


class MeterExample(Example):
    """A value on a meter: its range, its accuracy row and its limits."""

    NAMED = ("show", "lines", "given", "range", "ambient")

    def __init__(self, shop: Shop, asked: AskedValue):
        meter, function, value, *rest = items_of(
            asked, "a meter, a function, a value and for AC a frequency", 3, 4)
        self.view, self.ambient = quick_answer.warmed(
            quick_answer.find(contents.functions(shop, meter), function),
            asked.named.get("ambient"))
        self.refused: quick_answer.NoLimits | None = None
        try:
            self.judged, self.hertz = quick_answer.judge(
                self.view, value, *(rest or [None]), by_hand=asked.named.get("range"))
        except quick_answer.NoLimits as refused:
            if asked.named.get("show") != "refusal":
                raise
            self.refused = refused
            return
        if asked.named.get("show") == "refusal":
            raise Wrong("this point has limits, so there is no refusal to show",
                        "show something else, or choose a value that is refused")
        self.on, self.unit = self.judged.range, self.view.names[self.judged.range].unit
        self.places = decimals(self.on.resolution, self.unit)

    @property
    def counts(self) -> Fraction:
        return self.judged.tolerance / self.on.resolution

    @property
    def percent(self) -> float:
        if self.judged.applied == 0:
            raise Wrong("a tolerance at zero is no percentage of anything",
                        "show 'tolerance' or 'counts'")
        return float(100 * self.judged.tolerance / abs(self.judged.applied))

    @property
    def terms(self) -> tuple[Fraction, Fraction]:
        """What grows with the reading, and what doesn't."""
        return self.judged.line.slope * abs(self.judged.applied), self.judged.line.offset

    def reading(self, counts: int, unit: bool = True) -> str:
        text = number(in_unit(counts * self.on.resolution, self.unit), self.places)
        return text + NARROW + self.unit.shown if unit else text

    def amount(self, value: Fraction) -> str:
        return amount(value, self.unit)

    def worked(self) -> list[str]:
        return quick_answer.lines(self.view, self.judged, self.hertz, self.ambient)

    SHOWS = {
        "value": lambda e: amount(e.judged.applied, e.unit, e.places),
        "limits": lambda e: f"{e.reading(e.judged.accepted.low, unit=False)} to "
        f"{e.reading(e.judged.accepted.high)}",
        "low": lambda e: e.reading(e.judged.accepted.low),
        "high": lambda e: e.reading(e.judged.accepted.high),
        "tolerance limits": lambda e: f"{e.amount(e.judged.low)} and {e.amount(e.judged.high)}",
        "tolerance": lambda e: e.amount(e.judged.tolerance),
        "counts": lambda e: exact_text.counts(e.counts),
        "percent": lambda e: figures(e.percent, 2) + NARROW + "%",
        "percent term": lambda e: e.amount(e.terms[0]),
        "percent term in counts": lambda e: exact_text.counts(e.terms[0] / e.on.resolution),
        "fixed term": lambda e: e.amount(e.terms[1]),
        "fixed term in counts": lambda e: exact_text.counts(e.terms[1] / e.on.resolution),
        "accuracy": lambda e: "±(" + accuracy_text(e.judged.row.accuracy, e.unit) + ")",
        "percent of reading": lambda e: exact_text.percent(
            e.judged.row.accuracy.percent_of_reading),
        "counts of accuracy": lambda e: exact_text.counts(e.judged.row.accuracy.counts),
        "frequencies": lambda e: exact_text.frequencies(
            there(e.judged.row.frequency, "the row has no frequencies")),
        "range": lambda e: exact_text.quantity(e.view.names[e.on]),
        "highest": lambda e: amount(e.on.highest, e.unit, e.places),
        "lowest": lambda e: e.amount(there(e.on.lowest,
                                           "the range has no lowest specified value")),
        "count": lambda e: e.amount(e.on.resolution),
        "growth": lambda e: number(e.judged.piece.growth),
        "band": lambda e: shown_span(e.view.meter.specification.holds),
        "on": lambda e: exact_text.quantity(
            there(e.view.model_of[e.on].on_at_most, "the range has no time limit")),
        "off": lambda e: exact_text.quantity(
            there(e.view.model_of[e.on].off_at_least, "the range has no time limit")),
        "input resistance": lambda e: exact_text.quantity(
            there(e.view.given.input_resistance, "the function states no input resistance")),
        "crest factor": lambda e: number(there(e.view.given.crest_factor,
                                               "the function states no crest factor")),
        "refusal": lambda e: e.refused.sentence,
    }


class PlanExample(Example):
    """A point of a plan: its limits, its uncertainty, its adequacy; under another decision rule
    where one is named."""

    NAMED = ("show", "lines", "given", "range", "rule", "level")

    def __init__(self, shop: Shop, asked: AskedValue):
        name, function, value, *rest = items_of(
            asked, "a plan, a function, a value and for AC a frequency", 3, 4)
        self.procedure: Procedure = shop.procedures[name]
        self.plan = self.procedure.plan
        self.point = self._find(function, value, rest, asked.named)
        if "rule" in asked.named:
            self.plan = self.plan.model_copy(
                update={"decision_rule": decision_rule.rule_of(asked.named["rule"])})
            self.point = replace(self.point, sure=assess(self.point.planned, self.plan))
        planned = self.point.planned
        self.on, self.unit = planned.range, planned.function.names[planned.range].unit
        self.places = decimals(self.on.resolution, self.unit)
        if (accept := self.point.sure and self.point.sure.accept) and self.point.accept_from:
            low, high = (number(in_unit(n * self.on.resolution, self.unit), self.places)
                         for n in (accept.low, accept.high))
            self.point = replace(self.point, accept_from=low, accept_to=high)

    def _find(self, function: str, value: str, rest: list[str],
              named: dict[str, str]) -> SheetPoint:
        applied = units.quantity(value).value
        hertz = units.quantity(rest[0]).value if rest else None
        of_function = [p for p in self.procedure.points
                       if p.planned.function.title.lower() == function.lower() and p.planned.judged]
        if not of_function:
            raise Wrong(f"'{self.procedure.id}' has no points with limits of '{function}'",
                        nearest(function,
                                           {p.planned.function.title
                                            for p in self.procedure.points}))
        points = [p for p in of_function
                  if p.planned.applied == applied and p.planned.hertz == hertz]
        for name, of in (("range", lambda p: p.planned.function.names[p.planned.range].value),
                         ("level", lambda p: p.planned.level and p.planned.level.value)):
            points = [p for p in points
                      if name not in named or of(p) == units.quantity(named[name]).value]
        if not points:
            raise Wrong(f"'{self.procedure.id}' has no point of {function} at "
                        + ", ".join([value, *rest]),
                        "it has "
                        + ", ".join(
                            dict.fromkeys(p.apply + (f" at {p.at}" if p.at else "")
                                          for p in of_function)))
        # the same value once more, as where a voltage proves that a lead is back, is the same point
        return points[0]

    @cached_property
    def sure(self) -> PointUncertainty:
        return there(self.point.sure, "the point's uncertainty isn't known")

    @cached_property
    def assessed(self) -> evidence.Assessed:
        _ = self.sure
        return self._evidence.functions[0].points[0]

    @cached_property
    def _evidence(self) -> evidence.Evidence:
        return evidence.evidence(self.plan, [self.point])

    @property
    def tolerance(self) -> Fraction:
        return self.point.planned.judged.tolerance

    def of_unit(self, text: str) -> str:
        return text + NARROW + self.unit.shown

    def without(self, part: Callable[[list[float]], float]) -> str:
        """The standard uncertainty if one of its parts were nothing."""
        squares = [c.contribution ** 2 for c in self.sure.components if c.contribution]
        left = math.sqrt(max(0.0, self.sure.uncertainty.u ** 2 - part(squares)))
        return self.of_unit(figures(left / evidence.scale_of(self.unit), 2))

    def worked(self) -> list[str]:
        _ = self.sure
        return [
            f"{self.procedure.meter.name}, {self.point.planned.function.title}, "
            f"{decision_rule.rule_name(self.plan.decision_rule)}",
            *self._evidence.functions[0].worked]

    SHOWS = {
        "step": lambda e: e.point.step,
        "value": lambda e: e.point.apply,
        "certified": lambda e: amount(there(e.point.planned.supply.certified,
                                            "the point has no certified value"), e.unit),
        "standard": lambda e: e.point.planned.standard.name,
        "limits": lambda e: f"{e.point.accept_from} to {e.of_unit(e.point.accept_to)}",
        "low": lambda e: e.of_unit(e.point.accept_from),
        "high": lambda e: e.of_unit(e.point.accept_to),
        "tolerance": lambda e: amount(e.tolerance, e.unit),
        "counts": lambda e: exact_text.counts(e.tolerance / e.on.resolution),
        "TUR": lambda e: e.assessed.tur + ":1",
        "accuracy ratio": lambda e: e.assessed.accuracy_ratio + ":1",
        "u": lambda e: e.of_unit(figures(e.sure.uncertainty.u / evidence.scale_of(e.unit), 2)),
        "U": lambda e: e.of_unit(e.assessed.expanded),
        "k": lambda e: figures(e.sure.uncertainty.k, 3),
        "u without the largest part": lambda e: e.without(max),
        "u without the smallest part": lambda e: e.without(min),
        "coverage": lambda e: exact_text.percent(e.plan.coverage * 100),
        "share": lambda e: exact_text.percent(
            there(e.plan.in_tolerance, "the plan states no share in tolerance") * 100),
        "guard band": lambda e: e.of_unit(figures(e.sure.guard / evidence.scale_of(e.unit), 2)),
        "specific risk": lambda e: e.assessed.specific,
        "false accept": lambda e: there(e.assessed.false_accept,
                                        "the plan states no share in tolerance"),
        "false reject": lambda e: there(e.assessed.false_reject,
                                        "the plan states no share in tolerance"),
        "out that pass": lambda e: there(e.assessed.out_passed,
                                         "the plan states no share in tolerance"),
        "false accept as shown": lambda e: there(e.assessed.shown_accept,
                                                 "the plan states no share in tolerance"),
        "leads": lambda e: _leads(e.point.planned.leads, e.unit),
        "millivolts": lambda e: amount(
            there(e.point.planned.supply.sets, "the source is set to the value itself"),
            units.unit("mV"), 3),
    }


def _leads(adds: Fraction, unit: units.Unit) -> str:
    """What leads add, at two figures and never less than it is."""
    shown_in = units.unit("ohm" if unit.dimension == "[resistance]" else "pF")
    return expanded(float(adds / shown_in.scale)) + NARROW + shown_in.shown


def find_example(shop: Shop, asked: AskedValue) -> MeterExample | PlanExample:
    """What is asked for by a meter or a plan."""
    name = asked.items[0] if asked.items else ""
    if name not in shop.plans and name not in shop.meters:
        if waits := contents.unready(shop, f"meters/{name}", f"plans/{name}"):
            raise waits
        raise NothingOfThatName(f"there is no meter and no plan '{name}'",
                                nearest(name, [*shop.meters, *shop.plans]))
    kind = PlanExample if name in shop.plans else MeterExample
    if kind is PlanExample and name not in shop.procedures:
        contents.procedure(shop, name)
    refuse_unknown(asked, kind.NAMED)
    return kind(shop, asked)
