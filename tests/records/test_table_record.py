"""Records as tables: filled in with any separator and decimal sign they are what the typed form is,
and what a spreadsheet spoilt is a problem at its cell."""

from __future__ import annotations

import csv
import io
from types import SimpleNamespace

import pytest

from builder.files import csv_text
from builder.formats.sheet_data import SheetData
from builder.frozen import amendments
from builder.records import record_files, table_form, table_record
from builder.shop import contents, loading
from tests import recorded
from tests.recorded import data_of, folder_with, put, record

NAME = "2026-03-12-lapwing-1-0147"


@pytest.fixture(scope="module")
def typed(tmp_path_factory):
    """A folder with one typed record, its shop and its sheet's data. Nobody may change it."""
    root = folder_with(tmp_path_factory.mktemp("typed"))
    data = data_of(root)
    put(root, f"{NAME}.yaml", record(data))
    shop = loading.load_shop(root)
    assert not shop.problems, "\n".join(map(str, shop.problems))
    return root, shop.records[NAME], data


def form_of(data: dict, separator: str = ",") -> list[list[str]]:
    made = table_form.form(SheetData.model_validate(data), recorded.paper_form.data_name(data),
                           separator)
    return list(csv.reader(io.StringIO(made.decode("utf-8-sig")), delimiter=separator))


def filled(data: dict, steps: dict | None = None, rows: dict | None = None) -> list[list[str]]:
    """The form with the answers of a good record; `steps` are other answers by their number,
    `rows` other cells by line and column."""
    said = record(data)
    answers = {line.partition(" ")[0]: text for line, text in said["steps"].items()}
    answers |= {"serial": "0147", "state": "as found", "date": "2026-03-12", "place": "bench 2",
                "ambient start": "22.8", "ambient end": "23.1", "owner": "Invented Ferries",
                "condition": "clean", "done by": "I. Marlow", "reviewed by": "T. Askew",
                "issued": "2026-03-13", **{f"closed {group}": text.partition(" ")[0]
                                           for group, text in said["closed"].items()}}
    answers |= steps or {}
    head, *lines = form_of(data)
    for line in lines:
        key = line[0].partition(" ")[0] if line[0][:1].isdigit() else line[0]
        line[1] = answers.get(key, line[1])
        for column, text in (rows or {}).get(key, {}).items():
            line[head.index(column)] = text
    return [head, *lines]


def as_csv(rows: list[list[str]], separator: str = ",", decimal: str = ".") -> bytes:
    """As a spreadsheet saves it; `decimal` is put into the columns that hold numbers."""
    columns = [rows[0].index(name) for name in ("answer", "then", "reference")]
    for row in rows[1:]:
        for n in columns if row[0][:1].isdigit() or row[0][:7] in ("ambient", "closed ") else ():
            row[n] = row[n].replace(".", decimal)
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator).writerows(rows)
    return stream.getvalue().encode()


def read(root, content: bytes | str, name: str = NAME):
    """The record, or None, and its problems, of a table beside the data of the draft."""
    path = root / "records" / f"{name}.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    try:
        return record_files.read_file(path, path.name)
    finally:
        path.unlink()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("decimal", [".", ","])
def test_a_table_is_what_the_typed_form_is(separator, decimal, typed):
    """Whatever stands between the cells and in the numbers; and it says how it was read."""
    root, wanted, data = typed
    found, problems = read(root, as_csv(filled(data), separator, decimal))
    assert not problems, "\n".join(map(str, problems))
    assert [(one.point.id, one.outcome, one.percent) for one in found.judged] == [
        (one.point.id, one.outcome, one.percent) for one in wanted.judged]
    assert (found.head.serial, found.head.date, found.head.ambient) == (
        "0147", wanted.head.date, {"start": "22.8 degC", "end": "23.1 degC"})
    assert found.entries.answers == wanted.entries.answers
    assert {group: one.near_zero for group, one in found.entries.closings.items()} == {
        group: one.near_zero for group, one in wanted.entries.closings.items()}
    assert found.document.said == (f"read with {csv_text.SEPARATORS[separator]} between the cells "
                                   f"and '{decimal}' as the decimal sign")


