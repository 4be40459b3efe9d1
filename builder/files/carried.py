"""What comes with the builder for every workshop: the pages that each one has, the demo's files
that the lessons take numbers from, and the settings of a site. In a clone it is the demo itself,
beside the code; in an installed copy it lies inside the package, where the wheel put it."""

from __future__ import annotations

from pathlib import Path

CODE = Path(__file__).resolve().parent.parent
SOURCE, PROCEDURES, SETTINGS = "site_src", "procedures", "mkdocs.yml"
# A workshop's own words, which another one never gets.
_OWN = ("index.md",)
_SERVED = (".md", ".svg")   # the other pictures are of the demo


def path(name: str) -> Path:
    """One of the three, wherever it lies."""
    inside = CODE / "carried"
    return (inside if inside.is_dir() else CODE.parent) / name


def pages(source: Path) -> dict[str, Path]:
    """The pages and pictures that a workshop gets, by their path below its own pages in `source`:
    all that it has no file of the same name for."""
    folder = path(SOURCE)
    below = {one.relative_to(folder).as_posix(): one for one in sorted(folder.rglob("*"))
             if one.suffix in _SERVED}
    return {name: one for name, one in below.items()
            if name not in _OWN and not (source / name).exists()}
