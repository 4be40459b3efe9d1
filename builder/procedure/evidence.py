"""The evidence beside a sheet: budgets, adequacy of the standards, risks, each as an assessor
retraces it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from builder.compute.exact.tolerance import Tolerance
from builder.compute.statistics.decision import MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.numbers.statistics_text import expanded, figures, percent, ratio
from builder.numbers.units import Unit
from builder.procedure.adequacy import summary
from builder.procedure.point_risks import Risks
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import Sentence, sentence, words
from builder.procedure.supplies import REFERENCE


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """A component of a point's uncertainty as the evidence page has it."""

    name: str
    value: str
    distribution: str
    divisor: str
    sensitivity: str
    degrees: str
    contribution: str
    share: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessed:
    """A point's line in the evidence, and its full budget."""

    step: str
    id: str
    apply: str
    range: str
    unit: str
    tolerance: str
    u: str
    k: str
    expanded: str
    degrees: str
    tur: str
    accuracy_ratio: str
    guard: str
    guard_counts: str
    specific: str
    false_accept: str
    out_passed: str
    false_reject: str
    shown_accept: str
    shown_reject: str
    mark: str
    budget: tuple[BudgetLine, ...]
    # U and w in shares of the tolerance; whether readings can be accepted
    picture: tuple[float, float, bool]


@dataclass(frozen=True, slots=True)
class FunctionEvidence:
    """The points of a function, and the formulae in the numbers of one of them."""

    function: str
    points: tuple[Assessed, ...]
    worked: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What stands on the evidence page of a sheet."""

    summary: tuple[str, ...]
    functions: tuple[FunctionEvidence, ...]
    coverage: str       # "95.45 %"
    factors: tuple[str, str]  # k for a normal shape and for a lone rectangle at that coverage
    share: str          # of meters in tolerance, or ""
    sentences: tuple[str, ...]
    of_counts: bool = True  # risks are for the counts that are accepted, not for T − w


# ---------------------------------------------------------------- words

def rule_said(plan: Plan, points: Sequence) -> Sentence:
    """The decision rule as the sheet states it."""
    rule = plan.decision_rule
    if rule.kind == SIMPLE:
        turs = [p.sure.tur for p in points if p.sure]
        unknown = sum(1 for p in points if p.planned.judged and not p.sure)
        return sentence(
            "rule-simple", rests=sentence("rule-rests", lowest=ratio(min(turs))) if turs else "",
            unknown=sentence("rule-unknown" if unknown > 1 else "rule-unknown-one", count=unknown)
            if unknown else "")
    if rule.kind == MULTIPLE:
        width = (sentence("width-u") if rule.g == 1
                 else sentence("width-multiple", g=exact_text.number(rule.g)))
    else:
        width = sentence({ROOT_SUM_SQUARE: "width-root-sum-square",
                          MULTIPLIER: "width-multiplier"}[rule.kind])
    return sentence("rule-guarded", width=width, coverage=exact_text.percent(plan.coverage * 100),
                    four=sentence("four-outcomes") if plan.outcomes == "four" else "")


def _sentences(plan: Plan, points: Sequence) -> tuple[str, ...]:
    """What the risks say, each in one sentence for a technician."""
    decided = [p for p in points if p.sure and p.sure.accept is not None]
    if not decided:
        return ()
    def at_worst(code: str, name: str, of: Sequence, **facts) -> Sentence:
        there = max(of, key=lambda p: getattr(p.sure.risks, name))
        return sentence(code, risk=percent(getattr(there.sure.risks, name)), step=there.step,
                        **facts)

    lines = [at_worst("risk-specific", "specific", decided)]
    known = [p for p in decided if p.sure.risks.false_accept is not None]
    if known:
        lines += [at_worst("risk-accept", "false_accept", known,
                           share=exact_text.percent(plan.in_tolerance * 100)),
                  at_worst("risk-passed", "out_passed", known),
                  at_worst("risk-reject", "false_reject", known),
                  sentence("risk-rounding"),
                  sentence("risk-shown",
                           accept=at_worst("risk-at", "shown_accept", known),
                           reject=at_worst("risk-at", "shown_reject", known)),
                  sentence("risk-shape")]
        if hidden := [p.step for p in known if p.planned.shows_all_below_as_zero]:
            lines.append(sentence("risk-hidden", steps=hidden))
    if any(p.planned.supply.method == REFERENCE for p in decided):
        lines.append(sentence("risk-compared"))
    return tuple(map(words, lines))


# ---------------------------------------------------------------- budgets

def evidence(plan: Plan, points: Sequence) -> Evidence:
    """The evidence for the points whose uncertainty is known, a function after the other."""
    by_function: dict[str, list] = {}
    for point in points:
        if point.sure:
            by_function.setdefault(point.planned.function.title, []).append(point)
    functions = []
    for title, its in by_function.items():
        nonzero = [p for p in its if p.planned.applied != 0
                   and p.accept_from] or [p for p in its if p.planned.applied != 0] or its
        functions.append(FunctionEvidence(exact_text.capital(title), tuple(map(_assessed, its)),
                                          _worked(nonzero[len(nonzero) // 2], plan)))
    return Evidence(
        summary=summary(plan, points), functions=tuple(functions),
        coverage=exact_text.percent(plan.coverage * 100),
        factors=(f"{NormalDist().inv_cdf((1 + float(plan.coverage)) / 2):.2f}",
                 f"{float(plan.coverage) * math.sqrt(3):.2f}"),
        share=exact_text.percent(plan.in_tolerance * 100) if plan.in_tolerance is not None else "",
        sentences=_sentences(plan, points))


def scale_of(unit: Unit) -> float:
    """Of the sheet's unit to that of the budget, in which temperatures stay as they are."""
    return 1.0 if unit.is_temperature else float(unit.scale)