def test_an_empty_form_is_no_record(typed):
    root, _, data = typed
    found, (problem,) = read(root, csv_text.written(form_of(data)))
    assert found is None and problem.code == "blank-record" and problem.severity == "warning"


def test_what_a_step_may_hold(typed):
    """Later readings, causes, repeated and flickering readings, numbers at a check, and what is not
    on this meter."""
    root, _, data = typed
    volt, minus = recorded.step(data, "3.000 V"), recorded.step(data, "-3.000 V")
    case = next(one["step"] for one in data["checks"] if one["check"] == "Case")
    found, problems = read(root, as_csv(filled(
        data, {volt: "3,200", minus: "-2,999; -3,001; -3,000", case: "no cracked"},
        {volt: {"then": "3,001", "because": "lead not home", "note": "seen twice"},
         case: {"then": "yes"}}), ";", ","))
    assert not problems, "\n".join(map(str, problems))
    tries = {point: [one.readings for one in tries] for point, tries in found.entries.tries.items()}
    assert tries["dcv-6V-3.000V"] == [("3.200 V",), ("3.001 V",)]
    assert tries["dcv-6V--3.000V"] == [("-2.999 V", "-3.001 V", "-3.000 V")]
    assert found.entries.tries["dcv-6V-3.000V"][0].cause == "lead not home"
    assert found.entries.notes == {volt: "seen twice", case: "cracked"}
    assert [one.good for one in found.entries.answers[case].all] == [False, True]
    assert next(one for one in found.judged if one.point.step == volt).outcome == "pass"


@pytest.mark.parametrize("cell, code, says", [
    ("5,4E+02", "lost-digits", "shortened"), ("540E2", "lost-digits", "shortened"),
    ("####", "lost-digits", "showed no value"), ("#NAME?", "lost-digits", "showed no value"),
    ("05. Jan", "lost-digits", "made the date '05. Jan'"),
    ("Jan 05", "lost-digits", "made the date"), ("5.1.2001", "lost-digits", "made the date"),
    ("540.4 mV", "reading", ""), ("fine", "reading", "")])
def test_a_spoilt_cell_is_a_problem_at_its_address(cell, code, says, typed):
    root, _, data = typed
    step = recorded.step(data, "540.0 V")
    rows = filled(data, {step: cell})
    number = next(n for n, row in enumerate(rows) if row[0].startswith(f"{step} "))
    found, problems = read(root, as_csv(rows, ";"))
    assert found is None and {one.code for one in problems} == {code}
    (problem,) = problems
    assert problem.place.line == number + 1 and problem.place.text[problem.place.column - 1:][
        :problem.place.length] == cell and problem.hint
    assert code == "reading" or (f"cell B{number + 1}: " in problem.sentence
                                 and says in problem.sentence)


def test_digits_that_may_be_lost_are_asked_about(typed):
    """Zeros at the end that a spreadsheet dropped and digits that it rounded look alike: a warning
    with the cells, until it is confirmed. The reading counts as it stands."""
    root, _, data = typed
    volt, high = recorded.step(data, "3.000 V"), recorded.step(data, "540.0 V")
    found, (problem,) = read(root, as_csv(filled(data, {volt: "3", high: "540"})))
    assert found and problem.severity == "warning" and problem.code == "lost-digits"
    assert "'3' has fewer digits than the display, and so have 1 more: B" in problem.sentence
    _, problems = read(root, as_csv(filled(data, {volt: "3", high: "540"}, {
        volt: {"confirmed": "yes"}, high: {"confirmed": "yes"}})))
    assert not problems


