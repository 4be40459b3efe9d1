"""procedures/records/: what was read at the sheets, each file checked against the procedure that it
is judged by.

A record that can't be read whole is left out and its problems are told; the others stand.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

from builder.files import folders, json_text, yaml_text
from builder.files.cache import Cache
from builder.files.problems import WARNING, Place, Problem, Wrong, errors
from builder.files.yaml_text import Document
from builder.formats.conditions import END, START
from builder.formats.fields import slug
from builder.formats.record_head import INSIDE
from builder.formats.record_head import RecordHead as Head
from builder.formats.record_head import head
from builder.formats.sheet_data import SheetData
from builder.formats.worked_on import position
from builder.records import kept_records, table_record
from builder.records.judged_record import Record, judge, parted, standards_used
from builder.records.reading_forms import readings_of
from builder.records.sheet_of_record import Approved, SheetsOfRecords, none_approved

FOLDER = "records"
ENDINGS = (".yaml", ".json", ".csv")    # typed, from a phone, from a spreadsheet


# ---------------------------------------------------------------- a folder of files

def read_folder(folder: Path, shown: str, kept: Cache, approved: Approved = none_approved
                ) -> tuple[dict[str, Record], list[Problem]]:
    """Every record below `folder`, and the problems of them and of those that aren't here;
    `approved` finds what was approved."""
    records: dict[str, Record] = {}
    twins: dict[tuple, Record] = {}
    sheets = SheetsOfRecords(approved)
    files, problems = folders.files_below(folder, shown)
    for entry in files:
        if entry.path.suffix not in ENDINGS:
            problems.append(folders.not_read(entry, *ENDINGS))
            continue
        record, record_problems = _kept_file(entry.path, entry.shown, sheets, kept)
        problems += record_problems
        if record and (misnamed := _misnamed(record, entry)):
            problems.append(misnamed)
        elif record:
            what = (record.same_meter, record.head.procedure, record.head.date, record.head.state)
            twin = records.get(record.id) or twins.get(what)
            if twin:
                problems.append(_twin(record, twin))
            else:
                records[record.id] = twins[what] = record
    return records, problems


def _misnamed(record: Record, entry: folders.Entry) -> Problem | None:
    """What is wrong with a file whose name is that of its record and report: it has to be an
    address on every machine."""
    try:
        slug(record.id)
    except Wrong:
        plain = "-".join(re.findall("[a-z0-9]+", record.id.lower()))[:60].rstrip("-")
        return Problem(Place(entry.shown, 1, 1), "file-name",
                       "this name names a report, and can't be the address of a page",
                       "small letters, digits and single hyphens, such as '"
                       f"{plain if plain not in ('', 'index', 'readme') else 'dunlin-60-0147'}"
                       f"{entry.path.suffix}'")
    return None


def _kept_file(path: Path, name: str, sheets: SheetsOfRecords,
               kept: Cache) -> tuple[Record | None, list[Problem]]:
    """A record anew only if its file has changed, or the data that it is judged by."""
    def inputs(record: Record | None) -> tuple:
        return content(path), *(sheets.made_from(path, record.head) if record else ())
    def made() -> tuple[Record | None, list[Problem]]:
        return kept_records.record(
            name=name, content=content(path), read=lambda: read_file(path, name, sheets),
            judged_by=lambda head: sheets.hash_from(path, head), texts=kept.texts)
    last = kept.last(f"record {name}")
    if last and last[0]:
        return kept.get(f"record {name}", inputs(last[0]), made)
    first = made()
    return kept.get(f"record {name}", inputs(first[0]), lambda: first)


def content(path: Path) -> bytes:
    """The bytes of a file; none where it can't be read."""
    try:
        return yaml_text.content(path)
    except OSError:
        return b""


def _twin(record: Record, twin: Record) -> Problem:
    if record.id == twin.id:
        return record.document.problem(("record",), "duplicate-record",
                                       f"the record '{record.id}' stands in {twin.document.file} "
                                       "already",
                                       "give each its own name; keep one of the two files if it is "
                                       "the same")
    return record.document.problem(("state",) if record.head.state else ("serial",),
                                   "duplicate-record",
                                   f"{twin.document.file} is the record of serial "
                                   f"{record.head.serial} on {record.head.date}, "
                                   f"{record.head.state or 'no state'}, already",
                                   "after an adjustment the state is 'as left'; else keep the one "
                                   "that counts")


# ---------------------------------------------------------------- a file

