"""Reports → their pages: as they were issued, from the finished file alone, or as drafts; the list
of them, and each as a file of its own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from builder.drawing.reading_band import drawn_anew
from builder.files.cache import Cache
from builder.formats.frozen_files import FinishedReport, WithdrawnReport
from builder.frozen import amendments
from builder.frozen.names import same_name
from builder.pages import report_lists
from builder.pages.glossary import with_terms
from builder.pages.locked import locked
from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import as_json, page_from
from builder.records import departures, report_text, results_table
from builder.records.judged_record import Record
from builder.records.kept_records import KeptRecord
from builder.records.report_text import Report
from builder.records.results_table import RecordResults
from builder.shop.contents import Shop
from builder.shop.missing import MissingFile


def reports_of(shop: Shop, records: dict | None = None,
               kept: Cache | None = None) -> list[Report]:
    """The reports of the shop's records, or of others that were read for it; the latest first."""
    as_found, as_left = departures.pairs({**shop.records, **(records or {})})
    kept = kept or Cache(forgetful=True)

    def report_of(record: Record) -> Report:
        before, after = as_found.get(record.id), as_left.get(record.id)
        earlier = departures.earlier(shop.records, record)
        procedure = shop.procedures.get(record.head.procedure)
        current = procedure.sheet_data if procedure else None
        return kept.get(f"report {record.id}",
                        (record, before, after, shop.workshop, current, *earlier),
                        lambda: report_text.report(record, found=before, left=after,
                                                   workshop=shop.workshop, current=current,
                                                   earlier=earlier))

    reports = map(report_of, (shop.records if records is None else records).values())
    return sorted(reports, key=lambda one: (one.record.head.date, one.id), reverse=True)


# ---------------------------------------------------------------- what an issue says of itself

@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """Which issue of a report this is, who put their name to it, and what it was made from; one
    without a number is a draft. `last` is the issue that counts until then."""

    report: str
    issue: int | None
    by: str
    on: str
    because: str
    last: FinishedReport | None
    changes: tuple[str, ...]
    fingerprint: str
    own_review: bool    # done and reviewed by one person
    sheet: str          # how the sheet stood


def issue_of(shop: Shop, report: Report, *, by: str = "", on: str = "", because: str = "") -> Issue:
    """The next issue of a report, or with no name behind it its draft."""
    record, head = report.record, report.record.head
    last = shop.finished.latest(report.id)
    changes = [*amendments.changes(last, record, report.data),
               *(f"Report {number}, given with it, says something else now."
                 for number in shop.finished.changed_beside(last, shop.records))] if last else []
    return Issue(report=report.id, issue=(last.issue + 1 if last else 1) if by else None, by=by,
                 on=on, because=because, last=last, fingerprint=record.fingerprint,
                 changes=tuple(changes),
                 own_review=bool(head.done_by and head.reviewed_by
                                 and same_name(head.done_by, head.reviewed_by)),
                 sheet=_sheet_said(shop, record))


def _sheet_said(shop: Shop, record: Record) -> str:
    head = record.head
    approval = shop.approvals.find(head.procedure, head.revision, head.date)
    if approval is None:
        return f"revision {head.revision}, which nobody approved"
    gone = shop.approvals.withdrawn(head.procedure, head.revision)
    own = approval.content
    return (f"{own.shown}, approved by {own.by} on {own.on}"
            + (f"; withdrawn on {gone.on}: {gone.because}" if gone else ""))


def whole_body(report: Report, issue: Issue) -> Markup:
    """All that the page of a report says below its title: a raw block without blank lines."""
    return Markup(re.sub(r"\n\s*\n+", "\n",
                         page_from("issue.html.j2", issue=issue)
                         + page_from("report-body.html.j2", report=report)).strip())


def running(report: Report, issue: Issue) -> str:
    """What stands at the foot of each printed page."""
    which = "" if issue.issue is None else f", issue {issue.issue}"
    return (f"{'DRAFT · ' if issue.issue is None else ''}Report {report.id}{which} · "
            f"{report.record.carried.meter_name}, serial no. {report.record.head.serial}, "
            f"{report.state}")


