"""A plan's file: which points of a meter are tried, with what, and what is left out and why."""

from __future__ import annotations

import difflib
import re
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from builder.compute.statistics.decision import Rule
from builder.files.problems import Wrong
from builder.formats import patterns
from builder.formats.accuracy import AccuracyField
from builder.formats.bench import Junction, Leads, Repeatability
from builder.formats.bench_checks import STAGES, unit_of_blank
from builder.formats.decision_rule import RULES, SIMPLE_ACCEPTANCE, rule_of
from builder.formats.fields import (Agreed, Amount, Date, OneOrMore, PositiveAmount, Slug, SpanText,
                                    Strict, Text, exact, one_of)
from builder.formats.stated import ChangeField, DurationField
from builder.formats.row_parts import FrequenciesField, FrequencyField, ValuesField
from builder.numbers import units
from builder.numbers.units import Quantity

MOST_POINTS = 2000      # of a plan: more than anybody tries, and a slip makes them soon
RECOMMENDED = "recommended"


def _applied(text: str) -> Quantity | str:
    if text == RECOMMENDED:
        return RECOMMENDED
    if difflib.get_close_matches(text, [RECOMMENDED], 1, 0.6):
        raise Wrong(f"'{text}' is neither a value nor '{RECOMMENDED}'",
                    f"did you mean '{RECOMMENDED}'?")
    return units.quantity(text)


Applied = Annotated[Quantity | str, *exact(
    _applied, examples=["recommended", "3 V", "-540 mV"],
    pattern=f"^{RECOMMENDED}$|{patterns.AMOUNT}")]

# What is looked for, and the kind of function that it is looked for on.
FINDS = {"ceiling": "frequency", "sensitivity": "frequency", "bandwidth": "AC"}


class PointSet(Strict):
    function: Text = Field(description="A function of the meter, by its name.")
    range: Amount | None = Field(None,
                                 description="The range that an autoranging meter will be on; to "
                                 "be selected on a manual one.")
    force_range: Amount | None = Field(None,
                                       description="The range to select by hand on an autoranging "
                                       "meter.")
    apply: OneOrMore[Applied] = Field(description="The values to apply, or 'recommended'.")
    frequency: OneOrMore[FrequencyField] | None = Field(
        None, description="For AC: each value is applied at each of these.")
    level: PositiveAmount | None = Field(None,
                                         description="For frequency and duty cycle: the signal's "
                                         "level.")
    wave: Literal["square", "triangle"] | None = Field(
        None, description="For AC: the source's waveform if it isn't a sine; values are r.m.s.")
    find: Annotated[str, one_of(FINDS)] | None = Field(
        None, description="What the operator looks for from this point on, as an observation: a "
        "counter's 'ceiling' or 'sensitivity', an AC function's 'bandwidth'.")
    zero: Literal["subtract",
                  "relative"] = Field("subtract",
                                      description="For two-wire readings: how the leads are taken "
                                      "off, by hand or with the meter's relative function.")
    compare_on: Text | None = Field(None,
                                    description="Compares with a reference meter on this, such as "
                                    "'an electrolytic of about 470 uF'; 'apply' is then about what "
                                    "it gives.")
    at: PositiveAmount | None = Field(None,
                                      description="For a current that is compared: the voltage of "
                                      "its circuit, such as '230 V' where it comes from the mains.")
    changes: ChangeField | None = Field(
        None, description="How far what is compared may change between the reference reading and "
        "the meter's, as plain limits, such as '0.2 %'; or 'none, because …'.")
    other_method: AccuracyField | None = Field(
        None, description="How far a capacitance may be off where standard and meter have other "
        "methods, as plain limits, such as '2 %'.")
    observe: Text | None = Field(None,
                                 description="Makes these points observations without limits, for "
                                 "this reason.")
    standard: Slug | None = Field(None,
                                  description="Which of the plan's standards, if not the first "
                                  "that can.")


class LeftOut(Strict):
    function: Text | None = Field(None, description="A function of the meter.")
    check: Text | None = Field(None, description="Or a check that the builder knows and whose no "
                               "stops everything.")
    range: Amount | None = Field(None, description="If it is only this range.")
    frequency: FrequenciesField | None = Field(
        None, description="The accuracy row, by its frequencies.")
    values: ValuesField | None = Field(None, description="The accuracy row, by its values; or the "
                                    "range from the highest point that is tried to its end.")
    because: Text = Field(
        description="The reason, such as 'beyond the reach of the source'; the sheet prints it.")


