"""A record as a table (CSV): a row a step, its number and its name in the column 'line', and beside
it what the typed form has under the step. What stands in it becomes the same plain data, each value
with its cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from builder.files import csv_text
from builder.files.csv_text import TableCell, Row, TableDocument
from builder.files.documents import Node
from builder.files.problems import WARNING, Problem
from builder.formats.record_head import RecordHead
from builder.formats.report_data import NOT_ON_THIS_METER
from builder.formats.worked_on import position
from builder.records.judged_record import Record
from builder.records.typed import TypedNumber, is_overload, typed_number

LINE, ANSWER, UNIT, THEN, BECAUSE, REFERENCE, CONFIRMED, NOTE, TO_KNOW = COLUMNS = (
    "line", "answer", "unit", "then", "because", "reference", "confirmed", "note", "to know")
SHEET = "sheet"     # the row with the procedure and its revision, which no spreadsheet alters
_STEP = re.compile(r"[0-9]{1,4}\.[0-9]{1,4}\b.*")
_NESTED = ("ambient", "humidity", "initials", "closed", "worked_on", "standards")
_NUMBERS = ("ambient", "humidity", "closed")
_DAYS = ("date", "received", "issued", "last_adjusted")
_PLAIN = tuple(name for name in RecordHead.model_fields
               if name not in (*_NESTED, "steps", "checks", "points", "groups", "format"))
_WORDS = (NOT_ON_THIS_METER, "yes", "no", "true", "false")
MOST_NAMED = 12     # steps that a warning lists


def read(path: Path, shown: str) -> tuple[TableDocument | None, list[Problem]]:
    """The table as a record's plain data; `shown` is the name that problems give it."""
    table, problems = csv_text.read(path, shown, COLUMNS, (LINE, ANSWER))
    return (None, problems) if table is None else (table, problems + _into_record(table))


def parse(text: str, shown: str) -> tuple[TableDocument | None, list[Problem]]:
    table, problems = csv_text.parse(text, shown, COLUMNS, (LINE, ANSWER))
    return (None, problems) if table is None else (table, problems + _into_record(table))


def _into_record(table: TableDocument) -> list[Problem]:
    problems: list[Problem] = []
    head: dict[str, Node] = {}
    steps: dict[str, Node] = {}
    rows = [row for row in table.rows if any(cell.text for name, cell in row.items()
                                             if name not in (TO_KNOW, UNIT))]
    numbers = [cell for row in rows if _holds_numbers(_text(row, LINE))
               for name in (ANSWER, THEN, REFERENCE) if (cell := row.get(name))]
    problems += csv_text.spoilt(table, numbers) + csv_text.decimal_sign(table, numbers)
    for row in rows:
        line = _text(row, LINE)
        if not line:
            cell = next(cell for cell in row.values() if cell.text)
            problems.append(table.at(cell, "line", "something stands in a row whose 'line' is "
                                     "empty", "is it in the wrong row?"))
        elif _STEP.fullmatch(line):
            if line in steps:
                problems.append(table.at(row[LINE], "step", f"'{line[:40]}' stands twice",
                                         f"keep one row; later readings stand under '{THEN}'"))
            steps[line] = _keyed(_step(table, row), row)
        else:
            problems += _head_row(table, row, head)
    if steps:
        first = next(iter(steps.values()))
        head["steps"] = Node(value=steps, start=first.start, end=first.end, key=first.key)
    table.root = table.whole = Node(value=head, start=(0, 0), end=(0, 0))
    return problems


def _text(row: Row, name: str) -> str:
    return row[name].text if name in row else ""


def _holds_numbers(line: str) -> bool:
    return bool(_STEP.fullmatch(line)) or line.partition(" ")[0].casefold() in _NUMBERS


def _keyed(node: Node, row: Row) -> Node:
    node.key = (row[LINE].start, row[LINE].end)
    return node


# ---------------------------------------------------------------- a row of the head

