"""Exact quantities: a number as it was typed, with a unit of the table. The only importer of pint.

Numbers are `fractions.Fraction`, so that no limit is ever rounded by a binary float or by a
decimal context. Pint is asked only about what the table doesn't have, for the hint of a refusal,
and never sees more than a bare word (its parser evaluates expressions).
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import Any

from builder.files.problems import Wrong
from builder.numbers.unit_table import (BY_DIMENSION, PREFIX_WORDS, PREFIXES, SAME_SIGN, UNITS,
                                        BaseUnit)

_TEMPERATURE = "[temperature]"
_FAHRENHEIT = Fraction(5, 9)   # of a degree Celsius: of a difference, never of a temperature


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as it is shown, with its size in the unit without prefix (mV: 1/1000)."""

    shown: str
    ascii: str
    dimension: str
    scale: Fraction
    base: str              # the symbol without its prefix
    is_temperature: bool = field(init=False, compare=False)
    has_no_prefix: bool = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_temperature", self.dimension == _TEMPERATURE)
        object.__setattr__(self, "has_no_prefix", self.is_temperature or self.scale == 1)

    @property
    def without_prefix(self) -> Unit:
        return unit(self.base)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the unit it was given in; `value` is in the unit without its prefix (V, A, ohm
    …)."""

    number: Fraction
    unit: Unit
    value: Fraction = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # A temperature keeps its own scale: percent terms mean degrees as they were written.
        object.__setattr__(self, "value", self.number if self.unit.has_no_prefix
                           else self.number * self.unit.scale)

    @property
    def dimension(self) -> str:
        return self.unit.dimension

    def __str__(self) -> str:
        return f"{decimal_text(self.number)} {self.unit.ascii}"


def _made(base: BaseUnit, prefix: str) -> Unit:
    size = Fraction(10) ** PREFIXES.get(prefix, 0) * base.seconds
    return Unit(shown=("µ" if prefix == "u" else prefix) + (base.shown or base.symbol),
                ascii=prefix + base.symbol, dimension=base.dimension,
                scale=_FAHRENHEIT if base.symbol == "degF" else size, base=base.symbol)


def _prefixes(base: BaseUnit) -> tuple[str, ...]:
    return ("", *PREFIXES) if base.takes_prefixes else ("",)


# Every spelling of every unit with each of its prefixes.
_KNOWN = {prefix + spelling: _made(base, prefix) for base in UNITS for prefix in _prefixes(base)
          for spelling in (base.symbol, *base.words)}
_SUGGESTED = [("" if prefix == "-" else prefix) + (base.written or base.symbol)
              for base in UNITS for prefix in base.suggested.split()]
COMMON = frozenset(name.lower() for name in _SUGGESTED)
# For a reading, which capitals don't tell apart: its spelling in small letters.
_ON_DISPLAYS = {spelling.lower(): base for base in UNITS if base.on_displays
                for spelling in (base.symbol, *base.words)}


def _same_signs(text: str) -> str:
    return "".join(SAME_SIGN.get(sign, sign) for sign in text)


def _with_letter(text: str) -> str:
    """The word of a prefix as its letter: millivolt, milliV and mvolt are one."""
    for word, letter in PREFIX_WORDS.items():
        if text.lower().startswith(word) and text[len(word):][:1].isalpha():
            return letter + text[len(word):]
    return text


@lru_cache(maxsize=1024)
def unit(text: str) -> Unit:
    """The unit that a text names; raises `Wrong` for anything that isn't one unit of the table."""
    name = re.sub(r"ohms?$", "ohm", _same_signs(text.strip()), flags=re.I)
    known = _KNOWN.get(name) or _KNOWN.get(_with_letter(name))
    if known is None:
        raise Wrong(f"'{text.strip() or 'nothing'}' is not a unit known here",
                    _hint(_with_letter(name)))
    return known


