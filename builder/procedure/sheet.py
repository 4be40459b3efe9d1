"""The computed procedure: what templates and the data files see. Frozen, and texts wherever a page
shows them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.compute.statistics.decision import SIMPLE
from builder.drawing.connections import Connection
from builder.formats.group_data import METER, NOTHING, HoldData
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.sheet_data import SheetData
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.procedure.cautions import Warning, warning
from builder.procedure.evidence import Evidence
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import CONNECTING, Fact, Sentence, as_written, sentence, words
from builder.procedure.stop_words import no_stops


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPoint:
    """A planned point and its uncertainty with a step and the texts of its row; the sheet's data is
    made from the exact numbers in `planned` and `sure`."""

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
    sure: PointUncertainty | None = None
    small_from: str = ""    # with four outcomes: the tolerance limit and the outer limit
    small_to: str = ""
    is_undecided: bool = False  # no reading can be accepted under the plan's rule
    shortfall: Sentence | None = None   # of the standard, printed below the table
    zero: str = ""          # the point whose reading, that of the leads alone, is taken off
    steps_before: tuple[Sentence, ...] = ()     # ticked between the row above and this one
    pause: Fraction | None = None       # for how many seconds the output must be off before
    on_at_most: Fraction | None = None  # and for how many it may then be on

    @property
    def before(self) -> tuple[str, ...]:
        return tuple(map(words, self.steps_before))

    @property
    def observe(self) -> str:
        return words(self.planned.observe)

    @property
    def undecided(self) -> str:
        """Why no reading can be accepted, or ""."""
        return words(sentence("undecided")) if self.is_undecided else ""

    @property
    def mark(self) -> str:
        """What stands below the table, or ""."""
        return words(self.shortfall)


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
    at_least: Fraction | None = None    # the number in the blank, in its unit
    at_most: Fraction | None = None
    mistake: str = ""
    stops: str = NOTHING    # by a no: everything, nothing, a function's title or a jack
    of: str = METER
    warm_up: bool = False   # readings have ground only after it
    always: bool = False    # no meter is without it

    @property
    def no_stops(self) -> str:
        """What a no stops, in words; "" for nothing."""
        return no_stops(self.stops)

    @property
    def actions(self) -> list[str]:
        return self.do.split("; ")


@dataclass(frozen=True, slots=True)
class Aside:
    """A small table beside a group's points; its cells are numbers or sentences."""

    caption: Sentence
    head: tuple[Fact, ...]
    rows: tuple[tuple[Fact, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """What is done with one setting of jacks, dial and source, and what comes before and after, as
    sentences; `title`, `warnings`, `opening` and `closing` are their texts."""

    number: int
    heading: Sentence
    stage: str
    live: bool
    jacks: tuple[str, ...] = ()
    cautions: tuple[Sentence, ...] = ()
    steps_before: tuple[Sentence, ...] = ()
    points: tuple[SheetPoint, ...] = ()
    checks: tuple[CheckStep, ...] = ()
    steps_after: tuple[Sentence, ...] = ()
    # of a live group, else "": the unit in which the meter shows the reading near zero; the largest
    # one that closes the group, and above which it is hazardous, both in V
    near_zero: str = ""
    near_zero_limit: Fraction | None = None
    hazardous_from: Fraction | None = None
    # "corrected": a column for the reading less the leads; "reference": for the reference reading
    # and the difference
    layout: str = ""
    beside: Sentence = sentence("at")    # the head of what stands beside the value applied
    aside: Aside | None = None
    connection: Connection | None = None
    same_leads: bool = False    # as the group before has them, so that paper draws them there
    hold: HoldData | None = None    # that stands before it

    @property
    def title(self) -> str:
        return words(self.heading)

    @property
    def warnings(self) -> tuple[Warning, ...]:
        return tuple(map(warning, self.cautions))

    @property
    def continued(self) -> str:
        """What stands above the group's rows on a further page: what is connected, and what to
        look out for."""
        connected = [said for said in self.steps_before if said.code in CONNECTING]
        return words(sentence("continued", number=self.number, title=self.heading, said=(
            *connected, *(as_written(f"{one.word}: {one.text}") for one in self.warnings))))

    @property
    def opening(self) -> tuple[str, ...]:
        return tuple(map(words, self.steps_before))

    @property
    def closing(self) -> tuple[str, ...]:
        """Without the reading near zero, which is the last step of a live group."""
        return tuple(map(words, self.steps_after))

    @property
    def last_step(self) -> str:
        """The reading near zero, with its blank; "" where there is none."""
        if self.near_zero_limit is None:
            return ""
        limit = f"{exact_text.number(self.near_zero_limit)}{exact_text.NARROW}V"
        return words(sentence("near-zero", limit=limit))

    @property
    def at_head(self) -> str:
        return words(self.beside)

    @property
    def has_own_head(self) -> bool:
        """Whether what stands beside is no frequency or level, which need no name."""
        return self.beside.code != "at"

    @property
    def marks(self) -> tuple[str, ...]:
        return tuple(words(sentence("mark", step=p.step, mark=p.shortfall))
                     for p in self.points if p.shortfall)


@dataclass(frozen=True, slots=True, kw_only=True)
class CompletenessRow:
    function: str = ""
    range: str = ""
    accuracy: Sentence | None = None
    tested: str = ""    # the steps, or ""
    why: Sentence | None    # it is left out
    check: str = ""     # that is left out, of no function
    other: bool = False     # a function that no limits can be computed of
    tried: str = ""     # how far

    @property
    def row(self) -> str:
        return words(self.accuracy)

    @property
    def because(self) -> str:
        return words(self.why)


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
    outputs: tuple[tuple[Sentence, Sentence, str], ...]  # output, reach, terminals
    overdue: Sentence | None = None     # that it is, and why the plan accepts it


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """A plan's sheet with all that stands on it, and its data."""

    id: str
    title: str
    plan: Plan
    meter: Meter
    standards: tuple[Standard, ...]
    decision_rule: str
    rule: Sentence
    four_outcomes: bool
    ambient: str
    warmed: Sentence | None     # what the accuracy has grown by outside the reference band
    humidity: str
    groups: tuple[SheetGroup, ...]
    equipment: tuple[Equipment, ...]
    # names of standards, and whether others may stand in for them; what else must be at hand
    instead: tuple[tuple[str, Sentence], ...]
    things: tuple[Sentence, ...]
    completeness: tuple[CompletenessRow, ...]
    basis: tuple[Sentence, ...]     # how the limits were computed
    worked: tuple[Worked, ...]
    highest_volts: str
    time: Sentence              # how long the work takes
    evidence: Evidence
    revision: str = ""
    sheet_data: SheetData | None = None    # beside the page, and carried by records

    @property
    def rule_words(self) -> str:
        return words(self.rule)

    @property
    def growth(self) -> str:
        return words(self.warmed)

    @property
    def takes(self) -> str:
        return words(self.time)

    @property
    def notes(self) -> tuple[str, ...]:
        return tuple(map(words, self.basis))

    @property
    def points(self) -> list[SheetPoint]:
        return [point for group in self.groups for point in group.points]

    @property
    def summary(self) -> tuple[str, ...]:
        """For how many of its points the standards are good enough."""
        return self.evidence.summary

    @property
    def data(self) -> dict[str, Any]:   # as `data/procedures/<id>.json` has it
        return self.sheet_data.as_data() if self.sheet_data else {}

    @property
    def is_simple(self) -> bool:    # the limits are those of the tolerance, without a guard band
        return self.plan.decision_rule.kind == SIMPLE

    @property
    def has_hints(self) -> bool:
        """Whether some check names what is often done wrong."""
        return any(check.mistake for group in self.groups for check in group.checks)

    @property
    def has_time_limits(self) -> bool:
        """Whether some output may be on for a limited time only."""
        return any(point.on_at_most for point in self.points)

    @property
    def has_live(self) -> bool:
        return any(group.live for group in self.groups)
