"""Every answer of 150 sets of exercises, in the long form of a thousand, by another route than the
builder's: limits and verdicts by walking the readings that the display can show, ranges by their
definition, orders and drawings by the sheets' own steps."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from math import ceil, floor

import pytest

from builder.compute.exact import order
from builder.numbers import exact_text
from builder.practice import exercise_sets, practice_pages
from builder.practice.bench import Bench
from builder.practice.choose_range import BY_HAND
from builder.practice.find_limits import NO_VERDICT, NOT_WITHIN, WITHIN
from builder.practice.mistake_words import MISTAKES
from builder.procedure.how_computed import row_text
from builder.shop import loading
from tests import small_shop as shop
from tests.compute.exact import oracle
from tests.conftest import ROOT
from tests.procedure.test_planned_points_random_shops import shops

POWER = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}


@pytest.fixture(scope="module", params=[150, pytest.param(1000, marks=pytest.mark.long)],
                ids="{} sets".format)
def made(request, demo_shop) -> list[exercise_sets.ExerciseSet]:
    bench = Bench(demo_shop)
    return [exercise_sets.make(bench, seed) for seed in range(1, request.param + 1)]


def of_kind(sets, *kinds: str):
    return [(one.seed, e) for one in sets for e in one.exercises if e.kind in kinds]


def value(text: str) -> F:
    """'−2.986 mV' as a number in the unit without a prefix."""
    number, unit = text.replace("−", "-").split("\u00a0")
    found = re.fullmatch(r"([pnµmkM]?)(V|A|Ω|F|S|Hz)", unit)
    return F(number) * (F(10) ** POWER[found[1]] if found else 1)


def decimals_and_unit(text: str) -> tuple[int, str]:
    number, unit = text.split("\u00a0")
    return len(number.partition(".")[2]), unit


def band(text: str) -> tuple[F, F]:
    low, high = text.split(" to ")
    unit = high.split("\u00a0")[1]
    return value(f"{low}\u00a0{unit}"), value(high)


def signed(case) -> bool:
    """Whether the judged reading can have a minus: the function's own, or a corrected reading's."""
    return (case.view.kind.name in ("DC voltage", "DC current", "temperature")
            or case.leads is not None or case.signed)


def row_frequency(case):
    return case.hertz if case.view.kind.needs_frequency else None


def rows_that_hold(case) -> list:
    return [row for row in case.on.rows
            if (row.frequency is None
                or row.frequency[0] <= row_frequency(case) <= row.frequency[1])
            and (row.values is None
                 or row.values[0] <= (case.judged.applied if row.by_sign
                                      else abs(case.judged.applied)) <= row.values[1])]


_WALKED: dict = {}


def walked(case, x: F | None = None, t: F | None = None) -> list[int]:
    """All readings within t of x, each looked at by itself."""
    x = case.judged.applied if x is None else x
    t = min(oracle.tolerance(case.on, row, x) for row in rows_that_hold(case)) if t is None else t
    key = (case.on.resolution, case.on.highest, x, t, signed(case))
    if key not in _WALKED:
        # A window that holds all of them and some beyond: a thousand sets would walk millions of
        # readings far from it.
        r = case.on.resolution
        top = floor(case.on.highest / r)
        low, high = max(floor((x - t) / r) - 5,
                        -top if signed(case) else 0), min(ceil((x + t) / r) + 5, top)
        _WALKED[key] = [n for n in range(low, high + 1) if -t <= n * r - x <= t]
    return _WALKED[key]


def with_mistake(case, code: str, near: bool = False) -> set[tuple[int, int]]:
    """The limits in counts that a mistake gives, worked out from its name; several where it can be
    made in several ways, `near` by the ranges next to this one alone."""
    on, x, r = case.on, case.judged.applied, case.on.resolution
    row = min(rows_that_hold(case), key=lambda one: oracle.tolerance(on, one, x))
    a = row.accuracy
    reading, counts, of_range, fixed = abs(
        x) * a.percent_of_reading / 100, a.counts * r, on.base * a.percent_of_range / 100, a.fixed
    t = reading + counts + of_range + fixed

    def inward(around: F, *tolerances: F) -> set[tuple[int, int]]:
        ends = set()
        for one in tolerances:
            low, high = ceil((around - one) / r), floor((around + one) / r)
            ends.add((max(0, low) if not signed(case) else low, high))
        return ends

    others = [one for one in on.rows if one not in rows_that_hold(case)]
    siblings = [one for one in case.view.table.ranges if one.position == on.position]
    place = siblings.index(on)
    siblings = [one for n, one in enumerate(siblings)
                if n != place and (not near or abs(n - place) == 1)]
    other_rows = [one for one in others if one.frequency is not None
                  and not one.frequency[0] <= row_frequency(case) <= one.frequency[1]]
    return {
        "counts": lambda: inward(x, reading + of_range + fixed),
        "percent": lambda: inward(x, counts + of_range + fixed),
        "fixed": lambda: inward(x, reading + counts + of_range),
        "of-range": lambda: inward(x, on.base * a.percent_of_reading / 100 + counts + of_range
                                   + fixed),
        "of-reading": lambda: inward(x,
                                     reading + counts + abs(x) * a.percent_of_range / 100 + fixed),
        "count-of-range": lambda: inward(x,
                                         *(reading + a.counts * one.resolution + of_range + fixed
                                           for one in siblings)),
        "row": lambda: inward(x, *(oracle.tolerance(on, one, x) for one in other_rows)),
        "part": lambda: inward(x, *(oracle.tolerance(on, one, x) for one in others
                                    if one not in other_rows)),
        "looser-row": lambda: inward(x,
                                     *(oracle.tolerance(on, one, x) for one in rows_that_hold(case)
                                       if one is not row)),
        "nominal": lambda: inward(case.nominal, t),
        "sign": lambda: inward(-x, t),
        "outward": lambda: {(floor((x - t) / r), ceil((x + t) / r))},
        "nearest": lambda: {tuple(floor(abs(end) / r + F(1, 2)) * (1 if end >= 0 else -1)
                                  for end in (x - t, x + t))},
    }[code]()


def check_limits(seed, e) -> None:
    case, r = e.case, e.case.on.resolution
    right = walked(case)
    for choice in e.choices:
        low, high = (end / r for end in band(choice.text))
        assert (low,
                high) == tuple(
                    band("\u00a0".join([f"{choice.fields[0]} to {choice.fields[1]}",
                                        case.unit.shown]))[k] / r for k in (0, 1))
        if not choice.mistake:
            assert (low, high) == (right[0], right[-1]), (seed, e)
        else:
            assert (low, high) != (right[0], right[-1]), (seed, e)
            assert (low, high) in with_mistake(case, choice.mistake), (seed, choice, e.given)


def check_judgement(seed, e) -> None:
    reading = e.case
    case, r, shown = reading.case, reading.case.on.resolution, e.given[-1][1]
    right = e.choices[e.right].text
    if reading.leads is not None:
        (alone,) = [value(text) for word, text in e.given if word == "Leads alone read"]
        assert alone == reading.leads > 0
    if decimals_and_unit(shown) != decimals_and_unit(case.reading(0)):
        assert right == NO_VERDICT and reading.on is not case.on, (seed, e)
        return
    at = value(shown)
    assert (at / r).denominator == 1 and abs(at) <= case.on.highest
    if reading.leads is not None:
        within = walked(case)[0] * r <= at - alone <= walked(case)[-1] * r
        assert within != (walked(case)[0] * r <= at
                          <= walked(case)[-1] * r), "leads make no difference here"
        at -= alone
    else:
        within = at / r in walked(case)
    assert right == (WITHIN if within else NOT_WITHIN), (seed, e)
    (other,) = [choice for choice in e.choices if choice.text == (NOT_WITHIN if within else WITHIN)]
    known = judging_wrongly(case, at / r, within)
    if other.mistake == "leads":
        assert reading.leads is not None and not known, (seed, e)
    elif other.mistake == "verdict":    # none alone, or none at all
        assert reading.mistaken is None and (reading.leads is not None or len(known) != 1), (
            seed, e, known)
    else:                               # it alone
        assert reading.leads is None and known == {other.mistake}, (seed, e, known)


ALL_OF_LIMITS = ("counts", "percent", "fixed", "of-range", "of-reading", "count-of-range", "row",
                 "part", "looser-row", "nominal", "sign", "outward", "nearest")


def judging_wrongly(case, counts: F, within: bool) -> set[str]:
    """Who comes to the other verdict on a reading: by limits that a mistake gives, and on a limit
    whoever takes it for out. Counts of two other ranges are two mistakes of one name."""
    a = rows_that_hold(case)
    row = min(a, key=lambda one: oracle.tolerance(case.on, one, case.judged.applied)).accuracy
    made = {"counts": row.counts, "percent": row.percent_of_reading, "of-range":
            row.percent_of_reading, "of-reading": row.percent_of_range, "fixed": row.fixed,
            "count-of-range": row.counts, "nominal": case.nominal is not None,
            "sign": case.judged.applied < 0}
    found = {code for code in ALL_OF_LIMITS if made.get(code, True)
             for low, high in with_mistake(case, code, near=True)
             if (low <= counts <= high) != within}
    return found | ({"edge"} if counts in (walked(case)[0], walked(case)[-1]) else set())


def check_range(seed, e) -> None:
    """The right one by the definition; "none for sure" by what a good meter reads on the range
    below by its tightest row, or on the range itself; and what that takes is on the page."""
    asked = e.case
    x, among, view = asked.applied, asked.among, asked.view
    assert value(dict(e.given)["Apply"].split(" at ")[0]) == x
    holds = next(on for on in among if abs(x) <= on.highest)  # by the definition
    found = _answer(replace(view.table, ranges=among), x,
                    asked.hertz if view.kind.needs_frequency else None)
    right = e.choices[e.right]
    place = among.index(holds)

    def tightest(on) -> F:
        return min((oracle.tolerance(on, row, x) for row in on.rows if row.frequency is None
                    or row.frequency[0] <= asked.hertz <= row.frequency[1]), default=F(0))

    if right.text == BY_HAND:
        assert view.table.autoranging
        down = place and abs(x) - tightest(among[place - 1]) <= among[place - 1].highest
        up = abs(x) + tightest(holds) > holds.highest
        turns = [holds.down is not None and abs(x) - tightest(holds) <= holds.down,
                 holds.up is not None and abs(x) + tightest(holds) >= holds.up]
        if holds is not among[-1] and (back := among[place + 1].down) is not None:
            turns.append(abs(x) + tightest(among[place + 1]) >= back)
        assert down or up or any(turns), (seed, e)
    else:
        assert right.what is holds and not found.must, (seed, e, found)
    shown = {word: text for word, text in e.given[2:]}
    for on in asked.window:     # each with its end, its rows and its count
        text = shown[next(c.text for c in e.choices if c.what is on)]
        assert text.startswith(f"up to {shown_value(view, on, on.highest)}; ")
        assert (on.up is None) == ("; changes up at " not in text)
        assert (on.down is None) == ("; changes down at " not in text)
        assert f"one count {shown_value(view, on, on.resolution)}" in text
        assert all(part in text for row in on.rows if row.frequency is None or (
            row.frequency[0] <= asked.hertz <= row.frequency[1])
            for part in [row_text(view, on, row)])
    assert len(shown) == len(asked.window) == len(e.choices) - view.table.autoranging
    for choice in e.choices:
        if choice.mistake in ("too-low", "name"):
            assert choice.what.highest < abs(x) and (choice.mistake == "name") == (
                abs(x) <= choice.what.full_scale), (seed, choice)
        elif choice.mistake == "too-high":
            assert choice.what.full_scale > holds.full_scale
        elif choice.mistake == "tolerance":
            assert right.text == BY_HAND and abs(among.index(choice.what) - place) <= 1
        elif choice.mistake == "needless":
            assert choice.text == BY_HAND


def shown_value(view, on, amount: F) -> str:
    unit = view.names[on].unit
    return exact_text.amount(amount, unit, exact_text.decimals(on.resolution, unit))


@cache
def _answer(function, x, hertz):
    return oracle.answer(function, x, hertz)


def check_sheet(seed, e) -> None:
    wrong = []
    for n, choice in enumerate(e.choices):
        line, case = choice.what, choice.what.case
        _, _, _, count, low, high, reads, ticked = choice.cells
        unit = high.split("\u00a0")[1]
        ends = value(f"{low}\u00a0{unit}"), value(high)
        r = case.on.resolution
        assert value(count) == r
        true = walked(case)[0] * r, walked(case)[-1] * r
        faults = []
        if ends != true:
            faults.append("limits")
            if choice.mistake == "":
                assert tuple(end / r
                             for end in ends) in with_mistake(case, line.code), (seed, choice)
        if decimals_and_unit(reads) != decimals_and_unit(high):
            faults.append("display")
        if (ends[0] <= value(reads) <= ends[1]) != (ticked == "yes"):
            faults.append("ticked")
        assert len(faults) <= 1, (seed, faults, choice)
        wrong += [n] if faults else []
        assert (choice.mistake == "sound") == (not faults), (seed, faults, choice)
    assert wrong == [e.right], (seed, e)


# What must not come before what, by the order of work: read off a sheet's own texts, without the
# builder's names.
EARLY = {"standby": [("Source: 0 ", ("Leads: ", "Coil: ", "Meter: ", "Jaw: close"))],
         "early": [(("Source: 0 ", "Leads: ", "Coil: ", "Jaw: close", "Meter: dial",
                     "Meter: select", "Hands: keep off"), "Source: output on")],
         "hands": [(("Leads: ", "Coil: ", "Jaw: close", "Meter: dial", "Meter: select"),
                    "Hands: keep off")],
         "zero": [("Source: to 0", "Source: standby"), ("Source: output on", "Source: to 0")],
         "opened": [(("Source: to 0", "Source: standby"), ("Leads: off the source", "Jaw: open"))],
         "unseen": [("Meter: near zero", ("Leads: off the source", "Jaw: open")),
                    ("Source: standby", "Meter: near zero")]}
STAGE_ORDER = ["by eye", "battery and fuses", "display and keys", "thermocouple", "inputs",
               "voltage", "hazardous voltage", "milliamps", "amps", "proving", "closing"]


def broken(order: list[str], rules) -> bool:
    def places(starts):
        starts = (starts,) if isinstance(starts, str) else starts
        return [n for n,
                text in enumerate(order)
                if text.startswith(starts)
                and not (text.startswith("Leads: off the source")
                         and "Leads: off the source" not in starts)]
    return any(first > later for before,
               after in rules for first in places(before) for later in places(after))


def check_complete(seed, steps: list[str]) -> None:
    """A live round has hands off and near zero, whatever else it has."""
    assert "Hands: keep off" in steps and "Meter: near zero" in steps, (seed, steps)


def check_steps(seed, e) -> None:
    """The sheet's order breaks no rule; each order with two neighbours exchanged is right just
    where no rule of a sheet's own texts is broken, and its mistake is one of those."""
    right = [e.items[n] for n in e.ordered.right]
    assert sorted(e.ordered.right) == list(range(len(e.items)))
    assert not any(broken(right, rules) for rules in EARLY.values()), (seed, right)
    if e.live:
        check_complete(seed, right)
    for n in range(len(right) - 1):
        other = list(e.ordered.right)
        other[n], other[n + 1] = other[n + 1], other[n]
        texts = [e.items[k] for k in other]
        wrong = {code for code, rules in EARLY.items() if broken(texts, rules)}
        told = {rule.mistake for rule in e.ordered.broken(other)}
        assert told <= wrong and bool(told) == bool(wrong), (seed, texts, told, wrong)


