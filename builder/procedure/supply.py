"""What brings a point to the meter's input, and what is known of it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from builder.compute.exact.points import Refused
from builder.compute.exact.tolerance import ZERO
from builder.formats.accuracy import AccuracyText
from builder.formats.plan import PointSet
from builder.formats.standard import Artifact, CertifiedValue, Measure, Output, OutputRow, Standard
from builder.numbers import exact_text
from builder.procedure.corrections import Corrected, corrected
from builder.procedure.meter_function import MeterFunction

if TYPE_CHECKING:  # which makes supplies
    from builder.procedure.bench_leads import KnownLeads

SOURCE, ARTIFACT, REFERENCE, THERMOCOUPLE, COIL, OHMS, LEADS = (
    "source", "artifact", "reference", "thermocouple", "coil", "ohms", "leads")


@dataclass(frozen=True, eq=False, kw_only=True)
class Supply:
    """`expected` is what stands at the meter's input, where it isn't the value that is asked for: a
    certified value, a corrected one, or what a source's own resistance leaves. `sets` is what the
    source is set to, where that is something else. `beside` is what leads that stay in the
    reading add, as far as it is allowed for: the middle of what is possible."""

    method: str
    standard: Standard
    output: Output | Artifact | Measure
    rows: tuple[OutputRow | CertifiedValue, ...] = ()
    expected: Fraction | None = None
    sets: Fraction | None = None
    beside: Fraction = Fraction(0)
    coil: Standard | None = None
    loading: Fraction = ZERO     # what a source's own resistance takes off
    corrected: Corrected | None = None      # the source or the reference meter, by its certificate
    coil_corrected: Corrected | None = None
    accepted: str = ""      # why the plan accepts that the standard can't produce the point
    compare_on: str = ""
    # where standard and meter have other methods, how far that may put them apart; and how far what
    # is compared may change between two readings
    other_method: AccuracyText | None = None
    changes: AccuracyText | None = None
    known: KnownLeads | None = None     # leads that are part of what stands at the input

    @property
    def certified(self) -> Fraction | None:
        """What the certificate of a box states, leads apart."""
        return self.rows[0].certified.value if self.method == ARTIFACT and self.rows else None

    @property
    def known_ohms(self) -> Fraction:
        """What known leads add to what is applied."""
        return self.known.value if self.known else ZERO

    @property
    def is_corrected(self) -> bool:
        """Whether the expected value has moved by what a certificate says."""
        return any(one is not None and one.applied
                   for one in (self.corrected, self.coil_corrected))

    @property
    def added(self) -> Fraction:
        """What is added to each reading of a reference meter."""
        return self.corrected.applied if self.corrected and self.method == REFERENCE else ZERO

    @property
    def standards(self) -> tuple[Standard, ...]:
        of_leads = self.known.standard if self.known else None
        return (self.standard, *(one for one in (self.coil, of_leads)
                                 if one is not None and one is not self.standard))

    @property
    def is_part(self) -> bool:
        """Whether it is a part with its values, and no source with an output to switch."""
        return isinstance(self.output, Artifact)

    @property
    def terminals(self) -> tuple[str, ...]:
        return tuple(self.output.terminals)


def same_method(function: MeterFunction, offer: Measure | Artifact) -> bool:
    return function.given.method is not None and function.given.method == offer.method


def of_box(given: PointSet, function: MeterFunction, standard: Standard, box: Artifact,
            value: CertifiedValue) -> AccuracyText | None:
    """How far a meter may be off a certified value for its other method alone; None where the two
    are alike, or the box states none. Raises `Refused`."""
    if not function.kind.goes_by_method or box.method is None or same_method(function, box):
        return None
    apart = given.other_method or value.other_method or box.other_method
    if apart is None and not given.observe:
        raise Refused("other-method-of-box", standards=standard.name, method=box.method)
    return apart


def corrected_through(supply: Supply, *, applied: Fraction, hertz: Fraction | None,
                      is_level: bool, step: Fraction) -> Supply:
    """With what the certificates of the source and of the coil add to the current in the jaw. Where
    the current is a level (`is_level`), the point is a frequency or a duty cycle, which the source
    sets and no turns change."""
    coil, turns = supply.coil.coil, 1 if is_level else supply.coil.coil.turns
    there = corrected(supply.output.corrections, setting=applied if is_level else supply.sets,
                      hertz=None if is_level else hertz, step=step / turns)
    wound = None if is_level else corrected(coil.corrections, setting=supply.sets, hertz=hertz,
                                            step=step, times=turns)
    moved = applied + (there.applied * turns if there else ZERO) + (
        wound.applied if wound else ZERO)
    return replace(supply, corrected=there, coil_corrected=wound,
                   expected=moved if moved != applied else None)


def refuse_to_take_off(given: PointSet, function: MeterFunction, supply: Supply) -> None:
    """Raises `Refused` where the leads' own reading can't be taken off as the plan asks. It takes
    the meter's error at zero with it, which is right where the accuracy holds after zeroing."""
    if not function.given.after_zeroing:
        raise Refused("own-zero")
    if given.zero == "relative" and function.given.relative is None:
        raise Refused("no-relative")
    if supply.method == REFERENCE and given.zero != "relative":
        raise Refused("reference-leads")


def named(standards: Sequence[Standard]) -> str:
    return " and ".join(s.name for s in standards)


def beyond_reach(offers, given: PointSet, more: str = "") -> Refused:
    those = list({s.standard: s for s, _ in offers}.values())
    names, reach = named(those), []
    for _, output in offers:
        if isinstance(output, Artifact):
            reach.append(", ".join(exact_text.quantity(v.nominal) for v in output.values))
        else:
            reach += [str(row.values) + (f" at {row.frequency}" if row.frequency else "") + (
                f" with {row.level}" if row.level else "") for row in output.rows]
    return Refused("beyond-reach", standards=names,
                   level=exact_text.quantity(given.level) if given.level is not None else "",
                   reach=f"{names} reach{'es' if len(those) == 1 else ''} " + "; ".join(reach)
                   + more)
