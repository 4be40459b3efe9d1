"""How one limit came about: an accuracy in the trade's notation, and a point worked out in its own
numbers. Needs no plan: the quick answer reads a meter's file alone."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.pieces import Addition, Per, Term
from builder.compute.exact.points import JudgedPoint
from builder.compute.exact.tolerance import ONE, Accuracy
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW
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
    return tuple(terms or [exact_text.amount(Fraction(0), unit)])    # of a side that has none


def accuracy_text(accuracy: Accuracy, unit: Unit) -> str:
    """An accuracy in the trade's notation, whatever notation its file used."""
    return words(sentence("accuracy", terms=_terms(accuracy, unit)))


def row_said(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> Sentence:
    """A row of a meter's accuracy table: for which frequencies and values, and what it states."""
    unit = view.names[on].unit
    where = [exact_text.frequencies(row.frequency, row.frequency_without)] if row.frequency else []
    if row.values:
        where.append(exact_text.band(row.values, unit, row.values_without))
    stated: dict[str, Fact] = {"where": tuple(where)} if where else {}
    if row.below is None:
        stands = sentence("row-where" if where else "row", **stated,
                          terms=_terms(row.accuracy, unit))
    else:
        stands = sentence("row-sides-where" if where else "row-sides", **stated,
                          above=_terms(row.accuracy, unit), below=_terms(row.below, unit))
    if row.typical:
        stands = sentence("row-of-typical", row=stands)
    return stands if not row.additions else sentence(
        "row-added", row=stands, added=tuple(_added(one, unit) for one in row.additions))


def _added(addition: Addition, unit: Unit) -> Sentence:
    """What is added, and where."""
    where: list[Sentence] = []
    if addition.values is not None:
        edges = {name: exact_text.amount(edge, unit) for name, edge in zip(
            ("low", "high"), addition.values, strict=True) if edge}
        where.append(sentence({2: "added-from", 1: "added-above" if "low" in edges
                               else "added-below"}[len(edges)], **edges))
    if addition.crest_factor is not None:
        low, high = map(exact_text.number, addition.crest_factor)
        where.append(sentence("added-crest", low=low, high=high))
    if addition.humidity is not None:
        where.append(sentence("added-humidity", humidity=exact_text.percent(addition.humidity)))
    if addition.per is not None:
        where.append(sentence("added-per", unit=_per_unit(addition.per, unit)))
        if addition.per.start:
            where.append(sentence("added-above", low=_start(addition.per, unit)))
    return sentence("added", terms=_terms(addition.accuracy, unit), where=tuple(where))


def _per_unit(per: Per, unit: Unit) -> str:
    """The unit that an addition grows by: 'kHz', 'V'."""
    prefix = {1000: "k", 10 ** 6: "M", Fraction(1, 1000): "m", Fraction(1, 10 ** 6): "µ"}
    return prefix.get(per.size, "") + ("Hz" if per.of_frequency else unit.without_prefix.shown)


def _start(per: Per, unit: Unit) -> str:
    return exact_text.frequency(per.start) if per.of_frequency else exact_text.amount(
        per.start, unit)


def row_text(view: MeterFunction, on: RangeTable, row: AccuracyRow) -> str:
    """The same as text."""
    return words(row_said(view, on, row))


# ---------------------------------------------------------------- one point

def worked(view: MeterFunction, judged: JudgedPoint, hertz: Fraction | None,
           guarded: str = "") -> tuple[str, ...]:
    """How one point's limits came about, in its own numbers: terms, tolerance, exact and printed
    limits; `guarded` says what a guard band leaves of them."""
    on, unit = judged.range, view.names[judged.range].unit
    places = exact_text.decimals(on.resolution, unit)

    def shown(value: Fraction, at_least: int = 0) -> str:
        return exact_text.amount(value, unit, at_least)

    accepted, piece = judged.accepted, judged.piece
    beside = {"frequency": exact_text.frequency(hertz)} if hertz is not None else {}
    sums = ([("worked-tolerance", piece.terms_above, judged.sides.above)]
            if judged.row.below is None else
            [("worked-above", piece.terms_above, judged.sides.above),
             ("worked-below", piece.terms_below, judged.sides.below)])
    lines = [
        sentence("worked-point-at" if beside else "worked-point", **beside,
                 applied=shown(judged.applied, places),
                 range=exact_text.quantity(view.names[on]), row=row_said(view, on, judged.row)),
        *(sentence(code, sum=_sum(judged, terms, unit), total=shown(total))
          for code, terms, total in sums),
        sentence("worked-exact", low=shown(judged.low), high=shown(judged.high)),
        sentence("worked-within" if guarded else "worked-accepted", step=shown(on.resolution),
                 low=shown(accepted.low * on.resolution, places),
                 high=shown(accepted.high * on.resolution, places),
                 clamped=sentence("worked-clamped") if accepted.clamped else "")]
    return (*map(words, lines), *([guarded] if guarded else []))


def term_said(term: Term, on: RangeTable, unit: Unit) -> str:
    """A term as it is multiplied; '{value}' stands for the size of the applied value, and
    '{frequency}' for its frequency."""
    number = exact_text.number(term.number)
    text = {"percent_of_reading": f"{number}{NARROW}% × {{value}}",
            "percent_of_range": f"{number}{NARROW}% × {exact_text.amount(on.base, unit)}",
            "counts": f"{number} × {exact_text.amount(on.resolution, unit)}",
            "fixed": exact_text.amount(term.number, unit)}[term.kind]
    if term.per is not None:
        over = "{frequency}" if term.per.of_frequency else "{value}"
        over = f"({over} − {_start(term.per, unit)})" if term.per.start else over
        text = f"{text} per {_per_unit(term.per, unit)} × {over}"
    return text if term.degrees is None else f"{exact_text.number(term.degrees)} × {text}"


def _sum(judged: JudgedPoint, terms: Sequence[Term], unit: Unit) -> str:
    """The terms of a tolerance as they are multiplied, then as amounts where there are several."""
    on, growth = judged.range, judged.piece.growth
    size = exact_text.amount(abs(judged.applied), unit, exact_text.decimals(on.resolution, unit))
    hertz = exact_text.frequency(judged.frequency) if judged.frequency is not None else ""
    texts = [term_said(term, on, unit).format(value=size, frequency=hertz) for term in terms]
    values = [exact_text.amount(term.line.at(judged.applied, judged.frequency), unit)
              for term in terms]

    def summed(parts: list[str]) -> str:
        """Those that grow with the temperature in brackets, behind them those per degree."""
        own = [part for part, term in zip(parts, terms, strict=True) if term.degrees is None]
        warm = [part for part, term in zip(parts, terms, strict=True) if term.degrees is not None]
        inner = " + ".join(own)
        grown = f"{exact_text.number(growth)} × ({inner})" if growth != ONE else inner
        return " + ".join([grown, *warm])

    if not texts:
        return exact_text.amount(Fraction(0), unit)
    return summed(texts) + (f" = {summed(values)}" if len(values) > 1 or growth != ONE else "")