def check_missing(seed, e) -> None:
    """With the missing step in its place the round is whole and breaks no rule; in every other
    place it does."""
    _, named, gap = e.case
    step = named[gap][1]
    assert step not in e.items and e.choices[e.right].what == gap
    assert [f"After {'ABCDEFGHI'[choice.what - 1]}" for choice in e.choices] == [
        choice.text for choice in e.choices]
    for place in range(1, len(e.items)):
        whole = [*e.items[:place], step, *e.items[place:]]
        wrong = any(broken(whole, rules) for rules in EARLY.values())
        assert wrong == (place != gap), (seed, whole)
    if e.live:
        check_complete(seed, [*e.items, step])


def check_groups(seed, e) -> None:
    procedure, chosen = e.case
    stage_of = {group.title: group.stage for group in procedure.groups}

    def stages(order):
        return [STAGE_ORDER.index(stage_of[e.items[n]]) for n in order]

    assert stages(e.ordered.right) == sorted(stages(e.ordered.right))
    for rule in e.ordered.rules:
        first, later = stages([rule.first, rule.later])
        assert first < later, (seed, rule)
        names = STAGE_ORDER[first], STAGE_ORDER[later]
        live = ("voltage", "hazardous voltage", "milliamps", "amps")
        assert {"fuses": names[0] in ("by eye", "battery and fuses") and names[1] in live,
                "dead": names[1] == "hazardous voltage" and names[0] in ("inputs", "voltage"),
                "currents": names[0] == "hazardous voltage" and names[1] in live[2:],
                "amps": names == ("milliamps", "amps"),
                "warm": names[0] == "thermocouple" and names[1] in ("inputs", *live),
                "proving": names[1] == "proving" and names[0] in live[2:],
                "closing": names[1] == "closing"}[rule.mistake], (seed, rule)


