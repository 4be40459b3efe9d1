"""Sheets → their pages, their evidence and their data; of each approved revision its data, so that
paper in circulation finds them."""

from __future__ import annotations

import segno
from markupsafe import Markup

from builder.files.cache import Cache
from builder.frozen.standing import Standing, standing
from builder.pages.glossary import with_terms
from builder.pages.page_styles import sheet_foot
from builder.pages.page_text import as_json, as_script, page_from
from builder.procedure.sheet import Procedure
from builder.shop.contents import Shop

MOST_CHANGES = 12   # that a draft lists


def sheets(shop: Shop, address: str, glossary: str,
           kept: Cache) -> tuple[dict[str, str], dict[str, str]]:
    """The pages and the files of every sheet, by path."""
    pages: dict[str, str] = {}
    files: dict[str, str] = {}
    for procedure in shop.procedures.values():
        stands = standing(shop.approvals, procedure.sheet_data)
        sheet, evidence, data = kept.get(
            f"sheet {procedure.id}", (procedure, address, glossary, *shop.approvals.files),
            lambda procedure=procedure, stands=stands: _texts(procedure, stands, address, glossary))
        pages[f"procedures/{procedure.id}.md"] = sheet
        pages[f"evidence/{procedure.id}.md"] = evidence
        files[f"data/procedures/{procedure.id}.json"] = data
    for procedure in shop.approvals.procedures:
        for approved in shop.approvals.sheets(procedure):
            files[f"data/procedures/{procedure}-{approved.revision}.json"] = as_json(
                approved.sheet.as_data())
    return pages, files


def _texts(procedure: Procedure, stands: Standing, address: str,
           glossary: str) -> tuple[str, str, str]:
    """A sheet, its evidence and its data."""
    page = f"{address.rstrip('/')}/procedures/{procedure.id}.html" if address else ""
    sheet = page_from("procedure.md.j2", procedure=procedure, glossary=glossary,
                      standing=standing_block(stands), data=as_script(procedure.data),
                      page_style=sheet_foot(procedure, stands.shown),
                      page=page, code=code_to_scan(page) if page else "")
    evidence = page_from("evidence.md.j2", procedure=procedure, standing=standing_block(stands),
                         page_style=sheet_foot(procedure, f"evidence, {stands.shown}"))
    return with_terms(sheet, glossary), with_terms(evidence, glossary), as_json(procedure.data)


def standing_block(stands: Standing) -> Markup:
    """Who approved a sheet, or that it is a draft and why; a raw block."""
    return Markup(page_from("standing.html.j2", standing=stands, most=MOST_CHANGES).strip())


def code_to_scan(address: str) -> Markup:
    """A two-dimensional code of an address; one fixed mask, since trying all eight takes most of
    the time."""
    code = segno.make(address, error="m", mask=3, micro=False)
    return Markup(code.svg_inline(scale=1, border=0, omitsize=True, svgclass=None,
                                  lineclass=None).replace("\n", ""))
