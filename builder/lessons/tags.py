"""The lessons: pages written by hand whose numbers and pictures are put in by the builder. Knows no
site engine.

`{example: whimbrel-200, DC voltage, 3 V, show: limits}` becomes a number, `{example: …}` without
`show` the worked lines, with `given: 2` all but the first two of them closed, and `{picture:
accepted band, …}` a drawing, each on a line of its own. What doesn't compute any more is a problem
at its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, partial
from html import escape
from pathlib import Path

from builder.file_rules.saying import nearest
from builder.files import carried
from builder.files.problems import ERROR, WARNING, Place, Problem, Wrong
from builder.lessons import FOLDER, pictures, questions
from builder.lessons.asked import AskedValue, NothingOfThatName
from builder.lessons.values import shown, worked
from builder.shop import loading
from builder.shop.contents import Shop, Unready

_TAG = re.compile(r"\{([a-z]+):([^{}\n]*)\}")
_ITEM = re.compile(r'\s*(?:"([^"]*)"|([^,"]*))\s*(?:,|$)')
_NAMED = re.compile(r"([a-z ]+):\s+(.*)")
_LISTED = re.compile(r"^- \[[^\]]*\]\(([^)/]+\.md)\)", re.M)   # the list of lessons, in its order
_HEADING = re.compile(r"^# .+$", re.M)
_MISSING = '<b class="fault">no number</b>'


def read(source: Path, shop: Shop,
         beside: Mapping[str, Path] | None = None) -> tuple[dict[str, str], list[Problem]]:
    """Every lesson, filled in, by its path in the site; and what is wrong with them. The shop's own
    stand below its `source`: their numbers are the shop's, or the demo's where they name a meter or
    a plan that the shop hasn't. Those `beside` come with the builder: their numbers are the demo's,
    and they are right as they come, whatever a shop holds."""
    pages: dict[str, str] = {}
    problems: list[Problem] = []
    waiting = Waiting()
    own = {path.name: path for path in sorted((source / FOLDER).glob("*.md"))}
    carried_ones = {Path(name).name: path for name, path in (beside or {}).items()
                    if name.startswith(f"{FOLDER}/")}
    index = (own | carried_ones).get("index.md")
    order = _LISTED.findall(_text(index)) if index else []
    for name, path in (own | carried_ones).items():
        page, more = ((_carried_lesson(path), []) if name in carried_ones else
                      fill(_text(path), f"{source.name}/{FOLDER}/{name}", shop, waiting))
        if name in order:
            where = _where(order.index(name) + 1, len(order))
            page = _HEADING.sub(rf"\g<0>\n\n{where}", page, count=1)
        pages[f"{FOLDER}/{name}"] = page
        problems += more
    return pages, problems + waiting.problems()


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8-sig")


def _where(number: int, last: int) -> str:
    """Where among the lessons a page stands, and the way back to their list."""
    return f'<p class="where"><a href="index.html">Lessons</a> › {number} of {last}</p>'


@cache
def _carried_lesson(path: Path) -> str:
    return fill(_text(path), path.name, demo())[0]


@cache
def demo() -> Shop:
    """The demo's meters, standards and plans."""
    return loading.load_shop(carried.path(carried.PROCEDURES))


class Waiting:
    """The places that wait for a file with problems, which has told them itself: one line a file,
    at the first of its places. An error, where the file holds none and is only doubted."""

    def __init__(self) -> None:
        self.places: dict[tuple[str, str], list[Place]] = {}

    def problems(self) -> list[Problem]:
        return [Problem(places[0], "lesson",
                        f"{len(places)} place{'' if len(places) == 1 else 's'} in the lessons "
                        f"wait{'s' if len(places) == 1 else ''} for {file}", "mend that file first",
                        severity=severity) for (file, severity), places in self.places.items()]


def fill(text: str, file: str, shop: Shop,
         waiting: Waiting | None = None) -> tuple[str, list[Problem]]:
    """A page with every tag replaced; where one can't be, a mark stands in its place. `waiting`
    takes the places that only wait for another file, which are problems here without it."""
    problems: list[Problem] = []
    out, unknown = [], set()

    def put(match: re.Match, number: int) -> str:
        line = match.string
        if match[1] in (questions.ASK, questions.ANSWER):
            return match[0]
        try:
            return _filled_by_either(shop, match[1], match[2], alone=line.strip() == match[0])
        except Wrong as wrong:
            place = Place(file, number, match.start() + 1, len(match[0]), line)
            if waiting is not None and (waits_for := (wrong.file, WARNING) if isinstance(
                    wrong, Unready) else _doubted(shop, match[2])):
                waiting.places.setdefault(waits_for, []).append(place)
                return _MISSING
            if isinstance(wrong, NothingOfThatName):
                if wrong.sentence in unknown:   # once a page is enough
                    return _MISSING
                unknown.add(wrong.sentence)
            problems.append(Problem(place, "lesson", wrong.sentence, wrong.hint))
            return _MISSING

    for number, line in enumerate(text.splitlines(), 1):
        out.append(_TAG.sub(partial(put, number=number), line))
    lines = text.splitlines()
    out, wrong = questions.asked(out)
    for number, sentence in wrong:
        line = lines[number - 1]
        problems.append(Problem(Place(file, number, 1, len(line), line), "lesson", sentence,
                                "'{ask: …}' and, on the next line, '{answer: …}'"))
    return questions.numbered("\n".join(out) + "\n"), problems


