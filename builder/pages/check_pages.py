"""The checks of standards between their calibrations → their list and a page each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import page_from
from builder.records import check_page
from builder.records.checks_between import StandardCheck


def pages(checks: Sequence[StandardCheck], unread: Mapping[str, str]) -> dict[str, str]:
    """The texts by their paths; `unread` says by name why a file can't be used."""
    made = {f"checks-between/{own.check.check}.md": page_from(
        "check-between.md.j2", page=check_page.page(own), rules=check_page.RULES,
        page_style=looks_of_report(f"{own.check.title}: check between calibrations"))
        for own in checks}
    made["checks-between.md"] = page_from(
        "checks-between.md.j2", checks=checks, unread=sorted(unread.items()),
        page_style=looks_of_report("Checks between calibrations"))
    return made