def _label(text: str) -> str:
    if len(text) > 40:
        raise Wrong("the label of a blank is longer than 40 characters",
                    "a blank is 27 mm wide: say it shorter, such as 'lowest'")
    return text


def _unit_of_blank(text: str) -> str:
    if len(text) > 8:
        raise Wrong(f"'{text[:70]}' is too long for a blank's unit",
                    "at most 8 characters, such as 'V', 'ohm' or 'mm'")
    if text.lower() in units.COMMON:
        return units.unit(text).shown  # says what is meant where only the capitals differ
    return unit_of_blank(text)[0]


Label = Annotated[str, *exact(_label, maxLength=40)]
BlankUnit = Annotated[str, *exact(_unit_of_blank, maxLength=8)]


def _asked_number(text: str) -> tuple[Fraction, str]:
    number, unit = units.split_number(text)
    return number, _unit_of_blank(unit) if unit else ""


# A number that a check asks for, and its unit as it was written.
AskedNumber = Annotated[tuple[Fraction, str], *exact(_asked_number, examples=["20 min", "4 mm"])]


class PlannedCheck(Strict):
    check: Text = Field(
        description="One of the checks that the builder knows, or your own with 'when', 'do', "
        "'good', 'stops' and 'of'.")
    when: Annotated[str, one_of(STAGES)] | None = Field(
        None, description="The part of the work that it belongs to.")
    do: Text | None = Field(None,
                            description="What to do; a semicolon and a space between one action "
                            "and the next.")
    good: Text | None = Field(None, description="What counts as good.")
    write: Label | None = Field(None, description="What to write down, a few words above a blank, "
                                "such as 'lowest'; without it, yes or no is the record.")
    unit: BlankUnit | None = Field(None, description="The unit of what is written down.")
    at_least: AskedNumber | None = Field(
        None, description="The number written down, with its unit, such as '20 min': less is not "
        "good, whatever is ticked.")
    at_most: AskedNumber | None = Field(None, description="Likewise, such as '4 mm'.")
    mistake: Text | None = Field(None, description="The common way to get it wrong, short.")
    covers: Text | None = Field(None,
                                description="The function without an accuracy table that this "
                                "check tests.")
    stops: Text | None = Field(None, description="Of your own check, what a no stops: "
                               "'everything', 'nothing', a function of the meter or one of its "
                               "jacks.")
    of: Literal["meter", "bench"] | None = Field(None, description="Of your own check, what it "
                                                 "looks at.")


def _ratio(text: str) -> Fraction:
    number, rest = units.split_number(text)
    if rest not in ("", ":1", ": 1") or not 0 < number <= 1000:
        raise Wrong(f"'{text}' is no test uncertainty ratio", "write '4' for 4:1")
    return number


def _share(text: str) -> Fraction:
    number, rest = units.split_number(text)
    if rest != "%" or not 1 <= number <= Fraction("99.99"):
        raise Wrong(f"'{text}' is no share", "a percentage from 1 to 99.99, such as '95 %'")
    return number / 100


def _coverage(text: str) -> Fraction:
    share = _share(text)
    if share not in (Fraction("0.95"), Fraction("0.9545")):
        raise Wrong(f"'{text}' is not a coverage probability that U and TUR are stated at",
                    "'95.45 %', or '95 %' where a standard's text asks for it")
    return share


class AcceptedShortfall(Strict):
    """Something that the plan accepts about a standard, with the reason that the page prints."""

    what: Literal["overdue", "out of reach", "below minimum TUR"] = Field(
        description="Overdue, out of reach, or below minimum TUR.")
    function: Text | None = Field(None, description="Only for this function.")
    range: Amount | None = Field(None, description="Only for this range.")
    standard: Slug | None = Field(None, description="Only for this standard.")
    because: Text = Field(description="The reason; the sheet prints it.")


def _interval(text: str) -> str:
    match = re.fullmatch(r"([0-9]{1,3}) (day|week|month|year)s?", text)
    if not match or int(match[1]) == 0:
        raise Wrong(f"'{text}' is no interval", "such as '12 months' or '2 years'")
    return f"{int(match[1])} {match[2]}{'' if int(match[1]) == 1 else 's'}"


DecisionRule = Annotated[Rule, *exact(rule_of, anyOf=[{"enum": list(RULES)},
                                                      {"pattern": r"^guard band of [0-9.]+ U$"}])]
