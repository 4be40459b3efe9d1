"""Where a record departs from its sheet: errors beyond the tolerance, conditions, due dates, groups
left open; and from other states: as found and as left, and today's file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.files.problems import Wrong
from builder.formats.conditions import Moments
from builder.formats.fields import span
from builder.formats.group_data import EVERYTHING, CheckData, GroupData
from builder.formats.sheet_data import SheetData
from builder.numbers import units
from builder.records.judged_record import JudgedReading, Record, Used
from builder.records.near_zero import NEAR_ZERO_SEEN, Ending, ending
from builder.records.readings import Answer, Closing

# ---------------------------------------------------------------- departures from the sheet

def out_of_tolerance(record: Record) -> tuple[JudgedReading, ...]:
    """The points at which the meter was out by more than its tolerance when it came, whatever the
    decision rule."""
    return (tuple(one for one in record.judged if one.verdict and one.verdict.beyond
                  and not one.point.is_observation) if record.head.state != "as left" else ())


@dataclass(frozen=True, slots=True)
class Compared:
    """A condition that was read at a moment against the band of the sheet: `inside` is None where
    the two can't be compared."""

    moment: str
    said: str
    inside: bool | None


def ambient(record: Record) -> tuple[Compared, ...]:
    """The temperatures written down against the sheet's band, in the sheet's degrees."""
    return _compared(record.head.ambient, record.carried.holds, record.carried.ambient_unit)


def humidity(record: Record) -> tuple[Compared, ...]:
    """The humidities written down against the sheet's band, in percent."""
    return _compared(record.head.humidity, record.carried.humidity or "", "%")


def _compared(recorded: Moments, band: str, unit: str) -> tuple[Compared, ...]:
    return tuple(Compared(moment, said, _inside(said, band, unit) if band else None)
                 for moment, said in recorded.items())


def _inside(recorded: str, band: str, unit: str) -> bool | None:
    try:
        low, high = _span(recorded, unit)
        least, most = _span(band, unit)
    except (Wrong, ValueError):
        return None
    return least <= low and high <= most


def is_span(text: str) -> bool:
    """Whether a text says how far a condition went, and not only where it was once."""
    return bool(re.search(r"\d.* to |±|\+/-", text))


def _span(text: str, unit: str) -> tuple[Fraction, Fraction]:
    """A value, a value with its unit, or two with 'to' between them, in one unit."""
    text = " ".join(text.split())
    if text.startswith(("up to ", "at most ")):
        return Fraction(0), _span(text.removeprefix("up to ").removeprefix("at most "), unit)[1]
    if " to " in text or "±" in text or "+/-" in text:
        try:
            stated = span(text)
        except Wrong:
            stated = span(f"{text} {unit}")
        if stated.high.dimension != units.unit(unit).dimension:
            raise Wrong("another kind of unit")
        return tuple(units.celsius(q.number, q.unit) if stated.high.unit.is_temperature
                     else q.number for q in (stated.low, stated.high))
    number, rest = units.split_number(text)
    if rest and units.unit(rest).dimension != units.unit(unit).dimension:
        raise Wrong("another kind of unit")
    value = units.celsius(number, units.unit(rest or unit))
    return value, value


def overdue(record: Record) -> tuple[Used, ...]:
    """The standards whose due date had passed on the day of the work."""
    return tuple(one for one in record.standards
                 if one.due_on is not None and one.due_on < record.head.date)


@dataclass(frozen=True, slots=True)
class NotSeenClosed:
    """A live group in which something was read, and which no reading near zero closed."""

    group: GroupData
    ending: Ending
    closing: Closing | None


def not_seen_closed(record: Record) -> tuple[NotSeenClosed, ...]:
    """The live groups that were opened or worked at, and closed in any other way or not at all."""
    open_groups = []
    for group in record.carried.groups:
        worked = any(one.point.group == group.group and one.tries for one in record.judged)
        closing = record.closing(group.group)
        if not group.hazard or not (worked or (closing and (closing.opened or closing.otherwise))):
            continue
        end = ending(record.carried, group, closing, record.entries.tries)
        if end.ended != NEAR_ZERO_SEEN:
            open_groups.append(NotSeenClosed(group, end, closing))
    return tuple(open_groups)


# ---------------------------------------------------------------- what should have stopped the work

def stopping_noes(record: Record) -> tuple[tuple[CheckData, Answer], ...]:
    """The checks that stop everything and were a no at first or later, with all answers."""
    answered = ((check, record.answer(check.step)) for check in record.carried.checks
                if check.stops == EVERYTHING)
    return tuple((check, answer) for check, answer in answered
                 if answer and any(one.good is False for one in answer.all))


