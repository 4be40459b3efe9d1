"""Find the limits; judge a reading."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.draw import Draw
from builder.numbers import exact_text
from builder.practice.bench import Bench, Case
from builder.practice.exercise import Choice, Exercise, Typed, mixed
from builder.practice.mistake_words import sentence
from builder.practice.mistakes import Mistaken

_TRIES = 40
_RARE = {"nominal", "row", "looser-row", "part", "of-reading", "sign"}

SIMPLE = "Tolerance only, no guard band"


def drawn(draw: Draw, bench: Bench, certified: bool) -> Case | None:
    return draw.one(bench.certified) if certified and bench.certified else bench.case(draw)


def find_limits(draw: Draw, bench: Bench, typed: bool = False) -> Exercise | None:
    certified = draw.below(3) == 0
    for attempt in range(_TRIES):
        case = drawn(draw, bench, certified and attempt < _TRIES // 4)
        wrong = draw.mixed(case.mistaken()) if case else []
        if len(wrong) >= (3 if attempt < _TRIES // 2 else 2):
            break
    else:
        return None
    wrong.sort(key=lambda one: one.code not in _RARE)  # stays mixed inside both parts
    if len(wrong) > 3 and draw.below(2):
        wrong = [wrong[0], *wrong[-2:]]
    right = case.judged.accepted

    def choice(accepted, mistaken: Mistaken | None = None) -> Choice:
        return Choice(text=case.band(accepted.low, accepted.high),
                      mistake=mistaken.code if mistaken else "",
                      why=sentence(case, mistaken) if mistaken else "",
                      fields=(case.bare(accepted.low), case.bare(accepted.high)),
                      what=mistaken or accepted)

    taken_off = [("Leads", "already taken off the reading")] if case.view.kind.zero_with else []
    return Exercise(kind="limits",
                    given=(case.function(), case.point(), *case.accuracy(), *taken_off),
                    ask="The lowest and the highest reading to accept?" if typed
                    else "Which readings are accepted?",
                    choices=mixed(draw, choice(right),
                                  [choice(one.accepted, one) for one in wrong[:3]]),
                    reasons=case.worked(), live=case.live,
                    typed=Typed(("from", "to"), case.unit.shown) if typed else None, case=case)


# ---------------------------------------------------------------- judging

WITHIN, NOT_WITHIN = "Within", "Not within"
NO_VERDICT = "No verdict: the display is on another range"


@dataclass(frozen=True)
class PractisedReading:
    """What a judgement is about: counts of the point's range, or of another one; `leads` is what
    they read alone."""

    case: Case
    counts: int
    on: RangeTable
    leads: Fraction | None = None
    mistaken: Mistaken | None = None


def judge_reading(draw: Draw, bench: Bench) -> Exercise | None:
    how = draw.one((_flipped, _flipped, _flipped, _flipped, _edge, _other_display, _with_leads,
                    _with_leads))
    for makes in (how, _flipped, _edge):
        for _ in range(_TRIES // 2):
            if made := makes(draw, bench):
                return made
    return None


def _asked(reading: PractisedReading, shown: str, right: str, opposite: tuple[str, str],
           mistrust: tuple[str, str], reasons: tuple[str, ...], more=()) -> Exercise:
    """`opposite` and `mistrust` are the mistake and its sentence of the other verdict and of the
    one that is left."""
    case = reading.case
    texts = [WITHIN, NOT_WITHIN, NO_VERDICT]
    rest = [text for text in texts if text != right]
    why = dict(zip(rest, (opposite, mistrust), strict=True))
    # always in this order, as on a sheet
    choices = tuple(Choice(text=text, mistake=mistake, why=reason) for text in texts
                    for mistake, reason in [why.get(text, ("", ""))])
    return Exercise(kind="judge",
                    given=(case.function(), case.point(), *case.accuracy(), *more,
                           ("Reads", shown)),
                    ask="Is this reading within its limits?",
                    choices=choices, reasons=(*case.worked(), *reasons), live=case.live,
                    case=reading)


def _verdict(case: Case, counts: int, opposite: tuple[str, str],
             mistaken: Mistaken | None = None) -> Exercise:
    accepted, shown = case.judged.accepted, case.reading(counts)
    within = accepted.holds(counts)
    if counts in (accepted.low, accepted.high):
        where = "is on a limit, which is accepted"
    elif within:
        where = "lies between the limits"
    elif counts > accepted.high:
        where = "is above the highest accepted reading"
    else:
        where = "is below the lowest accepted reading"
    mistrust = ("mistrust",
                f"The display shows the decimals and the unit of the {case.range_name} range, so "
                "the limits apply.")
    return _asked(PractisedReading(case, counts, case.on, mistaken=mistaken), shown,
                  WITHIN if within else NOT_WITHIN, opposite, mistrust,
                  (f"{shown} {where}: {'within' if within else 'not within'}",))


def _flipped(draw: Draw, bench: Bench) -> Exercise | None:
    """A reading that a mistake turns to the other verdict."""
    case = drawn(draw, bench, draw.below(4) == 0)
    mistakes = case.mistaken() if case else []
    if not mistakes or case.leads is not None:
        return None
    mistaken, right = draw.one(mistakes), case.judged.accepted
    top = math.floor(case.on.highest / case.on.resolution)
    apart = [n for a, b in ((right, mistaken.accepted), (mistaken.accepted, right))
             for n in _outside(a, b) if abs(n) <= top and (case.signed or n >= 0)]
    if not apart:
        return None
    return _verdict(case, draw.one(apart), (mistaken.code, sentence(case, mistaken)), mistaken)


def _outside(a, b) -> list[int]:
    """Some readings of `a` that aren't in `b`: those nearest to its limits, and in its middle."""
    near = [a.low, a.low + 1, (a.low + a.high) // 2, a.high - 1, a.high, b.low - 1, b.high + 1]
    return sorted({n for n in near if a.holds(n) and not b.holds(n)})


def _edge(draw: Draw, bench: Bench) -> Exercise | None:
    case = bench.case(draw)
    if case is None or case.judged.accepted.clamped:
        return None
    counts = draw.one((case.judged.accepted.low, case.judged.accepted.high))
    return _verdict(case, counts,
                    ("edge", "A reading equal to a limit is accepted: both limits are."))


def _other_display(draw: Draw, bench: Bench) -> Exercise | None:
    case = bench.case(draw)
    above = [on for on in case.neighbours if on.full_scale > case.on.full_scale] if case else []
    if not above:
        return None
    (on,), name = above, case.view.names[above[0]]
    places = exact_text.decimals(on.resolution, name.unit)
    if (places, name.unit) == (case.places, case.unit):
        return None
    counts = round(case.judged.applied / on.resolution)
    if abs(counts) < 10:  # few digits, which no meter would show there
        return None
    shown = exact_text.amount(counts * on.resolution, name.unit, places)
    other = exact_text.quantity(name)
    return _asked(PractisedReading(case, counts, on), shown, NO_VERDICT,
                  ("display",
                   f"{shown} has the digits of the {other} range, whose limits are others."),
                  ("display",
                   f"{shown} on the {other} range says nothing about limits of the "
                   f"{case.range_name} range."),
                  (f"{shown} has the digits of the {other} range: select the {case.range_name} "
                   "range and read again",))


def _with_leads(draw: Draw, bench: Bench) -> Exercise | None:
    """A two-wire reading that is within less its leads and isn't with them, or the other way
    round."""
    if not bench.corrected:
        return None
    case = draw.one(bench.corrected)
    zero, accepted, r = case.leads.planned, case.judged.accepted, case.on.resolution
    step, most = zero.range.resolution, zero.zero.high
    leads = max(1, most // 2 + draw.below(most // 2 + 1)) * step if most else Fraction(0)

    def within(value: Fraction) -> bool:
        return accepted.low * r <= value <= accepted.high * r

    # Readings at which all depends on the leads, but not on how the limits were rounded.
    lows, highs = ((case.judged.low, accepted.low * r),
                   (accepted.high * r, case.judged.high))
    apart = [n for around in (accepted.low, accepted.high)
             for n in range(around - 3, around + math.ceil(leads / r) + 4)
             if within(n * r) != within(n * r - leads)
             and not any(a < n * r - leads < b for a, b in (lows, highs))]
    if not apart or not leads:
        return None
    counts = draw.one(apart)
    unit = zero.function.names[zero.range].unit
    alone = exact_text.amount(leads, unit, exact_text.decimals(step, unit))
    corrected = exact_text.amount(counts * r - leads, case.unit, case.places)
    good = within(counts * r - leads)
    mistrust = ("mistrust",
                f"The display shows the decimals and the unit of the {case.range_name} range, so "
                "the limits apply.")
    shown = case.reading(counts)
    return _asked(PractisedReading(case, counts, case.on, leads), shown,
                  WITHIN if good else NOT_WITHIN,
                  ("leads", f"The leads were left in: {shown} less {alone} is {corrected}."),
                  mistrust,
                  (f"{shown} less {alone} is {corrected}: {'within' if good else 'not within'}",),
                  [("Leads alone read", alone)])
