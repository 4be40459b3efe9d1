"""What became of a reading: brute force against the builder's own limits, on and beside each of
them, with the same made-up points that the phone's rules are held against; and what people type."""

from __future__ import annotations

import json
import random
from collections import Counter
from fractions import Fraction as F

import pytest

from builder.compute.exact.tolerance import Tolerance
from builder.compute.statistics.decision import exact
from builder.files.problems import Wrong
from builder.formats.sheet_data import PointData
from builder.numbers.units import decimal_text
from builder.records.verdict import (INCOMPLETE, NO_REFERENCE, ONE_REFERENCE, UNDECIDED, WRITTEN,
                                     Verdict, verdict)
from tests import verdict_cases as cases
from tests.small_shop import load, meter


@pytest.fixture(scope="module")
def views(tmp_path_factory):
    rng = random.Random(7)
    made = [cases.random_function(rng, n) for n in range(60)]
    shop = load(tmp_path_factory.mktemp("judging"),
                meter(*made, jacks=["V", "COM"], display="100000 counts", specification={
                    "source": "x", "holds": "18 to 28 degC",
                    "temperature_coefficient": "0.1 per degC"}))
    assert "lapwing-1" in shop.functions, "\n".join(map(str, shop.errors))
    return shop.functions["lapwing-1"]


def of_data(data: dict) -> PointData:
    return PointData.model_validate(json.loads(json.dumps(data)))


@pytest.mark.thorough
def test_every_reading_on_and_beside_every_limit(views):
    """Thousands of readings of made-up points: raw, corrected by the leads and against a reference,
    with two and four outcomes, under every decision rule; outcome and numbers as the fractions of
    the builder's own tables give them."""
    rng, seen = random.Random(23), Counter()
    for data, planned, sure, leads in cases.random_points(rng, views, 3):
        point, zero = of_data(data), of_data(leads[0]) if leads else None
        r, name = planned.range.resolution, data["unit"].replace("Ohm", "ohm")
        for counts, of_leads, reference in cases.readings(rng, planned, sure, leads and leads[1]):
            more = {}
            if zero and planned.correction == "subtract":
                more = {"zero": cases.as_typed(rng, of_leads * leads[1].range.resolution,
                                               leads[0]["unit"].replace("Ohm", "ohm"),
                                               leads[0]["decimals"]), "zero_point": zero}
            if reference is not None:
                more["reference"] = cases.reference_typed(rng, data, planned, reference,
                                                             name)
            typed = cases.as_typed(rng, counts * r, name, data["decimals"])
            wanted = cases.expected_verdict(planned, sure, counts,
                                            of_leads * leads[1].range.resolution
                                            if of_leads is not None else F(0), reference)
            case = f"{typed} {more}: {wanted}\n{data}"
            if wanted["outcome"] == "refused":
                with pytest.raises(Wrong):
                    verdict(point, typed, **more)
                seen["refused"] += 1
                continue
            found = verdict(point, typed, **more)
            assert found.outcome == wanted["outcome"], case
            seen[point.kind, found.outcome] += 1
            scale = 1 if data["unit"] in ("degC", "degF", "%") else cases.unit(name).scale
            assert (found.error * scale, found.counts, found.percent or None,
                    found.beyond) == (wanted["error"], wanted["counts"], wanted["percent"],
                                      wanted["beyond_tolerance"]), case
            if "corrected" in wanted:
                assert found.expected * scale == wanted["corrected"]["value"], case
                seen["corrected"] += 1
    assert sum(seen.values()) > 4000 and seen["corrected"] > 100, seen
    for kind in ("source", "artifact", "coil", "reference"):
        assert all(seen[kind, outcome] > 5 for outcome in ("pass", "fail")), seen
    assert all(seen["source", outcome] > 5
               for outcome in ("conditional pass", "conditional fail",
                               "written down")) and seen["refused"] > 5, seen


WORST = ["pass", "conditional pass", "conditional fail", "fail"]


