"""All that the pages of a sheet and of its evidence show, as texts, numbers and drawings: made from
a computed procedure, and frozen with it when it is approved, so that its pages are made from the
frozen file alone.

A field that comes later has a default, for sheets that were frozen without it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import (AliasChoices, AliasPath, BeforeValidator, ConfigDict, Field, StrictBool,
                      StrictInt, StrictStr, ValidationInfo)

from builder.formats.data_fields import Data


def _text(value: Any) -> Any:
    """What has words of its own as these; None as nothing."""
    return "" if value is None else value if isinstance(value, (dict, list)) else str(value)


def _drawing(name: str) -> Callable[[Any, ValidationInfo], Any]:
    """Draws what isn't drawn yet, by the function of that name in the context."""
    def draw(value: Any, info: ValidationInfo) -> Any:
        return (value if isinstance(value, str) else "" if value is None or not info.context
                else info.context[name](value))
    return draw


Said = Annotated[StrictStr, BeforeValidator(_text)]
Whether = Annotated[StrictBool, BeforeValidator(
    lambda value: value if isinstance(value, bool) else value is not None and value != "")]


def _from(own: str, *path: str, default: Any = "") -> Any:
    """A field that stands elsewhere in a computed procedure than in its frozen texts."""
    return Field(default, validation_alias=AliasChoices(
        own, AliasPath(*path) if len(path) > 1 else path[0]))


class PageText(Data):
    """Read from the attributes of what was computed, or from JSON."""

    model_config = ConfigDict(from_attributes=True)


class PointText(PageText):
    id: Said
    step: Said
    apply: Said
    at: Said
    range: Said
    forced: StrictBool
    accept_from: Said
    accept_to: Said
    unit: Said
    tolerance: Said
    hazardous: StrictBool
    small_from: Said
    small_to: Said
    observe: Said
    undecided: Said
    mark: Said
    judged: Whether = _from("judged", "planned", "judged", default=False)
    is_read_twice: Whether = _from("is_read_twice", "planned", "is_read_twice", default=False)
    find: Said = _from("find", "planned", "find")
    wave: Said = _from("wave", "planned", "wave")
    before: tuple[StrictStr, ...] = ()


class CheckText(PageText):
    step: Said
    name: Said
    actions: tuple[StrictStr, ...]
    good: Said
    write: Said
    unit: Said
    mistake: Said
    no_stops: Said = ""


class WarningText(PageText):
    word: Said
    text: Said
    rest: Said
    kills: StrictBool


class AsideText(PageText):
    caption: Said
    head: tuple[Said, ...]
    rows: tuple[tuple[Said, ...], ...]


class HoldText(PageText):
    said: Said
    stop: Said


class GroupText(PageText):
    number: StrictInt
    title: Said
    live: StrictBool
    warnings: tuple[WarningText, ...]
    opening: tuple[StrictStr, ...]
    points: tuple[PointText, ...]
    checks: tuple[CheckText, ...]
    closing: tuple[StrictStr, ...]
    last_step: Said
    layout: Said
    at_head: Said
    has_own_head: StrictBool
    marks: tuple[StrictStr, ...]
    continued: Said
    same_leads: StrictBool = False
    aside: AsideText | None = None
    hold: HoldText | None = None
    drawing: Annotated[StrictStr, BeforeValidator(_drawing("connection"))] = _from(
        "drawing", "connection")


class EquipmentText(PageText):
    slug: Said
    name: Said
    description: Said
    certificate: Said
    due: Said
    overdue: Said
    outputs: tuple[tuple[Said, Said, Said], ...]


class MeterText(PageText):
    meter: Said
    name: Said
    maker: Said
    note: Said
    has_current_jacks: StrictBool
    others: tuple[Said, ...] = ()
    source: Said = _from("source", "specification", "source")
    interval: Said = _from("interval", "specification", "interval")
    degrees: Said = _from("degrees", "specification", "holds", "high", "unit", "shown")


class CompletenessText(PageText):
    function: Said
    range: Said
    row: Said
    tested: Said
    because: Said
    check: Said = ""
    other: StrictBool = False
    tried: Said = ""


class WorkedText(PageText):
    function: Said
    lines: tuple[StrictStr, ...]


class BudgetLineText(PageText):
    name: Said
    value: Said
    distribution: Said
    divisor: Said
    sensitivity: Said
    degrees: Said
    contribution: Said
    share: Said


class AssessedText(PageText):
    step: Said
    apply: Said
    range: Said
    unit: Said
    tolerance: Said
    u: Said
    k: Said
    expanded: Said
    degrees: Said
    tur: Said
    accuracy_ratio: Said
    guard: Said
    specific: Said
    false_accept: Said
    out_passed: Said = ""
    false_reject: Said
    shown_accept: Said = ""
    shown_reject: Said = ""
    mark: Said
    budget: tuple[BudgetLineText, ...]


class FunctionEvidenceText(PageText):
    function: Said
    points: tuple[AssessedText, ...]
    worked: tuple[StrictStr, ...]
    drawing: Annotated[StrictStr, BeforeValidator(_drawing("tolerances"))] = _from(
        "drawing", "points")


class EvidenceText(PageText):
    summary: tuple[StrictStr, ...]
    sentences: tuple[StrictStr, ...]
    coverage: Said
    factors: tuple[Said, Said]
    share: Said
    of_counts: StrictBool = False
    functions: tuple[FunctionEvidenceText, ...]


class SheetText(PageText):
    """A sheet and its evidence as their pages show them."""

    id: Said
    title: Said
    revision: Said
    meter: MeterText
    ambient: Said
    humidity: Said
    growth: Said
    rule_words: Said
    note: Said = _from("note", "plan", "note")
    as_of: Said = _from("as_of", "plan", "as_of")
    verified_against: Said = _from("verified_against", "plan", "verified_against", "text")
    four_outcomes: StrictBool
    is_simple: StrictBool
    has_live: StrictBool
    has_hints: StrictBool
    has_time_limits: StrictBool = False
    takes: Said = ""
    highest_volts: Said
    equipment: tuple[EquipmentText, ...]
    instead: tuple[tuple[Said, Said], ...] = ()
    things: tuple[Said, ...] = ()
    groups: tuple[GroupText, ...]
    completeness: tuple[CompletenessText, ...]
    notes: tuple[StrictStr, ...]
    worked: tuple[WorkedText, ...]
    evidence: EvidenceText
