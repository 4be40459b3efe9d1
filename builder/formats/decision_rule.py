"""Decision rules by the names that plans write, which are their codes in the data too."""

from __future__ import annotations

import difflib
import re
from fractions import Fraction

from builder.compute.statistics.decision import MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE, Rule
from builder.files.problems import Wrong
from builder.numbers import units
from builder.numbers.units import decimal_text

SIMPLE_ACCEPTANCE = "simple acceptance"
RULES = {
    SIMPLE_ACCEPTANCE: Rule(SIMPLE), "guard band of U": Rule(MULTIPLE, Fraction(1)),
    "guard band by root-sum-square": Rule(ROOT_SUM_SQUARE),
    "guard band by multiplier M": Rule(MULTIPLIER),
}
_NAMES = {rule: name for name, rule in RULES.items()}


def rule_of(text: str) -> Rule:
    """The rule that a plan names; raises `Wrong` if there is none of that name."""
    if text in RULES:
        return RULES[text]
    if match := re.fullmatch(r"guard band of (\S+) U", text):
        g = units.plain_number(match[1], "the multiple of U")
        if 0 < g <= 5:
            return Rule(MULTIPLE, g)
    near = difflib.get_close_matches(text, RULES, 1, 0.4)
    raise Wrong(f"'{text}' is not a decision rule known here",
                "one of: " + ", ".join(RULES) + ", guard band of 0.8 U"
                + (f"; did you mean '{near[0]}'?" if near else ""))


def rule_name(rule: Rule) -> str:
    """The name of a rule, as plans write it."""
    return _NAMES[rule] if rule in _NAMES else f"guard band of {decimal_text(rule.g)} U"