def _head_row(table: TableDocument, row: Row, head: dict[str, Node]) -> list[Problem]:
    line, cell = _text(row, LINE), row.get(ANSWER, row[LINE])
    problems = [table.at(row[name], "column", f"'{name}' belongs to a step, not to '{line[:30]}'",
                         f"it stands under '{ANSWER}'")
                for name in (THEN, BECAUSE, REFERENCE, CONFIRMED, NOTE) if _text(row, name)]
    first, _, rest = line.partition(" ")
    plain = line.casefold().replace(" ", "_")
    value = cell.text
    if line.casefold() == SHEET:
        procedure, _, revision = value.rpartition(" ")
        head["procedure"] = _keyed(cell.node(procedure or value), row)
        head["revision"] = _keyed(cell.node(revision if procedure else ""), row)
    elif first.casefold() in _NESTED and rest:
        if first.casefold() in _NUMBERS:
            value = _with_unit(csv_text.with_point(table, value), _text(row, UNIT))
        if value:
            _put(head, _path(first.casefold(), rest), _keyed(cell.node(value), row))
    elif plain in head:
        problems.append(table.at(row[LINE], "line", f"'{line[:40]}' stands twice",
                                 "keep one of the two rows"))
    else:
        if plain in _DAYS:
            value, wrong = _day(table, cell)
            problems += wrong
        if value or plain in ("serial", "date"):
            head[plain] = _keyed(cell.node(value), row)
    return problems


def _path(first: str, rest: str) -> list[str]:
    """Where a row such as 'closed 15 otherwise' or 'standards fulmar due' stands in a record."""
    words = rest.split(" ")
    return [first, *(words if first in ("closed", "standards") else [rest])]


def _put(inside: dict[str, Node], path: list[str], node: Node) -> None:
    for name in path[:-1]:
        around = inside.setdefault(name, Node(value={}, start=node.start, end=node.end,
                                              key=node.key))
        inside = around.keys
    inside[path[-1]] = node


def _day(table: TableDocument, cell: TableCell) -> tuple[str, list[Problem]]:
    """A day; one with strokes may be the month's first or the day's, and is refused."""
    if re.fullmatch(r"[0-9]{1,4}/[0-9]{1,2}/[0-9]{1,4}", cell.text):
        return "", [table.at(cell, "date", f"'{cell.text}' may be read in two ways",
                             "set the cell to text, and write the day as 2026-03-12")]
    return csv_text.iso_day(cell.text), []


# ---------------------------------------------------------------- a row of a step

def _step(table: TableDocument, row: Row) -> Node:
    """What stands at a step, in the typed form: a value alone, or a group of keys."""
    answer, unit = row.get(ANSWER), _text(row, UNIT)
    if answer is None:
        answer = TableCell("", "", row[LINE].start, row[LINE].end)
    beside = {name: row[name].node() for name in (CONFIRMED, NOTE) if _text(row, name)}
    later = _listed(table, row.get(THEN), unit)
    if later:
        beside["then"] = Node(value=later, start=later[0].start, end=later[0].end)
    for name in (BECAUSE, REFERENCE):
        if listed := _listed(table, row.get(name), unit if name == REFERENCE else ""):
            beside[name] = Node(value=listed, start=listed[0].start, end=listed[0].end)
    if word := _word(answer.text):
        first = _answered(answer, word, answer.text)
        if not beside:
            return first
        return _group(answer, (first.keys or {str(first.value): answer.node("")}) | beside)
    readings = _listed(table, answer, unit)
    if len(readings) > 1:
        return _group(answer, {"repeated": Node(value=readings, start=answer.start,
                                                end=answer.end)} | beside)
    reading = readings[0] if readings else answer.node("")
    return _group(answer, {"reading": reading} | beside) if beside else reading


def _group(cell: TableCell, keys: dict[str, Node]) -> Node:
    return Node(value=keys, start=cell.start, end=cell.end)


