"""Numbers, units and outcomes → text, in one place."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Collection
from fractions import Fraction

from builder.numbers.unit_table import PREFIXES
from builder.numbers.units import Quantity, Unit, decimal_text, decimals_of

NARROW = "\u00a0"  # between a number and its unit


def minus(text: str) -> str:
    """A true minus sign, as wide as a plus."""
    return text.replace("-", "−", 1) if text.startswith("-") else text


def number(value: Fraction, decimals: int = 0) -> str:
    """An exact decimal with at least so many decimals."""
    return minus(decimal_text(value, decimals))


def amount(value: Fraction, unit: Unit, decimals: int = 0) -> str:
    """A value in the unit without prefix, shown in `unit`: 3 V with 3 decimals is '3.000 V'."""
    return f"{number(in_unit(value, unit), decimals)}{NARROW}{unit.shown}"


def in_unit(value: Fraction, unit: Unit) -> Fraction:
    """The number that stands before `unit` for a value. Temperatures keep their own scale."""
    return value if unit.has_no_prefix else value / unit.scale


def quantity(one: Quantity) -> str:
    return f"{number(one.number)}{NARROW}{one.unit.shown}"


def energy(joules: Fraction) -> str:
    """At most two figures, up, in J, mJ or µJ: what is said of a hazard is not less than it is."""
    name, scale = next((one for one in (("J", Fraction(1)), ("mJ", Fraction(1, 1000)))
                        if joules >= one[1]), ("µJ", Fraction(1, 10 ** 6)))
    value, step = joules / scale, Fraction(1)
    while value and value < 10 * step and step > Fraction(1, 10):
        step /= 10
    while value >= 100 * step:
        step *= 10
    return f"{number(math.ceil(value / step) * step)}{NARROW}{name}"


def plain_quantity(value: Fraction, unit: Unit, decimals: int = 0) -> str:
    """For the data files: '-0.540 V', a plain hyphen and an ASCII unit."""
    return f"{decimal_text(in_unit(value, unit), decimals)} {unit.ascii}"


_HERTZ = [(prefix + "Hz", Fraction(10) ** PREFIXES.get(prefix, 0)) for prefix in ("M", "k", "")]


def frequency(value: Fraction, plain: bool = False) -> str:
    """One spelling for each frequency: 1000 Hz and 1 kHz are both '1 kHz'; 0 is DC on a page."""
    if value == 0 and not plain:
        return "DC"
    for name, size in _HERTZ:
        if value >= size or name == "Hz":
            return f"{decimal_text(value / size)}{' ' if plain else NARROW}{name}"
    raise AssertionError


def frequencies(band: tuple[Fraction, Fraction], without: Collection[Fraction] = ()) -> str:
    """From the lowest to the highest; `without` are ends that are no part of it, 0 where no lowest
    is named."""
    low, high = frequency(band[0]), frequency(band[1])
    if low == high:
        return low
    if band[0] == 0:
        return f"{'below' if band[1] in without else 'up to'} {high}"
    if low[-3:].strip(NARROW) == high[-3:].strip(NARROW):
        low = low.split(NARROW)[0]
    return _from_to(low, high, band, without)


def band(values: tuple[Fraction, Fraction], unit: Unit, without: Collection[Fraction] = ()) -> str:
    low, high = (number(in_unit(value, unit)) for value in values)
    return _from_to(low, f"{high}{NARROW}{unit.shown}", values, without)


def plain_band(low: Fraction, high: Fraction, unit: Unit) -> str:
    """As problems name two ends: '3 V and 4 V'."""
    return f"{plain_quantity(low, unit)} and {plain_quantity(high, unit)}"


def _from_to(low: str, high: str, ends: tuple[Fraction, Fraction],
             without: Collection[Fraction]) -> str:
    return (f"{'above ' if ends[0] in without else ''}{low} to "
            f"{'below ' if ends[1] in without else ''}{high}")


def decimals(resolution: Fraction, unit: Unit) -> int:
    """How many decimals a display shows."""
    return decimals_of(in_unit(resolution, unit))


def tolerance(value: Fraction, unit: Unit, shown_decimals: int) -> str:
    """The tolerance with one decimal beyond the display's, rounded down, so that it never looks
    larger than it is; with more decimals where nothing would be left of it."""
    exact, places = in_unit(value, unit), shown_decimals + 1
    while exact and exact * 10**places < 1:
        places += 1
    return number(Fraction(math.floor(exact * 10**places), 10**places), shown_decimals)


def sides(below: Fraction, above: Fraction, unit: Unit, shown_decimals: int) -> str:
    """A tolerance with its signs and unit, as `tolerance` has its number: '±0.014 V', and where it
    differs up and down '+0.014 V −0.060 V'."""
    up, down = (f"{tolerance(one, unit, shown_decimals)}{NARROW}{unit.shown}"
                for one in (above, below))
    return f"±{up}" if below == above else f"+{up} −{down}"


def percent(value: Fraction) -> str:
    return f"{number(value)}{NARROW}%"


def percent_of(part: Fraction, whole: Fraction) -> str:
    """A share with one decimal, half away from zero: for showing only, nothing is decided by it.
    With a plain hyphen, as data have it."""
    tenths = math.floor(abs(part) / whole * 1000 + Fraction(1, 2))
    return decimal_text(Fraction(-tenths if part < 0 else tenths, 10), 1)


def counts(value: Fraction) -> str:
    return f"{number(value)} count{'' if value == 1 else 's'}"


def grouped(whole: int) -> str:
    """20000 is '20 000'; four digits stay together."""
    return f"{whole:,}".replace(",", NARROW) if whole >= 10000 else str(whole)


def capital(text: str) -> str:
    """A heading's first letter; the rest stays as it was written."""
    return text[:1].upper() + text[1:]


def slug(text: str) -> str:
    """Small ASCII letters, digits and hyphens; letters and signs that have none by their number, so
    that names stay apart."""
    return re.sub(r"[^a-z0-9]+", "-", "".join(map(_plain_letter, text)).lower()).strip("-")


def _plain_letter(character: str) -> str:
    if character in "µμΩ\u2126":
        return "u" if character in "µμ" else "ohm"
    plain = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    if unicodedata.category(character)[0] == "S" or (
            not plain and unicodedata.category(character)[0] == "L"):
        return f"-{ord(character):x}-"
    return plain or "-" if not unicodedata.category(character).startswith("M") else ""
