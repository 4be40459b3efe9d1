"""The commands about what stays as it is: approved sheets, the empty forms of them, and what is
withdrawn."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date

from builder.files import terminal

_BY = "who decides this, as it is to be printed; the name alone authorises nothing"


def add(command: Callable[..., argparse.ArgumentParser], word: Callable[..., None]) -> None:
    """Adds them to the parser; `command` makes a parser for a function, `word` a word of it."""
    def said(made: argparse.ArgumentParser, *names: str) -> None:
        helps = {"by": ("NAME", _BY), "because": ("REASON", "why, as it is to be printed"),
                 "told": ("WHO", "who was told, or 'nobody'")}
        for name in names:
            metavar, text = helps[name]
            made.add_argument(f"--{name}", metavar=metavar, help=text, required=True,
                              type=str.strip)

    made = command(approve, "dunlin-60-yearly --by 'T. Askew'")
    word(made, "PLAN", "by its name")
    said(made, "by")
    made = command(blank, "dunlin-60-yearly")
    word(made, "PROCEDURE", "a plan by its name")
    word(made, "REVISION", "an approved one, or that of the draft; the one in force, if left out",
         nargs="?")
    made.add_argument("--csv", metavar="SIGN", nargs="?", const=",", type=terminal.separator,
                      help="as a table for a spreadsheet; SIGN stands between its cells: ',', "
                      "where a spreadsheet has decimal commas ';', or 'tab'")
    made = command(finish, "2026-03-12-dunlin-60-0147 --by 'T. Askew'")
    word(made, "RECORD", "by its name, or a day for all of its records", nargs="+")
    said(made, "by")
    made = command(amend, "2026-03-12-dunlin-60-0147 --because 'serial mistyped' --by 'T. Askew'")
    word(made, "RECORD", "by its name, as it says now", nargs="+")
    said(made, "because", "by")
    made = command(withdraw, "dunlin-60-yearly 998d363eaa9b --because 'wrong range' "
                   "--told 'all ships' --by 'T. Askew'")
    word(made, "NAME", "a plan or a report by its name")
    word(made, "WHICH", "the sheet's revision, or the number of the report's issue")
    said(made, "because", "told", "by")
    command(revalidate)


@contextmanager
def _deciding() -> Iterator:
    """The shop as it is, in which nobody else writes meanwhile."""
    from builder import cli
    from builder.shop import deciding
    with deciding.alone(cli.PROCEDURES, busy=lambda: cli.say(
            "Another command or the desk is writing in this shop: this one waits for it.")):
        yield deciding.whole_shop(cli.PROCEDURES)


def approve(asked: argparse.Namespace) -> int:
    """Freeze a plan's sheet, which is printed from then on."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.frozen import approved
    from builder.shop import deciding
    try:
        with _deciding() as shop:
            path, sheet = deciding.approve(shop, asked.plan, by=asked.by, on=date.today())
    except Wrong as wrong:
        return cli.refused(wrong)
    print("\n".join([f"{shop.folder.name}/{approved.FOLDER}/{path.name}: {sheet.shown}, approved "
                     f"by {sheet.by} on {sheet.on}.", *(f"- {one}" for one in sheet.changes)]))
    return 0


def blank(asked: argparse.Namespace) -> int:
    """Write an empty record to type readings from paper into."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.records import paper_form, record_files
    from builder.shop import contents, loading
    try:
        shop = loading.load_shop(cli.PROCEDURES)
        sheet, approved = contents.sheet(shop, asked.procedure, asked.revision)
        data = sheet.as_data()
        form, beside = paper_form.write(data, cli.PROCEDURES / record_files.FOLDER, approved,
                                        asked.csv)
    except Wrong as wrong:
        return cli.refused(wrong)
    folder = f"{cli.PROCEDURES.name}/{record_files.FOLDER}"
    by = (f"its approved sheet, revision {data['revision']}" if beside is None
          else f"{folder}/{beside.name}: the sheet is a draft, which nobody approved")
    print(f"{folder}/{form.name}: {len(data['points'])} points and {len(data['checks'])} checks to "
          f"fill in, judged by {by}. Rename the form as its record is to be called.")
    return 0


def finish(asked: argparse.Namespace) -> int:
    """Freeze reports as they are today, for ever."""
    return _issued(asked, "")


def amend(asked: argparse.Namespace) -> int:
    """Issue finished reports anew, with what is different."""
    return _issued(asked, asked.because)


def _issued(asked: argparse.Namespace, because: str) -> int:
    from builder import cli
    from builder.files.problems import Wrong
    from builder.pages import finishing
    try:
        with _deciding() as shop:
            lines = (finishing.amend(shop, shop.folder, asked.record, because=because,
                                     by=asked.by, on=date.today()) if asked.do is amend else
                     finishing.finish(shop, shop.folder, asked.record, by=asked.by,
                                      on=date.today()))
    except Wrong as wrong:
        return cli.refused(wrong)
    print("\n".join(lines))
    return 0


def withdraw(asked: argparse.Namespace) -> int:
    """Take an approved sheet or a report out of use."""
    from builder import cli
    from builder.files.problems import Wrong
    from builder.shop import deciding
    try:
        with _deciding() as shop:
            done = deciding.withdraw(shop, asked.name, asked.which, because=asked.because,
                                     told=asked.told, by=asked.by, on=date.today())
    except Wrong as wrong:
        return cli.refused(wrong)
    print(done)
    return 0


def revalidate(asked: argparse.Namespace) -> int:
    """Compute all that is frozen again, and list what differs."""
    from builder import __version__, cli
    from builder.files import problems
    from builder.shop import loading, revalidation
    shop = loading.load_shop(cli.PROCEDURES)
    made = revalidation.revalidate(shop)
    for frozen in made:
        print(f"{frozen.file}: " + ("as it was" if not frozen.differences else
                                    f"written by version {frozen.written_by}, otherwise now:"))
        print("".join(f"- {line}\n" for line in frozen.differences), end="")
    differs = sum(1 for one in made if one.differences)
    print(f"{len(made)} frozen file{'' if len(made) == 1 else 's'} computed again by version "
          f"{__version__}; {differs or 'none'} of them otherwise.")
    damaged = problems.errors(shop.frozen_problems)
    cli.say_problems(damaged)
    return 1 if differs or damaged else 0
