"""`python3 -m builder report`: the reports of given records, each as a plain file that prints by
itself."""

from __future__ import annotations

import sys
from pathlib import Path

from builder.files import problems
from builder.files.problems import Place, Problem, errors
from builder.pages import render
from builder.records import judged_record, record_files
from builder.shop import contents, loading

USAGE = (
    "usage: python3 -m builder report RECORD ... [--to DIR], a record by its file or, in "
    "procedures/records/, by its name")


def report(arguments: list[str], folder: Path) -> int:
    target, rest = Path("reports"), list(arguments)
    if "--to" in rest:
        at = rest.index("--to")
        if at + 1 >= len(rest):
            print(USAGE, file=sys.stderr)
            return 2
        target = Path(rest[at + 1])
        del rest[at:at + 2]
    if not rest or any(one.startswith("-") for one in rest):
        print(USAGE, file=sys.stderr)
        return 2
    shop = loading.load_shop(folder)
    found, wrong = _read(rest, shop)
    if wrong:
        print(problems.as_text(wrong), file=sys.stderr)
    for one in render.reports_of(shop, found):
        target.mkdir(parents=True, exist_ok=True)
        path = target / f"{one.id}.html"
        path.write_text(render.report_html(one), encoding="utf-8", newline="\n")
        print(f"{path}: {one.verdict}"
              + (f" In the site it is reports/{one.id}.html." if one.id in shop.records else ""))
    return 1 if errors(wrong) else 0


def _read(names: list[str],
          shop: contents.Shop) -> tuple[dict[str, judged_record.Record], list[Problem]]:
    records: dict[str, judged_record.Record] = {}
    wrong: list[Problem] = []
    for name in names:
        path = Path(name)
        if name in shop.records:
            records[name] = shop.records[name]
            continue
        if not path.is_file():
            wrong.append(Problem(Place(name, 1, 1), "no-record",
                                 "there is no such file, and no such record in procedures/records/",
                                 "known: " + ", ".join(shop.records) if shop.records
                                 else "name a file"))
            continue
        record, problems_ = record_files.read_file(path, name)
        wrong += problems_
        if record is None and not problems_:
            wrong.append(Problem(Place(name, 1, 1), "no-record",
                                 "this is the data of a procedure and no record",
                                 "name the record that is judged by it"))
        if record is not None:
            wrong += loading.strangers(record, shop)
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
