"""Rules across fields and files. Each rule adds problems with the place that they belong to."""

from __future__ import annotations

import difflib
from fractions import Fraction
from itertools import combinations
from typing import Callable, Iterable

from builder import conditions, tables, units, wording
from builder.compute.decision import SIMPLE
from builder.model.base import Span
from builder.model.checks import CHECKS, STAGES
from builder.model.kinds import KINDS
from builder.model.meter import Function, Meter, Range
from builder.model.plan import RECOMMENDED, Plan
from builder.model.standard import Standard
from builder.problems import WARNING, Problem, Wrong
from builder.source import Document
from builder.units import DIMENSIONS, Quantity, needs

Say = Callable[..., None]


def _say(document: Document, problems: list[Problem]) -> Say:
    def say(path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        problems.append(document.problem(path, code, sentence, hint, **more))
    return say


def nearest(word: str, known: Iterable[str]) -> str:
    known = list(known)
    near = difflib.get_close_matches(word, known, 1, 0.5)
    return f"did you mean '{near[0]}'?" if near else ("known here: " + ", ".join(known) if known else "")


def _a(words: str) -> str:
    return ("an " if words[:1] in "AaEeIiOoUu" else "a ") + words


def _named_as_file(say: Say, key: str, slug: str, document: Document) -> None:
    stem = document.file.rsplit("/", 1)[-1].removesuffix(".yaml")
    if slug not in (stem, "x"):  # "x" stands in for one that couldn't be read
        say((key,), "file-name", f"the file is named '{stem}.yaml', but holds '{slug}'", "make the two the same: addresses hang on it")


def _dimension(say: Say, path: tuple, found: Quantity | Span | None, wanted: str, what: str, unit_hint: str = "") -> bool:
    """Whether a quantity, if there is one, is of the wanted kind; says so if not."""
    if found is None:
        return True
    for one in ([found.low] if isinstance(found, Span) else [found]):
        if one.dimension != wanted:
            hint = unit_hint
            if not hint and not isinstance(found, Span):
                hint = _in_dimension(one, wanted)
            say(path, "unit", f"'{found}' is {DIMENSIONS[one.dimension]}, {what} needs {needs(wanted)}", hint)
            return False
    return True


_LETTERS = {"[voltage]": "V", "[current]": "A", "[resistance]": "ohm", "[capacitance]": "F", "[frequency]": "Hz", "[conductance]": "S"}


def _in_dimension(found: Quantity, wanted: str) -> str:
    if found.dimension in _LETTERS and wanted in _LETTERS:
        prefix = found.unit.ascii.removesuffix("Ohm" if found.dimension == "[resistance]" else _LETTERS[found.dimension])
        return f"did you mean '{units.decimal_text(found.number)} {prefix}{_LETTERS[wanted]}'?"
    return ""


# ---------------------------------------------------------------- meters

def meter(document: Document, meter: Meter) -> list[Problem]:
    problems: list[Problem] = []
    say = _say(document, problems)
    _named_as_file(say, "meter", meter.meter, document)
    _specification(say, meter)
    titles: dict[str, int] = {}
    for i, function in enumerate(meter.functions):
        at = ("functions", i)
        if function.title in titles:
            say(at, "twice", f"'{function.title}' stands twice", "give one of them a 'name' of its own, such as 'DC millivolts'")
        titles.setdefault(function.title, i)
        _function(say, at, meter, function)
    if not meter.functions and document.has("functions"):
        say(("functions",), "empty", "the meter has no functions")
    return problems


def _specification(say: Say, meter: Meter) -> None:
    given, at = meter.specification, ("specification",)
    if _dimension(say, (*at, "holds"), given.holds, "[temperature]", "'holds'", "such as '18 to 28 degC'"):
        coefficient = given.temperature_coefficient
        if coefficient and coefficient.unit != given.holds.low.unit:
            say((*at, "temperature_coefficient"), "unit", "the coefficient and 'holds' are in different degrees", "write both in degC or both in degF")
    _dimension(say, (*at, "humidity"), given.humidity, "[ratio]", "'humidity'", "such as '0 to 75 %'")
    for key, one in (("between_terminals", meter.rated.between_terminals), *meter.rated.categories):
        _dimension(say, ("rated", key), one, "[voltage]", "a rating")


def _function(say: Say, at: tuple, meter: Meter, function: Function) -> None:
    kind = function.kind
    if not function.ranges and not kind.may_lack_ranges:
        say(at, "empty", f"'{function.title}' has no ranges", "a function without an accuracy table is 'continuity' or 'diode test'")
    if function.input:
        volts = "[voltage]" if kind.needs_level else kind.dimension
        _dimension(say, (*at, "input", "highest"), function.input.highest, volts, "the input of this function")
        _dimension(say, (*at, "input", "peak"), function.input.peak, volts, "a peak of this function")
        _dimension(say, (*at, "input", "volt_hertz"), function.input.volt_hertz, "[voltage-frequency]", "'volt_hertz'", "such as '10000000 V Hz'")
    right = [(j, given) for j, given in tables.in_order(function) if _range(say, (*at, "ranges", j), meter, function, given)]
    for (j, one), (k, other) in combinations(right, 2):
        if one.range.unit.is_temperature and one.range.unit != other.range.unit:
            say((*at, "ranges", k, "range"), "unit", "one function is in degC and degF", "write a function for each, with a 'name'")
        elif one.range.value == other.range.value:
            say((*at, "ranges", k, "range"), "twice", f"'{other.range}' stands twice in '{function.title}'",
                "for another dial position or other jacks write a second function with a 'name'")
    for position in {tables.position(function, given): None for _, given in right}:
        switched = [(j, given) for j, given in right if tables.position(function, given) == position]
        for (_, lower), (k, higher) in zip(switched, switched[1:]):
            _neighbours(say, (*at, "ranges", k), lower, higher)


def _neighbours(say: Say, at: tuple, lower: Range, higher: Range) -> None:
    """Two ranges that an autoranging meter switches between."""
    top = tables.highest_reading(lower)
    if lower.range.value < higher.range.value and top >= tables.highest_reading(higher):
        say(at, "order", f"the {higher.range} range reads no higher than the {lower.range} range", "check 'highest_reading'")
    if higher.down_range and higher.down_range.value > top:
        say((*at, "down_range"), "order", f"the meter would go down to the {lower.range} range at a reading that it can't show there",
            f"at most {wording.plain_quantity(top, higher.range.unit)}")


def _range(say: Say, at: tuple, meter: Meter, function: Function, given: Range) -> bool:
    """Checks one range; whether its name, resolution and highest reading can be used for further rules."""
    kind, wanted = function.kind, f"{_a(function.function)} range"
    if not _dimension(say, (*at, "range"), given.range, kind.dimension, wanted):
        return False
    right = _dimension(say, (*at, "resolution"), given.resolution, kind.dimension, wanted)
    for key in ("base", "highest_reading", "up_range", "down_range"):
        right &= _dimension(say, (*at, key), getattr(given, key), kind.dimension, wanted)
    if given.lowest and given.lowest.amount:
        right &= _dimension(say, (*at, "lowest"), given.lowest.amount, kind.dimension, wanted,
                            "write '5 % of range'" if given.lowest.amount.dimension == "[ratio]" else "")
    for key in ("on_at_most", "off_at_least"):
        _dimension(say, (*at, key), getattr(given, key), "[time]", f"'{key}'", "such as '30 s'")
    if given.off_at_least and not given.on_at_most:
        say((*at, "off_at_least"), "missing", "'off_at_least' needs 'on_at_most' beside it", "such as 'on_at_most: 30 s'")
    temperature = kind.dimension == "[temperature]"
    same = [q for q in (given.resolution, given.base, given.highest_reading, given.up_range, given.down_range) if q]
    same += [given.lowest.amount] if given.lowest and given.lowest.amount else []
    same += [q for row in given.accuracy if row.values for q in (row.values.low, row.values.high)]
    if right and temperature and any(q.unit != given.range.unit for q in same):
        say(at, "unit", "degC and degF stand in one range", "write one of them throughout")
        right = False
    if right:
        right = _display(say, at, function.display or meter.display, function, given)
    _rows(say, at, function, given)
    return right


def _display(say: Say, at: tuple, counts: int, function: Function, given: Range) -> bool:
    step, full = given.resolution.value, given.range.value
    digits = units.decimal_text(given.resolution.number).replace(".", "").strip("0")
    if digits not in ("1", "2", "5"):
        say((*at, "resolution"), "resolution", f"a display can't step by {given.resolution}", "the last digit steps by 1, 2 or 5")
        return False
    if (full / step).denominator != 1 or full / step < 2:
        say((*at, "resolution"), "resolution", f"{given.range} is not a whole number of steps of {given.resolution}",
            f"with {counts} counts a {given.range} range commonly resolves {_common_step(given.range, counts)}")
        return False
    highest, path = tables.highest_reading(given), (*at, "highest_reading")
    if given.highest_reading and (highest / step).denominator != 1:
        say(path, "resolution", f"{given.highest_reading} is not a whole number of steps of {given.resolution}", "a display can't show it")
        return False
    if highest / step > counts:
        path = path if given.highest_reading else (*at, "resolution")
        say(path, "counts", f"the range would count to {highest / step}, the display counts to {counts}",
            f"with {counts} counts a {given.range} range commonly resolves {_common_step(given.range, counts)}; "
            "a function that counts further has its own 'display'")
        return False
    if given.up_range and given.up_range.value > highest + step:
        say((*at, "up_range"), "order", "the meter would leave the range beyond its highest reading", "check 'up_range'")
    finer = function.ranging != "manual" and full / step * 10 <= counts
    if finer:
        say((*at, "resolution"), "resolution", f"with {counts} counts a {given.range} range could resolve ten times finer than {given.resolution}",
            f"commonly {_common_step(given.range, counts)}; leave it if the data sheet says so", severity=WARNING)
    if function.ranging == "manual" and (given.up_range or given.down_range):
        say((*at, "up_range" if given.up_range else "down_range"), "order", "this function doesn't change its range by itself", "delete the key, or 'ranging: manual'")
    lowest = tables.lowest_specified(given)
    if lowest is not None and lowest >= highest:
        say((*at, "lowest"), "order", "the lowest specified value is above the highest reading")
    return True


def _common_step(name: Quantity, counts: int) -> str:
    step = Fraction(1)
    while name.number / step > counts:
        step *= 10
    while name.number / (step / 10) <= counts:
        step /= 10
    return f"{units.decimal_text(step)} {name.unit.ascii}"


def _rows(say: Say, at: tuple, function: Function, given: Range) -> None:
    kind, bands = function.kind, []
    if not given.accuracy:
        say((*at, "accuracy"), "empty", "the range has no accuracy", "such as '0.5 % + 3 counts'")
    for k, row in enumerate(given.accuracy):
        path, right = (*at, "accuracy", k), True
        if kind.is_ac and row.frequency is None:
            say(path, "frequency", f"an accuracy of {function.function} holds for some frequencies only",
                "write a row: '{frequency: 40 Hz to 1 kHz, within: 1.2 % + 5 counts}'")
            right = False
        if not kind.needs_frequency and row.frequency is not None:
            say((*path, "frequency"), "frequency", f"an accuracy of {function.function} has no frequency beside it",
                "for a part of the range write 'values: A to B'")
            right = False
        right &= _dimension(say, (*path, "frequency"), row.frequency, "[frequency]", "a row's 'frequency'", "such as '40 Hz to 1 kHz'")
        right &= _dimension(say, (*path, "values"), row.values, kind.dimension, f"a part of {_a(function.function)} range")
        if row.values and right and row.values.low.value < 0 and kind.dimension != "[temperature]":
            say((*path, "values"), "order", "a part of a range is written without a sign", "an accuracy holds for both polarities")
        try:
            row.within.of(kind.dimension, given.range.unit)
        except Wrong as wrong:
            say((*path, "within"), "unit", wrong.sentence, wrong.hint)
        if right:
            bands.append((k, row))
    for (k, one), (m, other) in combinations(bands, 2):
        if _overlap(one.frequency, other.frequency) and _overlap(one.values, other.values):
            say((*at, "accuracy", m), "overlap", f"this row and row {k + 1} hold for the same values; the tighter of the two will apply",
                "check the ends of the rows, if that is not what the data sheet says", severity=WARNING)
    if kind.is_ac and given.lowest is None and any(row.values is None for row in given.accuracy):
        say((*at, "range"), "lowest", f"the {given.range} range doesn't say from which value on its accuracy holds",
            "AC accuracy commonly starts at 5 or 10 % of range: write 'lowest: 5 % of range' if the data sheet says so", severity=WARNING)


def _overlap(one: Span | None, other: Span | None) -> bool:
    if one is None or other is None:
        return True
    (a, b), (c, d) = one.band, other.band
    return max(a, c) < min(b, d)


# ---------------------------------------------------------------- standards

def standard(document: Document, standard: Standard) -> list[Problem]:
    problems: list[Problem] = []
    say = _say(document, problems)
    _named_as_file(say, "standard", standard.standard, document)
    _dimension(say, ("holds",), standard.holds, "[temperature]", "'holds'", "such as '18 to 28 degC'")
    for i, output in enumerate(standard.outputs):
        kind = KINDS[output.output]
        for j, row in enumerate(output.rows):
            at, what = ("outputs", i, "rows", j), f"an output of {output.output}"
            if not _dimension(say, (*at, "values"), row.values, kind.dimension, what):
                continue
            _dimension(say, (*at, "frequency"), row.frequency, "[frequency]", "'frequency'", "such as '40 Hz to 1 kHz'")
            _dimension(say, (*at, "level"), row.level, "[voltage]", "'level'", "such as '0.1 V to 10 V'")
            if kind.is_ac and row.frequency is None or row.frequency is not None and not kind.needs_frequency:
                say(at, "frequency", f"{what} {'needs' if kind.is_ac else 'has no'} 'frequency'", "such as 'frequency: 40 Hz to 1 kHz'" if kind.is_ac else "delete it")
            if kind.needs_level != (row.level is not None):
                say(at, "level", f"{what} {'needs' if kind.needs_level else 'has no'} 'level'", "such as 'level: 0.1 V to 10 V'" if kind.needs_level else "delete it")
            if (row.within is None) == (row.within_since is None):
                say(at, "missing", "a row has 'within', or 'within_since' with an uncertainty for each time since calibration", "such as 'within: 50 ppm + 20 uV'")
            if row.within_since is not None and standard.calibrated is None:
                say((*at, "within_since"), "missing", "uncertainties by the time since calibration need 'calibrated' at the top", "such as 'calibrated: 2026-06-30'")
            if (row.calibration is not None) != (standard.accuracy != "absolute"):
                say(at, "calibration", "'calibration' stands in each row where the accuracy is relative to it, and only there",
                    "'accuracy: relative to its calibration', or delete it")
            texts = [(("within",), row.within), (("drift",), row.drift), (("calibration",), row.calibration)]
            texts += [(("within_since", one.since.text), one.within) for one in row.within_since or []]
            for key, text in texts:
                if text is not None:
                    _uncertainty(say, (*at, *key), text, kind.dimension, row.values.high.unit)
    return problems


def _uncertainty(say: Say, at: tuple, text, dimension: str, unit) -> None:
    if text.counts or text.of_range:
        say(at, "unit", "a standard's uncertainty is percent or ppm of the output and a fixed amount", "such as '50 ppm + 20 uV'")
        return
    try:
        text.of(dimension, unit)
    except Wrong as wrong:
        say(at, "unit", wrong.sentence, wrong.hint)


# ---------------------------------------------------------------- plans

def plan(document: Document, plan: Plan, meters: dict[str, Meter], standards: dict[str, Standard], broken: set[str]) -> list[Problem]:
    """`broken` names files that hold errors of their own, as 'meters/dunlin-60': no problem of this plan."""
    problems: list[Problem] = []
    say = _say(document, problems)
    _named_as_file(say, "plan", plan.plan, document)
    if plan.meter not in meters and f"meters/{plan.meter}" not in broken:
        say(("meter",), "no-meter", f"there is no meter '{plan.meter}'", nearest(plan.meter, meters))
    for i, name in enumerate(plan.standards):
        if name not in standards and f"standards/{name}" not in broken:
            say(("standards", i), "no-standard", f"there is no standard '{name}'", nearest(name, standards))
    meter = meters.get(plan.meter)
    for i, check in enumerate(plan.checks):
        path = ("checks", i)
        lacking = [f"'{key}'" for key in ("when", "do", "good") if not getattr(check, key)]
        if check.check not in CHECKS and lacking:
            if len(lacking) == 3:
                say((*path, "check"), "no-check", f"'{check.check}' is not a check that the builder knows",
                    nearest(check.check, CHECKS) + " Your own check needs 'when', 'do' and 'good'.")
            else:
                say((*path, "check"), "missing", f"your own check '{check.check}' lacks {' and '.join(lacking)}", "such as 'good: no crack'")
        elif check.check in CHECKS and check.when and STAGES.index(check.when) > STAGES.index(CHECKS[check.check].when):
            say((*path, "when"), "order", f"'{check.check}' belongs to '{CHECKS[check.check].when}', before that",
                "delete 'when': a fault must be found before anything is applied")
        if check.unit and not (check.write or (check.check in CHECKS and CHECKS[check.check].write)):
            say((*path, "unit"), "missing", "a unit stands here, but nothing says what to write down", "add 'write', such as 'write: lowest', or delete 'unit'")
        if meter and check.covers:
            covered = next((f for f in meter.functions if f.title == check.covers), None)
            if covered is None:
                say((*path, "covers"), "no-function", f"'{meter.name}' has no function '{check.covers}'", nearest(check.covers, [f.title for f in meter.functions]))
            elif covered.ranges:
                say((*path, "covers"), "covers", f"'{check.covers}' has an accuracy table, which a check without numbers doesn't test", "list points, or leave it out with a reason")
    if meter is None:
        return problems
    if _dimension(say, ("ambient",), plan.ambient, "[temperature]", "'ambient'", "such as '20 to 26 degC'") and f"meters/{plan.meter}" not in broken:
        problems += conditions.problems(document, plan, meter)
    if plan.outcomes == "four" and plan.decision_rule.kind == SIMPLE:
        say(("outcomes",), "outcomes", "four outcomes need a guard band between pass and fail", "another 'decision_rule', or 'outcomes: two'")
    for i, name in enumerate(plan.standards):
        if name in plan.standards[:i]:
            say(("standards", i), "twice", f"'{name}' stands twice", "delete one of them")
    for i, one in enumerate(plan.accepted):
        if one.what == "overdue" and (one.function or one.range):
            say(("accepted", i), "accepted", "a standard is overdue for all functions", "delete 'function' and 'range'; 'standard' may stand")
        if one.standard is not None and one.standard not in plan.standards:
            say(("accepted", i, "standard"), "no-standard", f"'{one.standard}' is not among the plan's standards", nearest(one.standard, plan.standards))
        if one.function is not None and f"meters/{plan.meter}" not in broken:
            _reference(say, ("accepted", i), meter, one.function, one.range, "range")
    if f"meters/{plan.meter}" in broken:
        return problems  # what this plan names may be what the meter's file lost to its own mistakes
    for i, points in enumerate(plan.points):
        _points(say, ("points", i), plan, meter, points)
    for i, left in enumerate(plan.left_out):
        _reference(say, ("left_out", i), meter, left.function, left.range, "range")
    return problems


def _reference(say: Say, at: tuple, meter: Meter, function: str, range: Quantity | None, key: str) -> Function | None:
    """The function that a plan names, if it and its range exist."""
    found = next((f for f in meter.functions if f.title == function), None)
    if found is None:
        say((*at, "function"), "no-function", f"'{meter.name}' has no function '{function}'", nearest(function, [f.title for f in meter.functions]))
        return None
    if range is not None and not any(r.range.value == range.value and r.range.dimension == range.dimension for r in found.ranges):
        say((*at, key), "no-range", f"'{function}' of '{meter.name}' has no range '{range}'", "its ranges: " + ", ".join(str(r.range) for _, r in tables.in_order(found)))
        return None
    return found


def _points(say: Say, at: tuple, plan: Plan, meter: Meter, points) -> None:
    if points.range is not None and points.force_range is not None:
        say((*at, "force_range"), "range", "'range' and 'force_range' stand side by side", "keep 'force_range' if the range is selected by hand")
    function = _reference(say, at, meter, points.function, points.force_range or points.range, "force_range" if points.force_range else "range")
    if function is None:
        return
    kind = function.kind
    if kind.not_planned:
        say((*at, "function"), "not-planned", f"points of {function.function} can't be planned yet: {kind.not_planned}",
            "leave the function out with this reason, or cover it with a check")
    if not function.ranges:
        say((*at, "function"), "not-planned", f"'{function.title}' has no accuracy table to compute limits from", "cover it with a check: 'covers: " + function.title + "'")
    if points.force_range is not None and function.ranging == "automatic only":
        say((*at, "force_range"), "range", f"'{function.title}' has no range selection by hand", "choose a value that is clear of the next range")
    for j, applied in enumerate(points.apply):
        if applied == RECOMMENDED:
            if points.observe or len(points.apply) > 1:
                say((*at, "apply", j), "apply", "'recommended' stands alone and is no observation", "write two entries under 'points'")
        elif _dimension(say, (*at, "apply", j), applied, kind.dimension, f"a point of {function.function}"):
            if applied.unit.is_temperature and applied.unit != function.ranges[0].range.unit:
                say((*at, "apply", j), "unit", f"the ranges are in {function.ranges[0].range.unit.shown}", "write the point in the same degrees")
    recommended = points.apply == [RECOMMENDED]
    if kind.needs_frequency and points.frequency is None and not (recommended and kind.is_ac):
        say(at, "frequency", f"a point of {function.function} needs 'frequency'", "such as 'frequency: [50 Hz, 1 kHz]'")
    if points.frequency is not None and (not kind.needs_frequency or (recommended and kind.is_ac)):
        say((*at, "frequency"), "frequency", "'frequency' doesn't belong here", "recommended points choose theirs; DC has none")
    for j, one in enumerate(points.frequency or []):
        _dimension(say, (*at, "frequency", j), one, "[frequency]", "'frequency'")
    if kind.needs_level != (points.level is not None):
        say(at, "level", f"a point of {function.function} {'needs' if kind.needs_level else 'has no'} 'level'", "such as 'level: 3 V'" if kind.needs_level else "delete it")
    _dimension(say, (*at, "level"), points.level, "[voltage]", "'level'")
    if points.standard is not None and points.standard not in plan.standards:
        say((*at, "standard"), "no-standard", f"'{points.standard}' is not among the plan's standards", nearest(points.standard, plan.standards))
