"""Files that are written whole or not at all: first under a hidden name beside their place, where
no command reads, then moved there. Whatever ends the writing, a full disk or a kill, leaves nothing
under the name."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def write_new(path: Path, content: str | bytes) -> None:
    """Writes a file whose name is free. FileExistsError where it isn't, even if it was taken only
    while this was written; OSError, which names the file, where it can't be written."""
    _write(path, content, _put_new)


def replace(path: Path, content: str | bytes) -> None:
    """Writes a file in the place of the last one of that name, if there is one. OSError, which
    names the file, where it can't be written; the last one then stays."""
    _write(path, content, os.replace)


@contextmanager
def written(path: Path) -> Iterator[Path]:
    """A hidden file to write something large into, which takes the place of `path` when all is
    written. OSError where it can't; then nothing is left of it, and the last one stays."""
    beside = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        yield beside
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """A folder to write into, which becomes `target` when all is written: that must be an empty
    folder or a free name. OSError where it can't be, and then nothing is left."""
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.parent / f".{secrets.token_hex(8)}.part"
    beside.mkdir()
    try:
        yield beside
        if target.exists():
            target.rmdir()
        beside.rename(target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _write(path: Path, content: str | bytes, put) -> None:
    beside = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with open(beside, "xb") as file:
            file.write(content if isinstance(content, bytes) else content.encode())
            file.flush()
            os.fsync(file.fileno())
        put(beside, path)
    except OSError as error:    # a full disk names no file, and the hidden one says nothing
        raise OSError(error.errno, error.strerror or str(error), str(path)) from None
    finally:
        beside.unlink(missing_ok=True)
    _remember(path.parent)


def _put_new(beside: Path, path: Path) -> None:
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:     # a file system without links
        if os.path.lexists(path):
            raise FileExistsError(17, "File exists") from None
        os.rename(beside, path)


def _remember(folder: Path) -> None:
    """Has the disk keep the folder's new entry, where systems can be asked to."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    except OSError:     # a share that knows no such order
        pass
    finally:
        os.close(opened)
