"""How long the whole build takes, against the same content written by hand for the same engine and
theme.

    python tests/benchmark/build_time.py [--procedures 50,200,800] [--repeat N]

For each number of procedures it makes two projects in a temporary folder, with this repository's
own mkdocs.yml:

ours     that many invented meters and plans of about 50 points each, and one source; by hand  the
same headings, prose and tables as Markdown with pipe tables, taken from the rendered pages of the
         first, with a menu entry for each page and without our plugin.

It counts headings, words and cells on the rendered pages of both, page by page, and stops where
they differ. Left out of both: the printed running heads of tables, and the jump list to a sheet's
groups; neither is content. Only ours has the data files, the forms' fields and the signs.

Builds alternate, and the best of the repeats counts. A build uses one core, so on a quiet machine
wall clock and CPU time agree. On a busy one the wall clock measures the others, so the targets are
then held against CPU time. """

from __future__ import annotations

import argparse
import functools
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from builder.pages import render  # noqa: E402
from tests.conftest import without_learning  # noqa: E402 - runs as a program too

MOST_OF_BY_HAND = 0.7   # ours over by hand, at 200 procedures
MOST_GROWTH = 4.4       # ours at 800 over ours at 200
BUSY = 1.15             # wall clock over CPU time from which on the machine counts as busy


# ---------------------------------------------------------------- an invented workshop of any size

NAMES = ("Sanderling", "Redshank", "Greenshank", "Ruff", "Knot", "Phalarope", "Bittern", "Crake")
DISPLAYS = ((6, 6000), (4, 4000), (2, 20_000))  # how the ranges begin, and the counts

METER = """\
# Invented for measuring the builder; no such maker or meter exists.
meter: {id}
name: {name}
maker: Invented Works
note: Invented for a benchmark; no such maker or meter exists.
display: {counts} counts
specification:
  source: {name} data sheet, issue {issue}
  holds: 18 to 28 degC
  humidity: 0 to 75 %
  interval: 1 year
  temperature_coefficient: 0.1 per degC
rated:
  between_terminals: 600 V
  CAT III: 600 V

functions:
  - function: DC voltage
    dial: V DC
    jacks: [V, COM]
    input: {{highest: 600 V}}
    ranges:
      - {{range: {top}00 mV, resolution: {step100} mV, accuracy: {dcv0} % + {few} counts}}
      - {{range: {top} V, resolution: {step1} V, accuracy: {dcv1} % + 2 counts}}
      - {{range: {top}0 V, resolution: {step10} V, accuracy: {dcv1} % + 2 counts}}
      - {{range: {top}00 V, resolution: {step100} V, accuracy: {dcv2} % + {few} counts}}

  - function: AC voltage
    dial: V AC
    jacks: [V, COM]
    input: {{highest: 600 V, peak: 850 V, volt_hertz: 10 000 000 V Hz}}
    ranges:
{acv}
  - function: resistance
    dial: Ω
    jacks: [V, COM]
    ranges:
      - {{range: {top}00 ohm, resolution: {step100} ohm, accuracy: {res0} % + 5 counts}}
      - {{range: {top} kohm, resolution: {step1} kohm, accuracy: {res1} % + 2 counts}}
      - {{range: {top}0 kohm, resolution: {step10} kohm, accuracy: {res1} % + 2 counts}}
      - {{range: {top}00 kohm, resolution: {step100} kohm, accuracy: {res1} % + 2 counts}}
      - {{range: {top} Mohm, resolution: {step1} Mohm, accuracy: {res2} % + 3 counts}}

  - function: continuity
    dial: Ω
    keys: press the beeper key
    jacks: [V, COM]

  - function: diode test
    dial: Ω
    keys: press the beeper key twice
    jacks: [V, COM]

  - function: capacitance
    dial: capacitor symbol
    jacks: [V, COM]
    ranges:
      - {{range: {top}0 nF, resolution: {step10} nF, accuracy: {cap0} % + 20 counts}}
      - {{range: {top}00 nF, resolution: {step100} nF, accuracy: {cap1} % + 5 counts}}
      - {{range: {top} uF, resolution: {step1} uF, accuracy: {cap1} % + 5 counts}}

  - function: frequency
    dial: V AC
    keys: press the Hz key
    jacks: [V, COM]
    display: 9999 counts
    ranging: automatic only
    input: {{highest: 600 V, volt_hertz: 10 000 000 V Hz}}
    ranges:
      - {{range: 100 Hz, resolution: 0.01 Hz, lowest: 5 Hz, accuracy: {freq} % + 2 counts}}
      - {{range: 1000 Hz, resolution: 0.1 Hz, accuracy: {freq} % + 2 counts}}
      - {{range: 10 kHz, resolution: 1 Hz, accuracy: {freq} % + 2 counts}}
      - {{range: 100 kHz, resolution: 10 Hz, accuracy: {freq} % + 2 counts}}

  - function: DC current
    dial: mA DC
    jacks: [mA, COM]
    input: {{highest: 10 A}}
    ranges:
      - {{range: {top}0 mA, resolution: {step10} mA, accuracy: {dci0} % + 3 counts}}
      - {{range: {top}00 mA, resolution: {step100} mA, accuracy: {dci1} % + 3 counts}}
      - {{range: {top} A, resolution: {step1} A, accuracy: {dci2} % + 5 counts, dial: A DC,
         jacks: [10 A, COM]}}

  - function: AC current
    dial: mA AC
    jacks: [mA, COM]
    input: {{highest: 10 A}}
    ranges:
{aci}"""

