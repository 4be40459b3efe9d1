"""A meter's file to fill in: what such meters commonly have stands there, and a mark wherever the
data sheet decides."""

from __future__ import annotations

import os
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Wrong
from builder.first_plan.meter_kinds import KINDS, CommonFunction, CommonKind
from builder.formats import fields
from builder.formats.functions import KINDS as FUNCTIONS

MARK = fields.TO_FILL_IN[0]

_HEAD = """# yaml-language-server: $schema=../.schema/meter.schema.json
# A common {kind} meter, of no maker: {says}.
# Correct ranges, steps, dial and jacks by your data sheet, write what it states for each {mark},
# and delete what your meter hasn't. 'check' names each place that is left.
meter: {name}
name: {mark}            # as it stands on the meter
maker: {mark}
display: {counts}
specification:
  source: {mark}        # the data sheet, with its issue
  holds: {mark}         # the reference temperatures, such as 18 to 28 degC
  interval: {mark}      # the time since adjustment that it holds for, such as 1 year
  temperature_coefficient: {mark}    # beyond those temperatures, such as 0.1 per degC
rated: {{between_terminals: {mark}, CAT III: {mark}}}
jacks: {jacks}    # all of them, from left to right
functions:
"""


def write(folder: Path, name: str, kind: str) -> tuple[str, int]:
    """Writes the file into the shop's folder. Gives its name and how many places are to be filled
    in; raises `Wrong` where it can't be written."""
    fields.slug(name)
    path = folder / "meters" / f"{name}.yaml"
    shown = f"{folder.name}/meters/{path.name}"
    if os.path.lexists(path):
        raise Wrong(f"{shown} exists already, and is never overwritten",
                    "choose another name, or delete the file")
    made = text(name, kind)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        whole_files.write_new(path, made)
    except OSError as error:
        raise Wrong(f"{shown} can't be written: {error.strerror or error}") from None
    return shown, sum(line.partition("#")[0].count(MARK) for line in made.splitlines())


def text(name: str, kind: str) -> str:
    common: CommonKind = KINDS[kind]
    head = _HEAD.format(kind=kind, says=common.says, name=name, mark=MARK, counts=common.counts,
                        jacks=common.jacks)
    return head + "".join(map(_function, common.functions))


def _function(common: CommonFunction) -> str:
    kind = FUNCTIONS[common.function]
    lines = [f"  - function: {common.function}", *(f"    {key}" for key in common.keys),
             f"    dial: {common.dial}",
             f"    jacks: {common.jacks}" if common.jacks else "    clamp: yes"]
    if kind.is_ac:
        lines += [f"    lowest: {MARK}          # such as 5 % of range, where the accuracy starts",
                  "    accuracy:          # of all ranges; one that differs has its own",
                  f"      - {{frequency: {MARK}, within: {MARK}}}"]
    if kind.zero_with and common.ranges:
        lines.append(f"    after_zeroing: {MARK}   # yes where the data sheet states its accuracy "
                     "less the leads; else no")
    if common.ranges:
        lines.append("    ranges:")
    own = "" if kind.is_ac else f", accuracy: {MARK}"
    if kind.dimension == "[temperature]":
        own += f", lowest: {MARK}"
    lines += [f"      - {{range: {name}, resolution: {step}{own}}}"
              for name, step in common.ranges]
    return "\n".join(lines) + "\n"
