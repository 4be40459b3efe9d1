"""The glossary's terms, and the links to them at their first use on a generated page. Knows no site
engine."""

from __future__ import annotations

import re
from functools import lru_cache

_ENTRY = re.compile(r"(?m)^\*\*(.+?)\*\*\{ #([a-z-]+) \}")
_BLOCK = re.compile(r"(?m)^<.*(?:\n.+)*")

# What stays as it is: links, headings and heads of tables, what is ticked and filled in, and what
# isn't prose.
_APART = (r"<(script|style|svg|a|h\d|th|dt|caption|summary|nav|label)\b.*?</\1>"
          r"|<div class=\"blanks.*|<[^>]*>")


def terms(text: str) -> dict[str, str]:
    """Every term of the glossary's page, in small letters, and its anchor. One letter, such as U,
    is no word to look for."""
    return {_plain(name): anchor for names, anchor in _ENTRY.findall(text)
            for name in names.split(", ") if len(name) > 1}


def linked(page: str, anchors: dict[str, str], address: str) -> str:
    """A page with a link at the first use of each term in its raw HTML; of words within each other
    the longest counts."""
    if not anchors:
        return page
    seen: set[str] = set()

    def put(match: re.Match) -> str:
        anchor = anchors.get(_plain(match["term"])) if match["term"] else None
        if anchor is None or anchor in seen:
            return match[0]
        seen.add(anchor)
        return f'<a href="{address}#{anchor}">{match[0]}</a>'

    return _BLOCK.sub(lambda block: _words(tuple(anchors)).sub(put, block[0]), page)


def _plain(word: str) -> str:
    return re.sub(r"[\s-]", " ", word.lower())  # a hyphen is as good as a blank


@lru_cache(maxsize=2)
def _words(names: tuple[str, ...]) -> re.Pattern:
    either = "|".join(re.escape(name).replace(r"\ ", r"[\s-]")
                      for name in sorted(names, key=len, reverse=True))
    # the level "that counts" is no count
    return re.compile(rf"{_APART}|(?<![\w-])(?<!that )(?P<term>{either})s?(?![\w-])", re.S | re.I)


def with_terms(page: str, glossary: str) -> str:
    """A page of a folder with links into the glossary, whose text this is; "" is none."""
    return linked(page, terms(glossary), "../glossary.html")
