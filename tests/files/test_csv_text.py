"""Tables as CSV: which sign divides their cells and their decimals, where each cell stands, and
what a spreadsheet would take for a formula."""

from __future__ import annotations

import csv
import io
import random

import pytest

from builder.files import csv_text

COLUMNS = ("a", "b", "c")


def parsed(text: str):
    return csv_text.parse(text, "t.csv", COLUMNS, ("a",))


@pytest.mark.parametrize("text, separator", [
    ("a;b;c\n1,5;2;3\n", ";"), ("a,b,c\n1.5,2,3\n", ","), ("a\tb\tc\n1,5\t2\t3\n", "\t"),
    ("\n;;\n A ;b;c\n1,5;2;3\n", ";"), ("a\n1\n", ";")])
def test_the_head_tells_the_separator(text, separator):
    table, problems = parsed(text)
    assert not problems and table.separator == separator and len(table.rows) == 1


def test_what_was_written_is_read_again():
    """Random cells with every sign that may confuse, in every separator, each at its place."""
    rng = random.Random(5)
    for separator in csv_text.SEPARATORS:
        rows = [["".join(rng.choice('ab;,\t" \'0') for _ in range(rng.randint(0, 5))).strip()
                 for _ in COLUMNS] for _ in range(300)]
        table, problems = parsed(csv_text.written([COLUMNS, *rows], separator).decode("utf-8-sig"))
        assert not problems
        kept = [[" ".join(one.split()) for one in row] for row in rows]
        assert [[row[name].text for name in COLUMNS] for row in table.rows] == [
            row for row in kept if any(row)]
        for row in table.rows:
            for cell in row.values():
                line = table.lines[cell.start[0]][cell.start[1]:cell.end[1]]
                (read,) = next(csv.reader(io.StringIO(line), delimiter=separator), [""])
                assert " ".join(read.split()) == cell.text


@pytest.mark.parametrize("column, letters", [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"),
                                             (702, "AAA")])
def test_a_column_has_letters(column, letters):
    assert csv_text._letters(column) == letters


@pytest.mark.parametrize("numbers, sign", [
    (["1,5", "2"], ","), (["1.5 V", "-2.25"], "."), (["17,994/17,996"], ","), (["12"], ""),
    (["1,5", "1.5"], None), (["5,01; 5,02"], ","), (["OL", "yes"], "")])
def test_the_numbers_tell_the_decimal_sign(numbers, sign):
    """Or there are two of them, and neither is guessed."""
    table, _ = parsed("a;b;c\n" + "".join(f"{one if ';' not in one else chr(34) + one + chr(34)};;"
                                          "\n" for one in numbers))
    cells = [row["a"] for row in table.rows]
    problems = csv_text.decimal_sign(table, cells)
    assert (None if problems else table.decimal) == sign
    assert [csv_text.with_point(table, one.text) for one in cells] == [
        one.replace(",", ".") if sign == "," else one for one in numbers]


@pytest.mark.parametrize("text, spoilt", [
    ("50 Ohm", False), ("12 kOhm", False), ("23 degC", False), ("5.01/5.02", False), ("OL", False),
    ("-3.000 V", False), ("5.4 V, 400 Hz", False), ("5-Jan", True), ("05. Jan", True),
    ("Mrz 05", True), ("5.1.2001", True), ("1E+05", True), ("#REF!", True), ("###", True)])
def test_what_a_spreadsheet_spoilt(text, spoilt):
    """A number with its unit is no date."""
    table, _ = parsed(f'a;b;c\n"{text}";;\n')
    assert bool(csv_text.spoilt(table, [table.rows[0]["a"]])) == spoilt


@pytest.mark.parametrize("text, written", [
    ("=1+1", "'=1+1"), ("@x", "'@x"), ("-5.01", "-5.01"), ("-5.01 V", "-5.01 V"), ("-", "-"),
    ("+1+cmd|x", "'+1+cmd|x"), ("-1-x", "'-1-x"), ("plain", "plain"), ("", "")])
def test_no_cell_is_a_formula(text, written):
    assert csv_text._harmless(text) == written
