"""From the files to the budget, the adequacy of the standard, the limits under every decision rule,
and the data."""

import json
import math
import random
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction as F

import GTC
import jsonschema
import pytest
from scipy import stats

from builder.compute.statistics.budget import NORMAL, RECTANGULAR
from builder.compute.statistics.decision import multiplier
from builder.pages import render
from builder.procedure import point_uncertainty
from builder.procedure.data_of_sheet import sheet_data
from tests import committed
from tests.compute.statistics.test_budget import half_width_by_convolution
from tests.compute.statistics.test_risk import by_bivariate_normal
from tests.small_shop import (codes, function, load, meter, only_problem, plan, range_, row,
                              standard, the_procedure)

SCHEMA = committed.schema("procedure-data")
DC = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))
COARSE = function("DC voltage", range_("6 V", "1 mV", "1 count"))       # T is one count
PERCENT = function("DC voltage", range_("6 V", "1 mV", "0.5 %"))        # T is 0 at 0
AC = function("AC voltage",
              range_("6 V", "1 mV", [row("1 % + 3 counts", frequency="40 Hz to 1 kHz")],
                     lowest="5 mV"))
GUARDED = ["guard band of U", "guard band of 0.8 U", "guard band by root-sum-square",
           "guard band by multiplier M"]
RULES = ["simple acceptance", *GUARDED]


def source(*rows: dict, output: str = "DC voltage", **more) -> dict:
    """A standard with one output of just these rows."""
    rows = [{"values": "0 V to 10 V"} | one for one in rows]
    return standard({}, outputs=[{"output": output, "terminals": ["HI", "LO"], "rows": rows}],
                    **more)


def tried(folder, one: dict, *points, by=None, **more):
    """A meter of one function, and points of it: a value, or what else a point says."""
    points = [p if isinstance(p, dict) else {"apply": p} for p in points]
    return load(folder, meter(one), plan(*({"function": one["function"]} | p for p in points),
                                         **more), by or source({"within": "0.1 %"}))


def points_of(shop) -> list:
    return the_procedure(shop).points


def only_point(shop):
    (found,) = points_of(shop)
    return found


def data_of(shop) -> dict:
    """The data of the only procedure, valid against its schema."""
    data = json.loads(json.dumps(sheet_data(the_procedure(shop)).as_data()))
    jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
    return data


def pages(shop) -> tuple[str, str]:
    """The sheet and the evidence, as Markdown."""
    site = render.render(shop)
    return site.pages["procedures/lapwing-yearly.md"], site.pages["evidence/lapwing-yearly.md"]


def number(text: str) -> F:
    return F(text.split()[0])


# ---------------------------------------------------------------- what a standard states

@pytest.mark.parametrize("stated, distribution, divisor", [
    ("plain limits", RECTANGULAR, math.sqrt(3)), ("k = 2", NORMAL, 2), ("k=3", NORMAL, 3),
    ("k = 2.65", NORMAL, 2.65), ("95 %", NORMAL, 1.96),
    ("95.45 %", NORMAL, 2), ("99 %", NORMAL, 2.58), ("99.73 %", NORMAL, 3)])
def test_how_an_accuracy_is_stated(stated, distribution, divisor, tmp_path):
    """Plain limits are rectangular, a confidence or a k divides: 0.1 % + 1 mV at 3 V is 4 mV of
    it."""
    first, second = only_point(
        tried(tmp_path, DC, "3 V",
              by=source({"within": "0.1 % + 1 mV"}, stated=stated))).sure.components
    assert (first.distribution,
            first.value) == (distribution,
                             pytest.approx(0.004)) and first.contribution == pytest.approx(
                                 0.004 / divisor)
    assert (second.distribution, second.value) == (RECTANGULAR, 0.0005)


@pytest.mark.parametrize("stated",
                         ["k = 0.5", "k = 20", "k = two", "68", "about 95 %", "95 % rectangular"])
def test_what_is_no_statement_is_refused(stated, tmp_path):
    """Anything else is an error at its place, with what may stand there."""
    problem = only_problem(tried(tmp_path, DC, "3 V",
                                 by=source({"within": "0.1 %"}, stated=stated)))
    assert problem.code == "value" and "plain limits" in problem.hint


def test_an_output_may_be_stated_in_its_own_way(tmp_path):
    """'stated' at an output rules over that of the standard."""
    by = source({"within": "0.1 %"})
    by["outputs"][0]["stated"] = "99 %"
    assert only_point(tried(tmp_path, DC, "3 V", by=by)).sure.components[0].divisor == 2.58


def test_ppm_and_a_fixed_amount_at_a_negative_value(tmp_path):
    """60 ppm + 8 µV of −540 mV is 40.4 µV; the sign of the value doesn't matter."""
    one = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"))
    shop = tried(tmp_path, one, "540 mV", "-540 mV", by=source({"within": "60 ppm + 8 uV"}))
    assert [p.sure.standard_accuracy
            for p in points_of(shop)] == pytest.approx([40.4e-6, 40.4e-6], rel=1e-12)


def test_a_duty_cycles_accuracy_is_in_percentage_points(tmp_path):
    """0.05 % at a duty cycle of 20 % is 0.05 percentage points, of 90 % likewise."""
    one = function("duty cycle", range_("100 %", "0.1 %", "0.5 % + 2 counts"))
    by = source({"values": "5 % to 95 %", "level": "1 V to 5 V", "within": "0.05 %"},
                output="duty cycle")
    shop = tried(tmp_path, one, {"apply": ["20 %", "90 %"], "frequency": "1 kHz", "level": "3 V"},
                 by=by)
    assert [p.sure.standard_accuracy for p in points_of(shop)] == pytest.approx([0.05, 0.05])
    assert [one["uncertainty"]["u"] for one in data_of(shop)["points"]] == [
        f"{printed(math.hypot(0.025, 0.05 / math.sqrt(3)), 4)} %"] * 2


