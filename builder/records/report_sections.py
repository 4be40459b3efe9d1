"""The sections of a report that say under which conditions it holds: the standards and their
certificates, the ambient, the uncertainty, and where the work departed from the
sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builder.formats.bench import AMBIENT, HUMIDITY
from builder.formats.conditions import END, ONCE, START
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE
from builder.formats.report_data import BENCH, BLANK, NO
from builder.formats.stated import duration
from builder.numbers.exact_text import NARROW
from builder.records import departures
from builder.records.departures import Compared
from builder.records.judged_record import Record, Used
from builder.records.near_zero import OTHERWISE
from builder.records.readings import asked_for
from builder.records.record_statement import RecordStatement
from builder.records.report_lines import named_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportStandard:
    name: str
    number: str
    certificate: str
    issuer: str         # with the accreditation; "" where it isn't recorded
    calibrated: str
    due: str
    overdue: str


# ---------------------------------------------------------------- standards

def standards(record: Record) -> Iterator[ReportStandard]:
    """Each standard as its label said on the day, and whether its certificate still held."""
    for standard in record.standards:
        late = ("no date that could be compared with the day of the work"
                if standard.due_on is None
                else "overdue on the day of the work" if standard.due_on < record.head.date else "")
        yield ReportStandard(
            name=", ".join(filter(None, (standard.name, standard.description))),
            number=standard.number, certificate=standard.certificate,
            issuer=_issued_by(standard), calibrated=standard.calibrated, due=standard.due,
            overdue=late)


def _issued_by(standard: Used) -> str:
    """Who issued a certificate, and by which accreditation."""
    known = standard.accreditation
    return standard.issuer and "; ".join((standard.issuer, (
        "the accreditation is not recorded" if not known else "without accreditation"
        if known.casefold() == "none" else known)))


def traceability(record: Record) -> str:
    """The statement of traceability, less what no certificate that held stands behind."""
    late = [one.name for one in departures.overdue(record)]
    undated = [one.name for one in record.standards if one.due_on is None]
    out = late + undated
    if not out:
        return (
            "The values reported are traceable through these certificates, each of which held on "
            "the day of the work.")
    return (
        "The values reported are traceable through these certificates, except for what was "
        f"compared with {', '.join(out)}: "
        + ("on the day of the work that was overdue." if not undated
           else "that it held on the day of the work can’t be shown."))


# ---------------------------------------------------------------- conditions

def _celsius(text: str) -> str:
    return re.sub(r"(?<=\d) (?=[%°])", NARROW, text.replace("degC", "°C").replace("degF", "°F"))


def conditions(record: Record) -> Iterator[tuple[str, str]]:
    """Name and words of each condition, against the band that the sheet holds for."""
    unit = {"degC": "°C", "degF": "°F"}.get(record.carried.ambient_unit, "")
    yield "Ambient at the meter", _condition(
        departures.ambient(record), record.carried.holds, unit) + _read_with(record, AMBIENT)
    moist = departures.humidity(record)
    if moist or record.carried.humidity:
        yield "Humidity", _condition(
            moist, record.carried.humidity or "", "%") + _read_with(record, HUMIDITY)


def last_adjusted(record: Record) -> str:
    """Where the limits are those of a time since adjustment: whether that had passed; "" where the
    sheet names none."""
    against, day = record.carried.verified_against, record.head.last_adjusted
    if against is None:
        return ""
    criterion = f"the limits are those of {against} since adjustment"
    if not isinstance(day, date):
        return f"{'unknown' if day else 'not recorded'}; {criterion}"
    longer = (record.head.date - day).days > duration(against).days
    return f"{day}; {criterion}{', LONGER AGO' if longer else ''}"


def _read_with(record: Record, what: str) -> str:
    """What a condition was read with, by the sheet."""
    names = [one.name + (f" no.{NARROW}{one.number}" if one.number else "")
             for one in record.standards if what in one.reads]
    return f", read with {' and '.join(names)}" if names else ""


def _condition(read: tuple[Compared, ...], band: str, unit: str) -> str:
    """What was read at each moment, and each that was outside."""
    if not read:
        return "not recorded" + (f"; the sheet holds at {band}" if band else "")
    whole = ", ".join(
        _celsius(one.said + (f"{NARROW}{unit}" if one.said[-1].isdigit() else ""))
        + _moment(one) + (" (OUTSIDE)" if one.inside is False and band else "") for one in read)
    if not band:
        return whole
    inside = all(one.inside for one in read)
    return f"{whole}{', within' if inside else '; the sheet holds at'}"\
        f"{' the sheet’s' if inside else ''} {_celsius(band)}"


_MOMENTS = {START: " at the start", END: " at the end", ONCE: ""}


def _moment(read: Compared) -> str:
    return _MOMENTS.get(read.moment, f" {read.moment}".replace("before", "before group"))


def uncertainty(record: Record) -> Iterator[str]:
    """What U and k of the results are (JCGM 100:2008)."""
    shown = sorted({one.point.uncertainty.probability for one in record.judged
                    if one.point.uncertainty})
    if not shown:
        yield "No uncertainty is stated: the procedure’s data has none."
        return
    yield (
        "U = k·u is the expanded uncertainty of one comparison with the standard, the meter’s own "
        f"resolution included, at {' and '.join(shown)}; k is that of each point’s own shape "
        "(near 2.00 where normal shapes rule, less where a rectangle does; JCGM 100:2008). The "
        "error is what was read less what stood at the input.")
    if any(one.verdict and one.verdict.sure for one in record.judged):
        yield (
            "Where readings were repeated, their mean is judged, and the spread of the mean is "
            "added to u (Type A, n − 1 degrees of freedom); ν is the effective number, and k grows "
            "where it is small.")
        if record.carried.decision_rule != SIMPLE_ACCEPTANCE:
            yield (
                "A guard band that rests on U grows with it there; the printed limits are those "
                "without.")


# ---------------------------------------------------------------- departures from the sheet

def _departing(name: str, read: tuple[Compared, ...], band: str) -> Iterator[str]:
    band = _celsius(band)
    if not read:
        yield f"{name} was not recorded; the limits hold at {band}."
    for moment in read:
        when = name + _moment(moment)
        if moment.inside is False:
            yield f"{when}, {_celsius(moment.said)}, was outside {band}, for which the limits hold."
        elif moment.inside is None:
            yield (f"{when} was written as “{moment.said}”, which could not be compared; the "
                   f"limits hold at {band}.")
    if read and {one.moment for one in read} == {ONCE} and not departures.is_span(read[0].said):
        yield f"{name} was recorded once only."


def who_did_what(record: Record) -> str:
    """Which groups whose initials stand at, where two people shared the record; "" for one. In the
    order of the sheet; the same initials in another case are the same person's."""
    initials = record.entries.initials
    by: dict[str, list[str]] = {}
    for group in record.carried.groups:
        if who := initials.get(group.group):
            by.setdefault(who.casefold(), []).append(group.group)
    if len(by) < 2:
        return ""
    return "; ".join(f"{initials[groups[0]]}: group{'s' * (len(groups) > 1)} {', '.join(groups)}"
                     for groups in by.values())


