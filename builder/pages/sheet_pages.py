"""Sheets → their pages, their evidence and their data: an approved one from its frozen file alone,
what nobody approved as a draft; and of every approved revision its page and its data, so that paper
in circulation finds them."""

from __future__ import annotations

from dataclasses import dataclass

import segno
from markupsafe import Markup

from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.formats.frozen_files import ApprovedSheet, WithdrawnSheet
from builder.formats.sheet_data import SheetData
from builder.formats.sheet_text import SheetText
from builder.frozen.standing import Standing
from builder.pages.glossary import with_terms
from builder.pages.page_styles import sheet_foot
from builder.pages.page_text import as_json, as_script, page_from
from builder.procedure.sheet import Procedure
from builder.procedure.sheet_text import sheet_text
from builder.shop import contents
from builder.shop.contents import Shop

MOST_CHANGES = 12   # that a page lists


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage:
    """A page of a sheet: `name` is that of its file."""

    name: str
    made_from: Procedure | ApprovedSheet    # a draft from what was computed
    made_of: str    # a hash over that
    shown: str      # its revision, and what is wrong with using it
    approved: ApprovedSheet | None = None   # None for a draft
    stands: Standing | None = None          # the plan as it computes today
    withdrawn: WithdrawnSheet | None = None
    replaced: ApprovedSheet | None = None   # by this one
    others: tuple[tuple[str, str], ...] = ()    # the pages of other revisions, and their names

    @property
    def data(self) -> SheetData:
        own = self.made_from
        return own.sheet if isinstance(own, ApprovedSheet) else own.sheet_data

    @property
    def text(self) -> SheetText:
        """All that it shows; its drawings take a while."""
        own = self.made_from
        return own.page if isinstance(own, ApprovedSheet) else sheet_text(own)


def sheet_pages(shop: Shop, procedure: str) -> list[SheetPage]:
    """All pages of a plan, the one that opens first: the sheet in force, or else the draft."""
    approvals, fresh = shop.approvals, shop.procedures.get(procedure)
    own = approvals.in_force(procedure)
    stands = contents.standing_of(shop, fresh) if fresh else None
    hashes = {id(one.content): one.hash for one in approvals.of(procedure)}
    made: list[SheetPage] = []
    if own is not None:
        made.append(SheetPage(name=procedure, made_from=own, made_of=hashes[id(own)],
                              shown=own.shown, approved=own, stands=stands))
    if fresh is not None and stands is not None and stands.is_draft:
        made.append(SheetPage(name=f"{procedure}-draft" if own else procedure,
                              made_from=fresh, made_of=shop.made_of[f"plans/{procedure}"],
                              shown=stands.shown, stands=stands, withdrawn=stands.withdrawn))
    last = {one.revision: one for one in approvals.sheets(procedure)}
    for revision, earlier in sorted(last.items(), key=lambda one: -one[1].turn):
        if own is not None and revision == own.revision:
            continue
        gone = approvals.withdrawn(procedure, revision)
        made.append(SheetPage(
            name=f"{procedure}-{revision}", made_from=earlier, made_of=hashes[id(earlier)],
            shown=f"{'WITHDRAWN' if gone else 'REPLACED'} · {earlier.shown}", approved=earlier,
            withdrawn=gone, replaced=own))
    return made


def sheets(shop: Shop, address: str, glossary: str,
           kept: Cache) -> tuple[dict[str, str], dict[str, str]]:
    """The pages and the files of every sheet, by path."""
    pages: dict[str, str] = {}
    files: dict[str, str] = {}
    for procedure in all_sheets(shop):
        made = sheet_pages(shop, procedure)
        others = [(one.name, one.shown) for one in made]
        for page in made:
            sheet, evidence, data = kept.get(
                f"sheet {page.name}",
                (shop.procedures.get(procedure), address, glossary, *shop.approvals.files),
                lambda page=page, others=others: _texts(page, others, address, glossary,
                                                        kept.texts))
            pages[f"procedures/{page.name}.md"] = sheet
            pages[f"evidence/{page.name}.md"] = evidence
            files[f"data/procedures/{page.name}.json"] = data
            if page.approved is not None:
                files[f"data/procedures/{procedure}-{page.made_from.revision}.json"] = data
    return pages, files


def all_sheets(shop: Shop) -> list[str]:
    """Every plan with a sheet that is computed, or that was ever approved."""
    return list(dict.fromkeys((*shop.procedures, *shop.approvals.procedures)))


# The page of records whose sheet is gone: no plan can have its name.
AS_BEGUN = "as-begun_"


def found_at(shop: Shop) -> dict[str, dict[str, str]]:
    """The page of each revision of each plan, for records that were begun under it."""
    return {procedure: {page.made_from.revision: page.name for page in sheet_pages(shop, procedure)}
            for procedure in all_sheets(shop)}


def _texts(page: SheetPage, others: list[tuple[str, str]], address: str,
           glossary: str, texts: KeptTexts) -> list[str]:
    """A sheet, its evidence and its data."""
    own = f"{address.rstrip('/')}/procedures/{page.name}.html" if address else ""
    draft = next((one for one, _ in others if one.endswith("-draft") and one != page.name), "")
    block = standing_block(page, draft)
    return texts.get("sheet", (page.made_of, page.name, page.shown, repr(others), block, own,
                               glossary),
                     lambda: _made(page, others, block, own, glossary))


def _made(page: SheetPage, others: list[tuple[str, str]], block: Markup, own: str,
          glossary: str) -> list[str]:
    text, data = page.text, page.data.as_data()
    sheet = page_from("procedure.md.j2", procedure=text, name=page.name, glossary=glossary,
                      standing=block, data=as_script(data),
                      others=[one for one in others if one[0] != page.name],
                      page_style=sheet_foot(text.title, page.shown),
                      page=own, code=code_to_scan(own) if own else "")
    evidence = page_from("evidence.md.j2", procedure=text, name=page.name, standing=block,
                         page_style=sheet_foot(text.title, f"evidence, {page.shown}"))
    return [with_terms(sheet, glossary), with_terms(evidence, glossary), as_json(data)]


def standing_block(page: SheetPage, draft: str) -> Markup:
    """Who approved a sheet, or that it is a draft and why; a raw block. `draft` is the page of a
    draft beside it."""
    undecided = [one for one in (page.stands.changes if page.stands else ())
                 if "caution" in one or "hold" in one] if page.approved else []
    return Markup(page_from("standing.html.j2", page=page, most=MOST_CHANGES, draft=draft,
                            undecided=undecided).strip())


def code_to_scan(address: str) -> Markup:
    """A two-dimensional code of an address; one fixed mask, since trying all eight takes most of
    the time."""
    code = segno.make(address, error="m", mask=3, micro=False)
    return Markup(code.svg_inline(scale=1, border=0, omitsize=True, svgclass=None,
                                  lineclass=None).replace("\n", ""))
