"""Exact quantities: a number as it was typed, with a unit. The only importer of pint.

Numbers are `fractions.Fraction`, so that no limit is ever rounded by a binary float or by a
decimal context. Pint says what a unit is and how large its prefix is; it is asked once for each
distinct unit text, and never sees more than a bare unit name (its parser evaluates expressions).
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

import pint

from builder.files.problems import Wrong

# Only the units that meters and standards need, so that no text can mean anything else.
_DEFINITIONS = """
pico- = 1e-12 = p-
nano- = 1e-9 = n-
micro- = 1e-6 = u-
milli- = 1e-3 = m-
kilo- = 1e3 = k-
mega- = 1e6 = M-
giga- = 1e9 = G-
volt = [voltage] = V
ampere = [current] = A
ohm = [resistance] = Ohm
farad = [capacitance] = F
siemens = [conductance] = S
hertz = [frequency] = Hz
second = [time] = s
metre = [length] = m
minute = 60 * second = min
hour = 60 * minute = h
percent = [ratio]
degC = [temperature]
degF = 5/9 * degC
"""

DIMENSIONS = {  # how a problem names them
    "[voltage]": "a voltage", "[current]": "a current", "[resistance]": "a resistance",
    "[capacitance]": "a capacitance", "[conductance]": "a conductance",
    "[frequency]": "a frequency",
    "[time]": "a time", "[length]": "a length", "[ratio]": "a percentage",
    "[temperature]": "a temperature",
    "[voltage-frequency]": "a product of voltage and frequency",
}
_NAMES = {"[voltage]": "volts", "[current]": "amperes", "[resistance]": "ohms",
          "[capacitance]": "farads",
          "[conductance]": "siemens", "[frequency]": "hertz", "[time]": "seconds",
          "[length]": "metres", "[ratio]": "percent",
          "[temperature]": "degrees"}

_SPELLINGS = {"°C": "degC", "℃": "degC", "°F": "degF", "℉": "degF", "%": "percent"}
_SHOWN = {"degC": "°C", "degF": "°F", "percent": "%"}
_SUGGESTED = ["mV", "V", "kV", "uV", "uA", "mA", "A", "ohm", "kohm", "Mohm", "Gohm", "pF", "nF",
              "uF", "mF",
              "Hz", "kHz", "MHz", "nS", "degC", "degF", "s", "min", "V Hz"]
COMMON = frozenset(name.lower() for name in _SUGGESTED)
_PREFIX_WORDS = {"micro": "u", "milli": "m", "kilo": "k", "mega": "M", "meg": "M", "nano": "n",
                 "pico": "p"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as it is shown, with its size in the unit without prefix (mV: 1/1000)."""

    shown: str
    ascii: str
    dimension: str
    scale: Fraction
    is_temperature: bool = field(init=False, compare=False)
    has_no_prefix: bool = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_temperature", self.dimension == "[temperature]")
        object.__setattr__(self, "has_no_prefix", self.is_temperature or self.scale == 1)


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


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry:
    registry = pint.UnitRegistry(None, non_int_type=Decimal)
    for line in _DEFINITIONS.split("\n"):
        if line and not line.startswith("degF"):
            registry.define(line)
    return registry


def normal_spelling(text: str) -> str:
    """One spelling for both signs of micro and for the ways to write ohm and degree."""
    text = text.replace("\u03bc", "u").replace("\u00b5",
                                               "u").replace("\u03a9", "ohm").replace(
                                                   "\u2126", "ohm")
    text = _SPELLINGS.get(text, text)
    text = re.sub(r"[oO][hH][mM]s?$", "ohm", text)
    for word, letter in _PREFIX_WORDS.items():
        if text.lower().startswith(word) and (text[len(word):] or "x")[0].isalpha():
            rest = text[len(word):]
            text = letter + (rest if rest != "" else "")
            break
    return text


@lru_cache(maxsize=1024)
def unit(text: str) -> Unit:
    """The unit that a text names; raises `Wrong` for anything that isn't one unit of this trade."""
    name = normal_spelling(text.strip())
    if re.fullmatch(r"V\s*[·*]?\s*Hz", name):
        return Unit(shown="V·Hz", ascii="V Hz", dimension="[voltage-frequency]", scale=Fraction(1))
    if name == "degF":
        return Unit(shown="°F", ascii="degF", dimension="[temperature]", scale=Fraction(5, 9))
    try:
        if not re.fullmatch(r"[A-Za-z]{1,12}", name):
            raise ValueError(name)
        parsed = _registry().Quantity(Decimal(1), name)
        base = parsed.to_base_units()
        (dimension, power), = parsed.dimensionality.items()
        if power != 1 or (name.endswith(("degC", "percent")) and name not in ("degC", "percent")):
            raise ValueError(name)
    except Exception:  # pint raises several kinds, all of which mean: not a unit
        near = (["degC"] if name == "C" else [s for s in _SUGGESTED if s.lower() == name.lower()]
                or difflib.get_close_matches(name, _SUGGESTED, 1, 0.5))
        shown = text.strip() or "nothing"
        raise Wrong(f"'{shown}' is not a unit known here",
                    f"did you mean '{near[0]}'?" if near
                    else "write for example mV, V, uA, mA, A, ohm, kohm, nF, Hz, kHz, degC or %"
                    ) from None
    short = f"{parsed.units:~}"
    short = short.replace("ohm", "Ohm") if "ohm" in short and "Ohm" not in short else short
    shown = _SHOWN.get(name) or short.replace("Ohm", "Ω")
    if shown.startswith("u") and len(shown) > 1:
        shown = "µ" + shown[1:]
    return Unit(shown=shown, ascii="%" if name == "percent" else short, dimension=dimension,
                scale=Fraction(base.magnitude))


_NUMBER = re.compile(
    # Digits of ASCII only: others look like them, or run from right to left. '0 500' may be a point
    # that was lost.
    r"(?P<sign>[+\-−]?)\s*(?P<whole>[1-9][0-9]{0,2}(?:[ \u00a0\u202f\u2009][0-9]{3})+|[0-9]+)?(?:\.(?P<part>[0-9]+))?(?:[eE](?P<power>[+-]?[0-9]{1,2}))?")
MOST_DIGITS = 18  # more than any instrument shows; keeps arithmetic small whatever a file holds


@lru_cache(maxsize=8192)
def split_number(text: str) -> tuple[Fraction, str]:
    """An exact number and the text behind it. Spaces may stand between groups of three digits.

    Raises `Wrong` for decimal commas, for numbers beyond 18 digits, and where no number stands.
    """
    text = text.strip()
    match = _NUMBER.match(text)
    if not match or not (match["whole"] or match["part"]):
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


def decimals_of(number: Fraction) -> int:
    """How many decimals an exact decimal needs."""
    return _places(number.denominator)


def needs(dimension: str) -> str:
    """`volts` for a voltage, as a sentence names what it expected."""
    return _NAMES.get(dimension, dimension)
