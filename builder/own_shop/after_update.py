"""What another version of the tool asks of a shop, beside what its files hold: `check` tells it."""

from __future__ import annotations

import re
from pathlib import Path

from builder import __version__
from builder.files.problems import WARNING, Place, Problem
from builder.formats import schemas
from builder.own_shop.new_shop import DISTRIBUTION, REQUIREMENTS

_VERSION = re.compile(rf"{DISTRIBUTION}(?:==|-)(\d+(?:\.\w+)*)")


def problems(root: Path) -> list[Problem]:
    """Warnings only: sheets and reports are right without them."""
    return [*_schemas(root / "procedures"), *_version(root / REQUIREMENTS)]


def _schemas(procedures: Path) -> list[Problem]:
    """Nothing where a shop has none: then its editor knows none either."""
    file = procedures / schemas.VERSION
    if not file.is_file():
        return []
    version = file.read_text(encoding="utf-8", errors="replace").strip()
    return [] if version == __version__ else [
        Problem(Place(f"{procedures.name}/{schemas.VERSION}", 1, 1), "old-schema",
                f"the schemas by which editors explain files are of version {version}",
                "the command 'schema' writes them anew", severity=WARNING)]


def _version(file: Path) -> list[Problem]:
    if not file.is_file():
        return []
    lines = file.read_text(encoding="utf-8", errors="replace").splitlines()
    for number, line in enumerate(lines, 1):
        asked = _VERSION.search(line.replace("_", "-").partition("#")[0])
        if asked and asked[1] != __version__:
            return [Problem(Place(file.name, number, 1, len(line), line), "other-version",
                            f"version {asked[1]} is asked for, and this is version {__version__}",
                            "start by the start file, which installs what is asked for",
                            severity=WARNING)]
    return []
