"""A plan on its way to a text that passes the check, with comments on what a person decides."""

from __future__ import annotations

import math
from fractions import Fraction

from builder.compute.exact.hazard import is_hazardous
from builder.compute.exact.order import INPUTS, THERMOCOUPLES, VOLTAGE
from builder.file_rules import plans as plan_rules
from builder.files import yaml_text
from builder.files.problems import Problem, Wrong, as_text, errors
from builder.files.yaml_text import Document
from builder.first_plan.search import Proposal, ProposedEntry
from builder.first_plan.yaml_lines import comment, flow, listed, visible
from builder.formats.bench_checks import OPTIONAL, suited
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE
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
from builder.shop.contents import Shop

_LEADS = {"length": "1 m", "conductor": "0.75 mm2", "contacts": "40 mohm", "repeats": "10 mohm"}
_LOOP = {"inductance": "2 uH", "inductance_repeats": "0.5 uH"}
_STRAY = {"stray": "120 pF", "stray_repeats": "10 pF"}
_JUNCTION = {"measured": "thermometer bound to the jack", "within": "0.3 degC"}
_TURNS = 4           # of writing, checking and dropping what the check refuses

_STAGES = {THERMOCOUPLES: "The thermocouple input first, before hands warm the meter.",
           INPUTS: "Nothing is applied but known parts.",
           VOLTAGE: "Voltage and what is measured of it; hazardous ones come last on the sheet "
           "by themselves.",
           "current": "Currents, small ones first."}


