"""How one limit came about: an accuracy in the trade's notation, and a point worked out in its own
numbers. Needs no plan: the quick answer reads a meter's file alone."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ONE, Accuracy
from builder.numbers import exact_text
from builder.numbers.units import Unit
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sentences import Fact, Sentence, sentence, words

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
