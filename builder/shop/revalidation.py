"""Everything that was frozen, computed again by this version of the builder: what differs, for
whoever validates the software."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.files.problems import errors
from builder.formats.frozen_files import ApprovedSheet, FinishedReport
from builder.formats.sheet_data import SheetData
from builder.frozen import amendments, sheet_changes
from builder.frozen.folder import Frozen
from builder.records import departures, record_files, report_text
from builder.records.judged_record import Record
from builder.records.sheet_of_record import SheetsOfRecords
from builder.shop import loading
from builder.shop.contents import Shop


@dataclass(frozen=True, slots=True)
class Revalidated:
    """A frozen file, and what this version makes of it otherwise."""

    file: str
    written_by: str
    differences: tuple[str, ...]


def revalidate(shop: Shop) -> list[Revalidated]:
    """Each approved sheet from the files that it was computed from, each finished report from the
    record that it holds."""
    made = [Revalidated(one.file, one.content.written_by, tuple(_of_sheet(one.content)))
            for one in shop.approvals.files if isinstance(one.content, ApprovedSheet)]
    return made + [Revalidated(one.file, one.content.written_by,
                               tuple(_of_report(shop, one.content)))
                   for one in shop.finished.files if isinstance(one.content, FinishedReport)]


def _of_sheet(own: ApprovedSheet) -> Iterator[str]:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "procedures"
        for name, lines in own.made_from.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        again = loading.load_shop(root)
    fresh = again.procedures.get(own.procedure)
    if fresh is None:
        yield "No sheet comes of its files any more."
        yield from (f"{one.place.file}:{one.place.line}: {one.sentence}"
                    for one in errors(again.problems))
        return
    yield from sheet_changes.changes(own.sheet, fresh.sheet_data)


def _of_report(shop: Shop, own: FinishedReport) -> Iterator[str]:
    sheet = _sheet(shop, own)
    if sheet is None:
        yield "Its approved sheet is gone or damaged, so it can't be judged again."
        return
    record, wrong = _record(own, sheet)
    if record is None:
        yield "Its record can't be read any more."
        yield from wrong
        return
    if record.fingerprint != own.fingerprint:
        yield f"The fingerprint {record.fingerprint} (before: {own.fingerprint})."
    records = {own.number: record} | dict(_beside(shop, own))
    as_found, as_left = departures.pairs(records)
    report = report_text.report(record, found=as_found.get(own.number),
                                left=as_left.get(own.number), workshop=None, current=None)
    yield from amendments.of_data(own.report, report.data)


def _sheet(shop: Shop, own: FinishedReport) -> SheetData | None:
    """What a report was judged by: held inside, or the approved sheet of that hash."""
    if own.judged_by is not None:
        return own.judged_by
    file: Frozen | None = next((one for one in shop.approvals.files if one.hash == own.sheet), None)
    return file.content.sheet if file else None


def _record(own: FinishedReport, sheet: SheetData) -> tuple[Record | None, list[str]]:
    text = "\n".join(own.record)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / own.record_file
        path.write_text(text, encoding="utf-8")
        record, problems = record_files.read_file(path, path.name, SheetsOfRecords(instead=sheet))
    return record, [f"{one.place.file}:{one.place.line}: {one.sentence}"
                    for one in errors(problems)]


def _beside(shop: Shop, own: FinishedReport) -> Iterator[tuple[str, Record]]:
    """The records of the other states, as they were when the report was finished."""
    for number, then in own.together.items():
        other = next((one for one in shop.finished.issues(number) if one.fingerprint == then), None)
        sheet = _sheet(shop, other) if other else None
        record = _record(other, sheet)[0] if other and sheet else None
        if record is not None:
            yield number, record