def check_drawing(seed, e) -> None:
    procedure, group, point = e.case
    steps = [step.split(": ", 1)[1] for step in group.opening
             if re.match(r"Leads: |Coil: |Meter: .* alone on it", step)]
    dial = next((step.removeprefix("Meter: dial to ") for step in group.opening
                 if step.startswith("Meter: dial to ")), None)
    own = point.planned.function.jacks(point.planned.range)
    for choice in e.choices:
        here = choice.connection
        said = [f"{lead.jack} to {lead.terminal}" for lead in here.leads if lead.device is not None]
        as_steps = (all(pair in steps[0] for pair in said)
                    if steps and " to " in steps[0] and not here.coil else None)
        wrong_dial = dial is not None and here.dial != dial
        wrong_jack = any(lead.jack not in own for lead in here.leads)
        if not choice.mistake:
            assert not wrong_dial and not wrong_jack and as_steps in (True, None), (seed, e)
            continue
        volts = point.planned.function.kind.dimension in ("[voltage]", "[frequency]", "[ratio]")
        assert {"dial": wrong_dial, "jack": wrong_jack and volts,
                "current-jack": wrong_jack and not volts, "other-jack": wrong_jack,
                "no-current": wrong_jack,
                "terminals": as_steps is False or here.coil is not None,
                "swapped": as_steps is False,
                "together": here.together != group.connection.together,
                "coil": here.coil is not None}[choice.mistake], (seed, choice)
        if choice.mistake in ("swapped", "coil"):
            assert point.planned.function.kind.shows_minus
    assert e.choices[e.right].connection == group.connection
    check_alike(seed, e)


