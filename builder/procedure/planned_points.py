"""A planned point: what is applied by what, on which range, and the limits that it got."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.points import JudgedPoint, siblings
from builder.compute.exact.tolerance import ZERO, Tolerance
from builder.compute.statistics import waveform
from builder.formats.bench import Junction
from builder.formats.fields import Span
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.numbers.units import Quantity
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sentences import Sentence
from builder.procedure.supplies import REFERENCE, Supply


@dataclass(frozen=True, eq=False, kw_only=True)
class PlannedPoint:
    """An applied value of a plan's entry with the function, the supply and the limits that the
    planner found for it (`judged`, None for an observation); `assess` adds how sure it is."""

    function: MeterFunction
    applied: Fraction
    hertz: Fraction | None
    level: Quantity | None
    range: RangeTable
    judged: JudgedPoint | None
    forced: bool
    observe: Sentence | None    # why it isn't judged, or what to look for
    supply: Supply
    ambient: Span               # of the sheet
    correction: str = ""        # how the leads are taken off: "", "subtract", "relative"
    leads: Fraction = ZERO      # what they add at most
    other_zero: Fraction = ZERO     # the most that the range of their reading is off at zero
    find: str = ""
    wave: str = ""
    zero: AcceptedCounts | None = None  # for the reading of the leads alone: what it may be
    junction: Junction | None = None  # of a thermocouple input
    circuit: Quantity | None = None   # the voltage of the circuit whose current is compared

    @property
    def is_read_twice(self) -> bool:
        """Whether a reference meter reads before the meter and after it: a large capacitor is not
        the same after it was charged (common practice)."""
        return (self.supply.method == REFERENCE
                and self.function.kind.dimension == "[capacitance]")

    @property
    def standard(self) -> Standard:
        return self.supply.standard

    @property
    def rows(self) -> tuple:
        """Of the standard's table, those that cover the point; none where it can't produce it."""
        return self.supply.rows

    @property
    def signed(self) -> bool:
        """Whether the reading that is judged can be negative."""
        return self.function.kind.shows_minus or bool(self.correction)

    @property
    def shows_all_below_as_zero(self) -> bool:
        """Whether 0 is what the display shows of any error below it, too."""
        return self.judged.accepted.low == 0 and not self.signed

    @property
    def volts(self) -> Fraction:
        """The voltage between the terminals, as far as it is known."""
        if self.level is not None:
            return self.level.value if self.level.dimension == "[voltage]" else ZERO
        if self.circuit is not None:
            return self.circuit.value
        return abs(self.applied) if self.function.kind.dimension == "[voltage]" else ZERO

    @property
    def is_hazardous(self) -> bool:
        squared = waveform.peak_squared(wave=self.wave, rms=self.volts) if self.wave else None
        return is_hazardous(volts=self.volts, ac=bool(self.hertz) or self.level is not None,
                            peak_squared=squared)

    @cached_property
    def id(self) -> str:
        unit = self.function.names[self.range].unit
        name = self.function.names[self.range]
        parts = [self.function.code, exact_text.plain_quantity(name.value, name.unit),
                 exact_text.plain_quantity(self.applied, unit,
                                           exact_text.decimals(self.range.resolution, unit))]
        if self.hertz is not None:
            parts.append(exact_text.frequency(self.hertz, plain=True))
        if self.level is not None:
            parts.append(exact_text.plain_quantity(self.level.value, self.level.unit))
        if self.wave:
            parts.append(self.wave)
        if self.supply.method == REFERENCE:
            parts.append("compared")
        if self.forced:
            parts.append("by-hand")
        if self.find:
            parts.append(self.find)
        elif self.observe and not self.wave:
            parts.append("observed")
        if self.zero is not None:
            parts = [self.function.code, exact_text.plain_quantity(name.value, name.unit),
                     "leads-" + self.function.kind.zero_with,
                     *([self.correction, self.supply.standard.standard] if zero_key(self)[-1]
                       else [])]
        return "-".join(p.replace(" ", "") for p in parts)


def zero_key(point: PlannedPoint) -> tuple:
    """Which reading of the leads alone belongs to a corrected point. An autoranging meter shows it
    on its lowest range. Leads alone are the same whatever they go to; a standard's zero setting is
    its own, and relative readings start anew at each."""
    table = point.function.table
    on = (point.range if point.forced or not table.autoranging
          else siblings(table, point.range)[0])
    of_its_own = point.correction == "relative" or point.supply.output.zero != "leads"
    return point.function.title, on, point.correction, (
        point.supply.standard.standard, point.supply.output.zero) if of_its_own else None


def difference_step(p: PlannedPoint) -> Fraction:
    """The finest digit of a difference that is printed."""
    unit = p.function.names[p.range].unit
    scale = Fraction(1) if unit.has_no_prefix else unit.scale
    tenth = scale / 10**(exact_text.decimals(p.range.resolution, unit) + 1)
    return min(p.range.resolution, max(tenth, p.rows[0].resolution.value))


def moved(point: PlannedPoint, applied: Fraction) -> PlannedPoint:
    """A compared point as it is where the reference meter reads another value than was planned."""
    tolerance = point.judged.line.at(applied)
    judged = replace(point.judged, applied=applied, sides=Tolerance(tolerance, tolerance))
    return replace(point, applied=applied, judged=judged)


def relative_on_one_range(planned: list[PlannedPoint]) -> list[PlannedPoint]:
    """Relative readings hold the range that they began on, which for leads alone is the lowest,
    unless the meter's file says that it stays free. So on higher ranges the leads' reading is
    subtracted by hand."""
    def held(p: PlannedPoint) -> bool:
        return (p.correction == "relative" and p.supply.method != REFERENCE and not p.forced
                and p.function.table.autoranging and p.function.given.relative_ranging == "held"
                and p.range is not siblings(p.function.table, p.range)[0])
    return [replace(p, correction="subtract") if held(p) else p for p in planned]
