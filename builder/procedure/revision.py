"""The revision of a sheet: what makes it another sheet, as a hash."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

from builder.compute.statistics.decision import SIMPLE
from builder.formats.sheet_data import SheetData
from builder.procedure.point_uncertainty import PointUncertainty
from builder.procedure.sentences import identity
from builder.procedure.sheet import Procedure, SheetGroup

# What is no part of the revision. The tool's own words: their codes and facts stand in their place.
# What is renewed while the sheet stays the same: titles, certificates with their dates, intervals.
_WITHOUT = {"format": True, "revision": True, "title": True, "interval_agreed": True,
            "rule_agreed": True, "standards": True, "rule_in_words": True, "left_out": True,
            "groups": {"__all__": {"title": True, "warnings": True, "opening": True,
                                   "closing": True, "hold": {"said", "stop"}}},
            "points": {"__all__": {"observe": True, "before": True, "reference": {"at"}}},
            "checks": {"__all__": {"do", "good", "mistake", "write"}}}


def revision(procedure: Procedure, data: SheetData) -> str:
    """A hash over the numbers of a sheet, unrounded, its order, the codes of what it says with the
    facts in them, and what the shop wrote; it changes when and only when one of them does. What
    stands at its default is left out, so that a field that comes later changes no revision."""
    plan, meter = procedure.plan, procedure.meter
    content = {
        "data": data.model_dump(mode="json", exclude=_WITHOUT, exclude_defaults=True),
        "standards": [[one.standard, one.name, one.description] for one in data.standards],
        "notes": [plan.note, meter.note], "interval": meter.specification.interval,
        "highest": procedure.highest_volts,
        "said": identity((procedure.rule, procedure.basis)), "warmed": identity(procedure.warmed),
        "groups": [_identity(group) for group in procedure.groups],
        "equipment": [identity(one.outputs) for one in procedure.equipment],
        "completeness": [[c.check, c.function, c.range, identity(c.accuracy), c.tested,
                          identity(c.why)] for c in procedure.completeness],
        "accepted": [[a.what, a.function, a.range and str(a.range), a.standard, a.because]
                     for a in plan.accepted],
        # What the shop wrote of its checks; those of the library are known by their names.
        "checks": [[c.check, c.when, c.do, c.good, c.covers, c.write, c.unit, c.mistake]
                   for c in plan.checks],
        "judged at": [str(plan.coverage), str(plan.in_tolerance), str(plan.minimum_tur)],
        "uncertainties": [[point.id, *_unrounded(point.sure)] for point in procedure.points
                          if point.sure]}
    # Beside a reference meter U follows the components above; a guard band makes limits.
    if plan.decision_rule.kind != SIMPLE and any(
            point.sure and point.sure.at_reference for point in procedure.points):
        content["guard bands"] = [[[at.below.text, at.guard_band and at.guard_band.text]
                                   for at in point.reference.at] if point.reference else []
                                  for point in data.points]
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _unrounded(sure: PointUncertainty) -> Iterator[Any]:
    """Each component of the budget as it goes into the root; what is worked out from them, such as
    k, may differ in its last bits from one machine to another."""
    for part in sure.components:
        yield [part.distribution, *map(repr, (part.value, part.divisor, part.sensitivity,
                                              part.degrees))]


def _identity(group: SheetGroup) -> list[Any]:
    """What is done in a group, without a word of the tool."""
    aside, connected = group.aside, None
    if group.connection is not None:
        connected = asdict(group.connection)
        for noted in (connected, *connected["devices"]):
            del noted["note"]
    return [identity(group.heading), identity(group.cautions), identity(group.steps_before),
            identity(group.steps_after), identity(group.beside), group.layout, connected,
            identity((aside.caption, aside.head, aside.rows)) if aside else None,
            [[identity(p.planned.observe), identity(p.shortfall), p.is_undecided,
              *map(identity, p.steps_before)] for p in group.points],
            # A number in a check's text is a limit, whoever wrote the text.
            [[check.name, _NUMBERS.findall(f"{check.do} {check.good} {check.write}")]
             for check in group.checks]]


_NUMBERS = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def with_revision(procedure: Procedure, data: SheetData) -> Procedure:
    """The procedure with its data, and the revision in both."""
    number = revision(procedure, data)
    return replace(procedure, revision=number,
                   sheet_data=data.model_copy(update={"revision": number}))
