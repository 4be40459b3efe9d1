"""From a plan to its computed procedure: points, groups in the order of work, and the texts beside them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder import evidence, instructions, wording
from builder.completeness import table_of
from builder.compute.decision import SIMPLE
from builder.compute.order import STAGES, fewest_changes, stage_of
from builder.compute.tolerance import ONE
from builder.conditions import Conditions, conditions, goes_beyond
from builder.data import procedure_data
from builder.figures import figures
from builder.model.checks import CHECKS
from builder.model.meter import Meter
from builder.model.plan import Plan
from builder.model.standard import Standard
from builder.planning import FunctionView, Planned, Planner, accepted_because
from builder.problems import Problem, errors
from builder.procedure import CheckStep, Equipment, Group, Point, Procedure, Worked, with_revision
from builder.source import Document
from builder.uncertainty import Sure, assess


def compute(document: Document, plan: Plan, meter: Meter, standards: list[Standard],
            functions: dict[str, FunctionView]) -> tuple[Procedure | None, list[Problem]]:
    """The procedure of a plan whose own rules hold, or its problems."""
    holds = conditions(plan, meter)
    planner = Planner(document, plan, functions, standards, holds.growth).run()
    sure = {p.id: assess(p, plan) for p in planner.planned}
    groups = _groups(plan, planner.planned, sure, {f.title for f in meter.functions if not f.ranges})
    table, forgotten = table_of(document, plan, meter, functions, planner, groups)
    problems = planner.problems + forgotten
    problems += evidence.adequacy(document, plan, holds, standards, [(p, sure[p.id]) for p in planner.planned])
    if errors(problems):
        return None, problems
    points = [point for group in groups if group.stage != "proving" for point in group.points]
    judged = [p for p in planner.planned if p.judged]
    volts = max((p.volts for p in planner.planned), default=Fraction(0))
    procedure = Procedure(
        id=plan.plan, title=plan.title, plan=plan, meter=meter, standards=tuple(standards),
        decision_rule=wording.rule(plan.decision_rule), rule_words=evidence.rule_words(plan, points),
        four_outcomes=plan.outcomes == "four",
        ambient=instructions.shown_span(holds.ambient),
        growth=_growth(holds, plan, meter), humidity=str(meter.specification.humidity or ""),
        groups=tuple(groups),
        equipment=tuple(_equipment(s, plan, planner.planned) for s in standards),
        completeness=tuple(table), notes=tuple(_notes(judged)),
        worked=tuple(_worked(points, holds)),
        highest_volts=wording.number(volts) + wording.NARROW + "V" if volts else "",
        evidence=evidence.evidence(plan, points),
    )
    return with_revision(procedure, procedure_data(procedure)), problems


# ---------------------------------------------------------------- groups in the order of work

def _groups(plan: Plan, planned: list[Planned], sure: dict[str, Sure | None], titles: set[str]) -> list[Group]:
    """`titles` are the functions without an accuracy table, which checks test."""
    setups: dict[tuple, list[Planned]] = {}
    for point in planned:
        stage = stage_of(stage=point.function.kind.stage, hazardous=point.is_hazardous, full_scale=point.range.full_scale)
        setup = ((point.function.jacks(point.range)), (point.standard.standard, *point.output.terminals),
                 (point.function.title, point.function.dial(point.range)))
        setups.setdefault((stage, setup), []).append(point)
    by_stage = [[setup for stage, setup in setups if stage == one] for one in STAGES]
    ordered = fewest_changes(by_stage)
    groups: list[Group] = []
    for stage, in_stage, order in zip(STAGES, by_stage, ordered):
        checks = [c for c in plan.checks if (c.when or CHECKS[c.check].when) == stage]
        if checks:
            groups.append(_check_group(len(groups) + 1, stage, checks, titles))
        for i in order:
            after_forced = any(p.forced for g in groups for p in g.points)
            groups.append(_point_group(len(groups) + 1, stage, setups[(stage, in_stage[i])], plan, sure, after_forced))
        if stage == "amps" and (used := {g.jacks for g in groups if g.stage in ("milliamps", "amps")}):
            groups += _proving_group(len(groups) + 1, planned, used, plan, sure)
    last = max((i for i, g in enumerate(groups) if g.points), default=None)
    if last is not None:  # nothing stays connected behind the last point
        groups[last] = replace(groups[last], closing=(*groups[last].closing, *instructions.LEADS_OFF))
    return groups


def _check_group(number: int, stage: str, checks, titles: set[str]) -> Group:
    steps = []
    for n, check in enumerate(checks, 1):
        known = CHECKS.get(check.check)
        covers = check.covers or (known.covers if known and known.covers in titles else "")
        steps.append(CheckStep(f"{number}.{n}", wording.capital(check.check), check.do or known.do,
                               check.good or known.good, covers, check.write or (known.write if known else ""),
                               check.unit or (known.unit if known and not check.write else ""),
                               check.mistake or (known.mistake if known else "")))
    at_hand = tuple(dict.fromkeys(thing for c in checks if c.check in CHECKS for thing in CHECKS[c.check].at_hand))
    return Group(number, instructions.CHECK_TITLES[stage], stage, False, (), instructions.check_warnings(stage),
                 instructions.check_opening(stage, at_hand),
                 (), tuple(steps), instructions.check_closing(stage), "")


def _near_zero_unit(planned: list[Planned]) -> str:
    """What the meter shows when a live group is back at zero: volts, on the lowest range or the one selected last."""
    last = planned[-1]
    if last.level is not None:
        return "V"
    return last.function.names[last.range].unit.shown if last.forced else last.function.unit.shown


def _point_group(number: int, stage: str, planned: list[Planned], plan: Plan, sure: dict[str, Sure | None], after_forced: bool) -> Group:
    planned = sorted(planned, key=lambda p: (
        p.forced, bool(p.observe) and p.applied != 0, not p.observe, p.range.full_scale, p.hertz or 0, abs(p.applied), p.applied < 0))
    first = planned[0]
    live = any(p.is_hazardous for p in planned)
    points = tuple(_point(f"{number}.{n}", p, plan, sure[p.id]) for n, p in enumerate(planned, 1))
    largest = max(planned, key=lambda p: abs(p.applied))
    top = wording.amount(abs(largest.applied), largest.function.names[largest.range].unit)
    return Group(
        number, instructions.point_title(stage, first, top), stage, live, first.function.jacks(first.range),
        instructions.warnings(stage, planned), instructions.opening(stage, planned, live, after_forced), points, (),
        instructions.closing(first), _near_zero_unit(planned) if live else "",
        tuple(f"Step {p.step}: {p.mark}." for p in points if p.mark))


def _proving_group(number: int, planned: list[Planned], current_jacks: set[tuple], plan: Plan, sure: dict[str, Sure | None]) -> list[Group]:
    """After currents: a low voltage proves that the lead is back in the voltage jack and the meter reads."""
    low = [p for p in planned if p.judged and p.function.kind.name == "DC voltage" and not p.is_hazardous and p.applied > 0
           and not _point("", p, plan, sure[p.id]).undecided]
    if not low:
        return [Group(number, instructions.PROVING_TITLE, "proving", False, (), (), instructions.PROVING_ALONE, (), (), (), "")]
    proof = max(low, key=lambda p: (p.range.full_scale <= 10, p.applied))
    jacks = proof.function.jacks(proof.range)
    if current_jacks == {jacks}:
        return []  # one pair of jacks for all: no lead was moved
    point = replace(_point(f"{number}.1", proof, plan, sure[proof.id]), id=proof.id + "-after-currents")
    return [Group(number, instructions.PROVING_TITLE, "proving", False, jacks, (),
                  instructions.proving(proof), (point,), (),
                  instructions.closing(proof), "")]


def _point(step: str, p: Planned, plan: Plan, sure: Sure | None) -> Point:
    unit = p.function.names[p.range].unit
    places = wording.decimals(p.range.resolution, unit)
    at = [wording.frequency(p.hertz)] if p.hertz is not None else []
    if p.level is not None:
        at.append(wording.quantity(p.level))
    j = p.judged
    # Without an uncertainty there is nothing to make a guard band from.
    simple = plan.decision_rule.kind == SIMPLE
    accept = sure.accept if sure else j.accepted if j and simple else None

    def reading(counts: int) -> str:
        return wording.number(wording.in_unit(counts * p.range.resolution, unit), places)

    return Point(
        id=p.id, step=step, planned=p, apply=wording.amount(p.applied, unit, places), at=", ".join(at),
        range=wording.quantity(p.function.names[p.range]), forced=p.forced,
        accept_from=reading(accept.low) if accept else "", accept_to=reading(accept.high) if accept else "",
        unit=unit.shown, tolerance=wording.tolerance(j.tolerance, unit, places) if j else "",
        hazardous=p.is_hazardous, observe=p.observe or "", sure=sure, mark=evidence.mark_of(plan, p, sure),
        small_from=f"{reading(j.accepted.low)}, {reading(sure.conditional.low)}" if sure and sure.conditional else "",
        small_to=f"{reading(j.accepted.high)}, {reading(sure.conditional.high)}" if sure and sure.conditional else "",
        undecided=instructions.UNDECIDED if j and accept is None else "")


# ---------------------------------------------------------------- texts beside the points

def _growth(holds: Conditions, plan: Plan, meter: Meter) -> str:
    if holds.growth == ONE:
        if goes_beyond(plan, meter):
            return (f"The band goes beyond {instructions.shown_span(meter.specification.holds)}; the limits are those "
                    "inside it, the tightest that hold anywhere in the band.")
        return ""
    return (f"At {instructions.shown_span(holds.ambient)} the accuracy is {wording.number(holds.growth)} times that of "
            f"{instructions.shown_span(meter.specification.holds)} (the meter's own coefficient, "
            f"for {wording.number(holds.degrees)} degrees beyond).")


def _equipment(standard: Standard, plan: Plan, planned: list[Planned]) -> Equipment:
    used = {p.function.kind.name for p in planned if p.standard is standard}
    outputs = []
    for output in standard.outputs:
        if output.output in used:
            high = max((r.values.high for r in output.rows), key=lambda q: q.value)
            reach = "up to " + wording.quantity(high)
            bands = [r.frequency.band for r in output.rows if r.frequency]
            if bands:
                reach += ", " + wording.frequencies((min(b[0] for b in bands), max(b[1] for b in bands)))
            outputs.append((wording.capital(output.output), reach, ", ".join(output.terminals)))
    overdue = plan.as_of is not None and plan.as_of > standard.due
    return Equipment(standard.name, standard.description, standard.certificate, standard.due.isoformat(), tuple(outputs),
                     f"overdue on {plan.as_of}; " + (accepted_because(plan, "overdue", None, None, standard.standard) or "not accepted") if overdue else "")


def _notes(judged: list[Planned]) -> list[str]:
    """How the limits were computed, as far as this sheet needs it said."""
    notes = list(instructions.HOW_COMPUTED)
    if any(p.judged.accepted.clamped for p in judged):
        notes.append(instructions.CLAMPED)
    if any(p.judged.row.accuracy.percent_of_range for p in judged):
        bases = {}
        for p in judged:
            if p.judged.row.accuracy.percent_of_range:
                unit = p.function.names[p.range].unit
                stated = p.function.model_of[p.range].base is not None
                bases[f"{p.function.title}, {wording.quantity(p.function.names[p.range])} range"] = (
                    wording.amount(p.range.base, unit) + ("" if stated else ", the range's name, since the meter's file says nothing else"))
        notes += [f"Percent of range on {name}: of {base}." for name, base in bases.items()]
    return notes


def _worked(points: list[Point], holds: Conditions) -> list[Worked]:
    """One worked line a function: the point in the middle of the positive ones."""
    by_function: dict[str, list[Point]] = {}
    for point in points:
        if point.planned.judged and point.planned.applied != 0:
            by_function.setdefault(point.planned.function.title, []).append(point)
    found = []
    for title, its in by_function.items():
        its = [p for p in its if p.planned.applied > 0] or its
        point = its[len(its) // 2]
        p, guarded = point.planned, ""
        if point.undecided:
            guarded = f"After the guard band: {point.undecided}"
        elif point.sure and point.sure.guard:
            width = point.sure.guard / (1 if p.function.unit.is_temperature else float(p.function.names[p.range].unit.scale))
            guarded = (f"Accepted, after a guard band of {figures(width, 3)}{wording.NARROW}{point.unit} on both sides: "
                       f"{point.accept_from} to {point.accept_to}{wording.NARROW}{point.unit}")
        found.append(Worked(wording.capital(title), instructions.worked(p.function, p.judged, p.hertz, holds.growth, guarded)))
    return found