def not_here(record: Record) -> tuple[tuple[CheckData, Answer], ...]:
    """The checks that were said to be not on this meter, with all answers."""
    answered = ((check, record.answer(check.step)) for check in record.carried.checks)
    return tuple((check, answer) for check, answer in answered if answer and answer.not_here)


def passed_holds(record: Record) -> tuple[tuple[GroupData, tuple[str, ...]], ...]:
    """The holds behind which something was read although a last answer is neither good nor 'not on
    this meter': the group that each stands before, and the steps of those answers."""
    read = {one.point.group for one in record.judged if one.tries}
    passed, groups = [], record.carried.groups
    for n, group in enumerate(groups):
        if group.hold and not read.isdisjoint(one.group for one in groups[n:]):
            answers = {step: record.answer(step) for step in group.hold.checks}
            if steps := tuple(step for step, one in answers.items()
                              if not (one and (one.good or one.not_here))):
                passed.append((group, steps))
    return tuple(passed)


# ---------------------------------------------------------------- as found and as left

Pairs = tuple[dict[str, "Record"], dict[str, "Record"]]


def pairs(records: Mapping[str, Record]) -> Pairs:
    """By the id of a record as left the state as found that belongs to it: the one that it follows,
    else that of the same meter, procedure and day. And by the id of a record as found the state as
    left that followed it."""
    on_a_day = {(one.same_meter, one.head.procedure, one.head.date): one
                for one in reversed(records.values()) if one.head.state == "as found"}
    as_found: dict[str, Record] = {}
    as_left: dict[str, Record] = {}
    for record in records.values():
        if record.head.state != "as left":
            continue
        if record.head.follows:
            other = records.get(record.head.follows)
            if other and (other.same_meter != record.same_meter or other.id == record.id):
                other = None
        else:
            other = on_a_day.get((record.same_meter, record.head.procedure, record.head.date))
        if other is not None:
            as_found[record.id] = other
            if other.head.state != "as left":
                as_left.setdefault(other.id, record)
    return as_found, as_left


def earlier(records: Mapping[str, Record], record: Record) -> tuple[Record, ...]:
    """Those of the same meter from days before, the latest first; none where nothing is out of
    tolerance, since nobody asks for them then."""
    if not out_of_tolerance(record):
        return ()
    own = (one for one in records.values() if one.same_meter == record.same_meter
           and one.head.date < record.head.date)
    return tuple(sorted(own, key=lambda one: (one.head.date, one.id), reverse=True))


# ---------------------------------------------------------------- what today's file would say

@dataclass(frozen=True, slots=True)
class Today:
    """How today's procedure differs from the one that a record is judged by."""

    revision: str
    # the point, its limits then, today, and another outcome or ""
    other_limits: tuple[tuple[JudgedReading, str, str, str], ...]
    gone: tuple[str, ...]       # steps whose points today's file doesn't have
    new: tuple[str, ...]        # points that it has besides

    @property
    def says_the_same(self) -> bool:
        return not (self.other_limits or self.gone or self.new)


def today(record: Record, current: SheetData | None, judge) -> Today | None:
    """None where there is no such procedure any more, or where it is the same revision."""
    if current is None or current.revision == record.carried.revision:
        return None
    now = {one.id: one for one in current.points}
    then = {one.point.id for one in record.judged}
    other = []
    for reading in record.judged:
        point = now.get(reading.point.id)
        if point is None or _limits(point) == _limits(reading.point):
            continue
        outcome = judge(reading.point.id)
        other.append((reading, _limits(reading.point), _limits(point),
                      outcome if reading.outcome and outcome != reading.outcome else ""))
    return Today(current.revision, tuple(other),
                 tuple(one.point.step for one in record.judged if one.point.id not in now),
                 tuple(f"{one.step} ({one.id})" for one in current.points if one.id not in then))


def _limits(point) -> str:
    if point.kind == "reference":
        guard = point.reference.guard_band
        return f"±({units.decimal_text(point.slope * 100)} % + {point.offset.text})" + (
            f" less {guard.text}" if guard and guard.number else "")
    if point.is_observation:
        return "written down only"
    if point.accept is None:
        return "not decided"
    outer = (f", conditional {point.conditional.low.text} to {point.conditional.high.text}"
             if point.conditional else "")
    return f"{point.accept.low.text} to {point.accept.high.text}{outer}"
