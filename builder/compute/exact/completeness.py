"""Completeness: every function, range and accuracy row is tested or left out with a reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Key = tuple  # (function, range or None, row or None), from wide to narrow


@dataclass(frozen=True, slots=True)
class Covered:
    """A row of the completeness table: the points or the check that test it, or why it is left
    out."""

    key: Key
    tested_by: tuple[str, ...]
    left_out_because: str | None

    @property
    def is_forgotten(self) -> bool:
        return not self.tested_by and self.left_out_because is None


def completeness(*, required: Sequence[Key], tested: dict[Key, list[str]],
                 left_out: Sequence[tuple[Key, str]]) -> tuple[list[Covered], list[int]]:
    """The table in the order of `required`, and which entries of `left_out` leave out nothing that
    isn't tested anyway (a plan that says both is mistaken about one of them).

    An entry of `left_out` names a function, a range or a row by the beginning of its key; None in
    it stands for all. """
    used: set[int] = set()
    table = []
    for key in required:
        tests = tuple(tested.get(key, ()))
        because = None
        if not tests:
            for i, (pattern, reason) in enumerate(left_out):
                if all(p is None or p == k for p, k in zip(pattern, key, strict=False)):
                    used.add(i)
                    because = because or reason
        table.append(Covered(key, tests, because))
    return table, [i for i in range(len(left_out)) if i not in used]
