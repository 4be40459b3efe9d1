"""The lists of reports. Few stand on one page. Many are listed by year and by meter, on pages of a
bounded number of lines; the first page has the latest, and a script by which any is found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from builder.pages import chips
from builder.pages.page_text import as_script, page_from
from builder.shop.missing import MissingFile

if TYPE_CHECKING:       # which calls this module
    from builder.pages.report_pages import ReportPage

MOST = 200      # lines of a page: some seconds to go through, a moment for a phone to lay out
LATEST = 30     # lines of the first page where not all stand there
SCRIPT = "data/reports.js"

Line = tuple["ReportPage", str]       # with the page of its meter's history, "" where it has none


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPage:
    """A page of a longer list: of a year or a meter, `span` what of it."""

    name: str
    of: str
    span: str
    lines: Sequence[Line]

    @property
    def title(self) -> str:
        return f"Reports of {self.of}: {self.span}" if self.span else f"Reports of {self.of}"


def pages(listed: Sequence[Line],
          gone: Sequence[MissingFile]) -> tuple[dict[str, str], dict[str, str | bytes]]:
    """All pages of the list and its script, by path; `listed` has the latest first, `gone` what
    the first page names as missing."""
    if len(listed) <= MOST:
        return {"reports.md": page_from("reports.md.j2", reports=listed, missing=gone, total=0,
                                        lists=())}, {}
    years, meters = list(_by_year(listed)), list(_by_meter(listed))
    made = {one.name: page_from("reports-of.md.j2", page=one) for one in (*years, *meters)}
    made["reports.md"] = page_from(
        "reports.md.j2", reports=listed[:LATEST], missing=gone, total=len(listed),
        lists=[("By year", "Year", _grouped(reversed(years))),
               ("By meter", "Meter", _grouped(meters))])
    return made, {SCRIPT: f"Bench.lines({as_script(_found_by(listed))});\n"}


def _grouped(pages: Iterable[ListPage]) -> list[tuple[str, int, list[ListPage]]]:
    """What the pages are of, with the number of its lines."""
    groups = [(of, list(own)) for of, own in groupby(pages, key=lambda one: one.of)]
    return [(of, sum(len(one.lines) for one in own), own) for of, own in groups]


def _by_year(listed: Sequence[Line]) -> Iterator[ListPage]:
    """The earliest first, so that a new report changes the last page alone; on a page the latest
    first."""
    earliest = sorted(listed, key=lambda line: (line[0].date, line[0].number, line[0].page))
    for year, own in groupby(earliest, key=lambda line: line[0].date[:4]):
        for name, lines in _parted(f"reports-by/year-{year}", list(own)):
            yield ListPage(name=name, of=year, lines=lines[::-1],
                           span=_span(lines, lambda line: line[0].date))


def _by_meter(listed: Sequence[Line]) -> Iterator[ListPage]:
    """By the names of the meters, each by its latest one, and their serial numbers, the latest of
    each first."""
    names: dict[str, str] = {}
    for one, _ in listed:
        names.setdefault(one.meter_file, one.meter)
    in_order = sorted(listed, key=lambda line: (
        names[line[0].meter_file], line[0].meter_file, line[0].serial))
    for meter, own in groupby(in_order, key=lambda line: line[0].meter_file):
        for name, lines in _parted(f"reports-by/meter-{meter}", list(own)):
            yield ListPage(name=name, of=names[meter], lines=lines,
                           span="serial no. " + _span(lines, lambda line: line[0].serial))


def _parted(name: str, lines: list[Line]) -> Iterator[tuple[str, list[Line]]]:
    """The lines by pages, each with its path: two hyphens, which no meter's file has."""
    for n, start in enumerate(range(0, len(lines), MOST), 1):
        yield f"{name}{f'--{n}' if n > 1 else ''}.md", lines[start:start + MOST]


def _span(lines: list[Line], of: Callable[[Line], str]) -> str:
    first, last = of(lines[0]), of(lines[-1])
    return first if first == last else f"{first} to {last}"


def _found_by(listed: Sequence[Line]) -> dict[str, list]:
    """For a script: a row a report, its words by their numbers, since most say the same."""
    words: dict[str, int] = {}

    def number(word: str) -> int:
        return words.setdefault(word, len(words))

    rows = [[one.page, one.date, number(one.state), number(one.statement), number(one.mark),
             number(one.meter), one.serial, history, number(one.headline)]
            for one, history in listed]
    return {"words": list(words), "rows": rows,
            "chips": [chips.parts(word) if word in chips.KINDS else None for word in words]}
