"""The computed procedure: what templates and the data files see. Frozen, and texts wherever a page
shows them."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from typing import Any

from builder.drawing.connections import Connection, in_words
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.sheet_data import SheetData
from builder.formats.standard import Standard
from builder.procedure.evidence import Evidence
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import Warning


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPoint:
    """A planned point and its uncertainty with a step and the texts of its row; the exact numbers
    stay in `planned` and `sure`, from which the sheet's data is made."""

    id: str
    step: str
    planned: PlannedPoint
    apply: str          # "3.000 V"
    at: str             # "1 kHz", "1 kHz, 3 V" or ""
    range: str
    forced: bool
    accept_from: str    # without unit; "" for an observation
    accept_to: str
    unit: str
    tolerance: str
    hazardous: bool
    observe: str
    sure: PointUncertainty | None = None
    small_from: str = ""    # with four outcomes: the tolerance limit and the outer limit
    small_to: str = ""
    undecided: str = ""     # why no reading can be accepted under the plan's rule
    mark: str = ""          # about the standard, printed below the table
    zero: str = ""          # the point whose reading, that of the leads alone, is taken off


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckStep:
    """A check without a reading that has limits: what to do, and what is good."""

    step: str
    name: str
    do: str
    good: str
    covers: str
    write: str = ""     # above the blank; "" without a blank
    unit: str = ""
    mistake: str = ""

    @property
    def actions(self) -> list[str]:
        return self.do.split("; ")


@dataclass(frozen=True, slots=True)
class Aside:
    """A small table beside a group's points."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """What is done with one setting of jacks, dial and source, with what comes before and after."""

    number: int
    title: str
    stage: str
    live: bool
    jacks: tuple[str, ...]
    warnings: tuple[Warning, ...]
    opening: tuple[str, ...]
    points: tuple[SheetPoint, ...]
    checks: tuple[CheckStep, ...]
    closing: tuple[str, ...]
    near_zero: str      # the unit of the reading near zero that closes a live group, or ""
    marks: tuple[str, ...] = ()
    # "corrected": a column for the reading less the leads; "reference": for the reference reading
    # and the difference
    layout: str = ""
    at_head: str = "at"
    aside: Aside | None = None
    connection: Connection | None = None


@dataclass(frozen=True, slots=True)
class CompletenessRow:
    function: str
    range: str
    row: str
    tested: str         # the steps, or ""
    because: str


@dataclass(frozen=True, slots=True)
class Worked:
    function: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    slug: str
    name: str
    description: str
    certificate: str
    due: str
    outputs: tuple[tuple[str, str, str], ...]  # output, reach, terminals
    overdue: str = ""   # that it is, and why the plan accepts it


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """A plan's sheet with all that stands on it, and its data."""

    id: str
    title: str
    plan: Plan
    meter: Meter
    standards: tuple[Standard, ...]
    decision_rule: str
    rule_words: str
    four_outcomes: bool
    ambient: str
    growth: str         # "" inside the reference band
    humidity: str
    groups: tuple[SheetGroup, ...]
    equipment: tuple[Equipment, ...]
    completeness: tuple[CompletenessRow, ...]
    notes: tuple[str, ...]
    worked: tuple[Worked, ...]
    highest_volts: str
    evidence: Evidence
    revision: str = ""
    sheet_data: SheetData | None = None    # beside the page, and carried by records

    @property
    def points(self) -> list[SheetPoint]:
        return [point for group in self.groups for point in group.points]

    @property
    def data(self) -> dict[str, Any]:
        """As `data/procedures/<id>.json` has it."""
        return self.sheet_data.as_data() if self.sheet_data else {}

    @property
    def has_live(self) -> bool:
        return any(group.live for group in self.groups)


def revision(procedure: Procedure, data: SheetData) -> str:
    """A hash over the limits and the texts that come from the shop's files, so it changes when and
    only when one of them does."""
    content = [data.as_data(), procedure.title, procedure.plan.note, procedure.ambient,
               procedure.growth, procedure.rule_words, procedure.humidity, procedure.notes,
               procedure.meter.name, procedure.meter.maker,
               procedure.meter.specification.source, procedure.meter.specification.interval,
               procedure.meter.note, procedure.highest_volts,
               [[g.title, [[w.text, w.rest] for w in g.warnings], g.opening, g.closing, g.marks,
                 g.at_head, in_words(g.connection) if g.connection else None,
                 [g.aside.caption, g.aside.head, g.aside.rows] if g.aside else None,
                 [[p.apply, p.at, p.observe, p.undecided] for p in g.points]]
                for g in procedure.groups],
               [[e.name, e.certificate, e.due, e.outputs, e.overdue, e.description]
                for e in procedure.equipment],
               [[c.function, c.range, c.row, c.tested, c.because] for c in procedure.completeness],
               [w.lines for w in procedure.worked]]
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def with_revision(procedure: Procedure, data: SheetData) -> Procedure:
    """The procedure with its data, and the revision in both."""
    number = revision(procedure, data)
    return replace(procedure, revision=number,
                   sheet_data=data.model_copy(update={"revision": number}))