def read_file(path: Path, shown: str, sheets: SheetsOfRecords | None = None,
              text: str | None = None) -> tuple[Record | None, list[Problem]]:
    """One record; nothing for the data of a procedure, which stands beside records, and for an
    empty form. `sheets` are those that records are judged by; `text` is what a phone's is to say,
    where it isn't written yet."""
    if path.suffix == ".json":
        document, problems = (json_text.read(path, shown) if text is None
                              else json_text.parse(text, shown))
        if document is None or _is_data(document.raw):
            return None, problems
        raw = document.raw
        data = _head_of(raw)
    else:
        document, problems = (table_record.read if path.suffix == ".csv"
                              else yaml_text.read)(path, shown)
        if document is None or errors(problems):
            return None, problems
        raw = document.data
        data = {name: value for name, value in raw.items()
                if value != "" or name in ("procedure", "revision", "judged_by", "serial", "date")}
    if document and _is_blank(data):
        return None, [document.problem((), "blank-record", "this form is not filled in yet",
                                       "delete it if it isn't needed", severity=WARNING)]
    first, problems = head(data, document)
    if first is None:
        return None, problems
    known, problems = (sheets or SheetsOfRecords()).judging(path, shown, raw, first, document)
    if known is None:
        return None, problems
    entries, entry_problems = readings_of(raw, known, document)
    problems += entry_problems + _head_problems(first, known, document)
    judged, entry_problems = judge(known, entries, document)
    problems += entry_problems
    if errors(problems):
        return None, problems
    record = Record(id=first.record or path.stem, head=first, carried=known, entries=entries,
                    judged=judged, standards=standards_used(known, entries), document=document)
    return replace(record, judged=parted(judged, record.work)), (
        problems + table_record.doubts(record))


def _is_data(raw: dict) -> bool:
    return "record" not in raw and "judged_by" not in raw and "decision_rule" in raw


def _is_blank(data: dict) -> bool:
    """A form as it was written: nobody has put a serial number, a date or a reading into it."""
    def empty(value) -> bool:
        return (value in (None, "", "-") if not isinstance(value, (list, dict))
                else all(map(empty, value.values() if isinstance(value, dict) else value)))
    return ("procedure" in data and "revision" in data
            and all(empty(data.get(name))
                    for name in ("serial", "date", "steps", "checks", "points")))


_TEXTS = [name for name in Head.model_fields
          if name not in ("steps", "checks", "closed", "initials", "points", "groups", "standards",
                          "judged_by", "worked_on")]


def _head_of(raw: dict) -> dict:
    """The head of a phone's record as texts: unknown fields are passed over, null is nothing."""
    data = {name: "true" if raw[name] is True else str(raw[name])
            if isinstance(raw[name], (str, int)) and raw[name] != "" else raw[name]
            for name in _TEXTS if raw.get(name) not in (None, "")}
    for name in ("serial", "date"):
        if name in raw and not raw[name]:
            data[name] = ""     # so that the problem stands at its place
    for name in ("ambient", "humidity"):
        if raw.get(f"{name}_end") not in (None, ""):
            data[name] = {START: data.get(name, ""), END: str(raw[f"{name}_end"])}
    data |= {name: raw[name] for name in ("steps", "checks", "closed", "initials", "points",
                                          "groups", "standards", "worked_on")
             if raw.get(name) is not None}
    if "judged_by" in raw:
        data["judged_by"] = INSIDE if isinstance(raw["judged_by"], dict) else str(raw["judged_by"])
    return data


def _head_problems(first: Head, known: SheetData, document: Document) -> list[Problem]:
    problems = []

    def say(name: str, code: str, sentence: str, hint: str, **more) -> None:
        problems.append(document.problem((name,), code, sentence, hint, **more))

    if first.meter and first.meter != known.meter:
        say("meter", "meter",
            f"this record is of the meter '{first.meter}', and its sheet is for '{known.meter}'",
            "delete the key, or name the data of the right sheet")
    if first.issued and first.issued < first.date:
        say("issued", "issued",
            f"the report was issued on {first.issued}, before the work on {first.date}",
            "year-month-day: are the two exchanged?")
    if first.received and first.received > first.date:
        say("received", "received",
            f"the meter was received on {first.received}, after the work on {first.date}",
            "year-month-day: are the two exchanged?")
    if isinstance(first.last_adjusted, date) and first.last_adjusted > first.date:
        say("last_adjusted", "last-adjusted",
            f"the meter was last adjusted on {first.last_adjusted}, after the work on "
            f"{first.date}", "that of the adjustment before these readings")
    steps = {one.step for one in known.points} | {one.step for one in known.checks}
    for step in first.worked_on:
        if step != END and step not in steps:
            problems.append(document.problem(
                ("worked_on", step), "step", f"the sheet has no step {step}, before which the "
                "meter was worked on", "the number of a reading or of a check, such as "
                f"'{min(steps, key=position, default='1.1')}', or 'end' after the last reading"))
    for name in ("adjusted", "follows"):
        if getattr(first, name) and first.state != "as left":
            say(name, "state", f"'{name}' belongs to a record of the state as left",
                "write 'state: as left', or delete the key")
    return problems