class Draft:
    """A plan for a meter and its standards, named `slug`; problems call its file `shown`."""

    def __init__(self, shop: Shop, slug: str, meter: Meter, standards: dict[str, Standard],
                 shown: str):
        self.shop, self.meter, self.standards, self.shown = shop, meter, standards, shown
        self.views = shop.functions[meter.meter]
        self.head = {"plan": slug, "title": f"{meter.name[:380]}, verification",
                     "meter": meter.meter, "standards": list(standards),
                     "decision_rule": SIMPLE_ACCEPTANCE, "minimum_tur": "4"}
        if meter.times:
            self.head["verified_against"] = meter.times[-1].text
        if ambient := _ambient(meter, list(standards.values())):
            self.head["ambient"] = ambient
        self.accepted: dict[tuple[str, str], None] = {}   # functions and ranges with a low ratio
        needed = {**self.head, "leads": {**_LEADS, **_STRAY}, "junction": _JUNCTION}
        self.proposal = Proposal(meter, list(standards.values()), self.views, needed).run()

    def written(self) -> tuple[str, Procedure, list[Problem]]:
        """The plan's text, what it computes to, and its warnings; raises `Wrong` if no text passes
        the check."""
        for _ in range(_TURNS):
            text = self._text()
            document, procedure, problems = self._checked(text)
            if procedure is not None:
                low = [point.planned for group in procedure.groups for point in group.points
                       if point.mark]
                self.accepted = {(p.function.title, str(p.function.names[p.range])): None
                                 for p in low}
                return (self._text() if low else text), procedure, problems
            if not self._mend(document, errors(problems)):
                break
        raise Wrong("no plan was found that passes the check:\n" + as_text(errors(problems)))

    def _checked(self, text: str) -> tuple[Document | None, Procedure | None, list[Problem]]:
        """The text as a file would be read: its document, what it computes to, and its problems."""
        document, problems = yaml_text.parse(text, self.shown)
        if document is None:
            return None, None, problems
        plan, document, more, whole = validate(Plan, document)
        problems += more
        if whole:
            problems += plan_rules.plan(document, plan, self.shop.meters, self.shop.standards,
                                        self.shop.broken)
        if errors(problems):
            return document, None, problems
        procedure, more = assemble.compute(document, plan, self.meter,
                                           list(self.standards.values()), self.views)
        return document, procedure, problems + more

    def _mend(self, document: Document | None, refused: list[Problem]) -> bool:
        """Drops the entries that hold errors, so that what they would have tested is left out;
        whether there were any."""
        lines = ({document.place(("points", i)).line: entry
                  for i, entry in enumerate(self._entries())} if document else {})
        doomed = {lines[p.place.line]: None for p in refused if p.place.line in lines}
        for entry in doomed:
            self.proposal.drop(entry)
        self.proposal.settle()
        return bool(doomed)

    def _entries(self) -> list[ProposedEntry]:
        return [entry for entries in self.proposal.entries.values() for entry in entries]

    # ------------------------------------------------------------ its text

    def _text(self) -> str:
        return "\n".join([*self._head(), *self._checks(), *self._points(),
                          *self._left_out()]) + "\n"

    def _head(self) -> list[str]:
        due = min(self.standards.values(), key=lambda s: s.due)
        lines = ["# yaml-language-server: $schema=../.schema/plan.schema.json",
                 *comment("A draft, made from the files of the meter and its standards. Every line "
                          "is yours to change; once it is right, give the file and 'plan' a name "
                          "such as the meter's with '-yearly', and delete the comments.")]
        for key, value in self.head.items():
            if key == "ambient":
                lines += comment("The temperatures that the meter's accuracy and all of these "
                                 "uncertainties hold for: keep the bench inside.")
            if key == "verified_against":
                lines += comment("The time since adjustment whose accuracy is the criterion: the "
                                 "longest of the meter's file, if you name no other.")
            lines.append(f"{key}: {flow(value)}")
        add = {"as_of: …": "the day of the work; then due dates are judged "
               f"({due.name} is due on {due.due})",
               "in_tolerance: 95 %": "the share of such meters that come in tolerance; then risks "
               "are worked out"}
        if "ambient" not in self.head:
            add["ambient: 20 to 26 degC"] = ("the bench, if it keeps closer than the data sheet's "
                                             f"{self.meter.specification.holds}")
        lines += [visible(f"# {key:23} # {text}") for key, text in add.items()]
        planned = self.proposal.trial.planned
        idle = [s.name for s in self.standards.values()
                if s.reads is None and not any(s in p.supply.standards for p in planned)]
        if idle:
            lines += comment(f"No point below needs {' or '.join(idle)}: delete the name from "
                             "'standards' or plan for it.")
        if self.accepted:
            lines += comment("Points under the ratio: a better standard, other points, or a reason "
                             "that the page prints, such as")
            reasons = ({"what": "below minimum TUR", "function": function, "range": name,
                        "because": "…"} for function, name in self.accepted)
            lines += ["# accepted:", *(f"#   - {visible(flow(reason))}" for reason in reasons)]
        if any(p.leads or p.supply.beside for p in planned):
            lines += comment("Two-wire leads: these figures stand in for your bench's own. Measure "
                             "its leads and replace them.")
            given = dict(_LEADS)
            for dimension, known in (("[capacitance]", _STRAY), ("[inductance]", _LOOP)):
                if any(p.leads and p.function.kind.dimension == dimension for p in planned):
                    given |= known
            lines.append(f"leads: {flow(given)}")
        if any(p.supply.method == THERMOCOUPLE for p in planned):
            lines += comment("How the meter's own junction is measured: replace it by what your "
                             "bench does.")
            lines.append(f"junction: {flow(_JUNCTION)}")
        return lines

    def _checks(self) -> list[str]:
        chosen, others = checks(self.meter, self.views, any(
            point.is_hazardous for point in self.proposal.trial.planned))
        lines = ["", *comment("From the library, as far as the meter's file can tell that they "
                              "suit it."),
                 "checks:", *(f"  - {flow(check)}" for check in chosen)]
        if others:
            lines += comment("These may suit it too: " + ", ".join(others) + ".", "  ")
        return lines

    def _points(self) -> list[str]:
        lines, stage, by_hand = ["", "points:"], None, False
        for title, entries in self.proposal.entries.items():
            if not entries:
                continue
            view = self.views[title]
            if view.stage != stage:
                lines += [*([""] if stage else []), *comment(_STAGES[view.stage], "  ")]
                stage = view.stage
            for note in self.proposal.notes[title]:
                lines += comment(note, "  ")
            for entry in entries:
                if entry.by_hand and not by_hand:
                    lines += comment("With 'force_range' a range is selected by hand, here and "
                                     "below: the values that the meter would choose it for can't "
                                     "be applied.", "  ")
                    by_hand = True
                lines += listed(entry.keys())
        return lines if self._entries() else ["", "points: []"]

    def _left_out(self) -> list[str]:
        left = self.proposal.left_out()
        if not left:
            return []
        lines = ["", *comment("What these standards can't test; a reason is printed as it stands "
                              "here."),
                 "left_out:"]
        reads: dict[str, dict[str, None]] = {}
        for entry in left:
            lines += listed(entry)
            kind = self.views[entry["function"]].kind.name
            for standard in self.standards.values():
                if any(measure.what == kind for measure in standard.measures):
                    reads.setdefault(standard.name, {})[kind] = None
        for name, kinds in reads.items():
            lines += comment(f"{name} reads {', '.join(kinds)}: with something else that puts it "
                             "out, 'compare_on' can test it.", "  ")
        return lines


