"""A first plan for a meter, written from its own file and those of the standards: complete, and
ready to edit."""

from __future__ import annotations

import math
import os
import re
import tempfile
import textwrap
from fractions import Fraction
from pathlib import Path

from builder import file_rules
from builder.compute.exact.hazard import is_hazardous
from builder.files import problems, yaml_text
from builder.files.problems import Problem, Wrong
from builder.first_plan.search import Proposal
from builder.formats.bench_checks import OPTIONAL, suited
from builder.formats.fields import Span
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.formats.validation import validate
from builder.numbers.units import decimal_text
from builder.procedure import assemble
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure
from builder.procedure.supplies import THERMOCOUPLE
from builder.shop import loading
from builder.shop.contents import Shop

_LEADS = {"length": "1 m", "conductor": "0.75 mm2", "contacts": "40 mohm", "repeats": "10 mohm"}
_STRAY = {"stray": "120 pF", "stray_repeats": "10 pF"}
_JUNCTION = {"measured": "thermometer bound to the jack", "within": "0.3 degC"}
_TURNS = 4           # of writing, checking and dropping what the check refuses
_ONE_LINE = 150      # characters; a longer entry has a line for each key
_LONGEST_NAME = 54   # of the meter's 60, so that '-draft' fits behind it

_STAGES = {"thermocouple": "The thermocouple input first, before hands warm the meter.",
           "inputs": "Resistance and capacitance: nothing is applied but known parts.",
           "voltage": "Voltage and what is measured of it; hazardous ones come last on the sheet "
           "by themselves.",
           "current": "Currents, small ones first."}


def draft(folder: Path, meter: str, *standards: str) -> tuple[str, list[Problem]]:
    """Writes the plan into the folder of the shop. Gives what was written in a sentence without its
    stop, and the draft's warnings; raises `Wrong` with the reason where there is none."""
    path, text, procedure, warnings = compose(loading.load_shop(folder, plans=False), folder, meter,
                                              *standards)
    shown = f"{folder.name}/plans/{path.name}"
    _write(path, text, shown)
    points = sum(1 for group in procedure.groups if group.stage != "proving"
                 for point in group.points if point.planned.judged)
    left = len(procedure.plan.left_out)
    return (f"{shown}: {points} point{'' if points == 1 else 's'}, {left or 'nothing'} left "
            f"out{', each with its reason' if left > 1 else ''}"), warnings


def compose(shop: Shop, folder: Path, meter: str,
            *standards: str) -> tuple[Path, str, Procedure, list[Problem]]:
    """The draft's path and text, what it computes to, and its warnings; raises `Wrong`."""
    slug = _named(shop, "meters", shop.meters, meter)
    used = {name: shop.standards[name]
            for name in (_named(shop, "standards", shop.standards, one) for one in standards)}
    plan = slug[:_LONGEST_NAME].rstrip("-") + "-draft"
    path = folder / "plans" / f"{plan}.yaml"
    if os.path.lexists(path):
        raise Wrong(
            f"{folder.name}/plans/{path.name} exists already, and a draft never overwrites a plan",
            "give it another name, in the file too ('plan: …'), or delete it; then draft again")
    return path, *_Draft(shop, plan, shop.meters[slug], used,
                         f"{folder.name}/plans/{path.name}").written()


def _named(shop: Shop, kind: str, known: dict, name: str) -> str:
    """A file by its name, with or without its folder, or by the name that it states."""
    word, name = kind.removesuffix("s"), Path(name).stem if name.endswith(".yaml") else name
    found = (name if name in known
             else next((slug for slug, one in known.items() if one.name.lower() == name.lower()),
                       None))
    stem = found or name
    if f"{kind}/{stem}" in shop.broken:
        own = [p for p in shop.errors if p.place.file.endswith(f"/{kind}/{stem}.yaml")]
        raise Wrong(f"the {word}'s file has problems:\n" + problems.as_text(own))
    if found is None:
        others, other = (shop.standards, "standard") if kind == "meters" else (shop.meters, "meter")
        if name in others:
            hint = f"'{name}' is a {other}: the meter comes first, then the standards"
        else:
            hint = file_rules.nearest(name, known) or f"add it as a file in {kind}/"
        raise Wrong(f"there is no {word} '{name}'", hint)
    return found


