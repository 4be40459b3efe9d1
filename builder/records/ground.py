"""Which readings of a record have ground: the conditions and standards that a verdict rests on.

The rule is a choice of this project, in the spirit of ISO/IEC 17025:2017, 6.3.3, 6.4.4 and 6.5
(from memory): ambient and humidity were inside the sheet's band before and after the reading, every
standard that it comes from was inside its calibration, the meter stood as long as was asked, and
where the leads are taken off, their own reading is valid. A reading without ground is printed and
never judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from builder.formats.conditions import ONCE, group_after
from builder.formats.report_data import YES
from builder.formats.sheet_data import PointData
from builder.records import departures
from builder.records.departures import Compared
from builder.records.judged_record import JudgedReading, Record, Used

# What a reading can lack; a standard is named after STANDARD and a blank.
AMBIENT, HUMIDITY, STANDARD, WARM_UP, LEADS = (
    "ambient", "humidity", "standard", "warm-up", "leads")


def held(read: Sequence[tuple[float, bool | None]], *, group: int) -> bool:
    """Whether a condition held at a group: the last one read before it and the next one read after
    it were both inside the band. `read` has for each reading the group before which it was read (0
    at the start, ∞ at the end) and whether it was inside."""
    before = [inside for at, inside in sorted(read, key=lambda one: one[0]) if at <= group]
    after = [inside for at, inside in sorted(read, key=lambda one: one[0]) if at > group]
    return bool(before and after) and before[-1] is True and after[0] is True


def was_valid(*, calibrated: date | None, due: date | None, on: date) -> bool:
    """Whether a standard was inside its calibration on a day, both ends included; never where one
    of them isn't known."""
    return calibrated is not None and due is not None and calibrated <= on <= due


class Ground:
    """What each point of a record lacks."""

    def __init__(self, record: Record):
        self.record = record
        self.whole = tuple(self._of_the_work())
        self.read = {AMBIENT: _read(departures.ambient(record)),
                     HUMIDITY: _read(departures.humidity(record))}
        self.used = {one.standard: one for one in record.standards}
        # Those that count after work on the meter have their leads from after it too.
        self.zeros = {one.point.id: one.after_work or one for one in record.judged
                      if one.point.kind == "zero"}

    def without(self, reading: JudgedReading) -> tuple[str, ...]:
        """What a reading has no ground by; nothing where it has."""
        point = reading.point
        lacks = [name for name, band in ((AMBIENT, self.record.carried.holds),
                                         (HUMIDITY, self.record.carried.humidity))
                 if band and not held(self.read[name], group=int(point.group))]
        lacks += [f"{STANDARD} {one.standard}" for one in self._standards(point)
                  if not was_valid(calibrated=one.calibrated_on, due=one.due_on,
                                   on=_day(reading, self.record.head.date))]
        lacks += self.whole
        if point.zero and (zero := self.zeros.get(point.zero)) and (
                zero.has_failed or not zero.outcome):
            lacks.append(LEADS)
        return tuple(lacks)

    def _of_the_work(self) -> Iterable[str]:
        for check in self.record.carried.checks:
            if check.warm_up and self.record.answer_given(check.step) != YES:
                yield WARM_UP

    def _standards(self, point: PointData) -> Iterable[Used]:
        """Those that a point's value comes from, all of the sheet where its data doesn't say; and
        what the ambient, or the humidity where the sheet limits it, was read with."""
        limited = [AMBIENT, *([HUMIDITY] if self.record.carried.humidity else [])]
        return [one for one in self.used.values()
                if not point.standards or one.standard in point.standards
                or any(name in one.reads for name in limited)]


def _read(conditions: tuple[Compared, ...]) -> list[tuple[float, bool | None]]:
    """A span that was written without moments covers the whole work; a single value doesn't."""
    read = [(group_after(one.moment), one.inside) for one in conditions]
    if len(conditions) == 1 and conditions[0].moment == ONCE and departures.is_span(
            conditions[0].said):
        read.append((float("inf"), conditions[0].inside))
    return read


def _day(reading: JudgedReading, of_record: date) -> date:
    """The day of a reading: a phone's own, else that of the record."""
    for attempt, verdict in reading.tries:
        if verdict is reading.verdict and attempt.at:
            try:
                return date.fromisoformat(attempt.at[:10])
            except ValueError:
                break
    return of_record
