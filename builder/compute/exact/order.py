"""The order of work: safe first, then as few changes as possible."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from operator import add
from typing import NamedTuple

# As found first; nothing live before the fuses are known to be right; hazardous voltages once the
# meter is known to read; currents last, since their jacks are the ones that a voltage must never
# meet.
# These are codes, and plans write them as they are: 'when: by eye'.
(OPENED, BY_EYE, BATTERY_AND_FUSES, DISPLAY_AND_KEYS, THERMOCOUPLES, INPUTS, VOLTAGE,
 HAZARDOUS_VOLTAGE, MILLIAMPS, AMPS, PROVING, CLOSING) = STAGES = (
    "opened", "by eye", "battery and fuses", "display and keys", "thermocouple", "inputs",
    "voltage", "hazardous voltage", "milliamps", "amps", "proving", "closing")
CURRENT = "current"     # of a function, whose points are of MILLIAMPS or of AMPS

# what a group of points needs set, what is most work to change first: jacks, terminals, dial
Setup = tuple

_EXACT_UP_TO = 8    # groups of a stage


def stage_of(*, stage: str, hazardous: bool, full_scale: Fraction) -> str:
    """The stage of a point; `stage` is its function's, `full_scale` its range's name in A for a
    current."""
    if stage == VOLTAGE:
        return HAZARDOUS_VOLTAGE if hazardous else VOLTAGE
    if stage == CURRENT:
        return AMPS if full_scale >= 1 else MILLIAMPS
    return stage


def changes(before: Setup | None, after: Setup) -> tuple[int, ...]:
    """Which parts of the setup differ, as ones and zeros; nothing is changed before the first
    group."""
    return tuple(int(before is not None and a != b)
                 for a, b in zip(before or after, after, strict=True))


class Tour(NamedTuple):
    """A way through the work so far: how often each part of the setup changed, and by stage the
    groups in the order in which they are done. Of two tours the smaller one is better: fewer
    changes of the first part, then of the second and so on, then the order given."""

    cost: tuple[int, ...] = (0, 0, 0)
    order: tuple[tuple[int, ...], ...] = ()

    def to_next_stage(self) -> Tour:
        return Tour(self.cost, (*self.order, ()))

    def to_group(self, group: int, changed: tuple[int, ...]) -> Tour:
        """One group more in the stage that was begun last."""
        *before, stage = self.order
        return Tour(tuple(map(add, self.cost, changed)), (*before, (*stage, group)))


# by the setup that a stage ends with, the best tour that ends so; None before the first group
Ends = dict[Setup | None, Tour]


def fewest_changes(stages: Sequence[Sequence[Setup]]) -> list[list[int]]:
    """An order of the groups within each stage with the fewest changes over the whole work.

    Counts changes of the setup's first part, then of the second and so on; among equals the order
    given wins. Exact while no stage has more than 8 groups; in a larger one, groups of one setup
    are kept together.
    """
    ends: Ends = {None: Tour()}
    for groups in stages:
        begun = {last: tour.to_next_stage() for last, tour in ends.items()}
        through = _every_order if len(groups) <= _EXACT_UP_TO else _kept_together
        ends = through(groups, begun)
    return [list(of_stage) for of_stage in min(ends.values()).order]


def _every_order(groups: Sequence[Setup], begun: Ends) -> Ends:
    """Through a stage in every order, one group more in each round. What still lies ahead hangs
    only on which groups are done and on what is set, so of the tours that agree in both only the
    best goes on (Held and Karp 1962): 2ⁿ sets of groups instead of n! orders."""
    tours = {(frozenset[int](), last): tour for last, tour in begun.items()}
    for _ in groups:
        longer: dict[tuple[frozenset[int], Setup | None], Tour] = {}
        for (done, last), tour in tours.items():
            for i, setup in enumerate(groups):
                if i not in done:
                    reached = done | {i}, setup
                    candidate = tour.to_group(i, changes(last, setup))
                    longer[reached] = min(candidate, longer.get(reached, candidate))
        tours = longer
    return {last: tour for (_, last), tour in tours.items()}


def _kept_together(groups: Sequence[Setup], begun: Ends) -> Ends:
    """Through a stage with too many groups for `_every_order`, whose sets double with each group:
    what is set already comes first, then the parts in the order in which they are first met."""
    last, tour = min(begun.items(), key=lambda end: end[1])
    columns = list(zip(*groups, strict=True))

    def rank(i: int) -> list[tuple[bool, int]]:
        return [(last is None or part != last[k], columns[k].index(part))
                for k, part in enumerate(groups[i])]

    for i in sorted(range(len(groups)), key=rank):
        tour, last = tour.to_group(i, changes(last, groups[i])), groups[i]
    return {last: tour}
