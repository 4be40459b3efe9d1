"""What a record is judged by: the data that it carries inside, those of a file beside it, or an
approved sheet."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from builder.files import hashed, json_text, kept_texts, yaml_text
from builder.files.problems import Problem, errors
from builder.files.yaml_text import Document
from builder.formats.carried_sheet import sheet_data
from builder.formats.record_head import INSIDE, RecordHead
from builder.formats.sheet_data import SheetData

# Finds the data of an approved sheet by its procedure and revision, as they were on a day.
Approved = Callable[[str, str, date | None], SheetData | None]


def none_approved(procedure: str, revision: str, day: date | None) -> SheetData | None:
    """Of a folder in which nothing was approved."""
    return None


class SheetsOfRecords:
    """Finds what records are judged by, each file read once: many are judged by the same.
    `instead` is what all are judged by that carry nothing inside, whatever lies beside them;
    `beside` is the folder of what lies beside them, if not their own."""

    def __init__(self, approved: Approved = none_approved, instead: SheetData | None = None,
                 beside: Path | None = None):
        self.approved, self.instead, self.beside = approved, instead, beside
        self._hashes: dict[int, str] = {}
        self._beside: dict[Path, tuple[SheetData | None, list[Problem]]] = {}

    def made_from(self, path: Path, head: RecordHead) -> tuple[SheetData | None, bytes]:
        """What to look at to see whether it changed; the same object and bytes while it didn't."""
        own = self.approved(head.procedure, head.revision, head.date)
        if head.judged_by in (None, INSIDE):
            return own, b""
        try:
            return own, yaml_text.content((self.beside or path.parent) / str(head.judged_by))
        except OSError:
            return own, b""

    def hash_from(self, path: Path, head: RecordHead) -> tuple[SheetData | None, str]:
        """The approved sheet that a head names, and a hash over all that its record is judged
        by."""
        own, beside = self.made_from(path, head)
        if id(own) not in self._hashes:     # each is held by what was approved
            self._hashes[id(own)] = hashed.digest(own.as_data() if own else None)
        return own, kept_texts.digest(self._hashes[id(own)], beside)

    def judging(self, path: Path, shown: str, raw: dict, head: RecordHead,
                document: Document) -> tuple[SheetData | None, list[Problem]]:
        """The data, or why there are none; `raw` is what the record's file holds."""
        problems: list[Problem] = []
        if isinstance(raw.get("judged_by"), dict):
            known, problems = sheet_data(raw["judged_by"], document, ("judged_by",))
            problems += self._other_than_approved(known, head, document)
        elif self.instead is not None:
            known = self.instead
        elif head.judged_by is None:
            known = self.approved(head.procedure, head.revision, head.date)
            if known is None:
                return None, [document.problem(
                    ("revision",), "judged-by",
                    f"no revision {head.revision} of '{head.procedure}' was approved, and the "
                    "record names no other data",
                    "is the revision mistyped? A sheet that was not approved needs 'judged_by', "
                    "the file with its data beside the record")]
        else:
            known, problems = self._from_beside(path, shown, head, document)
            problems += self._other_than_approved(known, head, document)
        if known is None:
            return None, problems
        if known.revision != head.revision:
            problems.append(document.problem(("revision",), "revision",
                                             f"this record is of revision {head.revision}, and it "
                                             f"is judged by revision {known.revision}",
                                             "name the data of the sheet that was filled in; its "
                                             "revision stands at its foot"))
        if known.procedure != head.procedure:
            problems.append(document.problem(("procedure",), "procedure",
                                             f"this record is of '{head.procedure}', and it is "
                                             f"judged by '{known.procedure}'",
                                             "name the data of the sheet that was filled in"))
        return (None if errors(problems) else known), problems

    def _other_than_approved(self, known: SheetData | None, head: RecordHead,
                             document: Document) -> list[Problem]:
        """Whether the limits that a record brings along are those of the revision that it names,
        where somebody approved that."""
        own = self.approved(head.procedure, head.revision, head.date)
        if known is None or own is None or _limits(known) == _limits(own):
            return []
        return [document.problem(("judged_by",), "judged-by",
                                 f"the limits that this record is judged by are not those of "
                                 f"revision {head.revision} as it was approved",
                                 "were they changed by hand? Hand the record over again; one from "
                                 "paper needs no 'judged_by'")]

    def _from_beside(self, path: Path, shown: str, head: RecordHead,
                     document: Document) -> tuple[SheetData | None, list[Problem]]:
        beside = (self.beside or path.parent) / str(head.judged_by)
        if not beside.is_file():
            return None, [document.problem(
                ("judged_by",), "judged-by",
                f"there is no file '{head.judged_by}' beside this record",
                "an approved revision needs none: delete the key. 'python3 -m builder blank "
                f"{head.procedure}' writes the data of a draft; those of an older draft come from "
                "that day's site")]
        if beside not in self._beside:
            data, problems = json_text.read(
                beside, f"{shown.rpartition('/')[0]}/{head.judged_by}".lstrip("/"))
            self._beside[beside] = sheet_data(data.raw, data) if data else (None, problems)
        known, problems = self._beside[beside]
        if known is None and not any(one.code == "judged-by" for one in problems):
            problems = [*problems, document.problem(("judged_by",), "judged-by",
                                                    f"'{head.judged_by}' can't be read",
                                                    "see the problem of that file")]
        return known, list(problems)


def _limits(sheet: SheetData) -> list[tuple]:
    """What readings are judged by."""
    return [(one.id, one.step, one.accept, one.tolerance_limits, one.conditional, one.expected,
             one.reference) for one in sheet.points]
