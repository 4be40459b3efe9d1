"""The commands that write a first file: a meter's, to fill in, and a plan's."""

from __future__ import annotations

import argparse
from collections.abc import Callable


KINDS = ("pocket", "field", "electronics", "clamp")    # of first_plan/meter_kinds


def add(command: Callable, word: Callable) -> None:
    made = command(new_meter, "dunlin-60 --kind field")
    word(made, "NAME", "of the file, such as 'dunlin-60'")
    made.add_argument("--kind", choices=KINDS, required=True, help="what it is most like")
    made = command(draft, "dunlin-60 fulmar gannet-r")
    word(made, "METER", "by its file's name, or its own")
    word(made, "STANDARD", "those to use, the one to prefer first", nargs="+")
    made.known = _named_here


def _named_here() -> str:
    """The meters and standards that there are, for one who named too little."""
    from builder import cli
    here = {kind: sorted(path.stem for path in (cli.PROCEDURES / kind).glob("[!.]*.yaml"))
            for kind in ("meters", "standards")}
    return "".join(f"\n{kind} here: {', '.join(names)}" for kind, names in here.items() if names)


def new_meter(asked: argparse.Namespace) -> int:
    """Write a meter's file with common ranges, to fill in by its data sheet."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.first_plan import meter_skeleton
    try:
        written, places = meter_skeleton.write(cli.PROCEDURES, asked.name, asked.kind)
    except Wrong as wrong:
        return cli.refused(wrong)
    print(f"{written}: fill in {places} places by your data sheet; 'check' names each.")
    return 0


def draft(asked: argparse.Namespace) -> int:
    """Write a first plan for a meter."""
    from builder import cli
    from builder.files import problems
    from builder.files.problems import Wrong
    from builder.first_plan import plan_text
    try:
        written, warnings = plan_text.draft(cli.PROCEDURES, asked.meter, *asked.standard)
    except Wrong as wrong:
        return cli.refused(wrong)
    if warnings:
        cli.say(problems.as_text(warnings) + "\n")
    print(f"{written}. It passes 'check'; read its comments, then edit it.")
    return 0
