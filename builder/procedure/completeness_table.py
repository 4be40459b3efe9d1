"""The completeness table of a plan: what tests each function, range and accuracy row, or why it is
left out."""

from __future__ import annotations

from dataclasses import replace

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.completeness import completeness
from builder.compute.exact.order import PROVING
from builder.compute.exact.tolerance import ZERO
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.meter import Meter
from builder.formats.plan import LeftOut, Plan
from builder.numbers import exact_text
from builder.procedure import tried
from builder.procedure.how_computed import row_said
from builder.procedure.meter_function import MeterFunction, part_of
from builder.procedure.planner import Planner
from builder.procedure.sentences import as_written, sentence
from builder.procedure.sheet import CompletenessRow, SheetGroup


def _steps_of(groups: list[SheetGroup]) -> tuple[dict[tuple, list[str]], dict[tuple, list[str]]]:
    """By function, range and row the steps that test it, and those that the decision rule leaves
    without limits."""
    tested: dict[tuple, list[str]] = {}
    undecided: dict[tuple, list[str]] = {}
    for group in groups:
        for point in group.points:
            if point.planned.judged and group.stage != PROVING:
                key = (point.planned.function.title, point.planned.range.full_scale,
                       point.planned.judged.row)
                (undecided if point.undecided else tested).setdefault(key, []).append(point.step)
        for check in group.checks:
            if check.covers:
                tested.setdefault((check.covers, None, None), []).append(check.step)
    return tested, undecided


def table_of(document: Document, plan: Plan, meter: Meter, functions: dict[str, MeterFunction],
             planner: Planner,
             groups: list[SheetGroup]) -> tuple[list[CompletenessRow], list[Problem]]:
    required, shown = [], {}
    for given in meter.functions:
        view = functions[given.title]
        for on in view.table.ranges:
            for row in on.rows:
                key = (view.title, on.full_scale, row)
                required.append(key)
                shown[key] = (exact_text.quantity(view.names[on]),
                              row_said(view, on, row))
        if not view.table.ranges:
            required.append((view.title, None, None))
            shown[(view.title, None, None)] = ("", None)
    tested, undecided = _steps_of(groups)
    points = [point.planned for group in groups if group.stage != PROVING
              for point in group.points]
    farthest, patterns = tried.farthest(points), []
    settled: set[int] = set()   # entries of which nothing more is said
    for i, left in _of_functions(plan):
        view = functions[left.function]
        on = view.range(left.range)
        rows = [row for one in ([on] if on else view.table.ranges) for row in one.rows
                if (left.frequency or left.values) and _is_meant(left, view, one, row)]
        if on and not rows and tried.is_the_rest(left, on, farthest):
            settled.add(i)
            continue
        if (left.frequency or left.values) and not rows:
            settled.add(i)
            span = left.frequency or left.values
            planner.document_problem(("left_out", i, "frequency" if left.frequency else "values"),
                                     "no-row",
                                     f"'{left.function}' has no accuracy row for {span}",
                                     "write it as the meter's file does, or from the highest "
                                     "point of a range to its end")
        for row in rows or [None]:
            patterns.append(((left.function, on.full_scale if on else None, row), i))
    left_out = [(p, as_written(plan.left_out[i].because)) for p, i in patterns]
    left_out += [(key, sentence("row-typical")) for key in required
                 if key[2] is not None and key[2].typical]
    # Behind the plan's own reasons: a row whose points the decision rule leaves without limits.
    left_out += [(key, sentence("steps-undecided", steps=tuple(steps)))
                 for key, steps in undecided.items()]
    table, unused = completeness(required=required, tested=tested, left_out=left_out)
    problems = []
    used = {patterns[n][1] for n in range(len(patterns)) if n not in unused}
    for i, left in _of_functions(plan):
        if i not in used | settled and left.function not in planner.refused:
            problems.append(document.problem(("left_out", i), "left-out-but-tested",
                                             f"all that this leaves out of '{left.function}' is "
                                             "tested",
                                             "delete this entry"))
    rows = []
    for entry in table:
        name, accuracy = shown[entry.key]
        rows.append(CompletenessRow(
            function=exact_text.capital(entry.key[0]), range=name, accuracy=accuracy,
            tested=", ".join(entry.tested_by), why=entry.left_out_because,
            tried=tried.words(plan, [point for point in points if point.judged and
                                     (point.function.title, point.range.full_scale,
                                      point.judged.row) == entry.key])))
    # Where points were refused, the rows that they would have tested would be called forgotten too.
    forgotten = [one.key for one in table if one.is_forgotten and one.key[0] not in planner.refused]
    problems += tried.problems(document, plan, farthest)
    problems += _forgotten(document, functions, planner, forgotten,
                           {one.key[0] for one in table if not one.is_forgotten}, shown)
    rows = _left_out_together(rows)
    rows += [CompletenessRow(check=left.check, why=as_written(left.because))
             for left in plan.left_out if left.check]
    rows += [CompletenessRow(function=exact_text.capital(other.name), other=True,
                             why=as_written(other.because)) for other in meter.other_functions]
    return rows, problems


