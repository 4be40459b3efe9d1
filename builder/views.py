"""A function of a meter as the rest of the builder asks about it: its table, and the shown names of its ranges."""

from __future__ import annotations

from functools import cached_property

from builder import tables, wording
from builder.compute.table import Function, Range
from builder.model import meter as model
from builder.model.kinds import Kind
from builder.units import Quantity, Unit


class FunctionView:
    """A function of a meter, with its table and the shown names of its ranges."""

    def __init__(self, meter: model.Meter, given: model.Function):
        self.meter = meter
        self.given = given
        self.title = given.title
        self.kind: Kind = given.kind
        self.code = wording.slug(given.name) if given.name else given.kind.code
        self.table: Function = tables.function_table(meter, given)
        self.models = [r for _, r in tables.in_order(given)]
        self.names: dict[Range, Quantity] = {t: m.range for t, m in zip(self.table.ranges, self.models)}
        self.model_of: dict[Range, model.Range] = dict(zip(self.table.ranges, self.models))

    @cached_property
    def unit(self) -> Unit:
        return self.models[0].range.unit

    def range(self, name: Quantity | None) -> Range | None:
        if name is None:
            return None
        return next((t for t, q in self.names.items() if q.value == name.value), None)

    def jacks(self, on: Range) -> tuple[str, ...]:
        return on.position[0]

    def dial(self, on: Range) -> str | None:
        return on.position[1]
