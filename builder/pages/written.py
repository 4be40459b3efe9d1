"""The pages that people wrote: a shop's own, and those that come with the builder for every shop,
of which one of the same name takes the place. Knows no site engine."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.files import carried
from builder.files.problems import Problem
from builder.lessons import FOLDER
from builder.pages import left_out
from builder.shop.contents import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenPages:
    """`beside` are files that the shop hasn't itself, by their path in the site; `taught` are the
    lessons, filled in, the shop's own and the others."""

    beside: dict[str, Path]
    taught: dict[str, str]
    problems: list[Problem]


def read(source: Path, shop: Shop, out: tuple[str, ...]) -> WrittenPages:
    """What stands in a shop's `source`, and what comes beside it but for what is left out."""
    beside = {name: path for name, path in carried.pages(source).items()
              if not left_out.is_out(name, out)}
    taught, problems = {}, []
    if any(name.startswith(f"{FOLDER}/") for name in beside) or (source / FOLDER).is_dir():
        from builder.lessons import tags    # which takes a while to import
        taught, problems = tags.read(source, shop, beside)
    return WrittenPages(beside=beside, taught=taught, problems=problems)