def test_a_frequency_in_kilohertz(tmp_path):
    """5 ppm of 90 kHz is 0.45 Hz; the data is in the range's kilohertz."""
    one = function("frequency", range_("100 kHz", "10 Hz", "0.05 % + 2 counts"),
                   display="9999 counts")
    by = source({"values": "5 Hz to 1 MHz", "level": "1 V to 5 V", "within": "5 ppm"},
                output="frequency")
    shop = tried(tmp_path, one, {"apply": "90 kHz", "level": "3 V"}, by=by)
    assert only_point(shop).sure.standard_accuracy == pytest.approx(0.45)
    assert data_of(shop)["points"][0]["uncertainty"][
        "u"] == f"{printed(math.hypot(0.225, 5 / math.sqrt(3)) / 1000, 4)} kHz"


def test_a_current_in_microamperes(tmp_path):
    """80 ppm + 10 nA of 180 µA is 24.4 nA; the data is in microamperes."""
    one = function("DC current", range_("200 uA", "0.01 uA", "0.15 % + 2 counts"),
                   display="20000 counts")
    shop = tried(tmp_path, one, "-180 uA",
                 by=source({"values": "0 uA to 200 uA", "within": "80 ppm + 10 nA"},
                           output="DC current"))
    assert only_point(shop).sure.standard_accuracy == pytest.approx(24.4e-9)
    assert data_of(shop)["points"][0]["uncertainty"][
        "u"] == f"{printed(math.hypot(0.0122, 0.005 / math.sqrt(3)), 4)} uA"


def test_drift_stated_apart(tmp_path):
    """Drift over the interval is one more rectangle."""
    lines = only_point(tried(tmp_path, DC, "3 V",
                             by=source({"within": "0.1 %", "drift": "200 ppm"}))).sure.components
    assert [(c.distribution, c.value) for c in lines] == [
        (NORMAL, pytest.approx(0.003)), (RECTANGULAR, pytest.approx(0.0006)), (RECTANGULAR, 0.0005)]


def test_an_accuracy_relative_to_its_calibration(tmp_path):
    """Where the accuracy leaves out the calibration, its uncertainty (k = 2) is a line of its own;
    an absolute accuracy has none."""
    by = source({"within": "0.1 %", "calibration": "100 ppm"},
                accuracy="relative to its calibration", stated="plain limits")
    lines = only_point(tried(tmp_path, DC, "3 V", by=by)).sure.components
    assert [(c.distribution, c.contribution) for c in lines[:2]] == [
        (RECTANGULAR, pytest.approx(0.003 / math.sqrt(3))), (NORMAL, pytest.approx(0.00015))]
    assert len(lines) == 3


@pytest.mark.parametrize("row_more, more",
                         [({"calibration": "100 ppm"}, {}),
                          ({}, {"accuracy": "relative to its calibration"})])
def test_calibration_belongs_to_relative_accuracies_only(row_more, more, tmp_path):
    """A relative accuracy without 'calibration', or an absolute one with it, is an error."""
    assert codes(tried(tmp_path, DC, "3 V", by=source({"within": "0.1 %"} | row_more, **more))) == [
        "calibration"]


BY_TIME = {"within_since": {"90 days": "100 ppm", "1 year": "200 ppm", "2 years": "350 ppm"}}


@pytest.mark.parametrize("as_of, accuracy", [
    ("2026-01-01", 100), ("2026-04-01", 100), ("2026-04-02", 200), ("2027-01-01", 200),
    ("2027-01-02", 350), ("2028-01-01", 350), (None, 350)])
def test_accuracy_by_the_time_since_calibration(as_of, accuracy, tmp_path):
    """Calibrated on 2026-01-01: that of the shortest interval that covers the plan's date, its last
    day included; without a date the longest."""
    by = source(BY_TIME, calibrated="2026-01-01")
    found = only_point(tried(tmp_path, DC, "3 V", by=by, **({"as_of": as_of} if as_of else {})))
    assert found.sure.standard_accuracy == pytest.approx(3 * accuracy * 1e-6)


def test_accuracy_by_time_needs_the_date(tmp_path):
    """Uncertainties by the time since calibration need 'calibrated'."""
    undated = source(BY_TIME)
    del undated["calibrated"]
    assert codes(tried(tmp_path, DC, "3 V", by=undated)) == ["missing"]


@pytest.mark.parametrize("one", [{}, {"within": "0.1 %"} | BY_TIME])
def test_a_row_states_its_accuracy_once(one, tmp_path):
    """Neither both nor none of 'within' and 'within_since'."""
    assert codes(tried(tmp_path, DC, "3 V", by=source(one, calibrated="2026-01-01"))) == ["missing"]


# ---------------------------------------------------------------- where it holds


def test_a_band_that_is_no_temperature(tmp_path):
    """'holds' of a standard is a span of temperatures, as a meter's is."""
    assert codes(tried(tmp_path, DC, "3 V", by=source({"within": "0.1 %"}, holds="0 to 90 V"))) == [
        "unit"]


def test_where_two_rows_of_a_standard_meet_the_larger_counts(tmp_path):
    """At 2 V, where two rows hold, and at 1 kHz likewise, in whatever order they stand."""
    rows = [{"values": "0 V to 2 V", "within": "40 ppm + 20 uV"},
            {"values": "2 V to 10 V", "within": "40 ppm + 150 uV"}]
    for n, by in enumerate((source(*rows), source(*rows[::-1]))):
        assert only_point(tried(tmp_path / str(n), DC, "2 V",
                                by=by)).sure.standard_accuracy == pytest.approx(230e-6)
    rows = [{"frequency": "40 Hz to 1 kHz", "within": "0.1 %"},
            {"frequency": "1 kHz to 5 kHz", "within": "0.25 %"}]
    for n, by in enumerate((source(*rows, output="AC voltage"),
                            source(*rows[::-1], output="AC voltage"))):
        assert only_point(tried(tmp_path / f"ac{n}", AC, {"apply": "2 V", "frequency": "1 kHz"},
                                by=by)).sure.standard_accuracy == pytest.approx(0.005)


