"""Spoils the demo's files, one at a time, and says what must hold whatever stands in them.

    python -m tests.fuzz SEED COUNT         # many cases in this process: a summary as JSON
    python -m tests.fuzz SEED COUNT ONLY    # one of them again, by its number, with the file

The first exits with 1 where a case fails.

For every case: no exception, no hang, each problem at a place inside a file, and never a silently
different limit. The last is held in three ways. Limits are worked out again from the texts of the
file by a reader that shares nothing with the builder. What the sheet prints is what the data says.
And where a limit differs from the one without the mistake, the pages differ elsewhere than in their
limits."""

from __future__ import annotations

import json
import math
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
import unicodedata
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction as F
from pathlib import Path

import yaml

from builder.files.cache import Cache
from builder.files.problems import Problem, as_json, as_text
from builder.lessons import tags
from builder.pages import render, report_pages
from builder.procedure.sheet import Procedure
from builder.shop import loading
from builder.shop.contents import Shop
from tests import fuzz_shop

ROOT = Path(__file__).resolve().parent.parent
SECONDS = 10        # of computing, for a case
MEGABYTES = 300
LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)     # makes nothing but texts
LONGEST_SENTENCE = 6000
TURNS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


# ---------------------------------------------------------------- mistakes in a text

DIGITS = {"full-width": 0xFF10, "Arabic": 0x660, "Devanagari": 0x966, "NKo": 0x7C0,
          "mathematical": 0x1D7CE}
MINUS = ["−", "–", "—", "‐", "﹣", "－", "- ", "--", "+", "+-", "±"]
BLANKS = ["\u00a0", "\u202f", "\u2009", "\u3000", "\t", "\ufeff", "\u200b", "\u2028", "\x0b",
          "\x85", ""]
BITS = ["0", "9", ".", ",", "-", "+", "e", "E", "_", ":", "#", " #", "&", "*", "!", "|", ">", "%",
        "@", "`", "'", '"', "\\", "/", "{", "}", "[", "]", "?", "~", "\t", "\n", "\r", "\x00",
        "\x1b", "\u202e", "\u200f",
        "\ufeff", "µ", "Ω", "²", "½", "٣", "é", "🙂", " ", "  "]
TOKENS = ["010", "0o10", "0x1F", "1_000", "1e3", "1E3", "1e-3", "12:30", "1:30:00", "yes", "no",
          "on", "off", "null", "~", "true", ".inf", ".nan", "-.inf", "<<: *x", "&a ", "*a",
          "!!float ", "!!python/object:x ", "---\n", "...\n",
          "%YAML 1.1\n", "? ", "0.1 % + 1 counts", "10 counts", "5 V", "1/2", "1,5", "1.5.2",
          "1 000", "1 00", "0 500", "00.5", ".5", "5.", "١٢", "1e999999", "1e-999999", "9" * 400,
          "Infinity", "± 2 V", "10 MV", "10 mV", "of range",
          "of reading", "ppm", "%", "± ", "+/- ", "(", ")", "counts", "digits", "to",
          "18 to 28 degC", "2026-02-30", "recommended"]
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_WORD = re.compile(r"[A-Za-z0-9.%µΩ-]+")


def _at(text: str, chance: random.Random) -> int:
    return chance.randrange(len(text) + 1)


def _some(pattern: re.Pattern, text: str, chance: random.Random) -> tuple[int, int]:
    found = [match.span() for match in pattern.finditer(text)]
    return chance.choice(found) if found else (0, 0)


def _lines(text: str, chance: random.Random) -> str:
    lines = text.split("\n")
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    how = chance.randrange(7)
    if how == 0:
        del lines[a]
    elif how == 1:
        lines.insert(b, lines[a])
    elif how == 2:
        lines[a], lines[b] = lines[b], lines[a]
    elif how == 3:
        lines[a] = " " * chance.randrange(1, 5) + lines[a]
    elif how == 4:
        lines[a] = lines[a][min(chance.randrange(1, 5), len(lines[a]) - len(lines[a].lstrip())):]
    elif how == 5:
        lines[a:a + 2] = [" ".join(lines[a:a + 2])]
    else:
        at = _at(lines[a], chance)
        lines[a:a + 1] = [lines[a][:at], " " * chance.randrange(12) + lines[a][at:]]
    return "\n".join(lines)


