"""Whole small projects with tables as real data sheets have them at their worst: the right limits,
worked out by hand beside each case, or the clear refusal. Texts are compared as the sheet prints
them."""

import pytest

from tests.small_shop import codes, function, load_points, only_problem, range_, row, the_procedure


def printed(folder, one, point, **more) -> tuple[str, str, str, str]:
    """Range, limits and tolerance of the one point, as the sheet has them."""
    (found,) = the_procedure(load_points(folder, one, point, **more)).points
    return tuple(text.replace("\u00a0", " ")
                 for text in (found.range, found.accept_from, found.accept_to, found.tolerance))


def dc(*ranges, **more):
    return function("DC voltage", *ranges, **more)


def amps(*ranges, **more):
    return function("DC current", *ranges, **more)


SIX = range_("6 V", "1 mV", "0.4 % + 2 counts")
TABLE = [
    # 3 × 0.4 % + 2 mV = 14 mV
    (dc(SIX), {"apply": "3 V"}, ("6 V", "2.986", "3.014", "0.014")),
    (dc(SIX), {"apply": "-3 V"}, ("6 V", "−3.014", "−2.986", "0.014")),
    (dc(SIX), {"apply": "0 V"}, ("6 V", "−0.002", "0.002", "0.002")),
    # a limit on a half count: 1.5 mV + 2 mV = 3.5 mV, inward
    (dc(range_("6 V", "1 mV", "0.15 % + 2 counts")), {"apply": "1 V"}, ("6 V", "0.997", "1.003", "0.0035")),
    # half a count alone accepts the nominal reading alone
    (dc(range_("6 V", "1 mV", "0.5 count")), {"apply": "1 V"}, ("6 V", "1.000", "1.000", "0.0005")),
    # a value between two counts: 1.0005 ± 0.0014 → 0.9991 … 1.0019
    (dc(range_("6 V", "1 mV", "1.4 mV")), {"apply": "1.0005 V"}, ("6 V", "1.000", "1.001", "0.0014")),
    # one count of resolution and nothing else
    (dc(range_("6 V", "1 mV", "1 count")), {"apply": "5 V"}, ("6 V", "4.999", "5.001", "0.001")),
    # 10 % + 1 count of a range of 30 counts: 1 + 1 counts
    (amps(range_("3 A", "0.1 A", "10 % + 1 count"), display="30 counts"), {"apply": "1 A"}, ("3 A", "0.8", "1.2", "0.2")),
    # 10 % of 20 A, the base, not of the range's name: 2 A
    (amps(range_("10 A", "0.01 A", "10 % of range", base="20 A", highest_reading="19.99 A")), {"apply": "12 A"}, ("10 A", "10.00", "14.00", "2.00")),
    (amps(range_("10 A", "0.01 A", "10 % of range", highest_reading="19.99 A")), {"apply": "12 A"}, ("10 A", "11.00", "13.00", "1.00")),
    # 0.05 % × 1.5 V + 0.01 % × 2 V = 0.95 mV
    (dc(range_("2 V", "0.1 mV", "0.05 % of reading + 0.01 % of range"), display="20 000 counts"), {"apply": "1.5 V"}, ("2 V", "1.4991", "1.5009", "0.00095")),
    # 50 ppm × 100 mV + 20 µV = 25 µV on 10 µV counts
    (dc(range_("200 mV", "10 \u00b5V", "50 ppm + 20 \u03bcV"), display="20000"), {"apply": "100 mV"}, ("200 mV", "99.98", "100.02", "0.025")),
    # micro: 1 % × 300 µA + 5 × 0.1 µA = 3.5 µA, typed as 0.3 mA
    (amps(range_("600 uA", "0.1 uA", "1 % + 5 counts")), {"apply": "0.3 mA"}, ("600 µA", "296.5", "303.5", "3.5")),
    # mega: 0.01 % × 5 MHz + 3 × 1 kHz = 3.5 kHz
    (function("frequency", range_("6 MHz", "1 kHz", "0.01 % + 3 counts")), {"apply": "5000 kHz", "level": "1 V"}, ("6 MHz", "4.997", "5.003", "0.0035")),
    # percent of a duty cycle are percentage points: 0.5 + 2 × 0.1 = 0.7
    (function("duty cycle", range_("100 %", "0.1 %", "0.5 % + 2 counts")), {"apply": "20 %", "frequency": "50 Hz", "level": "5 V"}, ("100 %", "19.3", "20.7", "0.7")),
    # ranges in any order
    (dc(range_("600 V", "0.1 V", "1 %"), range_("600 mV", "0.1 mV", "1 %"), SIX, range_("60 V", "10 mV", "2 %")), {"apply": "30 V"}, ("60 V", "29.40", "30.60", "0.60")),
    # a range that the display shows in volts, written in millivolts
    (dc(range_("6000 mV", "1 mV", "0.4 % + 2 counts")), {"apply": "3 V"}, ("6000 mV", "2986", "3014", "14")),
    # overlapping parts: 2 V is in both, 0.5 % is tighter
    (dc(range_("6 V", "1 mV", [row("0.5 %", values="0 V to 3 V"), row("2 %", values="1 V to 6 V")])), {"apply": "2 V"}, ("6 V", "1.990", "2.010", "0.010")),
    (dc(range_("6 V", "1 mV", [row("0.5 %", values="0 V to 3 V"), row("2 %", values="1 V to 6 V")])), {"apply": "4 V"}, ("6 V", "3.920", "4.080", "0.080")),
    # the part's end belongs to both, of either polarity
    (dc(range_("6 V", "1 mV", [row("2 %", values="3 V to 6 V"), row("0.5 %", values="0 mV to 3000 mV")])), {"apply": "-3 V"}, ("6 V", "−3.015", "−2.985", "0.015")),
    # a 1000 V range that reads 1000 V
    (dc(range_("1000 V", "1 V", "0.5 % + 2 counts", highest_reading="1000 V")), {"apply": "990 V"}, ("1000 V", "984", "996", "6.9")),
    # steps of two and of five of the last digit
    (dc(range_("6 V", "2 mV", "0.4 % + 2 counts")), {"apply": "3 V"}, ("6 V", "2.984", "3.016", "0.016")),
    (dc(range_("6 V", "5 mV", "0.4 % + 2 counts")), {"apply": "3 V"}, ("6 V", "2.980", "3.020", "0.022")),
    # more digits than a float holds: 0.3 + 0.1 is no 0.30000000000000004
    (dc(range_("1 V", "0.1 mV", "10 % + 1 mV"), display="10000"), {"apply": "0.1 V"}, ("1 V", "0.0890", "0.1110", "0.0110")),
]


