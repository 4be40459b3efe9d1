"""Files that are written whole or not at all: under a hidden name beside, and named when everything
is on the disk."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

PART = ".part"     # the ending of what a write that was cut off leaves; nothing reads it


def write_new(path: Path, text: str) -> None:
    """Writes a file that isn't there yet; raises FileExistsError where it is, and OSError where
    the disk takes no more. Whatever ends it leaves either the whole file or none of that name."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = _written_beside(path, text)
    try:
        _name(beside, path)
    finally:
        with contextlib.suppress(FileNotFoundError):
            beside.unlink()
    _keep_names(path.parent)


def _written_beside(path: Path, text: str) -> Path:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-", suffix=PART)
    beside = Path(name)
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o644)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    return beside


def _name(beside: Path, path: Path) -> None:
    """Gives the file its name, which nothing may have yet."""
    if os.name == "nt":
        os.rename(beside, path)     # refuses a name that is taken
        return
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:     # a disk without links
        if path.exists():
            raise FileExistsError(path) from None
        os.rename(beside, path)


def _keep_names(folder: Path) -> None:
    """Has the folder's own list of names on the disk too, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
