"""What many meters moved by together, from records: a source that steps, and one that does not."""

import json
import random
from datetime import date

import pytest

from builder.records import history, together
from builder.records.together import Supplied
from builder.shop import loading
from tests import recorded

STEP_DAY = "2022-05-01"


def shop_with(folder, *, step=0.003, values=(3.0, -3.0, 540.0), meters=8):
    """A year's day for each meter, four years; from a day on the source puts out less by `step`, so
    that the values of `values` read higher."""
    root = recorded.folder_with(folder)
    data, chance = recorded.data_of(root), random.Random(3)
    for n in range(meters):
        own = {value: chance.uniform(-0.001, 0.001) for value in (3.0, -3.0, 540.0)}
        for year in range(2020, 2024):
            day = f"{year}-{1 + n:02}-12"
            shown = {value: value * (1 + off + chance.gauss(0, 2e-4)
                                     + (step if day > STEP_DAY and value in values else 0))
                     for value, off in own.items()}
            record = recorded.record(
                data, {"dcv-6V-3.000V": f"{shown[3.0]:.3f}", "dcv-6V--3.000V": f"{shown[-3.0]:.3f}",
                       "dcv-600V-540.0V": f"{shown[540.0]:.1f}"},
                serial=f"L-{n}", date=day, issued=day)
            (root / "records" / f"{day}-l{n}.yaml").write_text(json.dumps(record), encoding="utf-8")
    return root


def found_in(root) -> together.Together:
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return together.together(history.histories(shop.records, {}).values())


@pytest.fixture(scope="module")
def stepped(tmp_path_factory):
    return found_in(shop_with(tmp_path_factory.mktemp("stepped")))


def test_a_step_of_the_source_is_found(stepped):
    """In its month, at all values of the source, by as much as it was; the box moved nothing."""
    by_key = {one.supplied: one for one in stepped.moved}
    assert {key.standards for key in by_key} == {("petrel",)} and len(by_key) == 4
    whole = by_key[Supplied(("petrel",), "DC voltage")]
    assert whole.found.most.mean == pytest.approx(0.003, rel=0.1) and whole.found.most.meters == 8
    assert date.fromordinal(whole.found.most.day).isoformat() == STEP_DAY
    for one in stepped.moved:
        assert one.found.chance <= together.FALSE_ALARM and one.kinds == ("Lapwing 1",)
        assert (one.moved_values, one.of_values) == (3, 3)


def test_one_value_alone(tmp_path):
    """A step at 540 V alone is found there, and not at 3 V."""
    moved = found_in(shop_with(tmp_path, values=(540.0,))).moved
    assert "540.0 V" in {one.said for one in moved}
    assert not {"3.000 V", "-3.000 V"} & {one.said for one in moved}


def test_nothing_moved(tmp_path):
    """And still it says how small a move would have shown, smaller with more meters."""
    shop = found_in(shop_with(tmp_path / "a", step=0.0))
    assert shop.moved == () and shop.looked_at == 6 and shop.other_standard == 0
    few = found_in(shop_with(tmp_path / "b", step=0.0, meters=4))
    least = [{one.supplied.function: one.least for one in made.watched} for made in (shop, few)]
    assert set(least[0]) == {"DC voltage", "resistance"}
    assert least[0]["DC voltage"] < 0.003 < 10 * least[0]["DC voltage"]
    assert least[0]["DC voltage"] < least[1]["DC voltage"]


def test_two_meters_say_nothing(tmp_path):
    shop = found_in(shop_with(tmp_path, meters=2))
    assert (shop.moved, shop.watched, shop.looked_at) == ((), (), 0)


def test_another_certificate_is_told(tmp_path):
    """All records after the step name another certificate on the source's label."""
    root = shop_with(tmp_path)
    for path in (root / "records").glob("20*.yaml"):
        record = json.loads(path.read_text(encoding="utf-8"))
        if record["date"] > STEP_DAY:
            record["standards"] = {"petrel": {"certificate": "X-2"}}
            path.write_text(json.dumps(record), encoding="utf-8")
    assert {one.anew for one in found_in(root).moved} == {8}


def test_what_was_adjusted_in_between_is_no_move(tmp_path):
    """As left counts as the reading before the next one: after it nothing moved."""
    root = shop_with(tmp_path, step=0.0)
    data = recorded.data_of(root)
    for n in range(8):      # each meter is put 0.01 higher, as its as left shows
        day = f"2022-{1 + n:02}-13"
        left = recorded.record(data, {"dcv-6V-3.000V": "3.011"}, serial=f"L-{n}", date=day,
                               issued=day, state="as left", adjusted="3 V")
        (root / "records" / f"{day}-l{n}.yaml").write_text(json.dumps(left), encoding="utf-8")
        later = root / "records" / f"2023-{1 + n:02}-12-l{n}.yaml"
        record = json.loads(later.read_text(encoding="utf-8"))
        step = next(key for key in record["steps"] if "3.000 V" in key and "-3" not in key)
        record["steps"][step] = f"{3.011 + 0.001 * (n % 3 - 1):.3f}"
        later.write_text(json.dumps(record), encoding="utf-8")
    assert "3.000 V" not in {one.said for one in found_in(root).moved}


def test_of_the_demo_nothing_is_said_of_its_standards(demo_shop):
    """Eight meters are few; the one with a reference that drifts is named."""
    shop = together.together(history.histories(demo_shop.records, {}).values())
    assert shop.moved == () and [own.serial for own, _ in shop.own] == ["W-0088"]
    assert all(one.meters >= 3 for one in shop.watched) and shop.names["fulmar"] == "Fulmar"
