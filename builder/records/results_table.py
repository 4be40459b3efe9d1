"""data/results.csv: every result of every record as a row, for anybody's own spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import NamedTuple

from builder.files import csv_text
from builder.files.kept_texts import KeptTexts
from builder.formats.report_data import ReportData
from builder.numbers import units
from builder.records.judged_record import JudgedReading, Record

COLUMNS = ("report", "issue", "meter", "serial", "date", "state", "step", "function", "point",
           "apply", "frequency", "range", "reading", "value", "expected", "error", "unit",
           "low", "high", "percent of tolerance", "outcome", "ground")


class RecordResults(NamedTuple):
    """A record with what its report says; `issue` is the number of the issue that stands, 'draft'
    or 'withdrawn'."""

    record: Record
    data: ReportData
    issue: str
    made_of: str = ""   # a hash over the record and its report, where both are known by one


def table(results: Iterable[RecordResults], texts: KeptTexts | None = None) -> bytes:
    """The points of each in the order of the sheet. 'value' is what is judged, less the leads where
    they are taken off; 'error' is that less 'expected'."""
    texts, lines = texts or KeptTexts(), [csv_text.written([COLUMNS])]
    for record, data, issue, made_of in results:
        def made(record=record, data=data, issue=issue) -> str:
            return csv_text.written(_rows(record, data, issue)).decode("utf-8-sig")
        own = texts.get("results", (made_of, issue), made) if made_of else made()
        lines.append(own.encode())
    return b"".join(lines)


def _rows(record: Record, data: ReportData, issue: str) -> Iterator[list[str]]:
    head = record.head
    outcomes = {one.step: one for one in data.points}
    for reading in record.judged:
        point, outcome = reading.point, outcomes.get(reading.point.step)
        if outcome is None or outcome.reading is None:
            continue
        accept = point.accept
        yield [record.id, issue, record.meter, head.serial, head.date.isoformat(),
               head.state or "", point.step, point.function, point.id, point.apply.text,
               point.frequency or "", point.range.text, outcome.reading, *_judged(reading),
               point.unit, _number(accept.low.text) if accept else "",
               _number(accept.high.text) if accept else "",
               reading.verdict.percent if reading.verdict else "", outcome.outcome,
               "yes" if outcome.ground else "no"]


def _number(text: str) -> str:
    return text.split(" ")[0]


def _judged(reading: JudgedReading) -> tuple[str, str, str]:
    """The value, what was expected, and the error, in the unit of the display."""
    result, decimals = reading.verdict, reading.point.decimals
    if result is None or result.error is None:
        return "", "", ""
    return (_exact(result.value, decimals), _exact(result.expected, decimals),
            _exact(result.error, decimals))


def _exact(number: Fraction | None, decimals: int) -> str:
    """Exact where the decimal has an end; of a mean with two digits more than the display has."""
    if number is None:
        return ""
    try:
        return units.decimal_text(number, decimals)
    except ValueError:
        scale = 10 ** (decimals + 2)
        return units.decimal_text(Fraction(round(number * scale), scale), decimals + 2)
