"""The order of work: safe first, then as few changes as possible."""

from __future__ import annotations

from fractions import Fraction
from typing import Sequence

# As found first; nothing live before the fuses are known to be right; hazardous voltages once the
# meter is known to read; currents last, since their jacks are the ones that a voltage must never
# meet.
STAGES = ("opened", "by eye", "battery and fuses", "display and keys", "thermocouple", "inputs",
          "voltage", "hazardous voltage", "milliamps", "amps", "proving", "closing")

# what a group of points needs set, what is most work to change first: jacks, terminals, dial
Setup = tuple

_EXACT_UP_TO = 8


def stage_of(*, stage: str, hazardous: bool, full_scale: Fraction) -> str:
    """The stage of a point; `stage` is its function's, `full_scale` its range's name in A for a
    current."""
    if stage == "voltage":
        return "hazardous voltage" if hazardous else "voltage"
    if stage == "current":
        return "amps" if full_scale >= 1 else "milliamps"
    return stage


def changes(before: Setup | None, after: Setup) -> tuple[int, ...]:
    """Which parts of the setup differ, as ones and zeros; nothing is changed before the first
    group."""
    return tuple(int(before is not None and a != b) for a, b in zip(before or after, after))


def fewest_changes(stages: Sequence[Sequence[Setup]]) -> list[list[int]]:
    """An order of the groups within each stage with the fewest changes over the whole work.

    Counts changes of the setup's first part, then of the second and so on; among equals the order
    given wins. Exact up to 8 groups a stage, by trying every subset of a stage with every last
    group (Held and Karp 1962); beyond that, groups of one setup are kept together.
    """
    best: dict[Setup | None, tuple[tuple[int, ...], tuple[tuple[int, ...], ...]]] = {None: ((), ())}
    for groups in stages:
        if groups:
            best = _through(groups, best)
        else:
            best = {last: (cost, (*order, ())) for last, (cost, order) in best.items()}
    _, order = min(best.values())
    return [list(one) for one in order]


def _add(a: tuple[int, ...], b: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(x + y for x, y in zip(a, b)) if a else b


def _through(groups: Sequence[Setup], best: dict) -> dict:
    count = len(groups)
    if count > _EXACT_UP_TO:
        return _kept_together(groups, best)
    paths: dict[tuple[int, int], tuple] = {}  # (groups done, last one) -> (cost, order so far)
    for last, (cost, order) in best.items():
        for i, setup in enumerate(groups):
            candidate = (_add(cost, changes(last, setup)), (*order, (i,)))
            key = (1 << i, i)
            if key not in paths or candidate < paths[key]:
                paths[key] = candidate
    for done in range(1, 1 << count):
        for i in range(count):
            here = paths.get((done, i))
            if here is None:
                continue
            for j in range(count):
                if done >> j & 1:
                    continue
                key = (done | 1 << j, j)
                candidate = (_add(here[0], changes(groups[i], groups[j])),
                             (*here[1][:-1], (*here[1][-1], j)))
                if key not in paths or candidate < paths[key]:
                    paths[key] = candidate
    ends: dict = {}
    for i, setup in enumerate(groups):
        candidate = paths[((1 << count) - 1, i)]
        if setup not in ends or candidate < ends[setup]:
            ends[setup] = candidate
    return ends


def _kept_together(groups: Sequence[Setup], best: dict) -> dict:
    last, (cost, order) = min(best.items(), key=lambda item: item[1])
    first_seen = [{}, {}, {}, {}]
    for i, setup in enumerate(groups):
        for seen, part in zip(first_seen, setup):
            seen.setdefault(part, i)
    along = sorted(range(len(groups)), key=lambda i: (
        *((last is None or part != last[k], first_seen[k][part]) for k,
          part in enumerate(groups[i])), i))
    # the only one that goes on, so its cost decides nothing more
    return {groups[along[-1]]: (cost, (*order, tuple(along)))}
