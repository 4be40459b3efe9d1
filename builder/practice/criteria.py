"""What the trainee's path asks of practice, by number: counts and days, which the memory of a
device can show. They say what was answered there; what somebody can do is shown at the bench. All
the numbers are this project's choice."""

from __future__ import annotations

from dataclasses import dataclass

from builder.practice.bench_words import REMEMBERED
from builder.practice.exercise_sets import KINDS, LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """The last `row` answers of `kinds` are right and sure, over `days` days; or, without kinds,
    `row` whole sets with so many `right` in each."""

    number: str
    when: str
    kinds: tuple[str, ...]
    row: int
    days: int = 2
    right: int = 0

    @property
    def asked(self) -> str:
        """In words, as on the trainee's path."""
        days = f"on at least {_WORDS[self.days]} days"
        if not self.kinds:
            return (f"{_WORDS[self.row]} whole sets, {days}, each with {_WORDS[self.right]} or "
                    f"more of {_WORDS[LENGTH]} right")
        named = " and ".join(f"“{_name(kind)}”" for kind in self.kinds)
        return f"the last {_WORDS[self.row]} of {named} right and sure, {days}"


def _name(kind: str) -> str:
    return REMEMBERED[kind] if kind in REMEMBERED else KINDS[kind][0]


_WORDS = dict(enumerate("no one two three four five six seven eight nine ten".split()))

CRITERIA = (
    Criterion(number="P1", when="After the lessons on functions", kinds=(), row=2, right=9),
    Criterion(number="P2", when="Before the first live group", kinds=("steps", "missing"), row=6),
    Criterion(number="P3", when="Before the first live group", kinds=("drawing",), row=5),
    Criterion(number="P4", when="Before the first whole sheet", kinds=("judge", "sheet"), row=8),
    Criterion(number="P5", when="Before the first limits by hand", kinds=("limits",), row=4),
    Criterion(number="P6", when="Before the first live group", kinds=("bench-group",), row=3),
)
