"""Choose the range."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact import points
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.draw import Draw
from builder.compute.exact.points import JudgedPoint, Refused
from builder.compute.exact.tolerance import Tolerance
from builder.numbers import exact_text
from builder.practice.bench import Bench, frequency
from builder.practice.exercise import Choice, Exercise
from builder.procedure.how_computed import row_text
from builder.procedure.meter_function import MeterFunction

BY_HAND = "None for sure: select it by hand"
_UNSURE = ("unclear-range", "tolerance-past-range")
MOST = 3    # ranges to choose among
_NEAR = (94, 96, 97, 98, 99, 100, 100, 101, 102, 104, 106)   # percent of a range's name


@dataclass(frozen=True)
class RangeQuestion:
    """`among` are the ranges of the same position, `window` those that are offered."""

    view: MeterFunction
    among: tuple[RangeTable, ...]
    window: tuple[RangeTable, ...]
    applied: Fraction
    hertz: Fraction | None


@dataclass(frozen=True)
class _Found:
    """The lowest range that holds the value; what comes of it there, or on which `other` a good
    meter may be as well: by its reading on the range `of`, as `why` says."""

    holds: RangeTable
    judged: JudgedPoint | None = None
    other: RangeTable | None = None
    of: RangeTable | None = None
    why: str = ""


def choose_range(draw: Draw, bench: Bench) -> Exercise | None:
    """Which place among the options is right is drawn first, each as often as the others."""
    whole = draw.below(10_000)
    for _ in range(120):
        view = bench.view(draw)
        among = tuple(points.siblings(view.table, draw.one(view.table.ranges)))
        if len(among) > 1 and (made := _asked(draw, view, among, whole)):
            return made
    return None


def _asked(draw: Draw, view: MeterFunction, among: tuple[RangeTable, ...],
           whole: int) -> Exercise | None:
    size = min(MOST, len(among))
    by_hand = view.table.autoranging
    slot = whole % (size + by_hand)      # the last of them is "none for sure"
    sure = slot < size
    slot = slot if sure else draw.below(size - 1)
    start = draw.below(len(among) - size + 1)
    window, on = among[start:start + size], among[start + slot]
    if not sure or draw.below(2):
        end = on if not sure else among[max(0, start + slot - draw.below(2))]
        x = end.full_scale * draw.one(_NEAR) / 100
    else:
        x = on.full_scale * (10 + draw.below(85)) / 100
    x = x // on.resolution * on.resolution
    asked = RangeQuestion(view, among, window, x, frequency(draw, view, on))
    answer = find(asked)
    if answer is None or (answer.judged is not None) != sure or (
            answer.holds is not on if sure else answer.other not in window
            or answer.holds not in window):
        return None
    return _exercise(asked, answer)


def find(asked: RangeQuestion) -> _Found | None:
    """What a good meter does by the accuracy rows themselves. None where that can't be said of this
    value, as where only the caution of a plan refuses it: that is no fact about the meter."""
    view, x = asked.view, asked.applied
    table = replace(view.table, ranges=asked.among)
    try:
        points.refuse_beyond_input(limits=view.table.limits, applied=Fraction(0)
                                   if view.kind.needs_level else x, frequency=asked.hertz)
        holds = points.range_for(function=table, applied=x)
    except Refused:
        return None
    try:
        return _Found(holds, judged=points.judge(function=table, applied=x, wanted=holds,
                                                 frequency=asked.hertz))
    except Refused as refused:
        if refused.code not in _UNSURE or not view.table.autoranging:
            return None
        other = refused.facts.get("other")
        if refused.code == "tolerance-past-range":
            above = asked.among.index(holds) + 1
            other = asked.among[above] if above < len(asked.among) else None
        return _elsewhere(asked, holds, other) if other is not None else None


def _tolerance(asked: RangeQuestion, on: RangeTable) -> Tolerance | None:
    """By the tightest row that holds for the frequency; a part of the range that the value lies
    beyond says nothing about a reading there."""
    rows = [row for row in on.rows if row.covers_frequency(asked.hertz) and not row.typical]
    return min((on.tolerance(row, asked.applied, asked.hertz) for row in rows),
               key=lambda one: one.half_span, default=None)


def _elsewhere(asked: RangeQuestion, holds: RangeTable, other: RangeTable) -> _Found | None:
    """Whether a good meter may be on the other range, and by which reading on which of the two."""
    x, size = asked.applied, abs(asked.applied)
    here, there = _tolerance(asked, holds), _tolerance(asked, other)
    if here is None or there is None:
        return None
    names = asked.view.names

    def told(of: RangeTable, words: str, reading: Fraction) -> _Found:
        unit = names[of].unit
        shown = exact_text.amount(reading, unit, exact_text.decimals(of.resolution, unit))
        then = ("stays there" if of is other
                else f"changes to the {exact_text.quantity(names[other])} range")
        return _Found(holds, other=other, of=of,
                      why=f"On the {exact_text.quantity(names[of])} range a good meter may read "
                          f"{words.format(shown)}, and then it {then}.")

    if other.full_scale < holds.full_scale:
        if size - there.inward(x) <= other.highest:
            return told(other, "{} or less", other.highest)
        if holds.down is not None and size - here.inward(x) <= holds.down:
            return told(holds, "{} or less", holds.down)
    elif size + here.outward(x) > holds.highest:
        return told(holds, "past {}", holds.highest)
    elif holds.up is not None and size + here.outward(x) >= holds.up:
        return told(holds, "{} or more", holds.up)
    elif other.down is not None and size + there.outward(x) >= other.down:
        return told(other, "{} or more", other.down)
    return None


def _exercise(asked: RangeQuestion, answer: _Found) -> Exercise:
    view, hertz = asked.view, asked.hertz
    # no digit more than it needs, which would tell the range
    applied = exact_text.amount(asked.applied, view.names[answer.holds].unit)
    dial, jacks = view.dial(answer.holds), view.jacks(answer.holds)
    where = [text for text in (dial and f"dial to {dial}",
                               jacks and "leads in " + " and ".join(jacks)) if text]
    at_hertz = f" at {exact_text.frequency(hertz)}" if hertz is not None else ""
    return Exercise(
        kind="range",
        given=(("Meter", "; ".join([f"{view.meter.name}, {view.title}", *where])),
               ("Apply", applied + at_hertz),
               *((exact_text.quantity(view.names[on]), _row(asked, on)) for on in asked.window)),
        ask=("Which range will the meter choose?" if view.table.autoranging
             else "Which range do you select?"),
        choices=_choices(asked, answer, applied), reasons=_reasons(asked, answer, applied),
        case=asked)


def _row(asked: RangeQuestion, on: RangeTable) -> str:
    """What the answer needs of a range: where it ends, its accuracy at this frequency, a count."""
    view = asked.view
    unit = view.names[on].unit
    rows = [row for row in on.rows if row.covers_frequency(asked.hertz)] or on.rows
    of = (f"; percent of {exact_text.amount(on.base, unit)}"
          if on.base != on.full_scale and any(row.accuracy.percent_of_range for row in rows)
          else "")
    ends = [f"; changes {way} at {exact_text.amount(at, unit)}"
            for way, at in (("up", on.up), ("down", on.down))
            if at is not None and view.table.autoranging]
    return "; ".join([f"up to {_highest(view, on)}" + "".join(ends),
                      *(row_text(view, on, row) for row in rows),
                      f"one count {exact_text.amount(on.resolution, unit)}{of}"])


def _highest(view: MeterFunction, on: RangeTable) -> str:
    unit = view.names[on].unit
    return exact_text.amount(on.highest, unit, exact_text.decimals(on.resolution, unit))


def _choices(asked: RangeQuestion, answer: _Found, applied: str) -> tuple[Choice, ...]:
    """The ranges from the lowest up, and last that none is sure."""
    view, x, holds, sure = asked.view, asked.applied, answer.holds, answer.judged is not None
    place = asked.among.index(holds)
    choices = []
    for n, on in enumerate(asked.among):
        name = exact_text.quantity(view.names[on])
        code, why = "", ""
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
        if not sure and on in (holds, answer.other):
            code, why = "tolerance", answer.why
        if on in asked.window:
            choices.append(Choice(text=name, mistake=code, why=why, what=on))
    if view.table.autoranging:
        choices.append(Choice(text=BY_HAND) if not sure else Choice(
            text=BY_HAND, mistake="needless",
            why="Within its tolerance the reading stays on one range, so automatic is sure."))
    return tuple(choices)


def _reach(asked: RangeQuestion, on: RangeTable, within: Tolerance) -> str:
    """What a good meter would read on a range, as far as the tolerance goes."""
    unit, x = asked.view.names[on].unit, asked.applied
    sides = exact_text.sides(within.below, within.above, unit,
                             exact_text.decimals(on.resolution, unit))
    return (f"Tolerance of the {exact_text.quantity(asked.view.names[on])} range {sides}: a good "
            f"meter reads {exact_text.amount(x - within.below, unit)} to "
            f"{exact_text.amount(x + within.above, unit)}")


def _reasons(asked: RangeQuestion, answer: _Found, applied: str) -> tuple[str, ...]:
    view, holds = asked.view, answer.holds
    name = exact_text.quantity(view.names[holds])
    first = f"{applied}: the lowest range that holds it is {name}, up to {_highest(view, holds)}"
    if answer.judged is None:
        return (first, _reach(asked, answer.of, _tolerance(asked, answer.of)), answer.why,
                "So the range is selected by hand, or another value is chosen")
    reasons = [first, f"{_reach(asked, holds, answer.judged.sides)}, and the range holds that"]
    below = asked.among.index(holds) - 1
    if below >= 0 and view.table.autoranging and (
            within := _tolerance(asked, asked.among[below])) is not None:
        reasons.append(f"{_reach(asked, asked.among[below], within)}, past "
                       f"{_highest(view, asked.among[below])}, where that range ends")
    return tuple(reasons)
