"""The two forms in which a record has its readings: the short one that is typed from paper, lists
in the order of the steps, and that of a phone, a group of keys for each point, check and group."""

from __future__ import annotations

from typing import Any

from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.outcomes import NOT_DONE
from builder.formats.sheet_data import PointData, SheetData
from builder.records.readings import YES, Closing, EntryReader, Readings, Try, text_of

MOST_REPEATS = 100


def readings_of(raw: dict, known: SheetData, document: Document) -> tuple[Readings, list[Problem]]:
    """What a record's file says was read at the steps of the sheet, in either form, and what can't
    be placed."""
    entries, problems = Readings(), []
    paper = PaperForm(known, document, entries, problems)
    phone = PhoneForm(known, document, entries, problems)
    for name, of_paper, of_phone in (("readings", paper.readings, None),
                                     ("points", None, phone.point),
                                     ("checks", paper.checks, phone.check),
                                     ("closed", paper.closed, None), ("groups", None, phone.group),
                                     ("notes", paper.notes, None),
                                     ("standards", paper.labels, phone.label)):
        given = raw.get(name)
        if given is None or given == "":
            continue
        if isinstance(given, dict) and of_paper:
            of_paper(given, (name,))
        elif isinstance(given, list) and of_phone:
            for n, entry in enumerate(given):
                if isinstance(entry, dict):
                    of_phone(entry, (name, n))
                else:
                    phone.say((name, n), "shape", f"'{name}' holds groups of keys here",
                              "as the phone writes them")
        else:
            paper.say((name,), "shape",
                      f"'{name}' must be {'a group of keys and values' if of_paper else 'a list'}",
                      "see the form that 'python3 -m builder blank PROCEDURE' writes")
    return entries, problems


class PaperForm(EntryReader):
    """The short form: a list for each group, an entry a step."""

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
            self.say((*path, self._second_on_a_line(path, len(given)) or len(steps)), "too-many",
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

    def _second_on_a_line(self, path: tuple, count: int) -> int | None:
        """Where a form has a line for each step: the first entry that shares its line with the one
        before it, as the 60 of '3,60' does. None where all stand on one line."""
        lines = [self.document.place((*path, n)).line for n in range(count)]
        return next((n for n in range(1, count) if lines[n] == lines[n - 1]),
                    None) if len(set(lines)) > 1 else None

    def readings(self, given: dict, path: tuple) -> None:
        for key, line in given.items():
            points = [p for p in self.known.points if p.group == key]
            entries = self._group_of(key, (*path, key), points, "readings", line)
            for n, (point, entry) in enumerate(zip(points, entries or [], strict=False)):
                self._entry(point, entry, (*path, key, n))

    def _entry(self, point: PointData, entry: Any, path: tuple) -> None:
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

    def _try(self, point: PointData, given: Any, path: tuple) -> Try | None:
        reference = ""
        if isinstance(given, dict):
            unknown = next((name for name in given if name not in ("reading", "reference", "note")),
                           None)
            if unknown is not None:
                self.say((*path, unknown), "unknown-key",
                         f"'{unknown[:40]}' is not a key known here",
                         "known here: reading, reference, note", of_key=True)
                return None
            if text_of(given.get("note")):
                self.found.notes[point.step] = text_of(given["note"])
            beside, given = given.get("reference"), given.get("reading")
            both = [text_of(one) for one in (beside if isinstance(beside, list) else [beside])]
            if None in both or len(both) > 2:
                self.say((*path, "reference"), "reading",
                         f"step {point.step}: this is no reading of the reference meter",
                         "a number, or [before, after] where the sheet has two")
                return None
            both = ["" if one == NOT_DONE else one for one in both]
            reference = "; ".join(both) if any(both) else ""
        many = given if isinstance(given, list) else [given]
        texts = [text_of(one) for one in many]
        if None in texts or len(many) > MOST_REPEATS or (
                isinstance(given, list) and len(many) < 2):
            self.say(path, "reading", f"step {point.step}: this is no reading",
                     f"a number, OL, '-', or from two to {MOST_REPEATS} numbers in [[…]]")
            return None
        texts = [one for one in texts if one not in ("", NOT_DONE)]
        if reference and point.kind != "reference":
            self.say(path, "reading", f"step {point.step} has no reference meter",
                     "write the reading alone")
            return None
        if not texts:
            return None
        return Try(tuple(texts), reference, "", path)

    def checks(self, given: dict, path: tuple) -> None:
        for key, line in given.items():
            checks = [c for c in self.known.checks if c.group == key]
            entries = self._group_of(key, (*path, key), checks, "checks", line)
            for n, (check, entry) in enumerate(zip(checks, entries or [], strict=False)):
                self.answer(check, entry, (*path, key, n))

    def closed(self, given: dict, path: tuple) -> None:
        for key, value in given.items():
            group = next((g for g in self.known.groups if g.group == key), None)
            how = text_of(value)
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
                    YES.get(how, True), "" if how in YES else how)

    def notes(self, given: dict, path: tuple) -> None:
        steps = {one.step for one in (*self.known.points, *self.known.checks)}
        for step, text in given.items():
            if step not in steps:
                self.say((*path, step), "step", f"there is no step '{step[:20]}' on this sheet",
                         "a step is written as on the sheet, such as '4.2'", of_key=True)
            elif not text_of(text):
                self.say((*path, step), "note", "a note is a text", "write it in quotation marks")
            else:
                self.found.notes[step] = text_of(text)

    def labels(self, given: dict, path: tuple) -> None:
        for name, label in given.items():
            if isinstance(label, dict):
                self.label({**label, "standard": name}, (*path, name), strict=True)
            else:
                self.say((*path, name), "shape",
                         "what stood on a standard's label is a group of keys",
                         "such as {number: 12, due: 2027-06-30}")