def check_alike(seed, e) -> None:
    """Two mistakes, each alone and both: every option differs from the others at one place, one
    place and two; or two mistakes at one place: at one place from both."""
    def apart(one, other) -> int:
        return sum([one.dial != other.dial, one.together != other.together, one.coil != other.coil,
                    [lead.jack for lead in one.leads] != [lead.jack for lead in other.leads],
                    [lead.terminal for lead in one.leads]
                    != [lead.terminal for lead in other.leads]])

    drawn = [choice.connection for choice in e.choices]
    distances = [sorted(apart(one, other) for other in drawn if other is not one) for one in drawn]
    assert distances in ([[1, 1, 2]] * 4, [[1, 1]] * 3), (seed, distances)


CHECKS = {"limits": check_limits, "judge": check_judgement, "range": check_range,
          "sheet": check_sheet, "steps": check_steps,
          "missing": check_missing, "groups": check_groups, "drawing": check_drawing}


@pytest.mark.parametrize("kind", CHECKS)
def test_every_answer_is_right_and_every_wrong_one_wrong_for_its_reason(made, kind):
    """The right answer by another route, and each wrong one made once more from its mistake's
    name."""
    found = of_kind(made, kind)
    assert len(found) >= len(made) * (0.4 if kind in ("steps", "missing") else 1)
    for seed, e in found:
        CHECKS[kind](seed, e)


