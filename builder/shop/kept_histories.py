"""Histories that were worked out at an earlier build from the very same records: what the register,
its lists and the phones' last readings show of each is kept, and the rest is worked out again when
somebody asks for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any, cast

from builder.compute.statistics.interval import Conclusion
from builder.files.kept_texts import KeptTexts, digest
from builder.records.history import History
from builder.records.judged_record import Record
from builder.records.kept_records import KeptRecord
from builder.records.shared_causes import SharedFunction
from builder.records.together import OwnChanges


@dataclass(frozen=True, slots=True)
class InService:
    in_service: bool


@dataclass(frozen=True, slots=True)
class Barred:
    function: str


@dataclass(frozen=True, slots=True)
class ListedStatement:
    """What lists say of a record as a whole."""

    statement: str
    of_meter: InService
    barred: tuple[Barred, ...]


@dataclass(frozen=True, slots=True)
class ListedVerification:
    record: Record
    stated: ListedStatement

    @property
    def day(self) -> Any:
        return self.record.head.date


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedReview:
    procedure: str
    title: str
    months: int
    concluded: Conclusion


class KeptHistory:
    """What every list shows of a history; `whole` and any other of its attributes work it out."""

    def __init__(self, kept: dict[str, Any], records: Sequence[Record], made_of: str,
                 compute: Callable[[], History]) -> None:
        self.meter, self.serial, self.id = kept["meter"], kept["serial"], kept["id"]
        self.meter_name, self.made_of = kept["meter_name"], made_of
        self.last_errors: dict[str, list[Any]] = kept["last_errors"]
        by_id = {one.id: one for one in records}
        self.verifications = tuple(
            ListedVerification(by_id[id], ListedStatement(statement, InService(in_service),
                                                          tuple(map(Barred, barred))))
            for id, statement, in_service, barred in kept["verifications"])
        self.reviews = tuple(ListedReview(**{**one, "concluded": Conclusion(**one["concluded"])})
                             for one in kept["reviews"])
        self._has_causes: bool = kept["causes"]
        self._compute = compute

    @property
    def last(self) -> ListedVerification:
        return self.verifications[-1]

    @property
    def causes(self) -> tuple[SharedFunction, ...]:
        return self.whole.causes if self._has_causes else ()

    @cached_property
    def whole(self) -> History:
        return self._compute()

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(self.whole, name)


def history(records: Sequence[Record], made_from: str, compute: Callable[[], History],
            texts: KeptTexts) -> History:
    """What `compute` makes of the records of a meter and of what else is `made_from`."""
    hashes = [one.made_of for one in records if isinstance(one, KeptRecord)]
    place = texts.place("history of meter", made_from, *hashes)
    if place is None or len(hashes) < len(records):
        return compute()
    known, whole = texts.read(place), None
    if known is None:
        whole = compute()
        known = {name: getattr(whole, name)
                 for name in ("meter", "serial", "id", "meter_name", "last_errors")} | {
            "causes": bool(whole.causes),
            "verifications": [(one.record.id, one.stated.statement, one.stated.of_meter.in_service,
                               [f.function for f in one.stated.barred])
                              for one in whole.verifications],
            "reviews": [{"procedure": one.procedure, "title": one.title, "months": one.months,
                         "concluded": asdict(one.concluded)} for one in whole.reviews]}
        texts.write(place, known)
    made = KeptHistory(known, records, digest(made_from, *hashes), compute)
    if whole is not None:
        vars(made)["whole"] = whole
    return cast(History, made)


def changes(history: History, compute: Callable[[], OwnChanges], texts: KeptTexts) -> OwnChanges:
    """The changes of a meter from one record to the next, as `compute` makes them."""
    if not isinstance(history, KeptHistory):
        return compute()
    return OwnChanges.of_data(texts.get("changes", (history.made_of,),
                                        lambda: compute().as_data()))
