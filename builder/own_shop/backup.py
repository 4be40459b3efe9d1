"""A shop and all that it needs in one file: unpacked years later, on a machine of the same kind
with the same Python, it starts without a network; and each report can be read without anything."""

from __future__ import annotations

import os
import re
import sys
import sysconfig
import zipfile
from collections.abc import Iterator
from datetime import date
from importlib import metadata
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Wrong
from builder.own_shop import new_shop
from builder.pages import report_pages
from builder.shop import loading

PACKAGES, REPORTS, READ_ME = "packages", "finished-reports", "read-me-first.txt"
MADE_FOR = f"{PACKAGES}/made-for.txt"       # which start.py compares
# What is made again, what other programs keep for themselves, and what an earlier backup brought.
_ANYWHERE = re.compile(r"\.git|__pycache__|.*\.part")
_AT_THE_TOP = re.compile(r"site|reports|\.venv|\.venv\.lock|\.site.*|\.decisions\.lock|"
                         + "|".join(map(re.escape, (PACKAGES, REPORTS, READ_ME))))
_ABOUT = """\
The workshop '{name}' as it was on {day}, with all that its pages need, made by version {version}.

To start it: unpack this file, then a double click on start.bat (Windows), start.command (Mac) or
start.sh (Linux), or 'python3 start.py'. It needs {python} and no network. On another kind of
machine or with another Python delete the folder '{packages}': the start then fetches what it needs.

To read a report: open it in {reports}/ with any browser. Each is one file and needs nothing else.

The shop's own files are in procedures/ and site_src/, as text. The history that a version control
keeps of them is not in here.
"""


def write(root: Path, target: Path, on: date) -> list[str]:
    """Writes the file into a folder outside of the shop, and gives lines on it. Raises `Wrong`
    where it can't be, or where the packages can't be packed."""
    if root.resolve() in (target, *target.parents):
        raise Wrong(f"{target} lies in the shop: name a folder elsewhere",
                    "a backup beside what it is of is lost with it")
    name = root.resolve().name
    packages = dict(_packages())
    reports = dict(_reports(root / "procedures"))
    path = target / f"{name}-{on.isoformat()}.zip"
    target.mkdir(parents=True, exist_ok=True)
    with whole_files.written(path) as beside, zipfile.ZipFile(
            beside, "w", zipfile.ZIP_DEFLATED) as archive:
        for inside, file in (_files(root) | packages).items():
            archive.write(file, f"{name}/{inside}")
        for inside, text in {
                **reports, MADE_FOR: made_for() + "\n",
                READ_ME: _ABOUT.format(name=name, day=on.isoformat(), version=_version(),
                                       python=made_for(), packages=PACKAGES, reports=REPORTS),
                }.items():
            archive.writestr(f"{name}/{inside}", text)
    size = max(1, path.stat().st_size // 1_000_000)
    return [f"{path}: the shop, {len(reports)} finished report"
            f"{'' if len(reports) == 1 else 's'} and the packages for {made_for()}, {size} MB."]


def made_for() -> str:
    """The Python and the machine that the packages are for, in the words of start.py."""
    return "Python {}.{} on {}".format(*sys.version_info[:2], sysconfig.get_platform())


def _version() -> str:
    return metadata.version(new_shop.DISTRIBUTION)


def _files(root: Path) -> dict[str, Path]:
    """The shop's own files by their path in it."""
    held: dict[str, Path] = {}
    for inside, folders, names in os.walk(root, followlinks=True):
        at_top = Path(inside) == root

        def stays(name: str, at_top: bool = at_top) -> bool:
            return not (_ANYWHERE.fullmatch(name) or at_top and _AT_THE_TOP.fullmatch(name))

        folders[:] = filter(stays, folders)
        for path in (Path(inside, name) for name in names if stays(name)):
            held[path.relative_to(root).as_posix()] = path
    return held


def _reports(procedures: Path) -> Iterator[tuple[str, str]]:
    """Every issue of every finished report as a page that needs nothing else."""
    shop = loading.load_shop(procedures)
    for number in shop.finished.numbers:
        for own in shop.finished.issues(number):
            yield (f"{REPORTS}/{number}.{own.issue}.html",
                   report_pages.alone(report_pages.issued(shop, own)))


def _packages() -> Iterator[tuple[str, Path]]:
    """The files of the builder and of every package that it needs, as they are installed, without
    what Python makes again and the commands of the environment."""
    for name in needed(new_shop.DISTRIBUTION):
        package = metadata.distribution(name)
        if _is_editable(package):
            raise Wrong("a clone has no packages to put into a backup",
                        "copy the clone; or install the tool from a wheel, and back up by that")
        for file in package.files or ():
            path = Path(str(package.locate_file(file)))
            if ".." not in file.parts and file.suffix != ".pyc" and path.is_file():
                yield f"{PACKAGES}/{file.as_posix()}", path


def _is_editable(package: metadata.Distribution) -> bool:
    return '"editable": true' in (package.read_text("direct_url.json") or "")


def needed(name: str) -> list[str]:
    """A package and all that are installed of those that it asks for, and of those that they do;
    without its extras."""
    known: dict[str, None] = {}
    waiting = [name]
    while waiting:
        name = re.sub(r"[-_.]+", "-", waiting.pop()).lower()
        if name in known:
            continue
        try:
            asks = metadata.requires(name) or []
        except metadata.PackageNotFoundError:   # of another system, or another Python
            continue
        known[name] = None
        waiting += [re.match(r"[\w.-]+", one)[0] for one in asks if "extra ==" not in one]
    return list(known)
