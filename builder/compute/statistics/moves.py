"""Whether many meters moved together between two of their readings: what they share is the standard
that they were verified with, or the bench.

Each month is looked at, at each value; one change a meter counts, so that meters are independent of
each other, and many tests are corrected for (Holm 1979). What is tested, and how, is a choice of
this project. Errors are relative: shares of the value. Statistics, so floats; days are counts from
any origin. """

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

from builder.compute.statistics.shared import holm
from builder.compute.statistics.student import outside, student

LEAST_METERS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterChange:
    """Of one meter at one value: the relative error found on the day `after` less the last one of
    the day `before`. `allowed` is the tolerance and `rounding` a count of the display, as shares of
    the value."""

    meter: str
    before: float
    after: float
    moved: float
    allowed: float
    rounding: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What meters moved by together between their readings before and after `day`: the weighted
    mean, its standard uncertainty, and the chance of one as large where nothing shared moved."""

    day: float
    meters: int
    mean: float
    u: float
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundMove:
    """A move that is established: the days next to each other at which it shows, and the one at
    which it shows most. `chance` is that among all that was looked at."""

    key: Hashable
    most: Move
    first: float
    last: float
    chance: float


def _across(changes: Sequence[MeterChange], days: Sequence[float]
            ) -> dict[float, dict[str, MeterChange]]:
    """By day the change of each meter across it; read on the day counts as after it."""
    across: dict[float, dict[str, MeterChange]] = defaultdict(dict)
    for change in changes:
        for day in days:
            if change.before < day <= change.after:
                across[day][change.meter] = change
    return across


def moves(*, changes: Sequence[MeterChange], days: Sequence[float]) -> list[Move]:
    """At each day that the changes of at least three meters go across: Σ w·y/Σ w with
    w = 1/allowed², and Student's t with n − 1 degrees of freedom by the scatter of the meters
    themselves, s² = Σ w·(y − ȳ)²/((n − 1)·Σ w) (exact mathematics for normal changes whose spread
    goes with the tolerance; with other weights, and for other symmetric changes, the t test errs on
    the side of silence: Benjamini 1983, from memory). Two rounded readings differ by r/√6 at least,
    one standard deviation, so that counts that agree are never taken for sureness. """
    return [_move(day, list(own.values())) for day, own in sorted(_across(changes, days).items())
            if len(own) >= LEAST_METERS]


def _move(day: float, own: Sequence[MeterChange]) -> Move:
    weights = [1 / one.allowed ** 2 for one in own]
    total, n = math.fsum(weights), len(own)
    mean = math.fsum(w * one.moved for w, one in zip(weights, own, strict=True)) / total
    squares = math.fsum(w * (one.moved - mean) ** 2 for w, one in zip(weights, own, strict=True))
    floor = math.sqrt(math.fsum((w * one.rounding) ** 2
                                for w, one in zip(weights, own, strict=True)) / 6) / total
    u = max(math.sqrt(squares / (n - 1) / total), floor)
    chance = outside(t=abs(mean) / u, degrees=n - 1) if u else 0.0 if mean else 1.0
    return Move(day=day, meters=n, mean=mean, u=u, chance=chance)


def found(*, moved: Mapping[Hashable, Sequence[Move]], chance: float) -> list[FoundMove]:
    """What is established among all of them with this chance of anything false; days next to each
    other with one sign are one move. The surest first."""
    every = [(key, n, move) for key, own in moved.items() for n, move in enumerate(own)]
    counted = holm([move.chance for _, _, move in every])
    runs: list[list[tuple[Hashable, int, Move, float]]] = []
    for (key, n, move), adjusted in zip(every, counted, strict=True):
        if adjusted > chance:
            continue
        last = runs[-1][-1] if runs else None
        if last and last[0] == key and last[1] == n - 1 and last[2].mean * move.mean > 0:
            runs[-1].append((key, n, move, adjusted))
        else:
            runs.append([(key, n, move, adjusted)])
    made = []
    for run in runs:
        key, _, most, adjusted = min(run, key=lambda one: (one[2].chance, -abs(one[2].mean)))
        made.append(FoundMove(key=key, most=most, first=run[0][2].day, last=run[-1][2].day,
                              chance=adjusted))
    return sorted(made, key=lambda one: one.most.chance)


def noticeable(*, move: Move, chance: float) -> float:
    """The smallest move that these meters would have shown at `chance`: t·u. One as large is
    noticed every second time."""
    return student(degrees=move.meters - 1, probability=1 - chance) * move.u
