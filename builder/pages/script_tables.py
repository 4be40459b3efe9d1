"""The tables that the page's scripts need, as a script: units, sentences and constants, from where
the builder has its own. Nothing in it is typed twice."""

from __future__ import annotations

import json

from builder.compute.exact import compared, hazard
from builder.drawing.reading_band import band_parts
from builder.formats import outcomes
from builder.numbers.unit_table import PREFIX_WORDS, PREFIXES, SAME_SIGN, UNITS, BaseUnit
from builder.numbers.units import decimal_text
from builder.procedure.refusals import OF_ANY_VALUE, REFUSALS
from builder.records.reading_words import ANY_VALUE, AT_THE_BENCH, NEAR_ZERO, SHORT

OUTCOMES = {"PASS": outcomes.PASS, "CONDITIONAL_PASS": outcomes.CONDITIONAL_PASS,
            "CONDITIONAL_FAIL": outcomes.CONDITIONAL_FAIL, "FAIL": outcomes.FAIL,
            "WRITTEN": outcomes.WRITTEN, "INCOMPLETE": outcomes.INCOMPLETE,
            "REFUSED": outcomes.REFUSED}


def script() -> str:
    """`Bench.tables`, the same for every shop."""
    tables = {
        "prefixes": {"": 0, **PREFIXES}, "prefix_words": PREFIX_WORDS, "same_sign": SAME_SIGN,
        "units": [{"symbol": unit.symbol, "shown": unit.shown or unit.symbol,
                   "prefixes": unit.takes_prefixes, "typed": _as_typed(unit)} for unit in UNITS],
        "readings": AT_THE_BENCH, "short": SHORT,
        "outcomes": OUTCOMES,
        "near_reference": [decimal_text(share) for share in (compared.LOWEST, compared.HIGHEST,
                                                             compared.AT_ZERO)],
        "near_zero": NEAR_ZERO,
        "near_zero_numbers": [decimal_text(number) for number in (
            hazard.SEEN_WITHIN, hazard.NEAR_ZERO, hazard.HAZARDOUS_AC)],
    }
    return f"(window.Bench=window.Bench||{{}}).tables={_as_script(tables)};\n"


def _as_typed(unit: BaseUnit) -> list[str]:
    """How a reading may spell a unit, in small letters; no display shows one without any."""
    return sorted({text.lower() for text in (unit.symbol, *unit.words)} if unit.on_displays else ())


def refusals() -> str:
    """What the limits of any value need: `Bench.tables.refusals`, the sentence of each and whether
    a hint names the nearest clear values, and `any_value`, what is said of a reading."""
    tables = {code: [REFUSALS[code][0], "{clear}" in REFUSALS[code][1]] for code in OF_ANY_VALUE}
    return (f"Bench.tables.refusals={_as_script(tables)};\n"
            f"Bench.tables.any_value={_as_script(ANY_VALUE)};\n")


def band() -> str:
    """`Bench.band`: what a point's card draws its band of."""
    return f"Bench.band={_as_script(band_parts())};\n"


def _as_script(tables: dict[str, object]) -> str:
    return json.dumps(tables, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