def _tolerance(sides: Tolerance, unit: Unit) -> str:
    """A number in the unit of a range; two where it differs up and down."""
    above, below = (exact_text.number(exact_text.in_unit(one, unit))
                    for one in (sides.above, sides.below))
    return above if sides.is_even else f"+{above} −{below}"


def _assessed(point) -> Assessed:
    sure, p = point.sure, point.planned
    unit = p.function.names[p.range].unit
    scale = scale_of(unit)
    tolerance = float(p.judged.tolerance)
    guarded = math.isfinite(sure.guard)
    sizes = (sure.uncertainty.expanded, sure.guard)

    def share(value: float | None) -> str:
        return percent(value) if value is not None else ""

    return Assessed(
        step=point.step, id=point.id, apply=point.apply + (f", {point.at}" if point.at else ""),
        range=point.range, unit=unit.shown,
        tolerance=_tolerance(p.judged.sides, unit),
        # Enough figures that a pocket calculator comes to the same U and ratio.
        u=figures(sure.uncertainty.u / scale, 5), k=f"{sure.uncertainty.k:.4f}",
        expanded=expanded(sure.uncertainty.expanded / scale),
        degrees=_degrees(sure.uncertainty.degrees),
        tur=ratio(sure.tur), accuracy_ratio=ratio(sure.accuracy_ratio),
        guard=figures(sure.guard / scale, 3) if guarded else words(sentence("more-than-tolerance")),
        guard_counts=figures(sure.guard / float(p.range.resolution), 2) if guarded else "",
        **{name: share(getattr(sure.risks, name, None)) for name in Risks.__dataclass_fields__},
        mark=point.mark, budget=tuple(_line(c, sure, scale) for c in sure.components),
        picture=(*(min(9.0, size / tolerance) if tolerance else 9.0 for size in sizes),
                 sure.accept is not None))


def _degrees(value: float) -> str:
    return "∞" if value == math.inf else f"{value:.0f}"


def _line(c, sure: PointUncertainty, scale: float) -> BudgetLine:
    variance = sure.uncertainty.u ** 2
    return BudgetLine(
        name=c.name, value=figures(c.value / scale, 6), distribution=c.distribution,
        divisor={"rectangular": "√3", "triangular": "√6"}.get(c.distribution, f"{c.divisor:.9g}"),
        sensitivity=figures(c.sensitivity, 6).rstrip("0").rstrip("."),
        degrees=_degrees(c.degrees),
        contribution=figures(c.contribution / scale, 6),
        share=f"{100 * c.contribution ** 2 / variance:.0f}{exact_text.NARROW}%")


def _worked(point, plan: Plan) -> tuple[str, ...]:
    """The formulae in one point's own numbers."""
    a, sure = _assessed(point), point.sure
    unit = exact_text.NARROW + a.unit
    student = sure.uncertainty.degrees != math.inf
    even = point.planned.judged.sides.is_even
    lines = [
        sentence("budget-tolerance", step=a.step, apply=a.apply, range=a.range,
                 tolerance=a.tolerance + unit),
        sentence("budget-u", squares=" + ".join(f"{line.contribution}²" for line in a.budget),
                 unit=unit, u=a.u, degrees=a.degrees),
        sentence("budget-k-student" if student else "budget-k", k=a.k,
                 coverage=exact_text.percent(plan.coverage * 100)),
        sentence("budget-expanded", k=a.k, u=a.u + unit, expanded=a.expanded + unit),
        sentence("budget-ratio" if even else "budget-ratio-sides", tur=a.tur,
                 accuracy_ratio=a.accuracy_ratio)]
    if plan.decision_rule.kind != SIMPLE:
        lines.append(_room(a, point))
    return tuple(map(words, lines))


def _room(a: Assessed, point) -> Sentence:
    """What a guard band leaves at a point."""
    unit = exact_text.NARROW + a.unit
    known = {"guard": a.guard + unit, "counts": a.guard_counts}
    if not math.isfinite(point.sure.guard):
        return sentence("budget-no-room")
    if point.planned.supply.method == REFERENCE:
        return sentence("budget-difference", **known)
    if point.sure.accept is None:
        return sentence("budget-none-left", **known, apply=point.apply)
    even = point.planned.judged.sides.is_even
    return sentence("budget-limits" if even else "budget-limits-sides", **known,
                    apply=point.apply, low=point.accept_from, high=point.accept_to + unit)
