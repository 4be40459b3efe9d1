"""What a report says of other states than its own: how far the meter was out when it came, what was
done between the states as found and as left, and what today's file would say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from builder.formats.sheet_data import SheetData
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW, minus
from builder.records import departures
from builder.records.ground import Ground
from builder.records.judged_record import JudgedReading, Record, judge
from builder.records.report_lines import exact_or_rounded, named_steps, quantity, tolerance_of
from builder.records.state_words import OUTCOMES
from builder.records.typed import shown_unit

NO_VERDICT = "none"     # of today's limits on what was read then
_TODAY = OUTCOMES | {NO_VERDICT: "no verdict"}

# ---------------------------------------------------------------- as found and as left

def notices(record: Record, earlier: Sequence[Record] = ()) -> Iterator[str]:
    """Each point at which the meter was out of tolerance when it came, by how much, and when it was
    last known to be good there: `earlier` are records of the same meter, the latest first."""
    for reading in departures.out_of_tolerance(record):
        p, verdict = reading.point, reading.verdict
        beside = ", ".join(quantity(text) for text in (p.frequency, p.level) if text)
        place = (
            f"{exact_text.capital(p.function)}, {quantity(p.range.text)} range (step {p.step}): at "
            f"{quantity(p.apply.text)}{f', {beside},' if beside else ''} it ")
        unit = NARROW + shown_unit(p.unit)
        good = _last_good(reading, earlier)
        if verdict.overload:
            yield place + f"showed overload.{good}"
            continue
        beyond = abs(verdict.error) - verdict.tolerance
        yield (place
               + f"read {exact_or_rounded(verdict.value, p.decimals)}{unit}, "
               f"{exact_or_rounded(abs(verdict.error), p.decimals)}{unit} too "
               f"{'high' if verdict.error > 0 else 'low'}; the tolerance is "
               f"{'±' if verdict.sides.is_even else ''}{tolerance_of(p, verdict)}{unit}, "
               f"so it was out by {exact_or_rounded(beyond, p.decimals)}{unit} more than that."
               f"{good}")


def never_known_good(record: Record, earlier: Sequence[Record]) -> str:
    """Which of these points no earlier record shows good."""
    steps = [one.point.step for one in departures.out_of_tolerance(record)
             if not _last_good(one, earlier)]
    return (f"No report from before is here that shows it good at {named_steps(steps)}."
            if steps else "")


def _last_good(reading: JudgedReading, earlier: Sequence[Record]) -> str:
    """The last day on which a reading with ground was within its tolerance at the same point."""
    for record in earlier:
        then = next((one for one in record.judged if one.point.id == reading.point.id), None)
        verdict = then and then.verdict
        if verdict and verdict.error is not None and not verdict.beyond and not Ground(
                record).without(then):
            unit, percent = NARROW + shown_unit(then.point.unit), then.percent
            beside = f", {minus(f'{percent:.0f}')}{NARROW}% of the tolerance" if percent else ""
            return (f" Last known to be good there on {record.head.date}, report {record.id}: the "
                    f"error was {minus(exact_or_rounded(verdict.error, then.point.decimals))}{unit}"
                    f"{beside}.")
    return ""


def between(record: Record, as_found: Record | None, as_left: Record | None) -> Iterator[str]:
    """Which reports the states as found and as left are, and what was done between them."""
    head = record.head
    if as_found is not None:
        yield (
            f"The state as found is report {as_found.id}, of {as_found.head.date}; its readings "
            "stand below those as left.")
        if as_found.carried.revision != record.carried.revision:
            yield (
                f"It was judged by revision {as_found.carried.revision}, this one by "
                f"{record.carried.revision}.")
    elif head.state == "as left":
        yield "There is no record of the state as found."
    if head.state == "as left":
        yield (f"Between the two: {head.adjusted}" if head.adjusted
               else "What was adjusted, replaced or cleaned between is not recorded.")
    if as_left is not None:
        yield f"The state as left is report {as_left.id}, of {as_left.head.date}." + (
            f" Between the two: {as_left.head.adjusted}" if as_left.head.adjusted else "")


# ---------------------------------------------------------------- today

def today(record: Record, current: SheetData | None) -> Iterator[str]:
    """How the procedure of today differs from the one that the record is judged by; `current` is
    its data, None where there is no such procedure any more."""
    again = {}
    if current is not None and current.revision != record.carried.revision:
        judged, _ = judge(current, record.entries, record.document)
        stood = {one.point.id: one.as_found for one in record.judged}
        again = {one.point.id: replace(one, as_found=stood.get(one.point.id)).outcome
                 for one in judged}
    changes = departures.today(record, current, lambda id: again.get(id) or NO_VERDICT)
    if changes is None:
        if current is None:
            yield (
                f"There is no procedure {record.head.procedure} among today’s files. The report "
                "stands on what the record carries.")
        return
    yield (
        f"Today’s file has revision {changes.revision}, and the record was judged by "
        f"{record.carried.revision}, whose limits it carries.")
    if changes.says_the_same:
        yield "Points and limits are the same in both."
    for reading, then, now, outcome in changes.other_limits:
        yield (f"Step {reading.point.step}: {_pretty(then)} then, {_pretty(now)} today"
               + (f"; {OUTCOMES[reading.outcome]} then would be {_TODAY[outcome]} today" if outcome
                  else "") + ".")
    if changes.gone:
        yield f"Not in today’s file any more: {named_steps(changes.gone)}."
    if changes.new:
        yield f"In today’s file, and not in the record: {', '.join(changes.new)}."


def _pretty(text: str) -> str:
    """Limits of the data as a reader expects them."""
    for plain, shown in (("Ohm", "Ω"), ("degC", "°C"), ("degF", "°F"), (" uV", " µV"),
                         (" uA", " µA"), (" uF", " µF"), (" -", " −")):
        text = text.replace(plain, shown)
    return minus(text)
