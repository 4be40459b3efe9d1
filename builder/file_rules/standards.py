"""Rules across the fields of a standard's file."""

from __future__ import annotations

from fractions import Fraction

from builder.file_rules import corrections, standard_doubts
from builder.file_rules.saying import Say, dimension, named_as_file, say_into
from builder.files.problems import Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.bench import HUMIDITY, Reads
from builder.formats.functions import KINDS, FunctionKind
from builder.formats.standard import HOLDS, Artifact, Coil, Measure, Output, OutputRow, Standard

_FAR = Fraction(1, 5)  # a certified value this far from its nominal is a slip of the pen


def standard(document: Document, standard: Standard) -> list[Problem]:
    problems: list[Problem] = []
    say = say_into(document, problems)
    named_as_file(say, "standard", standard.standard, document)
    dimension(say, ("holds",), standard.holds, "[temperature]", "'holds'",
              "such as '18 to 28 degC'")
    if standard.calibrated is not None and standard.due < standard.calibrated:
        say(("due",), "dates", f"it is due on {standard.due}, before it was calibrated on "
            f"{standard.calibrated}", "year-month-day: are the two exchanged?")
    for kind, key in HOLDS.items():
        if kind == standard.kind and not document.has(key):
            say(("kind",), "missing", f"a standard of the kind '{kind}' needs '{key}'", "")
        elif kind != standard.kind and document.has(key):
            say((key,), "kind", f"'{key}' stands in a standard of the kind '{standard.kind}'",
                f"it belongs to the kind '{kind}'; write a file for each")
    wrong = len(problems)
    for i, output in enumerate(standard.outputs):
        _output(say, ("outputs", i), output)
        for j, row in enumerate(output.rows):
            _row(say, ("outputs", i, "rows", j), f"an output of {output.output}", standard,
                 KINDS[output.output], row)
        corrections.of_offer(say, ("outputs", i, "corrections"), output.corrections,
                             KINDS[output.output], False)
    for i, artifact in enumerate(standard.artifacts):
        _artifact(say, ("artifacts", i), artifact)
    for i, measure in enumerate(standard.measures):
        _measure(say, ("measures", i), standard, measure)
        corrections.of_offer(say, ("measures", i, "corrections"), measure.corrections,
                             KINDS[measure.measures], True)
    if standard.coil is not None:
        _coil(say, ("coil",), standard.coil)
        corrections.of_coil(say, ("coil", "corrections"), standard.coil)
    if standard.reads is not None:
        _reads(say, ("reads",), standard.reads)
    if len(problems) == wrong:
        _doubts(say, standard)
    return problems


def _reads(say: Say, path: tuple, reads: Reads) -> None:
    """Differences of temperature, and a humidity in percent."""
    for name, within in reads.named.items():
        wanted = "[ratio]" if name == HUMIDITY else "[temperature]"
        dimension(say, (*path, name), within, wanted, f"'{name}'",
                  "such as '3 %'" if name == HUMIDITY else "such as '0.4 degC'")


def _doubts(say: Say, standard: Standard) -> None:
    for i, output in enumerate(standard.outputs):
        standard_doubts.of_rows(say, ("outputs", i, "rows"), output.rows)
        corrections.doubts(say, ("outputs", i, "corrections"), output.corrections, output.rows)
    for i, artifact in enumerate(standard.artifacts):
        standard_doubts.of_artifact(say, ("artifacts", i), artifact)
        standard_doubts.of_method(say, ("artifacts", i), artifact)
        if any(value.drift is None for value in artifact.values) and artifact.drift is None:
            standard_doubts.of_drift(say, ("artifacts", i, "artifact"))
    for i, measure in enumerate(standard.measures):
        standard_doubts.of_rows(say, ("measures", i, "rows"), measure.rows)
        corrections.doubts(say, ("measures", i, "corrections"), measure.corrections, measure.rows)
    if standard.coil is not None and standard.coil.drift is None:
        standard_doubts.of_drift(say, ("coil", "within"))


