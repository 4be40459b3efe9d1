"""What the bench's leads add to a two-wire reading: at most, by what the plan says of them; or as
they are known from another instrument, a reference meter that read them or a certificate of their
own: then they move the limits, and nothing is taken off a reading."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from builder.compute.exact.leads import highest_resistance
from builder.compute.exact.points import Refused
from builder.compute.exact.tolerance import ZERO
from builder.formats.bench import Leads
from builder.formats.functions import APART
from builder.formats.plan import Plan, PointSet
from builder.formats.standard import Artifact, CertifiedValue, Measure, MeasureRow, Standard
from builder.numbers import exact_text
from builder.numbers.statistics_text import figures
from builder.procedure.meter_function import MeterFunction
from builder.procedure.standard_rows import covering
from builder.procedure.supply import LEADS, REFERENCE, Supply

if TYPE_CHECKING:  # which are planned by what is here
    from builder.procedure.planned_points import PlannedPoint


def ohms_of(leads: Leads | None, celsius: Fraction) -> Fraction | None:
    """The resistance of two leads, at most; None where the plan doesn't describe them."""
    return leads and highest_resistance(metres=leads.length.value, size=leads.conductor,
                                        contacts=leads.contacts.value, celsius=celsius)


def added_by(leads: Leads | None, function: MeterFunction, celsius: Fraction) -> Fraction:
    """What two leads add to a reading of a function, at most. Raises `Refused`."""
    if leads is None:
        raise Refused("no-leads")
    if function.kind.goes_by_method:    # a capacitance or an inductance
        most, repeats = leads.added_to(function.kind.dimension)
        if most is None or repeats is None:
            raise Refused("no-stray" if function.kind.zero_with == APART else "no-loop")
        return most.value
    return ohms_of(leads, celsius)


@dataclass(frozen=True, eq=False, kw_only=True)
class KnownLeads:
    """`value` in ohms, of both leads with their contacts; by which line of which standard."""

    value: Fraction
    standard: Standard
    output: Artifact | Measure
    row: CertifiedValue | MeasureRow

    @property
    def shown(self) -> str:
        return f"{exact_text.number(self.value * 1000)}{exact_text.NARROW}mΩ"

    def are_for(self, function: MeterFunction) -> bool:
        """Where an accuracy holds after zeroing, the reading of the leads is taken off instead: the
        meter's own error at zero goes with it, as its data sheet wants it to."""
        return is_for(function.given)

    def together(self) -> Supply:
        """Nothing but the leads at the meter's jacks, which is its point of zero."""
        return Supply(method=LEADS, standard=self.standard, output=self.output, rows=(self.row,),
                      expected=self.value, sets=self.value, known=self)

    def moved(self, given: PointSet, supply: Supply, applied: Fraction) -> Supply:
        """With the leads in what stands at the input. Raises `Refused`."""
        if supply.method == LEADS:
            return supply
        if given.zero == "relative":
            raise Refused("known-relative")
        if supply.method == REFERENCE:
            raise Refused("known-compared")
        if supply.output.zero == "its zero setting":
            raise Refused("known-zero-setting", standards=supply.standard.name)
        there = applied if supply.expected is None else supply.expected
        return replace(supply, expected=there + self.value, known=self)


def is_for(given) -> bool:
    """Whether a meter's function reads leads with what is connected by them, and its accuracy is
    not one after zeroing."""
    return given.kind.dimension == "[resistance]" and bool(
        given.kind.zero_with) and not given.after_zeroing


def known_leads(plan: Plan, standards: Sequence[Standard]) -> KnownLeads | None:
    """Those of a plan whose rules hold; None where it knows none."""
    given = plan.leads.known if plan.leads else None
    by = next((one for one in standards if given and one.standard == given.standard), None)
    return line_of(by, given.value and given.value.value) if by else None


def line_of(standard: Standard, value: Fraction | None) -> KnownLeads | None:
    """The line of a standard that the leads are known by: the only value of an artifact, or what a
    reference meter reads at `value`; None where it has none."""
    if standard.kind == "artifact":
        those = [(one, row) for one in standard.artifacts for row in one.values
                 if one.what == "resistance"]
        return (KnownLeads(value=those[0][1].certified.value, standard=standard, output=those[0][0],
                           row=those[0][1]) if len(those) == 1 else None)
    return next((KnownLeads(value=value, standard=standard, output=one, row=row)
                 for one in standard.measures if one.what == "resistance" and value is not None
                 for row in covering(one.rows, value, None, None)), None)


def warmed(leads: Leads, celsius: tuple[Fraction, Fraction]) -> Fraction:
    """How far their copper may be another than when they were read, over all temperatures of a
    sheet, in ohms."""
    cold, warm = (highest_resistance(metres=leads.length.value, size=leads.conductor, celsius=one)
                  for one in celsius)
    return warm - cold if warm > cold else ZERO


def unclear(known: KnownLeads | None, most: Fraction | None, planned: Sequence[PlannedPoint],
            refused: Collection[str]) -> Iterator[tuple[str, str, str]]:
    """Code, sentence and hint where the plan contradicts itself: the leads are known as more than
    what it says of them makes at `most`; or the meter's own zero, which stays in its readings, is
    nowhere judged by itself. Functions of which a point was `refused` have their problem already.
    """
    if known is None or most is None:
        return
    if known.value > most:
        yield ("known-leads", f"the leads are known as {_shown(known.value)}, and their length, "
               f"cross-section and contacts make {_shown(most)} at most",
               "'contacts' is what plugs and contacts add at most")
    used = {p.function.title for p in planned if p.supply.known and p.judged}
    zeros = {p.function.title for p in planned if p.supply.method == LEADS and p.judged}
    for title in sorted(used - zeros - {*refused}):
        yield ("known-zero", f"where the leads are known, 0 Ω is judged by itself, and {title} has "
               "no such point", f"add '- {{function: {title}, apply: 0 ohm}}' to 'points'")


def _shown(ohms: Fraction) -> str:
    return f"{figures(float(ohms) * 1e3, 3)} mΩ"
