"""Numbers drawn from a seed: the same in every Python, on every machine."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")
_MASK = (1 << 64) - 1


class Draw:
    """A small generator of our own (SplitMix64), so that a seed gives the same exercises on every
    Python and for as long as this class isn't touched: whole numbers only, no hash of a text and no
    method of `random`.

    `label` starts a stream of its own, so that another kind of exercise moves none of those before
    it. """

    def __init__(self, seed: int, label: str = ""):
        self.state = seed & _MASK
        for byte in label.encode():
            self.state = (self.state * 31 + byte + 1) & _MASK
            self.below(2)

    def below(self, count: int) -> int:
        """0 to count − 1; the counts here are tiny beside 2⁶⁴, so the remainder's bias is
        nothing."""
        self.state = (self.state + 0x9E3779B97F4A7C15) & _MASK
        z = self.state
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9 & _MASK
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB & _MASK
        return (z ^ (z >> 31)) % count

    def one(self, among: Sequence[T]) -> T:
        return among[self.below(len(among))]

    def mixed(self, things: Sequence[T]) -> list[T]:
        """All of them in another order (Fisher and Yates)."""
        out = list(things)
        for n in range(len(out) - 1, 0, -1):
            k = self.below(n + 1)
            out[n], out[k] = out[k], out[n]
        return out