def _output(say: Say, path: tuple, output: Output) -> None:
    kind = KINDS[output.output]
    if output.wave != "sine" and not kind.is_ac:
        say((*path, "wave"), "wave", f"an output of {output.output} has no waveform",
            "delete 'wave'")
    if output.zero != "leads" and not kind.zero_with:
        say((*path, "zero"), "zero", f"nothing is subtracted from a reading of {output.output}",
            "delete 'zero'")
    dimension(say, (*path, "output_resistance"), output.output_resistance, "[resistance]",
              "'output_resistance'", "such as '50 ohm'")
    if output.output_resistance is not None and kind.dimension != "[voltage]":
        say((*path, "output_resistance"), "drives",
            f"'output_resistance' belongs to an output of voltage, not of {output.output}",
            "delete it")


def _row(say: Say, path: tuple, what: str, standard: Standard, kind: FunctionKind,
         row: OutputRow) -> None:
    if not dimension(say, (*path, "values"), row.values, kind.dimension, what):
        return
    dimension(say, (*path, "frequency"), row.frequency, "[frequency]", "'frequency'",
              "such as '40 Hz to 1 kHz'")
    # of the signal: a voltage, or a current
    if row.level is not None and row.level.high.dimension != "[current]":
        dimension(say, (*path, "level"), row.level, "[voltage]", "'level'",
                  "such as '0.1 V to 10 V'")
    if (kind.is_ac and row.frequency is None or row.frequency is not None
        and not kind.needs_frequency):
        say(path, "frequency", f"{what} {'needs' if kind.is_ac else 'has no'} 'frequency'",
            "such as 'frequency: 40 Hz to 1 kHz'" if kind.is_ac else "delete it")
    if kind.needs_level != (row.level is not None):
        say(path, "level", f"{what} {'needs' if kind.needs_level else 'has no'} 'level'",
            "such as 'level: 0.1 V to 10 V'" if kind.needs_level else "delete it")
    if ((row.within is None) == (row.within_since is None)
            and not say.lost(*path, "within") and not say.lost(*path, "within_since")):
        say(path, "missing",
            "a row has 'within', or 'within_since' with an uncertainty for each time since "
            "calibration", "such as 'within: 50 ppm + 20 uV'")
    if row.within_since is not None and standard.calibrated is None:
        say((*path, "within_since"), "missing",
            "uncertainties by the time since calibration need 'calibrated' at the top",
            "such as 'calibrated: 2026-06-30'")
    if (row.calibration is not None) != (standard.accuracy != "absolute"):
        say(path, "calibration",
            "'calibration' stands in each row where the accuracy is relative to it, and only there",
            "'accuracy: relative to its calibration', or delete it")
    against = {"[voltage]": "[current]", "[current]": "[voltage]"}.get(kind.dimension)
    if row.drives is not None and (against is None or standard.kind != "source"):
        say((*path, "drives"), "drives",
            f"'drives' belongs to a source's voltage or current, not to {what}", "delete it")
    elif row.drives is not None:
        dimension(say, (*path, "drives"), row.drives, against, "what this output drives")
    texts = [(("within",), row.within), (("drift",), row.drift and row.drift.within),
             (("calibration",), row.calibration)]
    texts += [(("within_since", one.since.text), one.within) for one in row.within_since or []]
    for key, text in texts:
        if text is not None:
            _uncertainty(say, (*path, *key), text, kind.dimension, row.values.high.unit,
                         standard.kind == "reference meter")


