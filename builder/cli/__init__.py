"""The commands of a terminal: what may be typed, and one short function for each, which calls what
does the work, prints and gives the exit code. Above the functions only the standard library is
imported, so that help and wrong usage are answered before anything is installed."""

from __future__ import annotations

import argparse
import difflib
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from builder import __version__
from builder.cli import shop_folder
from builder.files import problems, terminal
from builder.files.problems import Problem, Wrong
from builder.files.terminal import Parser

CODE = Path(__file__).resolve().parent.parent.parent
# The shop that is worked on, unless '--shop' names another.
ROOT = shop_folder.from_here(CODE)
PROCEDURES = ROOT / shop_folder.PROCEDURES
AS_MODULE = "python3 -m builder"


def run() -> int:
    """The command of an installed copy: says in its messages what it was called."""
    return main(sys.argv[1:], Path(sys.argv[0]).stem)


def main(argv: list[str], called: str = AS_MODULE) -> int:
    """Runs a command; gives its exit code, which is 2 for wrong usage."""
    try:
        asked = parse(argv, called)
    except SystemExit as end:
        return end.code
    return perform(asked)


def perform(asked: argparse.Namespace) -> int:
    """Does what is asked for; gives its exit code, which stays that of the work where nobody reads
    what it says to the end, and is 1 where the work ends for that."""
    code = 1
    try:
        code = asked.do(asked)
        sys.stdout.flush()
    except BrokenPipeError:
        terminal.silence(sys.stdout, sys.stderr)
    except OSError as error:    # a full disk, a folder that can't be written or read
        where = error.filename2 or error.filename or "The work stopped"
        return refused(Wrong(f"{where}: {error.strerror or error}"))
    return code


# ---------------------------------------------------------------- what may be typed

def parse(argv: list[str], called: str = AS_MODULE) -> argparse.Namespace:
    """What is asked for: `do` is the command's function, `usage` its parser; from here on the shop
    that is named is the one worked on. SystemExit with 0 after help and with 2 after a message on
    wrong usage."""
    global ROOT, PROCEDURES
    for stream in (sys.stdout, sys.stderr):
        terminal.spell_out(stream)
    whole, commands = _parsers(called)
    if not argv:
        whole.print_help()
        raise SystemExit(2)
    if not argv[0].startswith("-") and argv[0] not in commands:
        near = difflib.get_close_matches(argv[0], commands, 1)
        hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(commands)}."
        whole.error(f"unknown command '{argv[0]}': {hint}")
    # a blank before a negative value: it is no option
    asked, rest = whole.parse_known_args(
        [" " + word if re.match(r"-\.?\d", word) else word for word in argv])
    if rest and asked.do is not test:
        asked.usage.error(f"unrecognized arguments: {' '.join(rest)}")
    asked.rest = rest
    if asked.shop is not None:
        ROOT = shop_folder.named(asked.shop, asked.usage)
        PROCEDURES = ROOT / shop_folder.PROCEDURES
    return asked


