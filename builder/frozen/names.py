"""Who may approve, finish and review, as the workshop's file says."""

from __future__ import annotations

from builder.files.problems import Wrong
from builder.formats.workshop import Workshop

APPROVE, FINISH, REVIEW = "approve", "finish", "review"


def same_name(one: str, other: str) -> bool:
    """Whether two names are one but for case and blanks."""
    return one.casefold().split() == other.casefold().split()


def refuse_unless(workshop: Workshop | None, name: str, act: str) -> None:
    """Raises `Wrong` for a name that the workshop's list doesn't have for this; without a list
    any name will do."""
    if not name.strip():
        raise Wrong("a name is needed behind --by", "yours, as it is to be printed")
    listed = workshop.authorised if workshop else []
    able = [one.name for one in listed if act in one.may]
    if listed and not any(same_name(one, name) for one in able):
        raise Wrong(f"'{name}' is not listed in workshop.yaml as one who may {act}",
                    f"listed: {', '.join(able)}" if able else f"nobody there may {act}")
