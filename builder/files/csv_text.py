"""Tables as CSV (RFC 4180) → cells as the text that was typed, each with its place and its address
in a spreadsheet; and such tables written. The only importer of csv.

Which sign stands between the cells is known by the head of the table, which sign is the decimal one
by its numbers; a table that can be read in two ways is refused.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.files import yaml_text
from builder.files.documents import Document, Node, nowhere
from builder.files.problems import Place, Problem
from builder.files.yaml_slips import is_invisible

SEPARATORS = {";": "';'", ",": "','", "\t": "tabs"}
LARGEST_FILE = 5_000_000    # bytes
_WITH_COMMA = re.compile(r"[+\-−]?[0-9]+,[0-9]+(?![0-9,.])(?: .*)?")
_WITH_POINT = re.compile(r"[+\-−]?[0-9]+\.[0-9]+(?![0-9,.])(?: .*)?")
# What a spreadsheet makes of a number that it doesn't show as it was typed.
_SHORTENED = re.compile(r"[+\-−]?[0-9]+(?:[.,][0-9]+)?[eE][+\-−]?[0-9]+")
_MARK = re.compile(r"#+|#[A-ZÄÖÜ/0]+[!?]?")
_MADE_A_DATE = re.compile(
    r"[0-9]{1,2}[.\-/]\s?[^\W\d_]{3,4}\.?(?:[ .\-/][0-9]{2,4})?|[^\W\d_]{3,4}[.\- ]{1,2}[0-9]{2}"
    r"|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{2,4}")


@dataclass(frozen=True, slots=True)
class TableCell:
    """What stands in a cell, and where: `address` as spreadsheets count, `start` and `end` as line
    and column of the file, from 0."""

    text: str
    address: str
    start: tuple[int, int]
    end: tuple[int, int]

    def node(self, value: str | None = None) -> Node:
        return Node(value=self.text if value is None else value, start=self.start, end=self.end,
                    key=(self.start, self.end))


Row = dict[str, TableCell]


class TableDocument(Document):
    """A table as a file: its rows by the names of their columns, and how it was read."""

    def __init__(self, file: str, text: str, separator: str, rows: list[Row]):
        super().__init__(file, text, nowhere())
        self.separator, self.rows = separator, rows
        self.decimal = ""       # "" where no number has one

    def at(self, cell: TableCell, code: str, sentence: str, hint: str, **more) -> Problem:
        """A problem of one cell, which is named by its address too."""
        return Problem(self._at(cell.start, cell.end), code, f"cell {cell.address}: {sentence}",
                       hint, **more)

    @property
    def said(self) -> str:
        """How it was read."""
        return f"read with {SEPARATORS[self.separator]} between the cells and " + (
            f"'{self.decimal}' as the decimal sign" if self.decimal else "no decimal sign")


def read(path: Path, shown: str, columns: Collection[str],
         needed: Collection[str]) -> tuple[TableDocument | None, list[Problem]]:
    """A table by the name that problems give it; `columns` are those that it may have, in small
    letters."""
    try:
        raw = yaml_text.content(path, LARGEST_FILE)
    except OSError as error:
        return None, [Problem(Place(shown, 1, 1), "unreadable",
                              f"the file can't be read: {error.strerror or error}")]
    if len(raw) > LARGEST_FILE:
        return None, [Problem(Place(shown, 1, 1), "too-large", "the table is larger than "
                              f"{LARGEST_FILE // 1_000_000} MB", "divide it into several files")]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[:error.start].count(b"\n")
        return None, [Problem(Place(shown, line + 1, 1), "encoding", "the file is not UTF-8 text",
                              "save it again as CSV in UTF-8, which a spreadsheet offers as a kind "
                              "of file or as its character set")]
    return parse(text, shown, columns, needed)


def parse(text: str, shown: str, columns: Collection[str],
          needed: Collection[str]) -> tuple[TableDocument | None, list[Problem]]:
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    for number, line in enumerate(lines):
        for column, sign in enumerate(line):
            if sign != "\t" and is_invisible(sign):
                return None, [Problem(Place(shown, number + 1, column + 1, 1, line),
                                      "control-character", "an invisible character "
                                      f"(U+{ord(sign):04X}) stands here", "delete it")]
    first = next((n for n, line in enumerate(lines) if line.strip(" ;,\t\"")), 0)
    separator = next((sign for sign in SEPARATORS if set(needed) <= set(
        map(_name, _cells_of(lines[first], sign)))), "")
    if not separator:
        return None, [Problem(Place(shown, first + 1, 1, max(1, len(lines[first])), lines[first]),
                              "columns", "the head of the table lacks a column that it needs",
                              f"needed: {', '.join(needed)}; between the cells stands a ';', a ',' "
                              "or a tab")]
    return _rows(text, shown, separator, columns)


def _name(head: str) -> str:
    return " ".join(head.split()).casefold()


def _cells_of(line: str, separator: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=separator, strict=True), [])
    except csv.Error:
        return []


def _rows(text: str, shown: str, separator: str,
          columns: Collection[str]) -> tuple[TableDocument | None, list[Problem]]:
    lines = text.split("\n")
    table = TableDocument(shown, text, separator, [])
    reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    problems: list[Problem] = []
    names: list[str] = []
    number, before = 0, 0
    try:
        for row in reader:
            number += 1
            start, before = before, reader.line_num
            if not any(one.strip() for one in row):
                continue
            spans = _spans(lines[start], separator) if before == start + 1 else []
            cells = [TableCell(" ".join(one.split()), f"{_letters(n)}{number}",
                          *(((start, spans[n][0]), (start, spans[n][1])) if n < len(spans)
                            else ((start, 0), (start, len(lines[start])))))
                     for n, one in enumerate(row)]
            if not names:
                names = [_name(one.text) for one in cells]
                problems += _head(table, cells, names, columns)
                continue
            if extra := [one for one in cells[len(names):] if one.text]:
                problems.append(table.at(
                    extra[0], "cells", f"this row has more cells than the head has columns, which "
                    f"are {len(names)}", "is there a decimal comma, or a comma in a text, without "
                    "quotation marks round it?"))
                continue
            table.rows.append({name: one for name, one in zip(names, cells, strict=False)
                               if name})
    except csv.Error as error:
        line = min(before, len(lines) - 1)
        problems.append(Problem(Place(shown, line + 1, 1, max(1, len(lines[line])), lines[line]),
                                "csv", f"this is no CSV: {error}",
                                "a quotation mark inside a cell is doubled"))
    return table, problems


def _head(table: TableDocument, cells: list[TableCell], names: list[str],
          columns: Collection[str]) -> list[Problem]:
    problems = []
    for n, name in enumerate(names):
        if name and name in names[:n]:
            problems.append(table.at(cells[n], "columns", f"the column '{name}' stands twice",
                                     "delete one of the two"))
        elif name and name not in columns:
            problems.append(table.at(cells[n], "columns", f"there is no column '{name[:40]}'",
                                     "known here: " + ", ".join(columns)))
    return problems


def _spans(line: str, separator: str) -> list[tuple[int, int]]:
    """From where to where each cell of a line goes."""
    spans, start, quoted = [], 0, False
    for n, sign in enumerate(line):
        if sign == '"':
            quoted = not quoted
        elif sign == separator and not quoted:
            spans.append((start, n))
            start = n + 1
    return [*spans, (start, len(line))]


def _letters(column: int) -> str:
    """A column as spreadsheets name it: A to Z, AA …"""
    return (_letters(column // 26 - 1) if column >= 26 else "") + chr(ord("A") + column % 26)


# ---------------------------------------------------------------- numbers

def spoilt(table: TableDocument, cells: Iterable[TableCell]) -> list[Problem]:
    """A problem at each cell that a spreadsheet shortened, or made something else of."""
    problems = []
    for cell in cells:
        if _SHORTENED.fullmatch(cell.text):
            problems.append(table.at(
                cell, "lost-digits", f"'{cell.text[:30]}' is a number that the spreadsheet "
                "shortened, so it may have lost digits", "set the column to text, and type it "
                "again"))
        elif _MARK.fullmatch(cell.text):
            problems.append(table.at(
                cell, "lost-digits", f"'{cell.text[:30]}' stands where the spreadsheet showed no "
                "value", "widen the column or mend the formula, and save the table again"))
        elif _MADE_A_DATE.fullmatch(cell.text):
            problems.append(table.at(
                cell, "lost-digits", f"the spreadsheet made the date '{cell.text[:30]}' of what "
                "was typed", "set the column to text, and type it again"))
    return problems


def decimal_sign(table: TableDocument, cells: Sequence[TableCell]) -> list[Problem]:
    """Finds the decimal sign of a table by the cells that hold numbers; a problem where both signs
    are met."""
    commas = [one for one in cells if _numbers(one.text, _WITH_COMMA)]
    points = [one for one in cells if _numbers(one.text, _WITH_POINT)]
    if commas and points:
        rare, other = sorted((commas, points), key=len)
        return [table.at(rare[0], "decimal-sign", f"'{rare[0].text[:30]}' has another decimal sign "
                         f"than '{other[0].text[:30]}' in cell {other[0].address}",
                         "write all numbers of a table with one decimal sign, and none with a sign "
                         "between thousands")]
    table.decimal = "," if commas else "." if points else ""
    return []


def _numbers(text: str, pattern: re.Pattern[str]) -> bool:
    return any(pattern.fullmatch(part.strip()) for part in re.split("[/;]", text))


def with_point(table: TableDocument, text: str) -> str:
    """What stands in a cell of numbers, with points as decimal signs."""
    return re.sub(r"([0-9]),([0-9])", r"\1.\2", text) if table.decimal == "," else text


def iso_day(text: str) -> str:
    """A day that a spreadsheet wrote with points, so as day, month and year (common practice), as
    year-month-day; any other text as it stands."""
    dotted = re.fullmatch(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})", text)
    return f"{dotted[3]}-{int(dotted[2]):02}-{int(dotted[1]):02}" if dotted else text


# ---------------------------------------------------------------- writing

def written(rows: Iterable[Sequence[str]], separator: str = ",") -> bytes:
    """A table as UTF-8 with a mark at its start, by which a spreadsheet knows it, and lines ended
    by CRLF."""
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator, lineterminator="\r\n").writerows(
        [_harmless(one) for one in row] for row in rows)
    return stream.getvalue().encode("utf-8-sig", "replace")


def _harmless(text: str) -> str:
    """A text that a spreadsheet would take for a formula stands behind a ' (common practice)."""
    is_number = re.fullmatch(r"-|[+\-][0-9][0-9 .,/]*( ?[^\W\d_][\w/]*| ?[%°]\w?)?", text)
    return f"'{text}" if text and text[0] in "=+-@" and not is_number else text