def _parsers(called: str) -> tuple[Parser, dict[str, Parser]]:
    """The parser of all commands, and that of each by its name."""
    from builder.cli import first_files, freezing, own_shop
    whole = Parser(called, description="Verification sheets from accuracy tables of multimeters.",
                   epilog="From a clone, the first start makes .venv beside the code and installs "
                   f"what it needs there. What a command takes: {called} COMMAND --help",
                   allow_abbrev=False)
    whole.add_argument("--version", action="version", version=__version__)
    shop_folder.add(whole)
    listed = whole.add_subparsers(metavar="COMMAND", required=True)

    def command(do: Callable[[argparse.Namespace], int], example: str = "") -> Parser:
        name = do.__name__.replace("_", "-")
        made = listed.add_parser(name, help=do.__doc__, description=do.__doc__,
                                 epilog=f"example: {called} {name} {example}".rstrip(),
                                 allow_abbrev=False)
        made.set_defaults(do=do, usage=made)
        if do not in (test, lint):  # which are about the builder itself
            shop_folder.add(made, default=argparse.SUPPRESS)
        return made

    def word(parser: Parser, name: str, says: str, **more) -> None:
        parser.add_argument(name.lower(), metavar=name, help=says, **{"type": str.strip} | more)

    terminal.add_day(command(build, "--as-of today"))
    made = command(serve, "--open")
    made.add_argument("--open", action="store_true", help="and open it in the browser, also where "
                      "it is served already")
    made = command(test, "tests/compute -x")
    made.usage = f"{called} test [-h] [--quick | --long] [PYTEST ARGUMENTS ...]"
    some = made.add_mutually_exclusive_group()
    some.add_argument("--quick", dest="some", action="store_const", const="quick",
                      help="only the tests marked as quick")
    some.add_argument("--long", dest="some", action="store_const", const="long",
                      help="only those marked as long, which every other run leaves out")
    command(lint)
    made = command(check, "--format json")
    made.add_argument("--format", choices=("text", "json"), default="text",
                      help="for people (text) or for other programs (json)")
    made = command(limits, "dunlin-60 'DC voltage' '3 V'")
    word(made, "METER", "by its file's name, or its own")
    word(made, "FUNCTION", "such as 'DC voltage'")
    word(made, "VALUE", "what is applied, with its unit, such as '3 V'")
    word(made, "FREQUENCY", "of an AC value, such as '50 Hz'", nargs="?")
    made.usage = (f"{called} limits [-h] METER FUNCTION VALUE [FREQUENCY] [--range R] "
                  "[--ambient T] [--verified-against TIME] [--reads V]")
    for option, metavar, says in (
            ("--range", "R", "the range, if it is selected by hand, such as '60 V'"),
            ("--ambient", "T", "the temperature, such as '31 degC', if it is another one"),
            ("--verified-against", "TIME", "the time since adjustment, such as '90 days', of those "
             "that the meter's file states; the longest if left out"),
            ("--reads", "V", "what the meter reads, for a verdict, such as '3.012 V' or OL")):
        made.add_argument(option, metavar=metavar, type=str.strip, help=says)
    made = command(practice, "7 --answers")
    word(made, "SEED", "a whole number from 1 to 999999", type=terminal.seed)
    made.add_argument("--answers", action="store_true", help="with the answers, on a page behind")
    first_files.add(command, word)
    freezing.add(command, word)
    made = command(report, "2026-03-12-dunlin-60-0147 --to reports")
    word(made, "RECORD", "by its file or, in procedures/records/, by its name", nargs="+")
    made.add_argument("--to", metavar="DIR", type=Path, default=Path("reports"),
                      help="the folder to write into (default: reports)")
    own_shop.add(command, word)
    return whole, listed.choices


# ---------------------------------------------------------------- what a command does

