"""How a sheet stands: approved, or a draft beside what was approved; and what differs."""

from __future__ import annotations

from dataclasses import dataclass

from builder.formats.frozen_files import ApprovedSheet, WithdrawnSheet
from builder.formats.sheet_data import SheetData
from builder.frozen.approved import Approvals
from builder.frozen.sheet_changes import changes


@dataclass(frozen=True, slots=True)
class Standing:
    """Of a sheet as it computes today; `changes` are those since the one in force."""

    revision: str
    in_force: ApprovedSheet | None
    withdrawn: WithdrawnSheet | None    # of the revision that it computes to
    changes: tuple[str, ...]

    @property
    def is_draft(self) -> bool:
        """Whether nobody approved it, or what it computes to isn't what is in force."""
        return self.in_force is None or self.in_force.revision != self.revision

    @property
    def shown(self) -> str:
        """The revision as pages name it: counted once somebody approved it."""
        return (f"DRAFT, revision {self.revision}" if self.is_draft or self.in_force is None
                else self.in_force.shown)

    @property
    def said(self) -> str:
        """In a sentence, for a list."""
        if not self.is_draft and self.in_force:
            again = (f" Approve it again to print what is new: {' '.join(self.changes)}"
                     if self.changes else "")
            return (f"{self.in_force.shown}, approved by {self.in_force.by} on "
                    f"{self.in_force.on}.{again}")
        if self.in_force is None:
            return f"draft, revision {self.revision}: no approved sheet is in force."
        return (f"draft, revision {self.revision}, beside {self.in_force.shown}, which is in "
                f"force: {' '.join(self.changes)}")


def standing(approvals: Approvals, fresh: SheetData) -> Standing:
    """How a computed sheet stands beside what was approved."""
    own = approvals.in_force(fresh.procedure)
    return Standing(fresh.revision, own, approvals.withdrawn(fresh.procedure, fresh.revision),
                    tuple(changes(own.sheet, fresh)) if own else ())
