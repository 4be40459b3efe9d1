"""All records of a shop → what many meters moved by together, at one value or at all values of a
function, with one standard: then it is the standard that moved, or the bench. What is tested stands
in `compute/statistics/moves`."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import date
from fractions import Fraction
from functools import partial
from typing import Any

from builder.compute.statistics import moves
from builder.compute.statistics.moves import FoundMove, MeterChange, Move
from builder.formats.sheet_data import PointData
from builder.numbers import units
from builder.records.history import History
from builder.records.shared_causes import RelativeError, SharedFunction, relative

FALSE_ALARM = 0.01      # at most, over all of a shop's values and months (choice of this project)


@dataclass(frozen=True, slots=True)
class Supplied:
    """A value of a function that standards supply; `value` is None for all values together."""

    standards: tuple[str, ...]
    function: str
    value: tuple[Fraction, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherMove:
    """A move of many meters. `least_U` is the smallest U of the readings, as a share of the value;
    `anew` of the meters were read by another certificate of the standard than before."""

    supplied: Supplied
    said: str               # the value as the last record has it; "" for all values
    found: FoundMove
    kinds: tuple[str, ...]
    anew: int
    least_U: float | None
    moved_values: int       # of those of this function and standard at that time
    of_values: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What would be noticed in a function of a standard, by the meters that were read last."""

    supplied: Supplied
    meters: int
    least: float            # a share of the value; one as large is noticed every second time
    least_U: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    moved: tuple[TogetherMove, ...]
    watched: tuple[Watched, ...]
    looked_at: int                              # values and functions, by standards
    months: int
    other_standard: int                         # changes between records of other standards
    names: Mapping[str, str]                    # of standards
    own: tuple[tuple[History, tuple[SharedFunction, ...]], ...]     # meters with a cause of theirs


@dataclass(frozen=True, slots=True)
class _Seen:
    """A change with what is said of it besides."""

    change: MeterChange
    kind: str
    anew: bool
    U: float | None


@dataclass(frozen=True, slots=True)
class _Reading:
    day: date
    share: RelativeError
    U: float | None
    point: PointData
    certificates: tuple[str, ...]


@dataclass(slots=True)
class OwnChanges:
    """The changes of one meter in their order, how the values are written, and how many changes are
    left out, since the value came from other standards before."""

    seen: list[tuple[Supplied, _Seen]] = field(default_factory=list)
    texts: dict[Supplied, str] = field(default_factory=dict)
    other: int = 0

    def as_data(self) -> list[Any]:
        return [[(_plain(key), asdict(one)) for key, one in self.seen],
                [(_plain(key), text) for key, text in self.texts.items()], self.other]

    @staticmethod
    def of_data(data: list[Any]) -> OwnChanges:
        seen, texts, other = data
        return OwnChanges([(_supplied(key), _Seen(MeterChange(**one.pop("change")), **one))
                           for key, one in seen],
                          {_supplied(key): text for key, text in texts}, other)


def _plain(key: Supplied) -> list[Any]:
    return [key.standards, key.function, key.value and (str(key.value[0]), key.value[1])]


def _supplied(data: list[Any]) -> Supplied:
    standards, function, value = data
    return Supplied(tuple(standards), function, (Fraction(value[0]), value[1]) if value else None)


def together(histories: Iterable[History],
             keep: Callable[[History, Callable], OwnChanges] | None = None) -> Together:
    """Of all meters, each from one record to the next. `keep` gives the changes of a meter from an
    earlier build, or as they are made."""
    histories = list(histories)
    seen: dict[Supplied, list[_Seen]] = defaultdict(list)
    texts: dict[Supplied, str] = {}
    names: dict[str, str] = {}
    other = 0
    for history in histories:
        names |= {used.standard: used.name for done in history.verifications
                  for used in done.record.standards}
        made = partial(changes_of, history)
        changes = keep(history, made) if keep else made()
        for key, change in changes.seen:
            seen[key].append(change)
        texts |= changes.texts
        other += changes.other
    days = _months([one for own in seen.values() for one in own])
    moved = {key: moves.moves(changes=[one.change for one in own], days=days)
             for key, own in seen.items()}
    told = moves.found(moved=moved, chance=FALSE_ALARM)
    tests = sum(map(len, moved.values()))
    return Together(
        moved=tuple(_told(one, told, seen, texts, moved) for one in told),
        watched=tuple(_watched(moved, seen, tests)), looked_at=sum(map(bool, moved.values())),
        months=len(days), other_standard=other, names=names,
        own=tuple((one, one.causes) for one in histories if one.causes))


