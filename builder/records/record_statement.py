"""From a record to what may be stated of its meter: every point, check and live group of the sheet
with what the record has there, as `data/reports/<number>.json` carries them."""

from __future__ import annotations

from dataclasses import dataclass

from builder.formats.outcomes import CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, PASS, WRITTEN
from builder.formats.report_data import (BLANK, EVERYTHING, LIMITS, NEAR_ZERO, NO, NOT_READ,
                                         NOT_TESTED, NOTHING, OBSERVATION, OBSERVED, POINT_FAILS,
                                         POINT_NEARLY, POINT_NEARLY_FAILS, POINT_PASSES, UNDECIDED,
                                         CheckAnswerData, LiveGroupData, PointOutcome,
                                         PointOutcomeData, ReachData)
from builder.formats.sheet_data import PointData
from builder.numbers import exact_text, units
from builder.compute.exact.order import PROVING
from builder.records import departures
from builder.records.ground import Ground
from builder.records.judged_record import JudgedReading, Record
from builder.records.report_lines import quantity
from builder.records.statement import OfFunction, OfMeter, of_meter

_OUTCOMES: dict[str, PointOutcome] = {
    PASS: POINT_PASSES, CONDITIONAL_PASS: POINT_NEARLY, CONDITIONAL_FAIL: POINT_NEARLY_FAILS,
    FAIL: POINT_FAILS, WRITTEN: UNDECIDED}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordStatement:
    """The statement on a record's meter, with all that it follows from. `carried_over` are the
    steps of the state as left that were not done again, for which the state as found stands."""

    of_meter: OfMeter
    points: tuple[PointOutcomeData, ...]
    checks: tuple[CheckAnswerData, ...]
    live_groups: tuple[LiveGroupData, ...]
    reach: dict[str, tuple[ReachData, ...]]     # by function
    carried_over: frozenset[str]
    # steps that were answered only after work on the meter, and so not as found
    after_work: frozenset[str] = frozenset()
    # … that a record as left carries over from the one in which that work was done
    carried_as_left: frozenset[str] = frozenset()

    @property
    def statement(self) -> str:
        return self.of_meter.statement

    @property
    def functions(self) -> tuple[OfFunction, ...]:
        return self.of_meter.functions

    @property
    def usable(self) -> tuple[OfFunction, ...]:
        return tuple(one for one in self.functions if one.passes)

    @property
    def barred(self) -> tuple[OfFunction, ...]:
        """What was tested and doesn't pass."""
        return tuple(one for one in self.functions
                     if not one.passes and one.statement != NOT_TESTED)

    def of(self, function: str) -> tuple[PointOutcomeData, ...]:
        """A function's points that have limits."""
        return tuple(one for one in self.points
                     if one.function == function and one.planned == LIMITS)


def record_statement(record: Record, as_found: Record | None = None) -> RecordStatement:
    """What a record states. `as_found` is the state as found that belongs to one as left: what was
    not done again is carried over from it."""
    same = (as_found if as_found and as_found.carried.revision == record.carried.revision
            else None)
    steps: set[str] = set()
    as_left: set[str] = set()
    points = _points(record, same, steps, as_left)
    checks = _checks(record, same, steps, as_left)
    later = {one.point.step for one in record.judged if one.after_work and not one.outcome} | {
        one.step for one in record.carried.checks
        if record.answer_after_work(one.step) != BLANK and not record.answers_that_stand(one.step)}
    live_groups = _live_groups(record)
    names = list(dict.fromkeys(
        [one.point.function for one in record.judged if not is_of_the_bench(record, one)]
        + [name for check in checks for name in check.functions if check.stops == name]))
    return RecordStatement(
        of_meter=of_meter(points=points, checks=checks, live_groups=live_groups, functions=names),
        points=points, checks=checks, live_groups=live_groups,
        reach={name: _reach(record, name) for name in names}, carried_over=frozenset(steps),
        after_work=frozenset(later), carried_as_left=frozenset(as_left))


def is_of_the_bench(record: Record, reading: JudgedReading) -> bool:
    """Whether a step judges the bench and no line of the accuracy table: the leads alone, and the
    lead that is back in the voltage jack."""
    return reading.point.kind == "zero" or any(
        group.group == reading.point.group and group.stage == PROVING
        for group in record.carried.groups)


