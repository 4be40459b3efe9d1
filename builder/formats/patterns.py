"""Patterns of what people write, for the schemas that editors read: made from the tables that the
builder itself reads by (units, terms of an accuracy), so that both know the same spellings.

A pattern can't say what another value decides: which dimension a field needs, which end of a span
is higher, which terms may stand together. What it lets pass, `check` may still refuse. They are
ECMA-262 with the flag u, which Python reads as well: no escapes but where a sign needs one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from builder.numbers.unit_table import PREFIX_WORDS, PREFIXES, SAME_SIGN, UNITS

_BLANKS = " \u00a0\u202f\u2009"


def literal(text: str) -> str:
    """A text as it stands."""
    return re.sub(r"[\\^$.*+?()\[\]{}|/]", lambda sign: "\\" + sign[0], text)


def any_case(text: str) -> str:
    """A text in capitals or small letters."""
    return "".join(f"[{sign.upper()}{sign.lower()}]" if sign.lower() != sign.upper()
                   else literal(sign) for sign in text)


def either(options: Iterable[str]) -> str:
    return f"(?:{'|'.join(sorted(dict.fromkeys(options), key=lambda one: (-len(one), one)))})"


def whole(pattern: str) -> str:
    return rf"^\s*{pattern}\s*$"


UNSIGNED = (rf"(?:(?:[1-9][0-9]{{0,2}}(?:[{_BLANKS}][0-9]{{3}})+|[0-9]+)(?:\.[0-9]+)?|\.[0-9]+)"
            r"(?:[eE][+\-]?[0-9]{1,2})?")
NUMBER = rf"[+\-−]?\s*{UNSIGNED}"
ABOVE_ZERO = rf"(?=[^1-9]*[1-9])[+]?\s*{UNSIGNED}"


def _spellings() -> str:
    """Every unit with each of its prefixes, as letters or words."""
    signs: dict[str, list[str]] = {}
    for sign, plain in SAME_SIGN.items():
        signs.setdefault(plain, []).append(sign)
    letters = "".join(PREFIXES) + "".join(signs["u"])
    words = either(any_case(word) for word in PREFIX_WORDS)
    alone: list[str] = []
    prefixed: list[str] = []
    for unit in UNITS:
        spelt = [literal(word) for word in (unit.symbol, *unit.words)]
        if unit.symbol == "Ohm":
            spelt = [any_case("ohms") + "?", *signs["ohm"]]
        (prefixed if unit.takes_prefixes else alone).extend(spelt)
    return rf"(?:(?:[{letters}]|{words})?{either(prefixed)}|{either(alone)})"


UNIT = _spellings()
DEGREES = either(literal(word) for unit in UNITS if unit.dimension == "[temperature]"
                 for word in (unit.symbol, *unit.words))
AMOUNT = whole(rf"{NUMBER}\s*{UNIT}")
POSITIVE_AMOUNT = whole(rf"{ABOVE_ZERO}\s*{UNIT}")
SPAN = whole(rf"{NUMBER}\s*(?:{UNIT})?(?:\s+to\s+{NUMBER}\s*{UNIT}|"
             rf"\s*(?:±|\+/-)\s*{NUMBER}\s*{UNIT})") + "|" + whole(
                 rf"{NUMBER}\s*{UNIT}\s*(?:±|\+/-)\s*{NUMBER}")
_WORDS = ("above", "over", "from", "up to", "below", "under", "at least", "at most", "more than",
          "less than")
_ABOVE = rf"(?:[<>]=?|[≤≥]|{either(map(any_case, _WORDS))})"
VALUES = SPAN + "|" + whole(rf"{_ABOVE}\s*{NUMBER}\s*{UNIT}")
FREQUENCIES = whole(rf"(?:[^,]+,)*[^,]*(?:{UNIT}|[Dd][Cc])")
COUNTS = whole(rf"{ABOVE_ZERO}(?:\s*{any_case('count')}[Ss]?)?")
YES_NO = "^(?:yes|no|true|false)$"
PER_DEGREE = whole(rf"{UNSIGNED}(?:\s*%(?=.*[Aa]ccuracy))?\s*(?:(?:of|x|×|\*)?\s*(?:the\s+)?\(?"
                   rf"(?:specified\s+)?accuracy\)?)?\s*(?:per|/)\s*{DEGREES}")
LOWEST = whole(rf"{ABOVE_ZERO}\s*(?:%\s*of\s*range|{UNIT})") + "|" + whole(
    rf"{NUMBER}\s*{DEGREES}")
TEXT = "^(?![“”„])[^]*[^“”]$".replace("[^]", r"[\s\S]") + "|^[^“”„]$"


def coefficient(accuracy: str) -> str:
    """What is added per degree: a fraction of the accuracy, or a sum of terms."""
    terms = accuracy.split("|^")[0].removesuffix("$")
    return "|".join((PER_DEGREE, rf"{terms}\s*(?:per|/)\s*{DEGREES}\s*$", whole("none")))


def accuracy(of_reading: Iterable[str], of_range: Iterable[str], counts: Iterable[str]) -> str:
    """A sum of terms with these words behind their numbers."""
    of = either(any_case(word) + r"\.?" for word in (*of_reading, *of_range) if word)
    share = rf"(?:%|{any_case('percent')}|{any_case('ppm')})(?:\s*{of})?"
    steps = either(any_case(word) + r"\.?" for word in counts)
    fixed = UNIT.replace("|percent", "")
    term = rf"(?:{UNSIGNED}\s*(?:{share}|{steps}|{fixed})|(?:½|1\s*/\s*2)\s*{steps})"
    even = rf"(?:±|\+/-|\+-)?[\s(\[]*{term}(?:[\s)]*(?:\+|±|\+/-)[\s(]*{term})*[\s)\]]*"
    sides = rf"(?:[+\-−]\s*\(?\s*(?:{term}[\s+)]*)+(?:/|to|and)?\s*){{2}}"
    return f"{whole(even)}|{whole(sides)}"
