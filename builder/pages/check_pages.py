"""The checks of standards between their calibrations → their list and a page each."""

from __future__ import annotations

from collections.abc import Sequence

from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import page_from
from builder.records import check_page
from builder.records.checks_between import StandardCheck
from builder.shop.missing import MissingFile


def pages(checks: Sequence[StandardCheck], gone: Sequence[MissingFile]) -> dict[str, str]:
    """The texts by their paths; the list names those that are `gone`."""
    made = {f"checks-between/{own.check.check}.md": page_from(
        "check-between.md.j2", page=check_page.page(own), rules=check_page.RULES,
        page_style=looks_of_report(f"{own.check.title}: check between calibrations"))
        for own in checks}
    made["checks-between.md"] = page_from(
        "checks-between.md.j2", checks=checks, missing=gone,
        page_style=looks_of_report("Checks between calibrations"))
    return made
