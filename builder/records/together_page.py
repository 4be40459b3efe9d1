"""What many meters moved by together, as its page says it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builder.numbers.exact_text import capital
from builder.numbers.statistics_text import figures, percent
from builder.records.report_lines import quantity
from builder.records.shared_words import part_text, shared_lines
from builder.records.together import FALSE_ALARM, Supplied, Together, TogetherMove, Watched


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    suspect: str
    where: str
    moved: str
    month: str
    beyond: bool            # more than U that the sheets count with
    why: str


@dataclass(frozen=True, slots=True)
class WatchRow:
    standard: str
    function: str
    meters: int
    least: str
    times: str              # that in parts of U


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherPage:
    rows: tuple[MoveRow, ...]
    watched: tuple[WatchRow, ...]
    looked_at: str
    own: tuple[tuple[str, str, tuple[str, ...]], ...]   # of a meter: name, page, what it shares


def page(shop: Together) -> TogetherPage:
    return TogetherPage(
        rows=tuple(_row(one, shop) for one in shop.moved),
        watched=tuple(_watch(one, shop) for one in shop.watched), looked_at=_looked_at(shop),
        own=tuple((f"{history.meter_name}, serial no. {history.serial}", history.id,
                   tuple(shared_lines(shared))) for history, shared in shop.own))


def _named(supplied: Supplied, shop: Together) -> str:
    return " or ".join(shop.names.get(one, one) for one in supplied.standards)


def _row(event: TogetherMove, shop: Together) -> MoveRow:
    most, values = event.found.most, ", ".join(map(quantity, event.said.split(", ")))
    return MoveRow(
        suspect=_named(event.supplied, shop),
        where=f"{capital(event.supplied.function)}, {values or 'all values'}",
        moved=part_text(most.mean), month=_month(most.day),
        beyond=event.least_U is None or abs(most.mean) > event.least_U,
        why=" ".join(_why(event)))


def _month(day: float) -> str:
    return date.fromordinal(int(day)).isoformat()[:7]


def _why(event: TogetherMove) -> Iterator[str]:
    most = event.found.most
    yield (f"{most.meters} meters read before and after it differ by {part_text(most.mean)} of the "
           f"value in the mean, standard uncertainty {part_text(most.u).lstrip('+')}.")
    if event.found.first != event.found.last:
        yield (f"It shows from {_month(event.found.first)} to {_month(event.found.last)}, most at "
               f"{_month(most.day)}.")
    if event.supplied.value is not None:
        yield (f"At that time {event.moved_values} of {event.of_values} values of this function "
               "moved.")
    if len(event.kinds) == 1:
        yield (f"All are of one kind, {event.kinds[0]}: what this kind has in common is possible "
               "too.")
    if event.anew:
        yield (f"{event.anew} of them were read by another certificate than before: compare both "
               "certificates first.")
    if event.least_U is not None:
        size = ("more than" if abs(most.mean) > event.least_U else "within")
        yield f"It is {size} U of the surest of these readings, {part_text(event.least_U)[1:]}."
    yield f"The chance of this by accident: {percent(event.found.chance)}."


def _watch(own: Watched, shop: Together) -> WatchRow:
    times = "" if not own.least_U else f"{figures(own.least / own.least_U)} U"
    return WatchRow(_named(own.supplied, shop), capital(own.supplied.function), own.meters,
                    part_text(own.least).lstrip("+"), times)


def _looked_at(shop: Together) -> str:
    if not shop.looked_at:
        return ("Nothing can be looked at yet: that takes three meters that were read twice at one "
                "value with the same standard.")
    left_out = ("" if not shop.other_standard else
                f" {shop.other_standard} changes between readings by different standards are left "
                "out.")
    return (f"{shop.looked_at} values and functions were looked at in {shop.months} months. Of a "
            f"hundred shops whose standards do not move, {FALSE_ALARM * 100:.0f} at most is told "
            f"that one did.{left_out}")
