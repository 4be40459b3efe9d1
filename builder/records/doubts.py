"""What in a record keeps its readings from being judged, or contradicts them: warnings, each at the
place where it was typed. The report says the same among its departures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from builder.files.problems import WARNING, Problem
from builder.formats.conditions import ONCE
from builder.formats.record_head import as_date
from builder.formats.report_data import NOT_SAFE, POINT_FAILS, POINT_NEARLY_FAILS
from builder.records import departures
from builder.records.departures import Compared
from builder.records.ground import was_valid
from builder.records.judged_record import Record, Used
from builder.records.record_statement import RecordStatement, record_statement

_NO_GROUND = "readings without ground are printed and not judged"
_DATED = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})-.+")
# What may be ticked at the end of a sheet.
ALL_WITHIN, NOT_ALL_WITHIN, NOT_COMPLETED = "all within", "not all within", "not completed"


def doubts(record: Record, as_of: date | None = None) -> list[Problem]:
    """`as_of` is the day that the shop's pages are for."""
    return [record.document.problem(path, "doubt", sentence, hint, severity=WARNING)
            for path, sentence, hint in (*_conditions(record), *_standards(record),
                                         *_verdict(record), *_day(record, as_of))]


Doubt = tuple[tuple, str, str]


def _conditions(record: Record) -> Iterator[Doubt]:
    for name, read, band in (
            ("ambient", departures.ambient(record), record.carried.holds),
            ("humidity", departures.humidity(record), record.carried.humidity or "")):
        if band:
            yield from _condition(name, read, band)


def _condition(name: str, read: tuple[Compared, ...], band: str) -> Iterator[Doubt]:
    both = "write '{start: …, end: …}'; " + _NO_GROUND
    if not read:
        yield (name,), f"the {name} was not recorded, and the limits hold at {band}", both
    for moment in read:
        path = (name,) if moment.moment == ONCE else (name, moment.moment)
        if moment.inside is False:
            yield path, f"{moment.said} is outside {band}, for which the limits hold", _NO_GROUND
        elif moment.inside is None:
            yield (path, f"'{moment.said[:40]}' can't be compared with {band}, for which the "
                   "limits hold", "a number with its unit, such as '22.8 degC' or '45 %'")
    if len(read) == 1 and not departures.is_span(read[0].said):
        yield ((name,), f"the {name} was recorded once, and says nothing of the rest of the work",
               both)


def _standards(record: Record) -> Iterator[Doubt]:
    typed = record.entries.labels
    for used in record.standards:
        if not was_valid(calibrated=used.calibrated_on, due=used.due_on, on=record.head.date):
            key = next((key for key in ("due", "calibrated", "certificate")
                        if key in typed.get(used.standard, {})), "")
            path = ("standards", used.standard, key) if key else ("standards",)
            yield path, f"{used.name} {_why(used, record.head.date)}", _NO_GROUND


def _why(used: Used, day: date) -> str:
    if used.due_on is None:
        return f"has no due date that can be compared with {day}"
    if used.due_on < day:
        return f"was due on {used.due}, before the work on {day}"
    if used.calibrated_on is None:
        return (f"has no day of calibration for certificate {used.certificate}: 'calibrated' in "
                "its file, or beside the label")
    if used.due_on < used.calibrated_on:
        return f"was due on {used.due}, before it was calibrated on {used.calibrated}"
    return f"was calibrated on {used.calibrated}, after the work on {day}"


def _verdict(record: Record) -> Iterator[Doubt]:
    """What was ticked at the end, against what was read."""
    ticked = record.head.verdict
    if not ticked:
        return
    stated = record_statement(record)
    if says := _contradiction(ticked, stated):
        yield ("verdict",), f"'{ticked}' is ticked, and {says}", "the report goes by the readings"


def _contradiction(ticked: str, stated: RecordStatement) -> str:
    outside = [one.step for one in stated.points
               if one.outcome in (POINT_FAILS, POINT_NEARLY_FAILS)]
    blank = [one.step for one in (*stated.points, *stated.checks)
             if one.step in {step for each in stated.functions for step in each.blank}]
    if stated.statement == NOT_SAFE and ticked != NOT_SAFE:
        return "a check that stops everything is a no"
    if ticked == NOT_SAFE and stated.statement != NOT_SAFE:
        return "no check that stops everything is a no"
    if ticked == ALL_WITHIN and outside:
        return f"step {outside[0]} is outside its limits"
    if ticked == ALL_WITHIN and blank:
        late = " before the work on the meter" if blank[0] in stated.after_work else ""
        return f"step {blank[0]} was not done{late}"
    if ticked == NOT_ALL_WITHIN and not outside and not stated.barred:
        return "every reading is within its limits"
    if ticked == NOT_COMPLETED and not blank:
        return "every step was done"
    return ""


def _day(record: Record, as_of: date | None) -> Iterator[Doubt]:
    named = _DATED.fullmatch(record.id)
    of_phone = record.head.begun is not None    # it is named for the day on which it began
    if named and not of_phone and (day := as_date(named[1])) and day != record.head.date:
        yield (("date",), f"the record is called {record.id}, and the work was on "
               f"{record.head.date}", "rename the file, or mend the date")
    if as_of is not None and record.head.date > as_of:
        yield (("date",), f"the work on {record.head.date} is after {as_of}, the day of the pages",
               "a day is mistyped, or 'as_of' in workshop.yaml is old; 'build --as-of today' "
               "takes today's")
