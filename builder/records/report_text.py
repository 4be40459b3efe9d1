"""A record → its report: texts for a page that stands by itself. What is judged, is judged
elsewhere; here it is said."""

from __future__ import annotations

import re
from dataclasses import dataclass

from builder.drawing.record_results import ResultPoint, record_picture
from builder.formats.sheet_data import LeftOutData, SheetData
from builder.formats.workshop import Workshop
from builder.numbers import exact_text
from builder.numbers.exact_text import NARROW, minus
from builder.records import departures, meter_outcome
from builder.records.departures import Compared
from builder.records.judged_record import JudgedReading, Record, judge
from builder.records.meter_outcome import FunctionOutcome, MeterOutcome
from builder.records.report_lines import (OUTCOMES, ReportLine, exact_or_rounded, line_of, quantity,
                                          tolerance_of)
from builder.records.typed import shown_unit


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportChecks:
    step: str
    check: str
    good: str
    said: str       # what was written down, with its unit
    note: str
    before: str     # as found


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFunction:
    name: str
    state: str
    fails: bool
    ranges: str
    count: str
    steps: str      # that failed, were skipped, or can't be decided
    lines: tuple[ReportLine, ...]


@dataclass(frozen=True, slots=True)
class ReportStandard:
    name: str
    number: str
    certificate: str
    due: str
    overdue: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    record: Record
    title: str
    workshop: Workshop | None
    meter: str
    state: str
    method: str
    verdict: str
    verdict_words: tuple[str, ...]
    tag: tuple[tuple[str, str], ...]
    functions: tuple[ReportFunction, ...]
    checks: tuple[ReportChecks, ...]
    standards: tuple[ReportStandard, ...]
    traceability: str
    conditions: tuple[tuple[str, str], ...]
    rule: tuple[str, ...]
    uncertainty: tuple[str, ...]
    deviations: tuple[str, ...]
    left_out: tuple[str, ...]
    notices: tuple[str, ...]
    between: tuple[str, ...]
    found: str              # the report of the state as found, that is given here beside
    left: str               # the report of the state as left, that followed
    interval: str
    today: tuple[str, ...]  # apart from the report: what today's file says
    picture: str            # SVG: the error at every point that has a tolerance

    @property
    def id(self) -> str:
        return self.record.id


# ---------------------------------------------------------------- the report

def report(record: Record, *, workshop: Workshop | None, current: SheetData | None,
           found: Record | None, left: Record | None) -> Report:
    """`current` is the data of today's procedure; `found` and `left` belong to the record."""
    as_found, as_left = found, left
    known, head = record.carried, record.head
    whole = meter_outcome.meter_outcome(record)
    before = {one.point.id: one for one in as_found.judged} if as_found else {}
    functions = tuple(_function(one,
                                [line_of(j, before.get(j.point.id)) for j in record.judged
                                 if j.point.function == one.function]) for one in whole.functions)
    state = head.state or "state not recorded"
    return Report(
        record=record, title="Report of verification", workshop=workshop,
        meter=known.meter_name + (f", {known.maker}" if known.maker else ""), state=state,
        method=f"{known.title}, procedure {known.procedure}, revision {known.revision}",
        verdict=VERDICTS[whole.state], verdict_words=tuple(_verdict_words(whole)),
        tag=_tag(whole, as_left), functions=functions,
        checks=tuple(_checks(record, as_found)),
        standards=tuple(_standards(record)), traceability=_traceability(record),
        conditions=tuple(_conditions(record)),
        rule=tuple(_rule(known)), uncertainty=tuple(_uncertainty(record)),
        deviations=tuple(_deviations(record, whole)),
        left_out=tuple(_left_out(one) for one in known.left_out),
        notices=tuple(_notices(record)), between=tuple(_between(record, as_found, as_left)),
        found=as_found.id if as_found else "", left=as_left.id if as_left else "",
        interval=known.interval_agreed or "", today=tuple(_today(record, current)),
        picture=_picture(record, before))