def test_a_reading_that_flickers_is_judged_by_the_worse_of_its_extremes(views):
    """By brute force: both extremes judged alone, on and beside every limit of made-up points. The
    outcome is the worse of the two, the error that of one of them, and the middle is in the middle
    of both errors, whichever stands first."""
    rng, seen = random.Random(29), Counter()
    made = [one for one in cases.random_points(rng, views, 2) if one[1].judged]
    for data, leads, more, low, high, both in cases.flickers(rng, made):
        at, zero = of_data(data), of_data(leads) if leads else None
        try:
            ends = [verdict(at, one, zero_point=zero, **more) for one in (low, high)]
        except Wrong:
            continue
        found = verdict(at, both, zero_point=zero, **more)
        case = f"{both} {more}: {found}\n{ends}\n{data}"
        assert found.steady_error == (ends[0].error + ends[1].error) / 2, case
        assert found.error in (ends[0].error, ends[1].error), case
        assert all(one.steady_error is None for one in ends)
        outcomes = {one.outcome for one in ends}
        if outcomes == {WRITTEN}:
            assert found.outcome == WRITTEN, case
        else:
            assert found.outcome == max(outcomes, key=WORST.index), case
        seen[at.kind, len(outcomes)] += 1
    for kind in ("source", "artifact", "coil", "reference"):
        assert seen[kind, 1] > 50 and seen[kind, 2] > 10, seen


# ---------------------------------------------------------------- a point by hand

POINT = {
    "id": "dcv-6V-3V", "group": "1", "step": "1.1", "kind": "source", "function": "DC voltage",
    "range": "6 V", "resolution": "0.001 V", "highest": "5.999 V", "unit": "V", "decimals": 3,
    "apply": "3.000 V", "slope": "0.004", "offset": "0.002 V",
    "accept": {"low": "2.986 V", "high": "3.014 V", "low_counts": 2986, "high_counts": 3014},
    "tolerance_limits": {"low": "2.986 V", "high": "3.014 V", "low_counts": 2986,
                         "high_counts": 3014},
    "uncertainty": {"U": "0.0010 V", "k": "2.00", "u": "0.0005 V", "probability": "95.45 %",
                    "degrees": "inf", "rectangles": [], "normal": "0.0005 V"},
}


def point(**more) -> PointData:
    return of_data(POINT | more)


def limits(millivolts: int) -> dict:
    """3 V ± so many millivolts."""
    off = F(millivolts, 1000)
    return {"low": f"{decimal_text(3 - off, 3)} V", "high": f"{decimal_text(3 + off, 3)} V",
            "low_counts": 3000 - millivolts, "high_counts": 3000 + millivolts}


@pytest.mark.parametrize("typed, outcome, error, percent", [
    ("2.985", "fail", "-0.015", "-107.1"), ("2.986", "pass", "-0.014", "-100.0"),
    ("3", "pass", "0", "0.0"), ("3.014 V", "pass", "0.014", "100.0"),
    ("3,015", "fail", "0.015", "107.1"),
    ("−3.000", "fail", "-6", "-42857.1"),
])
def test_a_reading_equal_to_a_limit_is_within(typed, outcome, error, percent):
    """3 V ± (0.4 % + 2 mV) is ± 14 mV: both ends count."""
    found = verdict(point(), typed)
    assert (found.outcome, found.error, found.percent) == (outcome, F(error), percent)
    assert found.beyond == (abs(F(error)) > F("0.014"))


@pytest.mark.parametrize("typed, outcome, error, steady", [
    ("2.999/3.001", "pass", "0.001", "0"), ("3.014/3.015", "fail", "0.015", "0.0145"),
    ("3.015/3.014 V", "fail", "0.015", "0.0145"), ("2.986 / 2.987", "pass", "-0.014", "-0.0135"),
    ("3.000/3.000", "pass", "0", "0"), ("2.985/3.014", "fail", "-0.015", "-0.0005"),
    ("3.014/OL", "fail", None, None)])
