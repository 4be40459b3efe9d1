"""procedures/approved/: which revision of a sheet is in force, and which ever was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builder.files.cache import Cache
from builder.files.problems import Problem, Wrong
from builder.formats.frozen_files import ApprovedSheet, WithdrawnSheet
from builder.formats.sheet_data import SheetData
from builder.formats.sheet_text import SheetText
from builder.frozen import folder, sheet_changes
from builder.frozen.folder import Frozen

FOLDER = "approved"
KINDS = (ApprovedSheet, WithdrawnSheet)


@dataclass(frozen=True, slots=True)
class Approvals:
    """Every decision about the sheets of a shop; in the order of their turns for one of them."""

    files: tuple[Frozen, ...] = ()

    @property
    def procedures(self) -> tuple[str, ...]:
        """Those that were ever approved."""
        return tuple(dict.fromkeys(one.content.procedure for one in self.files))

    def of(self, procedure: str) -> list[Frozen]:
        """What was decided about a procedure, the last at the end."""
        return sorted((one for one in self.files if one.content.procedure == procedure),
                      key=lambda one: one.content.turn)

    def sheets(self, procedure: str) -> list[ApprovedSheet]:
        """All approvals of a procedure, those of withdrawn revisions too."""
        return [one.content for one in self.of(procedure)
                if isinstance(one.content, ApprovedSheet)]

    def in_force(self, procedure: str) -> ApprovedSheet | None:
        """The sheet that is printed: the one approved last whose revision was not withdrawn
        since. None where two people decided at a time, since nobody said which of the two."""
        decided = [one.content for one in self.of(procedure)]
        if len({one.turn for one in decided[-2:]}) != len(decided[-2:]):
            return None
        gone: set[str] = set()
        for decision in reversed(decided):
            if isinstance(decision, WithdrawnSheet):
                gone.add(decision.revision)
            elif decision.revision not in gone:
                return decision
        return None

    def withdrawn(self, procedure: str, revision: str) -> WithdrawnSheet | None:
        """Why a revision is out of use; None where it isn't, or is in use again."""
        own = [one.content for one in self.of(procedure) if one.content.revision == revision]
        return own[-1] if own and isinstance(own[-1], WithdrawnSheet) else None

    def find(self, procedure: str, revision: str, day: date | None = None) -> Frozen | None:
        """The approval of a revision that was the last one on a day, or the first one that came
        after it: what a revision leaves out, as certificates, may have been approved again."""
        own = [one for one in self.of(procedure) if isinstance(one.content, ApprovedSheet)
               and one.content.revision == revision]
        early = [one for one in own if day is None or one.content.on <= day.isoformat()]
        return early[-1] if early else own[0] if own else None

    def data(self, procedure: str, revision: str, day: date | None) -> SheetData | None:
        """What a record of that day is judged by, as `find` has it; None where the revision was
        never approved."""
        approval = self.find(procedure, revision, day)
        return approval.content.sheet if approval else None


def read(procedures: Path, kept: Cache) -> tuple[Approvals, list[Problem]]:
    """Those of a shop's folder, and what is wrong with them."""
    files, problems = folder.read(procedures / FOLDER, f"{procedures.name}/{FOLDER}", KINDS, kept)
    made = Approvals(files)
    for procedure in made.procedures:
        turns: dict[int, Frozen] = {}
        for file in made.of(procedure):
            other = turns.setdefault(file.content.turn, file)
            if other is not file and file.content.turn == made.of(procedure)[-1].content.turn:
                problems.append(file.problem(
                    "two-decisions", f"{other.file} and this file were decided at a time, so "
                    "neither sheet is in force", f"approve '{procedure}' again: that decides"))
    return made, problems


def read_new(procedures: Path) -> tuple[Approvals, list[Problem]]:
    """As `read`, without anything from an earlier time."""
    return read(procedures, Cache(forgetful=True))


# ---------------------------------------------------------------- deciding

def approve(procedures: Path, approvals: Approvals, sheet: SheetData, *, page: SheetText,
            made_from: Mapping[str, Sequence[str]], by: str,
            on: date) -> tuple[Path, ApprovedSheet]:
    """Freezes a sheet as it computes today with what its `page` shows; `made_from` are the texts of
    its files. Raises `Wrong` where it is in force already, or can't be written."""
    procedure = sheet.procedure
    last, sheets = approvals.in_force(procedure), approvals.sheets(procedure)
    if last and last.sheet.as_data() == sheet.as_data():
        raise Wrong(f"'{procedure}' is approved as it is: {last.shown}, by {last.by} on {last.on}")
    number = next((one.number for one in sheets if one.revision == sheet.revision),
                  max((one.number for one in sheets), default=0) + 1)
    changes = (sheet_changes.changes(last.sheet, sheet) if last
               else ["The first sheet that was approved." if not sheets
                     else "No approved sheet was in force."])
    return folder.append(
        procedures / FOLDER, folder.heads(approvals.files), ApprovedSheet, by=" ".join(by.split()),
        on=on.isoformat(), procedure=procedure, revision=sheet.revision, number=number,
        turn=_next_turn(approvals, procedure), changes=tuple(changes), sheet=sheet, page=page,
        made_from={name: tuple(lines) for name, lines in made_from.items()})


def withdraw(procedures: Path, approvals: Approvals, procedure: str, revision: str, *,
             because: str, told: str, by: str, on: date) -> tuple[Path, WithdrawnSheet]:
    """Takes a revision out of use. Raises `Wrong` where there is none such in use."""
    if approvals.find(procedure, revision) is None:
        raise Wrong(f"no revision '{revision}' of '{procedure}' was ever approved",
                    "approved: " + ", ".join(dict.fromkeys(
                        one.revision for one in approvals.sheets(procedure))))
    if gone := approvals.withdrawn(procedure, revision):
        raise Wrong(f"revision {revision} is withdrawn already, by {gone.by} on {gone.on}: "
                    f"{gone.because}")
    return folder.append(
        procedures / FOLDER, folder.heads(approvals.files), WithdrawnSheet, by=" ".join(by.split()),
        on=on.isoformat(), procedure=procedure, revision=revision,
        turn=_next_turn(approvals, procedure), because=because.strip(), told=told.strip())


def _next_turn(approvals: Approvals, procedure: str) -> int:
    return max((one.content.turn for one in approvals.of(procedure)), default=0) + 1
