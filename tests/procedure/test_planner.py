"""From the entries of a plan to its points, in the order of the file."""

from fractions import Fraction

import pytest

from tests.procedure.test_refusals import AC, DC
from tests.small_shop import (LEADS, box, codes, function, load, load_points, meter, only_problem,
                              plan, range_, reference, row, standard, the_procedure)


def test_a_point_refused_in_each_of_many_places_is_said_once_each(tmp_path):
    """All refusals of a plan in one run, each at its own value, in the order of the file."""
    shop = load(tmp_path, meter(DC),
                plan({"function": "DC voltage", "apply": ["0.6 V", "3 V", "0.06 mV", "5.98 V"]},
                     {"function": "DC voltage", "apply": "7 V"}))
    assert [p.code for p in shop.errors] == ["unclear-range", "below-one-count",
                                             "tolerance-past-range", "beyond-range"]
    assert [p.place.line for p in shop.errors] == sorted({p.place.line for p in shop.errors})


def test_each_value_at_each_frequency(tmp_path):
    """Two values at two frequencies are four points; each keeps its own."""
    shop = load_points(tmp_path, AC, {"apply": ["3 V", "5 V"], "frequency": ["50 Hz", "2 kHz"]})
    assert sorted((int(p.planned.applied), int(p.planned.hertz))
                  for p in the_procedure(shop).points) == [(3, 50), (3, 2000), (5, 50), (5, 2000)]


def test_a_point_that_stands_twice_is_said_at_the_second(tmp_path):
    """In two entries, 3 V and 3000 mV: the sentence names the line of the first."""
    problem = only_problem(load_points(tmp_path, DC, {"apply": "3 V"}, {"apply": "3000 mV"}))
    assert problem.code == "twice"
    text = (tmp_path / "procedures/plans/lapwing-yearly.yaml").read_text(encoding="utf-8")
    first, second = (1 + text[:text.index(f'"{value}"')].count("\n")
                     for value in ("3 V", "3000 mV"))
    assert problem.sentence.replace("\u00a0", " ") == (
        f"the point dcv-6V-3.000V stands twice, first in line {first}")
    assert problem.hint == "delete one of them: records hang on the names of points"
    assert problem.place.line == second


def test_a_point_by_hand_takes_the_place_of_the_recommended_one(tmp_path):
    """The same points once each, whether one of them is listed by hand as well or not."""
    alone = the_procedure(load_points(tmp_path / "a", DC, {"apply": "recommended"})).points
    listed = alone[0].planned.applied
    both = the_procedure(load_points(tmp_path / "b", DC, {"apply": "recommended"},
                                     {"apply": f"{float(listed)} V"})).points
    assert {point.id for point in both} == {point.id for point in alone}
    assert len(both) == len(alone) > 2


def test_a_range_that_is_forced_is_not_refused_as_unclear(tmp_path):
    """0.6 V lies where the meter may stand on 600 mV or on 6 V; by hand it stands on 6 V."""
    (point,) = the_procedure(
        load_points(tmp_path, DC, {"apply": "0.6 V", "force_range": "6 V"})).points
    assert point.planned.forced
    # 0.4 % of 0.6 V and 2 mV are 4.4 mV, inside which whole millivolts lie
    assert (point.accept_from, point.accept_to) == ("0.596", "0.604")


def test_leads_are_read_once_before_the_points_that_they_are_taken_off(tmp_path):
    """Two points on one range share one reading of the leads, which stands before both."""
    from_parts = two_wire(tmp_path, "100 ohm", "300 ohm")
    assert [point.planned.zero is not None for point in from_parts] == [True, False, False]


