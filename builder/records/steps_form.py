"""The form in which a record is typed: a line a step, its number and its name before the colon, and
behind it what was read first, with later answers beside it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from builder.files.problems import Wrong
from builder.formats.group_data import CheckData
from builder.formats.outcomes import NOT_DONE
from builder.formats.report_data import NOT_ON_THIS_METER
from builder.formats.sheet_data import PointData
from builder.numbers import units
from builder.records.readings import EntryReader, Try, is_number, text_of

MOST_REPEATS = 100
MOST_TRIES = 10
# A written cause at the bench voids a reading: the wrong range, a lead, the zero, a misreading, a
# slip in typing. To read again voids nothing.
CAUSES = ("range", "lead", "zero", "misread", "typ")
AGAIN = "read again"
_KEY = re.compile(r"([0-9]{1,4}\.[0-9]{1,4})(?:\s+(\S.*))?")
_LEADS = ("leads alone", "leads together", "leads apart")
_OF_A_READING = ("reading", "repeated", "reference", "then", "because", "note", "confirmed")
_LATER = ("yes", "no", NOT_ON_THIS_METER, "by")
_OF_A_CHECK = (*_LATER, "then", "note")


def name_of(point: PointData) -> str:
    """What stands behind a point's number in a record."""
    if point.kind == "zero":
        return _LEADS[0]
    return ", ".join(filter(None, (point.apply.text, point.frequency, point.level)))