Ratio = Annotated[Fraction, *exact(_ratio, type=["number", "string"])]
Share = Annotated[Fraction, *exact(_share, examples=["95 %"])]
Coverage = Annotated[Fraction, *exact(_coverage, examples=["95.45 %", "95 %"])]
Interval = Annotated[str, *exact(_interval, examples=["12 months"])]


def _check(value):
    """A check's name alone is an entry too."""
    return {"check": value} if isinstance(value, str) else value


class Plan(Strict):
    STAND_INS = {"plan": "x", "title": "x", "decision_rule": SIMPLE_ACCEPTANCE, "points": []}

    plan: Slug = Field(description="The file's name without '.yaml'.")
    title: Text = Field(description="Heads the sheet, such as 'Dunlin 60, yearly verification'.")
    meter: Slug = Field(description="The meter, by its file's name.")
    standards: OneOrMore[Slug] = Field(
        description="The standards by their files' names, the one to prefer first.")
    decision_rule: DecisionRule = Field(
        description="How a reading is judged: " + ", ".join(RULES) + ", or 'guard band of 0.8 U'.")
    rule_agreed: Agreed | None = Field(
        None, description="With whom the decision rule was agreed, and when, such as 'with the "
        "deck department, 2023-11-02'.")
    outcomes: Literal["two", "four"] = Field("two",
                                             description="'four' adds conditional pass and "
                                             "conditional fail on both sides of the tolerance "
                                             "limit.")
    coverage: Coverage = Field(
        Fraction("0.9545"), description="The probability that U stands for; 95.45 % if left out.")
    minimum_tur: Ratio | None = Field(
        None, description="The least test uncertainty ratio that is good enough, such as '4'.")
    below_minimum_tur: Literal["error", "warning"] = Field(
        "warning", description="What a point under it is.")
    overdue: Literal["error", "warning"] = Field(
        "error", description="What a standard past its due date at 'as_of' is.")
    accepted: list[AcceptedShortfall] = Field(default_factory=list,
                                              description="What is accepted about the standards "
                                              "all the same, and why.")
    verified_against: DurationField | None = Field(
        None, description="Which accuracy is the criterion, where the meter's file states it by "
        "time since adjustment, such as '1 year'.")
    in_tolerance: Share | None = Field(
        None, description="The share of such meters that are in tolerance when they come, for the "
        "global risks.")
    as_of: Date | None = Field(None,
                               description="The day for which due dates and intervals are judged.")
    interval_agreed: Interval | None = Field(
        None, description="The interval that the meter's owner agreed to, such as '12 months'; "
        "without it a report recommends none.")
    ambient: SpanText | None = Field(None,
                                     description="The bench's temperatures, if not those that the "
                                     "accuracy holds for.")
    humidity: SpanText | None = Field(None,
                                      description="The bench's relative humidity, if not that "
                                      "which the accuracy holds for, such as '75 to 90 %'.")
    note: Text | None = Field(None, description="Printed at the head of the sheet.")
    leads: Leads | None = Field(None, description="The leads of two-wire readings.")
    junction: Junction | None = Field(None, description="For thermocouple inputs.")
    thermal_voltages: PositiveAmount | None = Field(
        None, description="Of the leads and jacks, '2 uV' if left out: at thermocouple inputs, and "
        "at DC voltages where they are a tenth of a count or more.")
    repeatability: list[Repeatability] = Field(
        default_factory=list, description="How readings repeat, by function; used where a record "
        "has no repeated readings of its own.")
    points: list[PointSet] = Field(
        description="Such as '- {function: DC voltage, apply: recommended}'.")
    checks: list[Annotated[PlannedCheck, BeforeValidator(_check)]] = Field(
        default_factory=list, description="What is looked at without numbers, by its name.",
        json_schema_extra=lambda s: s.update(items={"anyOf": [{"type": "string"}, s["items"]]}))
    left_out: list[LeftOut] = Field(default_factory=list,
                                    description="What the plan doesn't test, and why.")

    def accepts(self, what: str, *, standard: str, function: str | None = None,
                full_scale: Fraction | None = None) -> str:
        """The reason to accept something about a standard, or ""."""
        for shortfall in self.accepted:
            if (shortfall.what == what and shortfall.function in (None, function)
                and shortfall.standard in (None, standard)
                and (shortfall.range is None or shortfall.range.value == full_scale)):
                return shortfall.because
        return ""
