"""Rules for what a plan says of the bench: leads, thermal voltages, comparisons, and how readings
repeat."""

from __future__ import annotations

from collections.abc import Mapping

from builder.file_rules.saying import Say, dimension, nearest
from builder.files.problems import WARNING, Wrong
from builder.formats.accuracy import AccuracyText
from builder.formats.meter import FunctionEntry
from builder.formats.plan import Plan, PointSet
from builder.formats.standard import Standard


def leads(say: Say, plan: Plan) -> None:
    if plan.leads is not None:
        for key, wanted, example in (("length", "[length]", "1 m"),
                                     ("contacts", "[resistance]", "60 mohm"),
                                     ("repeats", "[resistance]", "10 mohm"),
                                     ("stray", "[capacitance]", "100 pF"),
                                     ("stray_repeats", "[capacitance]", "5 pF"),
                                     ("inductance", "[inductance]", "2 uH"),
                                     ("inductance_repeats", "[inductance]", "0.5 uH")):
            dimension(say, ("leads", key), getattr(plan.leads, key), wanted, f"'{key}'",
                      f"such as '{example}'")
    if plan.junction is not None:
        dimension(say, ("junction", "within"), plan.junction.within, "[temperature]", "'within'",
                  "such as '0.3 degC'")
    dimension(say, ("thermal_voltages",), plan.thermal_voltages, "[voltage]", "'thermal_voltages'",
              "such as '2 uV'")


def junction(say: Say, plan: Plan, standards: Mapping[str, Standard]) -> None:
    """The thermometer that a plan names for a thermocouple input's own junction."""
    given = plan.junction
    if given is None or given.standard is None:
        return
    path, standard = ("junction", "standard"), standards.get(given.standard)
    if given.standard not in plan.standards:
        say(path, "no-standard", f"'{given.standard}' is not among the plan's standards",
            nearest(given.standard, plan.standards))
    elif standard is not None and (standard.reads is None or standard.reads.junction is None):
        say(path, "thermometer", f"'{standard.name}' reads no junction",
            "its file says so: 'reads: {junction: 0.2 degC}'")
    elif standard is not None and given.within.dimension == standard.reads.junction.dimension and (
            given.within.value < standard.reads.junction.value):
        say(("junction", "within"), "thermometer",
            f"'{standard.name}' itself reads a junction within {standard.reads.junction}",
            "what binds it to the jack comes on top")


def repeatability(say: Say, plan: Plan, i: int, function: FunctionEntry) -> None:
    path, series = ("repeatability", i), plan.repeatability[i]
    _terms(say, (*path, "s"), series.s, function)
    if (series.readings is None) == (series.degrees_of_freedom is None) and not any(
            say.lost(*path, key) for key in ("readings", "degrees_of_freedom")):
        say(path, "missing", "a standard deviation comes with 'readings' or with "
            "'degrees_of_freedom', one of them", "such as 'readings: 10'")
    if series.readings == 1:
        say((*path, "readings"), "repeatability", "one reading says nothing of how readings repeat",
            "two or more; ten are usual")
    if any((one.function, one.range) == (series.function, series.range)
           for one in plan.repeatability[:i]):
        say((*path, "function"), "twice", f"'{series.function}' stands twice",
            "pool the two, or name a 'range' in one of them")


def of_comparison(say: Say, path: tuple, function: FunctionEntry, points: PointSet) -> None:
    """What changes between two readings, and what another method may do."""
    if points.changes is not None:
        if points.compare_on is None:
            say((*path, "changes"), "compare",
                "'changes' belongs to a point that is compared with a reference meter", "delete it")
        elif points.changes.within is not None:
            _terms(say, (*path, "changes"), points.changes.within, function)
    elif (points.compare_on is not None and not points.observe and function.kind.goes_by_method
          and not say.lost(*path, "changes")):
        say((*path, "compare_on"), "changes",
            "nothing is said of how far the part may change between two readings",
            "such as 'changes: 0.2 %', or 'changes: none, because …'", severity=WARNING)
    if points.other_method is not None:
        if not function.kind.goes_by_method:
            say((*path, "other_method"), "method",
                f"the method decides nothing about {function.function}", "delete it")
        else:
            _terms(say, (*path, "other_method"), points.other_method, function)


def _terms(say: Say, path: tuple, text: AccuracyText, function: FunctionEntry) -> None:
    if not function.ranges:
        return
    try:
        text.of(function.kind.dimension, function.ranges[0].range.unit)
    except Wrong as wrong:
        say(path, "unit", wrong.sentence, wrong.hint)