def _number(text: str, chance: random.Random) -> str:
    start, end = _some(_NUMBER, text, chance)
    number = text[start:end] or "1"
    how = chance.randrange(9)
    if how == 0:
        number = number.translate({ord("0") + n: chr(chance.choice(list(DIGITS.values())) + n)
                                   for n in range(10)})
    elif how == 1:
        at = _at(number, chance)
        number = number[:at] + chance.choice("0123456789") + number[at:]
    elif how == 2:
        at = chance.randrange(len(number))
        number = number[:at] + chance.choice("0123456789.,_ e:'") + number[at + 1:]
    elif how == 3:
        number = chance.choice(MINUS) + number
    elif how == 4:
        number = (number.replace(".", chance.choice([",", " ", "", "·", "..", "．"]))
                  if "." in number
                  else number
                  + chance.choice([".", ",5", "_0", "e1", "e-1", "e+2", "E", " 000", "\u00a0000",
                                   ":30"]))
    elif how == 5:
        number = "0" + number
    elif how == 6:
        number = number[::-1]
    elif how == 7:
        number += chance.choice(["0", "00", "e9", "e-9", "e99", "e999999", "0" * 30, "/2", "%", "×",
                                 "²"])
    else:
        number = chance.choice(TOKENS)
    return text[:start] + number + text[end:]


def _bytes(text: str, chance: random.Random) -> bytes:
    raw = bytearray(text.encode())
    for _ in range(chance.choice((1, 1, 2, 5))):
        raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
    return bytes(raw)


def _spoiled_text(text: str, chance: random.Random) -> str | bytes:
    how = chance.randrange(13)
    if how == 0:
        return _bytes(text, chance)
    if how == 1:
        return text[:_at(text, chance)]
    if how in (2, 3):
        return _lines(text, chance)
    if how in (4, 5, 6):
        return _number(text, chance)
    if how == 7:
        at = _at(text, chance)
        return text[:at] + chance.choice(BITS) + text[at + chance.randrange(2):]
    if how == 8:
        start, end = _some(_WORD, text, chance)
        return text[:start] + chance.choice(TOKENS) + text[end:]
    if how == 9:
        (a, b), (c, d) = sorted((_some(_WORD, text, chance), _some(_WORD, text, chance)))
        return text if b > c else text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]
    if how == 10:
        start, end = _some(re.compile(" "), text, chance)
        return text[:start] + chance.choice(BLANKS) + text[end:]
    if how == 11:
        start, end = _some(re.compile(r"(?<=: )[^\n\[{,}\]#]+"), text, chance)
        quote = chance.choice(["'", '"', '"\\u202e', "|\n      ", ">-\n      ", "&x ", "!!str ",
                               "[", "{a: ", "# "])
        return text[:start] + quote + text[start:end] + chance.choice(
            [quote[0], "", "]", "}"]) + text[end:]
    return (text.replace("\n", chance.choice(["\r\n", "\r", "\n\n", "\n \n", "\n\t\n"]))
            if chance.random() < 0.5
            else chance.choice(["\ufeff", "%YAML 1.2\n---\n", "---\n", "#\n"]) + text)


# ---------------------------------------------------------------- mistakes in values

VALUES = ["", "0", "-1", "1", "0 V", "-3 V", "3 V", "3 mV", "1e18 V", "1e-18 V", "1e999999 V",
          "9" * 5000, "0.000000000000000001 ohm", "NaN", "inf", "1/3 V", "0,5 V", "60", "0.1",
          "yes", "no", "null", "recommended", "none", "<b>x</b>",
          *fuzz_shop.MARKUP, "{{ 7*7 }}", "{% raw %}", "a|b", "# h", "![x](y)",
          "x\u202ey", "x\u200by", "x\x00y", "../../etc/passwd", "/etc/passwd", "C:\\con", "con",
          "NUL", "x" * 401, "x" * 100_000, "." * 100_000, "9 " * 3000, "+" * 3000, "(" * 3000,
          "0.5 % + 3 counts", "100 % + 100 counts", "0.0001 counts", "10 % of range",
          "18 to 28 degC", "28 to 18 degC", "k = 2", "99 %", "2026-11-25", [], {}, [[]],
          ["1 V", "2 V"], {"x": "y"}, [{}], True, 7, 0.1, 1e300, -5, None]


