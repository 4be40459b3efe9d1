"""The units of the trade, in one table: what they are called in files, in the data and on pages,
and what a problem calls them. Python, the page's scripts and the schemas take theirs from here.

A unit that isn't in the table is refused, so that no text can mean anything else. Decibels are no
unit of a quantity here; the scales of temperature stand apart, since no factor leads from one to
the other.
"""

from __future__ import annotations

from dataclasses import dataclass

# The powers of ten; a small letter for a capital one is never guessed, since m and M differ.
PREFIXES = {"p": -12, "n": -9, "u": -6, "m": -3, "k": 3, "M": 6, "G": 9}
PREFIX_WORDS = {"pico": "p", "nano": "n", "micro": "u", "milli": "m", "kilo": "k", "mega": "M",
                "meg": "M", "giga": "G"}

# Signs of a keyboard or a data sheet for letters of the table: both signs of micro and of ohm.
SAME_SIGN = {"\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseUnit:
    """A unit without its prefix. `symbol` stands in data files, `written` in files that people
    write, `shown` on pages; `words` are its other spellings."""

    symbol: str
    dimension: str
    kind: str                       # how a problem names what is measured in it
    plural: str                     # how a problem names what it expected
    words: tuple[str, ...] = ()
    shown: str = ""                 # "" where it is the symbol
    written: str = ""               # "" where it is the symbol
    suggested: str = ""             # prefixes that a hint offers, '-' for none of them
    takes_prefixes: bool = True
    on_displays: bool = True        # what a meter may show
    seconds: int = 1                # of a time


UNITS = (
    BaseUnit(symbol="V", dimension="[voltage]", kind="a voltage", plural="volts",
             words=("volt", "volts"), suggested="u m - k"),
    BaseUnit(symbol="A", dimension="[current]", kind="a current", plural="amperes",
             words=("ampere", "amperes"), suggested="u m -"),
    BaseUnit(symbol="Ohm", dimension="[resistance]", kind="a resistance", plural="ohms",
             words=("ohm", "ohms"), shown="Ω", written="ohm", suggested="- k M G"),
    BaseUnit(symbol="F", dimension="[capacitance]", kind="a capacitance", plural="farads",
             words=("farad", "farads"), suggested="p n u m"),
    BaseUnit(symbol="H", dimension="[inductance]", kind="an inductance", plural="henries",
             words=("henry", "henries"), suggested="u m -"),
    BaseUnit(symbol="S", dimension="[conductance]", kind="a conductance", plural="siemens",
             words=("siemens",), suggested="n"),
    BaseUnit(symbol="Hz", dimension="[frequency]", kind="a frequency", plural="hertz",
             words=("hertz",), suggested="- k M"),
    BaseUnit(symbol="%", dimension="[ratio]", kind="a percentage", plural="percent",
             words=("percent",), takes_prefixes=False),
    BaseUnit(symbol="degC", dimension="[temperature]", kind="a temperature", plural="degrees",
             words=("°C", "℃"), shown="°C", suggested="-", takes_prefixes=False),
    BaseUnit(symbol="degF", dimension="[temperature]", kind="a temperature", plural="degrees",
             words=("°F", "℉"), shown="°F", suggested="-", takes_prefixes=False),
    BaseUnit(symbol="s", dimension="[time]", kind="a time", plural="seconds",
             words=("second", "seconds"), suggested="-", on_displays=False),
    BaseUnit(symbol="min", dimension="[time]", kind="a time", plural="seconds",
             words=("minute", "minutes"), suggested="-", takes_prefixes=False, on_displays=False,
             seconds=60),
    BaseUnit(symbol="h", dimension="[time]", kind="a time", plural="seconds",
             words=("hour", "hours"), takes_prefixes=False, on_displays=False, seconds=3600),
    BaseUnit(symbol="m", dimension="[length]", kind="a length", plural="metres",
             words=("metre", "metres"), on_displays=False),
    BaseUnit(symbol="V Hz", dimension="[voltage-frequency]",
             kind="a product of voltage and frequency", plural="V Hz", shown="V·Hz",
             words=("VHz", "V·Hz", "V*Hz", "V · Hz", "V * Hz"), suggested="-",
             takes_prefixes=False, on_displays=False),
)

BY_DIMENSION = {unit.dimension: unit for unit in reversed(UNITS)}   # the first of each