def test_the_leads_alone_where_no_row_starts_at_zero_in_a_warm_room(tmp_path):
    """The largest offset of the range stands for zero: 9 counts of 0.1 Ω, at two degrees beyond the
    meter's band with 0.1 per °C 1.2 times that, so 1.08 Ω; two leads at 33 °C are 2 × 0.026 Ω ×
    1.05109 and 0.04 Ω. Of 1.1747 Ω whole counts are 1.1 Ω."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm",
                                         [row("1 % + 3 counts", values="20 ohm to 300 ohm"),
                                          row("1 % + 9 counts", values="300 ohm to 600 ohm")]))
    zero, _ = the_procedure(load_points(
        tmp_path, ohms, {"apply": "100 ohm"}, standards=[box(("100 ohm", "100 ohm", "5 mohm"))],
        plan_more={"leads": LEADS, "ambient": "30 to 33 degC"},
        specification={"source": "x", "holds": "18 to 28 degC",
                       "temperature_coefficient": "0.1 per degC"})).points
    assert (zero.accept_from, zero.accept_to) == ("0.0", "1.1")


def test_the_leads_alone_are_read_on_the_range_that_is_selected_by_hand(tmp_path):
    """300 Ω on the 6 kΩ range: so are its leads, selected by hand too. Two of them at 28 °C add
    2 × 0.026 Ω × 1.03144 and 40 mΩ at most."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
                    range_("6 kohm", "0.1 ohm", "0.9 % + 5 counts"))
    zero, point = the_procedure(load_points(
        tmp_path, ohms, {"apply": "300 ohm", "force_range": "6 kohm"}, display="60000 counts",
        standards=[box(("300 ohm", "300 ohm", "5 mohm"))], plan_more={"leads": LEADS})).points
    assert zero.forced and (zero.range, point.range) == ("6\u00a0kΩ", "6\u00a0kΩ")
    assert zero.planned.leads == Fraction("0.09363488")


@pytest.mark.parametrize("on, expected", [("60 V", []), ("6 V", ["beyond-reach"])])
def test_a_reach_is_accepted_for_the_range_that_the_point_is_on(on, expected, tmp_path):
    """3 V is beyond the source, and the plan accepts that on the 60 V range: selected by hand the
    point is on it, though the meter by itself would be on 6 V."""
    volts = function("DC voltage", range_("6 V", "1 mV", "1 %"), range_("60 V", "10 mV", "1 %"))
    shop = load_points(tmp_path, volts, {"apply": "3 V", "force_range": on},
                       standard_file=standard({"DC voltage": {"values": "0 V to 2 V"}}),
                       plan_more={"accepted": [{"what": "out of reach", "range": "60 V",
                                                "function": "DC voltage", "because": "x"}]})
    assert codes(shop) == expected


def two_wire(folder, *values: str) -> list:
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
    parts = box(*((value, value, "5 mohm") for value in values))
    return the_procedure(load_points(folder, ohms, {"apply": list(values)}, standards=[parts],
                                     plan_more={"leads": LEADS})).points


@pytest.mark.parametrize("circuit, volts, hazardous", [
    ("12 V", 12, False), ("30 V", 30, False), ("30.1 V", Fraction("30.1"), True),
    ("230 V", 230, True)])
def test_a_current_is_as_dangerous_as_its_circuit(circuit, volts, hazardous, tmp_path):
    """2 A beside a reference meter, in a circuit whose voltage the plan states: beyond 30 V AC it
    is hazardous live."""
    amperes = function("AC current", range_("10 A", "10 mA",
                                            [row("1.5 % + 5 counts", frequency="45 Hz to 400 Hz")]),
                       jacks=["A", "COM"])
    beside = reference(("AC current", {"values": "0 A to 10 A", "frequency": "40 Hz to 1 kHz",
                                       "resolution": "1 mA", "within": "0.2 %"}))
    point = {"apply": "2 A", "frequency": "50 Hz", "compare_on": "a heater", "at": circuit}
    (found,) = the_procedure(load_points(tmp_path, amperes, point, standards=[beside])).points
    assert (found.planned.volts, found.planned.is_hazardous) == (volts, hazardous)


def test_recommended_on_a_range_selected_by_hand(tmp_path):
    """Readings of 5.99 V and less belong to the 6 V range, and with 30 % of tolerance no value of
    the 7 V range is clearly above them. By hand 90 and 80 % of it run past its end, and 70 %, 4.9
    V within 1.5 V, does not."""
    one = function("DC voltage", range_("6 V", "10 mV", "1 % + 5 counts"),
                   range_("7 V", "10 mV", "30 % + 3 counts"), confirmed="so loose")
    entry = {"apply": "recommended", "range": "7 V"}
    by_hand = {"apply": "recommended", "force_range": "7 V"}
    for folder, asked, applied in (("a", entry, []), ("b", by_hand, [-4.9, 4.9])):
        (sheet,) = load_points(tmp_path / folder, one, asked).procedures.values()
        assert sorted(float(point.planned.applied) for point in sheet.points) == applied
