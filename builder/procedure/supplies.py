"""How a point comes to the meter: from which standard, by which method, and what then stands at its
input."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.compute.exact import resistance_thermometer as rt
from builder.compute.exact import thermocouple
from builder.compute.exact.accuracy_table import RangeTable
from builder.compute.exact.compared import HIGHEST, LOWEST
from builder.compute.exact.points import Refused, range_for
from builder.compute.exact.tolerance import ZERO
from builder.formats.plan import Plan, PointSet
from builder.formats.standard import Artifact, Output, OutputRow, Standard
from builder.numbers import exact_text
from builder.numbers.units import Quantity, celsius, is_decimal, of_celsius
from builder.procedure.corrections import corrected, corrected_about, not_applied, one_for_all
from builder.procedure.input_limits import rate_of
from builder.procedure.bench_leads import KnownLeads
from builder.procedure.meter_function import MeterFunction
from builder.procedure.standard_rows import covering, met_on_the_way, within
from builder.procedure.supply import (ARTIFACT, COIL, OHMS, REFERENCE, SOURCE, THERMOCOUPLE,
                                      Supply, beyond_reach, corrected_through, named, of_box,
                                      same_method)


@dataclass
class Supplies:
    """The plan's standards, asked for each point."""

    plan: Plan
    standards: Sequence[Standard]
    junctions: tuple[Fraction, Fraction]    # degC that a sheet's table of millivolts goes over
    leads: Fraction | None = None           # ohms that they add at most; None where nobody says
    known: KnownLeads | None = None         # what is known of them from another instrument

    def find(self, given: PointSet, function: MeterFunction, applied: Fraction,
             hertz: Fraction | None, wanted: RangeTable | None = None) -> Supply:
        """The first standard that can put out the point; or the first at all, where the plan
        accepts that none can. Raises `Refused`."""
        among = self._among(given)
        known = self.known_for(function)
        if known and applied == 0 and given.standard in (None, known.standard.standard):
            return known.together()
        if given.compare_on is not None:
            return self._reference(given, function, applied, hertz, among)
        if function.given.clamp:
            return self._coil(given, function, applied, hertz, wanted)
        if function.given.resistance_thermometer:
            return self._ohms(given, function, applied, among)
        wanted_kinds = _kinds(function, hertz)
        offers = [(s, o) for s in among for o in (*s.outputs, *s.artifacts)
                  if o.what in wanted_kinds
                  and getattr(o, "wave", "sine") == (given.wave or "sine")]
        if not offers and function.kind.dimension == "[temperature]":
            return self._thermocouple(given, function, applied, among)
        if not offers:
            raise Refused("no-output", standards=named(among), what=_waved(function, given))
        for standard, output in offers:
            if isinstance(output, Artifact):
                values = tuple(v for v in output.values if v.nominal.value == applied)
                if values:
                    return Supply(method=ARTIFACT, standard=standard, output=output, rows=values,
                                  expected=values[0].certified.value,
                                  other_method=of_box(given, function, standard, output,
                                                       values[0]))
            elif rows := covering(output.rows, applied, hertz, given.level, function.scale):
                return self._from_source(standard, output, rows, function, applied, hertz)
        standard, output = offers[0]
        because = self._accepted(function, applied, wanted, standard)
        if because and not isinstance(output, Artifact):
            return Supply(method=SOURCE, standard=standard, output=output, accepted=because)
        raise beyond_reach(offers, given)

    def _among(self, given: PointSet) -> list[Standard]:
        """Those that may put a point out, which leads with a certificate do not."""
        leads = self.known.standard if self.known and self.known.standard.artifacts else None
        return [s for s in self.standards
                if given.standard in (None, s.standard) and s is not leads]

    def known_for(self, function: MeterFunction) -> KnownLeads | None:
        """The leads that are known, where they stay in what this function reads."""
        return self.known if self.known and self.known.are_for(function) else None

    def certified(self, given: PointSet,
                  function: MeterFunction) -> dict[Fraction, Fraction] | None:
        """The nominal values of the boxes with the certified ones, where only boxes offer this
        function."""
        among = self._among(given)
        if any(o.what == function.kind.name for s in among for o in s.outputs):
            return None
        values = {v.nominal.value: v.certified.value for s in reversed(among) for o in s.artifacts
                  if o.what == function.kind.name for v in o.values}
        known = self.known_for(function)
        if values and known:
            return {ZERO: known.value} | {at: there + known.value for at, there in values.items()}
        return values or None

    def _accepted(self, function: MeterFunction, applied: Fraction, wanted: RangeTable | None,
                  standard: Standard) -> str:
        on = wanted
        if on is None:
            try:
                on = range_for(function=function.table, applied=applied)
            except Refused:
                pass
        return self.plan.accepts("out of reach", standard=standard.standard,
                                 function=function.title, full_scale=on.full_scale if on else None)

    def _from_source(self, standard: Standard, output: Output, rows: tuple[OutputRow, ...],
                     function: MeterFunction, applied: Fraction, hertz: Fraction | None) -> Supply:
        """With what its certificate adds, and less what its own resistance takes off at the meter's
        input: x·Rin/(Rs + Rin), to a thousandth of the finest count (choice of this project: the
        limits stay finite decimals)."""
        step, rin = _finest(function), function.given.input_resistance
        there = corrected(output.corrections, setting=applied, step=step,
                          hertz=hertz if function.kind.is_ac else None)
        put_out = left = applied + (there.applied if there else ZERO)
        if output.output_resistance is not None and rin is not None:
            rs = output.output_resistance.value
            left = round(put_out * rin.value / (rs + rin.value) / step) * step
        return Supply(method=SOURCE, standard=standard, output=output, rows=rows, corrected=there,
                      loading=put_out - left, expected=left if left != applied else None)

    def _reference(self, given: PointSet, function: MeterFunction, applied: Fraction,
                   hertz: Fraction | None, among: list[Standard]) -> Supply:
        meters = [s for s in among if s.kind == "reference meter"]
        if not meters:
            raise Refused("no-reference", standards=named(among))
        offers = [(s, m) for s in meters for m in s.measures if m.what == function.kind.name]
        if not offers:
            raise Refused("no-measurement", standards=named(meters), what=function.kind.name)
        if function.kind.goes_by_method and not given.observe:
            first, _ = offers[0]
            offers = ([(s, m) for s, m in offers if same_method(function, m)]
                      or (offers if given.other_method else []))
            if not offers:
                raise Refused("other-method", standards=first.name)
        for standard, measure in offers:
            # The reference reading may lie a good deal beside the value, and one row must hold for
            # all of it.
            near = (abs(applied) * LOWEST, abs(applied) * HIGHEST)
            if rows := [row for row in covering(measure.rows, applied, hertz, None)
                        if row.values.band[0] <= near[0] and near[1] <= row.values.band[1]]:
                other = function.kind.goes_by_method and not same_method(function, measure)
                low, high = sorted((applied * LOWEST, applied * HIGHEST))
                there = corrected_about(measure.corrections, low=low, high=high, hertz=hertz)
                if measure.corrections and measure.corrections.use == "applied":
                    if not given.observe and (there is None or applied == 0):
                        raise Refused("reference-correction", standards=standard.name)
                    there = None if given.observe else one_for_all(
                        there, planned=applied, low=low, high=high, step=rows[0].resolution.value)
                return Supply(method=REFERENCE, standard=standard, output=measure,
                              rows=tuple(rows[:1]), compare_on=given.compare_on,
                              other_method=given.other_method if other else None,
                              changes=given.changes.within if given.changes else None,
                              corrected=there)
        raise beyond_reach(offers, given)

    def _coil(self, given: PointSet, function: MeterFunction, applied: Fraction,
              hertz: Fraction | None, wanted: RangeTable | None) -> Supply:
        """Through the first coil by which a source reaches the point; or through the first at all,
        where the plan accepts that none does."""
        coils = [s for s in self.standards
                 if s.coil is not None
                 and (given.standard in (None, s.standard)
                      or all(s.standard != given.standard for s in self.standards if s.coil))]
        if not coils:
            raise Refused("no-coil", standards=named(self.standards))
        ways = []
        for coil in coils:
            try:
                ways.append(self._through(coil, given, function, applied, hertz, wanted))
            except Refused as refused:
                of_the_last = refused
        if not ways:
            raise of_the_last
        return next((supply for supply in ways if not supply.accepted), ways[0])

    def _through(self, coil: Standard, given: PointSet, function: MeterFunction, applied: Fraction,
                 hertz: Fraction | None, wanted: RangeTable | None) -> Supply:
        """From the first source that reaches the coil's current."""
        offers = [(s, o) for s in self.standards for o in s.outputs
                  if o.what == function.kind.name and o.wave == (given.wave or "sine")
                  and given.standard in (None, s.standard, coil.standard)]
        if not offers:
            raise Refused("no-output", standards=named(self.standards),
                          what=_waved(function, given))
        # Where a frequency is measured, the jaw holds its level.
        level = given.level
        current = (applied if level is None else level.value) / coil.coil.turns
        if not is_decimal(current):
            raise Refused("coil-current", standards=coil.name)
        if abs(current) > coil.coil.highest.value:
            raise Refused("beyond-coil", standards=coil.name, reach=exact_text.amount(
                coil.coil.turns * coil.coil.highest.value,
                function.unit if level is None else level.unit))
        rate = rate_of(function, applied, hertz)
        if rate is not None and coil.coil.frequency is not None and not within(
                coil.coil.frequency, rate):
            raise Refused("beyond-coil", standards=coil.name, reach=str(coil.coil.frequency))
        asked = ((current, None) if level is None else
                 (applied, Quantity(level.number / coil.coil.turns, level.unit)))
        for standard, output in offers:
            if rows := covering(output.rows, asked[0], hertz, asked[1]):
                supply = Supply(method=COIL, standard=standard, output=output, rows=rows,
                                sets=current, coil=coil)
                return corrected_through(supply, applied=applied, hertz=hertz,
                                         is_level=level is not None, step=_finest(function))
        standard, output = offers[0]
        if because := self._accepted(function, applied, wanted, standard):
            return Supply(method=COIL, standard=standard, output=output, sets=current, coil=coil,
                          accepted=because)
        raise beyond_reach(offers, given, f", {coil.coil.turns} times that through {coil.name}")

    def _thermocouple(self, given: PointSet, function: MeterFunction, applied: Fraction,
                      among: list[Standard]) -> Supply:
        kind = function.given.thermocouple
        if kind is None:
            raise Refused("no-thermocouple")
        if self.plan.junction is None:
            raise Refused("no-junction")
        offers = [(s, o) for s in among for o in s.outputs if o.what == "DC voltage"]
        if not offers:
            raise Refused("no-output", standards=named(among), what="DC voltage")
        volts = [thermocouple.to_apply(kind=kind, celsius=celsius(applied, function.unit),
                                       junction=at) for at in (*self.junctions, TABLE_AT)]
        for standard, output in offers:
            if rows := met_on_the_way(output.rows, min(volts), max(volts)):
                there = corrected_about(output.corrections, low=min(volts), high=max(volts),
                                        hertz=None)
                return Supply(method=THERMOCOUPLE, standard=standard, output=output, rows=rows,
                              sets=volts[-1], corrected=not_applied(there))
        raise beyond_reach(offers, given)

    def _ohms(self, given: PointSet, function: MeterFunction, applied: Fraction,
              among: list[Standard]) -> Supply:
        """A box or a source of resistance in place of the thermometer. Leads add to it between
        nothing and the most that the plan has: half of that is allowed for, so that what is left
        is as likely up as down (GUM 6.3.1, F.2.4.5)."""
        kind = function.given.resistance_thermometer
        offers = [(s, o) for s in among for o in (*s.outputs, *s.artifacts)
                  if o.what == "resistance" and o.zero != "its zero setting"]
        if not offers:
            raise Refused("no-output", standards=named(among), what="resistance by itself")
        ideal = celsius(applied, function.unit)
        marked = round(rt.resistance(kind=kind, celsius=ideal), rt.DECIMALS[kind])
        for standard, output in offers:
            if output.zero == "leads" and self.leads is None:
                raise Refused("no-leads")
            beside = self.leads / 2 if self.leads is not None and output.zero == "leads" else ZERO
            if isinstance(output, Artifact):
                values = tuple(v for v in output.values if v.nominal.value == marked)
                if values:
                    sets = values[0].certified.value
                    degrees = of_celsius(rt.temperature(kind=kind, ohms=sets + beside),
                                         function.unit)
                    return Supply(method=OHMS, standard=standard, output=output, rows=values,
                                  expected=degrees, sets=sets, beside=beside)
                continue
            sets = rt.to_set(kind=kind, celsius=ideal, beside=beside)
            if rows := covering(output.rows, sets, None, None):
                there = corrected(output.corrections, setting=sets, hertz=None,
                                  step=rt.step(kind=kind) / 1000)
                degrees = of_celsius(rt.temperature(kind=kind, ohms=sets + there.applied + beside),
                                     function.unit) if there and there.applied else None
                return Supply(method=OHMS, standard=standard, output=output, rows=rows,
                              expected=degrees, sets=sets, beside=beside, corrected=there)
        raise beyond_reach(offers, given)


TABLE_AT = Fraction(23)  # degC of the junction, for the millivolts that stand beside a point


def _finest(function: MeterFunction) -> Fraction:
    """A thousandth of the finest count, to which what is no finite decimal is rounded."""
    return min(on.resolution for on in function.table.ranges) / 1000


def _kinds(function: MeterFunction, hertz: Fraction | None) -> tuple[str, ...]:
    """What a standard may put out for a function: a steady value of an AC+DC function is one of the
    DC function too."""
    name = function.kind.name
    return (name, name.replace("AC+DC", "DC")) if hertz == 0 else (name,)


def _waved(function: MeterFunction, given: PointSet) -> str:
    return function.kind.name + (f" as a {given.wave} wave" if given.wave else "")