def _is_meant(left: LeftOut, view: MeterFunction, on: RangeTable, row: AccuracyRow) -> bool:
    """Whether an entry names an accuracy row as the meter's file does."""
    return ((not left.frequency or (row.frequency, row.frequency_without) in (
                (part.ends(ZERO, ZERO), part.excluded_frequencies)
                for part in left.frequency.parts))
            and (not left.values or (row.values, row.values_without) == (
                part_of(left.values, view.kind, on.highest), left.values.excluded)))


def _of_functions(plan: Plan) -> list[tuple[int, LeftOut]]:
    return [(i, left) for i, left in enumerate(plan.left_out) if left.function]


def _forgotten(document: Document, functions: dict[str, MeterFunction], planner: Planner,
               keys: list[tuple],
               partly: set[str], shown: dict) -> list[Problem]:
    """One problem for a function that is forgotten altogether, one a row for others."""
    problems = []
    for title in dict.fromkeys(key[0] for key in keys):
        view, mine = functions[title], [key for key in keys if key[0] == title]
        unknown = {
            key: planner.not_found.get((title,
                                        next(
                                            (r for r in view.table.ranges if r.full_scale
                                             == key[1]), None), key[2]), "") for key in mine}
        level = ", level: 3 V" if view.kind.needs_level else ""
        hint = (
            f"add '- {{function: {title}, apply: recommended{level}}}', or '- {{function: {title}, "
            f"because: …}}' under 'left_out'")
        if not view.table.ranges:
            hint = (
                f"add a check with 'covers: {title}', or '- {{function: {title}, because: …}}' "
                "under 'left_out'")
        elif view.kind.not_planned:
            hint = (
                f"its points can't be planned yet: '- {{function: {title}, because: …}}' under "
                "'left_out'")
        if title not in partly and not any(unknown.values()):
            problems.append(document.problem(("points",), "forgotten",
                                             f"the plan forgets '{title}'", hint, of_key=True))
            continue
        for key in mine:
            (name, text), why = shown[key], unknown[key]
            problems.append(document.problem(
                ("points",), "forgotten", f"the plan forgets '{title}', range {name}, {text}"
                + (f" (nothing recommended: {why})" if why else ""),
                f"add a point on it, or '- {{function: {title}, range: "
                f"{next(str(m.range) for m in view.models if m.range.value == key[1])}, because: "
                f"…}}' under 'left_out'", of_key=True))
    return problems


def _left_out_together(rows: list[CompletenessRow]) -> list[CompletenessRow]:
    """Neighbouring ranges of a function that are left out for one reason share a line."""
    merged: list[CompletenessRow] = []
    for row in rows:
        last = merged[-1] if merged else None
        if last and row.why and (row.function, row.why) == (last.function, last.why):
            names = (last.range if row.range in last.range.split(", ")
                     else f"{last.range}, {row.range}")
            merged[-1] = replace(last, range=names, accuracy=None)
        else:
            merged.append(row)
    return merged
