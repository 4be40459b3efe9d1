"""What is to be done today, each thing with its one next step; and the sheet of a serial number."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import quote

from builder.files.problems import ERROR
from builder.formats.frozen_files import ApprovedSheet
from builder.frozen.standing import standing
from builder.numbers.exact_text import capital
from builder.pages.chips import chip
from builder.pages.report_pages import reports_of
from builder.pages.sheet_pages import found_at
from builder.records.judged_record import Record
from builder.records.register import DUE_SOON, NO_REPORT, PULL, RegisterEntry
from builder.records.report_text import Report
from builder.shop import meters_held
from builder.shop.contents import Shop

# What the desk opens as text.
_WRITTEN = re.compile(r"procedures/((?:meters|plans|standards)/[a-z0-9-]+|register)\.yaml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do: `to` is the address of its next step, below the site's start; `name` is by
    what several are chosen for the same step."""

    what: str
    detail: str = ""
    chip: str = ""
    button: str
    to: str
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tasks:
    """Those of a kind; `none` is said where there are none, `together` is the page of the desk that
    takes several of them at once, with what it is called."""

    title: str
    tasks: tuple[Task, ...]
    none: str
    together: tuple[str, str] | None = None


def today(shop: Shop, waiting: int = 0) -> list[Tasks]:
    """All that is to be done; `waiting` is the number of files in the inbox."""
    reports = [one for one in reports_of(shop)
               if not shop.finished.is_as_issued(one.record, shop.records)]
    new = [one for one in reports if shop.finished.latest(one.id) is None]
    return [
        Tasks(title="Due", none="Nothing is due.", together=("print", "Print the sheets of those"),
              tasks=tuple(_due(shop, entry) for entry in
                          meters_held.register_of(shop, meters_held.histories(shop)).entries
                          if {*entry.states} & {*PULL, DUE_SOON, NO_REPORT})),
        Tasks(title="In progress", none="No record here waits for readings.",
              tasks=(*_waiting(waiting), *_forms(shop),
                     *(_report(one, "Go on", _goes_on(shop, one.record))
                       for one in new if is_in_work(one)))),
        Tasks(title="To be approved", none="Every sheet is approved as it is.",
              together=("approve", "See and approve those"), tasks=tuple(_sheets(shop))),
        Tasks(title="To be finished", none="Every record that is complete has its report.",
              together=("finish", "See and finish those"),
              tasks=tuple(_report(one, "See and finish", _act("finish", one.id))
                          for one in new if not is_in_work(one))),
        Tasks(title="To be amended", none="Every finished report is what its record says.",
              together=("amend", "See and amend those"),
              tasks=tuple(_report(one, "See and amend", _act("amend", one.id))
                          for one in reports if one not in new)),
        Tasks(title="Problems", none="No file holds mistakes.", tasks=tuple(_problems(shop))),
    ]


def is_in_work(report: Report) -> bool:
    """Whether a record still waits for something to be read or answered."""
    return any(one.outcome == "blank" for one in report.data.points) or any(
        one.answer == "blank" for one in report.data.checks)


def _goes_on(shop: Shop, record: Record) -> str:
    """Where a record goes on: paper at its sheet; any other says on its page what is missing."""
    page = found_at(shop).get(record.head.procedure, {}).get(record.head.revision)
    return (f"procedures/{page}.html#record={quote(record.id)}" if record.head.from_paper and page
            else f"reports/{record.id}.html")


def _act(name: str, of: str) -> str:
    return f"desk/{name}?name={quote(of)}"


def _due(shop: Shop, entry: RegisterEntry) -> Task:
    more = [*entry.states[1:], *(f"not for {one}" for one in entry.barred)]
    if entry.due:
        more.append(f"due {entry.due}")
    return Task(what=f"{entry.meter_name}, serial no. {entry.serial}", chip=chip(entry.states[0]),
                detail="; ".join([*more, *([entry.of_register] if entry.line else [])]),
                button="Open its sheet", to=f"desk/open?serial={quote(entry.serial)}",
                name=entry.serial)


def _waiting(count: int) -> Iterator[Task]:
    if count:
        yield Task(what=f"{count} file{'' if count == 1 else 's'} in the inbox",
                   button="Take in", to="desk/inbox")


