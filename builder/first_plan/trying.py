"""An entry under a plan's 'points', and the planner that says which entries would do."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.files.problems import Place
from builder.files.yaml_text import Document, Node
from builder.formats.plan import RECOMMENDED
from builder.numbers import exact_text
from builder.numbers.units import Quantity, Unit
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planner import Planner

Key = tuple[str, RangeTable, AccuracyRow]   # a function's title, a range of it and a row of that


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedEntry:
    """One line under a plan's 'points'."""

    function: str
    range: str = ""
    by_hand: bool = False
    apply: tuple[str, ...] = (RECOMMENDED,)
    frequency: tuple[str, ...] = ()
    level: str = ""

    def keys(self) -> dict:
        """As the file has it."""
        named = {"function": self.function, "force_range" if self.by_hand else "range": self.range,
                 "apply": _alone(self.apply), "frequency": _alone(self.frequency),
                 "level": self.level}
        return {key: value for key, value in named.items() if value}


class NoFile(Document):
    """For trials: the line of a place is the number of an entry, its column that of a value."""

    def __init__(self):
        super().__init__("", "", Node(value={}, start=(0, 0), end=(0, 0)))

    def place(self, path: tuple = (), of_key: bool = False) -> Place:
        return Place("", path[1] if len(path) > 1 else -1, path[3] if len(path) > 3 else 0)


class Trial(Planner):
    """A planner whose hints nobody reads, so that it needn't look for clear values."""

    def _clear(self, *_) -> str:
        return ""

    @cached_property
    def tested(self) -> set[Key]:
        return {(p.function.title, p.range, p.judged.row) for p in self.planned if p.judged}


def _alone(values: tuple[str, ...]) -> str | list[str]:
    return values[0] if len(values) == 1 else list(values)


def as_typed(quantity: Quantity) -> str:
    """A quantity as a plan has it."""
    return str(quantity).replace("Ohm", "ohm")


def typed_value(view: MeterFunction, on: RangeTable, applied: Fraction) -> str:
    """A value in the unit of a range, as a plan has it."""
    unit: Unit = view.names[on].unit
    return exact_text.plain_quantity(applied, unit).replace("Ohm", "ohm")