AC_RANGE = """\
      - range: {range}
        resolution: {resolution}
        lowest: 5 % of range
        accuracy:
          - {{frequency: 40 Hz to 400 Hz, within: {low} % + 5 counts}}
          - {{frequency: 400 Hz to 1 kHz, within: {high} % + {counts} counts}}
"""
AMPERES = "        dial: A AC\n        jacks: [10 A, COM]\n"

PLAN = """\
# Invented, like the meter and the source that it names.
plan: {id}
title: {title}
meter: {meter}
standards: curlew
decision_rule: simple acceptance
note: >-
  As found: nothing is cleaned or replaced before the first reading is written down.
  Sheet {number} of an invented workshop.

checks:
  - ratings
  - case
  - jacks
  - leads
  - probe-tip shrouds
  - battery cover
  - fuses
  - check: warm-up and soak
    when: display and keys
    do: Leave the meter switched on at the bench for {minutes} min, out of its pouch
    good: it has the temperature of the bench
  - display segments
  - battery indication
  - dial
  - key beeper
  - backlight
  - shorted leads
  - {{check: continuity beeper, covers: continuity}}
  - {{check: diode test, covers: diode test}}
  - closing up

points:
  - {{function: DC voltage, apply: recommended}}
  - {{function: DC voltage, range: {top} V, apply: {dc1} V}}
  - {{function: DC voltage, range: {top}0 V, apply: {dc2} V}}
  - {{function: DC voltage, range: {top}00 V, apply: {dc3} V}}
  - {{function: AC voltage, range: {top} V, apply: 0 V, frequency: 50 Hz,
     observe: residual reading with the source at zero}}
  - {{function: AC voltage, range: {top} V, apply: [{ac1} V, {ac2} V], frequency: 50 Hz}}
  - {{function: AC voltage, range: {top} V, apply: {ac3} V, frequency: [40 Hz, 400 Hz, 1 kHz]}}
  - {{function: AC voltage, range: {top}0 V, apply: {ac4} V, frequency: [50 Hz, 400 Hz, 1 kHz]}}
  - {{function: AC voltage, range: {top}00 V, apply: {ac5} V, frequency: [50 Hz, 400 Hz, 1 kHz]}}
  - {{function: frequency, apply: [50 Hz, 900 Hz, 9 kHz, 99 kHz], level: 3 V}}
  - {{function: DC current, range: {top}0 mA, apply: recommended}}
  - {{function: DC current, range: {top}00 mA, apply: recommended}}
  - {{function: AC current, range: {top}0 mA, apply: [{i1} mA, {i2} mA], frequency: 50 Hz}}
  - {{function: AC current, range: {top}0 mA, apply: {i2} mA, frequency: [400 Hz, 1 kHz]}}
  - {{function: AC current, range: {top}00 mA, apply: {i3} mA, frequency: [50 Hz, 400 Hz, 1 kHz]}}
  - {{function: DC current, range: {top} A, apply: [{i4} A, -{i4} A]}}
  - {{function: AC current, range: {top} A, apply: {i4} A, frequency: [50 Hz, 400 Hz, 1 kHz]}}

left_out:
  - function: resistance
    because: A two-wire reading includes the leads; tried on another sheet.
  - function: capacitance
    because: It needs certified capacitors; tried on another sheet.
"""