def _forms(shop: Shop) -> Iterator[Task]:
    for one in shop.problems:
        if one.code == "blank-record":
            yield Task(what=f"{one.place.file} is an empty form",
                       button="Open its sheets", to="by-meter.html")


def _sheets(shop: Shop) -> Iterator[Task]:
    for name, procedure in shop.procedures.items():
        stands = standing(shop.approvals, procedure.sheet_data)
        if stands.is_draft or stands.changes:
            count = len(stands.changes)
            yield Task(what=procedure.title, name=name, button="See and approve",
                       detail=f"{stands.shown}; {count} change{'' if count == 1 else 's'}"
                       if stands.in_force else f"{stands.shown}; none is in force",
                       to=_act("approve", name))


def _report(report: Report, button: str, to: str) -> Task:
    record = report.record
    return Task(what=f"{record.carried.meter_name}, serial no. {record.head.serial}",
                detail=f"{record.head.date}, {report.state}. {report.headline}", name=report.id,
                button=button, to=to)


def _problems(shop: Shop) -> Iterator[Task]:
    """What files hold that can't be or is doubtful, but for what stands in a list of its own."""
    for problem in shop.problems:
        if problem.code not in ("blank-record", "changed-record"):
            first = "" if problem.severity == ERROR else "To look at: "
            hint = f" {capital(problem.hint)}." if problem.hint else ""
            name = _WRITTEN.fullmatch(problem.place.file)
            yield Task(what=f"{problem.place.file}, line {problem.place.line}",
                       button="Open the file" if name else "See all",
                       detail=f"{first}{problem.sentence}.{hint}",
                       to=f"desk/text?file={name[1]}" if name else "desk/problems")


# ---------------------------------------------------------------- a serial number

@dataclass(frozen=True, slots=True)
class Opening:
    """The sheets that a serial number may be meant for, by name and address; `known` are the
    meters of that number."""

    serial: str
    known: tuple[str, ...]
    sheets: tuple[tuple[str, str], ...]


def opening(shop: Shop, serial: str, from_paper: bool = False) -> Opening:
    """The sheets of the meters with a serial number; all of them where no meter here has it.
    Plans with an approved sheet come first. The address fills the number in. From paper every
    revision that was ever approved has its sheet."""
    def plain(text: str) -> str:
        return "".join(text.split()).casefold()

    known = [key for key in sorted(shop.known_meters) if plain(key[1]) == plain(serial)]
    wanted = {meter for meter, _ in known}
    spelt = known[0][1] if known else " ".join(serial.split())
    mark = f"#serial={quote(spelt)}{'&paper=yes' if from_paper else ''}"
    own = [name for name, procedure in shop.procedures.items()
           if not wanted or procedure.meter.meter in wanted]
    own.sort(key=lambda name: shop.approvals.in_force(name) is None)
    sheets = [(shop.procedures[name].title, f"procedures/{name}.html{mark}") for name in own]
    if from_paper:
        sheets = [(f"{shop.procedures[name].title}, {_called(shop, name, revision)}",
                   f"procedures/{page}.html{mark}")
                  for name in own for revision, page in found_at(shop)[name].items()]
    return Opening(spelt, tuple(shop.meters[meter].name if meter in shop.meters else meter
                                for meter in sorted(wanted)), tuple(sheets))


def _called(shop: Shop, name: str, revision: str) -> str:
    """A revision as it stands at the foot of its paper, and how it stands."""
    own, now = shop.approvals.find(name, revision), shop.approvals.in_force(name)
    if own is None or not isinstance(own.content, ApprovedSheet):
        return f"draft, {revision}"
    return own.content.shown + (", in force" if now and now.revision == revision else
                                ", withdrawn" if shop.approvals.withdrawn(name, revision) else "")


def sheets_to_print(shop: Shop, serials: list[str]) -> list[tuple[str, str]]:
    """Pages of sheets, each with the serial number that it is for: those of meters, or each once
    and for none."""
    if not serials:
        return [(f"procedures/{name}.html", "") for name in shop.procedures]
    return [(to.partition("#")[0], meant.serial) for meant in
            (opening(shop, one) for one in dict.fromkeys(serials)) for _, to in meant.sheets
            if meant.known]
