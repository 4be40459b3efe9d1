"""How sure a point is as its data has it, and what a comparison with a reference meter is judged
by."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from pydantic import Field, StrictBool, StrictStr, model_validator

from builder.files.problems import Wrong
from builder.formats.data_fields import Amount, Data, Factor


class UncertaintyData(Data):
    U: Amount
    k: Factor
    u: Amount
    probability: StrictStr
    degrees: StrictStr = Field("inf", description="Degrees of freedom of what repeated readings "
                               "are added to, not truncated; 'inf' where nothing limits them.")
    rectangles: tuple[Amount, ...] = Field(
        (), description="What repeated readings are added to, the budget without a pooled "
        "repeatability: half-widths of its rectangular parts, the largest first.")
    normal: Amount | None = Field(None, description="Likewise the standard uncertainty of all the "
                                  "rest together, taken as normal.")

    @model_validator(mode="after")
    def _are_numbers(self) -> UncertaintyData:
        if not re.fullmatch(r"[0-9]{1,2}(\.[0-9]+)?\s*%",
                            self.probability) or not re.fullmatch(
                                    r"inf|[0-9]+(\.[0-9]+)?(e[+-]?[0-9]{1,3})?", self.degrees):
            raise Wrong("an uncertainty has a probability in percent and degrees of freedom")
        if float(self.degrees) <= 0 or float(self.probability.rstrip("% \u00a0")) < 1:
            raise Wrong("a probability and degrees of freedom are above zero")
        if (any(one.number <= 0 for one in self.rectangles) or self.normal and
                self.normal.number < 0 or self.u.number <= 0):
            raise Wrong("the parts of an uncertainty are above zero")
        return self


class AtReferenceData(Data):
    below: Amount
    guard_band: Amount | None = Field(None, description="Exact; null where it leaves nothing.")
    uncertainty: UncertaintyData


class ReferenceData(Data):
    standard: StrictStr
    on: StrictStr
    resolution: Amount
    step: Amount
    twice: StrictBool = Field(False, description="It reads before the meter and after it, and the "
                              "mean of both counts: the part changes while it is read.")
    guard_band: Amount | None = Field(
        None, description="Exact, while the point's own is rounded for showing; null where it "
        "leaves nothing. It is that of the planned value: 'at' goes before it.")
    at: tuple[AtReferenceData, ...] = Field(
        (), description="By the size of the reference reading, the lowest first: the first of "
        "which 'below' is larger holds.")
    apart: Amount | None = Field(None, description="How far two readings of it may be apart, at "
                                 "most, where the plan says how far the part may change.")
    correction: Amount | None = Field(
        None, description="What is added to each reading of it; all else here is by the size of "
        "the sum. Null where nothing is.")

    @model_validator(mode="after")
    def _goes_up(self) -> ReferenceData:
        if any(low.below.number >= high.below.number for low, high in pairwise(self.at)):
            raise Wrong("the steps of a reference reading go up")
        return self

    def holds_at(self, reference: Fraction) -> AtReferenceData | None:
        """The step that a reference reading belongs to, in the unit of the point."""
        return next((one for one in self.at if abs(reference) < one.below.number), None)
