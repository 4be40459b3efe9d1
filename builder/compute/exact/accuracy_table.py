"""A meter's accuracy table as the computation sees it: exact numbers in one unit, no texts to
parse."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from builder.compute.exact.pieces import (AT_REFERENCE, Addition, Band, Piece, PerDegree,
                                          Surroundings, pieces)
from builder.compute.exact.tolerance import Accuracy, Tolerance


# a row is itself; comparing its numbers would cost most of a build
@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class AccuracyRow:
    """One accuracy, for the frequencies and the part of the range that it holds for (None: all). A
    part of a range holds for both polarities, unless `by_sign` says that it is one of
    temperatures. `below` is the accuracy of the lower limit, where that is another."""

    accuracy: Accuracy
    frequency: Band | None = None
    values: Band | None = None
    by_sign: bool = False
    # ends that are no part of the row, as of 'above 5 A'
    frequency_without: tuple[Fraction, ...] = ()
    values_without: tuple[Fraction, ...] = ()
    below: Accuracy | None = None
    additions: tuple[Addition, ...] = ()
    # per degree below and above the reference band; None where the data sheet states none
    when_colder: PerDegree | None = None
    when_warmer: PerDegree | None = None
    typical: bool = False    # a figure that gives no limit

    def coefficient(self, surroundings: Surroundings) -> PerDegree | None:
        """For the side of the reference band on which the surroundings are."""
        return self.when_colder if surroundings.below else self.when_warmer

    def holds_at(self, surroundings: Surroundings) -> bool:
        """Whether the data sheet says anything for all of the ambient."""
        return not ((surroundings.colder or surroundings.below) and self.when_colder is None
                    or (surroundings.warmer or surroundings.above) and self.when_warmer is None)

    def covers(self, *, applied: Fraction, frequency: Fraction | None) -> bool:
        value = applied if self.by_sign else abs(applied)
        return (self.covers_frequency(frequency) and value not in self.values_without and (
            self.values is None or self.values[0] <= value <= self.values[1]))

    def covers_frequency(self, frequency: Fraction | None) -> bool:
        return self.frequency is None or (
            frequency is not None and frequency not in self.frequency_without
            and self.frequency[0] <= frequency <= self.frequency[1])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RangeTable:
    """One range, in the surroundings that its accuracy is asked for. `position` tells ranges that a
    meter can't switch between by itself (other jacks, another dial position); `up` and `down` are
    the readings at which an autoranging meter leaves it; `pieces` are those of each row."""

    full_scale: Fraction
    resolution: Fraction
    base: Fraction
    highest: Fraction
    rows: tuple[AccuracyRow, ...]
    lowest: Fraction | None = None
    up: Fraction | None = None
    down: Fraction | None = None
    position: tuple = ()
    surroundings: Surroundings = AT_REFERENCE
    pieces: dict[AccuracyRow, tuple[Piece, ...]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "pieces", {
            row: pieces(row=row, resolution=self.resolution, base=self.base,
                        surroundings=self.surroundings) for row in self.rows})

    def piece(self, row: AccuracyRow, applied: Fraction, frequency: Fraction | None) -> Piece:
        """That in which a value lies, whether the row holds for it or not. Where two meet both
        hold, so the tighter one applies: they differ by what is added, down and up alike."""
        value = applied if row.by_sign else abs(applied)
        first, *others = [one for one in self.pieces[row] if one.covers(value, frequency)]
        return min((first, *others), key=lambda one: one.above.at(applied, frequency)) if others \
            else first

    def at_crest(self, squared: Fraction) -> RangeTable:
        """The same range for another crest factor than a sine's, given as its square."""
        return replace(self, surroundings=replace(self.surroundings, crest_squared=squared))

    def tolerance(self, row: AccuracyRow, applied: Fraction,
                  frequency: Fraction | None) -> Tolerance:
        return self.piece(row, applied, frequency).tolerance(applied, frequency)


@dataclass(frozen=True, slots=True)
class InputLimits:
    """What the input bears; None where the meter's file says nothing."""

    highest: Fraction | None = None
    peak: Fraction | None = None
    volt_hertz: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureSpan:
    """Between which temperatures a function can be asked, in its own degrees: what its `sensor`
    ("type K") is defined for; above absolute zero where its file names none ("", `high` None)."""

    sensor: str
    low: Fraction
    high: Fraction | None

    def holds(self, applied: Fraction) -> bool:
        return self.low <= applied and (self.high is None or applied <= self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class FunctionTable:
    """A function's ranges, lowest first. A temperature has a `span`, and then a range's `lowest` is
    meant with its sign; any other value is the same in both polarities."""

    ranges: tuple[RangeTable, ...]
    shows_minus: bool
    has_zero: bool
    is_ac: bool = False
    autoranging: bool = True
    limits: InputLimits = field(default_factory=InputLimits)
    span: TemperatureSpan | None = None

    def is_below(self, applied: Fraction, lowest: Fraction | None) -> bool:
        """Whether a value lies below the lowest specified one."""
        return lowest is not None and (
            applied if self.span is not None else abs(applied)) < lowest
