"""What lessons work out at a point of a plan: the parts of its uncertainty, and which of two
extremes is judged where a display flickers."""

from __future__ import annotations

from fractions import Fraction

from builder.files.problems import Wrong
from builder.lessons.asked import AskedValue, GeneralExample, items_of
from builder.lessons.examples import PlanExample, find_example
from builder.numbers import units
from builder.numbers.exact_text import NARROW, amount
from builder.records.verdict import verdict
from builder.shop.contents import Shop


def flicker(shop: Shop, asked: AskedValue) -> GeneralExample:
    """{example: flicker, dunlin-60-yearly, capacitance, 5 uF, 4.906/4.908, show: judged}: judged as
    a record's reading."""
    *named, typed = items_of(asked, "'flicker', a plan, a function, a value and both extremes", 5)
    example = _point(shop, named[1:])
    point = next(one for one in example.procedure.sheet_data.points if one.id == example.point.id)
    judged = verdict(point, typed)
    if judged.steady_error is None or point.accept is None:
        raise Wrong(f"'{typed}' are no two extremes at a point with limits",
                    "both with a stroke between them, such as 4.906/4.908")
    unit, step = units.unit(point.unit), point.resolution.number

    def text(value: Fraction) -> str:
        return amount(value * unit.scale, unit, example.places)

    middle = amount(step * (point.accept.low_counts + point.accept.high_counts) / 2 * unit.scale,
                    unit)
    shows = {"judged": text(judged.value), "limits": example.show("limits"), "middle": middle,
             "history": amount((judged.expected + judged.steady_error) * unit.scale, unit),
             "verdict": judged.outcome}
    return GeneralExample(shows, (
        f"{example.procedure.meter.name}, {example.point.planned.function.title}, "
        f"{example.point.apply}: the display flickers, {typed}{NARROW}{unit.shown}",
        f"The middle of the limits, {shows['limits']}: {middle}",
        f"Farther from it, so judged: {shows['judged']}",
        f"The verdict: {shows['verdict']}",
        f"Into the meter’s history: {shows['history']}"))


def parts(shop: Shop, asked: AskedValue) -> GeneralExample:
    """{example: parts, whimbrel-200-yearly, DC voltage, 10 V}: each part of the uncertainty as a
    standard uncertainty, and all of them together (GUM 5.1.2)."""
    _, *named = items_of(asked, "'parts', a plan, a function, a value and for AC a frequency", 4, 5)
    example = _point(shop, named)
    budget = example.assessed.budget
    if any(part.sensitivity != "1" for part in budget):
        raise Wrong("the parts of this point have sensitivities", "choose a point without them")
    lines = [f"{part.name}, {example.of_unit(part.value)} / {part.divisor}: "
             f"{example.of_unit(part.contribution)}" for part in budget]
    squares = " + ".join(f"{part.contribution}²" for part in budget)
    title = f"{example.procedure.meter.name}, {example.point.planned.function.title}"
    return GeneralExample({}, (
        f"{title}, {example.point.apply}: the parts of u", *lines,
        f"Together: u = √({squares}){NARROW}{example.unit.shown} = "
        f"{example.of_unit(example.assessed.u)}"))


def _point(shop: Shop, items: list[str] | tuple[str, ...]) -> PlanExample:
    example = find_example(shop, AskedValue(tuple(items)))
    if not isinstance(example, PlanExample):
        raise Wrong(f"'{items[0]}' is no plan", "name a plan")
    return example
