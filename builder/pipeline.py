"""load → check → compute: from a folder of YAML to computed procedures, with every problem on the way."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from builder import assemble, check, records, source
from builder.kept import Kept
from builder.model.base import validate
from builder.model.meter import Meter
from builder.model.plan import Plan
from builder.model.standard import Standard
from builder.model.workshop import Workshop
from builder.views import FunctionView
from builder.problems import Place, Problem, errors
from builder.procedure import Procedure
from builder.source import Document

KINDS = {"meters": Meter, "standards": Standard, "plans": Plan}
WORKSHOP = "workshop.yaml"


@dataclass
class Shop:
    """What a folder of procedures holds, as far as it is right."""

    meters: dict[str, Meter] = field(default_factory=dict)
    standards: dict[str, Standard] = field(default_factory=dict)
    plans: dict[str, Plan] = field(default_factory=dict)
    functions: dict[str, dict[str, FunctionView]] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)   # files that hold errors, as 'standards/fulmar'
    records: dict[str, records.Record] = field(default_factory=dict)
    record_problems: list[Problem] = field(default_factory=list)
    workshop: Workshop | None = None

    @property
    def errors(self) -> list[Problem]:
        return errors(self.problems)

    @property
    def stopping(self) -> list[Problem]:
        """The errors that no site is built with. A bad record isn't among them: the others stand, and the page of reports names it."""
        of_records = set(self.record_problems)
        return [one for one in self.errors if one not in of_records]


@contextmanager
def without_collector():
    """Computing makes many small objects and no cycles among them; looking for cycles took a quarter of its time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@without_collector()
def load(folder: Path, plans: bool = True, kept: Kept | None = None) -> Shop:
    """Everything in `folder`, computed; or, without `plans`, meters and standards only. Problems are collected, never raised.
    `kept` from an earlier time saves computing again what hasn't changed."""
    shop, kept = Shop(), kept or Kept(forgetful=True)
    kept.turn()
    documents, broken = _read(folder, shop, [kind for kind in KINDS if plans or kind != "plans"], kept)
    shop.broken = broken
    for name, (document, meter) in documents["meters"].items():
        _keep(shop, "meters", name, meter, check.meter(document, meter), broken)
    for name, (document, standard) in documents["standards"].items():
        _keep(shop, "standards", name, standard, check.standard(document, standard), broken)
    for name, meter in shop.meters.items():
        if f"meters/{name}" not in broken:
            shop.functions[name] = kept.get(f"functions {name}", (meter,), lambda: {f.title: FunctionView(meter, f) for f in meter.functions})
    for name, (document, plan) in documents["plans"].items():
        problems = check.plan(document, plan, shop.meters, shop.standards, broken)
        needed = {f"plans/{name}", f"meters/{plan.meter}", *(f"standards/{s}" for s in plan.standards)}
        if not errors(problems) and not broken & needed:
            meter, standards, functions = shop.meters[plan.meter], [shop.standards[s] for s in plan.standards], shop.functions[plan.meter]
            computed, more = kept.get(f"procedure {name}", (document, plan, functions, *standards),
                                      lambda: assemble.compute(document, plan, meter, standards, functions))
            problems += more
            if computed:
                shop.procedures[name] = computed
        _keep(shop, "plans", name, plan, problems, broken)
    if plans:
        shop.workshop, problems = kept.get("workshop", (records.content(folder / WORKSHOP),), lambda: workshop(folder))
        shop.problems += problems
        shop.records, problems = records.read_folder(folder / records.FOLDER, f"{folder.name}/{records.FOLDER}", kept)
        shop.record_problems = problems + [one for record in shop.records.values() for one in strangers(record, shop)]
        shop.problems += shop.record_problems
    return shop


def workshop(folder: Path) -> tuple[Workshop | None, list[Problem]]:
    """Who writes the reports, if the shop has said so."""
    path = folder / WORKSHOP
    if not path.is_file():
        return None, []
    document, problems = source.read(path, f"{folder.name}/{WORKSHOP}")
    if document is None:
        return None, problems
    found, _, more, whole = validate(Workshop, document)
    return (found if whole else None), problems + more


def strangers(record: records.Record, shop: Shop) -> list[Problem]:
    """What a record names and this shop doesn't have (any more): its report stands on what it carries."""
    found, head = [], record.head

    def say(name: str, sentence: str) -> None:
        found.append(record.document.problem((name,), "stranger", sentence, "the report says what the record carries itself", severity="warning"))

    if record.meter not in shop.meters:
        say("meter" if head.meter else "procedure", f"there is no meter '{record.meter}' among the files")
    if head.procedure not in shop.plans:
        say("procedure", f"there is no plan '{head.procedure}' among the files")
    if head.follows and head.follows not in shop.records:
        say("follows", f"there is no record '{head.follows}' among the files")
    return found


def summary(shop: Shop) -> list[str]:
    """A line for each procedure: how many of its points the standards are good enough for."""
    return [f"{name}: {' '.join(procedure.evidence.summary)}" for name, procedure in shop.procedures.items() if procedure.evidence.summary]


def _keep(shop: Shop, kind: str, name: str, thing, problems: list[Problem], broken: set[str]) -> None:
    shop.problems += problems
    if errors(problems):
        broken.add(f"{kind}/{name}")
    getattr(shop, kind)[name] = thing


def _read(folder: Path, shop: Shop, kinds: list[str], kept: Kept) -> tuple[dict[str, dict[str, tuple[Document, object]]], set[str]]:
    """Every file as a model with its document; and the names of files that are not whole."""
    documents: dict[str, dict] = {kind: {} for kind in KINDS}
    broken: set[str] = set()
    here = f"{folder.name}/"
    if not folder.is_dir():
        shop.problems.append(Problem(Place(str(folder), 1, 1), "no-folder", "there is no such folder", "it holds meters/, standards/ and plans/"))
        return documents, broken
    for path in sorted(folder.iterdir()):
        if path.is_dir() and path.name not in KINDS and path.name != records.FOLDER and not path.name.startswith("."):
            shop.problems.append(Problem(Place(here + path.name, 1, 1), "folder", f"the folder '{path.name}' is not read",
                                         "the folders are " + ", ".join([*KINDS, records.FOLDER]), severity="warning"))
    for kind in kinds:
        for path in sorted((folder / kind).glob("*")) if (folder / kind).is_dir() else []:
            shown = f"{here}{kind}/{path.name}"
            if path.name.startswith("."):
                continue
            if path.suffix != ".yaml" or path.is_dir():
                shop.problems.append(Problem(Place(shown, 1, 1), "file-name", "only files named '….yaml' are read here",
                                             "rename it, or move it elsewhere", severity="warning"))
                continue
            document, thing, problems, whole = kept.get(f"file {shown}", (records.content(path),), lambda: _one(KINDS[kind], path, shown))
            shop.problems += problems
            if not whole:
                broken.add(f"{kind}/{path.stem}")
            if thing is not None:
                documents[kind][path.stem] = (document, thing)
    return documents, broken


def _one(kind: type, path: Path, shown: str) -> tuple[Document | None, object, list[Problem], bool]:
    document, problems = source.read(path, shown)
    if document is None:
        return None, None, problems, False
    thing, document, more, whole = validate(kind, document)
    return document, thing, problems + more, whole
