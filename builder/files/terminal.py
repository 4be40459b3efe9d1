"""A terminal: what it can't show is spelt out in it, and what may be typed there."""

from __future__ import annotations

import argparse
import codecs
import os
import sys
from collections.abc import Callable
from datetime import date
from typing import TextIO

_SPELT_OUT = {"−": "-", "×": "x", "±": "+/-", "Ω": "Ohm", "µ": "u", "°": "deg", "·": "*",
              "…": "...", "’": "'", "“": '"', "”": '"', "\u00a0": " "}
codecs.register_error("spelt_out", lambda error: (
    "".join(_SPELT_OUT.get(sign, "?") for sign in error.object[error.start:error.end]), error.end))


def spell_out(stream: TextIO) -> None:
    """Where the stream can't show −, Ω or µ, they are spelt out."""
    stream.reconfigure(errors="spelt_out")


def silence(*streams: TextIO) -> None:
    """Where nobody reads on, as behind '| head': what is left to say goes nowhere, and the end of
    the program is no error."""
    for stream in streams:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


class Parser(argparse.ArgumentParser):
    """`known` may add to a message on wrong usage what could have been named."""
    known: Callable[[], str] = staticmethod(lambda: "")

    def exit(self, status: int = 0, message: str | None = None):
        """After help, too, which nobody may have read to its end."""
        try:
            sys.stdout.flush()
        except BrokenPipeError:
            silence(sys.stdout)
        super().exit(status, message)

    def error(self, message: str):
        super().error(message + self.known())


def day(text: str) -> date:
    """A day by its date, or 'today'."""
    text = text.strip()
    if text == "today":
        return date.today()
    try:
        if len(text) != 10:     # 20261125 is a date too, and was hardly meant as one
            raise ValueError(text)
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is no day: write it as 2026-11-25, or "
                                         "'today'") from None


def add_day(parser: argparse.ArgumentParser) -> None:
    """The option for the day of a site."""
    parser.add_argument("--as-of", metavar="DAY", type=day, help="the day for which meters and "
                        "standards are in service, due or overdue: year-month-day, or 'today'; if "
                        "left out, that of procedures/workshop.yaml")


def separator(text: str) -> str:
    """What stands between the cells of a table."""
    known = {",": ",", ";": ";", "tab": "\t"}
    if text not in known:
        raise argparse.ArgumentTypeError(f"'{text}' is not one of ',', ';' and 'tab'")
    return known[text]


def seed(text: str) -> int:
    """The number of a set of exercises."""
    text = text.strip()
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 999_999:
        raise argparse.ArgumentTypeError(f"'{text}' is no whole number from 1 to 999999")
    return int(text)
