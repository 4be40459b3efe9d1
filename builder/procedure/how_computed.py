"""How a sheet's limits came about: an accuracy in the trade's notation, what holds for all of its
points, and one point of each function worked out in its own numbers."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ONE, Accuracy
from builder.formats.plan import Plan
from builder.numbers import exact_text
from builder.numbers.statistics_text import figures
from builder.numbers.units import Unit
from builder.procedure.ambient import AmbientBand
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sentences import Fact, Sentence, sentence, words
from builder.procedure.sheet import SheetPoint, Worked
from builder.procedure.supplies import ARTIFACT, COIL, REFERENCE, SOURCE, THERMOCOUPLE

# ---------------------------------------------------------------- an accuracy

def _terms(accuracy: Accuracy, unit: Unit) -> tuple[Fact, ...]:
    terms: list[Fact] = []
    if accuracy.percent_of_reading:
        percent = exact_text.percent(accuracy.percent_of_reading)
        terms.append(sentence("of-reading", percent=percent) if accuracy.percent_of_range
                     else percent)
    if accuracy.percent_of_range:
        terms.append(sentence("of-range", percent=exact_text.percent(accuracy.percent_of_range)))
    if accuracy.fixed:
        terms.append(exact_text.amount(accuracy.fixed, unit))
    if accuracy.counts:
        terms.append(sentence("count" if accuracy.counts == 1 else "counts",
                              number=exact_text.number(accuracy.counts)))
    return tuple(terms)


def accuracy_text(accuracy: Accuracy, unit: Unit) -> str:
    """An accuracy in the trade's notation, whatever notation its file used."""
    return words(sentence("accuracy", terms=_terms(accuracy, unit)))


def row_said(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> Sentence:
    """A row of a meter's accuracy table: for which frequencies and values, and what it states."""
    unit = view.names[on].unit
    where = [exact_text.frequencies(row.frequency)] if row.frequency else []
    if row.values:
        where.append(exact_text.band(row.values, unit))
    terms = _terms(row.accuracy, unit)
    return (sentence("row-where", where=tuple(where), terms=terms) if where
            else sentence("row", terms=terms))


def row_text(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> str:
    """The same as text."""
    return words(row_said(view, on, row))


# ---------------------------------------------------------------- for all points

_OF_METHODS = {ARTIFACT: "how-artifact", REFERENCE: "how-reference",
               THERMOCOUPLE: "how-thermocouple", COIL: "how-coil"}


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
    basis = list(map(sentence, codes))
    if any(p.leads for p in judged):
        basis.append(_leads(plan.leads))
    if any(p.supply.method == SOURCE and p.supply.expected is not None for p in judged):
        basis.append(sentence("how-loaded"))
    return basis + list(dict.fromkeys(
        _base(p) for p in judged if p.judged.row.accuracy.percent_of_range))


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


# ---------------------------------------------------------------- one point

def worked(view: MeterFunction, judged: JudgedPoint, hertz: Fraction | None, growth: Fraction,
           guarded: str = "") -> tuple[str, ...]:
    """How one point's limits came about, in its own numbers: terms, tolerance, exact and printed
    limits; `guarded` says what a guard band leaves of them."""
    on, unit = judged.range, view.names[judged.range].unit
    places = exact_text.decimals(on.resolution, unit)

    def shown(value: Fraction, at_least: int = 0) -> str:
        return exact_text.amount(value, unit, at_least)

    accepted = judged.accepted
    at = {"frequency": exact_text.frequency(hertz)} if hertz is not None else {}
    lines = [
        sentence("worked-point-at" if at else "worked-point", **at,
                 applied=shown(judged.applied, places),
                 range=exact_text.quantity(view.names[on]), row=row_said(view, on, judged.row)),
        sentence("worked-tolerance", sum=_sum(judged, unit, growth),
                 total=shown(judged.tolerance)),
        sentence("worked-exact", low=shown(judged.applied - judged.tolerance),
                 high=shown(judged.applied + judged.tolerance)),
        sentence("worked-within" if guarded else "worked-accepted", step=shown(on.resolution),
                 low=shown(accepted.low * on.resolution, places),
                 high=shown(accepted.high * on.resolution, places),
                 clamped=sentence("worked-clamped") if accepted.clamped else "")]
    return (*map(words, lines), *([guarded] if guarded else []))


def _sum(judged: JudgedPoint, unit: Unit, growth: Fraction) -> str:
    """The terms of a tolerance as they are multiplied, then as amounts where there are several."""
    on, a = judged.range, judged.row.accuracy
    places = exact_text.decimals(on.resolution, unit)

    def shown(value: Fraction, at_least: int = 0) -> str:
        return exact_text.amount(value, unit, at_least)

    terms, values = [], []
    if a.percent_of_reading:
        terms.append(
            f"{exact_text.percent(a.percent_of_reading)} × {shown(abs(judged.applied), places)}")
        values.append(a.percent_of_reading * abs(judged.applied) / 100)
    if a.percent_of_range:
        terms.append(f"{exact_text.percent(a.percent_of_range)} × {shown(on.base)}")
        values.append(a.percent_of_range * on.base / 100)
    if a.counts:
        terms.append(f"{exact_text.number(a.counts)} × {shown(on.resolution)}")
        values.append(a.counts * on.resolution)
    if a.fixed:
        terms.append(shown(a.fixed))
        values.append(a.fixed)
    times, close = (f"{exact_text.number(growth)} × (", ")") if growth != ONE else ("", "")
    middle = (f" = {times}{' + '.join(map(shown, values))}{close}" if len(values) > 1 or times
              else "")
    return f"{times}{' + '.join(terms)}{close}{middle}"


def worked_examples(points: list[SheetPoint], holds: AmbientBand) -> list[Worked]:
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
                   holds.growth, _guarded(point))))
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