def _left_out(entry: LeftOutData) -> str:
    what = filter(None, (exact_text.capital(entry.function), entry.range, entry.row))
    return f"{', '.join(what)}: {entry.because}"


VERDICTS = {
    "passes": "All points are within the limits.",
    "passes conditionally": "No point is outside its tolerance; some pass only conditionally.",
    "limited": "Not all is within the limits: the meter is limited to the functions that passed.",
    "fails": "Not within the limits: no function passed whole.",
    "not completed": "Not completed: no verdict on the meter as a whole.",
    "not decided": "Not decided at every point: see below.",
}


def _picture(record: Record, before: dict[str, JudgedReading]) -> str:
    shown, is_left = [], record.head.state == "as left"
    for name in dict.fromkeys(one.point.function for one in record.judged):
        for reading in record.judged:
            earlier = before.get(reading.point.id)
            here, there = reading.percent, earlier.percent if earlier else None
            if reading.point.function != name or (here is None and there is None):
                continue
            sure = reading.expanded if reading.verdict else earlier.expanded
            shown.append(ResultPoint(exact_text.capital(name), reading.point.step,
                                     there if is_left else here, here if is_left else None, sure))
    return record_picture(shown)


def _named(functions, ranges: bool = True) -> str:
    return "; ".join(one.function + (f" ({', '.join(map(quantity, one.ranges))})"
                                     if ranges and one.ranges else "") for one in functions)


def _verdict_words(whole: MeterOutcome):
    by = {state: [one for one in whole.functions if one.state == state]
          for state in (meter_outcome.FAILS, meter_outcome.CONDITIONALLY_FAILS,
                        meter_outcome.NOT_DONE, meter_outcome.UNDECIDED,
                        meter_outcome.CONDITIONALLY)}
    for outcome in by[meter_outcome.FAILS]:
        yield f"{exact_text.capital(outcome.function)} fails: {_steps(outcome.failed)}."
    for outcome in by[meter_outcome.CONDITIONALLY_FAILS]:
        yield (
            f"{exact_text.capital(outcome.function)} fails conditionally: "
            f"{_steps(outcome.failed)} read beyond the tolerance, by less than the guard "
            "band; the reading doesn’t show it for certain.")
    for outcome in by[meter_outcome.CONDITIONALLY]:
        yield (
            f"{exact_text.capital(outcome.function)} passes conditionally: "
            f"{_steps(outcome.conditional)} read within the tolerance, by less than the guard "
            "band; the reading doesn’t show it for certain.")
    for outcome in by[meter_outcome.UNDECIDED]:
        yield (
            f"{exact_text.capital(outcome.function)} is not decided: "
            f"{_steps(outcome.undecided)} can’t be verified with this standard under this rule.")
    for outcome in by[meter_outcome.NOT_DONE]:
        yield (
            f"{exact_text.capital(outcome.function)} was not completed: "
            f"{_steps(outcome.skipped)} {'was' if len(outcome.skipped) == 1 else 'were'} not done.")
    if whole.bad_checks:
        yield "Checks not good: " + "; ".join(f"{one.check} (step {one.step})"
                                              for one in whole.bad_checks) + "."
    if whole.undone_checks:
        yield "Checks not done: " + "; ".join(f"{one.check} (step {one.step})"
                                              for one in whole.undone_checks) + "."


def _steps(steps) -> str:
    return f"step{'' if len(steps) == 1 else 's'} {', '.join(steps)}"


def _tag(whole: MeterOutcome, as_left: Record | None) -> tuple[tuple[str, str], ...]:
    """What the meter may be used for, where not for everything; none where the state as left came
    after."""
    if whole.state not in ("limited", "fails") or as_left is not None:
        return ()
    bad = [one for one in whole.bad_checks if not one.covers]
    usable = _named(whole.usable) or "nothing"
    rows = [("May be used for",
             usable + (", once the checks below are good" if bad and whole.usable else ""))]
    if out := [one for one in whole.functions
               if one.state in (meter_outcome.FAILS, meter_outcome.CONDITIONALLY_FAILS)]:
        rows.append(("Not for", _named(out, ranges=False)))
    if open_ := [one for one in whole.functions
                 if one.state in (meter_outcome.NOT_DONE, meter_outcome.UNDECIDED)]:
        rows.append(("Not shown", _named(open_, ranges=False)))
    if bad:
        rows.append(("Checks not good", "; ".join(one.check for one in bad)))
    return tuple(rows)