def test_a_row_that_does_not_hold_does_not_count(tmp_path):
    """Just above the meeting point only the upper row counts, however large the lower one is."""
    rows = [{"values": "0 V to 2 V", "within": "1 %"},
            {"values": "2 V to 10 V", "within": "40 ppm"}]
    assert only_point(tried(tmp_path, DC, "2.001 V",
                            by=source(*rows))).sure.standard_accuracy == pytest.approx(
                                2.001 * 40e-6)


def test_where_two_rows_meet_the_larger_uncertainty_counts(tmp_path):
    """A row with the smaller accuracy but a large drift is the larger one."""
    rows = [{"values": "0 V to 2 V", "within": "100 ppm", "drift": "900 ppm"},
            {"values": "2 V to 10 V", "within": "110 ppm"}]
    alone = [only_point(tried(tmp_path / str(n), DC, "2 V", by=source(one))).sure.uncertainty.u
             for n, one in enumerate(rows)]
    both = only_point(tried(tmp_path / "both", DC, "2 V", by=source(*rows))).sure.uncertainty.u
    assert both == pytest.approx(max(alone))


# ---------------------------------------------------------------- budgets by another program

def some_standard(chance) -> dict:
    """A source with rows by value and all that the trade states."""
    relative = chance.random() < 0.5
    rows = []
    for low, high in ((0, 0.2), (0.2, 2), (2, 20), (20, 1100)):
        one = {"values": f"{low} V to {high} V",
               "within": f"{chance.randint(10, 3000)} ppm + {chance.randint(1, 200) * high:.3f} uV"}
        if relative:
            one["calibration"] = f"{chance.randint(5, 900)} ppm"
        if chance.random() < 0.5:
            one["drift"] = f"{chance.randint(5, 2000)} ppm + {chance.randint(1, 50) * high:.3f} uV"
        rows.append(one)
    return source(*rows,
                  stated=chance.choice(("plain limits", "k = 2", "k = 2.576", "95 %", "99 %")),
                  **({"accuracy": "relative to its calibration"} if relative else {}))


def by_hand(by: dict, volts: F, half_count: float) -> tuple[float, float, float]:
    """u by GTC, k for 95.45 % by convolution, and the accuracy as stated, from the file's own
    texts."""
    def at(text: str) -> float:
        ppm, fixed = text.split(" + ") if "+" in text else (text, "0 uV")
        return float(abs(volts) * F(ppm.split()[0]) / 10**6 + F(fixed.split()[0]) / 10**6)
    one = next(r for r in by["outputs"][0]["rows"]
               if F(r["values"].split()[0]) < abs(volts) <= F(r["values"].split()[3]))
    divisor = {"plain limits": math.sqrt(3), "k = 2": 2, "k = 2.576": 2.576, "95 %": 1.96,
               "99 %": 2.58}[by["stated"]]
    shapes = [(RECTANGULAR if by["stated"] == "plain limits" else NORMAL,
               at(one["within"]) / divisor)]
    shapes += [(NORMAL, at(one["calibration"]) / 2)] if "calibration" in one else []
    shapes += [(RECTANGULAR, at(one["drift"]) / math.sqrt(3))] if "drift" in one else []
    shapes.append((RECTANGULAR, half_count / math.sqrt(3)))

    class Shape:
        def __init__(self, distribution, contribution):
            self.distribution, self.contribution = distribution, contribution
    u = GTC.uncertainty(sum(GTC.ureal(0, s) for _, s in shapes))
    return u, half_width_by_convolution([Shape(*s) for s in shapes], 0.9545), at(one["within"])


def printed(value: float, figures: int) -> str:
    """So many significant figures, by decimal formatting and nothing of the builder's."""
    exponent = int(f"{value:.{figures - 1}e}".split("e")[1])
    return f"{float(f'{value:.{figures - 1}e}'):.{max(0, figures - 1 - exponent)}f}"


def rounded_up(value: float) -> str:
    """Two figures, up, unless less than a tenth of the last one is lost."""
    exact = Decimal(value)
    last = Decimal(1).scaleb(exact.adjusted() - 1)
    return f"{((exact / last - Decimal('0.1')).to_integral_value(ROUND_CEILING) * last):f}"


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(6))
def test_unseen_standards_and_meters_agree_with_an_independent_program(seed, tmp_path):
    """u at its printed figures, four at least, k at three decimals, U at two figures and the
    ratios, from the files' own texts by GTC and a numerical convolution."""
    chance = random.Random(seed)
    ranges = [range_(f"{top} V", f"{step} V",
                     f"{chance.randint(1, 9) / 10} % + {chance.randint(1, 9)} counts")
              for top, step in (("0.6", "0.0001"), ("6", "0.001"), ("60", "0.01"), ("600", "0.1"))]
    one, by = function("DC voltage", *ranges, ranging="manual"), some_standard(chance)
    points = []
    for given in ranges:
        top = F(given["range"].split()[0])
        for _ in range(3):
            points.append({"range": given["range"],
                           "apply": f"{float(top * chance.randint(300, 900) / 1000):.5f} V"})
    procedure = the_procedure(tried(tmp_path, one, *points, by=by))
    lines = {a.id: a for f in procedure.evidence.functions for a in f.points}
    assert len(lines) == 12
    for point in procedure.points:
        a, p = lines[point.id], point.planned
        u, k, stated = by_hand(by, p.applied, float(p.range.resolution / 2))
        assert a.u == printed(u,
                              max(4, len(a.u.replace(".", "").lstrip("0")))), (
                                  point.id, by["stated"])
        assert float(a.k) == pytest.approx(k, abs=0.00051)
        assert point.sure.uncertainty.expanded == pytest.approx(k * u, rel=5e-6)
        assert a.expanded in (rounded_up(k * u * (1 - 5e-6)), rounded_up(k * u * (1 + 5e-6)))
        assert point.sure.tur == pytest.approx(float(p.judged.tolerance) / (k * u), rel=5e-6)
        assert point.sure.accuracy_ratio == pytest.approx(
            float(p.judged.tolerance) / stated, rel=1e-9)


