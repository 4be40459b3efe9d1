"""Which points a draft proposes for a meter's functions, and why what is left can't be tested.
Every proposal is tried on the planner itself, so that its rules stand in one place."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Iterable, Iterator, Sequence

from builder.compute.exact.accuracy_table import AccuracyRow, RangeTable
from builder.compute.exact.order import STAGES
from builder.compute.exact.recommend import HIGH
from builder.files.problems import Place
from builder.files.yaml_text import Document, Node
from builder.formats.fields import Span
from builder.formats.meter import Meter
from builder.formats.plan import RECOMMENDED, Plan
from builder.formats.standard import Standard
from builder.numbers import exact_text
from builder.numbers.units import Quantity, Unit, decimal_text
from builder.procedure.ambient import conditions
from builder.procedure.meter_function import MeterFunction
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.planner import Planner
from builder.procedure.supplies import ARTIFACT, within

# shares of a range below the recommended ones
_ALSO = tuple(Fraction(n, 100) for n in (15, 10, 5))
_OF_PART = tuple(Fraction(n, 100) for n in (90, 50, 20, 10))
# of a range or of a row's part: lower values say too little about it
_LEAST = Fraction(1, 20)
# V and A that a signal has where anything goes
_LEVELS = {"[voltage]": Fraction(3), "[current]": Fraction(1, 100)}
_LONGEST = 390                                         # characters of a reason

Key = tuple[str, RangeTable, AccuracyRow]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedEntry:
    """One line under a plan's 'points'."""

    function: str
    range: str = ""
    by_hand: bool = False
    apply: tuple[str, ...] = (RECOMMENDED,)
    frequency: tuple[str, ...] = ()
    level: str = ""

    def keys(self) -> dict:
        """As the file has it."""
        named = {"function": self.function, "force_range" if self.by_hand else "range": self.range,
                 "apply": _alone(self.apply),
                 "frequency": _alone(self.frequency), "level": self.level}
        return {key: value for key, value in named.items() if value}


class _Places(Document):
    """No file: the line of a place is the number of an entry, its column that of a value."""

    def __init__(self):
        super().__init__("", "", Node({}, (0, 0), (0, 0)))

    def place(self, path: tuple = (), of_key: bool = False) -> Place:
        return Place("", path[1] if len(path) > 1 else -1, path[3] if len(path) > 3 else 0)


class _Trial(Planner):
    """A planner whose hints nobody reads, so that it needn't look for clear values."""

    def _clear(self, *_) -> str:
        return ""

    @cached_property
    def tested(self) -> set[Key]:
        return {(p.function.title, p.range, p.judged.row) for p in self.planned if p.judged}