def _write(path: Path, text: str, shown: str) -> None:
    """All of it or nothing: beside its place first, where no command reads it."""
    made = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, made = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(made, 0o666 & ~_umask())
        os.replace(made, path)
        made = None
    except OSError as error:
        raise Wrong(f"{shown} can't be written: {error.strerror or error}") from None
    finally:
        if made is not None:
            os.unlink(made)


def _umask() -> int:
    now = os.umask(0)
    os.umask(now)
    return now


# ---------------------------------------------------------------- the plan

class _Draft:
    """A plan on its way to a text that passes the check."""

    def __init__(self, shop: Shop, slug: str, meter: Meter, standards: dict[str, Standard],
                 shown: str):
        self.shop, self.meter, self.standards, self.shown = shop, meter, standards, shown
        self.views = shop.functions[meter.meter]
        self.head = {"plan": slug, "title": f"{meter.name[:380]}, verification",
                     "meter": meter.meter, "standards": list(standards),
                     "decision_rule": "simple acceptance", "minimum_tur": "4"}
        if ambient := _ambient(meter, list(standards.values())):
            self.head["ambient"] = ambient
        self.accepted: dict[tuple[str, str], None] = {}   # functions and ranges with a low ratio
        needed = {**self.head, "leads": {**_LEADS, **_STRAY}, "junction": _JUNCTION}
        self.proposal = Proposal(meter, list(standards.values()), self.views, needed).run()

    def written(self) -> tuple[str, Procedure, list[Problem]]:
        for _ in range(_TURNS):
            text = self.text()
            document, procedure, found = self._checked(text)
            if procedure is not None:
                for point in (point for group in procedure.groups for point in group.points
                              if point.mark):
                    p = point.planned
                    self.accepted[p.function.title, str(p.function.names[p.range])] = None
                return (self.text() if self.accepted else text), procedure, found
            self._mend(document, found)
        raise Wrong("no plan was found that passes the check:\n"
                    + problems.as_text(problems.errors(found)))

    def _checked(self, text: str):
        """The text as a file would be read: its document, what it computes to, and its problems."""
        document, found = yaml_text.parse(text, self.shown)
        if document is None:
            return None, None, found
        plan, document, more, whole = validate(Plan, document)
        found += more
        if whole:
            found += file_rules.plan(document, plan, self.shop.meters, self.shop.standards,
                                     self.shop.broken)
        if problems.errors(found):
            return document, None, found
        procedure, more = assemble.compute(document, plan, self.meter,
                                           list(self.standards.values()), self.views)
        return document, procedure, found + more

    def _mend(self, document, found: list[Problem]) -> None:
        """Drops the entries that hold errors; what they would have tested is left out then."""
        entries = self._entries()
        lines = ({document.place(("points", i)).line: entry for i, entry in enumerate(entries)}
                 if document else {})
        doomed = {lines[p.place.line]: None for p in problems.errors(found)
                  if p.place.line in lines}
        if not doomed:
            raise Wrong("no plan was found that passes the check:\n"
                        + problems.as_text(problems.errors(found)))
        for entry in doomed:
            self.proposal.drop(entry)
        self.proposal.settle()

    def _entries(self) -> list:
        return [entry for entries in self.proposal.entries.values() for entry in entries]

    # ------------------------------------------------------------ its text

    def text(self) -> str:
        return "\n".join([*self._head(), *self._checks(), *self._points(),
                          *self._left_out()]) + "\n"

    def _head(self) -> list[str]:
        due = min(self.standards.values(), key=lambda s: s.due)
        lines = ["# yaml-language-server: $schema=../../builder/schema/plan.schema.json",
                 *comment(
                     "A draft, made from the files of the meter and its standards. Every line is "
                     "yours to change; once it is "
                     "right, give the file and 'plan' a name such as the meter's with '-yearly', "
                     "and delete the comments.")]
        for key, value in self.head.items():
            if key == "ambient":
                lines += comment(
                    "The temperatures that the meter's accuracy and all of these uncertainties "
                    "hold for: keep the bench inside.")
            lines.append(f"{key}: {flow(value)}")
        add = {
            "as_of: …": f"the day of the work; then due dates are judged ({due.name} is due on "
            f"{due.due})",
            "in_tolerance: 95 %": "the share of such meters that come in tolerance; then risks are "
            "worked out"}
        if "ambient" not in self.head:
            add[
                "ambient: 20 to 26 degC"] = (
                    "the bench, if it keeps closer than the data sheet's "
                    f"{self.meter.specification.holds}")
        lines += [visible(f"# {key:23} # {text}") for key, text in add.items()]
        planned = self.proposal.trial.planned
        idle = [s.name for s in self.standards.values()
                if not any(s in p.supply.standards for p in planned)]
        if idle:
            lines += comment(
                f"No point below needs {' or '.join(idle)}: delete the name from 'standards' or "
                "plan for it.")
        if self.accepted:
            lines += comment(
                "Points under the ratio: a better standard, other points, or a reason that the "
                "page prints, such as")
            lines += (((["# accepted:",
                         *(
                             f"#   - {visible(flow({'what': 'below minimum TUR', 'function': function, 'range': name, 'because': '…'}))}"
                             for function, name in self.accepted)])))
        if any(p.leads for p in planned):
            lines += comment(
                "Two-wire leads: these figures stand in for your bench's own. Measure its leads "
                "and replace them.")
            stray = any(p.leads and p.function.kind.dimension == "[capacitance]" for p in planned)
            lines.append(f"leads: {flow({**_LEADS, **(_STRAY if stray else {})})}")
        if any(p.supply.method == THERMOCOUPLE for p in planned):
            lines += comment(
                "How the meter's own junction is measured: replace it by what your bench does.")
            lines.append(f"junction: {flow(_JUNCTION)}")
        return lines

    def _checks(self) -> list[str]:
        chosen, others = checks(self.meter, self.views)
        lines = ["",
                 *comment(
                     "From the library, as far as the meter's file can tell that they suit it."),
                 "checks:"]
        lines += [f"  - {flow(one)}" for one in chosen]
        return lines + (comment("These may suit it too: " + ", ".join(others) + ".", "  ") if others
                        else [])

    def _points(self) -> list[str]:
        lines, stage, by_hand = ["", "points:"], None, False
        for title, entries in self.proposal.entries.items():
            view = self.views[title]
            if entries and view.kind.stage != stage:
                lines += [*([""] if stage else []), *comment(_STAGES[view.kind.stage], "  ")]
                stage = view.kind.stage
            lines += [line for note in (self.proposal.notes[title] if entries else [])
                      for line in comment(note, "  ")]
            for entry in entries:
                if entry.by_hand and not by_hand:
                    lines += comment(
                        "With 'force_range' a range is selected by hand, here and below: the "
                        "values that the meter would "
                        "choose it for can't be applied.", "  ")
                    by_hand = True
                lines += listed(entry.keys())
        return lines if self._entries() else ["", "points: []"]

    def _left_out(self) -> list[str]:
        left = self.proposal.left_out()
        if not left:
            return []
        lines = ["",
                 *comment(
                     "What these standards can't test; a reason is printed as it stands here."),
                 "left_out:"]
        reads: dict[str, dict[str, None]] = {}
        for one in left:
            lines += listed(one)
            kind = self.views[one["function"]].kind.name
            for standard in self.standards.values():
                if any(one.what == kind for one in standard.measures):
                    reads.setdefault(standard.name, {})[kind] = None
        for name, kinds in reads.items():
            lines += comment(
                f"{name} reads {', '.join(kinds)}: with something else that puts it out, "
                "'compare_on' can test it.", "  ")
        return lines


