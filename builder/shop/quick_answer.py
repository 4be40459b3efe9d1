"""The quick answer in a terminal: the limits of one value on one meter, and how they came about."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from builder.compute.exact import clear_values, points
from builder.compute.exact.points import Refused
from builder.compute.exact.pieces import Surroundings
from builder.compute.exact.tolerance import degrees_beyond
from builder.file_rules.saying import nearest
from builder.files.problems import Wrong
from builder.numbers import exact_text, units
from builder.numbers.units import Quantity, Unit
from builder.procedure import refusals
from builder.procedure.how_computed import worked
from builder.procedure.meter_function import MeterFunction

RULE = "simple acceptance"


class NoLimits(Wrong):
    """The meter, the function and the value are right, and still there are no limits there."""


def answer(functions: Mapping[str, MeterFunction], function: str, value: str,
           frequency: str | None = None, by_hand: str | None = None,
           ambient: str | None = None) -> tuple[list[str], MeterFunction, points.JudgedPoint]:
    """Five lines, and what they were made from, for a meter's functions by their titles; raises
    `Wrong` with the reason where there are no limits."""
    view = find(functions, function)
    view, shown = warmed(view, ambient)
    judged, hertz = judge(view, value, frequency, by_hand)
    return lines(view, judged, hertz, shown), view, judged


def find(functions: Mapping[str, MeterFunction], title: str) -> MeterFunction:
    """A function with limits, by its title; raises `Wrong` where there is none."""
    view = next((v for known, v in functions.items() if known.lower() == title.lower()), None)
    if view is None:
        name = next(iter(functions.values())).meter.name
        raise Wrong(f"{name} has no function '{title}'", nearest(title, functions))
    if not view.models:
        raise Wrong(f"'{view.title}' has no accuracy table")
    return view


def warmed(view: MeterFunction, ambient: str | None) -> tuple[MeterFunction, str]:
    """A function at one ambient temperature, and that temperature as it is shown. Raises `Wrong`
    for what is no temperature of the meter's scale."""
    holds = view.holds
    if ambient is None:
        return view, exact_text.band(holds.band, holds.high.unit)
    temperature = _quantity(ambient, holds.high.unit)
    if temperature.unit != holds.high.unit:
        raise Wrong(f"'{ambient}' is not in {holds.high.unit.shown}, as the meter's file is",
                    f"such as '{holds.high}'")
    below, above = degrees_beyond(ambient=(temperature.value, temperature.value),
                                  reference=holds.band)
    return (view.under(Surroundings(below=below, above=above)), exact_text.quantity(temperature))


def judge(view: MeterFunction, value: str, frequency: str | None = None, by_hand: str | None = None,
          ) -> tuple[points.JudgedPoint, Fraction | None]:
    """The limits of a value with its frequency, on the range that the meter would choose or on the
    one that is selected `by_hand`. Raises `NoLimits` where the sheets would refuse the point."""
    wanted = _range(view, by_hand) if by_hand else None
    applied, hertz = _asked(view, value, frequency,
                            view.names[wanted].unit if wanted else clear_unit(view))
    try:
        points.refuse_beyond_input(limits=view.table.limits, applied=applied.value
                                   if not view.kind.needs_level else 0, frequency=hertz)
        return points.judge(function=view.table, applied=applied.value, frequency=hertz,
                            wanted=wanted,
                            force=view.given.ranging != "automatic only"), hertz
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
        sentence, hint = refusals.refusal(refused, applied=applied.value, hertz=hertz,
                                          unit=applied.unit, names=view.names, clear=clear,
                                          by_hand=False)
        if refused.code == "unclear-range" and view.given.ranging == "automatic":
            hint += "; or name the range, if it is selected by hand"
        raise NoLimits(sentence, hint) from None


def lines(view: MeterFunction, judged: points.JudgedPoint, hertz: Fraction | None,
          ambient: str) -> list[str]:
    """What the limits hold for, and how they came about."""
    uncorrected = " (of a reading without its leads)" if view.kind.zero_with else ""
    since = f", limits of {view.since} since adjustment" if view.since else ""
    return [f"{view.meter.name}, {view.title}, at {ambient}, {RULE}{since}{uncorrected}",
            *worked(view, judged, hertz)]


def clear_unit(view: MeterFunction) -> Unit | None:
    """The unit that a bare number can only be in: that of all ranges; None where they differ."""
    known = {name.unit for name in view.names.values()}
    return known.pop() if len(known) == 1 else None


def _quantity(text: str, clear: Unit | None) -> Quantity:
    number, rest = units.split_number(text)
    return units.quantity(text) if rest or clear is None else Quantity(number, clear)


def _range(view: MeterFunction, by_hand: str) -> points.RangeTable:
    wanted = _quantity(by_hand, clear_unit(view))
    known = view.range(wanted) if wanted.dimension == view.kind.dimension else None
    if known is None:
        raise Wrong(f"{view.title} has no range '{by_hand}'",
                    "one of: " + ", ".join(str(name) for name in view.names.values()))
    return known


def _asked(view: MeterFunction, value: str, frequency: str | None,
           clear: Unit | None = None) -> tuple[Quantity, Fraction | None]:
    applied = _quantity(value, clear)
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
    if view.has_dc and frequency.strip().upper() == "DC":
        return applied, Fraction(0)
    hertz = _quantity(frequency, units.unit("Hz"))
    if hertz.dimension != "[frequency]" or hertz.value <= 0:
        raise Wrong(f"'{frequency}' is no frequency", "such as '50 Hz'")
    return applied, hertz.value
