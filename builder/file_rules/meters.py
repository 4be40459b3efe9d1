"""Rules across the fields of a meter's file."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise

from builder.file_rules import additions, displays, meter_doubts, meter_parts, row_ends
from builder.file_rules.plausible import CONFIRM
from builder.file_rules.saying import Say, a, dimension, named_as_file, say_into
from builder.files.problems import WARNING, Problem, errors
from builder.files.yaml_text import Document
from builder.formats.meter import FunctionEntry, Meter, RangeEntry
from builder.formats.written_out import OF_RANGES, told_beside
from builder.numbers import exact_text
from builder.procedure import meter_function


def meter(document: Document, meter: Meter) -> list[Problem]:
    problems: list[Problem] = []
    say = say_into(document, problems)
    named_as_file(say, "meter", meter.meter, document)
    _specification(say, meter)
    meter_doubts.of_meter(say, meter)
    titles: dict[str, int] = {}
    for i, function in enumerate(meter.functions):
        path = ("functions", i)
        if function.title in titles:
            say(path, "twice", f"'{function.title}' stands twice",
                "give one of them a 'name' of its own, such as 'DC millivolts'")
        titles.setdefault(function.title, i)
        wrong = len(errors(problems))
        right = _function(say, path, meter, function)
        if len(errors(problems)) == wrong and not say.lost(*path, "ranges"):
            meter_doubts.of_function(say, path, meter, function, right)
    for k, jack in enumerate(meter.jacks):
        if jack in meter.jacks[:k]:
            say(("jacks", k), "twice", f"the jack '{jack}' stands twice", "each by its own name")
    meter_parts.fuses(say, meter)
    meter_parts.others(say, meter)
    if not meter.functions and document.has("functions"):
        say(("functions",), "empty", "the meter has no functions")
    # What a function says once stands at each of its ranges, and is told once.
    return told_beside(document, list(dict.fromkeys(problems)))


def _specification(say: Say, meter: Meter) -> None:
    given, path = meter.specification, ("specification",)
    if dimension(say, (*path, "holds"), given.holds, "[temperature]", "'holds'",
                 "such as '18 to 28 degC'"):
        additions.coefficient(say, (*path, "temperature_coefficient"),
                              given.temperature_coefficient, meter)
    dimension(say, (*path, "humidity"), given.humidity, "[ratio]", "'humidity'",
              "such as '0 to 75 %'")
    rated = meter.rated
    for key, rating in (("between_terminals", rated.between_terminals), *rated.categories):
        dimension(say, ("rated", key), rating, "[voltage]", "a rating")


def _function(say: Say, path: tuple, meter: Meter,
              function: FunctionEntry) -> list[tuple[int, RangeEntry]]:
    """Its ranges that are right in themselves, lowest first, each with its position."""
    kind = function.kind
    for key in OF_RANGES:
        once = getattr(function, key)
        if (once is not None and function.ranges and not say.lost(*path, "ranges")
                and all(getattr(given, key) != once for given in function.ranges)):
            say((*path, key), "once", f"each range of '{function.title}' has its own '{key}'",
                "delete this one, or that of the ranges that it is meant for", of_key=True)
    if not function.ranges and not kind.may_lack_ranges and not say.lost(*path, "ranges"):
        say(path, "empty", f"'{function.title}' has no ranges",
            "a function without an accuracy table is 'continuity' or 'diode test'")
    _input_and_keys(say, path, meter, function)
    meter_parts.conditions(say, path, meter, function)
    if function.input:
        volts = function.level_dimension if kind.needs_level else kind.dimension
        dimension(say, (*path, "input", "highest"), function.input.highest, volts,
                  "the input of this function")
        dimension(say, (*path, "input", "peak"), function.input.peak, volts,
                  "a peak of this function")
        dimension(say, (*path, "input", "volt_hertz"), function.input.volt_hertz,
                  "[voltage-frequency]", "'volt_hertz'", "such as '10000000 V Hz'")
    additions.of_function(say, path, meter, function)
    additions.same_times(say, path, meter, function)
    right = [(j, given) for j, given in meter_function.in_order(function)
             if _range(say, (*path, "ranges", j), meter, function, given)]
    for (_, first), (k, other) in combinations(right, 2):
        if first.range.unit.is_temperature and first.range.unit != other.range.unit:
            say((*path, "ranges", k, "range"), "unit", "one function is in degC and degF",
                "write a function for each, with a 'name'")
        elif first.range.value == other.range.value:
            say((*path, "ranges", k, "range"), "twice",
                f"'{other.range}' stands twice in '{function.title}'",
                "for another dial position or other jacks write a second function with a 'name'")
    for position in {meter_function.position(function, given): None for _, given in right}:
        switched = [(k, given) for k, given in right
                    if meter_function.position(function, given) == position]
        for (_, lower), (k, higher) in pairwise(switched):
            _neighbours(say, (*path, "ranges", k), lower, higher)
    return right


# Keys that belong to some functions only: which, and how a sentence names those.
_ONLY_FOR = {
    "clamp": (lambda kind: kind.dimension == "[current]" or kind.needs_level,
              "a current or its frequency"),
    "relative": (lambda kind: bool(kind.zero_with), "two-wire readings, whose leads it takes off"),
    "after_zeroing": (lambda kind: bool(kind.zero_with), "two-wire readings"),
    "charges_to": (lambda kind: kind.dimension == "[capacitance]", "a capacitance"),
    "beeps_below": (lambda kind: kind.name == "continuity", "continuity"),
    "silent_above": (lambda kind: kind.name == "continuity", "continuity"),
    "thermocouple": (lambda kind: kind.dimension == "[temperature]", "a temperature"),
    "resistance_thermometer": (lambda kind: kind.dimension == "[temperature]", "a temperature"),
    "input_resistance": (lambda kind: kind.dimension == "[voltage]" and not kind.may_lack_ranges,
                         "a voltage"),
    "sensitivity": (lambda kind: kind.dimension == "[frequency]", "a frequency"),
    "signal": (lambda kind: kind.needs_level, "a frequency or a duty cycle"),
    "responds": (lambda kind: kind.is_ac, "an AC function"),
    "crest_factor": (lambda kind: kind.is_ac, "an AC function"),
}


def _input_and_keys(say: Say, path: tuple, meter: Meter, function: FunctionEntry) -> None:
    kind = function.kind
    for key, (belongs, to) in _ONLY_FOR.items():
        if getattr(function, key) not in (None, False, "voltage") and not belongs(kind):
            say((*path, key), "key", f"'{key}' belongs to {to}, not to {function.function}",
                f"write 'keys: {function.relative}', which is a step before the readings"
                if key == "relative" else "delete it")
    if function.thermocouple and function.resistance_thermometer:
        say((*path, "resistance_thermometer"), "key",
            "one function measures with a thermocouple and with a resistance thermometer",
            "write a function for each, with a 'name'")
    dimension(say, (*path, "input_resistance"), function.input_resistance, "[resistance]",
              "'input_resistance'", "such as '10 Mohm'")
    dimension(say, (*path, "charges_to"), function.charges_to, "[voltage]", "'charges_to'",
              "such as '3 V'")
    meter_parts.threshold(say, path, function)
    dimension(say, (*path, "sensitivity"), function.sensitivity, function.level_dimension,
              "'sensitivity'")
    for j, given in enumerate(function.ranges):
        if dimension(say, (*path, "ranges", j, "burden"), given.burden, "[voltage]", "'burden'",
                     "such as '0.3 V'") and given.burden and kind.dimension != "[current]":
            say((*path, "ranges", j, "burden"), "key",
                f"'burden' belongs to a current, not to {function.function}", "delete it")
    used = [((*path, "jacks"), function.jacks),
            *(((*path, "ranges", j, "jacks"), given.jacks)
              for j, given in enumerate(function.ranges))]
    if function.clamp:
        if kind.needs_level and function.signal != "current":
            say((*path, "clamp"), "clamp", f"the jaw measures the {kind.name} of a current",
                "add 'signal: current'")
        for jacks_path, jacks in used:
            if jacks:
                say(jacks_path, "jacks", "a clamp has no jacks", "delete 'jacks', or 'clamp'")
    elif function.jacks is None and not say.lost(*path, "jacks"):
        say(path, "missing", f"'{function.title}' needs 'jacks'",
            "such as 'jacks: [V, COM]'; a clamp has 'clamp: yes' instead")
    for jacks_path, jacks in used:
        unknown = [jack for jack in jacks or [] if meter.jacks and jack not in meter.jacks]
        if unknown:
            say(jacks_path, "jacks", f"'{unknown[0]}' is not among the meter's 'jacks'",
                "its jacks: " + ", ".join(meter.jacks))


def _neighbours(say: Say, path: tuple, lower: RangeEntry, higher: RangeEntry) -> None:
    """Two ranges that an autoranging meter switches between."""
    top = meter_function.highest_reading(lower)
    if lower.range.value < higher.range.value and top >= meter_function.highest_reading(higher):
        say(path, "order", f"the {higher.range} range reads no higher than the {lower.range} range",
            "check 'highest_reading'")
    if higher.down_range and higher.down_range.value > top:
        say((*path, "down_range"), "order",
            f"the meter would go down to the {lower.range} range at a reading that it can't show "
            "there",
            f"at most {exact_text.plain_quantity(top, higher.range.unit)}")


def _range(say: Say, path: tuple, meter: Meter, function: FunctionEntry, given: RangeEntry) -> bool:
    """Checks one range; whether its name, resolution and highest reading can be used for further
    rules."""
    kind, wanted = function.kind, f"{a(function.function)} range"
    if not dimension(say, (*path, "range"), given.range, kind.dimension, wanted):
        return False
    right = dimension(say, (*path, "resolution"), given.resolution, kind.dimension, wanted)
    for key in ("base", "highest_reading", "up_range", "down_range"):
        right &= dimension(say, (*path, key), getattr(given, key), kind.dimension, wanted)
    if given.lowest and given.lowest.amount:
        right &= dimension(say, (*path, "lowest"), given.lowest.amount, kind.dimension, wanted,
                           "write '5 % of range'" if given.lowest.amount.dimension == "[ratio]"
                           else "")
    for key in ("on_at_most", "off_at_least"):
        dimension(say, (*path, key), getattr(given, key), "[time]", f"'{key}'", "such as '30 s'")
    if given.off_at_least and not given.on_at_most:
        say((*path, "off_at_least"), "missing", "'off_at_least' needs 'on_at_most' beside it",
            "such as 'on_at_most: 30 s'")
    temperature = kind.dimension == "[temperature]"
    same = [q for q in (given.resolution, given.base, given.highest_reading, given.up_range,
                        given.down_range) if q]
    same += [given.lowest.amount] if given.lowest and given.lowest.amount else []
    same += [q for row in given.accuracy if row.values for q in row.values.stated]
    if right and temperature and any(q.unit != given.range.unit for q in same):
        say(path, "unit", "degC and degF stand in one range", "write one of them throughout")
        right = False
    counts = given.display or function.display
    counts_known = not say.lost(*path, "display") and (
        counts or say.has("display") and not say.lost(*path[:2], "display"))
    if right and counts_known:
        right = displays.counts_right(say, path, counts or meter.display, function, given)
    if right and temperature and given.range.unit == function.ranges[0].range.unit:
        _lower_end(say, path, function, given)
    _rows(say, path, function, given)
    return right


def _lower_end(say: Say, path: tuple, function: FunctionEntry, given: RangeEntry) -> None:
    """Of a temperature, which is no size: where its accuracy starts, with its sign."""
    span = meter_function.temperature_span(function)
    lowest = meter_function.lowest_specified(given)

    def shown(bound: Fraction) -> str:
        return exact_text.plain_quantity(bound, given.range.unit)

    if lowest is not None and lowest < span.low:
        say((*path, "lowest"), "order",
            f"{given.lowest.text} is below {span.sensor or 'absolute zero'}, {shown(span.low)}",
            "check its sign and its degrees")
    elif (lowest is None and not say.lost(*path, "lowest") and not given.confirmed
          and any(row.values is None for row in given.accuracy)):
        say((*path, "range"), "lowest",
            f"the {given.range} range doesn't say how low its accuracy reaches",
            "write 'lowest: -200 degC', or what else the data sheet says; without it all from "
            f"{shown(max(span.low, -meter_function.highest_reading(given)))} on is taken for "
            "specified", severity=WARNING)


def _rows(say: Say, path: tuple, function: FunctionEntry, given: RangeEntry) -> None:
    kind, bands = function.kind, []
    sure = given.confirmed or function.confirmed
    if not given.accuracy and not say.lost(*path, "accuracy"):
        say((*path, "accuracy"), "empty", "the range has no accuracy", "such as '0.5 % + 3 counts'")
    for k, row in enumerate(given.accuracy):
        row_path, right = (*path, "accuracy", k), True
        if say.lost(*row_path, "frequency") or say.lost(*row_path, "values"):
            right = False
        elif kind.is_ac and row.frequency is None:
            say(row_path, "frequency",
                f"an accuracy of {function.function} holds for some frequencies only",
                "write a row: '{frequency: 40 Hz to 1 kHz, within: 1.2 % + 5 counts}'")
            right = False
        if not kind.needs_frequency and row.frequency is not None:
            say((*row_path, "frequency"), "frequency",
                f"an accuracy of {function.function} has no frequency beside it",
                "for a part of the range write 'values: A to B'")
            right = False
        right &= dimension(say, (*row_path, "frequency"), row.frequency, "[frequency]",
                           "a row's 'frequency'", "such as '40 Hz to 1 kHz'")
        right &= dimension(say, (*row_path, "values"), row.values, kind.dimension,
                           f"a part of {a(function.function)} range")
        if right and row.frequency is not None:
            right = row_ends.frequencies(say, row_path, kind, row, bool(sure))
        if row.values and right and kind.dimension != "[temperature]" and any(
                end.value < 0 for end in row.values.stated):
            say((*row_path, "values"), "order", "a part of a range is written without a sign",
                "an accuracy holds for both polarities")
        right &= additions.states(say, row_path, kind, given, row)
        if right:
            bands.append((k, row))
    for (k, first), (m, other) in combinations(bands, 2):
        if (row_ends.overlap(first, other)
                and not (sure or first.confirmed or other.confirmed)):
            say((*path, "accuracy", m), "overlap",
                f"this row and row {k + 1} hold for the same values; the tighter of the two will "
                "apply", "check the ends of the rows; what the data sheet adds to another row "
                "stands under 'additions': '{add: 10 counts, values: 0 to 5 % of range}'; "
                f"{CONFIRM}", severity=WARNING)
    if (kind.is_ac and given.lowest is None and not say.lost(*path, "lowest")
            and not sure and any(row.values is None for row in given.accuracy)):
        say((*path, "range"), "lowest",
            f"the {given.range} range doesn't say from which value on its accuracy holds",
            "AC accuracy commonly starts at 5 or 10 % of range: write 'lowest: 5 % of range' if "
            f"the data sheet says so; {CONFIRM}", severity=WARNING)
