"""The shop: all that its folder holds, computed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from builder.file_rules.saying import nearest
from builder.files import folders
from builder.files.csv_text import TableDocument
from builder.files.problems import Problem, Wrong, as_text, errors
from builder.formats.check_between import CheckBetween
from builder.formats.meter import Meter
from builder.formats.past_result import PastResult
from builder.formats.plan import Plan
from builder.formats.sheet_data import SheetData
from builder.formats.shop_register import ShopRegister
from builder.formats.standard import Standard
from builder.formats.workshop import Workshop
from builder.frozen.approved import Approvals
from builder.frozen.finished import FinishedReports
from builder.frozen.standing import Standing, standing
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure
from builder.records import judged_record, past


@dataclass(kw_only=True)
class Shop:
    """What a folder of procedures holds, as far as it is right."""

    folder: Path = Path()
    meters: dict[str, Meter] = field(default_factory=dict)
    standards: dict[str, Standard] = field(default_factory=dict)
    plans: dict[str, Plan] = field(default_factory=dict)
    # of each file, as 'standards/fulmar', and of each computed plan with all that it names: a hash
    # over what it was made from
    made_of: dict[str, str] = field(default_factory=dict)
    functions: dict[str, dict[str, MeterFunction]] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)   # files that hold errors, as 'standards/fulmar'
    records: dict[str, judged_record.Record] = field(default_factory=dict)
    record_problems: list[Problem] = field(default_factory=list)
    workshop: Workshop | None = None
    register: ShopRegister | None = None
    checks_between: dict[str, CheckBetween] = field(default_factory=dict)
    # those that can't be used, with the files that they wait for, as 'standards/fulmar'
    unread_checks: dict[str, tuple[str, ...]] = field(default_factory=dict)
    past: dict[past.Key, list[PastResult]] = field(default_factory=dict)
    past_read: list[str] = field(default_factory=list)      # how each table of them was read
    as_of: date | None = None       # the day that its states are for
    approvals: Approvals = field(default_factory=Approvals)
    finished: FinishedReports = field(default_factory=FinishedReports)
    frozen_problems: list[Problem] = field(default_factory=list)

    @property
    def known_meters(self) -> set[past.Key]:
        """By their file and serial number: those of the register, and those with a record."""
        return {one.same_meter for one in self.records.values()} | {
            (one.meter, one.serial) for one in (self.register.meters if self.register else ())}

    @property
    def errors(self) -> list[Problem]:
        return errors(self.problems)

    @property
    def stopping(self) -> list[Problem]:
        """The errors that no site is built with: a folder that can't be read would take more off
        the pages than anyone expects. A file with errors takes off only what depends on it."""
        return [one for one in self.errors if one.code in folders.PROBLEMS]


class Unready(Wrong):
    """What is asked about stands in a file that has problems; `file` is its name."""

    def __init__(self, sentence: str, file: str):
        super().__init__(sentence)
        self.file = file


def unready(shop: Shop, *names: str) -> Unready | None:
    """Why nothing can be said of a meter, a plan or a standard, each as 'meters/dunlin-60': the
    first of them whose file holds errors; None where none does."""
    for name in names:
        if name in shop.broken:
            own = [p for p in shop.errors if p.place.file.endswith(f"{name}.yaml")]
            file = own[0].place.file if own else f"{name}.yaml"
            return Unready(f"the {name.split('/')[0].removesuffix('s')}'s file has problems:\n"
                           + as_text(own), file)
    return None


def functions(shop: Shop, meter: str) -> dict[str, MeterFunction]:
    """The functions of a meter by its file's name or by its own; raises `Wrong` where there is no
    such meter, or its file isn't right."""
    slug = next((slug for slug, one in shop.meters.items()
                 if one.name.casefold() == meter.casefold()), meter)
    if slug not in shop.functions:
        raise unready(shop, f"meters/{slug}") or Wrong(f"there is no meter '{meter}'",
                                                      nearest(meter, shop.functions))
    return shop.functions[slug]


def procedure(shop: Shop, name: str) -> Procedure:
    """The procedure of a plan by its name; raises `Wrong` where there is none."""
    if name not in shop.procedures:
        plan = shop.plans.get(name)
        needed = [f"plans/{name}"]
        if plan:
            needed += [f"meters/{plan.meter}", *(f"standards/{s}" for s in plan.standards)]
        raise unready(shop, *needed) or Wrong(
            f"there is no procedure '{name}'", nearest(name, shop.procedures))
    return shop.procedures[name]


def sheet(shop: Shop, name: str, revision: str | None = None) -> tuple[SheetData, bool]:
    """The sheet of a plan that is printed, or one by its revision, and whether it is approved: an
    approved one before the draft. Raises `Wrong` where there is none."""
    approvals, fresh = shop.approvals, shop.procedures.get(name)
    own = approvals.in_force(name)
    if revision is None and own is not None:
        return own.sheet, True
    if revision is not None and (data := approvals.data(name, revision, None)):
        return data, True
    if fresh is None or revision not in (None, fresh.revision):
        known = [one.revision for one in approvals.sheets(name)] + (
            [f"{fresh.revision}, the draft"] if fresh else [])
        if not known or revision is None:
            return procedure(shop, name).sheet_data, False
        raise Wrong(f"there is no revision '{revision}' of '{name}'",
                    "known: " + "; ".join(dict.fromkeys(known)))
    return fresh.sheet_data, False


def standing_of(shop: Shop, fresh: Procedure) -> Standing:
    """How a procedure as it computes today stands beside what was approved of it."""
    if not shop.approvals.of(fresh.id):
        return Standing(fresh.revision, None, None, ())
    return standing(shop.approvals, fresh.sheet_data)


def summary(shop: Shop) -> list[str]:
    """How each table was read; a line for each procedure: how many of its points
    the standards are good enough for; and one for each that was approved, or lies beside others
    that were."""
    return [*(f"{record.document.file}: {record.document.said}." for record in shop.records.values()
              if isinstance(record.document, TableDocument)),
            *shop.past_read,
            *(f"{name}: {' '.join(procedure.summary)}"
              for name, procedure in shop.procedures.items() if procedure.summary),
            *(f"{name}: {standing_of(shop, procedure).said}"
              for name, procedure in shop.procedures.items() if shop.approvals.files)]