def past_what_stops(record: Record) -> Iterator[str]:
    """What should have stopped the work or opened a hold without being seen. A report says it
    first."""
    for group, steps in departures.passed_holds(record):
        yield (f"The work went on past the hold before group {group.group} ({group.title}): "
               f"{named_steps(steps)} {'was' if len(steps) == 1 else 'were'} not answered with "
               "yes.")
    for check, answer in departures.stopping_noes(record):
        of_bench = "of the bench, " if check.of == BENCH else ""
        said = ", then ".join(one.said or "blank" for one in answer.all)
        yield (f"Step {check.step}, {check.check}, {of_bench}stops everything, and the answer was "
               f"{said}.")
    for check, answer in departures.not_here(record):
        yield f"Not on this meter, says {answer.by}: step {check.step}, {check.check}."


def worked_on(record: Record) -> Iterator[str]:
    """Work on the meter in the midst of the record. A report says it first."""
    for step, done in record.head.worked_on.items():
        when = "after the last reading" if step == END else f"at step {step}"
        yield (f"The meter was worked on {when}: "
               f"{done.rstrip('.') or 'what was done is not recorded'}.")


def closed_in_another_way(record: Record) -> Iterator[str]:
    """Of each live group that no reading near zero closed: how it ended. A report says it first."""
    for left in departures.not_seen_closed(record):
        name = f"Live group {left.group.group} ({left.group.title})"
        if left.ending.ended == OTHERWISE and left.closing:
            yield (f"{name} was closed otherwise, by {left.closing.by}: "
                   f"{left.closing.otherwise.rstrip('.')}.")
            continue
        read = left.closing.near_zero if left.closing else ""
        yield f"{name} was not seen closed: " + {
            "unknown": "the record does not say how.", "said": "not by all of its steps.",
            "unseen": f"the reading before “{read}” was not within 10 % of the value applied.",
        }.get(left.ending.because, f"“{read}” is not near zero.")


def deviations(record: Record, stated: RecordStatement) -> Iterator[str]:
    """Where the work departed from the sheet, one sentence each."""
    head = record.head
    if head.state is None:
        yield "The state, as found or as left, was not recorded."
    for name, read, band in (
            ("The ambient temperature", departures.ambient(record), record.carried.holds),
            ("The humidity", departures.humidity(record), record.carried.humidity)):
        if band:
            yield from _departing(name, read, band)
    for standard in departures.overdue(record):
        yield (f"{standard.name} was past its due date, {standard.due}, on the day of the work, "
               f"{head.date}.")
    if later := [one.point.step for one in record.judged if one.after_work]:
        yield f"Read after the work on the meter, and not judged as found: {named_steps(later)}."
    if later := [one.step for one in record.carried.checks
                 if record.answer_after_work(one.step) != BLANK]:
        yield f"Answered after the work on the meter: {named_steps(later)}."
    skipped = [one.point.step for one in record.judged if not one.outcome and not one.after_work]
    if skipped:
        yield f"Not done: {named_steps(skipped)}."
    for check in record.carried.checks:
        answer = record.answer(check.step)
        if wrong := next((one for one in (answer.all if answer else ()) if one.outside), None):
            yield (f"Step {check.step}, {check.check}, was ticked good; it asks for "
                   f"{asked_for(check)}, and {wrong.write} was written down: that is a no.")
    for found, words in ((BLANK, "not done"), (NO, "not good")):
        if steps := [one.step for one in stated.checks if one.answer == found
                     and one.step not in stated.after_work]:
            yield f"Checks {words}: {named_steps(steps)}."
    yield from past_what_stops(record)
    yield from closed_in_another_way(record)
    for closing in record.entries.closings.values():
        yield from closing.other_bench
    twice = [one.point.step for one in record.judged if len(one.tries) > 1]
    if twice:
        yield f"Tried twice, both readings given: {named_steps(twice)}."
