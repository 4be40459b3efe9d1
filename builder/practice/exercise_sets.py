"""A set of exercises from a seed: the same shop and the same seed give the same set, byte for byte,
on every Python."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from builder.compute.exact.draw import Draw
from builder.practice.bench import Bench
from builder.practice.choose_range import choose_range
from builder.practice.exercise import Exercise
from builder.practice.find_limits import find_limits, judge_reading
from builder.practice.put_in_order import missing_step, order_groups, order_steps
from builder.practice.read_drawing import read_drawing
from builder.practice.spot_mistake import spot_mistake
from builder.shop.loading import without_collector

# Each kind: its title, what it asks, its maker, and what a shop needs for it.
KINDS = {
    "limits": ("Find the limits", "from the accuracy table to the readings that are accepted",
               find_limits, "an accuracy table with limits that mistakes would move"),
    "judge": ("Judge the reading", "within, not within, or no verdict at all", judge_reading,
              "an accuracy table with limits"),
    "range": ("Choose the range", "by the readings at which ranges end", choose_range,
              "a function with several ranges"),
    "sheet": ("Spot the mistake", "one line of four on a filled-in sheet", spot_mistake,
              "a function with room for four points"),
    "steps": ("Put the steps in order", "around a group of points", order_steps,
              "a plan with a source"),
    "missing": ("Find the missing step", "in the round of a live group", missing_step,
                "a plan with a live group"),
    "groups": ("Put the groups in order", "safe first, currents last", order_groups,
               "a plan with several parts of the work"),
    "drawing": ("Read the drawing", "which connection is right for this point", read_drawing,
                "a plan with connections that can be drawn"),
}

# A set, in an order of its own: what a sheet needs most stands twice. Of the round a set has one,
# since each shows the answer to the other.
_SET = ("limits", "limits", "judge", "judge", "range", "range", "sheet", "groups", "drawing")
_ROUND = ("steps", "missing")
LENGTH = len(_SET) + 1

HIGHEST = 999_999   # seeds go from 1 to here


@dataclass(frozen=True, slots=True)
class ExerciseSet:
    seed: int
    exercises: tuple[Exercise, ...]
    left_out: tuple[str, ...]   # kinds that this shop gives no exercise for, in a sentence each
    # changes with the exercises, so that a sheet and its answers can be told to belong together
    edition: str


@without_collector()
def make(bench: Bench, seed: int) -> ExerciseSet:
    exercises: list[Exercise] = []
    missing: list[str] = []
    order = Draw(seed, "kinds")
    for n, kind in enumerate(order.mixed((*_SET, order.one(_ROUND)))):
        if not bench.meters or kind in missing:
            continue
        for attempt in range(3):  # a draw may find nothing, or what stands in the set already
            made = KINDS[kind][2](Draw(seed, f"{n} {kind} {attempt}"), bench)
            if made is not None and made not in exercises:
                exercises.append(made)
                break
        else:
            missing.append(kind)
    made_kinds = {one.kind for one in exercises}
    left_out = tuple(f"“{KINDS[kind][0]}” is left out: it needs {KINDS[kind][3]}."
                     for kind in missing if kind not in made_kinds)
    if not bench.meters:
        left_out = (
            "No exercises yet: they are made from the meters in procedures/meters/, and there is "
            "none with an accuracy table.",)
    return ExerciseSet(seed, tuple(exercises), left_out, _edition(exercises))


def _edition(exercises: list[Exercise]) -> str:
    said = [[one.kind, one.given, one.ask, one.items, one.ordered,
             [[c.text, c.why, c.cells] for c in one.choices], one.reasons] for one in exercises]
    return hashlib.sha256(repr(said).encode()).hexdigest()[:8]