def test_both_extremes_by_hand(typed, outcome, error, steady):
    """3 V ± 14 mV: what lies farther from the middle is judged, overload above all."""
    found = verdict(point(), typed)
    assert found.outcome == outcome and found.overload == (error is None)
    assert (found.error, found.steady_error) == tuple(
        None if one is None else F(one) for one in (error, steady))


@pytest.mark.parametrize("typed", ["3.014/", "/3.014", "3.01/3.02/3.03", "3.014/x", "3/4 A", "/"])
def test_what_are_no_extremes_is_refused(typed):
    """One of them is missing, there are three, or one can't be read."""
    with pytest.raises(Wrong):
        verdict(point(), typed)


def test_extremes_of_leads_reference_and_repeats():
    """Leads and reference count by the middle of their extremes, repeated readings by the farther
    ones."""
    leads = point(id="z", kind="zero", apply="0 V", slope=None, offset=None, tolerance_limits=None,
                  accept={"low": "0.000 V", "high": "0.005 V", "low_counts": 0, "high_counts": 5})
    found = verdict(point(correction="subtract", zero="z"), "3.010/3.011", zero="0.001/0.002",
                    zero_point=leads)
    assert (found.error, found.steady_error) == (F("0.0095"), F("0.009"))
    beside = point(kind="reference", accept=None, tolerance_limits=None, expected=None,
                   reference={"standard": "skua", "on": "x", "resolution": "0.0001 V",
                              "step": "0.0001 V", "guard_band": "0 V"})
    found = verdict(beside, "3.012", reference="3.0000/3.0003")
    assert found.error == F("0.01185") and found.reference == "3.0000/3.0003 V"
    found = verdict(point(), ["3.010/3.012", "3.011", "3.013/3.012"])
    assert (found.error, found.steady_error) == (F("0.012"), (F("0.011") * 2 + F("0.0125")) / 3)


@pytest.mark.parametrize("reference, outcome, reason", [
    ("3.0000; 3.0002", "pass", ""), ("3.0000;3.0000", "fail", ""), ("", "incomplete", NO_REFERENCE),
    (";", "incomplete", NO_REFERENCE), ("3.0000", "incomplete", ONE_REFERENCE),
    ("3.0000;", "incomplete", ONE_REFERENCE), ("; 3.0000", "incomplete", ONE_REFERENCE),
    ("3.0000;3.0001;3.0002", None, ""), ("3.0000;OL", None, ""), ("3.0000;x", None, ""),
    ("3.0000;4.0000", None, "")])
def test_a_reference_before_and_one_after(reference, outcome, reason):
    """Both are needed, the mean counts: 3.0141 V is 14 mV from 3.0001 V, and no more is allowed
    there; what can't be is refused."""
    at = point(kind="reference", accept=None, tolerance_limits=None, decimals=4,
               resolution="0.0001 V", expected=None,
               reference={"standard": "skua", "on": "x", "resolution": "0.0001 V", "twice": True,
                          "step": "0.0001 V", "guard_band": "0 V"})
    if outcome is None:
        with pytest.raises(Wrong):
            verdict(at, "3.0141", reference=reference)
        return
    found = verdict(at, "3.0141", reference=reference)
    assert (found.outcome, found.reason) == (outcome, reason)
    if reference == "3.0000; 3.0002":
        assert found.error == F("0.0140") and found.reference == "3.0000; 3.0002 V"
        assert found.expected == F("3.0001")


@pytest.mark.parametrize("reference", ["3.0000;3.0001", "1;2"])
def test_one_reference_reading_where_the_sheet_has_one(reference):
    """Two are refused, with the way out."""
    at = point(kind="reference", accept=None, tolerance_limits=None, expected=None,
               reference={"standard": "skua", "on": "x", "resolution": "0.0001 V",
                          "step": "0.0001 V", "guard_band": "0 V"})
    with pytest.raises(Wrong) as caught:
        verdict(at, "3.014", reference=reference)
    assert "more readings" in caught.value.sentence and "[before, after]" in caught.value.hint


