"""The shop from its folder: every file read, checked and computed, with all problems on the
way."""

from __future__ import annotations

import gc
import re
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import asdict
from datetime import date
from functools import partial
from pathlib import Path, PurePath

from builder.file_rules import meters as meter_rules
from builder.file_rules import plans as plan_rules
from builder.file_rules import standards as standard_rules
from builder.file_rules.saying import nearest
from builder.files import folders, kept_texts
from builder.files.cache import Cache
from builder.files.problems import ERROR, WARNING, Place, Problem, errors
from builder.files.yaml_text import Document
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.formats.validation import read_file
from builder.procedure import assemble
from builder.frozen import approved, finished
from builder.records import judged_record, kept_records, past, record_files
from builder.records import serials
from builder.records.serials import nearly_the_same
from builder.shop.contents import Shop
from builder.shop import checks_between, kept_procedures, own_files
from builder.shop.one_meter import functions_of
from builder.shop.own_files import REGISTER, WORKSHOP

KINDS = {"meters": Meter, "standards": Standard, "plans": Plan}
FROZEN = (approved.FOLDER, finished.FOLDER)
FOLDERS = (*KINDS, record_files.FOLDER, past.FOLDER, checks_between.FOLDER, *FROZEN)


@contextmanager
def without_collector():
    """Computing makes many small objects and no cycles among them; looking for cycles took a
    quarter of its time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@without_collector()
def load_shop(folder: Path, plans: bool = True, kept: Cache | None = None,
              as_of: date | None = None) -> Shop:
    """Everything in `folder`, computed; or, without `plans`, meters and standards only. Problems
    are collected, never raised. `kept` from an earlier time saves computing again what hasn't
    changed. `as_of` is the day that it is for, if not the one that the workshop's file says."""
    shop, kept = Shop(folder=folder), kept or Cache(forgetful=True)
    kept.turn()
    kinds = [kind for kind in KINDS if plans or kind != "plans"]
    documents, broken = _read(folder, shop, kinds, kept)
    shop.broken = broken
    for name, (document, meter) in documents["meters"].items():
        _keep(shop, "meters", name, meter, _kept_problems(
            "meter", shop.made_of[f"meters/{name}"], partial(meter_rules.meter, document, meter),
            kept), broken)
    named: dict[str, str] = {}
    for name, (document, meter) in documents["meters"].items():
        first = named.setdefault(meter.name.casefold(), name)
        if first != name and meter.name != "x":    # which stands in for one that couldn't be read
            problem = document.problem(("name",), "twice",
                                       f"'{meter.name}' is the name of meters/{first}.yaml too",
                                       "give each meter a name of its own, as its sheets print it")
            _keep(shop, "meters", name, meter, [problem], broken)
    for name, (document, standard) in documents["standards"].items():
        problems = standard_rules.standard(document, standard)
        _keep(shop, "standards", name, standard, problems, broken)
    for name, meter in shop.meters.items():
        if f"meters/{name}" not in broken:
            shop.functions[name] = kept.get(
                f"functions {name}", (meter,), partial(functions_of, meter))
    # A plan's mistake can be to name a standard that is none of its own.
    all_standards = kept_texts.digest(*(shop.made_of[f"standards/{s}"]
                                        for s in documents["standards"]))
    for name, (document, plan) in documents["plans"].items():
        needed = dict.fromkeys((f"plans/{name}", f"meters/{plan.meter}",
                                *(f"standards/{s}" for s in plan.standards)))
        whole = not broken & needed.keys() and needed.keys() <= shop.made_of.keys()
        own = kept_texts.digest(*(shop.made_of[one] for one in needed)) if whole else ""

        def judged(document: Document = document, plan: Plan = plan) -> list[Problem]:
            return plan_rules.plan(document, plan, shop.meters, shop.standards, broken)

        problems = _kept_problems("plan", own + all_standards, judged, kept) if whole else judged()
        if whole and not errors(problems):
            meter, functions = shop.meters[plan.meter], shop.functions[plan.meter]
            standards = [shop.standards[s] for s in plan.standards]
            shop.made_of[f"plans/{name}"] = own
            compute = partial(assemble.compute, document, plan, meter, standards, functions)
            computed, more = kept.get(
                f"procedure {name}", (document, plan, functions, *standards),
                partial(kept_procedures.procedure, made_of=own, plan=plan, meter=meter,
                        standards=standards, compute=compute, texts=kept.texts))
            problems += more
            if computed:
                shop.procedures[name] = computed
        _keep(shop, "plans", name, plan, problems, broken)
    if plans:
        own = {name: kept.get(name, (record_files.content(folder / name),),
                              partial(own_files.read, folder, name)) for name in own_files.NAMES}
        for _, _, problems in own.values():
            shop.problems += problems
        shop.workshop, (register, shop.register, _) = own[WORKSHOP][1], own[REGISTER]
        shop.as_of = as_of or (shop.workshop.as_of if shop.workshop else None)
        shop.problems += checks_between.read_checks(folder, shop, kept)
        shop.approvals, problems = approved.read(folder, kept)
        shop.finished, more = finished.read(folder, kept)
        shop.frozen_problems = problems + more
        shop.problems += shop.frozen_problems
        shop.records, problems = record_files.read_folder(
            folder / record_files.FOLDER, f"{folder.name}/{record_files.FOLDER}", kept,
            shop.approvals.data)
        shop.record_problems = problems
        for record in shop.records.values():
            problems += strangers(record, shop)
            problems += kept_records.doubts(record, shop.as_of, kept.texts)
        _meters_at_hand(shop, register)
        shop.past, shop.past_read, problems = past.read_folder(folder, shop.known_meters, kept)
        shop.problems += problems
        shop.record_problems += finished.changed_records(shop.finished, shop.records, _faulty(shop))
        shop.problems += shop.record_problems
    # What two files take from a third is wrong once.
    shop.problems = list(dict.fromkeys(shop.problems))
    return shop


