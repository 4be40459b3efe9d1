"""The commands about sheets that stay as they are: the empty form of one."""

from __future__ import annotations

import argparse
from collections.abc import Callable


def add(command: Callable[..., argparse.ArgumentParser], word: Callable[..., None]) -> None:
    """Adds them to the parser; `command` makes a parser for a function, `word` a word of it."""
    made = command(blank, "dunlin-60-yearly")
    word(made, "PROCEDURE", "a plan by its name")


def blank(asked: argparse.Namespace) -> int:
    """Write an empty record to type readings from paper into."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.records import paper_form, record_files
    from builder.shop import contents, loading
    try:
        data = contents.procedure(loading.load_shop(cli.PROCEDURES), asked.procedure).data
        form, beside = paper_form.write(data, cli.PROCEDURES / record_files.FOLDER)
    except Wrong as wrong:
        return cli.refused(wrong)
    form, beside = (f"{cli.PROCEDURES.name}/{record_files.FOLDER}/{path.name}"
                    for path in (form, beside))
    print(f"{form}: {len(data['points'])} points and {len(data['checks'])} checks to fill in, "
          f"judged by {beside}. Rename the form as its record is to be called.")
    return 0
