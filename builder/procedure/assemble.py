"""From a plan to its computed procedure: points, groups in the order of work, and the texts beside
them."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.order import BATTERY_AND_FUSES, BY_EYE, PROVING
from builder.compute.exact.tolerance import ONE
from builder.files.problems import WARNING, Problem, errors
from builder.files.yaml_text import Document
from builder.formats import decision_rule
from builder.formats.bench_checks import CHECKS
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.numbers.statistics_text import figures
from builder.procedure import adequacy, evidence, sentences
from builder.procedure.ambient import AmbientBand, conditions, goes_beyond
from builder.procedure.completeness_table import table_of
from builder.procedure.data_of_sheet import sheet_data
from builder.procedure.groups import Grouping
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.planner import Planner
from builder.procedure.point_uncertainty import assess
from builder.procedure.sheet import Equipment, Procedure, SheetPoint, Worked, with_revision
from builder.procedure.supplies import REFERENCE, SOURCE


def compute(document: Document, plan: Plan, meter: Meter, standards: list[Standard],
            functions: dict[str, MeterFunction]) -> tuple[Procedure | None, list[Problem]]:
    """The procedure of a plan whose own rules hold, or its problems."""
    holds = conditions(plan, meter)
    planner = Planner(document, plan, functions, standards, holds).run()
    sure = {p.id: assess(p, plan) for p in planner.planned}
    groups = Grouping(plan, planner, sure, {f.title for f in meter.functions if not f.ranges}).run()
    table, forgotten = table_of(document, plan, meter, functions, planner, groups)
    problems = planner.problems + forgotten + _missing_checks(document, plan, planner.planned)
    problems += adequacy.adequacy(document, plan, holds, standards,
                                  [(p, sure[p.id]) for p in planner.planned])
    if errors(problems):
        return None, problems
    points = [point for group in groups if group.stage != PROVING for point in group.points]
    judged = [p for p in planner.planned if p.judged]
    volts = max((p.volts for p in planner.planned), default=Fraction(0))
    procedure = Procedure(
        id=plan.plan, title=plan.title, plan=plan, meter=meter, standards=tuple(standards),
        decision_rule=decision_rule.rule_name(plan.decision_rule),
        rule_words=evidence.rule_words(plan, points),
        four_outcomes=plan.outcomes == "four",
        ambient=sentences.shown_span(holds.ambient),
        growth=_growth(holds, plan, meter), humidity=str(meter.specification.humidity or ""),
        groups=tuple(groups),
        equipment=tuple(_equipment(s, plan, planner.planned) for s in standards),
        completeness=tuple(table), notes=tuple(_notes(judged, plan)),
        worked=tuple(_worked(points, holds)),
        highest_volts=exact_text.number(volts) + exact_text.NARROW + "V" if volts else "",
        evidence=evidence.evidence(plan, points),
    )
    return with_revision(procedure, sheet_data(procedure)), problems


def _missing_checks(document: Document, plan: Plan, planned: list[PlannedPoint]) -> list[Problem]:
    """What must be seen before anything is applied, and the plan has no check for."""
    stages = {check.check: check.when or CHECKS[check.check].when for check in plan.checks}
    wanted = []
    if any(p.function.jacks(p.range) and p.function.kind.dimension == "[current]" for p in planned):
        wanted.append(("fuses", "currents", BATTERY_AND_FUSES))
    if any(p.is_hazardous for p in planned):
        wanted += [("ratings", "hazardous voltages", BY_EYE),
                   ("leads", "hazardous voltages", BY_EYE)]
    return [document.problem(("checks",), "no-check",
                             f"the plan tries {what}, and has no check of the {name} before",
                             f"add '{name}' to 'checks'", severity=WARNING, of_key=True)
            for name, what, stage in wanted
            if name not in stages and not any(own not in CHECKS and name.rstrip("s") in own
                                              and at == stage for own, at in stages.items())]


# ---------------------------------------------------------------- texts beside the points

def _growth(holds: AmbientBand, plan: Plan, meter: Meter) -> str:
    if holds.growth == ONE:
        if goes_beyond(plan, meter):
            return (
                f"The band goes beyond {sentences.shown_span(meter.specification.holds)}; the "
                "limits are those "
                "inside it, the tightest that hold anywhere in the band.")
        return ""
    return (
        f"At {sentences.shown_span(holds.ambient)} the accuracy is "
        f"{exact_text.number(holds.growth)} times that of "
        f"{sentences.shown_span(meter.specification.holds)} (the meter's own coefficient, "
        f"for {exact_text.number(holds.degrees)} degrees beyond).")


def _equipment(standard: Standard, plan: Plan, planned: list[PlannedPoint]) -> Equipment:
    """What it is used for on this sheet, with its reach and terminals."""
    used = {p.supply.output.what for p in planned if p.supply.standard is standard}
    outputs = []
    for offer in standard.offers:
        if offer.what not in used:
            continue
        name = exact_text.capital(offer.what) + (
            f", {offer.wave} wave" if getattr(offer, "wave", "sine") != "sine" else "")
        if standard.kind == "artifact":
            values = sorted({p.applied for p in planned
                             if p.supply.output is offer and p.zero is None})
            reach = ", ".join(
                exact_text.quantity(next(v.nominal for v in offer.values if v.nominal.value == one))
                for one in values)
        else:
            reach = "up to " + exact_text.quantity(
                max((r.values.high for r in offer.rows), key=lambda q: q.value))
            bands = [r.frequency.band for r in offer.rows if r.frequency]
            if bands:
                reach += ", " + exact_text.frequencies(
                    (min(b[0] for b in bands), max(b[1] for b in bands)))
        outputs.append((name, reach, ", ".join(offer.terminals)))
    if standard.coil is not None and any(p.supply.coil is standard for p in planned):
        outputs.append((f"{standard.coil.turns} turns",
                        "up to " + exact_text.quantity(standard.coil.highest) + " in its wire",
                        ", ".join(standard.coil.terminals)))
    overdue = plan.as_of is not None and plan.as_of > standard.due
    return Equipment(slug=standard.standard, name=standard.name, description=standard.description,
                     certificate=standard.certificate,
                     due=standard.due.isoformat(), outputs=tuple(outputs),
                     overdue=f"overdue on {plan.as_of}; "
                     + (plan.accepts("overdue", standard=standard.standard) or "not accepted")
                     if overdue else "")


def _notes(judged: list[PlannedPoint], plan: Plan) -> list[str]:
    """How the limits were computed, as far as this sheet needs it said."""
    notes = list(sentences.HOW_COMPUTED)
    if any(p.judged.accepted.clamped for p in judged):
        notes.append(sentences.CLAMPED)
    methods = {p.supply.method for p in judged}
    notes += [text for method, text in sentences.METHODS.items() if method in methods]
    if any(p.correction for p in judged):
        notes.append(sentences.CORRECTED)
    if any(p.leads and not p.correction for p in judged):
        notes.append(sentences.LEADS_FORGOTTEN)
    if any(p.leads for p in judged):
        notes.append(sentences.leads_text(plan.leads))
    if any(p.supply.method == SOURCE and p.supply.expected is not None for p in judged):
        notes.append(sentences.LOADED)
    if any(p.judged.row.accuracy.percent_of_range for p in judged):
        bases = {}
        for p in judged:
            if p.judged.row.accuracy.percent_of_range:
                name = p.function.names[p.range]
                stated = p.function.model_of[p.range].base is not None
                bases[f"{p.function.title}, {exact_text.quantity(name)} range"] = (
                    exact_text.amount(p.range.base, name.unit)
                    + ("" if stated
                       else ", the range's name, since the meter's file says nothing else"))
        notes += [f"Percent of range on {name}: of {base}." for name, base in bases.items()]
    return notes


def _worked(points: list[SheetPoint], holds: AmbientBand) -> list[Worked]:
    """One worked line a function: the point in the middle of the positive ones."""
    by_function: dict[str, list[SheetPoint]] = {}
    for point in points:
        if (point.planned.judged and point.planned.applied != 0
            and point.planned.supply.method != REFERENCE):
            by_function.setdefault(point.planned.function.title, []).append(point)
    examples = []
    for title, its in by_function.items():
        its = [p for p in its if p.planned.applied > 0] or its
        point = its[len(its) // 2]
        p, guarded = point.planned, ""
        if point.undecided:
            guarded = f"After the guard band: {point.undecided}"
        elif point.sure and point.sure.guard:
            width = point.sure.guard / (1 if p.function.unit.is_temperature
                                        else float(p.function.names[p.range].unit.scale))
            guarded = (
                "Accepted, after a guard band of "
                f"{figures(width, 3)}{exact_text.NARROW}{point.unit} on both sides: "
                f"{point.accept_from} to {point.accept_to}{exact_text.NARROW}{point.unit}")
        examples.append(Worked(
            exact_text.capital(title),
            sentences.worked(p.function, p.judged, p.hertz, holds.growth, guarded)))
    return examples