SOURCE = """\
# Invented: no such maker or instrument exists.
standard: curlew
name: Curlew
kind: source
description: multifunction source
maker: Invented Works
note: Invented for a benchmark; no such maker or instrument exists.
certificate: B-001
due: 2030-06-30
stated: k = 2
interval: 1 year
outputs:
  - output: DC voltage
    terminals: [HI, LO]
    rows:
      - {values: 0 mV to 200 mV, within: 60 ppm + 8 uV}
      - {values: 0.2 V to 20 V, within: 40 ppm + 150 uV}
      - {values: 20 V to 1000 V, within: 60 ppm + 10 mV}
  - output: AC voltage
    terminals: [HI, LO]
    rows:
      - {values: 0 mV to 2 V, frequency: 20 Hz to 20 kHz, within: 0.07 % + 150 uV}
      - {values: 2 V to 20 V, frequency: 20 Hz to 20 kHz, within: 0.07 % + 1.5 mV}
      - {values: 20 V to 1000 V, frequency: 40 Hz to 1 kHz, within: 0.06 % + 60 mV}
  - output: DC current
    terminals: [I HI, I LO]
    rows:
      - {values: 0 mA to 200 mA, within: 100 ppm + 6 uA}
      - {values: 0.2 A to 10 A, within: 300 ppm + 120 uA}
  - output: AC current
    terminals: [I HI, I LO]
    rows:
      - {values: 1 mA to 200 mA, frequency: 40 Hz to 1 kHz, within: 0.08 % + 40 uA}
      - {values: 0.2 A to 10 A, frequency: 40 Hz to 1 kHz, within: 0.12 % + 0.5 mA}
  - output: frequency
    terminals: [HI, LO]
    rows:
      - {values: 5 Hz to 2 MHz, level: 0.1 V to 3 V, within: 5 ppm}
"""


def text_of(number: Decimal) -> str:
    return f"{number.normalize():f}"


def meter_file(number: int) -> tuple[str, str]:
    """The name of an invented meter and its file; accuracies differ from meter to meter."""
    chance = random.Random(number)
    top, counts = DISPLAYS[number % len(DISPLAYS)]
    step = Decimal(top) / counts

    def percent(low: str, high: str) -> str:
        thousandths = chance.randint(int(Decimal(low) * 1000), int(Decimal(high) * 1000))
        return text_of(Decimal(thousandths) / 1000)

    def ac_range(times: int, unit: str) -> str:
        return AC_RANGE.format(range=f"{top * times} {unit}",
                               resolution=f"{text_of(step * times)} {unit}",
                               low=percent("1.0", "1.6"), high=percent("2.1", "3.0"),
                               counts=chance.randint(5, 8))

    name = f"{NAMES[number % len(NAMES)]} {number}"
    return name, METER.format(
        id=meter_id(number), name=name, counts=counts, issue=chance.randint(1, 9), top=top,
        step1=text_of(step), step10=text_of(step * 10), step100=text_of(step * 100),
        few=chance.randint(2, 5),
        dcv0=percent("0.3", "0.7"), dcv1=percent("0.2", "0.5"), dcv2=percent("0.3", "0.6"),
        acv="".join(ac_range(times, "V") for times in (1, 10, 100)),
        res0=percent("0.7", "1.0"), res1=percent("0.5", "0.8"), res2=percent("1.0", "1.5"),
        cap0=percent("2.5", "3.5"), cap1=percent("1.5", "2.5"), freq=percent("0.05", "0.12"),
        dci0=percent("0.7", "1.0"), dci1=percent("0.8", "1.1"), dci2=percent("1.0", "1.4"),
        aci=ac_range(10, "mA") + ac_range(100, "mA") + ac_range(1, "A") + AMPERES)