def _doubted(shop: Shop, content: str) -> tuple[str, str] | None:
    """The file of a meter or a standard that a tag stands on and in which something is doubted:
    what doesn't compute may be for that."""
    stands_on: list[str] = []
    for name in (item.strip().strip('"') for item in content.split(",")):
        if name in shop.plans:
            plan = shop.plans[name]
            stands_on += [f"meters/{plan.meter}", *(f"standards/{one}" for one in plan.standards)]
        if name in shop.meters:
            stands_on.append(f"meters/{name}")
    doubted = {one.place.file for one in shop.problems if one.severity == WARNING}
    files = (f"{shop.folder.name}/{one}.yaml" for one in stands_on)
    return next(((file, ERROR) for file in files if file in doubted), None)


def parse(text: str) -> AskedValue:
    """The items of a tag: commas between them, quotation marks around one that has a comma in
    it."""
    items, named, position = [], {}, 0
    while position < len(text):
        match = _ITEM.match(text, position)
        if match is None:
            raise Wrong("a quotation mark stands astray", "put the whole item into a pair of them")
        position, item = match.end(), (match[1] if match[1] is not None else match[2]).strip()
        pair = _NAMED.fullmatch(item) if match[1] is None else None
        if not item:
            raise Wrong("an item is empty", "delete a comma")
        if pair and pair[1] in named:
            raise Wrong(f"'{pair[1]}:' stands twice", "keep one of them")
        if pair:
            named[pair[1]] = pair[2].strip().strip('"')
        else:
            items.append(item)
    return AskedValue(tuple(items), named)


def _filled_by_either(shop: Shop, tag: str, content: str, alone: bool) -> str:
    try:
        return _filled(shop, tag, content, alone)
    except NothingOfThatName:
        if shop.folder.resolve() == carried.path(carried.PROCEDURES):
            raise
        try:
            return _filled(demo(), tag, content, alone)
        except NothingOfThatName:
            pass
        raise   # with the names that the shop has


def _filled(shop: Shop, tag: str, content: str, alone: bool) -> str:
    if tag not in ("example", "picture"):
        raise Wrong(f"'{tag}:' is nothing that the builder fills in",
                    nearest(tag, ("example", "picture")))
    asked = parse(content)
    if tag == "example" and "show" in asked.named:
        return shown(shop, asked)
    if not alone:
        raise Wrong("worked lines and pictures need a line of their own",
                    "give it one, or ask for one number with 'show: …'")
    if tag == "picture":
        return (f'<figure class="lesson" data-search-exclude>\n{pictures.picture(shop, asked)}\n'
                '</figure>')
    return _worked(worked(shop, asked), asked.named)


def _worked(lines: list[str], named: dict[str, str]) -> str:
    """The lines that the sheets and the quick answer give, as raw HTML: `lines: 2` ends after the
    second one, and all but the first `given` of them are closed."""
    title, *rest = lines
    if (ends := named.get("lines", str(len(rest)))) not in (counted := _counted(1, len(rest))):
        raise Wrong(f"'lines: {ends}' can't be shown", "one of: " + ", ".join(counted))
    rest = rest[:int(ends)]
    # a first line that says what is asked for without its number can be closed too
    counted = _counted(0 if ": " in rest[0] else 1, len(rest) - 1)
    if "given" in named and named["given"] not in counted:
        raise Wrong(f"'given: {named['given']}' can't be given", "one of: " + ", ".join(counted))
    given = int(named.get("given", len(rest)))
    return "\n".join(['<div class="worked-lines" data-search-exclude>', f"<p>{escape(title)}</p>",
                      "<ol>", *(f"<li>{escape(line)}</li>" for line in rest[:given]),
                      *(f"<li>{questions.closed_line(line)}</li>" for line in rest[given:]),
                      "</ol>", "</div>"])


def _counted(first: int, last: int) -> list[str]:
    return [str(n) for n in range(first, last + 1)]