@pytest.mark.parametrize("typed, says", [
    ("3.0000", "4 decimals"), ("three", "no number"), ("3000 mV", "another range"),
    ("3 A", "not in A"), ("1,234.5", "two ways"), ("3 x", "no unit known"),
    ("1234567890123456.789", "more digits"),
])
def test_what_no_display_can_have_shown(typed, says):
    """More digits, other units and unreadable numbers are refused, with the reason."""
    with pytest.raises(Wrong) as wrong:
        verdict(point(), typed)
    assert says in wrong.value.sentence


def test_a_reading_off_the_grid_is_refused():
    """A display that counts in fives can't show a 3 at its end."""
    with pytest.raises(Wrong, match="steps of 0.005"):
        verdict(point(resolution="0.005 V", accept=None, tolerance_limits=None), "3.003")


@pytest.mark.parametrize("typed", ["OL", "0L", "o.l", "-OL", "over", "Overload", "OL V"])
def test_overload_fails_however_it_is_spelt(typed):
    """An overload is no reading within, and it is beyond the tolerance."""
    found = verdict(point(), typed)
    assert (found.outcome, found.overload, found.beyond, found.error) == ("fail", True, True, None)


def test_four_outcomes_by_hand():
    """T = 14 mV with a guard band of 4 mV: the zones end at 10, 14 and 18 mV."""
    four = point(accept=limits(10), conditional=limits(18))
    outcomes = [verdict(four, decimal_text(3 + F(n, 1000))).outcome
                for n in (10, 11, 14, 15, 18, 19)]
    assert outcomes == ["pass", "conditional pass", "conditional pass", "conditional fail",
                        "conditional fail", "fail"]


def test_where_the_rule_leaves_nothing_no_reading_is_judged():
    """A point without acceptance limits is written down, its error beyond the tolerance still
    seen."""
    found = verdict(point(accept=None), "3.020")
    assert (found.outcome, found.beyond, found.reason) == ("written down", True, UNDECIDED)


# ---------------------------------------------------------------- what is lacking, or is not judged

@pytest.mark.parametrize("typed", ["", " ", [], ["3.000", ""]])
def test_without_a_reading_nothing_is_judged(typed):
    """One of several that is lacking leaves no mean either."""
    assert verdict(point(), typed) == Verdict(outcome=INCOMPLETE, reason="no-reading")


EVEN = Tolerance(F("0.014"), F("0.014"))
SEEN = {"kind": "observation", "accept": None, "tolerance_limits": None, "slope": None,
        "offset": None, "uncertainty": None}


def test_an_observation_is_written_down():
    """As it was typed, with the mean of several; an overload has none."""
    assert verdict(point(**SEEN), ["3.00", "4"]) == Verdict(
        outcome=WRITTEN, value=F("3.5"), readings=("3.00 V", "4 V"))
    assert verdict(point(**SEEN), ["3.00", "OL"]) == Verdict(
        outcome=WRITTEN, overload=True, readings=("3.00 V", "OL"))


def test_an_overload_where_nothing_is_judged():
    """It is written down too, and it is beyond a tolerance where there is one."""
    assert verdict(point(accept=None), "OL") == Verdict(
        outcome=WRITTEN, overload=True, beyond=True, reason=UNDECIDED, readings=("OL",),
        expected=F(3), sides=EVEN, tolerance=F("0.014"))
    without = point(accept=None, tolerance_limits=None, slope=None, offset=None)
    assert verdict(without, "OL") == Verdict(outcome=WRITTEN, overload=True, reason=UNDECIDED,
                                             readings=("OL",), expected=F(3))
    assert verdict(without, "3.020") == Verdict(
        outcome=WRITTEN, value=F("3.02"), error=F("0.02"), counts=F(20), reason=UNDECIDED,
        readings=("3.020 V",), expected=F(3))


