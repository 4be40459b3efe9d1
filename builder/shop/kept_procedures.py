"""Procedures that were computed at an earlier build from the very same files: what lists show of
them is kept, all else is computed when somebody asks for it. A computed procedure itself is never
kept: to write and read one takes longer than to compute it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from functools import cached_property
from typing import Any, NamedTuple, cast

from builder.files.kept_texts import KeptTexts
from builder.files.problems import Problem
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.sheet_data import SheetData
from builder.formats.standard import Standard
from builder.numbers.exact_text import amount
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sheet import Procedure, SheetGroup
from builder.records import kept_records

Computed = tuple[Procedure | None, list[Problem]]


class FunctionListed(NamedTuple):
    """A function of a procedure: how far its points reach, the first group that has them, in the
    order of work, and whether any such group is live."""

    reach: str
    group: int
    live: bool


def listed(procedure: Procedure) -> dict[str, FunctionListed]:
    """Each kind of function that a procedure has points of."""
    if isinstance(procedure, KeptProcedure):
        return procedure.listed
    farthest: dict[str, PlannedPoint | None] = {}
    groups: dict[str, list[SheetGroup]] = {}
    for group in procedure.groups:
        for point in group.points:
            name = point.planned.function.kind.name
            last = farthest.setdefault(name, None)
            if point.planned.judged and (
                    last is None or abs(point.planned.applied) > abs(last.applied)):
                farthest[name] = point.planned
            groups.setdefault(name, []).append(group)
    return {name: FunctionListed(_reach(farthest[name]), own[0].number,
                                 any(one.live for one in own)) for name, own in groups.items()}


def _reach(point: PlannedPoint | None) -> str:
    """The farthest value with limits, without its sign."""
    if point is None:
        return "only observed"
    return amount(abs(point.applied), point.function.names[point.range].unit)


class KeptProcedure:
    """What every list shows of a procedure; any other of its attributes computes it."""

    def __init__(self, *, plan: Plan, meter: Meter, standards: tuple[Standard, ...],
                 lists: dict[str, Any], data: Callable[[], Any],
                 compute: Callable[[], Computed]) -> None:
        self.id, self.title, self.plan = plan.plan, plan.title, plan
        self.meter, self.standards = meter, standards
        self.revision: str = lists["revision"]
        self.summary = tuple(lists["summary"])
        self.listed = {name: FunctionListed(*own) for name, own in lists["listed"].items()}
        self._data, self._compute = data, compute

    @cached_property
    def whole(self) -> Procedure:
        procedure, _ = self._compute()
        if procedure is None:
            raise RuntimeError(f"{self.id} was computed from the same files before")
        return procedure

    @cached_property
    def sheet_data(self) -> SheetData | None:
        data = self._data()
        return SheetData.model_validate(data) if data else self.whole.sheet_data

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(self.whole, name)


def procedure(*, made_of: str, plan: Plan, meter: Meter, standards: list[Standard],
              compute: Callable[[], Computed], texts: KeptTexts) -> Computed:
    """What `compute` gives. `made_of` is a hash over all files that it reads."""
    lists, data = texts.place("procedure", made_of), texts.place("data of procedure", made_of)
    known = texts.read(lists)
    if known is None:
        computed, problems = compute()
        texts.write(lists, {"problems": list(map(asdict, problems)), "lists": computed and {
            "revision": computed.revision, "summary": computed.summary,
            "listed": listed(computed)}})
        if computed:
            texts.write(data, computed.data)
        return computed, problems
    problems = list(map(kept_records.problem, known["problems"]))
    if known["lists"] is None:
        return None, problems
    kept = KeptProcedure(plan=plan, meter=meter, standards=tuple(standards), compute=compute,
                         lists=known["lists"], data=lambda: texts.read(data))
    return cast(Procedure, kept), problems
