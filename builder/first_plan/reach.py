"""What the standards can apply to a function of the meter: values, frequencies and signal levels,
the most wanted first."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.recommend import HIGH
from builder.formats.standard import OutputRow, Standard
from builder.numbers import exact_text
from builder.numbers.units import decimal_text, of_celsius
from builder.procedure.meter_function import MeterFunction
from builder.procedure.standard_rows import within

# shares of a range below the recommended ones
_ALSO = tuple(Fraction(n, 100) for n in (15, 10, 5))
_OF_PART = tuple(Fraction(n, 100) for n in (90, 50, 20, 10))
# of a range or of a row's part: lower values say too little about it
_LEAST = Fraction(1, 20)
# V and A that a signal has where anything goes
_LEVELS = {"[voltage]": Fraction(3), "[current]": Fraction(1, 100)}

Standards = Sequence[Standard]


def outputs(view: MeterFunction, standards: Standards) -> list[OutputRow]:
    """The rows of the sources for this function."""
    return [row for standard in standards for output in standard.outputs
            if output.what == view.kind.name and output.wave == "sine" for row in output.rows]


def only_parts(view: MeterFunction, standards: Standards) -> bool:
    """Whether the function gets its values from parts, and from no source."""
    return (not outputs(view, standards)
            and any(a.what == view.kind.name for s in standards for a in s.artifacts))


def values(view: MeterFunction, standards: Standards, on: RangeTable, row: AccuracyRow | None,
           hertz: Fraction | None) -> list[Fraction]:
    """What may be applied on a range, or on a row of it, the most wanted first."""
    low, high = (row.values if row and row.values else (Fraction(0), on.highest))
    high = min(high, on.highest)
    by_sign = bool(row and row.by_sign and row.values)
    if not by_sign:
        low = max(low, on.lowest or 0, high * _LEAST)
    elif on.lowest is not None:
        low = max(low, on.lowest)
    if only_parts(view, standards):
        boxes = sorted((v.nominal.value for s in standards for a in s.artifacts
                        if a.what == view.kind.name for v in a.values),
                       key=lambda v: (abs(v - on.full_scale * HIGH[0]), v))
        return [v for v in dict.fromkeys(boxes) if low <= v <= high]
    turns = _turns(view, standards) if not view.kind.needs_level else 1
    tops = {_top(view, r) * turns for r in outputs(view, standards)
            if hertz is None or r.frequency is None or within(r.frequency, hertz)}
    shares = [on.full_scale * share for share in (*HIGH, *_ALSO)]
    parts = [low + (high - low) * share for share in _OF_PART]
    grid = (int(v / on.resolution) * on.resolution
            for v in (parts[1:] if by_sign else (*shares, *sorted(tops, reverse=True), *parts)))
    return [v for v in dict.fromkeys(grid) if low <= v <= high and v != 0]


def _turns(view: MeterFunction, standards: Standards) -> int:
    """How many times a source's current a jaw sees."""
    return next((s.coil.turns for s in standards if s.coil), 1) if view.given.clamp else 1


def _top(view: MeterFunction, row: OutputRow) -> Fraction:
    """The highest value of a source's row, in the function's own degrees if it is a temperature."""
    return (row.values.high.value if view.scale is None
            else of_celsius(row.values.celsius[1], view.scale))


def rates(view: MeterFunction, standards: Standards, row: AccuracyRow) -> list[Fraction]:
    """Frequencies inside a row: its ends, the ends of the standards' bands in it, and one well
    inside."""
    low, high = row.frequency or (Fraction(1), Fraction(10**6))
    ends = {end for r in outputs(view, standards) if r.frequency for end in r.frequency.band
            if low <= end <= high}
    inside = [high, low] if row.frequency else []
    return list(dict.fromkeys([*inside, *sorted(ends, reverse=True), _round_between(low, high)]))


def signals(view: MeterFunction, standards: Standards) -> list[dict]:
    """The 'level' and the 'frequency' that recommended points of a function need: none for most,
    several where the standards' levels differ."""
    if not view.kind.needs_level:
        return [{}]
    sources = outputs(view, standards)
    frequency = _duty_rates(view, sources) if view.kind.needs_frequency else ()
    least, most = view.given.sensitivity, view.table.limits.highest
    floor, target = (least.value if least else Fraction(0)), _LEVELS[view.given.level_dimension]
    if not sources:
        return [{"level": "3 V" if view.given.level_dimension == "[voltage]" else "10 mA",
                 "frequency": frequency}]
    levels, turns = {}, _turns(view, standards)
    for row in sources:
        if row.level and row.level.high.dimension == view.given.level_dimension:
            low, high = (end * turns for end in row.level.band)
            low, high = max(low, floor), high if most is None else min(high, most)
            if low <= high:
                levels[min(max(target, 2 * floor, low), high)] = row.level.high.unit
    return [{"level": f"{decimal_text(exact_text.in_unit(v, unit))} {unit.ascii}",
             "frequency": frequency} for v, unit in levels.items()]


def _duty_rates(view: MeterFunction, sources: list[OutputRow]) -> tuple[str, ...]:
    """A frequency well inside each of the meter's bands, and inside the source's where that can
    be."""
    chosen: dict[str, None] = {}
    for band in dict.fromkeys(row.frequency for on in view.table.ranges for row in on.rows):
        low, high = band or (Fraction(10), Fraction(10**5))
        bands = [r.frequency.band for r in sources
                 if r.frequency and r.frequency.band[0] < high and r.frequency.band[1] > low]
        if bands:
            low, high = max(low, bands[0][0]), min(high, bands[0][1])
        chosen[exact_text.frequency(_round_between(low, high), plain=True)] = None
    return tuple(chosen)


def _round_between(low: Fraction, high: Fraction) -> Fraction:
    """A round frequency well between two others: of 1, 2 and 5 with any power of ten the nearest to
    their geometric mean."""
    among = [n * Fraction(10) ** power for power in range(-3, 10) for n in (1, 2, 5)]
    square = low * high
    return min((f for f in among if low < f < high),
               key=lambda f: max(f * f / square, square / (f * f)), default=(low + high) / 2)
