"""What stands inside a record: readings, ticks and labels, each at its step, and how a single entry
is put at its place whichever form it stands in. What can't be placed is a problem."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.outcomes import NOT_DONE
from builder.formats.group_data import CheckData
from builder.formats.report_data import NOT_ON_THIS_METER
from builder.formats.sheet_data import SheetData

LABEL = ("number", "certificate", "calibrated", "due", "issuer")  # of a standard, as written down
YES = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Try:
    """One try at a point; several readings where they were repeated."""

    readings: tuple[str, ...]
    reference: str
    at: str
    path: tuple
    outcome: str = ""       # as a phone judged it


@dataclass(frozen=True, slots=True)
class Answer:
    """The last answer at a check, and those before it: a part that was replaced is answered
    again."""

    good: bool | None       # None where it is not on this meter, or only something was written
    write: str = ""
    not_here: bool = False
    by: str = ""            # whose initials stand at it
    earlier: tuple[Answer, ...] = ()    # the first one first

    @property
    def all(self) -> tuple[Answer, ...]:
        return (*self.earlier, self)

    @property
    def said(self) -> str:
        return NOT_ON_THIS_METER if self.not_here else "" if self.good is None else (
            "yes" if self.good else "no")


@dataclass(frozen=True, slots=True)
class Closing:
    """Whether a live group was closed by all of its steps, and the reading near zero."""

    closed: bool | None
    near_zero: str
    opened: str = ""


@dataclass
class Readings:
    tries: dict[str, tuple[Try, ...]] = field(default_factory=dict)     # by the id of the point
    answers: dict[str, Answer] = field(default_factory=dict)            # by step
    closings: dict[str, Closing] = field(default_factory=dict)          # by group
    notes: dict[str, str] = field(default_factory=dict)                 # by step
    labels: dict[str, dict[str, str]] = field(default_factory=dict)     # by standard


def text_of(value: Any) -> str | None:
    """A single value of a file as text, "" for nothing; None for lists and groups of keys."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).strip() if isinstance(value, (str, int, float)) else None


class EntryReader:
    """What both forms of a record have in common: each adds to the same readings and problems."""

    def __init__(self, known: SheetData, document: Document, found: Readings,
                 problems: list[Problem]):
        self.known, self.document, self.found, self.problems = known, document, found, problems

    def say(self, path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint, **more))

    def answer(self, check: CheckData, entry: Any, path: tuple) -> None:
        """The answers at a check: a single word, or 'good' with 'write', 'by' and the later answers
        under 'then'."""
        later = entry.get("then") if isinstance(entry, dict) else None
        if later is not None and not isinstance(later, list):
            self.say((*path, "then"), "answer", f"step {check.step}: later answers stand in a list",
                     "{good: no, then: [yes]} keeps the first answer beside the later one")
            return
        places = [(entry, path), *((one, (*path, "then", n)) for n, one in enumerate(later or []))]
        answers = [self._answer(check, one, at, first=at == path) for one, at in places]
        self.keep(check, [one for one in answers if one is not None])

    def keep(self, check: CheckData, answers: list[Answer]) -> None:
        if answers:
            *earlier, last = answers
            self.found.answers[check.step] = replace(last, earlier=tuple(earlier))

    def _answer(self, check: CheckData, entry: Any, path: tuple, first: bool) -> Answer | None:
        """One answer; None where it is blank, and where it is a problem."""
        write, by = "", ""
        if isinstance(entry, dict):
            keys = ("good", "write", "by", *(["then"] if first else []))
            unknown = next((name for name in entry if name not in keys), None)
            if unknown is not None:
                self.say((*path, unknown), "unknown-key",
                         f"'{unknown[:40]}' is not a key known here",
                         f"known here: {', '.join(keys)}", of_key=True)
                return None
            write, by = text_of(entry.get("write")), text_of(entry.get("by"))
            entry = entry.get("good")
        answer = text_of(entry)
        if answer is not None and answer.lower() in YES:
            answer = answer.lower()     # a phone's keyboard begins with a capital
        if None in (answer, write, by) or answer not in ("", NOT_DONE, NOT_ON_THIS_METER, *YES):
            self.say(path, "answer",
                     f"step {check.step}: {'this' if answer is None else repr(answer[:40])} is "
                     "neither yes nor no",
                     "yes, no, or '-' if it was not done; {good: yes, write: 9.1} where something "
                     "is written down; {good: no, then: [yes]} after a repair")
            return None
        if answer == NOT_ON_THIS_METER and (check.always or not by):
            self.say(path, "answer", f"step {check.step}: " + (
                f"no meter is without this, {check.check}" if check.always
                else "whose initials stand at 'not on this meter' is missing"),
                "yes or no" if check.always else "{good: not on this meter, by: XY}")
            return None
        write, by = ("" if one == NOT_DONE else one for one in (write, by))
        if answer not in YES and answer != NOT_ON_THIS_METER and not write:
            return None
        return Answer(good=YES.get(answer), write=write, not_here=answer == NOT_ON_THIS_METER,
                      by=by)

    def label(self, given: dict, path: tuple, strict: bool = False) -> None:
        """What stood on a standard's label; `strict` where it is typed, so that a key that isn't
        known is a mistake."""
        name = given.get("standard")
        if not any(one.standard == name for one in self.known.standards):
            self.say(path, "standard", f"there is no standard '{str(name)[:40]}' on this sheet",
                     "on it: " + ", ".join(one.standard for one in self.known.standards),
                     of_key=strict)
            return
        label = {}
        for key, value in given.items():
            if key not in ("standard", "name", *LABEL):
                if strict:
                    self.say((*path, key), "unknown-key", f"'{key[:40]}' is not a key known here",
                             f"known here: {', '.join(LABEL)}", of_key=True)
            elif text_of(value) is None:
                self.say((*path, key), "shape", f"'{key}' must be a single value",
                         "as it stands on the label")
            elif text_of(value) not in ("", NOT_DONE):
                label[key] = text_of(value)
        self.found.labels[name] = label
