"""Rules for the checks of a plan: those of the library, the shop's own, and those left out."""

from __future__ import annotations

from builder.compute.exact.order import CLOSING
from builder.file_rules.saying import Say, nearest
from builder.formats.bench_checks import (CHECKS, CURRENT_JACKS, STAGES, BenchCheck,
                                          unit_of_blank)
from builder.formats.group_data import EVERYTHING, NOTHING
from builder.formats.meter import Meter
from builder.formats.plan import LeftOut, Plan, PlannedCheck
from builder.procedure.holds import jacks_of

_OWN = ("when", "do", "good", "stops", "of")    # what a check of the shop's own says


def checks(say: Say, plan: Plan, meter: Meter | None, meter_is_whole: bool) -> None:
    """The problems of 'checks', and of the checks in 'left_out'. What a check names is looked for
    only in a meter's file without errors of its own."""
    whole = meter if meter_is_whole else None
    for i, check in enumerate(plan.checks):
        path, known = ("checks", i), CHECKS.get(check.check)
        if known is None:
            _own(say, path, check, whole)
        else:
            _of_the_library(say, path, check, known, whole)
        if check.unit and not (check.write or (known and known.write)):
            say((*path, "unit"), "missing",
                "a unit stands here, but nothing says what to write down",
                "add 'write', such as 'write: lowest', or delete 'unit'")
        _asked(say, path, check, known)
        if whole and check.covers:
            _covers(say, path, check.covers, whole)
    for i, left in enumerate(plan.left_out):
        _left_out(say, ("left_out", i), left, plan, whole)


def _asked(say: Say, path: tuple, check: PlannedCheck, known: BenchCheck | None) -> None:
    """The numbers that the blank is held to: in its unit, and the lower one first."""
    unit = check.unit or (known.unit if known and not check.write else "") or ""
    asked = {key: getattr(check, key) for key in ("at_least", "at_most") if getattr(check, key)}
    for key, (_, own) in asked.items():
        if not (check.write or (known and known.write)):
            say((*path, key), "missing", f"'{key}' asks for a number, and nothing says what to "
                "write down", "add 'write' and 'unit', such as 'write: stood for' and 'unit: min'")
        elif unit_of_blank(own)[1] != unit_of_blank(unit)[1]:
            say((*path, key), "unit", f"'{own}' is not the unit of what is written down, "
                f"'{unit}'", f"write the number in {unit}" if unit else "add 'unit'")
    if len(asked) == 2 and check.at_least[0] > check.at_most[0]:
        say((*path, "at_least"), "order", "no number is at least this and at most that",
            "are the two exchanged?")


def _own(say: Say, path: tuple, check: PlannedCheck, meter: Meter | None) -> None:
    lacking = [key for key in _OWN if not getattr(check, key) and not say.lost(*path, key)]
    if {"when", "do", "good"} <= set(lacking):
        say((*path, "check"), "no-check", f"'{check.check}' is not a check that the builder knows",
            nearest(check.check, CHECKS) + " Your own check needs 'when', 'do', 'good', 'stops' "
            "and 'of'.")
        return
    if lacking:
        say((*path, "check"), "missing", f"your own check '{check.check}' lacks "
            + " and ".join(f"'{key}'" for key in lacking),
            "'stops' says what a no stops, such as 'stops: everything', and 'of' what the check "
            "looks at, 'of: meter' or 'of: bench'" if {"stops", "of"} & set(lacking)
            else "such as 'good: no crack'")
    if check.stops == EVERYTHING and check.when == CLOSING:
        say((*path, "stops"), "order", "at the end nothing is left that a no could stop",
            "an earlier 'when', or 'stops: nothing'")
    if check.stops and check.covers and check.stops not in (EVERYTHING, check.covers):
        say((*path, "stops"), "stops", f"a no at what covers '{check.covers}' stops that function",
            f"write 'stops: {check.covers}'")
    elif check.stops not in (None, EVERYTHING, NOTHING) and meter:
        names = [*(f.title for f in meter.functions), *jacks_of(meter)]
        if check.stops not in names:
            say((*path, "stops"), "stops",
                f"'{meter.name}' has neither a function nor a jack '{check.stops}'",
                nearest(check.stops, [EVERYTHING, NOTHING, *names]))


def _of_the_library(say: Say, path: tuple, check: PlannedCheck, known: BenchCheck,
                    meter: Meter | None) -> None:
    for key in ("stops", "of"):
        if getattr(check, key):
            say((*path, key), "stops", f"the builder knows what '{check.check}' "
                + ("stops" if key == "stops" else "looks at"),
                f"delete '{key}'; a check with a name of your own may say otherwise")
    if check.when and STAGES.index(check.when) > STAGES.index(known.when):
        say((*path, "when"), "order",
            f"'{check.check}' belongs to '{known.when}', before that",
            "delete 'when': a fault must be found before anything is applied")
    if meter and not _suits(known, meter):
        say((*path, "check"), "no-jack", f"'{meter.name}' has no current jack, so '{check.check}' "
            "has nothing to look at", "delete it")


def _suits(known: BenchCheck, meter: Meter) -> bool:
    return CURRENT_JACKS not in known.suits or meter.has_current_jacks


def _covers(say: Say, path: tuple, covers: str, meter: Meter) -> None:
    covered = next((f for f in meter.functions if f.title == covers), None)
    if covered is None:
        say((*path, "covers"), "no-function", f"'{meter.name}' has no function '{covers}'",
            nearest(covers, [f.title for f in meter.functions]))
    elif covered.ranges:
        say((*path, "covers"), "covers",
            f"'{covers}' has an accuracy table, which a check without numbers doesn't test",
            "list points, or leave it out with a reason")


def _left_out(say: Say, path: tuple, left: LeftOut, plan: Plan, meter: Meter | None) -> None:
    if left.check is None:
        if left.function is None:
            say(path, "missing", "this leaves out neither a function nor a check",
                "such as 'function: DC current', or 'check: battery door'")
        return
    known = CHECKS.get(left.check)
    odd = next((key for key in ("function", "range", "frequency", "values")
                if getattr(left, key) is not None), None)
    if odd:
        say((*path, odd), "left-out", f"'check' and '{odd}' don't go together",
            "write an entry for each")
    if known is None:
        say((*path, "check"), "no-check", f"'{left.check}' is not a check that the builder knows",
            nearest(left.check, CHECKS))
    elif any(check.check == left.check for check in plan.checks):
        say((*path, "check"), "left-out-but-tested", f"'{left.check}' stands under 'checks' too",
            "delete one of the two")
    elif known.stops != EVERYTHING or (meter and not _suits(known, meter)):
        say((*path, "check"), "left-out-but-tested",
            f"a sheet without '{left.check}' needs no reason", "delete this entry")
