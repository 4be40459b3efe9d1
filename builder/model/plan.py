"""A plan's file: which points of a meter are tried, with what, and what is left out and why."""

from __future__ import annotations

import difflib
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from builder import units
from builder.model.base import Amount, PositiveAmount, Slug, SpanText, Strict, Text, exact, one_or_more
from builder.model.checks import STAGES
from builder.problems import Wrong
from builder.units import Quantity

RECOMMENDED = "recommended"


def _applied(text: str) -> Quantity | str:
    if text == RECOMMENDED:
        return RECOMMENDED
    if difflib.get_close_matches(text, [RECOMMENDED], 1, 0.6):
        raise Wrong(f"'{text}' is neither a value nor '{RECOMMENDED}'", f"did you mean '{RECOMMENDED}'?")
    return units.quantity(text)


Applied = exact(object, _applied, examples=["recommended", "3 V", "-540 mV"])


class PointSet(Strict):
    function: Text = Field(description="A function of the meter, by its name.")
    range: Amount | None = Field(None, description="The range that an autoranging meter will be on; to be selected on a manual one.")
    force_range: Amount | None = Field(None, description="The range to select by hand on an autoranging meter.")
    apply: one_or_more(Applied) = Field(description="The values to apply, or 'recommended'.")
    frequency: one_or_more(PositiveAmount) | None = Field(None, description="For AC: each value is applied at each of these.")
    level: PositiveAmount | None = Field(None, description="For frequency and duty cycle: the signal's level.")
    observe: Text | None = Field(None, description="Makes these points observations without limits, for this reason.")
    standard: Slug | None = Field(None, description="Which of the plan's standards, if not the first that can.")


class LeftOut(Strict):
    function: Text
    range: Amount | None = None
    frequency: SpanText | None = Field(None, description="The accuracy row, by its frequencies.")
    values: SpanText | None = Field(None, description="The accuracy row, by its values.")
    because: Text = Field(description="The reason, such as 'beyond the reach of the source'; the sheet prints it.")


class PlannedCheck(Strict):
    check: Text = Field(description="One of the checks that the builder knows, or your own with 'when', 'do' and 'good'.")
    when: Literal[STAGES] | None = Field(None, description="The part of the work that it belongs to.")
    do: Text | None = Field(None, description="What to do, one action.")
    good: Text | None = Field(None, description="What counts as good.")
    covers: Text | None = Field(None, description="The function without an accuracy table that this check tests.")


class Plan(Strict):
    plan: Slug = Field(description="The file's name without '.yaml'.")
    title: Text = Field(description="Heads the sheet, such as 'Dunlin 60, yearly verification'.")
    meter: Slug
    standards: one_or_more(Slug)
    decision_rule: Literal["simple acceptance"] = Field(description="How a reading is judged.")
    ambient: SpanText | None = Field(None, description="The bench's temperatures, if not those that the accuracy holds for.")
    note: Text | None = Field(None, description="Printed at the head of the sheet.")
    points: list[PointSet] = Field(description="Such as '- {function: DC voltage, apply: recommended}'.")
    checks: list[Annotated[PlannedCheck, BeforeValidator(lambda v: {"check": v} if isinstance(v, str) else v)]] = Field(
        default_factory=list, json_schema_extra=lambda s: s.update(items={"anyOf": [{"type": "string"}, s["items"]]}))
    left_out: list[LeftOut] = Field(default_factory=list, description="What the plan doesn't test, and why.")
