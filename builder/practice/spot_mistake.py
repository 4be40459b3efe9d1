"""Spot the mistake in a filled-in sheet of four lines."""

from __future__ import annotations

from dataclasses import dataclass

from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.draw import Draw
from builder.numbers import exact_text
from builder.practice.bench import Bench, Case
from builder.practice.exercise import Choice, Exercise
from builder.practice.mistake_words import sentence
from builder.procedure.how_computed import row_text

LINES = 4
HEAD = ("Apply", "On range", "Accuracy", "Count", "Accept from", "to", "Reads", "Within?")
# what the line itself would show at once, or not at all
_UNFIT = {"row", "looser-row", "part", "nominal"}


@dataclass(frozen=True, kw_only=True)
class PractisedLine:
    case: Case
    accepted: AcceptedCounts      # as the sheet has it
    reading: str
    ticked: bool
    code: str = ""          # of the mistake in it
    why: str = ""
    counts: int | None = None   # of the reading, on the line's own range


def spot_mistake(draw: Draw, bench: Bench) -> Exercise | None:
    for _ in range(20):
        view = bench.view(draw)
        cases: dict[tuple, Case] = {}
        for on in draw.mixed(view.table.ranges) * 4 + list(view.table.ranges) * 4:
            case = bench.case(draw, view, on)
            if case is not None:
                cases.setdefault((case.on.full_scale, case.judged.applied, case.hertz), case)
            if len(cases) == LINES:
                break
        if len(cases) < LINES:
            continue
        ordered = sorted(cases.values(),
                         key=lambda c: (c.on.full_scale, c.hertz or 0, abs(c.judged.applied),
                                        c.judged.applied < 0))
        for faulty_place in draw.mixed(range(LINES)):
            if faulty := _faulty(draw, ordered[faulty_place]):
                return _exercise([faulty if n == faulty_place else _sound(draw, case)
                                  for n, case in enumerate(ordered)], faulty_place)
    return None


def _inside(draw: Draw, case: Case, within: AcceptedCounts | None = None) -> int:
    accepted = case.judged.accepted
    low, high = ((max(accepted.low, within.low), min(accepted.high, within.high)) if within
                 else (accepted.low, accepted.high))
    return low + draw.below(high - low + 1) if low <= high else low


def _sound(draw: Draw, case: Case) -> PractisedLine:
    """A line that holds; sometimes of a meter that doesn't."""
    accepted = case.judged.accepted
    within = draw.below(4) > 0 or accepted.high + 1 > case.on.highest / case.on.resolution
    counts = _inside(draw, case) if within else accepted.high + 1 + draw.below(2)
    if counts > case.on.highest / case.on.resolution:
        counts, within = accepted.high, True
    return PractisedLine(case=case, accepted=accepted, reading=case.reading(counts), ticked=within,
                         counts=counts)


def _faulty(draw: Draw, case: Case) -> PractisedLine | None:
    for makes in draw.mixed((_limits, _limits, _limits, _ticked, _ticked, _display)):
        if line := makes(draw, case):
            return line
    return None


def _limits(draw: Draw, case: Case) -> PractisedLine | None:
    """Limits as a mistake gives them; the reading tells nothing, since it is within both."""
    mistakes = [one for one in case.mistaken if one.code not in _UNFIT]
    if not mistakes:
        return None
    mistaken, accepted = draw.one(mistakes), case.judged.accepted
    if max(accepted.low, mistaken.accepted.low) > min(accepted.high, mistaken.accepted.high):
        if mistaken.code != "sign":
            return None
        counts = _inside(draw, case)
        return PractisedLine(case=case, accepted=accepted, reading=case.reading(-counts),
                             ticked=True, code="sign",
                             why=f"The sign was lost: {case.reading(-counts)} is not between the "
                             "limits.", counts=-counts)
    counts = _inside(draw, case, mistaken.accepted)
    return PractisedLine(case=case, accepted=mistaken.accepted, reading=case.reading(counts),
                         ticked=True, code=mistaken.code,
                         why=sentence(case, mistaken), counts=counts)


def _ticked(draw: Draw, case: Case) -> PractisedLine | None:
    """The wrong box: a reading beyond a limit ticked yes, or one on a limit ticked no."""
    accepted = case.judged.accepted
    if accepted.clamped:
        return None
    if draw.below(2):
        counts = draw.one((accepted.low, accepted.high))
        return PractisedLine(case=case, accepted=accepted, reading=case.reading(counts),
                             ticked=False, code="edge",
                             why=f"{case.reading(counts)} is on a limit, and both limits are "
                                 "accepted.", counts=counts)
    counts = draw.one((accepted.low - 1, accepted.high + 1))
    if not 0 < abs(counts) <= case.on.highest / case.on.resolution or (
            counts < 0 and not case.signed):
        return None
    return PractisedLine(case=case, accepted=accepted, reading=case.reading(counts), ticked=True,
                         code="verdict",
                         why=f"{case.reading(counts)} is not between the limits, yet yes is "
                             "ticked.", counts=counts)


def _display(draw: Draw, case: Case) -> PractisedLine | None:
    """A reading with the digits of the range above."""
    above = [on for on in case.neighbours if on.full_scale > case.on.full_scale]
    if not above:
        return None
    (on,), name = above, case.view.names[above[0]]
    places = exact_text.decimals(on.resolution, name.unit)
    counts = round(case.judged.applied / on.resolution)
    if name.unit != case.unit or places == case.places or abs(counts) < 10:
        return None
    if (not case.judged.accepted.low * case.on.resolution <= counts * on.resolution
        <= case.judged.accepted.high * case.on.resolution):
        return None  # a reading that isn't between the limits would be two mistakes
    shown = exact_text.amount(counts * on.resolution, name.unit, places)
    return PractisedLine(case=case, accepted=case.judged.accepted, reading=shown, ticked=True,
                         code="display",
                         why=f"{shown} has the digits of the {exact_text.quantity(name)} range, "
                             "whose limits are others.")


def _exercise(lines: list[PractisedLine], faulty_place: int) -> Exercise:
    choices = []
    for n, line in enumerate(lines):
        case = line.case
        sound = ("" if n == faulty_place else
                 f"This line is correct: {case.band(line.accepted.low, line.accepted.high)} are "
                 f"its limits, and {line.reading} is {'within' if line.ticked else 'not within'}.")
        cells = (case.applied, case.range_name,
                 row_text(case.view, case.on, case.judged.row).split(": ")[-1],
                 exact_text.amount(case.on.resolution, case.unit),
                 case.bare(line.accepted.low), case.reading(line.accepted.high), line.reading,
                 "yes" if line.ticked else "no")
        choices.append(Choice(text=f"Line {n + 1}", mistake="" if n == faulty_place else "sound",
                              why=sound, work=case.worked() if sound else (), cells=cells,
                              what=line))
    bad = lines[faulty_place]
    return Exercise(kind="sheet", given=(bad.case.function(), *bad.case.percent()),
                    ask="One line holds a mistake: which?",
                    choices=tuple(choices),
                    reasons=(bad.why, *bad.case.worked()),
                    live=any(line.case.live for line in lines), head=HEAD,
                    case=lines)
