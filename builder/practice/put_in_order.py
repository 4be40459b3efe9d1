"""Put the steps of a group, or the groups of a sheet, in order; find the step that is missing."""

from __future__ import annotations

from collections.abc import Sequence

from builder.compute.exact.draw import Draw
from builder.compute.exact.order import (AMPS, BATTERY_AND_FUSES, BY_EYE,
                                         CLOSING, HAZARDOUS_VOLTAGE, INPUTS,
                                         MILLIAMPS, PROVING, STAGES,
                                         THERMOCOUPLES, VOLTAGE)
from builder.practice.bench import Bench
from builder.practice.exercise import LETTERS, Choice, Exercise, Ordered, OrderRule
from builder.procedure.sentences import sentence, words
from builder.procedure.sheet import Procedure, SheetGroup

# The steps of a sheet that the rules know, by their codes.
_STEPS = {
    "source-standby": "rest", "dial": "dial", "select": "dial",
    **dict.fromkeys(("leads", "leads-unpaired", "copper-leads", "copper-leads-unpaired",
                     "leads-together", "leads-apart", "in-series", "side-by-side", "lead-back",
                     "coil"), "leads"),
    "jaw-closed": "jaw", "hands-off": "hands", "source-on": "on", "source-on-for": "on",
    "source-zero": "zero",
    "standby": "standby", "jaw-open": "open", "leads-off": "off",
}

# Which comes before which, the mistake where it doesn't, and why: of steps around a group, and of
# the parts of the work.
STEP_RULES = (
    ("rest", "leads", "standby",
     "The leads are touched before the source is at zero and in standby."),
    ("rest", "dial", "standby", "The dial is turned before the source is at zero and in standby."),
    ("rest", "jaw", "standby", "The jaw is moved before the source is at zero and in standby."),
    *((first, "hands", "hands", "Work is left for hands that were said to be off already.")
      for first in ("leads", "jaw", "dial")),
    ("leads", "on", "early", "The output comes on before the leads are where they belong."),
    ("jaw", "on", "early", "The output comes on before the jaw is closed around the coil."),
    ("dial", "on", "early", "The output comes on before the dial stands at its function."),
    ("hands", "on", "early", "The output comes on before the hands are off."),
    ("rest", "on", "early", "The output comes on before it was set to zero."),
    ("on", "zero", "zero", "The source goes to zero before the output was on."),
    ("zero", "standby", "zero", "The source goes to standby before it is back at zero."),
    ("zero", "off", "opened", "The group is opened before the source is back at zero."),
    ("standby", "off", "opened", "The group is opened before the source is in standby."),
    ("standby", "open", "opened", "The jaw opens before the source is in standby."),
    ("near", "off", "unseen", "The leads come off before the meter was seen reading near zero."),
    ("near", "open", "unseen", "The jaw opens before the meter was seen reading near zero."),
    ("standby", "near", "unseen",
     "The meter is read near zero before the source is in standby, which proves nothing."),
)
_LIVE = (VOLTAGE, HAZARDOUS_VOLTAGE, MILLIAMPS, AMPS)
_WORK = (THERMOCOUPLES, INPUTS, *_LIVE)
STAGE_RULES = (
    *((first, later, "fuses",
       "A voltage or a current comes before case, leads and fuses are known to be right.")
      for first in (BY_EYE, BATTERY_AND_FUSES) for later in _LIVE),
    *((THERMOCOUPLES, later, "warm",
       "The thermocouple input comes too late: the meter has warmed by then.")
      for later in (INPUTS, *_LIVE)),
    *((first, HAZARDOUS_VOLTAGE, "dead",
       "A hazardous voltage comes before the meter is known to read.")
      for first in (INPUTS, VOLTAGE)),
    *((HAZARDOUS_VOLTAGE, later, "currents",
       "A current comes before the hazardous voltage, which its jacks must never meet.")
      for later in (MILLIAMPS, AMPS)),
    (MILLIAMPS, AMPS, "amps", "Amps come before milliamps: the smaller current is first."),
    *((first, PROVING, "proving",
       "The lead is back in the voltage jack before the currents are done.")
      for first in (MILLIAMPS, AMPS)),
    *((first, CLOSING, "closing", "The meter is closed up before all is tried.")
      for first in (*_WORK, PROVING)),
)
# What a group must have for a step of it to be missed: each of these has one place alone.
_MISSED = ("hands", "on", "zero", "standby", "near")
FEWEST_GAPS = 4


def order_steps(draw: Draw, bench: Bench) -> Exercise | None:
    """All steps around one group with a source; live ones first of all."""
    for procedure, group, named in _groups_with_steps(draw, bench):
        return _order(draw, procedure, group.title, named, STEP_RULES, group.live, "steps",
                      "Which order of the steps is right?")
    return None