@pytest.mark.thorough
@pytest.mark.parametrize("coverage, k",
                         [("95 %", 0.95 * math.sqrt(3)), ("95.45 %", 0.9545 * math.sqrt(3))])
def test_the_plan_states_the_probability(coverage, k, tmp_path):
    """k holds the plan's coverage; against a nearly perfect standard only the display's rectangle
    counts."""
    shop = tried(tmp_path, DC, "3 V", by=source({"within": "0.001 uV"}), coverage=coverage)
    assert only_point(shop).sure.uncertainty.k == pytest.approx(k, abs=1e-5)
    assert data_of(shop)["points"][0]["uncertainty"]["probability"] == coverage
    assert all(coverage in page.replace("\u00a0", " ") for page in pages(shop)[1:])


def test_the_display_caps_the_ratio_whatever_the_standard(tmp_path):
    """Two counts of tolerance against half a count: about 4.2 at best, while the accuracy ratio is
    in the thousands."""
    sure = only_point(tried(tmp_path, function("DC voltage", range_("6 V", "1 mV", "2 counts")),
                            "3 V", by=source({"within": "0.1 uV"}))).sure
    assert 4.15 < sure.tur < 4.2 and sure.accuracy_ratio == pytest.approx(20_000)


# ---------------------------------------------------------------- past its due date


@pytest.mark.parametrize("coverage", ["50 %", "99 %"])
def test_no_other_probability_is_taken(coverage, tmp_path):
    """U and the test uncertainty ratio are stated at 95.45 % or 95 %; another figure would flatter
    them."""
    assert codes(tried(tmp_path, DC, "3 V", coverage=coverage)) == ["value"]


# ---------------------------------------------------------------- out of reach

SHORT = source({"values": "0 V to 2 V", "within": "0.1 %"})
ACCEPTED = [{"what": "out of reach", "because": "two sources in series"}]


def test_out_of_reach_is_an_error(tmp_path):
    """A point that the standard can't produce, by its value or its frequency."""
    assert only_problem(tried(tmp_path, DC, "3 V", by=SHORT)).code == "beyond-reach"
    by = source({"frequency": "40 Hz to 100 Hz", "within": "0.1 %"}, output="AC voltage")
    assert only_problem(tried(tmp_path / "b", AC, {"apply": "3 V", "frequency": "400 Hz"},
                              by=by)).code == "beyond-reach"


@pytest.mark.parametrize("more", [{}, {"function": "DC voltage"}, {"standard": "petrel"}])
def test_out_of_reach_and_accepted(more, tmp_path):
    """The point keeps its limits, is marked with the reason, and has no uncertainty, since nothing
    is known of the standard there; points within reach are as before."""
    shop = tried(tmp_path, DC, "1 V", "3 V", by=SHORT, accepted=[ACCEPTED[0] | more])
    near, far = points_of(shop)
    assert not shop.problems and near.sure is not None and near.mark == ""
    assert far.sure is None and "Petrel" in far.mark and "two sources in series" in far.mark and (
        far.accept_from, far.accept_to) == ("2.983", "3.017")
    assert "two sources in series" in pages(shop)[0]
    one = data_of(shop)["points"][1]
    assert (one["uncertainty"], one["tur"], one["guard_band"],
            one["conditional"]) == (None, None, None,
                                    None) and one["accept"] == one["tolerance_limits"]


def test_out_of_reach_and_accepted_for_another_function(tmp_path):
    """An acceptance for a function holds there only."""
    two = meter(DC, AC)
    points = [{"function": "DC voltage", "apply": "3 V"},
              {"function": "AC voltage", "apply": "1 V", "frequency": "50 Hz"}]
    by = SHORT | {
        "outputs": SHORT["outputs"] + source({"frequency": "40 Hz to 1 kHz", "within": "0.1 %"},
                                             output="AC voltage")["outputs"]}
    assert codes(load(tmp_path, two,
                      plan(*points, accepted=[ACCEPTED[0] | {"function": "AC voltage"}]), by)) == [
                          "beyond-reach"]


def test_out_of_reach_and_accepted_for_a_named_range(tmp_path):
    """An acceptance for a range holds for a point that names the range."""
    shop = tried(tmp_path, DC, {"apply": "3 V", "range": "6 V"}, by=SHORT,
                 accepted=[ACCEPTED[0] | {"function": "DC voltage", "range": "6 V"}])
    assert not shop.problems and "two sources" in only_point(shop).mark


def test_out_of_reach_and_accepted_for_the_range_that_it_falls_on(tmp_path):
    """An acceptance for a range holds for every point that falls on it."""
    shop = tried(tmp_path, DC, "3 V", by=SHORT,
                 accepted=[ACCEPTED[0] | {"function": "DC voltage", "range": "6 V"}])
    assert not shop.problems


def test_out_of_reach_and_without_the_output_at_all(tmp_path):
    """A standard without the output is never accepted as out of reach."""
    assert codes(tried(tmp_path, DC, "3 V",
                       by=source({"frequency": "40 Hz to 1 kHz", "within": "0.1 %"},
                                 output="AC voltage"), accepted=ACCEPTED)) == ["no-output"]


@pytest.mark.parametrize("rule", GUARDED)
def test_out_of_reach_under_a_guard_band(rule, tmp_path):
    """Where U isn't known no guard band can be computed, so the point can't be decided under such a
    rule."""
    far = points_of(tried(tmp_path, DC, "1 V", "3 V", by=SHORT, accepted=ACCEPTED,
                          decision_rule=rule))[1]
    assert far.undecided and (far.accept_from, far.accept_to) == ("", "")


# ---------------------------------------------------------------- under the minimum TUR

MEANT = "so that its upper row is too weak"
WEAK = source({"values": "0 V to 2 V", "within": "0.05 %", "confirmed": MEANT},
              {"values": "2 V to 10 V", "within": "0.3 %", "confirmed": MEANT})