def _nested(depth: int, chance: random.Random):
    value = "x"
    for _ in range(depth):
        value = [value] if chance.random() < 0.5 else {"a": value}
    return value


def _paths(value, at=()):
    yield at
    for key, one in value.items() if isinstance(value,
                                                dict) else enumerate(value) if isinstance(
                                                        value, list) else ():
        yield from _paths(one, (*at, key))


def _found(value, path):
    for key in path:
        value = value[key]
    return value


def _spoil_value(data, chance: random.Random) -> None:
    path = chance.choice([p for p in _paths(data) if p])
    holder, key = _found(data, path[:-1]), path[-1]
    old, how = holder[key], chance.randrange(9)
    if how == 0:
        del holder[key]
    elif how == 1 and isinstance(holder, list):
        holder.insert(chance.randrange(len(holder) + 1), json.loads(json.dumps(old)))
    elif how == 2 and isinstance(holder, dict):
        holder[
            chance.choice([p[-1] for p in _paths(data) if p and isinstance(p[-1], str)] + [
                "__class__", "<<", "y" * 5000, "\u202e"])] = chance.choice(VALUES)
    elif how == 3:
        holder[key] = json.loads(
            json.dumps(_found(data, chance.choice([p for p in _paths(data) if p]))))
    elif how == 4:
        holder[key] = _nested(chance.choice((3, 19, 25, 200)), chance)
    elif how in (5, 6, 7) and not isinstance(old, (dict, list)):
        text = str(old)
        number = re.search(_NUMBER, text)
        if isinstance(old, int) and not isinstance(old, bool):
            holder[key] = old + chance.choice((1, -1, 10, -2 * old, 10 ** 30))
        elif number and how != 7:
            value = F(number[0][:18]) * chance.choice(
                (10, F(1, 10), 2, F(1, 2), 0, 10 ** 6, F(1, 10 ** 6)))
            shown = f"{float(value):.12f}".rstrip("0").rstrip(".")
            holder[key] = text[:number.start()] + shown + text[number.end():]
        else:
            holder[key] = re.sub(r"(?<=\d )([pnumkMG]?)(?=V|A|ohm|F|Hz)",
                                 lambda _: chance.choice(["", "n", "u", "µ", "m", "k", "M"]), text)
    else:
        holder[key] = chance.choice(VALUES)


def _spoiled_values(text: str, chance: random.Random) -> str:
    if fuzz_shop.is_table(text):
        return fuzz_shop.spoiled_table(text, VALUES, chance)
    data = json.loads(text) if text.startswith("{") else yaml.load(text, LOADER)
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        _spoil_value(data, chance)
    return json.dumps(data, indent=chance.choice((None, 1)), ensure_ascii=chance.random() < 0.5)


PIECES = ["meter: ", "plan: ", "standard: ", "functions:\n", "ranges: ", "points:\n", "  - ",
          "    ", "range: 6 V", "apply: ", "accuracy: ", "{", "}", "[", "]", ", ", ": ", "\n",
          "0.5 % + 3 counts", "6000 counts", "x", "'", '"', "#", "|\n", ">\n", "- ", "? "]


