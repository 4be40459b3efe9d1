"""What changed between two sheets, in words: points, limits, order, steps, cautions, checks,
standards, and whatever else their data have."""

from __future__ import annotations

from collections.abc import Iterator

from builder.formats.group_data import GroupData
from builder.formats.sheet_data import PointData, SheetData
from builder.frozen.differences import differences, quantity
from builder.numbers.exact_text import capital

NOT_SEEN = ("Something that the data of a sheet do not show: a note, a drawing, or an uncertainty "
            "by less than is printed.")
# What stands in a sentence of its own, and what only places an entry.
_APART = {"format", "procedure", "revision", "meter", "standards", "groups", "points", "checks",
          "left_out"}
_PLACES = {"id", "group", "step", "check", "standard"}
# As the sheet calls it; another field is called by its own name.
_NAMES = {"accept": "limits", "holds": "ambient", "rule_in_words": "decision rule, in words",
          "certificate": "certificate", "U": "uncertainty", "tur": "test uncertainty ratio",
          "tolerance_limits": "tolerance limits", "expected": "value at the input",
          "interval_agreed": "agreed interval", "rule_agreed": "rule agreed",
          "range_forced": "range by hand",
          "do": "what to do", "good": "what is good", "write": "what to write",
          "of": "what it speaks of", "before": "before the row"}
# Follows from what stands beside it.
_FOLLOWS = {"accuracy", "slope", "offset", "before_steps", "opening_steps", "closing_steps",
            "cautions", "group"}


def changes(old: SheetData, new: SheetData) -> list[str]:
    """A sentence for each thing that differs; none only where the two are alike in all that their
    data show and have one revision."""
    listed = [*_head(old, new), *_standards(old, new), *_points(old, new), *_order(old, new),
              *_groups(old, new), *_checks(old, new), *_left_out(old, new)]
    if not listed and old.revision != new.revision:
        listed = [NOT_SEEN]
    return list(dict.fromkeys(listed))


# ---------------------------------------------------------------- the parts of a sheet

def _head(old: SheetData, new: SheetData) -> Iterator[str]:
    for line in differences(old.as_data(), new.as_data(), _APART, _NAMES):
        yield f"{capital(line)}."


def _standards(old: SheetData, new: SheetData) -> Iterator[str]:
    before, after = ({one.standard: one.as_data() for one in sheet.standards}
                     for sheet in (old, new))
    for slug, standard in after.items():
        if slug not in before:
            yield f"New standard: {standard['name']}."
        elif lines := list(differences(before[slug], standard, _PLACES, _NAMES)):
            yield f"{standard['name']}: {'; '.join(lines)}."
    for slug in before:
        if slug not in after:
            yield f"Standard gone: {before[slug]['name']}."


def _called(point: PointData) -> str:
    beside = "".join(f", {quantity(one)}" for one in (point.frequency, point.level) if one)
    applied = "leads alone" if point.kind == "zero" else quantity(point.apply.text)
    return f"{capital(point.function)}, {applied}{beside} on {quantity(point.range.text)}"


def _points(old: SheetData, new: SheetData) -> Iterator[str]:
    before, after = ({one.id: one for one in sheet.points} for sheet in (old, new))
    for id, point in after.items():
        if id not in before:
            yield f"New point: {_called(point)} (step {point.step})."
        elif lines := list(differences(before[id].as_data(), point.as_data(),
                                        _PLACES | _FOLLOWS, _NAMES)):
            yield f"{_called(point)} (step {point.step}): {'; '.join(lines)}."
        elif before[id] != point and before[id].accuracy != point.accuracy:
            yield f"{_called(point)} (step {point.step}): another accuracy, the same limits."
    for id, point in before.items():
        if id not in after:
            yield f"Point gone: {_called(point)} (it was step {point.step})."


def _order(old: SheetData, new: SheetData) -> Iterator[str]:
    before, after = ([one.id for one in sheet.points] for sheet in (old, new))
    both = set(before) & set(after)
    if [one for one in before if one in both] != [one for one in after if one in both]:
        yield "The points are done in another order."
    steps = {one.id: one.step for one in old.points}
    moved = sum(1 for one in new.points if steps.get(one.id, one.step) != one.step)
    if moved:
        yield f"{moved} point{'' if moved == 1 else 's'} with another step number."


def _groups(old: SheetData, new: SheetData) -> Iterator[str]:
    """Steps and cautions of each group that has an entry in common with one of before."""
    home = {id: group for group in old.groups for id in _entries(old, group)}
    for group in new.groups:
        own = next((home[id] for id in _entries(new, group) if id in home), None)
        where = f"Group {group.group}, {group.title}"
        if own is None:
            for caution in group.warnings:
                yield f"{where}: new caution: {caution}"
            continue
        for what, before, after in (("caution", own.warnings, group.warnings),
                                    ("step before", own.opening, group.opening),
                                    ("step after", own.closing, group.closing)):
            yield from (f"{where}: {what} added: {one}" for one in after if one not in before)
            yield from (f"{where}: {what} gone: {one}" for one in before if one not in after)
            if before != after and sorted(before) == sorted(after):
                yield f"{where}: the order of its {what.split()[0]}s is another."
        told = {"warnings", "opening", "closing", "title"} | _PLACES | _FOLLOWS
        if lines := list(differences(own.as_data(), group.as_data(), told, _NAMES)):
            yield f"{where}: {'; '.join(lines)}."


def _entries(sheet: SheetData, group: GroupData) -> list[str]:
    """Its points and checks, by what they are and not by their steps."""
    return [*(one.id for one in sheet.points if one.group == group.group),
            *(one.check for one in sheet.checks if one.group == group.group)]


def _checks(old: SheetData, new: SheetData) -> Iterator[str]:
    before, after = ({one.check: one for one in sheet.checks} for sheet in (old, new))
    for name, check in after.items():
        if name not in before:
            yield f"New check: {name} (step {check.step})."
        elif lines := list(differences(before[name].as_data(), check.as_data(), _PLACES, _NAMES)):
            yield f"Check {name} (step {check.step}): {'; '.join(lines)}."
    yield from (f"Check gone: {name}." for name in before if name not in after)


def _left_out(old: SheetData, new: SheetData) -> Iterator[str]:
    before, after = ([", ".join(filter(None, (one.function, one.range, one.row)))
                      + f": {one.because}" for one in sheet.left_out] for sheet in (old, new))
    yield from (f"Now left out: {one}" for one in after if one not in before)
    yield from (f"No longer left out: {one}" for one in before if one not in after)
