"""An empty record as a table (CSV), to be filled in with a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator

from builder.files import csv_text
from builder.formats.group_data import CheckData
from builder.formats.sheet_data import PointData, SheetData
from builder.formats.worked_on import position
from builder.numbers.exact_text import NARROW
from builder.records.readings import asked_for
from builder.records.steps_form import name_of
from builder.records.table_record import ANSWER, COLUMNS, LINE, REFERENCE, SHEET, TO_KNOW, UNIT

# The rows of the head, and what to know of each.
_HEAD = {
    "serial": "of the meter; set this cell to text first where it begins with a 0",
    "state": "as found, or as left", "date": "year-month-day", "place": "",
    "ambient start": "", "ambient end": "", "humidity start": "", "humidity end": "",
    "owner": "whom the report is for", "contact": "how to reach them",
    "asset": "the owner's own number of the meter", "received": "the day on which it came",
    "condition": "of the meter when it came", "done by": "", "reviewed by": "who authorises the "
    "report", "issued": "the day of the report",
    "adjusted": "as left only: what was adjusted, replaced or cleaned between",
    "follows": "as left only: the record as found, if that was on another day", "remarks": ""}


def form(sheet: SheetData, data_file: str = "", separator: str = ",") -> bytes:
    """The table; `data_file` is what a draft's record is judged by."""
    rows = [*_head(sheet, data_file), *_steps(sheet)]
    return csv_text.written([COLUMNS, *([row.get(name, "") for name in COLUMNS] for row in rows)],
                            separator)


def _head(sheet: SheetData, data_file: str) -> Iterator[dict[str, str]]:
    yield {LINE: SHEET, ANSWER: f"{sheet.procedure} {sheet.revision}", TO_KNOW: sheet.title}
    if data_file:
        yield {LINE: "judged by", ANSWER: data_file, TO_KNOW: "the sheet's data, beside this file"}
    for name, to_know in _HEAD.items():
        yield {LINE: name, TO_KNOW: to_know} | (
            {UNIT: "degC", TO_KNOW: f"the sheet holds at {sheet.holds}"}
            if name.startswith("ambient") else {UNIT: "%"} if name.startswith("humidity") else {})
    if sheet.verified_against:
        yield {LINE: "last adjusted", TO_KNOW: f"the limits are those of {sheet.verified_against} "
               "since adjustment; a day, or unknown"}
    for one in sheet.standards:
        yield {LINE: f"standards {one.standard} number", TO_KNOW: "as its label says; certificate "
               f"{one.certificate}, due {one.due}"}


def _steps(sheet: SheetData) -> Iterator[dict[str, str]]:
    things = sorted((*sheet.checks, *sheet.points), key=lambda one: position(one.step))
    for group in sheet.groups:
        own = [one for one in things if one.group == group.group]
        if own:
            yield {TO_KNOW: f"{group.group} {group.title}"}
        for one in own:
            yield _check(one) if isinstance(one, CheckData) else _point(one)
        if group.hazard:
            most = group.near_zero_limit.text if group.near_zero_limit else "1 V"
            yield {LINE: f"closed {group.group}", UNIT: group.near_zero or "V",
                   TO_KNOW: f"the reading near zero that closed the group, at most {most}; 'no' if "
                   "it was not closed"}


def _check(check: CheckData) -> dict[str, str]:
    asks = ", ".join(filter(None, (check.write, asked_for(check) or check.unit)))
    return {LINE: f"{check.step} {check.check}",
            TO_KNOW: "yes or no" + (f", and behind it: {asks}" if asks else "")}


def _point(point: PointData) -> dict[str, str]:
    accept = point.accept
    says = [f"accepted {accept.low.text.split(' ')[0]} to {accept.high.text}" if accept else
            "write down only" if point.is_observation else "", f"on {point.range.text}"]
    if point.correction == "subtract" and point.kind != "zero":
        says.append("write what the display showed: the leads are taken off by the builder")
    if point.reference is not None:
        says.append(f"what the reference meter read stands under '{REFERENCE}'" + (
            ", before; after" if point.reference.twice else ""))
    return {LINE: f"{point.step} {name_of(point)}",
            UNIT: "" if point.is_observation else point.unit,
            TO_KNOW: ", ".join(filter(None, says)).replace(NARROW, " ")}
