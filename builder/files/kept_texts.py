"""Finished texts on disk, each by a hash of all that it was made from, so that a build makes only
what an edit changed.

An entry holds plain data and a hash over it: what is damaged is made again, as what isn't there.
What it was made from has the builder's own files in it, and the versions of its packages, so an
entry of another builder is never found. Nothing depends on there being a folder: whatever can't be
read or written is made, and the site is the same.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import shutil
import sys
from collections.abc import Callable
from functools import lru_cache
from importlib import metadata
from pathlib import Path
from typing import Any

import builder

# In a shop's own folder; other programs keep things in `.cache` too.
FOLDER = ".cache/builder"
_CODE = Path(builder.__file__).parent
_PACKAGES = ("jinja2", "markdown", "markupsafe", "mkdocs", "mkdocs-material", "pint", "pydantic",
             "pyyaml", "rcssmin", "rjsmin", "segno")
_HEX = 64   # letters of a SHA-256
# Bytes that stay free for the site and for whatever else: on a disk with less, nothing is kept.
ROOM = 500_000_000


@lru_cache(maxsize=1)
def builder_itself() -> str:
    """A hash over the builder's own files, the versions of what it stands on, and of Python."""
    made = hashlib.sha256(repr(sys.version_info[:3]).encode())
    for name in _PACKAGES:
        try:
            made.update(f"{name} {metadata.version(name)}\n".encode())
        except metadata.PackageNotFoundError:
            made.update(f"{name} is not here\n".encode())
    for path in sorted(_CODE.rglob("*")):
        if path.is_file() and "__pycache__" not in path.parts:
            made.update(f"{path.relative_to(_CODE).as_posix()}\0".encode() + path.read_bytes())
    return made.hexdigest()


def digest(*parts: str | bytes) -> str:
    """SHA-256 of parts in their order, each with its length, so that none runs into the next."""
    made = hashlib.sha256()
    for part in parts:
        raw = part if isinstance(part, bytes) else part.encode("utf-8", "surrogatepass")
        made.update(b"%d:" % len(raw) + raw)
    return made.hexdigest()


class KeptTexts:
    """The texts of a shop, kept below the folder of its settings; without one, all are made."""

    def __init__(self, root: Path | None = None) -> None:
        self._folder = root / FOLDER if root else None
        self._used: set[str] = set()
        self._room: int | None = None   # bytes that may still be kept, once it was asked for

    def get(self, name: str, inputs: tuple[str | bytes, ...], make: Callable[[], Any]) -> Any:
        """Plain data that `make` gives: texts, lists, groups by name. `inputs` are all that it is
        made from besides the builder; `name` tells what is made of them."""
        if self._folder is None:
            return make()
        path = self.place(name, *inputs)
        data = self.read(path)
        if data is None:
            data = make()
            self.write(path, data)
        return data

    def place(self, name: str, *inputs: str | bytes) -> Path | None:
        """Where an entry stands; None where nothing is kept."""
        if self._folder is None:
            return None
        key = digest(builder_itself(), name, *inputs)
        self._used.add(key)
        return self._folder / key[:2] / key

    def read(self, path: Path | None) -> Any:
        """What an entry holds; None where there is none that is whole."""
        try:
            raw = path.read_bytes() if path else b""
        except OSError:
            return None
        text = raw[_HEX:]
        if hashlib.sha256(text).hexdigest().encode() != raw[:_HEX]:
            return None
        try:
            return json.loads(text)
        except ValueError:
            return None

    def write(self, path: Path | None, data: Any) -> None:
        """Keeps plain data. What can't be written isn't kept. Nothing waits for the disk, since a
        half entry is none."""
        if path is None or not self._has_room():
            return
        text = json.dumps(data, ensure_ascii=True, separators=(",", ":")).encode()
        beside = path.with_name(f"{secrets.token_hex(8)}.part")
        try:
            if not path.parent.is_dir():
                path.parent.mkdir(parents=True, exist_ok=True)
                (path.parents[1] / ".gitignore").write_text("*\n", encoding="utf-8")
            beside.write_bytes(hashlib.sha256(text).hexdigest().encode() + text)
            os.replace(beside, path)
            self._room = (self._room or 0) - len(text)
        except OSError:
            try:
                beside.unlink(missing_ok=True)
            except OSError:
                pass

    def _has_room(self) -> bool:
        if self._room is None and self._folder is not None:
            try:
                # of the shop's folder, two above
                self._room = shutil.disk_usage(self._folder.parents[1]).free - ROOM
            except OSError:
                self._room = 0
        return (self._room or 0) > 0

    def prune(self) -> None:
        """Deletes what was asked for by nobody since this began. Another build that misses it makes
        it again."""
        if self._folder is None or not self._used:
            return
        try:
            for path in self._folder.glob("[0-9a-f][0-9a-f]/*"):
                if path.name not in self._used:
                    path.unlink(missing_ok=True)
        except OSError:
            pass