MANY = ["0 V", "1 V", "1.5 V", "1.8 V", "-1.8 V", "3 V", "5.4 V"]   # the last two under 4:1


# ---------------------------------------------------------------- limits under every rule

def guard_by_hand(rule: str, t: float, u: float) -> float:
    if rule == "simple acceptance":
        return 0.0
    if rule == "guard band by root-sum-square":
        return t - math.sqrt(t * t - u * u) if u < t else math.inf
    if rule == "guard band by multiplier M":
        return max(0.0, 1.04 - math.exp(0.38 * math.log(t / u) - 0.54)) * u
    return float(rule.split()[3]) * u if rule.split()[3] != "U" else u


@pytest.mark.thorough
@pytest.mark.parametrize("outcomes", ["two", "four"])
@pytest.mark.parametrize("rule", RULES)
def test_limits_by_brute_force(rule, outcomes, tmp_path):
    """Every reading of the display is accepted when and only when it lies within T − w of the
    applied value, whatever the rule; within the tolerance and within T + w likewise, where there
    are four outcomes."""
    chance = random.Random(12)
    values = list(dict.fromkeys(f"{chance.randint(200, 54000) / 10000:.4f} V"
                                for _ in range(25))) + ["-3 V"]
    fine = function("DC voltage", range_("6 V", "1 mV", "0.2 % + 1 count"))
    if rule == "simple acceptance" and outcomes == "four":
        assert codes(tried(tmp_path, fine, *values, decision_rule=rule, outcomes="four")) == [
            "outcomes"]
        return
    shop = tried(tmp_path, fine, *values, by=source({"within": "0.05 % + 0.1 mV"}),
                 decision_rule=rule, outcomes=outcomes)
    r, decided = F("0.001"), 0

    def band(x: F, reach: F) -> "list[int] | None":
        near = math.floor(x / r)
        counts = [n for n in range(near - 40, near + 42) if abs(n * r - x) <= reach]
        return [counts[0], counts[-1]] if counts else None

    def shown(limits) -> "list[int] | None":
        return limits and [limits["low_counts"], limits["high_counts"]]

    for point, data in zip(points_of(shop), data_of(shop)["points"], strict=True):
        x, t = point.planned.applied, point.planned.judged.tolerance
        w = (F(guard_by_hand(rule, float(t), point.sure.uncertainty.expanded))
             if point.sure.uncertainty.expanded < t else F(10))
        assert shown(data["accept"]) == band(x, t - w), point.id
        assert shown(data["tolerance_limits"]) == band(x, t)
        if outcomes == "two" or shown(data["accept"]) is None:
            assert outcomes == "four" or data["conditional"] is None
        else:
            assert shown(data["conditional"]) == band(x, t + w)
        assert bool(point.undecided) == (data["accept"] is None)
        decided += data["accept"] is not None
    assert decided > 15


@pytest.mark.thorough
@pytest.mark.parametrize("rule", GUARDED)
def test_guarded_limits_never_lie_outside_the_unguarded(rule, tmp_path):
    """They are the same or further inside on both sides."""
    for point in data_of(tried(tmp_path, DC, *MANY[1:], decision_rule=rule))["points"]:
        inner, outer = point["accept"], point["tolerance_limits"]
        assert outer["low_counts"] <= inner[
            "low_counts"] <= inner["high_counts"] <= outer["high_counts"]


def test_one_count_of_tolerance_with_half_a_count_accepts_only_the_nominal_reading(tmp_path):
    """The display's own rectangle is 0.48 counts at 95.45 %; with a guard band of U only 3.000 is
    accepted."""
    point = only_point(tried(tmp_path, COARSE, "3 V", by=source({"within": "0.1 uV"}),
                             decision_rule="guard band of U"))
    assert (point.accept_from, point.accept_to) == ("3.000", "3.000")


@pytest.mark.parametrize("within, undecided",
                         [("0.1 uV", False), ("0.5 mV", False), ("1.5 mV", True)])
def test_room_by_the_standard(within, undecided, tmp_path):
    """T of one count: room for the nominal reading as long as U is at most T."""
    point = only_point(tried(tmp_path, COARSE, "3 V", by=source({"within": within}),
                             decision_rule="guard band of U"))
    assert bool(point.undecided) is undecided


# ---------------------------------------------------------------- no room

HOPELESS = source({"within": "1 %"})


@pytest.mark.thorough
@pytest.mark.parametrize("rule", GUARDED)
def test_no_room_is_said_everywhere(rule, tmp_path):
    """Where the guard band leaves no reading the point can't be verified, and sheet, evidence, data
    and completeness say so."""
    shop = tried(tmp_path, COARSE, "3 V", by=HOPELESS, decision_rule=rule, in_tolerance="95 %")
    point = only_point(shop)
    assert "cannot be verified with this standard under this rule" == point.undecided and (
        point.accept_from, point.accept_to) == ("", "")
    sheet, evidence = pages(shop)
    assert point.undecided in sheet and "<span>yes</span>" not in sheet
    assert "be verified with this standard under this rule: steps 1.1." in evidence
    data = data_of(shop)["points"][0]
    assert data["accept"] is None and data["tolerance_limits"] == {
        "low": "2.999 V", "high": "3.001 V", "low_counts": 2999, "high_counts": 3001}
    assert data["kind"] == "source" and data["observe"] is None
    (line,) = the_procedure(shop).completeness
    assert line.tested == "" and "1.1" in line.because and "under this rule" in line.because


def test_no_room_takes_no_other_point_with_it(tmp_path):
    """A row with one point that can be decided is tested by that one alone."""
    by = source({"values": "0 V to 2 V", "within": "1 uV"},
                {"values": "2 V to 10 V", "within": "1 %"})
    shop = tried(tmp_path, COARSE, "1 V", "3 V", by=by, decision_rule="guard band of U")
    near, far = points_of(shop)
    assert not near.undecided and far.undecided
    (line,) = the_procedure(shop).completeness
    assert (line.tested, line.because) == (near.step, "")