def _hint(name: str) -> str:
    if name == "C":
        return "did you mean 'degC'?"
    near = ([unit for unit in _SUGGESTED if unit.lower() == name.lower()]
            or difflib.get_close_matches(name, _SUGGESTED, 1, 0.5))
    if near:
        return f"did you mean '{near[0]}'?"
    measured = _what_it_measures(name)
    return ((f"{measured}; " if measured else "")
            + "write for example mV, V, uA, mA, A, ohm, kohm, nF, Hz, kHz, degC or %")


def _what_it_measures(name: str) -> str:
    """What pint knows of a word, as a sentence; "" where it is no unit of anything."""
    if not re.fullmatch(r"[A-Za-z]{2,20}", name):
        return ""
    try:
        named = _all_units().Unit(name)
        for base in BY_DIMENSION.values():
            name = base.written or base.symbol
            if name.isalpha() and named.is_compatible_with(name):
                return f"that is {base.kind}, written in {name} here"
    except Exception:  # pint raises several kinds, all of which mean: not a unit
        return ""
    return "that is a unit of something else than what is measured here"


@lru_cache(maxsize=1)
def _all_units() -> Any:
    """What pint knows. Half a second, for hints only: once, however many words are no units."""
    import pint
    return pint.UnitRegistry()


def typed_unit(text: str) -> Unit | None:
    """The unit behind a reading that somebody typed, as the phone takes it: capitals matter only
    where they tell milli from mega. None for what no display shows."""
    text = re.sub(r"^(deg|°) ", r"\1", _with_letter(_same_signs(text)), flags=re.I)
    alone = _ON_DISPLAYS.get(text.lower())
    if alone:
        return _made(alone, "")
    base = _ON_DISPLAYS.get(text[1:].lower())
    letter = text[:1] if text[:1] in ("m", "M") else text[:1].lower().replace("g", "G")
    return _made(base, letter) if base and base.takes_prefixes and letter in PREFIXES else None


def celsius(number: Fraction, scale: Unit) -> Fraction:
    """A temperature of either scale in degC, exactly: (t/°F − 32)·5/9."""
    return (number - 32) * _FAHRENHEIT if scale.base == "degF" else number


def of_celsius(number: Fraction, scale: Unit) -> Fraction:
    """A temperature in degC in either scale, exactly: t·9/5 + 32 in degF."""
    return number / _FAHRENHEIT + 32 if scale.base == "degF" else number


def in_one_scale(one: Quantity) -> Fraction:
    """What quantities of one kind are compared by: a temperature's degC, else the value."""
    return celsius(one.number, one.unit) if one.unit.is_temperature else one.value


ABSOLUTE_ZERO = Fraction("-273.15")   # in degC


def kind_of(dimension: str) -> str:
    """`a voltage`, as a problem names what it found."""
    return BY_DIMENSION[dimension].kind


def needs(dimension: str) -> str:
    """`volts` for a voltage, as a sentence names what it expected."""
    return BY_DIMENSION[dimension].plural


def plain_unit(dimension: str) -> Unit:
    """The unit of a dimension without a prefix."""
    return unit(BY_DIMENSION[dimension].symbol)


_NUMBER = re.compile(
    # Digits of ASCII only: others look like them, or run from right to left. '0 500' may be a point
    # that was lost.
    r"(?P<sign>[+\-−]?)\s*"
    r"(?P<whole>[1-9][0-9]{0,2}(?:[ \u00a0\u202f\u2009][0-9]{3})+|[0-9]+)?(?:\.(?P<part>[0-9]+))?"
    r"(?:[eE](?P<power>[+-]?[0-9]{1,2}))?")
MOST_DIGITS = 18  # more than any instrument shows; keeps arithmetic small whatever a file holds