def meter_id(number: int) -> str:
    return f"{NAMES[number % len(NAMES)]}-{number}".lower()


def plan_file(number: int, of_meter: int) -> tuple[str, str]:
    """The id of an invented plan and its file; the values applied differ from plan to plan."""
    chance = random.Random(-1 - number)
    top, _ = DISPLAYS[of_meter % len(DISPLAYS)]

    def value(times: int, low: int, high: int) -> str:
        """So many per cent of a range, between two bounds that are clear of its ends."""
        return text_of(Decimal(top * times * chance.randint(low * 10, high * 10)) / 1000)

    name = f"{meter_id(of_meter)}-{number}-yearly"
    return name, PLAN.format(
        id=name, title=f"{NAMES[of_meter % len(NAMES)]} {of_meter}, yearly verification {number}",
        meter=meter_id(of_meter), number=number, minutes=chance.randint(15, 45), top=top,
        dc1=value(1, 40, 60), dc2=value(10, 40, 60), dc3=value(100, 40, 60),
        ac1=value(1, 15, 25), ac2=value(1, 40, 60), ac3=value(1, 80, 90), ac4=value(10, 80, 90),
        ac5=value(100, 80, 90),
        i1=value(10, 15, 25), i2=value(10, 80, 90), i3=value(100, 80, 90), i4=value(1, 40, 60))


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")


def make_ours(folder: Path, procedures: int, plans_per_meter: int, site_url: str) -> None:
    """A project with this repository's settings and pages, and an invented workshop's files."""
    shutil.copytree(ROOT / "site_src", folder / "site_src")
    write(folder / "mkdocs.yml", without_learning(folder, settings(site_url)))
    write(folder / "procedures/standards/curlew.yaml", SOURCE)
    for number in range(procedures):
        of_meter = number // plans_per_meter
        if number % plans_per_meter == 0:
            write(folder / f"procedures/meters/{meter_id(of_meter)}.yaml", meter_file(of_meter)[1])
        name, text = plan_file(number, of_meter)
        write(folder / f"procedures/plans/{name}.yaml", text)


def settings(site_url: str) -> str:
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    return f"site_url: {site_url}\n" + re.sub(r"(?m)^site_url:.*\n", "", text) if site_url else text


# ------------------------------------------------------------ a rendered page, and the same by hand

VOID = {"input", "br", "col", "img", "hr", "wbr", "meta", "link"}
NO_CONTENT = {"script", "style", "svg", "nav", "input", "colgroup", "button"}
PARAGRAPHS = {"p", "summary", "figcaption"}
HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")
BLOCKS = {"ul", "ol", "dl", "table", "div", *PARAGRAPHS, *HEADINGS}


class Element:
    def __init__(self, tag: str, attributes: dict[str, str]):
        self.tag, self.attributes = tag, attributes
        self.children: list[Element | str] = []

    @property
    def classes(self) -> list[str]:
        return (self.attributes.get("class") or "").split()

    @property
    def is_content(self) -> bool:
        return self.tag not in NO_CONTENT and not {"carry", "headerlink"} & set(self.classes)

    def inner(self) -> list[Element | str]:
        return [c for c in self.children if isinstance(c, str) or c.is_content]

    def all(self, *tags: str):
        for child in self.inner():
            if isinstance(child, Element):
                if child.tag in tags:
                    yield child
                yield from child.all(*tags)

    def words(self) -> list[str]:
        """Every tag parts words, so that markup by hand and ours are counted alike."""
        return [w for c in self.inner() for w in (c.split() if isinstance(c, str) else c.words())]


