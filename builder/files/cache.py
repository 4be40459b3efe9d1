"""Results with what they were made from, so that serving makes again only what an edit changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from builder.files.kept_texts import KeptTexts


class Cache:
    """What is asked for again with the very same inputs isn't made again. Inputs are the same if
    they are the same objects, bytes and texts also if they are equal; so whatever is an input must
    never be changed after it was made.

    Only what the last round asked for is remembered: `turn` begins a new one. `forgetful` remembers
    nothing, for a build that has no next round: texts that were made on the way needn't stay in
    memory. `texts` are kept on disk beyond it. """

    def __init__(self, forgetful: bool = False, texts: KeptTexts | None = None) -> None:
        self._forgetful = forgetful
        self.texts = texts or KeptTexts()
        self._before: dict[str, tuple[tuple, Any]] = {}
        self._now: dict[str, tuple[tuple, Any]] = {}

    def turn(self) -> None:
        self._before, self._now = self._now, {}

    def last(self, name: str) -> Any:
        """The result of the last round, whatever it was made from; None without one."""
        return self._before.get(name, (None, None))[1]

    def get(self, name: str, inputs: tuple, make: Callable[[], Any]) -> Any:
        old = self._before.get(name)
        result = old[1] if old and _same(old[0], inputs) else make()
        if not self._forgetful:
            self._now[name] = inputs, result
        return result


def _same(one: tuple, other: tuple) -> bool:
    return (len(one) == len(other) and all(a is b or type(a) is type(b) in (bytes, str, bool)
                                           and a == b for a, b in zip(one, other, strict=True)))