def _slight(text: str, chance: random.Random) -> str:
    """What a tired person mistypes: one digit, one prefix, two numbers or two words exchanged; most
    of it stays a right file."""
    how = chance.randrange(6)
    if how < 2:
        start, end = _some(re.compile(r"[0-9]"), text, chance)
        return text[:start] + chance.choice("0123456789") + text[end:]
    if how == 2:
        start, end = _some(re.compile(r"(?<=[0-9] )[pnumkM]?(?=V\b|A\b|ohm|F\b|Hz)"), text, chance)
        return text[:start] + chance.choice(["", "n", "u", "µ", "m", "k", "M"]) + text[end:]
    if how == 3:
        start, end = _some(re.compile(r"counts|%(?: of r\w+)?|ppm"), text, chance)
        return text[:start] + chance.choice(["counts", "digits", "%", "% of range", "% of reading",
                                             "ppm", "mV", "V"]) + text[end:]
    if how == 4:
        start, end = _some(re.compile(r"[+.]| %"), text, chance)
        return text[:start] + text[end:]
    pattern = _NUMBER if chance.random() < 0.7 else _WORD
    (a, b), (c, d) = sorted((_some(pattern, text, chance), _some(pattern, text, chance)))
    return text if b > c else text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]


def _generated(text: str, chance: random.Random) -> str:
    """YAML of this file's words in any order, behind a part of the file or alone."""
    words = PIECES + re.findall(r"[a-z_]+: |\S+", text)[:400]
    made = "".join(chance.choice(words) + chance.choice(["", "", " ", "\n"])
                   for _ in range(chance.randrange(1, 60)))
    return text[:_at(text, chance)] * (chance.random() < 0.6) + made


def spoiled(text: str, chance: random.Random) -> bytes:
    how = chance.randrange(10)
    if how == 0:
        made = _generated(text, chance)
    elif how < 4:
        made = _slight(text, chance)
    elif how < 6:
        made = _spoiled_values(text, chance)
    else:
        made = _spoiled_text(text, chance)
        while isinstance(made, str) and made and chance.random() < 0.2:
            made = _spoiled_text(made, chance)
    return made if isinstance(made, bytes) else made.encode("utf-8", "surrogatepass")


# ---------------------------------------------------------------- a second reader of a meter's file

_PREFIXES = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}
_BASES = {"V", "A", "ohm", "Ω", "F", "S", "Hz", "s"}
_WORDS = {"volt": "V", "volts": "V", "ampere": "A", "amperes": "A", "ohms": "ohm", "Ohm": "ohm",
          "hertz": "Hz"}


def typed_number(text: str) -> F:
    """Digits of ASCII, groups of three, a point, an exponent; nothing else is a number."""
    match = re.fullmatch(
        r"([+\-−]?) ?([0-9]{1,3}(?:[ "
        r"\u202f\u00a0\u2009][0-9]{3})+|[0-9]*)(\.[0-9]+)?(?:[eE]([+-]?[0-9]{1,2}))?", text.strip())
    assert match and (match[2] or match[3]), f"'{text}' is no number"
    value = F(re.sub("[^0-9]", "", match[2]) + (match[3] or "") if match[2] or match[3]
              else "x") * F(10) ** int(match[4] or 0)
    return -value if match[1] in ("-", "−") and match[1] else value


def typed_quantity(text: str) -> F:
    """In the unit without prefix; a temperature and a percentage as they stand."""
    match = re.fullmatch(r"(.*?[0-9.])[ \u202f\u00a0]*((?:°|deg)[CF]|[℃℉]|%|percent|[A-Za-zµμΩ]+)",
                         text.strip())
    assert match, f"'{text}' is no quantity"
    number, unit = typed_number(match[1]), match[2]
    unit = _WORDS.get(unit, unit)
    if re.fullmatch(r"(°|deg)[CF]|[℃℉]|%|percent", unit):
        return number
    for base in _BASES:
        if unit.endswith(base) and unit[:-len(base)] in _PREFIXES:
            return number * F(10) ** _PREFIXES[unit[:-len(base)]]
    raise AssertionError(f"'{text}' has a unit that the second reader doesn't know")


