"""What closes a live group: a reading near zero, by the meter that read the live value just before.

It confirms that the output is off for the kind of voltage applied. It proves nothing dead: an
AC-coupled function shows 0 with a DC voltage at its terminals. The page's scripts have the same
rule in near_zero.js; one table of cases holds both to it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, get_args

from builder.compute.exact.hazard import HAZARDOUS_AC, NEAR_ZERO, SEEN_WITHIN
from builder.files.problems import Wrong
from builder.formats.group_data import GroupData
from builder.formats.report_data import Ended
from builder.formats.sheet_data import PointData, SheetData
from builder.numbers import exact_text, units
from builder.records.reading_words import NOT_CLOSED_BY
from builder.records.readings import Closing, Try, text_of
from builder.records.typed import flickering, is_overload, typed_number

CLOSES, BETWEEN, LIVE, NO_UNIT = "near zero", "between", "live", "no-unit"
OVERLOADED, NO_VOLTAGE = "overload", "no-voltage"
# how a live group ended: the words of records
NEAR_ZERO_SEEN, OTHERWISE, NOT_CLOSED = get_args(Ended)


def near_zero(typed: str, group: GroupData, unit: str = "") -> str:
    """What a typed reading says of a live group: `CLOSES`; `BETWEEN`, which is not hazardous, yet
    more than near zero; `LIVE`, `OVERLOADED` or `NO_VOLTAGE`, which all leave it live; `NO_UNIT`;
    or "" for nothing typed. `unit` stands behind a number that was typed without one."""
    if not typed.strip():
        return ""
    if is_overload(typed):
        return OVERLOADED
    try:
        read = typed_number(typed.strip())
    except Wrong:
        return NO_VOLTAGE
    if not (read.rest or unit):
        return NO_UNIT
    stated = units.typed_unit(read.rest or unit)
    if stated is None or stated.base != "V":
        return NO_VOLTAGE
    volts = abs(read.value) * stated.scale
    return (LIVE if volts > hazardous_from(group) else CLOSES if volts <= limit(group)
            else BETWEEN)


def why_open(typed: str, group: GroupData) -> str:
    """Why a typed reading doesn't close a live group, for whoever typed it into a record; "" where
    it does."""
    found = near_zero(typed, group)
    return "" if found == CLOSES else NOT_CLOSED_BY[found].format(
        text=typed[:30], limit=_volts(limit(group)), hazardous=_volts(hazardous_from(group)))


def _volts(value: Fraction) -> str:
    return f"{exact_text.number(value)}{exact_text.NARROW}V"


def limit(group: GroupData) -> Fraction:
    """The largest reading that is near zero, in V."""
    return group.near_zero_limit.number if group.near_zero_limit else NEAR_ZERO


def hazardous_from(group: GroupData) -> Fraction:
    """Above it a reading is hazardous live, in V."""
    return group.hazardous_from.number if group.hazardous_from else HAZARDOUS_AC


def unit_without(group: GroupData) -> str:
    """The unit of a reading near zero that a phone kept without one: older sheets printed it."""
    return "" if group.near_zero_limit else group.near_zero or ""


def saw_live_value(known: SheetData, group: GroupData, tries: dict[str, tuple[Try, ...]],
                   opened: str = "") -> bool:
    """Whether the last reading of a live group was within a tenth of the hazardous value applied:
    the meter that reads near zero has read that value and fell. `opened` is when the group was
    opened, where that is known; a reading before it counts for nothing. The last one is the latest,
    and where times are missing the one at the last step."""
    taken = [(point, one) for point in known.points if point.group == group.group
             for one in tries.get(point.id, ()) if one.readings]
    if taken and all(one.at for _, one in taken):
        taken.sort(key=lambda found: found[1].at)
    last = taken[-1:]
    return any(_is_live_value(point, one.readings[-1]) and (not one.at or one.at >= opened)
               for point, one in last)


def _is_live_value(point: PointData, reading: str) -> bool:
    """A signal's level isn't what is read, and what is looked for in an observation isn't
    applied."""
    if not point.hazard or point.find or point.level or units.unit(point.unit).base != "V":
        return False
    try:
        extremes = [one.value for one in flickering(reading, unit=point.unit)]
    except Wrong:
        return False
    applied: Fraction = point.apply.number
    return bool(extremes) and all(
        one is not None and abs(one - applied) <= SEEN_WITHIN * abs(applied) for one in extremes)


@dataclass(frozen=True, slots=True)
class Ending:
    """How a live group ended, and by which code of `NOT_CLOSED_BY` it was not closed: that of the
    reading, "unseen" where nothing showed that the meter had read the live value, "said" where the
    record itself says that it was not closed, "unknown" where it says nothing."""

    ended: Ended
    because: str = ""


def ending(known: SheetData, group: GroupData, closing: Closing | None,
           tries: dict[str, tuple[Try, ...]]) -> Ending:
    """What a record shows of the end of a live group, whatever it claims."""
    if closing is None or (closing.closed is None and not closing.near_zero):
        return Ending(NOT_CLOSED, "unknown")
    if closing.otherwise and closing.by:
        return Ending(OTHERWISE)
    if closing.closed is False:
        return Ending(NOT_CLOSED, "said")
    if group.near_zero is None and group.near_zero_limit is None:
        return Ending(NEAR_ZERO_SEEN)       # no sheet asked for a reading
    found = near_zero(closing.near_zero, group, unit_without(group))
    if found != CLOSES:
        return Ending(NOT_CLOSED, found or "unknown")
    if not saw_live_value(known, group, tries, closing.opened):
        return Ending(NOT_CLOSED, "unseen")
    return Ending(NEAR_ZERO_SEEN)


_CLOSED = {True: True, False: False, NEAR_ZERO_SEEN: True, OTHERWISE: True, NOT_CLOSED: False}


def closing_of_phone(given: dict[str, Any]) -> Closing:
    """What a phone says of how a live group ended; older ones say true or false."""
    def text(name: str) -> str:
        return text_of(given.get(name)) or ""

    def texts(name: str) -> tuple[str, ...]:
        listed = given.get(name)
        return tuple(filter(None, map(text_of, listed))) if isinstance(listed, list) else ()

    closed = given.get("closed")
    return Closing(
        closed=_CLOSED.get(closed) if isinstance(closed, (str, bool)) else None,
        near_zero=text("near_zero"), opened=text("opened"), otherwise=text("otherwise"),
        by=text("closed_by"), earlier=texts("earlier"), other_bench=texts("other_bench"))
