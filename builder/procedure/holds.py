"""What stops the work: which checks a plan with something dangerous must hold, and the lines at
which the work waits for them.

A hold stands before the first group in which source or meter gives out energy, and before the first
hazardous one. It names the steps of the checks that stop everything, all of which stand before it.
The checks on the meter's inputs need its own small energy, so they stand behind the first line and
before the second.
"""

from __future__ import annotations

from dataclasses import replace

from builder.compute.exact.order import CLOSING, DISPLAY_AND_KEYS, INPUTS, STAGES
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.bench_checks import CHECKS, CURRENT_JACKS, OPTIONAL, BenchCheck, suited
from builder.formats.group_data import ENERGY, EVERYTHING, HAZARDOUS, METER, NOTHING, HoldData
from builder.formats.meter import Meter
from builder.formats.plan import Plan, PlannedCheck
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.sheet import CheckStep, SheetGroup
from builder.procedure.stop_words import STOPS, hold_said

# ---------------------------------------------------------------- what a meter has

def jacks_of(meter: Meter) -> tuple[str, ...]:
    """All jacks that the meter's file names."""
    of_ranges = (jack for f in meter.functions for on in f.ranges for jack in on.jacks or ())
    of_functions = (jack for f in meter.functions for jack in f.jacks or ())
    return tuple(dict.fromkeys((*meter.jacks, *of_functions, *of_ranges)))


# ---------------------------------------------------------------- what a no stops

def stopped_by(check: PlannedCheck, covers: str, meter: Meter) -> dict[str, str | bool]:
    """The fields 'stops', 'of' and 'always' of a check's step; `covers` is the function that it
    tests on this meter, or ""."""
    known = CHECKS.get(check.check)
    if known is None:
        return {"stops": check.stops or NOTHING, "of": check.of or METER, "always": False}
    stops = known.stops
    if stops not in (EVERYTHING, NOTHING):
        stops = next((f.title for f in meter.functions if f.function == stops), NOTHING)
    if covers and stops != EVERYTHING:
        stops = covers
    return {"stops": stops, "of": known.of, "always": known.always}


# ---------------------------------------------------------------- what a plan must hold

def lacking_checks(document: Document, plan: Plan, meter: Meter,
                   planned: list[PlannedPoint]) -> list[Problem]:
    """The checks that a plan with a live group, or with a current through jacks, lacks; and those
    that it must not leave out."""
    live = any(p.is_hazardous for p in planned)
    currents = any(p.function.jacks(p.range) and p.function.kind.dimension == "[current]"
                   for p in planned)
    wanted = [check for check in _stopping(meter) if live or (
        currents and CURRENT_JACKS in check.suits)]
    left = {entry.check: i for i, entry in enumerate(plan.left_out) if entry.check}
    named = {check.check for check in plan.checks}
    problems = [document.problem(("left_out", left[check.name], "check"), "stopping-check",
                                 f"a plan with a live group can't leave out '{check.name}'",
                                 "add it to 'checks', and delete this entry")
                for check in wanted if live and check.name in left and _never_left_out(check)]
    lacking = [check.name for check in wanted if check.name not in named and check.name not in left]
    if lacking:
        what = "a live group" if live else "currents"
        names = ", ".join(f"'{name}'" for name in lacking)
        problems.append(document.problem(
            ("checks",), "stopping-check",
            f"the plan has {what}, and lacks {'checks' if len(lacking) > 1 else 'the check'} "
            f"whose no must stop {'them' if currents and not live else 'it'}: {names}",
            f"add {'them' if len(lacking) > 1 else 'it'} to 'checks'; what can't be looked at "
            f"stands under 'left_out' with its reason, such as '- {{check: {lacking[-1]}, because: "
            "…}', and the sheet then says that it was not checked", of_key=True))
    return problems


def _stopping(meter: Meter) -> list[BenchCheck]:
    """The library's checks that a no stops everything by and that the meter's file asks for."""
    return [check for check in suited(kinds={f.function for f in meter.functions},
                                      current_jacks=meter.has_current_jacks, live=True)
            if check.stops == EVERYTHING and OPTIONAL not in check.suits]


def _never_left_out(check: BenchCheck) -> bool:
    """Fuses may sit where only an opened case shows them."""
    return check.always and CURRENT_JACKS not in check.suits


# ---------------------------------------------------------------- the lines

def with_holds(groups: list[SheetGroup], plan: Plan) -> list[SheetGroup]:
    """The groups in their order, with the holds before two of them, or before one that is the first
    in both ways."""
    first_live = next((i for i, g in enumerate(groups) if g.live), None)
    first = next((i for i, g in enumerate(groups) if g.stage != CLOSING
                  and STAGES.index(g.stage) > STAGES.index(DISPLAY_AND_KEYS)), None)
    held = list(groups)
    for i, before in ((first, ENERGY), (first_live, HAZARDOUS)):
        if i is not None:
            hold = _hold(before, [c for g in groups[:i] for c in g.checks], plan)
            held[i] = replace(held[i], hold=hold)
    return held


def _hold(before, checks: list[CheckStep], plan: Plan) -> HoldData | None:
    steps = tuple(check.step for check in checks if check.stops == EVERYTHING)
    left = tuple(entry.check for entry in plan.left_out if entry.check
                 and (before == HAZARDOUS or CHECKS[entry.check].when != INPUTS))
    if not steps and not left:
        return None
    return HoldData(before=before, checks=steps, not_checked=left,
                    said=hold_said(before, steps, left), stop=STOPS["stop"])
