"""What a plan's entry 'recommended' becomes: its points, and what is said of the rows that nothing
is recommended for."""

import pytest

from builder.files.problems import WARNING
from tests.small_shop import (function, load, meter, only_problem, plan, range_, row, standard,
                              the_procedure)

ROW = [row("1 % + 3 counts", frequency="45 Hz to 1 kHz")]
AC = function("AC voltage", range_("6 V", "1 mV", ROW, lowest="0.3 V"),
              range_("60 V", "10 mV", ROW, lowest="3 V"))


def source(**more) -> dict:
    """Up to 100 V, from 40 Hz to 600 Hz."""
    return standard({"AC voltage": {"values": "0 V to 100 V", "frequency": "40 Hz to 600 Hz"}
                     | more})


def recommended(folder, one, standard_file=None, point=None, left_out=(), **more):
    return load(folder, meter(one, **more),
                plan({"function": one["function"], "apply": "recommended"} | (point or {}),
                     left_out=[{"function": one["function"], "because": "x"} | left
                               for left in left_out]), standard_file)


def ids(shop) -> list[str]:
    return [point.id for point in the_procedure(shop).points]


@pytest.mark.parametrize("point, left_out, ranges", [
    ({}, (), [("6 V", "5.4 V"), ("60 V", "54 V")]),
    ({"range": "60 V"}, [{"range": "6 V"}], [("60 V", "54 V")]),
])
def test_a_row_tested_at_one_end_of_its_frequencies_alone_is_a_warning(point, left_out, ranges,
                                                                       tmp_path):
    """The source ends at 600 Hz, so nothing is recommended at 1 kHz: of each range that is asked
    for the reason at 90 % of it, at the entry's own place, and the build goes on."""
    shop = recommended(tmp_path, AC, source(), point, left_out)
    found = [problem for problem in shop.problems if problem.code != "no-check"]
    assert [(p.code, p.severity, p.sentence.replace("\u00a0", " "), p.hint) for p in found] == [
        ("recommended", WARNING, f"nothing is recommended for 1 kHz on the {on} range: {value} at "
         "1 kHz is beyond the reach of Petrel",
         "list a point there by hand if another source can do it") for on, value in ranges]
    assert all(p.place.text[p.place.column - 1:].startswith('"recommended"') for p in found)
    assert shop.procedures


def test_a_range_that_nothing_is_recommended_for_is_forgotten_with_the_reason(tmp_path):
    """A source to 5.9 V reaches 90 % of the lower range, and nothing that the meter shows on the
    other: what is said is about 90 % of that, without a warning beside it."""
    one = function("DC voltage", range_("6 V", "1 mV", "1 %"), range_("60 V", "10 mV", "1 %"))
    found = only_problem(recommended(tmp_path, one,
                                     standard({"DC voltage": {"values": "0 V to 5.9 V"}})))
    assert found.code == "forgotten"
    assert "54 V is beyond the reach of Petrel" in found.sentence.replace("\u00a0", " ")


def test_no_more_than_the_volt_hertz_product_is_recommended(tmp_path):
    """Of 3000 V·Hz 3 V remain at 1 kHz, half of the range; at 45 Hz there are all three points."""
    one = function("AC voltage", range_("6 V", "1 mV", ROW, lowest="0.3 V"),
                   input={"volt_hertz": "3000 V Hz"})
    assert set(ids(recommended(tmp_path, one))) == {
        "acv-6V-0.600V-45Hz", "acv-6V-3.000V-45Hz", "acv-6V-5.400V-45Hz", "acv-6V-3.000V-1kHz"}


def test_just_below_the_ceiling_of_a_counter(tmp_path):
    """In steps of 6 Hz, a thousandth of the range: 5994 Hz with 0.1 % and 3 Hz are 6002.994 Hz, too
    much, 5988 Hz are 5996.988 Hz. Low, middle and high are 10, 50 and 90 %."""
    one = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"))
    assert set(ids(recommended(tmp_path, one, point={"level": "1 V"}))) == {
        f"freq-6kHz-{value}kHz-1V" for value in ("0.600", "3.000", "5.400", "5.988")}


def test_a_range_that_ends_below_nine_tenths_of_its_name(tmp_path):
    """The display ends at 8.5 A, so 9 A are passed over for the next share, 8 A, which with 1 % and
    a count are 8.09 A at most; the source drives any of them through 0.3 V."""
    one = function("DC current", range_("10 A", "10 mA", "1 % + 1 count", burden="0.3 V",
                                        highest_reading="8.5 A"), jacks=["A", "COM"])
    shop = recommended(tmp_path, one,
                       standard({"DC current": {"values": "0 A to 20 A", "drives": "2 V"}}))
    assert set(ids(shop)) == {f"dci-10A-{value}A"
                              for value in ("0.00", "1.00", "5.00", "8.00", "-8.00")}
