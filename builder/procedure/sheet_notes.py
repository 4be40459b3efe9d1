"""How a sheet's limits came about: what holds for all of its points, and one point of each function
worked out."""

from __future__ import annotations

from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.numbers.statistics_text import figures
from builder.procedure.how_computed import worked
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import Sentence, sentence, words
from builder.procedure.sheet import SheetPoint, Worked
from builder.procedure.supplies import ARTIFACT, COIL, OHMS, REFERENCE, THERMOCOUPLE

_OF_METHODS = {ARTIFACT: "how-artifact", REFERENCE: "how-reference",
               THERMOCOUPLE: "how-thermocouple", COIL: "how-coil", OHMS: "how-ohms"}


def notes(judged: list[PlannedPoint], plan: Plan) -> list[Sentence]:
    """How the limits were computed, as far as this sheet needs it said."""
    codes = ["how-tolerance", "how-rounded", "how-tighter", "how-range"]
    if any(p.judged.accepted.clamped for p in judged):
        codes.append("how-clamped")
    methods = {p.supply.method for p in judged}
    codes += [code for method, code in _OF_METHODS.items() if method in methods]
    if any(p.correction for p in judged):
        codes.append("how-corrected")
    if any(p.leads and not p.correction for p in judged):
        codes.append("how-leads-left")
    basis = list(map(sentence, (*codes, "how-time")))
    if known := next((p.supply.known for p in judged if p.supply.known), None):
        basis.append(sentence("how-leads-known", standard=known.standard.name,
                              value=known.shown))
    if any(p.leads or p.supply.beside or p.supply.known for p in judged):
        basis.append(_leads(plan.leads))
    if any(p.leads and p.function.kind.dimension == "[inductance]" for p in judged):
        basis.append(sentence("how-loop", loop=exact_text.quantity(plan.leads.inductance)))
    if any(p.supply.loading for p in judged):
        basis.append(sentence("how-loaded"))
    if plan.verified_against:
        basis.append(sentence("how-since", time=plan.verified_against.text))
    basis += _corrections(judged)
    own = {p.function.title: p.function for p in judged if p.function.given.holds}
    basis += [sentence("how-holds", function=title, reference=exact_text.band(
        view.holds.band, view.holds.high.unit)) for title, view in own.items()]
    return basis + list(dict.fromkeys(
        _base(p) for p in judged if p.judged.row.accuracy.percent_of_range))


def _corrections(judged: list[PlannedPoint]) -> list[Sentence]:
    """Of which certificates values are used, and how."""
    used: dict[tuple[str, str], dict[str, None]] = {}
    for p in judged:
        for standard, there in ((p.standard, p.supply.corrected),
                                (p.supply.coil, p.supply.coil_corrected)):
            if standard is not None and there is not None:
                use = there.corrections.use
                if use == "applied" and p.supply.method == REFERENCE:
                    use = REFERENCE
                named = used.setdefault((standard.name, use), {})
                named.update(dict.fromkeys(exact_text.quantity(one.at) for one in there.points))
    codes = {"applied": "how-corrections-applied", "stated": "how-corrections-stated",
             REFERENCE: "how-corrections-reference"}
    return [sentence(codes[use], standard=name, values=tuple(values))
            for (name, use), values in used.items()]


def _leads(leads) -> Sentence:
    """What the limit for the leads alone rests on, beside the meter's own offset."""
    stray = {"stray": exact_text.quantity(leads.stray)} if leads.stray else {}
    return sentence("how-leads-stray" if stray else "how-leads", **stray,
                    length=exact_text.quantity(leads.length),
                    conductor=exact_text.number(leads.conductor) + exact_text.NARROW + "mm²",
                    contacts=exact_text.quantity(leads.contacts))


def _base(p: PlannedPoint) -> Sentence:
    """What percent of range is taken of."""
    name = p.function.names[p.range]
    stated = p.function.model_of[p.range].base is not None
    return sentence("how-range-base" if stated else "how-range-name", function=p.function.title,
                    range=exact_text.quantity(name),
                    base=exact_text.amount(p.range.base, name.unit))


def worked_examples(points: list[SheetPoint]) -> list[Worked]:
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
        examples.append(Worked(
            exact_text.capital(title),
            worked(point.planned.function, point.planned.judged, point.planned.hertz,
                   _guarded(point))))
    return examples


def _guarded(point: SheetPoint) -> str:
    """What a guard band leaves of a point's limits; "" without one."""
    if point.undecided:
        return words(sentence("worked-undecided", undecided=point.undecided))
    if not point.sure or not point.sure.guard:
        return ""
    p = point.planned
    width = point.sure.guard / (1 if p.function.unit.is_temperature
                                else float(p.function.names[p.range].unit.scale))
    unit = exact_text.NARROW + point.unit
    return words(sentence("worked-guarded", width=figures(width, 3) + unit,
                          low=point.accept_from, high=point.accept_to + unit))