def title_of(report: Report, issue: Issue) -> str:
    """The heading: an amendment says of what."""
    return (f"Amendment to report {report.id}" if issue.issue and issue.issue > 1
            else report.title)


# ---------------------------------------------------------------- a page

@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """A page of a report: `page` is its name, `mark` what is wrong with using it."""

    page: str
    number: str
    title: str
    body: Markup
    running: str
    date: str
    state: str
    statement: str
    headline: str
    meter: str      # its name
    meter_file: str
    serial: str
    mark: str = ""
    withdrawn: WithdrawnReport | None = None
    replaced: FinishedReport | None = None      # by this one
    issues: tuple[str, ...] = ()    # the pages of other issues, by their names
    draft: str = ""                 # the page of a draft beside
    together: tuple[str, ...] = ()
    today: tuple[str, ...] = ()
    procedure: str = ""


def draft(shop: Shop, report: Report, page: str = "", kept: Cache | None = None) -> ReportPage:
    """The page of a report that nobody finished as it is."""
    last = shop.finished.latest(report.id)
    head = report.record.head
    beside = [shop.records.get(number) for number in (last.together if last else ())]
    return (kept or Cache(forgetful=True)).get(
        f"report draft {report.id}",
        (report, page, last, shop.approvals.find(head.procedure, head.revision, head.date),
         shop.approvals.withdrawn(head.procedure, head.revision), *beside),
        lambda: _draft(shop, report, page))


def _draft(shop: Shop, report: Report, page: str) -> ReportPage:
    issue = issue_of(shop, report)
    return ReportPage(
        page=page or report.id, number=report.id, title=report.title,
        body=whole_body(report, issue), running=running(report, issue),
        date=report.record.head.date.isoformat(), state=report.state,
        statement=report.statement, headline=report.headline,
        meter=report.record.carried.meter_name, meter_file=report.record.meter,
        serial=report.record.head.serial, mark="draft",
        together=tuple(filter(None, (report.found, report.left))), today=report.today,
        procedure=(report.record.head.procedure
                   if report.record.head.procedure in shop.procedures else ""))


def issued(shop: Shop, own: FinishedReport, draft: str = "") -> ReportPage:
    """The page of an issue, from its file alone, with what was decided about it since."""
    issues = shop.finished.issues(own.number)
    last, gone = issues[-1], shop.finished.withdrawn(own.number, own.issue)
    is_last = own.issue == last.issue
    mark = "withdrawn" if gone else "" if is_last else "replaced"
    return ReportPage(
        page=own.number if is_last else page_of_issue(own), number=own.number, title=own.title,
        body=Markup(drawn_anew(own.text)),
        running=f"{mark.upper()} · {own.running}" if mark else own.running,
        date=own.report.date, state=own.report.state or "state not recorded",
        statement=own.report.statement, headline=own.headline, meter=own.meter_name,
        meter_file=own.report.meter, serial=own.report.serial,
        mark=mark or (f"issue {own.issue}" if own.issue > 1 else ""), withdrawn=gone,
        replaced=None if is_last else last, draft=draft if is_last else "",
        issues=tuple(own.number if one is last else page_of_issue(one)
                     for one in issues if one is not own),
        together=tuple(own.together))


def page_of_issue(own: FinishedReport) -> str:
    """The name of its page once another issue has taken its place."""
    return f"{own.number}-issue-{own.issue}"


def shown_of(shop: Shop, reports: list[Report], kept: Cache | None = None) -> list[ReportPage]:
    """Every page of reports: issues as they were, and drafts of what nobody finished as it is."""
    made: list[ReportPage] = []
    for report in reports:
        if shop.finished.latest(report.id) is None:
            made.append(draft(shop, report, kept=kept))
        elif not shop.finished.is_as_issued(report.record, shop.records):
            made.append(draft(shop, report, f"{report.id}-draft", kept))
    drafts = {one.number: one.page for one in made}
    kept = kept or Cache(forgetful=True)
    for number in shop.finished.numbers:
        issues, draft_page = shop.finished.issues(number), drafts.get(number, "")
        made += [kept.get(
            f"report issue {own.stem}",
            (own, issues[-1], shop.finished.withdrawn(number, own.issue), draft_page),
            lambda own=own, draft_page=draft_page: issued(shop, own, draft_page))
            for own in issues]
    return sorted(made, key=lambda one: (one.date, one.number, one.page == one.number, one.page),
                  reverse=True)


