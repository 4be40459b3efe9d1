"""The history of each meter → its page, kept by what it is made from; of a meter with results from
before alone a page of these."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from builder.files.kept_texts import KeptTexts
from builder.pages import lists
from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import page_from
from builder.records import history_page
from builder.records.register import Register, RegisterEntry
from builder.shop.contents import Shop
from builder.shop.kept_histories import KeptHistory
from builder.shop.missing import MissingFile


def pages(shop: Shop, held: Register, histories: Mapping, gone: Sequence[MissingFile],
          texts: KeptTexts) -> dict[str, str]:
    """By path; each names the records of its meter that are `gone`."""
    made = {}
    for entry in held.entries:
        past = shop.past.get((entry.meter, entry.serial), [])
        if entry.history is not None or past:
            own = (lists.of_meter(gone, histories, entry.history.id) if entry.history else [])
            made[f"history/{entry.page}.md"] = _page(entry, held, past, own, texts)
    return made


def _page(entry: RegisterEntry, held: Register, past: list, gone: list[MissingFile],
          texts: KeptTexts) -> str:
    history = entry.history
    style = looks_of_report(f"History · {entry.meter_name}, serial no. {entry.serial}")
    if history is None:
        return page_from("past.md.j2", entry=entry, past=past, page_style=style)

    def made() -> str:
        return page_from("history.md.j2", entry=entry, past=past, missing=gone,
                         page=history_page.page(history.whole, entry.due), as_of=held.as_of,
                         page_style=style)
    if not isinstance(history, KeptHistory):
        return made()
    shown = (replace(entry, history=None, procedures=()), past, gone, held.as_of,
             [(one.procedure, one.title, one.interval, one.due) for one in entry.procedures])
    return texts.get("history", (history.made_of, repr(shown)), made)
