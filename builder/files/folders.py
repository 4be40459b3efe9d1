"""What a folder holds, and what in it can't be read or isn't read, each at its place: nothing is
passed over in silence but hidden files."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

from builder.files.problems import ERROR, WARNING, Place, Problem

# The codes of what is wrong with a whole folder.
PROBLEMS = ("no-folder", "unreadable-folder")

# What a file of data may be called by mistake: 'x.yml', 'x.YAML', 'x.json.txt', 'x.CSV'.
_MEANT = re.compile(r"(.*)\.(ya?ml|json|csv)(?:\.txt)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Entry:
    """A file or a folder, and the name that problems give it."""

    path: Path
    shown: str

    @property
    def name(self) -> str:
        return self.path.name


def entries(folder: Path, shown: str) -> tuple[list[Entry], list[Problem]]:
    """What is in a folder by its name, without what is hidden; nothing where there is no such
    folder, and a problem where one is meant and can't be read."""
    if not os.path.lexists(folder):
        return [], []
    if not folder.is_dir():
        return [], [Problem(Place(shown, 1, 1), "no-folder", *(
            ("a file stands here, and a folder is expected", "move it elsewhere")
            if folder.exists() else
            ("this link leads to no folder", "is a shared folder not at hand? Else delete it")))]
    try:
        names = sorted(name for name in os.listdir(folder) if not name.startswith("."))
    except OSError as error:
        return [], [Problem(Place(shown, 1, 1), "unreadable-folder",
                            f"the folder can't be read: {error.strerror or error}",
                            "nothing in it is on the pages")]
    return [Entry(folder / name, f"{shown}/{printable(name)}") for name in names], []


def files_below(folder: Path, shown: str) -> tuple[list[Entry], list[Problem]]:
    """Every file in a folder and the folders in it, each folder once, however many links lead to
    it."""
    files: list[Entry] = []
    problems: list[Problem] = []
    read: dict[tuple[int, int], str] = {}

    def look(inside: Entry) -> None:
        if inside.path.is_dir():
            status = inside.path.stat()
            first = read.setdefault((status.st_dev, status.st_ino), inside.shown)
            if first != inside.shown:
                problems.append(Problem(Place(inside.shown, 1, 1), "folder",
                                        f"this folder is read as '{first}' already",
                                        "one of the two is a link: delete it", severity=WARNING))
                return
        listed, wrong = entries(inside.path, inside.shown)
        problems.extend(wrong)
        files.extend(one for one in listed if not one.path.is_dir())
        for entry in listed:
            if entry.path.is_dir():
                look(entry)

    look(Entry(folder, shown))
    return sorted(files, key=lambda one: one.path), problems


def printable(name: str) -> str:
    """A name as it can be shown: bytes that are no text, and signs that none can see, spelt out."""
    text = os.fsencode(name).decode("utf-8", "backslashreplace")
    return "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in text)


def not_read(entry: Entry, *endings: str) -> Problem:
    """The problem of a file that isn't read where it stands. What is surely meant to be read is an
    error, whatever else is there a warning."""
    meant = _MEANT.fullmatch(printable(entry.name))
    right = {"yml": ".yaml"}.get(meant[2].lower(), f".{meant[2].lower()}") if meant else ""
    surely = right in endings and entry.path.is_file()
    named = " and ".join(f"'….{ending.removeprefix('.')}'" for ending in endings)
    return Problem(Place(entry.shown, 1, 1), "file-name", f"only files named {named} are read here",
                   f"name it '{meant[1]}{right}'" if meant and surely
                   else "rename it, or move it elsewhere", severity=ERROR if surely else WARNING)
