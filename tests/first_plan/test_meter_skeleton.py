"""A meter's file to fill in: it says where, once a place, and is right as soon as it is filled."""

import re

import pytest

from builder.first_plan import meter_skeleton
from builder.first_plan.meter_kinds import KINDS
from builder.files.problems import Wrong
from builder.shop import loading
from tests.small_shop import write

FILLED = {"name": "My meter", "maker": "Invented Works", "source": "a data sheet, issue 1",
          "holds": "18 to 28 degC", "interval": "1 year",
          "temperature_coefficient": "0.1 per degC", "between_terminals": "1000 V",
          "CAT III": "600 V", "frequency": "45 Hz to 400 Hz", "within": "1 % + 5 counts",
          "accuracy": "1 % + 5 counts", "thermocouple": "K", "sensitivity": "0.5 V",
          "after_zeroing": "yes"}


def filled(line: str) -> str:
    def fill(found: re.Match) -> str:
        lowest = "1 degC" if "degC" in line else "5 % of range"
        return f"{found[1]}: " + (FILLED | {"lowest": lowest})[found[1]]
    return re.sub(r"([A-Za-z_][\w ]*): …", fill, line)


@pytest.mark.parametrize("kind", KINDS)
def test_each_place_is_named_once_and_nothing_else(kind, tmp_path):
    folder = write(tmp_path / "procedures", {})
    shown, places = meter_skeleton.write(folder, "my-meter", kind)
    assert shown == "procedures/meters/my-meter.yaml" and 20 < places < 60
    problems = loading.load_shop(folder).problems
    assert len(problems) == places
    assert {(p.severity, p.sentence) for p in problems} == {("error", "this is to be filled in")}
    assert len({(p.place.line, p.place.column) for p in problems}) == places


@pytest.mark.parametrize("kind", KINDS)
def test_filled_in_it_is_right(kind, tmp_path):
    """Ranges and steps go with the display and with each other: not even a doubt is left."""
    text = "\n".join(map(filled, meter_skeleton.text("my-meter", kind).splitlines()))
    assert "…" not in text.partition("functions:")[2]
    shop = loading.load_shop(write(tmp_path / "procedures", {"meters/my-meter.yaml": text}))
    assert [p.sentence for p in shop.problems] == []
    assert all(f.table.ranges or f.kind.may_lack_ranges
               for f in shop.functions["my-meter"].values())


def test_nothing_is_overwritten(tmp_path):
    meter_skeleton.write(tmp_path, "my-meter", "clamp")
    before = (tmp_path / "meters/my-meter.yaml").read_bytes()
    with pytest.raises(Wrong, match="exists already"):
        meter_skeleton.write(tmp_path, "my-meter", "field")
    assert (tmp_path / "meters/my-meter.yaml").read_bytes() == before


@pytest.mark.parametrize("name", ["My meter", "../x", "con", ""])
def test_a_name_that_can_be_no_file_is_refused(name, tmp_path):
    with pytest.raises(Wrong):
        meter_skeleton.write(tmp_path, name, "clamp")
    assert list(tmp_path.iterdir()) == []