@lru_cache(maxsize=8192)
def split_number(text: str) -> tuple[Fraction, str]:
    """An exact number and the text behind it. Spaces may stand between groups of three digits.

    Raises `Wrong` for decimal commas, for numbers beyond 18 digits, and where no number stands.
    """
    text = text.strip()
    match = _NUMBER.match(text)
    if not match or not (match["whole"] or match["part"]):
        if re.match(r"[–—‐‑‒]\s*[0-9.]", text):
            raise Wrong(f"'{text}' begins with a dash that is no minus",
                        f"write '-{text[1:].strip()}' if a minus is meant")
        if letter := re.match(r"[OoIl](?=[0-9.])", text):
            digit = "0" if letter[0] in "Oo" else "1"
            raise Wrong(f"'{text}' begins with the letter '{letter[0]}'",
                        f"write '{digit}{text[1:]}' if the digit is meant")
        raise Wrong(f"'{text}' doesn't start with a number",
                    "write a number and a unit, such as '600 mV'")
    rest = text[match.end():]
    if re.match(r"[,'’]\d", rest):
        raise Wrong(
            f"'{text}': a comma or a quotation mark inside a number can be read in two ways",
            "write a point before decimals, and a space or nothing between thousands: '0.5', '20 "
            "000'")
    if re.match(r"\s*[\d.]", rest) or re.match(r"[eE][+-]?\d", rest):
        raise Wrong(f"'{text}' is not one number", "write for example '0.5', '20000' or '20 000'")
    whole = re.sub(r"\D", "", match["whole"] or "0")
    part, power = match["part"] or "", int(match["power"] or 0)
    if len(whole.lstrip("0")) + len(part) > MOST_DIGITS or abs(power) > MOST_DIGITS:
        raise Wrong(f"'{text[:60]}' has more digits than any instrument shows",
                    f"at most {MOST_DIGITS} digits, exponents to ±{MOST_DIGITS}")
    number = Fraction(int(whole + part), 10 ** len(part)) * Fraction(10) ** power
    return (-number if match["sign"] in ("-", "−") and match["sign"] else number), rest.strip()


@lru_cache(maxsize=8192)
def quantity(text: str) -> Quantity:
    """`600 mV` as an exact quantity. Raises `Wrong`."""
    number, rest = split_number(text)
    if not rest:
        raise Wrong(f"'{text}' has no unit",
                    "write a number and a unit, such as '600 mV'; decimals take a point, not a "
                    "comma")
    if re.match(r"to\s+[+\-−0-9.]", rest):
        raise Wrong(f"'{text}' is a span, and a single value is expected here",
                    "a range is named by its highest value: 'range: 1372 degC', with 'lowest: -200 "
                    "degC' for the lower end of a temperature")
    return Quantity(number, unit(rest))


def plain_number(text: str, what: str) -> Fraction:
    number, rest = split_number(text)
    if rest:
        raise Wrong(f"'{text}': {what} is a plain number", f"leave out '{rest}'")
    return number


def decimal_text(number: Fraction, decimals: int = 0) -> str:
    """A fraction as an exact decimal with at least so many decimals. ValueError where it has no
    end."""
    # whole numbers are quick to look up
    return _decimal_text(number.numerator, number.denominator, decimals)


@lru_cache(maxsize=65536)
def _decimal_text(numerator: int, denominator: int, decimals: int) -> str:
    decimals = max(decimals, _places(denominator))
    digits = str(abs(numerator) * 10 ** decimals // denominator).rjust(decimals + 1, "0")
    sign = "-" if numerator < 0 else ""
    return sign + (digits[:-decimals] + "." + digits[-decimals:] if decimals else digits)


@lru_cache(maxsize=4096)
def _places(denominator: int) -> int:
    """The decimals of 1/denominator: the higher power of its factors 2 and 5."""
    powers = []
    for factor in (2, 5):
        power = 0
        while denominator % factor == 0:
            denominator //= factor
            power += 1
        powers.append(power)
    if denominator != 1:
        raise ValueError("a fraction that is no finite decimal")
    return max(powers)


def is_decimal(number: Fraction) -> bool:
    """Whether it is an exact decimal with an end."""
    rest = number.denominator
    for factor in (2, 5):
        while rest % factor == 0:
            rest //= factor
    return rest == 1


def decimals_of(number: Fraction) -> int:
    """How many decimals an exact decimal needs."""
    return _places(number.denominator)
