"""`python3 -m builder report`: the reports of given records, each as a plain file that prints by
itself."""

from __future__ import annotations

from pathlib import Path

from builder.files import problems, whole_files
from builder.files.problems import Place, Problem
from builder.pages import report_pages
from builder.records import judged_record, record_files
from builder.records.doubts import doubts
from builder.records.sheet_of_record import SheetsOfRecords
from builder.shop import contents, loading


def write(names: list[str], target: Path,
          shop: contents.Shop) -> tuple[list[str], list[str], list[Problem]]:
    """Writes the reports of records, given by their names in the shop or by their files, into a
    folder. Gives a line and the statement of each that was written, and the problems of those that
    can't be read."""
    records, wrong = _read(names, shop)
    lines, statements = [], []
    for report in report_pages.reports_of(shop, records):
        target.mkdir(parents=True, exist_ok=True)
        path = target / f"{report.id}.html"
        whole_files.replace(path, report_pages.report_html(report, shop))
        lines.append(f"{path}"
                     + (f", in the site reports/{report.id}.html"
                        if report.id in shop.records else "") + f": {report.headline}"
                     + "".join(f"\n  {reason}" for reason in report.reasons)
                     + f"\n{report.id}: {report.statement}")
        statements.append(report.statement)
    return lines, statements, wrong


def _read(names: list[str],
          shop: contents.Shop) -> tuple[dict[str, judged_record.Record], list[Problem]]:
    records: dict[str, judged_record.Record] = {}
    wrong: list[Problem] = []
    for name in names:
        path = Path(name)
        if name in shop.records:
            records[name] = shop.records[name]
            continue
        own = [one for one in shop.record_problems if Path(one.place.file).stem == name]
        if not path.is_file() and problems.errors(own):
            wrong += own
            continue
        if not path.is_file():
            wrong.append(Problem(Place(name, 1, 1), "no-record",
                                 "there is no such file, and no such record in procedures/records/",
                                 "known: " + ", ".join(shop.records) if shop.records
                                 else "name a file"))
            continue
        record, problems_ = record_files.read_file(
            path, name, SheetsOfRecords(shop.approvals.data))
        wrong += problems_
        if record is None and not problems_:
            wrong.append(Problem(Place(name, 1, 1), "no-record",
                                 "this is the data of a procedure and no record",
                                 "name the record that is judged by it"))
        if record is not None:
            wrong += loading.strangers(record, shop) + doubts(record)
            twin = records.get(record.id)
            if twin:
                wrong.append(
                    record.document.problem(("record",), "duplicate-record",
                                            f"the record '{record.id}' stands in "
                                            f"{twin.document.file} already",
                                            "give each its own name"))
            else:
                records[record.id] = record
    return records, wrong
