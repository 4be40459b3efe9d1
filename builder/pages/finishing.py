"""`finish` and `amend`: reports as they are said today → files that never change."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

from builder.files.problems import Wrong
from builder.formats.frozen_files import CertificateUsed, FinishedReport
from builder.frozen import finished, folder, names
from builder.pages import report_pages
from builder.pages.report_pages import Issue
from builder.records import departures, report_text
from builder.records.judged_record import Record
from builder.records.report_text import Report
from builder.shop.contents import Shop


def finish(shop: Shop, procedures: Path, asked: Iterable[str], *, by: str,
           on: date) -> list[str]:
    """Finishes the reports of records, or of all records of a day that have none yet, with those
    that are given together with them; a line for each. Raises `Wrong` before anything is written,
    or where the disk takes no more."""
    chosen = _chosen(shop, asked)
    _refuse(shop, chosen, by)
    return _written(shop, procedures, _new(shop, chosen), by=by, on=on, because="")


def to_finish(shop: Shop, asked: Iterable[str]) -> list[Record]:
    """The records whose reports `finish` would issue. Raises `Wrong` as it does, but for the name
    behind it."""
    return _new(shop, _chosen(shop, asked))


def _new(shop: Shop, chosen: list[Record]) -> list[Record]:
    for record in chosen:
        last = shop.finished.latest(record.id)
        if last is not None and not shop.finished.is_as_issued(record, shop.records):
            raise Wrong(f"report {record.id} was finished by {last.by} on {last.on}, and its "
                        "record says something else now",
                        f"'amend {record.id} --because … --by NAME' issues it anew")
    new = [one for one in chosen if shop.finished.latest(one.id) is None]
    if not new:
        raise Wrong("there is nothing to finish: "
                    + " and ".join(one.id for one in chosen)
                    + f" {'was' if len(chosen) == 1 else 'were'} finished already")
    return new


def amend(shop: Shop, procedures: Path, asked: Iterable[str], *, because: str, by: str,
          on: date) -> list[str]:
    """Issues reports anew, with those given together with them that changed too. Raises `Wrong`
    as `finish` does."""
    named = list(asked)
    chosen = _chosen(shop, named)
    _refuse(shop, chosen, by)
    if not because.strip():
        raise Wrong("a reason is needed behind --because", "it is printed on the amendment")
    return _written(shop, procedures, _changed(shop, chosen, named), by=by, on=on,
                    because=because.strip())


def to_amend(shop: Shop, asked: Iterable[str]) -> list[Record]:
    """The records whose reports `amend` would issue anew. Raises `Wrong` as it does, but for the
    name and the reason."""
    named = list(asked)
    return _changed(shop, _chosen(shop, named), named)


def _changed(shop: Shop, chosen: list[Record], named: list[str]) -> list[Record]:
    changed, pairs = [], departures.pairs(shop.records)
    for record in chosen:
        last = shop.finished.latest(record.id)
        if last is None:
            raise Wrong(f"report {record.id} was never finished, so there is nothing to amend",
                        f"'finish {record.id} --by NAME' issues it")
        if shop.finished.withdrawn(record.id, last.issue) or _changes(shop, last, record, pairs):
            changed.append(record)
    if not changed:
        raise Wrong(f"nothing has changed in {', '.join(named)} since it was finished",
                    "mend the record first; its report is issued anew with what is different")
    return changed


def _changes(shop: Shop, last: FinishedReport, record: Record,
             pairs: departures.Pairs) -> bool:
    """Whether the report would say anything else than its last issue."""
    return (last.fingerprint != record.fingerprint
            or bool(report_pages.issue_of(shop, _report(shop, record, None, pairs)).changes))


# ---------------------------------------------------------------- which ones

def _chosen(shop: Shop, asked: Iterable[str]) -> list[Record]:
    """The records by their names or by a day, each once, with those reported together with it."""
    ids: list[str] = []
    for name in asked:
        name = Path(name).stem if name not in shop.records and "/" in name else name
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", name) and name not in shop.records:
            of_day = [one.id for one in shop.records.values()
                      if one.head.date.isoformat() == name]
            if not of_day:
                raise Wrong(f"there is no record of {name}", "a day is named as 2026-03-12")
            ids += of_day
        elif name in shop.records:
            ids.append(name)
        else:
            raise Wrong(f"there is no record '{name}' without problems",
                        "known: " + ", ".join(shop.records))
    as_found, as_left = departures.pairs(shop.records)
    for id in list(ids):
        ids += [other.id for other in (as_found.get(id), as_left.get(id)) if other is not None]
    return [shop.records[id] for id in dict.fromkeys(ids)]


def _refuse(shop: Shop, records: list[Record], by: str) -> None:
    names.refuse_unless(shop.workshop, by, names.FINISH)
    for record in records:
        if record.head.reviewed_by and shop.workshop and shop.workshop.authorised:
            try:
                names.refuse_unless(shop.workshop, record.head.reviewed_by, names.REVIEW)
            except Wrong as wrong:
                raise Wrong(f"{record.id}: {wrong.sentence}", wrong.hint) from None


# ---------------------------------------------------------------- writing

def _report(shop: Shop, record: Record, on: date | None, pairs: departures.Pairs) -> Report:
    """The report of a record; `on` is the day of issue, where the record states none."""
    as_found, as_left = pairs
    if on is not None:
        record = replace(record, head=record.head.model_copy(update={"issued": on}))
    return report_text.report(record, found=as_found.get(record.id), left=as_left.get(record.id),
                              workshop=shop.workshop, current=None,
                              earlier=departures.earlier(shop.records, record))


def as_issued(shop: Shop, record: Record, *, by: str, on: date, because: str,
              pairs: departures.Pairs) -> tuple[Report, Issue]:
    """The report of a record as it would be issued, and what its next issue says of itself.
    `pairs` are those of all records of the shop."""
    last = shop.finished.latest(record.id)
    issued = on if last or record.head.issued is None else record.head.issued
    report = _report(shop, record, issued, pairs)
    return report, report_pages.issue_of(shop, report, by=" ".join(by.split()), on=on.isoformat(),
                                         because=because)


def _written(shop: Shop, procedures: Path, records: list[Record], *, by: str, on: date,
             because: str) -> list[str]:
    lines, before = [], folder.heads(shop.finished.files)
    pairs = as_found, as_left = departures.pairs(shop.records)
    for record in records:
        last = shop.finished.latest(record.id)
        report, issue = as_issued(shop, record, by=by, on=on, because=because, pairs=pairs)
        approval = shop.approvals.find(record.head.procedure, record.head.revision,
                                       record.head.date)
        path, own = finished.add(
            procedures, before, by=by, on=on, number=record.id, issue=issue.issue,
            because=because if last else "", changes=issue.changes,
            together={one.id: one.fingerprint
                      for one in (as_found.get(record.id), as_left.get(record.id)) if one},
            fingerprint=issue.fingerprint, sheet=approval.hash if approval else None,
            certificates=tuple(
                CertificateUsed(standard=one.standard, number=one.number,
                                certificate=one.certificate, due=one.due,
                                calibrated=one.calibrated, issuer=one.issuer,
                                accreditation=one.accreditation)
                for one in record.standards),
            report=report.data.model_copy(update={"issue": issue.issue}),
            title=report_pages.title_of(report, issue), headline=report.headline,
            running=report_pages.running(report, issue), meter_name=record.carried.meter_name,
            body=tuple(str(report_pages.whole_body(report, issue)).split("\n")),
            record_file=Path(record.document.file).name, record=tuple(record.document.lines),
            judged_by=None if approval else record.carried)
        before = (folder.hash_of(own),)     # each stands behind the one before
        lines.append(f"{procedures.name}/{finished.FOLDER}/{path.name}: report {own.number}, "
                     f"issue {own.issue}, finished by {own.by} on {own.on}, fingerprint "
                     f"{own.fingerprint}: {own.headline}")
    return lines