class Proposal:
    """`head` holds the keys of the plan that its points depend on."""

    def __init__(self, meter: Meter, standards: Sequence[Standard], views: dict[str, MeterFunction],
                 head: dict):
        self.meter, self.standards, self.views, self.head = meter, standards, views, head
        self.entries: dict[str, list[ProposedEntry]] = {}   # by function, in the order of work
        self.notes: dict[str, list[str]] = {}       # what to know about a function's entries
        self.reasons: dict[Key, str] = {}           # why a row got no point

    def run(self) -> "Proposal":
        order = {stage: n for n,
                 stage in enumerate(STAGES)} | {"current": STAGES.index("milliamps")}
        for view in sorted(self.views.values(), key=lambda view: order[view.kind.stage]):
            if view.table.ranges and not view.kind.not_planned:
                self.notes[view.title] = []
                self.entries[view.title] = self._function(view)
        return self.settle()

    def settle(self) -> "Proposal":
        """Tries all entries together."""
        self.trial = self._try([entry for entries in self.entries.values() for entry in entries])
        return self

    def drop(self, entry: ProposedEntry) -> None:
        self.entries[entry.function].remove(entry)

    def left_out(self) -> list[dict]:
        """Entries for all that no point tests: a function, a range or a row each, whichever says it
        in the fewest."""
        return [entry for view in self.views.values() for entry in self._left_out(view)]

    def _left_out(self, view: MeterFunction) -> Iterator[dict]:
        tested = self.trial.tested
        missing = {on: [row for row in on.rows if (view.title, on, row) not in tested]
                   for on in view.table.ranges}
        because = {row: self._because(view, on, row) for on,
                   rows in missing.items() for row in rows}
        if because and len(because) == sum(len(on.rows) for on in view.table.ranges) and len(
                set(because.values())) == 1:
            yield {"function": view.title, "because": next(iter(because.values()))}
            return
        for on, rows in missing.items():
            if rows and len(rows) == len(on.rows) and len({because[row] for row in rows}) == 1:
                rows = rows[:1]
                spans = {rows[0]: {}}
            else:
                given = dict(zip(on.rows, view.model_of[on].accuracy))
                spans = {row: {key: str(span) for key in ("frequency", "values")
                               if (span := getattr(given[row], key))} for row in rows}
            for n, row in enumerate(rows):
                # rows that overlap may be called the same
                if spans[row] not in [spans[one] for one in rows[:n]]:
                    yield {"function": view.title, "range": _text(view.names[on]), **spans[row],
                           "because": because[row]}

    def _because(self, view: MeterFunction, on: RangeTable, row: AccuracyRow) -> str:
        text = view.kind.not_planned or self.reasons.get(
            (view.title, on, row)) or "no point was found that could be told from others"
        return text if len(text) <= _LONGEST else text[:_LONGEST] + "…"

    # ------------------------------------------------------------ one function

    def _function(self, view: MeterFunction) -> list[ProposedEntry]:
        entries: list[ProposedEntry] = []
        signals = self._signals(view)
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

    def _try(self, entries: Iterable[ProposedEntry]) -> _Trial:
        plan = Plan.model_validate({**self.head, "points": [entry.keys() for entry in entries]})
        return _Trial(_Places(), plan, self.views, self.standards,
                      conditions(plan, self.meter)).run()

    def _recommended(self, view: MeterFunction, signal: dict, trial: _Trial,
                     ranges: list[RangeTable], first: bool) -> list[ProposedEntry]:
        """The recommended points in one entry, or listed where the planner has something against
        some of them."""
        if view.kind.dimension == "[temperature]":
            found = [entry for on in ranges for entry in self._round_temperatures(view, on)]
            if found:
                return found
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
        """Four that a person would choose: the ice point, and about a tenth, two fifths and four
        fifths of the range."""
        ice = Fraction(32 if view.unit.ascii == "degF" else 0)
        values = dict.fromkeys([ice,
                                *(_one_figure(on.highest * share)
                                  for share in (Fraction(1, 10), Fraction(2, 5), Fraction(4, 5)))])
        points = self._try(
            [ProposedEntry(function=view.title, range=_text(view.names[on]),
                           apply=tuple(_value(view, on, v) for v in values))]).planned
        return self._listed(view, points) if len(points) > 2 else []

    def _other_ends(self, view: MeterFunction, on: RangeTable,
                    ends: set[Fraction]) -> list[PlannedPoint]:
        """For ends of frequency rows that the recommended values don't reach: lower values, or a
        note."""
        found = []
        for hertz in sorted(ends):
            values = self._values(view, on, None, hertz)
            trial = self._try([self._asked(view, on, values, hertz, {}, by_hand=False)] if values
                              else [])
            found += trial.planned[:1]
            if not trial.planned:
                self.notes[view.title].append(
                    f"Not at {exact_text.frequency(hertz)} on the "
                    f"{exact_text.quantity(view.names[on])} range: "
                    f"{self._why(view, trial, hertz)}.")
        return found

    def _on_row(self, view: MeterFunction, on: RangeTable, row: AccuracyRow, signals: list[dict],
                known: dict) -> list[ProposedEntry]:
        """A point on a row that the recommended ones leave untested, on the range that the meter
        chooses or else by hand."""
        why = ""
        for by_hand in (False, True) if view.given.ranging == "automatic" else (False,):
            for signal in signals:
                rates = self._rates(view, row) if view.kind.needs_frequency else [None]
                values = {hertz: self._values(view, on, row, hertz) for hertz in rates}
                asked = {hertz: self._asked(view, on, tried, hertz, signal, by_hand) for hertz,
                         tried in values.items() if tried}
                trial = self._try(asked.values())
                good = [p for p in trial.planned if p.judged and p.judged.row is row
                        and p.range is on]
                if good:
                    return self._listed(view, good[:1])  # in the order that they were asked for
                if asked:
                    why = self._why(view, trial,
                                    next(iter(asked))) or why or known.get(
                                        (view.title, on, row), "")
        if not why and not signals:
            why = self._no_signal(view)
        elif not why:
            why = (self._reach(view, None) if self._boxes(view)
                   else "the range shows no value inside this row")
        self.reasons[(view.title, on, row)] = _plain(why)
        return []

    def _asked(self, view: MeterFunction, on: RangeTable, values: Iterable[Fraction],
               hertz: Fraction | None, signal: dict, by_hand: bool) -> ProposedEntry:
        return ProposedEntry(function=view.title, range=_text(view.names[on]), by_hand=by_hand,
                             apply=tuple(_value(view, on, v) for v in values),
                             frequency=(exact_text.frequency(hertz, plain=True),)
                             if hertz is not None
                             else (), level=signal.get("level", ""))

    def _listed(self, view: MeterFunction, points: Iterable[PlannedPoint]) -> list[ProposedEntry]:
        """Entries that name their points, as few as there can be."""
        rates: dict[tuple, list] = {}
        for p in points:
            applied = (_text(p.rows[0].nominal) if p.supply.method == ARTIFACT
                       else _value(view, p.range, p.applied))
            rates.setdefault((p.range, p.forced, p.level, applied), []).append(p.hertz)
        values: dict[tuple, list] = {}
        for (on, forced, level, applied), hertz in rates.items():
            values.setdefault((on, forced, level, tuple(sorted(hertz)) if None not in hertz
                               else ()), []).append(applied)
        return [ProposedEntry(function=view.title, range=_text(view.names[on]), by_hand=forced,
                              apply=tuple(applied),
                              frequency=tuple(exact_text.frequency(one, plain=True)
                                              for one in hertz),
                              level=_text(level) if level else "")
                for (on, forced, level, hertz), applied in values.items()]

    # ------------------------------------------------------------ values, frequencies and levels to try

    def _values(self, view: MeterFunction, on: RangeTable, row: AccuracyRow | None,
                hertz: Fraction | None) -> list[Fraction]:
        """What may be applied on a range, or on a row of it, the most wanted first."""
        low, high = (row.values if row and row.values else (Fraction(0), on.highest))
        high = min(high, on.highest)
        by_sign = bool(row and row.by_sign and row.values)
        if not by_sign:
            low = max(low, on.lowest or 0, high * _LEAST)
        turns = next((s.coil.turns for s in self.standards if s.coil), 1) if view.given.clamp else 1
        tops = {r.values.high.value * turns for r in self._outputs(view)
                if hertz is None or r.frequency is None or within(r.frequency, hertz)}
        shares = [on.full_scale * share for share in (*HIGH, *_ALSO)]
        parts = [low + (high - low) * share for share in _OF_PART]
        boxes = [v.nominal.value for s in self.standards for a in s.artifacts
                 if a.what == view.kind.name for v in a.values]
        if boxes and not self._outputs(view):
            values = sorted(boxes, key=lambda v: (abs(v - on.full_scale * HIGH[0]), v))
            return [v for v in dict.fromkeys(values) if low <= v <= high]
        grid = (int(v / on.resolution) * on.resolution
                for v in (parts[1:] if by_sign else (*shares, *sorted(tops, reverse=True), *parts)))
        return [v for v in dict.fromkeys(grid) if low <= v <= high and v != 0]

    def _rates(self, view: MeterFunction, row: AccuracyRow) -> list[Fraction]:
        """Frequencies inside a row: its ends, the ends of the standards' bands in it, and one well
        inside."""
        low, high = row.frequency or (Fraction(1), Fraction(10**6))
        ends = {end for r in self._outputs(view) if r.frequency for end in r.frequency.band
                if low <= end <= high}
        inside = [high, low] if row.frequency else []
        return list(
            dict.fromkeys([*inside, *sorted(ends, reverse=True), _round_between(low, high)]))

    def _outputs(self, view: MeterFunction) -> list:
        """The rows of the sources for this function."""
        return [r for s in self.standards for o in s.outputs
                if o.what == view.kind.name and o.wave == "sine" for r in o.rows]

    def _boxes(self, view: MeterFunction) -> bool:
        return (not self._outputs(view)
                and any(a.what == view.kind.name for s in self.standards for a in s.artifacts))

    def _signals(self, view: MeterFunction) -> list[dict]:
        """The 'level' and the 'frequency' that recommended points of a function need: none for
        most, several where the standards' levels differ."""
        if not view.kind.needs_level:
            return [{}]
        rates = self._duty_rates(view) if view.kind.needs_frequency else ()
        least, most = view.given.sensitivity, view.table.limits.highest
        floor, target = (least.value if least else Fraction(0)), _LEVELS[view.given.level_dimension]
        if not self._outputs(view):
            return [{"level": "3 V" if view.given.level_dimension == "[voltage]" else "10 mA",
                     "frequency": rates}]
        found = {}
        for row in self._outputs(view):
            if row.level and row.level.high.dimension == view.given.level_dimension:
                low, high = max(row.level.band[0],
                                floor), min(row.level.band[1],
                                            most if most is not None else row.level.band[1])
                if low <= high:
                    found[min(max(target, 2 * floor, low), high)] = row.level.high.unit
        return [{"level": f"{decimal_text(exact_text.in_unit(v, unit))} {unit.ascii}",
                 "frequency": rates} for v, unit in found.items()]

    def _no_signal(self, view: MeterFunction) -> str:
        spans = dict.fromkeys(str(row.level) for row in self._outputs(view) if row.level)
        least = view.given.sensitivity
        return f"no signal of these standards suits this input: {', '.join(spans)}" + (
            f"; it counts from {exact_text.quantity(least)}" if least else "")

    def _duty_rates(self, view: MeterFunction) -> tuple[str, ...]:
        """A frequency well inside each of the meter's bands, and inside the source's where that can
        be."""
        rates: dict[str, None] = {}
        for band in dict.fromkeys(row.frequency for on in view.table.ranges for row in on.rows):
            low, high = band or (Fraction(10), Fraction(10**5))
            reach = [r.frequency.band for r in self._outputs(view)
                     if r.frequency and r.frequency.band[0] < high and r.frequency.band[1] > low]
            if reach:
                low, high = max(low, reach[0][0]), min(high, reach[0][1])
            rates[exact_text.frequency(_round_between(low, high), plain=True)] = None
        return tuple(rates)

    # ------------------------------------------------------------ reasons

    def _why(self, view: MeterFunction, trial: _Trial, hertz: Fraction | None) -> str:
        """What the planner has against the most wanted value, in few words."""
        said = sorted(trial.problems, key=lambda one: (one.place.column, one.place.line))
        first = next((one for one in said if one.place.column == 0), None)
        if first is None:
            return ""
        if first.code in ("beyond-reach", "beyond-coil"):
            return self._reach(view, hertz) or _plain(first.sentence)
        if first.code == "no-coil":
            return "a clamp-on meter is checked with a coil, and there is none here"
        if first.code == "no-output":
            what = "DC voltage" if view.kind.dimension == "[temperature]" else view.kind.name
            return f"no standard here puts out {what}" + (
                ", for a thermocouple input" if what != view.kind.name else "")
        return _plain(first.sentence)

    def _reach(self, view: MeterFunction, hertz: Fraction | None) -> str:
        """'Fulmar reaches 0 to 2 A', each standard that has anything to do with the function."""
        what = view.kind.name
        if view.kind.dimension == "[temperature]" and not self._outputs(view):
            what = "DC voltage"
        parts = []
        for standard in self.standards:
            for output in standard.outputs:
                if output.what == what and output.wave == "sine":
                    rows = [r for r in output.rows if hertz is None or r.frequency is None
                            or within(r.frequency, hertz)]
                    spans, at = ([r.values
                                  for r in rows], f" at {exact_text.frequency(hertz)}"
                                 if hertz is not None and view.kind.needs_frequency else "")
                    if not rows:
                        spans, at = [r.frequency for r in output.rows], ""
                    parts.append(f"{standard.name} reaches {_over(spans)}{at}")
            for artifact in standard.artifacts:
                if artifact.what == what:
                    values = sorted((v.nominal for v in artifact.values), key=lambda q: q.value)
                    parts.append(
                        f"{standard.name} has {exact_text.quantity(values[0])} to "
                        f"{exact_text.quantity(values[-1])}")
            if standard.coil and view.given.clamp:
                parts.append(
                    f"{standard.name} makes {standard.coil.turns} times that, up to "
                    f"{exact_text.quantity(standard.coil.highest)} in its wire"
                    + (f" at {standard.coil.frequency}"
                       if standard.coil.frequency and hertz is not None else ""))
        return _plain("; ".join(dict.fromkeys(parts)))