def say(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


def refused(wrong: Wrong) -> int:
    say(f"{wrong.sentence}." + (f"\nhint: {wrong.hint}" if wrong.hint else ""))
    return 1


def say_problems(listed: list[Problem]) -> None:
    if listed:
        say(problems.as_text(listed))


def _module(*arguments: str) -> int:
    """Runs a module as a program of its own in the clone; its exit code."""
    return subprocess.call([sys.executable, "-m", *arguments], cwd=CODE)


def build(asked: argparse.Namespace) -> int:
    """Build the site into site/."""
    from builder.pages import engine
    return engine.build(ROOT, say, asked.as_of)


def serve(asked: argparse.Namespace) -> int:
    """Show the site on this machine, as of today, and follow every change."""
    from builder.pages import engine
    try:
        address, is_served = engine.address(ROOT)
    except Wrong as wrong:
        return refused(wrong)
    if is_served:
        say(f"This site is served already, at {address}.")
        if asked.open:
            engine.show(address)
        return 0
    say(f"Building the site and serving it at {address} (Ctrl-C ends it).")
    say(f"The desk, where files are taken in, approved and finished, is at {engine.desk(address)}."
        if engine.has_desk(address) else "Other machines may ask for this address, so the desk is "
        "not served with it: 'dev_addr' in mkdocs.yml names another host than 127.0.0.1.")
    return engine.serve(ROOT, address, asked.open)


def test(asked: argparse.Namespace) -> int:
    """Run the tests: all but the long ones, or those that pytest's arguments name. An installed
    copy has none, and compares its numbers with published ones."""
    if not (CODE / "tests").is_dir():
        from builder.cli import own_shop
        return own_shop.compared()
    on_all = ["-n", "auto", "--dist", "loadfile"]  # on all processors, a file on one of them
    if asked.some:  # the quick ones are over before a second process has collected
        return _module("pytest", "-m", asked.some, *(on_all if asked.some == "long" else ()),
                       *asked.rest)
    return _module("pytest", *(asked.rest or on_all))


def lint(asked: argparse.Namespace) -> int:
    """Look through the code with ruff, and at its types with mypy."""
    return max(_module("ruff", "check", "builder", "tests"), _module("mypy"))


def check(asked: argparse.Namespace) -> int:
    """List every problem in procedures/ and in the lessons."""
    from builder.own_shop import checking
    from builder.shop import contents
    shop = checking.checked(PROCEDURES)
    if asked.format == "json":
        print(problems.as_json(shop.problems))
    else:
        print(problems.as_text(shop.problems)
              or f"No problems in the files of {len(shop.plans)} plan(s), "
              f"{len(shop.meters)} meter(s), {len(shop.standards)} standard(s) and "
              f"{len(shop.records)} record(s).")
        if not shop.errors:
            # beside the answer, which other programs may read
            say("\n".join(contents.summary(shop)))
    return 1 if shop.errors else 0


def limits(asked: argparse.Namespace) -> int:
    """Work out the acceptance limits of one value. With --reads, the exit code is 0 if the reading
    is within them and 3 if it is not; without limits it is 1."""
    from builder.shop import one_meter, quick_answer
    is_within = True
    try:
        lines, *judged = quick_answer.answer(
            one_meter.read_functions(PROCEDURES, asked.meter, asked.verified_against),
            asked.function, asked.value, asked.frequency, asked.range, asked.ambient)
        if asked.reads is not None:
            from builder.shop import quick_reading
            said, is_within = quick_reading.said(*judged, asked.reads)
            lines.append(said)
    except Wrong as wrong:
        return refused(wrong)
    print("\n".join(lines))
    return 0 if is_within else 3


def practice(asked: argparse.Namespace) -> int:
    """Print a set of exercises made from the shop's meters."""
    from builder.practice import practice_pages
    from builder.shop import loading
    shop = loading.load_shop(PROCEDURES)
    say_problems(shop.errors)  # the exercises are made from what is right
    made = practice_pages.exercise_set(shop, asked.seed)
    print("\n".join(practice_pages.as_text(made)))
    if asked.answers and made.exercises:
        print("\f" + "\n".join(practice_pages.answers_as_text(made)))
    return 0 if made.exercises else 1


def report(asked: argparse.Namespace) -> int:
    """Write the reports of records as plain files. The exit code is 0 if each passes, conditionally
    too, 1 with problems, and 3 for every other statement."""
    from builder.formats.report_data import CONDITIONALLY_PASSES, PASSES
    from builder.pages import report_files
    from builder.shop import loading
    lines, statements, wrong = report_files.write(asked.record, asked.to,
                                                  loading.load_shop(PROCEDURES))
    say_problems(wrong)
    print("".join(f"{line}\n" for line in lines), end="")
    if problems.errors(wrong):
        return 1
    return 0 if set(statements) <= {PASSES, CONDITIONALLY_PASSES} else 3