class Article(HTMLParser):
    """The content of a page that the theme rendered, without the theme."""

    def __init__(self, page: str):
        super().__init__(convert_charrefs=True)
        self.root = Element("article", {})
        self.open = [self.root]
        start = page.index(">", page.index("<article")) + 1
        self.feed(page[start:page.index("</article>", start)])

    def handle_starttag(self, tag, attributes):
        element = Element(tag, dict(attributes))
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag):
        if any(e.tag == tag for e in self.open[1:]):
            while self.open.pop().tag != tag:
                pass

    def handle_data(self, data):
        self.open[-1].children.append(data)


def article(page: Path) -> Element:
    return Article(page.read_text(encoding="utf-8")).root


def as_markdown(root: Element) -> str:
    """A page's headings, prose, lists and tables as a person writes them."""
    return "\n\n".join(blocks(root)) + "\n"


def blocks(element: Element) -> list[str]:
    found: list[str] = []
    loose: list[Element | str] = []

    def end_paragraph() -> None:
        if text := inline(loose):
            found.append(at_line_start(text))
        loose.clear()

    for child in element.inner():
        if isinstance(child, str) or child.tag not in BLOCKS and not any(child.all(*BLOCKS)):
            loose.append(child)
            continue
        end_paragraph()
        found += block(child)
    end_paragraph()
    return found


def block(element: Element) -> list[str]:
    if element.tag in ("ul", "ol"):
        return [listed(element.all("li"), "-" if element.tag == "ul" else "1.")]
    if element.tag == "dl":
        return [defined(element)]
    if element.tag == "table":
        return [table(element)]
    if element.tag in HEADINGS:
        return [heading(element)]
    if element.tag == "div" and "blanks" in element.classes:
        return [listed((e for e in element.inner() if isinstance(e, Element)), "-")]
    return blocks(element)


def heading(element: Element) -> str:
    text = inline(element.inner())
    own = element.attributes.get("id") or ""
    anchor = f" {{ #{own} }}" if own.startswith("group-") else ""
    return "#" * int(element.tag[1]) + " " + text + anchor


def listed(items, sign: str) -> str:
    return "\n".join(f"{sign} {at_line_start(inline(item.inner()))}" for item in items)


def defined(element: Element) -> str:
    lines = []
    for e in element.all("dt", "dd"):
        text = inline(e.inner())
        lines.append(":   " + text if e.tag == "dd"
                     else ("\n" if lines else "") + at_line_start(text))
    return "\n".join(lines)


def table(element: Element) -> str:
    rows = []
    for row in element.all("tr"):
        cells = []
        for cell in row.all("td", "th"):
            cells += [inline(cell.inner())] + [""] * (int(cell.attributes.get("colspan") or 1) - 1)
        rows.append(cells)
    width = max(map(len, rows))
    rows = [cells + [""] * (width - len(cells)) for cells in rows]
    rows.insert(1, ["---"] * width)
    return "\n".join("| " + " | ".join(cells) + " |" for cells in rows)


def inline(children: list[Element | str]) -> str:
    out = ""
    for child in children:
        piece = escaped(child) if isinstance(child, str) else marked(child)
        if out.endswith("*") and piece[:1].isalnum() or piece.startswith(
                "*") and out[-1:].isalnum():
            out += " "
        out += piece
    return re.sub(r"(?: ?<br> ?)+$", "", re.sub(r"[ \t\n]+", " ", out).strip())


