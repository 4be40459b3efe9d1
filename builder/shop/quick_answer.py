"""The quick answer in a terminal: the limits of one value on one meter, and how they came about."""

from __future__ import annotations

from fractions import Fraction

from builder import file_rules
from builder.compute.exact import clear_values, points
from builder.compute.exact.points import Refused
from builder.files import problems
from builder.files.problems import Wrong
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE
from builder.numbers import exact_text, units
from builder.procedure import refusals
from builder.procedure.ambient import shown_span
from builder.procedure.how_computed import worked
from builder.procedure.meter_function import MeterFunction
from builder.shop import contents


class NoLimits(Wrong):
    """The meter, the function and the value are right, and still there are no limits there."""


def answer(shop: contents.Shop, meter: str, function: str, value: str,
           frequency: str | None = None) -> list[str]:
    """Five lines; raises `Wrong` with the reason where there are no limits."""
    view = find(shop, meter, function)
    judged, hertz = judge(view, value, frequency)
    return lines(view, judged, hertz)


def find(shop: contents.Shop, meter: str, function: str) -> MeterFunction:
    meter = next((slug for slug, one in shop.meters.items() if one.name.lower() == meter.lower()),
                 meter)
    if meter not in shop.functions:
        own = [p for p in shop.errors if p.place.file.endswith(f"meters/{meter}.yaml")]
        if own:
            raise Wrong("the meter's file has problems:\n" + problems.as_text(own))
        raise Wrong(f"there is no meter '{meter}'", file_rules.nearest(meter, shop.functions))
    views = shop.functions[meter]
    view = next((v for title, v in views.items() if title.lower() == function.lower()), None)
    if view is None:
        raise Wrong(f"'{meter}' has no function '{function}'", file_rules.nearest(function, views))
    if not view.models:
        raise Wrong(f"'{view.title}' has no accuracy table")
    return view


def judge(view: MeterFunction, value: str, frequency: str | None = None, by_hand: str | None = None,
          growth: Fraction = points.ONE) -> tuple[points.JudgedPoint, Fraction | None]:
    """The limits of a value with its frequency, on the range that the meter would choose or on the
    one that is selected `by_hand`. Raises `NoLimits` where the sheets would refuse the point."""
    applied, hertz = _asked(view, value, frequency)
    wanted = view.range(units.quantity(by_hand)) if by_hand else None
    if by_hand and wanted is None:
        raise Wrong(f"{view.title} has no range '{by_hand}'",
                    "one of: " + ", ".join(str(name) for name in view.names.values()))
    try:
        points.refuse_beyond_input(limits=view.table.limits, applied=applied.value
                                   if not view.kind.needs_level else 0, frequency=hertz)
        return points.judge(function=view.table, applied=applied.value, frequency=hertz,
                            wanted=wanted, force=wanted is not None, growth=growth), hertz
    except Refused as refused:
        on = refused.facts.get("on")
        clear = ""
        if on is not None:
            values = clear_values.clear_values(function=view.table, on=on, near=applied.value,
                                              frequency=hertz)
            unit = view.names[on].unit
            clear = " or ".join(exact_text.amount(v, unit, exact_text.decimals(on.resolution, unit))
                                for v in values)
            clear = (f"clear on the {exact_text.quantity(view.names[on])} range: {clear}" if clear
                     else "")
        raise NoLimits(*refusals.refusal(refused, applied=applied.value, hertz=hertz,
                                         unit=applied.unit, names=view.names, clear=clear,
                                         by_hand=view.given.ranging == "automatic")) from None


def lines(view: MeterFunction, judged: points.JudgedPoint, hertz: Fraction | None,
          ambient: str = "", growth: Fraction = points.ONE) -> list[str]:
    """What the limits hold for, and how they came about."""
    uncorrected = " (of a reading without its leads)" if view.kind.zero_with else ""
    at = ambient or shown_span(view.meter.specification.holds)
    return [f"{view.meter.name}, {view.title}, at {at}, {SIMPLE_ACCEPTANCE}{uncorrected}",
            *worked(view, judged, hertz, growth)]


def _asked(view: MeterFunction, value: str, frequency: str | None):
    applied = units.quantity(value)
    wanted = view.kind.dimension
    if applied.dimension != wanted:
        raise Wrong(
            f"'{value}' is {units.kind_of(applied.dimension)}, {view.title} needs "
            f"{units.needs(wanted)}")
    if applied.unit.is_temperature and applied.unit != view.unit:
        raise Wrong(f"the ranges are in {view.unit.shown}", "give the value in the same degrees")
    if view.kind.is_ac and frequency is None:
        raise Wrong(f"{view.title} needs a frequency", "add it behind the value, such as '50 Hz'")
    if frequency is None:
        return applied, None
    if not view.kind.needs_frequency:
        raise Wrong(f"{view.title} has no frequency beside its value", f"leave out '{frequency}'")
    hertz = units.quantity(frequency)
    if hertz.dimension != "[frequency]" or hertz.value <= 0:
        raise Wrong(f"'{frequency}' is no frequency", "such as '50 Hz'")
    return applied, hertz.value
