"""The shop from its folder: every file read, checked and computed, with all problems on the
way."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from builder.file_rules import meters as meter_rules
from builder.file_rules import plans as plan_rules
from builder.file_rules import standards as standard_rules
from builder.files import yaml_text
from builder.files.cache import Cache
from builder.files.problems import Place, Problem, errors
from builder.files.yaml_text import Document
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.formats.validation import read_file, validate
from builder.formats.workshop import Workshop
from builder.procedure import assemble
from builder.frozen import approved, finished
from builder.records import judged_record, record_files
from builder.records.doubts import doubts
from builder.shop.contents import Shop
from builder.shop.one_meter import functions_of

KINDS = {"meters": Meter, "standards": Standard, "plans": Plan}
FROZEN = (approved.FOLDER, finished.FOLDER)
WORKSHOP = "workshop.yaml"


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
def load_shop(folder: Path, plans: bool = True, kept: Cache | None = None) -> Shop:
    """Everything in `folder`, computed; or, without `plans`, meters and standards only. Problems
    are collected, never raised. `kept` from an earlier time saves computing again what hasn't
    changed."""
    shop, kept = Shop(), kept or Cache(forgetful=True)
    kept.turn()
    kinds = [kind for kind in KINDS if plans or kind != "plans"]
    documents, broken = _read(folder, shop, kinds, kept)
    shop.broken = broken
    for name, (document, meter) in documents["meters"].items():
        _keep(shop, "meters", name, meter, meter_rules.meter(document, meter), broken)
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
    for name, (document, plan) in documents["plans"].items():
        problems = plan_rules.plan(document, plan, shop.meters, shop.standards, broken)
        needed = {f"plans/{name}", f"meters/{plan.meter}",
                  *(f"standards/{s}" for s in plan.standards)}
        if not errors(problems) and not broken & needed:
            meter, functions = shop.meters[plan.meter], shop.functions[plan.meter]
            standards = [shop.standards[s] for s in plan.standards]
            computed, more = kept.get(
                f"procedure {name}", (document, plan, functions, *standards),
                partial(assemble.compute, document, plan, meter, standards, functions))
            problems += more
            if computed:
                shop.procedures[name] = computed
        _keep(shop, "plans", name, plan, problems, broken)
    if plans:
        shop.workshop, problems = kept.get("workshop", (record_files.content(folder / WORKSHOP),),
                                           lambda: workshop(folder))
        shop.problems += problems
        shop.approvals, problems = approved.read(folder, kept)
        shop.finished, more = finished.read(folder, kept)
        shop.frozen_problems = problems + more
        shop.problems += shop.frozen_problems
        shop.records, problems = record_files.read_folder(
            folder / record_files.FOLDER, f"{folder.name}/{record_files.FOLDER}", kept,
            shop.approvals.data)
        for record in shop.records.values():
            problems += strangers(record, shop)
            problems += doubts(record, shop.workshop.as_of if shop.workshop else None)
        problems += finished.changed_records(shop.finished, shop.records)
        shop.record_problems = problems
        shop.problems += shop.record_problems
    return shop


def workshop(folder: Path) -> tuple[Workshop | None, list[Problem]]:
    """Who writes the reports, if the shop has said so."""
    path = folder / WORKSHOP
    if not path.is_file():
        return None, []
    document, problems = yaml_text.read(path, f"{folder.name}/{WORKSHOP}")
    if document is None:
        return None, problems
    model, _, more, whole = validate(Workshop, document)
    return (model if whole else None), problems + more


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
    if head.follows and head.follows not in shop.records:
        say("follows", f"there is no record '{head.follows}' among the files")
    return problems


def _keep(shop: Shop, kind: str, name: str, thing, problems: list[Problem],
          broken: set[str]) -> None:
    shop.problems += problems
    if errors(problems):
        broken.add(f"{kind}/{name}")
    getattr(shop, kind)[name] = thing


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
    for path in sorted(folder.iterdir()):
        if (path.is_dir() and path.name not in (*KINDS, record_files.FOLDER, *FROZEN)
            and not path.name.startswith(".")):
            shop.problems.append(Problem(Place(here + path.name, 1, 1), "folder",
                                         f"the folder '{path.name}' is not read",
                                         "the folders are "
                                         + ", ".join([*KINDS, record_files.FOLDER, *FROZEN]),
                                         severity="warning"))
        elif path.is_file() and path.name != WORKSHOP and path.suffix in (".yaml", ".yml", ".json"):
            shop.problems.append(Problem(Place(here + path.name, 1, 1), "file-name",
                                         "this file is not read here",
                                         f"is it {WORKSHOP}? Else move it into one of "
                                         + ", ".join([*KINDS, record_files.FOLDER]),
                                         severity="warning"))
    for kind in kinds:
        for path in sorted((folder / kind).glob("*")) if (folder / kind).is_dir() else []:
            shown = f"{here}{kind}/{path.name}"
            if path.name.startswith("."):
                continue
            if path.suffix != ".yaml" or path.is_dir():
                shop.problems.append(Problem(Place(shown, 1, 1), "file-name",
                                             "only files named '….yaml' are read here",
                                             "rename it, or move it elsewhere", severity="warning"))
                continue
            document, thing, problems, whole = kept.get(
                f"file {shown}", (record_files.content(path),),
                partial(read_file, KINDS[kind], path, shown))
            shop.problems += problems
            if not whole:
                broken.add(f"{kind}/{path.stem}")
            if thing is not None:
                documents[kind][path.stem] = (document, thing)
    return documents, broken
