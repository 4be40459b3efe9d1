"""Where the desk may write: in the shop's folder itself, never through a link that leads out of it;
whole or not at all, and what it replaces stays in kept/."""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Wrong
from builder.numbers.exact_text import capital

KEPT = "kept"
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\.(yaml|json|csv)")


def sentences(wrong: Wrong) -> str:
    """What is wrong and its hint, as a page or a list says them."""
    return " ".join(f"{capital(one).rstrip('.')}{'' if one.endswith('?') else '.'}"
                    for one in (wrong.sentence, wrong.hint) if one)


def folder(root: Path, name: str) -> Path:
    """A folder of the shop, such as 'procedures/records', made where it is missing. Raises `Wrong`
    where it is a link, or lies behind one: what is written there would be outside of the shop."""
    path = root / name
    real = Path(os.path.realpath(root))
    if Path(os.path.realpath(path)) != real / name:
        raise Wrong(f"'{name}' is a link, and the desk writes in the shop's own folder only",
                    "put a folder there, or use the commands of a terminal")
    path.mkdir(parents=True, exist_ok=True)
    return path


def plain_name(given: str) -> str:
    """A file's name as one is held to here: small letters, digits and hyphens, and a known ending.
    Raises `Wrong` where nothing is left of it."""
    stem, _, ending = re.split(r"[\\/]", given)[-1].rpartition(".")
    stem = "-".join(re.findall("[a-z0-9]+", stem.lower()))[:80].strip("-")
    name = f"{stem}.{ending.lower().replace('yml', 'yaml')}"
    if not _NAME.fullmatch(name):
        raise Wrong(f"'{given[:100]}' is no record's file",
                    "records end in .json (from a phone), .yaml (typed) or .csv (from a table)")
    return name


def content(path: Path, largest: int) -> bytes:
    """The bytes of a plain file. Raises `Wrong` for a link, a pipe, and what is too large."""
    status = path.lstat()
    if not stat.S_ISREG(status.st_mode):
        raise Wrong(f"'{path.name}' is a link or no file", "put the file itself there")
    if status.st_size > largest:
        raise Wrong(f"'{path.name}' is larger than {largest // 1_000_000} MB")
    return path.read_bytes()


def write_free(beside: Path, name: str, text: bytes) -> Path:
    """Writes a file under that name, or the next one that is free; gives its path."""
    stem, _, ending = name.rpartition(".")
    for n in range(1, 10_000):
        path = beside / (name if n == 1 else f"{stem}-{n}.{ending}")
        try:
            whole_files.write_new(path, text)
            return path
        except FileExistsError:
            continue
    raise Wrong(f"there are ten thousand files named {name}")


def keep(root: Path, path: Path) -> Path:
    """Keeps a file as it is before something takes its place; gives where."""
    kept = folder(root, f"{KEPT}/{path.parent.name}")
    return write_free(kept, path.name, path.read_bytes())
