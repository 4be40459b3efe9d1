"""Ways of bringing a value to a meter, through whole small projects, against published values. The
sureness words are those of the project's list of check values: *second hand* (in a copy of the
publication made by others), *computed* (exact mathematics, printed nowhere that we know) and
*common practice* (a fact of the trade without a source)."""

import re

import pytest

from tests.small_shop import (JUNCTION, LEADS, box, function, load_points, only_problem, range_,
                              row, standard, the_procedure)

VOLTS = standard({"DC voltage": {"values": "0 mV to 200 mV"}})


@pytest.mark.parametrize("celsius, millivolts", [("100", "3.177"), ("500", "19.725")])
def test_type_k_with_the_junction_at_room_temperature(celsius, millivolts, tmp_path):
    """With the junction at 23 °C type K wants 3.177 mV at 100 °C and 19.725 mV at 500 °C
    (computed); the sheet prints them."""
    one = function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"),
                   thermocouple="K", display="20 000 counts", ranging="manual")
    (point,) = the_procedure(load_points(tmp_path, one, {"apply": f"{celsius} degC"},
                                         standards=[VOLTS],
                                         plan_more={"junction": JUNCTION})).points
    assert point.at == f"{millivolts}\u00a0mV"


def test_a_capacitor_of_200_picofarads(tmp_path):
    """A meter with 1 nF resolution can't be checked with 200 pF (common practice)."""
    one = function("capacitance", range_("6 uF", "1 nF", "2 % + 5 counts"))
    shop = load_points(tmp_path, one, {"apply": "200 pF"},
                       standards=[box(("200 pF", "200 pF", "1 pF"), what="capacitance")],
                       plan_more={"leads": LEADS})
    assert only_problem(shop).code == "below-one-count"


@pytest.mark.parametrize("length, contacts, counts", [("1 m", "48 mohm", 1), ("1 m", "47 mohm", 0)])
def test_leads_of_a_metre_are_a_whole_count(length, contacts, counts, tmp_path):
    """2 × 1 m in 0.75 mm² are 52 mΩ at 20 °C by the table of IEC 60228 (second hand); with 48 mΩ of
    contacts a whole count of 0.1 Ω, which the sheet's limit for the leads alone has on top of the
    meter's offset of one count."""
    one = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 1 count"))
    shop = load_points(tmp_path, one, {"apply": "100 ohm"},
                       standards=[box(("100 ohm", "100 ohm", "1 mohm"))],
                       plan_more={"leads": LEADS | {"length": length, "contacts": contacts},
                                  "ambient": "18 to 20 degC"})
    assert the_procedure(shop).points[0].accept_to == f"{(counts + 1) / 10:.1f}"


@pytest.mark.parametrize("hertz, low_by", [(400, 0.10), (45, 0.009)])
def test_a_square_wave_into_a_meter_good_to_one_kilohertz(hertz, low_by, tmp_path):
    """A 400 Hz square reads about 10 % low, a 45 Hz one about 0.9 %; a mean-responding meter shows
    11.07 % more (computed). On the sheet, with the tolerance of 0.1 % + 1 count taken off again."""
    one = function("AC voltage",
                   range_("20 V", "1 mV", [row("0.1 % + 1 count", frequency="40 Hz to 1 kHz")],
                          lowest="1 V"), display="20 000 counts")
    by = standard({},
                  outputs=[{"output": "AC voltage", "wave": "square", "terminals": ["HI", "LO"],
                            "rows": [{"values": "0 V to 20 V", "frequency": "10 Hz to 1 kHz",
                                      "within": "1 %"}]}])
    (point,) = the_procedure(load_points(tmp_path, one,
                                         {"apply": "10 V", "frequency": f"{hertz} Hz",
                                          "wave": "square"}, standards=[by])).points
    low, _, other = map(float,
                        re.search(r"([\d.]+) to ([\d.]+)\u00a0V if true r.m.s., about ([\d.]+)",
                                  point.observe).groups())
    assert low + 0.011 == pytest.approx(10 * (1 - low_by),
                                        abs=0.005 if low_by > 0.05 else 0.006) and other == 11.107
