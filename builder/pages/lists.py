"""The lists that lead to the sheets, and the pages in the place of what is missing. Each list names
at its place what isn't there, and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from builder.files.problems import Problem, in_order
from builder.formats.functions import KINDS
from builder.pages import sheet_pages
from builder.pages.page_text import page_from
from builder.pages.sheet_pages import SheetPage
from builder.procedure.sheet import Procedure
from builder.records.register import Register
from builder.shop import kept_procedures
from builder.shop.contents import Shop
from builder.shop.missing import WORDS, MissingFile, of_kind

# At the head of the pages at a site's start, where files hold mistakes.
FAULT = ('<p class="fault"><a href="problems.html">Some files hold mistakes: see Problems.</a></p>'
         '\n\n')


def by_meter(shop: Shop, absent: list[MissingFile], held: Register) -> str:
    """Each meter's sheets with how they stand, and the standards."""
    plans = of_kind(absent, "plans")
    opened: dict[str, list[tuple[Procedure, SheetPage, str]]] = {}
    for name, procedure in shop.procedures.items():
        first, *others = sheet_pages.sheet_pages(shop, name)
        draft = next((page.name for page in others if page.name.endswith("-draft")), "")
        opened.setdefault(procedure.meter.meter, []).append((procedure, first, draft))
    meters = [{"title": shop.meters[name].name, "name": name, "sheets": opened.get(name, []),
               "waits": any(one.meter == name for one in plans)} for name in _by_name(shop)]
    return page_from("by-meter.md.j2", meters=meters, missing=[*of_kind(absent, "meters"), *plans],
                     standards=held.standards, as_of=held.as_of,
                     missing_standards=of_kind(absent, "standards"))


def by_function(shop: Shop, absent: list[MissingFile]) -> str:
    """A table of sheets, by the names of their meters, and functions: how far the points of each
    reach. A line a sheet, so that a shop of a thousand finds one by its name."""
    sheets = [(procedure, kept_procedures.listed(procedure)) for procedure in sorted(
        shop.procedures.values(), key=lambda one: (one.meter.name, one.title))]
    return page_from("by-function.md.j2", missing=of_kind(absent, "plans"), sheets=sheets,
                     functions=[name for name in KINDS if any(name in own for _, own in sheets)])


def _by_name(shop: Shop) -> list[str]:
    return sorted(shop.functions, key=lambda name: (shop.meters[name].name, name))


def in_their_place(absent: list[MissingFile], excerpts: bool) -> dict[str, str]:
    """A page for each thing that is missing, which says why; of a sheet also in the place of its
    evidence. With `excerpts` it shows the lines at fault."""
    by_file = {f"{one.kind}/{one.name}": one for one in absent}
    pages = {}
    for gone in absent:
        if gone.page:
            text = page_from("missing.md.j2", missing=gone, word=WORDS[gone.kind],
                             excerpts=excerpts, problems=shown(gone.problems, excerpts),
                             waits_for=[by_file[file] for file in gone.waits_for])
            pages[f"{gone.page}.md"] = text
            if gone.kind == "plans":
                pages[f"evidence/{gone.name}.md"] = text
    return pages


def problems_page(problems: list[Problem], excerpts: bool) -> str:
    """All problems of all files, as a terminal has them."""
    return page_from("problems.md.j2", problems=shown(in_order(problems), excerpts),
                     excerpts=excerpts)


def shown(problems: Iterable[Problem], excerpts: bool) -> list[Problem]:
    """Problems for a page. On one that is published the lines at fault are left out: nobody has
    looked through them for what isn't meant for everyone."""
    return [one if excerpts else replace(one, place=replace(one.place, text=""))
            for one in problems]


def of_meter(gone: Sequence[MissingFile], histories: Mapping, name: str) -> list[MissingFile]:
    """The records among them that are of the meter whose history has this name."""
    return [one for one in gone if (one.meter, one.serial) in histories
            and histories[one.meter, one.serial].id == name]
