"""The command that writes a meter's file to fill in."""

from __future__ import annotations

import argparse
from collections.abc import Callable


KINDS = ("pocket", "field", "electronics", "clamp")    # of first_plan/meter_kinds


def add(command: Callable, word: Callable) -> None:
    made = command(new_meter, "dunlin-60 --kind field")
    word(made, "NAME", "of the file, such as 'dunlin-60'")
    made.add_argument("--kind", choices=KINDS, required=True, help="what it is most like")


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
