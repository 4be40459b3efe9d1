"""Which points a draft proposes for a meter's functions.

Every proposal is tried on the planner itself, so that its rules stand in one place. """

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.order import CURRENT, MILLIAMPS, STAGES
from builder.first_plan import reach, reasons
from builder.first_plan.trying import Key, NoFile, ProposedEntry, Trial, as_typed, typed_value
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.procedure import tried
from builder.procedure.ambient import conditions
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.supplies import ARTIFACT


class Proposal:
    """`head` holds the keys of the plan that its points depend on."""

    def __init__(self, meter: Meter, standards: Sequence[Standard], views: dict[str, MeterFunction],
                 head: dict):
        self.meter, self.standards, self.views, self.head = meter, standards, views, head
        self.entries: dict[str, list[ProposedEntry]] = {}   # by function, in the order of work
        self.notes: dict[str, list[str]] = {}       # what to know about a function's entries
        self.reasons: dict[Key, str] = {}           # why a row got no point

    def run(self) -> Proposal:
        order = {stage: n for n, stage in enumerate(STAGES)}
        order[CURRENT] = order[MILLIAMPS]
        for view in sorted(self.views.values(), key=lambda view: order[view.stage]):
            if view.table.ranges and not view.kind.not_planned:
                self.notes[view.title] = []
                self.entries[view.title] = self._function(view)
        return self.settle()

    def settle(self) -> Proposal:
        """Tries all entries together."""
        self.trial = self._try([entry for entries in self.entries.values() for entry in entries])
        return self

    def drop(self, entry: ProposedEntry) -> None:
        self.entries[entry.function].remove(entry)

    def left_out(self) -> list[dict]:
        """Entries for all that no point tests, and for ranges that are tried to under half."""
        farthest = tried.farthest(self.trial.planned)
        entries: list[dict] = []
        for view in self.views.values():
            own = list(reasons.left_out(view, self.trial.tested, self.reasons))
            named = {one.get("range") for one in own if "values" in one}
            entries += own + [one for one in self._above(view, farthest)
                              if one["range"] not in named]
        return entries

    def _above(self, view: MeterFunction, farthest: tried.Farthest) -> Iterator[dict]:
        """Entries for what is above the farthest point of a range, where that is under half: what
        the planner has against nine tenths of the range."""
        for on in view.table.ranges:
            point = farthest.get((view.title, on.full_scale))
            if point and tried.is_under_half(point):
                signal = {"level": str(point.level)} if point.level else {}
                trial = self._try([self._asked(view, on, [on.full_scale * 9 / 10], point.hertz,
                                               signal, point.forced)])
                why = (reasons.against(view, self.standards, trial, point.hertz)
                       or reasons.reached(view, self.standards, point.hertz))
                yield reasons.above(view, on, point.applied, why)

    # ------------------------------------------------------------ one function

    def _function(self, view: MeterFunction) -> list[ProposedEntry]:
        entries: list[ProposedEntry] = []
        signals = reach.signals(view, self.standards)
        trials = [self._try([ProposedEntry(function=view.title, **signal)]) for signal in signals]
        done: set[Key] = set()
        for n in sorted(range(len(signals)), key=lambda n: -len(trials[n].tested)):
            new = trials[n].tested - done
            if new:
                ranges = [on for on in view.table.ranges if any(key[1] is on for key in new)]
                entries += self._recommended(view, signals[n], trials[n], ranges, not done)
            done |= new
        tested = self._try(entries).tested
        for on in view.table.ranges:
            for row in on.rows:
                if (view.title, on, row) not in tested:
                    entries += self._on_row(view, on, row, signals,
                                            trials[0].not_found if trials else {})
        return entries

    def _try(self, entries: Iterable[ProposedEntry]) -> Trial:
        plan = Plan.model_validate({**self.head, "points": [entry.keys() for entry in entries]})
        return Trial(NoFile(), plan, self.views, self.standards,
                     conditions(plan, self.meter)).run()

    def _recommended(self, view: MeterFunction, signal: dict, trial: Trial,
                     ranges: list[RangeTable], first: bool) -> list[ProposedEntry]:
        """The recommended points in one entry, or listed where the planner has something against
        some of them."""
        if view.kind.dimension == "[temperature]":
            entries = [entry for on in ranges for entry in self._round_temperatures(view, on)]
            if entries:
                return entries
        if first and not trial.problems:
            return [ProposedEntry(function=view.title, **signal)]
        entries = []
        for on in ranges:
            points = [p for p in trial.planned if p.range is on]
            if view.kind.is_ac:
                ends = {end for row in on.rows if (view.title, on, row) in trial.tested
                        for end in row.frequency}
                # the round ones
                points = [p for p in points if (p.applied / on.full_scale * 20).denominator == 1]
                points += self._other_ends(view, on, ends - {p.hertz for p in points})
            entries += self._listed(view, points)
        return entries

    def _round_temperatures(self, view: MeterFunction, on: RangeTable) -> list[ProposedEntry]:
        """Those that a person would choose: the ice point, about half of the way to a lower end
        below zero, and about a tenth, two fifths and four fifths of the range."""
        ice = Fraction(32 if view.unit.ascii == "degF" else 0)
        shares = (Fraction(1, 10), Fraction(2, 5), Fraction(4, 5))
        below = [] if on.lowest is None or on.lowest >= 0 else [-_one_figure(-on.lowest / 2)]
        above = (_one_figure(on.highest * share) for share in shares)
        values = dict.fromkeys([ice, *below, *above])
        points = self._try([self._asked(view, on, values, None, {}, by_hand=False)]).planned
        return self._listed(view, points) if len(points) > 2 else []

    def _other_ends(self, view: MeterFunction, on: RangeTable,
                    ends: set[Fraction]) -> list[PlannedPoint]:
        """For ends of frequency rows that the recommended values don't reach: lower values, or a
        note."""
        points = []
        for hertz in sorted(ends):
            values = reach.values(view, self.standards, on, None, hertz)
            trial = self._try([self._asked(view, on, values, hertz, {}, by_hand=False)] if values
                              else [])
            points += trial.planned[:1]
            if not trial.planned:
                self.notes[view.title].append(
                    f"Not at {exact_text.frequency(hertz)} on the "
                    f"{exact_text.quantity(view.names[on])} range: "
                    f"{reasons.against(view, self.standards, trial, hertz)}.")
        return points

    def _on_row(self, view: MeterFunction, on: RangeTable, row: AccuracyRow, signals: list[dict],
                known: dict) -> list[ProposedEntry]:
        """A point on a row that the recommended ones leave untested, on the range that the meter
        chooses or else by hand."""
        why = ""
        if row.typical:
            self.reasons[(view.title, on, row)] = reasons.TYPICAL
            return []
        for by_hand in (False, True) if view.given.ranging == "automatic" else (False,):
            for signal in signals:
                rates = (reach.rates(view, self.standards, row) if view.kind.needs_frequency
                         else [None])
                values = {hertz: reach.values(view, self.standards, on, row, hertz)
                          for hertz in rates}
                asked = {hertz: self._asked(view, on, tried, hertz, signal, by_hand)
                         for hertz, tried in values.items() if tried}
                trial = self._try(asked.values())
                good = [p for p in trial.planned
                        if p.judged and p.judged.row is row and p.range is on]
                if good:
                    return self._listed(view, good[:1])  # in the order that they were asked for
                if asked:
                    first = next(iter(asked))
                    why = (reasons.against(view, self.standards, trial, first) or why
                           or known.get((view.title, on, row), ""))
        self.reasons[(view.title, on, row)] = (
            why or reasons.without_values(view, self.standards, signals))
        return []

    def _asked(self, view: MeterFunction, on: RangeTable, values: Iterable[Fraction],
               hertz: Fraction | None, signal: dict, by_hand: bool) -> ProposedEntry:
        rate = (exact_text.frequency(hertz, plain=True),) if hertz is not None else ()
        return ProposedEntry(function=view.title, range=as_typed(view.names[on]), by_hand=by_hand,
                             apply=tuple(typed_value(view, on, v) for v in values),
                             frequency=rate, level=signal.get("level", ""))

    def _listed(self, view: MeterFunction, points: Iterable[PlannedPoint]) -> list[ProposedEntry]:
        """Entries that name their points, as few as there can be."""
        rates: dict[tuple, list] = {}
        for p in points:
            applied = (as_typed(p.rows[0].nominal) if p.supply.method == ARTIFACT
                       else typed_value(view, p.range, p.applied))
            rates.setdefault((p.range, p.forced, p.level, applied), []).append(p.hertz)
        values: dict[tuple, list] = {}
        for (on, forced, level, applied), hertz in rates.items():
            values.setdefault((on, forced, level, tuple(sorted(hertz)) if None not in hertz
                               else ()), []).append(applied)
        return [ProposedEntry(function=view.title, range=as_typed(view.names[on]), by_hand=forced,
                              apply=tuple(applied),
                              frequency=tuple(exact_text.frequency(one, plain=True)
                                              for one in hertz),
                              level=as_typed(level) if level else "")
                for (on, forced, level, hertz), applied in values.items()]


def _one_figure(value: Fraction) -> Fraction:
    """The nearest number with one figure other than zero: 1039.92 is 1000."""
    size = Fraction(1)
    while value >= size * 10:
        size *= 10
    while value < size:
        size /= 10
    return round(value / size) * size
