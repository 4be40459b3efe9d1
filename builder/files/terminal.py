"""What a terminal can't show is spelt out in it."""

from __future__ import annotations

import codecs
from typing import TextIO

_SPELT_OUT = {"−": "-", "×": "x", "±": "+/-", "Ω": "Ohm", "µ": "u", "°": "deg", "·": "*",
              "…": "...", "’": "'", "“": '"', "”": '"', "\u00a0": " "}
codecs.register_error("spelt_out", lambda error: (
    "".join(_SPELT_OUT.get(sign, "?") for sign in error.object[error.start:error.end]), error.end))


def spell_out(stream: TextIO) -> None:
    """Where the stream can't show −, Ω or µ, they are spelt out."""
    stream.reconfigure(errors="spelt_out")