def changes_of(history: History) -> OwnChanges:
    """Those of one meter, from each record to the next."""
    last: dict[str, _Reading] = {}
    changes = OwnChanges()
    for record in (one.record for one in history.verifications):
        certificates = {one.standard: one.certificate for one in record.standards}
        by_function: dict[Supplied, list[_Seen]] = defaultdict(list)
        for reading in record.judged:
            if (share := relative(reading)) is None or not reading.point.standards:
                continue
            point = reading.point
            U = None if reading.expanded is None else reading.expanded / 100 * share.allowed
            now = _Reading(record.head.date, share, U, point,
                           tuple(certificates.get(one, "") for one in point.standards))
            before = last.get(point.id)
            last[point.id] = now
            if before is None or record.head.state == "as left" or before.day >= now.day:
                continue
            if before.point.standards != point.standards:
                changes.other += 1
                continue
            function = Supplied(point.standards, point.function)
            key = Supplied(point.standards, point.function, (
                point.apply.number * units.unit(point.apply.unit).scale, point.frequency or ""))
            changes.texts[key] = ", ".join(filter(None, (point.apply.text, point.frequency)))
            changes.seen.append((key, made := _seen(history, before, now)))
            by_function[function].append(made)
        changes.seen += [(function, _mean(own)) for function, own in by_function.items()]
    return changes


def _seen(history: History, before: _Reading, now: _Reading) -> _Seen:
    change = MeterChange(
        meter=history.id, before=before.day.toordinal(), after=now.day.toordinal(),
        moved=now.share.error - before.share.error,
        allowed=max(now.share.allowed, before.share.allowed),
        rounding=max(now.share.rounding, before.share.rounding))
    return _Seen(change, history.meter_name, before.certificates != now.certificates, now.U)


def _mean(own: list[_Seen]) -> _Seen:
    """One change of all values: the mean by the tolerances, its tolerance and its rounding as those
    of one reading that were as sure."""
    weights = [1 / one.change.allowed ** 2 for one in own]
    total = math.fsum(weights)
    change = MeterChange(
        meter=own[0].change.meter, before=min(one.change.before for one in own),
        after=own[0].change.after, allowed=1 / math.sqrt(total),
        moved=math.fsum(w * one.change.moved for w, one in zip(weights, own, strict=True)) / total,
        rounding=math.sqrt(math.fsum((w * one.change.rounding) ** 2
                                     for w, one in zip(weights, own, strict=True))) / total)
    return _Seen(change, own[0].kind, any(one.anew for one in own), _least(own))


def _least(own: Iterable[_Seen]) -> float | None:
    return min((one.U for one in own if one.U is not None), default=None)


def _months(own: list[_Seen]) -> list[float]:
    """The first of each month from the first change to the last."""
    if not own:
        return []
    first = date.fromordinal(int(min(one.change.before for one in own)))
    last = date.fromordinal(int(max(one.change.after for one in own)))
    return [date(n // 12, n % 12 + 1, 1).toordinal()
            for n in range(first.year * 12 + first.month, last.year * 12 + last.month + 1)
            if n // 12 < date.max.year]


def _told(event: FoundMove, told: list[FoundMove], seen: Mapping[Supplied, list[_Seen]],
          texts: Mapping[Supplied, str], moved: Mapping[Supplied, list[Move]]) -> TogetherMove:
    key = event.key
    assert isinstance(key, Supplied)
    across = [other for other in seen[key]
              if other.change.before < event.most.day <= other.change.after]
    beside = [other for other in moved if other.value is not None and (
        other.standards, other.function) == (key.standards, key.function)
        and any(at_day.day == event.most.day for at_day in moved[other])]
    also = {other.key for other in told if other.first <= event.last and event.first <= other.last
            and other.most.mean * event.most.mean > 0}
    return TogetherMove(supplied=key, said=texts.get(key, ""), found=event,
                        kinds=tuple(sorted({other.kind for other in across})),
                        anew=sum(other.anew for other in across), least_U=_least(across),
                        moved_values=sum(other in also for other in beside), of_values=len(beside))


def _watched(moved: Mapping[Supplied, list[Move]], seen: Mapping[Supplied, list[_Seen]],
             tests: int) -> Iterable[Watched]:
    for key, own in sorted(moved.items(), key=lambda pair: (pair[0].standards, pair[0].function)):
        if key.value is None and own:
            most = min(own, key=lambda one: (one.u, one.day))
            least = moves.noticeable(move=most, chance=FALSE_ALARM / tests)
            yield Watched(supplied=key, meters=most.meters, least=least, least_U=_least(seen[key]))