def check_choices(seed, e) -> None:
    assert (e.ordered is None) == bool(e.choices)
    if e.choices:
        assert [choice.mistake for choice in e.choices].count("") == 1
        assert len({choice.text for choice in e.choices}) == len(e.choices), (seed, e)
    if not e.typed and not e.ordered:
        assert 2 <= len(e.choices) <= 5, (seed, e)
    for choice in e.choices:
        assert len(choice.text) <= (160 if e.kind == "drawing" else 60), choice.text
        if choice.mistake:
            assert choice.mistake in MISTAKES and choice.why.endswith(
                ".") and choice.why[0] == choice.why[0].upper(), choice
            sentences = len(re.findall(r"[.:] [A-Z]", choice.why)) + 1
            assert sentences <= (2 if e.kind == "drawing" else 1), choice.why
            assert len(choice.why) <= 140 * sentences, (len(choice.why), choice.why)
    longest = 300 if e.kind == "range" else 230     # with all rows of a range
    assert all(len(text) <= longest for _, text in e.given), e.given
    assert all(len(line) <= 200 for line in e.reasons), e.reasons
    assert all(len(text) <= 110 for text in e.items), e.items


def test_choices_are_distinct_and_texts_short(made):
    """One answer is right, no two are alike, and each wrong one has its mistake in one sentence
    that a card can hold."""
    for one in made:
        assert len(one.exercises) == 10 and not one.left_out
        for e in one.exercises:
            check_choices(one.seed, e)


