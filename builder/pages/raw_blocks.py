"""Raw HTML of generated pages goes past the engine, which would only parse and print it again: a
table of 50 rows costs more than the rest of its page. The templates leave no blank line inside a
block, and one after it."""

from __future__ import annotations

import itertools
import re

BLOCK = re.compile(r"^<(?:table|script|style|nav|div|figure|details)\b.*(?:\n.+)*", re.M)


def put_away(markdown: str) -> str:
    """A page's source with a placeholder for each block."""
    number = itertools.count()
    return BLOCK.sub(lambda _: f"<!--block {next(number)}-->", markdown)


def put_back(html: str, source: str) -> str:
    """The page made of it, with its blocks: found once more in the source, rather than held for
    every page from its Markdown to its HTML."""
    blocks = BLOCK.findall(source)
    return re.sub(r"<!--block (\d+)-->", lambda match: blocks[int(match[1])], html)


def first_style(source: str) -> str:
    """A page's own style, which the builder wrote; "" if it has none."""
    found = re.search(r"^<style.*(?:\n.+)*", source, re.M)
    return found[0] if found else ""
