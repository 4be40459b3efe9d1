"""What must hold in the file of a check between calibrations, beyond each of its fields."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from fractions import Fraction

from builder.file_rules.saying import nearest
from builder.files.problems import WARNING, Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.check_between import CheckBetween
from builder.formats.fields import as_day
from builder.numbers import units
from builder.numbers.units import Quantity


def check_between(document: Document, check: CheckBetween, standards: Collection[str],
                  as_of: date | None) -> list[Problem]:
    """Its standard is one of the shop's, its days are days, and its readings are near its value."""
    problems = []
    if check.standard not in standards:
        problems.append(document.problem(
            ("standard",), "stranger", f"there is no standard '{check.standard}' among the files",
            nearest(check.standard, standards)))
    if check.allowed and (wrong := _kind(check, check.allowed)):
        problems.append(document.problem(("allowed",), "unit", *wrong))
    for day, entry in check.readings.items():
        try:
            read_on = as_day(day)
        except Wrong as wrong_day:
            problems.append(document.problem(("readings", day), "day", wrong_day.sentence,
                                             wrong_day.hint, of_key=True))
            continue
        if as_of and read_on > as_of:
            problems.append(document.problem(
                ("readings", day), "future", f"{day} is after {as_of}, the day that this is for",
                "is the year mistyped?", of_key=True, severity=WARNING))
        if wrong := _kind(check, entry.reading) or _far(check, entry.reading):
            problems.append(document.problem(("readings", day), "reading", *wrong))
    return problems


def _kind(check: CheckBetween, amount: Quantity) -> tuple[str, str] | None:
    kind, other = check.value.dimension, amount.dimension
    if other != kind:
        return (f"{amount} is {units.kind_of(other)}, the value of this check is "
                f"{units.kind_of(kind)}", f"such as '{check.value}'")
    if amount.unit.is_temperature and amount.unit != check.value.unit:
        return f"{amount} is on another scale than {check.value}", "write all on one"
    return None


def _far(check: CheckBetween, amount: Quantity) -> tuple[str, str] | None:
    """A slip of a digit, a sign or a unit; nothing is known of a value at zero or a temperature."""
    if check.value.number == 0 or amount.unit.is_temperature:
        return None
    if Fraction(1, 2) < amount.value / check.value.value < 2:
        return None
    return f"{amount} is far from {check.value}", "was a digit, a sign or the unit mistyped?"
