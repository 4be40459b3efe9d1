"""The words of what stops the work: at the lines at which it waits, and beside the answers."""

from __future__ import annotations

from typing import Literal

from builder.formats.group_data import ENERGY, EVERYTHING, HAZARDOUS, NOTHING

STOPS = {
    ENERGY: "HOLD: source or meter gives out energy after this line.",
    HAZARDOUS: "HOLD: hazardous voltage follows this line.",
    "steps": "Read the answers at steps {steps}.",
    "not checked": "Not checked on this sheet: {names}.",
    "stop": "To stop: set the source to standby. Pull every lead. Label the meter. Tick the "
    "verdict “not safe to use”, or “not completed” where the fault is the bench's. After a repair, "
    "answer the step again beside the first answer.",
    EVERYTHING: "no: stop", "one": "no: stop {what}",
}


def hold_said(before: Literal["energy", "hazardous voltage"], steps: tuple[str, ...],
              not_checked: tuple[str, ...]) -> str:
    """What stands at a hold: what follows, the steps whose answers decide, and what the sheet
    doesn't check."""
    sentences = [STOPS[before]]
    if steps:
        sentences.append(STOPS["steps"].format(steps=shortened(steps)))
    if not_checked:
        sentences.append(STOPS["not checked"].format(names=", ".join(not_checked)))
    return " ".join(sentences)


def no_stops(stops: str) -> str:
    """What a no stops, beside the answers; "" for nothing."""
    if stops in (EVERYTHING, NOTHING):
        return STOPS.get(stops, "")
    return STOPS["one"].format(what=stops)


def shortened(steps: tuple[str, ...]) -> str:
    """"1.1, 1.2, 1.3, 2.1" as "1.1 to 1.3, 2.1"."""
    runs: list[list[str]] = []
    for step in steps:
        group, _, number = step.rpartition(".")
        if runs and runs[-1][-1] == f"{group}.{int(number) - 1}":
            runs[-1].append(step)
        else:
            runs.append([step])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)
