"""A meter's tables as data beside the pages: enough for anyone to compute the limits of any
value."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from builder.compute.exact.accuracy_table import (AccuracyRow, InputLimits, RangeTable,
                                                  TemperatureSpan)
from builder.compute.exact.pieces import Piece, Term
from builder.compute.exact.tolerance import Accuracy, ToleranceLine
from builder.formats.data_fields import FORMAT, Figure, figure, written
from builder.formats.meter import Meter
from builder.formats.meter_data import (FunctionData, InputData, LineData, MeterData, PieceData,
                                        RangeData, RowData, TemperatureSpanData, TermData)
from builder.formats.sheet_data import AccuracyData
from builder.numbers import exact_text
from builder.numbers.units import Unit, plain_unit
from builder.procedure.how_computed import row_text, term_said
from builder.procedure.meter_function import MeterFunction


def meter_data(meter: Meter, functions: Mapping[str, MeterFunction]) -> MeterData:
    """`data/meters/<id>.json`: the accuracy table as straight lines, at the reference
    temperature."""
    return written(
        MeterData, format=FORMAT, meter=meter.meter, name=meter.name, maker=meter.maker,
        holds=str(meter.specification.holds), source=meter.specification.source,
        functions=tuple(_function(function) for function in functions.values()))


def accuracy_data(accuracy: Accuracy, unit: Unit) -> AccuracyData:
    return written(
        AccuracyData, percent_of_reading=accuracy.percent_of_reading,
        counts=accuracy.counts, percent_of_range=accuracy.percent_of_range,
        fixed=figure(accuracy.fixed, unit))


def line_data(line: ToleranceLine, unit: Unit) -> dict[str, Any]:
    """T = slope·|x| + offset, exact, temperature factor included."""
    return {"slope": line.slope, "offset": figure(line.offset, unit)}


def _function(function: MeterFunction) -> FunctionData:
    kind, table = function.kind, function.table
    return written(
        FunctionData, function=function.title, kind=kind.name, shows_minus=kind.shows_minus,
        has_zero=kind.has_zero, needs_frequency=kind.needs_frequency,
        autoranging=table.autoranging, by_hand=function.given.ranging != "automatic only",
        is_ac=kind.is_ac, needs_level=kind.needs_level,
        zero_with=kind.zero_with or None, input=_input(function, table.limits),
        span=_span(function, table.span),
        holds=str(function.given.holds) if function.given.holds else None,
        since=function.since or None,
        ranges=tuple(_range(function, on) for on in table.ranges))


def _input(function: MeterFunction, limits: InputLimits) -> InputData:
    """What the input bears: of the value itself, or of the level where that is set apart."""
    unit = plain_unit(function.given.level_dimension if function.kind.needs_level
                      else function.kind.dimension)
    return written(InputData, highest=_if_any(limits.highest, unit),
                   peak=_if_any(limits.peak, unit),
                   volt_hertz=_if_any(limits.volt_hertz, plain_unit("[voltage-frequency]")))


def _span(function: MeterFunction, span: TemperatureSpan | None) -> TemperatureSpanData | None:
    return span and written(TemperatureSpanData, sensor=span.sensor or None,
                            low=figure(span.low, function.unit),
                            high=_if_any(span.high, function.unit))


def _if_any(value: Fraction | None, unit: Unit) -> Figure | None:
    return figure(value, unit) if value is not None else None


def _hertz(value: Fraction | None) -> Figure | None:
    return None if value is None else Figure(exact_text.frequency(value, plain=True))


def _one_line(pieces: tuple[Piece, ...], unit: Unit) -> dict[str, Any]:
    first = pieces[0]
    return (line_data(first.above, unit) if first.is_whole and first.is_even
            else {"slope": None, "offset": None})


def _piece(piece: Piece, row: AccuracyRow, on: RangeTable, unit: Unit) -> PieceData:
    def terms(given: tuple[Term, ...]) -> tuple[TermData, ...]:
        return tuple(written(TermData, said=term_said(term, on, unit), **_line(term.line, unit))
                     for term in given)

    return written(
        PieceData, values=tuple(_if_any(end, unit) for end in piece.values),
        frequency=tuple(map(_hertz, piece.frequency)),
        above=written(LineData, **_line(piece.above, unit)),
        below=None if piece.is_even else written(LineData, **_line(piece.below, unit)),
        terms=terms(piece.terms_above),
        terms_below=terms(piece.terms_below) if row.below is not None else ())


def _line(line: ToleranceLine, unit: Unit) -> dict[str, Any]:
    return {**line_data(line, unit), "slope_per_hertz": line.slope_per_hertz,
            "offset_per_hertz": figure(line.offset_per_hertz, unit)}


def _range(function: MeterFunction, on: RangeTable) -> RangeData:
    unit = function.names[on].unit

    def shown(value: Fraction | None) -> Figure | None:
        return _if_any(value, unit)

    rows = tuple(
        written(RowData, frequency=tuple(map(_hertz, row.frequency)) if row.frequency else None,
                frequency_without=tuple(map(_hertz, row.frequency_without)),
                values=tuple(map(shown, row.values)) if row.values else None,
                values_without=tuple(map(shown, row.values_without)), by_sign=row.by_sign,
                accuracy=accuracy_data(row.accuracy, unit), said=row_text(function, on, row),
                typical=row.typical, two_sided=row.below is not None,
                **_one_line(on.pieces[row], unit),
                pieces=tuple(_piece(piece, row, on, unit) for piece in on.pieces[row]))
        for row in on.rows)
    return written(
        RangeData, range=shown(on.full_scale), resolution=shown(on.resolution), unit=unit.ascii,
        decimals=exact_text.decimals(on.resolution, unit), highest_reading=shown(on.highest),
        base=shown(on.base), lowest=shown(on.lowest), up_range=shown(on.up),
        down_range=shown(on.down), jacks=function.jacks(on), dial=function.dial(on), rows=rows)