def _ambient(meter: Meter, standards: list[Standard]) -> str:
    """What the plan must say about the bench so that all uncertainties hold; "" where it needn't
    say anything."""
    holds = meter.specification.holds
    given = [s.holds for s in standards if s.holds]
    low, high = holds.celsius
    if all(one.celsius[0] <= low and high <= one.celsius[1] for one in given):
        return ""
    spans: list[Span] = [holds, *given]
    if (max(s.celsius[0] for s in spans) >= min(s.celsius[1]
                                                for s in spans)
        and meter.specification.temperature_coefficient):
        spans = given  # outside the meter's band its own coefficient counts
    degF = holds.low.unit.ascii == "degF"
    low, high = (one * 9 / 5 + 32 if degF else one
                 for one in (max(s.celsius[0] for s in spans), min(s.celsius[1] for s in spans)))
    low, high = Fraction(math.ceil(low * 10), 10), Fraction(math.floor(high * 10), 10)
    if low >= high:
        raise Wrong(
            "there is no temperature that the meter's accuracy and the uncertainties of all these "
            "standards hold for",
            f"they hold at {', '.join(str(s) for s in (holds, *given))}; draft with fewer "
            "standards")
    return f"{decimal_text(low)} to {decimal_text(high)} {holds.low.unit.ascii}"


