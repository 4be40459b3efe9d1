"""A record with its readings at their points, and the verdict on each."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date

from builder.files.problems import WARNING, Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.record_head import RecordHead as Head
from builder.formats.record_head import as_date
from builder.formats.sheet_data import PointData, SheetData
from builder.records.readings import Closing, Readings, Try
from builder.records.verdict import DONE, FAILED, INCOMPLETE, Verdict, verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A standard as its label said on the day."""

    standard: str
    name: str
    description: str
    number: str
    certificate: str
    due: str

    @property
    def due_on(self) -> date | None:
        return as_date(self.due)


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """A point with each of its tries; the last that says something counts."""

    point: PointData
    tries: tuple[tuple[Try, Verdict], ...]
    note: str

    @property
    def verdict(self) -> Verdict | None:
        said = [one for _, one in self.tries if one.outcome in DONE]
        return said[-1] if said else None

    @property
    def outcome(self) -> str:
        return self.verdict.outcome if self.verdict else ""

    @property
    def has_failed(self) -> bool:
        return self.outcome in FAILED

    @property
    def percent(self) -> float | None:
        """The error in percent of the tolerance, ∞ for an overload; None where nothing was read, or
        there is no tolerance. For pictures and statistics, and no verdict."""
        found = self.verdict
        if found is None or not found.tolerance:
            return None
        return (math.inf if found.overload else float(found.error / found.tolerance * 100)
                if found.error is not None else None)

    @property
    def expanded(self) -> float | None:
        """U in percent of the tolerance, if both are known."""
        found, own = self.verdict, self.point.uncertainty
        if found is None or not found.tolerance:
            return None
        U = found.sure.expanded if found.sure else float(own.U.number) if own else None
        return None if U is None else U / float(found.tolerance) * 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    id: str
    head: Head
    carried: SheetData
    entries: Readings
    judged: tuple[JudgedReading, ...]
    standards: tuple[Used, ...]
    document: Document = field(repr=False, compare=False)

    @property
    def meter(self) -> str:
        return self.head.meter or self.carried.meter

    @property
    def same_meter(self) -> tuple[str, str]:
        return self.meter, self.head.serial

    def answer(self, step: str):
        return self.entries.answers.get(step)

    def closing(self, group: str) -> Closing | None:
        return self.entries.closings.get(group)


def judge(known: SheetData, entries: Readings,
          document: Document) -> tuple[tuple[JudgedReading, ...], list[Problem]]:
    """Each point with its tries; what no display can have shown is a problem at its place."""
    problems: list[Problem] = []
    judged = []

    def last(id: str | None) -> str:
        tries = entries.tries.get(id or "", ())
        return tries[-1].readings[0] if tries and tries[-1].readings else ""

    for point in known.points:
        zero_point = (known.point(point.zero) if point.zero and point.correction == "subtract"
                      else None)
        done = []
        for one in entries.tries.get(point.id, ()):
            try:
                found = verdict(point, one.readings, zero=last(point.zero) if zero_point else "",
                                zero_point=zero_point, reference=one.reference,
                                rule=known.decision_rule)
            except Wrong as wrong:
                problems.append(
                    document.problem(one.path, "reading", f"step {point.step}: {wrong.sentence}",
                                     wrong.hint))
                continue
            if found.outcome == INCOMPLETE and found.reason != "no reading":
                problems.append(
                    document.problem(one.path, "reading",
                                     f"step {point.step}: {found.reason}, so the reading here says "
                                     "nothing",
                                     "write '{reading: …, reference: …}'"
                                     if "reference" in found.reason
                                     else "write the reading of the leads at step "
                                     f"{zero_point.step}, or '-' here"))
            top = point.highest.number if point.highest and not point.is_observation else None
            if top is not None and found.value is not None and abs(found.value) > top and len(
                    one.readings) == 1 and not zero_point:
                problems.append(
                    document.problem(one.path, "reading",
                                     f"step {point.step}: the range ends at {point.highest.text}, "
                                     f"and {one.readings[0]} is beyond it",
                                     "OL if the display showed overload; or a digit is mistyped",
                                     severity=WARNING))
            if one.outcome and found.outcome in DONE and one.outcome != found.outcome:
                problems.append(
                    document.problem(one.path, "phone",
                                     f"step {point.step}: the phone said '{one.outcome}', by its "
                                     f"own limits this is '{found.outcome}'",
                                     "the report says the latter; was a reading changed by hand?",
                                     severity=WARNING))
            done.append((one, found))
        judged.append(JudgedReading(point, tuple(done), entries.notes.get(point.step, "")))
    return tuple(judged), problems


def _used(known: SheetData, entries: Readings) -> tuple[Used, ...]:
    made = []
    for one in known.standards:
        label = entries.labels.get(one.standard, {})
        made.append(Used(standard=one.standard, name=one.name, description=one.description,
                         number=label.get("number", ""),
                         certificate=label.get("certificate") or one.certificate,
                         due=label.get("due") or one.due))
    return tuple(made)
