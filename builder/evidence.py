"""The evidence beside a sheet: budgets, adequacy of the standards, risks, each as an assessor retraces it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Sequence

from builder import wording
from builder.figures import expanded, figures, percent, ratio
from builder.compute.decision import MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE
from builder.model.plan import Plan
from builder.model.standard import Standard
from builder.conditions import Conditions
from builder.planning import Planned
from builder.supplies import REFERENCE, accepted_because
from builder.problems import ERROR, Problem
from builder.source import Document
from builder.uncertainty import Sure
from builder.units import Unit


@dataclass(frozen=True, slots=True)
class BudgetLine:
    name: str
    value: str
    distribution: str
    divisor: str
    sensitivity: str
    degrees: str
    contribution: str
    share: str


@dataclass(frozen=True, slots=True)
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
    false_reject: str
    mark: str
    budget: tuple[BudgetLine, ...]
    picture: tuple[float, float, bool]  # U and w in shares of the tolerance; whether readings can be accepted


@dataclass(frozen=True, slots=True)
class FunctionEvidence:
    function: str
    points: tuple[Assessed, ...]
    worked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Evidence:
    summary: tuple[str, ...]
    functions: tuple[FunctionEvidence, ...]
    coverage: str       # "95.45 %"
    factors: tuple[str, str]  # k for a normal shape and for a lone rectangle at that coverage
    share: str          # of meters in tolerance, or ""
    sentences: tuple[str, ...]


# ---------------------------------------------------------------- is the standard good enough

def adequacy(document: Document, plan: Plan, holds: Conditions, standards: Sequence[Standard],
             assessed: Sequence[tuple[Planned, Sure | None]]) -> list[Problem]:
    """What the plan must mend or accept about its standards."""
    problems = []

    def say(path: tuple, code: str, sentence: str, hint: str, severity: str = ERROR) -> None:
        problems.append(document.problem(path, code, sentence, hint, severity=severity))

    for i, standard in enumerate(standards):
        path = ("standards", i)
        if plan.as_of and plan.as_of > standard.due and not accepted_because(plan, "overdue", None, None, standard.standard):
            say(path, "overdue", f"{standard.name} was due on {standard.due}, this plan is for {plan.as_of}",
                "have it calibrated, or accept it: 'accepted: [{what: overdue, because: …}]'", plan.overdue)
        if standard.holds and not (standard.holds.celsius[0] <= holds.ambient.celsius[0] and holds.ambient.celsius[1] <= standard.holds.celsius[1]):
            say(path, "standard-ambient", f"{standard.name}'s uncertainties hold at {standard.holds}, the sheet is for {holds.ambient}",
                f"'ambient: …' within {standard.holds}, or wider uncertainties in the standard's file")
        age = standard.age(plan.as_of)
        if age is not None and age < 0:
            say(path, "interval", f"{standard.name} was calibrated on {standard.calibrated}, this plan is for {plan.as_of}", "check 'as_of' and 'calibrated'")
        used = [row for p, _ in assessed if p.standard is standard for row in p.rows]
        if age is not None and any(row.uncertainty(age) is None for row in used):
            say(path, "interval", f"{standard.name} was calibrated {age} days before {plan.as_of}; its uncertainties end before that",
                "have it calibrated, or add the uncertainty for that time to 'within_since'")
    low = [(p, sure) for p, sure in assessed if is_low(plan, sure)]
    open_points = [f"{p.id} ({ratio(sure.tur)}:1)" for p, sure in low if not why_accepted(plan, p)]
    if open_points:
        say(("minimum_tur",), "below-minimum-tur",
            f"{len(open_points)} point{'s have' if len(open_points) > 1 else ' has'} a test uncertainty ratio under {wording.number(plan.minimum_tur)}:1: " + ", ".join(open_points),
            "a better standard, or 'accepted: [{what: below minimum TUR, function: …, because: …}]'", plan.below_minimum_tur)
    return problems


def is_low(plan: Plan, sure: Sure | None) -> bool:
    return sure is not None and plan.minimum_tur is not None and sure.tur < float(plan.minimum_tur) * (1 - 1e-12)


def why_accepted(plan: Plan, point: Planned) -> str:
    return accepted_because(plan, "below minimum TUR", point.function.title, point.range.full_scale, point.standard.standard)


def mark_of(plan: Plan, point: Planned, sure: Sure | None) -> str:
    """What is marked at a point on the sheet, or ""."""
    if point.judged is None:
        return ""
    if point.supply.accepted:
        return f"beyond the reach of {point.standard.name}, accepted: {point.supply.accepted}"
    if not is_low(plan, sure):
        return ""
    reason = why_accepted(plan, point)
    return (f"test uncertainty ratio {ratio(sure.tur)}:1, under {wording.number(plan.minimum_tur)}:1"
            + (f", accepted: {reason}" if reason else ""))


def summary(plan: Plan, points: Sequence) -> tuple[str, ...]:
    """'57 of 62 points at 4:1 or better', and each of the others with its reason."""
    judged = [p for p in points if p.planned.judged]
    sure = [p for p in judged if p.sure]
    lines = []
    if plan.minimum_tur is not None:
        good = [p for p in sure if not is_low(plan, p.sure)]
        lines.append(f"{len(good)} of {len(judged)} points at a test uncertainty ratio of {wording.number(plan.minimum_tur)}:1 or better.")
    elif sure:
        lowest = min(sure, key=lambda p: p.sure.tur)
        lines.append(f"The plan states no minimum test uncertainty ratio; the lowest of {len(sure)} points is "
                     f"{ratio(lowest.sure.tur)}:1, at step {lowest.step}.")
    lines += [f"Step {p.step}, {p.apply}{' at ' + p.at if p.at else ''}: {p.mark}." for p in judged if p.mark]
    undecided = [p for p in judged if p.undecided]
    if undecided:
        lines.append("Can't be verified with this standard under this rule: steps " + ", ".join(p.step for p in undecided) + ".")
    return tuple(lines)


# ---------------------------------------------------------------- words

def rule_words(plan: Plan, points: Sequence) -> str:
    """The decision rule as the sheet states it."""
    rule, coverage = plan.decision_rule, wording.percent(plan.coverage * 100)
    turs = [p.sure.tur for p in points if p.sure]
    lowest = f"{ratio(min(turs))}:1" if turs else ""
    unknown = sum(1 for p in points if p.planned.judged and not p.sure)
    beside = f"; {unknown} point{'s have' if unknown > 1 else ' has'} no known uncertainty" if unknown else ""
    if rule.kind == SIMPLE:
        return ("Decision rule: simple acceptance. The limits are those of the tolerance, without a guard band"
                + (f"; this rests on a test uncertainty ratio of {lowest} or better" if lowest else "") + beside + ".")
    how = {MULTIPLE: "U" if rule.g == 1 else f"{wording.number(rule.g)} U", ROOT_SUM_SQUARE: "T − √(T² − U²)",
           MULTIPLIER: "M·U with M = 1.04 − e^(0.38·ln TUR − 0.54), none where M is not above 0"}[rule.kind]
    text = f"Decision rule: the limits lie inside the tolerance T by a guard band of {how} (U of the whole comparison at {coverage}, on the evidence page; ± shows T)."
    if plan.outcomes == "four":
        text += (" Four outcomes: pass between the large limits; conditional pass on to the tolerance limits, conditional fail "
                 "on to the outer limits, both in small figures; fail beyond.")
    return text


def _sentences(plan: Plan, points: Sequence) -> tuple[str, ...]:
    """What the risks say, each in one sentence for a technician."""
    decided = [p for p in points if p.sure and p.sure.accept is not None]
    if not decided:
        return ()
    worst = max(decided, key=lambda p: p.sure.specific)
    out = [f"Specific risk: if a meter reads exactly at an acceptance limit, it is really out of tolerance in at most "
           f"{percent(worst.sure.specific)} of such cases (step {worst.step})."]
    known = [p for p in decided if p.sure.false_accept is not None]
    if known:
        accept, reject = (max(known, key=lambda p: getattr(p.sure, name)) for name in ("false_accept", "false_reject"))
        share = wording.percent(plan.in_tolerance * 100)
        out += [f"False accept: if {share} of such meters come in tolerance, at most {percent(accept.sure.false_accept)} of all meters "
                f"are out of tolerance at a point and accepted there (step {accept.step}).",
                f"False reject: of the same meters, up to {percent(reject.sure.false_reject)} are in tolerance at a point and "
                f"rejected there (step {reject.step}).",
                "Both are for limits at T − w exactly; that the printed limits are rounded inward to the display makes false accepts "
                "rarer and false rejects more frequent, the more so the fewer counts T has.",
                "Both take the errors of such meters as normally distributed around zero; meters with a common bias do worse."]
    return tuple(out)


# ---------------------------------------------------------------- budgets

def evidence(plan: Plan, points: Sequence) -> Evidence:
    by_function: dict[str, list] = {}
    for point in points:
        if point.sure:
            by_function.setdefault(point.planned.function.title, []).append(point)
    functions = []
    for title, its in by_function.items():
        nonzero = [p for p in its if p.planned.applied != 0 and p.accept_from] or [p for p in its if p.planned.applied != 0] or its
        functions.append(FunctionEvidence(wording.capital(title), tuple(map(_assessed, its)), _worked(nonzero[len(nonzero) // 2], plan)))
    return Evidence(
        summary=summary(plan, points), functions=tuple(functions), coverage=wording.percent(plan.coverage * 100),
        factors=(f"{NormalDist().inv_cdf((1 + float(plan.coverage)) / 2):.2f}", f"{float(plan.coverage) * math.sqrt(3):.2f}"),
        share=wording.percent(plan.in_tolerance * 100) if plan.in_tolerance is not None else "",
        sentences=_sentences(plan, points))


def scale_of(unit: Unit) -> float:
    return 1.0 if unit.is_temperature else float(unit.scale)


def _assessed(point) -> Assessed:
    sure, p = point.sure, point.planned
    unit = p.function.names[p.range].unit
    scale = scale_of(unit)
    tolerance = float(p.judged.tolerance)
    degrees = sure.uncertainty.degrees

    def share(value: float | None) -> str:
        return percent(value) if value is not None else ""

    return Assessed(
        step=point.step, id=point.id, apply=point.apply + (f", {point.at}" if point.at else ""), range=point.range, unit=unit.shown,
        tolerance=wording.number(wording.in_unit(p.judged.tolerance, unit)),
        # Enough figures that a pocket calculator comes to the same U and ratio.
        u=figures(sure.uncertainty.u / scale, 5), k=f"{sure.uncertainty.k:.4f}",
        expanded=expanded(sure.uncertainty.expanded / scale), degrees="∞" if degrees == math.inf else f"{degrees:.0f}",
        tur=ratio(sure.tur), accuracy_ratio=ratio(sure.accuracy_ratio),
        guard=figures(sure.guard / scale, 3) if math.isfinite(sure.guard) else "more than T",
        guard_counts=figures(sure.guard / float(p.range.resolution), 2) if math.isfinite(sure.guard) else "",
        specific=share(sure.specific if sure.accept is not None else None),
        false_accept=share(sure.false_accept), false_reject=share(sure.false_reject), mark=point.mark,
        budget=tuple(_line(c, sure, scale) for c in sure.components),
        picture=(*(min(9.0, size / tolerance) if tolerance else 9.0 for size in (sure.uncertainty.expanded, sure.guard)), sure.accept is not None))


def _line(c, sure: Sure, scale: float) -> BudgetLine:
    variance = sure.uncertainty.u ** 2
    return BudgetLine(
        c.name, figures(c.value / scale, 6), c.distribution,
        {"rectangular": "√3", "triangular": "√6"}.get(c.distribution, f"{c.divisor:.9g}"),
        figures(c.sensitivity, 6).rstrip("0").rstrip("."), "∞" if c.degrees == math.inf else f"{c.degrees:.0f}",
        figures(c.contribution / scale, 6), f"{100 * c.contribution ** 2 / variance:.0f}{wording.NARROW}%")


def _worked(point, plan: Plan) -> tuple[str, ...]:
    """The formulae in one point's own numbers."""
    a, sure = _assessed(point), point.sure
    unit, n = a.unit, wording.NARROW
    squares = " + ".join(f"{line.contribution}²" for line in a.budget)
    lines = [
        f"Step {a.step}, {a.apply} on {a.range}: T = {a.tolerance}{n}{unit}",
        f"u = √({squares}){n}{unit} = {a.u}{n}{unit}; ν_eff = {a.degrees}",
        f"k = {a.k}, the half-width that holds {wording.percent(plan.coverage * 100)} of the components’ shapes together, divided by u"
        + (", times Student’s t for ν_eff over the normal factor" if sure.uncertainty.degrees != math.inf else ""),
        f"U = k·u = {a.k} × {a.u}{n}{unit} = {a.expanded}{n}{unit} (two figures, rounded up where a tenth of the last or more would be lost)",
        f"TUR = T/U = {a.tur}:1, from unrounded numbers; accuracy ratio = T/(the standard’s stated accuracy) = {a.accuracy_ratio}:1",
    ]
    if plan.decision_rule.kind != SIMPLE and not math.isfinite(sure.guard):
        lines.append("Guard band: U is more than T, so no reading is left to accept")
    elif plan.decision_rule.kind != SIMPLE and point.planned.supply.method == REFERENCE:
        lines.append(f"Guard band w = {a.guard}{n}{unit} ({a.guard_counts} counts); the difference may be ±(T − w), rounded inward")
    elif plan.decision_rule.kind != SIMPLE:
        lines.append(f"Guard band w = {a.guard}{n}{unit} ({a.guard_counts} counts); limits at ±(T − w) around {point.apply}, rounded inward to the display: "
                     + (f"{point.accept_from} to {point.accept_to}{n}{unit}" if sure.accept is not None else "no reading is left"))
    return tuple(lines)