def _artifact(say: Say, path: tuple, artifact: Artifact) -> None:
    kind = KINDS[artifact.artifact]
    seen: set[Fraction] = set()
    if kind.needs_level or kind.is_ac or kind.dimension == "[temperature]":
        say((*path, "artifact"), "kind", f"{artifact.artifact} is no property of an artifact",
            "such as resistance, capacitance or a fixed DC voltage")
        return
    for j, value in enumerate(artifact.values):
        value_path, what = (*path, "values", j), f"an artifact of {artifact.artifact}"
        right = dimension(say, (*value_path, "nominal"), value.nominal, kind.dimension, what)
        right &= dimension(say, (*value_path, "certified"), value.certified, kind.dimension, what)
        if not right:
            continue
        nominal = value.nominal
        if abs(value.certified.value - nominal.value) > nominal.value * _FAR:
            say((*value_path, "certified"), "certified",
                f"{value.certified} is far from the nominal {nominal}",
                "check digits and unit of both")
        if nominal.value in seen:
            say((*value_path, "nominal"), "twice", f"'{nominal}' stands twice",
                "a value is named by its nominal")
        seen.add(nominal.value)
        for key, text in (("within", value.within), ("drift", value.drift and value.drift.within),
                          ("other_method", value.other_method)):
            if text is not None:
                _uncertainty(say, (*value_path, key), text, kind.dimension, value.certified.unit)
    for key, text in (("drift", artifact.drift and artifact.drift.within),
                      ("temperature_coefficient", artifact.temperature_coefficient),
                      ("other_method", artifact.other_method)):
        if text is not None:
            _uncertainty(say, (*path, key), text, kind.dimension, artifact.values[0].certified.unit)
    _temperature(say, path, artifact)
    _method(say, path, artifact)


def _method(say: Say, path: tuple, artifact: Artifact) -> None:
    if not KINDS[artifact.artifact].goes_by_method:
        if artifact.method or any(one.other_method for one in (artifact, *artifact.values)):
            say((*path, "artifact"), "method",
                f"the method decides nothing about {artifact.artifact}",
                "delete 'method' and 'other_method'")
    elif artifact.method is None and not say.lost(*path, "method") and any(
            one.other_method for one in (artifact, *artifact.values)):
        say((*path, "artifact"), "missing", "'other_method' needs the 'method' of the "
            "certificate", "such as 'method: 1 kHz'")


def _temperature(say: Say, path: tuple, artifact: Artifact) -> None:
    dimension(say, (*path, "certified_at"), artifact.certified_at, "[temperature]",
              "'certified_at'", "such as '23 degC'")
    both = ("temperature_coefficient", "certified_at")
    if (artifact.temperature_coefficient is None) != (artifact.certified_at is None) and not any(
            say.lost(*path, key) for key in both):
        say(path, "missing", "'temperature_coefficient' and 'certified_at' go together",
            "such as 'temperature_coefficient: 5 ppm per degC' and 'certified_at: 23 degC'")


def _measure(say: Say, path: tuple, standard: Standard, measure: Measure) -> None:
    kind, what = KINDS[measure.measures], f"a measurement of {measure.measures}"
    if kind.needs_level or kind.dimension == "[temperature]":
        say((*path, "measures"), "kind", f"nothing is compared by {measure.measures}",
            "the source's own output is the standard there")
        return
    for j, row in enumerate(measure.rows):
        row_path = (*path, "rows", j)
        _row(say, row_path, what, standard, kind, row)
        for key in ("range", "resolution"):
            dimension(say, (*row_path, key), getattr(row, key), kind.dimension, what)
        if row.range is None and any(text is not None and text.of_range
                                     for text in (row.within, row.drift and row.drift.within,
                                                  row.calibration)):
            say((*row_path, "within"), "missing", "percent of range needs the row's 'range'",
                "such as 'range: 10 V'")


def _coil(say: Say, path: tuple, coil: Coil) -> None:
    dimension(say, (*path, "highest"), coil.highest, "[current]", "a coil's wire")
    dimension(say, (*path, "frequency"), coil.frequency, "[frequency]", "'frequency'",
              "such as '40 Hz to 400 Hz'")
    for key in ("on_at_most", "off_at_least"):
        dimension(say, (*path, key), getattr(coil, key), "[time]", f"'{key}'", "such as '60 s'")
    _uncertainty(say, (*path, "within"), coil.within, "[current]", coil.highest.unit)
    if coil.drift and coil.drift.within:
        _uncertainty(say, (*path, "drift"), coil.drift.within, "[current]", coil.highest.unit)


def _uncertainty(say: Say, path: tuple, text, wanted: str, unit, is_meter: bool = False) -> None:
    if (text.counts or text.of_range) and not is_meter:
        say(path, "unit",
            "a standard's uncertainty is percent or ppm of the output and a fixed amount",
            "such as '50 ppm + 20 uV'")
        return
    try:
        text.of(wanted, unit)
    except Wrong as wrong:
        say(path, "unit", wrong.sentence, wrong.hint)
