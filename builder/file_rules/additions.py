"""Rules about what a row of a meter's file states, what is added to it, and temperature
coefficients."""

from __future__ import annotations

from itertools import pairwise

from builder.file_rules.plausible import doubt
from builder.file_rules.saying import Say, a
from builder.files.problems import Wrong
from builder.formats.additions import AdditionEntry
from builder.formats.functions import FunctionKind
from builder.formats.meter import FunctionEntry, Meter, RangeEntry
from builder.formats.meter_texts import Coefficients
from builder.formats.row_entry import RowEntry
from builder.numbers.units import Quantity, kind_of

_TERMS = ("percent_of_reading", "percent_of_range", "counts", "fixed")


def states(say: Say, path: tuple, kind: FunctionKind, given: RangeEntry, row: RowEntry) -> bool:
    """Whether a row has one accuracy, and one that fits the function."""
    keys = ("within", "typical", "within_since")
    if sum(getattr(row, key) is not None for key in keys) != 1:
        if not any(say.lost(*path, key) for key in keys):
            say(path, "missing", "a row has 'within', or 'typical' for a figure without a limit",
                "such as 'within: 0.5 % + 3 counts'; or 'within_since' alone, by time since "
                "adjustment")
        return False
    try:
        for one in [row.since(time.since.days) for time in row.times] or [row]:
            for side in one.sides:
                side.of(kind.dimension, given.range.unit)
    except Wrong as wrong:
        say((*path, row.key), "unit", wrong.sentence, wrong.hint)
        return True
    _by_time(say, path, kind, given, row)
    return True


def _by_time(say: Say, path: tuple, kind: FunctionKind, given: RangeEntry, row: RowEntry) -> None:
    """What is stated by time since adjustment: each time once, and the longer the wider."""
    for first, second in pairwise(row.times):
        where = (*path, "within_since", second.since.text)
        if first.since.days == second.since.days:
            say(where, "twice", f"'{first.since.text}' and '{second.since.text}' are one time",
                "delete one of them")
            continue
        shorter, longer = (
            [side.of(kind.dimension, given.range.unit) for side in row.since(days).sides]
            for days in (first.since.days, second.since.days))
        if any(after != before and all(getattr(after, term) <= getattr(before, term)
                                       for term in _TERMS)
               for before, after in ((shorter[n], longer[n]) for n in (0, -1))):
            doubt(say, where, f"the accuracy of {second.since.text} since adjustment is tighter "
                  f"than that of {first.since.text}", "are the two exchanged?",
                  bool(row.confirmed or given.confirmed))


def same_times(say: Say, path: tuple, meter: Meter, function: FunctionEntry) -> None:
    """A plan names one time, so each row that states an accuracy by time has one for all of
    them."""
    wanted = meter.times
    for j, given in enumerate(function.ranges):
        for k, row in enumerate(given.accuracy):
            own = {one.since.days for one in row.times}
            lacking = [one.text for one in wanted if one.days not in own]
            if own and lacking:
                say((*path, "ranges", j, "accuracy", k, "within_since"), "times",
                    f"other rows state an accuracy for {' and '.join(lacking)} since adjustment, "
                    "this one doesn't", "the same times at each row that has 'within_since'; a row "
                    "with 'within' holds for all of them")


def of_function(say: Say, path: tuple, meter: Meter, function: FunctionEntry) -> None:
    """All additions and coefficients of a function, its ranges and their rows."""
    holders = [(path, function.additions, function.ranges[0] if function.ranges else None)]
    stated = [(path, function.temperature_coefficient)]
    for j, given in enumerate(function.ranges):
        where = (*path, "ranges", j)
        holders.append((where, given.additions, given))
        for k, row in enumerate(given.accuracy):
            holders.append(((*where, "accuracy", k), row.additions, given))
            stated.append(((*where, "accuracy", k), row.temperature_coefficient))
    for where, additions, given in holders:
        for n, entry in enumerate(additions):
            _addition(say, (*where, "additions", n), function.kind, entry, given)
    for where, coefficients in stated:
        coefficient(say, (*where, "temperature_coefficient"), coefficients, meter)
        for side, side_of in (coefficients.both if coefficients else {}).items():
            if side_of.terms is not None and function.ranges:
                _of_function(say, (*where, "temperature_coefficient"), side_of.terms, function.kind,
                             function.ranges[0], side)
    if (meter.specification.temperature_coefficient and function.ranges
            and function.temperature_coefficient is None):
        for side_of in meter.specification.temperature_coefficient.both.values():
            if side_of.terms is not None and side_of.terms.fixed is not None:
                _of_function(say, ("specification", "temperature_coefficient"), side_of.terms,
                             function.kind, function.ranges[0], "")


