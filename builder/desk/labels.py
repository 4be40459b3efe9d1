"""What is printed for the meters of a day: labels, and their reports in one print. Both say what
was finished, and nothing that was not agreed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from markupsafe import Markup

from builder.formats.frozen_files import FinishedReport
from builder.formats.report_data import CONDITIONALLY_PASSES, LIMITED, NO_STATEMENT, PASSES
from builder.pages.sheet_pages import code_to_scan
from builder.shop import meters_held
from builder.shop.contents import Shop

# Width and height in millimetres, and for how many signs of what a meter may be used for there is
# room: more than these are said by the report alone, and never cut.
SIZES = {"small": (45, 20, 28), "medium": (60, 30, 37), "large": (90, 45, 64)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A meter's: `stands` are what it may be used for, `due` only where an interval was agreed,
    `code` opens its sheet with its serial number. `because` says why it is not printed, if not."""

    meter: str
    serial: str
    number: str
    day: str
    stands: str
    due: date | None
    code: Markup = Markup()
    because: str = ""

    def stands_on(self, size: str) -> str:
        """What has room on a label of that size."""
        return self.stands if len(self.stands) <= SIZES[size][2] else "LIMITED: see the report"


def finished_on(shop: Shop, day: str) -> list[FinishedReport]:
    """The reports that were finished on a day, are in use, and have no later issue."""
    last = (shop.finished.latest(number) for number in shop.finished.numbers)
    return [own for own in last if own and own.on == day
            and not shop.finished.withdrawn(own.number, own.issue)]


def days(shop: Shop) -> list[str]:
    """The days on which reports were finished, the last one first."""
    last = (shop.finished.latest(number) for number in shop.finished.numbers)
    return sorted({own.on for own in last if own}, reverse=True)


def of_day(shop: Shop, finished: list[FinishedReport], address: str) -> list[Label]:
    """The labels for what was finished. `address` is where the site is found; "" leaves
    the codes out."""
    by_report = {one.last.record.id: (entry, one)
                 for entry in meters_held.register_of(shop, meters_held.histories(shop)).entries
                 for one in entry.procedures}
    made = []
    for own in finished:
        entry, procedure = by_report.get(own.number, (None, None))
        record = shop.records.get(own.number)
        stands = _stands(own, entry.barred if entry else ())
        because = ("a later report of this meter counts" if entry is None else
                   "its record says something else since" if record is None
                   or not shop.finished.is_as_issued(record, shop.records) else
                   "the report makes no statement" if own.report.statement == NO_STATEMENT else "")
        where = (f"{address.rstrip('/')}/procedures/{procedure.procedure}.html"
                 f"#serial={quote(own.report.serial)}" if address and procedure else "")
        made.append(Label(
            meter=own.meter_name, serial=own.report.serial, number=own.number, stands=stands,
            day=own.report.date, because=because, code=code_to_scan(where) if where else Markup(),
            due=procedure.due if procedure and not stands.startswith("DO NOT") else None))
    return made


def _stands(own: FinishedReport, barred: tuple[str, ...]) -> str:
    statement = own.report.statement
    if statement == PASSES:
        return "Verified"
    if statement == CONDITIONALLY_PASSES:
        return "Verified, see the report"
    if statement == LIMITED and barred:
        return f"LIMITED: not for {'; '.join(barred)}"
    return "DO NOT USE"
