"""Ranges, rows and refusals on tables small enough to work out by hand."""

from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.accuracy_table import InputLimits, TemperatureSpan
from builder.compute.exact.clear_values import clear_values
from builder.compute.exact.points import Refused, judge, range_for, refuse_beyond_input
from tests.compute.exact.tables import DECADE, ac, acc, dc, range_, row


def refusal(function, x, hertz=None, **more) -> str:
    with pytest.raises(Refused) as caught:
        judge(function=function, applied=F(x), frequency=None if hertz is None else F(hertz),
              **more)
    return caught.value.code


def limits(function, x, hertz=None, **more):
    found = judge(function=function, applied=F(x), frequency=None if hertz is None else F(hertz),
                  **more)
    r = found.range.resolution
    return found.range.full_scale, found.accepted.low * r, found.accepted.high * r


@pytest.mark.parametrize("x, full_scale",
                         [("0", "0.6"), ("0.5999", "0.6"), ("0.6", "6"), ("-0.5999", "0.6"),
                          ("-5.999", "6"), ("6", "60"), ("599.9", "600")])
def test_the_range_is_the_lowest_whose_highest_reading_holds_the_value(x, full_scale):
    """A range ends one count below its name, whatever the sign of the value."""
    assert range_for(function=DECADE, applied=F(x)).full_scale == F(full_scale)


@pytest.mark.parametrize("x, full, low, high", [
    ("3", "6", "2.986", "3.014"), ("-3", "6", "-3.014", "-2.986"),
    ("0", "0.6", "-0.0003", "0.0003"),
    ("0.54", "0.6", "0.5370", "0.5430"), ("30", "60", "29.86", "30.14"),
    ("540", "600", "537.1", "542.9"),
])
def test_limits_on_an_everyday_table(x, full, low, high):
    """0.4 % + 2 counts and the like, worked out by hand."""
    assert limits(DECADE, x) == (F(full), F(low), F(high))


@pytest.mark.parametrize("x, code", [
    ("600", "beyond-range"), ("-600", "beyond-range"),
    ("599", "tolerance-past-range"),   # 599 + 3.195 V runs past 599.9 V
    ("0.00004", "below-one-count"), ("0.0002", "accepts-zero"),
    ("0.6", "unclear-range"), ("0.603", "unclear-range"),  # 0.603 − 0.0033 = 0.5997 ≤ 0.5999
])
def test_refusals_on_an_everyday_table(x, code):
    """Values that would give a wrong or an empty check are refused, each for its own reason."""
    assert refusal(DECADE, x) == code


def test_the_unclear_zone_ends_exactly_where_the_rule_says():
    """|x| − T of the lower range at that range's highest reading is still refused, one count above
    it is clear."""
    table = dc(range_("0.6", "0.001", acc(counts="10")), range_("6", "0.01", acc(counts="1")))
    assert refusal(table, "0.609") == "unclear-range"    # 0.609 − 0.010 = 0.599
    assert limits(table, "0.61") == (6, F("0.60"), F("0.62"))


def test_a_forced_range_is_never_unclear():
    """A range that is selected by hand gives limits where the automatic one is refused."""
    six = DECADE.ranges[1]
    assert refusal(DECADE, "0.6", wanted=six) == "unclear-range"
    assert limits(DECADE, "0.6", wanted=six, force=True) == (6, F("0.596"), F("0.604"))
    assert limits(DECADE, "0.3", wanted=six, force=True) == (6, F("0.297"), F("0.303"))
    assert judge(function=DECADE, applied=F("0.6"), wanted=six, force=True).range is six


def test_a_named_range_that_the_meter_would_not_be_on_is_refused():
    """Naming a range doesn't select it on an autoranging meter."""
    assert refusal(DECADE, "0.3", wanted=DECADE.ranges[1]) == "other-range"