def _ambient(meter: Meter, standards: list[Standard]) -> str:
    """What the plan must say about the bench so that all uncertainties hold; "" where it needn't
    say anything."""
    holds = meter.specification.holds
    given = [s.holds for s in standards if s.holds]
    low, high = holds.celsius
    if all(span.celsius[0] <= low and high <= span.celsius[1] for span in given):
        return ""
    low, high = _common([holds, *given])
    if low >= high and meter.specification.temperature_coefficient:
        low, high = _common(given)  # outside the meter's band its own coefficient counts
    if holds.low.unit.ascii == "degF":
        low, high = low * 9 / 5 + 32, high * 9 / 5 + 32
    low, high = Fraction(math.ceil(low * 10), 10), Fraction(math.floor(high * 10), 10)
    if low >= high:
        raise Wrong("there is no temperature that the meter's accuracy and the uncertainties of "
                    "all these standards hold for",
                    f"they hold at {', '.join(str(s) for s in (holds, *given))}; draft with fewer "
                    "standards")
    return f"{decimal_text(low)} to {decimal_text(high)} {holds.low.unit.ascii}"


def _common(spans: list[Span]) -> tuple[Fraction, Fraction]:
    """In degC, what all of these spans hold; from high to low if there is nothing."""
    return max(s.celsius[0] for s in spans), min(s.celsius[1] for s in spans)


def checks(meter: Meter, views: dict[str, MeterFunction],
           planned_live: bool) -> tuple[list[str | dict], list[str]]:
    """The library's checks that suit a meter, and the names of those that may. Functions without an
    accuracy table are covered by the first check that can. `planned_live` says that a point of the
    plan is hazardous, by a signal's level too."""
    live = planned_live or any(
        is_hazardous(volts=on.highest, ac=view.kind.is_ac) for view in views.values()
        if view.kind.dimension == "[voltage]" for on in view.table.ranges)
    open_: dict[str, list[str]] = {}   # functions without a table, by their kind
    for f in meter.functions:
        if not f.ranges:
            open_.setdefault(f.function, []).append(f.title)
    chosen: list[str | dict] = []
    others = []
    for check in suited(kinds={f.function for f in meter.functions},
                        current_jacks=meter.has_current_jacks, live=live):
        titles = open_.pop(check.covers, []) if OPTIONAL not in check.suits else []
        if titles:
            chosen += [{"check": check.name, "covers": title} for title in titles]
        elif OPTIONAL in check.suits or check.at_hand or check.covers:
            others.append(check.name
                          + (f" (with {' and '.join(check.at_hand)})" if check.at_hand else ""))
        else:
            chosen.append(check.name)
    return chosen, others