@pytest.mark.parametrize("one, point, expected", TABLE, ids=[str(n) for n in range(len(TABLE))])
def test_limits_as_printed(one, point, expected, tmp_path):
    """Range, limits and tolerance as the sheet prints them, in the digits and the unit of the
    range's display."""
    assert printed(tmp_path, one, point) == expected


GAPS = function("AC voltage", range_("6 V", "1 mV", [
    row("1 % + 3 counts", frequency="45 Hz to 500 Hz"),
    row("2.5 % + 5 counts", frequency="500 Hz to 1 kHz"),
    row("5 % + 10 counts", frequency="2 kHz to 5 kHz")], lowest="5 % of range"))


@pytest.mark.parametrize("hertz, limits",
                         [("45 Hz", ("2.967", "3.033")), ("500 Hz", ("2.967", "3.033")),
                          ("0.5 kHz", ("2.967", "3.033")),
                          ("501 Hz", ("2.920", "3.080")), ("1000 Hz", ("2.920", "3.080")),
                          ("2 kHz", ("2.840", "3.160"))])
def test_frequency_selects_the_row(hertz, limits, tmp_path):
    """Where two rows meet the tighter one applies: 1 % + 3 counts at 500 Hz, 2.5 % + 5 counts right
    above it."""
    assert printed(tmp_path, GAPS, {"apply": "3 V", "frequency": hertz})[1:3] == limits


@pytest.mark.parametrize("apply, hertz, code",
                         [("3 V", "44 Hz", "frequency-outside"),
                          ("3 V", "1.5 kHz", "frequency-outside"),
                          ("3 V", "6 kHz", "frequency-outside"),
                          ("0.299 V", "50 Hz", "below-lowest"),
                          ("5.97 V", "50 Hz", "tolerance-past-range")])
def test_outside_the_ac_specification_nothing_is_printed(apply, hertz, code, tmp_path):
    """A gap in the frequencies, a frequency beyond them and a value under the lowest specified one
    are refused by name."""
    assert only_problem(load_points(tmp_path, GAPS,
                                    {"apply": apply, "frequency": hertz})).code == code


TWO = dc(range_("600 mV", "0.1 mV", "0.5 % + 3 counts"), SIX)


@pytest.mark.parametrize("point, outcome", [
    ({"apply": "599.95 mV"}, "unclear-range"), ({"apply": "0.6 V"}, "unclear-range"),
    ({"apply": "0.603 V"}, "unclear-range"),
    ({"apply": "0.6 V", "force_range": "6 V"}, ("6 V", "0.596", "0.604")),  # 2.4 mV + 2 mV
    ({"apply": "0.604 V"}, ("6 V", "0.600", "0.608")),  # 4.416 mV
    ({"apply": "0.3 V", "range": "6 V"}, "other-range"),
    ({"apply": "0.3 V", "range": "600 mV"}, ("600 mV", "298.2", "301.8")),
])
def test_values_between_two_ranges(point, outcome, tmp_path):
    """Where a good meter may be on either of two ranges the point is refused unless the plan forces
    one."""
    if isinstance(outcome, str):
        assert only_problem(load_points(tmp_path, TWO, point)).code == outcome
    else:
        assert printed(tmp_path, TWO, point)[:3] == outcome


def test_a_band_may_start_right_above_zero_but_not_at_it(tmp_path):
    """5.1 ± 5 points starts at the first count; 5 ± 5 would pass a dead meter."""
    duty = function("duty cycle", range_("100 %", "0.1 %", "5 %"))
    assert printed(tmp_path, duty,
                   {"apply": "5.1 %", "frequency": "50 Hz", "level": "1 V"})[1:3] == ("0.1", "10.1")
    assert codes(load_points(tmp_path / "b", duty,
                             {"apply": "5 %", "frequency": "50 Hz", "level": "1 V"})) == [
                                 "accepts-zero"]


def test_percent_of_range_says_what_it_is_of(tmp_path):
    """Without a word it is the range's name, and the page says so; with 'base' it is that value."""
    one = range_("10 A", "0.01 A", "1 % of range", highest_reading="19.99 A")
    notes = " ".join(
        the_procedure(load_points(tmp_path, amps(one), {"apply": "5 A"})).notes).replace(
            "\u00a0", " ")
    assert "10 A, the range's name" in notes
    notes = " ".join(the_procedure(load_points(tmp_path / "b", amps(one | {"base": "20 A"}),
                                               {"apply": "5 A"})).notes).replace("\u00a0", " ")
    assert "of 20 A" in notes and "range's name" not in notes.split("of 20 A")[1]
