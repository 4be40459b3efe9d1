"""What the points of one meter share, from records: the demo's story, and what is found in it."""

import pytest

from builder.records import history, shared_causes
from tests import demo_story
from tests.records.test_history import histories_of, shop_of, years

BY_REFERENCE = {name for name in demo_story.BY_REFERENCE}


@pytest.fixture(scope="module")
def found(demo_shop):
    own = history.histories(demo_shop.records, {})
    return {one.function: one for one in own["whimbrel-200", "W-0088"].shared}


def test_the_reference_that_the_story_lets_drift_is_found(found):
    """70 ppm a year on all that goes by it, within three standard uncertainties, and nothing
    else."""
    assert {name for name, one in found.items() if one.drifts} == BY_REFERENCE
    for name in BY_REFERENCE:
        drift = found[name].found
        assert abs(drift.slope * 365 - 70e-6) < 3 * drift.u_slope * 365 and drift.records == 6


def test_among_many_each_counts_for_less(found):
    """Holm over a drift and a jump of each function: none is surer than it is alone, the surest
    counts as often as there are tests."""
    surest = min(found.values(), key=lambda one: one.found.chance)
    assert surest.drift_chance == pytest.approx(surest.found.chance * 2 * len(found))
    assert all(one.drift_chance >= one.found.chance for one in found.values())


def test_too_few_records_or_points_say_nothing(tmp_path):
    """Four years; and a sheet with too few points of a function."""
    assert histories_of(shop_of(tmp_path / "a", *years(*["3.001"] * 4)))[
        "lapwing-1", "0147"].shared == ()
    shared = histories_of(shop_of(tmp_path / "b", *years(*["3.001"] * 6)))[
        "lapwing-1", "0147"].shared
    assert [one.function for one in shared] == ["DC voltage"]


def rising(*steps, **more):
    """Three points on two ranges that move alike, by steps of 1000 ppm of the value."""
    return [head | {"volt": f"{3 + 0.003 * n:.3f}", "readings": {
        "dcv-6V--3.000V": f"{-3 - 0.003 * n:.3f}", "dcv-600V-540.0V": f"{540 + 0.54 * n:.1f}"}}
        | more for head, n in zip(years(*["3"] * len(steps)), steps, strict=True)]


def test_a_drift_and_what_it_stops(tmp_path):
    """All three points rise by 1000 ppm a year: one drift; nothing suggests a longer interval."""
    own = histories_of(shop_of(tmp_path, *rising(0, 0.5, 1, 1.5, 2, 2.5)))["lapwing-1", "0147"]
    (one,) = own.shared
    assert one.drifts and not one.jumped and one.found.slope * 365.2425 == pytest.approx(
        500e-6, rel=0.05)


def test_a_jump_of_the_last_record(tmp_path):
    """Steady for five years, then all higher by 3000 ppm."""
    (one,) = histories_of(shop_of(tmp_path, *rising(0, 0, 0, 0, 0, 3)))["lapwing-1", "0147"].shared
    assert one.jumped and not one.drifts and one.found.jump == pytest.approx(3e-3, rel=0.05)


def test_it_begins_again_at_an_adjustment(tmp_path):
    """As found on the day of the adjustment ends it; what was left begins anew: five records."""
    first = rising(0, 1, 2)
    left = {"date": "2022-03-13", "issued": "2022-03-13", "state": "as left",
            "adjusted": "DC voltage", "follows": "r2"}
    later = [one | {"date": f"{2023 + n}-03-12", "issued": f"{2023 + n}-03-12"}
             for n, one in enumerate(rising(0, 0, 0, 0))]
    (one,) = histories_of(shop_of(tmp_path, *first, left, *later))["lapwing-1", "0147"].shared
    assert one.found.records == 5 and not one.drifts


def test_a_record_that_was_called_off_is_left_aside(tmp_path):
    """One point of three in the last year: five records count, and all three points."""
    records = rising(0, 0, 0, 0, 0, 9)
    records[-1]["readings"] = {"dcv-6V--3.000V": "-", "dcv-600V-540.0V": "-"}
    (one,) = histories_of(shop_of(tmp_path, *records))["lapwing-1", "0147"].shared
    assert (one.found.records, one.found.points, one.jumped) == (5, 3, False)


def test_zero_and_temperature_have_no_share_of_the_value(demo_shop):
    """No share of 0 °C, and none of nothing."""
    record = next(one for one in demo_shop.records.values() if one.meter == "whimbrel-200")
    for reading in record.judged:
        if reading.point.kind == "zero" or "temperature" in reading.point.function:
            assert shared_causes.relative(reading) is None
