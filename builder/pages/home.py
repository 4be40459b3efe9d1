"""The first page of a site: today's work, in the place of `{today}` in what the shop wrote. Knows
no site engine."""

from __future__ import annotations

from builder.pages import chips
from builder.pages.page_text import as_script, page_from
from builder.records.register import (DUE_SOON, IN_SERVICE, OUT, WITHDRAWN, Register,
                                      RegisterEntry)
from builder.shop.contents import Shop

PAGE, PLACE = "index.md", "{today}"
DESK = ('<p><a class="tap" href="desk/">The desk: take in, type in, approve, finish, print</a></p>'
        "\n\n")
MOST = 3    # lines of a list: all of them stand on the shop's page


def filled(text: str, today: str, desk: object = None) -> str:
    """The shop's own first page with today's work at its place, if it has one; with the way to the
    desk where there is one."""
    return text.replace(PLACE, (DESK if desk else "") + today, 1)


def today(shop: Shop, held: Register, meters: str, pages: dict) -> str:
    """What is to be pulled from service and what is due, the limits of any value, and for a script
    what is known of each serial number. `meters` is what the limits ask of, `pages` names the page
    of each revision of each sheet. A shop without sheets gets its first steps."""
    sheets: dict[str, list[list[str]]] = {}
    for procedure in shop.procedures.values():
        sheets.setdefault(procedure.meter.meter, []).append([procedure.title, procedure.id])
    in_use = [one for one in held.entries if one.state != WITHDRAWN]
    due = sorted((one for one in in_use if one.due and one not in held.to_pull),
                 key=lambda one: (one.due, one.meter_name, one.serial))
    return page_from(
        "today.html.j2", as_of=held.as_of, meters=meters, entries=held.entries, most=MOST,
        lists=[("Pull from service", "pull", [_line(one, sheets) for one in held.to_pull]),
               ("Due next", "next", [_line(one, sheets) for one in due])],
        steps=(None if shop.procedures or shop.approvals.procedures
               else [any(f"{kind}/{name}" not in shop.broken for name in own) for kind, own in (
                   ("meters", shop.meters), ("standards", shop.standards))]),
        data=as_script({
            "as_of": held.as_of and held.as_of.isoformat(), "pages": pages, "sheets": sheets,
            "meters": {name: shop.meters[name].name for name in sheets},
            "serials": [_known(one) for one in held.entries]}))


def _line(entry: RegisterEntry, sheets: dict[str, list[list[str]]]) -> dict:
    """A meter in a list. One that is out of service leads to its history; any other to the sheet
    that is due."""
    last = min((one for one in entry.procedures if one.due), key=lambda one: one.due, default=None)
    known = [name for _, name in sheets.get(entry.meter, [])]
    sheet = last.procedure if last and last.procedure in known else next(iter(known), "")
    is_out = entry.state == OUT
    return {"entry": entry, "sheet": "" if is_out else sheet,
            "chip": "" if entry.state in (DUE_SOON, IN_SERVICE) else entry.state,
            "because": [f"{one.last.stated.statement}, {one.last.day}" for one in entry.procedures
                        if is_out and not one.last.stated.of_meter.in_service]}


def _known(entry: RegisterEntry) -> dict:
    """What the field for a serial number shows of one."""
    last = max(entry.procedures, key=lambda one: one.last.day, default=None)
    return {"serial": entry.serial, "meter": entry.meter, "name": entry.meter_name,
            "chip": chips.parts(entry.state), "barred": list(entry.barred), "page": entry.page,
            "why": entry.withdrawn,
            "due": entry.due.isoformat() if entry.due and entry.state != OUT else None,
            "report": last and [last.last.record.id, last.last.day.isoformat(),
                                chips.parts(last.last.stated.statement)]}