def test_exercises_come_from_all_meters_and_show_all_mistakes(made, demo_shop):
    """Among twenty sets each meter is asked about; among all each named mistake is made, but those
    of rows that no meter of the demo has (test_mistakes.py makes them), and two that a single
    mistake seldom leads to."""
    asked = " ".join(dict(e.given).get("Meter") or dict(e.given)["Sheet"] for one in made[:20]
                     for e in one.exercises)
    assert all(meter.name in asked for meter in demo_shop.meters.values())
    shown = {choice.mistake for one in made for e in one.exercises for choice in e.choices}
    shown |= {rule.mistake for one in made for e in one.exercises if e.ordered
              for rule in e.ordered.rules}
    shown |= {choice.what.code for _,
              e in of_kind(made, "sheet") for choice in e.choices if not choice.mistake}
    assert set(MISTAKES) - shown <= {"addition", "sides", "one-side", "name", "leads"}


def test_a_lead_comes_back_only_where_currents_were(made):
    """Else nothing would say where that group belongs."""
    stages = [{stage for stage, _ in e.case[1]} for _, e in of_kind(made, "groups")]
    proved = [one for one in stages if order.PROVING in one]
    assert proved and all(one & {order.MILLIAMPS, order.AMPS} for one in proved)


def test_a_percent_that_is_of_no_reading_is_said(made):
    """Of a duty cycle, wherever its limits are asked about."""
    asked = [e for one in made for e in one.exercises
             if e.kind in ("limits", "judge", "sheet") and "duty cycle" in dict(e.given)["Meter"]]
    assert {e.kind for e in asked} >= {"limits", "sheet"}
    assert all("Percent here" in dict(e.given) for e in asked)


