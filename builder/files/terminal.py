"""A terminal: what it can't show is spelt out in it, and what may be typed there."""

from __future__ import annotations

import argparse
import codecs
import os
import sys
from collections.abc import Callable
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


def seed(text: str) -> int:
    """The number of a set of exercises."""
    text = text.strip()
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 999_999:
        raise argparse.ArgumentTypeError(f"'{text}' is no whole number from 1 to 999999")
    return int(text)
