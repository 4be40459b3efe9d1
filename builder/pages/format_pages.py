"""The pages about the files of a workshop: how each kind is written, and every key of it from its
schema."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from builder.formats import reference
from builder.formats.bench_checks import CHECKS, STAGES
from builder.formats.reference import ReferenceGroup
from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import page_from


@dataclass(frozen=True, slots=True, kw_only=True)
class TitledGroup:
    """A group of keys as its page heads it."""

    name: str
    title: str
    says: str
    keys: tuple[reference.ReferenceKey, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatPage:
    """A page, and its lists of keys, each under a title; `titles` has those of groups by name."""

    name: str
    title: str
    short: str
    parts: tuple[tuple[str, tuple[TitledGroup, ...]], ...]
    titles: dict[str, str]


# Of each page its name, its title, what it is about, and the kinds of file with their headings.
PAGES = (
    ("meter", "A meter’s file", "a meter", (("meter", "Every key of a meter’s file"),)),
    ("plan", "A plan", "a plan", (("plan", "Every key of a plan"),)),
    ("standard", "A standard’s file", "a standard",
     (("standard", "Every key of a standard’s file"),)),
    ("record", "Records and reports", "records and reports",
     (("paper-record", "Every key of a record"),)),
    ("workshop", "The workshop, its register and its tables", "the workshop",
     (("workshop", "Every key of workshop.yaml"), ("register", "Every key of register.yaml"),
      ("past-result", "Every column of a table in past/"),
      ("check-between", "Every key of a file in checks-between/"))))


@lru_cache(maxsize=1)
def pages() -> dict[str, str]:
    """The texts by their paths: the same for every shop."""
    made = [_page(*one) for one in PAGES]
    checks = [(stage, [one.name for one in CHECKS.values() if one.when == stage])
              for stage in STAGES]
    texts = {f"formats/{page.name}.md": _raw_lines(page_from(
        "formats/page.md.j2", page=page, page_style=looks_of_report(page.title), checks=checks))
        for page in made}
    return texts | {"formats.md": page_from("formats/index.md.j2", pages=made)}


def _page(name: str, title: str, short: str, kinds: tuple[tuple[str, str], ...]) -> FormatPage:
    parts, titles = [], {}
    for kind, heading in kinds:
        own = [_titled(group) for group in reference.groups(kind)]
        titles |= {group.name: group.title for group in own}
        parts.append((heading, tuple(own)))
    return FormatPage(name=name, title=title, short=short, parts=tuple(parts), titles=titles)


def _titled(group: ReferenceGroup) -> TitledGroup:
    title = " and ".join(f"‘{one}’" for one in group.under)
    return TitledGroup(name=group.name, title=f"Under {title}" if title else "At the file’s head",
                       says=group.says, keys=group.keys)


def _raw_lines(text: str) -> str:
    """No blank line inside a raw block."""
    return re.sub(r"(?s)<div class=\"report reference\".*?</div>",
                  lambda block: re.sub(r"\n\s*\n", "\n", block[0]), text)
