"""The functions that a meter may have. A new one is a line in `KINDS`, and nothing else for its
limits."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from builder.compute.exact.order import CURRENT, INPUTS, THERMOCOUPLES, VOLTAGE


@dataclass(frozen=True, slots=True, kw_only=True)
class FunctionKind:
    """`stage` is the part of the order of work (see `compute/exact/order.py`) that its points
    belong to."""

    name: str
    code: str              # begins the ids of its points
    dimension: str
    stage: str
    shows_minus: bool = False
    has_zero: bool = False
    is_ac: bool = False          # every accuracy row names its frequencies
    needs_frequency: bool = False  # every point names one
    # the signal's level is set apart from the value (frequency, duty cycle)
    needs_level: bool = False
    # how the leads are held for the reading that is subtracted: together or apart
    zero_with: str = ""
    may_lack_ranges: bool = False
    with_dc: bool = False        # a row may hold for a steady value
    not_planned: str = ""        # why it has no points

    @property
    def goes_by_method(self) -> bool:
        """Whether a value depends on how it is read: by which frequency and level, or charged by a
        steady current."""
        return self.dimension in ("[capacitance]", "[inductance]")


TOGETHER, APART = "together", "apart"

KINDS = {kind.name: kind for kind in (
    FunctionKind(name="DC voltage", code="dcv", dimension="[voltage]", stage=VOLTAGE,
                 shows_minus=True, has_zero=True),
    FunctionKind(name="AC voltage", code="acv", dimension="[voltage]", stage=VOLTAGE, is_ac=True,
                 needs_frequency=True),
    FunctionKind(name="AC+DC voltage", code="acdcv", dimension="[voltage]", stage=VOLTAGE,
                 is_ac=True, needs_frequency=True, with_dc=True),
    FunctionKind(name="DC current", code="dci", dimension="[current]", stage=CURRENT,
                 shows_minus=True, has_zero=True),
    FunctionKind(name="AC current", code="aci", dimension="[current]", stage=CURRENT, is_ac=True,
                 needs_frequency=True),
    FunctionKind(name="AC+DC current", code="acdci", dimension="[current]", stage=CURRENT,
                 is_ac=True, needs_frequency=True, with_dc=True),
    FunctionKind(name="resistance", code="res", dimension="[resistance]", stage=INPUTS,
                 has_zero=True, zero_with=TOGETHER),
    FunctionKind(name="conductance", code="cond", dimension="[conductance]", stage=INPUTS,
                 has_zero=True),
    FunctionKind(name="capacitance", code="cap", dimension="[capacitance]", stage=INPUTS,
                 has_zero=True, zero_with=APART),
    FunctionKind(name="inductance", code="ind", dimension="[inductance]", stage=INPUTS,
                 has_zero=True, zero_with=TOGETHER),
    FunctionKind(name="temperature", code="temp", dimension="[temperature]", stage=THERMOCOUPLES,
                 shows_minus=True,
                 has_zero=True),
    FunctionKind(name="frequency", code="freq", dimension="[frequency]", stage=VOLTAGE,
                 needs_level=True),
    FunctionKind(name="duty cycle", code="duty", dimension="[ratio]", stage=VOLTAGE,
                 needs_frequency=True, needs_level=True),
    FunctionKind(name="continuity", code="cont", dimension="[resistance]", stage=INPUTS,
                 has_zero=True, may_lack_ranges=True, zero_with=TOGETHER),
    FunctionKind(name="diode test", code="diode", dimension="[voltage]", stage=INPUTS,
                 has_zero=True, may_lack_ranges=True,
                 not_planned="the diode test sources a current itself; check it with a known "
                             "diode"),
)}


# What meters do and no accuracy table of a file here can hold, by what its name has in it.
_NOT_HERE = (r"in-?rush|peak|contact|phase|rotation|\bdb|decibel|harmonic|insulation|humidity|light"
             r"|noise|power|energy|pulse|\brpm\b|torque|field|\bncv\b|logg")
_ELSEWHERE = "write it under 'other_functions', such as '- {{name: {name}, because: …}}'"


def hint(name: str) -> str:
    """What to do about a function that isn't known here."""
    if re.search(_NOT_HERE, name, re.I):
        return ("no limits of it can be computed here: " + _ELSEWHERE.format(name=name)
                + ", and plan a check of your own for it")
    known = next((one for one in sorted(KINDS, key=len, reverse=True)
                  if re.search(rf"(?<!\w){re.escape(one)}(?!\w)", name, re.I)), None)
    if known:
        return f"write 'function: {known}' with 'name: {name}' beside it"
    near = difflib.get_close_matches(name, KINDS, 1, 0.75)
    return (f"did you mean '{near[0]}'?" if near
            else "one of: " + ", ".join(KINDS) + "; else " + _ELSEWHERE.format(name=name))
