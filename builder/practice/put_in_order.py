"""Put the steps of a group, or the groups of a sheet, in a safe order."""

from __future__ import annotations

from builder.compute.exact.draw import Draw
from builder.compute.exact.order import (AMPS, BATTERY_AND_FUSES, BY_EYE,
                                         CLOSING, HAZARDOUS_VOLTAGE, INPUTS,
                                         MILLIAMPS, PROVING, STAGES,
                                         THERMOCOUPLES, VOLTAGE)
from builder.practice.bench import Bench
from builder.practice.exercise import LETTERS, Choice, Exercise, mixed
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
    ("leads", "on", "early", "The output comes on before the leads are where they belong."),
    ("jaw", "on", "early", "The output comes on before the jaw is closed around the coil."),
    ("dial", "on", "early", "The output comes on before the dial stands at its function."),
    ("hands", "on", "early", "The output comes on before the hands are off."),
    ("zero", "standby", "zero", "The source goes to standby before it is back at zero."),
    ("zero", "off", "opened", "The group is opened before the source is back at zero."),
    ("standby", "off", "opened", "The group is opened before the source is in standby."),
    ("standby", "open", "opened", "The jaw opens before the source is in standby."),
    ("near", "off", "unseen", "The leads come off before the meter was seen reading near zero."),
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


def order_steps(draw: Draw, bench: Bench) -> Exercise | None:
    """The steps of one group with a source; live ones first of all."""
    groups = [(p, g) for p, g in bench.groups if g.points and g.stage in (THERMOCOUPLES, *_LIVE)
              and g.points[0].planned.supply.coil is None]
    live = [one for one in groups if one[1].live]
    for procedure, group in draw.mixed(live if live and draw.below(3) else groups):
        if (named := _named(group)) and (made := _steps_of(draw, procedure, group, named)):
            return made
    return None


def _steps_of(draw: Draw, procedure: Procedure, group: SheetGroup,
              named: list[tuple[str, str]]) -> Exercise | None:
    # Not all of them: seven are enough to look through.
    left = ({draw.one(("hands", "near")), "dial"} if group.live
            else {"off"} | ({"dial"} if any(name == "jaw" for name, _ in named) else set()))
    return _exercise(draw, procedure, group.title, [one for one in named if one[0] not in left],
                     STEP_RULES, group.live, "steps", "Which order is safe?")


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
    return _exercise(draw, procedure, "", chosen, STAGE_RULES,
                     any(stage == HAZARDOUS_VOLTAGE for stage, _ in chosen), "groups",
                     "Which order of the groups is safe?")


def _exercise(draw: Draw, procedure: Procedure, title: str, chosen: list[tuple[str, str]], rules,
              live: bool, kind: str, ask: str) -> Exercise | None:
    names = [name for name, _ in chosen]
    wrong: dict[tuple[str, ...], tuple[str, str]] = {}
    for first, later, code, why in draw.mixed(rules):
        if first in names and later in names and code not in [known for known, _ in wrong.values()]:
            order = tuple(_moved(names, first, later) if draw.below(2)
                          else _brought(names, first, later))
            if order != tuple(names):
                wrong.setdefault(order, (code, why))
    if len(chosen) < 3 or len(wrong) < 2:
        return None
    lettered = draw.mixed(chosen)
    if [name for name, _ in lettered] == names:
        lettered = lettered[::-1]
    letter = {name: LETTERS[n].upper() for n, (name, _) in enumerate(lettered)}

    def choice(order, code: str = "", why: str = "") -> Choice:
        return Choice(text=", ".join(letter[name] for name in order), mistake=code, why=why,
                      what=tuple(order))

    given = [("Sheet", procedure.title), *([("Group", title)] if title else [])]
    return Exercise(kind=kind, given=tuple(given), ask=ask,
                    choices=mixed(draw, choice(names),
                                  [choice(order, *what)
                                   for order, what in list(wrong.items())[:3]]),
                    reasons=tuple(f"{n}. {text}" for n, (_, text) in enumerate(chosen, 1)),
                    live=live,
                    items=tuple(text for _, text in lettered), case=(procedure, tuple(chosen)))


def _moved(names: list[str], first: str, later: str) -> list[str]:
    """`first` only after `later`."""
    rest = [name for name in names if name != first]
    place = rest.index(later) + 1
    return [*rest[:place], first, *rest[place:]]


def _brought(names: list[str], first: str, later: str) -> list[str]:
    """`later` already before `first`."""
    rest = [name for name in names if name != later]
    place = rest.index(first)
    return [*rest[:place], later, *rest[place:]]