def _points(record: Record, as_found: Record | None, carried_over: set[str],
            carried_as_left: set[str]) -> tuple[PointOutcomeData, ...]:
    ground, before = Ground(record), Ground(as_found) if as_found else None
    earlier = {one.point.id: one for one in as_found.judged} if as_found else {}
    made = []
    for reading in record.judged:
        if is_of_the_bench(record, reading):
            continue
        lacks = ground.without(reading)
        if before and not reading.outcome and (other := earlier.get(reading.point.id)):
            left = other.after_work
            kept = next((one for one in (left, other) if one and one.outcome), None)
            if kept:
                reading, lacks = kept, before.without(kept)
                (carried_as_left if kept is left else carried_over).add(reading.point.step)
        verdict, point = reading.verdict, reading.point
        shown = verdict.readings[0] if verdict and verdict.readings else None
        made.append(PointOutcomeData(
            step=point.step, function=point.function,
            planned=OBSERVATION if point.is_observation else LIMITS, reading=shown,
            ground=not lacks, without=lacks if reading.outcome else (),
            outcome=(NOT_READ if not reading.outcome else OBSERVED if point.is_observation
                     else _OUTCOMES[reading.outcome])))
    return tuple(made)


def _checks(record: Record, as_found: Record | None, carried_over: set[str],
            carried_as_left: set[str]) -> tuple[CheckAnswerData, ...]:
    made = []
    for check in record.carried.checks:
        answer = record.answer_that_counts(check.step)
        if as_found and answer == BLANK and (
                as_found.answer_after_work(check.step) not in (BLANK, NO)):
            answer = as_found.answer_after_work(check.step)
            carried_as_left.add(check.step)
        elif as_found and answer == BLANK and (
                as_found.answer_that_counts(check.step) not in (BLANK, NO)):
            answer = as_found.answer_that_counts(check.step)
            carried_over.add(check.step)
        # A check that tests a function stops that.
        stops = check.covers if check.stops == NOTHING and check.covers else check.stops
        if answer == NO and stops == NOTHING and "stops" not in check.model_fields_set:
            stops = EVERYTHING  # an older sheet: what its 'no' weighs is not known
        made.append(CheckAnswerData(step=check.step, name=check.check, answer=answer, stops=stops,
                                    of=check.of, functions=_stopped(record, stops)))
    return tuple(made)


def _stopped(record: Record, stops: str) -> tuple[str, ...]:
    """The functions that a 'no' stops: the one named, or all that use the jack."""
    if stops in (EVERYTHING, NOTHING):
        return ()
    of_jack = dict.fromkeys(one.point.function for one in record.judged
                            if stops in one.point.jacks)
    return tuple(of_jack) or (stops,)


def _live_groups(record: Record) -> tuple[LiveGroupData, ...]:
    ended = {one.group.group: one.ending.ended for one in departures.not_seen_closed(record)}
    return tuple(
        LiveGroupData(group=group.group, closed=ended.get(group.group, NEAR_ZERO),
                      functions=tuple(dict.fromkeys(one.point.function for one in record.judged
                                                    if one.point.group == group.group)))
        for group in record.carried.groups
        if group.hazard and (group.group in ended or record.closing(group.group)))


def _reach(record: Record, function: str) -> tuple[ReachData, ...]:
    """Each range of a function with the largest value that was tried on it, in the order of the
    ranges."""
    farthest: dict[str, PointData] = {}
    for reading in record.judged:
        point = reading.point
        if (point.function != function or point.is_observation or not reading.outcome
                or is_of_the_bench(record, reading)):
            continue
        last = farthest.get(point.range.text)
        if last is None or abs(point.apply.number) > abs(last.apply.number):
            farthest[point.range.text] = point
    return tuple(ReachData(range=name, to=_without_sign(one.apply.text),
                           because=_why_no_farther(record, one))
                 for name, one in sorted(farthest.items(), key=lambda entry: _size(entry[0])))


def _why_no_farther(record: Record, point: PointData) -> str | None:
    """The plan's reason, where a range was tried as far as it was planned."""
    return next((left.because for left in record.carried.left_out
                 if left.tried_to and left.tried_to.number == abs(point.apply.number)
                 and left.function == exact_text.capital(point.function)
                 and left.range == quantity(point.range.text)), None)


def _without_sign(text: str) -> str:
    return text.removeprefix("-")


def _size(range_: str):
    number, _, unit = range_.partition(" ")
    return units.quantity(f"{number} {unit}").value
