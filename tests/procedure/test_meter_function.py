"""From a meter's file to the table that the computation sees, by hand."""

from fractions import Fraction as F

import pytest

from builder.numbers.units import quantity
from builder.procedure.meter_function import MeterFunction
from tests.small_shop import function, load, meter, range_, row


def of(folder, one: dict, **more) -> MeterFunction:
    """A meter's only function."""
    shop = load(folder, meter(one, **more))
    assert not shop.errors, "\n".join(map(str, shop.errors))
    (found,) = shop.functions["lapwing-1"].values()
    return found


VOLTS = function("DC voltage", range_("60 V", "10 mV", "0.5 % + 2 counts"),
                 range_("600 mV", "0.1 mV", "0.4 % + 3 counts", dial="mV", highest_reading="590 mV",
                        up_range="580 mV"),
                 range_("6 V", "1 mV", "0.4 % of range + 1 mV", base="10 V", down_range="0.5 V"),
                 dial="V")


def test_ranges_stand_lowest_first_each_with_its_name(tmp_path):
    """Whatever the order of the file; a range is found by its value, in whatever unit."""
    found = of(tmp_path, VOLTS)
    low, middle, high = found.table.ranges
    assert [one.full_scale for one in found.table.ranges] == [F("0.6"), 6, 60]
    assert [str(found.names[one]) for one in found.table.ranges] == ["600 mV", "6 V", "60 V"]
    assert found.unit.shown == "mV" and found.model_of[low].range.value == F("0.6")
    assert found.range(quantity("0.6 V")) is low and found.range(quantity("6000 mV")) is middle
    assert found.range(quantity("7 V")) is None and found.range(None) is None and high is not low


def test_what_a_range_has(tmp_path):
    """The highest reading is the range less one count unless the file says otherwise; percent of
    range is of the base; jacks and dial are the range's own, or the function's."""
    found = of(tmp_path, VOLTS)
    low, middle, high = found.table.ranges
    assert [one.highest for one in (low, middle, high)] == [F("0.59"), F("5.999"), F("59.99")]
    assert [one.base for one in (low, middle, high)] == [F("0.6"), 10, 60]
    assert (low.up, low.down, middle.up, middle.down) == (F("0.58"), None, None, F("0.5"))
    assert [found.dial(one) for one in (low, middle, high)] == ["mV", "V", "V"]
    assert found.jacks(low) == ("V", "COM")
    line = middle.pieces[middle.rows[0]][0].above
    assert (line.slope, line.offset) == (0, F("0.041"))     # 0.4 % of 10 V, and 1 mV


@pytest.mark.parametrize("lowest, value", [
    (None, None), ("5 % of range", "0.3"), ("0.25 V", "0.25"), ("250 mV", "0.25")])
def test_the_lowest_specified_value(lowest, value, tmp_path):
    """As an amount, or as a share of the range's name."""
    one = function("AC voltage", range_("6 V", "1 mV", [row("1 %", frequency="40 Hz to 1 kHz")],
                                        **({"lowest": lowest} if lowest else {})))
    (on,) = of(tmp_path, one).table.ranges
    assert on.lowest == (None if value is None else F(value))
    assert on.rows[0].frequency == (40, 1000)


@pytest.mark.parametrize("one, given, limits", [
    # a voltage bears the meter's rating between terminals at most, a current has none
    ("DC voltage", None, ("1000", None, None)), ("DC voltage", {"highest": "600 V"},
                                                 ("600", None, None)),
    ("DC voltage", {"highest": "1500 V", "peak": "2 kV"}, ("1000", "2000", None)),
    ("AC voltage", {"volt_hertz": "20000000 V Hz"}, ("1000", None, "20000000")),
    ("DC current", None, (None, None, None)), ("DC current", {"highest": "12 A"},
                                               ("12", None, None)),
])
def test_what_an_input_bears(one, given, limits, tmp_path):
    """Its own figures, and for voltages never more than the meter's rating."""
    unit, jacks = ("A", ["A", "COM"]) if "current" in one else ("V", ["V", "COM"])
    rows = [row("1 %", frequency="40 Hz to 1 kHz")] if one.startswith("AC") else "1 %"
    made = function(one, range_(f"6 {unit}", f"0.001 {unit}", rows, lowest=f"0.3 {unit}"),
                    jacks=jacks, **({"input": given} if given else {}))
    found = of(tmp_path, made).table.limits
    assert (found.highest, found.peak, found.volt_hertz) == tuple(
        None if text is None else F(text) for text in limits)


def test_the_level_of_a_frequency_is_what_its_input_bears(tmp_path):
    """A counter of voltages bears the meter's rating, as its level is a voltage; a counter of
    currents doesn't."""
    hertz = function("frequency", range_("6 kHz", "1 Hz", "0.1 %"))
    assert of(tmp_path / "a", hertz).table.limits.highest == 1000
    amps = of(tmp_path / "b", hertz | {"signal": "current", "jacks": ["A", "COM"]})
    assert amps.table.limits.highest is None


@pytest.mark.parametrize("kind, minus, zero, ac", [
    ("DC voltage", True, True, False), ("resistance", False, True, False),
    ("temperature", True, True, False)])
def test_what_a_kind_of_function_shows(kind, minus, zero, ac, tmp_path):
    """Minus and zero by the kind; parts of a range of temperatures go by their sign."""
    unit = {"DC voltage": "V", "resistance": "ohm", "temperature": "degC"}[kind]
    found = of(tmp_path, function(kind, range_(f"600 {unit}", f"0.1 {unit}", "1 % + 2 counts"),
                                  ranging="manual", name=f"Main {kind}"))
    table = found.table
    assert (table.shows_minus, table.has_zero, table.is_ac) == (minus, zero, ac)
    assert table.ranges[0].rows[0].by_sign is (kind == "temperature") and not table.autoranging
    assert found.code == f"main-{kind.lower().replace(' ', '-')}"
    assert found.title == f"Main {kind}"