def typed_tolerance(text: str, *, applied: F, resolution: F, base: F, is_share: bool) -> F:
    """The sum of an accuracy's terms, from its text alone."""
    total, kinds = F(0), []
    for term in re.sub(r"±|\+/-|\+-|[()]", lambda m: " " if m[0] in "()" else "+",
                       text).strip(" +").split("+"):
        match = re.fullmatch(
            r"\s*([0-9. \u202f\u00a0]*[0-9](?:[eE][0-9-]+)?)\s*(%|percent|ppm)?\s*(.*?)\s*", term,
            re.I)
        assert match, f"'{term}' is no term"
        number, share, of = typed_number(match[1]), (
            match[2] or "").lower(), match[3].lower().rstrip(".")
        if share:
            number *= F(1, 10 ** 4) if share == "ppm" else 1
            kind = ("range" if of.rstrip(".") in ("of range", "range", "of rng", "rng")
                    else "reading")
            assert kind == "range" or of in ("", "of reading", "of rdg", "rdg", "reading",
                                             "of value"), f"percent {of}"
            total += (number if is_share
                      else number / 100 * (base if kind == "range" else abs(applied)))
        elif of in ("count", "counts", "digit", "digits", "dgt", "dgts", "lsd", "d", "ct", "cts"):
            kind = "counts"
            total += number * resolution
        else:
            kind = "fixed"
            total += typed_quantity(f"{match[1]} {match[3]}")
        kinds.append(kind)
    assert len(set(kinds)) == len(kinds), f"two terms of a kind in '{text}'"
    return total


def _one(value) -> str:
    return " ".join(str(value).split())


def check_against_the_file(procedure: Procedure, raw: dict) -> None:
    """Every tolerance and its limits once more, from the meter's file as plain text and the value
    printed on the sheet."""
    grown = set()
    for point in procedure.points:
        planned, judged = point.planned, point.planned.judged
        if judged is None:
            continue
        view = planned.function
        (function,) = [one for one in raw["functions"] if (one.get("name") or one["function"])
                       and _one(one.get("name") or one["function"]) == view.title]
        ordered = sorted(function["ranges"], key=lambda one: typed_quantity(_one(one["range"])))
        given = ordered[view.table.ranges.index(judged.range)]
        rows = (given["accuracy"] if isinstance(given["accuracy"], list)
                else [{"within": given["accuracy"]}])
        text = rows[judged.range.rows.index(judged.row)]
        text = _one(text["within"] if isinstance(text, dict) else text)
        resolution, full = typed_quantity(_one(given["resolution"])), typed_quantity(
            _one(given["range"]))
        printed = re.match(r"[^0-9−-]*([−-]?[0-9][0-9.  \u202f\u00a0]*[^ \u202f\u00a0]*)",
                           point.apply)
        applied = (planned.supply.expected if planned.supply.expected is not None
                   else planned.applied)
        if planned.supply.expected is None and planned.supply.method == "source":
            assert typed_quantity(printed[1]) == applied, (point.apply, applied)
        size = typed_tolerance(text, applied=applied, resolution=resolution,
                               base=typed_quantity(_one(given["base"])) if given.get("base")
                               else full, is_share=view.kind.dimension == "[ratio]")
        grown.add(judged.tolerance / size if size else F(1))
        low, high = math.ceil((applied - judged.tolerance) / resolution), math.floor(
            (applied + judged.tolerance) / resolution)
        assert judged.accepted.high == high and judged.accepted.low in (low, max(low, 0)), (
            point.id, low, high, judged.accepted)
        if (point.accept_from and not procedure.four_outcomes and procedure.decision_rule
            == "simple acceptance" and planned.supply.method != "reference"):
            for shown, counts in ((point.accept_from, judged.accepted.low),
                                  (point.accept_to, judged.accepted.high)):
                assert typed_quantity(f"{shown} {point.unit}") == counts * resolution, (
                    point.id, shown, counts)
    assert len(grown) <= 1 and all(one >= 1
                                   for one in grown), (
                                       f"tolerances are {sorted(grown)} times what the file says")
    assert procedure.growth or grown <= {
        F(1)}, f"tolerances are {grown} times what the file says, and the sheet says nothing"


# -------------------------------------------------------------- what a page shows beside its limits

def limits_of(procedure: Procedure) -> dict:
    return {one["id"]: (one["accept"], one["tolerance_limits"], one["slope"], one["offset"],
                        (one["reference"] or {}).get("guard_band"))
            for one in procedure.data["points"]}