def _kept_problems(kind: str, made_of: str, judged: Callable[[], list[Problem]],
                   kept: Cache) -> list[Problem]:
    """What `judged` finds in a file of a kind, and in those that it names."""
    return list(map(kept_records.problem, kept.texts.get(
        f"problems of {kind}", (made_of,), lambda: list(map(asdict, judged())))))


def _meters_at_hand(shop: Shop, document: Document | None) -> None:
    """The serial numbers of the records beside the register, or beside each other where there is
    none."""
    if shop.register is None or document is None:
        shop.record_problems += nearly_the_same(shop.records)
        return
    shop.problems += serials.doubtful_entries(document, shop.register, shop.meters)
    shop.record_problems += serials.unregistered(shop.records, shop.register)


def strangers(record: judged_record.Record, shop: Shop) -> list[Problem]:
    """What a record names and this shop doesn't have (any more): its report stands on what it
    carries."""
    problems, head = [], record.head

    def say(name: str, sentence: str) -> None:
        problems.append(record.document.problem((name,), "stranger", sentence,
                                             "the report says what the record carries itself",
                                             severity="warning"))

    if record.meter not in shop.meters:
        say("meter" if head.meter else "procedure",
            f"there is no meter '{record.meter}' among the files")
    if head.procedure not in shop.plans:
        say("procedure", f"there is no plan '{head.procedure}' among the files")
    if head.follows and head.follows not in {*shop.records, *_faulty(shop)}:
        say("follows", f"there is no record '{head.follows}' among the files")
    return problems


def _faulty(shop: Shop) -> set[str]:
    """The records that are left out for their errors; where a folder of records can't be read,
    every finished one may be in it."""
    wrong = errors(shop.record_problems)
    hidden = {"no-folder", "unreadable-folder"} & {one.code for one in wrong}
    return {PurePath(one.place.file).stem for one in wrong} | set(
        shop.finished.numbers if hidden else ())


def _keep(shop: Shop, kind: str, name: str, thing, problems: list[Problem],
          broken: set[str]) -> None:
    shop.problems += problems
    if errors(problems):
        broken.add(f"{kind}/{name}")
    getattr(shop, kind)[name] = thing


def _stray(entry: folders.Entry) -> Problem | None:
    """What is wrong with something at the top of the folder, if it isn't read."""
    def say(code: str, sentence: str, hint: str, severity: str = WARNING) -> Problem:
        return Problem(Place(entry.shown, 1, 1), code, sentence, hint, severity)

    name = folders.printable(entry.name)
    if name in (*FOLDERS, *own_files.NAMES):
        return None
    if entry.path.is_dir():
        return say("folder", f"the folder '{name}' is not read",
                   nearest(name.lower(), FOLDERS) or "the folders are " + ", ".join(FOLDERS))
    for own in own_files.NAMES:
        stem = own.removesuffix(".yaml")
        if re.fullmatch(rf"{stem}\b.*", name, re.IGNORECASE):
            return say("file-name", f"this file is not read: the {stem}'s is called '{own}'",
                       "rename it, or move it elsewhere", ERROR)
    if re.fullmatch(r"readme(\.md|\.txt)?", name, re.IGNORECASE):
        return None
    return say("file-name", f"only '{WORKSHOP}', '{REGISTER}' and folders are read here",
               "move it into one of " + ", ".join((*KINDS, record_files.FOLDER)) + ", or elsewhere")


def _read(folder: Path, shop: Shop, kinds: list[str],
          kept: Cache) -> tuple[dict[str, dict[str, tuple[Document, object]]], set[str]]:
    """Every file as a model with its document; and the names of files that are not whole."""
    documents: dict[str, dict] = {kind: {} for kind in KINDS}
    broken: set[str] = set()
    here = f"{folder.name}/"
    if not folder.is_dir():
        shop.problems.append(Problem(Place(str(folder), 1, 1), "no-folder",
                                     "there is no such folder",
                                     "it holds meters/, standards/ and plans/"))
        return documents, broken
    inside, problems = folders.entries(folder, folder.name)
    shop.problems += problems + [one for entry in inside if (one := _stray(entry))]
    for kind in kinds:
        listed, problems = folders.entries(folder / kind, here + kind)
        shop.problems += problems
        for entry in listed:
            path, shown, stem = entry.path, entry.shown, folders.printable(entry.path.stem)
            if path.suffix != ".yaml" or path.is_dir():
                shop.problems.append(folders.not_read(entry, ".yaml"))
                continue
            content = record_files.content(path)
            beside = KINDS[kind].beside(path, content)
            shop.made_of[f"{kind}/{stem}"] = kept_texts.digest(shown, content, *beside)
            document, thing, problems, whole = kept.get(
                f"file {shown}", (content, *beside), partial(read_file, KINDS[kind], path, shown))
            shop.problems += problems
            if not whole:
                broken.add(f"{kind}/{stem}")
            if thing is not None:
                documents[kind][stem] = (document, thing)
    return documents, broken