class StepsForm(EntryReader):
    """`steps` of a record, into its readings and problems."""

    def steps(self, given: dict, path: tuple) -> None:
        points = {one.step: one for one in self.known.points}
        checks = {one.step: one for one in self.known.checks}
        met: dict[str, str] = {}
        for key, entry in given.items():
            place = (*path, key)
            written = _KEY.fullmatch(str(key).strip())
            step = written[1] if written else ""
            thing = points.get(step) or checks.get(step)
            if thing is None:
                self.say(place, "step", f"there is no step '{str(key)[:40]}' on this sheet",
                         "a line has the number and the name of a step, such as "
                         f"'{_example(self.known.points)}'", of_key=True)
            elif step in met:
                self.say(place, "step", f"step {step} stands twice, as '{met[step][:40]}' too",
                         "keep one line; later readings stand under 'then'", of_key=True)
            else:
                met[step] = str(key)
                self._one(thing, (written[2] or "") if written else "", entry, place)

    def _one(self, thing: PointData | CheckData, name: str, entry: Any, place: tuple) -> None:
        own = thing.check if isinstance(thing, CheckData) else name_of(thing)
        if not name:
            self.say(place, "step", f"step {thing.step} has no name here",
                     f"write '{thing.step} {own}', so that no line slips into another's place",
                     of_key=True)
        elif not self._agrees(thing, name):
            self.say(place, "step", f"step {thing.step} is '{own}' on this sheet, not "
                     f"'{name[:40]}'", self._where(name) or f"write '{thing.step} {own}'",
                     of_key=True)
        elif isinstance(thing, CheckData):
            self._check(thing, entry, place)
        else:
            self._point(thing, entry, place)

    # ------------------------------------------------------------ names

    @staticmethod
    def _agrees(thing: PointData | CheckData, name: str) -> bool:
        if isinstance(thing, CheckData):
            return _plain(name) == _plain(thing.check)
        if thing.kind == "zero":
            return _plain(name) in map(_plain, _LEADS)
        own = [part for part in (thing.apply.text, thing.frequency, thing.level) if part]
        return all(any(_same(part, one) for one in own) for part in name.split(","))

    def _where(self, name: str) -> str:
        """Where a name stands on the sheet, if it stands there once."""
        at = [one.step for one in (*self.known.checks, *self.known.points)
              if self._agrees(one, name)]
        return f"'{name[:40]}' is step {at[0]}" if len(at) == 1 else ""

    # ------------------------------------------------------------ a check

    def _check(self, check: CheckData, entry: Any, place: tuple) -> None:
        later: list[tuple[Any, tuple]] = []
        if isinstance(entry, dict):
            if (odd := _odd(entry, _OF_A_CHECK)) is not None:
                self._unknown(odd, place, _OF_A_CHECK)
                return
            if note := text_of(entry.get("note")):
                self.found.notes[check.step] = note
            for n, again in enumerate(_listed(entry.get("then"))):
                where = (*place, "then", n) if isinstance(entry["then"], list) else (*place, "then")
                if isinstance(again, dict) and (odd := _odd(again, _LATER)) is not None:
                    self._unknown(odd, where, _LATER)
                    return
                later.append((self._said(check, again), where))
        self.answers(check, [(self._said(check, entry), place), *later])

    def _said(self, check: CheckData, entry: Any) -> Any:
        """`{yes: 35}`, `{no: chipped}` or `{not on this meter: XY}` as answer, what is written down
        and initials; text at a check without a blank is a note."""
        if not isinstance(entry, dict):
            return entry
        word = next((one for one in ("yes", "no", NOT_ON_THIS_METER) if one in entry), "")
        beside = text_of(entry.get(word)) or ""
        if word == NOT_ON_THIS_METER:
            return {"answer": word, "by": beside}
        if beside and not check.write and not is_number(beside):
            self.found.notes.setdefault(check.step, beside)
            beside = ""
        return {"answer": word, "write": beside, "by": text_of(entry.get("by")) or ""}

    # ------------------------------------------------------------ a point

    def _point(self, point: PointData, entry: Any, place: tuple) -> None:
        first = entry if isinstance(entry, dict) else {"reading": entry}
        if (odd := _odd(first, _OF_A_READING)) is not None:
            self._unknown(odd, place, _OF_A_READING)
            return
        if note := text_of(first.get("note")):
            self.found.notes[point.step] = note
        then, because = (_listed(first.get(name)) for name in ("then", "because"))
        if len(then) >= MOST_TRIES:
            self.say((*place, "then"), "too-many",
                     f"step {point.step} has more than {MOST_TRIES} readings one after another",
                     "readings that were repeated stand under 'repeated'")
            return
        inside = ("reading",) if isinstance(entry, dict) else ()
        tries = [self._try(point, first, place, inside)]
        for n, entered in enumerate(then):
            where = (*place, "then", n) if isinstance(first.get("then"), list) else (*place, "then")
            later = entered if isinstance(entered, dict) else {"reading": entered}
            if (odd := _odd(later, ("reading", "reference", "confirmed"))) is not None:
                self._unknown(odd, where, ("reading", "reference", "confirmed"))
                return
            tries.append(self._try(point, later, where, ()))
        kept = [one for one in tries if one is not None]
        if because and (causes := self._causes(point, because, len(kept), place)):
            kept = [_caused(one, causes[n] if n < len(causes) else "")
                    for n, one in enumerate(kept)]
        if kept:
            self.found.tries[point.id] = tuple(kept)

    def _try(self, point: PointData, given: dict, place: tuple, inside: tuple) -> Try | None:
        many = given.get("repeated")
        if many is not None and (not isinstance(many, list) or given.get("reading") is not None
                                 or not 2 <= len(many) <= MOST_REPEATS):
            self.say((*place, "repeated"), "reading",
                     f"step {point.step}: 'repeated' holds from two to {MOST_REPEATS} readings, "
                     "and stands alone", "{repeated: [5.01, 5.02, 5.00]}")
            return None
        texts = [text_of(one) for one in (many if many is not None else [given.get("reading")])]
        beside = given.get("reference")
        both = [text_of(one) for one in (beside if isinstance(beside, list) else [beside])]
        if None in both or len(both) > 2:
            self.say((*place, "reference"), "reading",
                     f"step {point.step}: this is no reading of the reference meter",
                     "a number, or [before, after] where the sheet has two")
            return None
        both = ["" if one == NOT_DONE else one for one in both]
        reference = "; ".join(both) if any(both) else ""
        if None in texts:
            self.say((*place, *inside), "reading", f"step {point.step}: this is no reading",
                     "a number, OL, or nothing if it was not done; {reading: 180.9, then: [179.9], "
                     "because: lead not home} where it was read again")
            return None
        if reference and point.kind != "reference":
            self.say((*place, "reference"), "reading", f"step {point.step} has no reference meter",
                     "write the reading alone")
            return None
        read = tuple(one for one in texts if one not in ("", NOT_DONE))
        if not read:
            return None
        confirmed = text_of(given.get("confirmed")) in ("yes", "true")
        return Try(readings=read, reference=reference, path=(*place, *inside), confirmed=confirmed)

    def _causes(self, point: PointData, because: list, tries: int, place: tuple) -> list[str]:
        """Why each reading but the last was voided; none where that was only to read again."""
        causes = [text_of(one) or "" for one in because]
        if len(causes) != tries - 1:
            self.say((*place, "because"), "cause",
                     f"step {point.step}: {len(causes)} cause(s) stand here, and "
                     f"{max(tries - 1, 0)} reading(s) under 'then'",
                     "a cause for each reading that another one replaces")
            return []
        for cause in causes:
            if cause != AGAIN and not any(word in cause.lower() for word in CAUSES):
                self.say((*place, "because"), "cause",
                         f"step {point.step}: '{cause[:40]}' is no cause that voids a reading",
                         f"the range, a lead, the zero, misread or mistyped; '{AGAIN}' voids "
                         "nothing, and the worse reading counts")
                return []
        return ["" if cause == AGAIN else cause for cause in causes]

    def _unknown(self, name: str, place: tuple, known: tuple[str, ...]) -> None:
        self.say((*place, name), "unknown-key", f"'{name[:40]}' is not a key known here",
                 f"known here: {', '.join(known)}", of_key=True)


def _odd(entry: dict, known: tuple[str, ...]) -> str | None:
    return next((str(name) for name in entry if name not in known), None)


def _listed(given: Any) -> list:
    return given if isinstance(given, list) else [] if given in (None, "") else [given]


def _caused(one: Try, cause: str) -> Try:
    return replace(one, cause=cause)


def _plain(name: str) -> str:
    """Compared without case and blanks, signs in one spelling."""
    name = re.sub(r"\s", "", name).lower()
    for sign, spelt in (("ω", "ohm"), ("Ω", "ohm"), ("µ", "u"), ("μ", "u"), ("−", "-"),
                        ("–", "-"), ("°", "deg")):
        name = name.replace(sign.lower(), spelt)
    return name


def _same(part: str, own: str) -> bool:
    """Whether a part of a name is one of the point's values, however it is written."""
    if _plain(part) == _plain(own):
        return True
    try:
        return units.quantity(part.strip().replace("−", "-")) == units.quantity(own) or (
            units.quantity(part.strip().replace("−", "-")).value == units.quantity(own).value
            and units.quantity(part.strip().replace("−", "-")).dimension
            == units.quantity(own).dimension)
    except Wrong:
        return False


def _example(points: tuple[PointData, ...]) -> str:
    return f"{points[0].step} {name_of(points[0])}" if points else "1.1 Ratings"
