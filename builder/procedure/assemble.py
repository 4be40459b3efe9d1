"""From a plan to its computed procedure: points, groups in the order of work, and the texts beside
them."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.order import PROVING
from builder.files.problems import Problem, errors
from builder.files.yaml_text import Document
from builder.formats import decision_rule
from builder.formats.bench import AMBIENT, HUMIDITY
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.procedure import adequacy, equipment, evidence, sheet_notes
from builder.procedure.ambient import conditions, growth_said, humidity, shown_span
from builder.procedure.completeness_table import table_of
from builder.procedure.data_of_sheet import sheet_data
from builder.procedure.duration import takes
from builder.procedure.groups import Grouping
from builder.procedure.holds import lacking_checks
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planner import Planner
from builder.procedure.point_uncertainty import assess
from builder.procedure.revision import with_revision
from builder.procedure.sheet import Procedure


def compute(document: Document, plan: Plan, meter: Meter, standards: list[Standard],
            functions: dict[str, MeterFunction]) -> tuple[Procedure | None, list[Problem]]:
    """The procedure of a plan whose own rules hold, or its problems."""
    holds = conditions(plan, meter)
    if plan.verified_against is not None:
        meter = meter.since(plan.verified_against)
        functions = {given.title: MeterFunction(meter, given) for given in meter.functions}
    functions = {title: view.under(holds.beside(view.holds)) for title, view in functions.items()}
    planner = Planner(document, plan, functions, standards, holds).run()
    if planner.too_many:
        return None, planner.problems
    sure = {p.id: assess(p, plan) for p in planner.planned}
    groups = Grouping(plan, planner, sure, meter).run()
    table, forgotten = table_of(document, plan, meter, functions, planner, groups)
    problems = planner.problems + forgotten + lacking_checks(document, plan, meter,
                                                               planner.planned)
    problems += adequacy.adequacy(document, plan, holds, standards,
                                  [(p, sure[p.id]) for p in planner.planned])
    if errors(problems):
        return None, problems
    points = [point for group in groups if group.stage != PROVING for point in group.points]
    judged = [p for p in planner.planned if p.judged]
    volts = max((p.volts for p in planner.planned), default=Fraction(0))
    bands = {AMBIENT: shown_span(holds.ambient),
             HUMIDITY: str(humidity(plan, meter) or "")}
    procedure = Procedure(
        id=plan.plan, title=plan.title, plan=plan, meter=meter, standards=tuple(standards),
        decision_rule=decision_rule.rule_name(plan.decision_rule),
        rule=evidence.rule_said(plan, points),
        four_outcomes=plan.outcomes == "four",
        ambient=bands[AMBIENT],
        warmed=growth_said(holds, plan, meter), humidity=bands[HUMIDITY],
        groups=tuple(groups),
        equipment=tuple(equipment.of_standard(s, plan, planner.planned, bands)
                        for s in standards),
        instead=equipment.stand_ins(standards, plan),
        things=equipment.small_things(plan, standards, bands, planner.planned),
        completeness=tuple(table), basis=tuple(sheet_notes.notes(judged, plan)),
        worked=tuple(sheet_notes.worked_examples(points)),
        time=takes(groups),
        highest_volts=exact_text.number(volts) + exact_text.NARROW + "V" if volts else "",
        evidence=evidence.evidence(plan, points),
    )
    return with_revision(procedure, sheet_data(procedure)), problems