def without_limits(page: str, procedure: Procedure) -> str:
    """A sheet less its limits, what follows from them, and its revision."""
    page = re.sub(
        r'<script type="application/json".*?</script>|<td class="(?:from|to|pm)">.*?</td>|<table '
        r'class="aside.*?</table>|<svg.*?</svg>|<dl>.*?</dl>', "", page, flags=re.S)
    return page.replace(procedure.revision, "")


@dataclass
class Pages:
    sheet: str
    rest: str

    def differ_from(self, other: Pages) -> bool:
        return (self.sheet, self.rest) != (other.sheet, other.rest)


def pages_of(shop: Shop, procedure: Procedure) -> Pages:
    """The procedure's pages and those of its meter and standards, rendered; of its evidence what
    the limits rest on, and the due dates."""
    alone = Shop(meters=shop.meters, standards={s.standard: s for s in procedure.standards},
                 functions={procedure.meter.meter: shop.functions[procedure.meter.meter]},
                 procedures={procedure.id: procedure}, made_of=shop.made_of)
    site = RENDERED(alone)
    fuzz_shop.check_no_markup(site)
    sheet = site.pages[f"procedures/{procedure.id}.md"]
    rest = [text for name, text in site.pages.items() if name.startswith(("meters/", "standards/"))]
    evidence = site.pages[f"evidence/{procedure.id}.md"]
    about = re.search(r"<p>[^<]*Due dates.*?</p>", evidence)
    rests_on = re.search(r'<div class="computed".*?<ul>(.*?)</ul>', evidence, re.S)
    return Pages(without_limits(sheet, procedure),
                 "\n".join([*rest, about[0] if about else "", rests_on[1]]))


def RENDERED(shop: Shop, kept: Cache | None = None) -> render.Site:
    """All pages but the exercises, which take most of the time and are made of the same numbers."""
    practice, render.exercise_pages = render.exercise_pages, lambda *_: ({}, {})
    try:
        return render.render(shop, kept=kept)
    finally:
        render.exercise_pages = practice


# ---------------------------------------------------------------- a case

@dataclass
class Part:
    """A part of the demo that stands alone: its folder, the files that get spoiled, and what it is
    without a mistake."""

    folder: Path
    texts: dict[str, str]
    shop: Shop
    pages: dict[str, Pages] = field(default_factory=dict)
    whole: bool = False     # with a file of every kind
    kept: Cache = field(default_factory=Cache)  # as while serving: what isn't spoilt is read once


def whole(root: Path) -> Part:
    """The small shop with a file of every kind, which of the parts holds all of the others."""
    folder = fuzz_shop.made(root)
    return Part(folder, fuzz_shop.texts(folder), loading.load_shop(folder), whole=True)


def _copied(folder: Path, names: list[str]) -> dict[str, str]:
    texts = {}
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "procedures" / name, folder / name)
        texts[name] = (folder / name).read_text(encoding="utf-8")
    return texts


def parts(root: Path) -> list[Part]:
    made = []
    for plan in sorted((ROOT / "procedures/plans").glob("*.yaml")):
        data = yaml.load(plan.read_text(encoding="utf-8"), LOADER)
        folder = root / plan.stem / "procedures"
        texts = _copied(folder,
                        [f"plans/{plan.name}", f"meters/{data['meter']}.yaml",
                         *(f"standards/{one}.yaml" for one in data["standards"])])
        made.append(Part(folder, texts, loading.load_shop(folder)))
    names = sorted(f"records/{path.name}" for path in (ROOT / "procedures/records").iterdir())
    for which in ("2026-03-12-dunlin", "turnstone-c-yearly"):   # by hand, and from a phone
        kept = [one for one in names if which in one]
        folder = root / kept[0].replace("/", "-") / "procedures"
        texts = _copied(folder, ["workshop.yaml", *kept])
        # What the records are judged by; never spoilt here.
        shutil.copytree(ROOT / "procedures/approved", folder / "approved")
        made.append(Part(folder, texts, loading.load_shop(folder)))
    made.append(whole(root / "whole"))
    for part in made:
        assert not part.shop.errors, "\n".join(map(str, part.shop.errors))
        part.pages = {name: pages_of(part.shop, one) for name, one in part.shop.procedures.items()}
    return made


