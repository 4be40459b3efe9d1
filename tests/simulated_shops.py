"""Simulated shops: `python -m tests.simulated_shops` prints how often a step of the standard is
found in them, and how often something is that isn't there. All of it is invented.

A shop has fifty meters, each read once a year on a day of its own for ten years at one value. A
meter keeps an error of its own, drifts by its own rate and scatters from year to year; its display
rounds. The standard is calibrated once a year, each time a little otherwise, and once in the years
3 to 8 it steps. Everything is in units of the tolerance; the standard's U is the tolerance divided
by the ratio. """

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from builder.compute.statistics.moves import FoundMove, MeterChange, found, moves

DEVELOPERS = Path(__file__).parents[1] / "DEVELOPERS.md"
METERS, YEARS, A_YEAR, A_MONTH = 50, 10, 365.2425, 365.2425 / 12
OWN, DRIFT, SCATTER, COUNT = 0.3, 0.03, 0.05, 0.1     # of the tolerance
CALIBRATED = 0.25       # of U: the standard deviation of a calibration, the certificate's own
CHANCE = 0.01           # of anything false in a shop
RATIOS, STEPS, SHOPS = (4, 10, 28), (0.3, 1.0, 3.0), 200


def shop(chance: random.Random, *, ratio: float, step: float,
         calibrated: float = 0.0) -> tuple[list[MeterChange], float]:
    """The changes of all meters, and the day of the step, which is `step` times U; `calibrated` is
    the scatter of calibrations in parts of U."""
    U = 1 / ratio
    when = chance.uniform(2, 8) * A_YEAR
    offsets = [chance.gauss(0, calibrated * U) for _ in range(YEARS + 1)]
    changes = []
    for meter in range(METERS):
        own, rate = chance.uniform(-OWN, OWN), chance.gauss(0, DRIFT)
        turn, before = chance.uniform(0, A_YEAR), None
        for year in range(YEARS):
            day = year * A_YEAR + turn + chance.uniform(-10, 10)
            error = (own + rate * year + chance.gauss(0, SCATTER)
                     + offsets[int(max(0, day) / A_YEAR)] + (step * U if day >= when else 0.0))
            shown = round(error / COUNT) * COUNT
            if before is not None:
                changes.append(MeterChange(meter=str(meter), before=before[0], after=day,
                                           moved=shown - before[1], allowed=1.0, rounding=COUNT))
            before = day, shown
    return changes, when


def looked_at(changes: list[MeterChange], chance: float = CHANCE) -> list[FoundMove]:
    days = [n * A_MONTH for n in range(1, YEARS * 12 + 1)]
    return found(moved={"the value": moves(changes=changes, days=days)}, chance=chance)


def is_found(chance: random.Random, *, ratio: float, step: float,
             calibrated: float = 0.0) -> bool:
    """Whether the step is found, with its sign, within three months of its day."""
    changes, when = shop(chance, ratio=ratio, step=step, calibrated=calibrated)
    return any(one.most.mean > 0 and abs(one.most.day - when) <= 3 * A_MONTH
               for one in looked_at(changes))


def table() -> Iterator[str]:
    """Rows of Markdown: found of the shops, by step and ratio, and false alarms of shops without a
    step."""
    yield ("| ratio | step 0.3 U | step 1 U | step 3 U | nothing steps, something found | the "
           "same, calibrations scatter by U/4 |")
    yield "|---|---|---|---|---|---|"
    for ratio in RATIOS:
        cells = [sum(is_found(random.Random(f"{ratio} {step} {n}"), ratio=ratio, step=step)
                     for n in range(SHOPS)) for step in STEPS]
        for scatter in (0.0, CALIBRATED):
            cells.append(sum(bool(looked_at(shop(random.Random(f"{ratio} none {n}"), ratio=ratio,
                                                 step=0.0, calibrated=scatter)[0]))
                             for n in range(SHOPS)))
        yield f"| {ratio}:1 | " + " | ".join(f"{n / SHOPS * 100:.1f} %" for n in cells) + " |"


if __name__ == "__main__":
    for row in table():
        print(row, flush=True)