def coefficient(say: Say, path: tuple, given: Coefficients | None, meter: Meter) -> None:
    """Its degrees are those of 'holds'; more than the accuracy itself per degree is a doubt."""
    for stated in (given.both if given else {}).values():
        if stated.unit != meter.specification.holds.low.unit:
            say(path, "unit", "the coefficient and 'holds' are in different degrees",
                "write both in degC or both in degF")
            return
        if stated.fraction > 1:
            doubt(say, path, "the accuracy would more than double with each degree",
                  "0.1 × (specified accuracy) per degC is '0.1 per degC'",
                  bool(meter.specification.confirmed))
            return


def _of_function(say: Say, path: tuple, terms, kind: FunctionKind, given: RangeEntry,
                 side: str) -> bool:
    try:
        terms.of(kind.dimension, given.range.unit)
    except Wrong as wrong:
        say(path, "unit", wrong.sentence, wrong.hint)
        return False
    return True


def _addition(say: Say, path: tuple, kind: FunctionKind, entry: AdditionEntry,
              given: RangeEntry | None) -> None:
    if given is None or not _of_function(say, (*path, "add"), entry.add.terms, kind, given, ""):
        return
    for quantity in entry.values.quantities if entry.values else ():
        if quantity.dimension != kind.dimension or (
                quantity.unit.is_temperature and quantity.unit != given.range.unit):
            say((*path, "values"), "unit",
                f"'{quantity}' is {kind_of(quantity.dimension)}, a part of "
                f"{a(kind.name)} range is in {given.range.unit.shown}",
                "such as '0 to 5 % of range'")
            return
        if quantity.value < 0 and not quantity.unit.is_temperature:
            say((*path, "values"), "order", "a part of a range is written without a sign",
                "an addition holds for both polarities")
            return
    if entry.crest_factor is not None and not kind.is_ac:
        say((*path, "crest_factor"), "key", f"{kind.name} has no crest factor", "delete it")
        return
    if entry.add.per is not None:
        _per(say, path, kind, entry)
    elif entry.above is not None:
        say((*path, "above"), "key", "'above' stands beside 'per': from where on the term grows",
            "for a part of the range write 'values: above 3 V', for a humidity 'humidity: above "
            "70 %'")
    elif not any(getattr(entry, key) is not None or say.lost(*path, key)
                 for key in ("values", "crest_factor", "humidity")):
        say(path, "missing", "the addition doesn't say where it holds",
            "add 'values: 0 to 5 % of range', 'crest_factor: 2 to 3' or 'humidity: above 70 %'; "
            "what holds everywhere belongs to the accuracy itself")


def _per(say: Say, path: tuple, kind: FunctionKind, entry: AdditionEntry) -> None:
    """What grows: with the frequency of a function that has one, or with the value itself."""
    per = entry.add.per
    grows_with_frequency = kind.needs_frequency and per.dimension == "[frequency]"
    if not grows_with_frequency and (per.dimension != kind.dimension
                                     or kind.dimension == "[temperature]"):
        say((*path, "add"), "unit", f"{kind.name} doesn't grow per {per.shown}",
            "per Hz or kHz where the function has a frequency, or per step of its own unit")
    elif not grows_with_frequency and (entry.add.terms.bare_percent or entry.add.terms.of_reading):
        say((*path, "add"), "unit", "a percent of the reading for each step of the reading is no "
            "straight line", "counts or a fixed amount, such as '2 counts per V'")
    elif entry.above is not None and entry.above.dimension != per.dimension:
        say((*path, "above"), "unit", f"'{entry.above}' is {kind_of(entry.above.dimension)}, the "
            f"addition grows per {per.shown}", f"such as '{Quantity(entry.above.number, per)}'")
