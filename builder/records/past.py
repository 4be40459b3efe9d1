"""procedures/past/: results from before, in tables whose head names the columns. They are shown in
a meter's history as what others judged by their limits, and count in nothing here."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from functools import partial
from pathlib import Path

from builder.files import csv_text, folders, yaml_text
from builder.files.cache import Cache
from builder.files.csv_text import Row, TableDocument
from builder.files.documents import Node
from builder.files.problems import WARNING, Problem
from builder.formats.past_result import PastResult
from builder.formats.validation import tried

FOLDER = "past"
COLUMNS = tuple(PastResult.model_fields)
NEEDED = ("serial", "date", "point")
_NUMBERS = ("point", "reading", "error", "low", "high")

Key = tuple[str, str]       # a meter's file and its serial number


def read_folder(procedures: Path, meters: Collection[Key],
                kept: Cache) -> tuple[dict[Key, list[PastResult]], list[str], list[Problem]]:
    """The results of each meter, the latest first; how each table was read; and what is wrong.
    `meters` are those that the shop knows, by its register or its records."""
    shown = f"{procedures.name}/{FOLDER}"
    files, problems = folders.files_below(procedures / FOLDER, shown)
    results: dict[Key, list[PastResult]] = defaultdict(list)
    manner: list[str] = []
    for entry in files:
        if entry.path.suffix != ".csv":
            problems.append(folders.not_read(entry, ".csv"))
            continue
        table, rows, wrong = kept.get(
            f"past {entry.shown}", (yaml_text.content(entry.path, csv_text.LARGEST_FILE),),
            partial(_read, entry.path, entry.shown))
        problems += wrong
        if table is not None:
            manner.append(f"{entry.shown}: {table.said}.")
            problems += _placed(table, rows, meters, results)
    for own in results.values():
        own.sort(key=lambda one: one.date, reverse=True)
    return dict(results), manner, problems


def _read(path: Path, shown: str) -> tuple[TableDocument | None, list[tuple[Row, PastResult]],
                                           list[Problem]]:
    """The rows of a file that are right, and the problems of the others."""
    table, problems = csv_text.read(path, shown, COLUMNS, NEEDED)
    if table is None:
        return None, [], problems
    numbers = [cell for row in table.rows for name in _NUMBERS if (cell := row.get(name))]
    problems += csv_text.spoilt(table, numbers) + csv_text.decimal_sign(table, numbers)
    spoilt = {problem.place for problem in problems}
    rows = []
    for row in table.rows:
        node = Node(value={name: cell.node(csv_text.with_point(table, cell.text)
                                           if name in _NUMBERS else csv_text.iso_day(cell.text)
                                           if name == "date" else cell.text)
                           for name, cell in row.items() if cell.text},
                    start=(next(iter(row.values())).start), end=next(iter(row.values())).end)
        result, wrong = tried(PastResult, table.with_root(node))
        problems += [one for one in wrong if one.place not in spoilt]
        if result is not None:
            rows.append((row, result))
    return table, rows, problems


def _placed(table: TableDocument, rows: list[tuple[Row, PastResult]], meters: Collection[Key],
            results: dict[Key, list[PastResult]]) -> list[Problem]:
    """Puts each row to its meter; a problem, once a serial number, where it isn't clear which."""
    of_serial: dict[str, list[str]] = defaultdict(list)
    for meter, serial in meters:
        of_serial[serial].append(meter)
    problems: dict[tuple, Problem] = {}
    for row, result in rows:
        known = of_serial[result.serial]
        if result.meter is None and len(known) != 1:
            problems.setdefault((result.serial, None), table.at(
                row["serial"], "serial", f"{' and '.join(sorted(known)) or 'no meter'} here "
                f"{'have' if known else 'has'} the serial number {result.serial}",
                "name the meter in a column 'meter'" if known else
                "put the meter into the register, or name its file in a column 'meter'"))
            continue
        meter = result.meter or known[0]
        if meter not in known:
            problems.setdefault((result.serial, meter), table.at(
                row["serial"], "serial", f"the shop has no {meter} with the serial number "
                f"{result.serial}", "put it into the register, where its results are found",
                severity=WARNING))
        results[meter, result.serial].append(result)
    return list(problems.values())
