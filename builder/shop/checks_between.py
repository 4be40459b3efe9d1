"""The folder of checks between calibrations, read and held against the shop's standards."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from builder.file_rules.checks_between import check_between
from builder.files import folders
from builder.files.cache import Cache
from builder.files.problems import Problem, errors
from builder.formats.check_between import CheckBetween
from builder.formats.validation import read_file
from builder.records import record_files
from builder.shop.contents import Shop

FOLDER = "checks-between"


def read_checks(folder: Path, shop: Shop, kept: Cache) -> list[Problem]:
    """Puts the right ones into the shop, and why the others can't be used; gives all problems."""
    listed, problems = folders.entries(folder / FOLDER, f"{folder.name}/{FOLDER}")
    for entry in listed:
        if entry.path.suffix != ".yaml" or entry.path.is_dir():
            problems.append(folders.not_read(entry, ".yaml"))
            continue
        document, check, own, _ = kept.get(
            f"file {entry.shown}", (record_files.content(entry.path),),
            partial(read_file, CheckBetween, entry.path, entry.shown))
        name = folders.printable(entry.path.stem)
        if document is not None and check is not None and not errors(own):
            own = [*own, *check_between(document, check, shop.standards, shop.as_of)]
            if check.check != name:
                own.append(document.problem(
                    ("check",), "name", f"'{check.check}' is not the name of this file",
                    f"write 'check: {name}', or rename the file"))
        problems += own
        if errors(own):
            shop.unread_checks[name] = ()
        elif f"standards/{check.standard}" in shop.broken:
            shop.unread_checks[name] = (f"standards/{check.standard}",)
        else:
            shop.checks_between[name] = check
    return problems
