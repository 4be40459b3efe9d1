"""Rules for what a certificate says at points, beside the accuracy of a standard's rows."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.file_rules.plausible import doubt
from builder.file_rules.saying import Say, dimension
from builder.files.problems import WARNING, Wrong
from builder.formats.accuracy import AccuracyText
from builder.formats.corrections import CertifiedPoint, Corrections
from builder.formats.functions import FunctionKind
from builder.formats.stated import DRIFT_HINT
from builder.formats.standard import Coil, OutputRow
from builder.numbers.units import Unit

_WAYS = ("actual", "correction", "error")
_FAR = Fraction(1, 5)  # of the value: a correction this large is a slip of the pen


def of_offer(say: Say, path: tuple, corrections: Corrections | None, kind: FunctionKind,
             is_meter: bool) -> None:
    """Of a source's output, or of what a reference meter reads."""
    if corrections is None:
        return
    if kind.dimension in ("[temperature]", "[ratio]"):
        say(path, "corrections", f"{kind.name} has no corrections at points here",
            "widen 'within' by the error of the certificate")
        return
    _all(say, path, corrections, kind.dimension, kind.is_ac)
    if is_meter and corrections.between is None and not say.lost(*path, "between"):
        say(path, "missing", "a reference meter seldom reads just a value of its certificate",
            "'between: straight line', and 'between_within' for how far it may be off that")


def doubts(say: Say, path: tuple, corrections: Corrections | None,
           rows: Sequence[OutputRow]) -> None:
    """What may be a slip in lines that hold by themselves, and drift that nothing is said of."""
    if corrections is None:
        return
    if any(corrections.drift_at(one) is None for one in corrections.values) and not all(
            row.drift for row in rows):
        say((*path, "use"), "drift", "nothing is said of the drift since the certificate",
            DRIFT_HINT, severity=WARNING)
    for i, point in enumerate(corrections.values):
        holding = [row for row in rows if _holds(row, point)]
        where = (*path, "values", i, "at")
        if not holding:
            doubt(say, where, f"no row holds at {point.at}, so this is never used",
                  "is a prefix or the frequency wrong?", bool(point.confirmed))
        elif all(row.within and abs(point.added()) > _of_row(row, row.within, point)
                 for row in holding):
            doubt(say, where, f"at {point.at} the certificate is farther off than the rows state",
                  "is the sign or a digit wrong? If not, the standard is out of its accuracy",
                  bool(point.confirmed))


def of_coil(say: Say, path: tuple, coil: Coil) -> None:
    """`at` is the current in the wire; what comes of it is that times the turns."""
    if coil.corrections is not None:
        _all(say, path, coil.corrections, "[current]", None, coil.turns)


def _all(say: Say, path: tuple, corrections: Corrections, wanted: str, is_ac: bool | None,
         times: int = 1) -> None:
    if (corrections.between is None) != (corrections.between_within is None) and not any(
            say.lost(*path, key) for key in ("between", "between_within")):
        say(path, "missing", "'between' and 'between_within' go together",
            "such as 'between: straight line' and 'between_within: 5 uV'")
    seen = set()
    for i, point in enumerate(corrections.values):
        _one(say, (*path, "values", i), point, wanted, is_ac, times)
        here = (point.at.value, point.frequency and point.frequency.value)
        if here in seen:
            say((*path, "values", i, "at"), "twice", f"'{point.at}' stands twice",
                "one line for each value and frequency")
        seen.add(here)
    unit = corrections.values[0].at.unit
    if corrections.drift and corrections.drift.within:
        _terms(say, (*path, "drift"), corrections.drift.within, wanted, unit)
    if corrections.between_within is not None:
        _terms(say, (*path, "between_within"), corrections.between_within, wanted, unit)


def _one(say: Say, path: tuple, point: CertifiedPoint, wanted: str, is_ac: bool | None,
         times: int) -> None:
    dimension(say, (*path, "frequency"), point.frequency, "[frequency]", "'frequency'",
              "such as '1 kHz'")
    if is_ac is not None and is_ac != (point.frequency is not None) and not say.lost(
            *path, "frequency"):
        say(path, "frequency", "a value of AC stands at its frequency, one of DC has none",
            "such as 'frequency: 1 kHz'" if is_ac else "delete 'frequency'")
    given = [key for key in _WAYS if getattr(point, key) is not None]
    if len(given) != 1 and not any(say.lost(*path, key) for key in _WAYS):
        say(path, "missing",
            "a line of a certificate has one of 'actual', 'correction' and 'error'",
            "'actual' is what it really was, 'correction' what to add, 'error' by how much it is "
            "too large")
    right = [dimension(say, (*path, key), getattr(point, key), wanted, "this certificate")
             for key in ("at", *_WAYS)]
    set_to = abs(point.at.value) * times
    if set_to and len(given) == 1 and all(right) and abs(point.added(times)) > set_to * _FAR:
        say((*path, given[0]), "certified",
            f"'{getattr(point, given[0])}' is far from what was set, {point.at}"
            + (f" through {times} turns" if times > 1 else ""), "check digits and unit of both")
    for key, text in (("within", point.within), ("drift", point.drift and point.drift.within)):
        if text is not None:
            _terms(say, (*path, key), text, wanted, point.at.unit)


def _holds(row: OutputRow, point: CertifiedPoint) -> bool:
    low, high = row.values.band
    if row.values.high.dimension != point.at.dimension or not low <= abs(point.at.value) <= high:
        return False
    return row.frequency is None or point.frequency is None or (
        row.frequency.band[0] <= point.frequency.value <= row.frequency.band[1])


def _of_row(row: OutputRow, text: AccuracyText, point: CertifiedPoint) -> Fraction:
    """What a row allows, as far as percent of the value and fixed amounts go."""
    fixed = abs(text.fixed.value) if text.fixed else Fraction(0)
    counted = (getattr(row, "resolution", None), getattr(row, "range", None))
    steps = text.counts * counted[0].value if counted[0] else Fraction(0)
    of_range = text.of_range * counted[1].value / 100 if counted[1] else Fraction(0)
    return (text.bare_percent + text.of_reading) * abs(point.at.value) / 100 + fixed + steps + (
        of_range)


def _terms(say: Say, path: tuple, text: AccuracyText, wanted: str, unit: Unit) -> None:
    if text.counts or text.of_range:
        say(path, "unit", "a certificate's uncertainty is percent or ppm of the value and a fixed "
            "amount", "such as '2 ppm + 5 uV'")
        return
    try:
        text.of(wanted, unit)
    except Wrong as wrong:
        say(path, "unit", wrong.sentence, wrong.hint)