class PhoneForm(EntryReader):
    """As a phone writes it: each point, check and group by its name. What isn't there was changed
    by hand."""

    def point(self, given: dict, path: tuple) -> None:
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
        if note := text_of(given.get("note")):
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
            texts = {name: text_of(one.get(name))
                     for name in ("reading", "reference", "at", "outcome")}
            if None in texts.values():
                self.say(place, "reading", f"step {point.step}: this is no reading",
                         "it was changed by hand: restore the file")
            elif texts["reading"]:
                tries.append(Try((texts["reading"],), texts["reference"], texts["at"], place,
                                 texts["outcome"]))
        if tries:
            self.found.tries[point.id] = tuple(tries)

    def check(self, given: dict, path: tuple) -> None:
        check = next((c for c in self.known.checks if c.step == given.get("step")), None)
        if check is None:
            self.say((*path, "step"), "step",
                     f"there is no check at step '{str(given.get('step'))[:20]}' in the data that "
                     "this record is judged by", "it was changed by hand: restore the file")
            return
        answers = given.get("answers")
        if not answers:     # an older record has the last answer alone
            self.answer(check, {"good": given.get("good"), "write": given.get("write")}, path)
        elif isinstance(answers, list) and all(isinstance(one, dict) for one in answers):
            first, *later = [{"good": one.get("answer"), "write": one.get("write"),
                              "by": one.get("by")} for one in answers]
            self.answer(check, {**first, "then": later}, (*path, "answers"))
            kept = self.found.answers.get(check.step)
            if kept and YES.get(text_of(given.get("good")) or "") != kept.good:
                self.say((*path, "good"), "answer",
                         f"step {check.step}: 'good' is not the last of its answers",
                         "it was changed by hand: restore the file")
        else:
            self.say((*path, "answers"), "shape", f"step {check.step}: this is no list of answers",
                     "it was changed by hand: restore the file")

    def group(self, given: dict, path: tuple) -> None:
        group = next((g for g in self.known.groups if g.group == given.get("group")), None)
        if group is None:
            self.say((*path, "group"), "group",
                     f"there is no group '{str(given.get('group'))[:20]}' in the data that this "
                     "record is judged by", "it was changed by hand: restore the file")
        elif group.hazard:
            closed = given.get("closed")
            self.found.closings[group.group] = Closing(
                closed if isinstance(closed, bool) else None, text_of(given.get("near_zero")) or "",
                text_of(given.get("opened")) or "")
