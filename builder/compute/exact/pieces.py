"""A row of an accuracy table as pieces of straight lines, one down and one up: the only place where
terms, additions and temperature coefficients are added up. Everything else reads pieces.

Numbers are exact `Fraction`s as in tolerance.py; frequencies in Hz, humidities in percent.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from builder.compute.exact.tolerance import (NOTHING, ONE, ZERO, Accuracy, Tolerance, ToleranceLine,
                                             growth, line)

if TYPE_CHECKING:
    from builder.compute.exact.accuracy_table import AccuracyRow

Band = tuple[Fraction, Fraction]
Open = tuple["Fraction | None", "Fraction | None"]   # an end that is None is open
SINE = Fraction(2)   # the square of a sine's crest factor


@dataclass(frozen=True, slots=True)
class Per:
    """What grows by its amount for each `size` of the applied value, or of the frequency, that
    lies above `start`."""

    of_frequency: bool
    size: Fraction
    start: Fraction = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """What a data sheet adds on top of the row that applies: for a part of the range, for crest
    factors, above a humidity, or for each step of the value or of the frequency."""

    accuracy: Accuracy
    values: Open | None = None
    crest_factor: Band | None = None
    humidity: Fraction | None = None    # holds above it
    per: Per | None = None

    def holds(self, surroundings: Surroundings) -> bool:
        """Where it has an edge, the tighter side holds, as where two rows meet: nothing is added at
        the edge itself, but there is none below a crest factor of 1."""
        if self.humidity is not None and surroundings.humidity <= self.humidity:
            return False
        if self.crest_factor is None:
            return True
        low, high = self.crest_factor
        return (low <= 1 or low ** 2 < surroundings.crest_squared) and (
            surroundings.crest_squared < high ** 2)


@dataclass(frozen=True, slots=True)
class PerDegree:
    """What is added per degree beyond the reference band: a fraction of the accuracy, and terms of
    its own."""

    fraction: Fraction = ZERO
    terms: Accuracy = Accuracy()


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """Where an accuracy is asked for: degrees below and above the reference band, whether some of
    the ambient lies beyond it, the lowest relative humidity, and the square of the crest factor of
    what is applied."""

    below: Fraction = ZERO
    above: Fraction = ZERO
    colder: bool = False
    warmer: bool = False
    humidity: Fraction = ZERO
    crest_squared: Fraction = SINE

    @property
    def degrees(self) -> Fraction:
        return self.below + self.above


AT_REFERENCE = Surroundings()


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One term of a sum: `number` of what `kind` says, a field of `Accuracy`, and its line; `per`
    of an addition that grows, `degrees` of a coefficient's own term, for so many of them."""

    kind: str
    number: Fraction
    line: ToleranceLine
    per: Per | None = None
    degrees: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A part of a row in which its tolerance is a straight line down and a straight line up:
    `growth` times the terms, and those per degree. `values` are of the size, of temperatures with
    their sign."""

    values: Open
    frequency: Open
    growth: Fraction
    below: ToleranceLine
    above: ToleranceLine
    terms_below: tuple[Term, ...]
    terms_above: tuple[Term, ...]

    @property
    def is_even(self) -> bool:
        return self.below == self.above

    @property
    def is_whole(self) -> bool:
        """Whether it is all of its row, at any frequency the same."""
        return (self.values == self.frequency == (None, None) and not self.above.needs_frequency)

    def covers(self, value: Fraction, frequency: Fraction | None) -> bool:
        return _inside(self.values, value) and self.covers_frequency(frequency)

    def covers_frequency(self, frequency: Fraction | None) -> bool:
        return _inside(self.frequency, frequency)

    def tolerance(self, applied: Fraction, frequency: Fraction | None) -> Tolerance:
        above = self.above.at(applied, frequency)
        return Tolerance(above if self.is_even else self.below.at(applied, frequency), above)


def _inside(edges: Open, value: Fraction | None) -> bool:
    low, high = edges
    return value is None or ((low is None or low <= value) and (high is None or value <= high))


def pieces(*, row: AccuracyRow, resolution: Fraction, base: Fraction,
           surroundings: Surroundings = AT_REFERENCE) -> tuple[Piece, ...]:
    """The row on a range whose count is `resolution` and whose percent of range is of `base`:

    T = (1 + c·d)·(Σ terms + Σ additions that hold) + d·Σ terms per degree

    for d degrees beyond the reference band with the row's coefficient for that side; without one
    the row says nothing there (`AccuracyRow.holds_at`) and d counts as 0.
    """
    if row.by_sign and any(one.per and not one.per.of_frequency for one in row.additions):
        raise ValueError("nothing grows with the size of a temperature")
    coefficient, degrees = row.coefficient(surroundings) or PerDegree(), surroundings.degrees
    grown = growth(coefficient=coefficient.fraction, degrees=degrees)
    holding = [one for one in row.additions if one.holds(surroundings)]
    warm = [] if not degrees else [
        replace(one, degrees=degrees, line=one.line.times(degrees))
        for one in _terms(coefficient.terms, resolution, base)]
    own = {side: list(_terms(accuracy, resolution, base))
           for side, accuracy in (("above", row.accuracy), ("below", row.below))
           if accuracy is not None}
    value_edges = {end for one in holding for end in one.values or () if end is not None}
    value_edges |= {one.per.start for one in holding
                    if one.per and not one.per.of_frequency and one.per.start}
    hertz_edges = {one.per.start for one in holding
                   if one.per and one.per.of_frequency and one.per.start}
    made = []
    for values in _between(value_edges if row.by_sign else value_edges - {ZERO}):
        for frequency in _between(hertz_edges):
            more = [term for one in holding if _is_in(one, values, frequency)
                    for term in _terms(one.accuracy, resolution, base, one.per)]
            above = (*own["above"], *more, *warm)
            below = (*own["below"], *more, *warm) if "below" in own else above
            made.append(Piece(values=values, frequency=frequency, growth=grown,
                              above=_summed(above, grown), below=_summed(below, grown),
                              terms_above=above, terms_below=below))
    return tuple(made)


def _between(edges: Iterable[Fraction]) -> Iterator[Open]:
    yield from pairwise([None, *sorted(edges), None])


def _is_in(addition: Addition, values: Open, frequency: Open) -> bool:
    """Whether an addition holds all over a piece; no edge of it lies inside one."""
    if addition.values is not None and not _overlap(addition.values, values):
        return False
    per = addition.per
    return per is None or _overlap((per.start, None), frequency if per.of_frequency else values)


def _overlap(first: Open, second: Open) -> bool:
    """Whether two have more than an edge in common."""
    return all(low is None or high is None or low < high
               for low, high in ((first[0], second[1]), (second[0], first[1])))


def _terms(accuracy: Accuracy, resolution: Fraction, base: Fraction,
           per: Per | None = None) -> Iterator[Term]:
    """One for each term that there is."""
    for kind in ("percent_of_reading", "percent_of_range", "counts", "fixed"):
        if number := getattr(accuracy, kind):
            alone = line(accuracy=Accuracy(**{kind: number}), resolution=resolution, base=base)
            yield Term(kind=kind, number=number, line=_growing(alone, per), per=per)


def _growing(alone: ToleranceLine, per: Per | None) -> ToleranceLine:
    """A term times (f − start)/size, or times (|x| − start)/size, for which it is an amount."""
    if per is None:
        return alone
    slope, offset = alone.slope / per.size, alone.offset / per.size
    if per.of_frequency:
        return ToleranceLine(-slope * per.start, -offset * per.start, slope, offset)
    if slope:
        raise ValueError("a percent of reading per step of the reading is no straight line")
    return ToleranceLine(offset, -offset * per.start)


def _summed(terms: Iterable[Term], grown: Fraction) -> ToleranceLine:
    total = NOTHING
    for term in terms:
        total += term.line if term.degrees is not None else term.line.times(grown)
    return total


__all__ = ["ONE", "AT_REFERENCE", "SINE", "Addition", "Per", "PerDegree", "Piece", "Surroundings",
           "Term", "pieces"]
