"""Rules for what a plan says of the bench: leads, thermal voltages, comparisons, and how readings
repeat."""

from __future__ import annotations

from collections.abc import Mapping

from builder.file_rules.saying import Say, dimension, nearest
from builder.files.problems import WARNING, Wrong
from builder.formats.accuracy import AccuracyText
from builder.formats.bench import KnownBy
from builder.formats.meter import FunctionEntry, Meter
from builder.formats.plan import Plan, PointSet
from builder.formats.standard import Standard
from builder.procedure.bench_leads import is_for, line_of


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


def known_leads(say: Say, plan: Plan, standards: Mapping[str, Standard],
                meter: Meter | None) -> None:
    """From where the leads are known, and whether anything on this meter is judged by that."""
    given = plan.leads.known if plan.leads else None
    if given is None or not dimension(say, ("leads", "known", "value"), given.value,
                                      "[resistance]", "'value'", "such as '83.4 mohm'"):
        return
    path, standard = ("leads", "known"), standards.get(given.standard)
    if given.standard not in plan.standards:
        say((*path, "standard"), "no-standard",
            f"'{given.standard}' is not among the plan's standards",
            nearest(given.standard, plan.standards))
        return
    if meter is not None and not any(map(is_for, meter.functions)):
        say(path, "known-leads", f"no function of {meter.name} is judged by known leads: where an "
            "accuracy holds after zeroing, their reading is taken off", "delete 'known'")
    if standard is not None:
        _known_by(say, path, given, standard)


def _known_by(say: Say, path: tuple, given: KnownBy, standard: Standard) -> None:
    name, measures = standard.name, [one for one in standard.measures if one.what == "resistance"]
    if standard.kind == "artifact":
        if given.value is not None:
            say((*path, "value"), "known-leads", f"the certified value of '{name}' counts",
                "delete 'value'")
        elif line_of(standard, None) is None:
            say((*path, "standard"), "known-leads",
                f"'{name}' is not one resistance, so which value is that of the leads isn't clear",
                "leads with a certificate are an artifact of their own, with one value")
    elif not measures:
        say((*path, "standard"), "known-leads", f"'{name}' reads no resistance",
            "a reference meter that does, or an artifact whose only value the leads are")
    elif given.value is None:
        if not say.lost(*path, "value"):
            say(path, "known-leads", f"what '{name}' read of the leads is missing",
                "such as 'value: 83.4 mohm'")
    elif line_of(standard, given.value.value) is None:
        say((*path, "value"), "known-leads", f"'{name}' reads no {given.value}",
            "its rows of resistance are " + ", ".join(str(row.values) for one in measures
                                                      for row in one.rows))
    elif any(one.corrections for one in measures):
        say((*path, "standard"), "known-leads",
            f"'{name}' has corrections of resistance, and whether 'value' has them in it isn't "
            "clear", "give the leads a certificate of their own, an artifact with one value")


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
