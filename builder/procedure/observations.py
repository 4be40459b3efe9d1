"""Points that are written down and not judged: on which range, and what to look for there."""

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.points import JudgedPoint, Refused, range_for
from builder.compute.statistics import waveform
from builder.formats.plan import PointSet
from builder.procedure import sentences
from builder.procedure.meter_function import MeterFunction
from builder.procedure.supplies import Supply, within


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
                     hertz: Fraction | None) -> str:
    """What an entry that finds something, or applies another wave than a sine, has the technician
    look for, in the words of the sheet. Raises `Refused`."""
    unit = function.names[judged.range].unit if judged else None
    if given.find == "bandwidth":
        reach = max((row.frequency.high.value for row in supply.output.rows if row.frequency
                     and within(row.values, abs(applied))), default=hertz)
        if function.table.limits.volt_hertz is not None:
            reach = min(reach, function.table.limits.volt_hertz / abs(applied))
        if reach <= hertz:
            raise Refused("nothing-beyond", standards=supply.standard.name)
        return sentences.to_find_bandwidth(judged, unit, reach)
    if given.find == "ceiling":
        product = function.table.limits.volt_hertz
        return sentences.to_find_ceiling(product / given.level.value if product is not None
                                         else None)
    if given.find == "sensitivity":
        return sentences.to_find_sensitivity(function.given.sensitivity)
    top = max((row.frequency[1] for row in judged.range.rows if row.frequency), default=hertz)
    return sentences.to_expect(judged, unit, given.wave, function.given.responds,
                               waveform.kept(wave=given.wave, frequency=hertz, bandwidth=top),
                               waveform.mean_responding(wave=given.wave))