def test_no_room_by_the_grid(tmp_path):
    """A value between two counts may lie within the guarded limits and still leave no reading."""
    point = only_point(tried(tmp_path, COARSE, "3.0005 V", by=source({"within": "0.2 mV"}),
                             decision_rule="guard band of U"))
    assert point.undecided and point.sure.guard < 0.001


def test_no_room_under_simple_acceptance_never_happens(tmp_path):
    """Without a guard band the tolerance's own limits stand, however poor the standard is."""
    assert only_point(tried(tmp_path, COARSE, "3 V", by=HOPELESS)).accept_from == "2.999"


def test_the_plans_own_reason_comes_first(tmp_path):
    """A row that the plan leaves out with a reason keeps that reason, though a point of it was
    tried in vain."""
    shop = load(tmp_path, meter(COARSE),
                plan({"function": "DC voltage", "apply": "3 V"}, decision_rule="guard band of U",
                     left_out=[{"function": "DC voltage", "because": "waits for a better source"}]),
                HOPELESS)
    (line,) = the_procedure(shop).completeness
    assert (line.tested, line.because) == ("", "waits for a better source")


def test_the_proof_after_currents_can_be_decided(tmp_path):
    """After currents, a voltage with limits proves that the lead is back; one that can't be
    verified proves nothing."""
    amps = function("DC current", range_("6 A", "1 mA", "1 % + 5 counts"), jacks=["A", "COM"])
    by = standard({}, outputs=source({"values": "0 V to 2 V", "within": "1 uV"},
                                     {"values": "2 V to 10 V", "within": "1 %"})["outputs"]
                  + [{"output": "DC current", "terminals": ["I HI", "I LO"],
                      "rows": [{"values": "0 A to 10 A", "within": "10 ppm"}]}])
    points = [{"function": "DC voltage", "apply": ["1 V", "3 V"]},
              {"function": "DC current", "apply": "3 A"}]
    procedure = the_procedure(load(tmp_path, meter(COARSE, amps),
                                   plan(*points, decision_rule="guard band of U"), by))
    (proof,) = [p for p in procedure.points if p.id.endswith("-after-currents")]
    assert proof.accept_from and not proof.undecided


# ---------------------------------------------------------------- no tolerance at 0

def at_zero(folder, rule: str, **more):
    """0.5 % of 0 V and of 3 V."""
    return points_of(tried(folder, PERCENT, "0 V", "3 V", decision_rule=rule, minimum_tur="4",
                           **more))


@pytest.mark.parametrize("rule", RULES)
def test_percent_alone_at_zero(rule, tmp_path):
    """0.5 % of 0 is no tolerance: under simple acceptance only 0 is accepted, under a guard band
    nothing."""
    zero, other = at_zero(tmp_path, rule)
    assert other.accept_from and zero.mark and zero.sure.tur == 0
    if rule == "simple acceptance":
        assert (zero.accept_from, zero.accept_to) == ("0.000", "0.000")
        assert zero.sure.risks.specific == 1.0
    else:
        assert zero.undecided


@pytest.mark.parametrize("rule", RULES)
def test_percent_alone_at_zero_with_a_share_in_tolerance(rule, tmp_path):
    """Where there is no tolerance there is no share of meters within it, so no global risk of that
    point, and the other points' stand."""
    zero, other = at_zero(tmp_path, rule, in_tolerance="95 %")
    assert other.sure.risks.false_accept > 0
    assert zero.sure.risks is None or zero.sure.risks.false_accept is None


# ---------------------------------------------------------------- four outcomes

def test_four_outcomes_on_the_sheet(tmp_path):
    """Pass, conditional pass, conditional fail, fail: the large limits, then the tolerance limit
    and the outer limit in small figures, with w on both sides of each tolerance limit."""
    shop = tried(tmp_path, DC, "3 V", by=source({"within": "0.1 %"}),
                 decision_rule="guard band of U", outcomes="four")
    point, data = only_point(shop), data_of(shop)
    # T = 17 mV; u² = 1.5² + 0.5²/3 mV², U = 3.05 mV
    assert (point.accept_from, point.accept_to) == ("2.987", "3.013")
    assert (point.small_from, point.small_to) == ("2.983, 2.980", "3.017, 3.020")
    assert data["outcomes"] == 4 and "Four outcomes" in data["rule_in_words"]
    one = data["points"][0]
    zones = [one[key] for key in ("accept", "tolerance_limits", "conditional")]
    assert [(z["low"], z["high"]) for z in zones] == [
        ("2.987 V", "3.013 V"), ("2.983 V", "3.017 V"), ("2.980 V", "3.020 V")]
    sheet, _ = pages(shop)
    assert ('<span class="mark">cp</span> <span class="mark">cf</span>' in sheet
            and "2.983, 2.980" in sheet)


def test_two_outcomes_have_no_outer_limit(tmp_path):
    """With two outcomes neither sheet nor data has conditional zones."""
    shop = tried(tmp_path, DC, "3 V", decision_rule="guard band of U")
    point = only_point(shop)
    assert (point.small_from, point.small_to, data_of(shop)["points"][0]["conditional"],
            data_of(shop)["outcomes"]) == ("", "", None, 2)


def test_four_outcomes_without_room_have_none(tmp_path):
    """Where no reading can be accepted there are no zones either."""
    shop = tried(tmp_path, COARSE, "3 V", by=HOPELESS, decision_rule="guard band of U",
                 outcomes="four")
    assert data_of(shop)["points"][0]["conditional"] is None and only_point(shop).undecided


def test_four_outcomes_without_a_reading_have_none(tmp_path):
    """The same where w is under T and the display's grid leaves nothing."""
    shop = tried(tmp_path, COARSE, "3.0005 V", by=source({"within": "0.2 mV"}),
                 decision_rule="guard band of U", outcomes="four")
    assert only_point(shop).undecided and data_of(shop)["points"][0]["conditional"] is None


