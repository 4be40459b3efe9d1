"""A record → its report: texts for a page that stands by itself. What is judged, is judged
elsewhere; here it is said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.formats.data_fields import FORMAT, written
from builder.formats.group_data import CheckData
from builder.formats.report_data import FunctionStatementData, ReportData
from builder.formats.sheet_data import LeftOutData, SheetData
from builder.formats.workshop import Workshop
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW
from builder.records import report_changes, report_rule, report_sections, report_statement
from builder.records.judged_record import Record
from builder.records.readings import Answer
from builder.records.record_statement import (RecordStatement, is_of_the_bench,
                                              record_statement)
from builder.records.report_lines import ReportLine, line_of
from builder.records.report_sections import ReportStandard
from builder.records.report_statement import ReportFunction
from builder.records.state_words import AFTER_WORK, HEADLINES
from builder.records.typed import shown_unit



@dataclass(frozen=True, slots=True, kw_only=True)
class ReportChecks:
    step: str
    check: str
    good: str
    said: str       # what was written down, with its unit
    note: str
    before: str     # as found


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Every text of a record's report, in the order of its page."""

    record: Record
    title: str
    workshop: Workshop | None
    meter: str
    state: str
    method: str
    statement: str
    headline: str
    reasons: tuple[str, ...]
    label: tuple[tuple[str, str], ...]
    opinion: str            # whose the label is
    functions: tuple[ReportFunction, ...]
    checks: tuple[ReportChecks, ...]
    standards: tuple[ReportStandard, ...]
    traceability: str
    last_adjusted: str      # "" where the limits are of no time since adjustment
    conditions: tuple[tuple[str, str], ...]
    shared: str             # who did which groups, where two people did
    rule: tuple[str, ...]
    uncertainty: tuple[str, ...]
    deviations: tuple[str, ...]
    left_out: tuple[str, ...]
    notices: tuple[str, ...]
    never_good: str         # the points of these that no earlier report shows good
    between: tuple[str, ...]
    found: str              # the report of the state as found, that is given here beside
    left: str               # the report of the state as left, that followed
    interval: str
    today: tuple[str, ...]  # apart from the report: what today's file says
    data: ReportData        # beside the page

    @property
    def id(self) -> str:
        return self.record.id


# ---------------------------------------------------------------- the report

def report(record: Record, *, workshop: Workshop | None, current: SheetData | None,
           earlier: Sequence[Record] = (), found: Record | None, left: Record | None) -> Report:
    """The report; `earlier` are records of the same meter from days before, the latest first."""
    as_found, as_left = found, left
    known, head = record.carried, record.head
    stated = record_statement(record, as_found)
    judged = {one.step for one in stated.points if one.ground}
    before = {one.point.id: one for one in as_found.judged} if as_found else {}
    lines: dict[str, list[ReportLine]] = {}
    for reading in record.judged:
        lines.setdefault(reading.point.function, []).append(
            line_of(reading, before.get(reading.point.id),
                    has_ground=reading.point.step in judged or is_of_the_bench(record, reading)))
    reasons = (*report_sections.worked_on(record), *report_sections.past_what_stops(record),
               *report_sections.closed_in_another_way(record),
               *report_statement.statement_lines(record, stated))
    deviations = tuple(report_sections.deviations(record, stated))
    return Report(
        record=record, title="Report of verification", workshop=workshop,
        meter=known.meter_name + (f", {known.maker}" if known.maker else ""),
        state=head.state or "state not recorded",
        method=f"{known.title}, procedure {known.procedure}, revision {known.revision}"
        + ("; typed in from finished paper" if head.from_paper else ""),
        statement=stated.statement, headline=HEADLINES[stated.statement],
        reasons=reasons,
        label=report_statement.label(stated, as_left is not None),
        opinion=report_rule.opinion(record),
        functions=tuple(report_statement.functions(stated, lines)),
        checks=tuple(_checks(record, as_found)),
        standards=tuple(report_sections.standards(record)),
        traceability=report_sections.traceability(record),
        last_adjusted=report_sections.last_adjusted(record),
        conditions=tuple(report_sections.conditions(record)),
        shared=report_sections.who_did_what(record),
        rule=tuple(report_rule.rule(record)),
        uncertainty=tuple(report_sections.uncertainty(record)),
        deviations=deviations,
        left_out=tuple(_left_out(one) for one in known.left_out),
        notices=tuple(report_changes.notices(record, earlier)),
        never_good=report_changes.never_known_good(record, earlier),
        between=tuple(report_changes.between(record, as_found, as_left)),
        found=as_found.id if as_found else "", left=as_left.id if as_left else "",
        interval=known.interval_agreed or "",
        today=tuple(report_changes.today(record, current)),
        data=_data(record, stated, reasons, deviations))


def _data(record: Record, stated: RecordStatement, reasons: tuple[str, ...],
          deviations: tuple[str, ...]) -> ReportData:
    """As `data/reports/<number>.json` has it."""
    head = record.head
    return written(
        ReportData, format=FORMAT, number=record.id, issue=1, meter=record.meter,
        serial=head.serial, state=head.state, date=head.date.isoformat(),
        statement=stated.statement, reasons=reasons,
        functions=tuple(
            written(FunctionStatementData, function=one.function, statement=one.statement,
                    reach=stated.reach[one.function]) for one in stated.functions),
        checks=stated.checks, live_groups=stated.live_groups, points=stated.points,
        departures=deviations)


def _left_out(entry: LeftOutData) -> str:
    what = filter(None, (f"Check “{entry.check}”" if entry.check else "",
                         exact_text.capital(entry.function), entry.range, entry.row))
    return f"{', '.join(what)}: {entry.because}"


# ---------------------------------------------------------------- results

def _checks(record: Record, as_found: Record | None) -> Iterator[ReportChecks]:
    same = as_found and as_found.carried.revision == record.carried.revision
    for check in record.carried.checks:
        answer = record.answer(check.step)
        given = answer.all if answer else ()
        words = _words(record, check.step)
        earlier = _words(as_found, check.step) if (
            as_found and same and as_found.answer(check.step)) else ""
        yield ReportChecks(
            step=check.step, check=check.check, good=words,
            said="; then ".join(filter(None, (_written(check, one) for one in given))),
            note=record.entries.notes.get(check.step, ""),
            before=earlier if earlier != words else "")


def _words(record: Record, step: str) -> str:
    """Every answer at a check, each that was given after work on the meter marked so."""
    answer = record.answer(step)
    stand = record.answers_that_stand(step)
    return ", then ".join(_word(one) + (f" ({AFTER_WORK})" if n >= stand else "")
                          for n, one in enumerate(answer.all if answer else ())) or "not done"


def _word(answer: Answer) -> str:
    return "NO" if answer.good is False else answer.said or "not done"


def _written(check: CheckData, answer: Answer) -> str:
    """What was written down with an answer, with its unit, and who gave it."""
    unit = f"{NARROW}{shown_unit(check.unit)}" if check.unit else ""
    number = f"{check.write}: {answer.write}{unit}" if answer.write else ""
    return ", ".join(filter(None, (number, answer.by)))
