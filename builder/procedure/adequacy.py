"""Is the standard good enough for a point: as problems, as a mark on the sheet and as a summary."""

from __future__ import annotations

from collections.abc import Sequence

from builder.files.problems import ERROR, WARNING, Problem
from builder.files.yaml_text import Document
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.numbers.statistics_text import ratio
from builder.procedure.ambient import AmbientBand
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import Sentence, sentence, words

_NO_STANDARD = 0.5   # a ratio below this is a slip more often than a poor standard (choice)

# ---------------------------------------------------------------- what a plan must mend or accept

def adequacy(document: Document, plan: Plan, holds: AmbientBand, standards: Sequence[Standard],
             assessed: Sequence[tuple[PlannedPoint, PointUncertainty | None]]) -> list[Problem]:
    """What the plan must mend or accept about its standards."""
    problems = []

    def say(path: tuple, code: str, text: str, hint: str, severity: str = ERROR) -> None:
        problems.append(document.problem(path, code, text, hint, severity=severity))

    for i, standard in enumerate(standards):
        path = ("standards", i)
        if plan.as_of and plan.as_of > standard.due and not plan.accepts(
                "overdue", standard=standard.standard):
            say(path, "overdue",
                f"{standard.name} was due on {standard.due}, this plan is for {plan.as_of}",
                "have it calibrated, or accept it: 'accepted: [{what: overdue, because: …}]'",
                plan.overdue)
        if standard.holds and not (standard.holds.celsius[0] <= holds.ambient.celsius[0]
                                   and holds.ambient.celsius[1] <= standard.holds.celsius[1]):
            say(path, "standard-ambient",
                f"{standard.name}'s uncertainties hold at {standard.holds}, the sheet is for "
                f"{holds.ambient}",
                f"'ambient: …' within {standard.holds}, or wider uncertainties in the standard's "
                "file")
        age = standard.age(plan.as_of)
        if age is not None and age < 0:
            say(path, "interval",
                f"{standard.name} was calibrated on {standard.calibrated}, this plan is for "
                f"{plan.as_of}", "check 'as_of' and 'calibrated'")
        used = [row for p, _ in assessed if p.standard is standard for row in p.rows]
        if age is not None and any(row.uncertainty(age) is None for row in used):
            say(path, "interval",
                f"{standard.name} was calibrated {age} days before {plan.as_of}; its uncertainties "
                "end before that",
                "have it calibrated, or add the uncertainty for that time to 'within_since'")
    poor = [(p, sure) for p, sure in assessed
            if sure is not None and sure.tur < _NO_STANDARD and not why_accepted(plan, p)]
    for standard in {p.standard.standard: p.standard for p, _ in poor}.values():
        own = [f"{p.id} ({ratio(sure.tur)}:1)" for p, sure in poor if p.standard is standard]
        say(("standards",), "doubt",
            f"{standard.name} is far less certain than the meter: {', '.join(own)}",
            "is a prefix wrong in the standard's file, or in the meter's? If both are right, "
            "'accepted: [{what: below minimum TUR, function: …, because: …}]'", WARNING)
    low = [(p, sure) for p, sure in assessed if is_low(plan, sure)]
    told = poor if plan.below_minimum_tur == WARNING else []
    open_points = [f"{p.id} ({ratio(sure.tur)}:1)" for p, sure in low
                   if not why_accepted(plan, p) and (p, sure) not in told]
    if open_points:
        say(("minimum_tur",), "below-minimum-tur",
            f"{len(open_points)} point{'s have' if len(open_points) > 1 else ' has'} a test "
            f"uncertainty ratio under {exact_text.number(plan.minimum_tur)}:1: "
            + ", ".join(open_points),
            "a better standard, or 'accepted: [{what: below minimum TUR, function: …, because: "
            "…}]'", plan.below_minimum_tur)
    return problems


# ---------------------------------------------------------------- what the sheet says of it

def is_low(plan: Plan, sure: PointUncertainty | None) -> bool:
    """Whether a point's test uncertainty ratio is under the plan's minimum, by more than the
    rounding of a float."""
    return (sure is not None and plan.minimum_tur is not None
            and sure.tur < float(plan.minimum_tur) * (1 - 1e-12))


def why_accepted(plan: Plan, point: PlannedPoint) -> str:
    """The plan's reason for a point whose test uncertainty ratio is too low, or ""."""
    return plan.accepts("below minimum TUR", standard=point.standard.standard,
                        function=point.function.title, full_scale=point.range.full_scale)


def shortfall(plan: Plan, point: PlannedPoint, sure: PointUncertainty | None) -> Sentence | None:
    """What is marked at a point on the sheet, if anything."""
    if point.judged is None:
        return None
    if point.supply.accepted:
        return sentence("mark-reach", standard=point.standard.name,
                        because=point.supply.accepted)
    if not is_low(plan, sure):
        return None
    known = {"ratio": ratio(sure.tur), "minimum": exact_text.number(plan.minimum_tur)}
    reason = why_accepted(plan, point)
    return (sentence("mark-ratio-accepted", **known, because=reason) if reason
            else sentence("mark-ratio", **known))


def summary(plan: Plan, points: Sequence) -> tuple[str, ...]:
    """'57 of 62 points at 4:1 or better', and each of the others with its reason."""
    judged = [p for p in points if p.planned.judged]
    sure = [p for p in judged if p.sure]
    lines = []
    if plan.minimum_tur is not None:
        good = [p for p in sure if not is_low(plan, p.sure)]
        lines.append(sentence("ratio-good", good=len(good), all=len(judged),
                              minimum=exact_text.number(plan.minimum_tur)))
    elif sure:
        lowest = min(sure, key=lambda p: p.sure.tur)
        lines.append(sentence("ratio-lowest", count=len(sure), ratio=ratio(lowest.sure.tur),
                              step=lowest.step))
    lines += [sentence("marked-at" if p.at else "marked", step=p.step, apply=p.apply,
                       mark=p.shortfall, **({"at": p.at} if p.at else {}))
              for p in judged if p.shortfall]
    if undecided := tuple(p.step for p in judged if p.is_undecided):
        lines.append(sentence("all-undecided", steps=undecided))
    return tuple(map(words, lines))
