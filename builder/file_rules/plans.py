"""Rules across a plan and the files that it names."""

from __future__ import annotations

from builder.compute.statistics.decision import SIMPLE
from builder.file_rules import plan_bench, plan_checks
from builder.file_rules.saying import Say, dimension, named_as_file, nearest, say_into
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.meter import FunctionEntry, Meter
from builder.formats.plan import FINDS, MOST_POINTS, RECOMMENDED, Plan, PointSet
from builder.formats.standard import Standard
from builder.numbers.units import Quantity
from builder.procedure import ambient, meter_function


def plan(document: Document, plan: Plan, meters: dict[str, Meter], standards: dict[str, Standard],
         broken: set[str]) -> list[Problem]:
    """`broken` names files that hold errors of their own, as 'meters/dunlin-60': no problem of this
    plan."""
    problems: list[Problem] = []
    say = say_into(document, problems)
    named_as_file(say, "plan", plan.plan, document)
    if plan.meter not in meters and f"meters/{plan.meter}" not in broken:
        say(("meter",), "no-meter", f"there is no meter '{plan.meter}'",
            nearest(plan.meter, meters))
    for i, name in enumerate(plan.standards):
        if name not in standards and f"standards/{name}" not in broken:
            say(("standards", i), "no-standard", f"there is no standard '{name}'",
                nearest(name, standards))
    meter = meters.get(plan.meter)
    meter_is_whole = f"meters/{plan.meter}" not in broken
    plan_checks.checks(say, plan, meter, meter_is_whole)
    plan_bench.leads(say, plan)
    plan_bench.junction(say, plan, standards)
    plan_bench.known_leads(say, plan, standards, meter if meter_is_whole else None)
    if meter is None:
        return problems
    if dimension(say, ("ambient",), plan.ambient, "[temperature]", "'ambient'",
                 "such as '20 to 26 degC'") and meter_is_whole:
        problems += ambient.problems(document, plan, meter)
    _humidity(say, plan, meter if meter_is_whole else None)
    if plan.outcomes == "four" and plan.decision_rule.kind == SIMPLE:
        say(("outcomes",), "outcomes", "four outcomes need a guard band between pass and fail",
            "another 'decision_rule', or 'outcomes: two'")
    for i, name in enumerate(plan.standards):
        if name in plan.standards[:i]:
            say(("standards", i), "twice", f"'{name}' stands twice", "delete one of them")
    _accepted(say, plan, meter if meter_is_whole else None)
    if not meter_is_whole:
        # what this plan names may be what the meter's file lost to its own mistakes
        return problems
    _verified_against(say, plan, meter)
    if _too_many(say, plan):
        return problems
    _all_points(say, plan, meter)
    for i, series in enumerate(plan.repeatability):
        function = _reference(say, ("repeatability", i), meter, series.function, series.range,
                              "range")
        if function is not None:
            plan_bench.repeatability(say, plan, i, function)
    for i, left in enumerate(plan.left_out):
        if left.function is not None:
            _reference(say, ("left_out", i), meter, left.function, left.range, "range")
    return problems


def _verified_against(say: Say, plan: Plan, meter: Meter) -> None:
    """One of the times since adjustment that the meter's file states an accuracy for."""
    named, times = plan.verified_against, meter.times
    if say.lost("verified_against") or (named is None and not times):
        return
    known = " or ".join(f"'verified_against: {one.text}'" for one in times)
    if named is None:
        say(("meter",), "verified-against", f"{meter.name} has an accuracy for several times since "
            "adjustment, and the plan doesn't say which one is the criterion", f"write {known}")
    elif not times:
        say(("verified_against",), "verified-against",
            f"{meter.name} has no accuracy by time since adjustment",
            "delete the key, or write 'within_since' in the meter's file")
    elif named.days not in {one.days for one in times}:
        say(("verified_against",), "verified-against",
            f"{meter.name} has no accuracy for {named.text} since adjustment", f"write {known}")


def _all_points(say: Say, plan: Plan, meter: Meter) -> None:
    for i, points in enumerate(plan.points):
        _points(say, ("points", i), plan, meter, points)


