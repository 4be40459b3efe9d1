"""Cases for the phone's rules: hostile meters as files, values to ask them, points with readings on
and beside every limit, and what the builder says to each. One seed, the same cases every time."""

from __future__ import annotations

import math
import random
from fractions import Fraction as F
from types import SimpleNamespace
from unittest import mock

from builder.compute.exact import points
from builder.compute.exact.compared import HIGHEST, LOWEST
from builder.compute.exact.display import AcceptedCounts
from builder.compute.exact.pieces import AT_REFERENCE, Surroundings
from builder.compute.exact.points import Refused
from builder.compute.statistics import budget
from builder.compute.statistics.decision import (MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE,
                                                 Rule, exact)
from builder.files.problems import Wrong
from builder.formats.fields import span
from builder.numbers import exact_text
from builder.numbers.units import Quantity, decimal_text, unit
from builder.procedure import data_of_sheet, point_uncertainty
from builder.procedure.asides import allowance
from builder.procedure.corrections import Corrected
from builder.procedure.planned_points import difference_step
from builder.procedure.planned_points import PlannedPoint
from builder.procedure.supplies import ARTIFACT, COIL, REFERENCE, SOURCE, Supply
from builder.shop import contents, quick_answer

POWERS = {"p": -12, "n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6}
# Function, unit, powers of ten of the lowest range's step, frequency beside the value.
SHAPES = [("DC voltage", "V", (-5, -4, -3), False), ("DC voltage", "V", (-5, -4, -3), False),
          ("AC voltage", "V", (-5, -4, -3), True),
          ("AC+DC voltage", "V", (-4, -3), True), ("DC current", "A", (-8, -6, -4), False),
          ("AC current", "A", (-7, -5), True),
          ("resistance", "ohm", (-2, -1, 0), False), ("conductance", "S", (-11,), False),
          ("capacitance", "F", (-12, -11), False),
          ("temperature", "degC", (-1, 0), False), ("temperature", "degF", (-1, 0), False),
          ("frequency", "Hz", (-2, -1), False), ("duty cycle", "%", (-1, -2), True)]
BASES = {"[voltage]": "V", "[current]": "A", "[resistance]": "ohm", "[conductance]": "S",
         "[capacitance]": "F", "[frequency]": "Hz", "[ratio]": "%"}
DEGREES = ("degC", "degF")
LOWEST_OF = {"degC": (-200, 400), "degF": (-328, 752)}   # what any sensor here may have
BANDS = [[None], [(40, 400)], [(40, 400), (400, 1000)], [(40, 400), (300, 2500)],
         [(45, 400), (1000, 20000)]]
HERTZ = [F(x) for x in ("10", "40", "45", "350", "400", "400.1", "700", "1000", "1500", "2500",
                        "20000", "30000")]


def plain(value: F, name: str) -> str:
    return (
        f"{decimal_text(value / (1 if name in ('degC', 'degF', '%') else unit(name).scale))} "
        f"{name}")


def prefixed(rng: random.Random, value: F, base: str) -> str:
    """One of the units that the value can be written in with a number of ordinary size."""
    if base in ("degC", "degF", "%"):
        return base
    near = [p for p, power in POWERS.items() if F(1, 10) <= abs(value) / F(10) ** power < 10000]
    return rng.choice(near or [""]) + base


def accuracy(rng: random.Random, shape: tuple, step: F, full: F) -> str:
    kind, base = shape[:2]
    if kind == "duty cycle":
        return f"{rng.choice(('0.3', '1', '2.5'))} %" + rng.choice(
            ("", " + 2 counts", " + 0.5 counts"))
    terms = {
        "% of reading": rng.choice((0, 0, "0.005", "0.05", "0.5", "1.2", "2", "5", "10", "60",
                                    "100", "120")),
        "% of range": rng.choice((0, 0, 0, "0.02", "0.1", "1")),
        "counts": rng.choice((0, 1, 2, 3, 5, "0.5", "2.5", "0.1", 30))}
    texts = [f"{value} {name}" for name, value in terms.items() if value]
    if rng.random() < 0.25 or not texts:
        fixed = "degC" if base == "degF" and rng.random() < 0.5 else prefixed(rng, step, base)
        texts.append(plain(step * rng.choice((1, F(1, 2), F(7, 10), 3, 12)), fixed))
    return " + ".join(texts)


def random_function(rng: random.Random, number: int) -> dict:
    shape = kind, base, exponents, beside = rng.choice(SHAPES)
    step, ranges, top = rng.choice((1, 1, 1, 2, 5)) * F(10) ** rng.choice(exponents), [], F(0)
    tops: dict = {}
    ranging = rng.choice(("automatic", "automatic", "automatic", "automatic only", "manual"))
    wanted = 1 if kind == "duty cycle" else rng.randint(1, 4)
    while len(ranges) < wanted:
        counts = (rng.choice((20, 60, 100, 200, 600, 999, 2000, 4200, 6000, 20000, 60000))
                  if kind != "duty cycle" else int(100 / step))
        full = counts * step
        highest = full + step * rng.choice((-1, -1, -1, 0, 0, 1, 3))
        if min(full, highest) <= top:
            step *= 10
            continue
        name = prefixed(rng, full, base)
        one = {"range": plain(full, name), "resolution": plain(step, prefixed(rng, step, base))}
        if highest != full - step or rng.random() < 0.2:
            one["highest_reading"] = plain(highest, name)
        if rng.random() < 0.2 and kind != "duty cycle":
            one["base"] = plain(full * rng.choice((2, F(1, 2), 1)), name)
        if rng.random() < (0.6 if beside else 0.1):
            one["lowest"] = rng.choice(("5 % of range", "10 % of range",
                                        plain(step * max(1, counts // 20), name)))
        if ranging != "manual" and rng.random() < 0.25:
            one["up_range"] = plain(highest - step * rng.randint(0, 3), name)
        dial = rng.choice(("A", "B")) if rng.random() < 0.1 else None
        one |= {"dial": dial} if dial else {}
        if ranging != "manual" and dial in tops and rng.random() < 0.3:
            one["down_range"] = plain(tops[dial] * rng.choice((F(1), F(9, 10), F(4, 5))), name)
        one["accuracy"] = []
        for band in rng.choice(BANDS[1:]) if beside else [None]:
            row = ({"frequency": f"{band[0]} Hz to {plain(F(band[1]), rng.choice(('Hz', 'kHz')))}"}
                   if band else {})
            if rng.random() < 0.25 and counts >= 10:
                part, meets = (counts // 2) * step, rng.choice((0, 0, 1, -1)) * step
                low = F(0) if base not in ("degC", "degF") else -part
                for edges in ((low, part), (part + meets, full * F(11, 10))):
                    one["accuracy"].append(row
                                           | {
                                               "values": f"{plain(edges[0], name)} to "
                                               f"{plain(edges[1], name)}",
                                               "within": accuracy(rng, shape, step, full)})
            else:
                one["accuracy"].append(row | {"within": accuracy(rng, shape, step, full)})
        ranges.append(one)
        top, tops[dial] = max(full, highest), highest
        step *= rng.choice((10, 10, 10, 5, 2)
                           if decimal_text(step).replace(".", "").strip("0") == "1" else (10,))
    made = {"function": kind, "name": f"function {number}", "jacks": ["V", "COM"],
            "ranging": ranging, "ranges": rng.sample(ranges, len(ranges))}
    if base in DEGREES:
        made |= _of_a_temperature(made["ranges"], base, number)
    if base in ("V", "A") and rng.random() < 0.3:
        made["input"] = {"highest": plain(top * rng.choice((F(1), F(1, 2))), base),
                         **({"peak": plain(top * rng.choice((F(1), F(7, 5))), base)}
                            if rng.random() < 0.7 else {}),
                         **({"volt_hertz": f"{decimal_text(top * 1000)} V Hz"}
                            if base == "V" and rng.random() < 0.7 else {})}
    return made


def _of_a_temperature(ranges: list[dict], base: str, number: int) -> dict:
    """A sensor, and lower ends with a sign, as far as any sensor here has them."""
    low, high = LOWEST_OF[base]
    for one in ranges:
        full = F(one["range"].split(" ")[0])
        lowest = full * F(random.Random(int(full)).choice((-1, -9, 1)), 10)
        one.pop("lowest", None)
        if low <= lowest <= high:
            one["lowest"] = plain(lowest, base)
    return ({}, {"thermocouple": "T"}, {"resistance_thermometer": "Pt100"})[number % 3]


def random_value(rng: random.Random, view) -> F:
    """Near something that matters: an edge, a place where a tolerance reaches one, half a count, a
    tenth of one."""
    on = rng.choice(view.table.ranges)
    line, r = on.pieces[rng.choice(on.rows)][0].above, on.resolution
    edges = [on.highest, on.up or on.highest, on.down or on.highest, abs(on.lowest or r),
             on.full_scale / 2, F(0), r * rng.randint(0, int(on.highest / r)),
             (on.highest - line.offset) / (1 + line.slope),
             ((on.down or F(0)) + line.offset) / (1 - line.slope if line.slope < 1 else 1)]
    if view.table.span:
        edges += [abs(end) for end in (view.table.span.low, view.table.span.high) if end]
    fine = r / rng.choice((1, 1, 2, 10))
    x = max(F(0),
            round(rng.choice(edges) / fine) * fine + r * rng.choice((0, 0, 0, 1, -1, F(1, 2), -3)))
    return -x if rng.random() < (0.3 if view.kind.shows_minus else 0.03) else x


def as_typed(rng: random.Random, value: F, name: str, decimals: int = 0) -> str:
    """As people type it; the marks and spaces vary, the value doesn't."""
    number = decimal_text(value / (1 if name in ("degC", "degF", "%") else unit(name).scale),
                          decimals)
    whole, _, part = number.partition(".")
    if part and not (len(part) == 3 and not decimals) and rng.random() < 0.3:
        number = f"{whole},{part}"
    if whole in ("0", "-0") and part and rng.random() < 0.1:
        number = number.replace("0", "", 1)
    number = number.replace("-", rng.choice(("-", "−", "- ")))
    spelt = {"uV": "µV", "uA": "\u03bcA", "ohm": "Ω", "kohm": "k\u2126", "Mohm": "MOhm",
             "degC": "°C", "uF": "uf", "kHz": "khz"}
    return number + rng.choice((" ", "", "\u00a0")) + (
        spelt.get(name, name) if rng.random() < 0.5 else name)


# ---------------------------------------------------------------- limits of any value

def asks(rng: random.Random, views: dict, each: int):
    """Function, value and frequency as the builder takes them, and as people type them."""
    for title, view in views.items():
        for _ in range(each):
            x = random_value(rng, view)
            base = BASES.get(view.kind.dimension, view.unit.ascii)
            name = prefixed(rng, x, base)
            hertz = (rng.choice(HERTZ) if view.kind.is_ac
                     or (view.kind.needs_frequency and rng.random() < 0.8) else None)
            of = rng.choice(("Hz", "kHz"))
            yield (title, plain(x, name), plain(hertz, of) if hertz is not None else None), (
                title.upper(), as_typed(rng, x, name),
                as_typed(rng, hertz, of) if hertz is not None else rng.choice((None, "")))


def answer(shop, title: str, value: str, frequency: str | None) -> list[str]:
    return quick_answer.answer(contents.functions(shop, "lapwing-1"), title, value, frequency)[0]


def said_by_builder(shop, view, title: str, value: str, frequency: str | None) -> dict:
    """What the quick answer says, with the code of its refusal and with the exact numbers."""
    q, hertz = quick_answer._asked(view, value, frequency)
    table, known = view.table, dict(function=view.table, applied=q.value, frequency=hertz)
    try:
        points.refuse_beyond_input(limits=table.limits, applied=q.value if not view.kind.needs_level
                                   else F(0), frequency=hertz)
        found = points.judge(**known)
    except Refused as refused:
        try:
            answer(shop, title, value, frequency)
        except Wrong as wrong:
            return {"code": refused.code, "sentence": wrong.sentence, "hint": wrong.hint}
        raise
    name, r = view.names[found.range].unit, found.range.resolution
    places = exact_text.decimals(r, name)

    def text(x: F, at_least: int = 0) -> str:
        return exact_text.plain_quantity(x, name, at_least)
    return {"range": text(found.range.full_scale),
            "tolerance": text(found.tolerance) if found.sides.is_even else None,
            "low": text(found.accepted.low * r, places),
            "high": text(found.accepted.high * r, places),
            "exact_low": text(found.low), "exact_high": text(found.high),
            "tolerance_below": text(found.sides.below), "tolerance_above": text(found.sides.above),
            "clamped": found.accepted.clamped,
            "lines": answer(shop, title, value, frequency)}


# ---------------------------------------------------------------- points and readings

RULES = [Rule(SIMPLE), Rule(MULTIPLE, F(1)), Rule(MULTIPLE, F(4, 5)), Rule(ROOT_SUM_SQUARE),
         Rule(MULTIPLIER)]


def random_points(rng: random.Random, views: dict, each: int):
    """Points as a plan would make them, on these meters: (data of the point, planned, sure, data
    and planned of the leads)."""
    for one in views.values():
        made, view = 0, one.under(rng.choice(
            (AT_REFERENCE, AT_REFERENCE, Surroundings(above=F(2)), Surroundings(below=F(15)))))
        for _ in range(each * 12):
            if made == each:
                break
            on = rng.choice(view.table.ranges)
            r, hertz = on.resolution, rng.choice(HERTZ) if view.kind.needs_frequency else None
            x = r * rng.randint(0,
                                int(on.highest / r)) * rng.choice(
                                    (1, 1, -1) if view.kind.shows_minus else (1,))
            method = rng.choice((SOURCE, SOURCE, ARTIFACT, REFERENCE, COIL))
            correction = (rng.choice(("subtract", "subtract", "relative", ""))
                          if view.kind.zero_with and method != REFERENCE else "")
            expected = (x + r * F(rng.randint(-400, 400), 1000) if method == ARTIFACT and x > r
                        else None)
            try:
                judged = points.judge(function=view.table, applied=x if expected is None
                                      else expected, frequency=hertz, wanted=on, force=True,
                                      signed=bool(correction))
            except Refused:
                continue
            fine = exact_text.in_unit(r / rng.choice((1, 10, 100)), view.names[on].unit)
            rows = (SimpleNamespace(resolution=Quantity(fine, view.names[on].unit)),)
            supply = Supply(method=method, standard=SimpleNamespace(standard="petrel"),
                            output=SimpleNamespace(zero="subtract"), rows=rows, expected=expected,
                            sets=x / 10,
                            compare_on="a bench",
                            corrected=certified(rng, rows[0].resolution.value)
                            if method == REFERENCE else None)
            planned = PlannedPoint(function=view, applied=x, hertz=hertz, level=None, range=on,
                                   judged=judged, forced=True, observe=None, supply=supply,
                                   ambient=span("18 to 28 degC"), correction=correction)
            rule = rng.choice(RULES)
            plan = SimpleNamespace(coverage=F(95, 100), decision_rule=rule,
                                   outcomes="four" if rule.kind != SIMPLE and rng.random() < 0.5
                                   else "two", in_tolerance=None)
            u = float(judged.tolerance) * rng.choice((0.02, 0.1, 0.25, 0.4, 0.7)) + 1e-15
            components = (budget.normal(name="x", value=u, divisor=1.0),), u
            with mock.patch.object(point_uncertainty, "components_of", return_value=components):
                sure = point_uncertainty.assess(planned, plan)
            leads = None
            if correction:
                low = rng.choice([one for one in view.table.ranges if one.resolution <= r])
                leads = PlannedPoint(function=view, applied=F(0), hertz=None, level=None, range=low,
                                     judged=None, forced=True, observe=None, supply=supply,
                                     ambient=planned.ambient, correction=correction,
                                     zero=AcceptedCounts(0, rng.randint(1, 30)))
            made += 1
            yield point_data(planned, sure,
                             leads and leads.id), planned, sure, (
                                 point_data(leads, None), leads) if leads else None


def certified(rng: random.Random, digit: F) -> Corrected | None:
    """What a certificate adds to each reference reading, or nothing."""
    return rng.choice((None, Corrected(corrections=SimpleNamespace(use="applied"), points=(),
                                       adds=digit * rng.choice((-40, -7, -1, 0, 1, 3, 25)))))


def point_data(planned, sure, leads: str | None = None) -> dict:
    accept = (planned.zero if planned.zero is not None else sure.accept
              if planned.supply.method != REFERENCE else None)
    undecided = planned.judged and accept is None and not (
        planned.supply.method == REFERENCE and allowance(planned, sure) is not None)
    return data_of_sheet._point(SimpleNamespace(number=1), SimpleNamespace(
        id=planned.id, step="1.1", planned=planned, undecided="x" if undecided else "",
        accept_from="x" if accept else "", sure=sure, zero=leads or "",
        before=(), steps_before=(), pause=None, on_at_most=None,
        observe=planned.observe or "")).as_data()


def reference_typed(rng: random.Random, data: dict, planned, reference: F, name: str) -> str:
    """The reading of the reference meter, or two of which it is the mean."""
    places = len(data["reference"]["resolution"].split()[0].partition(".")[2])
    if not data["reference"]["twice"]:
        return as_typed(rng, reference, name, places)
    off = planned.rows[0].resolution.value * rng.randint(-3, 3)
    if not planned.applied or not all(
            LOWEST < one / planned.applied < HIGHEST for added in (0, planned.supply.added)
            for one in (reference + added - off, reference + added + off)):
        off = F(0)
    return ";".join(as_typed(rng, one, name, places) for one in (reference - off, reference + off))


def shown(value: F, planned, at_least: int = 0) -> str:
    return exact_text.plain_quantity(value, planned.function.names[planned.range].unit, at_least)


def readings(rng: random.Random, planned, sure, leads):
    """Counts to read, with counts of the leads and a reference reading: on and beside every limit,
    and elsewhere."""
    r = planned.range.resolution
    if planned.zero is not None:
        yield from ((n, None, None) for n in (-1, 0, planned.zero.high, planned.zero.high + 1))
        return
    if planned.judged is None:
        yield from ((n, None, None) for n in (-1, 0, 7))
        return
    j = planned.judged
    middle = math.floor(j.applied / r)
    if planned.supply.method == REFERENCE:
        fine = planned.rows[0].resolution.value
        for share in (F(8, 10), F(79, 100), F(1), F(1), F(101, 100), F(93, 100), F(124, 100),
                      F(125, 100), F(126, 100)):
            at = round(planned.applied * share / fine) * fine + fine * rng.randint(-3, 3)
            true = at + planned.supply.added
            room = [allowance(planned, sure, true) or F(0), j.line.at(true),
                    j.line.at(true) + exact(value=min(sure.guard_at(true), 1e3))]
            for one in room:
                for side in (-1, 1):
                    near = math.floor((true + side * one) / r)
                    yield from ((n, None, at) for n in (near, near + 1))
        return
    edges = [one for band in (j.accepted, sure.accept if sure else None, sure.conditional if sure
                              else None) if band for one in (band.low, band.high)]
    wanted = {n + k for n in edges for k in (-1, 0, 1)} | {middle, 0, middle + rng.randint(-50, 50)}
    if planned.correction != "subtract":
        yield from ((n, None, None) for n in sorted(wanted))
        return
    # the leads so that the corrected reading is just on a limit, or finely beside it
    for n in sorted(wanted):
        fine, at = leads.range.resolution, rng.randint(0, 9)
        yield n + math.ceil(at * fine / r), rng.choice(
            (at, at + 1, max(0, at - 1), int(math.ceil(at * fine / r) * r / fine))), None


def expected_verdict(planned, sure, counts: int, leads: F, reference: F | None) -> dict:
    """Outcome and numbers of a reading, from what the builder computed, in fractions. `reference`
    is what the reference meter shows, to which its certificate may add."""
    if planned.observe:
        return {"outcome": "written down"}
    j, r = planned.judged, planned.range.resolution
    value = counts * r - leads
    at = (reference + planned.supply.added if reference is not None else j.applied if j else F(0))
    tolerance = j.line.at(at) if j else None
    error = value - at
    found = {"error": error, "counts": error / r,
             "beyond_tolerance": tolerance is not None and abs(error) > tolerance, "percent": None}
    if tolerance:
        tenths = math.floor(abs(error) / tolerance * 1000 + F(1, 2)) * (-1 if error < 0 else 1)
        found["percent"] = decimal_text(F(tenths, 10), 1)
    if planned.supply.method == REFERENCE and planned.zero is None:
        if planned.applied and not all(F(8, 10) <= one / planned.applied < F(125, 100)
                                       for one in (reference, at)):
            return {"outcome": "refused"}
        if planned.applied == 0 and any(abs(one) > planned.range.full_scale / 100
                                        for one in (reference, at)):
            return {"outcome": "refused"}
        limit, step = allowance(planned, sure, at), difference_step(planned)
        if planned.supply.added:
            found["corrected"] = {"value": at, "low": None if limit is None else at - limit,
                                  "high": None if limit is None else at + limit}
        if limit is None:
            return found | {"outcome": "written down"}
        guard = exact(value=sure.guard_at(at))
        zones = [abs(error) <= limit, abs(error) <= tolerance // step * step,
                 abs(error) <= (tolerance + guard) // step * step]
    else:
        bands = ([planned.zero] if planned.zero is not None
                 else [sure.accept if sure else j.accepted, j.accepted,
                       sure.conditional if sure else None])
        if bands[0] is None:
            return found | {"outcome": "written down"}
        zones = [band is not None and band.low * r <= value <= band.high * r for band in bands]
    four = sure is not None and sure.conditional is not None
    names = ["pass", "conditional pass", "conditional fail"] if four else ["pass"]
    outcome = next((name for name, holds in zip(names, zones, strict=False) if holds), "fail")
    return found | {"outcome": outcome}


def flickers(rng: random.Random, made: list):
    """Readings of points whose last digit flickers: the data of the point, what verdicts need
    beside the reading, the lower extreme, the higher one and both, typed."""
    for data, planned, sure, leads in made:
        r, name = planned.range.resolution, data["unit"].replace("Ohm", "ohm")
        for counts, of_leads, reference in readings(rng, planned, sure, leads and leads[1]):
            more = {}
            if leads and planned.correction == "subtract":
                more["zero"] = as_typed(rng, of_leads * leads[1].range.resolution,
                                        leads[0]["unit"].replace("Ohm", "ohm"),
                                        leads[0]["decimals"])
            if reference is not None:
                more["reference"] = reference_typed(rng, data, planned, reference, name)
            low, high = (as_typed(rng, n * r, name, data["decimals"])
                         for n in (counts, counts + rng.choice((1, 1, 2, 5))))
            yield (data, leads and leads[0], more, low, high,
                   "/".join(rng.sample((low, high), 2)))
