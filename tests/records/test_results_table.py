"""All results as a table, against what the reports say."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

from builder.pages import report_pages
from builder.records import results_table


def test_each_reading_is_a_row(demo_shop):
    """With the outcome of its report, limits that hold it where it passes, and an error that is
    the reading less what was applied; which issue stands, or that none does."""
    reports = report_pages.reports_of(demo_shop)
    made = results_table.table(report_pages.results(demo_shop, report_pages.drafts_of(demo_shop)))
    rows = list(csv.DictReader(io.StringIO(made.decode("utf-8-sig"))))
    assert tuple(rows[0]) == results_table.COLUMNS
    wanted = {(one.id, point.step): point for one in reports for point in one.data.points
              if point.reading is not None}
    assert {(row["report"], row["step"]) for row in rows} == set(wanted)
    assert len(rows) == len(wanted) > 500
    for row in rows:
        point = wanted[row["report"], row["step"]]
        assert (row["reading"], row["outcome"], row["ground"]) == (
            point.reading, point.outcome, "yes" if point.ground else "no")
        read, unit = row["reading"].rpartition(" ")[::2]
        low, high = row["low"], row["high"]
        assert not row["error"] or abs(Fraction(row["value"]) - Fraction(row["expected"])
                                       - Fraction(row["error"])) < Fraction(1, 100)
        if low and unit == row["unit"] and "leads" not in row["point"] and "/" not in read and (
                row["outcome"] == "pass" and row["function"] == "DC voltage"):
            assert Fraction(low) <= Fraction(read) <= Fraction(high)
    issues = {row["report"]: row["issue"] for row in rows}
    for number, issue in issues.items():
        last = demo_shop.finished.latest(number)
        assert issue == (str(last.issue) if last else "draft")
