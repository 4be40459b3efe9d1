"""What stands inside a record: readings, ticks and labels, each at its step, and how a single entry
is put at its place whichever form it stands in. What can't be placed is a problem."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from builder.files.problems import ERROR, WARNING, Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.group_data import CheckData
from builder.formats.outcomes import NOT_DONE
from builder.formats.report_data import NOT_ON_THIS_METER, Answered
from builder.formats.sheet_data import SheetData
from builder.numbers import units
from builder.records.typed import typed_number

# Of a standard, as written down.
LABEL = ("number", "certificate", "calibrated", "due", "issuer", "accreditation")
YES = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """One try at a point; several readings where they were repeated."""

    readings: tuple[str, ...]
    reference: str = ""
    at: str = ""
    path: tuple = ()
    outcome: str = ""       # as a phone judged it
    cause: str = ""         # at the bench, for which it counts no more
    confirmed: bool = False     # the display showed this, however odd it looks


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The last answer at a check, and those before it: a part that was replaced is answered
    again."""

    good: bool | None       # None where it is not on this meter, or only something was written
    write: str = ""
    not_here: bool = False
    outside: bool = False   # it was a yes, and the number isn't what the check asks for
    contradicted: bool = False      # it is ticked good, and the number says no
    by: str = ""            # whose initials stand at it
    earlier: tuple[Answer, ...] = ()    # the first one first

    @property
    def all(self) -> tuple[Answer, ...]:
        return (*self.earlier, self)

    @property
    def said(self) -> Answered | Literal[""]:
        return NOT_ON_THIS_METER if self.not_here else "" if self.good is None else (
            "yes" if self.good else "no")


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """What a record says of how a live group was closed: whether it was, and by which reading near
    zero, or what else was done and by whom."""

    closed: bool | None
    near_zero: str = ""
    opened: str = ""
    otherwise: str = ""
    by: str = ""                            # who closed it otherwise
    earlier: tuple[str, ...] = ()           # readings near zero before it was opened again
    other_bench: tuple[str, ...] = ()       # live groups that stood on another bench, as was said


@dataclass(kw_only=True)
class Readings:
    tries: dict[str, tuple[Try, ...]] = field(default_factory=dict)     # by the id of the point
    # by step, the last one with those before it
    answers: dict[str, Answer] = field(default_factory=dict)
    closings: dict[str, Closing] = field(default_factory=dict)          # by group
    notes: dict[str, str] = field(default_factory=dict)                 # by step
    initials: dict[str, str] = field(default_factory=dict)              # by group
    labels: dict[str, dict[str, str]] = field(default_factory=dict)     # by standard


def text_of(value: Any) -> str | None:
    """A single value of a file as text, "" for nothing; None for lists and groups of keys."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).strip() if isinstance(value, (str, int, float)) else None


def is_number(text: str) -> bool:
    try:
        units.split_number(text)
    except Wrong:
        return False
    return True


def asked_for(check: CheckData) -> str:
    """The numbers that a check asks for, in words."""
    unit = f" {check.unit}" if check.unit else ""
    return " and ".join(f"{words} {units.decimal_text(number)}{unit}" for words, number in (
        ("at least", check.at_least), ("at most", check.at_most)) if number is not None)


def _is_asked_for(check: CheckData, written: str) -> bool:
    """Whether a number at a check is one that it asks for, as a phone reads it, a decimal comma
    too; a text that is none decides nothing."""
    try:
        number = typed_number(written).value
    except Wrong:
        return True
    return ((check.at_least is None or number >= check.at_least)
            and (check.at_most is None or number <= check.at_most))


class EntryReader:
    """What both forms of a record have in common: each adds to the same readings and problems."""

    def __init__(self, known: SheetData, document: Document, found: Readings,
                 problems: list[Problem]):
        self.known, self.document, self.found, self.problems = known, document, found, problems

    def say(self, path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint, **more))

    def answers(self, check: CheckData, given: list[tuple[Any, tuple]],
                asked: bool = False) -> None:
        """All answers at a check, each with its place; the last one keeps those before it. Whoever
        was `asked` at a page can't have left a yes as the last one beside a number that is a no; of
        what was typed the number decides."""
        read = [(self._answer(check, entry, path), path) for entry, path in given]
        kept = [(one, path) for one, path in read if one is not None]
        if not kept:
            return
        last, path = kept[-1]
        if last.contradicted:
            self.say(path, "number", f"step {check.step} is ticked good, and the check asks for "
                     f"{asked_for(check)}, not {last.write[:20]}", "the number decides: answer "
                     "'not good', or mend the number" if asked else "the report says no: the "
                     "number decides; or is it mistyped?", severity=ERROR if asked else WARNING)
        self.found.answers[check.step] = replace(last, earlier=tuple(one for one, _ in kept[:-1]))

    def _answer(self, check: CheckData, entry: Any, path: tuple) -> Answer | None:
        """A single word, or a group of 'answer', 'write' and 'by'; None where it is blank, and
        where it is a problem."""
        write = by = ""
        if isinstance(entry, dict):
            write, by = (text_of(entry.get(name)) or "" for name in ("write", "by"))
            entry = entry.get("answer")
        answer, write = text_of(entry), "" if write == NOT_DONE else write
        if answer is not None and answer.lower() in YES:
            answer = answer.lower()     # a phone's keyboard begins with a capital
        if answer in ("", NOT_DONE) and not write:
            return None
        if write and not check.write:
            self.say(path, "answer", f"step {check.step} asks for no number, and {write[:20]} "
                     "stands here", "does it belong to another step?")
        elif answer is None or answer not in ("", NOT_DONE, NOT_ON_THIS_METER, *YES):
            self.say(path, "answer",
                     f"step {check.step}: {'this' if answer is None else repr(answer[:40])} is "
                     "neither yes nor no",
                     "yes, no, or nothing if it was not done; {yes: 9.1} where something is "
                     "written down; {no: cracked, then: [yes]} after a repair")
        elif answer == NOT_ON_THIS_METER and (check.always or not by):
            self.say(path, "answer", f"step {check.step}: " + (
                f"no meter is without this, {check.check}" if check.always
                else "whose initials stand at 'not on this meter' is missing"),
                "yes or no" if check.always else "{not on this meter: XY}")
        else:
            outside = not _is_asked_for(check, write)
            return Answer(good=False if outside else YES.get(answer), write=write, by=by,
                          contradicted=bool(outside and YES.get(answer)),
                          not_here=answer == NOT_ON_THIS_METER,
                          outside=outside and YES.get(answer) is not False)
        return None

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
