"""The quick answer in a terminal: the limits of one value on one meter, and how they came about."""

from __future__ import annotations

import sys
from pathlib import Path

from builder import check, instructions, pipeline, problems, units, wording
from builder.compute import points
from builder.compute.points import Refused
from builder.views import FunctionView
from builder.problems import Wrong

USAGE = "usage: python3 -m builder limits METER FUNCTION VALUE [FREQUENCY], such as: limits dunlin-60 'DC voltage' '3 V'"


def limits(arguments: list[str], folder: Path) -> int:
    if len(arguments) not in (3, 4):
        print(USAGE, file=sys.stderr)
        return 2
    shop = pipeline.load(folder)
    try:
        print("\n".join(answer(shop, *arguments)))
        return 0
    except Wrong as wrong:
        print(f"{wrong.sentence}." + (f"\nhint: {wrong.hint}" if wrong.hint else ""), file=sys.stderr)
        return 1


def answer(shop: pipeline.Shop, meter: str, function: str, value: str, frequency: str | None = None) -> list[str]:
    """Five lines; raises `Wrong` with the reason where there are no limits."""
    meter = next((slug for slug, one in shop.meters.items() if one.name.lower() == meter.lower()), meter)
    if meter not in shop.functions:
        own = [p for p in shop.errors if p.place.file.endswith(f"meters/{meter}.yaml")]
        if own:
            raise Wrong("the meter's file has problems:\n" + problems.as_text(own))
        raise Wrong(f"there is no meter '{meter}'", check.nearest(meter, shop.functions))
    views = shop.functions[meter]
    view = next((v for title, v in views.items() if title.lower() == function.lower()), None)
    if view is None:
        raise Wrong(f"'{meter}' has no function '{function}'", check.nearest(function, views))
    if not view.models:
        raise Wrong(f"'{view.title}' has no accuracy table")
    applied, hertz = _asked(view, value, frequency)
    try:
        points.refuse_beyond_input(limits=view.table.limits, applied=applied.value if not view.kind.needs_level else 0, frequency=hertz)
        judged = points.judge(function=view.table, applied=applied.value, frequency=hertz)
    except Refused as refused:
        on = refused.facts.get("on")
        clear = ""
        if on is not None:
            found = points.clear_values(function=view.table, on=on, near=applied.value, frequency=hertz)
            unit = view.names[on].unit
            clear = " or ".join(wording.amount(v, unit, wording.decimals(on.resolution, unit)) for v in found)
            clear = f"clear on the {wording.quantity(view.names[on])} range: {clear}" if clear else ""
        raise Wrong(*wording.refusal(refused, applied=applied.value, hertz=hertz, unit=applied.unit, names=view.names, clear=clear,
                                      by_hand=view.given.ranging == "automatic")) from None
    name = shop.meters[meter].name
    uncorrected = " (of a reading without its leads)" if view.kind.zero_with else ""
    return [f"{name}, {view.title}, at {instructions.shown_span(shop.meters[meter].specification.holds)}, simple acceptance{uncorrected}",
            *instructions.worked(view, judged, hertz, points.ONE)]


def _asked(view: FunctionView, value: str, frequency: str | None):
    applied = units.quantity(value)
    wanted = view.kind.dimension
    if applied.dimension != wanted:
        raise Wrong(f"'{value}' is {units.DIMENSIONS[applied.dimension]}, {view.title} needs {units.needs(wanted)}")
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
