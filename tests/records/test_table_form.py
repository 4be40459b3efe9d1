"""The empty record as a table, as a spreadsheet and the reader of records take it."""

from __future__ import annotations

import csv
import io

from builder.formats.sheet_data import SheetData
from builder.records import paper_form, table_form
from builder.records.table_record import COLUMNS


def test_a_row_for_each_step_and_each_live_group(demo_shop):
    """In the order of the sheet, each with its unit and what to know; UTF-8 with its mark."""
    for procedure in demo_shop.procedures.values():
        sheet = SheetData.model_validate(procedure.sheet_data.as_data())
        made = table_form.form(sheet, separator=";")
        head, *rows = csv.reader(io.StringIO(made.decode("utf-8-sig")), delimiter=";")
        assert made[:3] == b"\xef\xbb\xbf" and tuple(head) == COLUMNS
        assert {len(row) for row in rows} == {len(COLUMNS)}
        steps = [row[0].partition(" ")[0] for row in rows if row[0][:1].isdigit()]
        assert sorted(steps) == sorted(one.step for one in (*sheet.points, *sheet.checks))
        assert [row[0] for row in rows if row[0].startswith("closed")] == [
            f"closed {one.group}" for one in sheet.groups if one.hazard]
        units = {row[0].partition(" ")[0]: row[2] for row in rows}
        assert all(units[one.step] == one.unit for one in sheet.points if not one.is_observation)
        assert rows[0][:2] == ["sheet", f"{sheet.procedure} {sheet.revision}"]
        less = [row for row in rows if "the leads are taken off" in row[-1]]
        assert len(less) == sum(1 for one in sheet.points
                                if one.correction == "subtract" and one.kind != "zero")
        assert not any(cell[:1] in "=+-@'" for row in rows for cell in row if cell)


def test_the_form_of_a_draft_names_its_data(tmp_path, demo_shop):
    """Beside it; a second form takes another name."""
    data = demo_shop.procedures["dunlin-60-yearly"].data
    for name in ("new-dunlin-60-yearly.csv", "new-dunlin-60-yearly-2.csv"):
        form, beside = paper_form.write(data, tmp_path, separator=",")
        assert form.name == name and f"judged by,{beside.name}," in form.read_text("utf-8-sig")
