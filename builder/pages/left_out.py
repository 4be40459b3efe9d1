"""What a workshop leaves out of its site: pages that are not built, and every link and line of the
menu that led there. Knows no site engine."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection
from typing import Any

from builder.lessons import FOLDER

# What there is to learn alone; the glossary and the practice are of use without the lessons.
LESSONS = (f"{FOLDER}/", "trainee.md")
# What tells of single meters and of whom they belong to.
OF_METERS = ("reports/", "reports.md", "history/", "shop.md", "due-dates.ics", "data/reports/",
             "data/results.csv")

_TARGET = r"(?P<to>[^)\s\"#]+)[^)\"\n]*"
_MARKDOWN = re.compile(rf"(?P<arrow> → )?\[(?P<words>[^\]\n]*)\]\({_TARGET}\)(?:\{{[^}}\n]*\}})?")
_RAW = re.compile(rf'(?P<arrow> → )?<a\b[^>\n]*\bhref="{_TARGET}"[^>\n]*>(?P<words>.*?)</a>')
_LINE = re.compile(r".*\n|.+")
_ITEM = re.compile(rf"^- \**\[[^\]\n]*\]\({_TARGET}\)\**(?:\{{[^}}\n]*\}})?\n", re.M)


def is_out(name: str, out: Collection[str]) -> bool:
    """Whether a page or a file is left out; `out` names pages, and folders with a '/' behind."""
    return name in out or any(name.startswith(one) for one in out if one.endswith("/"))


def without_links(text: str, name: str, out: Collection[str]) -> str:
    """A page, `name` by its path, without its links to what is left out: the words stay. An item
    of a list that is such a link, and an arrow before one, goes."""
    def leads_out(link: re.Match) -> bool:
        to = posixpath.normpath(posixpath.join(posixpath.dirname(name), link["to"]))
        return ":" not in link["to"] and is_out(re.sub(r"\.html$", ".md", to), out)

    def bare(link: re.Match) -> str:
        return ("" if link["arrow"] else link["words"]) if leads_out(link) else link[0]

    def without(line: str) -> str:
        text = _ITEM.sub(lambda link: "" if leads_out(link) else link[0], line)
        return _RAW.sub(bare, _MARKDOWN.sub(bare, text))

    # Most pages have no such link, and none stands on more than one line.
    where = [stem for one in out if (stem := one.removesuffix(".md")) in text]
    return "".join(without(line) if any(stem in line for stem in where) else line
                   for line in _LINE.findall(text)) if where else text


def without_entries(nav: list[Any], out: Collection[str]) -> list[Any]:
    """A site's menu, as its settings have it, without what is left out; sections that nothing is
    left of go too."""
    kept = []
    for entry in nav:
        name, inside = next(iter(entry.items())) if isinstance(entry, dict) else ("", entry)
        if isinstance(inside, list):
            if inside := without_entries(inside, out):
                kept.append({name: inside})
        elif not (isinstance(inside, str) and is_out(inside, out)):
            kept.append(entry)
    return kept
