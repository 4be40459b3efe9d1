"""What became of a reading: brute force against the builder's own limits, on and beside each of
them, with the same made-up points that the phone's rules are held against; and what people type."""

from __future__ import annotations

import json
import random
from collections import Counter
from fractions import Fraction as F

import pytest

from builder.files.problems import Wrong
from builder.formats.sheet_data import PointData
from builder.numbers.units import decimal_text
from builder.records.verdict import UNDECIDED, verdict
from tests import verdict_cases as cases
from tests.small_shop import load, meter


@pytest.fixture(scope="module")
def views(tmp_path_factory):
    rng = random.Random(7)
    made = [cases.random_function(rng, n) for n in range(60)]
    shop = load(tmp_path_factory.mktemp("judging"),
                meter(*made, jacks=["V", "COM"], display="100000 counts"))
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
                more["reference"] = cases.as_typed(
                    rng, reference, name,
                    len(data["reference"]["resolution"].split()[0].partition(".")[2]))
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
    assert sum(seen.values()) > 4000
    for kind in ("source", "artifact", "coil", "reference"):
        assert all(seen[kind, outcome] > 5 for outcome in ("pass", "fail")), seen
    assert all(seen["source", outcome] > 5
               for outcome in ("conditional pass", "conditional fail",
                               "written down")) and seen["refused"] > 5, seen


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


# ---------------------------------------------------------------- repeated readings

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