def _too_many(say: Say, plan: Plan) -> bool:
    """Whether a plan lists more points than anybody tries; says so where it becomes too much."""
    asked = 0
    for i, points in enumerate(plan.points):
        asked += len(points.apply) * len(points.frequency or [None])
        if asked > MOST_POINTS:
            say(("points", i), "too-many",
                f"the plan has {asked} points up to here, more than {MOST_POINTS}",
                "each value is tried at each of the frequencies: fewer of them, or a plan for each "
                "part of the meter")
            return True
    return False


def _humidity(say: Say, plan: Plan, meter: Meter | None) -> None:
    """Inside what the meter's accuracy holds for; `meter` is None where its file holds errors."""
    if not dimension(say, ("humidity",), plan.humidity, "[ratio]", "'humidity'",
                     "such as '40 to 70 %'") or plan.humidity is None or meter is None:
        return
    stated = meter.specification.humidity
    if stated and not stated.band[0] <= plan.humidity.band[0] <= plan.humidity.band[1] <= (
            stated.band[1]):
        say(("humidity",), "humidity",
            f"{plan.humidity} goes beyond {stated}, for which the accuracy holds", "stay inside")


def _accepted(say: Say, plan: Plan, meter: Meter | None) -> None:
    """`meter` is None where its file holds errors of its own."""
    for i, shortfall in enumerate(plan.accepted):
        if shortfall.what == "overdue" and (shortfall.function or shortfall.range):
            say(("accepted", i), "accepted", "a standard is overdue for all functions",
                "delete 'function' and 'range'; 'standard' may stand")
        if shortfall.range is not None and shortfall.function is None:
            say(("accepted", i, "range"), "accepted",
                "a range without its function may be one of several", "add 'function'")
        if shortfall.standard is not None and shortfall.standard not in plan.standards:
            say(("accepted", i, "standard"), "no-standard",
                f"'{shortfall.standard}' is not among the plan's standards",
                nearest(shortfall.standard, plan.standards))
        if shortfall.function is not None and meter is not None:
            _reference(say, ("accepted", i), meter, shortfall.function, shortfall.range, "range")


def _reference(say: Say, path: tuple, meter: Meter, function: str, range: Quantity | None,
               key: str) -> FunctionEntry | None:
    """The function that a plan names, if it and its range exist."""
    entry = next((f for f in meter.functions if f.title == function), None)
    if entry is None:
        say((*path, "function"), "no-function", f"'{meter.name}' has no function '{function}'",
            nearest(function, [f.title for f in meter.functions]))
        return None
    if range is not None and not any(
            r.range.value == range.value and r.range.dimension == range.dimension
            for r in entry.ranges):
        say((*path, key), "no-range", f"'{function}' of '{meter.name}' has no range '{range}'",
            "its ranges: " + ", ".join(str(r.range) for _, r in meter_function.in_order(entry)))
        return None
    return entry


def _points(say: Say, path: tuple, plan: Plan, meter: Meter, points: PointSet) -> None:
    if points.range is not None and points.force_range is not None:
        say((*path, "force_range"), "range", "'range' and 'force_range' stand side by side",
            "keep 'force_range' if the range is selected by hand")
    function = _reference(say, path, meter, points.function, points.force_range or points.range,
                          "force_range" if points.force_range else "range")
    if function is None:
        return
    kind = function.kind
    if kind.not_planned:
        say((*path, "function"), "not-planned",
            f"points of {function.function} can't be planned yet: {kind.not_planned}",
            "leave the function out with this reason, or cover it with a check")
    if not function.ranges:
        say((*path, "function"), "not-planned",
            f"'{function.title}' has no accuracy table to compute limits from",
            "cover it with a check: 'covers: " + function.title + "'")
    if points.force_range is not None and function.ranging == "automatic only":
        say((*path, "force_range"), "range", f"'{function.title}' has no range selection by hand",
            "choose a value that is clear of the next range")
    _applied(say, path, function, points)
    recommended = points.apply == [RECOMMENDED]
    if kind.needs_frequency and points.frequency is None and not (recommended and kind.is_ac):
        say(path, "frequency", f"a point of {function.function} needs 'frequency'",
            "such as 'frequency: [50 Hz, 1 kHz]'")
    if points.frequency is not None and (not kind.needs_frequency or (recommended and kind.is_ac)):
        say((*path, "frequency"), "frequency", "'frequency' doesn't belong here",
            "recommended points choose theirs; DC has none")
    for j, hertz in enumerate(points.frequency or []):
        if dimension(say, (*path, "frequency", j), hertz, "[frequency]",
                     "'frequency'") and hertz.value == 0 and not kind.with_dc:
            say((*path, "frequency", j), "frequency",
                f"a point of {function.function} has no frequency of zero",
                "'DC' is one of an AC+DC function")
    if kind.needs_level != (points.level is not None):
        say(path, "level",
            f"a point of {function.function} {'needs' if kind.needs_level else 'has no'} 'level'",
            "such as 'level: 3 V'" if kind.needs_level else "delete it")
    dimension(say, (*path, "level"), points.level, function.level_dimension, "'level'")
    _ways(say, path, function, points)
    if points.standard is not None and points.standard not in plan.standards:
        say((*path, "standard"), "no-standard",
            f"'{points.standard}' is not among the plan's standards",
            nearest(points.standard, plan.standards))


