"""What in a standard's file may be a slip: each uncertainty beside its neighbours, each certified
value beside its uncertainty, and holes between a source's rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise

from builder.file_rules.plausible import StatedRow, doubt, out_of_line, out_of_scale, rows
from builder.file_rules.saying import Say
from builder.files.problems import WARNING
from builder.formats.accuracy import AccuracyText
from builder.formats.functions import KINDS
from builder.formats.standard import Artifact, CertifiedValue, MeasureRow, OutputRow
from builder.formats.stated import DRIFT_HINT
from builder.numbers.units import in_one_scale

_TIMES = 30                 # its uncertainty: as far as a certified value may be from its nominal …
_APART = Fraction(1, 100)   # … or a hundredth of it

_TERMS: dict[str, Callable[[OutputRow], AccuracyText | None]] = {
    "within": lambda row: row.within, "drift": lambda row: row.drift and row.drift.within,
    "calibration": lambda row: row.calibration}


def of_rows(say: Say, path: tuple, given: Sequence[OutputRow]) -> None:
    """The rows of an output or of what a reference meter reads."""
    for key, text_of in _TERMS.items():
        rows(say, [StatedRow(path=(*path, j, key), within=text, size=in_one_scale(row.values.high),
                             frequency=row.frequency, confirmed=bool(row.confirmed))
                   for j, row in enumerate(given) if (text := text_of(row)) is not None])
    for row, j in [(row, j) for j, row in enumerate(given) if isinstance(row, MeasureRow)]:
        others = [one.resolution.value / one.values.high.value for one in given
                  if isinstance(one, MeasureRow) and one is not row]
        if out_of_line(row.resolution.value / row.values.high.value, others):
            doubt(say, (*path, j, "resolution"),
                  f"steps of {row.resolution} are far from those of the other rows",
                  "is a decimal point or a prefix wrong?", bool(row.confirmed))
    alike: dict[tuple, list] = {}
    for j, row in enumerate(given):
        same = (row.frequency and row.frequency.band, row.level and row.level.band)
        alike.setdefault(same, []).append((row, j))
    for found in alike.values():
        for (lower, _), (higher, j) in pairwise(sorted(
                found, key=lambda one: in_one_scale(one[0].values.low))):
            if in_one_scale(lower.values.high) < in_one_scale(higher.values.low):
                doubt(say, (*path, j, "values"),
                      f"between {lower.values.high} and {higher.values.low} no row holds",
                      "do the rows meet in the certificate?", bool(higher.confirmed))


def of_drift(say: Say, path: tuple) -> None:
    """A value that is carried about and used for a year is seldom what its certificate says
    still."""
    say(path, "drift", "nothing is said of its drift since the certificate", DRIFT_HINT,
        severity=WARNING)


def of_method(say: Say, path: tuple, artifact: Artifact) -> None:
    """A capacitor at 1 kHz is another one than the same charged by a steady current."""
    if KINDS[artifact.artifact].goes_by_method and artifact.method is None:
        say((*path, "artifact"), "method", "nothing is said of the method of its certificate",
            "'method: 1 kHz' or 'method: charged by a steady current', as the certificate says",
            severity=WARNING)


def of_artifact(say: Say, path: tuple, artifact: Artifact) -> None:
    """Uncertainties beside those of the next smaller and the next larger value, and what is
    certified beside what is marked."""
    ordered = sorted(enumerate(artifact.values), key=lambda pair: pair[1].nominal.value)
    for n, (j, value) in enumerate(ordered):
        confirmed, where = bool(value.confirmed), (*path, "values", j)
        others = [(one.certified.value, _amount(one)) for _, one in ordered[max(0, n - 1):n + 2]
                  if one is not value]
        if out_of_scale(value.certified.value, _amount(value), others):
            doubt(say, (*where, "within"),
                  f"{value.within.text} is far from what the values beside it have",
                  "is a decimal point or a prefix wrong?", confirmed)
        off = abs(value.certified.value - value.nominal.value)
        if off > value.nominal.value * _APART and off > _TIMES * _amount(value):
            doubt(say, (*where, "certified"),
                  f"{value.certified} is many times its uncertainty from the nominal "
                  f"{value.nominal}", "is a digit wrong?", confirmed)


def _amount(value: CertifiedValue) -> Fraction:
    """An uncertainty in the unit of the certified value."""
    text = value.within
    fixed = abs(text.fixed.value) if text.fixed else Fraction(0)
    return (text.bare_percent + text.of_reading) / 100 * value.certified.value + fixed
