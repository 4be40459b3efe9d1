"""A meter's accuracy table as the computation sees it: exact numbers in one unit, no texts to
parse."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from builder.compute.exact.tolerance import ONE, Accuracy, ToleranceLine, line

Band = tuple[Fraction, Fraction]


# a row is itself; comparing its numbers would cost most of a build
@dataclass(frozen=True, slots=True, eq=False)
class AccuracyRow:
    """One accuracy, for the frequencies and the part of the range that it holds for (None: all). A
    part of a range holds for both polarities, unless `by_sign` says that it is one of
    temperatures."""

    accuracy: Accuracy
    frequency: Band | None = None
    values: Band | None = None
    by_sign: bool = False

    def covers(self, *, applied: Fraction, frequency: Fraction | None) -> bool:
        return (self.covers_frequency(frequency) and (
            self.values is None
            or self.values[0] <= (applied if self.by_sign else abs(applied)) <= self.values[1]))

    def covers_frequency(self, frequency: Fraction | None) -> bool:
        return self.frequency is None or (
            frequency is not None and self.frequency[0] <= frequency <= self.frequency[1])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RangeTable:
    """One range. `position` tells ranges that a meter can't switch between by itself (other jacks,
    another dial position); `up` and `down` are the readings at which an autoranging meter leaves
    it."""

    full_scale: Fraction
    resolution: Fraction
    base: Fraction
    highest: Fraction
    rows: tuple[AccuracyRow, ...]
    lowest: Fraction | None = None
    up: Fraction | None = None
    down: Fraction | None = None
    position: tuple = ()

    def line(self, row: AccuracyRow, growth: Fraction = ONE) -> ToleranceLine:
        """The row's accuracy on this range, `growth` times as large as at the reference
        temperature."""
        return line(accuracy=row.accuracy, resolution=self.resolution, base=self.base,
                    growth=growth)


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