def test_all_that_is_said_of_a_reading():
    """5 mV below 3.001 V, where T is 0.4 % of 3.001 V and 2 mV: 35.7 % of 14.004 mV."""
    assert verdict(point(expected="3.001 V", accept=limits(13), tolerance_limits=None),
                   "2.996") == Verdict(
        outcome="pass", value=F("2.996"), expected=F("3.001"), error=F("-0.005"), counts=F(-5),
        sides=Tolerance(F("0.014004"), F("0.014004")), tolerance=F("0.014004"),
        percent="-35.7", readings=("2.996 V",))
    assert verdict(point(), "OL") == Verdict(
        outcome="fail", overload=True, beyond=True, expected=F(3), sides=EVEN,
        tolerance=F("0.014"), readings=("OL",))


# ---------------------------------------------------------------- leads, and a reference meter

LESS_LEADS = {"correction": "subtract", "zero": "res-leads"}
OF_LEADS = {"kind": "zero", "unit": "mV", "range": "60 mV", "resolution": "0.1 mV", "decimals": 1,
            "highest": "59.9 mV", "apply": "0.0 mV", "slope": None, "offset": None, "accept": None,
            "tolerance_limits": None, "uncertainty": None}


def test_the_leads_are_taken_off_in_the_unit_of_the_point():
    """3.020 V less 20.0 mV is 3.000 V."""
    one = verdict(point(**LESS_LEADS), "3.020", zero="20.0", zero_point=point(**OF_LEADS))
    assert (one.value, one.error, one.outcome) == (F(3), F(0), "pass")


def test_nothing_is_taken_off_the_leads_themselves():
    """The reading of the leads alone is judged as it is."""
    alone = point(kind="zero", correction="subtract")
    assert verdict(alone, "3.020", zero="0.020", zero_point=point(kind="zero")).value == F("3.02")


def test_leads_that_were_not_read():
    """Nothing to take off; and leads that show overload have no value."""
    known = {"zero_point": point(**OF_LEADS)}
    assert verdict(point(**LESS_LEADS), "3.020", **known) == Verdict(
        outcome=INCOMPLETE, reason="no-leads", readings=("3.020 V",))
    with pytest.raises(Wrong, match="the leads alone showed overload"):
        verdict(point(**LESS_LEADS), "3.020", zero="OL", **known)


def beside(guard: str | None, steps: str = "0.0001 V", **more) -> PointData:
    """A reading beside a reference meter that shows 0.1 mV, with its guard band."""
    return point(kind="reference", accept=None, tolerance_limits=None, **more,
                 reference={"standard": "skua", "on": "a cell", "resolution": steps,
                            "step": "0.0001 V", "guard_band": guard})


@pytest.mark.parametrize("typed, outcome", [
    ("3.0110", "pass"), ("3.0111", "fail"), ("2.9890", "pass"), ("2.9889", "fail"),
    (["3.0110", "3.0111"], "fail")])
def test_a_reading_beside_a_reference(typed, outcome):
    """T is 14 mV at 3 V; less 2.95 mV that is 11.05 mV, cut off to the 11.0 mV that can be read,
    which a mean of 11.05 mV is beyond. The meter shows tenths of a millivolt here."""
    fine = beside("0.00295 V", resolution="0.0001 V", decimals=4)
    said = verdict(fine, typed, reference="3")
    assert (said.outcome, said.reference, said.expected) == (outcome, "3.0000 V", F(3))


