"""The commands about a shop as a whole: a new one, its schemas, its pages for another engine, and
all of it in one file."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from datetime import date
from pathlib import Path


def add(command: Callable, word: Callable) -> None:
    made = command(new, "my-shop --name 'Ferry workshop' --address 'Shed 4, Ferry Yard'")
    word(made, "DIR", "the folder to make, or an empty one", type=Path)
    made.add_argument("--name", metavar="NAME", required=True, type=str.strip,
                      help="the workshop's, as it stands on the first page and on reports")
    made.add_argument("--address", metavar="LINE", required=True, type=str.strip,
                      help="the workshop's, as it stands on reports")
    made = command(export, "../elsewhere/site_src")
    word(made, "DIR", "an empty or a new folder", type=Path)
    made = command(backup, "../backups")
    word(made, "DIR", "a folder elsewhere, to write it into", type=Path)
    command(schema)


def new(asked: argparse.Namespace) -> int:
    """Make the folder of a workshop of your own."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.own_shop import new_shop
    try:
        new_shop.write(asked.dir.resolve(), asked.name, asked.address)
    except Wrong as wrong:
        return cli.refused(wrong)
    print(f"{asked.dir} is a workshop of its own. A double click on start.bat (Windows), "
          "start.command (Mac) or start.sh (Linux) in it shows its pages; 'new-meter' writes a "
          "first meter.")
    return 0


def compared() -> int:
    """What an installed copy has in the place of the tests, which stand in a clone."""
    from builder import published
    wrong = [(source.name, result) for source, results in published.results()
             for result in results if result.disagrees]
    for name, result in wrong:
        print(f"{name}, {result.value.clause}: {result.value.what} should be "
              f"{result.value.should_be}, and is {result.built}.")
    print(f"Published values beside those of this copy: {published.summary()}\n"
          "The whole test suite stands in a clone. 'revalidate' computes this shop's approved "
          "sheets and finished reports again.")
    return 1 if wrong else 0


def export(asked: argparse.Namespace) -> int:
    """Write the pages into a folder for another site engine."""
    from builder import cli
    from builder.files import problems
    from builder.files.problems import Wrong
    from builder.pages import export as pages
    try:
        written, wrong = pages.export(asked.dir, cli.ROOT, cli.PROCEDURES)
    except Wrong as refusal:
        return cli.refused(refusal)
    cli.say_problems(wrong)
    print(written, end="\n" if written else "")
    return 1 if problems.errors(wrong) else 0


def backup(asked: argparse.Namespace) -> int:
    """Write the shop and all that it needs into one file, which starts without a network."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.own_shop import backup as whole
    try:
        made = whole.write(cli.ROOT, asked.dir.resolve(), date.today())
    except Wrong as wrong:
        return cli.refused(wrong)
    print("\n".join(made))
    return 0


def schema(asked: argparse.Namespace) -> int:
    """Write the JSON Schemas of the file formats."""
    from builder import cli
    from builder.formats import schemas
    for path in schemas.write(cli.PROCEDURES):
        print(Path(os.path.relpath(path, cli.ROOT)).as_posix())
    return 0
