"""What of a shop is published."""

from __future__ import annotations

from builder.files.problems import Problem
from builder.shop.contents import Shop

ALL, SHEETS = "all", "sheets"
# The files of a shop that name no meter by its serial number, no owner and nobody who works there
# but those who approved a sheet.
_OPEN = ("meters", "standards", "plans", "approved")


def shown(shop: Shop, publish: str) -> Shop:
    """The shop; or, of its sheets alone, what comes from the files that are open to all. Problems
    in the others are told where the site is built, and on none of its pages."""
    if publish == ALL:
        return shop
    files = tuple(f"{shop.folder.name}/{kind}/" for kind in _OPEN)

    def open_to_all(problems: list[Problem]) -> list[Problem]:
        return [one for one in problems if f"{one.place.file}/".startswith(files)
                or not one.place.file.startswith(f"{shop.folder.name}/")]

    # What a shop has beside these stays empty.
    return Shop(folder=shop.folder, meters=shop.meters, standards=shop.standards, plans=shop.plans,
                made_of=shop.made_of, functions=shop.functions, procedures=shop.procedures,
                broken=shop.broken,
                approvals=shop.approvals, problems=open_to_all(shop.problems),
                frozen_problems=open_to_all(shop.frozen_problems))