def _alone(values: tuple[str, ...]) -> str | list[str]:
    return values[0] if len(values) == 1 else list(values)


def _plain(text: str) -> str:
    """For a file: plain spaces, units as they are typed."""
    return " ".join(text.split())


def _text(one: Quantity) -> str:
    return str(one).replace("Ohm", "ohm")


def _value(view: MeterFunction, on: RangeTable, applied: Fraction) -> str:
    unit: Unit = view.names[on].unit
    return exact_text.plain_quantity(applied, unit).replace("Ohm", "ohm")


def _over(spans: Sequence[Span]) -> str:
    """From the lowest to the highest of several spans: '0 to 2 A', '10 uA to 2 A'."""
    low, high = min((s.low for s in spans),
                    key=lambda q: q.value), max((s.high for s in spans), key=lambda q: q.value)
    if low.number == 0 or low.unit == high.unit:
        return f"{exact_text.number(low.number)} to {exact_text.quantity(high)}"
    return f"{exact_text.quantity(low)} to {exact_text.quantity(high)}"


def _one_figure(value: Fraction) -> Fraction:
    """The nearest number with one figure other than zero: 1039.92 is 1000."""
    size = Fraction(1)
    while value >= size * 10:
        size *= 10
    while value < size:
        size /= 10
    return round(value / size) * size


def _round_between(low: Fraction, high: Fraction) -> Fraction:
    """A round frequency well between two others: of 1, 2 and 5 with any power of ten the nearest to
    their geometric mean."""
    among = [n * Fraction(10) ** power for power in range(-3, 10) for n in (1, 2, 5)]
    square = low * high
    return min((f for f in among if low < f < high),
               key=lambda f: max(f * f / square, square / (f * f)), default=(low + high) / 2)
