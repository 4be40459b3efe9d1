"""What may be stated of a meter and of its functions, and why: pure functions over the answers at
checks, the readings with their ground, and the closing of live groups.

The order of the statements is a choice of this project, in the spirit of ISO/IEC 17025:2017, 7.8.6
(from memory): a statement of conformity says which results it is for, and none is made without
ground. `pages/assets/statement.js` is this once more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.formats.report_data import (
    BLANK, CONDITIONALLY_FAILS, CONDITIONALLY_PASSES, EVERYTHING, FAILS, LIMITED, LIMITS, METER, NO,
    NO_STATEMENT, NOT_CLOSED, NOT_ON_THIS_METER, NOT_READ, NOT_SAFE, NOT_TESTED, PASSES,
    POINT_FAILS, POINT_NEARLY, POINT_NEARLY_FAILS, UNDECIDED, CheckAnswerData,
    FunctionStatement, LiveGroupData, PointOutcomeData, Statement)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfFunction:
    """The statement on a function and the steps that it hangs on, each kind in the order of the
    sheet; a step stands in one of them at most."""

    function: str
    statement: FunctionStatement
    failed: tuple[str, ...] = ()            # readings with ground
    bad_checks: tuple[str, ...] = ()        # that stop the function
    nearly_failed: tuple[str, ...] = ()
    blank: tuple[str, ...] = ()
    without_ground: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    left_live: tuple[str, ...] = ()         # groups that nobody saw closed
    nearly: tuple[str, ...] = ()            # pass conditionally
    is_untouched: bool = False              # nothing of it was done, and nothing says more

    @property
    def passes(self) -> bool:
        return self.statement in (PASSES, CONDITIONALLY_PASSES)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfMeter:
    """The statement on a meter."""

    statement: Statement
    functions: tuple[OfFunction, ...]
    unsafe: tuple[CheckAnswerData, ...]     # checks that stop everything: a 'no'
    unseen: tuple[CheckAnswerData, ...]     # … without an answer
    # whatever the statement is: a 'no' that stops nothing, or that speaks of the bench
    noted: tuple[CheckAnswerData, ...]
    outside: tuple[PointOutcomeData, ...]   # readings outside their limits, with ground or not

    @property
    def in_service(self) -> bool:
        """Whether the meter may be used for anything."""
        return self.statement in (PASSES, CONDITIONALLY_PASSES, LIMITED)


def of_function(function: str, *, points: Sequence[PointOutcomeData],
                checks: Sequence[CheckAnswerData],
                live_groups: Sequence[LiveGroupData]) -> OfFunction:
    """The first that holds: fails, conditional fail, no statement, conditional pass, passes.

    A reading decides only with ground. An observation moves nothing. A check of the meter that
    stops this function, or one of its jacks, fails it by a 'no'; the bench's 'no' only leaves
    nothing to state. A live group that nobody saw closed leaves nothing to state either, unless a
    reading with ground fails the function already.
    """
    own = [point for point in points if point.function == function and point.planned == LIMITS]
    grounded = [point for point in own if point.ground]
    stopping = [check for check in checks if function in check.functions]
    tried = [check for check in stopping
             if check.stops == function and check.answer != NOT_ON_THIS_METER]

    def steps(wanted: str) -> tuple[str, ...]:
        return tuple(point.step for point in grounded if point.outcome == wanted)

    bad = tuple(check.step for check in stopping if check.answer == NO and check.of == METER)
    blank = tuple([check.step for check in stopping if check.answer == BLANK]
                  + [point.step for point in own if point.outcome == NOT_READ])
    barred = tuple(check.step for check in stopping if check.answer == NO and check.of != METER)
    without = tuple(point.step for point in own
                    if not point.ground and point.outcome not in (NOT_READ, UNDECIDED))
    undecided = tuple(point.step for point in own if point.outcome == UNDECIDED)
    live = tuple(group.group for group in live_groups
                 if group.closed == NOT_CLOSED and function in group.functions)
    failed, nearly_failed = steps(POINT_FAILS), steps(POINT_NEARLY_FAILS)
    nearly = steps(POINT_NEARLY)
    statement: FunctionStatement = (
        FAILS if failed or bad else NOT_TESTED if not own and not tried
        else CONDITIONALLY_FAILS if nearly_failed
        else NO_STATEMENT if blank or barred or without or undecided or live
        else CONDITIONALLY_PASSES if nearly else PASSES)
    untouched = (statement == NO_STATEMENT and not barred and not live
                 and all(one.outcome == NOT_READ for one in own)
                 and all(one.answer == BLANK for one in tried))
    return OfFunction(function=function, statement=statement, is_untouched=untouched,
                      failed=failed, bad_checks=bad, nearly_failed=nearly_failed, blank=blank,
                      without_ground=barred + without, undecided=undecided, left_live=live,
                      nearly=nearly)


def of_meter(*, points: Sequence[PointOutcomeData], checks: Sequence[CheckAnswerData],
             live_groups: Sequence[LiveGroupData], functions: Sequence[str]) -> OfMeter:
    """The first that holds: not safe to use, no statement (a check that stops everything is
    blank), fails, limited, no statement (no function passes), conditional pass, passes.

    `functions` are those of the sheet, in its order. Only checks of the meter count here; a 'no' of
    the bench stops the work and says nothing of the meter.
    """
    each = tuple(of_function(name, points=points, checks=checks, live_groups=live_groups)
                 for name in functions)
    tested = [one for one in each if one.statement != NOT_TESTED]
    passing = [one for one in tested if one.passes]
    failing = [one for one in tested if one.statement in (FAILS, CONDITIONALLY_FAILS)]
    stopping = [check for check in checks if check.stops == EVERYTHING and check.of == METER]
    unsafe = tuple(check for check in stopping if check.answer == NO)
    unseen = tuple(check for check in stopping if check.answer == BLANK)
    statement: Statement = (
        NOT_SAFE if unsafe else NO_STATEMENT if unseen
        else FAILS if failing and not passing
        else LIMITED if passing and len(passing) < len(tested)
        else NO_STATEMENT if not passing
        else CONDITIONALLY_PASSES if any(one.statement == CONDITIONALLY_PASSES for one in passing)
        else PASSES)
    noted = tuple(check for check in checks if check.answer == NO and check not in unsafe
                  and not (check.of == METER and check.functions))
    outside = tuple(point for point in points if point.planned == LIMITS
                    and point.outcome in (POINT_FAILS, POINT_NEARLY_FAILS))
    return OfMeter(statement=statement, functions=each, unsafe=unsafe, unseen=unseen, noted=noted,
                   outside=outside)