def _applied(say: Say, path: tuple, function: FunctionEntry, points: PointSet) -> None:
    for j, applied in enumerate(points.apply):
        if applied == RECOMMENDED:
            if points.observe or len(points.apply) > 1:
                say((*path, "apply", j), "apply",
                    "'recommended' stands alone and is no observation",
                    "write two entries under 'points'")
        elif dimension(say, (*path, "apply", j), applied, function.kind.dimension,
                       f"a point of {function.function}"):
            if applied.unit.is_temperature and applied.unit != function.ranges[0].range.unit:
                say((*path, "apply", j), "unit",
                    f"the ranges are in {function.ranges[0].range.unit.shown}",
                    "write the point in the same degrees")


def _ways(say: Say, path: tuple, function: FunctionEntry, points: PointSet) -> None:
    """Waveforms, comparisons, leads, and what is looked for."""
    kind = function.kind
    if points.wave is not None and not kind.is_ac:
        say((*path, "wave"), "wave", f"a point of {function.function} has no waveform",
            "delete 'wave'")
    if points.zero == "relative" and not kind.zero_with:
        say((*path, "zero"), "zero", f"no leads are taken off a reading of {function.function}",
            "delete 'zero'")
    if points.compare_on is not None and (kind.needs_level or function.clamp
                                          or kind.dimension == "[temperature]"):
        say((*path, "compare_on"), "compare",
            f"{function.title} isn't compared with a reference meter here", "delete 'compare_on'")
    plan_bench.of_comparison(say, path, function, points)
    dimension(say, (*path, "at"), points.at, "[voltage]", "'at'", "such as '230 V'")
    compared = (points.compare_on is not None and kind.dimension == "[current]"
                and not function.clamp)
    if points.at is not None and not compared:
        say((*path, "at"), "compare",
            "'at' belongs to a current that is compared with a reference meter", "delete it")
    elif points.at is None and compared and kind.is_ac:
        say((*path, "compare_on"), "compare",
            "the circuit's voltage decides whether this point is live, and the plan doesn't state "
            "it", "write 'at: 230 V' beside it, or the low voltage that the circuit has")
    if points.find is not None:
        wanted = FINDS[points.find]
        if not (kind.is_ac if wanted == "AC" else kind.dimension == f"[{wanted}]"):
            say((*path, "find"), "find",
                f"the {points.find} is looked for on "
                f"{'an AC function' if wanted == 'AC' else 'a counter'}, not on "
                f"{function.function}", "delete 'find'")
    if points.apply == [RECOMMENDED] and (points.find or points.wave or points.compare_on):
        say((*path, "apply"), "apply",
            "'recommended' doesn't go with 'find', 'wave' or 'compare_on'", "write the value")
    if points.observe is not None and (points.find or points.wave):
        say((*path, "observe"), "find",
            "what to look for is an observation already, and says what to write down",
            "delete 'observe'")
    if sum(1 for one in (points.find, points.wave, points.compare_on) if one) > 1:
        say(path, "find", "'find', 'wave' and 'compare_on' don't go together",
            "write an entry for each")