def test_a_reference_reading_that_is_lacking_or_no_use():
    """None, overload, and one that is too far from 3 V: the highest of the band is left out."""
    assert verdict(beside("0.0030 V"), "3.000") == Verdict(
        outcome=INCOMPLETE, reason="no-reference", readings=("3.000 V",))
    with pytest.raises(Wrong, match="the reference meter showed overload"):
        verdict(beside("0.0030 V"), "3.000", reference="OL")
    for far in ("2.3999", "3.7500", "-3.0000"):
        with pytest.raises(Wrong, match="a reference reading of about 3\u00a0V$"):
            verdict(beside("0.0030 V"), "3.000", reference=far)
    with pytest.raises(Wrong, match="has 5 decimals, and the display shows 4 decimals"):
        verdict(beside("0.0030 V"), "3.000", reference="3.00000")
    assert verdict(beside("0.0030 V"), "3.000", reference="2.4").outcome == "fail"


def test_a_reference_meter_that_counts_in_fives():
    """What it can't have shown is refused, as with the meter's own display."""
    coarse = beside("0.0030 V", "0.0005 V")
    assert verdict(coarse, "3.000", reference="3.0005").outcome == "pass"
    with pytest.raises(Wrong, match="steps of 0.0005"):
        verdict(coarse, "3.000", reference="3.0004")


def test_a_reference_beside_a_planned_zero():
    """A hundredth of 6 V is near enough to 0 V."""
    none = beside("0.0010 V", apply="0.000 V")
    assert verdict(none, "0.060", reference="-0.0600").error == F("0.12")
    with pytest.raises(Wrong, match="a reference reading of about 0\u00a0V$"):
        verdict(none, "0.060", reference="0.0601")


@pytest.mark.parametrize("guard, outcome", [
    (None, "written down"), ("0.0141 V", "written down"), ("0.0140 V", "pass")])
def test_a_guard_band_that_leaves_no_room_leaves_nothing_to_judge(guard, outcome):
    """T is 14 mV at 3 V: a guard band as wide still accepts equality, a wider one nothing."""
    said = verdict(beside(guard), "3.000", reference="3.0000")
    assert (said.outcome, said.reason) == (outcome, UNDECIDED if outcome == WRITTEN else "")


def test_a_comparison_with_four_outcomes():
    """T = 14 mV with a guard band of 4 mV, as where a source applies 3 V."""
    four = beside("0.0040 V", conditional=limits(18))
    assert [verdict(four, decimal_text(3 + F(n, 1000)), reference="3.0000").outcome
            for n in (10, 11, 14, 15, 18, 19)] == [
        "pass", "conditional pass", "conditional pass", "conditional fail", "conditional fail",
        "fail"]


# ---------------------------------------------------------------- repeated readings

def test_the_budget_of_repeated_readings():
    """(3 mV)²/3 + (0.5 mV)² and (1 mV)²/3 are 3.583 mV²; by Welch and Satterthwaite 3.583² /
    (3.25²/8 + 0.333²/2) is 9.3."""
    own = POINT["uncertainty"] | {"rectangles": ["0.0030 V"], "degrees": "8",
                                  "probability": "95\u00a0%"}
    sure = verdict(point(uncertainty=own), ["2.999", "3.000", "3.001"]).sure
    assert (sure.u, sure.degrees, sure.probability) == (
        pytest.approx((43e-6 / 12) ** 0.5), 9, pytest.approx(0.95))
    assert verdict(point(), "3.000").sure is None
    assert verdict(point(), ["2.999", "3.001"]).sure.u == pytest.approx(1.25e-6 ** 0.5)
    without = point(uncertainty=own | {"normal": None, "rectangles": []})
    assert verdict(without, ["2.999", "3.001"]).sure is None
    assert verdict(point(uncertainty=None), ["2.999", "3.001"]).sure is None


def test_the_mean_of_repeated_readings_is_judged():
    """Mean 3.015 fails though a single reading of the three is within; s/√3 by hand."""
    found = verdict(point(), ["3.014", "3.015", "3.016"])
    assert (found.outcome, found.error) == ("fail", F("0.015"))
    assert found.sure.u == pytest.approx((0.0005 ** 2 + 0.001 ** 2 / 3) ** 0.5)


