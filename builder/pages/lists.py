"""The lists that lead to the sheets, and the pages in the place of what is missing. Each list names
at its place what isn't there, and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from builder.files.problems import Problem, in_order
from builder.pages.page_text import page_from
from builder.procedure.sheet import Procedure
from builder.shop import kept_procedures
from builder.shop.contents import Shop
from builder.shop.missing import WORDS, MissingFile, whole

# At the head of the pages at a site's start, where files hold mistakes.
FAULT = ('<p class="fault"><a href="problems.html">Some files hold mistakes: see Problems.</a></p>'
         '\n\n')


def by_meter(shop: Shop, absent: list[MissingFile]) -> str:
    """Each meter with its procedures, and the standards."""
    gone = {one.name: one for one in _of("meters", absent)}
    plans = _of("plans", absent)
    titles = {name: shop.meters[name].name for name in shop.functions}
    titles |= {name: one.title for name, one in gone.items()}
    meters = [{"title": title, "name": name, "gone": gone.get(name),
               "procedures": [p for p in shop.procedures.values() if p.meter.meter == name],
               "missing": [one for one in plans if one.meter == name]}
              for name, title in sorted(titles.items(), key=lambda pair: (pair[1], pair[0]))]
    return page_from("by-meter.md.j2", meters=meters,
                     unplaced=[one for one in plans if one.meter not in titles],
                     standards=list(whole(shop, "standards").values()),
                     missing_standards=_of("standards", absent))


def by_function(shop: Shop, absent: list[MissingFile]) -> str:
    """Each function with the procedures that have points of it."""
    listed: dict[str, list[tuple[Procedure, list[kept_procedures.GroupListed]]]] = {}
    for procedure in shop.procedures.values():
        for name, groups in kept_procedures.listed(procedure).items():
            listed.setdefault(name, []).append((procedure, groups))
    plans = _of("plans", absent)
    names = sorted({*listed, *(name for one in plans for name in one.functions)})
    functions = [(name, listed.get(name, []),
                  [one for one in plans if name in one.functions]) for name in names]
    return page_from("by-function.md.j2", functions=functions,
                     unplaced=[one for one in plans if not one.functions])


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


def _of(kind: str, absent: Iterable[MissingFile]) -> list[MissingFile]:
    return [one for one in absent if one.kind == kind]
