"""The looks and the running feet of single pages: what stands in a page's own style, beside the
style sheet of the site."""

from __future__ import annotations

import re

from markupsafe import Markup

from builder.pages.page_text import lean

STYLE = "assets/bench.css"
# What it is written in, in the order of its rules: later ones win over earlier.
STYLE_FILES = ("look.css", "bench.css", "bench_phone.css", "bench_paper.css", "bench_typed.css")

# A report as a file of its own has no theme around it, and is dark where the device is.
_ALONE = ("html{{font-size:125%}}@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}"
          "body{{margin:0;background:var(--paper);color:var(--ink)}}")
_DARK = re.compile(r'\[data-md-color-scheme="slate"\]\{([^}]*)\}')
_NO_BREAK = "\u00a0"
_PAGE = "@page{margin:8mm 10mm 11mm;"


def looks_of_report(name: str, alone: bool = False) -> Markup:
    """The looks that reports, histories and lists have in common, with `name` in the foot."""
    style = lean("report.css")
    if alone:
        own = "".join(map(lean, STYLE_FILES))
        (dark,) = _DARK.findall(own)
        style = own + _ALONE.format(dark=dark) + "\n" + style
    return Markup("<style>" + style + _foot(_quotable(name)))


def sheet_foot(title: str, what: str) -> Markup:
    """The running foot of the printed sheet; it names the procedure and what of it this is, so it
    stands in its page. At its right are blanks, so that a page that got loose finds its meter."""
    name = _quotable(f"{title} · {what}")
    blanks = "  ".join(word + " " + "_" * length for word, length in (
        ("Serial no.", 12), ("Date", 10), ("Initials", 6))).replace(" ", _NO_BREAK)
    return Markup("<style>" + _foot(name, blanks + 2 * _NO_BREAK))


def plain_foot(name: str) -> Markup:
    """A running foot that says which page this is."""
    return Markup("<style>" + _foot(name))


def sheet_of_labels() -> Markup:
    """The margins of labels that stand on a sheet of paper, and none on a roll, where each is a
    page of its own."""
    return Markup("<style>@page{margin:8mm}@media print and (max-width:110mm){@page{margin:0}}"
                  "</style>")


def one_of_several(style: str, n: int) -> Markup:
    """A page's own style, with a foot, for the nth part of a print of several: the foot counts the
    pages of its own part, and then those of the print. The first one's pages have no name: before a
    named one browsers leave an empty page."""
    own, last = f"part-{n}", f'counter(page) "{_NO_BREAK}of{_NO_BREAK}" counter(pages)'
    name, named = (f" {own}", f".{own}{{page:{own}}}") if n > 1 else ("", "")
    return Markup(
        str(style).replace(_PAGE, f"@page{name}{_PAGE[5:]}counter-increment:{own};")
        .replace(last, f'counter({own}) " · "{last} "{_NO_BREAK}in{_NO_BREAK}this{_NO_BREAK}print"')
        .replace("</style>", f"{named}</style>"))


def _foot(name: str, blanks: str = "") -> str:
    return (f'{_PAGE}@bottom-left{{content:"{name}";font:8pt sans-serif}}'
            f'@bottom-right{{content:"{blanks}Page{_NO_BREAK}" counter(page) "{_NO_BREAK}of'
            f'{_NO_BREAK}" counter(pages);text-align:right;font:8pt sans-serif}}}}</style>')


def _quotable(name: str) -> str:
    """A text between quotation marks in a style."""
    return re.sub(r'[\\"\n]', " ", name).replace("<", "\\3c ")
