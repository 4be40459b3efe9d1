"""The page on what all pages look like, for people who add one: from the style sheet itself and by
what makes chips and bands, so that it shows what is."""

from __future__ import annotations

import re

from builder.drawing.reading_band import band_picture, reading_band
from builder.pages import chips
from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import HERE, page_from

SHEET = "assets/look.css"
_SET = re.compile(r"(?<![\w-])--([a-z]+):\s*([^;]+);")
# What each is for, in the order of the page.
COLOURS = {
    "ink": "letters, lines that mean something, the box of a verdict",
    "faint": "what stands beside a number: units, steps, notes",
    "hair": "lines between rows and around cards",
    "paper": "the ground", "tint": "the ground of what can be pressed, and of answers",
    "accent": "the one colour: links, what is pressed next, a reading inside its band, a pass",
    "alarm": "live, failed, overdue: never for anything else, and never alone"}
SIZES = {
    "tiny": "an address to type, results in many columns",
    "note": "figures' words, a second line", "small": "labels above fields, buttons",
    "table": "rows of tables", "text": "running text", "value": "what is applied or typed, ticks",
    "large": "second headings, a typed reading", "title": "a page's heading, acceptance limits",
    "big": "one answer of a page, what is applied in the bench view",
    "display": "digits of a display", "most": "acceptance limits in the bench view",
    "beside": "a unit or a small word beside a number, whatever its size",
    "more": "what stands out of its line",
    "near": "between parts of one thing", "gap": "between things of one kind",
    "apart": "between things that are not", "round": "corners of all that has a frame",
    "touch": "the least height of what a finger meets; 56 px where gloves do"}
BANDS = ((0.0, 20.0, ()), (76.0, 18.0, ()), (-58.0, 22.0, (-82.0, 82.0)), (118.0, 15.0, ()),
         (400.0, None, ()))


def tokens() -> dict[str, list[str]]:
    """Every custom property of the style sheet, with its value on light pages and, where that is
    another, on dark ones."""
    properties: dict[str, list[str]] = {}
    for name, value in _SET.findall((HERE / SHEET).read_text(encoding="utf-8")):
        properties.setdefault(name, []).append(value)
    return properties


def page() -> str:
    """The same for every shop."""
    kinds: dict[tuple[str, str], list[str]] = {}
    for word, kind in chips.KINDS.items():
        kinds.setdefault(kind, []).append(word)
    return page_from("look.md.j2", tokens=tokens(), colours=COLOURS, sizes=SIZES, kinds=kinds,
                     bands=[(percent, band_picture(reading_band(
                         percent=percent, expanded=expanded, guard=guard)))
                         for percent, expanded, guard in BANDS],
                     page_style=looks_of_report("What pages look like"))
