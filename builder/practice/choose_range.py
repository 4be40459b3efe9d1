"""Choose the range."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact import points
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.draw import Draw
from builder.compute.exact.points import JudgedPoint, Refused
from builder.numbers import exact_text
from builder.practice.bench import Bench, frequency
from builder.practice.exercise import Choice, Exercise, mixed
from builder.procedure.how_computed import row_text
from builder.procedure.meter_function import MeterFunction

BY_HAND = "None for sure: select it by hand"
_UNSURE = ("unclear-range", "tolerance-past-range")


@dataclass(frozen=True)
class RangeQuestion:
    view: MeterFunction
    among: tuple[RangeTable, ...]
    applied: Fraction
    hertz: Fraction | None


def choose_range(draw: Draw, bench: Bench) -> Exercise | None:
    unsure = draw.below(3) == 0
    for _ in range(60):
        view = bench.view(draw)
        among = tuple(points.siblings(view.table, draw.one(view.table.ranges)))
        if len(among) > 1 and (made := _asked(draw, view, among, unsure)):
            return made
    return None


def _asked(draw: Draw, view: MeterFunction, among: tuple[RangeTable, ...],
           unsure: bool) -> Exercise | None:
    place = draw.below(len(among) - 1) + (0 if not unsure and draw.below(2) else 1)
    on = among[place]
    if unsure and view.table.autoranging:  # about where one range ends
        x = among[place - 1].full_scale * draw.one(
            (97, 98, 99, 100, 100, 101,
             102)) / 100 // among[place - 1].resolution * among[place - 1].resolution
    else:
        x = on.full_scale * (10 + draw.below(85)) / 100 // on.resolution * on.resolution
    hertz = frequency(draw, view, on)
    table = replace(view.table, ranges=among)
    judged, refused = None, None
    try:
        points.refuse_beyond_input(limits=view.table.limits, applied=Fraction(0)
                                   if view.kind.needs_level else x, frequency=hertz)
        holds = points.range_for(function=table, applied=x)
        judged = points.judge(function=table, applied=x, frequency=hertz, wanted=holds)
    except Refused as found:
        refused = found
    if judged is None and (refused.code not in _UNSURE or not view.table.autoranging
                           or holds is among[-1] and refused.code == "tolerance-past-range"):
        return None
    asked = RangeQuestion(view, among, x, hertz)
    unit = view.names[holds].unit
    applied = exact_text.amount(x, unit)  # no digit more than it needs, which would tell the range
    choices = _choices(draw, asked, holds, judged, refused, applied)
    if len(choices) < 2:
        return None
    dial, jacks = view.dial(on), view.jacks(on)
    where = [text for text in (dial and f"dial to {dial}",
                               jacks and "leads in " + " and ".join(jacks)) if text]
    ends = ", ".join(f"{exact_text.quantity(view.names[one])} ({_highest(view, one)})"
                     for one in among)
    accuracy = [("Accuracy", f"{exact_text.quantity(view.names[one])}: {_rows(view, one)}")
                for one in ([holds] if judged or holds is among[0]
                            else [among[among.index(holds) - 1], holds])]
    at_hertz = f" at {exact_text.frequency(hertz)}" if hertz is not None else ""
    ask = ("Which range will the meter choose?" if view.table.autoranging
           else "Which range do you select?")
    return Exercise(kind="range",
                    given=(("Meter",
                            f"{view.meter.name}, {view.title}"
                            + (f"; {', '.join(where)}" if where else "")),
                           ("Apply", applied + at_hertz),
                           ("Ranges, with their highest readings", ends), *accuracy),
                    ask=ask, choices=choices,
                    reasons=_reasons(asked, holds, judged, refused, applied), case=asked)


def _highest(view: MeterFunction, on: RangeTable) -> str:
    unit = view.names[on].unit
    return exact_text.amount(on.highest, unit, exact_text.decimals(on.resolution, unit))


def _rows(view: MeterFunction, on: RangeTable) -> str:
    return "; ".join(row_text(view, on, row) for row in on.rows)


def _choices(draw: Draw, asked: RangeQuestion, holds: RangeTable, judged: JudgedPoint | None,
             refused: Refused | None, applied: str) -> tuple[Choice, ...]:
    view, among, x = asked.view, asked.among, asked.applied
    sure, place = judged is not None, among.index(holds)
    wrong = []
    for n, on in enumerate(among):
        name = exact_text.quantity(view.names[on])
        if n < place:
            code, why = (
                ("name", f"{name} is the range’s name: its highest reading is "
                         f"{_highest(view, on)}.") if abs(x) <= on.full_scale else
                ("too-low", f"The {name} range ends at {_highest(view, on)} and would show "
                            "overload."))
        elif n > place:
            code, why = ("too-high",
                         f"The {exact_text.quantity(view.names[holds])} range already holds "
                         f"{applied}, with a digit more to read.")
        elif sure:
            continue
        else:
            code, why = "tolerance", _may_be_elsewhere(asked, holds, refused)
        wrong.append((abs(n - place), Choice(text=name, mistake=code, why=why, what=on)))
    # The nearest ones; where nothing is sure, the two between which the meter may change.
    most = 3 if not sure or not view.table.autoranging else 2
    wrong = [choice for _, choice in sorted(wrong, key=lambda one: one[0])[:most]]
    if sure:
        right = Choice(text=exact_text.quantity(view.names[holds]), what=holds)
        if view.table.autoranging:
            wrong.append(Choice(text=BY_HAND, mistake="needless",
                                why="Within its tolerance the reading stays on one range, so "
                                "automatic is sure."))
    else:
        right = Choice(text=BY_HAND)
    return mixed(draw, right, wrong)


def _may_be_elsewhere(asked: RangeQuestion, holds: RangeTable, refused: Refused) -> str:
    view = asked.view
    if refused.code == "tolerance-past-range":
        return (f"With its tolerance a good meter may read past {_highest(view, holds)} and leave "
                "this range.")
    other = refused.facts["other"]
    name = exact_text.quantity(view.names[other])
    if other.full_scale < holds.full_scale:
        return (f"A good meter may read {_highest(view, other)} or less here, and then it is on "
                f"the {name} range.")
    return f"A good meter may change to the {name} range here."


def _reasons(asked: RangeQuestion, holds: RangeTable, judged: JudgedPoint | None,
             refused: Refused | None, applied: str) -> tuple[str, ...]:
    view = asked.view
    unit, name = view.names[holds].unit, exact_text.quantity(view.names[holds])
    first = f"{applied}: the lowest range that holds it is {name}, up to {_highest(view, holds)}"
    if judged is None:
        return (first, _may_be_elsewhere(asked, holds, refused),
                "So the range is selected by hand, or another value is chosen")
    tolerance = exact_text.tolerance(judged.tolerance, unit,
                                     exact_text.decimals(holds.resolution, unit))
    tolerance += exact_text.NARROW + unit.shown
    below = asked.among.index(holds)
    stays = f"Tolerance ±{tolerance}: a good meter reads no more than {_highest(view, holds)}"
    if below and view.table.autoranging:
        stays += (f", and it would read past {_highest(view, asked.among[below - 1])}, where the "
                  "range below ends")
    return first, stays
