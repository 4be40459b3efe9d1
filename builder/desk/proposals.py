"""What a decision will freeze, as somebody sees it before they decide; and the deciding, which goes
through only where that is what they saw."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from builder.files.problems import Wrong
from builder.formats.frozen_files import ApprovedSheet
from builder.frozen import names
from builder.frozen.standing import standing
from builder.pages import finishing, report_pages
from builder.records import departures
from builder.shop import contents, deciding
from builder.shop.contents import Shop

# Stands in a preview for the name and the reason that are still to be typed.
_TO_TYPE = "(as typed below)"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDecide:
    """One sheet or report that a decision is about: `name` and `which` are what it is called by,
    `page` is where more of it stands on the site, `body` a report as it will print."""

    name: str
    which: str = ""
    title: str
    lines: tuple[str, ...] = ()
    page: str = ""
    body: Markup = Markup()
    of: str = ""    # what isn't shown whole, and is decided about all the same

    @property
    def seen(self) -> str:
        """Stands for all of it: another text is another proposal."""
        told = repr((self.name, self.which, self.title, self.lines, str(self.body), self.of))
        return hashlib.sha256(told.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What somebody types with a decision."""

    by: str = ""
    because: str = ""
    told: str = ""
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """A kind of decision: `propose` gives what it is about for names, `perform` does it and gives a
    line for each thing done. Both raise `Wrong`."""

    title: str
    button: str
    says: str
    fields: tuple[str, ...]
    may: str
    propose: Callable[[Shop, Sequence[str], date], list[ToDecide]]
    perform: Callable[[Shop, Sequence[ToDecide], Words], list[str]]


# ---------------------------------------------------------------- sheets

def sheets(shop: Shop, plans: Sequence[str], _: date) -> list[ToDecide]:
    """The sheets of plans as they would be approved."""
    return [_sheet(shop, plan) for plan in dict.fromkeys(plans)]


def _sheet(shop: Shop, plan: str) -> ToDecide:
    procedure = contents.procedure(shop, plan)
    stands = standing(shop.approvals, procedure.sheet_data)
    last, data = stands.in_force, procedure.sheet_data
    if last and not stands.is_draft and not stands.changes:
        raise Wrong(f"'{plan}' is approved as it is: {last.shown}, by {last.by} on {last.on}")
    lines = [f"{len(data.points)} points and {len(data.checks)} checks; decision rule: "
             f"{data.decision_rule}.",
             f"In force until then: {last.shown}, approved by {last.by} on {last.on}."
             if last else "No approved sheet is in force.", *stands.changes]
    page = f"procedures/{plan}{'-draft' if last and stands.is_draft else ''}.html"
    return ToDecide(name=plan, which=data.revision, title=f"{procedure.title}, {stands.shown}",
                    lines=tuple(lines), page=page, of=repr(data.as_data()))


def _approve(shop: Shop, proposals: Sequence[ToDecide], words: Words) -> list[str]:
    lines = []
    for one in proposals:
        path, sheet = deciding.approve(shop, one.name, by=words.by, on=words.on)
        lines.append(f"{path.name}: {sheet.shown}, approved by {sheet.by} on {sheet.on}.")
        shop = deciding.whole_shop(shop.folder)     # the next one stands behind this one
    return lines


# ---------------------------------------------------------------- reports

def reports(shop: Shop, asked: Sequence[str], on: date) -> list[ToDecide]:
    """The reports of records as they would be finished."""
    return list(_reports(shop, finishing.to_finish(shop, asked), on))


def amendments(shop: Shop, asked: Sequence[str], on: date) -> list[ToDecide]:
    """The reports of records as they would be issued anew."""
    return list(_reports(shop, finishing.to_amend(shop, asked), on))


def _reports(shop: Shop, records: list, on: date) -> Iterator[ToDecide]:
    pairs = departures.pairs(shop.records)
    for record in records:
        report, issue = finishing.as_issued(shop, record, by=_TO_TYPE, on=on, because=_TO_TYPE,
                                            pairs=pairs)
        yield ToDecide(name=record.id, title=f"{report_pages.title_of(report, issue)}: "
                       f"{record.carried.meter_name}, serial no. {record.head.serial}",
                       lines=(report.headline, *issue.changes),
                       page=f"reports/{record.id}{'-draft' if issue.last else ''}.html",
                       body=report_pages.whole_body(report, issue))


def _finish(shop: Shop, proposals: Sequence[ToDecide], words: Words) -> list[str]:
    return finishing.finish(shop, shop.folder, [one.name for one in proposals], by=words.by,
                            on=words.on)


def _amend(shop: Shop, proposals: Sequence[ToDecide], words: Words) -> list[str]:
    return finishing.amend(shop, shop.folder, [one.name for one in proposals], by=words.by,
                           because=words.because, on=words.on)


# ---------------------------------------------------------------- out of use

def in_use(shop: Shop) -> list[ToDecide]:
    """Every approved revision and every issue of a report that can be taken out of use."""
    made = []
    for file in reversed(shop.approvals.files):
        own = file.content
        if isinstance(own, ApprovedSheet) and not shop.approvals.withdrawn(own.procedure,
                                                                            own.revision):
            made.append(ToDecide(name=own.procedure, which=own.revision,
                                 title=f"Sheet {own.procedure}, {own.shown}",
                                 page=f"procedures/{own.procedure}.html", lines=(
                                     f"Approved by {own.by} on {own.on}.",)))
    for number in reversed(shop.finished.numbers):
        made += [ToDecide(name=number, which=str(own.issue),
                          title=f"Report {number}, issue {own.issue}",
                          page=f"reports/{number}.html", lines=(own.headline,))
                 for own in shop.finished.issues(number)
                 if not shop.finished.withdrawn(number, own.issue)]
    return list({(one.name, one.which): one for one in made}.values())


def _out_of_use(shop: Shop, asked: Sequence[str], _: date) -> list[ToDecide]:
    """`asked` are names and what they are of, as 'dunlin-60-yearly 998d363eaa9b'."""
    known = {f"{one.name} {one.which}": one for one in in_use(shop)}
    for name in asked:
        if name not in known:
            raise Wrong(f"'{name}' is not in use", "was it withdrawn meanwhile?")
    return [known[name] for name in dict.fromkeys(asked)]


def _withdraw(shop: Shop, proposals: Sequence[ToDecide], words: Words) -> list[str]:
    lines = []
    for one in proposals:
        lines.append(deciding.withdraw(shop, one.name, one.which, because=words.because,
                                       told=words.told, by=words.by, on=words.on))
        shop = deciding.whole_shop(shop.folder)
    return lines


ACTS = {
    "approve": Act(title="Approve", button="Approve: freeze this sheet", may=names.APPROVE,
                   says="A sheet that is approved is printed from then on. Its file never changes.",
                   fields=("by",), propose=sheets, perform=_approve),
    "finish": Act(title="Finish", button="Finish: freeze this report", may=names.FINISH,
                  says="A finished report never changes. What is found later makes an amendment.",
                  fields=("by",), propose=reports, perform=_finish),
    "amend": Act(title="Amend", button="Amend: issue this report anew", may=names.FINISH,
                 says="The issue before stays on the site, marked as replaced.",
                 fields=("because", "by"), propose=amendments, perform=_amend),
    "withdraw": Act(title="Withdraw", button="Withdraw: take this out of use", may="",
                    says="It stays on the site, marked as withdrawn, with the reason.",
                    fields=("because", "told", "by"), propose=_out_of_use, perform=_withdraw),
}
