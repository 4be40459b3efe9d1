"""The computed procedure: what templates and the data files see. Frozen, and texts wherever a page shows them."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from fractions import Fraction

from builder import instructions, wording
from builder.compute.coverage import completeness
from builder.compute.order import STAGES, fewest_changes, stage_of
from builder.compute.tolerance import ONE
from builder.data import procedure_data
from builder.model.checks import CHECKS
from builder.model.meter import Meter
from builder.model.plan import Plan
from builder.model.standard import Standard
from builder.planning import Conditions, FunctionView, Planned, Planner, conditions
from builder.problems import Problem, errors
from builder.source import Document


@dataclass(frozen=True, slots=True)
class Point:
    """A row of the sheet. The exact numbers stay in `planned`; the rest is text."""

    id: str
    step: str
    planned: Planned
    apply: str          # "3.000 V"
    at: str             # "1 kHz", "1 kHz, 3 V" or ""
    range: str
    forced: bool
    accept_from: str    # without unit; "" for an observation
    accept_to: str
    unit: str
    tolerance: str
    hazardous: bool
    observe: str


@dataclass(frozen=True, slots=True)
class CheckStep:
    step: str
    name: str
    do: str
    good: str
    covers: str


@dataclass(frozen=True, slots=True)
class Group:
    """What is done with one setting of jacks, dial and source, with what comes before and after."""

    number: int
    title: str
    stage: str
    live: bool
    jacks: tuple[str, ...]
    warnings: tuple[instructions.Warning, ...]
    opening: tuple[str, ...]
    points: tuple[Point, ...]
    checks: tuple[CheckStep, ...]
    closing: tuple[str, ...]
    near_zero: str      # the unit of the reading near zero that closes a live group, or ""


@dataclass(frozen=True, slots=True)
class CompletenessRow:
    function: str
    range: str
    row: str
    tested: str         # the steps, or ""
    because: str


@dataclass(frozen=True, slots=True)
class Worked:
    function: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Equipment:
    name: str
    description: str
    certificate: str
    due: str
    outputs: tuple[tuple[str, str, str], ...]  # output, reach, terminals


@dataclass(frozen=True, slots=True)
class Procedure:
    id: str
    title: str
    plan: Plan
    meter: Meter
    standards: tuple[Standard, ...]
    decision_rule: str
    ambient: str
    growth: str         # "" inside the reference band
    humidity: str
    groups: tuple[Group, ...]
    equipment: tuple[Equipment, ...]
    completeness: tuple[CompletenessRow, ...]
    notes: tuple[str, ...]
    worked: tuple[Worked, ...]
    highest_volts: str
    revision: str = ""

    @property
    def points(self) -> list[Point]:
        return [point for group in self.groups for point in group.points]

    @property
    def has_live(self) -> bool:
        return any(group.live for group in self.groups)


def compute(document: Document, plan: Plan, meter: Meter, standards: list[Standard],
            functions: dict[str, FunctionView]) -> tuple[Procedure | None, list[Problem]]:
    """The procedure of a plan whose own rules hold, or its problems."""
    holds, problems = conditions(document, plan, meter)
    if holds is None:
        return None, problems
    planner = Planner(document, plan, functions, standards, holds.growth).run()
    groups = _groups(plan, planner.planned, {f.title for f in meter.functions if not f.ranges})
    table, forgotten = _completeness(document, plan, meter, functions, planner, groups)
    problems = planner.problems + forgotten
    if errors(problems):
        return None, problems
    judged = [p for p in planner.planned if p.judged]
    volts = max((p.volts for p in planner.planned), default=Fraction(0))
    procedure = Procedure(
        id=plan.plan, title=plan.title, plan=plan, meter=meter, standards=tuple(standards),
        decision_rule=plan.decision_rule,
        ambient=str(holds.ambient).replace(" degC", " °C").replace(" degF", " °F"),
        growth=_growth(holds, meter), humidity=str(meter.specification.humidity or ""),
        groups=tuple(groups),
        equipment=tuple(_equipment(s, planner.planned) for s in standards),
        completeness=tuple(table), notes=tuple(_notes(judged)),
        worked=tuple(_worked(judged, holds)),
        highest_volts=wording.number(volts) + wording.NARROW + "V" if volts else "",
    )
    return _with_revision(procedure), []


# ---------------------------------------------------------------- groups in the order of work

def _groups(plan: Plan, planned: list[Planned], titles: set[str]) -> list[Group]:
    """`titles` are the functions without an accuracy table, which checks test."""
    setups: dict[tuple, list[Planned]] = {}
    for point in planned:
        stage = stage_of(stage=point.function.kind.stage, hazardous=point.is_hazardous, full_scale=point.range.full_scale)
        setup = ((point.function.jacks(point.range)), (point.standard.standard, *point.output.terminals),
                 (point.function.title, point.function.dial(point.range)))
        setups.setdefault((stage, setup), []).append(point)
    by_stage = [[setup for stage, setup in setups if stage == one] for one in STAGES]
    ordered = fewest_changes(by_stage)
    groups: list[Group] = []
    for stage, in_stage, order in zip(STAGES, by_stage, ordered):
        checks = [c for c in plan.checks if (c.when or CHECKS[c.check].when) == stage]
        if checks:
            groups.append(_check_group(len(groups) + 1, stage, checks, titles))
        for i in order:
            groups.append(_point_group(len(groups) + 1, stage, setups[(stage, in_stage[i])]))
        if stage == "amps" and (used := {g.jacks for g in groups if g.stage in ("milliamps", "amps")}):
            groups += _proving_group(len(groups) + 1, planned, used)
    return groups


def _check_group(number: int, stage: str, checks, titles: set[str]) -> Group:
    steps = []
    for n, check in enumerate(checks, 1):
        known = CHECKS.get(check.check)
        covers = check.covers or (known.covers if known and known.covers in titles else "")
        steps.append(CheckStep(f"{number}.{n}", wording.capital(check.check), check.do or known.do,
                               check.good or known.good, covers))
    return Group(number, instructions.CHECK_TITLES[stage], stage, False, (), (), instructions.check_opening(stage),
                 (), tuple(steps), (), "")


def _point_group(number: int, stage: str, planned: list[Planned]) -> Group:
    planned = sorted(planned, key=lambda p: (
        p.forced, bool(p.observe) and p.applied != 0, not p.observe, p.range.full_scale, p.hertz or 0, abs(p.applied), p.applied < 0))
    first = planned[0]
    live = any(p.is_hazardous for p in planned)
    points = tuple(_point(f"{number}.{n}", p) for n, p in enumerate(planned, 1))
    largest = max(planned, key=lambda p: abs(p.applied))
    top = wording.amount(abs(largest.applied), largest.function.names[largest.range].unit)
    return Group(
        number, instructions.point_title(stage, first, top), stage, live, first.function.jacks(first.range),
        instructions.warnings(stage, planned, top), instructions.opening(stage, planned, live), points, (),
        instructions.closing(first), first.function.unit.shown if live else "")


def _proving_group(number: int, planned: list[Planned], current_jacks: set[tuple]) -> list[Group]:
    """After currents: a low voltage proves that the lead is back in the voltage jack and the meter reads."""
    low = [p for p in planned if p.judged and p.function.kind.name == "DC voltage" and not p.is_hazardous and p.applied > 0]
    if not low:
        return [Group(number, instructions.PROVING_TITLE, "proving", False, (), (), instructions.PROVING_ALONE, (), (), (), "")]
    proof = max(low, key=lambda p: (p.range.full_scale <= 10, p.applied))
    jacks = proof.function.jacks(proof.range)
    if current_jacks == {jacks}:
        return []  # one pair of jacks for all: no lead was moved
    point = replace(_point(f"{number}.1", proof), id=proof.id + "-after-currents")
    return [Group(number, instructions.PROVING_TITLE, "proving", False, jacks, (),
                  (instructions.PROVING_ALONE[0], *instructions.opening("proving", [proof], False)), (point,), (),
                  instructions.closing(proof), "")]


def _point(step: str, p: Planned) -> Point:
    unit = p.function.names[p.range].unit
    places = wording.decimals(p.range.resolution, unit)
    at = [wording.frequency(p.hertz)] if p.hertz is not None else []
    if p.level is not None:
        at.append(wording.quantity(p.level))
    j = p.judged

    def reading(counts: int) -> str:
        return wording.number(wording.in_unit(counts * p.range.resolution, unit), places)

    return Point(
        id=p.id, step=step, planned=p, apply=wording.amount(p.applied, unit, places), at=", ".join(at),
        range=wording.quantity(p.function.names[p.range]), forced=p.forced,
        accept_from=reading(j.accepted.low) if j else "", accept_to=reading(j.accepted.high) if j else "",
        unit=unit.shown, tolerance=wording.tolerance(j.tolerance, unit, places) if j else "",
        hazardous=p.is_hazardous, observe=p.observe or "")


# ---------------------------------------------------------------- completeness

def _completeness(document: Document, plan: Plan, meter: Meter, functions: dict[str, FunctionView], planner: Planner,
                  groups: list[Group]) -> tuple[list[CompletenessRow], list[Problem]]:
    required, shown = [], {}
    for given in meter.functions:
        view = functions[given.title]
        for on in view.table.ranges:
            for row in on.rows:
                key = (view.title, on.full_scale, row)
                required.append(key)
                shown[key] = (wording.quantity(view.names[on]), instructions.row_text(view, on, row))
        if not view.table.ranges:
            required.append((view.title, None, None))
            shown[(view.title, None, None)] = ("", "")
    tested: dict[tuple, list[str]] = {}
    for group in groups:
        for point in group.points:
            if point.planned.judged and group.stage != "proving":
                key = (point.planned.function.title, point.planned.range.full_scale, point.planned.judged.row)
                tested.setdefault(key, []).append(point.step)
        for check in group.checks:
            if check.covers:
                tested.setdefault((check.covers, None, None), []).append(check.step)
    patterns = []
    for i, left in enumerate(plan.left_out):
        view = functions[left.function]
        on = view.range(left.range)
        rows = [row for one in ([on] if on else view.table.ranges) for row in one.rows
                if (left.frequency or left.values) and (not left.frequency or row.frequency == left.frequency.band)
                and (not left.values or row.values == left.values.band)]
        if (left.frequency or left.values) and not rows:
            span = left.frequency or left.values
            planner.document_problem(("left_out", i, "frequency" if left.frequency else "values"), "no-row",
                                     f"'{left.function}' has no accuracy row for {span}", "write it as the meter's file does")
        for row in rows or [None]:
            patterns.append(((left.function, on.full_scale if on else None, row), i))
    table, unused = completeness(required=required, tested=tested,
                                 left_out=[(p, plan.left_out[i].because) for p, i in patterns])
    problems = []
    used = {patterns[n][1] for n in range(len(patterns)) if n not in unused}
    for i, left in enumerate(plan.left_out):
        if i not in used and not errors(planner.problems):
            problems.append(document.problem(("left_out", i), "left-out-but-tested", f"all that this leaves out of '{left.function}' is tested",
                                             "delete this entry"))
    rows = []
    for one in table:
        name, text = shown[one.key]
        rows.append(CompletenessRow(wording.capital(one.key[0]), name, text, ", ".join(one.tested_by), one.left_out_because or ""))
    if not errors(planner.problems):  # points that were refused would be called forgotten too
        problems += _forgotten(document, functions, planner, [one.key for one in table if one.is_forgotten],
                               {one.key[0] for one in table if not one.is_forgotten}, shown)
    return _left_out_together(rows), problems


def _forgotten(document: Document, functions: dict[str, FunctionView], planner: Planner, keys: list[tuple],
               partly: set[str], shown: dict) -> list[Problem]:
    """One problem for a function that is forgotten altogether, one a row for others."""
    problems = []
    for title in dict.fromkeys(key[0] for key in keys):
        view, mine = functions[title], [key for key in keys if key[0] == title]
        unknown = {key: planner.not_found.get((title, next((r for r in view.table.ranges if r.full_scale == key[1]), None), key[2]), "") for key in mine}
        level = ", level: 3 V" if view.kind.needs_level else ""
        hint = f"add '- {{function: {title}, apply: recommended{level}}}', or '- {{function: {title}, because: …}}' under 'left_out'"
        if not view.table.ranges:
            hint = f"add a check with 'covers: {title}', or '- {{function: {title}, because: …}}' under 'left_out'"
        elif view.kind.not_planned:
            hint = f"its points can't be planned yet: '- {{function: {title}, because: …}}' under 'left_out'"
        if title not in partly and not any(unknown.values()):
            problems.append(document.problem(("points",), "forgotten", f"the plan forgets '{title}'", hint, of_key=True))
            continue
        for key in mine:
            (name, text), why = shown[key], unknown[key]
            problems.append(document.problem(
                ("points",), "forgotten", f"the plan forgets '{title}', range {name}, {text}" + (f" (nothing recommended: {why})" if why else ""),
                f"add a point on it, or '- {{function: {title}, range: {next(str(m.range) for m in view.models if m.range.value == key[1])}, because: …}}' under 'left_out'", of_key=True))
    return problems


def _left_out_together(rows: list[CompletenessRow]) -> list[CompletenessRow]:
    """Neighbouring ranges of a function that are left out for one reason share a line."""
    merged: list[CompletenessRow] = []
    for row in rows:
        last = merged[-1] if merged else None
        if last and row.because and (row.function, row.because) == (last.function, last.because):
            names = last.range if row.range in last.range.split(", ") else f"{last.range}, {row.range}"
            merged[-1] = replace(last, range=names, row="")
        else:
            merged.append(row)
    return merged


# ---------------------------------------------------------------- texts beside the points

def _growth(holds: Conditions, meter: Meter) -> str:
    if holds.growth == ONE:
        if holds.ambient.band[0] < meter.specification.holds.band[0] or holds.ambient.band[1] > meter.specification.holds.band[1]:
            return (f"The band goes beyond {instructions.shown_span(meter.specification.holds)}; the limits are those "
                    "inside it, the tightest that hold anywhere in the band.")
        return ""
    return (f"At {instructions.shown_span(holds.ambient)} the accuracy is {wording.number(holds.growth)} times that of "
            f"{instructions.shown_span(meter.specification.holds)} (the meter's own coefficient, "
            f"for {wording.number(holds.degrees)} degrees beyond).")


def _equipment(standard: Standard, planned: list[Planned]) -> Equipment:
    used = {p.function.kind.name for p in planned if p.standard is standard}
    outputs = []
    for output in standard.outputs:
        if output.output in used:
            low, high = output.rows[0].values.low, max((r.values.high for r in output.rows), key=lambda q: q.value)
            reach = "up to " + wording.quantity(high)
            bands = [r.frequency.band for r in output.rows if r.frequency]
            if bands:
                reach += ", " + wording.frequencies((min(b[0] for b in bands), max(b[1] for b in bands)))
            outputs.append((wording.capital(output.output), reach, ", ".join(output.terminals)))
    return Equipment(standard.name, standard.description, standard.certificate, standard.due.isoformat(), tuple(outputs))


def _notes(judged: list[Planned]) -> list[str]:
    """How the limits were computed, as far as this sheet needs it said."""
    notes = list(instructions.HOW_COMPUTED)
    if any(p.judged.accepted.clamped for p in judged):
        notes.append(instructions.CLAMPED)
    if any(p.judged.row.accuracy.percent_of_range for p in judged):
        bases = {}
        for p in judged:
            if p.judged.row.accuracy.percent_of_range:
                unit = p.function.names[p.range].unit
                stated = p.function.model_of[p.range].base is not None
                bases[f"{p.function.title}, {wording.quantity(p.function.names[p.range])} range"] = (
                    wording.amount(p.range.base, unit) + ("" if stated else ", the range's name, since the meter's file says nothing else"))
        notes += [f"Percent of range on {name}: of {base}." for name, base in bases.items()]
    return notes


def _worked(judged: list[Planned], holds: Conditions) -> list[Worked]:
    """One worked line a function: the point in the middle of those that aren't zero."""
    by_function: dict[str, list[Planned]] = {}
    for p in judged:
        if p.applied > 0 or (p.applied < 0 and not any(q.applied > 0 and q.function is p.function for q in judged)):
            by_function.setdefault(p.function.title, []).append(p)
    return [Worked(wording.capital(title), instructions.worked(points[len(points) // 2].function, points[len(points) // 2].judged,
                                              points[len(points) // 2].hertz, holds.growth))
            for title, points in by_function.items()]


def _with_revision(procedure: Procedure) -> Procedure:
    """The revision is a hash over what the sheet says, so it changes when and only when a limit or a text does."""
    fields = {f: getattr(procedure, f) for f in procedure.__slots__}
    said = [procedure_data(procedure), procedure.title, procedure.plan.note, procedure.ambient, procedure.growth,
            procedure.humidity, procedure.notes, procedure.meter.name, procedure.meter.maker,
            procedure.meter.specification.source,
            [[g.title, [w.text for w in g.warnings], g.opening, g.closing, [[c.name, c.do, c.good] for c in g.checks],
              [[p.apply, p.at, p.observe] for p in g.points]] for g in procedure.groups],
            [[e.name, e.certificate, e.due, e.outputs] for e in procedure.equipment],
            [[c.function, c.range, c.row, c.tested, c.because] for c in procedure.completeness],
            [w.lines for w in procedure.worked]]
    text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
    return Procedure(**fields | {"revision": hashlib.sha256(text.encode()).hexdigest()[:12]})
