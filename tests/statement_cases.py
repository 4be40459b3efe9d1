"""What may be stated, said once more and otherwise: each thing that stands in a record claims a
statement for its function, and the claim that comes first in the list wins. For the builder and for
the page's script alike; every combination of what a record can hold."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations_with_replacement, product

from builder.formats.report_data import CheckAnswerData, LiveGroupData, PointOutcomeData

FUNCTION, JACK = "DC voltage", "V"
OUTCOMES = ("pass", "conditional pass", "conditional fail", "fail", "undecided", "blank")
ANSWERS = ("yes", "no", "not on this meter", "blank")

READINGS = [PointOutcomeData(step="1", function=FUNCTION, planned="limits", ground=ground,
                             outcome=outcome)
            for ground, outcome in product((True, False), OUTCOMES)]
READINGS.append(PointOutcomeData(step="2", function=FUNCTION, planned="observation", ground=True,
                                 outcome="observed"))
CHECKS = [CheckAnswerData(step="3", name="a check", answer=answer, stops=stops, of=of,
                          functions=(FUNCTION,) if stops in (FUNCTION, JACK) else ())
          for answer, of, stops in product(ANSWERS, ("meter", "bench"),
                                           (FUNCTION, JACK, "everything", "nothing"))]
GROUPS = [LiveGroupData(group="4", closed=closed, functions=functions)
          for closed, functions in product(("near zero", "otherwise", "no"),
                                           ((FUNCTION,), ("another",)))]

FUNCTION_ORDER = ("fails", "not tested", "conditional fail", "no statement", "conditional pass",
                  "passes")
Case = tuple[tuple[PointOutcomeData, ...], tuple[CheckAnswerData, ...],
             tuple[LiveGroupData, ...]]


def function_cases() -> Iterator[Case]:
    """All records of up to three readings with one check and one live group, and of one reading
    with two checks."""
    def some(things: list, most: int) -> list[tuple]:
        return list(chain.from_iterable(combinations_with_replacement(things, n)
                                        for n in range(most + 1)))
    yield from product(some(READINGS, 3), some(CHECKS, 1), [(), *((one,) for one in GROUPS)])
    yield from product(some(READINGS, 1), some(CHECKS, 2), [()])


def claimed(points: tuple[PointOutcomeData, ...], checks: tuple[CheckAnswerData, ...],
            groups: tuple[LiveGroupData, ...]) -> str:
    """The statement on FUNCTION."""
    claims = {"passes"}
    is_tried = False
    for point in points:
        if point.planned == "limits":
            is_tried = True
            if point.outcome == "blank" or point.outcome == "undecided" or not point.ground:
                claims.add("no statement")
            else:
                claims.add({"pass": "passes", "fail": "fails"}.get(point.outcome, point.outcome))
    for check in checks:
        if check.stops not in (FUNCTION, JACK):
            continue
        is_tried |= check.stops == FUNCTION and check.answer != "not on this meter"
        if check.answer == "no":
            claims.add("fails" if check.of == "meter" else "no statement")
        if check.answer == "blank":
            claims.add("no statement")
    if any(group.closed == "no" and FUNCTION in group.functions for group in groups):
        claims.add("no statement")
    if not is_tried:
        claims.add("not tested")
    return next(one for one in FUNCTION_ORDER if one in claims)


def untouched(points: tuple[PointOutcomeData, ...], checks: tuple[CheckAnswerData, ...],
              groups: tuple[LiveGroupData, ...]) -> bool:
    """Whether nothing was done of FUNCTION, for which there was something to do."""
    own = [one.outcome for one in points if one.planned == "limits"]
    asked = [one for one in checks if one.stops in (FUNCTION, JACK)]
    tried = [one.answer for one in asked if one.stops == FUNCTION]
    return (set(own + tried) - {"not on this meter"} == {"blank"}
            and "no" not in {one.answer for one in asked}
            and not any(one.closed == "no" and FUNCTION in one.functions for one in groups))


# a function that comes to each statement, by readings alone
SHORTEST = {"fails": "fail", "conditional fail": "conditional fail", "no statement": "blank",
            "conditional pass": "conditional pass", "passes": "pass", "not tested": "observed"}


def meter_cases() -> Iterator[tuple[tuple[str, ...], tuple[CheckAnswerData, ...]]]:
    """The statements on up to four functions, beside up to two checks that stop no function."""
    some = [one for one in CHECKS if not one.functions]
    checks = list(chain.from_iterable(combinations_with_replacement(some, n) for n in range(3)))
    for count in range(5):
        yield from product(combinations_with_replacement(SHORTEST, count), checks)


def readings_of(statements: tuple[str, ...]) -> tuple[PointOutcomeData, ...]:
    return tuple(
        PointOutcomeData(step=str(n), function=f"function {n}", ground=True,
                         planned="observation" if SHORTEST[one] == "observed" else "limits",
                         outcome=SHORTEST[one]) for n, one in enumerate(statements))


def claimed_of_meter(statements: tuple[str, ...], checks: tuple[CheckAnswerData, ...]) -> str:
    stopping = {one.answer for one in checks if one.stops == "everything" and one.of == "meter"}
    tried = [one for one in statements if one != "not tested"]
    good = [one for one in tried if one.endswith("pass") or one == "passes"]
    if "no" in stopping:
        return "not safe to use"
    if "blank" in stopping:
        return "no statement"
    if not good:
        return "fails" if "fails" in tried or "conditional fail" in tried else "no statement"
    if len(good) != len(tried):
        return "limited"
    return "conditional pass" if "conditional pass" in good else "passes"
