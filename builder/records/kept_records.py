"""Records that were read and judged at an earlier build from the very same files: what every build
asks of each is kept, and the rest is read and judged again when somebody asks for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from datetime import date
from functools import cached_property
from typing import Any, cast

from builder.files.csv_text import TableDocument
from builder.files.kept_texts import KeptTexts, digest
from builder.files.problems import ERROR, Place, Problem
from builder.formats.record_head import RecordHead
from builder.formats.sheet_data import SheetData
from builder.records.doubts import doubts as all_doubts
from builder.records.judged_record import Record, Used

Read = tuple[Record | None, list[Problem]]
_NAMED = ("", "serial", "meter", "procedure", "follows")    # where a whole shop's problems stand


class KeptDocument:
    """The document of a kept record, read when somebody asks for more than these places."""

    def __init__(self, file: str, places: dict[str, Any], whole: Callable[[], Any]) -> None:
        self.file, self._places, self._whole = file, places, whole

    def problem(self, path: tuple, code: str, sentence: str, hint: str,
                severity: str = ERROR) -> Problem:
        place = self._places.get("/".join(map(str, path)))
        return (Problem(Place(**place), code, sentence, hint, severity) if place else
                self._whole().problem(path, code, sentence, hint, severity=severity))

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(self._whole(), name)


class KeptRecord:
    """What every build asks of a record; any other of its attributes reads and judges it."""

    def __init__(self, kept: dict[str, Any], head: RecordHead, carried: SheetData,
                 read: Callable[[], Read]) -> None:
        self.id, self.fingerprint, self.made_of = kept["id"], kept["fingerprint"], kept["made_of"]
        self.head, self.carried = head, carried
        self.meter = head.meter or carried.meter
        self.same_meter = self.meter, head.serial
        self.standards = tuple(Used(**{**one, "reads": tuple(one["reads"])})
                               for one in kept["standards"])
        self.document = KeptDocument(kept["file"], kept["places"], lambda: self.whole.document)
        self._read = read

    @cached_property
    def whole(self) -> Record:
        record, _ = self._read()
        if record is None or record.fingerprint != self.fingerprint:
            raise RuntimeError(f"{self.id} was read from the same file before")
        return record

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(self.whole, name)


def record(*, name: str, content: bytes, read: Callable[[], Read], texts: KeptTexts,
           judged_by: Callable[[RecordHead], tuple[SheetData | None, str]]) -> Read:
    """What `read` gives of the file of that name and content. `judged_by` gives the approved sheet
    that a head names, and a hash over all that such a record is judged by."""
    place = texts.place("record", name, content)
    known = texts.read(place)
    if known is not None:
        head = RecordHead.model_validate(known["head"])
        carried, now = judged_by(head)
        if carried is not None and now == known["judged_by"]:
            made = KeptRecord(known, head, carried, read)
            return cast(Record, made), list(map(problem, known["problems"]))
    first, problems = read()
    if place is not None and first is not None and (kept := _kept(first, *judged_by(first.head))):
        kept["made_of"] = digest(name, content, kept["judged_by"])
        texts.write(place, kept | {"problems": list(map(asdict, problems))})
        made = KeptRecord(kept, first.head, first.carried, read)
        vars(made)["whole"] = first
        return cast(Record, made), problems
    return first, problems


def doubts(record: Record, as_of: date | None, texts: KeptTexts) -> list[Problem]:
    """As `doubts.doubts`, kept for a day."""
    def made() -> list[dict[str, Any]]:
        return list(map(asdict, all_doubts(record, as_of)))
    return list(map(problem, texts.get("doubts", (record.made_of, str(as_of)), made)
                    if isinstance(record, KeptRecord) else made()))


def problem(kept: dict[str, Any]) -> Problem:
    """A problem from its plain data."""
    return Problem(**{**kept, "place": Place(**kept["place"])})


def _kept(first: Record, carried: SheetData | None, judged_by: str) -> dict[str, Any] | None:
    """A record as plain data; None where that isn't all of it."""
    head = first.head.model_dump(mode="json", exclude_unset=True, warnings=False)
    if (isinstance(first.document, TableDocument) or first.carried != carried
            or RecordHead.model_validate(head) != first.head):
        return None
    return {"id": first.id, "fingerprint": first.fingerprint, "judged_by": judged_by, "head": head,
            "file": first.document.file, "standards": list(map(asdict, first.standards)),
            "places": {name: asdict(first.document.place((name,) if name else ()))
                       for name in _NAMED}}
