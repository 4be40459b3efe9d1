"""The functions that a meter may have. A new one is a line in `KINDS`, and nothing else for its limits."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FunctionKind:
    """`stage` is the part of the order of work (see `compute/exact/order.py`) that its points belong to."""

    name: str
    code: str              # begins the ids of its points
    dimension: str
    stage: str
    shows_minus: bool = False
    has_zero: bool = False
    is_ac: bool = False          # every accuracy row names its frequencies
    needs_frequency: bool = False  # every point names one
    needs_level: bool = False    # the signal's level is set apart from the value (frequency, duty cycle)
    zero_with: str = ""          # how the leads are held for the reading that is subtracted: together or apart
    may_lack_ranges: bool = False
    not_planned: str = ""        # why it has no points


TOGETHER, APART = "together", "apart"

KINDS = {kind.name: kind for kind in (
    FunctionKind("DC voltage", "dcv", "[voltage]", "voltage", shows_minus=True, has_zero=True),
    FunctionKind("AC voltage", "acv", "[voltage]", "voltage", is_ac=True, needs_frequency=True),
    FunctionKind("AC+DC voltage", "acdcv", "[voltage]", "voltage", is_ac=True, needs_frequency=True),
    FunctionKind("DC current", "dci", "[current]", "current", shows_minus=True, has_zero=True),
    FunctionKind("AC current", "aci", "[current]", "current", is_ac=True, needs_frequency=True),
    FunctionKind("AC+DC current", "acdci", "[current]", "current", is_ac=True, needs_frequency=True),
    FunctionKind("resistance", "res", "[resistance]", "inputs", has_zero=True, zero_with=TOGETHER),
    FunctionKind("conductance", "cond", "[conductance]", "inputs", has_zero=True),
    FunctionKind("capacitance", "cap", "[capacitance]", "inputs", has_zero=True, zero_with=APART),
    FunctionKind("temperature", "temp", "[temperature]", "thermocouple", shows_minus=True, has_zero=True),
    FunctionKind("frequency", "freq", "[frequency]", "voltage", needs_level=True),
    FunctionKind("duty cycle", "duty", "[ratio]", "voltage", needs_frequency=True, needs_level=True),
    FunctionKind("continuity", "cont", "[resistance]", "inputs", has_zero=True, may_lack_ranges=True, zero_with=TOGETHER),
    FunctionKind("diode test", "diode", "[voltage]", "inputs", has_zero=True, may_lack_ranges=True,
         not_planned="the diode test sources a current itself; check it with a known diode"),
)}