def test_no_set_is_like_another(made):
    """Another seed is another set."""
    assert len({one.edition for one in made}) == len(made)
    assert sum(len(set(map(str, (e.given for e in one.exercises)))) == len(one.exercises)
               for one in made) > 0.99 * len(made)


def test_the_same_seed_gives_the_same_bytes_in_another_process(made):
    """Whatever the hashes of texts are there."""
    said = subprocess.run([sys.executable, "-c",
                           "from builder.cli import main; main(['practice', '7', '--answers'])"],
                          cwd=ROOT,
                          env=os.environ | {"PYTHONHASHSEED": "99", "PYTHONPATH": str(ROOT),
                                            "PYTHONUTF8": "1"}, capture_output=True,
                          encoding="utf-8", timeout=60)
    assert said.returncode == 0, said.stderr
    one = made[6]
    assert said.stdout == "\n".join(practice_pages.as_text(one)) + "\n\f" + "\n".join(
        practice_pages.answers_as_text(one)) + "\n"


# ---------------------------------------------------------------- other shops

def sets_of(found, seeds=range(1, 4)) -> list[exercise_sets.ExerciseSet]:
    bench = Bench(found)
    return [exercise_sets.make(bench, seed) for seed in seeds]


@pytest.mark.parametrize("seed", range(2))
def test_random_small_shops(seed, tmp_path):
    """A meter with one hostile table and no plan: what can be asked is asked rightly, what can't is
    left out with a reason."""
    kinds, count = set(), 0
    for n, (_, file, _) in enumerate(shops(seed + 40, 30)):
        loaded = shop.load(tmp_path / str(n), shop.meter(file))
        if loaded.errors:
            continue
        for one in sets_of(loaded):
            assert len(one.left_out) >= 3 and all(line.endswith(".") for line in one.left_out)
            for e in one.exercises:
                CHECKS[e.kind](one.seed, e)
                check_choices(one.seed, e)
                kinds.add(e.kind)
                count += 1
    assert kinds == {"limits", "judge", "range", "sheet"} and count > 150, (kinds, count)


def test_one_meter_with_one_function(tmp_path):
    """A set of what it can be asked about, and a sentence for each other kind."""
    loaded = shop.load(tmp_path,
                       shop.meter(shop.function("DC voltage",
                                                shop.range_("6 V", "1 mV", "0.4 % + 2 counts"))))
    (one,) = sets_of(loaded, [1])
    assert {e.kind for e in one.exercises} == {"limits", "judge", "sheet"}
    assert {line.split("”")[0].strip("“") for line in one.left_out} in (
        {"Choose the range", name, "Read the drawing", "Put the groups in order"}
        for name in ("Put the steps in order", "Find the missing step"))


@pytest.mark.parametrize("meter", [None, shop.meter(shop.function("continuity"))],
                         ids=["no meter", "no table"])
def test_a_shop_without_a_table_gets_a_sentence(tmp_path, meter):
    """No set, and why."""
    loaded = (shop.load(tmp_path, meter) if meter
              else loading.load_shop(shop.write(tmp_path / "procedures", {"plans/.keep": ""})))
    (one,) = sets_of(loaded, [1])
    assert not one.exercises and one.left_out == (
        "No exercises yet: they are made from the meters in procedures/meters/, and there is none "
        "with an accuracy table.",)


def test_of_many_plans_some_are_drawn_from(demo_shop):
    """The same ones each time, so that an edit of another computes none of them again."""
    one = next(iter(demo_shop.procedures.values()))
    asked = []

    class Counted(dict):
        def __getitem__(self, name):
            asked.append(name)
            return super().__getitem__(name)

    for _ in range(2):
        Bench(replace(demo_shop, procedures=Counted({f"plan-{n}": one for n in range(40)})))
    assert len(asked) == 24 and asked[:12] == asked[12:] == sorted(asked[:12])