def report_html(report: Report, shop: Shop | None = None) -> str:
    """A report as a file of its own, which fetches nothing: as it was issued, if it is what the
    record still says; without a shop a draft."""
    shop = shop or Shop()
    own = shop.finished.latest(report.id)
    stands = own is not None and shop.finished.is_as_issued(report.record, shop.records)
    return alone(issued(shop, own) if stands
                 else draft(shop, report))


def alone(shown: ReportPage) -> str:
    """A page of a report as a file of its own."""
    style = looks_of_report(shown.running, alone=True)
    return locked(page_from("report.html.j2", report=shown, page_style=style), own=style)


# ---------------------------------------------------------------- all of them

def drafts_of(shop: Shop, kept: Cache | None = None) -> list[Report]:
    """The reports of the records that nobody finished as they are; the latest first. The others
    are made from their finished files alone."""
    return reports_of(shop, {record.id: record for record in shop.records.values()
                             if not shop.finished.is_as_issued(record, shop.records)}, kept)


def results(shop: Shop, drafts: Sequence[Report]) -> list[RecordResults]:
    """Of each record, the latest first, what its report says: as it was issued, or as the draft of
    one that isn't finished as it is."""
    computed = {one.id: one.data for one in drafts}
    hashes = {id(one.content): one.hash for one in shop.finished.files}
    made = []
    for record in sorted(shop.records.values(), key=lambda one: (one.head.date, one.id),
                         reverse=True):
        last = shop.finished.latest(record.id)
        if record.id in computed or last is None:
            made.append(RecordResults(record, computed[record.id], "draft"))
        else:
            gone = shop.finished.withdrawn(record.id, last.issue)
            made.append(RecordResults(
                record, last.report, "withdrawn" if gone else str(last.issue),
                record.made_of + hashes[id(last)] if isinstance(record, KeptRecord) else ""))
    return made


def pages(shop: Shop, histories: Mapping, glossary: str, kept: Cache,
          gone: Sequence[MissingFile] = ()) -> tuple[dict[str, str], dict[str, str | bytes]]:
    """The pages of all reports, their list and their data, by path; the list names the records that
    are `gone`."""
    made: dict[str, str] = {}
    files: dict[str, str | bytes] = {}
    drafts = drafts_of(shop, kept)
    listed: list[tuple[ReportPage, str]] = []    # with the page of its meter's history
    for report in drafts:
        name = f"{report.id}-draft" if shop.finished.latest(report.id) else report.id
        files[f"data/reports/{name}.json"] = as_json(report.data.as_data())
    for shown in shown_of(shop, drafts, kept):
        record = shop.records.get(shown.number)
        own = histories.get(record.same_meter) if record else None
        listed.append((shown, own.id if own else ""))
        made[f"reports/{shown.page}.md"] = kept.get(
            f"report page {shown.page}", (shown, glossary),
            lambda shown=shown: kept.texts.get(
                "report", (repr(shown), glossary), lambda: with_terms(page_from(
                    "report.md.j2", report=shown, page_style=looks_of_report(shown.running)),
                    glossary)))
    for number in shop.finished.numbers:
        for issue in shop.finished.issues(number):
            last = issue is shop.finished.latest(number)
            name = number if last else page_of_issue(issue)
            files[f"data/reports/{name}.json"] = as_json(issue.report.as_data())
    files["data/results.csv"] = results_table.table(results(shop, drafts), kept.texts)
    lists, script = report_lists.pages(listed, gone)
    return made | lists, files | script