def test_a_manual_function_takes_the_range_that_the_plan_names():
    """On a manual function there is no other range to be on, so the limits hold for the named one,
    and nothing is 'forced'."""
    manual = dc(*DECADE.ranges, autoranging=False)
    found = judge(function=manual, applied=F("0.3"), wanted=manual.ranges[2])
    assert found.range is manual.ranges[2]
    assert limits(manual, "0.6") == (6, F("0.596"), F("0.604"))  # no neighbour can interfere


UP_DOWN = dc(range_("0.6", "0.0001", acc("0.5", "3"), up="0.59"),
             range_("6", "0.001", acc("0.4", "2"), down="0.54"))


@pytest.mark.parametrize("x, outcome", [
    ("0.5", "0.6"),  # 0.5 + 0.0028 (T on 600 mV) and 0.5 + 0.004 (T on 6 V) stay below 0.54
    ("0.537", "unclear-range"),  # reads up to 0.541 on the 6 V range: may have come down or not
    ("0.54", "unclear-range"), ("0.57", "unclear-range"), ("0.59", "unclear-range"),
    ("0.595", "unclear-range"),
    ("0.6", "unclear-range"), ("0.604", "6"),
])
def test_between_up_and_down_readings_the_range_is_unclear(x, outcome):
    """Between the reading at which a meter goes up and the one at which it comes down, either range
    may be on."""
    if outcome == "unclear-range":
        assert refusal(UP_DOWN, x) == outcome
    else:
        assert limits(UP_DOWN, x)[0] == F(outcome)


def test_an_up_range_reading_of_the_highest_range_changes_nothing():
    """There is no range to go up to, so the highest range holds all values up to its highest
    reading."""
    assert limits(dc(range_("6", "0.001", acc("0.4", "2"), up="5.8")),
                  "5.9") == (6, F("5.875"), F("5.925"))


def test_values_between_two_ranges_are_held_by_the_higher_one():
    """599.95 mV is beyond the highest reading of the lower range: it belongs to the next one, where
    both could be on."""
    assert range_for(function=DECADE, applied=F("0.59995")).full_scale == 6
    assert refusal(DECADE, "0.59995") == "unclear-range"
    gap = dc(range_("1", "0.001", acc("0.1", "1"), highest="0.9"),
             range_("10", "0.01", acc("0.1", "1")))
    assert limits(gap, "0.95") == (10, F("0.94"), F("0.96"))


def test_a_ranges_own_highest_reading_counts():
    """A 1000 V range that reads 1000 V takes 990 V ± 7 V, and refuses 995 V, whose tolerance runs
    past it."""
    table = dc(range_("1000", "1", acc("0.5", "2"), highest="1000"))
    assert limits(table, "990") == (1000, 984, 996)
    assert refusal(table, "995") == "tolerance-past-range"
    assert limits(dc(range_("1000", "1", acc("0.5", "2"), highest="1100")),
                  "1000") == (1000, 993, 1007)


FREQUENCY = ac(range_("6", "0.001", row(acc("1", "3"), ("45", "500")),
                      row(acc("2.5", "5"), ("500", "1000")),
                      row(acc("5", "10"), ("2000", "5000")), lowest="0.3"))


@pytest.mark.parametrize("hertz, low, high", [
    ("45", "2.967", "3.033"), ("499", "2.967", "3.033"), ("500", "2.967", "3.033"),
    ("501", "2.920", "3.080"),
    ("1000", "2.920", "3.080"), ("2000", "2.840", "3.160"), ("5000", "2.840", "3.160"),
])
def test_frequency_selects_the_row_and_the_tighter_one_where_rows_meet(hertz, low, high):
    """At 500 Hz the rows to and from 500 Hz both hold, so the tighter one applies."""
    assert limits(FREQUENCY, "3", hertz) == (6, F(low), F(high))


@pytest.mark.parametrize("x, hertz, code", [
    ("3", "44.9", "frequency-outside"), ("3", "1001", "frequency-outside"),
    ("3", "1500", "frequency-outside"), ("3", "5001", "frequency-outside"),
    ("0.299", "50", "below-lowest"), ("0", "50", "no-zero"), ("-3", "50", "no-minus"),
    ("5.96", "50", "tolerance-past-range"),
])
def test_outside_the_ac_specification_no_limit_is_given(x, hertz, code):
    """Gaps between rows, frequencies beyond them, values under the lowest specified one, zero and
    minus give no limit."""
    assert refusal(FREQUENCY, x, hertz) == code


