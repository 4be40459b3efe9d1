"""Why these standards can't test what is left of a meter, in few words, as a plan gives it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from builder.compute.exact.accuracy_table import RangeTable
from builder.first_plan.reach import Standards, only_parts, outputs
from builder.first_plan.trying import Key, Trial, as_typed, typed_value
from builder.formats.fields import Span
from builder.numbers import exact_text
from builder.numbers.units import in_one_scale
from builder.procedure.meter_function import MeterFunction
from builder.procedure.standard_rows import within

_LONGEST = 390   # characters of a reason
TYPICAL = "the data sheet has a typical figure alone here, which gives no limit"


def left_out(view: MeterFunction, tested: set[Key], reasons: dict[Key, str]) -> Iterator[dict]:
    """Entries for all of a function that no point tests: the function, a range or a row each,
    whichever says it in the fewest."""
    missing = {on: [row for row in on.rows if (view.title, on, row) not in tested]
               for on in view.table.ranges}
    because = {row: _because(view, reasons.get((view.title, on, row)))
               for on, rows in missing.items() for row in rows}
    if len(because) == sum(len(on.rows) for on in missing) and len(set(because.values())) == 1:
        yield {"function": view.title, "because": next(iter(because.values()))}
        return
    for on, rows in missing.items():
        if rows and len(rows) == len(on.rows) and len({because[row] for row in rows}) == 1:
            rows = rows[:1]
            spans = {rows[0]: {}}
        else:
            given = dict(zip(on.rows, view.model_of[on].accuracy, strict=True))
            spans = {row: {key: str(span) for key in ("frequency", "values")
                           if (span := getattr(given[row], key))} for row in rows}
        for n, row in enumerate(rows):
            # rows that overlap may be called the same
            if spans[row] not in [spans[other] for other in rows[:n]]:
                yield {"function": view.title, "range": as_typed(view.names[on]), **spans[row],
                       "because": because[row]}


def above(view: MeterFunction, on: RangeTable, applied: Fraction, because: str) -> dict:
    """An entry for what is above the farthest point of a range."""
    end = as_typed(view.names[on])
    return {"function": view.title, "range": end,
            "values": f"{typed_value(view, on, abs(applied))} to {end}",
            "because": _because(view, because)}


def _because(view: MeterFunction, reason: str | None) -> str:
    text = _plain(view.kind.not_planned or reason
                  or "no point was found that could be told from others")
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "…"


def against(view: MeterFunction, standards: Standards, trial: Trial,
            hertz: Fraction | None) -> str:
    """What the planner has against the most wanted value of a trial; "" for nothing."""
    problem = min((p for p in trial.problems if p.place.column == 0),
                  key=lambda p: p.place.line, default=None)
    if problem is None:
        return ""
    if problem.code in ("beyond-reach", "beyond-coil"):
        return reached(view, standards, hertz) or _plain(problem.sentence)
    if problem.code == "no-coil":
        return "a clamp-on meter is checked with a coil, and there is none here"
    if problem.code == "no-output":
        what = "DC voltage" if view.kind.dimension == "[temperature]" else view.kind.name
        return f"no standard here puts out {what}" + (
            ", for a thermocouple input" if what != view.kind.name else "")
    return _plain(problem.sentence)


def without_values(view: MeterFunction, standards: Standards, signals: list[dict]) -> str:
    """Why there was nothing to try on a row, with these signals for its function."""
    if not signals:
        levels = dict.fromkeys(str(row.level) for row in outputs(view, standards) if row.level)
        least = view.given.sensitivity
        return f"no signal of these standards suits this input: {', '.join(levels)}" + (
            f"; it counts from {exact_text.quantity(least)}" if least else "")
    if only_parts(view, standards):
        return reached(view, standards, None)
    return "the range shows no value inside this row"


def reached(view: MeterFunction, standards: Standards, hertz: Fraction | None) -> str:
    """'Fulmar reaches 0 to 2 A', each standard that has anything to do with the function."""
    what = view.kind.name
    if view.kind.dimension == "[temperature]" and not outputs(view, standards):
        what = "DC voltage"
    parts = []
    for standard in standards:
        for output in standard.outputs:
            if output.what == what and output.wave == "sine":
                spans = [row.values for row in output.rows if hertz is None
                         or row.frequency is None or within(row.frequency, hertz)]
                rate = (f" at {exact_text.frequency(hertz)}"
                        if hertz is not None and view.kind.needs_frequency else "")
                if not spans:
                    spans, rate = [row.frequency for row in output.rows], ""
                parts.append(f"{standard.name} reaches {_over(spans)}{rate}")
        for artifact in standard.artifacts:
            if artifact.what == what:
                values = sorted((v.nominal for v in artifact.values), key=lambda q: q.value)
                parts.append(f"{standard.name} has {exact_text.quantity(values[0])} to "
                             f"{exact_text.quantity(values[-1])}")
        if standard.coil and view.given.clamp:
            coil = standard.coil
            parts.append(f"{standard.name} makes {coil.turns} times that, up to "
                         f"{exact_text.quantity(coil.highest)} in its wire"
                         + (f" at {coil.frequency}" if coil.frequency and hertz is not None
                            else ""))
    return _plain("; ".join(dict.fromkeys(parts)))


def _plain(text: str) -> str:
    """For a file: plain spaces, units as they are typed."""
    return " ".join(text.split())


def _over(spans: Sequence[Span]) -> str:
    """From the lowest to the highest of several spans: '0 to 2 A', '10 uA to 2 A'."""
    low = min((s.low for s in spans), key=in_one_scale)
    high = max((s.high for s in spans), key=in_one_scale)
    if low.unit == high.unit or low.number == 0 and not low.unit.is_temperature:
        return f"{exact_text.number(low.number)} to {exact_text.quantity(high)}"
    return f"{exact_text.quantity(low)} to {exact_text.quantity(high)}"
