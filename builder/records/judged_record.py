"""A record with its readings at their points, and the verdict on each."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property

from builder.files import hashed
from builder.files.problems import WARNING, Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.outcomes import DONE, FAILED, INCOMPLETE
from builder.formats.record_head import RecordHead as Head
from builder.formats.record_head import as_date
from builder.formats.report_data import BLANK, NO, Answered
from builder.formats.sheet_data import PointData, SheetData
from builder.formats.worked_on import Position, position, that_stand
from builder.records.plausible import slip
from builder.records.readings import Answer, Closing, Readings, Try
from builder.records.reading_words import SLIPS, why
from builder.records.typed import display, flickering
from builder.records.verdict import (MOVED, NO_READING, NO_REFERENCE, ONE_REFERENCE, Verdict,
                                     uncertainty_at, verdict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A standard as its label said on the day."""

    standard: str
    name: str
    description: str
    number: str
    certificate: str
    due: str
    calibrated: str         # "" where it isn't known
    issuer: str
    accreditation: str
    reads: tuple[str, ...] = ()     # at the bench: the ambient, the humidity, a junction

    @property
    def due_on(self) -> date | None:
        return as_date(self.due)

    @property
    def calibrated_on(self) -> date | None:
        return as_date(self.calibrated)


@dataclass(frozen=True)
class JudgedReading:
    """A point of the sheet's data with what was read there and the verdict on each try, of which
    the last that says something counts; a report makes a line of it."""

    point: PointData
    tries: tuple[tuple[Try, Verdict], ...]
    note: str
    as_found: int | None = None     # the first tries that are from before work on the meter, or all

    @property
    def after_work(self) -> JudgedReading | None:
        """What was read after work on the meter; None where nothing was."""
        later = () if self.as_found is None else self.tries[self.as_found:]
        return replace(self, tries=later, as_found=None) if later else None

    @cached_property
    def verdict(self) -> Verdict | None:
        """Of the readings that no written cause at the bench voids, and that are from before work
        on the meter, the worst counts: a reading that was only read again takes nothing back."""
        said = [one for attempt, one in self.tries[:self.as_found]
                if one.outcome in DONE and not attempt.cause]
        return max(said, key=_how_bad, default=None)

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
        result = self.verdict
        if result is None or not result.tolerance:
            return None
        return (math.inf if result.overload else float(result.error / result.tolerance * 100)
                if result.error is not None else None)

    @property
    def steady_percent(self) -> float | None:
        """The same of the middle of both extremes, where the reading flickered: what its course
        over the years is made of."""
        result = self.verdict
        if result is None or result.steady_error is None or not result.tolerance:
            return self.percent
        tolerance = result.sides.of_error(result.steady_error)
        return float(result.steady_error / tolerance * 100) if tolerance else None

    @property
    def expanded(self) -> float | None:
        """U in percent of the tolerance, if both are known."""
        result = self.verdict
        if result is None or not result.tolerance:
            return None
        own = uncertainty_at(self.point, result.expected)
        U = result.sure.expanded if result.sure else float(own.U.number) if own else None
        return None if U is None else U / float(result.tolerance) * 100


def _how_bad(one: Verdict) -> tuple[int, float]:
    """By outcome, then by the size of the error; among equals the first stays."""
    return (DONE.index(one.outcome), math.inf if one.overload else float(abs(one.error or 0)))