def test_the_lowest_specified_value_itself_has_limits():
    """The lowest specified value is inside the specification."""
    assert limits(FREQUENCY, "0.3", "50") == (6, F("0.294"), F("0.306"))


PARTS = dc(range_("10", "0.01", row(acc("1", "3"), values=("0", "5")),
                  row(acc("2", "3"), values=("5", "9.5")), base="20", highest="19.99"))


def test_a_part_of_the_range_selects_the_row():
    """5 A belongs to both rows and takes the tighter one; beyond 9.5 A no row covers."""
    assert limits(PARTS, "5") == (10, F("4.92"), F("5.08"))
    assert limits(PARTS, "-5.01")[1:] == (F("-5.14"), F("-4.88"))
    assert refusal(PARTS, "10") == "value-outside"


@pytest.mark.parametrize("table, x, code", [
    (dc(range_("0.1", "0.01", acc(counts="0.4"))), "0.055", "nothing-displayable"),
    (dc(range_("0.1", "0.01", acc(counts="0.5"))), "0.005", "below-one-count"),
    (dc(range_("0.1", "0.01", acc("10", "1"))), "0.01", "accepts-zero"),
    (dc(range_("0.1", "0.01", acc("10", "1")), shows_minus=False), "-0.05", "no-minus"),
])
def test_points_that_check_nothing_are_refused(table, x, code):
    """Nothing displayable, below one count, a band that holds zero: no such point gets a limit."""
    assert refusal(table, x) == code


def test_zero_itself_may_accept_zero_and_is_clamped_without_a_minus():
    """The refusal of a band that holds 0 is for values other than 0; without a minus the band
    starts at 0."""
    ohms = dc(range_("600", "0.1", acc("0.9", "3")), shows_minus=False)
    found = judge(function=ohms, applied=F(0))
    assert (found.accepted.low, found.accepted.high, found.accepted.clamped) == (0, 3, True)


LIMITS = InputLimits(highest=F(600), peak=F(840), volt_hertz=F(10_000_000))


@pytest.mark.parametrize("volts, hertz, code", [
    ("600", None, None), ("600.001", None, "beyond-input"), ("-601", None, "beyond-input"),
    ("593.9", "50", None), ("593.97", "50", "beyond-peak"),  # 840/√2 = 593.9697
    ("100", "100000", None), ("100", "100000.1", "beyond-volt-hertz"),
    ("500", "20001", "beyond-volt-hertz"),
])
def test_input_limits_hold_before_accuracy(volts, hertz, code):
    """More than the rated input, a sine's peak beyond the peak limit or a product beyond the
    volt-hertz limit is refused."""
    hertz = None if hertz is None else F(hertz)
    if code is None:
        refuse_beyond_input(limits=LIMITS, applied=F(volts), frequency=hertz)
        return
    with pytest.raises(Refused) as caught:
        refuse_beyond_input(limits=LIMITS, applied=F(volts), frequency=hertz)
    assert caught.value.code == code


def test_a_steady_voltage_is_its_own_peak():
    """DC has no crest: its peak limit holds for the value itself."""
    refuse_beyond_input(limits=InputLimits(peak=F(840)), applied=F(840), frequency=None)
    with pytest.raises(Refused):
        refuse_beyond_input(limits=InputLimits(peak=F(840)), applied=F("840.1"), frequency=None)


def test_ranges_of_other_jacks_are_no_neighbours():
    """A meter can't range from its milliamp jack to its ampere jack, so 0.5 A is clear on the 10 A
    jack's range."""
    table = dc(range_("0.6", "0.0001", acc("1", "5"), position=("mA",)),
               range_("10", "0.01", acc("1", "5"), position=("A",)))
    assert limits(table, "0.598", wanted=table.ranges[1])[0] == 10


