"""What a meter's input bears of what a plan's entry applies to it, and whether a source can drive
it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder.compute.exact import points
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.points import Refused
from builder.compute.statistics import waveform
from builder.formats.plan import PointSet
from builder.numbers import exact_text
from builder.procedure.meter_function import MeterFunction
from builder.procedure.supply import SOURCE, Supply


def refuse_beyond_input(function: MeterFunction, applied: Fraction, hertz: Fraction | None,
                        given: PointSet) -> None:
    """Raises `Refused` where what a plan's entry applies, or the level of its signal, is more than
    the input bears, its peak and its crest factor included, or a temperature is none of its
    sensor's."""
    points.refuse_outside_span(function=function.table, applied=applied)
    limits, level = function.table.limits, given.level
    if level is not None:
        points.refuse_beyond_input(limits=limits, applied=level.value,
                                   frequency=rate_of(function, applied, hertz))
    else:  # a wave other than a sine has its own peak, below
        points.refuse_beyond_input(limits=replace(limits, peak=None) if given.wave else limits,
                                   applied=applied, frequency=hertz)
    if given.wave:
        crest = function.given.crest_factor
        if (limits.peak is not None
                and waveform.peak_squared(wave=given.wave, rms=applied) > limits.peak ** 2):
            raise Refused("beyond-peak", limit=limits.peak)
        if crest is not None and waveform.crest_squared(wave=given.wave) > crest ** 2:
            raise Refused("beyond-crest", wave=given.wave, crest=exact_text.number(crest))


def rate_of(function: MeterFunction, applied: Fraction, hertz: Fraction | None) -> Fraction | None:
    """The frequency in Hz of a signal whose level is set apart."""
    return applied if function.kind.dimension == "[frequency]" else hertz

def refuse_beyond_drive(*, supply: Supply, function: MeterFunction, on: RangeTable,
                        applied: Fraction) -> None:
    """Raises `Refused` where a voltage source can't drive the meter's input resistance, or a
    current source its burden."""
    drives = min((row.drives for row in supply.rows if getattr(row, "drives", None) is not None),
                 key=lambda one: one.value, default=None)
    if drives is None or supply.method != SOURCE:
        return
    load = function.given.input_resistance
    if function.kind.dimension == "[voltage]" and load is not None and abs(
            applied) > drives.value * load.value:
        raise Refused("beyond-drive", standards=supply.standard.name,
                      reach=exact_text.quantity(drives))
    burden = function.model_of[on].burden
    if function.kind.dimension == "[current]" and burden is not None and abs(
            applied) * burden.value > drives.value * on.full_scale:
        raise Refused("beyond-drive", standards=supply.standard.name,
                      reach=exact_text.quantity(drives))
