"""What the points of one meter have in common, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from builder.numbers.exact_text import NARROW, capital, minus
from builder.numbers.statistics_text import figures, percent
from builder.records.shared_causes import FALSE_ALARM, SharedFunction

A_YEAR = 365.2425     # days
AT_ONE_RATE = 3.0     # standard uncertainties of a difference (choice of this project)
# What a meter measures a function by; what drifts with it is looked for there first.
GOES_BY = {"resistance": "its reference for resistance", "frequency": "its time base",
           "capacitance": "its reference for capacitance"}


def part_text(share: float) -> str:
    """A share of the value with its sign: in ppm, from 0.1 % on in percent."""
    value, unit = (share * 100, "%") if abs(share) >= 0.001 else (share * 1e6, "ppm")
    sign = "+" if value > 0 else ""
    return sign + minus(figures(value)) + NARROW + unit


def shared_lines(shared: Sequence[SharedFunction]) -> Iterator[str]:
    """What is established, function by function; then what several have in common."""
    for function in shared:
        if function.drifts:
            yield _drift(function)
        elif function.jumped:
            yield _jump(function)
    drifting = [one for one in shared if one.drifts]
    if len(drifting) > 1 and _at_one_rate(drifting):
        named = [one.function for one in drifting]
        yield (f"{capital(', '.join(named[:-1]))} and {named[-1]} do so at one rate, within what "
               "their uncertainties allow: look first for what all of them go by.")


def looked_at(shared: Sequence[SharedFunction]) -> str:
    """How many were looked at, and how often that says something wrong."""
    n = len(shared)
    functions = "One function was" if n == 1 else f"{n} functions were"
    return (f"{functions} looked at together, for a drift and for a jump of the last record; of a "
            "hundred meters whose points share nothing, one at most is said to have something "
            f"({FALSE_ALARM * 100:.0f}{NARROW}%). Each record counts as one: the weighted mean of "
            "its points’ errors, in parts of the value. It has to show without each single range "
            "too.")


def _points(own: SharedFunction) -> str:
    shared = own.found
    return f"{capital(own.function)}: the {shared.points} points on {shared.ranges} ranges"


def _suspect(own: SharedFunction) -> str:
    return GOES_BY.get(own.function, "its voltage reference" if "volt" in own.function
                       or "current" in own.function else "what this function goes by")


def _drift(own: SharedFunction) -> str:
    shared = own.found
    return (f"{_points(own)} drift together, by {part_text(shared.slope * A_YEAR)} of the value a "
            f"year (standard uncertainty {part_text(shared.u_slope * A_YEAR).lstrip('+')}, "
            f"{shared.records} records). That is one cause, and no {shared.points} drifts: "
            f"{_suspect(own)} is suspected. The chance of this by accident: "
            f"{percent(own.drift_chance)}.")


def _jump(own: SharedFunction) -> str:
    shared = own.found
    return (f"{_points(own)} all moved since the time before, by {part_text(shared.jump)} of the "
            f"value. {capital(_suspect(own))} is suspected, an adjustment that no record tells of, "
            "or the standard that one of the two records was read with. The chance of this by "
            f"accident: {percent(own.jump_chance)}.")


def _at_one_rate(drifting: Sequence[SharedFunction]) -> bool:
    return all(abs(a.found.slope - b.found.slope)
               <= AT_ONE_RATE * math.hypot(a.found.u_slope, b.found.u_slope)
               for a in drifting for b in drifting)
