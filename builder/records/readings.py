"""What stands inside a record: readings, ticks and labels, as a phone hands them over or as the
short form for paper has them, each at its step. What can't be placed is a problem."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.record_head import NOT_DONE
from builder.formats.sheet_data import SheetData

_YES = {"yes": True, "true": True, "no": False, "false": False}
_MOST_REPEATS = 100


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
    good: bool | None
    write: str


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


def readings_of(raw: dict, known: SheetData, document: Document) -> tuple[Readings, list[Problem]]:
    reader = _ReadingsOf(raw, known, document)
    reader.run()
    return reader.found, reader.problems


def _text(value: Any) -> str | None:
    """A single value as text, "" for nothing; None for lists and groups of keys."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).strip() if isinstance(value, (str, int, float)) else None


class _ReadingsOf:
    def __init__(self, raw: dict, known: SheetData, document: Document):
        self.raw, self.known, self.document = raw, known, document
        self.found, self.problems = Readings(), []

    def say(self, path: tuple, code: str, sentence: str, hint: str = "", **more) -> None:
        self.problems.append(self.document.problem(path, code, sentence, hint, **more))

    def run(self) -> None:
        for name, short, of_phone in (("readings", self._readings, None),
                                      ("points", None, self._point),
                                      ("checks", self._checks, self._check),
                                      ("closed", self._closed, None), ("groups", None, self._group),
                                      ("notes", self._notes, None),
                                      ("standards", self._labels, self._label)):
            given = self.raw.get(name)
            if given is None or given == "":
                continue
            if isinstance(given, dict) and short:
                short(given, (name,))
            elif isinstance(given, list) and of_phone:
                for n, one in enumerate(given):
                    if isinstance(one, dict):
                        of_phone(one, (name, n))
                    else:
                        self.say((name, n), "shape", f"'{name}' holds groups of keys here",
                                 "as the phone writes them")
            else:
                self.say((name,), "shape",
                         f"'{name}' must be {'a group of keys and values' if short else 'a list'}",
                         "see the form that 'python3 -m builder blank PROCEDURE' writes")

    # ------------------------------------------------------------ the short form

    def _group_of(self, key: str, path: tuple, steps: list, what: str, given: Any) -> list | None:
        """The entries of a group, one a step."""
        if not any(one.group == key for one in self.known.groups):
            names = ", ".join(g.group for g in self.known.groups
                              if any(s.group == g.group
                                     for s in (self.known.points if what == "readings"
                                               else self.known.checks)))
            self.say(path, "group", f"there is no group '{key[:20]}' on this sheet",
                     f"groups with {what}: {names}", of_key=True)
        elif not steps:
            self.say(path, "group", f"group {key} has no {what}",
                     f"write them under {'checks' if what == 'readings' else 'readings'}, if it "
                     "has those", of_key=True)
        elif not isinstance(given, list):
            self.say(path, "list", f"the {what} of group {key} must be a list",
                     "in brackets, a comma between them, such as [0.0, 60.2, '-']")
        elif len(given) > len(steps):
            self.say((*path, len(steps)), "too-many",
                     f"group {key} has {len(steps)} step{'' if len(steps) == 1 else 's'}, "
                     f"{steps[0].step} to {steps[-1].step}, and {len(given)} {what} stand here",
                     "two tries at one step go into brackets of their own; decimals take a point, "
                     "not a comma")
        elif len(given) < len(steps):
            self.say(path, "too-few",
                     f"group {key} has {len(steps)} steps, {steps[0].step} to {steps[-1].step}, "
                     f"and {len(given)} {what} stand here",
                     "'-' for each step that was not done, so that none slips into another's place")
        else:
            return given
        return None

    def _readings(self, given: dict, path: tuple) -> None:
        for key, line in given.items():
            points = [p for p in self.known.points if p.group == key]
            entries = self._group_of(key, (*path, key), points, "readings", line)
            for n, (point, entry) in enumerate(zip(points, entries or [])):
                self._entry(point, entry, (*path, key, n))

    def _entry(self, point, entry: Any, path: tuple) -> None:
        if isinstance(entry, list):
            if len(entry) > 2:
                self.say((*path, 2), "too-many", f"step {point.step} has more than two tries",
                         "readings that were repeated go into one more pair of brackets: [[5.01, "
                         "5.02, 5.00]]")
                return
            tries = [self._try(point, one, (*path, n)) for n, one in enumerate(entry)]
        else:
            tries = [self._try(point, entry, path)]
        kept = tuple(one for one in tries if one is not None)
        if kept:
            self.found.tries[point.id] = kept

    def _try(self, point, given: Any, path: tuple) -> Try | None:
        reference = ""
        if isinstance(given, dict):
            unknown = next((name for name in given if name not in ("reading", "reference", "note")),
                           None)
            if unknown is not None:
                self.say((*path, unknown), "unknown-key",
                         f"'{unknown[:40]}' is not a key known here",
                         "known here: reading, reference, note", of_key=True)
                return None
            if _text(given.get("note")):
                self.found.notes[point.step] = _text(given["note"])
            reference, given = _text(given.get("reference")) or "", given.get("reading")
            reference = "" if reference == NOT_DONE else reference
        many = given if isinstance(given, list) else [given]
        texts = [_text(one) for one in many]
        if None in texts or len(many) > _MOST_REPEATS or (
                isinstance(given, list) and len(many) < 2):
            self.say(path, "reading", f"step {point.step}: this is no reading",
                     f"a number, OL, '-', or from two to {_MOST_REPEATS} numbers in [[…]]")
            return None
        texts = [one for one in texts if one not in ("", NOT_DONE)]
        if reference and point.kind != "reference":
            self.say(path, "reading", f"step {point.step} has no reference meter",
                     "write the reading alone")
            return None
        if not texts:
            return None
        return Try(tuple(texts), reference, "", path)

    def _checks(self, given: dict, path: tuple) -> None:
        for key, line in given.items():
            checks = [c for c in self.known.checks if c.group == key]
            entries = self._group_of(key, (*path, key), checks, "checks", line)
            for n, (check, entry) in enumerate(zip(checks, entries or [])):
                self._answer(check, entry, (*path, key, n))

    def _answer(self, check, entry: Any, path: tuple) -> None:
        write = ""
        if isinstance(entry, dict):
            unknown = next((name for name in entry if name not in ("good", "write")), None)
            if unknown is not None:
                self.say((*path, unknown), "unknown-key",
                         f"'{unknown[:40]}' is not a key known here", "known here: good, write",
                         of_key=True)
                return
            write, entry = _text(entry.get("write")), entry.get("good")
        answer = _text(entry)
        if answer is None or write is None or (answer not in ("", NOT_DONE) and answer not in _YES):
            self.say(path, "answer",
                     f"step {check.step}: {'this' if answer is None else repr(answer[:40])} is "
                     "neither yes nor no",
                     "yes, no, or '-' if it was not done; {good: yes, write: 9.1} where something "
                     "is written down")
            return
        write = "" if write == NOT_DONE else write
        if answer in _YES or write:
            self.found.answers[check.step] = Answer(_YES.get(answer), write)

    def _closed(self, given: dict, path: tuple) -> None:
        for key, value in given.items():
            group = next((g for g in self.known.groups if g.group == key), None)
            how = _text(value)
            if group is None or not group.hazard:
                self.say((*path, key), "group", f"group {key[:20]} is no live group of this sheet",
                         "live groups: "
                         + (", ".join(g.group for g in self.known.groups if g.hazard) or "none"),
                         of_key=True)
            elif how is None:
                self.say((*path, key), "closed",
                         f"how group {key} was closed must be a single value",
                         "the reading near zero, yes or no")
            elif how not in ("", NOT_DONE):
                self.found.closings[key] = Closing(
                    _YES.get(how, True), "" if how in _YES else how)

    def _notes(self, given: dict, path: tuple) -> None:
        steps = {one.step for one in (*self.known.points, *self.known.checks)}
        for step, text in given.items():
            if step not in steps:
                self.say((*path, step), "step", f"there is no step '{step[:20]}' on this sheet",
                         "a step is written as on the sheet, such as '4.2'", of_key=True)
            elif not _text(text):
                self.say((*path, step), "note", "a note is a text", "write it in quotation marks")
            else:
                self.found.notes[step] = _text(text)

    def _labels(self, given: dict, path: tuple) -> None:
        for name, label in given.items():
            if isinstance(label, dict):
                self._label({**label, "standard": name}, (*path, name), strict=True)
            else:
                self.say((*path, name), "shape",
                         "what stood on a standard's label is a group of keys",
                         "such as {number: 12, due: 2027-06-30}")

    # ------------------------------------------------------------ as a phone writes it

    def _point(self, given: dict, path: tuple) -> None:
        point = self.known.point(given.get("id") if isinstance(given.get("id"), str) else "")
        if point is None or given.get("step", point.step) != point.step:
            self.say((*path, "id" if point is None else "step"), "point",
                     f"there is no point '{str(given.get('id'))[:60]}' at step "
                     f"'{str(given.get('step'))[:20]}' in the data that this record is judged by",
                     "it was changed by hand: restore the file")
            return
        if point.id in self.found.tries:
            self.say((*path, "id"), "point", f"the point '{point.id[:60]}' stands twice",
                     "keep one of the two")
            return
        if note := _text(given.get("note")):
            self.found.notes[point.step] = note
        readings = given.get("readings") or []
        if not isinstance(readings,
                          list) or len(readings) > 2 or not all(
                                  isinstance(one, dict) for one in readings):
            self.say((*path, "readings"),
                     "too-many" if isinstance(readings, list) and len(readings) > 2 else "shape",
                     f"step {point.step} has a first try and a second, and no more",
                     "it was changed by hand: restore the file")
            return
        tries = []
        for n, one in enumerate(readings):
            place = (*path, "readings", n, "reading")
            texts = {name: _text(one.get(name))
                     for name in ("reading", "reference", "at", "outcome")}
            if None in texts.values():
                self.say(place, "reading", f"step {point.step}: this is no reading",
                         "it was changed by hand: restore the file")
            elif texts["reading"]:
                tries.append(Try((texts["reading"],), texts["reference"], texts["at"], place,
                                 texts["outcome"]))
        if tries:
            self.found.tries[point.id] = tuple(tries)

    def _check(self, given: dict, path: tuple) -> None:
        check = next((c for c in self.known.checks if c.step == given.get("step")), None)
        if check is None:
            self.say((*path, "step"), "step",
                     f"there is no check at step '{str(given.get('step'))[:20]}' in the data that "
                     "this record is judged by", "it was changed by hand: restore the file")
            return
        self._answer(check, {"good": given.get("good"), "write": given.get("write")}, path)

    def _group(self, given: dict, path: tuple) -> None:
        group = next((g for g in self.known.groups if g.group == given.get("group")), None)
        if group is None:
            self.say((*path, "group"), "group",
                     f"there is no group '{str(given.get('group'))[:20]}' in the data that this "
                     "record is judged by", "it was changed by hand: restore the file")
        elif group.hazard:
            closed = given.get("closed")
            self.found.closings[group.group] = Closing(
                closed if isinstance(closed, bool) else None, _text(given.get("near_zero")) or "",
                _text(given.get("opened")) or "")

    def _label(self, given: dict, path: tuple, strict: bool = False) -> None:
        name = given.get("standard")
        if not any(one.standard == name for one in self.known.standards):
            self.say(path, "standard", f"there is no standard '{str(name)[:40]}' on this sheet",
                     "on it: " + ", ".join(one.standard for one in self.known.standards),
                     of_key=strict)
            return
        label = {}
        for key, value in given.items():
            if key not in ("standard", "name", "number", "certificate", "due"):
                if strict:
                    self.say((*path, key), "unknown-key", f"'{key[:40]}' is not a key known here",
                             "known here: number, certificate, due", of_key=True)
            elif _text(value) is None:
                self.say((*path, key), "shape", f"'{key}' must be a single value",
                         "as it stands on the label")
            elif _text(value) not in ("", NOT_DONE):
                label[key] = _text(value)
        self.found.labels[name] = label