def marked(element: Element) -> str:
    if element.tag == "br":
        return "<br>"
    if not element.is_content or not (text := inline(element.inner())):
        return " "
    if element.tag == "code":
        return f"`{' '.join(element.words())}`"
    if element.tag in ("b", "strong"):
        return f"**{text}**"
    if element.tag in ("i", "em"):
        return f"*{text}*"
    if element.tag == "a" and (target := element.attributes.get("href")
                               or "").partition("#")[0].endswith(".html"):
        return f"[{text}]({target.replace('.html', '.md')})"
    return text + "<br>" if element.tag == "div" else f" {text} "


def escaped(text: str) -> str:
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return re.sub(r"([\\`*_\[\]|])", r"\\\1", text)


def at_line_start(text: str) -> str:
    """A line that isn't taken for a list, a heading or a definition."""
    return re.sub(r"^(\d+)\.(?= )", r"\1\\.", re.sub(r"^([-+#:])", r"\\\1", text))


def count(root: Element) -> Counter:
    cells = [e for e in root.all("td", "th") if e.words()]
    return Counter(headings=len(list(root.all(*HEADINGS))), tables=len(list(root.all("table"))),
                   cells=len(cells), words=len(root.words()))


def without_dead_links(text: str, source: str, known: set[str]) -> str:
    def link(match: re.Match) -> str:
        target = os.path.normpath(os.path.join(os.path.dirname(source), match[2])).replace(
            os.sep, "/")
        return match[0] if target in known else match[1]
    return re.sub(r"\[([^\]]*)\]\(([^)#]+\.md)[^)]*\)", link, text)


def make_by_hand(folder: Path, ours: Path, leave_out: list[str]) -> list[str]:
    """The same content as hand-written Markdown. Returns the addresses of its pages that ours
    generates."""
    from mkdocs.utils.yaml import yaml_load

    shutil.copytree(ours / "site_src", folder / "site_src")
    pages = sorted(p.relative_to(ours / "site").as_posix() for p in (ours / "site").rglob("*.html"))
    pages = [p for p in pages
             if p != "404.html" and not (folder / "site_src" / p).with_suffix(".md").exists()]
    pages = [p for p in pages if not p.startswith(tuple(leave_out))]
    known = {Path(p).with_suffix(".md").as_posix() for p in pages} | {
        p.relative_to(ours / "site_src").as_posix() for p in (ours / "site_src").rglob("*.md")}
    menu: dict[str, list] = {}
    for page in pages:
        root = article(ours / "site" / page)
        source = Path(page).with_suffix(".md").as_posix()
        write(folder / "site_src" / source, without_dead_links(as_markdown(root), source, known))
        section = page.split("/")[0].capitalize() if "/" in page else ""
        menu.setdefault(section, []).append({" ".join(next(root.all("h1")).words()): source})

    with open(ours / "mkdocs.yml", encoding="utf-8") as file:
        config = yaml_load(file)
    config["plugins"] = [p for p in config["plugins"]
                         if p != "procedures" and not (isinstance(p, dict) and "procedures" in p)]
    generated = [entry for entries in menu.values() for one in entries for entry in one.values()]
    written = [e for e in config["nav"] if not any(target in generated for target in e.values())]
    config["nav"] = written + menu.pop("", []) + [{name: entries} for name, entries in menu.items()]
    for name in (*config.get("extra_css", ()), *config.get("extra_javascript", ())):
        if isinstance(name,
                      str) and (ours / "site" / name).is_file() and not (
                              folder / "site_src" / name).exists():
            (folder / "site_src" / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ours / "site" / name, folder / "site_src" / name)
    write(folder / "mkdocs.yml", json.dumps(config, indent=1, ensure_ascii=False))
    return pages


def compared(ours: Path, by_hand: Path, pages: list[str]) -> Counter:
    """What both sites hold; stops at the first page where it isn't the same."""
    total: Counter = Counter()
    for page in pages:
        one, other = article(ours / "site" / page), article(by_hand / "site" / page)
        if count(one) != count(other) or Counter(one.words()) != Counter(other.words()):
            only = (Counter(one.words()) - Counter(other.words()),
                    Counter(other.words()) - Counter(one.words()))
            sys.exit(
                f"{page} differs by hand: {dict(count(one))}, {dict(count(other))}; words only in "
                f"one: {only}")
        total += count(one)
    return total