def _function(outcome: FunctionOutcome, lines: list[ReportLine]) -> ReportFunction:
    listed = {"failed": outcome.failed, "conditional": outcome.conditional,
              "not decided": outcome.undecided, "not done": outcome.skipped + outcome.observed}
    steps = "; ".join(f"{word}: {', '.join(those)}" for word, those in listed.items() if those)
    state = outcome.state.upper() if outcome.state == meter_outcome.FAILS else outcome.state
    return ReportFunction(name=outcome.function, state=state,
                          fails=outcome.state in (meter_outcome.FAILS,
                                                  meter_outcome.CONDITIONALLY_FAILS),
                          ranges=", ".join(map(quantity, outcome.ranges)),
                          count=f"{outcome.passed} of {outcome.of}" if outcome.of else "–",
                          steps=steps, lines=tuple(lines))


def _checks(record: Record, as_found: Record | None):
    def good(answer) -> str:
        return ("not done" if answer is None or answer.good is None else "yes" if answer.good
                else "NO")
    for check in record.carried.checks:
        answer = record.answer(check.step)
        written = (f"{check.write}: {answer.write}"
                   + (f"{NARROW}{shown_unit(check.unit)}" if check.unit else "")
                   if answer and answer.write and check.write else answer.write if answer else "")
        earlier = (as_found.answer(check.step) if as_found
                   and as_found.carried.revision == record.carried.revision else None)
        yield ReportChecks(step=check.step, check=check.check, good=good(answer), said=written,
                           note=record.entries.notes.get(check.step, ""),
                           before=good(earlier) if earlier and good(earlier) != good(answer)
                           else "")


def _standards(record: Record):
    for standard in record.standards:
        late = ("no date that could be compared with the day of the work"
                if standard.due_on is None
                else "overdue on the day of the work" if standard.due_on < record.head.date else "")
        yield ReportStandard(", ".join(filter(None, (standard.name, standard.description))),
                             standard.number, standard.certificate, standard.due, late)


def _traceability(record: Record) -> str:
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


def _celsius(text: str) -> str:
    return re.sub(r"(?<=\d) (?=[%°])", NARROW, text.replace("degC", "°C").replace("degF", "°F"))


def _conditions(record: Record):
    def words(what: Compared) -> str:
        unit = ({"degC": "°C", "degF": "°F"}.get(record.carried.ambient_unit, "")
                if what is temperature else "%")
        band = _celsius(what.band)
        recorded = what.said + (f"{NARROW}{unit}" if what.said and what.said[-1].isdigit() else "")
        if not what.said:
            return "not recorded" + (f"; the sheet holds at {what.band}" if what.band else "")
        recorded = _celsius(recorded)
        return recorded + ("" if not what.band else f", within the sheet’s {band}" if what.inside
                           else f", OUTSIDE the sheet’s {band}" if what.inside is False
                           else f"; the sheet holds at {band}")
    temperature = departures.ambient(record)
    yield "Ambient at the meter", words(temperature)
    moist = departures.humidity(record)
    if moist.said or moist.band:
        yield "Humidity", words(moist)


def _rule(known: SheetData):
    yield known.rule_in_words
    if any(one.correction == "subtract" and one.kind != "zero" for one in known.points):
        yield (
            "Two-wire readings are judged less the reading of the leads alone; what the display "
            "showed stands below them.")
    yield (
        "The statement covers the points of this report that have limits, each against the "
        "accuracy of "
        + (known.specification
           or "the meter’s specification") + f", at {known.holds}. It says nothing of other "
        "values, other functions or another day.")
    if known.outcomes == 4:
        yield (
            "Conditional pass: within the tolerance by less than the guard band. Conditional fail: "
            "beyond it by less than the guard band. Tolerance limits stand in brackets beside the "
            "limits.")
    if any(one.is_observation for one in known.points):
        yield "Points without limits are observations: written down, not judged."


