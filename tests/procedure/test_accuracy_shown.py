"""A function's rows as the lines of its picture."""

import pytest

from builder.procedure import accuracy_shown
from builder.shop import loading
from tests.conftest import ROOT
from tests.small_shop import function, load, meter, range_, row


def lines(folder, *ranges: dict, kind: str = "DC voltage", **more) -> list[tuple]:
    shop = load(folder, meter(function(kind, *ranges, **more), display="60000 counts"))
    assert not shop.errors, shop.errors
    (view,) = shop.functions["lapwing-1"].values()
    return [(one.range.replace("\u00a0", " "), round(one.low, 6), round(one.high, 6), one.holds)
            for one in accuracy_shown.lines_of(view)]


def test_a_line_begins_where_the_range_below_ends(tmp_path):
    """The lowest goes down to a hundredth of itself, or to its lowest specified value."""
    assert lines(tmp_path, range_("600 mV", "0.1 mV", "1 %"), range_("6 V", "1 mV", "1 %")) == [
        ("600 mV", 0.005999, 0.5999, ""), ("6 V", 0.5999, 5.999, "")]
    assert lines(tmp_path / "b", range_("600 mV", "0.1 mV", "1 %", lowest="30 mV"))[0][1] == 0.03


def test_ranges_on_other_jacks_begin_by_themselves(tmp_path):
    """The meter can't switch between them by itself, so their lines overlap."""
    made = lines(tmp_path, range_("600 mA", "0.1 mA", "1 %"),
                 range_("10 A", "10 mA", "1 %", jacks=["10 A", "COM"]), kind="DC current")
    assert [one[1] for one in made] == [0.005999, 0.0999]


def test_rows_by_frequency_and_by_value(tmp_path):
    """Each its own line, with what it holds for, over its own part."""
    rows = [row("1 %", frequency="40 Hz to 400 Hz"), row("2 %", frequency="400 Hz to 1 kHz")]
    made = lines(tmp_path, range_("6 V", "1 mV", rows, lowest="1 V"), kind="AC voltage")
    assert [(one[1], one[3].replace("\u00a0", " ")) for one in made] == [
        (1.0, "40 to 400 Hz"), (1.0, "400 Hz to 1 kHz")]
    parts = [row("1 %", values="0 V to 2 V"), row("2 %", values="2 V to 6 V")]
    made = lines(tmp_path / "b", range_("6 V", "1 mV", parts))
    assert [one[1:3] for one in made] == [(0.05999, 2.0), (2.0, 5.999)]


@pytest.fixture(scope="module")
def demo():
    return loading.load_shop(ROOT / "procedures", plans=False)


def test_every_function_of_the_demo_has_its_picture(demo):
    """As many curves as its table has rows; those without a table have none."""
    for functions in demo.functions.values():
        for view in functions.values():
            picture = accuracy_shown.picture(view)
            rows = sum(len(on.rows) for on in view.table.ranges)
            assert picture.count("<path") == rows, view.title
            assert bool(picture) == bool(view.models)