def test_no_minus_clamps_the_outer_limit(tmp_path):
    """A function that shows no minus has no reading below 0, in the outer zone either."""
    by = source({"frequency": "40 Hz to 1 kHz", "within": "2.5 mV"}, output="AC voltage")
    shop = tried(tmp_path, AC, {"apply": "5 mV", "frequency": "50 Hz"}, by=by,
                 decision_rule="guard band of 0.8 U", outcomes="four")
    one = data_of(shop)["points"][0]
    assert one["tolerance_limits"]["low_counts"] == 2 and one["conditional"] == {
        "low": "0.000 V", "high": "0.010 V", "low_counts": 0, "high_counts": 10}


def test_the_outer_limit_is_a_reading_that_the_display_can_show(tmp_path):
    """Printed limits are readings of that range; beyond its highest reading, of either sign, the
    display shows overload. 5.967 V + T is 5.9988 V, and w is some 6 mV: cut off at 5.999 V. Both
    polarities mirror each other."""
    shop = tried(tmp_path, DC, "5.967 V", "-5.967 V", decision_rule="guard band of U",
                 outcomes="four")
    above, below = (one["conditional"] for one in data_of(shop)["points"])
    assert (above["high_counts"], below["low_counts"]) == (5999, -5999)
    assert above["low_counts"] == -below["high_counts"] < 5967 - 31  # T is 31.8 mV


# ---------------------------------------------------------------- risks

def test_risks_of_a_point_as_the_bivariate_normal_has_them(tmp_path):
    """Both global risks for the plan's share, with u of all but the display and the cells of the
    counts within T − w, agree with scipy to 1e-6."""
    for n, (rule, share) in enumerate((("simple acceptance", "95 %"), ("guard band of U", "80 %"),
                                       ("guard band by multiplier M", "99 %"))):
        for point in points_of(tried(tmp_path / str(n), DC, *MANY[1:], by=WEAK, decision_rule=rule,
                                     in_tolerance=share)):
            sure, t = point.sure, float(point.planned.judged.tolerance)
            u0 = t / stats.norm.ppf((1 + float(share.split()[0]) / 100) / 2)
            inside = t - guard_by_hand(rule, t, sure.uncertainty.expanded)
            last = (math.floor(inside / 0.001 + 1e-9) + 0.5) * 0.001
            expected = by_bivariate_normal(
                tolerance=(-t, t), acceptance=(-last, last), u0=u0,
                u=math.sqrt(sure.uncertainty.u ** 2 - 0.0005 ** 2 / 3))
            assert (sure.risks.false_accept, sure.risks.false_reject) == pytest.approx(expected,
                                                                                       abs=1e-6)


def test_without_a_share_there_is_no_global_risk(tmp_path):
    """A plan that states no share gets specific risks alone, and the page says why."""
    shop = tried(tmp_path, DC, "3 V")
    assert only_point(shop).sure.risks.false_accept is None
    _, evidence = pages(shop)
    assert "no share of meters in tolerance" in evidence and "False accept" not in evidence


@pytest.mark.parametrize("rule, last", [("simple acceptance", 17), ("guard band of U", 10)])
def test_specific_risk_at_the_limit(rule, last, tmp_path):
    """T is 17 mV, U a little above 6: the last accepted count is 17 from 3 V, where the risk is 50
    %, or 10, where a normal shape has 1 − Φ(7/3.01)."""
    sure = only_point(tried(tmp_path, DC, "3 V", by=source({"within": "0.2 %"}),
                            decision_rule=rule)).sure
    assert sure.accept.high == 3000 + last
    assert sure.risks.specific == pytest.approx(
        stats.norm.sf((17 - last) / (1000 * sure.uncertainty.u)), abs=1e-4)


def test_the_risk_sentences_never_promise(tmp_path):
    """One plain sentence a risk, with the model of the prior; no 'guaranteed'."""
    _, evidence = pages(tried(tmp_path, DC, *MANY[1:], by=WEAK, in_tolerance="95 %",
                              decision_rule="guard band by multiplier M"))
    for words in ("Specific risk:", "False accept:", "False reject:",
                  "Of the meters that are out of tolerance at a point, up",
                  "normally distributed around the middle of the tolerance", "common bias",
                  "up to half a count beyond the last accepted reading", "as the display shows it"):
        assert words in evidence
    assert "guarante" not in evidence and "rarer" not in evidence


@pytest.mark.parametrize("share", ["99.9999999999999999 %", "0.0000000000000001 %"])
def test_extreme_shares_end_in_no_traceback(share, tmp_path):
    """A share that a file may hold gives risks or a problem."""
    shop = tried(tmp_path, DC, "3 V", in_tolerance=share)
    assert shop.problems or only_point(shop)


@pytest.mark.parametrize("text", ["0 %", "100 %", "95", "0.95", "-5 %"])
def test_what_is_no_share(text, tmp_path):
    """A share is a percentage between 0 and 100, both left out."""
    assert codes(tried(tmp_path, DC, "3 V", in_tolerance=text)) == ["value"]


# ---------------------------------------------------------------- words and data

@pytest.mark.thorough
@pytest.mark.parametrize("rule, words", [
    ("simple acceptance",
     ["simple acceptance", "without a guard band", "test uncertainty ratio is 4.3:1"]),
    ("guard band of U", ["guard band of U"]),
    ("guard band of 0.8 U", ["guard band of 0.8 U"]),
    ("guard band by root-sum-square", ["T − √(T² − U²)"]),
    ("guard band by multiplier M", ["M·U", "1.04 − e^(0.38·ln TUR − 0.54)"])])
