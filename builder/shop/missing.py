"""What a folder should hold and doesn't give: files with mistakes, and what waits for them. Each is
named at its place on the pages, with the reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from builder.files import json_text, yaml_text
from builder.files.problems import Problem, Wrong, errors, in_order
from builder.formats.fields import slug
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.records import table_record
from builder.shop.contents import Shop

# The kinds, by their folders in `procedures/`, with the folder of their pages.
PAGES = {"meters": "meters", "standards": "standards", "plans": "procedures", "records": "reports",
         "checks-between": "checks-between"}
WORDS = {"meters": "meter", "standards": "standard", "plans": "sheet", "records": "report",
         "checks-between": "check"}
_UNREAD = "x"    # what a model has in the place of a name that couldn't be read


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingFile:
    """A meter, a standard, a plan, a record or a check that gives no page of its own, but for what
    was made of it once and for ever."""

    kind: str
    name: str                       # as its file has it
    file: str
    title: str
    problems: tuple[Problem, ...]   # its own errors
    waits_for: tuple[str, ...] = () # other files with errors, as 'meters/dunlin-60'
    meter: str = ""                 # of a plan or a record, where it can be read
    serial: str = ""                # of a record, where it can be read
    functions: tuple[str, ...] = () # kinds of those that a plan has points of
    stands: str = ""                # 'approved' or 'finished', where a page stands all the same

    @property
    def page(self) -> str:
        """Where it says why it is missing; "" for a name that can be no address."""
        try:
            return f"{PAGES[self.kind]}/{slug(self.name)}"
        except Wrong:
            return ""

    @property
    def because(self) -> str:
        """The reason, in a line."""
        if not self.problems and not self.waits_for:
            return f"There is no file {self.file} any more."
        if not self.problems:
            files = " and ".join(f"{one}.yaml" for one in self.waits_for)
            it_stands = "it stands" if len(self.waits_for) == 1 else "they stand"
            return f"It waits for {files}, which can’t be used as {it_stands}."
        first, more = self.problems[0], len(self.problems) - 1
        return (f"{first.place.file}, line {first.place.line}: {first.sentence}."
                + (f" And {more} more." if more else ""))


def missing(shop: Shop) -> list[MissingFile]:
    """Everything that the shop's folder has a file for, and gives nothing."""
    return [*_files(shop), *_records(shop), *_checks(shop)]


def of_kind(absent: Iterable[MissingFile], kind: str) -> list[MissingFile]:
    return [one for one in absent if one.kind == kind]


def _files(shop: Shop) -> list[MissingFile]:
    gives = {"meters": set(shop.functions), "plans": set(shop.procedures),
             "standards": set(whole(shop, "standards"))}
    in_force = {name: sheet for name in shop.approvals.procedures
                if (sheet := shop.approvals.in_force(name))}
    absent = []
    for kind, right in gives.items():
        models = getattr(shop, kind)
        names = {*models, *(one.partition("/")[2] for one in shop.broken
                            if one.startswith(f"{kind}/"))}
        for name in sorted((names | set(in_force) if kind == "plans" else names) - right):
            file, model = f"{shop.folder.name}/{kind}/{name}.yaml", models.get(name)
            more = _of_plan(model, shop) if isinstance(model, Plan) else {}
            title = _title(model)
            if kind == "plans" and name in in_force:
                sheet = in_force[name].sheet
                title, more = title or sheet.title, {"meter": sheet.meter, **more,
                                                     "stands": "approved"}
            absent.append(MissingFile(kind=kind, name=name, file=file, title=title or name,
                                      problems=_own(shop.problems, file), **more))
    return absent


def _records(shop: Shop) -> list[MissingFile]:
    """Each file among the records that is left out for its errors."""
    absent = []
    read = {record.document.file for record in shop.records.values()}
    wrong = dict.fromkeys(one.place.file for one in in_order(errors(shop.record_problems)))
    for file in [name for name in wrong if name not in read]:
        head = _read_loosely(shop.folder.parent / file)
        plan = shop.plans.get(head.get("procedure", ""))
        absent.append(MissingFile(
            kind="records", name=Path(file).stem, file=file, serial=head.get("serial", ""),
            meter=head.get("meter") or (_of_plan(plan, shop)["meter"] if plan else ""),
            problems=_own(shop.record_problems, file),
            stands="finished" if shop.finished.latest(Path(file).stem) else "",
            title=", ".join(filter(None, (head.get("date"), head.get("state")))) or file))
    return absent


def _checks(shop: Shop) -> list[MissingFile]:
    """Each file of a check between calibrations that can't be used, or whose standard can't."""
    absent = []
    for name, waits_for in sorted(shop.unread_checks.items()):
        file = f"{shop.folder.name}/checks-between/{name}.yaml"
        absent.append(MissingFile(kind="checks-between", name=name, file=file, title=name,
                                  problems=_own(shop.problems, file), waits_for=waits_for))
    return absent


def whole(shop: Shop, kind: str) -> dict:
    """The files of a kind that hold no errors."""
    return {name: model for name, model in getattr(shop, kind).items()
            if f"{kind}/{name}" not in shop.broken}


def _own(problems: list[Problem], file: str) -> tuple[Problem, ...]:
    return tuple(one for one in in_order(errors(problems)) if one.place.file == file)


def _title(model: Meter | Standard | Plan | None) -> str:
    title = "" if model is None else model.title if isinstance(model, Plan) else model.name
    return "" if title == _UNREAD else title


def _of_plan(plan: Plan, shop: Shop) -> dict:
    meter = shop.meters.get(plan.meter)
    kinds = {one.title: one.function for one in meter.functions} if meter else {}
    return {"meter": "" if plan.meter == _UNREAD else plan.meter,
            "waits_for": tuple(one for one in (f"meters/{plan.meter}", *(
                f"standards/{name}" for name in plan.standards)) if one in shop.broken),
            "functions": tuple(dict.fromkeys(kinds[point.function] for point in plan.points
                                             if point.function in kinds))}


def _read_loosely(path: Path) -> dict[str, str]:
    """The texts at the head of a record, whatever else is wrong with it."""
    if path.suffix == ".json":
        document, _ = json_text.read(path, "")
    elif path.suffix == ".yaml":
        document, _ = yaml_text.read(path, "")
    elif path.suffix == ".csv":
        document, _ = table_record.read(path, "")
    else:
        return {}
    if document is None:
        return {}
    data = document.data
    carried = data.get("judged_by")
    meter = carried.get("meter") if isinstance(carried, dict) else None
    return {name: value for name, value in {"meter": meter, **data}.items()
            if isinstance(value, str)}
