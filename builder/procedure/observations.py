"""Points that are written down and not judged: on which range, and what to look for there."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.points import JudgedPoint, Refused, range_for
from builder.compute.statistics import waveform
from builder.formats.plan import PointSet
from builder.numbers import exact_text
from builder.numbers.units import Unit
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sentences import Sentence, sentence
from builder.procedure.standard_rows import within
from builder.procedure.supplies import Supply


def range_of_observation(function: MeterFunction, applied: Fraction, wanted: RangeTable | None,
                         force: bool) -> RangeTable:
    """The range that the sheet names for an observation, which has no limit; beyond the highest
    one only where the plan names none. Raises `Refused`."""
    if applied < 0 and not function.table.shows_minus:
        raise Refused("no-minus")
    if wanted is not None and (force or not function.table.autoranging):
        if abs(applied) > wanted.highest:
            raise Refused("beyond-range", on=wanted)
        return wanted
    try:
        chosen = range_for(function=function.table, applied=applied, wanted=wanted)
    except Refused:
        if wanted is None and function.kind.dimension != "[current]":
            return function.table.ranges[-1]
        raise
    if wanted is not None and chosen is not wanted:
        raise Refused("other-range", wanted=wanted, chosen=chosen)
    return chosen


def what_to_look_for(given: PointSet, function: MeterFunction, supply: Supply,
                     judged: JudgedPoint | None, applied: Fraction,
                     hertz: Fraction | None) -> Sentence:
    """What an entry that finds something, or applies another wave than a sine, has the technician
    look for. Raises `Refused`."""
    unit = function.names[judged.range].unit if judged else None
    if given.find == "bandwidth":
        reach = _reached((row.frequency.band for row in supply.output.rows if row.frequency
                          and within(row.values, abs(applied))), hertz)
        if function.table.limits.volt_hertz is not None:
            reach = min(reach, function.table.limits.volt_hertz / abs(applied))
        if reach <= hertz:
            raise Refused("nothing-beyond", standards=supply.standard.name)
        places = exact_text.decimals(judged.range.resolution, unit)
        low, high = (exact_text.amount(n * judged.range.resolution, unit, places)
                     for n in (judged.accepted.low, judged.accepted.high))
        return sentence("find-bandwidth", reach=rounded_frequency(reach), low=low, high=high)
    if given.find == "ceiling":
        reach = _reached((row.values.band for row in supply.output.rows
                          if row.level is None or within(row.level, given.level.value)), applied)
        if function.table.limits.volt_hertz is not None:
            reach = min(reach, function.table.limits.volt_hertz / given.level.value)
        if reach <= applied:
            raise Refused("nothing-beyond", standards=supply.standard.name)
        return sentence("find-ceiling", most=rounded_frequency(reach))
    if given.find == "sensitivity":
        return _sensitivity(given, function, supply, applied)
    top = max((row.frequency[1] for row in judged.range.rows if row.frequency), default=hertz)
    return _to_expect(judged, unit, given.wave, function.given.responds,
                      waveform.kept(wave=given.wave, frequency=hertz, bandwidth=top),
                      waveform.mean_responding(wave=given.wave))


def _reached(bands: Iterable[tuple[Fraction, Fraction]], start: Fraction) -> Fraction:
    """How far up one comes from `start` without a gap, in the unit of the bands."""
    reach = start
    for low, high in sorted(bands):
        if low > reach:
            break
        reach = max(reach, high)
    return reach


def _sensitivity(given: PointSet, function: MeterFunction, supply: Supply,
                 applied: Fraction) -> Sentence:
    """How far down the level goes: to the source's lowest without a gap. Raises `Refused`."""
    level, unit, stated = given.level.value, given.level.unit, function.given.sensitivity
    lowest = -_reached(((-row.level.band[1], -row.level.band[0]) for row in supply.output.rows
                        if row.level is not None and within(row.values, applied)), -level)
    if lowest >= level:
        raise Refused("nothing-below", standards=supply.standard.name)
    least = exact_text.amount(lowest, unit)
    return (sentence("find-sensitivity-stated", least=least, stated=exact_text.quantity(stated))
            if stated else sentence("find-sensitivity", least=least))


def rounded_frequency(hertz: Fraction) -> str:
    """Down to three figures, so that it fits a sheet."""
    step = Fraction(10) ** (len(str(int(hertz))) - 3)
    return exact_text.frequency(math.floor(hertz / step) * step)


def _to_expect(judged: JudgedPoint, unit: Unit, wave: str, responds: str | None, kept: float,
               mean: float) -> Sentence:
    """What a true-r.m.s. meter is expected to read of a wave with harmonics beyond its bandwidth,
    and what one that responds to the mean would show."""
    places, step = exact_text.decimals(judged.range.resolution, unit), judged.range.resolution
    sides = judged.range.at_crest(waveform.crest_squared(wave=wave)).tolerance(
        judged.row, judged.applied, judged.frequency)
    lowest = math.floor((judged.applied * Fraction(kept) - sides.below) / step) * step
    highest = math.ceil((judged.applied + sides.above) / step) * step
    stated = {"responds": responds} if responds else {}
    return sentence("expect-stated" if stated else "expect", **stated,
                    wave=exact_text.capital(wave),
                    low=exact_text.number(exact_text.in_unit(lowest, unit), places),
                    high=exact_text.amount(highest, unit, places),
                    other=exact_text.amount(round(judged.applied * Fraction(mean) / step) * step,
                                            unit, places))