def test_the_rule_in_words(rule, words, tmp_path):
    """Sheet, evidence and data carry the rule in words, with the probability of U where it shapes
    the limits."""
    shop = tried(tmp_path, DC, "1 V", "3 V", by=source({"within": "0.1 % + 0.5 mV"}),
                 decision_rule=rule)
    data = data_of(shop)
    assert data["decision_rule"] == rule
    if rule == "simple acceptance":
        assert words[-1].split()[
            -1] == f"{math.floor(min(p.sure.tur for p in points_of(shop)) * 10) / 10}:1"
    for text in (data["rule_in_words"], *pages(shop)):
        text = text.replace("\u00a0", " ")
        assert all(word in text for word in words), text[:300]
        assert rule == "simple acceptance" or "95.45 %" in text


@pytest.mark.parametrize("text",
                         ["guard band of 0 U", "guard band of 6 U", "guard band",
                          "guard band of U/2", "luck"])
def test_what_is_no_rule(text, tmp_path):
    """An unknown rule is refused, with those that are known."""
    problem = only_problem(tried(tmp_path, DC, "3 V", decision_rule=text))
    assert problem.code == "value" and "simple acceptance" in problem.hint


@pytest.mark.parametrize("rule", RULES)
def test_the_fields_of_the_data(rule, tmp_path):
    """U at two figures, k at two decimals, u at four figures, the ratio cut off, the guard band at
    three figures."""
    by = source({"within": "0.1 % + 0.37 mV"})
    shop = tried(tmp_path, DC, "1.234 V", "4.321 V", by=by, decision_rule=rule)
    for point, one in zip(points_of(shop), data_of(shop)["points"], strict=True):
        x, t = float(point.planned.applied), float(point.planned.judged.tolerance)
        u = math.hypot((x / 1000 + 0.00037) / 2, 0.0005 / math.sqrt(3))
        k = point.sure.uncertainty.k
        # for reports with repeated readings; tests/published/test_report_examples.py
        shapes = ("degrees", "rectangles", "normal")
        assert {key: value for key,
                value in one["uncertainty"].items() if key not in shapes} == {
                    "U": f"{rounded_up(k * u)} V", "k": f"{k:.2f}", "u": f"{printed(u, 4)} V",
                    "probability": "95.45 %"}
        assert one["tur"] == f"{math.floor(t / (k * u) * 10) / 10:.1f}"
        w = guard_by_hand(rule, t, k * u)
        assert one["guard_band"] == (f"{printed(w, 3)} V" if w else "0 V")
        assert number(one["tolerance"]) == point.planned.judged.tolerance


def test_the_fields_of_an_observation(tmp_path):
    """An observation has none of them."""
    one = data_of(tried(tmp_path, DC, "1 V", {"apply": "3 V", "observe": "for the record"}))[
        "points"][1]
    assert [one[key] for key in ("accept", "tolerance_limits", "conditional", "uncertainty", "tur",
                                 "guard_band")] == [None] * 6


def test_values_are_in_the_ranges_own_unit(tmp_path):
    """On a 600 mV range all of them are in millivolts."""
    one = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"))
    data = data_of(tried(tmp_path, one, "300 mV", by=source({"within": "100 ppm"}),
                         decision_rule="guard band of U"))["points"][0]
    assert [data["uncertainty"][key].split()[1]
            for key in ("U", "u")] + [data["guard_band"].split()[1]] == ["mV"] * 3
    assert float(data["uncertainty"]["u"].split()[0]) == pytest.approx(
        math.hypot(0.015, 0.05 / math.sqrt(3)), rel=1e-3)


def test_the_multiplier_takes_the_points_own_ratio(tmp_path):
    """M comes from the TUR of each point, so points with 4.6:1 or better have no guard band beside
    others that have one."""
    near, far = points_of(tried(tmp_path, DC, "1 V", "3 V",
                                by=source({"values": "0 V to 2 V", "within": "10 ppm"},
                                          {"values": "2 V to 10 V", "within": "0.2 %"}),
                                decision_rule="guard band by multiplier M"))
    assert near.sure.tur > 4.6 and near.sure.guard == 0
    assert far.sure.tur < 4 and far.sure.guard == pytest.approx(
        multiplier(tur=far.sure.tur) * far.sure.uncertainty.expanded)


# ---------------------------------------------------------------- the ratios

@pytest.mark.parametrize("coverage, expanded", [("95 %", 0.475e-3), ("95.45 %", 0.47725e-3)])
def test_the_ratios_beside_a_standard_that_is_nearly_perfect(coverage, expanded, tmp_path):
    """What counts is the display alone, ±0.5 mV, of which the plan's coverage is U. T is 2 mV, a
    million times the standard's 2 nV."""
    one = function("DC voltage", range_("6 V", "1 mV", "2 counts"))
    sure = only_point(tried(tmp_path, one, "3 V", coverage=coverage,
                            by=source({"within": "0.002 uV"}, stated="plain limits"))).sure
    assert sure.uncertainty.expanded == pytest.approx(expanded, rel=1e-5)
    assert sure.tur == pytest.approx(0.002 / expanded, rel=1e-5)
    assert sure.accuracy_ratio == pytest.approx(1e6)
    assert (sure.guard, sure.conditional, sure.risks.false_accept, sure.risks.false_reject) == (
        0, None, None, None)


# ---------------------------------------------------------------- a guard band as large as T

@pytest.mark.parametrize("guard, accepted", [
    (0.0009, ("3.000", "3.000")), (math.nextafter(0.001, 0), ("3.000", "3.000")),
    (0.001, ("", "")), (0.0011, ("", "")), (math.inf, ("", ""))])
def test_a_guard_band_of_all_the_tolerance_leaves_nothing(guard, accepted, tmp_path, monkeypatch):
    """T is one count, 1 mV. The value itself is accepted while w is less, even if only by the last
    bit of a float, and nothing from there on; `verdict` compares likewise."""
    monkeypatch.setattr(point_uncertainty.decision, "guard_band", lambda **_: guard)
    one = function("DC voltage", range_("6 V", "1 mV", "1 count"))
    point = only_point(tried(tmp_path, one, "3 V", by=standard(),
                             decision_rule="guard band of U"))
    assert (point.accept_from, point.accept_to) == accepted
    assert bool(point.undecided) == (accepted == ("", ""))
