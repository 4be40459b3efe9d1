"""What a report states, in words: the lines under its headline, the label for the meter, and each
function with how far it was tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from builder.formats.report_data import (CONDITIONALLY_FAILS, CONDITIONALLY_PASSES, FAILS, LIMITED,
                                         NO_STATEMENT, NOT_SAFE, NOT_TESTED, PASSES, POINT_NEARLY,
                                         POINT_PASSES, CheckAnswerData, PointOutcomeData, ReachData)
from builder.numbers import exact_text
from builder.records import ground
from builder.records.judged_record import Record
from builder.records.record_statement import RecordStatement, is_of_the_bench
from builder.records.report_lines import ReportLine, named_steps, quantity
from builder.records.state_words import AFTER_WORK, LACKS
from builder.records.statement import OfFunction


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFunction:
    name: str
    statement: str
    fails: bool
    reach: str
    count: str
    steps: str      # that the statement hangs on
    lines: tuple[ReportLine, ...]


# ---------------------------------------------------------------- under the headline

def statement_lines(record: Record, stated: RecordStatement) -> Iterator[str]:
    """Why the statement is what it is, the gravest first; then whatever stands under every
    headline: readings outside, checks that are a no and stop nothing."""
    whole = stated.of_meter
    if whole.unsafe:
        yield f"Not good, and it stops everything: {_checks(whole.unsafe)}."
    if whole.unseen:
        late = tuple(one for one in whole.unseen if one.step in stated.after_work)
        if unseen := tuple(one for one in whole.unseen if one not in late):
            yield f"Not checked, and it stops everything: {_checks(unseen)}."
        if late:
            yield f"Checked only {AFTER_WORK}, and it stops everything: {_checks(late)}."
    untouched = _untouched(stated)
    for statement, words in ((FAILS, _failing), (CONDITIONALLY_FAILS, _nearly_failing),
                             (NO_STATEMENT, partial(_without_statement,
                                                    after_work=stated.after_work)),
                             (CONDITIONALLY_PASSES, _nearly_passing)):
        for function in whole.functions:
            if function.statement == statement and function not in untouched:
                yield f"{exact_text.capital(function.function)} {words(function)}."
    if untouched:
        yield NOT_DONE + ", ".join(one.function for one in untouched) + "."
    yield from _lacking(record, stated.points)
    undecided = {step for one in whole.functions for step in one.failed + one.nearly_failed}
    if outside := [one.step for one in whole.outside if one.step not in undecided]:
        yield f"Outside the limits, and not judged: {named_steps(outside)}."
    if leads := [one.point.step for one in record.judged
                 if one.has_failed and is_of_the_bench(record, one)]:
        yield f"Of the bench, and not of the meter, was outside its limits: {named_steps(leads)}."
    of_bench = [one for one in whole.noted if one.of == "bench"]
    if own := [one for one in whole.noted if one not in of_bench]:
        yield f"Not good, though it stops nothing: {_checks(own)}."
    if of_bench:
        yield f"Of the bench, and not of the meter, was not good: {_checks(of_bench)}."
    if stated.carried_over:
        yield ("Carried over from the state as found, not done again: "
               f"{named_steps(_in_order(stated, stated.carried_over))}.")
    if stated.carried_as_left:
        yield (f"Carried over from the record as found, read there {AFTER_WORK}: "
               f"{named_steps(_in_order(stated, stated.carried_as_left))}.")


NOT_DONE = "Not done, and so without a statement: "


def _untouched(stated: RecordStatement) -> tuple[OfFunction, ...]:
    """The functions that one line names together: where the work stopped, for the meter is not
    safe to use, before anything of them was done."""
    return tuple(one for one in stated.functions if stated.statement == NOT_SAFE
                 and one.is_untouched and not stated.after_work.intersection(one.blank))


def _in_order(stated: RecordStatement, steps: frozenset[str]) -> list[str]:
    """Checks, then points, as the sheet has them."""
    return [*(one.step for one in stated.checks if one.step in steps),
            *(one.step for one in stated.points if one.step in steps)]


def _checks(checks: Iterable[CheckAnswerData]) -> str:
    return "; ".join(f"{one.name} (step {one.step})" for one in checks)


def _failing(one: OfFunction) -> str:
    reasons = [named_steps(one.failed)] if one.failed else []
    reasons += [f"the check at {named_steps(one.bad_checks)}"] if one.bad_checks else []
    return f"fails: {' and '.join(reasons)}"


def _nearly_failing(one: OfFunction) -> str:
    return (f"fails conditionally: {named_steps(one.nearly_failed)} read beyond the tolerance, by "
            "less than the guard band; the reading does not show it for certain")


def _nearly_passing(one: OfFunction) -> str:
    return (f"passes conditionally: {named_steps(one.nearly)} read within the tolerance, by less "
            "than the guard band; the reading does not show it for certain")


def _without_statement(of: OfFunction, after_work: frozenset[str]) -> str:
    reasons = [f"{words}{named_steps(steps)}" for words, steps in (
        ("not done: ", [one for one in of.blank if one not in after_work]),
        (f"read only {AFTER_WORK}: ", [one for one in of.blank if one in after_work]),
        ("without ground: ", of.without_ground),
        ("no reading can be accepted under this rule: ", of.undecided)) if steps]
    if of.left_live:
        reasons.append("not seen closed: live group" + ("s " if len(of.left_live) > 1 else " ")
                       + ", ".join(of.left_live))
    return f"has no statement: {'; '.join(reasons)}"


def _lacking(record: Record, points: Iterable[PointOutcomeData]) -> Iterator[str]:
    """What readings have no ground by, each with its steps."""
    names = {one.standard: one.name for one in record.standards}
    by: dict[str, list[str]] = {}
    read = [point for point in points if point.outcome != "blank"]
    for point in read:
        for lack in point.without:
            by.setdefault(lack, []).append(point.step)
    for lack, steps in by.items():
        kind, _, standard = lack.partition(" ")
        which = ("no reading has ground" if len(steps) == len(read)
                 else f"no ground for {named_steps(steps)}")
        why = (f"{names[standard]} {LACKS[ground.STANDARD]}" if kind == ground.STANDARD
               else LACKS[kind])
        yield f"{exact_text.capital(why)}: {which}."


# ---------------------------------------------------------------- the label, and functions

def label(stated: RecordStatement, replaced: bool) -> tuple[tuple[str, str], ...]:
    """What the meter may be used for, where not for everything; none where the state as left came
    after. Out of service there is no list of what it may be used for."""
    if replaced or stated.statement in (PASSES, CONDITIONALLY_PASSES):
        return ()
    if stated.statement == LIMITED:
        return (("May be used for", "; ".join(_with_reach(stated, one) for one in stated.usable)),
                ("Not for", "; ".join(f"{one.function} ({one.statement})"
                                      for one in stated.barred)))
    why = {NOT_SAFE: _checks(stated.of_meter.unsafe),
           FAILS: "; ".join(one.function for one in stated.barred)}.get(
               stated.statement, "no statement of conformity")
    return (("Do not use", why),)


def _with_reach(stated: RecordStatement, one: OfFunction) -> str:
    reach = reach_text(stated.reach[one.function])
    return one.function + (f" ({reach})" if reach else "")


def reach_text(reach: Iterable[ReachData]) -> str:
    """Each range with how far it was tried, and why no farther."""
    return "; ".join(f"{quantity(one.range)}, tried to {quantity(one.to)}"
                     + (f": {one.because.rstrip('.')}" if one.because else "") for one in reach)


def functions(stated: RecordStatement,
              lines: dict[str, list[ReportLine]]) -> Iterator[ReportFunction]:
    untouched = _untouched(stated)
    for function in stated.functions:
        own = stated.of(function.function)
        listed = {"failed": function.failed + function.nearly_failed,
                  "check not good": function.bad_checks,
                  "conditional": function.nearly,
                  "not done": [one for one in function.blank if one not in stated.after_work],
                  AFTER_WORK: [one for one in function.blank if one in stated.after_work],
                  "without ground": function.without_ground, "not decided": function.undecided,
                  "not seen closed: group": function.left_live}
        passed = sum(point.ground and point.outcome in (POINT_PASSES, POINT_NEARLY)
                     for point in own)
        yield ReportFunction(
            name=function.function, statement=function.statement,
            fails=function.statement in (FAILS, CONDITIONALLY_FAILS),
            reach=reach_text(stated.reach[function.function]),
            count=f"{passed} of {len(own)}" if own
            else "observed" if function.statement == NOT_TESTED else "functional check",
            steps="not done" if function in untouched else "; ".join(
                f"{word}: {', '.join(those)}" for word, those in listed.items() if those),
            lines=tuple(lines.get(function.function, ())))
