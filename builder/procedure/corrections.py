"""A certificate's corrections at a planned point: which of its values hold there, and their lines
of the budget."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from builder.compute.exact.corrections import around, on_a_line
from builder.compute.exact.tolerance import ZERO
from builder.compute.statistics import budget
from builder.compute.statistics.budget import Component
from builder.formats.accuracy import AccuracyText
from builder.formats.corrections import CertifiedPoint, Corrections
from builder.formats.stated import Stated
from builder.numbers import exact_text
from builder.numbers.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected:
    """What a certificate adds at one setting, by one of its values or by the two around it; in the
    unit without prefix."""

    corrections: Corrections
    points: tuple[CertifiedPoint, ...]
    adds: Fraction
    elsewhere: Fraction = ZERO      # how far it may be from that at all that a meter may read

    @property
    def applied(self) -> Fraction:
        """What the expected value moves by."""
        return self.adds if self.corrections.use == "applied" else ZERO


def _at_frequency(corrections: Corrections,
                  hertz: Fraction | None) -> dict[Fraction, CertifiedPoint]:
    """By value; at 0 Hz, a steady value of an AC+DC function, those without a frequency."""
    return {one.at.value: one for one in corrections.values
            if (one.frequency.value if one.frequency else None) == (hertz or None)}


def corrected(corrections: Corrections | None, *, setting: Fraction, hertz: Fraction | None,
              step: Fraction, times: int = 1) -> Corrected | None:
    """None where the certificate says nothing of this setting. Between two of its values the
    correction is one of whole `step`s, so that limits stay finite decimals."""
    if corrections is None:
        return None
    known = _at_frequency(corrections, hertz)
    ends = around(points=list(known), value=setting)
    points = tuple(known[one] for one in ends)
    if not points or (len(points) > 1 and corrections.between is None):
        return None
    adds = points[0].added(times)
    if len(points) > 1:
        low, high = ((one.at.value, one.added(times)) for one in points)
        adds = round(on_a_line(low=low, high=high, value=setting) / step) * step
    return Corrected(corrections=corrections, points=points, adds=adds)


def corrected_about(corrections: Corrections | None, *, low: Fraction, high: Fraction,
                    hertz: Fraction | None) -> Corrected | None:
    """The largest correction of all that a reference meter may read, or a source be set to, from
    `low` to `high`, on the straight lines between the values of its certificate, which must reach
    over both."""
    if corrections is None or corrections.between is None:
        return None
    known = _at_frequency(corrections, hertz)
    below, above = (around(points=list(known), value=end) for end in (low, high))
    if not below or not above:
        return None
    points = tuple(known[one] for one in sorted(known) if below[0] <= one <= above[-1])
    added = [(one.at.value, one.added()) for one in points]
    there = [adds for at, adds in added if low <= at <= high]    # a line is farthest at its ends
    there += [on_a_line(low=added[i], high=added[j], value=end) for i, j, end in (
        (0, 1, low), (-2, -1, high)) if end not in known]
    return Corrected(corrections=corrections, points=points, adds=max(there, key=abs))


def not_applied(there: Corrected | None) -> Corrected | None:
    """The same as a component of the budget: what is set changes with the junction, so no one
    expected value could move by it."""
    return there and replace(there, corrections=there.corrections.model_copy(
        update={"use": "stated"}))


def one_for_all(there: Corrected, *, planned: Fraction, low: Fraction, high: Fraction,
                step: Fraction) -> Corrected:
    """What is applied to all that a reference meter may read from `low` to `high`: the correction
    at the planned value, in whole `step`s of its display, and the most that any other may be from
    that. Lines bend only at certified values, so the most is at one or at an end."""
    known = {one.at.value: one.added() for one in there.points}

    def at(value: Fraction) -> Fraction:
        ends = around(points=list(known), value=value)
        return (known[value] if len(ends) == 1 else
                on_a_line(low=(ends[0], known[ends[0]]), high=(ends[1], known[ends[1]]),
                          value=value))

    adds = round(at(planned) / step) * step
    bends = [low, high, *(one for one in known if low < one < high)]
    return replace(there, adds=adds, elsewhere=max(abs(at(one) - adds) for one in bends))


def lines_of(there: Corrected, *, name: str, stated: Stated, dimension: str, unit: Unit,
             otherwise: AccuracyText | None, sensitivity: float = 1.0,
             times: int = 1) -> list[Component]:
    """The certificate's uncertainty at its value, or the larger one of two; the drift since, which
    is `otherwise` that of the row; the place between two values; and the correction itself where
    it isn't applied (GUM F.2.4.5)."""
    def size(text: AccuracyText, at: Fraction) -> float:
        terms = text.of(dimension, unit)
        return float(abs(at) * times * terms.percent_of_reading / 100 + terms.fixed)

    def of_point(point: CertifiedPoint) -> list[Component]:
        how = point.stated or stated
        made = {"value": size(point.within, point.at.value), "sensitivity": sensitivity}
        where = exact_text.quantity(point.at) + (
            f", {exact_text.quantity(point.frequency)}" if point.frequency else "")
        title = f"{name}, its certificate at {where}"
        lines = [budget.rectangular(name=title, half_width=made["value"], sensitivity=sensitivity)
                 if how.divisor is None
                 else budget.normal(name=title, divisor=float(how.divisor), degrees=how.degrees,
                                    **made)]
        change = there.corrections.drift_at(point)
        drift = change.within if change else otherwise
        if drift is not None:
            lines.append(budget.rectangular(name=f"{name}, its drift", sensitivity=sensitivity,
                                            half_width=size(drift, point.at.value)))
        return lines

    lines = max(map(of_point, there.points),
                key=lambda lines: sum(line.contribution ** 2 for line in lines))
    if len(there.points) > 1:
        lines.append(budget.rectangular(
            name=f"{name}, between two values of its certificate", sensitivity=sensitivity,
            half_width=max(size(there.corrections.between_within, one.at.value)
                           for one in there.points)))
    if there.elsewhere:
        lines.append(budget.rectangular(
            name=f"{name}, its correction, one for all that it may read",
            half_width=float(there.elsewhere), sensitivity=sensitivity))
    if there.corrections.use == "stated" and there.adds:
        lines.append(budget.rectangular(name=f"{name}, its correction, not applied",
                                        half_width=float(abs(there.adds)),
                                        sensitivity=sensitivity))
    return lines