def test_a_half_filled_table_says_what_is_missing(typed):
    root, _, data = typed
    volt = recorded.step(data, "3.000 V")
    case = next(one["step"] for one in data["checks"] if one["check"] == "Case")
    steps = len(data["points"]) + len(data["checks"])
    found, (problem,) = read(root, as_csv(filled(data, {volt: "", case: ""})))
    assert found and problem.severity == "warning"
    assert problem.sentence == f"2 of {steps} steps have no answer: {case}, {volt}"
    _, problems = read(root, as_csv(filled(data, {volt: "-", case: "-"})))
    assert not problems


@pytest.mark.parametrize("change, code, says", [
    (lambda text: text.replace(b"540.4", b"540,4"), "cells", "more cells than the head"),
    (lambda text: text.replace(b"line,answer", b"line,reading"), "columns", "lacks a column"),
    (lambda text: text.replace(b",note,", b",notes,"), "columns", "there is no column 'notes'"),
    (lambda text: text.replace(b",note,", b",then,"), "columns", "'then' stands twice"),
    (lambda text: text.replace(b"bench 2", "Werkbank für 2".encode("latin-1")), "encoding",
     "not UTF-8"),
    (lambda text: text.replace(b"bench 2", b'"bench "2'), "csv", "no CSV"),
    (lambda text: text.replace(b"bench 2", b"bench \x002"), "control-character", "U+0000"),
    (lambda text: text.replace(b"540.4", b'"540,4"'), "decimal-sign", "another decimal sign"),
    (lambda text: text.replace(b"2026-03-12", b"3/12/2026"), "date", "in two ways"),
    (lambda text: text.replace(b"place,", b"pace,"), "unknown-key", "'pace'"),
    (lambda text: text.replace(b"owner,", b"place,"), "line", "'place' stands twice"),
    (lambda text: text.replace(b"owner,Inv", b",Inv"), "line", "whose 'line' is empty"),
    (lambda text: text + b"9.9 avocet,1,,,,,,,\r\n", "step", "no step '9.9 avocet'"),
    (lambda text: b"", "columns", "lacks a column")])
def test_what_a_table_may_not_hold(change, code, says, typed):
    """Refused with its place, never read as something else."""
    root, _, data = typed
    good = as_csv(filled(data))
    assert change(good) != good
    found, problems = read(root, change(good))
    assert found is None and problems and all(one.hint for one in problems)
    assert (problems[0].code, says in problems[0].sentence) == (code, True), problems[0]


@pytest.mark.parametrize("day", ["12.03.2026", "12. 3. 2026"])
def test_a_day_with_points(day, typed):
    root, wanted, data = typed
    found, problems = read(root, as_csv(filled(data, {"date": day})))
    assert not problems and found.head.date == wanted.head.date


def test_no_number_passes_through_a_float(typed):
    """A reading of eighteen digits is refused for them, and none is changed on its way."""
    root, _, data = typed
    step = recorded.step(data, "540.0 V")
    _, (problem,) = read(root, as_csv(filled(data, {step: "540.40000000000003"})))
    assert "540.40000000000003" in problem.sentence


def test_in_a_folder(typed, tmp_path):
    """Among the others, finished and told like them; 'check' says how it was read."""
    root = folder_with(tmp_path)
    (root / "records" / f"{NAME}.csv").write_bytes(as_csv(filled(data_of(root)), ";", ","))
    shop = loading.load_shop(root)
    assert not shop.problems and list(shop.records) == [NAME]
    assert (f"procedures/records/{NAME}.csv: read with ';' between the cells and ',' as the "
            "decimal sign.") in contents.summary(shop)
    assert table_record.parse("x", "")[0] is None


def test_what_a_finished_table_said_is_read_again(typed):
    """An amendment names what is different in it."""
    root, _, data = typed
    old, _ = read(root, as_csv(filled(data), ";", ","))
    new, _ = read(root, as_csv(filled(data, {"place": "bench 3"}), ",", "."))
    frozen = SimpleNamespace(record=tuple(old.document.lines), record_file=f"{NAME}.csv")
    assert amendments._said(frozen) == amendments._plain(old) != amendments._plain(new)
    assert {name for name, text in amendments._said(frozen).items()
            if text != amendments._plain(new)[name]} == {"place"}