def checks(meter: Meter, views: dict[str, MeterFunction]) -> tuple[list[str | dict], list[str]]:
    """The library's checks that suit a meter, and the names of those that may. Functions without an
    accuracy table are covered by the first check that can."""
    volts = [view for view in views.values() if view.kind.dimension == "[voltage]"
             and view.table.ranges]
    known = {jack for view in volts for on in view.table.ranges for jack in view.jacks(on)}
    currents = [view for view in views.values() if view.kind.dimension == "[current]"
                and not view.given.clamp]
    own = any(set(view.jacks(on)) - known for view in currents for on in view.table.ranges)
    live = any(is_hazardous(volts=on.highest, ac=view.kind.is_ac) for view in volts
               for on in view.table.ranges)
    open_: dict[str, list[str]] = {}   # functions without a table, by their kind
    for f in meter.functions:
        if not f.ranges:
            open_.setdefault(f.function, []).append(f.title)
    chosen: list[str | dict] = []
    others = []
    for one in suited(kinds={f.function for f in meter.functions}, current_jacks=own, live=live):
        titles = open_.pop(one.covers, []) if OPTIONAL not in one.suits else []
        if titles:
            chosen += [{"check": one.name, "covers": title} for title in titles]
        elif OPTIONAL in one.suits or one.at_hand or one.covers:
            others.append(one.name
                          + (f" (with {' and '.join(one.at_hand)})" if one.at_hand else ""))
        else:
            chosen.append(one.name)
    return chosen, others


# ---------------------------------------------------------------- text that the reader reads back

_UNQUOTED = re.compile(r"(?:-?[0-9]|[A-Za-z…])[A-Za-z0-9 .%/()+;'’–…-]*")


def scalar(text: str) -> str:
    """A text as it may stand anywhere in a file: plain if nothing in it means anything to YAML,
    else in quotes."""
    if _UNQUOTED.fullmatch(text) and not text.endswith(" "):
        return text
    return '"' + "".join(map(_escaped, text)) + '"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    if character.isprintable():
        return character
    number = ord(character)
    return (f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}" if number < 0x10000
            else f"\\U{number:08x}")


def flow(value: str | list | dict) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow(one)}" for key, one in value.items()) + "}"
    return "[" + ", ".join(map(flow, value)) + "]" if isinstance(value, list) else scalar(value)


def listed(entry: dict) -> list[str]:
    """An entry of a list, on one line if it is short."""
    line = f"  - {flow(entry)}"
    if len(line) <= _ONE_LINE:
        return [line]
    return [f"  {'-' if n == 0 else ' '} {key}: {flow(value)}" for n,
            (key, value) in enumerate(entry.items())]


def visible(text: str) -> str:
    """On one line, and nothing in it that the reader refuses."""
    return "".join(character if character.isprintable() else " " if character.isspace() else "?"
                   for character in text)


def comment(text: str, indent: str = "") -> list[str]:
    return [f"{indent}# {line}"
            for line in textwrap.wrap(visible(text), 112 - len(indent), break_long_words=False,
                                      break_on_hyphens=False)]
