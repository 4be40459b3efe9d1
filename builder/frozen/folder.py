"""A folder of frozen files: read with their hashes and the chain between them, and added to."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from builder import __version__
from builder.files import folders, hashed, whole_files, yaml_text
from builder.files.cache import Cache
from builder.files.problems import WARNING, Place, Problem, Wrong
from builder.formats.data_fields import FORMAT, written
from builder.formats.frozen_files import FrozenData, frozen, kind_name


@dataclass(frozen=True, slots=True)
class Frozen:
    """A file whose content is what was written: `file` is its name below procedures/."""

    file: str
    hash: str
    content: FrozenData

    def problem(self, code: str, sentence: str, hint: str, **more: Any) -> Problem:
        """At the start of the file, whose content is whole."""
        return Problem(Place(self.file, 1, 1), code, sentence, hint, **more)


# ---------------------------------------------------------------- reading

def read(folder: Path, shown: str, kinds: tuple[type[FrozenData], ...],
         kept: Cache) -> tuple[tuple[Frozen, ...], list[Problem]]:
    """Every file whose content is whole, and the problems of the others and of the chain."""
    files: list[Frozen] = []
    listed, problems = folders.entries(folder, shown)
    for entry in listed:
        path, name = entry.path, entry.shown
        if path.suffix != ".json" or path.is_dir():
            problems.append(Problem(Place(name, 1, 1), "file-name",
                                    "only files named '….json' are read here",
                                    "move it elsewhere", severity=WARNING))
            continue
        file, wrong = kept.get(f"frozen {name}", (_bytes(path),),
                               partial(_read_file, path, name, kinds))
        problems += wrong
        if file is not None:
            files.append(file)
    if not any(one.severity != WARNING for one in problems):    # what is damaged has lost its hash
        problems += _chain(files)
    return tuple(files), problems


def _bytes(path: Path) -> bytes:
    try:
        return yaml_text.content(path, hashed.LARGEST)
    except OSError:
        return b""


def _read_file(path: Path, shown: str,
               kinds: tuple[type[FrozenData], ...]) -> tuple[Frozen | None, list[Problem]]:
    data, problems = hashed.read(path, shown)
    if data is None:
        return None, problems
    own = data.pop(hashed.HASH)
    text = _bytes(path).decode("utf-8-sig").replace("\r\n", "\n")
    content, problems = frozen(data, kinds, shown, text)
    if content is None:
        return None, problems
    if not re.fullmatch(rf"{re.escape(content.stem)}(\.[0-9]+)?\.json", path.name):
        return None, [Problem(Place(shown, 1, 1), "frozen-name",
                              f"a file with this content is named '{content.stem}.json'",
                              "give it its name back; of two copies keep one")]
    return Frozen(shown, own, content), []


def _chain(files: list[Frozen]) -> list[Problem]:
    """What a file names as before it is there; nothing stands twice."""
    known = {one.hash for one in files}
    problems = [one.problem("frozen-chain",
                            f"a file that was written before this one is gone or was changed "
                            f"(hash {gone[:12]}…)",
                            "restore it from the repository or a backup: nothing is taken out of "
                            "this folder")
                for one in files for gone in one.content.before if gone not in known]
    first: dict[str, Frozen] = {}
    for file in files:
        if first.setdefault(file.hash, file) is not file:
            problems.append(file.problem("frozen-twice",
                                         f"this is {first[file.hash].file} once more",
                                         "delete this copy"))
    return problems


# ---------------------------------------------------------------- adding

def append(folder: Path, before: tuple[str, ...], kind: type[FrozenData],
           **fields: Any) -> tuple[Path, FrozenData]:
    """Writes a new file behind those whose hashes are `before`, and gives its path and content.
    Raises `Wrong` where it can't be written; then there is none."""
    content = written(kind, kind=kind_name(kind), format=FORMAT, written_by=__version__,
                      before=before, **fields)
    text = hashed.as_text(content.as_data())
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Wrong(f"the folder {folder.name} can't be made: {error.strerror or error}") from None
    for n in range(1, 1000):
        path = folder / f"{content.stem}{'' if n == 1 else f'.{n}'}.json"
        try:
            whole_files.write_new(path, text)
            return path, content
        except FileExistsError:
            continue
        except OSError as error:
            raise Wrong(f"{path.name} can't be written: {error.strerror or error}",
                        "nothing was written") from None
    raise Wrong(f"there are 999 files named {content.stem} already")


def hash_of(content: FrozenData) -> str:
    """What stands in the file of a content."""
    return hashed.digest(content.as_data())


def heads(files: tuple[Frozen, ...]) -> tuple[str, ...]:
    """The hashes of those behind which nothing was written yet: what the next file names."""
    named = {before for one in files for before in one.content.before}
    return tuple(sorted({one.hash for one in files} - named))