def _uncertainty(record: Record):
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
        if not record.carried.decision_rule.startswith("simple"):
            yield (
                "A guard band that rests on U grows with it there; the printed limits are those "
                "without.")


def _deviations(record: Record, whole: MeterOutcome):
    head = record.head
    if head.state is None:
        yield "The state, as found or as left, was not recorded."
    for name, what in (("The ambient temperature", departures.ambient(record)),
                       ("The humidity", departures.humidity(record))):
        if what.band and what.inside is False:
            yield (
                f"{name}, {_celsius(what.said)}, was outside {_celsius(what.band)}, for which the "
                "limits hold.")
        elif what.band and what.inside is None:
            how = (f"was written as “{what.said}”, which could not be compared" if what.said
                   else "was not recorded")
            yield f"{name} {how}; the limits hold at {what.band}."
    for standard in departures.overdue(record):
        yield (f"{standard.name} was past its due date, {standard.due}, on the day of the work, "
               f"{head.date}.")
    skipped = [one.point.step for one in record.judged if not one.outcome]
    if skipped:
        yield f"Not done: {_steps(skipped)}."
    if whole.undone_checks:
        yield f"Checks not done: {_steps([one.step for one in whole.undone_checks])}."
    if whole.bad_checks:
        yield f"Checks not good: {_steps([one.step for one in whole.bad_checks])}."
    for number, title, closed in departures.open_groups(record):
        yield f"Live group {number} ({title}): " + (
            "it was not closed by all of its steps." if closed is False
            else "that it was closed is not recorded.")
    twice = [one.point.step for one in record.judged if len(one.tries) > 1]
    if twice:
        yield f"Tried twice, both readings given: {_steps(twice)}."


def _notices(record: Record):
    for reading in departures.out_of_tolerance(record):
        p, verdict = reading.point, reading.verdict
        beside = ", ".join(quantity(text) for text in (p.frequency, p.level) if text)
        place = (
            f"{exact_text.capital(p.function)}, {quantity(p.range.text)} range (step {p.step}): at "
            f"{quantity(p.apply.text)}{f', {beside},' if beside else ''} it ")
        unit = NARROW + shown_unit(p.unit)
        if verdict.overload:
            yield place + "showed overload."
            continue
        beyond = abs(verdict.error) - verdict.tolerance
        yield (place
               + f"read {exact_or_rounded(verdict.value, p.decimals)}{unit}, "
               f"{exact_or_rounded(abs(verdict.error), p.decimals)}{unit} too "
               f"{'high' if verdict.error > 0 else 'low'}; the tolerance is "
               f"±{tolerance_of(p, verdict)}{unit}, "
               f"so it was out by {exact_or_rounded(beyond, p.decimals)}{unit} more than that.")


def _between(record: Record, as_found: Record | None, as_left: Record | None):
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


def _today(record: Record, current: SheetData | None):
    again = {}
    if current is not None and current.revision != record.carried.revision:
        judged, _ = judge(current, record.entries, record.document)
        again = {one.point.id: one.outcome for one in judged}
    changes = departures.today(record, current, lambda id: again.get(id) or "no verdict")
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
               + (f"; {OUTCOMES[reading.outcome]} then would be "
                  f"{OUTCOMES.get(outcome, outcome)} today" if outcome else "") + ".")
    if changes.gone:
        yield f"Not in today’s file any more: {_steps(changes.gone)}."
    if changes.new:
        yield f"In today’s file, and not in the record: {', '.join(changes.new)}."


def _pretty(text: str) -> str:
    for plain, shown in (("Ohm", "Ω"), ("degC", "°C"), ("degF", "°F"), (" uV", " µV"),
                         (" uA", " µA"), (" uF", " µF"), (" -", " −")):
        text = text.replace(plain, shown)
    return minus(text)