def missing_step(draw: Draw, bench: Bench) -> Exercise | None:
    """The steps around one group but one: where is the gap? Each gap that is offered is that of a
    step which might have been left out as well, so that none is the likelier by its place."""
    for procedure, group, named in _groups_with_steps(draw, bench):
        names = [name for name, _ in named]
        places = [n for n, name in enumerate(names) if name in _MISSED]
        if len(places) < FEWEST_GAPS or places != list(range(places[0], places[-1] + 1)):
            continue
        gap = draw.one(places)
        shown = [text for n, (_, text) in enumerate(named) if n != gap]
        step = named[gap][1]
        choices = tuple(
            Choice(text=f"After {LETTERS[n - 1].upper()}", what=n,
                   mistake="" if n == gap else "gap",
                   why="" if n == gap else f"Between {_around(shown, n)} nothing is missing.")
            for n in places)
        return Exercise(
            kind="missing", given=(("Sheet", procedure.title), ("Group", group.title)),
            ask="One step is missing in this order. Say to yourself which. After which line does "
                "it belong?",
            choices=choices, live=group.live, items=tuple(shown),
            reasons=(f"Missing is, after {LETTERS[gap - 1].upper()}: {step}",
                     *_numbered([text for _, text in named])),
            case=(procedure, tuple(named), gap))
    return None


def _around(shown: Sequence[str], place: int) -> str:
    return (f"{LETTERS[place - 1].upper()} and {LETTERS[place].upper()}" if place < len(shown)
            else f"{LETTERS[place - 1].upper()} and the end")


def _groups_with_steps(draw: Draw, bench: Bench):
    groups = [(p, g) for p, g in bench.groups if g.points and g.stage in (THERMOCOUPLES, *_LIVE)]
    live = [one for one in groups if one[1].live]
    for procedure, group in draw.mixed(live if live and draw.below(3) else groups):
        if named := _named(group):
            yield procedure, group, named


def _named(group: SheetGroup) -> list[tuple[str, str]]:
    """The steps that the rules know, each once, in the sheet's order; nothing without a source."""
    steps: list[tuple[str, str]] = []
    for step in (*group.steps_before, *group.steps_after):
        name = _STEPS.get(step.code, "")
        if name and name not in [one for one, _ in steps]:
            steps.append((name, words(step)))
    if group.near_zero:
        names = [name for name, _ in steps]
        place = names.index("standby") + 1 if "standby" in names else len(names)
        steps.insert(place, ("near", words(sentence("near-zero-seen"))))
    names = [name for name, _ in steps]
    if group.live and "off" not in names:
        steps.append(("off", words(sentence("leads-off"))))
    return steps if {"rest", "on", "zero", "standby"} <= set(names) else []


def order_groups(draw: Draw, bench: Bench) -> Exercise | None:
    """The groups of one sheet, one of each part of the work."""
    for _ in range(8 if bench.procedures else 0):
        if made := _groups_of(draw, draw.one(bench.procedures)):
            return made
    return None


def _groups_of(draw: Draw, procedure: Procedure) -> Exercise | None:
    by_stage: dict[str, list[SheetGroup]] = {}
    for group in procedure.groups:
        by_stage.setdefault(group.stage, []).append(group)
    # Checks and points of the inputs have titles of their own; points say more.
    chosen = [(stage, draw.one([g for g in by_stage[stage] if g.points] or by_stage[stage]).title)
              for stage in STAGES
              if stage in by_stage and any(stage in rule[:2] for rule in STAGE_RULES)]
    while len(chosen) > 5:
        chosen.remove(draw.one(chosen))
    if not {MILLIAMPS, AMPS} & {stage for stage, _ in chosen}:     # no lead has to come back
        chosen = [one for one in chosen if one[0] != PROVING]
    return _order(draw, procedure, "", chosen, STAGE_RULES,
                  any(stage == HAZARDOUS_VOLTAGE for stage, _ in chosen), "groups",
                  "Which order of the groups is right?")


def _order(draw: Draw, procedure: Procedure, title: str, chosen: list[tuple[str, str]], rules,
           live: bool, kind: str, ask: str) -> Exercise | None:
    listed = draw.mixed(chosen)
    place = {name: n for n, (name, _) in enumerate(listed)}
    ordered = Ordered(tuple(place[name] for name, _ in chosen),
                      tuple(OrderRule(place[first], place[later], mistake, why)
                            for first, later, mistake, why in rules
                            if first in place and later in place))
    if len(chosen) < 3 or len(ordered.rules) < 2:
        return None
    return Exercise(kind=kind,
                    given=(("Sheet", procedure.title), *([("Group", title)] if title else [])),
                    ask=ask, ordered=ordered, live=live,
                    reasons=tuple(_numbered([text for _, text in chosen])),
                    items=tuple(text for _, text in listed), case=(procedure, tuple(chosen)))


def _numbered(texts: Sequence[str]) -> list[str]:
    return [f"{n}. {text}" for n, text in enumerate(texts, 1)]