def test_a_neighbour_without_a_row_for_the_frequency_counts_with_its_loosest_row():
    """The 6 V range has no row at 1 kHz, 1 % up to 400 Hz and 10 % up to 500 Hz. Nothing says how
    well it reads at 1 kHz, so 6.3 V may show there as 6.3 − 0.63 = 5.67 V, which it holds; 6.7 V
    shows as 6.03 V at least, which it doesn't."""
    below = range_("6", "0.001", row(acc("1"), frequency=("40", "400")),
                   row(acc("10"), frequency=("400", "500")))
    above = range_("60", "0.01", row(acc("1"), frequency=("40", "1000")))
    with pytest.raises(Refused) as caught:
        judge(function=ac(below, above), applied=F("6.3"), frequency=F(1000))
    assert (caught.value.code, caught.value.facts) == ("unclear-range",
                                                       {"on": above, "other": below})
    assert judge(function=ac(below, above), applied=F("6.7"), frequency=F(1000)).range is above


def temperatures(low: str, high: str | None, lowest: str | None, sensor: str = "type T"):
    table = dc(range_("400", "0.1", acc("1", "20"), lowest=lowest and F(lowest)))
    return replace(table, span=TemperatureSpan(sensor=sensor, low=F(low),
                                               high=high and F(high)))


@pytest.mark.parametrize("x, found", [
    ("-270.1", "outside-sensor"), ("-1000", "outside-sensor"), ("-200.1", "below-lowest"),
    ("-200", ("-204", "-196")), ("-50", ("-52.5", "-47.5")), ("0", ("-2", "2")),
    ("-1", "accepts-zero"), ("390", ("384.1", "395.9")), ("399", "tolerance-past-range"),
    ("-199.95", ("-203.9", "-196"))])
def test_a_temperature_has_a_sign(x, found):
    """Type T is defined from −270 degC on and the data sheet starts at −200: what lies below either
    is refused, and so is nothing above it. ±(1 % + 2 degC), worked out by hand."""
    table = temperatures("-270", "400", "-200")
    if isinstance(found, str):
        assert refusal(table, x) == found
    else:
        assert limits(table, x)[1:] == tuple(map(F, found))


def test_a_lower_end_above_zero_is_no_size():
    """From 50 degC on: −100 is not 100."""
    table = temperatures("-270", "400", "50")
    assert refusal(table, "-100") == "below-lowest" == refusal(table, "49.9")
    assert limits(table, "100")[1:] == (97, 103)


def test_without_a_sensor_absolute_zero_is_the_end():
    table = temperatures("-273.15", None, None, sensor="")
    assert refusal(table, "-273.2") == "below-absolute-zero"
    assert limits(table, "-270")[1:] == (F("-274.7"), F("-265.3"))


def test_what_a_certified_part_makes_of_zero_is_zero():
    """0.3 degC in place of 0: its limits hold 0, and a point of zero may."""
    table = temperatures("-200", "850", "-200", sensor="Pt100")
    assert refusal(table, "0.3") == "accepts-zero" and refusal(table, "0.03") == "below-one-count"
    assert limits(table, "0.3", is_zero=True)[1:] == (F("-1.7"), F("2.3"))
    assert limits(table, "0.03", is_zero=True)[1:] == (F("-1.9"), F("2"))


@given(st.integers(-5000, 5000).map(lambda n: F(n, 10)), st.integers(-3000, 3000))
def test_clear_values_of_temperatures_are_clear(near, lowest):
    """What a hint names gets limits, and lies on the side of zero that was asked about."""
    table = temperatures("-200", "850", str(F(max(lowest, -2000), 10)))
    for value in clear_values(function=table, on=table.ranges[0], near=near, frequency=None):
        judge(function=table, applied=value)
        assert (value < 0) == (near < 0)


def test_the_clear_value_beside_the_lower_end():
    table = temperatures("-270", "400", "-200")
    assert clear_values(function=table, on=table.ranges[0], near=F(-250), frequency=None) == [-200]