class TooLong(Exception):
    pass


def _stop(*_):
    raise TooLong(f"more than {SECONDS} s")


def check_problems(problems: list[Problem], folder: Path) -> None:
    """Each at a place inside a file that is there."""
    for one in problems:
        path = folder.parent / one.place.file
        assert path.is_file(), str(one)
        lines = path.read_bytes().decode("utf-8",
                                         "replace").replace("\r\n", "\n").replace("\r", "\n").split(
                                             "\n")
        assert 1 <= one.place.line <= len(lines), f"line {one.place.line} of {len(lines)}: {one}"
        assert 1 <= one.place.column <= len(lines[one.place.line - 1]) + 2, str(one)
        assert one.sentence and len(one.sentence) + len(
            one.hint) < LONGEST_SENTENCE, (
                f"a sentence of {len(one.sentence)} and a hint of {len(one.hint)}: "
                f"{one.sentence[:200]}")
        assert not any(unicodedata.category(c) in ("Cc", "Cs")
                       or unicodedata.bidirectional(c) in TURNS
                       for c in str(one).replace("\n", "")), ascii(str(one))
    assert as_text(problems) is not None and as_json(problems)


def check_reports(shop: Shop, part: Part) -> None:
    """Limits in a record are printed as they are judged by, follow from its accuracy, and differ
    from the right record's only where the report does."""
    for report in report_pages.reports_of(shop):
        known = report.record.carried
        for point in known.points:
            bands = [band for band in (point.accept, point.tolerance_limits, point.conditional)
                     if band]
            for band in bands:
                for figure, counts in ((band.low, band.low_counts), (band.high, band.high_counts)):
                    assert typed_number(
                        figure.text.split(" ")[0]) == counts * point.resolution.number, (
                            point.id, figure.text, counts)
            if point.tolerance_limits and point.slope is not None:
                middle = (point.expected or point.apply).number
                size = point.slope * abs(middle) + point.offset.number
                low, high = math.ceil((middle - size) / point.resolution.number), math.floor(
                    (middle + size) / point.resolution.number)
                limits = point.tolerance_limits
                assert limits.high_counts == high, point.id
                assert limits.low_counts in (low, max(0, low)), point.id
                if point.accept:
                    assert limits.low_counts <= point.accept.low_counts, point.id
                    assert point.accept.high_counts <= limits.high_counts, point.id
                    if known.decision_rule == "simple acceptance":
                        assert point.accept == point.tolerance_limits
        report_pages.report_html(report)


def check_case(part: Part, name: str, raw: bytes) -> str:
    """Everything that must hold; what became of it, in a word."""
    path = part.folder / name
    before = path.read_bytes()
    path.write_bytes(raw)
    try:
        shop = loading.load_shop(part.folder, kept=part.kept)
        check_problems(shop.problems, part.folder)
        if part.whole:
            fuzz_shop.check_nothing_lost(shop, part.shop, name, raw)
            check_reports(shop, part)
            fuzz_shop.check_no_markup(RENDERED(shop, part.kept))
            return ("refused" if shop.errors else "same"
                    if fuzz_shop.said(shop) == fuzz_shop.said(part.shop) else "shown")
        if name.startswith("records/") or name == loading.WORKSHOP:
            check_reports(shop, part)
            fuzz_shop.check_no_markup(RENDERED(shop))
            return ("refused" if shop.errors else "same" if shop.records == part.shop.records
                    and shop.workshop == part.shop.workshop else "shown")
        if not shop.procedures:
            assert shop.errors, "nothing came of it, and nobody says why"
            return "refused"
        for procedure in shop.procedures.values():
            right = part.shop.procedures.get(procedure.id)
            if right is not None and right.revision == procedure.revision:
                continue
            meter = yaml.load(
                (part.folder / f"meters/{procedure.meter.meter}.yaml").read_text(
                    encoding="utf-8-sig"), LOADER)
            check_against_the_file(procedure, meter)
            pages = pages_of(shop, procedure)
            json.loads(json.dumps(procedure.data))
            if right is not None:
                old, new = limits_of(right), limits_of(procedure)
                changed = [one for one in old if one in new and old[one] != new[one]]
                assert not changed or pages.differ_from(
                    part.pages[
                        procedure.id]), (
                            f"other limits at {changed[:5]}, and nothing else on the pages differs")
            return "shown"
        return "same"
    finally:
        path.write_bytes(before)


