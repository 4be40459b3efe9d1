"""Find the limits; judge a reading."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.draw import Draw
from builder.numbers import exact_text
from builder.practice.bench import Bench, Case
from builder.practice.exercise import Choice, Exercise, Typed
from builder.practice.mistake_words import sentence
from builder.practice.mistakes import Mistaken

_TRIES = 40


def drawn(draw: Draw, bench: Bench, certified: bool) -> Case | None:
    return draw.one(bench.certified) if certified and bench.certified else bench.case(draw)


def find_limits(draw: Draw, bench: Bench) -> Exercise | None:
    """Both limits are typed, so that no option gives them away."""
    certified = draw.below(3) == 0
    for attempt in range(_TRIES):
        case = drawn(draw, bench, certified and attempt < _TRIES // 4)
        if case and len(case.mistaken) >= (3 if attempt < _TRIES // 2 else 2):
            break
    else:
        return None
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
                    ask="The lowest and the highest reading to accept?",
                    choices=(choice(right), *(choice(one.accepted, one) for one in case.mistaken)),
                    reasons=case.worked(), live=case.live,
                    typed=Typed(("from", "to"), case.unit.shown, case.signed), case=case)


# ---------------------------------------------------------------- judging

WITHIN, NOT_WITHIN = "Within", "Not within"
NO_VERDICT = "No verdict: the display is on another range"
VERDICTS = (WITHIN, NOT_WITHIN, NO_VERDICT)     # always in this order, as on a sheet


@dataclass(frozen=True)
class PractisedReading:
    """What a judgement is about: counts of the point's range, or of another one; `leads` is what
    they read alone; `mistaken` the one known mistake that misjudges it, if it is one alone."""

    case: Case
    counts: int
    on: RangeTable
    leads: Fraction | None = None
    mistaken: Mistaken | None = None


def judge_reading(draw: Draw, bench: Bench) -> Exercise | None:
    """The verdict is drawn before the reading, each as often as the others; so is whether leads are
    to be taken off. Only points that all three can be of are asked about, where there are any."""
    verdict = draw.one(VERDICTS)
    with_leads = bool(bench.corrected) and draw.below(4) == 0
    for attempt in range(3 * _TRIES):
        case = (draw.one(bench.corrected) if with_leads and attempt < _TRIES
                else drawn(draw, bench, draw.below(5) == 0))
        if case is None:
            continue
        elsewhere = _on_another_range(case)
        if attempt < 2 * _TRIES and elsewhere is None:
            continue
        leads = _leads(draw, case)
        made = (_no_verdict(case, elsewhere, leads) if verdict == NO_VERDICT and elsewhere
                else _within_or_not(draw, case, leads, verdict == WITHIN))
        if made:
            return made
    return None


def _asked(reading: PractisedReading, shown: str, right: str, wrong: dict[str, tuple[str, str]],
           reasons: tuple[str, ...]) -> Exercise:
    """`wrong` has of the other verdicts the mistake and its sentence."""
    case = reading.case
    alone = [("Leads alone read", _alone(case, reading.leads))] if reading.leads else []
    return Exercise(kind="judge",
                    given=(case.function(), case.point(), *case.accuracy(), *alone,
                           ("Reads", shown)),
                    ask="Is this reading within its limits?",
                    choices=tuple(Choice(text=text, mistake=mistake, why=why) for text in VERDICTS
                                  for mistake, why in [wrong.get(text, ("", ""))]),
                    reasons=(*case.worked(), *reasons), live=case.live, case=reading)


def _within_or_not(draw: Draw, case: Case, leads: Fraction, within: bool) -> Exercise | None:
    if leads:
        return _less_leads(draw, case, leads, within)
    accepted = case.judged.accepted
    top = math.floor(case.on.highest / case.on.resolution)
    near = {n for one in (accepted, *(m.accepted for m in case.mistaken))
            for end in (one.low, one.high) for n in (end - 1, end, end + 1)}
    asked = sorted(n for n in near if accepted.holds(n) == within and abs(n) <= top and n != 0
                   and (case.signed or n >= 0) and not (accepted.clamped and n <= accepted.low)
                   and (case.misjudging(n) or n in (accepted.low, accepted.high)))
    # most often one that a single mistake misjudges
    single = [n for n in asked if _only(case, n)]
    if not asked:
        return None
    counts = draw.one(single if single and draw.below(4) else asked)
    return _verdict(case, counts)


def _only(case: Case, counts: int) -> Mistaken | None:
    """The mistake that misjudges a reading, where it is one alone; on a limit, who takes a limit
    for out does too."""
    found = case.misjudging(counts)
    return found[0] if len(found) == 1 and not _on_a_limit(case, counts) else None


def _on_a_limit(case: Case, counts: int) -> bool:
    return counts in (case.judged.accepted.low, case.judged.accepted.high)


def _verdict(case: Case, counts: int) -> Exercise:
    accepted, shown, only = case.judged.accepted, case.reading(counts), _only(case, counts)
    within = accepted.holds(counts)
    if _on_a_limit(case, counts):
        where = "is on a limit, which is accepted"
    elif within:
        where = "lies between the limits"
    elif counts > accepted.high:
        where = "is above the highest accepted reading"
    else:
        where = "is below the lowest accepted reading"
    opposite = ("verdict", f"{shown} {where}.")
    if only:
        opposite = only.code, sentence(case, only, "judges so")
    elif _on_a_limit(case, counts) and not case.misjudging(counts):
        opposite = "edge", "Whoever takes a limit for out judges so: both limits are accepted."
    return _asked(PractisedReading(case, counts, case.on, mistaken=only), shown,
                  WITHIN if within else NOT_WITHIN,
                  {NOT_WITHIN if within else WITHIN: opposite, NO_VERDICT: _mistrust(case)},
                  (f"{shown} {where}: {'within' if within else 'not within'}",))


def _mistrust(case: Case) -> tuple[str, str]:
    return ("mistrust", f"The display shows the decimals and the unit of the {case.range_name} "
            "range, so the limits apply.")


def _on_another_range(case: Case) -> tuple[RangeTable, int] | None:
    """The range above and what it shows of the value, where its digits differ."""
    above = case.ranges_above
    if not above:
        return None
    (on,), name = above, case.view.names[above[0]]
    counts = round(case.judged.applied / on.resolution)
    if ((exact_text.decimals(on.resolution, name.unit), name.unit) == (case.places, case.unit)
            or abs(counts) < 10):    # few digits, which no meter would show there
        return None
    return on, counts


def _no_verdict(case: Case, elsewhere: tuple[RangeTable, int], leads: Fraction) -> Exercise:
    on, counts = elsewhere
    name = case.view.names[on]
    shown = exact_text.amount(counts * on.resolution, name.unit,
                              exact_text.decimals(on.resolution, name.unit))
    other = exact_text.quantity(name)
    return _asked(PractisedReading(case, counts, on, leads or None), shown, NO_VERDICT,
                  {WITHIN: ("display", f"{shown} has the digits of the {other} range, whose limits "
                            "are others."),
                   NOT_WITHIN: ("display", f"{shown} on the {other} range says nothing about "
                                f"limits of the {case.range_name} range.")},
                  (f"{shown} has the digits of the {other} range: select the {case.range_name} "
                   "range and read again",))


def _leads(draw: Draw, case: Case) -> Fraction:
    """What the leads of a two-wire point read alone; 0 where none are taken off."""
    if case.leads is None:
        return Fraction(0)
    zero, most = case.leads.planned, case.leads.planned.zero.high
    return (max(1, most // 2 + draw.below(most // 2 + 1)) * zero.range.resolution if most
            else Fraction(0))


def _alone(case: Case, leads: Fraction) -> str:
    zero = case.leads.planned
    unit = zero.function.names[zero.range].unit
    return exact_text.amount(leads, unit, exact_text.decimals(zero.range.resolution, unit))


def _less_leads(draw: Draw, case: Case, leads: Fraction, good: bool) -> Exercise | None:
    """A two-wire reading that is within less its leads and isn't with them, or the other way
    round."""
    accepted, r = case.judged.accepted, case.on.resolution

    def within(value: Fraction) -> bool:
        return accepted.low * r <= value <= accepted.high * r

    # Readings at which all depends on the leads, but not on how the limits were rounded.
    lows, highs = ((case.judged.low, accepted.low * r), (accepted.high * r, case.judged.high))
    apart = [n for around in (accepted.low, accepted.high)
             for n in range(around - 3, around + math.ceil(leads / r) + 4)
             if within(n * r) != within(n * r - leads) == good
             and not any(a < n * r - leads < b for a, b in (lows, highs))]
    if not apart:
        return None

    def only(n: int) -> bool:
        """No mistake in the limits misjudges what is left, and it is not on one."""
        left = n * r - leads
        return left not in (accepted.low * r, accepted.high * r) and all(
            (one.accepted.low * r <= left <= one.accepted.high * r) == good
            for one in case.every_mistake)

    counts = draw.one([n for n in apart if only(n)] or apart)
    shown, alone = case.reading(counts), _alone(case, leads)
    corrected = exact_text.amount(counts * r - leads, case.unit, case.places)
    less = f"{shown} less {alone} is {corrected}"
    opposite = (("leads", f"Whoever leaves the leads in judges so: {less}.") if only(counts)
                else ("verdict", f"{less}."))
    return _asked(PractisedReading(case, counts, case.on, leads), shown,
                  WITHIN if good else NOT_WITHIN,
                  {NOT_WITHIN if good else WITHIN: opposite, NO_VERDICT: _mistrust(case)},
                  (f"{less}: {'within' if good else 'not within'}",))
