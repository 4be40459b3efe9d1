"""Approving and withdrawing, as the commands and the desk do it: what is decided, by whom, in a
shop whose frozen files are whole."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from builder.files import one_at_a_time, problems
from builder.files.problems import Wrong
from builder.formats.frozen_files import ApprovedSheet
from builder.frozen import approved, finished, names
from builder.procedure.sheet import Procedure
from builder.procedure.sheet_text import sheet_text
from builder.shop import contents, loading
from builder.shop.contents import Shop

# Beside procedures/: who holds it is the only one who writes there, in whatever process.
LOCK = ".decisions.lock"


@contextmanager
def alone(folder: Path, busy: one_at_a_time.Say = lambda: None) -> Iterator[None]:
    """Keeps every other command and desk from writing in the shop of `folder` until the end: of two
    that read the same chain and then write, each would name the same file before its own. Where
    another one is at work, calls `busy` and waits."""
    with one_at_a_time.alone(folder.parent / LOCK, busy=busy):
        yield


def whole_shop(folder: Path) -> Shop:
    """The shop of a folder, read anew. Raises `Wrong` where its frozen files are not whole: a chain
    is mended before it gets longer."""
    shop = loading.load_shop(folder)
    if damaged := problems.errors(shop.frozen_problems):
        raise Wrong(problems.as_text(damaged) + "\n\nnothing was written",
                    "mend these first: what is written now would name what is damaged")
    return shop


def approve(shop: Shop, plan: str, *, by: str, on: date) -> tuple[Path, ApprovedSheet]:
    """Freezes a plan's sheet. Raises `Wrong` where it can't be, or not by this name."""
    procedure = contents.procedure(shop, plan)
    names.refuse_unless(shop.workshop, by, names.APPROVE)
    return approved.approve(shop.folder, shop.approvals, procedure.sheet_data,
                            page=sheet_text(procedure), made_from=sources(shop.folder, procedure),
                            by=by, on=on)


def sources(folder: Path, procedure: Procedure) -> dict[str, list[str]]:
    """The files that a sheet is computed from, as lines."""
    meter = procedure.meter
    own = [f"plans/{procedure.id}.yaml",
           *(f"meters/{name}.yaml" for name in (meter.meter, meter.like) if name),
           *(f"standards/{one.standard}.yaml" for one in procedure.standards)]
    return {name: (folder / name).read_text(encoding="utf-8-sig").splitlines() for name in own}


def withdraw(shop: Shop, name: str, which: str, *, because: str, told: str, by: str,
             on: date) -> str:
    """Takes a revision of a plan's sheet, or an issue of a report, out of use; says what holds from
    now on. Raises `Wrong` where there is none such, or not by this name."""
    folder = shop.folder
    is_report = shop.finished.latest(name) is not None
    names.refuse_unless(shop.workshop, by, names.FINISH if is_report else names.APPROVE)
    if is_report:
        path, _ = finished.withdraw(folder, shop.finished, name, which, because=because, told=told,
                                    by=by, on=on)
        return (f"{folder.name}/{finished.FOLDER}/{path.name}: issue {which} of report {name} is "
                "out of use.")
    path, gone = approved.withdraw(folder, shop.approvals, name, which, because=because, told=told,
                                   by=by, on=on)
    now = approved.read_new(folder)[0].in_force(name)
    return (f"{folder.name}/{approved.FOLDER}/{path.name}: revision {gone.revision} is out of use. "
            + (f"In force is {now.shown} again." if now and now.turn < gone.turn - 1 else
               f"In force is {now.shown}." if now else
               "No sheet of it is in force: what is printed is a draft."))
