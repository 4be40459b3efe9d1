"""What of a shop is published."""

from __future__ import annotations

from dataclasses import replace

from builder.frozen.finished import FOLDER, FinishedReports
from builder.records import record_files
from builder.shop.contents import Shop

ALL, SHEETS = "all", "sheets"
# Files whose problems may name serial numbers, owners and people.
_PRIVATE = (f"{record_files.FOLDER}/", f"{FOLDER}/", "workshop.yaml")


def shown(shop: Shop, publish: str) -> Shop:
    """The shop; or, of its sheets alone, the shop without its records, its reports and what its
    own file says of meters and people. Problems in these are told where the site is built, and on
    none of its pages."""
    if publish == ALL:
        return shop
    private = tuple(f"{shop.folder.name}/{one}" for one in _PRIVATE)

    def open_to_all(problems: list) -> list:
        return [one for one in problems if not one.place.file.startswith(private)]

    return replace(shop, records={}, finished=FinishedReports(), record_problems=[], workshop=None,
                   problems=open_to_all(shop.problems),
                   frozen_problems=open_to_all(shop.frozen_problems))