def check_lesson(text: str, shop: Shop) -> str:
    filled, problems = tags.fill(text, "site_src/lessons/x.md", shop)
    lines = text.splitlines()
    for one in problems:
        assert 1 <= one.place.line <= len(lines) and 1 <= one.place.column <= len(
            lines[one.place.line - 1]) + 1 and len(one.sentence) < LONGEST_SENTENCE, str(one)
    assert len(filled) < 40 * len(text) + 10_000_000
    return "refused" if problems else "shown"


class Fuzz:
    def __init__(self, root: Path):
        self.parts = parts(root)
        self.lessons = [(path.name, tag)
                        for path in sorted((ROOT / "site_src/lessons").glob("*.md"))
                        for tag in re.findall(r"^.*\{(?:example|picture):.*$",
                                              path.read_text(encoding="utf-8"), re.M)]
        self.demo = loading.load_shop(ROOT / "procedures")

    def case(self, seed: int, number: int):
        """Which file, and what stands in it."""
        chance = random.Random(f"{seed}/{number}")
        if chance.random() < 0.08:
            name, tag = chance.choice(self.lessons)
            made = _spoiled_text(tag, chance)
            return None, name, made if isinstance(made, bytes) else made.encode(
                "utf-8", "surrogatepass")
        part = chance.choices(self.parts, (3, 6, 3, 1, 1, 7))[0]
        name = chance.choices(list(part.texts),
                              [1 if n.startswith(loading.FROZEN) else 4 for n in part.texts]
                              if part.whole else
                              [6 if n.startswith(("meters/", "plans/")) else 2
                               if n.endswith(".yaml") else 1 for n in part.texts])[0]
        return part, name, spoiled(part.texts[name], chance)

    def run(self, seed: int, number: int) -> str:
        part, name, raw = self.case(seed, number)
        signal.signal(signal.SIGVTALRM, _stop)
        signal.setitimer(signal.ITIMER_VIRTUAL, SECONDS)
        try:
            return (check_lesson(raw.decode("utf-8", "replace"), self.demo) if part is None
                    else check_case(part, name, raw))
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def peak() -> float:
    """Of this process, in megabytes. Where it can be told, without what it took before it became
    this program: `ru_maxrss` keeps the size of the process that started it."""
    status = Path("/proc/self/status")
    if status.exists() and (found := re.search(r"VmHWM:\s*(\d+) kB", status.read_text())):
        return int(found[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (
        1 if sys.platform == "linux" else 1024) / 1024


def main(seed: int, count: int, only: int | None = None) -> int:
    import gc
    import traceback
    failed, became, slowest = [], Counter(), (0.0, -1)
    with tempfile.TemporaryDirectory() as folder:
        fuzz = Fuzz(Path(folder))
        gc.collect()
        for number in [only] if only is not None else range(count):
            started = time.process_time()
            try:
                outcome = fuzz.run(seed, number)
                became[outcome] += 1
            except Exception as error:
                part, name, raw = fuzz.case(seed, number)
                failed.append({"case": [seed, number], "file": name,
                               "error": f"{type(error).__name__}: {error}"[:600],
                               "at": traceback.format_exc().strip().split("\n")[-3].strip()})
                if only is not None:
                    traceback.print_exc()
            slowest = max(slowest, (round(time.process_time() - started, 2), number))
            if only is not None:
                part, name, raw = fuzz.case(seed, number)
                Path("/dev/stderr").write_text(
                    f"{name}\n{raw.decode('utf-8', 'replace')[:200_000]}\n") if part else print(raw)
    print(json.dumps({"cases": count, "became": became, "failed": failed, "slowest": slowest,
                      "megabytes": round(peak())}, ensure_ascii=True))
    return 1 if failed or peak() > MEGABYTES else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
