"""Which shop a command works on: the nearest folder upwards that is one, or the one that is named.
Only the standard library, since help and wrong usage are answered before anything is installed."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

CONFIG, PROCEDURES = "mkdocs.yml", "procedures"


def is_shop(folder: Path) -> bool:
    """Whether a folder holds both the settings of a site and the files of a shop."""
    return (folder / CONFIG).is_file() and (folder / PROCEDURES).is_dir()


def nearest(start: Path) -> Path | None:
    """The folder itself or the nearest above it that is a shop; None where none is."""
    return next(filter(is_shop, (start, *start.parents)), None)


def from_here(code: Path) -> Path:
    """The nearest shop upwards. Where there is none, a clone, whose folder `code` is, has its own;
    an installed copy says what is missing in the folder that it is called in."""
    own = code if (code / "pyproject.toml").is_file() else Path.cwd()
    return nearest(Path.cwd()) or own


def add(parser: ArgumentParser, **more) -> None:
    """The option that names a shop, before a command or after it; there without a default, so that
    none takes the place of what stands before."""
    parser.add_argument("--shop", metavar="DIR", type=Path, **more,
                        help="the shop's folder; if left out, the nearest from here upwards that "
                        f"holds {CONFIG} and {PROCEDURES}/")


def named(folder: Path, usage: ArgumentParser) -> Path:
    """What the option names; ends with a message on wrong usage where that is no shop."""
    if not is_shop(folder):
        usage.error(f"'{folder}' is no shop: a shop's folder holds {CONFIG} and {PROCEDURES}/")
    return folder.resolve()