def _listed(table: TableDocument, cell: TableCell | None, unit: str) -> list[Node]:
    """What stands in a cell, divided by ';', each part as a value or an answer at a check."""
    if cell is None or not cell.text:
        return []
    return [_answered(cell, word, part) if (word := _word(part))
            else cell.node(_with_unit(csv_text.with_point(table, part), unit))
            for part in map(str.strip, cell.text.split(";")) if part]


def _word(text: str) -> str:
    """The answer at a check with which a text begins; "" for a reading."""
    plain = text.casefold()
    return next((word for word in _WORDS if plain == word or plain.startswith(word + " ")), "")


def _answered(cell: TableCell, word: str, text: str) -> Node:
    """'yes 35', 'no chipped collar' or 'not on this meter XY' as the typed form has it."""
    rest = text[len(word):].strip()
    word = {"true": "yes", "false": "no"}.get(word, word)
    rest = rest.replace(",", ".") if re.fullmatch(r"[+\-−]?[0-9]+,[0-9]+", rest) else rest
    return _group(cell, {word: cell.node(rest)}) if rest or word == NOT_ON_THIS_METER else (
        cell.node(word))


def _with_unit(text: str, unit: str) -> str:
    """A number with the unit that stands beside it, so that another unit is noticed."""
    return (f"{text} {unit}" if unit and re.fullmatch(r"[+\-−–]?[0-9.][0-9./+\-−– ]*", text)
            else text)


# ---------------------------------------------------------------- what it may have lost

def doubts(record: Record) -> list[Problem]:
    """Of a record that was read from a table: the readings that have fewer digits than the display,
    and the steps that nothing stands at."""
    table = record.document
    if not isinstance(table, TableDocument):
        return []
    problems = []
    cells = {cell.start: cell for row in table.rows for cell in row.values()}
    short = [cells[start] for path in _short(record)
             if (start := _start(table, path)) in cells]
    if short:
        named = ", ".join(one.address for one in short[:MOST_NAMED])
        problems.append(table.at(
            short[0], "lost-digits", f"'{short[0].text}' has fewer digits than the display"
            + (f", and so have {len(short) - 1} more: {named}" if len(short) > 1 else ""),
            "a spreadsheet drops zeros at the end, and may drop more: set the column to text "
            f"before you type; 'yes' under '{CONFIRMED}' answers this", severity=WARNING))
    empty = _unanswered(record)
    steps = len(record.carried.points) + len(record.carried.checks)
    if empty:
        problems.append(table.problem(
            (), "unanswered", f"{len(empty)} of {steps} steps have no answer: "
            f"{', '.join(empty[:MOST_NAMED])}" + (" …" if len(empty) > MOST_NAMED else ""),
            "what is not done gives no statement; '-' says that it was left out on purpose",
            severity=WARNING))
    return problems


def _start(table: TableDocument, path: tuple) -> tuple[int, int]:
    place = table.place(path)
    return place.line - 1, place.column - 1


def _short(record: Record) -> Iterator[tuple]:
    for reading in record.judged:
        if reading.point.is_observation:
            continue
        for attempt, _ in reading.tries:
            numbers = [_number(part) for one in attempt.readings for part in one.split("/")]
            if not attempt.confirmed and any(
                    one is not None and one.decimals < reading.point.decimals
                    for one in numbers):
                yield attempt.path


def _number(text: str) -> TypedNumber | None:
    return None if is_overload(text) or not text.strip() else typed_number(text.strip(), True)


def _unanswered(record: Record) -> list[str]:
    """The steps at which nothing stands, in the order of the sheet."""
    steps = record.document.root.keys.get("steps")
    answered = {key.partition(" ")[0] for key, node in (steps.keys if steps else {}).items()
                if node.value != ""}
    return [one.step for one in sorted((*record.carried.checks, *record.carried.points),
                                       key=lambda one: position(one.step))
            if one.step not in answered]