@dataclass(frozen=True, kw_only=True)
class Record:
    """What was read on a day at the sheet of one meter, judged by the data that it carries."""

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

    @cached_property
    def fingerprint(self) -> str:
        """Twelve digits of a hash over all that the record says, however its file is set, and over
        what it is judged by: two printouts of one number with different ones are of different
        readings."""
        content = dict(getattr(self.document, "raw", None) or self.document.data)
        content.pop("judged_by", None)
        return hashed.sha256(f"[{hashed.canonical(content)},{self.carried.judges}]")[:12]

    def answer(self, step: str) -> Answer | None:
        """The last answer at a check, with those before it."""
        return self.entries.answers.get(step)

    @property
    def work(self) -> Position | None:
        """Where in the order of the sheet the meter was first worked on; None where it was not. All
        of a record as left is after work."""
        return (min(map(position, self.head.worked_on), default=None)
                if self.head.state != "as left" else None)

    def answers_that_stand(self, step: str) -> int:
        """How many answers at a check are from before work on the meter."""
        answer = self.answer(step)
        return that_stand(step, given=len(answer.all), work=self.work,
                          first_is_no=answer.all[0].good is False) if answer else 0

    def answer_given(self, step: str) -> Answered:
        """The last one; for the state as found also a first no, whatever was answered after a
        repair."""
        answer = self.answer(step)
        if answer is None:
            return BLANK
        if self.head.state == "as found" and answer.all[0].good is False:
            return NO
        return answer.said or BLANK

    def answer_that_counts(self, step: str) -> Answered:
        """The same of what was answered before work on the meter."""
        answer = self.answer(step)
        stand = self.answers_that_stand(step)
        if answer is None or stand == len(answer.all):
            return self.answer_given(step)
        return answer.all[0].said or BLANK if stand else BLANK

    def answer_after_work(self, step: str) -> Answered:
        """The last one that was given after work on the meter."""
        answer = self.answer(step)
        return (answer.said or BLANK
                if answer and self.answers_that_stand(step) < len(answer.all) else BLANK)

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
        for attempt in entries.tries.get(point.id, ()):
            try:
                result = verdict(point, attempt.readings,
                                 zero=last(point.zero) if zero_point else "",
                                 zero_point=zero_point, reference=attempt.reference,
                                 rule=known.decision_rule)
            except Wrong as wrong:
                problems.append(
                    document.problem(attempt.path, "reading",
                                     f"step {point.step}: {wrong.sentence}",
                                     wrong.hint))
                continue
            if result.outcome == INCOMPLETE and result.reason != NO_READING:
                problems.append(
                    document.problem(attempt.path, "reading",
                                     f"step {point.step}: {why(result.reason)}, so the reading "
                                     "here says nothing",
                                     "write '{reading: …, reference: …}'"
                                     if result.reason == NO_REFERENCE
                                     else "write '{reading: …, reference: [before, after]}'"
                                     if result.reason == ONE_REFERENCE
                                     else "read again, discharged and after a wait; '-' for a step "
                                     "that was not done" if result.reason == MOVED
                                     else "write the reading of the leads at step "
                                     f"{zero_point.step}, or nothing here"))
            if kind := _slip(point, attempt):
                sentence, hint = SLIPS[kind]
                problems.append(document.problem(
                    attempt.path, "slip", f"step {point.step}: " + sentence.format(
                        reading=attempt.readings[0], applied=point.apply.text,
                        highest=point.highest.text if point.highest else ""), hint))
            if attempt.outcome and result.outcome in DONE and attempt.outcome != result.outcome:
                problems.append(
                    document.problem(attempt.path, "phone",
                                     f"step {point.step}: the phone said '{attempt.outcome}', by "
                                     f"its own limits this is '{result.outcome}'",
                                     "the report says the latter; was a reading changed by hand?",
                                     severity=WARNING))
            done.append((attempt, result))
        judged.append(JudgedReading(point, tuple(done), entries.notes.get(point.step, "")))
    return tuple(judged), problems


def parted(judged: tuple[JudgedReading, ...],
           work: Position | None) -> tuple[JudgedReading, ...]:
    """The readings, each with how many of its tries are from before work on the meter."""
    if work is None:
        return judged
    return tuple(replace(one, as_found=that_stand(one.point.step, given=len(one.tries), work=work))
                 for one in judged)


def _slip(point: PointData, attempt: Try) -> str:
    """What a reading looks like that nobody confirmed."""
    if attempt.confirmed:
        return ""
    shown = [one.value for text in attempt.readings
             for one in flickering(text, **display(point)) if one.value is not None]
    return next((kind for value in shown if (kind := slip(point, value))), "")


def standards_used(known: SheetData, entries: Readings) -> tuple[Used, ...]:
    """The standards of the sheet, with what stood on their labels where that was written down. What
    the sheet says of its own certificate isn't true of another one."""
    made = []
    for standard in known.standards:
        label = entries.labels.get(standard.standard, {})
        certificate = label.get("certificate") or standard.certificate
        same = certificate == standard.certificate
        made.append(Used(standard=standard.standard, name=standard.name,
                         description=standard.description, number=label.get("number", ""),
                         certificate=certificate, due=label.get("due") or standard.due,
                         calibrated=label.get("calibrated")
                         or (standard.calibrated if same and standard.calibrated else ""),
                         issuer=label.get("issuer")
                         or (standard.issuer if same and standard.issuer else ""),
                         accreditation=label.get("accreditation")
                         or (standard.accreditation if same and standard.accreditation else ""),
                         reads=standard.reads))
    return tuple(made)
