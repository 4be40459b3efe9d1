"""What a published value is, and how it is compared with the builder's own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from builder.numbers.exact_text import minus

READ, SECOND_HAND, FROM_MEMORY, COMPUTED, COMMON = (
    "read", "second hand", "from memory", "computed", "common practice")
SURE = {
    READ: "read in the publication itself",
    SECOND_HAND: "read in a copy of it made by others",
    FROM_MEMORY: "the printed value is remembered, and a computation from the stated inputs "
    "agrees; the publication was not open",
    COMPUTED: "exact mathematics, or two independent numerical routes that agree; printed nowhere "
    "that we know",
    COMMON: "a fact of the trade without a source",
}
AGREES, OTHERWISE, DIFFERS = "agrees", "not as printed", "does not agree"


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """What is checked, at which clause of its source; what it should be, how sure that is, and the
    builder's own, as text to the same digits. `accepts` tells which other text of the builder's is
    right too, and `because` why it isn't as printed."""

    clause: str
    what: str
    should_be: str
    sure: str
    built: Callable[[], str]
    because: str = ""
    accepts: Callable[[str], bool] = lambda text: False

    def result(self) -> Result:
        text = self.built()
        if text == self.should_be or self.accepts(text) and not self.because:
            return Result(self, text, AGREES)
        return Result(self, text, OTHERWISE if self.accepts(text) else DIFFERS)


@dataclass(frozen=True, slots=True)
class Result:
    value: Value
    built: str
    outcome: str

    @property
    def disagrees(self) -> bool:
        return self.outcome == DIFFERS

    @property
    def reason(self) -> str:
        return self.value.because if self.outcome == OTHERWISE else ""


@dataclass(frozen=True, slots=True)
class Source:
    name: str
    values: tuple[Value, ...]
    note: str = ""


def listed(texts: Iterable[str], unit: str = "") -> str:
    return ", ".join(map(minus, texts)) + (f" {unit}" if unit else "")


def shares(found: Iterable[float], form: str = ".3f") -> str:
    """Probabilities in percent."""
    return listed((f"{share * 100:{form}}" for share in found), "%")
