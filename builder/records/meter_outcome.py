"""What a record shows as a whole: each function, the meter, and what it may be used for.

By rule, and nothing else: one failed point fails its function; what was not done is named and never
passes; what the decision rule can't decide is said to be undecided.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.formats.group_data import CheckData
from builder.formats.outcomes import CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, PASS, WRITTEN
from builder.records.judged_record import JudgedReading, Record

# A function's state, from the best to the worst. All of these are codes; whoever shows one has its
# words.
PASSES, CONDITIONALLY, UNDECIDED, NOT_DONE, CONDITIONALLY_FAILS, FAILS = (
    "pass", "conditional pass", "not decided", "not completed", "conditional fail", "fail")
OBSERVED = "written down only"
# The meter's state.
METER_PASSES, METER_CONDITIONALLY, METER_LIMITED, METER_FAILS, METER_NOT_DONE, METER_UNDECIDED = (
    "passes", "passes conditionally", "limited", "fails", "not completed", "not decided")


@dataclass(frozen=True, slots=True, kw_only=True)
class FunctionOutcome:
    """What the points and checks of a function show together."""

    function: str
    state: str
    ranges: tuple[str, ...]         # that have points with limits, in their order
    failed: tuple[str, ...]         # steps
    conditional: tuple[str, ...]
    undecided: tuple[str, ...]
    skipped: tuple[str, ...]
    passed: int
    of: int
    observed: tuple[str, ...]       # steps of observations that were not done

    @property
    def usable(self) -> bool:
        return self.state in (PASSES, CONDITIONALLY)


@dataclass(frozen=True, slots=True)
class MeterOutcome:
    """`state` is one of METER_PASSES and those beside it."""

    state: str
    functions: tuple[FunctionOutcome, ...]
    bad_checks: tuple[CheckData, ...]
    undone_checks: tuple[CheckData, ...]

    @property
    def usable(self) -> tuple[FunctionOutcome, ...]:
        return tuple(one for one in self.functions if one.usable)


def meter_outcome(record: Record) -> MeterOutcome:
    """The outcome of every function that has points or a check of its own, and of the meter."""
    names = list(dict.fromkeys([one.point.function for one in record.judged]
                               + [one.covers for one in record.carried.checks if one.covers]))
    functions = tuple(_function(name, [one for one in record.judged if one.point.function == name],
                                [c for c in record.carried.checks if c.covers == name], record)
                      for name in names)
    answers = {check.step: record.answer(check.step) for check in record.carried.checks}
    bad = tuple(check for check in record.carried.checks
                if answers[check.step] and answers[check.step].good is False)
    undone = tuple(check for check in record.carried.checks
                   if not answers[check.step] or answers[check.step].good is None)
    return MeterOutcome(_state([one for one in functions if one.state != OBSERVED], bad, undone),
                        functions, bad, undone)


def _function(name: str, judged: list[JudgedReading], checks: list[CheckData],
              record: Record) -> FunctionOutcome:
    limited = [one for one in judged if not one.point.is_observation]
    undecided = [one for one in limited if one.outcome == WRITTEN]
    skipped = [one.point.step for one in limited if not one.outcome]
    failed = [one.point.step for one in limited if one.outcome == FAIL]
    nearly = [one.point.step for one in limited if one.outcome == CONDITIONAL_FAIL]
    conditional = [one.point.step for one in limited if one.outcome == CONDITIONAL_PASS]
    for check in checks:
        answer = record.answer(check.step)
        if answer is None or answer.good is None:
            skipped.append(check.step)
        elif not answer.good:
            failed.append(check.step)
    passed = sum(1 for one in limited if one.outcome in (PASS, CONDITIONAL_PASS)) + sum(
        1 for c in checks if record.answer(c.step) and record.answer(c.step).good)
    state = (FAILS if failed else CONDITIONALLY_FAILS if nearly else NOT_DONE if skipped
             else UNDECIDED if undecided
             else CONDITIONALLY if conditional else PASSES if limited or checks else OBSERVED)
    ranges = tuple(dict.fromkeys(one.point.range.text for one in limited
                                 if one.point.kind != "zero"))
    return FunctionOutcome(function=name, state=state, ranges=ranges, failed=tuple(failed + nearly),
                           conditional=tuple(conditional),
                           undecided=tuple(one.point.step for one in undecided),
                           skipped=tuple(skipped), passed=passed,
                           of=len(limited) + len(checks),
                           observed=tuple(one.point.step for one in judged
                                          if one.point.is_observation and not one.outcome))


def _state(functions: list[FunctionOutcome], bad: tuple, undone: tuple) -> str:
    states = {one.state for one in functions}
    if states & {FAILS, CONDITIONALLY_FAILS} or any(not check.covers for check in bad):
        return METER_LIMITED if any(one.usable for one in functions) else METER_FAILS
    if NOT_DONE in states or undone or not states:
        return METER_NOT_DONE
    if UNDECIDED in states:
        return METER_UNDECIDED
    return METER_CONDITIONALLY if CONDITIONALLY in states else METER_PASSES
