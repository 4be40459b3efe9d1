"""procedures/finished/: reports as they were issued, and how a record stands beside its own."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.files.cache import Cache
from builder.files.problems import WARNING, Problem, Wrong
from builder.formats.frozen_files import FinishedReport, WithdrawnReport
from builder.frozen import folder
from builder.frozen.folder import Frozen
from builder.records.judged_record import Record

FOLDER = "finished"
KINDS = (FinishedReport, WithdrawnReport)


@dataclass(frozen=True)
class FinishedReports:
    """Every report that a shop has issued, and what it withdrew."""

    files: tuple[Frozen, ...] = ()

    @cached_property
    def _issues(self) -> dict[str, list[FinishedReport]]:
        by_number: dict[str, list[FinishedReport]] = {}
        for file in self.files:
            if isinstance(file.content, FinishedReport):
                by_number.setdefault(file.content.number, []).append(file.content)
        return {number: sorted(own, key=lambda one: one.issue)
                for number, own in by_number.items()}

    @cached_property
    def _withdrawn(self) -> dict[tuple[str, int], WithdrawnReport]:
        return {(one.content.number, one.content.issue): one.content
                for one in reversed(self.files) if isinstance(one.content, WithdrawnReport)}

    @property
    def numbers(self) -> tuple[str, ...]:
        """Of all reports that were ever finished."""
        return tuple(self._issues)

    def issues(self, number: str) -> list[FinishedReport]:
        """All issues of a report, the last at the end."""
        return self._issues.get(number, [])

    def latest(self, number: str) -> FinishedReport | None:
        """The issue that counts; None for a report that was never finished."""
        own = self.issues(number)
        return own[-1] if own else None

    def withdrawn(self, number: str, issue: int) -> WithdrawnReport | None:
        """Why an issue is out of use."""
        return self._withdrawn.get((number, issue))

    def is_as_issued(self, record: Record, records: Mapping[str, Record]) -> bool:
        """Whether the record says today what its last issue was made from, and so do those that
        the report names as other states."""
        last = self.latest(record.id)
        return (last is not None and last.fingerprint == record.fingerprint
                and not self.changed_beside(last, records))

    def changed_beside(self, own: FinishedReport, records: Mapping[str, Record]) -> list[str]:
        """The reports given with an issue whose records say something else since."""
        return [number for number, then in own.together.items()
                if number in records and records[number].fingerprint != then]


def read(procedures: Path, kept: Cache) -> tuple[FinishedReports, list[Problem]]:
    """Those of a shop's folder, and what is wrong with them."""
    files, problems = folder.read(procedures / FOLDER, f"{procedures.name}/{FOLDER}", KINDS, kept)
    made = FinishedReports(files)
    for file in files:
        own = file.content
        if own.issue > 1 or isinstance(own, WithdrawnReport):
            before = own.issue - (1 if isinstance(own, FinishedReport) else 0)
            if not any(one.issue == before for one in made.issues(own.number)):
                problems.append(file.problem("frozen-chain", f"issue {before} of report "
                                             f"{own.number} is gone or damaged",
                                             "restore it from the repository or a backup"))
    return made, problems


def changed_records(finished: FinishedReports, records: Mapping[str, Record],
                    faulty: Collection[str] = ()) -> list[Problem]:
    """A problem for each record that no longer says what its report was made from, and for each
    report whose record is gone; not for the `faulty` ones, which are told by themselves."""
    problems = []
    for number in finished.numbers:
        last = finished.latest(number)
        record = records.get(number)
        if record is None and number in faulty:
            continue
        if record is None:
            problems += [file.problem("record-gone", f"the record of report {number} is gone",
                                      "the report stands; its readings are in no history any more: "
                                      "put the record back, which this file holds",
                                      severity=WARNING)
                         for file in finished.files if file.content is last]
        elif last is not None and not finished.is_as_issued(record, records):
            others = ", ".join(finished.changed_beside(last, records))
            problems.append(record.document.problem(
                (), "changed-record",
                (f"this record no longer says what report {number}, issue {last.issue}, was made "
                 f"from on {last.on}" if last.fingerprint != record.fingerprint else
                 f"report {number}, issue {last.issue}, names {others}, whose record says "
                 "something else now"),
                f"'python3 -m builder amend {number} --because … --by NAME' issues it anew; or "
                "give the record its old text back, which the finished report holds"))
    return problems


# ---------------------------------------------------------------- issuing

def add(procedures: Path, before: tuple[str, ...], *, by: str, on: date,
        **fields: Any) -> tuple[Path, FinishedReport]:
    """Writes an issue behind the files whose hashes are `before`. Raises `Wrong` where it can't be
    written."""
    return folder.append(procedures / FOLDER, before, FinishedReport,
                         by=" ".join(by.split()), on=on.isoformat(), **fields)


def withdraw(procedures: Path, finished: FinishedReports, number: str, issue: str, *,
             because: str, told: str, by: str, on: date) -> tuple[Path, WithdrawnReport]:
    """Takes an issue of a report out of use. Raises `Wrong` where there is none such in use."""
    known = [str(one.issue) for one in finished.issues(number)]
    if issue not in known:
        raise Wrong(f"report {number} has no issue '{issue}'",
                    f"its issues: {', '.join(known)}" if known else "it was never finished")
    if gone := finished.withdrawn(number, int(issue)):
        raise Wrong(f"issue {issue} of report {number} is withdrawn already, by {gone.by} on "
                    f"{gone.on}: {gone.because}")
    return folder.append(procedures / FOLDER, folder.heads(finished.files), WithdrawnReport,
                         by=" ".join(by.split()), on=on.isoformat(), number=number,
                         issue=int(issue), because=because.strip(), told=told.strip())
