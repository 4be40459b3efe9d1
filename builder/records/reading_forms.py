"""The two forms in which a record has its readings: the one that is typed, a line a step, and that
of a phone, a group of keys for each point, check and group."""

from __future__ import annotations


from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.group_data import GroupData
from builder.formats.outcomes import NOT_DONE
from builder.formats.sheet_data import SheetData
from builder.records import near_zero
from builder.records.reading_words import NOT_CLOSED_HINT
from builder.records.readings import YES, Closing, EntryReader, Readings, Try, text_of
from builder.records.steps_form import MOST_TRIES, StepsForm



def readings_of(raw: dict, known: SheetData, document: Document) -> tuple[Readings, list[Problem]]:
    """What a record's file says was read at the steps of the sheet, in either form, and what can't
    be placed."""
    entries, problems = Readings(), []
    paper = PaperForm(known, document, entries, problems)
    steps = StepsForm(known, document, entries, problems)
    phone = PhoneForm(known, document, entries, problems)
    for name, of_paper, of_phone in (("steps", steps.steps, None),
                                     ("points", None, phone.point),
                                     ("checks", None, phone.check),
                                     ("closed", paper.closed, None), ("groups", None, phone.group),
                                     ("initials", paper.initials, None),
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
    """What a typed record has beside its steps."""

    def closed(self, given: dict, path: tuple) -> None:
        for key, value in given.items():
            group = next((g for g in self.known.groups if g.group == key), None)
            how = text_of(value)
            if group is None or not group.hazard:
                self.say((*path, key), "group", f"group {key[:20]} is no live group of this sheet",
                         "live groups: "
                         + (", ".join(g.group for g in self.known.groups if g.hazard) or "none"),
                         of_key=True)
            elif isinstance(value, dict):
                self._otherwise(key, value, (*path, key))
            elif how is None:
                self.say((*path, key), "closed",
                         f"how group {key} was closed must be a single value", NOT_CLOSED_HINT)
            elif how not in ("", NOT_DONE):
                self._near_zero(group, how, (*path, key))

    def _near_zero(self, group: GroupData, how: str, path: tuple) -> None:
        """`no`, or a reading that closes the group; `yes` where a sheet asks for none."""
        if how in YES and not (YES[how] and group.near_zero):
            self.found.closings[group.group] = Closing(closed=YES[how])
        elif wrong := near_zero.why_open(how, group):
            self.say(path, "closed", f"live group {group.group}: {wrong}", NOT_CLOSED_HINT)
        else:
            self.found.closings[group.group] = Closing(closed=True, near_zero=how)

    def _otherwise(self, key: str, given: dict, path: tuple) -> None:
        """A group that no reading of the meter closed: what was done, and by whom."""
        unknown = next((name for name in given if name not in ("otherwise", "by")), None)
        if unknown is not None:
            self.say((*path, unknown), "unknown-key", f"'{unknown[:40]}' is not a key known here",
                     "known here: otherwise, by", of_key=True)
            return
        otherwise, by = (text_of(given.get(name)) for name in ("otherwise", "by"))
        if not otherwise or not by:
            self.say(path, "closed", f"live group {key}: what was done and who did it are both "
                     "needed", NOT_CLOSED_HINT)
            return
        self.found.closings[key] = Closing(closed=True, otherwise=otherwise, by=by)

    def initials(self, given: dict, path: tuple) -> None:
        """Who did a group, where two people share a record."""
        for key, who in given.items():
            if not any(one.group == key for one in self.known.groups):
                self.say((*path, key), "group", f"there is no group '{key[:20]}' on this sheet",
                         "the number of a group, such as '5'", of_key=True)
            elif text_of(who) is None:
                self.say((*path, key), "shape", "initials are a single value", "such as 'IM'")
            elif text_of(who) not in ("", NOT_DONE):
                self.found.initials[key] = text_of(who) or ""

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
        if not isinstance(readings, list) or len(readings) > MOST_TRIES or not all(
                isinstance(one, dict) for one in readings):
            too_many = isinstance(readings, list) and len(readings) > MOST_TRIES
            self.say((*path, "readings"), "too-many" if too_many else "shape",
                     f"step {point.step} has up to {MOST_TRIES} readings one after another",
                     "it was changed by hand: restore the file")
            return
        tries = []
        for n, attempt in enumerate(readings):
            place = (*path, "readings", n, "reading")
            texts = {name: text_of(attempt.get(name))
                     for name in ("reading", "reference", "at", "outcome", "cause")}
            if None in texts.values():
                self.say(place, "reading", f"step {point.step}: this is no reading",
                         "it was changed by hand: restore the file")
            elif texts["reading"]:
                tries.append(Try(readings=(texts["reading"],), reference=texts["reference"],
                                 at=texts["at"], path=place, outcome=texts["outcome"],
                                 cause=texts["cause"], confirmed=attempt.get("confirmed") is True))
        if tries:
            self.found.tries[point.id] = tuple(tries)

    def check(self, given: dict, path: tuple) -> None:
        check = next((c for c in self.known.checks if c.step == given.get("step")), None)
        if check is None:
            self.say((*path, "step"), "step",
                     f"there is no check at step '{str(given.get('step'))[:20]}' in the data that "
                     "this record is judged by", "it was changed by hand: restore the file")
            return
        name = given.get("check", check.check)
        if str(name).lower() != check.check.lower():
            self.say((*path, "check"), "step", f"step {check.step} is '{check.check}' in the data "
                     f"that this record is judged by, not '{str(name)[:40]}'",
                     "it was changed by hand: restore the file")
            return
        answers = given.get("answers")
        if not answers:     # an older record has the last answer alone
            self.answers(check, [({"answer": given.get("good"), "write": given.get("write")},
                                  path)])
        elif isinstance(answers, list):
            self.answers(check, [(one, (*path, "answers", n)) for n, one in enumerate(answers)],
                         asked=True)
            kept = self.found.answers.get(check.step)
            if kept and not kept.contradicted and YES.get(
                    text_of(given.get("good")) or "") != kept.good:
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
            return
        if who := text_of(given.get("initials")):
            self.found.initials[group.group] = who
        if group.hazard:
            self.found.closings[group.group] = near_zero.closing_of_phone(given)
