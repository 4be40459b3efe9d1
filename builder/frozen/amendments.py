"""What an amendment changes in the issue before, in words: the head of the record, what was read
and answered, and what is stated."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from builder.files.json_text import parse as parse_json
from builder.files.yaml_text import parse as parse_yaml
from builder.formats.frozen_files import FinishedReport
from builder.formats.report_data import ReportData
from builder.frozen.differences import differences
from builder.numbers.exact_text import capital
from builder.records import table_record
from builder.records.judged_record import Record

# Stand in the data of the report, or are no part of what it says.
_APART = {"judged_by", "readings", "checks", "steps", "closed", "points", "groups", "format",
          "record", "issued", "typed", "begun"}
_NAMES = {"done_by": "done by", "reviewed_by": "reviewed by"}
_PLACES = {"step", "group", "function", "name"}


def changes(before: FinishedReport, record: Record, now: ReportData) -> list[str]:
    """A sentence for each thing that differs; none where nothing that is printed does."""
    old, new = _said(before), _plain(record)
    listed = [*(f"{capital(line)}." for line in differences(old, new, _APART, _NAMES)),
              *of_data(before.report, now)]
    return list(dict.fromkeys(listed))


def _plain(record: Record) -> dict[str, Any]:
    return dict(getattr(record.document, "raw", None) or record.document.data)


def _said(before: FinishedReport) -> dict[str, Any]:
    """The record as it was, as plain data; nothing where this version can't read it any more."""
    text = "\n".join(before.record)
    if before.record_file.endswith(".csv"):
        table, _ = table_record.parse(text, "")
        return dict(table.data) if table else {}
    if text.lstrip()[:1] == "{":
        document, _ = parse_json(text, "")
        return dict(document.raw) if document else {}
    parsed, _ = parse_yaml(text, "")
    return dict(parsed.data) if parsed else {}


def of_data(old: ReportData, new: ReportData) -> Iterator[str]:
    """What two reports state, read and answer otherwise, whatever their issues."""
    before, after = old.as_data(), new.as_data()
    told = {"format", "number", "issue", "points", "checks", "live_groups", "functions",
            "departures", "reasons", "serial", "date", "state", "meter"}
    for line in differences(before, after, told, {}):
        yield f"{capital(line)}."
    for what, key in (("function", "functions"), ("step", "points"), ("step", "checks"),
                      ("group", "live_groups")):
        yield from _entries(before[key], after[key], what)
    for what in ("reasons", "departures"):
        yield from (f"Now said: {one}" for one in after[what] if one not in before[what])
        yield from (f"No longer said: {one}" for one in before[what] if one not in after[what])


def _entries(old: list[Mapping[str, Any]], new: list[Mapping[str, Any]],
             key: str) -> Iterator[str]:
    before = {one[key]: one for one in old}
    for entry in new:
        if entry[key] not in before:
            yield f"New: {key} {entry[key]}."
        elif lines := list(differences(before[entry[key]], entry, _PLACES, {})):
            yield f"{capital(key)} {entry[key]}: {'; '.join(lines)}."
    now = {one[key] for one in new}
    yield from (f"Gone: {key} {one}." for one in before if one not in now)