def test_a_guard_band_of_u_grows_with_the_spread():
    """U alone leaves 3.010 within the printed limits; with readings that scatter by 10 mV, U is
    larger than the room that is left."""
    guarded = point(accept={"low": "2.987 V", "high": "3.013 V", "low_counts": 2987,
                            "high_counts": 3013})
    assert verdict(guarded, ["3.010", "3.010", "3.010"], rule="guard band of U").outcome == "pass"
    assert verdict(guarded, ["3.000", "3.010", "3.020"], rule="guard band of U").outcome == "fail"
    assert verdict(guarded, ["3.000", "3.010", "3.020"], rule="simple acceptance").outcome == "pass"


def test_the_widest_zone_grows_with_the_spread_too():
    """T = 14 mV, on paper ± 15 mV at most with U. The mean of 3.010, 3.020 and 3.024 V is 18 mV
    off, and s/√3 = 4.16 mV makes U about 19 mV: within T + U, so a conditional fail and no fail.
    The same mean from readings that agree is beyond ± 15 mV, and fails."""
    four = point(accept=limits(13), conditional=limits(15))
    found = verdict(four, ["3.010", "3.020", "3.024"], rule="guard band of U")
    assert (found.error, found.outcome) == (F("0.018"), "conditional fail")
    assert 0.018 < found.sure.expanded < 0.020
    assert verdict(four, ["3.018"] * 3, rule="guard band of U").outcome == "fail"


@pytest.mark.parametrize("middle, rule, outcome", [
    (8, "guard band of U", "pass"), (9, "guard band of U", "fail"),
    (10, "guard band of 0.7 U", "pass"), (11, "guard band of 0.7 U", "fail"),
    (12, "guard band by root-sum-square", "pass"), (13, "guard band by root-sum-square", "fail"),
    (13, "simple acceptance", "pass"), (13, "", "pass"),
])
def test_the_guard_band_that_readings_leave(middle, rule, outcome):
    """Three readings 2 mV apart: u² is 0.25 mV² and 4/3 mV², ν_eff 2.8, so U = 4.53 · 1.258 mV =
    5.70 mV. Of T = 14 mV it leaves 8.30 mV; 0.7 U leave 10.0 mV; the root of T² − U² is 12.8 mV.
    The sheet prints 13 mV."""
    around = [decimal_text(3 + F(middle + n, 1000)) for n in (-2, 0, 2)]
    said = verdict(point(accept=limits(13)), around, rule=rule)
    assert 0.00565 < said.sure.expanded < 0.00575
    assert said.outcome == outcome


def test_readings_that_agree_widen_nothing():
    """The printed limits stay, however little the readings scatter, and whatever zone is beyond."""
    for rule in ("guard band of U", "simple acceptance"):
        assert verdict(point(accept=limits(5)), ["3.008"] * 3, rule=rule).outcome == "fail"


def test_a_mean_equal_to_a_grown_limit_is_within_it():
    """T less the grown guard band, and T with it, to the last digit; one digit more is beyond."""
    step, unit = F(1, 10**15), {"resolution": f"0.{'0' * 14}1 V", "decimals": 15}

    def wide(millivolts: int) -> dict:
        made = limits(millivolts)
        return made | {name: made[name] * 10**12 for name in ("low_counts", "high_counts")}
    fine = point(**unit, accept=wide(13), tolerance_limits=wide(14), conditional=wide(15))

    def judged(off: F) -> Verdict:
        return verdict(fine, [decimal_text(3 + off + F(n, 1000), 15) for n in (-2, 0, 2)],
                       rule="guard band of U")
    tolerance, guard = F("0.014"), exact(value=judged(F(0)).sure.expanded)
    assert [judged(tolerance - guard + n * step).outcome for n in (0, 1)] == [
        "pass", "conditional pass"]
    assert [judged(tolerance + guard + n * step).outcome for n in (0, 1)] == [
        "conditional fail", "fail"]