# ---------------------------------------------------------------- measuring

@dataclass
class Run:
    seconds: float
    cpu: float
    memory: int     # bytes at the peak; 0 where the system doesn't tell


ENVIRONMENT = os.environ | {"NO_MKDOCS_2_WARNING": "1"}


def run(command: list[str], project: Path) -> tuple[Run, str]:
    with tempfile.TemporaryFile("w+", encoding="utf-8") as said:
        start = time.perf_counter()
        process = subprocess.Popen(command, cwd=project, env=ENVIRONMENT, stdout=said,
                                   stderr=subprocess.STDOUT)
        if hasattr(os, "wait4"):
            # A child's peak starts at that of its parent: this script handles one page at a time to
            # stay small.
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
            unit = 1 if sys.platform == "darwin" else 1024
            cpu, memory = usage.ru_utime + usage.ru_stime, usage.ru_maxrss * unit
        else:
            process.wait()
            cpu, memory = 0.0, 0
        seconds = time.perf_counter() - start
        said.seek(0)
        text = said.read()
    if process.returncode:
        sys.exit(f"{text[-4000:]}\n{' '.join(command)} ended with {process.returncode}")
    return Run(seconds, cpu, memory), text


def build(project: Path) -> Run:
    return run([sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"], project)[0]


def best(runs: list[Run]) -> Run:
    return Run(min(r.seconds for r in runs), min(r.cpu for r in runs), min(r.memory for r in runs))


def size(folder: Path) -> int:
    return sum(p.stat().st_size for p in folder.rglob("*") if p.is_file())


def inside() -> None:
    """Builds the project in the working folder in this process and prints where its time went, as
    JSON."""
    start = time.perf_counter()
    from mkdocs.commands.build import build as build_site
    from mkdocs.config import load_config

    imported = time.perf_counter()
    from builder.pages import plugin
    from builder.shop import loading

    spent = {"whole": 0.0, "imports": time.perf_counter() - imported, "load": 0.0, "render": 0.0,
             "hooks": 0.0}

    def timed(function, name):
        @functools.wraps(function)
        def wrapper(*args, **kwargs):
            began = time.perf_counter()
            try:
                return function(*args, **kwargs)
            finally:
                spent[name] += time.perf_counter() - began
        return wrapper

    loading.load_shop = timed(loading.load_shop, "load")
    render.render = timed(render.render, "render")
    for name, function in list(vars(plugin.ProceduresPlugin).items()):
        if name.startswith("on_"):
            setattr(plugin.ProceduresPlugin, name, timed(function, "hooks"))
    build_site(load_config(strict=True))
    spent["whole"] = time.perf_counter() - start
    spent["hooks"] -= spent["load"] + spent["render"]
    print(json.dumps(spent))


def shares(project: Path, repeat: int) -> dict[str, float]:
    """The run with the least of our own part, of several."""
    found = []
    for _ in range(repeat):
        said = run([sys.executable, str(Path(__file__).resolve()), "--inside"], project)[1]
        found.append(json.loads(said.strip().splitlines()[-1]))
    return min(found, key=lambda spent: spent["load"] + spent["render"])


@dataclass
class Result:
    ours: Run
    by_hand: Run | None


def measure(folder: Path, procedures: int, options: argparse.Namespace) -> Result:
    ours, by_hand = folder / f"ours-{procedures}", folder / f"by-hand-{procedures}"
    make_ours(ours, procedures, options.plans_per_meter, options.site_url)
    runs: dict[Path, list[Run]] = {ours: [build(ours)]}
    rows = sum(len(json.loads(p.read_text(encoding="utf-8"))["points"])
               for p in (ours / "site/data/procedures").glob("*.json"))
    print(f"\n{procedures} procedures, {rows} points", end="", flush=True)
    if procedures <= options.by_hand_up_to:
        pages = make_by_hand(by_hand, ours, options.leave_out)
        runs[by_hand] = [build(by_hand)]
        content = compared(ours, by_hand, pages)
        print(f"; {len(pages)} generated pages, with the same content by hand: "
              + ", ".join(f"{content[k]} {k}" for k in ("headings", "words", "tables", "cells")),
              end="")
    print(flush=True)

    for _ in range(options.repeat - 1):
        for project, found in runs.items():
            found.append(build(project))
    for project, found in runs.items():
        one = best(found)
        print(
            f"  {'ours' if project is ours else 'by hand':8} {one.seconds:7.2f} s wall "
            f"{one.cpu:7.2f} s CPU {one.memory / 1e6:7.0f} MB peak"
            f" {size(project / 'site') / 1e6:7.1f} MB site")
    result = Result(best(runs[ours]), best(runs[by_hand]) if by_hand in runs else None)
    if result.by_hand:
        print(f"  ours / by hand   {ratio(result.ours, result.by_hand)}"
              + judged(result.ours, result.by_hand, MOST_OF_BY_HAND if procedures == 200 else None))
    spent = shares(ours, options.repeat)
    own = spent["load"] + spent["render"]
    print(
        f"  our own part     {own / spent['whole']:.3f} of {spent['whole']:.2f} s: load "
        f"{spent['load']:.2f} s, render {spent['render']:.2f} s;"
        f" besides, the adapter's hooks {spent['hooks']:.2f} s and imports {spent['imports']:.2f} "
        "s", flush=True)
    return result


def ratio(one: Run, other: Run) -> str:
    return f"{one.seconds / other.seconds:.3f} wall" + (
        f", {one.cpu / other.cpu:.3f} CPU" if other.cpu else "")


def judged(one: Run, other: Run, most: float | None) -> str:
    """Whether a target is met, by the wall clock, or by CPU time where other work held either build
    up."""
    if most is None:
        return ""
    by_cpu = any(r.cpu and r.seconds > BUSY * r.cpu for r in (one, other))
    found = one.cpu / other.cpu if by_cpu else one.seconds / other.seconds
    return (
        f"  (at most {most}: {'met' if found <= most else 'MISSED'}"
        f"{', by CPU time: the machine is busy' if by_cpu else ''})")


def main() -> None:
    parser = argparse.ArgumentParser(
        description="Time of the whole build against the same content by hand.")
    parser.add_argument("--procedures", default="50,200,800",
                        help="how many, as a list (default: %(default)s)")
    parser.add_argument("--repeat", type=int, default=3,
                        help="the best of so many counts (default: %(default)s)")
    parser.add_argument("--plans-per-meter", type=int, default=1,
                        help="how many plans share a meter (default: %(default)s)")
    parser.add_argument("--site-url", default="",
                        help="an address for the site, so that sheets carry codes to scan")
    parser.add_argument("--by-hand-up-to", type=int, default=10**6, metavar="PROCEDURES",
                        help="leave the side by hand out beyond so many")
    parser.add_argument("--leave-out", action="append", default=[], metavar="FOLDER/",
                        help="pages that ours generates and nobody writes by hand, such as "
                        "evidence/; may stand several times")
    parser.add_argument("--keep", type=Path, help="leave the projects in this new folder")
    parser.add_argument("--inside", action="store_true", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.inside:
        return inside()

    numbers = sorted({int(n) for n in options.procedures.split(",")})
    with tempfile.TemporaryDirectory() as temporary:
        folder = options.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        results = {n: measure(folder, n, options) for n in numbers}
    print()
    for fewer, more in pairwise(numbers):
        most = MOST_GROWTH if (fewer, more) == (200, 800) else None
        one, other = results[more], results[fewer]
        by_hand = (f"; by hand {ratio(one.by_hand, other.by_hand)}" if one.by_hand and other.by_hand
                   else "")
        print(f"ours {more} / ours {fewer}: {ratio(one.ours, other.ours)}"
              + judged(one.ours, other.ours, most) + by_hand)


if __name__ == "__main__":
    main()
