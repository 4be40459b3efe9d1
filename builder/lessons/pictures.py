"""From the tag of a picture to its drawing: which numbers go into which picture."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction

from builder.compute.exact import points, thermocouple
from builder.compute.statistics import waveform
from builder.drawing import lesson_circuits, lesson_readings, lesson_safety, lesson_tolerances
from builder.file_rules.saying import nearest
from builder.files.problems import Wrong
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE
from builder.lessons import error_courses
from builder.lessons.asked import AskedValue
from builder.lessons.examples import MeterExample, PlanExample, find_example
from builder.lessons.values import loading, shown
from builder.numbers import exact_text, units
from builder.numbers.exact_text import NARROW, amount, decimals, in_unit, number
from builder.numbers.statistics_text import figures, percent
from builder.procedure import evidence
from builder.shop.contents import Shop


def picture(shop: Shop, asked: AskedValue) -> str:
    if not asked.items or asked.items[0] not in PICTURES:
        raise Wrong("there is no such picture",
                    nearest(asked.items[0] if asked.items else "", PICTURES))
    name, *items = asked.items
    return PICTURES[name](shop, AskedValue(tuple(items), asked.named))


def _meter(shop: Shop, asked: AskedValue) -> MeterExample:
    example = find_example(shop, asked)
    if not isinstance(example, MeterExample):
        raise Wrong("this picture is drawn for a meter", "name a meter, not a plan")
    return example


def _plan(shop: Shop, asked: AskedValue) -> PlanExample:
    example = find_example(shop, asked)
    if not isinstance(example, PlanExample):
        raise Wrong("this picture is drawn for a plan's point", "name a plan, not a meter")
    return example


def _accuracy_row(shop: Shop, asked: AskedValue) -> str:
    example = _meter(shop, asked)
    accuracy = example.judged.row.accuracy
    parts = (f"{exact_text.percent(accuracy.percent_of_reading)} of what is applied",
             f"and {exact_text.counts(accuracy.counts)} of {example.show('count')}")
    return lesson_tolerances.accuracy_row(example.show("range"), example.show("count"),
                                 example.show("accuracy"), example.show("highest"), parts)


def _displays(shop: Shop, asked: AskedValue) -> str:
    example = _meter(shop, asked)
    applied = example.judged.applied
    rows = []
    for on, name in example.view.names.items():
        if on.resolution <= abs(applied) <= on.highest:
            reading = in_unit(round(applied / on.resolution) * on.resolution, name.unit)
            rows.append((exact_text.quantity(name),
                         number(reading, decimals(on.resolution, name.unit)), name.unit.shown,
                         amount(on.resolution, name.unit)))
    return lesson_tolerances.displays(rows)


def _accepted_band(shop: Shop, asked: AskedValue) -> str:
    example = _meter(shop, asked)
    step, accepted = example.on.resolution, example.judged.accepted
    middle = example.judged.applied / step
    if accepted.high - accepted.low > 30:
        raise Wrong(f"{accepted.high - accepted.low + 1} accepted readings are too many to draw",
                    "choose a value with a tolerance of at most 15 counts")
    low, high = middle - example.counts, middle + example.counts

    def bare(value: Fraction) -> str:
        return number(in_unit(value, example.unit))

    return lesson_tolerances.accepted_band(
        [(float(n), accepted.holds(n)) for n in range(accepted.low - 3, accepted.high + 4)],
        (float(accepted.low), example.reading(accepted.low, unit=False)),
        (float(accepted.high), example.reading(accepted.high, unit=False)),
        (float(middle), example.show("value")),
        ((float(low), bare(low * step)), (float(high), bare(high * step))),
        example.show("count"))


def _tolerance_line(shop: Shop, asked: AskedValue) -> str:
    example = _meter(shop, asked)
    line, top = example.judged.line, example.on.highest

    def shown_in(value: Fraction, places: int = 0) -> str:
        return amount(value, example.unit, places)

    at_top = "±" + shown_in(_cut(line.at(top), example.on.resolution))
    return lesson_tolerances.tolerance_line(example.show("range"),
                                   (float(top), shown_in(top, example.places)),
                                   (float(line.offset), shown_in(line.offset)),
                                   (float(line.at(top)), at_top), shown_in(Fraction(0)))


def _cut(value: Fraction, step: Fraction) -> Fraction:
    """To a tenth of a count, for a label."""
    return round(value / step * 10) * step / 10


def _percent_over_ranges(shop: Shop, asked: AskedValue) -> str:
    example = _meter(shop, asked)
    view = example.view
    rows = []
    for on, name in view.names.items():
        row = points.row_for(on=on, applied=on.highest, frequency=example.hertz)
        line = on.piece(row, on.highest, example.hertz).above.at_frequency(example.hertz)
        rows.append((exact_text.quantity(name), float(on.highest), float(line.slope),
                     float(line.offset)))
    unit = units.unit(view.unit.ascii[-1] if view.unit.ascii[-1] in "VAF" else view.unit.ascii)
    first = math.ceil(math.log10(rows[0][1] / 20))
    marks = [(10.0 ** n, f"{10.0 ** n:g}")
             for n in range(first, math.floor(math.log10(rows[-1][1])) + 1)]
    return lesson_tolerances.percent_over_ranges(rows, marks, unit.shown)


def _leads(shop: Shop, asked: AskedValue) -> str:
    example = _plan(shop, asked)
    planned = example.point.planned
    adds, value = planned.leads, planned.supply.certified or planned.applied
    return lesson_circuits.two_leads(f"up to {figures(float(adds) / 2, 2)}{NARROW}Ω",
                              amount(_cut(adds, Fraction(1, 100)), units.unit("ohm")),
                              amount(value, example.unit),
                              amount(_cut(value + adds, Fraction(1, 100)), example.unit))


def _stray(shop: Shop, asked: AskedValue) -> str:
    example = _plan(shop, asked)
    return lesson_circuits.stray(example.point.apply, example.show("leads"))


def _square_wave(shop: Shop, asked: AskedValue) -> str:
    frequency, bandwidth = (units.quantity(text) for text in _two(asked))
    harmonics = int(bandwidth.value // frequency.value)
    if not 1 <= harmonics <= 99:
        raise Wrong("the bandwidth must be one to 99 times the frequency",
                    "choose other frequencies")
    lost = figures(100
                   * (1 - waveform.kept(wave=waveform.SQUARE, frequency=frequency.value,
                                        bandwidth=bandwidth.value))) + NARROW + "%"
    return lesson_readings.square_wave(harmonics, lost, exact_text.quantity(frequency),
                                exact_text.quantity(bandwidth))


def _two(asked: AskedValue) -> tuple[str, str]:
    if len(asked.items) != 2:
        raise Wrong("two items are needed here", "such as '45 Hz, 1 kHz'")
    return asked.items[0], asked.items[1]


def _thermocouple(shop: Shop, asked: AskedValue) -> str:
    kind, temperature = _two(asked)
    junction = asked.named.get("junction", "23 degC")
    says = {what: shown(shop,
                        AskedValue(("thermocouple", kind, temperature),
                                   {"junction": junction, "show": what}))
            for what in ("voltage", "junction", "to apply", "of the difference")}
    sizes = [float(thermocouple.emf(kind=kind, celsius=units.quantity(text).value))
             for text in (temperature, junction)]
    return lesson_readings.thermocouple(kind,
                                 (sizes[0], exact_text.quantity(units.quantity(temperature)),
                                  says["voltage"]),
                                 (sizes[1], exact_text.quantity(units.quantity(junction)),
                                  says["junction"]), says["to apply"], says["of the difference"])


def _ratios(shop: Shop, asked: AskedValue) -> str:
    numbers = [units.plain_number(text, "a ratio") for text in asked.items]
    return lesson_readings.ratios([(f"{number(one)}:1", float(one)) for one in numbers])


def _budget(shop: Shop, asked: AskedValue) -> str:
    example = _plan(shop, asked)
    scale = evidence.scale_of(example.unit)
    lines = [(re.split(r", | \(", c.name)[0], example.of_unit(figures(c.contribution / scale, 2)),
              c.contribution) for c in example.sure.components if c.contribution]
    return lesson_readings.budget(lines,
                                  ("together, u", example.show("u"), example.sure.uncertainty.u))


def _guard_band(shop: Shop, asked: AskedValue) -> str:
    example = _plan(shop, asked)
    plain = _plan(shop,
                  AskedValue(asked.items,
                             {name: text for name, text in asked.named.items()
                              if name != "rule"} | {"rule": SIMPLE_ACCEPTANCE}))
    judged, accept = example.point.planned.judged, example.sure.accept
    edge = judged.applied + example.tolerance
    if not example.sure.guard or accept is None:
        raise Wrong("under this rule there is no guard band to draw",
                    "name another, such as 'rule: guard band of U'")
    last = accept.high * judged.range.resolution
    return lesson_readings.guard_band(
        float((edge - last) / example.tolerance),
        (percent(plain.sure.risks.specific), percent(example.sure.risks.specific)),
        (amount(edge, example.unit), example.of_unit(example.point.accept_to)),
        example.sure.uncertainty.u / float(example.tolerance))


def _loading(shop: Shop, asked: AskedValue) -> str:
    found = loading(shop, AskedValue(("loading", *asked.items), asked.named)).shows
    return lesson_circuits.loading(found["source"], found["input resistance"], found["lost"])


def _four_wires(shop: Shop, asked: AskedValue) -> str:
    return lesson_circuits.four_wires(*(exact_text.quantity(units.quantity(text))
                                        for text in _two(asked)))


def _record_line(shop: Shop, asked: AskedValue) -> str:
    """After the point: the reading as it was miswritten, and as it was read."""
    *items, wrong, right = asked.items
    example = _plan(shop, AskedValue(tuple(items), asked.named))
    counts = units.plain_number(right, "a reading") * example.unit.scale / example.on.resolution
    accepted = f"{example.point.accept_from} to {example.point.accept_to}"
    if not (example.point.sure and example.point.sure.accept and counts.denominator == 1
            and example.point.sure.accept.holds(int(counts))):
        raise Wrong(f"'{right}' is no reading that is accepted at this point",
                    f"one from {accepted}")
    return lesson_circuits.record_line(example.point.step, example.point.apply, accepted, wrong,
                                       right)


PICTURES: dict[str, Callable[[Shop, AskedValue], str]] = {
    "accuracy row": _accuracy_row, "displays": _displays, "accepted band": _accepted_band,
    "tolerance line": _tolerance_line,
    "percent over ranges": _percent_over_ranges, "leads": _leads, "stray": _stray,
    "square wave": _square_wave,
    "current path": lambda shop, asked: lesson_circuits.current_path(),
    "thermocouple": _thermocouple,
    "ratios": _ratios, "budget": _budget,
    "guard band": _guard_band, "drift": error_courses.drift, "record line": _record_line,
    "mornings": error_courses.mornings, "loading": _loading, "four wires": _four_wires,
    "live round": lambda shop, asked: lesson_safety.live_round(),
    "categories": lambda shop, asked: lesson_safety.categories(),
    "failed point": lambda shop, asked: lesson_safety.failed_point(),
    "inside": lambda shop, asked: lesson_circuits.inside(),
}
